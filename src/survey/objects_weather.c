/* The weather of a site: its log of the air and its typical year, in and out. */
#include "survey/fields.h"
#include "survey/objects.h"
#include "survey/readings.h"

#include <stdlib.h>

/* `keep`: a list that is absent stays as it is; JSON null takes it away. */
static json_t *given_list(json_in *in, const json_path *at, json_t *object, const char *field, bool keep,
                          bool *clears) {
    json_t *value = json_object_get(object, field);
    *clears = value ? true : !keep;
    return json_in_array(in, at, object, field, false);
}

static void read_air(json_in *in, const json_path *at, json_t *list, survey_site *into) {
    json_path up = {at, "air", 0};
    size_t n = json_array_size(list);
    if (n > READINGS_AIR_MOST) {
        json_in_fault(in, at, "air", "has %zu days; it may have at most %d", n, READINGS_AIR_MOST);
        return;
    }
    survey_air *air = arena_get(in->memory, n, sizeof *air);
    size_t before = fault_list_count(in->faults);
    if (!air) fault_list_memory(in->faults);
    for (size_t i = 0; air && i < n; i++) {
        json_path here = {&up, NULL, i};
        json_t *day = json_array_get(list, i);
        if (json_in_is_object(in, &here, day))
            survey_fields_read(in, &here, day, survey_air_fields, NULL, 0, false, &air[i]);
    }
    if (fault_list_count(in->faults) != before) return;
    readings_sort_air(air, n);
    into->air = air;
    into->n_air = n;
}

const char *objects_typical_name(units_system system) {
    return system == UNITS_US ? "typical_year_f" : "typical_year_c";
}

static void read_typical(json_in *in, const json_path *at, json_t *list, survey_site *into) {
    json_path up = {at, objects_typical_name(in->system), 0};
    size_t n = json_array_size(list);
    if (n != SURVEY_YEAR_DAYS) {
        json_in_fault(in, at, up.name, "has %zu numbers; a typical year has %d, one a day", n,
                      SURVEY_YEAR_DAYS);
        return;
    }
    double *days = arena_get(in->memory, n, sizeof *days);
    if (!days) fault_list_memory(in->faults);
    for (size_t i = 0; days && i < n; i++) {
        json_path here = {&up, NULL, i};
        json_t *number = json_array_get(list, i);
        days[i] = units_to_si(UNITS_TEMPERATURE, in->system, json_number_value(number)) + 0.0;
        if (json_is_number(number) && days[i] >= SURVEY_COLDEST_C && days[i] <= SURVEY_WARMEST_C) continue;
        json_in_fault(in, &here, NULL, "must be a number, %g to %g %s",
                      units_from_si(UNITS_TEMPERATURE, in->system, SURVEY_COLDEST_C),
                      units_from_si(UNITS_TEMPERATURE, in->system, SURVEY_WARMEST_C),
                      units_symbol(UNITS_TEMPERATURE, in->system));
    }
    into->typical_c = days;
    into->n_typical = days ? n : 0;
}

void objects_read_weather(json_in *in, const json_path *at, json_t *object, bool keep, survey_site *into) {
    bool clears;
    json_t *list = given_list(in, at, object, "air", keep, &clears);
    if (clears) {
        into->air = NULL;
        into->n_air = 0;
    }
    if (list) read_air(in, at, list, into);
    list = given_list(in, at, object, objects_typical_name(in->system), keep, &clears);
    if (clears) {
        into->typical_c = NULL;
        into->n_typical = 0;
    }
    if (list) read_typical(in, at, list, into);
}

void objects_write_weather(json_out *o, const survey_site *site) {
    char number[TEXT_NUMBER];
    int indent = o->indent;
    if (site->n_typical > 0) {
        json_out_open(o, objects_typical_name(o->system), '[');
        o->indent = 0;
        for (size_t i = 0; i < site->n_typical; i++)
            json_out_number(
                o, NULL, strtod(units_text(UNITS_TEMPERATURE, o->system, site->typical_c[i], number), NULL));
        json_out_close(o, ']');
        o->indent = indent;
    }
    if (site->n_air == 0) return;
    json_out_open(o, "air", '[');
    for (size_t i = 0; i < site->n_air; i++) {
        json_out_open(o, NULL, '{');
        o->indent = 0;
        survey_fields_write(o, survey_air_fields, false, &site->air[i]);
        json_out_close(o, '}');
        o->indent = indent;
    }
    json_out_close(o, ']');
}
