#include "crew/maturity.h"

#include "core/limits.h"

#include <math.h>
#include <stdio.h>

#define ZERO_CELSIUS_K 273.15 /* definition of the Celsius scale */

double maturity_rate(double temperature_c, double reference_c, double activation_j_mol) {
    double t_k = temperature_c + ZERO_CELSIUS_K, reference_k = reference_c + ZERO_CELSIUS_K;
    return exp(-activation_j_mol / MATURITY_GAS_CONSTANT * (1 / t_k - 1 / reference_k));
}

static status check_rule(const maturity_rule *rule, fault *why) {
    limits_item limits[] = {
        {"activation_j_mol", rule->activation_j_mol, 0, MATURITY_MOST_ACTIVATION_J_MOL, false},
        {"reference_c", rule->reference_c, MATURITY_COLDEST_C, MATURITY_WARMEST_C, false},
        {"datum_c", rule->datum_c, MATURITY_COLDEST_C, MATURITY_WARMEST_C, false},
    };
    return limits_check(limits, sizeof limits / sizeof limits[0], why);
}

static status check_step(const maturity_step *step, size_t at, fault *why) {
    char hours[64], temperature[64];
    snprintf(hours, sizeof hours, "step %zu: hours", at + 1);
    snprintf(temperature, sizeof temperature, "step %zu: temperature_c", at + 1);
    limits_item limits[] = {
        {hours, step->hours, 0, 1e6, true},
        {temperature, step->temperature_c, MATURITY_COLDEST_C, MATURITY_WARMEST_C, false}};
    return limits_check(limits, 2, why);
}

status maturity_sum(const maturity_step steps[], size_t count, const maturity_rule *rule,
                    maturity_result *out, fault *why) {
    *out = (maturity_result){0};
    status code = check_rule(rule, why);
    for (size_t i = 0; i < count && code == OK; i++) code = check_step(&steps[i], i, why);
    if (code != OK) return code;

    for (size_t i = 0; i < count; i++) {
        const maturity_step *s = &steps[i];
        out->equivalent_age_h +=
            s->hours * maturity_rate(s->temperature_c, rule->reference_c, rule->activation_j_mol);
        out->nurse_saul_c_h += s->hours * fmax(s->temperature_c - rule->datum_c, 0);
    }
    return OK;
}
