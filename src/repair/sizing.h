/* sizing.h - what the files that size one repair share; for src/repair only.
 *
 * One leak at a time: survey, its water, its diagnosis and method come in, sizes go into *out, questions into `findings`.
 * Each size_* does one family of methods and is called by design_size alone.
 * Units  SI.   Threads  no shared state.   Errors  E_MEMORY unless said. */
#ifndef STANCH_REPAIR_SIZING_H
#define STANCH_REPAIR_SIZING_H

#include "repair/design.h"

#define SIZING_PACK_LEAST_M 0.0185 /* upper half of the 37 mm slot, common practice: the least pack wanted */
#define SIZING_PACK_LIFT_M                                                                                   \
    0.010 /* one rammed lift (UFGS 03931 3.8.2): the least pack over a plug held up by steel */
#define SIZING_CUT_LEAST_M 0.015               /* our default: shallower than this is no slot */
#define SIZING_RELIEF_FLOW_M2_S (10.0 / 60000) /* 10 l/min a metre, our default */
#define SIZING_TIE_HOLE_M 0.025                /* tie hole whose diameter was not told, our default */
#define SIZING_CONE_DEG 10.0                   /* flank of a hole cut as a cone, our default */

typedef struct {
    const survey *s;
    const leak_water *leak;
    const diagnosis *why_leaks;
    arena *memory;
    finding_list *findings;
    repair_design *out;
    fault *why;
} sizing;

status size_line(sizing *z);      /* slot.c: slot and plug, slot without plug */
status size_point(sizing *z);     /* place.c: hole, ring */
status size_patch(sizing *z);     /* place.c: cut back */
status size_relief(sizing *z);    /* relief_hole.c: after one of the above */
status size_injection(sizing *z); /* injection_plan.c */
status size_flexible(sizing *z);  /* flexible_plan.c */
status size_drain(sizing *z);     /* drain_plan.c */

/* Head and pressure at the design level, bond of the faces; of a cone, what its flanks stand for (steel.h). */
status sizing_take_head(sizing *z, double head_m);

/* Head, plug and depth of a cut that is at least `trade_m` deep. In a floor its bottom lies lower by its depth, so that the
 * head grows with the cut (trade rule 2). */
status sizing_settle(sizing *z, double head_m, double area_per_perimeter_m, double trade_m, double *depth_m,
                     design_depth_reason *reason);

/* Plug and pack in a depth, and whether they hold; the depth that the plug may take at most. */
design_slot sizing_fill(const sizing *z, double from_m, double to_m, double depth_m,
                        design_depth_reason reason);
double sizing_plug_room_m(const sizing *z, double depth_m);
status sizing_add_slot(sizing *z, design_slot slot);
double sizing_deepest_m(const sizing *z); /* of the slots */

/* ASK `code` about this leak. */
status sizing_ask(sizing *z, const char *code, const char *sentence);
/* As units_show in the job's units, in the arena: sizes 37 mm | 1.46 in, lengths 2.00 m | 6.56 ft. NULL without memory. */
const char *sizing_show(const sizing *z, units_quantity q, double si);

/* Does any steel limit less than `depth_m` between two chainages; is any of it not scanned (or without cover)? */
bool sizing_not_scanned(const sizing *z, double from_m, double to_m);
maybe sizing_steel_allows(const sizing *z, double from_m,
                          double to_m); /* the least; not known: no steel there */

/* steel_ask.c: the question where steel leaves less than `wanted_m`, with the remedies; fills out->advice.
 * `others`: how many more stretches are as short. */
status sizing_ask_steel(sizing *z, const steel_stretch *worst, double wanted_m, size_t others);

/* From the first wet place of a line to the last, `past_m` further at both ends, held within the trace; the whole trace where
 * nothing is wet. */
leak_stretch sizing_wet_hull(const sizing *z, double past_m);

double sizing_around_m(const survey_part *ring); /* the length round an area */

/* Chainage of the wettest station, of the strongest flow among equals; 0 without stations. */
double sizing_worst_chainage(const leak_water *leak);

#endif
