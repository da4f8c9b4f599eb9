/* finding.h - what a person must decide or must not forget: STOP, ASK and the hold points of a job.
 * STOP  no design until a named person has answered (trade rule 14).   ASK  design goes on, the question is
 * printed open (rule 15).   Threads  no shared state. */
#ifndef STANCH_DIAGNOSE_FINDING_H
#define STANCH_DIAGNOSE_FINDING_H

#include "core/fault.h"
#include "diagnose/diagnosis.h"

typedef enum { FINDING_STOP, FINDING_ASK } finding_level;

typedef struct {
    finding_level level;
    const char *mark;            /* defect, or "site" */
    const char *code;            /* word that an answer names: "growing", "drinking_water", "steel" ... */
    const char *sentence;        /* what was found and what is asked */
    const survey_answer *answer; /* NULL while open */
} finding;

typedef struct {
    finding *items;
    size_t n;
} finding_list;

/* Append; looks for the answer in the survey. Texts are copied to `memory`. */
status finding_add(const survey *s, arena *memory, finding_list *list, finding_level level, const char *mark,
                   const char *code, const char *sentence, fault *why);

/* True when any STOP on `mark` is open. */
bool finding_stops(const finding_list *list, const char *mark);

/* Findings of the site (drinking water, hazardous liquid) and of one leak from its signs, widths and levels.
 */
status finding_of_site(const survey *s, arena *memory, finding_list *list, fault *why);
status finding_of_leak(const survey *s, const leak_water *leak, const diagnosis *why_leaks, arena *memory,
                       finding_list *list, fault *why);

#endif
