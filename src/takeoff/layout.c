#include "takeoff/layout.h"

#include "takeoff/place.h"

#include <math.h>
#include <string.h>

typedef struct {
    const survey *s;
    arena *memory;
    bands_item *items;
    layout_owner *owners;
    size_t n_items, n_owners;
    fault *why;
} laying;

static size_t face_index(const survey *s, const char *id) {
    size_t i = 0;
    while (i < s->n_faces && strcmp(s->faces[i].id, id) != 0) i++;
    return i;
}

static status add(laying *l, bands_item item, layout_owner owner) {
    bands_item *items = arena_push(l->memory, l->items, &l->n_items, sizeof *items);
    if (items) l->items = items;
    layout_owner *owners = arena_push(l->memory, l->owners, &l->n_owners, sizeof *owners);
    if (owners) l->owners = owners;
    if (!items || !owners) return fault_memory(l->why);
    items[l->n_items - 1] = item;
    owners[l->n_owners - 1] = owner;
    return OK;
}

/* The points of one part between two distances from its first point. */
static status cut_part(laying *l, const survey_part *p, double from_m, double to_m, face_run *out) {
    face_point *points = arena_get(l->memory, p->n_points + 2, sizeof *points);
    if (!points) return fault_memory(l->why);
    double run = 0;
    size_t n = 0;
    for (size_t i = 1; i < p->n_points; i++) {
        face_point a = p->points[i - 1], b = p->points[i];
        double step = hypot(b.u_m - a.u_m, b.v_m - a.v_m), low = fmax(from_m, run),
               high = fmin(to_m, run + step);
        if (high > low && step > 0) {
            double f = (low - run) / step, g = (high - run) / step;
            if (n == 0) points[n++] = (face_point){a.u_m + f * (b.u_m - a.u_m), a.v_m + f * (b.v_m - a.v_m)};
            points[n++] = (face_point){a.u_m + g * (b.u_m - a.u_m), a.v_m + g * (b.v_m - a.v_m)};
        }
        run += step;
    }
    *out = (face_run){points, n};
    return OK;
}

static double part_length(const survey_part *p) {
    const face_run run = {p->points, p->n_points};
    return face_run_length_m(&run);
}

/* One stretch of slot (or of bare coat) along the trace: an item for each part that it touches. */
static status lay_stretch(laying *l, size_t leak, double from_m, double to_m, bands_slot slot,
                          layout_owner owner) {
    const survey_defect *d = &l->s->defects[leak];
    double start = 0;
    for (size_t k = 0; k < d->n_parts; k++) {
        const survey_part *p = &d->parts[k];
        double length = part_length(p), a = fmax(from_m - start, 0), b = fmin(to_m - start, length);
        bands_item item = {
            .tag = d->mark, .kind = BANDS_LINE, .face = face_index(l->s, p->face), .slot = slot};
        if (k == 0 && from_m < 0) item.extend_start_m = -from_m;
        if (k + 1 == d->n_parts && to_m - start > length) item.extend_end_m = to_m - start - length;
        start += length;
        if (!(b > a)) continue;
        status code = cut_part(l, p, a, b, &item.run);
        if (code == OK && item.run.n >= 2) code = add(l, item, owner);
        if (code != OK) return code;
    }
    return OK;
}

static status lay_lines(laying *l, size_t leak, const repair_design *design) {
    status code = OK;
    for (size_t i = 0; code == OK && i < design->n_slots; i++) {
        const design_slot *s = &design->slots[i];
        bands_slot slot = {.width_m = design->slot_width_m,
                           .depth_m = s->depth_m,
                           .filled_m = s->plug_m,
                           .band_m = DESIGN_BAND_M};
        code = lay_stretch(l, leak, s->from_m, s->to_m, slot, (layout_owner){leak, s->plug_m, s->pack_m});
    }
    return code;
}

static status lay_place(laying *l, size_t leak, const repair_design *design) {
    if (design->n_slots == 0) return OK; /* steel left no room for a cut */
    const survey_defect *d = &l->s->defects[leak];
    const design_slot *s = &design->slots[0];
    bands_item item = {.tag = d->mark,
                       .face = face_index(l->s, d->parts[0].face),
                       .centre = d->parts[0].points[0],
                       .slot = {.width_m = design->slot_width_m,
                                .depth_m = s->depth_m,
                                .filled_m = s->plug_m,
                                .undercut_deg = fmin(place_undercut_deg(design), BANDS_MAX_UNDERCUT_DEG),
                                .band_m = DESIGN_BAND_M}};
    if (design->method.name == METHOD_HOLE) {
        item.kind = BANDS_HOLE;
        item.diameter_m = design->hole_diameter_m;
    } else if (design->method.name == METHOD_RING) {
        item.kind = BANDS_RING;
        item.diameter_m = d->diameter_m.v;
    } else {
        item.kind = BANDS_PATCH;
        item.run = (face_run){d->parts[0].points, d->parts[0].n_points};
    }
    return add(l, item, (layout_owner){leak, s->plug_m, s->pack_m});
}

static status lay_leak(laying *l, size_t leak, const repair_design *design) {
    const survey_defect *d = &l->s->defects[leak];
    switch (design->method.name) {
    case METHOD_SLOT_PLUG:
    case METHOD_SLOT_PACK: return lay_lines(l, leak, design);
    case METHOD_COAT: {
        bands_slot bare = {.band_m = DESIGN_BAND_M};
        return lay_stretch(l, leak, 0, trace_length_m(d), bare, (layout_owner){leak, 0, 0});
    }
    case METHOD_HOLE:
    case METHOD_RING:
    case METHOD_CUT_BACK: return lay_place(l, leak, design);
    case METHOD_INJECT_CEMENT:
    case METHOD_INJECT_EPOXY:
    case METHOD_INJECT_POLYURETHANE:
    case METHOD_INJECT_ACRYLATE:
    case METHOD_FLEXIBLE:
    case METHOD_DRAIN:
    case METHOD_WATCH:
    case METHOD_ENGINEER:
    case METHOD_COUNT: return OK;
    }
    return OK;
}

static status lay_faces(const survey *s, arena *memory, bands_input *in, fault *why) {
    face_shape *faces = arena_get(memory, s->n_faces, sizeof *faces);
    bands_fold *folds = arena_get(memory, s->n_folds, sizeof *folds);
    if (!faces || !folds) return fault_memory(why);
    for (size_t i = 0; i < s->n_faces; i++) {
        const survey_face *f = &s->faces[i];
        face_run *openings = arena_get(memory, f->n_openings, sizeof *openings);
        if (!openings) return fault_memory(why);
        for (size_t k = 0; k < f->n_openings; k++)
            openings[k] = (face_run){f->openings[k].points, f->openings[k].n_points};
        faces[i] = (face_shape){f->id, {f->outline.points, f->outline.n_points}, openings, f->n_openings};
    }
    for (size_t i = 0; i < s->n_folds; i++) {
        const survey_fold *f = &s->folds[i];
        folds[i] = (bands_fold){.face_a = face_index(s, f->face_a), .face_b = face_index(s, f->face_b)};
        memcpy(folds[i].side_a, f->a, sizeof f->a);
        memcpy(folds[i].side_b, f->b, sizeof f->b);
    }
    *in = (bands_input){.faces = faces, .faces_n = s->n_faces, .folds = folds, .folds_n = s->n_folds};
    return OK;
}

status layout_items(const survey *s, const repair_design *designs, arena *memory, layout *out, fault *why) {
    laying l = {.s = s, .memory = memory, .why = why};
    *out = (layout){0};
    status code = lay_faces(s, memory, &out->input, why);
    for (size_t i = 0; code == OK && i < s->n_defects; i++) code = lay_leak(&l, i, &designs[i]);
    out->input.items = l.items;
    out->input.items_n = l.n_items;
    out->owners = l.owners;
    return code;
}
