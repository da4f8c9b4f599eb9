/* hints.h - what may have caused a leak: for each cause the evidence for and against, never a certainty.
 *
 * Evidence is read from kind, trace (direction, place on the face, neighbours of like direction, corners of openings),
 * widths, signs and movement. Each sentence is one observation with its numbers and says on what it rests. Order: the
 * cause with most for less against first; equal ones in the order below. A cause without any evidence for it is left out.
 * Sources  by sentence; patterns are common practice unless said.   Threads  no shared state. */
#ifndef STANCH_DIAGNOSE_HINTS_H
#define STANCH_DIAGNOSE_HINTS_H

#include "diagnose/movement.h"
#include "hydraulics/leak.h"

typedef enum {
    CAUSE_SHRINKAGE, /* restrained drying or early thermal shrinkage */
    CAUSE_SETTLEMENT,
    CAUSE_THERMAL, /* season */
    CAUSE_JOINT,   /* construction joint or its waterstop */
    CAUSE_TIE,
    CAUSE_PENETRATION,
    CAUSE_HONEYCOMB, /* badly compacted concrete */
    CAUSE_COUNT
} hints_cause;
extern const char
    *const hints_cause_words[CAUSE_COUNT]; /* shrinkage settlement thermal joint tie penetration honeycomb */

typedef struct {
    hints_cause cause;
    const char **evidence, **against; /* sentences */
    size_t n_evidence, n_against;
} hint;

typedef struct {
    hint *items;
    size_t n;
} hint_list;

/* `verdict` and `moves`: of the gauges, where moves is true. *out in `memory`. E_MEMORY. */
status hints_find(const survey *s, const leak_water *leak, bool moves_known, const movement_result *fit,
                  arena *memory, hint_list *out, fault *why);

#endif
