/* schedule.h - who does what when: tasks with lags, people and plant of limited number, shifts; the shortest plan found.
 *
 * Model  resource-constrained scheduling with generalised lags:
 *          start_j >= end_i + min_lag     start_j <= end_i + max_lag     for each "j after i"
 *        at no time more of a resource in use than there is; a task runs without a break, within one window of its
 *        calendar (a shift; its noise hours), or at any time where it has none. Lags run through nights and breaks.
 *        Least end of all tasks (makespan) is sought.
 * Ways   serial and parallel schedule generation; sampling by latest finish; and a search: a genetic algorithm of two
 *        populations, one pushed to the left and one to the right, each bred from the other, which makes every child a pass of
 *        forward-backward improvement. Tasks tied by maximum lags are one block, placed together, its first task moved later
 *        until all of it fits.
 * Source generation schemes: Kolisch 1996; forward-backward improvement: Li and Willis 1992, Tormos and Lova 2001; two
 *        populations: Debels and Vanhoucke 2007 (ideas, from memory; the code and its constants are ours).
 * Bound  schedule_bound.h: no plan can be shorter.
 * Units  whole minutes from the start of the plan.
 * Limits see the constants. Of a block no task is held back to let another in between, so with maximum lags the shortest plan
 *        may be out of reach (4 of 191 small problems at random); the gap to the bound tells. A pass costs the tasks times the
 *        steps that they look through: 3,000 tasks in shifts 3 ms, 100,000 tasks on one busy resource minutes.
 * Threads no shared state. */
#ifndef STANCH_CREW_SCHEDULE_H
#define STANCH_CREW_SCHEDULE_H

#include "core/fault.h"
#include "core/mem.h"

#include <stdatomic.h>
#include <stdbool.h>
#include <stdint.h>

enum {
    SCHEDULE_NO_LIMIT = -1, /* a maximum lag that is not there */
    SCHEDULE_ALWAYS = -1,   /* a task without calendar */
    SCHEDULE_MOST_RESOURCES = 64,
    SCHEDULE_MOST_CAPACITY = 30000, /* of one resource; our default */
    SCHEDULE_MOST_TASKS = 100000,
    SCHEDULE_MOST_MINUTES = 20000000, /* 38 years: longer is a wrong unit */
    SCHEDULE_MOST_STEPS = 2000000     /* of the time grid (minutes over their greatest common divisor) */
};

typedef struct {
    const char *name;
    int capacity;
} schedule_resource;

typedef struct {
    size_t task;          /* the earlier one */
    int min_lag, max_lag; /* minutes; min_lag >= 0; max_lag >= min_lag or SCHEDULE_NO_LIMIT */
} schedule_after;

typedef struct {
    const char *id;   /* never NULL; nor is the name of a resource */
    int minutes;      /* >= 0 */
    const int *needs; /* one a resource */
    const schedule_after *after;
    size_t n_after;
    int calendar; /* index, or SCHEDULE_ALWAYS */
    int earliest; /* >= 0: not to start before */
} schedule_task;

typedef struct {
    int from, to; /* from < to; windows of one calendar rise and do not overlap; those that touch are two */
} schedule_window;

typedef struct {
    const schedule_window *windows;
    size_t n;
} schedule_calendar;

typedef struct {
    const schedule_resource *resources;
    size_t n_resources;
    const schedule_task *tasks;
    size_t n_tasks;
    const schedule_calendar *calendars;
    size_t n_calendars;
} schedule_problem;

typedef enum { SCHEDULE_SEARCH, SCHEDULE_SAMPLE_RANDOM, SCHEDULE_SAMPLE_LATEST } schedule_way;

typedef struct {
    long schedules; /* at most so many passes of the generator, at least 1 */
    uint64_t seed;
    schedule_way way;
    const atomic_bool *stop; /* NULL, or set from another thread: the best so far is given */
    const int *like;         /* NULL, or starts of an earlier plan: taken as a first order of the tasks */
} schedule_options;

typedef struct {
    int *start; /* one a task */
    int makespan, lower_bound;
    long schedules; /* passes made */
} schedule_result;

/* Find a plan, in `memory`. E_INPUT names the task and what cannot be: need above capacity, tasks that wait for each other,
 * a maximum lag that cannot be met, a task longer than every window of its calendar, windows that end too early, a plan longer
 * than the steps. A plan as short as the bound ends the search; a stop still gives one plan. *out is zeroed on error. */
status schedule_solve(const schedule_problem *problem, const schedule_options *options, arena *memory,
                      schedule_result *out, fault *why);

#endif
