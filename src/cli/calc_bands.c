#include "cli/calc_rows.h"
#include "geom/bands.h"

#include <stdio.h>
#include <string.h>

#define PRACTICE "common practice"
enum { ID_BYTES = 80 };

static const char *const bands_sources[] = {
    "slot, band and extension: common practice; flat ends, round bends of 16 segments a quarter: our default",
    "geometry: plane polygons; areas of united bands, clipped to the faces, openings out, carried round "
    "folds",
};

static const calc_field ring_field = {.name = "ring",
                                      .kind = CALC_MATRIX,
                                      .quantity = UNITS_LENGTH,
                                      .range = CALC_FROM(-FACE_REACH_M, FACE_REACH_M),
                                      .columns = 2,
                                      .least = 3};

static const calc_field segment_field = {.name = "segment",
                                         .kind = CALC_MATRIX,
                                         .quantity = UNITS_LENGTH,
                                         .range = CALC_FROM(-FACE_REACH_M, FACE_REACH_M),
                                         .columns = 2,
                                         .least = 2,
                                         .most = 2};

/* One side of a fold as read. */
typedef struct {
    const char *face;
    calc_value segment;
} fold_side;

static bool read_rings(json_in *in, const json_path *at, json_t *value, calc_value *out) {
    bool good = true;
    if (!json_is_array(value)) {
        json_in_fault(in, at, NULL, "is no list of outlines");
        return false;
    }
    out->count = json_array_size(value);
    calc_value *rings = arena_get(in->memory, out->count, sizeof *rings);
    if (!rings) {
        fault_list_memory(in->faults);
        return false;
    }
    out->custom = rings;
    for (size_t i = 0; i < out->count; i++) {
        json_path ring = {at, NULL, i};
        good &= calc_read_list(in, &ring, json_array_get(value, i), &ring_field, &rings[i]);
    }
    return good;
}

static bool read_side(json_in *in, const json_path *at, json_t *value, calc_value *out) {
    json_path segment = {at, NULL, 1};
    const json_t *face = json_array_get(value, 0);
    if (json_array_size(value) != 2 || !json_is_string(face) || json_string_length(face) > ID_BYTES) {
        json_in_fault(in, at, NULL, "must be [face, [[u, v], [u, v]]]");
        return false;
    }
    fold_side *side = arena_get(in->memory, 1, sizeof *side);
    if (side) side->face = arena_copy(in->memory, json_string_value(face));
    if (!side || !side->face) {
        fault_list_memory(in->faults);
        return false;
    }
    out->custom = side;
    return calc_read_list(in, &segment, json_array_get(value, 1), &segment_field, &side->segment);
}

static const calc_field face_fields[] = {
    {.name = "id",
     .kind = CALC_TEXT,
     .required = true,
     .range = CALC_FROM(1, ID_BYTES),
     .text = "Name of the face."},
    {.name = "outline",
     .kind = CALC_MATRIX,
     .required = true,
     .quantity = UNITS_LENGTH,
     .range = CALC_FROM(-FACE_REACH_M, FACE_REACH_M),
     .columns = 2,
     .least = 3,
     .text = "Its corners [u, v] in metres, in order; the last need not repeat the first."},
    {.name = "openings",
     .kind = CALC_CUSTOM,
     .read = read_rings,
     .shape = "list of outlines [[u, v], ...]",
     .text = "Doors, windows, pipes: not concrete."},
};

static const calc_field fold_fields[] = {
    {.name = "a",
     .kind = CALC_CUSTOM,
     .required = true,
     .read = read_side,
     .shape = "[face, [[u, v], [u, v]]]",
     .text = "A segment on the outline of one face."},
    {.name = "b",
     .kind = CALC_CUSTOM,
     .required = true,
     .read = read_side,
     .shape = "[face, [[u, v], [u, v]]]",
     .text = "The same edge on the other face, end to end in the same order, equally long within 1 mm."},
};

static const calc_field line_fields[] = {
    {.name = "face",
     .kind = CALC_TEXT,
     .required = true,
     .range = CALC_FROM(1, ID_BYTES),
     .text = "Where it starts."},
    {.name = "points",
     .kind = CALC_MATRIX,
     .required = true,
     .quantity = UNITS_LENGTH,
     .range = CALC_FROM(-FACE_REACH_M, FACE_REACH_M),
     .columns = 2,
     .least = 2,
     .text = "Of the line, [u, v]."},
    {.name = "extend_mm",
     .quantity = UNITS_SIZE,
     .range = CALC_FROM(0, BANDS_MAX_M * 1e3),
     .origin = PRACTICE,
     .fallback = 300,
     .text = "Straight on past both ends."},
};

static const calc_field bands_fields[] = {
    {.name = "faces",
     .kind = CALC_OBJECTS,
     .required = true,
     .fields = face_fields,
     .fields_count = CALC_COUNT(face_fields),
     .least = 1,
     .text = "Seen from the dry side."},
    {.name = "folds",
     .kind = CALC_OBJECTS,
     .fields = fold_fields,
     .fields_count = CALC_COUNT(fold_fields),
     .text = "Edges that two faces share."},
    {.name = "lines",
     .kind = CALC_OBJECTS,
     .required = true,
     .fields = line_fields,
     .fields_count = CALC_COUNT(line_fields),
     .least = 1,
     .text = "Slots to be cut."},
    {.name = "slot_width_mm",
     .quantity = UNITS_SIZE,
     .range = CALC_ABOVE(0, BANDS_MAX_M * 1e3),
     .origin = PRACTICE,
     .fallback = 25,
     .text = "Of the slot at the face."},
    {.name = "slot_depth_mm",
     .quantity = UNITS_SIZE,
     .range = CALC_FROM(0, BANDS_MAX_M * 1e3),
     .origin = PRACTICE,
     .fallback = 37,
     .text = "Of the slot."},
    {.name = "undercut_deg",
     .quantity = UNITS_PLAIN,
     .unit = "degrees",
     .range = CALC_FROM(0, BANDS_MAX_UNDERCUT_DEG),
     .origin = "no undercut",
     .fallback = 0,
     .text = "Of each side of the slot from the square."},
    {.name = "band_mm",
     .quantity = UNITS_SIZE,
     .range = CALC_FROM(0, BANDS_MAX_M * 1e3),
     .origin = PRACTICE,
     .fallback = 150,
     .text = "Of coat on each side, from the edge of the slot."},
};

static bool take_run(arena *memory, const calc_value *from, face_run *out) {
    face_point *points = arena_get(memory, from->count, sizeof *points);
    if (!points) return false;
    for (size_t i = 0; i < from->count; i++)
        points[i] = (face_point){from->numbers[2 * i], from->numbers[2 * i + 1]};
    *out = (face_run){points, from->count};
    return true;
}

static status take_openings(calc_run *r, const calc_value *from, face_shape *face) {
    const calc_value *rings = from->custom;
    face_run *openings = arena_get(r->memory, from->count, sizeof *openings);
    if (!openings) return fault_memory(r->why);
    for (size_t i = 0; i < from->count; i++)
        if (!take_run(r->memory, &rings[i], &openings[i])) return fault_memory(r->why);
    face->openings = openings;
    face->openings_n = from->count;
    return OK;
}

static status take_faces(calc_run *r, bands_input *in) {
    const calc_value *from = calc_get(r->in, "faces");
    face_shape *faces = arena_get(r->memory, from->count, sizeof *faces);
    if (!faces) return fault_memory(r->why);
    for (size_t i = 0; i < from->count; i++) {
        const calc_object *o = &from->objects[i];
        faces[i].id = calc_get(o, "id")->text;
        for (size_t k = 0; k < i; k++)
            if (strcmp(faces[k].id, faces[i].id) == 0)
                return fault_set(r->why, E_INPUT,
                                 "faces[%zu].id: is %s, as faces[%zu].id is; each face has its own", i,
                                 faces[i].id, k);
        if (!take_run(r->memory, calc_get(o, "outline"), &faces[i].outline)) return fault_memory(r->why);
        status code = take_openings(r, calc_get(o, "openings"), &faces[i]);
        if (code != OK) return code;
    }
    in->faces = faces;
    in->faces_n = from->count;
    return OK;
}

static status find_face(calc_run *r, const bands_input *in, const char *id, const char *field,
                        size_t *index) {
    for (size_t i = 0; i < in->faces_n; i++) {
        *index = i;
        if (strcmp(in->faces[i].id, id) == 0) return OK;
    }
    return calc_refuse(r, field, "is %s; there is no such face", id);
}

static status take_side(calc_run *r, const bands_input *in, const calc_value *from, const char *field,
                        size_t *face, face_point side[2]) {
    const fold_side *read = from->custom;
    status code = find_face(r, in, read->face, field, face);
    if (code != OK) return code;
    for (size_t i = 0; i < 2; i++)
        side[i] = (face_point){read->segment.numbers[2 * i], read->segment.numbers[2 * i + 1]};
    return OK;
}

static status take_folds(calc_run *r, bands_input *in) {
    const calc_value *from = calc_get(r->in, "folds");
    bands_fold *folds = arena_get(r->memory, from->count, sizeof *folds);
    if (!folds) return fault_memory(r->why);
    for (size_t i = 0; i < from->count; i++) {
        char a[40], b[40];
        bands_fold *f = &folds[i];
        snprintf(a, sizeof a, "folds[%zu].a[0]", i);
        snprintf(b, sizeof b, "folds[%zu].b[0]", i);
        f->tag = arena_print(r->memory, "folds[%zu]", i);
        if (!f->tag) return fault_memory(r->why);
        status code = take_side(r, in, calc_get(&from->objects[i], "a"), a, &f->face_a, f->side_a);
        if (code == OK) code = take_side(r, in, calc_get(&from->objects[i], "b"), b, &f->face_b, f->side_b);
        if (code != OK) return code;
    }
    in->folds = folds;
    in->folds_n = from->count;
    return OK;
}

static status take_lines(calc_run *r, bands_input *in) {
    const calc_value *from = calc_get(r->in, "lines");
    bands_item *items = arena_get(r->memory, from->count, sizeof *items);
    if (!items) return fault_memory(r->why);
    bands_slot slot = {.width_m = calc_number(r->in, "slot_width_mm"),
                       .depth_m = calc_number(r->in, "slot_depth_mm"),
                       .undercut_deg = calc_number(r->in, "undercut_deg"),
                       .band_m = calc_number(r->in, "band_mm")};
    for (size_t i = 0; i < from->count; i++) {
        const calc_object *o = &from->objects[i];
        char field[40];
        bands_item *item = &items[i];
        snprintf(field, sizeof field, "lines[%zu].face", i);
        item->tag = arena_print(r->memory, "lines[%zu]", i);
        item->kind = BANDS_LINE;
        item->slot = slot;
        item->extend_start_m = item->extend_end_m = calc_number(o, "extend_mm");
        if (!item->tag || !take_run(r->memory, calc_get(o, "points"), &item->run))
            return fault_memory(r->why);
        status code = find_face(r, in, calc_get(o, "face")->text, field, &item->face);
        if (code != OK) return code;
    }
    in->items = items;
    in->items_n = from->count;
    return OK;
}

static void put_amount(calc_run *r, const bands_amount *a) {
    calc_put(r, "line_length_m", UNITS_LENGTH, a->line_length_m);
    calc_put(r, "slot_area_m2", UNITS_AREA, a->slot_area_m2);
    calc_put(r, "slot_volume_l", UNITS_VOLUME, a->slot_volume_m3);
    calc_put(r, "band_area_m2", UNITS_AREA, a->band_area_m2);
    calc_put(r, "first_coat_area_m2", UNITS_AREA, a->first_coat_area_m2);
    calc_put(r, "wash_area_m2", UNITS_AREA, a->wash_area_m2);
    calc_put(r, "overlap_saved_m2", UNITS_AREA, a->overlap_saved_m2);
}

static void put_ring(calc_run *r, const face_run *ring) {
    json_out_open(r->out, NULL, '[');
    for (size_t i = 0; i < ring->n; i++) {
        json_out_open(r->out, NULL, '[');
        calc_put(r, NULL, UNITS_LENGTH, ring->points[i].u_m);
        calc_put(r, NULL, UNITS_LENGTH, ring->points[i].v_m);
        json_out_close(r->out, ']');
    }
    json_out_close(r->out, ']');
}

/* A polygon is a list of rings, the outer one first. */
static void put_polygons(calc_run *r, const face_polygon *polygons, size_t n) {
    for (size_t i = 0; i < n; i++) {
        json_out_open(r->out, NULL, '[');
        put_ring(r, &polygons[i].outer);
        for (size_t k = 0; k < polygons[i].holes_n; k++) put_ring(r, &polygons[i].holes[k]);
        json_out_close(r->out, ']');
    }
}

static void put_face(calc_run *r, const bands_input *in, const bands_result *result, size_t face) {
    json_out_open(r->out, NULL, '{');
    json_out_text(r->out, "id", in->faces[face].id);
    put_amount(r, &result->faces[face].amount);
    json_out_open(r->out, "bands", '[');
    put_polygons(r, result->faces[face].bands, result->faces[face].bands_n);
    json_out_close(r->out, ']');
    json_out_open(r->out, "slots", '[');
    for (size_t i = 0; i < result->parts_n; i++)
        if (result->parts[i].face == face) put_polygons(r, result->parts[i].slots, result->parts[i].slots_n);
    json_out_close(r->out, ']');
    json_out_close(r->out, '}');
}

static status run_bands(calc_run *r) {
    bands_input in = {0};
    bands_result result;
    status code = take_faces(r, &in);
    if (code == OK) code = take_folds(r, &in);
    if (code == OK) code = take_lines(r, &in);
    if (code == OK) code = bands_compute(&in, r->memory, &result, r->why);
    if (code != OK) return code;
    put_amount(r, &result.total);
    json_out_open(r->out, "faces", '[');
    for (size_t i = 0; i < in.faces_n; i++) put_face(r, &in, &result, i);
    json_out_close(r->out, ']');
    for (size_t i = 0; i < result.warnings_n; i++) calc_warn(r, "%s", result.warnings[i]);
    return OK;
}

const calc_row calc_row_bands = {
    .name = "bands",
    .summary = "slots and coat bands on faces: lengths, areas, volumes, overlaps once",
    .model = "Each line is cut as a slot and coated over it and a band beyond each edge. Lines and slots are "
             "clipped to the "
             "face, openings out; bands are united, so that overlaps count once, and carried round folds on "
             "to the next "
             "face. The first coat covers the sides and the base of the bare slot too.",
    .equation = "slot volume = A d + L d^2 tan u; band = area of the union; first coat = wash = band + L (2 "
                "d/cos u + 2 d "
                "tan u); overlap saved = sum of the bands line by line less their union",
    .sources = bands_sources,
    .sources_count = CALC_COUNT(bands_sources),
    .fields = bands_fields,
    .fields_count = CALC_COUNT(bands_fields),
    .example = "{\"faces\": [{\"id\": \"N\", \"outline\": [[0, 0], [6, 0], [6, 3], [0, 3]],\n"
               "             \"openings\": [[[1, 0], [2, 0], [2, 2.1], [1, 2.1]]]},\n"
               "            {\"id\": \"E\", \"outline\": [[0, 0], [4, 0], [4, 3], [0, 3]]}],\n"
               " \"folds\": [{\"a\": [\"N\", [[6, 0], [6, 3]]], \"b\": [\"E\", [[0, 0], [0, 3]]]}],\n"
               " \"lines\": [{\"face\": \"N\", \"points\": [[3, 0.5], [5.9, 1.5]]}, {\"face\": \"N\", "
               "\"points\": [[4, 0.4], [4, 2.5]]}]}\n",
    .run = run_bands,
};
