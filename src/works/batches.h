/* batches.h - what is mixed when: the batches of each placing task, so that nothing sets in the pail.
 *
 * Model  a placing task has a volume, a rate of placing and a time that the mix can be used (takeoff_mix: pot life at the
 *   mix temperature; of plug also its set at the warmer of wall and leaking water; 80 % of it counted). n = least number of
 *   batches none of which is larger than can be placed in that time. They are of one size, rounded up to WORKS_TUB parts of a
 *   measuring tub, so that the unplaced remainder is least; the remainder is counted as waste. A batch is mixed when the one
 *   before is placed; none is mixed that could not be placed before the next break.
 * Units  SI; minutes on the clock of works.h.   Threads  no shared state. */
#ifndef STANCH_WORKS_BATCHES_H
#define STANCH_WORKS_BATCHES_H

#include "takeoff/takeoff.h"

#define WORKS_TUB_M3 0.010 /* a 10 l tub with marks every tenth, our default */
#define WORKS_TUB_PARTS 10

typedef struct {
    takeoff_step step; /* of powders; MIX_COUNT: resin or sealant */
    const survey_material *material;
    double volume_m3, powder_kg, water_m3; /* as mixed; powder_kg and water_m3 are 0 for resin and sealant */
    double powder_tubs, water_tubs;        /* of WORKS_TUB_M3, by the loose bulk density */
    int mixed_min, use_by_min, placed_min; /* whole minutes, the use rounded down */
} works_batch;

typedef struct {
    double needed_m3, mixed_m3; /* waste_m3 = mixed - needed */
    int n;
    int minutes; /* that placing takes, mixing between batches included */
} works_batching;

/* Sizes of the batches of one mix or fill at the given working times, before it has a place in time. `usable_s` > 0. */
status batches_size(const takeoff_mix *mix, double place_m3_min, double usable_s, works_batching *out,
                    fault *why);

/* The list from `start_min` on, in `memory`, n of it. */
status batches_list(const takeoff_mix *mix, const works_batching *sizes, int start_min, double usable_s,
                    arena *memory, works_batch **list, fault *why);

/* The plan's figures at another temperature of mix, wall and water: how many batches, their size, their use-by. */
typedef struct {
    double temperature_c, usable_s, set_s, waste_m3;
    int batches;
} works_batches_at;
status batches_at(const survey *s, const takeoff_mix *mix, takeoff_step step, double temperature_c,
                  works_batches_at *out, fault *why);

#endif
