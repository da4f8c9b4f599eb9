#include "survey/object.h"

#include "survey/objects.h"

#include <string.h>

const char *const object_words[OBJECT_KINDS] = {"site", "folds",    "face", "defect",
                                                "tank", "material", "rate", "price"};
const char *const object_members[OBJECT_KINDS] = {"site",  "folds",     "faces", "defects",
                                                  "tanks", "materials", "rates", "prices"};

/* Where the list of a kind lies in a survey, and the key in an element. */
typedef struct {
    size_t size, array_at, n_at, key_at;
} listed;

#define LISTED(type, array, n, key)                                                                          \
    { sizeof(type), offsetof(survey, array), offsetof(survey, n), offsetof(type, key) }

static const listed lists[OBJECT_KINDS] = {
    [OBJECT_FACE] = LISTED(survey_face, faces, n_faces, id),
    [OBJECT_DEFECT] = LISTED(survey_defect, defects, n_defects, mark),
    [OBJECT_TANK] = LISTED(survey_tank, tanks, n_tanks, id),
    [OBJECT_MATERIAL] = LISTED(survey_material, materials, n_materials, id),
    [OBJECT_RATE] = LISTED(survey_rate, rates, n_rates, id),
    [OBJECT_PRICE] = LISTED(survey_price, prices, n_prices, id),
};

bool object_is_listed(object_kind kind) {
    return lists[kind].size > 0;
}

static void *array_of(const survey *s, object_kind kind) {
    void *array;
    memcpy(&array, (const char *)s + lists[kind].array_at, sizeof array);
    return array;
}

static size_t *n_of(survey *s, object_kind kind) {
    return (size_t *)(void *)((char *)s + lists[kind].n_at);
}

static void *element(const survey *s, object_kind kind, size_t at) {
    return (char *)array_of(s, kind) + at * lists[kind].size;
}

size_t object_count(const survey *s, object_kind kind) {
    size_t n = 1;
    if (object_is_listed(kind)) memcpy(&n, (const char *)s + lists[kind].n_at, sizeof n);
    return n;
}

object_any object_get(const survey *s, object_kind kind, size_t at) {
    object_any object = {0};
    if (kind == OBJECT_SITE)
        object.site = s->site;
    else if (kind == OBJECT_FOLDS)
        object.folds = (object_folds){s->folds, s->n_folds};
    else
        memcpy(&object, element(s, kind, at), lists[kind].size);
    return object;
}

static const char *key_at(object_kind kind, const void *object) {
    const char *key;
    memcpy(&key, (const char *)object + lists[kind].key_at, sizeof key);
    return key;
}

const char *object_key(object_kind kind, const object_any *object) {
    return object_is_listed(kind) ? key_at(kind, object) : "";
}

/* The hours of a typical year are no part of the site that is edited: they stay. */
static void put_site(survey *s, const survey_site *site) {
    survey_weather *year = s->site.year;
    size_t n_year = s->site.n_year;
    s->site = *site;
    s->site.year = year;
    s->site.n_year = n_year;
}

void object_put(survey *s, object_kind kind, size_t at, const object_any *object) {
    if (kind == OBJECT_SITE)
        put_site(s, &object->site);
    else if (kind == OBJECT_FOLDS) {
        s->folds = object->folds.list;
        s->n_folds = object->folds.n;
    } else
        memcpy(element(s, kind, at), object, lists[kind].size);
}

bool object_append(survey *s, object_kind kind, const object_any *object) {
    size_t *n = n_of(s, kind);
    void *more = arena_push(s->memory, array_of(s, kind), n, lists[kind].size);
    if (!more) return false;
    memcpy((char *)s + lists[kind].array_at, &more, sizeof more);
    object_put(s, kind, *n - 1, object);
    return true;
}

void object_close_up(survey *s, object_kind kind) {
    size_t kept = 0, *n = n_of(s, kind);
    for (size_t i = 0; i < *n; i++) {
        if (!key_at(kind, element(s, kind, i))) continue;
        if (kept < i) memcpy(element(s, kind, kept), element(s, kind, i), lists[kind].size);
        kept++;
    }
    *n = kept;
}

static void read_folds(json_in *in, json_t *list, object_folds *out) {
    static const json_path up = {NULL, "folds", 0};
    for (size_t i = 0; i < json_array_size(list); i++) {
        json_path here = {&up, NULL, i};
        survey_fold *more = arena_push(in->memory, out->list, &out->n, sizeof *more);
        if (!more) {
            fault_list_memory(in->faults);
            return;
        }
        out->list = more;
        if (json_in_is_object(in, &here, json_array_get(list, i)))
            objects_read_fold(in, &here, json_array_get(list, i), &more[out->n - 1]);
    }
}

void object_read(json_in *in, object_kind kind, json_t *value, object_any *out) {
    *out = (object_any){0};
    if (kind == OBJECT_FOLDS) {
        if (json_is_array(value))
            read_folds(in, value, &out->folds);
        else
            json_in_fault(in, NULL, NULL, "is no list");
        return;
    }
    if (!json_in_is_object(in, NULL, value)) return;
    switch (kind) {
    case OBJECT_SITE: objects_read_whole_site(in, NULL, value, &out->site); break;
    case OBJECT_FACE: objects_read_face(in, NULL, value, true, &out->face); break;
    case OBJECT_DEFECT: objects_read_defect(in, NULL, value, true, &out->defect); break;
    case OBJECT_TANK: objects_read_tank(in, NULL, value, &out->tank); break;
    case OBJECT_MATERIAL: objects_read_material(in, NULL, value, &out->material); break;
    case OBJECT_RATE: objects_read_rate(in, NULL, value, &out->rate); break;
    case OBJECT_PRICE: objects_read_price(in, NULL, value, &out->price); break;
    case OBJECT_FOLDS:
    case OBJECT_KINDS: break;
    }
}

static void write_folds(json_out *o, const object_folds *folds) {
    json_out_open(o, NULL, '[');
    for (size_t i = 0; i < folds->n; i++) {
        json_out_open(o, NULL, '{');
        objects_write_fold(o, &folds->list[i]);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

void object_write(object_kind kind, units_system system, const object_any *object, text *to) {
    json_out o = {.to = to, .system = system};
    if (kind == OBJECT_FOLDS) {
        write_folds(&o, &object->folds);
        return;
    }
    json_out_open(&o, NULL, '{');
    switch (kind) {
    case OBJECT_SITE: objects_write_site(&o, &object->site); break;
    case OBJECT_FACE: objects_write_face(&o, &object->face, true); break;
    case OBJECT_DEFECT: objects_write_defect(&o, &object->defect, true); break;
    case OBJECT_TANK: objects_write_tank(&o, &object->tank); break;
    case OBJECT_MATERIAL: objects_write_material(&o, &object->material); break;
    case OBJECT_RATE: objects_write_rate(&o, &object->rate); break;
    case OBJECT_PRICE: objects_write_price(&o, &object->price); break;
    case OBJECT_FOLDS:
    case OBJECT_KINDS: break;
    }
    json_out_close(&o, '}');
}

char *object_hash(object_kind kind, units_system system, const object_any *object, char into[HASH_TEXT]) {
    text json = {0};
    object_write(kind, system, object, &json);
    char *hash = json.failed ? NULL : hash_text(json.bytes, json.length, into);
    text_free(&json);
    return hash;
}
