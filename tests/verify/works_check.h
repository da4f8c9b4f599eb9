/* works_check.h - a slow, independent look at the works of a job: nothing shared with src/works but the types.
 *
 * Every rule of works.h is looked at minute by minute (in steps of five) or task by task: lags as written and as the trade
 * asks, people by trying who could do what, plant, shifts, noise, days off, turns of faces, the card's order, batches. A fault
 * fails the running test with the task's name. */
#ifndef STANCH_TESTS_WORKS_CHECK_H
#define STANCH_TESTS_WORKS_CHECK_H

#include "plan/plan.h"
#include "works/works.h"

void works_check(const plan *p, const works_plan *w);

/* The first task of a step of a leak; NULL: none. `part` from 1; 0: the last. */
const works_task *works_find(const works_plan *w, size_t leak, const char *step, int part);

#endif
