#include "diagnose/healing.h"

#include "core/limits.h"

#include <assert.h>
#include <math.h>

typedef struct {
    const char *source;
    double limit_m; /* where it does not depend on the gradient */
} rule_row;

static const rule_row rules[HEALING_RULES] = {
    [HEALING_EN1992_3] = {"EN 1992-3:2006 7.3.1, class 1, full-depth cracks (through Bhatt et al.)", 0},
    [HEALING_DAFSTB] = {"DAfStb guideline on watertight structures 2003, Table 2 (through Ivanyi)", 0},
    [HEALING_FIB2020] = {"fib Model Code 2020, 30.5.2.4.2, fluid-tight (through a page that quotes it)",
                         0.15e-3},
    [HEALING_FIB2020_HEALING] =
        {"fib Model Code 2020, 30.5.2.4.2, self-healing counted (through a page that quotes it)", 0.20e-3},
    [HEALING_ACI224R] = {"ACI 224R Table 4.1, water-retaining, a guide width (through a page that quotes it)",
                         0.10e-3},
    [HEALING_AS3735] = {"AS 3735-2001, mean width, immersed or wet and dry (weak extract)", 0.10e-3},
    [HEALING_BS8007] = {"BS 8007, design width (value from memory)", 0.20e-3},
    [HEALING_BS8007_APPEARANCE] = {"BS 8007, critical appearance (value from memory)", 0.10e-3},
    [HEALING_ACI350] = {"ACI 350, normal exposure, 0.010 in (value from memory)", 0.25e-3},
    [HEALING_ACI350_SEVERE] = {"ACI 350, severe exposure, 0.009 in (value from memory)", 0.23e-3},
    [HEALING_HS2] = {"HS2 Chiltern tunnels cross-passages, outer face, heads up to 40 m (project paper)",
                     0.20e-3},
};

const char *healing_rule_name(healing_rule rule) {
    assert(rule < HEALING_RULES);
    return survey_healing_words[rule];
}

const char *healing_rule_source(healing_rule rule) {
    assert(rule < HEALING_RULES);
    return rules[rule].source;
}

/* EN 1992-3:2006 7.3.1. */
static double en1992_3_limit_m(double gradient, double upper_gradient) {
    double along = (gradient - HEALING_LOWER_GRADIENT) / (upper_gradient - HEALING_LOWER_GRADIENT);
    return 0.20e-3 - 0.15e-3 * fmin(fmax(along, 0), 1);
}

/* DAfStb guideline 2003, Table 2; the table ends at 25. */
static double dafstb_limit_m(double gradient) {
    if (gradient <= 10) return 0.20e-3;
    if (gradient <= 15) return 0.15e-3;
    return gradient <= 25 ? 0.10e-3 : 0;
}

static double limit_m(const healing_input *in, double gradient) {
    if (in->rule == HEALING_EN1992_3) return en1992_3_limit_m(gradient, in->upper_gradient);
    if (in->rule == HEALING_DAFSTB) return dafstb_limit_m(gradient);
    if (in->rule == HEALING_HS2 && !(in->head_m <= HEALING_HS2_HEAD_M)) return 0;
    return rules[in->rule].limit_m;
}

status healing_compute(const healing_input *in, healing_result *out, fault *why) {
    *out = (healing_result){0};
    assert(in->rule < HEALING_RULES);
    double upper = in->rule == HEALING_EN1992_3 ? in->upper_gradient : HEALING_UPPER_GRADIENT;
    limits_item limits[] = {
        {"width_m", in->width_m, 0, 0.05, false},
        {"head_m", in->head_m, 0, 1000, false},
        {"thickness_m", in->thickness_m, 0.001, 50, false},
        {"upper_gradient", upper, HEALING_LOWER_GRADIENT, 1000, true},
    };
    status code = limits_check(limits, sizeof limits / sizeof limits[0], why);
    if (code != OK) return code;
    out->gradient = in->head_m / in->thickness_m;
    out->limit_m = limit_m(in, out->gradient);
    /* A width typed as exactly the limit heals: the two pass through different roundings on their way here.
     */
    out->heals = out->limit_m > 0 && in->width_m <= out->limit_m * (1 + 1e-9);
    return OK;
}
