/* injection.h - a crack filled through ports: how many, where the holes go, how much goes in.
 *
 * Model   n = ceil(L/s) + 1 ports;  a hole drilled at angle a from beside the crack meets it at half the thickness:
 *         offset = (t/2)/tan a, length = (t/2)/sin a;  V = L w t x void factor x (1 + waste)
 * Source  ports and holes: trade page diagnosis.md 7.1 to 7.3 (EN and UFC rules through it; the count and the geometry are
 *         computed by us, the void factor and waste are our defaults).
 * Spacing the smallest that applies: the depth of the crack (through cracks: the thickness; TxDOT), 150 mm (UFC 4-150-07).
 * Units   SI; degrees of angle.   Threads  no shared state. */
#ifndef STANCH_REPAIR_INJECTION_H
#define STANCH_REPAIR_INJECTION_H

#include "core/fault.h"

#define INJECTION_ANGLE_DEG 45.0       /* value from memory */
#define INJECTION_VOID 1.3             /* our default: what runs off into the crack's branches and pores */
#define INJECTION_WASTE 0.10           /* our default */
#define INJECTION_HONEYCOMB_VOIDS 0.10 /* of honeycomb, by volume, our default */
#define INJECTION_SPACING_M 0.15       /* UFC 4-150-07 CR-1, surface sealed, bottom upwards */

typedef struct {
    double length_m, width_m, thickness_m, spacing_m, angle_deg, void_factor, waste_fraction;
} injection_input;

typedef struct {
    int ports;
    double offset_m, hole_length_m;
    double net_m3, order_m3;
} injection_result;

/* E_INPUT names the value out of range; *out is zeroed on error. */
status injection_size(const injection_input *in, injection_result *out, fault *why);

#endif
