#include "hydraulics/leakgrade.h"

#define LITRE_A_DAY_M3_S (1e-3 / 86400)
#define LITRE_A_MINUTE_M3_S (1e-3 / 60)

leakgrade leakgrade_of(double flow_m3_s) {
    if (!(flow_m3_s > 0)) return LEAKGRADE_DRY;
    if (flow_m3_s < 0.05 * LITRE_A_DAY_M3_S) return LEAKGRADE_DAMP;
    if (flow_m3_s <= 2.5 * LITRE_A_DAY_M3_S) return LEAKGRADE_SEEP;
    if (flow_m3_s <= 20 * LITRE_A_DAY_M3_S) return LEAKGRADE_DRIP;
    if (flow_m3_s <= LITRE_A_MINUTE_M3_S) return LEAKGRADE_RUN_SMALL;
    return flow_m3_s <= 10 * LITRE_A_MINUTE_M3_S ? LEAKGRADE_RUN_LARGE : LEAKGRADE_JET;
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
