#include "hydraulics/leakgrade.h"

#include <math.h>

#define LITRE_A_DAY_M3_S (1e-3 / 86400)
#define LITRE_A_MINUTE_M3_S (1e-3 / 60)

static const double most_m3_s[] = {
    [LEAKGRADE_DRY] = 0,
    [LEAKGRADE_DAMP] = 0.05 * LITRE_A_DAY_M3_S,
    [LEAKGRADE_SEEP] = 2.5 * LITRE_A_DAY_M3_S,
    [LEAKGRADE_DRIP] = 20 * LITRE_A_DAY_M3_S,
    [LEAKGRADE_RUN_SMALL] = LITRE_A_MINUTE_M3_S,
    [LEAKGRADE_RUN_LARGE] = 10 * LITRE_A_MINUTE_M3_S,
    [LEAKGRADE_JET] = HUGE_VAL,
};

double leakgrade_most_m3_s(leakgrade grade) {
    return most_m3_s[grade];
}

leakgrade leakgrade_of(double flow_m3_s) {
    if (!(flow_m3_s > 0)) return LEAKGRADE_DRY;
    if (flow_m3_s < most_m3_s[LEAKGRADE_DAMP]) return LEAKGRADE_DAMP;
    leakgrade grade = LEAKGRADE_SEEP;
    while (flow_m3_s > most_m3_s[grade]) grade++;
    return grade;
}

const char *leakgrade_word(leakgrade grade) {
    switch (grade) {
    case LEAKGRADE_DRY: return "dry";
    case LEAKGRADE_DAMP: return "damp";
    case LEAKGRADE_SEEP: return "seep";
    case LEAKGRADE_DRIP: return "drip";
    case LEAKGRADE_RUN_SMALL:
    case LEAKGRADE_RUN_LARGE: return "run";
    case LEAKGRADE_JET: return "jet";
    }
    return "";
}
