#include "takeoff/place.h"

#include <math.h>

static const double PI = 3.14159265358979323846;
static const double RELIEF_WIDER_M = 0.010; /* its hole than the bore, our default */
static const int CORNERS = 64;              /* of a circle in geom/bands.h: 16 segments a quarter */

/* Area of such a polygon in a circle of area 1. */
static double polygon_part(void) {
    return CORNERS / (2 * PI) * sin(2 * PI / CORNERS);
}

static double mouth_of(const repair_design *d) {
    switch (d->method.name) {
    case METHOD_HOLE: return PI / 4 * d->hole_diameter_m * d->hole_diameter_m * polygon_part();
    case METHOD_RING: return d->ring_length_m * d->slot_width_m * polygon_part();
    case METHOD_CUT_BACK: return d->patch_m2;
    case METHOD_SLOT_PLUG:
    case METHOD_SLOT_PACK:
    case METHOD_COAT:
    case METHOD_INJECT_CEMENT:
    case METHOD_INJECT_EPOXY:
    case METHOD_INJECT_POLYURETHANE:
    case METHOD_INJECT_ACRYLATE:
    case METHOD_FLEXIBLE:
    case METHOD_DRAIN:
    case METHOD_WATCH:
    case METHOD_ENGINEER:
    case METHOD_COUNT: break;
    }
    return 0;
}

static bool is_cone(const repair_design *d) {
    return d->method.name == METHOD_HOLE && d->hole_shape == PLACE_CONE && d->hole_base_m > 0;
}

/* Of a cone with these diameters a height apart, by height. */
static double frustum(double a_m, double b_m) {
    return PI / 12 * (a_m * a_m + a_m * b_m + b_m * b_m);
}

/* The plug lies at the base: its part of the whole volume. */
static double plug_part(const repair_design *d, const design_slot *s) {
    if (!is_cone(d)) return s->plug_m / s->depth_m;
    double between =
        d->hole_diameter_m + (d->hole_base_m - d->hole_diameter_m) * (s->depth_m - s->plug_m) / s->depth_m;
    return s->plug_m * frustum(between, d->hole_base_m) /
           (s->depth_m * frustum(d->hole_diameter_m, d->hole_base_m));
}

bool place_measure(const repair_design *d, double mouth_m2, place_volumes *out) {
    *out = (place_volumes){0};
    double mouth = mouth_of(d);
    if (!(d->place_volume_m3 > 0) || !(mouth > 0) || d->n_slots == 0 || !(d->slots[0].depth_m > 0))
        return false;
    out->cut_m3 = d->place_volume_m3 * fmin(mouth_m2 / mouth, 1);
    out->plug_m3 = out->cut_m3 * plug_part(d, &d->slots[0]);
    out->pack_m3 = out->cut_m3 - out->plug_m3;
    return true;
}

/* Section of the relief's hole within the cut: of a cone, that of its mouth (it is wider below, by a few millilitres). */
static double within_m2(const repair_design *d, double hole_m) {
    double r = hole_m / 2, half = fmin(d->slot_width_m / 2, r), mouth = d->hole_diameter_m / 2;
    if (d->method.name == METHOD_CUT_BACK) return PI * r * r;
    if (d->method.name == METHOD_HOLE) return PI * fmin(r, mouth) * fmin(r, mouth);
    return 2 * (half * sqrt(r * r - half * half) + r * r * asin(half / r));
}

/* Depth of the cut where the relief stands. */
static double cut_at_m(const repair_design *d) {
    double at = d->relief.at_m, depth = 0;
    for (size_t i = 0; i < d->n_slots; i++)
        if (at >= d->slots[i].from_m && at <= d->slots[i].to_m) depth = fmax(depth, d->slots[i].depth_m);
    return depth;
}

double place_relief_m3(const repair_design *d) {
    if (!d->relief.wanted) return 0;
    double hole = d->relief.bore_m + RELIEF_WIDER_M, depth = fmax(d->relief.depth_m, cut_at_m(d));
    return PI / 4 * hole * hole * depth - within_m2(d, hole) * cut_at_m(d);
}

double place_undercut_deg(const repair_design *d) {
    if (!is_cone(d) || d->n_slots == 0) return 0;
    double beyond = fmax(d->hole_base_m - d->hole_diameter_m, 0) / 2;
    return atan2(beyond, d->slots[0].depth_m) * 180 / PI;
}
