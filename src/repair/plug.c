#include "repair/plug.h"

#include "core/limits.h"
#include "core/units.h"
#include "hydraulics/water.h"

double plug_bond_pa(plug_faces faces) {
    return faces == PLUG_CHIPPED ? PLUG_BOND_CHIPPED_PA : PLUG_BOND_SAWN_PA;
}

double plug_area_per_perimeter_m(plug_shape shape, double width_m, double length_m) {
    switch (shape) {
    case PLUG_SLOT: return width_m / 2;
    case PLUG_RECTANGLE: return width_m * length_m / (2 * (width_m + length_m));
    case PLUG_CIRCLE: return width_m / 4;
    }
    return 0;
}

double plug_depth_m(double pressure_pa, double area_per_perimeter_m, double bond_pa, double safety_factor) {
    return safety_factor * pressure_pa * area_per_perimeter_m / bond_pa;
}

static status check(const plug_input *in, fault *why) {
    double length_m = in->shape == PLUG_RECTANGLE ? in->length_m : in->width_m;
    limits_item limits[] = {
        {"width_m", in->width_m, PLUG_SMALLEST_M, PLUG_LARGEST_M, false},
        {"length_m", length_m, PLUG_SMALLEST_M, PLUG_LARGEST_M, false},
        {"depth_m", in->depth_m, PLUG_SMALLEST_M, PLUG_LARGEST_M, false},
        {"bond_pa", in->bond_pa, 0, 100e6, true},
        {"safety_factor", in->safety_factor, 1, 100, false},
        {"head_m", in->head_m, 0, PLUG_HIGHEST_M, false},
    };
    return limits_check(limits, sizeof limits / sizeof limits[0], why);
}

status plug_compute(const plug_input *in, plug_result *out, fault *why) {
    *out = (plug_result){0};
    water_properties water;
    status code = check(in, why);
    if (code == OK) code = water_at(in->temperature_c, &water, why);
    if (code != OK) return code;

    double ratio_m = plug_area_per_perimeter_m(in->shape, in->width_m, in->length_m);
    out->pressure_pa = water.density_kg_m3 * UNITS_GRAVITY_M_S2 * in->head_m;
    out->shear_pa = out->pressure_pa * ratio_m / in->depth_m;
    out->safety_found = in->bond_pa / out->shear_pa;
    out->depth_needed_m = plug_depth_m(out->pressure_pa, ratio_m, in->bond_pa, in->safety_factor);
    /* So that the depth needed, printed and fed back, holds in spite of its last digit. */
    out->holds = in->depth_m >= out->depth_needed_m * (1 - 1e-12);
    return OK;
}
