/* group.h - one group of leaks solved together: which leaks, which tube, how far; only for src/plan.
 *
 * Run     the search with the usual tube, then the smallest stocked one that leaves at most a tenth of the head at the
 *   place found; the uncut plane; how far the seal must run past the last wet mark.
 * Steady  only the flow factor and the uncut plane: milliseconds, to be seen while a leak is being changed.
 * Figures that are only drawn or printed are rounded here (planes.h). Threads  one a group. */
#ifndef STANCH_PLAN_GROUP_H
#define STANCH_PLAN_GROUP_H

#include "plan/plan.h"

typedef struct {
    const plan *p;
    const planes_group *past; /* the group with its dry stations open; NULL for steady */
    double past_limit_m3_s;
    const atomic_bool *stop; /* NULL, or set from another thread: E_STATE "stopped" soon */
    void (*progress)(void *to,
                     double part); /* NULL, or told the part done of this group, 0 to 1, never less */
    void *progress_to;
} group_job;

/* Into plane, whose group, memory and steady are set. E_INPUT: the plane is not to be had, the sentence says why;
 * E_STATE: stopped, or a matrix that is not one. */
status group_run(const group_job *job, plan_plane *plane, fault *why);

/* How much work a group is, against other groups: no unit. */
double group_weight(const plan_plane *plane);

#endif
