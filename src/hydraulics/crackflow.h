/* crackflow.h - water through a crack: from its width the flow, and from a measured flow back.
 *
 * Model  two plane walls, steady flow across the wall thickness t under the head H:
 *            H = [12 nu t / (xi g w^2)] V + K V^2 / (2 g),   q = V w
 *        xi the flow factor on the smooth law (walls that are rough or touch), K entry and exit loss. With K
 * = 0 this is the cubic law q = xi g w^3 (H/t) / (12 nu). A width that changes linearly from w1 to w2 along
 * the flow counts as w^3 = 2 w1^2 w2^2 / (w1 + w2). Source cubic law: Arabian Journal of Geosciences 2015,
 * s12517-015-2036-8; ARMA 05-867. Taper: computed by us, exact for lubrication flow. xi = 0.25 and K = 1.5:
 * our defaults; published bands of xi are 0.17-0.25 (Akhavan et al. 2012, abstract) and 0.02-0.5 (value from
 * memory). Units  SI.   Limits  saturated crack; up to about 0.3 mm the losses do not matter, above about
 * 0.5-1 mm the result is an upper bound.   Threads  no shared state. */
#ifndef STANCH_HYDRAULICS_CRACKFLOW_H
#define STANCH_HYDRAULICS_CRACKFLOW_H

#include "core/fault.h"

#define CRACKFLOW_WIDEST_M 0.05       /* our limit: wider is a hole, not a crack */
#define CRACKFLOW_THINNEST_M 0.001    /* our limit */
#define CRACKFLOW_THICKEST_M 50.0     /* our limit */
#define CRACKFLOW_HIGHEST_M 1000.0    /* our limit on the head */
#define CRACKFLOW_MOST_LOSS 100.0     /* our limit on K */
#define CRACKFLOW_FACTOR 0.25         /* our default, see above */
#define CRACKFLOW_LOSS 1.5            /* our default, see above */
#define CRACKFLOW_INERTIA_RE 20.0     /* Geofluids 2021, 6612378: onset 21.79 to 185.19 in rough fractures */
#define CRACKFLOW_TURBULENT_RE 2300.0 /* Louis, Lomize (value from memory) */

typedef struct {
    double width_dry_m, width_wet_m; /* at the two faces; equal for an even crack; 0 is a closed crack */
    double thickness_m;              /* along the flow */
    double head_m;                   /* driving head, >= 0 */
    double temperature_c;            /* of the water */
    double flow_factor;              /* xi, above 0, at most 1 */
    double loss_coefficient;         /* K, >= 0 */
} crackflow_input;

typedef enum { CRACKFLOW_LAMINAR, CRACKFLOW_INERTIAL, CRACKFLOW_TURBULENT } crackflow_regime;

typedef struct {
    double hydraulic_width_m; /* of the taper, before the flow factor */
    double flow_m2_s;         /* per metre of crack, with losses */
    double flow_cubic_m2_s;   /* without losses */
    double velocity_m_s;      /* flow over hydraulic width; 0 in a closed crack */
    double reynolds;          /* 2 q / nu, q with losses */
    crackflow_regime regime;
} crackflow_result;

/* Width of an even crack that passes as much as one tapering linearly from `a_m` to `b_m`; 0 when either is
 * 0. Both >= 0. */
double crackflow_taper_width(double a_m, double b_m);

/* Flow per metre of crack. E_INPUT names the value out of range; *out is zeroed on error. */
status crackflow_compute(const crackflow_input *in, crackflow_result *out, fault *why);

/* The flow factor that makes `in` (its own flow_factor is not read) pass `flow_m2_s` > 0 with losses. May
 * come out above 1: the caller says so. E_INPUT when the losses alone use up the head. */
status crackflow_factor_from_flow(const crackflow_input *in, double flow_m2_s, double *factor, fault *why);

/* Width of the smooth crack that passes `flow_m2_s` > 0 under `gradient` > 0 by the cubic law:
 * w = (12 nu q / (g i))^(1/3). E_INPUT names the value out of range. */
status crackflow_width_from_flow(double flow_m2_s, double gradient, double temperature_c, double *width_m,
                                 fault *why);

/* "laminar", "inertial" or "turbulent". */
const char *crackflow_regime_name(crackflow_regime regime);

#endif
