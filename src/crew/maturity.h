/* maturity.h - how far a cement has come, from the temperatures it went through.
 *
 * Model  equivalent age  te = sum exp[-(E/R)(1/Tk - 1/Tr)] dt          (kelvin; R = 8.314 J/(mol K))
 *        Nurse-Saul      M  = sum max(T - T0, 0) dt                     (degrees Celsius)
 * Source forms read through pages that quote ASTM C1074. E about 40 kJ/mol and the datum T0 = -10 C: values
 *        from memory, editable defaults.
 * Units  hours, degrees Celsius, J/mol.   Limits  -50 to 100 C; below 0 C water freezes and neither sum means
 *        much.   Threads  no shared state. */
#ifndef STANCH_CREW_MATURITY_H
#define STANCH_CREW_MATURITY_H

#include "core/fault.h"

#include <stddef.h>

#define MATURITY_GAS_CONSTANT                                                                                \
    8.314 /* J/(mol K), as ASTM C1074 rounds it (read through pages that quote it) */
#define MATURITY_ACTIVATION_J_MOL 40000.0 /* value from memory: 40-45 kJ/mol, Type I cement */
#define MATURITY_DATUM_C (-10.0)          /* value from memory; 0 C in later editions */
#define MATURITY_COLDEST_C (-50.0)
#define MATURITY_WARMEST_C 100.0
#define MATURITY_MOST_ACTIVATION_J_MOL 200000.0

typedef struct {
    double hours; /* > 0 */
    double temperature_c;
} maturity_step;

typedef struct {
    double activation_j_mol; /* >= 0 */
    double reference_c, datum_c;
} maturity_rule;

typedef struct {
    double equivalent_age_h; /* at the reference temperature */
    double nurse_saul_c_h;
} maturity_result;

/* Rate at `temperature_c` relative to `reference_c`; both above -273.15 C. */
double maturity_rate(double temperature_c, double reference_c, double activation_j_mol);

/* Both sums over the profile. E_INPUT names the step and value out of range; *out is zeroed on error. */
status maturity_sum(const maturity_step steps[], size_t count, const maturity_rule *rule,
                    maturity_result *out, fault *why);

#endif
