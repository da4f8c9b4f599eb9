#include "geom/bands.h"

#include "geom/fold.h"
#include "geom/item.h"
#include "geom/share.h"
#include "geom/wall.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What one stretch of an item, or its overhang carried round folds, leaves on one face. */
typedef struct {
    size_t face, item, order; /* order: as made, so that sorting is stable */
    const shape *slot, *band; /* clipped */
    double slot_m2, band_m2, line_m;
    double whole_slot_m2; /* of the item's mouth before clipping */
} piece;

typedef struct {
    const shape *solid; /* outline less openings */
    const wall_ready *ready;
} solid_face;

typedef struct {
    const bands_input *in;
    arena *memory;  /* of the result */
    arena *scratch; /* of this computation */
    wall *w;
    fault *why;
    solid_face *faces;
    fold_table folds;
    const shape **edges; /* of each way of the fold table: its segment on the face entered, drawn */
    const shape **exits; /* and on the face left */
    wall_box *exit_boxes;
    piece *pieces;
    size_t pieces_n;
    const char **warnings;
    size_t warnings_n;
} job;

static status geos_failed(const job *j, size_t item) {
    item_label name = item_name(j->in, item);
    return wall_status(j->w, name.text, j->why);
}

/* ---- faces and folds as shapes ---- */

static const shape *draw_face(job *j, const face_shape *face) {
    const shape *outline = wall_polygon(j->w, &face->outline);
    if (!outline || !face->openings_n) return outline;
    const shape **openings = arena_get(j->scratch, face->openings_n, sizeof *openings);
    if (!openings) return NULL;
    for (size_t k = 0; k < face->openings_n; k++)
        if (!(openings[k] = wall_polygon(j->w, &face->openings[k]))) return NULL;
    const shape *out = wall_union(j->w, openings, face->openings_n);
    return out ? wall_less(j->w, outline, out) : NULL;
}

static status draw_faces(job *j) {
    j->faces = arena_get(j->scratch, j->in->faces_n, sizeof *j->faces);
    if (!j->faces) return fault_memory(j->why);
    for (size_t f = 0; f < j->in->faces_n; f++) {
        status s = face_check(&j->in->faces[f], j->why);
        if (s != OK) return s;
        const shape *solid = draw_face(j, &j->in->faces[f]);
        j->faces[f] = (solid_face){solid, solid ? wall_prepare(j->w, solid) : NULL};
        if (!j->faces[f].ready) return wall_status(j->w, j->in->faces[f].id, j->why);
    }
    return OK;
}

static const shape *draw_segment(job *j, face_point a, face_point b) {
    const face_point ends[2] = {a, b};
    return wall_line(j->w, &(face_run){ends, 2});
}

static status draw_folds(job *j) {
    size_t n = 2 * j->in->folds_n;
    status s = fold_build(j->in, j->scratch, &j->folds, j->why);
    if (s != OK) return s;
    j->edges = arena_get(j->scratch, n, sizeof *j->edges);
    j->exits = arena_get(j->scratch, n, sizeof *j->exits);
    j->exit_boxes = arena_get(j->scratch, n, sizeof *j->exit_boxes);
    if (!j->edges || !j->exits || !j->exit_boxes) return fault_memory(j->why);
    for (size_t k = 0; k < n; k++) {
        const fold_way *way = &j->folds.ways[k];
        j->edges[k] = draw_segment(j, way->to_a, way->to_b);
        j->exits[k] = draw_segment(j, way->a, way->b);
        if (!j->edges[k] || !j->exits[k]) return wall_status(j->w, "folds", j->why);
        j->exit_boxes[k] = wall_extent(j->w, j->exits[k]);
    }
    return OK;
}

/* ---- from items to pieces ---- */

static status add_piece(job *j, const piece *made) {
    piece *grown = arena_push(j->scratch, j->pieces, &j->pieces_n, sizeof *grown);
    if (!grown) return fault_memory(j->why);
    j->pieces = grown;
    j->pieces[j->pieces_n - 1] = *made;
    j->pieces[j->pieces_n - 1].order = j->pieces_n;
    return OK;
}

/* Most bands lie well inside their face: asking the prepared face is cheaper than clipping. */
static const shape *clip(job *j, size_t face, const shape *of) {
    return wall_covers(j->w, j->faces[face].ready, of) ? of : wall_and(j->w, j->faces[face].solid, of);
}

/* What is being carried: the shapes in the plane of the face they were made on, and whose they are. */
typedef struct {
    size_t item;
    item_shape drawn;
    size_t crossed; /* folds so far */
} load;

/* The chain of folds behind us, back to the face of the stretch. */
typedef struct trail {
    const struct trail *up;
    const fold_way *way; /* NULL at its beginning */
    size_t face;         /* where we are now */
    wall_map map;        /* from the plane of the stretch to this face */
    const shape *band;   /* what lies here */
} trail;

/* Within reach of the fold? By boxes first. */
static bool reaches(job *j, const shape *band, size_t way) {
    wall_box b = wall_extent(j->w, band), e = j->exit_boxes[way];
    const double near_m = 2 * FACE_FIT_M; /* fold and outline may differ by one, the two faces by another */
    if (!(b.low_u <= e.high_u + near_m && e.low_u <= b.high_u + near_m && b.low_v <= e.high_v + near_m &&
          e.low_v <= b.high_v + near_m))
        return false;
    return wall_distance_m(j->w, band, j->exits[way]) <= near_m;
}

/* A band does not come back on to a face that it has left, nor twice through one fold. */
static bool is_new(const trail *t, const fold_way *way) {
    if (way->from == way->to) {
        for (; t->way; t = t->up)
            if (t->way->fold == way->fold) return false;
        return true;
    }
    for (; t; t = t->up)
        if (t->face == way->to) return false;
    return true;
}

static status carry(job *j, load *l, const trail *here);

/* Take the load through one fold and leave there what hangs together with it. */
static status carry_through(job *j, load *l, const trail *here, size_t k) {
    const fold_way *way = &j->folds.ways[k];
    trail next = {.up = here, .way = way, .face = way->to, .map = fold_chain(&here->map, &way->map)};
    const shape *moved = wall_move(j->w, l->drawn.band, &next.map);
    const shape *clipped = moved ? clip(j, next.face, moved) : NULL;
    next.band = clipped ? wall_near(j->w, clipped, j->edges[k], 2 * FACE_FIT_M) : NULL;
    if (!next.band) return geos_failed(j, l->item);
    piece made = {.face = next.face,
                  .item = l->item,
                  .band = next.band,
                  .whole_slot_m2 = l->drawn.slot_m2,
                  .band_m2 = wall_area_m2(j->w, next.band)};
    if (!(made.band_m2 > 0)) return OK;
    if (++l->crossed > BANDS_MAX_FOLDS) {
        item_label name = item_name(j->in, l->item);
        return fault_set(j->why, E_INPUT, "%s: its band crosses more than %d folds; the limit is %d",
                         name.text, BANDS_MAX_FOLDS, BANDS_MAX_FOLDS);
    }
    const shape *slot = wall_move(j->w, l->drawn.slot, &next.map);
    made.slot = slot ? wall_and(j->w, slot, next.band) : NULL;
    if (!made.slot) return geos_failed(j, l->item);
    made.slot_m2 = wall_area_m2(j->w, made.slot);
    status s = add_piece(j, &made);
    return s == OK ? carry(j, l, &next) : s;
}

static status carry(job *j, load *l, const trail *here) {
    status s = OK;
    for (size_t k = j->folds.first[here->face]; k < j->folds.first[here->face + 1] && s == OK; k++)
        if (is_new(here, &j->folds.ways[k]) && reaches(j, here->band, k)) s = carry_through(j, l, here, k);
    return s;
}

/* One stretch (or the whole of an item that is no line): its piece on its own face, and what is carried on.
 */
static status lay(job *j, size_t item, size_t face, const face_run *run, double line_m) {
    load l = {.item = item};
    if (!item_draw(j->w, &j->in->items[item], run, &l.drawn)) return geos_failed(j, item);
    trail home = {.face = face, .map = {.xx = 1, .yy = 1}, .band = clip(j, face, l.drawn.band)};
    const shape *slot = home.band == l.drawn.band ? l.drawn.slot : clip(j, face, l.drawn.slot);
    if (!home.band || !slot) return geos_failed(j, item);
    piece made = {.face = face,
                  .item = item,
                  .slot = slot,
                  .band = home.band,
                  .line_m = line_m,
                  .slot_m2 = wall_area_m2(j->w, slot),
                  .band_m2 = wall_area_m2(j->w, home.band),
                  .whole_slot_m2 = l.drawn.slot_m2};
    status s = add_piece(j, &made);
    return s == OK && made.band_m2 > 0 ? carry(j, &l, &home) : s;
}

static status warn_off(job *j, size_t item) {
    const bands_item *it = &j->in->items[item];
    const face_shape *face = &j->in->faces[it->face];
    size_t off = face_first_off(face, &it->run);
    if (off == it->run.n) return OK;
    item_label name = item_name(j->in, item);
    const char *sentence = arena_print(
        j->memory, "%s: point %zu (%.4f, %.4f) m does not lie on face %s; only what lies on a face counts",
        name.text, off + 1, it->run.points[off].u_m, it->run.points[off].v_m, face->id);
    const char **grown = sentence ? arena_push(j->memory, j->warnings, &j->warnings_n, sizeof *grown) : NULL;
    if (!grown) return fault_memory(j->why);
    j->warnings = grown;
    j->warnings[j->warnings_n - 1] = sentence;
    return OK;
}

static status lay_line(job *j, size_t item) {
    fold_stretch *list = NULL;
    size_t n = 0;
    status s = fold_walk(j->in, &j->folds, item, j->scratch, &list, &n, j->why);
    for (size_t i = 0; i < n && s == OK; i++) s = lay(j, item, list[i].face, &list[i].run, list[i].line_m);
    return s;
}

/* A patch that lies wholly outside is a slip; one in a door's way is not. */
static status check_patch(job *j, size_t item) {
    const bands_item *it = &j->in->items[item];
    const shape *patch = wall_polygon(j->w, &it->run);
    const shape *outline = patch ? wall_polygon(j->w, &j->in->faces[it->face].outline) : NULL;
    const shape *within = outline ? wall_and(j->w, patch, outline) : NULL;
    if (!within) return geos_failed(j, item);
    if (wall_area_m2(j->w, within) > 0) return OK;
    item_label name = item_name(j->in, item);
    return fault_set(j->why, E_INPUT, "%s lies wholly outside the outline of face %s", name.text,
                     j->in->faces[it->face].id);
}

static status lay_items(job *j) {
    status s = OK;
    for (size_t i = 0; i < j->in->items_n && s == OK; i++) {
        const bands_item *it = &j->in->items[i];
        bool drawn = it->kind == BANDS_LINE || it->kind == BANDS_PATCH;
        s = item_check(j->in, i, j->why);
        if (s == OK && it->kind == BANDS_PATCH) s = check_patch(j, i);
        if (s == OK && drawn) s = warn_off(j, i);
        if (s == OK) s = it->kind == BANDS_LINE ? lay_line(j, i) : lay(j, i, it->face, NULL, 0);
    }
    return s;
}

/* ---- from pieces to parts ---- */

static int by_face_and_item(const void *a, const void *b) {
    const piece *x = a, *y = b;
    if (x->face != y->face) return x->face < y->face ? -1 : 1;
    if (x->item != y->item) return x->item < y->item ? -1 : 1;
    return (x->order > y->order) - (x->order < y->order);
}

/* Pieces of one item on one face become one: a line that crosses a fold aslant leaves its own end there and
 * the overhang of its other half. */
static status merge(job *j, const piece *pieces, size_t n, piece *out) {
    *out = pieces[0];
    if (n == 1) return OK;
    const shape **shapes = arena_get(j->scratch, n, sizeof *shapes);
    if (!shapes) return fault_memory(j->why);
    for (size_t i = 0; i < n; i++) shapes[i] = pieces[i].slot;
    out->slot = wall_union(j->w, shapes, n);
    for (size_t i = 0; i < n; i++) shapes[i] = pieces[i].band;
    out->band = wall_union(j->w, shapes, n);
    if (!out->slot || !out->band) return geos_failed(j, out->item);
    out->slot_m2 = wall_area_m2(j->w, out->slot);
    out->band_m2 = wall_area_m2(j->w, out->band);
    for (size_t i = 1; i < n; i++) out->line_m += pieces[i].line_m;
    return OK;
}

static status merge_pieces(job *j) {
    if (j->pieces_n == 0) return OK; /* no array yet: nothing to sort */
    qsort(j->pieces, j->pieces_n, sizeof *j->pieces, by_face_and_item);
    size_t kept = 0;
    for (size_t i = 0, end; i < j->pieces_n; i = end) {
        for (end = i + 1; end < j->pieces_n && j->pieces[end].face == j->pieces[i].face &&
                          j->pieces[end].item == j->pieces[i].item;)
            end++;
        piece merged;
        status s = merge(j, j->pieces + i, end - i, &merged);
        if (s != OK) return s;
        if (merged.band_m2 > 0 || merged.line_m > 0) j->pieces[kept++] = merged;
    }
    j->pieces_n = kept;
    return OK;
}

static void add_amount(bands_amount *sum, const bands_amount *more) {
    sum->line_length_m += more->line_length_m;
    sum->slot_area_m2 += more->slot_area_m2;
    sum->slot_volume_m3 += more->slot_volume_m3;
    sum->band_area_m2 += more->band_area_m2;
    sum->first_coat_area_m2 += more->first_coat_area_m2;
    sum->wash_area_m2 += more->wash_area_m2;
    sum->overlap_saved_m2 += more->overlap_saved_m2;
}

static status make_part(job *j, const piece *from, bands_part *out) {
    double part = from->whole_slot_m2 > 0 ? from->slot_m2 / from->whole_slot_m2 : 0;
    out->item = from->item;
    out->face = from->face;
    out->amount =
        item_amount(&j->in->items[from->item], from->line_m, from->slot_m2, from->band_m2, fmin(part, 1));
    if (wall_polygons(j->w, from->slot, j->memory, &out->slots, &out->slots_n)) return OK;
    return geos_failed(j, from->item);
}

/* ---- a face: unite and share out ---- */

/* At least one piece. */
static status unite(job *j, size_t face, const piece *pieces, bands_part *parts, size_t n, bands_face *out) {
    for (size_t i = 0; i < n; i++) add_amount(&out->amount, &parts[i].amount);
    const shape **bands = arena_get(j->scratch, n, sizeof *bands);
    double *saved_m2 = arena_get(j->scratch, n, sizeof *saved_m2), all_m2 = 0;
    if (!bands || !saved_m2) return fault_memory(j->why);
    for (size_t i = 0; i < n; i++) bands[i] = pieces[i].band;
    share_bands of = {j->in->faces[face].id, bands, n, wall_union(j->w, bands, n)};
    if (!of.united || !wall_polygons(j->w, of.united, j->memory, &out->bands, &out->bands_n))
        return wall_status(j->w, of.face, j->why);
    status s = share_overlaps(j->w, &of, j->scratch, saved_m2, j->why);
    if (s != OK) return s;

    for (size_t i = 0; i < n; i++) all_m2 += parts[i].amount.overlap_saved_m2 = saved_m2[i];
    out->amount.band_area_m2 -= all_m2;
    out->amount.first_coat_area_m2 -= all_m2;
    out->amount.wash_area_m2 -= all_m2;
    out->amount.overlap_saved_m2 = all_m2;
    return OK;
}

static status sum_up(job *j, bands_result *out) {
    out->parts_n = j->pieces_n;
    out->parts = arena_get(j->memory, j->pieces_n, sizeof *out->parts);
    out->items = arena_get(j->memory, j->in->items_n, sizeof *out->items);
    out->faces = arena_get(j->memory, j->in->faces_n, sizeof *out->faces);
    if (!out->parts || !out->items || !out->faces) return fault_memory(j->why);
    size_t at = 0;
    for (size_t f = 0; f < j->in->faces_n; f++) {
        size_t begin = at;
        status s = OK;
        for (; at < j->pieces_n && j->pieces[at].face == f && s == OK; at++)
            s = make_part(j, &j->pieces[at], &out->parts[at]);
        if (s == OK && at > begin)
            s = unite(j, f, j->pieces + begin, out->parts + begin, at - begin, &out->faces[f]);
        if (s != OK) return s;
        add_amount(&out->total, &out->faces[f].amount);
    }
    for (size_t i = 0; i < out->parts_n; i++)
        add_amount(&out->items[out->parts[i].item], &out->parts[i].amount);
    out->warnings = j->warnings;
    out->warnings_n = j->warnings_n;
    return OK;
}

static status run(job *j, bands_result *out) {
    if (!j->scratch || !j->w) return fault_memory(j->why);
    status s = draw_faces(j);
    if (s == OK) s = draw_folds(j);
    if (s == OK) s = lay_items(j);
    if (s == OK) s = merge_pieces(j);
    return s == OK ? sum_up(j, out) : s;
}

status bands_compute(const bands_input *in, arena *memory, bands_result *out, fault *why) {
    job j = {.in = in, .memory = memory, .scratch = arena_new(), .w = wall_new(), .why = why};
    *out = (bands_result){0};
    status s = run(&j, out);
    if (s != OK) *out = (bands_result){0};
    wall_free(j.w);
    arena_free(j.scratch);
    return s;
}
