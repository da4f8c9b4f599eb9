#include "survey/read_geojson.h"

#include "survey/merge.h"
#include "survey/objects.h"

#include <string.h>

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

/* One feature being read. */
typedef struct {
    merger *m;
    const json_path *at; /* features[i] */
    json_path geometry, coordinates, properties;
    const char *type; /* of the geometry; "" when there is none */
    json_t *coordinate_list, *property_object;
} feature;

static json_in *in_of(const feature *f) {
    return f->m->in;
}

static bool want_type(const feature *f, const char *type, const char *what) {
    if (strcmp(f->type, type) == 0) return true;
    json_in_fault(in_of(f), &f->geometry, "type", "is \"%.40s\"; %s is drawn as a %s", f->type, what, type);
    return false;
}

static void reverse_ring(survey_ring *r) {
    for (size_t i = 1, k = r->n_points - 1; i < k; i++, k--) {
        survey_point keep = r->points[i];
        r->points[i] = r->points[k];
        r->points[k] = keep;
    }
}

/* Is ring `at` named in the property "reversed"? */
static bool was_reversed(const feature *f, size_t at) {
    json_t *list = json_object_get(f->property_object, "reversed");
    for (size_t i = 0; i < json_array_size(list); i++) {
        json_t *one = json_array_get(list, i);
        if (json_is_integer(one) && json_integer_value(one) == (json_int_t)at) return true;
    }
    return false;
}

/* A linear ring: closed in the file, open in the survey. */
static void read_ring(const feature *f, size_t at, survey_ring *out) {
    json_path here = {&f->coordinates, NULL, at};
    objects_read_points(in_of(f), &here, json_array_get(f->coordinate_list, at), 4, true, &out->points,
                        &out->n_points);
    if (out->n_points < 4) return;
    survey_point first = out->points[0], last = out->points[out->n_points - 1];
    if (first.u_m == last.u_m && first.v_m == last.v_m)
        out->n_points--;
    else
        json_in_fault(in_of(f), &here, NULL,
                      "does not close: its last point must repeat its first (RFC 7946, 3.1.6)");
    if (was_reversed(f, at)) reverse_ring(out);
}

static void take_face(const feature *f) {
    json_in *in = in_of(f);
    survey_face face = {0};
    size_t before = fault_list_count(in->faults), rings = json_array_size(f->coordinate_list);
    objects_read_face(in, &f->properties, f->property_object, false, &face);
    if (!want_type(f, "Polygon", "a face")) return;
    if (rings == 0) json_in_fault(in, &f->geometry, "coordinates", "holds no ring");
    for (size_t i = 0; i < rings; i++) {
        survey_ring ring = {0};
        read_ring(f, i, &ring);
        if (i == 0) {
            face.outline = ring;
            continue;
        }
        survey_ring *openings = arena_push(in->memory, face.openings, &face.n_openings, sizeof *openings);
        if (!openings) {
            fault_list_memory(in->faults);
            return;
        }
        face.openings = openings;
        openings[face.n_openings - 1] = ring;
    }
    if (fault_list_count(in->faults) == before) merge_face(f->m, f->at, &face);
}

static void take_fold(const feature *f) {
    json_in *in = in_of(f);
    survey_fold fold = {0};
    size_t before = fault_list_count(in->faults);
    objects_read_fold(in, &f->properties, f->property_object, &fold);
    if (fault_list_count(in->faults) == before) merge_fold(f->m, f->at, &fold);
}

/* `n` zeroed parts, or NULL with the loss noted. */
static survey_part *make_parts(const feature *f, survey_defect *d, size_t n) {
    d->parts = arena_get(in_of(f)->memory, n, sizeof *d->parts);
    d->n_parts = d->parts ? n : 0;
    if (!d->parts) fault_list_memory(in_of(f)->faults);
    return d->parts;
}

static void read_honeycomb(const feature *f, survey_defect *d) {
    survey_ring ring = {0};
    if (!want_type(f, "Polygon", "honeycomb") || !make_parts(f, d, 1)) return;
    if (json_array_size(f->coordinate_list) == 1) {
        read_ring(f, 0, &ring);
        d->parts[0].points = ring.points;
        d->parts[0].n_points = ring.n_points;
    } else
        json_in_fault(in_of(f), &f->geometry, "coordinates", "has %zu rings; an area of honeycomb has one",
                      json_array_size(f->coordinate_list));
}

static void read_single_point(const feature *f, survey_defect *d) {
    if (!want_type(f, "Point", survey_kind_words[d->kind]) || !make_parts(f, d, 1)) return;
    json_t *list = json_pack("[O]", f->coordinate_list);
    if (list)
        objects_read_points(in_of(f), &f->coordinates, list, 1, true, &d->parts[0].points,
                            &d->parts[0].n_points);
    else
        fault_list_memory(in_of(f)->faults);
    json_decref(list);
}

static void read_lines(const feature *f, survey_defect *d) {
    bool many = strcmp(f->type, "MultiLineString") == 0;
    if (!many && !want_type(f, "LineString", survey_kind_words[d->kind])) return;
    size_t n = many ? json_array_size(f->coordinate_list) : 1;
    if (n == 0 || n > 1000) {
        json_in_fault(in_of(f), &f->geometry, "coordinates", "has %zu lines; it must have 1 to 1000", n);
        return;
    }
    if (!make_parts(f, d, n)) return;
    for (size_t i = 0; i < n; i++) {
        json_path here = {&f->coordinates, NULL, i};
        json_t *line = many ? json_array_get(f->coordinate_list, i) : f->coordinate_list;
        objects_read_points(in_of(f), many ? &here : &f->coordinates, line, 2, true, &d->parts[i].points,
                            &d->parts[i].n_points);
    }
}

/* "face" for one part, "faces" for several. */
static void read_faces(const feature *f, survey_defect *d) {
    json_in *in = in_of(f);
    json_t *faces = json_object_get(f->property_object, "faces");
    json_t *face = json_object_get(f->property_object, "face");
    if (faces && (json_array_size(faces) != d->n_parts || face)) {
        json_in_fault(
            in, &f->properties, "faces",
            "names %zu faces for %zu lines; give one face a line, or \"face\" alone for a single one",
            json_array_size(faces), d->n_parts);
        return;
    }
    for (size_t i = 0; i < d->n_parts; i++) {
        json_t *name = faces ? json_array_get(faces, i) : face;
        if (!json_is_string(name) || json_string_length(name) == 0 || json_string_length(name) > 40 ||
            (!faces && d->n_parts > 1)) {
            json_in_fault(in, &f->properties, d->n_parts > 1 ? "faces" : "face",
                          "is missing or is no name of 1 to 40 bytes");
            return;
        }
        d->parts[i].face = arena_copy(in->memory, json_string_value(name));
        if (!d->parts[i].face) fault_list_memory(in->faults);
    }
}

static void take_defect(const feature *f) {
    json_in *in = in_of(f);
    survey_defect d = {0};
    size_t before = fault_list_count(in->faults);
    objects_read_defect(in, &f->properties, f->property_object, false, &d);
    if (fault_list_count(in->faults) != before) return; /* the kind decides how the geometry is read */
    if (survey_is_line(d.kind))
        read_lines(f, &d);
    else if (d.kind == KIND_HONEYCOMB)
        read_honeycomb(f, &d);
    else
        read_single_point(f, &d);
    if (fault_list_count(in->faults) == before) read_faces(f, &d);
    if (fault_list_count(in->faults) == before) merge_defect(f->m, f->at, &d);
}

/* geometry: an object with type and coordinates, or null for a fold. */
static bool open_geometry(feature *f, json_t *object, bool needed) {
    json_in *in = in_of(f);
    json_t *geometry = json_object_get(object, "geometry");
    f->type = "";
    if (!needed && (!geometry || json_is_null(geometry))) return true;
    if (!json_is_object(geometry)) {
        json_in_fault(in, f->at, "geometry", "is missing");
        return false;
    }
    json_t *type = json_object_get(geometry, "type");
    if (!json_is_string(type)) {
        json_in_fault(in, &f->geometry, "type", "is missing");
        return false;
    }
    f->type = json_string_value(type);
    f->coordinate_list = json_in_array(in, &f->geometry, geometry, "coordinates", true);
    return f->coordinate_list != NULL;
}

static void take_feature(merger *m, const json_path *at, json_t *object) {
    static const char *const kinds[] = {"defect", "face", "fold"};
    feature f = {.m = m, .at = at, .geometry = {at, "geometry", 0}, .properties = {at, "properties", 0}};
    json_t *type = json_object_get(object, "type");
    int kind = 0;
    f.coordinates = (json_path){&f.geometry, "coordinates", 0};
    if (!json_is_string(type) || strcmp(json_string_value(type), "Feature") != 0) {
        json_in_fault(m->in, at, "type", "is not \"Feature\"");
        return;
    }
    f.property_object = json_object_get(object, "properties");
    if (!json_is_object(f.property_object)) {
        json_in_fault(m->in, at, "properties", "is missing; mark, kind and face belong there");
        return;
    }
    if (!json_in_word(m->in, &f.properties, f.property_object, "object", kinds, COUNT_OF(kinds), false,
                      &kind))
        return;
    if (!open_geometry(&f, object, kind != 2)) return;
    if (kind == 0)
        take_defect(&f);
    else if (kind == 1)
        take_face(&f);
    else
        take_fold(&f);
}

static void read_collection(survey *into, json_in *in, json_t *root) {
    static const char *const systems[] = {"metric", "us"};
    json_path up = {NULL, "features", 0};
    json_t *type = json_object_get(root, "type");
    int system = 0;
    merger m;
    if (!json_is_string(type) || strcmp(json_string_value(type), "FeatureCollection") != 0) {
        json_in_fault(in, NULL, "type", "is not \"FeatureCollection\"");
        return;
    }
    if (!json_in_word(in, NULL, root, "units", systems, COUNT_OF(systems), false, &system)) return;
    in->system = system == 1 ? UNITS_US : UNITS_METRIC;
    json_t *list = json_in_array(in, NULL, root, "features", true);
    if (merge_begin(&m, into, in))
        for (size_t i = 0; list && i < json_array_size(list); i++) {
            json_path here = {&up, NULL, i};
            json_t *one = json_array_get(list, i);
            if (json_in_is_object(in, &here, one)) take_feature(&m, &here, one);
        }
    merge_end(&m);
}

bool survey_read_geojson(survey *into, const char *source, const char *bytes, size_t length,
                         fault_list *faults) {
    size_t before = fault_list_count(faults);
    json_in in = {source, faults, UNITS_METRIC, into->memory};
    json_t *root = json_in_parse(&in, bytes, length);
    if (root && json_in_is_object(&in, NULL, root)) read_collection(into, &in, root);
    json_decref(root);
    return fault_list_count(faults) == before;
}
