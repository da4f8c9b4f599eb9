/* settime.h - pot life and set time at another temperature.
 *
 * Model  t(T) = t_ref / f(T), f the Arrhenius rate of maturity.h; or the activation energy from two measured
 *        times: E = R ln(t1/t2) / (1/T1 - 1/T2).
 * Source our default; E = 40 kJ/mol: value from memory, to be overridden by data at two temperatures.
 * Units  minutes, degrees Celsius, J/mol.   Limits  0 to 60 C for the mix.   Threads  no shared state. */
#ifndef STANCH_CREW_SETTIME_H
#define STANCH_CREW_SETTIME_H

#include "core/fault.h"

#define SETTIME_COLDEST_C 0.0
#define SETTIME_WARMEST_C 60.0
#define SETTIME_LONGEST_MIN 100000.0

typedef struct {
    double minutes;
    double rate_factor; /* f(T): 1 at the reference, above 1 when warmer */
} settime_result;

/* E_INPUT names the value out of range; *out is zeroed on error. */
status settime_at(double minutes_at_reference, double reference_c, double temperature_c,
                  double activation_j_mol, settime_result *out, fault *why);

/* The activation energy that explains two times at two different temperatures. E_INPUT when a time is not
 * above 0, the temperatures are equal, or the colder one sets faster. */
status settime_activation(double minutes_1, double temperature_1_c, double minutes_2, double temperature_2_c,
                          double *activation_j_mol, fault *why);

#endif
