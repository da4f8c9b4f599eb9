/* leak.h - the water at one defect: head and pressure at each station, flow expected or measured, grade.
 *
 * Model  driving head = level - elevation of the dry face (trade rule 3); crack flow by the cubic law with entry and
 *   exit losses (crackflow.h), integrated along the wet stretches with width and head straight between stations; this is
 *   the one-dimensional estimate, straight through the wall. Timed readings give one flow factor by least squares on
 *   litres (trade rule 4). A drip count is a rank and never litres.
 * Wet stretch  a run of neighbouring stations that are not dry, from its first to its last station; a single wet
 *   station stands for half the way to each neighbour.
 * Units  SI, degrees Celsius.   Threads  no shared state. */
#ifndef STANCH_HYDRAULICS_LEAK_H
#define STANCH_HYDRAULICS_LEAK_H

#include "core/fault.h"
#include "hydraulics/crackflow.h"
#include "hydraulics/leakgrade.h"
#include "survey/trace.h"

#define LEAK_WATER_C 10.0 /* our default where the leaking water was not measured */

typedef enum { FLOW_UNKNOWN, FLOW_EXPECTED, FLOW_MEASURED } leak_flow_basis;

typedef struct {
    double chainage_m, elevation_m, thickness_m;  /* of its face */
    double head_today_m, head_design_m;           /* >= 0 */
    double pressure_today_pa, pressure_design_pa; /* behind everything shut */
    maybe width_hydraulic_m; /* of the width times the cube root of the flow factor used */
    maybe flow_m2_s;         /* per metre of crack, today */
    double reynolds;         /* 0 without a flow */
} leak_station;

typedef struct {
    double from_m, to_m;
    survey_wetness worst;
} leak_stretch;

typedef struct {
    const survey_defect *defect;
    leak_station *stations; /* one for each of the defect's stations, or one at a point or area without any */
    size_t n_stations;
    leak_stretch *wet;
    size_t n_wet;
    double length_m, wet_m;
    bool level_known; /* false: no level at all, heads are 0 */
    double level_today_m, level_design_m;
    survey_known today_known, design_known;
    double head_today_m, head_design_m; /* the largest along the trace */
    double thickness_m;                 /* at the first point */
    double water_c;
    bool water_assumed;
    maybe widest_m;           /* widest measured width */
    maybe flow_expected_m3_s; /* flow factor CRACKFLOW_FACTOR */
    maybe flow_smooth_m3_s;   /* flow factor 1: pump size (trade rule 7) */
    maybe flow_design_m3_s;   /* at the design level: so, or the measured flow raised, the larger */
    maybe flow_1d_m3_s;       /* this estimate with the factor found, else CRACKFLOW_FACTOR */
    maybe flow_measured_m3_s; /* sum of the latest timed readings of the uncut leak */
    maybe flow_factor;        /* found from measured flow and widths */
    maybe width_back_m;       /* hydraulic width found back from the measured flow over the wet stretch */
    leak_flow_basis basis;
    maybe flow_m3_s;       /* the one the plan uses: measured, else expected */
    maybe drips_per_min;   /* largest count */
    survey_wetness worst;  /* worst word at any station */
    leakgrade grade;       /* measured flow decides, else the worst word */
    const char **warnings; /* sentences */
    size_t n_warnings;
} leak_water;

/* Fill *out, allocated in `memory`. E_MEMORY, or E_INPUT when a face is missing. */
status leak_look(const survey *s, const survey_defect *d, arena *memory, leak_water *out, fault *why);

/* The grade that a wetness word stands for; `run` without a measured flow counts as its lower band. */
leakgrade leak_grade_of_wetness(survey_wetness word);

/* As printed: "dry" ... "run below 1 l/min", "run above 1 l/min", "jet" (trade rule 19). */
const char *leak_grade_shown(leakgrade grade, units_system system);

#endif
