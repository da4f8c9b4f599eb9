/* plane_job.h - crack planes to draw: run by the plan, and made by hand. For tests only. */
#ifndef STANCH_TESTS_PLANE_JOB_H
#define STANCH_TESTS_PLANE_JOB_H

#include "plan/plan.h"

/* A plan with its planes run; the caller's (report_job_free). */
typedef struct {
    const char *units; /* "metric", "us" */
    const char *lie;   /* "wall", "floor", "soffit" */
    double length_m;   /* of one running crack, along; or over three walls with folds between them */
    bool corner;
} plane_job_like;
plan *plane_job_run(plane_job_like like);

/* A plane made by hand on the plan of report_job_one: panels of 1.8 m, a wall of 0.3 m, a field that falls
 * from `head_m` at the wet face, steps in the order given by `number` (the number of each segment from the
 * left, over all panels). */
typedef struct {
    size_t panels, segments; /* segments a panel */
    const size_t *number;    /* panels * segments of them, from 1 */
    double head_m;
    bool mirrored, relief, us;
} plane_job_hand;
typedef struct {
    plan *base, plan; /* show &plan */
} plane_job_made;
plane_job_made plane_job_make(plane_job_hand h);
void plane_job_free(plane_job_made *made);

#endif
