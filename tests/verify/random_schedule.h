/* random_schedule.h - small scheduling problems from a seed, and their optimum the slow way. */
#ifndef STANCH_TESTS_RANDOM_SCHEDULE_H
#define STANCH_TESTS_RANDOM_SCHEDULE_H

#include "crew/schedule.h"

enum { RANDOM_TASKS = 32, RANDOM_KINDS = 9, RANDOM_ARCS = 3, RANDOM_WINDOWS = 40 };

typedef struct {
    int tasks, longest, kinds; /* longest: minutes of a task */
    bool maxima, windows;
} random_shape;

typedef struct {
    schedule_resource resources[RANDOM_KINDS];
    schedule_task tasks[RANDOM_TASKS];
    schedule_after after[RANDOM_TASKS][RANDOM_ARCS];
    int needs[RANDOM_TASKS][RANDOM_KINDS];
    schedule_window windows[2][RANDOM_WINDOWS];
    schedule_calendar calendars[2];
    schedule_problem p;
} random_problem;

/* Tasks wait for those of lower number only. */
void random_schedule(random_problem *r, unsigned from, random_shape shape); /* from: a seed */

enum { SLOW_NONE = -1, SLOW_GIVEN_UP = -2 };
/* The least makespan up to `horizon`: every start of every task is tried, minute by minute. SLOW_NONE: there is no plan;
 * SLOW_GIVEN_UP: too many to try. */
int slow_makespan(const schedule_problem *p, int horizon);

#endif
