#include "survey/fields.h"
#include "survey/objects.h"
#include "survey/readings.h"

#include <math.h>
#include <string.h>

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

enum { POINTS_MOST = 10000, LIST_MOST = 100000 };

/* A zeroed element more, or NULL with the loss noted. */
static void *push(json_in *in, void *array, size_t *n, size_t size) {
    void *more = arena_push(in->memory, array, n, size);
    if (!more) fault_list_memory(in->faults);
    return more;
}

/* `list` as long as a list may be; else a fault. */
static bool short_enough(json_in *in, const json_path *at, const char *field, json_t *list, size_t most) {
    if (json_array_size(list) <= most) return true;
    json_in_fault(in, at, field, "has %zu entries; it may have at most %zu", json_array_size(list), most);
    return false;
}

static bool read_coordinate(json_in *in, const json_path *at, json_t *value, bool metres, double *out) {
    if (!json_is_number(value)) {
        json_in_fault(in, at, NULL, "holds something else than two numbers [u, v]");
        return false;
    }
    double shown = json_number_value(value);
    double si = metres ? shown : units_to_si(UNITS_LENGTH, in->system, shown);
    if (fabs(si) <= SURVEY_COORDINATE_MOST_M) {
        *out = si + 0.0;
        return true;
    }
    json_in_fault(in, at, NULL, "has the coordinate %.6g; it must lie within %.6g %s of the origin", shown,
                  metres ? SURVEY_COORDINATE_MOST_M
                         : units_from_si(UNITS_LENGTH, in->system, SURVEY_COORDINATE_MOST_M),
                  metres ? "m" : units_symbol(UNITS_LENGTH, in->system));
    return false;
}

static bool read_point(json_in *in, const json_path *at, json_t *pair, bool metres, survey_point *out) {
    size_t n = json_array_size(pair); /* 0 when it is no list */
    bool flat = metres && n == 3 && json_number_value(json_array_get(pair, 2)) == 0;
    if (n != 2 && !flat) {
        json_in_fault(in, at, NULL, "is no point; write two numbers [u, v]");
        return false;
    }
    return read_coordinate(in, at, json_array_get(pair, 0), metres, &out->u_m) &&
           read_coordinate(in, at, json_array_get(pair, 1), metres, &out->v_m);
}

void objects_read_points(json_in *in, const json_path *at, json_t *list, size_t least, bool metres,
                         survey_point **points, size_t *n_points) {
    *points = NULL;
    *n_points = 0;
    size_t n = json_array_size(list);
    if (!json_is_array(list)) {
        json_in_fault(in, at, NULL, "something else where a list of points [[u, v], ...] belongs");
        return;
    }
    if (n < least) json_in_fault(in, at, NULL, "has %zu points; it must have at least %zu", n, least);
    if (n == 0 || !short_enough(in, at, NULL, list, POINTS_MOST)) return;
    survey_point *read = arena_get(in->memory, n, sizeof *read);
    if (!read) {
        fault_list_memory(in->faults);
        return;
    }
    for (size_t i = 0; i < n; i++) {
        json_path here = {at, NULL, i};
        read_point(in, &here, json_array_get(list, i), metres, &read[i]);
    }
    *points = read;
    *n_points = n;
}

static void read_points_member(json_in *in, const json_path *at, json_t *object, const char *field,
                               size_t least, survey_point **points, size_t *n_points) {
    json_path here = {at, field, 0};
    json_t *list = json_in_array(in, at, object, field, true);
    if (list) objects_read_points(in, &here, list, least, false, points, n_points);
}

/* `keep`: a level that is absent stays as it is. JSON null takes it away. */
static void read_level(json_in *in, const json_path *at, json_t *object, const char *field, bool keep,
                       survey_level *out) {
    json_path here = {at, field, 0};
    json_t *value = json_object_get(object, field);
    if (!value && keep) return;
    *out = (survey_level){0};
    if (!value || json_is_null(value)) return;
    if (json_in_is_object(in, &here, value))
        survey_fields_read(in, &here, value, survey_level_fields, NULL, 0, false, out);
}

static void read_site(json_in *in, const json_path *at, json_t *object, bool keep, survey_site *into) {
    const char *const others[] = {
        "today", "design", "exclude", "work", "forecast", "air", objects_typical_name(in->system)};
    survey_fields_read(in, at, object, survey_site_fields, others, COUNT_OF(others), keep, into);
    if (!keep || json_object_get(object, "exclude")) into->excluded = 0;
    objects_read_words_member(in, at, object, "exclude", &objects_methods, &into->excluded);
    objects_read_weather(in, at, object, keep, into);
    objects_read_work(in, at, object, keep, &into->work);
    objects_read_forecast(in, at, object, keep, &into->forecast);
    read_level(in, at, object, "today", keep, &into->today);
    read_level(in, at, object, "design", keep, &into->design);
}

void objects_read_site(json_in *in, const json_path *at, json_t *object, survey_site *into) {
    read_site(in, at, object, true, into);
}

void objects_read_whole_site(json_in *in, const json_path *at, json_t *object, survey_site *out) {
    *out = (survey_site){0};
    read_site(in, at, object, false, out);
}

static void read_openings(json_in *in, const json_path *at, json_t *object, survey_face *out) {
    json_path up = {at, "openings", 0};
    json_t *list = json_in_array(in, at, object, "openings", false);
    if (!list || !short_enough(in, at, "openings", list, LIST_MOST)) return;
    for (size_t i = 0; i < json_array_size(list); i++) {
        json_path here = {&up, NULL, i};
        survey_ring *rings = push(in, out->openings, &out->n_openings, sizeof *rings);
        if (!rings) return;
        out->openings = rings;
        survey_ring *ring = &rings[out->n_openings - 1];
        objects_read_points(in, &here, json_array_get(list, i), 3, false, &ring->points, &ring->n_points);
    }
}

void objects_read_face(json_in *in, const json_path *at, json_t *object, bool parts, survey_face *out) {
    static const char *const drawn[] = {"today", "design", "outline", "openings"};
    static const char *const elsewhere[] = {"today", "design", "object", "reversed"};
    survey_fields_read(in, at, object, survey_face_fields, parts ? drawn : elsewhere, COUNT_OF(drawn), false,
                       out);
    read_level(in, at, object, "today", false, &out->today);
    read_level(in, at, object, "design", false, &out->design);
    if (!parts) return;
    read_points_member(in, at, object, "outline", 3, &out->outline.points, &out->outline.n_points);
    read_openings(in, at, object, out);
}

/* "a": ["N", [[u, v], [u, v]]] */
static void read_edge(json_in *in, const json_path *at, json_t *object, const char *field, const char **face,
                      survey_point edge[2]) {
    json_path here = {at, field, 0}, second = {&here, NULL, 1};
    survey_point *points = NULL;
    size_t n = 0;
    json_t *list = json_in_array(in, at, object, field, true);
    if (!list) return;
    json_t *name = json_array_get(list, 0);
    if (json_array_size(list) != 2 || !json_is_string(name) || json_string_length(name) == 0) {
        json_in_fault(in, at, field, "is no edge; write [\"face\", [[u, v], [u, v]]]");
        return;
    }
    *face = arena_copy(in->memory, json_string_value(name));
    if (!*face) fault_list_memory(in->faults);
    objects_read_points(in, &second, json_array_get(list, 1), 2, false, &points, &n);
    if (n == 2)
        memcpy(edge, points, 2 * sizeof *edge);
    else if (n > 2)
        json_in_fault(in, &second, NULL, "has %zu points; an edge has 2", n);
}

void objects_read_fold(json_in *in, const json_path *at, json_t *object, survey_fold *out) {
    static const char *const known[] = {"a", "b", "object"};
    read_edge(in, at, object, "a", &out->face_a, out->a);
    read_edge(in, at, object, "b", &out->face_b, out->b);
    json_in_only(in, at, object, known, COUNT_OF(known));
}

static void read_parts(json_in *in, const json_path *at, json_t *object, survey_defect *out) {
    static const char *const known[] = {"face", "points"};
    static const survey_field face_field = {"face", FIELD_NAME, true, offsetof(survey_part, face),
                                            .limit = 40};
    json_path up = {at, "parts", 0};
    json_t *list = json_in_array(in, at, object, "parts", true);
    if (list && json_array_size(list) == 0)
        json_in_fault(in, at, "parts", "is empty; it must say where the defect lies");
    if (!list || !short_enough(in, at, "parts", list, POINTS_MOST)) return;
    for (size_t i = 0; i < json_array_size(list); i++) {
        json_path here = {&up, NULL, i};
        json_t *one = json_array_get(list, i);
        survey_part *parts = push(in, out->parts, &out->n_parts, sizeof *parts);
        if (!parts) return;
        out->parts = parts;
        survey_part *part = &parts[out->n_parts - 1];
        if (!json_in_is_object(in, &here, one)) continue;
        survey_fields_read(in, &here, one, (survey_fields){&face_field, 1}, known, COUNT_OF(known), false,
                           part);
        size_t least = survey_is_line(out->kind) ? 2 : out->kind == KIND_HONEYCOMB ? 3 : 1;
        read_points_member(in, &here, one, "points", least, &part->points, &part->n_points);
    }
}

/* A list of objects described by one table: stations, flows, photos, packs. */
static void read_list(json_in *in, const json_path *at, json_t *object, const char *field,
                      survey_fields table, size_t size, void **array, size_t *n) {
    json_path up = {at, field, 0};
    json_t *list = json_in_array(in, at, object, field, false);
    if (!list || !short_enough(in, at, field, list, LIST_MOST)) return;
    for (size_t i = 0; i < json_array_size(list); i++) {
        json_path here = {&up, NULL, i};
        json_t *one = json_array_get(list, i);
        void *more = push(in, *array, n, size);
        if (!more) return;
        *array = more;
        if (json_in_is_object(in, &here, one))
            survey_fields_read(in, &here, one, table, NULL, 0, false, (char *)more + (*n - 1) * size);
    }
}

static void read_notes(json_in *in, const json_path *at, json_t *object, survey_defect *out) {
    static const survey_field note_field = {"note", FIELD_TEXT, true, 0, .limit = SURVEY_NOTE_BYTES};
    json_path up = {at, "notes", 0};
    json_t *list = json_in_array(in, at, object, "notes", false);
    if (!list || !short_enough(in, at, "notes", list, LIST_MOST)) return;
    for (size_t i = 0; i < json_array_size(list); i++) {
        json_path here = {&up, NULL, i};
        const char **notes = push(in, out->notes, &out->n_notes, sizeof *notes);
        json_t *wrapped = notes ? json_pack("{s:O}", "note", json_array_get(list, i)) : NULL;
        if (notes && !wrapped) fault_list_memory(in->faults);
        if (!wrapped) return;
        out->notes = notes;
        survey_fields_read(in, &here, wrapped, (survey_fields){&note_field, 1}, NULL, 0, false,
                           &notes[out->n_notes - 1]);
        json_decref(wrapped);
    }
}

void objects_read_defect(json_in *in, const json_path *at, json_t *object, bool parts, survey_defect *out) {
    static const char *const drawn[] = {"signs",  "stations", "flows",   "open",     "notes",
                                        "photos", "readings", "exclude", "overrule", "parts"};
    static const char *const elsewhere[] = {"signs",  "stations", "flows",   "open",     "notes",
                                            "photos", "readings", "exclude", "overrule", "object",
                                            "face",   "faces",    "reversed"};
    void *stations = NULL, *flows = NULL, *opens = NULL, *photos = NULL, *readings = NULL;
    size_t before = fault_list_count(in->faults);
    survey_fields_read(in, at, object, survey_defect_fields, parts ? drawn : elsewhere,
                       parts ? COUNT_OF(drawn) : COUNT_OF(elsewhere), false, out);
    objects_read_words_member(in, at, object, "signs", &objects_signs, &out->signs);
    objects_read_words_member(in, at, object, "exclude", &objects_methods, &out->excluded);
    objects_read_overrule(in, at, object, &out->overrule);
    if (parts) read_parts(in, at, object, out);
    read_list(in, at, object, "stations", survey_station_fields, sizeof(survey_station), &stations,
              &out->n_stations);
    read_list(in, at, object, "flows", survey_flow_fields, sizeof(survey_flow), &flows, &out->n_flows);
    read_list(in, at, object, "open", survey_open_fields, sizeof(survey_open), &opens, &out->n_opens);
    read_list(in, at, object, "photos", survey_photo_fields, sizeof(survey_photo), &photos, &out->n_photos);
    read_list(in, at, object, "readings", survey_reading_fields, sizeof(survey_reading), &readings,
              &out->n_readings);
    read_notes(in, at, object, out);
    if (fault_list_count(in->faults) == before) readings_sort(readings, out->n_readings);
    out->readings = readings;
    out->stations = stations;
    out->flows = flows;
    out->opens = opens;
    out->photos = photos;
}

void objects_read_material(json_in *in, const json_path *at, json_t *object, survey_material *out) {
    static const char *const others[] = {"packs"};
    void *packs = NULL;
    survey_fields_read(in, at, object, survey_material_fields, others, COUNT_OF(others), false, out);
    read_list(in, at, object, "packs", survey_pack_fields, sizeof(survey_pack), &packs, &out->n_packs);
    out->packs = packs;
    /* A survey of before resins had families: the one that every job had was for wet cracks. */
    if (out->role == ROLE_RESIN && !json_object_get(object, "resin")) out->resin = RESIN_POLYURETHANE;
}

void objects_read_rate(json_in *in, const json_path *at, json_t *object, survey_rate *out) {
    survey_fields_read(in, at, object, survey_rate_fields, NULL, 0, false, out);
}

void objects_read_price(json_in *in, const json_path *at, json_t *object, survey_price *out) {
    survey_fields_read(in, at, object, survey_price_fields, NULL, 0, false, out);
}

void objects_read_tank(json_in *in, const json_path *at, json_t *object, survey_tank *out) {
    survey_fields_read(in, at, object, survey_tank_fields, NULL, 0, false, out);
}

void objects_read_answer(json_in *in, const json_path *at, json_t *object, survey_answer *out) {
    survey_fields_read(in, at, object, survey_answer_fields, NULL, 0, false, out);
}
