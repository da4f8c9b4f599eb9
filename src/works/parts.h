/* parts.h - the pieces of works_make that live in files of their own; only for src/works.
 *
 * hours.c the shifts, crews.c who is there, steps.c what a step takes, tasks.c the tasks of a leak, problem.c the schedule,
 * filled.c what a plan says once its tasks have times, curing.c the cure.   Threads  no shared state. */
#ifndef STANCH_WORKS_PARTS_H
#define STANCH_WORKS_PARTS_H

#include "works/moist.h"

enum { WORKS_SKILLS = 3, WORKS_GROUPS = 1 << WORKS_SKILLS, WORKS_STRETCHES = 2 };

typedef struct {
    int from_min, to_min;
} works_span;

/* Which hours: all of the shift, or those in which noise is allowed. */
typedef enum { HOURS_USUAL, HOURS_NOISY, HOURS_KINDS } works_hours_kind;

typedef struct {
    works_span stretch[WORKS_STRETCHES]; /* of a shift, from 0 h of its day */
    int n_stretches;
    unsigned days;             /* bit 0 Monday */
    int weekday;               /* of day 0; 0 Monday */
    const long long *holidays; /* days from day 0 */
    size_t n_holidays;
    bool noise_limited;
    works_span noise; /* allowed: every day, from 0 h */
    int longest_min[HOURS_KINDS];
    int split_min[HOURS_KINDS]; /* longer tasks are split into parts no longer than this */
} works_hours;

status hours_read(const survey *s, arena *memory, works_hours *out, fault *why);
bool hours_work_on(const works_hours *h, int day);
/* Windows of one kind of `n_days` days, in `memory`. */
status hours_windows(const works_hours *h, works_hours_kind kind, int n_days, arena *memory,
                     schedule_calendar *out, fault *why);
/* Days from 0 on that hold so many days of work. */
int hours_days_for(const works_hours *h, long days_of_work);

typedef struct {
    int all, able[WORKS_GROUPS]; /* people; those with any skill of the set of bits 1 << WORKER_CUTTER ... */
    int plant[PLANT_COUNT];
} works_crew;

void crews_count(const survey *s, works_crew *out);
/* Can so many people be found side by side among the crew (Hall's condition)? */
bool crews_fit(const works_crew *c, const int people[WORKER_KINDS]);

typedef enum {
    STEP_SETUP,
    STEP_SCAN,
    STEP_PORTS,
    STEP_SURFACE_SEAL,
    STEP_FLUSH,
    STEP_INJECT,
    STEP_STRIP,
    STEP_CHANNEL,
    STEP_OUTLET,
    STEP_ROUT,
    STEP_CUT,
    STEP_MEASURE,
    STEP_WASH,
    STEP_SOAK,
    STEP_PRIME,
    STEP_BACKER,
    STEP_SEAL,
    STEP_RELIEF,
    STEP_PLUG,
    STEP_CLOSE_RELIEF,
    STEP_STOPPED,
    STEP_FIRST_COAT,
    STEP_PACK,
    STEP_LAST_COAT,
    STEP_OPEN,
    STEP_PROVE,
    STEP_COUNT
} works_step;

typedef struct {
    works_step step;
    const char *code, *title;
    int people[WORKER_KINDS];
    unsigned plant;
    bool noisy;
    int minutes; /* fixed; 0: from the hours of the estimate */
} works_step_kind;

#define PLANT_BIT(kind) (1u << (kind))

enum { WORKS_AFTER_MOST = 4 }; /* the step before; routed; the leak before in its plane; one to spare */

typedef struct {
    size_t n, first;   /* tasks: none where nothing is done */
    size_t plug, shut; /* the first of the plug (SIZE_MAX: none) and what closes last */
    size_t fresh;      /* the last that places anything */
    size_t open, face;
} works_leak_tasks;

/* A task's step and its lags, which grow. */
typedef struct {
    works_step step;
    schedule_after *after;
} works_made;

/* What is mixed for one part of a placing task; material NULL: nothing. */
typedef struct {
    takeoff_step step;
    takeoff_mix mix;
    works_batching sizes;
} works_mixing;

typedef struct {
    const survey *s;
    const leak_water *leaks;
    const repair_design *designs;
    const takeoff_job *takeoff;
    const estimate *price;
    const works_options *options;
    arena *memory;
    works_plan *out;
    fault *why;
    works_hours hours;
    works_crew crew;
    works_leak_tasks *of_leak;
    works_made *made; /* one a task */
    size_t n_made;
    moist_air air;
    int *cure_min; /* one a leak: where it is longer than cure_usual_min; NULL: nowhere */
    int cure_usual_min, tacky_min;
    int now_min; /* nothing new before; 0 where nothing was begun */
    bool cure_varies;
} works_making;

/* What a step of a leak, in so many parts, is and takes: minutes of one part, whole steps of WORKS_STEP_MIN. E_INPUT: nobody
 * may, no plant, sets too soon. */
status steps_look(const works_making *m, size_t leak, works_step step, int parts, works_step_kind *out);
/* The mix of one part, placed by so many hands, at the temperature asked for. */
status steps_mix(const works_making *m, size_t leak, works_step step, int parts, int hands,
                 works_mixing *out);

status tasks_of_leak(works_making *m, size_t leak);
void tasks_tie(works_making *m, size_t task, size_t before, int min_lag, int max_lag);

/* Times of all tasks, bound and gap; `rounds`: how often it may be asked, so how little it may search each time. */
status problem_solve(works_making *m, int rounds);

/* The air of the job; how long a repair is kept from water. */
status curing_begin(works_making *m);
/* *again: a leak of the plan at hand cures longer than it was given, and is given more. */
status curing_look(works_making *m, bool last, bool *again);
/* Visits, warnings and alarms. */
status curing_add(works_making *m);

/* What a plan says once its tasks have times: shifts, people, batches, service. */
status filled_plan(works_making *m);
/* Before hands_assign: who had each task in the plan that was followed, if there is one. */
status filled_keep_workers(works_making *m);

status works_warn(works_making *m, const char *sentence); /* NULL: no memory */

#endif
