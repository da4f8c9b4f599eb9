/* gauge.h - one reading of a gauge across a crack, and a person's choice of method against the table: each is one change
 * of one leak, without the whole object that ops_edit asks for.
 *
 * In one transaction: load, change, check the whole survey, save, log. What stands in the job already (the same reading, the
 * same overrule, nothing to withdraw) is OK, writes nothing and no line of the log: an answer that was lost may be asked
 * for again.
 * Errors  as ops.h. E_INPUT: a text, date, number or word is wrong (the sentence names the value and what it must be; an
 *   unknown method the list of them), or the survey's check refuses what came. E_STATE: no leak has that mark (the nearest
 *   one is named); the gauge was read on that day already, with another width or temperature. In all cases nothing was
 *   changed.
 * Threads  one call a job file and thread. */
#ifndef STANCH_OPS_GAUGE_H
#define STANCH_OPS_GAUGE_H

#include "ops/ops.h"

typedef struct {
    const char *mark;
    const char *gauge; /* its name; NULL or "": the leak has one gauge */
    const char *on;    /* YYYY-MM-DD */
    double width;      /* mm or in, as the job; a gauge that tells a change may stand below 0 */
    maybe temperature; /* of the concrete, C or F, as the job */
    const units_system
        *system; /* what the numbers are in; NULL: as the job. E_INPUT where the job has the other */
} ops_gauge;

typedef struct {
    const char *mark;
    const char *method;  /* word of the survey ("inject_epoxy"); NULL: withdraw, the table decides again */
    const char *by, *on; /* a person's name; YYYY-MM-DD. Withdrawn: `on` is not read */
    const char *why;     /* not read when withdrawn */
} ops_overrule_request;

/* The leak afterwards. */
typedef struct {
    long long revision;   /* of the job */
    char hash[HASH_TEXT]; /* of the leak, as in ops_survey_json */
    bool changed;         /* false: it stood like this already */
} ops_leak_change;

/* Add one reading to a leak, in its place by gauge and date. */
status ops_gauge_add(const char *path, const ops_gauge *reading, const ops_actor *actor, ops_leak_change *out,
                     fault *why);

/* Keep, replace or withdraw a person's choice of method. "engineer" is refused: that is no choice of method. */
status ops_overrule(const char *path, const ops_overrule_request *request, const ops_actor *actor,
                    ops_leak_change *out, fault *why);

#endif
