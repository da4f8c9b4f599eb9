/* friction.h - Darcy-Weisbach friction factor of a round tube.
 *
 * Model  laminar f = 64/Re below Re 2000; above Re 4000 Colebrook-White (Clamond 2009)
 *            1/sqrt f = -2 log10[(e/D)/3.7 + 2.51/(Re sqrt f)];
 *        between the two f is linear in Re, from 0.032 to Colebrook at 4000. 64/Re: value from memory; the
 *        linear blend: our default.
 * Limits e/D 0 to 0.05.   Threads  no shared state. */
#ifndef STANCH_HYDRAULICS_FRICTION_H
#define STANCH_HYDRAULICS_FRICTION_H

#define FRICTION_LAMINAR_RE 2000.0
#define FRICTION_TURBULENT_RE 4000.0
#define FRICTION_ROUGHEST 0.05 /* e/D; the range over which Colebrook is used */

/* Colebrook's factor to rounding. Re >= FRICTION_TURBULENT_RE / 2, 0 <= relative_roughness <= 0.05. */
double friction_colebrook(double reynolds, double relative_roughness);

/* The factor for any Re > 0. */
double friction_factor(double reynolds, double relative_roughness);

#endif
