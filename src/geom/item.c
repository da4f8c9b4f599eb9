#include "geom/item.h"

#include "core/text.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>

#define PI 3.14159265358979323846
#define LEAST_LINE_M 1e-6 /* our default: a thousandth of a millimetre is a slip of the pen */

item_label item_name(const bands_input *in, size_t item) {
    item_label label;
    const char *tag = in->items[item].tag;
    if (!tag) {
        snprintf(label.text, sizeof label.text, "item %zu", item);
        return label;
    }
    snprintf(label.text, sizeof label.text, "%s", tag);
    text_cut_utf8(label.text, sizeof label.text - 1);
    return label;
}

/* ---- is it sound? ---- */

static status check_range(const char *name, const char *what, double value, double high, fault *why) {
    if (value >= 0 && value <= high) return OK;
    return fault_set(why, E_INPUT, "%s: %s %g m must lie in 0 to %g m", name, what, value, high);
}

static status check_slot(const bands_item *item, const char *name, fault *why) {
    const bands_slot *slot = &item->slot;
    status s = check_range(name, "slot width", slot->width_m, BANDS_MAX_M, why);
    if (s == OK) s = check_range(name, "slot depth", slot->depth_m, BANDS_MAX_M, why);
    if (s == OK) s = check_range(name, "filled depth", slot->filled_m, slot->depth_m, why);
    if (s == OK) s = check_range(name, "band", slot->band_m, BANDS_MAX_M, why);
    if (s != OK) return s;
    if (slot->undercut_deg >= 0 && slot->undercut_deg <= BANDS_MAX_UNDERCUT_DEG) return OK;
    return fault_set(why, E_INPUT, "%s: undercut %g degrees must lie in 0 to %g degrees", name,
                     slot->undercut_deg, BANDS_MAX_UNDERCUT_DEG);
}

static status check_point(const char *name, const char *what, face_point at, fault *why) {
    if (fabs(at.u_m) <= FACE_REACH_M && fabs(at.v_m) <= FACE_REACH_M) return OK;
    return fault_set(why, E_INPUT, "%s: %s (%g, %g) m must lie within +-%g m", name, what, at.u_m, at.v_m,
                     FACE_REACH_M);
}

static status check_line(const bands_item *item, const char *name, fault *why) {
    if (item->run.n < 2)
        return fault_set(why, E_INPUT, "%s has %zu points; a line needs at least 2", name, item->run.n);
    for (size_t i = 0; i < item->run.n; i++) {
        char what[40];
        snprintf(what, sizeof what, "point %zu", i + 1);
        status s = check_point(name, what, item->run.points[i], why);
        if (s != OK) return s;
    }
    double length_m = face_run_length_m(&item->run);
    if (!(length_m >= LEAST_LINE_M))
        return fault_set(why, E_INPUT, "%s: its length %g m must be at least %g m", name, length_m,
                         LEAST_LINE_M);
    status s = check_range(name, "extension", item->extend_start_m, BANDS_MAX_M, why);
    return s == OK ? check_range(name, "extension", item->extend_end_m, BANDS_MAX_M, why) : s;
}

/* A circle's centre must lie within its face's outline; in an opening is fine, as a pipe's hole may be one.
 */
static status check_circle(const bands_item *item, const face_shape *face, const char *name, fault *why) {
    status s = check_point(name, "centre", item->centre, why);
    if (s != OK) return s;
    if (!(item->diameter_m > 0 && item->diameter_m <= BANDS_MAX_M))
        return fault_set(why, E_INPUT, "%s: diameter %g m must lie above 0 and up to %g m", name,
                         item->diameter_m, BANDS_MAX_M);
    face_shape bare = {.id = face->id, .outline = face->outline};
    if (face_holds(&bare, item->centre, FACE_FIT_M)) return OK;
    return fault_set(why, E_INPUT, "%s: centre (%g, %g) m lies outside the outline of face %s", name,
                     item->centre.u_m, item->centre.v_m, face->id);
}

status item_check(const bands_input *in, size_t item, fault *why) {
    const bands_item *it = &in->items[item];
    item_label name = item_name(in, item);
    assert(it->face < in->faces_n);
    status s = check_slot(it, name.text, why);
    if (s != OK) return s;
    switch (it->kind) {
    case BANDS_LINE: return check_line(it, name.text, why);
    case BANDS_HOLE:
    case BANDS_RING: return check_circle(it, &in->faces[it->face], name.text, why);
    case BANDS_PATCH: break;
    }
    return face_check_ring(&it->run, name.text, why);
}

/* ---- its shape ---- */

/* The ring between two circles; with inner_m 0 the disc. */
static const shape *draw_ring(wall *w, face_point centre, double inner_m, double outer_m) {
    const shape *point = wall_point(w, centre);
    const shape *disc = point ? wall_buffer(w, point, outer_m) : NULL;
    if (!disc || !(inner_m > 0)) return disc;
    const shape *pipe = wall_buffer(w, point, inner_m);
    return pipe ? wall_less(w, disc, pipe) : NULL;
}

bool item_draw(wall *w, const bands_item *item, const face_run *run, item_shape *out) {
    const bands_slot *slot = &item->slot;
    const shape *core = NULL;
    double radius_m = item->diameter_m / 2, inner_m = 0;
    *out = (item_shape){0};
    switch (item->kind) {
    case BANDS_LINE:
        core = wall_line(w, run);
        out->slot = core ? wall_buffer(w, core, slot->width_m / 2) : NULL;
        out->band = core ? wall_buffer(w, core, slot->width_m / 2 + slot->band_m) : NULL;
        break;
    case BANDS_RING:
        inner_m = radius_m;
        radius_m += slot->width_m;
        out->slot = draw_ring(w, item->centre, inner_m, radius_m);
        out->band = draw_ring(w, item->centre, inner_m, radius_m + slot->band_m);
        break;
    case BANDS_HOLE:
        out->slot = draw_ring(w, item->centre, inner_m, radius_m);
        out->band = draw_ring(w, item->centre, inner_m, radius_m + slot->band_m);
        break;
    case BANDS_PATCH:
        out->slot = wall_polygon(w, &item->run);
        out->band = out->slot ? wall_buffer(w, out->slot, slot->band_m) : NULL;
        break;
    }
    if (!out->slot || !out->band) return false;
    out->slot_m2 = wall_area_m2(w, out->slot);
    return out->slot_m2 >= 0;
}

/* ---- its quantities ---- */

static double ring_length_m(const face_run *ring) {
    face_point first = ring->points[0], last = ring->points[ring->n - 1];
    return face_run_length_m(ring) + hypot(first.u_m - last.u_m, first.v_m - last.v_m);
}

/* Length of the edges of the mouth: those that are undercut, and those that go in square. */
typedef struct {
    double undercut_m, square_m, line_m;
} edges;

static edges edges_of(const bands_item *item, double line_m, double part) {
    double round_m = PI * item->diameter_m;
    double width_m = item->slot.width_m;
    switch (item->kind) {
    case BANDS_LINE: return (edges){2 * line_m, 0, line_m};
    case BANDS_HOLE: return (edges){round_m * part, 0, 0};
    case BANDS_RING:
        return (edges){(round_m + 2 * PI * width_m) * part, round_m * part, (round_m + PI * width_m) * part};
    case BANDS_PATCH: break;
    }
    return (edges){ring_length_m(&item->run) * part, 0, 0};
}

/* What sides and base of a slot of this depth have more than its mouth, m2. */
static double walls_m2(const edges *e, double depth_m, double undercut_rad) {
    return e->undercut_m * depth_m * (1 / cos(undercut_rad) + tan(undercut_rad)) + e->square_m * depth_m;
}

bands_amount item_amount(const bands_item *item, double line_m, double slot_m2, double band_m2, double part) {
    const bands_slot *slot = &item->slot;
    double undercut_rad = slot->undercut_deg * PI / 180, depth_m = slot->depth_m;
    edges e = edges_of(item, line_m, part);
    return (bands_amount){
        .line_length_m = e.line_m,
        .slot_area_m2 = slot_m2,
        /* each undercut side adds a triangle d by d tan u */
        .slot_volume_m3 = slot_m2 * depth_m + e.undercut_m * depth_m * depth_m * tan(undercut_rad) / 2,
        .band_area_m2 = band_m2,
        .first_coat_area_m2 = band_m2 + walls_m2(&e, depth_m - slot->filled_m, undercut_rad),
        .wash_area_m2 = band_m2 + walls_m2(&e, depth_m, undercut_rad),
    };
}
