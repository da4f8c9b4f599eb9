/* again_check.h - a slow look at a plan that was made again: what was done, what goes on, what is left, minute by minute; nothing
 * shared with src/works but the types. A fault fails the running test with the task's name. */
#ifndef STANCH_TESTS_AGAIN_CHECK_H
#define STANCH_TESTS_AGAIN_CHECK_H

#include "plan/plan.h"
#include "works/works.h"

/* `now_min`: on the grid, not later than WORKS_STEP_MIN after the moment asked for. */
void again_check(const plan *p, const works_plan *w, int now_min);

/* The first task of a step of a leak; NULL: none. `part` from 1; 0: the last. */
const works_task *again_find(const works_plan *w, size_t leak, const char *step, int part);

/* How many tasks of the leaks start otherwise, or have other people; tasks that came or went count too. */
int again_starts_moved(const works_plan *a, const works_plan *b);
int again_people_moved(const works_plan *a, const works_plan *b);

#endif
