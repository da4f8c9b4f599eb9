/* plane.h - steady seepage in the plane of a crack: where the water comes out, and how much.
 *
 * Model  chainage x along the trace, depth y from the dry face through the wall; piezometric head h in m:
 *            div(T grad h) = 0,   T = xi g w^3 / (12 nu)
 *        w linear between stations and linear through the wall (cubic law: Arabian J. Geosci. 2015, ARMA
 *        05-867; xi: crackflow.h). Wet face: h is the level below it, nothing passes above. Dry face and
 * slot: open to air, outflow only (pressure 0 where water leaves, nothing passes elsewhere), found by closing
 *        and opening sides until none changes. Sealed stretches, barriers, cut-off: nothing passes. Relief:
 * one head on its outline, drained by its tube (relief.h), no back-flow. Joins tie panels depth by depth from
 * the dry face. Method: plane_mesh.h. Source conventions of level, gravity and measured flows: our trade
 * rules 3 to 7. Units  SI, degrees Celsius.   Limits  saturated, no free surface, laminar (a warning says
 * where not); a join ties no depth at which one of the two is cut away.   Threads  no shared state; GSL's
 * error handler off. */
#ifndef STANCH_HYDRAULICS_PLANE_H
#define STANCH_HYDRAULICS_PLANE_H

#include "core/mem.h"
#include "hydraulics/plane_input.h"

typedef struct {
    plane_interval on;
    double flow_m3_s, max_head_m, mean_head_m; /* pressure head at dry face or slot bottom */
} plane_interval_result;
typedef struct {
    double flow_m3_s, back_head_m; /* back head: of the outline above the outlet; below 0 under suction */
    double head_m;                 /* piezometric, on the outline */
} plane_relief_result;
typedef struct {
    double pressure_head_m, piezometric_m; /* 0 and the elevation where there is no water or no crack */
    bool wet;
} plane_point_result;

typedef struct {
    double inflow_m3_s, outflow_m3_s, balance, flow_factor, largest_reynolds;
    size_t unknowns, passes; /* passes of the outflow iteration */
    bool settled;
    double *residuals_m3_s;           /* measured less computed, one for each measured */
    plane_interval_result *intervals; /* one for each report */
    size_t intervals_n;
    plane_relief_result *reliefs;
    plane_point_result *heads;
    const char **warnings;
    size_t warnings_n;
} plane_result;

/* The flow factor of a plane: given, or the one that fits its measured flows. */
typedef struct {
    double factor;
    maybe uncut_m3_s; /* out of the uncut plane at that factor, where a reading of it was fitted */
} plane_fitted;

/* Check (plane_check) and solve. Everything in *out lives in `memory`. E_INPUT; E_MEMORY; *out is zeroed on
 * error. */
status plane_solve(const plane_input *in, arena *memory, plane_result *out, fault *why);

#endif
