#include "repair/injection.h"

#include "core/limits.h"

#include <math.h>

static const double DEGREE = 3.14159265358979323846 / 180;

static status check(const injection_input *in, fault *why) {
    const limits_item limits[] = {
        {"length_m", in->length_m, 0, 1e4, true},
        {"width_m", in->width_m, 0, 0.05, true},
        {"thickness_m", in->thickness_m, 0, 50, true},
        {"spacing_m", in->spacing_m, 1e-3, 10, false},
        {"angle_deg", in->angle_deg, 10, 90, false},
        {"void_factor", in->void_factor, 1, 10, false},
        {"waste_fraction", in->waste_fraction, 0, 10, false},
    };
    return limits_check(limits, sizeof limits / sizeof *limits, why);
}

status injection_size(const injection_input *in, injection_result *out, fault *why) {
    *out = (injection_result){0};
    status code = check(in, why);
    if (code != OK) return code;
    double spaces = in->length_m / in->spacing_m, half = in->thickness_m / 2;
    out->ports =
        (int)ceil(spaces * (1 - 1e-12)) + 1; /* 3.0 m at 0.15 m are 20 spaces, whatever the last bit says */
    out->offset_m = in->angle_deg < 90 ? half / tan(in->angle_deg * DEGREE) : 0;
    out->hole_length_m = half / sin(in->angle_deg * DEGREE);
    out->net_m3 = in->length_m * in->width_m * in->thickness_m;
    out->order_m3 = out->net_m3 * in->void_factor * (1 + in->waste_fraction);
    return OK;
}
