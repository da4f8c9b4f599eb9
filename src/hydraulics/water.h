/* water.h - properties of liquid water at atmospheric pressure.
 *
 * Model  viscosity: mu = 280.68 Tr^-1.9 + 511.45 Tr^-7.7 + 61.131 Tr^-19.6 + 0.45903 Tr^-40 uPa s, Tr = T/300
 * K (IAPWS SR6-08 eq. 7, read through a page that quotes it; 253 to 383 K); density: Tanaka et al. 2001
 * (coefficients: value from memory; within 0.001 kg/m3 of IAPWS SR6-08 from 0 to 40 C, computed by us);
 *        vapour pressure: Buck 1996 (value from memory; within 0.04 % of IAPWS-IF97 from 5 to 40 C).
 * Units  SI, degrees Celsius.   Limits  0 to 60 C, 0.1 MPa.   Threads  no shared state. */
#ifndef STANCH_HYDRAULICS_WATER_H
#define STANCH_HYDRAULICS_WATER_H

#include "core/fault.h"

#define WATER_COLDEST_C 0.0
#define WATER_WARMEST_C 60.0

typedef struct {
    double density_kg_m3;
    double viscosity_pa_s;
    double kinematic_viscosity_m2_s; /* viscosity over density */
    double vapour_pressure_pa;
} water_properties;

/* All four at one temperature. E_INPUT outside 0 to 60 C; *out is zeroed on error. */
status water_at(double temperature_c, water_properties *out, fault *why);

#endif
