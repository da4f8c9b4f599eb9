/* works_job.h - the works of a job filled by hand, to draw: no schedule is searched. All times invented. For tests only. */
#ifndef STANCH_TESTS_WORKS_JOB_H
#define STANCH_TESTS_WORKS_JOB_H

#include "plan/plan.h"
#include "works/works.h"

typedef struct {
    const char *start_on; /* NULL: not told */
    int back_day;         /* day of the deadline, 7:00; 0: none */
    size_t people;        /* in teams of two; at least 1 */
    size_t leaks;         /* the first so many of the survey; 0: all */
    bool begun;           /* the first leak is recorded as done up to its plug */
} works_job;

/* Each leak is cut, washed, soaked over night, plugged, coated, packed at once, coated, kept moist three days, opened and proved, by
 * the team that is free first; 7:00 to 12:00 and 12:30 to 15:30, Monday to Friday. A fault fails the running test. */
works_plan *works_job_fill(const survey *s, works_job like, arena *memory);

#endif
