#include "crew/exposure.h"

#include "core/limits.h"

#include <math.h>

/* A value that rounding alone lifts over a limit has not passed it. */
#define ROUNDING 1e-9

const char *const exposure_noise_words[NOISE_RULES] = {"niosh", "osha_pel", "osha_hc", "eu"};
const char *const exposure_silica_words[SILICA_ROWS] = {"saw",      "core_drill",     "hammer_drill",
                                                        "chipping", "mortar_grinder", "grinder"};

/* NIOSH through a page that quotes it; OSHA form WAC 296-817-30015; which levels OSHA counts, and that its action value is
 * passed when reached, are values from memory; Directive 2003/10/EC 80/85/87 dBA: value from memory. */
const exposure_noise_limits exposure_noise_rules[NOISE_RULES] = {
    [NOISE_NIOSH] = {85, 3, 0, 10, 100, 100, 100, false},
    [NOISE_OSHA_PEL] = {90, 5, 90, 16.61, 100, 100, 100, false},
    [NOISE_OSHA_HC] = {90, 5, 80, 16.61, 50, 50, 100, true},
    [NOISE_EU] = {85, 3, 0, 10, 31.6227766016838, 100, 158.489319246111, false}, /* 100 x 10^(-0.5), 10^0.2 */
};

#define FIRST_VALUE "HSE recommended first value, through a page that quotes it"
const exposure_tool exposure_tools[EXPOSURE_TOOLS] = {
    [TOOL_SAW] = {"concrete saw", 8, 105, SILICA_SAW,
                  "HSE angle grinders 4 to 8, the higher (no value for saws was read); noise our default"},
    [TOOL_CHIPPING] = {"chipping hammer", 25, 104, SILICA_CHIP,
                       FIRST_VALUE ": pneumatic hammers 25; noise our default"},
    [TOOL_DEMOLITION] = {"demolition hammer", 18, 104, SILICA_CHIP,
                         FIRST_VALUE ": 18 (typical 15); noise our default"},
    [TOOL_HAMMER_DRILL] = {"hammer drill", 18, 99, SILICA_DRILL,
                           FIRST_VALUE ": rotary hammer 18 (hammer drills typical 9); noise our default"},
    [TOOL_CORE_DRILL] = {"core drill", 8, 94, SILICA_CORE,
                         FIRST_VALUE ": core drill 78-107 mm 8; noise our default"},
    [TOOL_GRINDER] = {"grinder", 8, 99, SILICA_GRIND,
                      "HSE angle grinders 4 to 8, the higher; noise our default"},
};

/* Table 1 of 29 CFR 1926.1153 (c)(1): saw row read, the others through pages that quote them; that (xii) by water alone is for
 * outdoors: value from memory. 25 cfm are 42 m3/h. */
typedef struct {
    const char *control;
    int apf[2][2]; /* outdoors, indoors; up to 4 h, longer */
} table_row;
#define COLLECTOR "shroud and dust collector (filter 99 % or better, filter cleaning)"
#define WHEEL                                                                                                \
    "shroud and dust collector of 25 cfm (42 m3/h) an inch of wheel (filter 99 % or better, pre-separator "  \
    "or "                                                                                                    \
    "filter cleaning)"
static const table_row table[SILICA_ROWS] = {
    [SILICA_SAW] = {"water fed to the blade all the time", {{0, 10}, {10, 10}}},
    [SILICA_CORE] = {"water fed to the bit", {{0, 0}, {0, 0}}},
    [SILICA_DRILL] = {COLLECTOR "; holes cleared with a HEPA vacuum", {{0, 0}, {0, 0}}},
    [SILICA_CHIP] = {"water at the point of impact all the time, or " COLLECTOR, {{0, 10}, {10, 10}}},
    [SILICA_MORTAR] = {WHEEL, {{10, 25}, {10, 25}}},
    [SILICA_GRIND] = {WHEEL "; outdoors water to the wheel will do", {{0, 0}, {0, 10}}},
};

const char *exposure_control(exposure_silica_row row) {
    return table[row].control;
}

bool exposure_passes(double value, double limit) {
    return value > limit * (1 + ROUNDING);
}

int exposure_apf(exposure_silica_row row, bool indoors, double shift_min) {
    return table[row].apf[indoors][exposure_passes(shift_min, EXPOSURE_SILICA_MIN)];
}

double exposure_points(double a_m_s2, double minutes) {
    return 2 * a_m_s2 * a_m_s2 * minutes / 60;
}

double exposure_a8_m_s2(double points) {
    return sqrt(points / 16); /* points = 2 x 8 h x A(8)^2 */
}

double exposure_twa_dba(exposure_noise_rule rule, double dose_percent) {
    const exposure_noise_limits *r = &exposure_noise_rules[rule];
    return dose_percent > 0 ? r->q * log10(dose_percent / 100) + r->criterion_dba : 0;
}

void exposure_vibration_times(double a_m_s2, double *action_min, double *limit_min) {
    double action = EXPOSURE_ACTION_M_S2 / a_m_s2, limit = EXPOSURE_LIMIT_M_S2 / a_m_s2; /* 0: HUGE_VAL */
    *action_min = 480 * action * action;
    *limit_min = 480 * limit * limit;
}

double exposure_noise_min(exposure_noise_rule rule, double level_dba) {
    const exposure_noise_limits *r = &exposure_noise_rules[rule];
    if (level_dba < r->counts_from_dba) return HUGE_VAL;
    return 480 / exp2((level_dba - r->criterion_dba) / r->exchange_db);
}

/* One list: its value and minutes in range, its minutes no more than a day. */
static status check_one(const char *list, size_t i, limits_item value, double minutes, double *sum_min,
                        fault *why) {
    limits_item both[] = {value, {"minutes", minutes, 0, EXPOSURE_DAY_MIN, false}};
    fault inner = {0};
    status code = limits_check(both, 2, &inner);
    if (code != OK) return fault_set(why, code, "%s[%zu].%s", list, i, inner.text);
    *sum_min += minutes;
    if (exposure_passes(*sum_min, EXPOSURE_DAY_MIN))
        return fault_set(why, E_INPUT, "%s[%zu].minutes: with those before it %.6g; a day has %.6g", list, i,
                         *sum_min, EXPOSURE_DAY_MIN);
    return OK;
}

static status check(const exposure_shift *shift, fault *why) {
    double sums[3] = {0};
    status code = OK;
    for (size_t i = 0; i < shift->n_vibration && code == OK; i++) {
        limits_item a = {"m_s2", shift->vibration[i].a_m_s2, 0, EXPOSURE_STRONGEST_M_S2, false};
        code = check_one("vibration", i, a, shift->vibration[i].minutes, &sums[0], why);
    }
    for (size_t i = 0; i < shift->n_noise && code == OK; i++) {
        limits_item level = {"dba", shift->noise[i].level_dba, 0, EXPOSURE_LOUDEST_DBA, false};
        code = check_one("noise", i, level, shift->noise[i].minutes, &sums[1], why);
    }
    for (size_t i = 0; i < shift->n_silica && code == OK; i++) {
        limits_item row = {"task", shift->silica[i].row, 0, SILICA_ROWS - 1, false};
        code = check_one("silica", i, row, shift->silica[i].minutes, &sums[2], why);
    }
    return code;
}

static void sum_vibration(const exposure_shift *shift, exposure_result *out) {
    for (size_t i = 0; i < shift->n_vibration; i++)
        out->points += exposure_points(shift->vibration[i].a_m_s2, shift->vibration[i].minutes);
    out->a8_m_s2 = exposure_a8_m_s2(out->points);
    out->over_vibration_action = exposure_passes(out->points, EXPOSURE_ACTION_POINTS);
    out->over_vibration_limit = exposure_passes(out->points, EXPOSURE_LIMIT_POINTS);
    out->points_left = fmax(0, EXPOSURE_ACTION_POINTS - out->points);
}

static void sum_noise(const exposure_shift *shift, exposure_result *out) {
    const exposure_noise_limits *r = &exposure_noise_rules[shift->rule];
    double least_min = HUGE_VAL;
    for (size_t i = 0; i < shift->n_noise; i++) {
        double allowed_min = exposure_noise_min(shift->rule, shift->noise[i].level_dba);
        out->dose_percent += 100 * shift->noise[i].minutes / allowed_min;
        least_min = fmin(least_min, allowed_min);
    }
    out->twa_dba = exposure_twa_dba(shift->rule, out->dose_percent);
    double reached = r->reached ? r->action_percent * (1 - 2 * ROUNDING) : r->action_percent;
    out->over_noise_action = exposure_passes(out->dose_percent, reached);
    out->over_noise_limit = exposure_passes(out->dose_percent, r->limit_percent);
    out->noise_left_min =
        isfinite(least_min) ? fmax(0, r->action_percent - out->dose_percent) / 100 * least_min : HUGE_VAL;
}

static void sum_silica(const exposure_shift *shift, exposure_result *out) {
    for (size_t i = 0; i < shift->n_silica; i++) out->silica_min += shift->silica[i].minutes;
    for (size_t i = 0; i < shift->n_silica; i++) {
        const exposure_silica *at = &shift->silica[i];
        int apf = at->minutes > 0 ? exposure_apf(at->row, at->indoors, out->silica_min) : 0;
        if (apf > out->apf) out->apf = apf;
    }
}

status exposure_sum(const exposure_shift *shift, exposure_result *out, fault *why) {
    *out = (exposure_result){0};
    if ((unsigned)shift->rule >= NOISE_RULES)
        return fault_set(why, E_INPUT, "noise_rule: %d; it must lie in 0 to %d", (int)shift->rule,
                         NOISE_RULES - 1);
    status code = check(shift, why);
    if (code != OK) return code;
    sum_vibration(shift, out);
    sum_noise(shift, out);
    sum_silica(shift, out);
    return OK;
}
