/* works.h - who does what when: the tasks of all repairs, scheduled on the site's people, plant and hours.
 *
 * Tasks  one for each step of a leak's card that takes somebody's time, in the order of the card, and the waits between them:
 *   setup scan cut (noisy) measure wash soak relief plug close_relief stopped first_coat pack last_coat, the mist visits of the
 *   cure (crew/cure.h), open (back to water; nobody's time) and prove; likewise ports surface_seal flush inject strip, rout prime backer
 *   seal, channel outlet. Minutes: the hours of estimate.h by work, split over its steps and the people who do them at once,
 *   times overhead and ladder factors; whole minutes in steps of WORKS_STEP_MIN.
 * Lags   soak at least WORKS_SOAK_MIN after wash; plug in the order of its plane, leak after leak of one group; pack at
 *   once after the first coat while it is tacky (max_lag); last coat at least WORKS_LAST_AFTER_MIN after the pack; open and prove after the cure.
 * Limits of the schedule are those of crew/schedule.h: its bound and gap are told. Faces in rising `turn`; a face of access
 *   lift takes one for all its tasks; noisy tasks in the noise hours; no task over a break or the end of a shift: a longer
 *   one is split into parts that follow each other ("cut 1 of 3"), save the placing of a mix.
 * Time   minutes from 0 h of the first day of work (survey_work.start_on), local time; without a first day, day 1, 2, ...
 * Threads  no shared state. */
#ifndef STANCH_WORKS_WORKS_H
#define STANCH_WORKS_WORKS_H

#include "crew/schedule.h"
#include "price/estimate.h"
#include "works/batches.h"
#include "works/hands.h"

enum { WORKS_DAY_MIN = 24 * 60 };
#define WORKS_STEP_MIN 5 /* our default: nobody plans finer */
#define WORKS_SOAK_MIN                                                                                       \
    600 /* about 10 h (read through a page that quotes it); shorter where the concrete leaks: site.md 2.3 */
#define WORKS_LAST_AFTER_MIN 60 /* our default: the pack takes its mist before the last coat */
#define WORKS_TACKY_MIN 10      /* our default: a brushed slurry stays tacky about so long */

typedef enum { WORKER_CUTTER, WORKER_PLACER, WORKER_MIXER, WORKER_ANY, WORKER_KINDS } works_skill;

typedef struct works_task {
    const char *id;    /* "N1 cut", "N1 cut 2 of 3", "cure N 2026-03-05 10:00" */
    const char *title; /* as on the card */
    const char *step;  /* code of the card's step, or "setup", "open", "mist" */
    size_t leak;       /* index; of a mist visit: SIZE_MAX */
    size_t face;       /* index in the survey */
    int part, parts;   /* 1 of 1 where it was not split */
    int minutes, people[WORKER_KINDS];
    unsigned plant;          /* bits of survey_plant */
    bool noisy, done, begun; /* done, begun: as recorded (again.h); its times are those of the records */
    const schedule_after *after;
    size_t n_after;
    int start_min, end_min;
    int *workers; /* indices of works.workers, sum of people; set by hands.h */
    size_t n_workers;
    const works_batch *batches; /* of a placing task; batches.h */
    size_t n_batches;
} works_task;

typedef struct {
    int from_min, to_min; /* one stretch of a shift between breaks */
    int day;              /* from 0 */
} works_shift;

typedef struct works_plan {
    const char *start_on; /* NULL: not told */
    works_task *tasks;
    size_t n_tasks;
    works_shift *shifts; /* as many as the plan needs, and some more */
    size_t n_shifts;
    const char **workers; /* names, or "1", "2" ... */
    size_t n_workers;
    int makespan_min, lower_bound_min; /* 0 without tasks */
    double gap_percent;
    long schedules;
    int out_from_min, out_to_min;  /* out of service: first cut or wet work to the last opening to water */
    int back_min;                  /* start of the shift of site.work.back_on; -1: not told */
    bool late;                     /* out_to_min lies behind it ... */
    int late_min;                  /* ... by so much */
    works_day_exposure *exposures; /* by worker and day; hands.h */
    size_t n_exposures;
    const char **warnings;
    size_t n_warnings;
} works_plan;

typedef struct {
    long schedules; /* of the search; 0: chosen by the number of tasks so that it stays under about 10 s */
    uint64_t seed;
    const atomic_bool *stop;
    maybe
        temperature_c; /* of air, wall and mix, instead of the site's: what would the plan be at 5 C, at 35 C */
    const size_t
        *after_leak; /* NULL, or one a leak: whose plug is closed before this one's begins; SIZE_MAX: none */
    const struct works_past *past; /* NULL, or what was recorded: again.h */
} works_options;

/* What the stages before made of a job; arrays in the order of the survey's defects. */
typedef struct {
    const survey *s;
    const leak_water *leaks;
    const repair_design *designs;
    const takeoff_job *takeoff;
    const estimate *price;
} works_stages;

/* Everything in `memory`. E_INPUT with one sentence where no plan can be: a task longer than every stretch of a shift, nobody
 * who may cut, no lift for a face that needs one. */
status works_make(const works_stages *job, const works_options *options, arena *memory, works_plan *out,
                  fault *why);

#endif
