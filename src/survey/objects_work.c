/* When and by whom a site is worked on, in and out. */
#include "survey/fields.h"
#include "survey/objects.h"
#include "survey/work.h"

#include "core/date.h"

#include <stdlib.h>
#include <string.h>

const objects_words objects_days = {survey_day_words, SURVEY_WEEK_DAYS, "day of the week"};

static bool short_enough(json_in *in, const json_path *at, json_t *list, size_t most) {
    if (json_array_size(list) <= most) return true;
    json_in_fault(in, at, NULL, "has %zu entries; it may have at most %zu", json_array_size(list), most);
    return false;
}

static int by_date(const void *a, const void *b) {
    const char *left, *right;
    memcpy(&left, a, sizeof left);
    memcpy(&right, b, sizeof right);
    return strcmp(left, right);
}

static void read_days(json_in *in, const json_path *at, json_t *object, survey_work *out) {
    json_t *list = json_in_array(in, at, object, "days", false);
    if (list && json_array_size(list) == 0)
        json_in_fault(in, at, "days",
                      "is empty; name the days of work, or leave it out for Monday to Friday");
    objects_read_words_member(in, at, object, "days", &objects_days, &out->days);
}

static void read_holidays(json_in *in, const json_path *at, json_t *object, survey_work *out) {
    json_path up = {at, "holidays", 0};
    json_t *list = json_in_array(in, at, object, "holidays", false);
    if (!list || json_array_size(list) == 0 || !short_enough(in, &up, list, WORK_HOLIDAYS_MOST)) return;
    size_t n = json_array_size(list), before = fault_list_count(in->faults);
    const char **dates = arena_get(in->memory, n, sizeof *dates);
    if (!dates) {
        fault_list_memory(in->faults);
        return;
    }
    for (size_t i = 0; i < n; i++) {
        json_path here = {&up, NULL, i};
        const char *given = json_string_value(json_array_get(list, i));
        long long day;
        if (!date_day(given, &day))
            json_in_fault(in, &here, NULL, "is no date; write YYYY-MM-DD");
        else if (!(dates[i] = arena_copy(in->memory, given)))
            fault_list_memory(in->faults);
    }
    if (fault_list_count(in->faults) != before) return;
    qsort(dates, n, sizeof *dates, by_date);
    out->holidays = dates;
    out->n_holidays = n;
}

static void read_plant(json_in *in, const json_path *at, json_t *object, survey_work *out) {
    json_path here = {at, "plant", 0};
    json_t *value = json_object_get(object, "plant");
    if (!value || json_is_null(value) || !json_in_is_object(in, &here, value)) return;
    survey_fields_read(in, &here, value, survey_plant_fields, NULL, 0, false, out);
}

static void read_workers(json_in *in, const json_path *at, json_t *object, survey_work *out) {
    json_path up = {at, "workers", 0};
    json_t *list = json_in_array(in, at, object, "workers", false);
    size_t n = json_array_size(list);
    if (n == 0 || !short_enough(in, &up, list, WORK_WORKERS_MOST)) return;
    survey_worker *workers = arena_get(in->memory, n, sizeof *workers);
    if (!workers) {
        fault_list_memory(in->faults);
        return;
    }
    for (size_t i = 0; i < n; i++) {
        json_path here = {&up, NULL, i};
        json_t *one = json_array_get(list, i);
        if (json_in_is_object(in, &here, one))
            survey_fields_read(in, &here, one, survey_worker_fields, NULL, 0, false, &workers[i]);
    }
    out->workers = workers;
    out->n_workers = n;
}

void objects_read_work(json_in *in, const json_path *at, json_t *object, bool keep, survey_work *out) {
    static const char *const others[] = {"days", "holidays", "plant", "workers"};
    json_path here = {at, "work", 0};
    json_t *value = json_object_get(object, "work");
    if (!value && keep) return;
    *out = (survey_work){0};
    if (!value || json_is_null(value) || !json_in_is_object(in, &here, value)) return;
    survey_fields_read(in, &here, value, survey_work_fields, others, sizeof others / sizeof *others, false,
                       out);
    read_days(in, &here, value, out);
    read_holidays(in, &here, value, out);
    read_plant(in, &here, value, out);
    read_workers(in, &here, value, out);
}

static bool is_given(const survey_work *w) {
    static const survey_work nothing;
    return w->days || w->n_holidays > 0 || w->n_workers > 0 ||
           !survey_fields_equal(survey_work_fields, w, &nothing) ||
           !survey_fields_equal(survey_plant_fields, w, &nothing);
}

static void write_holidays(json_out *o, const survey_work *w) {
    int indent = o->indent;
    if (w->n_holidays == 0) return;
    json_out_open(o, "holidays", '[');
    o->indent = 0;
    for (size_t i = 0; i < w->n_holidays; i++) json_out_text(o, NULL, w->holidays[i]);
    json_out_close(o, ']');
    o->indent = indent;
}

static void write_plant(json_out *o, const survey_work *w) {
    static const survey_work nothing;
    int indent = o->indent;
    if (survey_fields_equal(survey_plant_fields, w, &nothing)) return;
    json_out_open(o, "plant", '{');
    o->indent = 0;
    survey_fields_write(o, survey_plant_fields, false, w);
    json_out_close(o, '}');
    o->indent = indent;
}

static void write_workers(json_out *o, const survey_work *w) {
    int indent = o->indent;
    if (w->n_workers == 0) return;
    json_out_open(o, "workers", '[');
    for (size_t i = 0; i < w->n_workers; i++) {
        json_out_open(o, NULL, '{');
        o->indent = 0;
        survey_fields_write(o, survey_worker_fields, false, &w->workers[i]);
        json_out_close(o, '}');
        o->indent = indent;
    }
    json_out_close(o, ']');
}

void objects_write_work(json_out *o, const survey_work *w) {
    if (!is_given(w)) return;
    json_out_open(o, "work", '{');
    survey_fields_write(o, survey_work_fields, false, w);
    objects_write_words(o, "days", &objects_days, w->days);
    write_holidays(o, w);
    write_plant(o, w);
    write_workers(o, w);
    json_out_close(o, '}');
}
