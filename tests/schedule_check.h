/* schedule_check.h - a slow, independent look at a plan: minute by minute, nothing shared with src/crew but the types.
 *
 * For every task: its start against its earliest; every minute of it inside one and the same window of its calendar; each lag
 * as written; for every minute of the plan and every resource, the sum of the needs of the tasks that run then. */
#ifndef STANCH_TESTS_SCHEDULE_CHECK_H
#define STANCH_TESTS_SCHEDULE_CHECK_H

#include "crew/schedule.h"

/* True when every rule is kept; else a sentence to `told`. */
bool schedule_holds(const schedule_problem *problem, const int *start, char *told, size_t size);

/* The end of the last task. */
int schedule_ends(const schedule_problem *problem, const int *start);

#endif
