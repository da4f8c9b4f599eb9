#include "repair/flexible.h"

#include "core/limits.h"

#include <math.h>

const char *const flexible_rule_words[4] = {
    "movement over class and tolerance (idea of ASTM C1472, value from memory)",
    "movement over class and movement (BS 6093, value from memory)",
    "least width: 6 mm (1/4 in), or the crack and a shoulder each side",
    "least depth: a seal is never deeper than wide",
};

static const double LEAST_M = 0.006;     /* 1/4 in, Handbook of Adhesives and Sealants p. 119 */
static const double SHOULDER_M = 0.003;  /* sound concrete each side of the crack, our default */
static const double SQUARE_TO_M = 0.013; /* to 1/2 in depth = width (the same handbook) */
static const double MIDDLE_TO_M = 0.025; /* to 1 in: 13 mm deep; above: 16 mm */
static const double DEEP_M = 0.016;      /* 5/8 in */
static const double POROUS_M = 0.010;    /* faces of concrete (anonymous specification extract, weak) */
static const double PRESSURE_M = 0.020;  /* under water pressure (the same extract, weak) */
static const double BACKER_WIDER = 1.25; /* common practice */

static double whole_mm_up(double m) {
    return ceil(m * 1000 - 1e-9) / 1000;
}

static status check(const flexible_input *in, fault *why) {
    const limits_item limits[] = {
        {"movement_m", in->movement_m, 0, FLEXIBLE_MOST_M, false},
        {"class_fraction", in->class_fraction, FLEXIBLE_LEAST_CLASS, 1, false},
        {"tolerance_m", in->tolerance_m, 0, 0.05, false},
        {"crack_width_m", in->crack_width_m, 0, 0.05, false},
    };
    return limits_check(limits, sizeof limits / sizeof *limits, why);
}

static double depth_of(double width_m) {
    return width_m <= SQUARE_TO_M ? width_m : width_m <= MIDDLE_TO_M ? SQUARE_TO_M : DEEP_M;
}

static void take(flexible_result *out, double width_m, flexible_rule rule) {
    if (!(width_m > out->width_m)) return;
    out->width_m = width_m;
    out->rule = rule;
}

status flexible_size(const flexible_input *in, flexible_result *out, fault *why) {
    *out = (flexible_result){0};
    status code = check(in, why);
    if (code != OK) return code;
    double least_depth = in->under_pressure ? PRESSURE_M : POROUS_M;
    out->c1472_m = in->movement_m / in->class_fraction + in->tolerance_m;
    out->bs6093_m = in->movement_m / in->class_fraction + in->movement_m;
    take(out, whole_mm_up(out->c1472_m), FLEXIBLE_C1472);
    take(out, whole_mm_up(out->bs6093_m), FLEXIBLE_BS6093);
    take(out, whole_mm_up(fmax(LEAST_M, in->crack_width_m + 2 * SHOULDER_M)), FLEXIBLE_LEAST);
    /* 20 mm under water goes against 13 to 16 mm of the handbook: widened until it is no deeper than wide. */
    take(out, least_depth, FLEXIBLE_DEPTH);
    out->depth_m = fmax(depth_of(out->width_m), least_depth);
    out->backer_m = whole_mm_up(BACKER_WIDER * out->width_m);
    out->groove_depth_m = out->depth_m + out->backer_m;
    out->section_m2 = out->width_m * out->depth_m;
    return OK;
}
