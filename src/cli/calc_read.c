#include "cli/calc_table.h"

#include <assert.h>
#include <math.h>
#include <string.h>

static bool read_object(json_in *in, const json_path *at, json_t *from, const calc_field *fields,
                        size_t count, calc_object *out);

static bool lost(json_in *in) {
    fault_list_memory(in->faults);
    return false;
}

static bool read_number(json_in *in, const json_path *at, json_t *object, const calc_field *f,
                        calc_value *out) {
    double typed;
    if (!json_in_number(in, at, object, f->name, &f->range, NULL, &typed)) return false;
    out->number = units_to_si(f->quantity, UNITS_METRIC, typed);
    return true;
}

static bool inside(const json_range *r, double v) {
    return (r->above ? v > r->low : v >= r->low) && (r->below ? v < r->high : v <= r->high);
}

/* The sentence for an element that is no number or out of range: json_in reads members, so the element is
 * made one whose name is its path. */
static void refuse_element(json_in *in, const json_path *at, json_t *value, const calc_field *f) {
    char path[200];
    double unused;
    json_t *wrap = json_object();
    json_in_path(at, NULL, path, sizeof path);
    if (wrap && json_object_set(wrap, path, value) == 0)
        json_in_number(in, NULL, wrap, path, &f->range, NULL, &unused);
    else
        fault_list_memory(in->faults);
    json_decref(wrap);
}

static bool read_element(json_in *in, const json_path *at, const json_t *list, size_t i, const calc_field *f,
                         double *out) {
    json_t *value = json_array_get(list, i);
    json_path element = {at, NULL, i};
    double typed = json_is_number(value) ? json_number_value(value) : HUGE_VAL;
    if (inside(&f->range, typed)) {
        *out = units_to_si(f->quantity, UNITS_METRIC, typed);
        return true;
    }
    refuse_element(in, &element, value, f);
    return false;
}

static bool read_numbers(json_in *in, const json_path *at, const json_t *list, const calc_field *f,
                         double *into) {
    bool good = true;
    for (size_t i = 0; i < json_array_size(list); i++) good &= read_element(in, at, list, i, f, &into[i]);
    return good;
}

static bool read_matrix(json_in *in, const json_path *at, const json_t *list, const calc_field *f,
                        calc_value *out) {
    bool good = true;
    out->columns = f->columns ? f->columns : json_array_size(json_array_get(list, 0));
    out->numbers = arena_get(in->memory, out->count * out->columns, sizeof *out->numbers);
    if (!out->numbers) return lost(in);
    for (size_t i = 0; i < out->count; i++) {
        json_path row = {at, NULL, i};
        const json_t *from = json_array_get(list, i);
        if (json_array_size(from) == out->columns && out->columns > 0) {
            good &= read_numbers(in, &row, from, f, out->numbers + i * out->columns);
            continue;
        }
        good = false;
        if (!json_is_array(from))
            json_in_fault(in, &row, NULL, "is no list of numbers");
        else
            json_in_fault(in, &row, NULL, "has %zu numbers; it must have %zu", json_array_size(from),
                          out->columns ? out->columns : (size_t)1);
    }
    return good;
}

static bool read_objects(json_in *in, const json_path *at, const json_t *list, const calc_field *f,
                         calc_value *out) {
    bool good = true;
    out->objects = arena_get(in->memory, out->count, sizeof *out->objects);
    if (!out->objects) return lost(in);
    for (size_t i = 0; i < out->count; i++) {
        json_path element = {at, NULL, i};
        good &=
            read_object(in, &element, json_array_get(list, i), f->fields, f->fields_count, &out->objects[i]);
    }
    return good;
}

bool calc_read_list(json_in *in, const json_path *at, json_t *list, const calc_field *f, calc_value *out) {
    size_t most = f->most ? f->most : CALC_MOST;
    if (!json_is_array(list)) {
        json_in_fault(in, at, NULL, "is no list");
        return false;
    }
    out->count = json_array_size(list);
    if (out->count < f->least || out->count > most) {
        json_in_fault(in, at, NULL, "has %zu elements; it must have %zu to %zu", out->count, f->least, most);
        return false;
    }
    if (f->kind == CALC_MATRIX) return read_matrix(in, at, list, f, out);
    if (f->kind == CALC_OBJECTS) return read_objects(in, at, list, f, out);
    out->numbers = arena_get(in->memory, out->count, sizeof *out->numbers);
    if (!out->numbers) return lost(in);
    return read_numbers(in, at, list, f, out->numbers);
}

/* A member that is there, by its kind. */
static bool read_member(json_in *in, const json_path *at, json_t *object, const calc_field *f,
                        calc_value *out) {
    json_path inside = {at, f->name, 0};
    json_t *value = json_object_get(object, f->name);
    if (json_is_null(value)) {
        json_in_fault(in, at, f->name, "is null; leave the field out where there is no value");
        return false;
    }
    switch (f->kind) {
    case CALC_NUMBER: return read_number(in, at, object, f, out);
    case CALC_WORD: return json_in_word(in, at, object, f->name, f->words, f->words_count, true, &out->word);
    case CALC_TEXT: return json_in_text(in, at, object, f->name, (size_t)f->range.high, true, &out->text);
    case CALC_NUMBERS:
    case CALC_MATRIX:
    case CALC_OBJECTS: return calc_read_list(in, &inside, value, f, out);
    case CALC_OBJECT:
        out->count = 1;
        out->objects = arena_get(in->memory, 1, sizeof *out->objects);
        if (!out->objects) return lost(in);
        return read_object(in, &inside, value, f->fields, f->fields_count, out->objects);
    case CALC_CUSTOM: return f->read(in, &inside, value, out);
    }
    return false;
}

static bool read_field(json_in *in, const json_path *at, json_t *object, const calc_field *f,
                       calc_value *out) {
    const json_t *value = json_object_get(object, f->name);
    out->given = value && !(f->or_null && json_is_null(value));
    if (out->given) return read_member(in, at, object, f, out);
    if (f->required) json_in_fault(in, at, f->name, "is missing");
    if (f->origin && f->kind == CALC_WORD) out->word = (int)f->fallback;
    if (f->origin && f->kind == CALC_NUMBER)
        out->number = units_to_si(f->quantity, UNITS_METRIC, f->fallback);
    return !f->required;
}

static bool read_object(json_in *in, const json_path *at, json_t *from, const calc_field *fields,
                        size_t count, calc_object *out) {
    bool good = true;
    *out = (calc_object){fields, count, NULL};
    if (!json_in_is_object(in, at, from)) return false;
    const char **known = arena_get(in->memory, count, sizeof *known);
    out->values = arena_get(in->memory, count, sizeof *out->values);
    if (!known || !out->values) return lost(in);
    for (size_t i = 0; i < count; i++) known[i] = fields[i].name;
    size_t before = fault_list_count(in->faults);
    json_in_only(in, at, from, known, count);
    for (size_t i = 0; i < count; i++) good &= read_field(in, at, from, &fields[i], &out->values[i]);
    return good && fault_list_count(in->faults) == before;
}

bool calc_read(json_in *in, const calc_row *row, const char *bytes, size_t length, calc_object *out) {
    json_t *root = json_in_parse(in, bytes, length);
    if (!root) return false;
    bool good = read_object(in, NULL, root, row->fields, row->fields_count, out);
    json_decref(root);
    return good;
}

const calc_value *calc_get(const calc_object *o, const char *name) {
    for (size_t i = 0; i < o->fields_count; i++)
        if (strcmp(o->fields[i].name, name) == 0) return &o->values[i];
    assert(false); /* a field that the row does not have */
    return NULL;
}

double calc_number(const calc_object *o, const char *name) {
    return calc_get(o, name)->number;
}

bool calc_given(const calc_object *o, const char *name) {
    return calc_get(o, name)->given;
}
