/* plug.h - how deep a plug must be for the water not to push it out.
 *
 * Model  the pressure on the plug's face is carried by bond on its perimeter:
 *            tau = p A/(P d),   d_needed = SF p (A/P)/tau_bond
 *        A/P: slot of width b (long) b/2; rectangle a x b: a b/(2 (a + b)); circle: D/4. The pressure acts on
 * the whole width of the slot, since water in the crack also stands behind the bond line (our judgement).
 * Source force balance, computed by us. With tau = f_c/2 it is the rule of Garrett and Campbell Pitt for mine
 *        plugs (read through a permit file that quotes it). Bond: sawn faces 0.05 MPa, chipped faces 0.15
 * MPa, and the safety factor 4: our defaults. Units  SI.   Limits  a water seal, not a structural repair; no
 * bond before the final set has been observed.   Threads  no shared state. */
#ifndef STANCH_REPAIR_PLUG_H
#define STANCH_REPAIR_PLUG_H

#include "core/fault.h"

#include <stdbool.h>

#define PLUG_BOND_SAWN_PA 0.05e6    /* our default: smooth sawn faces */
#define PLUG_BOND_CHIPPED_PA 0.15e6 /* our default: chipped, rough faces; material factors are in it */
#define PLUG_SAFETY 4.0             /* our default */
#define PLUG_HIGHEST_M 1000.0
#define PLUG_SMALLEST_M 0.001
#define PLUG_LARGEST_M 10.0

typedef enum { PLUG_SLOT, PLUG_RECTANGLE, PLUG_CIRCLE } plug_shape;
typedef enum { PLUG_SAWN, PLUG_CHIPPED } plug_faces;

typedef struct {
    plug_shape shape;
    double width_m;       /* of the slot or rectangle; the diameter of a circle */
    double length_m;      /* of a rectangle; not read otherwise */
    double depth_m;       /* of the plug along the pressure */
    double bond_pa;       /* design shear on the perimeter */
    double safety_factor; /* wanted */
    double head_m;        /* >= 0, full static head */
    double temperature_c; /* of the water */
} plug_input;

typedef struct {
    double pressure_pa;
    double shear_pa;       /* on the perimeter, at the given depth */
    double safety_found;   /* bond over shear; infinite under no head */
    double depth_needed_m; /* for the wanted safety factor */
    bool holds;            /* depth reaches depth_needed */
} plug_result;

double plug_bond_pa(plug_faces faces);

/* Face area over perimeter, m. */
double plug_area_per_perimeter_m(plug_shape shape, double width_m, double length_m);

/* Depth wanted for a pressure, all > 0 save the pressure, which may be 0. No checks: for loops over many
 * plugs whose inputs were checked. */
double plug_depth_m(double pressure_pa, double area_per_perimeter_m, double bond_pa, double safety_factor);

/* E_INPUT names the value out of range; *out is zeroed on error. */
status plug_compute(const plug_input *in, plug_result *out, fault *why);

#endif
