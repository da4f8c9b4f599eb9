/* Weather hour by hour, in and out: the forecast of a site, and its typical year, which stands beside the site. */
#include "survey/fields.h"
#include "survey/objects.h"
#include "survey/work.h"

#include <math.h>
#include <stdlib.h>

enum { PER_HOUR = 3 };

static bool read_number(json_in *in, const survey_field *f, const json_t *number, double *out) {
    *out = units_to_si(f->q, in->system, json_number_value(number)) + 0.0;
    return json_is_number(number) && *out >= f->range.low && *out <= f->range.high;
}

static void tell_hour(json_in *in, const json_path *at) {
    json_in_fault(
        in, at, NULL, "must be three numbers: air %.4g to %.4g %s, humidity 0 to 100 %%, wind 0 to %.4g %s",
        units_from_si(UNITS_TEMPERATURE, in->system, SURVEY_COLDEST_C),
        units_from_si(UNITS_TEMPERATURE, in->system, SURVEY_WARMEST_C),
        units_symbol(UNITS_TEMPERATURE, in->system),
        units_from_si(UNITS_WIND, in->system, SURVEY_WINDIEST_KM_H), units_symbol(UNITS_WIND, in->system));
}

/* [[air, humidity, wind], ...], in the units of the document; NULL after a fault. */
static survey_weather *read_hours(json_in *in, const json_path *at, json_t *list) {
    const survey_field *fields = survey_weather_fields.fields;
    size_t n = json_array_size(list), before = fault_list_count(in->faults);
    survey_weather *hours = arena_get(in->memory, n, sizeof *hours);
    if (!hours) fault_list_memory(in->faults);
    for (size_t i = 0; hours && i < n; i++) {
        json_path here = {at, NULL, i};
        json_t *one = json_array_get(list, i);
        bool good = json_array_size(one) == PER_HOUR &&
                    read_number(in, &fields[0], json_array_get(one, 0), &hours[i].air_c) &&
                    read_number(in, &fields[1], json_array_get(one, 1), &hours[i].humidity_percent) &&
                    read_number(in, &fields[2], json_array_get(one, 2), &hours[i].wind_km_h);
        if (!good) tell_hour(in, &here);
    }
    return fault_list_count(in->faults) == before ? hours : NULL;
}

static void read_forecast(json_in *in, const json_path *at, json_t *object, survey_forecast *out) {
    static const char *const others[] = {"hours"};
    json_path here = {at, "hours", 0};
    survey_fields_read(in, at, object, survey_forecast_fields, others, 1, false, out);
    json_t *list = json_in_array(in, at, object, "hours", true);
    size_t n = json_array_size(list);
    if (list && (n == 0 || n > WORK_FORECAST_MOST_H))
        json_in_fault(in, at, "hours", "has %zu hours; it must have 1 to %d", n, WORK_FORECAST_MOST_H);
    else if (list && (out->hours = read_hours(in, &here, list)))
        out->n = n;
}

void objects_read_forecast(json_in *in, const json_path *at, json_t *object, bool keep,
                           survey_forecast *out) {
    json_path here = {at, "forecast", 0};
    json_t *value = json_object_get(object, "forecast");
    if (!value && keep) return;
    *out = (survey_forecast){0};
    if (value && !json_is_null(value) && json_in_is_object(in, &here, value))
        read_forecast(in, &here, value, out);
}

void objects_read_year(json_in *in, json_t *root, survey_site *into) {
    json_path here = {NULL, "typical_hours", 0};
    json_t *value = json_object_get(root, "typical_hours");
    if (!value) return;
    into->year = NULL;
    into->n_year = 0;
    json_t *list = json_in_array(in, NULL, root, "typical_hours", false);
    if (!list) return;
    if (json_array_size(list) != SURVEY_YEAR_HOURS)
        json_in_fault(in, NULL, "typical_hours", "has %zu hours; a typical year has %d",
                      json_array_size(list), SURVEY_YEAR_HOURS);
    else if ((into->year = read_hours(in, &here, list)))
        into->n_year = SURVEY_YEAR_HOURS;
}

/* As units_text; quick where two decimals are enough, as they are for weather that anybody typed: a year has 26,280 numbers. */
static void add_number(text *to, units_quantity q, units_system system, double si) {
    char number[TEXT_NUMBER];
    long hundredths = lround(units_from_si(q, system, si) * 100);
    if (units_to_si(q, system, (double)hundredths / 100) != si) {
        text_add(to, units_text(q, system, si, number));
        return;
    }
    unsigned long size = (unsigned long)labs(hundredths), rest = size % 100;
    text_print(to, "%s%lu", hundredths < 0 ? "-" : "", size / 100);
    if (rest % 10)
        text_print(to, ".%02lu", rest);
    else if (rest)
        text_print(to, ".%lu", rest / 10);
}

static void write_hours(json_out *o, const char *name, const survey_weather *hours, size_t n) {
    text list = {0};
    for (size_t i = 0; i < n; i++) {
        text_add(&list, i ? ",[" : "[[");
        add_number(&list, UNITS_TEMPERATURE, o->system, hours[i].air_c);
        text_add(&list, ",");
        add_number(&list, UNITS_PLAIN, o->system, hours[i].humidity_percent);
        text_add(&list, ",");
        add_number(&list, UNITS_WIND, o->system, hours[i].wind_km_h);
        text_add(&list, "]");
    }
    text_add(&list, "]");
    json_out_json(o, name, &list);
    text_free(&list);
}

void objects_write_forecast(json_out *o, const survey_forecast *f) {
    if (f->n == 0) return;
    json_out_open(o, "forecast", '{');
    survey_fields_write(o, survey_forecast_fields, false, f);
    write_hours(o, "hours", f->hours, f->n);
    json_out_close(o, '}');
}

void objects_write_year(json_out *o, const survey_site *site) {
    if (site->n_year > 0) write_hours(o, "typical_hours", site->year, site->n_year);
}
