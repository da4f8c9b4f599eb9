/* Hours, plant, people and hourly weather of a site: in, checked, merged and out; and the shift with its defaults. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "core/date.h"
#include "survey/check.h"
#include "survey/object.h"
#include "survey/read_json.h"
#include "survey/read_table.h"
#include "survey/work.h"
#include "survey/write_json.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

typedef struct {
    survey *s;
    fault_list *faults;
} job;

static job begin(void) {
    return (job){survey_new(), fault_list_new()};
}

static void end(job *j) {
    survey_free(j->s);
    fault_list_free(j->faults);
}

static bool read_document(job *j, const char *json) {
    return survey_read_json(j->s, "a.json", json, strlen(json), j->faults) && survey_check(j->s, j->faults);
}

/* `site`: members of the site in metric units. */
static bool read_site(job *j, const char *site) {
    text t = {0};
    text_print(&t, "{\"stanch_survey\": 1, \"units\": \"metric\", \"site\": {%s}}", site);
    bool good = read_document(j, t.bytes);
    text_free(&t);
    return good;
}

static void must(job *j, const char *site) {
    if (!read_site(j, site)) fail_msg("%s", fault_list_text(j->faults, 0));
}

static void told(const job *j, const char *sentence) {
    for (size_t i = 0; i < fault_list_kept(j->faults); i++)
        if (strstr(fault_list_text(j->faults, i), sentence)) return;
    fail_msg("expected \"%s\", got \"%s\"", sentence,
             fault_list_count(j->faults) ? fault_list_text(j->faults, 0) : "no fault");
}

/* ---- JSON ---- */

static const char whole[] =
    "\"work\": {\"start_on\": \"2026-03-02\", \"back_on\": \"2026-03-27\", \"starts_h\": 6.5, \"break_h\": "
    "10, "
    "\"break_length_h\": 0.75, \"noise_from_h\": 8, \"noise_to_h\": 17, \"days\": [\"sat\", \"mon\"], "
    "\"holidays\": [\"2026-03-19\", \"2026-03-05\"], \"plant\": {\"cutter\": 2, \"lift\": 0}, "
    "\"workers\": [{\"name\": \"worker A\", \"cuts\": true, \"mixes\": true}, {\"name\": \"worker B\", "
    "\"places\": "
    "true}]}, \"still_air\": true, \"humidity_percent\": 85, "
    "\"forecast\": {\"from\": \"2026-03-02 07\", \"hours\": [[4.5, 81, 12], [5, 80.5, 0]]}";

static void test_members(void **state) {
    (void)state;
    job j = begin();
    must(&j, whole);
    const survey_site *site = &j.s->site;
    const survey_work *w = &site->work;
    assert_string_equal(w->start_on, "2026-03-02");
    assert_string_equal(w->back_on, "2026-03-27");
    assert_true(w->starts_h.known && w->starts_h.v == 6.5 && w->break_h.v == 10 &&
                w->break_length_h.v == 0.75);
    assert_true(w->noise_from_h.v == 8 && w->noise_to_h.v == 17);
    assert_int_equal(w->days, 1u << 5 | 1u);
    assert_int_equal(w->n_holidays, 2);
    assert_string_equal(w->holidays[0], "2026-03-05"); /* in order */
    assert_true(w->plant[PLANT_CUTTER].known && w->plant[PLANT_CUTTER].v == 2);
    assert_true(w->plant[PLANT_LIFT].known && w->plant[PLANT_LIFT].v == 0); /* none is not "not known" */
    assert_false(w->plant[PLANT_PUMP].known);
    assert_int_equal(w->n_workers, 2);
    assert_string_equal(w->workers[1].name, "worker B");
    assert_true(w->workers[0].cuts && !w->workers[0].places && w->workers[0].mixes && w->workers[1].places);
    assert_true(site->still_air && site->humidity_percent.v == 85);
    assert_string_equal(site->forecast.from, "2026-03-02T07:00"); /* in one form */
    assert_int_equal(site->forecast.n, 2);
    assert_true(site->forecast.hours[0].air_c == 4.5 && site->forecast.hours[1].humidity_percent == 80.5 &&
                site->forecast.hours[0].wind_km_h == 12);
    end(&j);
}

/* 1 mile is 1.609344 km; 41 F is 5 C. */
static void test_us_units(void **state) {
    (void)state;
    job j = begin();
    text out = {0};
    assert_true(
        read_document(&j, "{\"stanch_survey\": 1, \"units\": \"us\", \"site\": {\"units\": \"us\", "
                          "\"forecast\": {\"from\": \"2026-02-28T23:00\", \"hours\": [[41, 81, 7.1]]}}}"));
    assert_true(fabs(j.s->site.forecast.hours[0].air_c - 5) < 1e-12);
    assert_true(fabs(j.s->site.forecast.hours[0].wind_km_h - 7.1 * 1.609344) < 1e-12);
    survey_write_json(j.s, &out);
    assert_non_null(strstr(out.bytes, "\"hours\": [[41,81,7.1]]")); /* as typed */
    text_free(&out);
    end(&j);
}

/* What a document does not have stays; null takes it away; "work" is replaced whole. */
static void test_merge(void **state) {
    (void)state;
    job j = begin();
    must(&j, whole);
    must(&j, "\"name\": \"x\"");
    assert_int_equal(j.s->site.work.n_workers, 2);
    assert_int_equal(j.s->site.forecast.n, 2);
    must(&j, "\"work\": {\"starts_h\": 8}");
    assert_int_equal(j.s->site.work.n_workers, 0);
    assert_null(j.s->site.work.start_on);
    assert_int_equal(j.s->site.forecast.n, 2);
    must(&j, "\"work\": null, \"forecast\": null");
    assert_false(j.s->site.work.starts_h.known);
    assert_int_equal(j.s->site.forecast.n, 0);
    end(&j);
}

static void add_typical(text *t, const char *first, size_t n) {
    text_add(t, "\"typical_hours\": [");
    for (size_t i = 0; i < n; i++) text_add(t, i ? ",[10.5,80,12]" : first);
    text_add(t, "]");
}

/* The typical year stands beside the site: absent it stays, also when the site is edited as one object; null takes it away. */
static void test_typical_hours(void **state) {
    (void)state;
    job j = begin();
    text t = {0}, out = {0}, site = {0};
    text_add(&t, "{\"stanch_survey\": 1, \"units\": \"metric\", ");
    add_typical(&t, "[-7.25,100,0]", SURVEY_YEAR_HOURS);
    text_add(&t, "}");
    assert_true(read_document(&j, t.bytes));
    assert_int_equal(j.s->site.n_year, 8760);
    assert_true(j.s->site.year[0].air_c == -7.25 && j.s->site.year[8759].wind_km_h == 12);
    must(&j, "\"name\": \"x\"");
    assert_int_equal(j.s->site.n_year, 8760);
    object_any whole_site = object_get(j.s, OBJECT_SITE, 0);
    object_write(OBJECT_SITE, UNITS_METRIC, &whole_site, &site);
    assert_null(strstr(site.bytes, "typical_hours"));
    json_in in = {"", j.faults, UNITS_METRIC, j.s->memory};
    json_t *value = json_in_parse(&in, site.bytes, site.length);
    object_any edited;
    object_read(&in, OBJECT_SITE, value, &edited);
    json_decref(value);
    object_put(j.s, OBJECT_SITE, 0, &edited);
    assert_int_equal(j.s->site.n_year, 8760);
    survey_write_json(j.s, &out);
    assert_non_null(strstr(out.bytes, "\"typical_hours\": [[-7.25,100,0],[10.5,80,12],"));
    assert_true(read_document(&j, "{\"stanch_survey\": 1, \"units\": \"metric\", \"typical_hours\": null}"));
    assert_int_equal(j.s->site.n_year, 0);
    text_free(&t);
    text_free(&out);
    text_free(&site);
    end(&j);
}

static void test_json_faults(void **state) {
    (void)state;
    static const char *const cases[][2] = {
        {"\"work\": 3", "site.work: "},
        {"\"work\": {\"start_on\": \"2026-02-30\"}", "site.work.start_on: \"2026-02-30\" is no date"},
        {"\"work\": {\"starts_h\": 24.5}", "site.work.starts_h: is 24.5; it must lie in 0 to 24"},
        {"\"work\": {\"days\": [\"monday\"]}", "site.work.days[0]: \"monday\" is no day of the week"},
        {"\"work\": {\"days\": []}", "site.work.days: is empty; name the days of work"},
        {"\"work\": {\"holidays\": [\"2026-3-1\"]}", "site.work.holidays[0]: is no date; write YYYY-MM-DD"},
        {"\"work\": {\"holidays\": [7]}", "site.work.holidays[0]: is no date; write YYYY-MM-DD"},
        {"\"work\": {\"plant\": {\"cuter\": 1}}", "did you mean cutter"},
        {"\"work\": {\"plant\": {\"lift\": 101}}", "site.work.plant.lift: is 101; it must lie in 0 to 100"},
        {"\"work\": {\"workers\": [{\"cuts\": true}]}", "site.work.workers[0].name: "},
        {"\"work\": {\"worker\": []}", "did you mean workers"},
        {"\"humidity_percent\": 101", "site.humidity_percent: is 101; it must lie in 0 to 100"},
        {"\"forecast\": {\"hours\": [[1, 2, 3]]}", "site.forecast.from: "},
        {"\"forecast\": {\"from\": \"2026-03-02T07:30\", \"hours\": [[1, 2, 3]]}",
         "site.forecast.from: \"2026-03-02T07:30\" is no full hour; write YYYY-MM-DDTHH:00"},
        {"\"forecast\": {\"from\": \"2026-03-02T07:00\"}", "site.forecast.hours: "},
        {"\"forecast\": {\"from\": \"2026-03-02T07:00\", \"hours\": []}",
         "site.forecast.hours: has 0 hours; it must have 1 to 8784"},
        {"\"forecast\": {\"from\": \"2026-03-02T07:00\", \"hours\": [[1, 2, 3], [1, 2]]}",
         "site.forecast.hours[1]: must be three numbers: air -50 to 60 °C, humidity 0 to 100 %, wind 0 to "
         "200 km/h"},
        {"\"forecast\": {\"from\": \"2026-03-02T07:00\", \"hours\": [[1, 2, 3, 4]]}",
         "hours[0]: must be three numbers"},
        {"\"forecast\": {\"from\": \"2026-03-02T07:00\", \"hours\": [[61, 2, 3]]}",
         "hours[0]: must be three numbers"},
        {"\"forecast\": {\"from\": \"2026-03-02T07:00\", \"hours\": [[6, 102, 3]]}",
         "hours[0]: must be three numbers"},
        {"\"forecast\": {\"from\": \"2026-03-02T07:00\", \"hours\": [[6, 2, 201]]}",
         "hours[0]: must be three numbers"},
        {"\"forecast\": {\"from\": \"2026-03-02T07:00\", \"hours\": [[6, 2, \"3\"]]}",
         "hours[0]: must be three numbers"},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        job j = begin();
        if (read_site(&j, cases[i][0])) fail_msg("took: %s", cases[i][0]);
        told(&j, cases[i][1]);
        end(&j);
    }
    job j = begin();
    assert_false(
        read_document(&j, "{\"stanch_survey\": 1, \"units\": \"metric\", \"typical_hours\": [[1, 2, 3]]}"));
    told(&j, "typical_hours: has 1 hours; a typical year has 8760");
    assert_int_equal(j.s->site.n_year, 0);
    end(&j);
}

/* What can never be planned. A shift of 8 h where nothing else is said. */
static void test_check(void **state) {
    (void)state;
    static const char *const cases[][2] = {
        {"\"work\": {\"start_on\": \"2026-03-02\", \"back_on\": \"2026-03-01\"}",
         "back in service on 2026-03-01 is before the first day of work, 2026-03-02"},
        {"\"work\": {\"holidays\": [\"2026-03-05\", \"2026-03-04\", \"2026-03-05\"]}",
         "holiday 2026-03-05 stands twice"},
        {"\"shift_h\": 8, \"work\": {\"starts_h\": 16}",
         "the shift of 8 h begins at 16 h and has a break of 0.5 h; it must end by 24 h, not at 24.5 h"},
        {"\"shift_h\": 8, \"work\": {\"starts_h\": 7, \"break_h\": 7}",
         "the break from 7 h to 7.5 h is not within the shift, 7 h to 15.5 h"},
        {"\"shift_h\": 8, \"work\": {\"starts_h\": 7, \"break_h\": 15.25}",
         "the break from 15.25 h to 15.75 h is not within the shift, 7 h to 15.5 h"},
        {"\"work\": {\"noise_from_h\": 9, \"noise_to_h\": 9}",
         "noisy work is allowed from 9 h to 9 h; the end must be later"},
        {"\"shift_h\": 8, \"work\": {\"noise_from_h\": 16}",
         "noisy work is allowed from 16 h to 24 h, outside the shift, 7 h to 15.5 h"},
        {"\"shift_h\": 8, \"work\": {\"noise_to_h\": 7}",
         "noisy work is allowed from 0 h to 7 h, outside the shift, 7 h to 15.5 h"},
        {"\"work\": {\"plant\": {\"lift\": 0.5}}", "plant, lift is 0.5; it must be a whole number"},
        {"\"work\": {\"workers\": [{\"name\": \"a\", \"cuts\": true, \"places\": true, \"mixes\": true}, "
         "{\"name\": \"a\"}]}",
         "worker \"a\" stands twice"},
        {"\"work\": {\"workers\": [{\"name\": \"a\", \"places\": true, \"mixes\": true}]}",
         "no worker cuts; at least one must"},
        {"\"work\": {\"workers\": [{\"name\": \"a\", \"cuts\": true, \"mixes\": true}]}",
         "no worker places; at least one must"},
        {"\"work\": {\"workers\": [{\"name\": \"a\", \"cuts\": true, \"places\": true}]}",
         "no worker mixes; at least one must"},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        job j = begin();
        if (read_site(&j, cases[i][0])) fail_msg("took: %s", cases[i][0]);
        told(&j, cases[i][1]);
        end(&j);
    }
    job j = begin();
    assert_false(read_document(
        &j, "{\"stanch_survey\": 1, \"units\": \"metric\", \"faces\": [{\"id\": \"N\", \"lie\": \"wall\", "
            "\"thickness_m\": 0.3, \"elevation_m\": 0, \"turn\": 1.5, \"outline\": [[0,0],[6,0],[6,3]]}]}"));
    told(&j, "face N: turn is 1.5; it must be a whole number");
    end(&j);
}

/* ---- a forecast as CSV ---- */

static bool read_csv(job *j, const char *table) {
    return survey_read_table(j->s, "f.csv", table, strlen(table), j->faults) && survey_check(j->s, j->faults);
}

static void test_forecast_table(void **state) {
    (void)state;
    job j = begin();
    assert_true(read_csv(
        &j, "hour,air_c,humidity_percent,wind_km_h\n2026-03-01T23:00,4.5,81,12\n2026-03-02 00:00,5,80,0\n"
            "# a note\n2026-03-02T01,5.5,79,3\n"));
    const survey_forecast *f = &j.s->site.forecast;
    assert_string_equal(f->from, "2026-03-01T23:00");
    assert_int_equal(f->n, 3);
    assert_true(f->hours[2].air_c == 5.5 && f->hours[2].humidity_percent == 79 && f->hours[2].wind_km_h == 3);
    assert_true(
        read_csv(&j, "wind_mph;hour;air_f;humidity_percent\n7,5;2026-02-28T23;41;81\n")); /* replaces */
    assert_string_equal(f->from, "2026-02-28T23:00");
    assert_int_equal(f->n, 1);
    assert_true(fabs(f->hours[0].air_c - 5) < 1e-12 && fabs(f->hours[0].wind_km_h - 7.5 * 1.609344) < 1e-12);
    end(&j);
}

#define HEADING "hour,air_c,humidity_percent,wind_km_h\n"

static void test_forecast_faults(void **state) {
    (void)state;
    static const char *const cases[][2] = {
        {HEADING "2026-03-02T23:00,4,81,12\n2026-03-03T01:00,5,80,0\n",
         "f.csv: line 3: is the hour 2026-03-03T01:00; 2026-03-03T00:00 must come next"},
        {HEADING "2026-03-02T23:00,4,81,12\n2026-03-02T23:00,5,80,0\n",
         "f.csv: line 3: is the hour 2026-03-02T23:00; 2026-03-03T00:00 must come next"},
        {HEADING "2026-03-02T24:00,4,81,12\n", "f.csv: line 2: hour: \"2026-03-02T24:00\" is no full hour"},
        {HEADING "2026-03-02T07:30,4,81,12\n", "\"2026-03-02T07:30\" is no full hour"},
        {HEADING "2026-03-02T07:00,4,101,12\n",
         "f.csv: line 2: humidity_percent: is 101; it must lie in 0 to 100"},
        {HEADING "2026-03-02T07:00,4,81\n", "f.csv: line 2: wind_km_h: "},
        {HEADING, "f.csv: has 0 hours; a forecast has 1 to 8784"},
        {"hour,air_c,humidity_percent\n2026-03-02T07:00,4,81\n", "the column wind_km_h is missing"},
        {"hour,air_c,humidity_percent,wind_mph\n2026-03-02T07:00,4,81,3\n", "mix metric and US units"},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        job j = begin();
        if (read_csv(&j, cases[i][0])) fail_msg("took: %s", cases[i][0]);
        told(&j, cases[i][1]);
        assert_int_equal(j.s->site.forecast.n, 0);
        end(&j);
    }
}

/* ---- the shift ---- */

static void expect_shift(const char *site, const double h[4]) {
    job j = begin();
    must(&j, site);
    work_shift s = work_shift_of(&j.s->site);
    const double got[4] = {s.from_h, s.break_from_h, s.break_to_h, s.to_h};
    for (int i = 0; i < 4; i++)
        if (!(fabs(got[i] - h[i]) < 1e-9)) fail_msg("%s: %d is %g h, expected %g h", site, i, got[i], h[i]);
    end(&j);
}

static void test_shift(void **state) {
    (void)state;
    expect_shift("\"shift_h\": 8", (double[]){7, 11, 11.5, 15.5});
    expect_shift("\"shift_h\": 8, \"work\": {\"starts_h\": 6, \"break_length_h\": 1}",
                 (double[]){6, 10, 11, 15});
    expect_shift("\"shift_h\": 8, \"work\": {\"starts_h\": 6, \"break_h\": 9}", (double[]){6, 9, 9.5, 14.5});
    expect_shift("\"shift_h\": 8, \"work\": {\"starts_h\": 16, \"break_length_h\": 0}",
                 (double[]){16, 20, 20, 24});
    expect_shift("\"shift_h\": 17", (double[]){6.5, 15, 15.5, 24}); /* begins earlier, to end by 24 h */
    expect_shift("\"shift_h\": 24", (double[]){0, 12, 12, 24});     /* nothing is left for a break */
    job j = begin();
    work_shift s = work_shift_of(&j.s->site);
    assert_true(s.noise_from_h == 0 && s.noise_to_h == 24);
    end(&j);
}

/* 2026-03-02 is a Monday, 1969-12-28 was a Sunday. */
static void test_days(void **state) {
    (void)state;
    static const char *const holidays[] = {"2026-03-04"};
    long long monday = 0, sunday = 0;
    const char *copy[] = {holidays[0]};
    assert_true(date_day("2026-03-02", &monday) && date_day("1969-12-28", &sunday));
    assert_int_equal(work_week_day(monday), 0);
    assert_int_equal(work_week_day(sunday), 6);
    survey_work w = {.holidays = copy, .n_holidays = 1};
    static const bool worked[] = {true, true, false, true, true, false, false, true};
    for (int i = 0; i < 8; i++) assert_int_equal(work_on_day(&w, monday + i), worked[i]);
    w.days = 1u << 5; /* Saturdays only */
    for (int i = 0; i < 8; i++) assert_int_equal(work_on_day(&w, monday + i), i == 5);
}

/* Equation 47 of FAO Irrigation and Drainage Paper 56 takes 3.2 m/s at 10 m to 2.4 m/s at 2 m (its example 14, through a page that
 * quotes it); the same profile at half a metre. */
static void test_wind_near_the_ground(void **state) {
    (void)state;
    double at_10_m = log(67.8 * 10 - 5.42);
    assert_true(fabs(3.2 * 4.87 / at_10_m - 2.4) < 0.05);
    assert_true(fabs(log(67.8 * 0.5 - 5.42) / at_10_m - SURVEY_WIND_LOW) < 0.005);
}

static void test_hours_of_the_calendar(void **state) {
    (void)state;
    static const char *const wrong[] = {"",
                                        "2026-03-02",
                                        "2026-03-02T",
                                        "2026-03-02T7",
                                        "2026-03-02X07",
                                        "2026-03-02T24",
                                        "2026-03-02T07:01",
                                        "2026-03-02T07:00:00",
                                        "2026-02-29T07",
                                        "2026-03-02T07:0"};
    long long hours = 0;
    char words[DATE_HOUR_BYTES];
    for (size_t i = 0; i < COUNT(wrong); i++) assert_false(date_hour(wrong[i], &hours));
    assert_false(date_hour(NULL, &hours));
    assert_true(date_hour("1970-01-02 03", &hours));
    assert_int_equal(hours, 27);
    for (long long h = -60; h < 60; h++) { /* across 1970 */
        assert_true(date_hour(date_hour_text(h, words), &hours));
        assert_int_equal(hours, h);
    }
    assert_string_equal(date_hour_text(-1, words), "1969-12-31T23:00");
}

/* ---- without memory ---- */

static void test_memory_runs_out(void **state) {
    (void)state;
    static const char table[] = HEADING "2026-03-01T23:00,4.5,81,12\n2026-03-02 00:00,5,80,0\n";
    text document = {0};
    text_print(&document, "{\"stanch_survey\": 1, \"units\": \"metric\", \"site\": {%s}}", whole);
    for (int csv = 0; csv < 2; csv++) {
        long n = 0, failures = 0;
        for (bool done = false; !done; n++) {
            job j = begin();
            long before = mem_count();
            mem_fail_at(n, 0);
            bool good = csv ? read_csv(&j, table) : read_document(&j, document.bytes);
            done = mem_count() - before <= n;
            mem_fail_at(-1, 0);
            fault why = {OK, ""};
            if (!good) assert_int_equal(fault_list_status(j.faults, &why), E_MEMORY);
            failures += !good;
            if (done) assert_true(good);
            end(&j);
        }
        print_message("%ld of %ld allocations told\n", failures, n);
        assert_true(failures > 3);
    }
    text_free(&document);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_members),
        cmocka_unit_test(test_us_units),
        cmocka_unit_test(test_merge),
        cmocka_unit_test(test_typical_hours),
        cmocka_unit_test(test_json_faults),
        cmocka_unit_test(test_check),
        cmocka_unit_test(test_forecast_table),
        cmocka_unit_test(test_forecast_faults),
        cmocka_unit_test(test_shift),
        cmocka_unit_test(test_days),
        cmocka_unit_test(test_wind_near_the_ground),
        cmocka_unit_test(test_hours_of_the_calendar),
        cmocka_unit_test(test_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
