/* works_at.h - what the works would be at another temperature of air, wall, water and mix, beside what they are; docs/page.md, "at".
 *
 * Takes as long as planning the works does (works.h: up to about 10 s in a large job). Nothing is kept and nothing changes.
 * What was recorded counts as it does in ops_plan: then the rest is planned, from `now`.
 * Limits  WORKS_AT_LEAST_C to WORKS_AT_MOST_C, the range in which setting times are given (takeoff.h).
 * Threads  the plan is only read; one call a text. */
#ifndef STANCH_OPS_WORKS_AT_H
#define STANCH_OPS_WORKS_AT_H

#include "ops/ops.h"

#define WORKS_AT_LEAST_C 0.0
#define WORKS_AT_MOST_C 60.0

typedef struct {
    double temperature_c;
    const char *now; /* as in ops_plan_request */
    int utc_offset_min;
    const atomic_bool *stop;
} works_at_request;

/* E_INPUT: a temperature out of range. */
status works_at_check(const survey *s, double temperature_c, fault *why);

/* One object appended to *out; `path`: the job file, `p`: a plan of it with works. A temperature at which there can be no plan is no
 * fault: the object says why. E_STATE: the plan has no works, or "stopped". */
status ops_works_at_json(const char *path, const plan *p, const works_at_request *request, text *out,
                         fault *why);

#endif
