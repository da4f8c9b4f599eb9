/* steel.h - what the reinforcement leaves of a slot: the deepest safe cut along a leak, and what helps where a plug wants more.
 *
 * Model  saw depth = cover - 10 mm (our default). A crossing bar limits within half a bar + 20 mm of it; a bar along the
 *   crack limits the stretch of its station, half the way to each neighbour; not scanned limits to nothing known: a hold
 *   point, never an assumed cover (trade rule 13).
 * Remedies  for a plug of depth d in a slot of width b: d = SF p b/(2 tau) (plug.h). A NARROWER slot wants less depth (a
 *   wider one more: b/d is fixed); chipped faces raise tau from 0.05 to 0.15 MPa; an undercut carries part of the load in
 *   compression on its flanks; a stronger plug needs tau = SF p b/(2 d); else injection, or a relief kept open for good.
 * Units  SI.   Threads  no shared state. */
#ifndef STANCH_REPAIR_STEEL_H
#define STANCH_REPAIR_STEEL_H

#include "hydraulics/leak.h"
#include "repair/plug.h"

#define STEEL_CLEAR_M 0.010         /* saw depth = cover - 10 mm, our default */
#define STEEL_CROSSING_PAST_M 0.020 /* trade rule 13 */
#define STEEL_BAR_M 0.016           /* bar diameter where it was not told, our default */

typedef struct {
    double from_m, to_m; /* chainage; a crossing bar: its reach */
    survey_bar bar;      /* BAR_NOT_SCANNED, BAR_CROSSING or BAR_ALONG */
    maybe
        allowed_m; /* depth of a safe cut, whole millimetres, >= 0; not known: not scanned, or a bar without cover */
} steel_stretch;

typedef struct {
    steel_stretch *stretches; /* rising; only where something limits */
    size_t n;
    maybe
        usual_m; /* depth that is safe over more than half of the wet length; not known: not scanned there */
    bool all_scanned;
} steel_limits;

/* Of one leak, in `memory`. E_MEMORY. */
status steel_look(const leak_water *leak, arena *memory, steel_limits *out, fault *why);

typedef enum {
    REMEDY_CHIPPED,
    REMEDY_NARROWER,
    REMEDY_UNDERCUT,
    REMEDY_STRONGER,
    REMEDY_INJECT,
    REMEDY_COUNT
} steel_remedy;
extern const char *const steel_remedy_words[REMEDY_COUNT]; /* "chipped faces" ... */

typedef struct {
    steel_remedy name;
    bool enough;    /* holds at the allowed depth */
    double depth_m; /* that the plug then wants; 0 where it is no depth (injection) */
    double
        value; /* narrower: width, m; undercut: angle of a flank, degrees; stronger: bond wanted, Pa; else 0 */
} steel_advice;

/* The bond that a straight slot would need to hold as one whose flanks lean out by a, under load_pa = SF p.
 * A dovetail of mouth b and depth d: along the push a flank gives bond tau d (its length is d/cos a, of which cos a counts:
 * the longer flank gains nothing) and compression sigma d tan a; the water presses on the wider base b + 2 d tan a; and the
 * mortar may shear straight back from the mouth:
 *     SF p (b + 2 d tan a) = 2 d (tau + sigma tan a),   SF p b <= 2 d tau_mouth
 *     bond = min(tau + (sigma - SF p) tan a, tau_mouth),   sigma 1.0 MPa, tau_mouth 0.19 MPa (our defaults, steel.c)
 * A round hole with a cone holds at least as well (its flank is projected on a ring), so the same is taken. */
double steel_undercut_bond_pa(double load_pa, double bond_pa, double degrees);

/* What helps where `allowed_m` is less than the plug wants, in the order above, each with its numbers. `advice` takes
 * REMEDY_COUNT. E_INPUT names the value out of range. */
status steel_advise(double pressure_pa, double slot_width_m, plug_faces faces, double safety_factor,
                    double allowed_m, steel_advice advice[REMEDY_COUNT], fault *why);

#endif
