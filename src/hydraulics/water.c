#include "hydraulics/water.h"

#include "core/limits.h"

#include <math.h>

#define ZERO_CELSIUS_K 273.15 /* definition of the Celsius scale */

/* IAPWS SR6-08 eq. 7, in uPa s. */
static double viscosity_upa_s(double temperature_c) {
    double tr = (temperature_c + ZERO_CELSIUS_K) / 300;
    return 280.68 * pow(tr, -1.9) + 511.45 * pow(tr, -7.7) + 61.131 * pow(tr, -19.6) + 0.45903 * pow(tr, -40);
}

/* Tanaka et al. 2001, coefficients from memory. */
static double density_kg_m3(double t) {
    return 999.974950 * (1 - (t - 3.983035) * (t - 3.983035) * (t + 301.797) / (522528.9 * (t + 69.34881)));
}

/* Buck 1996, coefficients from memory. */
static double vapour_pressure_pa(double t) {
    return 611.21 * exp((18.678 - t / 234.5) * t / (257.14 + t));
}

status water_at(double temperature_c, water_properties *out, fault *why) {
    *out = (water_properties){0};
    limits_item limits[] = {{"temperature_c", temperature_c, WATER_COLDEST_C, WATER_WARMEST_C, false}};
    status code = limits_check(limits, 1, why);
    if (code != OK) return code;
    out->density_kg_m3 = density_kg_m3(temperature_c);
    out->viscosity_pa_s = viscosity_upa_s(temperature_c) * 1e-6;
    out->kinematic_viscosity_m2_s = out->viscosity_pa_s / out->density_kg_m3;
    out->vapour_pressure_pa = vapour_pressure_pa(temperature_c);
    return OK;
}
