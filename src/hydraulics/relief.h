/* relief.h - a tube that drains a leak while the plug round it sets.
 *
 * Model  head lost in entry, wall and exit uses up the head at the tube (Darcy-Weisbach):
 *            h + s/(rho g) = [K_in + K_out + f L/D] V^2/(2 g),   Q = V pi D^2/4
 *        f from friction.h, s the suction at the outlet. Coupled to a crack of conductance C under the head H
 * the head left behind the plug is what the crack has not used: h = H - Q/C. Both are one equation for V,
 *        increasing in V, solved between two bounds that hold the root.
 * Source f (L/D) V^2/(2g): Katz, Automotive Aerodynamics, ex. 9.8. K_in 0.8-1.0 for a projecting inlet (data
 *        sheet; the choice for a tube in a slot is our default 0.8), any exit 1.0 (Idelchik p. 349).
 *        Roughness 0.0015 mm for smooth plastic: common practice.
 * Units  SI.   Limits  full bore, steady, bore 1 to 500 mm.   Threads  no shared state; GSL's error handler
 *        must be off, as main sets it. */
#ifndef STANCH_HYDRAULICS_RELIEF_H
#define STANCH_HYDRAULICS_RELIEF_H

#include "core/fault.h"

#define RELIEF_NARROWEST_M 0.001
#define RELIEF_WIDEST_M 0.5
#define RELIEF_SHORTEST_M 0.001
#define RELIEF_LONGEST_M 1000.0
#define RELIEF_HIGHEST_M 1000.0
#define RELIEF_MOST_LOSS 100.0
#define RELIEF_MOST_SUCTION_PA 100000.0 /* about one atmosphere: no more can be drawn */
#define RELIEF_MOST_CONDUCTANCE 1e6

typedef struct {
    double bore_m, length_m;
    double roughness_m;           /* >= 0, at most 0.05 of the bore */
    double entry_loss, exit_loss; /* >= 0 */
    double suction_pa;            /* >= 0, below atmospheric, at the outlet */
    double temperature_c;         /* of the water */
} relief_tube;

typedef struct {
    double flow_m3_s;   /* through the tube */
    double back_head_m; /* left behind the plug; below 0 where suction draws air */
    double velocity_m_s;
    double reynolds;
    double friction_factor; /* 0 when nothing flows */
} relief_result;

/* Head lost in entry, wall and exit at a velocity >= 0, for a liquid of any viscosity > 0. No checks. */
double relief_head_lost_m(const relief_tube *tube, double kinematic_viscosity_m2_s, double velocity_m_s);

/* The tube alone under `head_m` >= 0 (back_head_m is then that head). E_INPUT names the value out of range;
 * *out is zeroed on error. */
status relief_flow(const relief_tube *tube, double head_m, relief_result *out, fault *why);

/* The tube against a crack that passes `conductance_m2_s` > 0 times the head used in it, under `head_m` >= 0.
 */
status relief_balance(const relief_tube *tube, double conductance_m2_s, double head_m, relief_result *out,
                      fault *why);

#endif
