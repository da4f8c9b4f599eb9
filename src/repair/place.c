/* Cuts at one place: a tie hole drilled out, a ring slot round a pipe, honeycomb cut back; each by its own geometry. */
#include "repair/sizing.h"

#include <math.h>

static const double PI = 3.14159265358979323846, DEGREE = 3.14159265358979323846 / 180;
static const double HOLE_DEPTH_M = 0.050,
                    HOLE_CLEAN_M = 0.010;  /* tie hole: depth and how much wider drilled, our default */
static const double PATCH_DEPTH_M = 0.050; /* honeycomb whose depth was not found out, our default */
static const double SOUND_M = 0.010;       /* into sound concrete behind the honeycomb, our default */
static const double PATCH_MOST = 0.5;      /* of the thickness: deeper is no patch, our default */

static status ask_about_steel(sizing *z, double allowed_m, double wanted_m) {
    const char *allowed = sizing_show(z, UNITS_SIZE, allowed_m),
               *wanted = sizing_show(z, UNITS_SIZE, wanted_m);
    const char *need = sizing_show(z, UNITS_SIZE, z->out->plug_need_m);
    if (!allowed || !wanted || !need) return fault_memory(z->why);
    const char *patch =
        "Honeycomb that reaches the steel is an engineer's question: chip by hand behind the bar, or inject?";
    const char *plug = "Move the cut, chip by hand beside the bar, or inject: who decides?";
    const char *sentence = arena_print(
        z->memory,
        "A bar lies at this place and allows a cut of %s where %s is wanted (%s needed to hold). %s", allowed,
        wanted, need, z->out->method.name == METHOD_CUT_BACK ? patch : plug);
    return sizing_ask(z, "steel", sentence);
}

/* One slot of length 0, held up by the steel that its station tells of. */
static status cut(sizing *z, double depth_m, design_depth_reason reason) {
    z->out->scan_first = sizing_not_scanned(z, 0, 0);
    maybe allowed = sizing_steel_allows(z, 0, 0);
    if (!allowed.known || !(allowed.v < depth_m))
        return sizing_add_slot(z, sizing_fill(z, 0, 0, depth_m, reason));
    status code = allowed.v >= SIZING_CUT_LEAST_M
                      ? sizing_add_slot(z, sizing_fill(z, 0, 0, allowed.v, DEPTH_STEEL))
                      : OK;
    return code == OK ? ask_about_steel(z, allowed.v, depth_m) : code;
}

/* Would a straight hole want more depth than the trade drills, or than the steel leaves? */
static bool wants_a_cone(const sizing *z, design_depth_reason reason) {
    maybe allowed = sizing_steel_allows(z, 0, 0);
    return reason == DEPTH_PLUG ||
           (allowed.known && sizing_plug_room_m(z, allowed.v) < z->out->plug_need_m - 1e-9);
}

/* A straight hole by bond alone. Where that does not hold at the usual depth, the hole is widened at its base, so that the
 * plug is keyed behind the mouth. */
static status size_hole(sizing *z, double diameter_m) {
    repair_design *out = z->out;
    double mouth = diameter_m + HOLE_CLEAN_M, head = z->leak->head_design_m, depth;
    double ratio = plug_area_per_perimeter_m(PLUG_CIRCLE, mouth, 0);
    design_depth_reason reason;
    status code = sizing_settle(z, head, ratio, HOLE_DEPTH_M, &depth, &reason);
    if (code == OK && wants_a_cone(z, reason)) {
        out->hole_shape = PLACE_CONE;
        code = sizing_settle(z, head, ratio, HOLE_DEPTH_M, &depth, &reason);
    }
    if (code == OK) code = cut(z, depth, reason);
    if (code != OK) return code;
    double d = sizing_deepest_m(z);
    double base = mouth + (out->hole_shape == PLACE_CONE ? 2 * d * tan(SIZING_CONE_DEG * DEGREE) : 0);
    out->hole_diameter_m = mouth;
    out->hole_base_m = base;
    out->place_volume_m3 = PI / 12 * d * (mouth * mouth + mouth * base + base * base); /* frustum */
    return OK;
}

/* The pipe is no face to bond to: the concrete side alone holds, so area over perimeter is the whole width. */
static status size_ring(sizing *z, double diameter_m) {
    repair_design *out = z->out;
    double depth, b = DESIGN_SLOT_WIDTH_M, inner = diameter_m / 2, outer = inner + b;
    design_depth_reason reason;
    out->slot_width_m = b;
    out->ring_length_m = PI * (diameter_m + b);
    status code = sizing_settle(z, z->leak->head_design_m, b, DESIGN_SLOT_DEPTH_M, &depth, &reason);
    if (code == OK) code = cut(z, depth, reason);
    out->place_volume_m3 = PI * (outer * outer - inner * inner) * sizing_deepest_m(z);
    return code;
}

status size_point(sizing *z) {
    maybe told = z->leak->defect->diameter_m;
    double diameter = told.known ? told.v : SIZING_TIE_HOLE_M;
    return z->out->method.name == METHOD_HOLE ? size_hole(z, diameter) : size_ring(z, diameter);
}

static status ask_about_depth(sizing *z) {
    const char *cut_to = sizing_show(z, UNITS_SIZE, PATCH_MOST * z->leak->thickness_m);
    maybe found = z->leak->defect->depth_m;
    if (!found.known)
        return sizing_ask(z, "honeycomb",
                          "How deep does the honeycomb go, and does it reach the steel? Deeper than the "
                          "cover it is an engineer's "
                          "question, not only a leak.");
    const char *goes = sizing_show(z, UNITS_SIZE, found.v);
    if (!cut_to || !goes) return fault_memory(z->why);
    if (found.v + SOUND_M <= PATCH_MOST * z->leak->thickness_m) return OK;
    return sizing_ask(z, "honeycomb",
                      arena_print(z->memory,
                                  "The honeycomb goes %s deep, more than half through the member: the cut is "
                                  "held at %s. Which engineer decides how the rest is filled?",
                                  goes, cut_to));
}

/* Back to sound concrete: what was found, and a little into the sound. The whole patch is taken as under pressure, held at
 * its edge: p A/(P tau); that its base holds too is not counted on, since the concrete behind leaked. */
status size_patch(sizing *z) {
    repair_design *out = z->out;
    const survey_defect *d = z->leak->defect;
    const survey_part *ring = &d->parts[0];
    const face_run run = {ring->points, ring->n_points};
    double perimeter = sizing_around_m(ring);
    double t = z->leak->thickness_m, depth, base = PATCH_DEPTH_M;
    design_depth_reason reason;
    if (d->depth_m.known) base = fmin(d->depth_m.v + SOUND_M, floor(PATCH_MOST * t * 1000 + 1e-9) / 1000);
    out->patch_m2 = face_ring_area_m2(&run);
    status code = sizing_settle(z, z->leak->head_design_m, out->patch_m2 / perimeter, base, &depth, &reason);
    if (code != OK) return code;
    /* A wide patch is not held by its edge alone however deep it is: it goes no deeper than the honeycomb and asks. */
    double least = ceil(base * 1000 - 1e-9) / 1000;
    if (depth > fmax(least, floor(t / 3 * 1000 + 1e-9) / 1000)) {
        depth = least;
        reason = DEPTH_TRADE;
    }
    code = cut(z, depth, reason);
    out->place_volume_m3 = out->patch_m2 * sizing_deepest_m(z);
    return code == OK ? ask_about_depth(z) : code;
}
