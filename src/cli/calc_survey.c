#include "cli/calc_survey.h"

#include "survey/objects.h"

static void *room(json_in *in, size_t size, calc_value *out) {
    out->custom = arena_get(in->memory, 1, size);
    if (!out->custom) fault_list_memory(in->faults);
    return out->custom;
}

bool calc_read_site(json_in *in, const json_path *at, json_t *value, calc_value *out) {
    size_t before = fault_list_count(in->faults);
    survey *usual = survey_new();
    survey_site *site = room(in, sizeof *site, out);
    if (!usual) fault_list_memory(in->faults);
    if (usual && site) *site = usual->site;
    survey_free(usual);
    if (site && json_in_is_object(in, at, value)) objects_read_site(in, at, value, site);
    if (site && site->system != UNITS_METRIC)
        json_in_fault(in, at, "units", "is us, and calc speaks metric units only");
    return fault_list_count(in->faults) == before;
}

bool calc_read_face(json_in *in, const json_path *at, json_t *value, calc_value *out) {
    size_t before = fault_list_count(in->faults);
    survey_face *face = room(in, sizeof *face, out);
    if (face && json_in_is_object(in, at, value)) objects_read_face(in, at, value, true, face);
    return fault_list_count(in->faults) == before;
}

bool calc_read_defect(json_in *in, const json_path *at, json_t *value, calc_value *out) {
    size_t before = fault_list_count(in->faults);
    survey_defect *d = room(in, sizeof *d, out);
    if (d && json_in_is_object(in, at, value)) objects_read_defect(in, at, value, true, d);
    return fault_list_count(in->faults) == before;
}

bool calc_read_truth(json_in *in, const json_path *at, json_t *value, calc_value *out) {
    if (json_is_boolean(value)) {
        out->word = json_is_true(value);
        return true;
    }
    json_in_fault(in, at, NULL, "is neither true nor false");
    return false;
}

bool calc_read_methods(json_in *in, const json_path *at, json_t *value, calc_value *out) {
    size_t before = fault_list_count(in->faults);
    unsigned *set = room(in, sizeof *set, out);
    if (!json_is_array(value))
        json_in_fault(in, at, NULL, "is no list of methods");
    else if (set)
        objects_read_words(in, at, value, &objects_methods, set);
    return fault_list_count(in->faults) == before;
}
