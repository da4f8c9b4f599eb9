/* hands_parts.h - the pieces of hands_assign; only for src/works.
 *
 * A place is one person wanted by one task. hands.c makes them and tells the days, hands_give.c fills them, hands_turns.c
 * moves and swaps what is filled, hands_tell.c says what the days come to.   Threads  no shared state. */
#ifndef STANCH_WORKS_HANDS_PARTS_H
#define STANCH_WORKS_HANDS_PARTS_H

#include "works/works.h"

enum { HANDS_NOBODY = -1 };

typedef struct {
    size_t task;
    int skill, worker; /* works_skill; HANDS_NOBODY */
    bool fixed, kept;  /* of a finished task; as it came in */
    bool locked;       /* while work is handed on */
} hands_place;

/* What a task does to its people: points in all, shared by those who may hold the tool; dose and minutes to each. */
typedef struct {
    const exposure_tool *tool; /* NULL: nothing that counts */
    double points, dose_percent, silica_min;
    size_t day; /* index of hands.days; only with a tool */
} hands_load;

typedef struct {
    double points, dose_percent, silica_min;
} hands_day;

typedef struct {
    const survey *s;
    const repair_design *designs;
    works_plan *plan;
    arena *memory;
    hands_place *places; /* of one task side by side */
    size_t n_places, n_workers;
    size_t *first;               /* n_tasks + 1: places of a task */
    size_t *near_from, *near_to; /* n_places + 1 into near_to: places that overlap in time */
    size_t *by_start;            /* places in order of their start */
    hands_load *loads;           /* one a task */
    int *days;                   /* with exposure, rising */
    size_t n_days;
    size_t *day_from, *day_to; /* between which of by_start the exposed places of a day lie */
    hands_day *sums;           /* n_days x n_workers */
    int *on_leak;              /* places held, n_defects x n_workers */
    int *minutes;              /* given, one a worker */
    int *skills;               /* how many, one a worker */
} hands;

/* How bad a day is, compared in this order: vibration, noise, silica above their action values (1 below), then vibration, then how
 * unevenly all lies. */
enum { HANDS_MEASURES = 5 };
typedef struct {
    double by[HANDS_MEASURES];
} hands_cost;
hands_cost hands_cost_of(const hands *h, size_t day);
bool hands_better(const hands_cost *a, const hands_cost *b);

/* Add a task's load to the days of its people (sign 1), or take it away (-1): who may hold its tool take equal turns at it. */
void hands_count(hands *h, size_t task, double sign);
double hands_points(const hands *h, size_t place); /* of its worker from its task */

/* Put somebody, or nobody, to a place; sums follow. */
void hands_put(hands *h, size_t place, int worker);
bool hands_may(const hands *h, size_t place, int worker);                  /* has the skill */
bool hands_free(const hands *h, size_t place, int worker, size_t but_for); /* SIZE_MAX: for nothing */

/* The workers of the plan's tasks, its exposures and warnings. */
status hands_tell(hands *h, fault *why);

status hands_give(hands *h, fault *why);
status hands_turn(hands *h, fault *why);

#endif
