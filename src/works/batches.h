/* batches.h - what is mixed when: the batches of each placing task, so that nothing sets in the pail.
 *
 * Model  a placing task has a volume, a rate of placing and a time that the mix can be used (takeoff_mix: pot life at the
 *   mix temperature; of plug also its set at the warmer of wall and leaking water). No batch is larger than is placed within
 *   TAKEOFF_USED_PART of that time; n = least number of such. All is measured in whole marks of a tub: powder by its loose
 *   bulk density, resin and sealant as mixed. The batches are as equal as marks allow: the first `larger` hold one mark more.
 *   What is mixed is then the need rounded up to one mark, the least that whole marks can; the remainder is waste.
 *   A batch is mixed WORKS_MIX_S after the one before is placed; none is mixed that could not be placed before the break.
 * Clock  mixed, placed and use-by are whole minutes of works.h, each rounded down from the exact second, so that a batch that
 *   is placed in time is so in minutes too; `usable_s` tells what a minute is too coarse for (plug).
 * Units  SI.   Threads  no shared state. */
#ifndef STANCH_WORKS_BATCHES_H
#define STANCH_WORKS_BATCHES_H

#include "takeoff/takeoff.h"

#define WORKS_TUB_M3 0.010 /* a 10 l tub with marks every tenth, our default */
#define WORKS_CUP_M3 0.001 /* a 1 l cup, likewise: where a batch is less than a tub of powder or mix */
#define WORKS_TUB_PARTS 10
#define WORKS_MIX_S 60.0 /* measured out and stirred between two batches, our default */

typedef struct {
    takeoff_step step; /* of powders; MIX_COUNT: resin or sealant */
    const survey_material *material;
    double volume_m3, powder_kg, water_m3; /* as mixed; powder_kg and water_m3 are 0 for resin and sealant */
    double tub_m3;                         /* WORKS_TUB_M3 or WORKS_CUP_M3: to be measured with */
    double powder_tubs, water_tubs;        /* of tub_m3; of resin and sealant powder_tubs is the mix */
    double placed_m3;                      /* of it; less than volume_m3 in the last batch */
    double usable_s;                       /* HUGE_VAL: not known */
    int mixed_min, use_by_min, placed_min; /* use_by_min: INT_MAX where usable_s is not known */
} works_batch;

typedef struct {
    double needed_m3, mixed_m3; /* waste_m3 = mixed - needed */
    int n;
    int minutes;       /* that placing takes, mixing between batches included, rounded up */
    int marks, larger; /* a batch holds `marks` of them, the first `larger` one more */
    double mark_m3;    /* mixed volume that one mark gives */
    double tub_m3, place_m3_min, usable_s;
} works_batching;

/* What is mixed for a step of a leak: its mix, or for MIX_COUNT its fill as a mix without powder (usable_s HUGE_VAL where it
 * is not known). `material` NULL: nothing. */
takeoff_mix batches_mix(const takeoff_leak *leak, takeoff_step step);

/* Sizes of the batches of one mix, before it has a place in time. `place_m3_min` > 0: takeoff_place_m3_min (takeoff.h);
 * `usable_s` > 0. E_INPUT: the material sets before a mark of a cup is placed. */
status batches_size(const takeoff_mix *mix, double place_m3_min, double usable_s, works_batching *out,
                    fault *why);

/* Minutes, rounded up, that `n` batches from the `first` on (from 0) take; and how many of them can be placed in so many
 * minutes, so that a task longer than a stretch of a shift can be split between batches. */
int batches_minutes(const works_batching *sizes, int first, int n);
int batches_fit(const works_batching *sizes, int first, int minutes);

/* Some of the batches, and when: the first is mixed at start_min; until_min: the next break or the end of the shift. */
typedef struct {
    takeoff_step step;
    int first, n;
    int start_min, until_min;
} works_stint;

/* Their list, stint->n of it, in `memory`. E_STATE names the batch that could not be placed before the break. */
status batches_list(const takeoff_mix *mix, const works_batching *sizes, const works_stint *stint,
                    arena *memory, works_batch **list, fault *why);

/* The plan's figures at another temperature of mix, wall and water: how many batches, their size, their use-by. */
typedef struct {
    double temperature_c, usable_s, set_s, waste_m3, batch_m3; /* the largest batch */
    int batches;      /* 0: nothing is mixed, or it may not be placed */
    const char *told; /* NULL, or why it may not be placed at this temperature; then nothing is computed */
} works_batches_at;
status batches_at(const survey *s, const takeoff_leak *leak, takeoff_step step, double temperature_c,
                  arena *memory, works_batches_at *out, fault *why);

#endif
