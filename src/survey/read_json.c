#include "survey/read_json.h"

#include "survey/merge.h"
#include "survey/objects.h"

#include <string.h>

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

/* One reader a list: read the object, and merge it when it brought no fault. */
typedef void list_reader(merger *m, const json_path *at, json_t *object);

static bool unchanged(const merger *m, size_t before) {
    return fault_list_count(m->in->faults) == before;
}

static void take_face(merger *m, const json_path *at, json_t *object) {
    size_t before = fault_list_count(m->in->faults);
    survey_face face = {0};
    objects_read_face(m->in, at, object, true, &face);
    if (unchanged(m, before)) merge_face(m, at, &face);
}

static void take_fold(merger *m, const json_path *at, json_t *object) {
    size_t before = fault_list_count(m->in->faults);
    survey_fold fold = {0};
    objects_read_fold(m->in, at, object, &fold);
    if (unchanged(m, before)) merge_fold(m, at, &fold);
}

static void take_defect(merger *m, const json_path *at, json_t *object) {
    size_t before = fault_list_count(m->in->faults);
    survey_defect defect = {0};
    objects_read_defect(m->in, at, object, true, &defect);
    if (unchanged(m, before)) merge_defect(m, at, &defect);
}

static void take_material(merger *m, const json_path *at, json_t *object) {
    size_t before = fault_list_count(m->in->faults);
    survey_material material = {0};
    objects_read_material(m->in, at, object, &material);
    if (unchanged(m, before)) merge_material(m, at, &material);
}

static void take_rate(merger *m, const json_path *at, json_t *object) {
    size_t before = fault_list_count(m->in->faults);
    survey_rate rate = {0};
    objects_read_rate(m->in, at, object, &rate);
    if (unchanged(m, before)) merge_rate(m, at, &rate);
}

static void take_price(merger *m, const json_path *at, json_t *object) {
    size_t before = fault_list_count(m->in->faults);
    survey_price price = {0};
    objects_read_price(m->in, at, object, &price);
    if (unchanged(m, before)) merge_price(m, at, &price);
}

static void take_tank(merger *m, const json_path *at, json_t *object) {
    size_t before = fault_list_count(m->in->faults);
    survey_tank tank = {0};
    objects_read_tank(m->in, at, object, &tank);
    if (unchanged(m, before)) merge_tank(m, at, &tank);
}

static void take_answer(merger *m, const json_path *at, json_t *object) {
    size_t before = fault_list_count(m->in->faults);
    survey_answer answer = {0};
    objects_read_answer(m->in, at, object, &answer);
    if (unchanged(m, before)) merge_answer(m, &answer);
}

static const struct {
    const char *name;
    list_reader *take;
} lists[] = {
    {"faces", take_face}, {"folds", take_fold},   {"defects", take_defect}, {"materials", take_material},
    {"rates", take_rate}, {"prices", take_price}, {"answers", take_answer}, {"tanks", take_tank},
};

static void read_list(merger *m, json_t *root, size_t which) {
    json_path up = {NULL, lists[which].name, 0};
    json_t *list = json_in_array(m->in, NULL, root, lists[which].name, false);
    for (size_t i = 0; list && i < json_array_size(list); i++) {
        json_path here = {&up, NULL, i};
        json_t *one = json_array_get(list, i);
        if (json_in_is_object(m->in, &here, one)) lists[which].take(m, &here, one);
    }
}

/* The two members that say what the document is. Without them nothing else is worth reading. */
static bool read_head(json_in *in, json_t *root) {
    static const char *const systems[] = {"metric", "us"};
    static const json_range one = {1, 1, false, false};
    double version;
    int system = 0;
    bool good = json_in_number(in, NULL, root, "stanch_survey", &one, NULL, &version);
    good = json_in_word(in, NULL, root, "units", systems, COUNT_OF(systems), true, &system) && good;
    in->system = system == 1 ? UNITS_US : UNITS_METRIC;
    return good;
}

static void read_document(survey *into, json_in *in, json_t *root) {
    static const char *const known[] = {"stanch_survey", "units",     "site",          "faces",
                                        "folds",         "defects",   "rates",         "prices",
                                        "answers",       "materials", "typical_hours", "tanks"};
    merger m;
    json_path at = {NULL, "site", 0};
    json_t *site = json_object_get(root, "site");
    json_in_only(in, NULL, root, known, COUNT_OF(known));
    if (merge_begin(&m, into, in)) {
        if (site && json_in_is_object(in, &at, site)) objects_read_site(in, &at, site, &into->site);
        objects_read_year(in, root, &into->site);
        for (size_t i = 0; i < COUNT_OF(lists); i++) read_list(&m, root, i);
    }
    merge_end(&m);
}

bool survey_read_json(survey *into, const char *source, const char *bytes, size_t length,
                      fault_list *faults) {
    size_t before = fault_list_count(faults);
    json_in in = {source, faults, UNITS_METRIC, into->memory};
    json_t *root = json_in_parse(&in, bytes, length);
    if (root && json_in_is_object(&in, NULL, root) && read_head(&in, root)) read_document(into, &in, root);
    json_decref(root);
    return fault_list_count(faults) == before;
}
