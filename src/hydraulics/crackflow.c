#include "hydraulics/crackflow.h"

#include "core/limits.h"
#include "core/units.h"
#include "hydraulics/water.h"

#include <math.h>

static const double g = UNITS_GRAVITY_M_S2;

double crackflow_taper_width(double a_m, double b_m) {
    double narrow = fmin(a_m, b_m), wide = fmax(a_m, b_m);
    if (narrow == wide) return narrow; /* an even crack keeps its last digit */
    return narrow > 0 ? cbrt(2 * narrow * narrow * wide / (1 + narrow / wide)) : 0;
}

static status check(const crackflow_input *in, fault *why) {
    limits_item limits[] = {
        {"width_dry_m", in->width_dry_m, 0, CRACKFLOW_WIDEST_M, false},
        {"width_wet_m", in->width_wet_m, 0, CRACKFLOW_WIDEST_M, false},
        {"thickness_m", in->thickness_m, CRACKFLOW_THINNEST_M, CRACKFLOW_THICKEST_M, false},
        {"head_m", in->head_m, 0, CRACKFLOW_HIGHEST_M, false},
        {"temperature_c", in->temperature_c, WATER_COLDEST_C, WATER_WARMEST_C, false},
        {"flow_factor", in->flow_factor, 0, 1, true},
        {"loss_coefficient", in->loss_coefficient, 0, CRACKFLOW_MOST_LOSS, false},
    };
    return limits_check(limits, sizeof limits / sizeof limits[0], why);
}

static crackflow_regime regime_of(double reynolds) {
    if (reynolds < CRACKFLOW_INERTIA_RE) return CRACKFLOW_LAMINAR;
    return reynolds <= CRACKFLOW_TURBULENT_RE ? CRACKFLOW_INERTIAL : CRACKFLOW_TURBULENT;
}

status crackflow_compute(const crackflow_input *in, crackflow_result *out, fault *why) {
    *out = (crackflow_result){0};
    water_properties water;
    status code = check(in, why);
    if (code == OK) code = water_at(in->temperature_c, &water, why);
    if (code != OK) return code;

    double nu = water.kinematic_viscosity_m2_s, w = crackflow_taper_width(in->width_dry_m, in->width_wet_m);
    double per_head =
        in->flow_factor * g * w * w / (12 * nu * in->thickness_m); /* velocity a metre of head */
    double cubic_m_s = per_head * in->head_m;
    /* K/(2g) V^2 + V/per_head - H = 0; this form of its root neither cancels nor divides by a small width. */
    double loss = 2 * in->loss_coefficient / g * per_head * cubic_m_s;

    out->hydraulic_width_m = w;
    out->velocity_m_s = 2 * cubic_m_s / (1 + sqrt(1 + loss));
    out->flow_m2_s = out->velocity_m_s * w;
    out->flow_cubic_m2_s = cubic_m_s * w;
    out->reynolds = 2 * out->flow_m2_s / nu;
    out->regime = regime_of(out->reynolds);
    return OK;
}

status crackflow_factor_from_flow(const crackflow_input *in, double flow_m2_s, double *factor, fault *why) {
    crackflow_input smooth = *in;
    smooth.flow_factor = 1;
    water_properties water;
    limits_item limits[] = {{"flow_m2_s", flow_m2_s, 0, 1e3, true},
                            {"head_m", in->head_m, 0, CRACKFLOW_HIGHEST_M, true}};
    status code = check(&smooth, why);
    if (code == OK) code = limits_check(limits, 2, why);
    if (code == OK) code = water_at(in->temperature_c, &water, why);
    if (code != OK) return code;

    double w = crackflow_taper_width(in->width_dry_m, in->width_wet_m);
    if (!(w > 0))
        return fault_set(why, E_INPUT, "width_dry_m or width_wet_m is 0: a closed crack passes no flow");
    double velocity = flow_m2_s / w;
    double left_m = in->head_m - in->loss_coefficient * velocity * velocity / (2 * g);
    if (!(left_m > 0))
        return fault_set(why, E_INPUT,
                         "flow_m2_s is %.6g; entry and exit losses alone then exceed the head of %.6g m",
                         flow_m2_s, in->head_m);
    *factor = 12 * water.kinematic_viscosity_m2_s * in->thickness_m * velocity / (g * w * w * left_m);
    return OK;
}

status crackflow_width_from_flow(double flow_m2_s, double gradient, double temperature_c, double *width_m,
                                 fault *why) {
    water_properties water;
    limits_item limits[] = {{"flow_m2_s", flow_m2_s, 0, 1e3, true}, {"gradient", gradient, 0, 1e6, true}};
    status code = limits_check(limits, 2, why);
    if (code == OK) code = water_at(temperature_c, &water, why);
    if (code == OK) *width_m = cbrt(12 * water.kinematic_viscosity_m2_s * flow_m2_s / (g * gradient));
    return code;
}

const char *crackflow_regime_name(crackflow_regime regime) {
    switch (regime) {
    case CRACKFLOW_LAMINAR: return "laminar";
    case CRACKFLOW_INERTIAL: return "inertial";
    case CRACKFLOW_TURBULENT: return "turbulent";
    }
    return "";
}
