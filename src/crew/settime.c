#include "crew/settime.h"

#include "core/limits.h"
#include "crew/maturity.h"

#include <math.h>

#define ZERO_CELSIUS_K 273.15 /* definition of the Celsius scale */

status settime_at(double minutes_at_reference, double reference_c, double temperature_c,
                  double activation_j_mol, settime_result *out, fault *why) {
    *out = (settime_result){0};
    limits_item limits[] = {
        {"minutes_at_reference", minutes_at_reference, 0, SETTIME_LONGEST_MIN, true},
        {"reference_c", reference_c, SETTIME_COLDEST_C, SETTIME_WARMEST_C, false},
        {"temperature_c", temperature_c, SETTIME_COLDEST_C, SETTIME_WARMEST_C, false},
        {"activation_j_mol", activation_j_mol, 0, MATURITY_MOST_ACTIVATION_J_MOL, false},
    };
    status code = limits_check(limits, sizeof limits / sizeof limits[0], why);
    if (code != OK) return code;
    out->rate_factor = maturity_rate(temperature_c, reference_c, activation_j_mol);
    out->minutes = minutes_at_reference / out->rate_factor;
    return OK;
}

status settime_activation(double minutes_1, double temperature_1_c, double minutes_2, double temperature_2_c,
                          double *activation_j_mol, fault *why) {
    limits_item limits[] = {
        {"minutes_1", minutes_1, 0, SETTIME_LONGEST_MIN, true},
        {"temperature_1_c", temperature_1_c, SETTIME_COLDEST_C, SETTIME_WARMEST_C, false},
        {"minutes_2", minutes_2, 0, SETTIME_LONGEST_MIN, true},
        {"temperature_2_c", temperature_2_c, SETTIME_COLDEST_C, SETTIME_WARMEST_C, false},
    };
    status code = limits_check(limits, sizeof limits / sizeof limits[0], why);
    if (code != OK) return code;
    double inverse = 1 / (temperature_1_c + ZERO_CELSIUS_K) - 1 / (temperature_2_c + ZERO_CELSIUS_K);
    if (!(fabs(inverse) > 0))
        return fault_set(why, E_INPUT, "temperature_2_c is %.6g, as temperature_1_c is; the two must differ",
                         temperature_2_c);
    double activation = MATURITY_GAS_CONSTANT * log(minutes_1 / minutes_2) / inverse;
    if (!(activation >= 0) || !(activation <= MATURITY_MOST_ACTIVATION_J_MOL))
        return fault_set(
            why, E_INPUT,
            "%.6g min at %.6g C and %.6g min at %.6g C give an activation energy of %.6g J/mol; it must "
            "lie in 0 to %.6g",
            minutes_1, temperature_1_c, minutes_2, temperature_2_c, activation,
            MATURITY_MOST_ACTIVATION_J_MOL);
    *activation_j_mol = activation;
    return OK;
}
