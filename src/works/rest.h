/* rest.h - what is left to do from now on, as a scheduling problem, and which of its plans is taken; only for src/works.
 *
 * Model  what is done takes nothing and has no place; what is begun goes on at once for the rest of its minutes, at least
 *   WORKS_STEP_MIN, in whatever hours; the rest begins now or later. A lag after something done becomes an earliest start; a
 *   maximum lag that has passed meanwhile is told and let go.
 *   Three plans: each task no earlier than it stood; the old order, as early as can be; any order. A later one is taken where it
 *   ends by more than AGAIN_WORTH_MIN sooner.   Threads  no shared state. */
#ifndef STANCH_WORKS_REST_H
#define STANCH_WORKS_REST_H

#include "works/past.h"

/* Change the tasks of the problem, those of the plan first; the one at `now_at` becomes the moment now. */
status rest_fit(works_making *m, const past_plan *past, schedule_task *tasks, size_t now_at);

/* Solve it. `options`: as for a plan from the beginning. */
status rest_solve(const works_making *m, const past_plan *past, const schedule_problem *problem,
                  const schedule_options *options, schedule_result *out);

/* Times of what is done and begun, as recorded. */
void rest_tell(const works_making *m, const past_plan *past);

#endif
