/* rest.h - what is left to do from now on, as a scheduling problem, and which of its plans is taken; only for src/works.
 *
 * Model  what is done takes nothing and has no place. What is begun goes on for the rest of its minutes, at least WORKS_STEP_MIN:
 *   at once, past the end of a shift too; where now lies outside of the hours, from the next on, unless a mix is being placed.
 *   Of what more was begun than people and plant can go on with, the latest goes on and the others wait. The rest begins now or
 *   later. A lag after something done becomes an earliest start, and a maximum lag that still runs a latest: where not all of them
 *   can be kept those of mixes are, where not even they can, none. One that is passed is told.
 *   Three plans: each task no earlier than it stood; the old order, as early as can be; any order. A later one is taken where it
 *   ends by more than AGAIN_WORTH_MIN sooner.   Threads  no shared state. */
#ifndef STANCH_WORKS_REST_H
#define STANCH_WORKS_REST_H

#include "works/past.h"

/* Solve what is left of a problem: the tasks of the plan first, the last one free, which becomes the moment from which work goes
 * on. `options`: as for a plan from the beginning. *past tells then what goes on for how long. */
status rest_solve(const works_making *m, past_plan *past, const schedule_problem *problem,
                  const schedule_options *options, schedule_result *out);

/* Times of what is done and begun, as recorded; what is passed. The plan's own ends follow. */
status rest_tell(works_making *m, const past_plan *past);

#endif
