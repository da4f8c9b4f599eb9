/* A reading of a gauge and an overrule: one change of one leak, logged, asked for twice or refused with a sentence. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "old_job.h"

#include "ops/edit.h"
#include "ops/gauge.h"
#include "store/log.h"
#include "survey/catalogue.h"

#include <math.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char folder[40] = "/dev/shm/stanch-leak-XXXXXX"; /* memory: every change is synced */
static char job[64], other[64];

static const ops_actor someone = {"N. N.", "2026-03-01T09:30:00Z", "page"};

static int set_up(void **state) {
    (void)state;
    fault why = {OK, ""};
    if (access("/dev/shm", W_OK) != 0) memcpy(folder, "/tmp/stanch-leak-XXXXXX", 24);
    if (store_use_memory_hooks(&why) != OK || !mkdtemp(folder)) return -1;
    snprintf(job, sizeof job, "%s/a.stanch", folder);
    snprintf(other, sizeof other, "%s/b.stanch", folder);
    return 0;
}

static int clean(void **state) {
    (void)state;
    static const char *const endings[] = {"", "-wal", "-shm", "-journal"};
    char name[128];
    for (int i = 0; i < 8; i++) {
        snprintf(name, sizeof name, "%s%s", i < 4 ? job : other, endings[i % 4]);
        unlink(name);
    }
    return 0;
}

static int tear_down(void **state) {
    clean(state);
    return rmdir(folder);
}

static void must(status code, const fault *why) {
    if (code != OK) fail_msg("%s", why->text);
}

static void make_job(const char *example) {
    fault why = {OK, ""};
    const ops_new_request new = {.name = "test", .system = strstr(example, "-us") ? UNITS_US : UNITS_METRIC};
    const char *files[] = {example};
    const ops_import_request import = {.files = files, .n = 1};
    ops_import_result brought;
    fault_list *faults = fault_list_new();
    must(ops_new(job, &new, &someone, &why), &why);
    must(ops_import(job, &import, &someone, faults, &brought, &why), &why);
    fault_list_free(faults);
}

static survey *load(void) {
    fault why = {OK, ""};
    store *st = NULL;
    survey *s = NULL;
    must(store_open(job, true, &st, &why), &why);
    must(store_load(st, &s, &why), &why);
    store_close(st);
    return s;
}

/* The hash of a leak as the page sees it. */
static void seen_hash(const char *mark, char into[HASH_TEXT]) {
    fault why = {OK, ""};
    text json = {0};
    long long revision;
    must(ops_survey_json(job, &revision, &json, &why), &why);
    json_t *seen = json_loadb(json.bytes, json.length, 0, NULL);
    json_t *hashes = json_object_get(json_object_get(seen, "hashes"), "defects");
    snprintf(into, HASH_TEXT, "%s", json_string_value(json_object_get(hashes, mark)));
    json_decref(seen);
    text_free(&json);
}

static long long revision(void) {
    fault why = {OK, ""};
    store *st = NULL;
    long long at = 0;
    must(store_open(job, true, &st, &why), &why);
    must(store_revision(st, &at, &why), &why);
    store_close(st);
    return at;
}

static void last_line(const char *expected) {
    fault why = {OK, ""};
    store *st = NULL;
    arena *memory = arena_new();
    store_change *lines;
    size_t n;
    must(store_open(job, true, &st, &why), &why);
    must(store_load_log(st, 0, 1, memory, &lines, &n, &why), &why);
    assert_string_equal(lines[0].what, expected);
    assert_string_equal(lines[0].by, "N. N.");
    store_close(st);
    arena_free(memory);
}

static ops_gauge reading(const char *mark, const char *gauge, const char *on, double width) {
    return (ops_gauge){.mark = mark, .gauge = gauge, .on = on, .width = width, .temperature = {true, 7.5}};
}

static void test_readings(void **state) {
    (void)state;
    fault why = {OK, ""};
    ops_leak_change now;
    char hash[HASH_TEXT];
    make_job(EXAMPLES "/pump-house.json");
    survey *before = load();
    long long from = revision();
    size_t had = survey_find_defect(before, "N1")->n_readings;
    ops_gauge r = reading("N1", "Z", "2026-02-05", 0.31);
    must(ops_gauge_add(job, &r, &someone, &now, &why), &why);
    assert_true(now.changed);
    assert_int_equal(now.revision, from + 1);
    seen_hash("N1", hash);
    assert_string_equal(now.hash, hash);
    last_line("gauge N1 Z on 2026-02-05: 0.31 mm");
    must(ops_gauge_add(job, &r, &someone, &now, &why), &why); /* the answer was lost: again */
    assert_false(now.changed);
    assert_int_equal(now.revision, from + 1);
    assert_string_equal(now.hash, hash);
    r = reading("N1", "Z", "2026-01-05", 0.29); /* an older one, in its place */
    must(ops_gauge_add(job, &r, &someone, &now, &why), &why);
    survey *s = load();
    const survey_defect *d = survey_find_defect(s, "N1");
    assert_int_equal(d->n_readings, had + 2);
    assert_string_equal(d->readings[had].on, "2026-01-05");
    assert_true(fabs(d->readings[had + 1].width_m - 0.31e-3) < 1e-15);
    assert_true(d->readings[had].temperature_c.v == 7.5);
    survey_free(before);
    survey_free(s);
}

static void refuse(ops_gauge r, status code, const char *sentence) {
    fault why = {OK, ""};
    ops_leak_change now;
    long long before = revision();
    status got = ops_gauge_add(job, &r, &someone, &now, &why);
    if (got != code || !strstr(why.text, sentence))
        fail_msg("expected \"%s\", got %d: %s", sentence, (int)got, why.text);
    assert_int_equal(revision(), before);
}

static void test_readings_refused(void **state) {
    (void)state;
    fault why = {OK, ""};
    ops_leak_change now;
    const units_system us = UNITS_US;
    make_job(EXAMPLES "/pump-house.json");
    ops_gauge r = reading("N1", "Z", "2026-02-05", 0.31), bare = reading("N1", "Z", "2026-02-06", 0.3),
              inches = reading("N1", "Z", "2026-02-06", 0.01);
    must(ops_gauge_add(job, &r, &someone, &now, &why), &why);
    bare.temperature.known = false;
    inches.system = &us;
    refuse(reading("N1", "Z", "2026-02-05", 0.32), E_STATE,
           "N1, gauge Z on 2026-02-05: was read as 0.31 mm already, and now as 0.32 mm");
    refuse(reading("N99", "Z", "2026-02-05", 0.32), E_STATE, "no leak is marked N99; did you mean N1?");
    refuse(reading("site", "Z", "2026-02-05", 0.32), E_STATE, "no leak is marked site");
    refuse(reading("N1", "Z", "2026-02-30", 0.32), E_INPUT, "on is 2026-02-30; write the date as YYYY-MM-DD");
    refuse(reading("N1", "Z", NULL, 0.32), E_INPUT, "on is missing");
    refuse(reading("N1", NULL, "2026-02-06", 0.32), E_INPUT, "N1 has a gauge named Z: which gauge was read?");
    refuse(reading("N1", "Z", "2026-02-06", 51), E_INPUT, "width is 51 mm; it must lie in -50 to 50 mm");
    refuse(reading("N1", "Z", "2026-02-06", (double)NAN), E_INPUT, "width is");
    refuse(reading("N1", " Z", "2026-02-06", 0.3), E_INPUT, "begins or ends with a blank");
    refuse(bare, E_INPUT,
           "N1, gauge Z, reading of 2026-02-06: no temperature, and the site has no log of the air");
    refuse(inches, E_INPUT, "the numbers are in US units, but the job is metric");
    const ops_actor nobody = {"", "2026-03-01T09:30:00Z", "page"};
    assert_int_equal(ops_gauge_add(job, &r, &nobody, &now, &why), E_INPUT);
}

static void test_inches(void **state) {
    (void)state;
    fault why = {OK, ""};
    ops_leak_change now;
    make_job(EXAMPLES "/small-us.json");
    fault_list *faults = fault_list_new();
    survey *s = load();
    assert_int_equal(s->site.system, UNITS_US);
    const char *mark = s->defects[0].mark;
    ops_gauge r = {
        .mark = mark, .gauge = "Z", .on = "2026-02-05", .width = 0.0125, .temperature = {true, 41}};
    must(ops_gauge_add(job, &r, &someone, &now, &why), &why);
    survey *after = load();
    const survey_defect *d = &after->defects[0];
    assert_true(fabs(d->readings[d->n_readings - 1].width_m - 0.3175e-3) < 1e-15); /* 1 in = 25.4 mm */
    assert_true(fabs(d->readings[d->n_readings - 1].temperature_c.v - 5) < 1e-12);
    r.width = 2;
    r.on = "2026-02-06";
    assert_int_equal(ops_gauge_add(job, &r, &someone, &now, &why), E_INPUT);
    assert_non_null(strstr(why.text, "width is 2 in; it must lie in -1.9685 to 1.9685 in"));
    survey_free(s);
    survey_free(after);
    fault_list_free(faults);
}

static void test_overrule(void **state) {
    (void)state;
    fault why = {OK, ""};
    ops_leak_change now;
    char hash[HASH_TEXT], first[HASH_TEXT];
    make_job(EXAMPLES "/pump-house.json");
    ops_overrule_request r = {"N1", NULL, "A. Sample", NULL, NULL};
    must(ops_overrule(job, &r, &someone, &now, &why), &why); /* whatever the example says of it */
    seen_hash("N1", first);
    long long from = revision();
    r = (ops_overrule_request){"N1", "inject_epoxy", "A. Sample", "2026-02-05", "load passes here"};
    must(ops_overrule(job, &r, &someone, &now, &why), &why);
    assert_true(now.changed && now.revision == from + 1);
    seen_hash("N1", hash);
    assert_string_equal(now.hash, hash);
    last_line("overrule N1: inject_epoxy by A. Sample");
    survey *s = load();
    const survey_overrule *o = &survey_find_defect(s, "N1")->overrule;
    assert_true(o->given && o->method == METHOD_INJECT_EPOXY);
    assert_string_equal(o->why, "load passes here");
    assert_string_equal(o->on, "2026-02-05");
    survey_free(s);
    must(ops_overrule(job, &r, &someone, &now, &why), &why);
    assert_true(!now.changed && now.revision == from + 1);
    r = (ops_overrule_request){"N1", NULL, "B. Sample", NULL, NULL};
    must(ops_overrule(job, &r, &someone, &now, &why), &why);
    assert_true(now.changed && now.revision == from + 2);
    assert_string_equal(now.hash, first);
    last_line("overrule N1 withdrawn by B. Sample");
    must(ops_overrule(job, &r, &someone, &now, &why), &why);
    assert_false(now.changed);
}

static void refuse_overrule(ops_overrule_request r, status code, const char *sentence) {
    fault why = {OK, ""};
    ops_leak_change now;
    long long before = revision();
    status got = ops_overrule(job, &r, &someone, &now, &why);
    if (got != code || !strstr(why.text, sentence))
        fail_msg("expected \"%s\", got %d: %s", sentence, (int)got, why.text);
    assert_int_equal(revision(), before);
}

static void test_overrule_refused(void **state) {
    (void)state;
    make_job(EXAMPLES "/pump-house.json");
    refuse_overrule((ops_overrule_request){"N1", "engineer", "A", "2026-02-05", "x"}, E_INPUT,
                    "method is engineer; it must be one of slot_plug, slot_pack");
    refuse_overrule((ops_overrule_request){"N1", "glue", "A", "2026-02-05", "x"}, E_INPUT, "drain, watch");
    refuse_overrule((ops_overrule_request){"N1", "coat", "", "2026-02-05", "x"}, E_INPUT, "by has 0 bytes");
    refuse_overrule((ops_overrule_request){"N1", "coat", "A", "2026-02-05", NULL}, E_INPUT,
                    "why has 0 bytes");
    refuse_overrule((ops_overrule_request){"N1", "coat", "A", "today", "x"}, E_INPUT, "on is today");
    refuse_overrule((ops_overrule_request){"N1", "coat", "A", "2026-02-05", "\a"}, E_INPUT,
                    "control character");
    refuse_overrule((ops_overrule_request){"M1", "coat", "A", "2026-02-05", "x"}, E_STATE,
                    "no leak is marked M1; did you");
}

static void run_sql(const char *path, const char *sql) {
    sqlite3 *db = NULL;
    char *error = NULL;
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    if (sqlite3_exec(db, sql, NULL, NULL, &error) != SQLITE_OK) fail_msg("%s", error);
    sqlite3_close(db);
}

/* How much of the catalogue is missing. */
static size_t missing(const survey *s) {
    fault why = {OK, ""};
    survey *whole = survey_new();
    size_t n = 0;
    double value;
    must(survey_catalogue_fill(whole, &why), &why);
    for (size_t i = 0; i < whole->n_rates; i++) n += !survey_rate_value(s, whole->rates[i].id, &value);
    for (size_t i = 0; i < whole->n_prices; i++) n += !survey_price_value(s, whole->prices[i].id, &value);
    for (survey_role role = 0; role < ROLE_COUNT; role++) n += !survey_find_role(s, role);
    survey_free(whole);
    return n;
}

/* A job of before version 4, with the catalogue of its day: whoever looks at it sees the whole catalogue, and the first
 * change of the survey keeps it in the file. */
static void test_a_job_of_version_3(void **state) {
    (void)state;
    fault why = {OK, ""};
    ops_leak_change now;
    store *st = NULL;
    text json = {0};
    long long at;
    make_job(EXAMPLES "/pump-house.json");
    rename(job, other);
    old_job_make(3, other, job);
    run_sql(job, "DELETE FROM rate WHERE place % 3 = 0; DELETE FROM price WHERE place % 3 = 1;"
                 "DELETE FROM pack WHERE material IN (SELECT place FROM material WHERE role = 'sealant');"
                 "DELETE FROM material WHERE role = 'sealant'");
    must(store_open(job, false, &st, &why),
         &why); /* brought to the present version, with nothing else done */
    store_close(st);
    survey *bare = load();
    assert_true(missing(bare) > 10);
    must(ops_survey_json(job, &at, &json, &why), &why); /* opened to be read */
    assert_non_null(strstr(json.bytes, "\"role\": \"sealant\""));
    ops_gauge r = reading("N1", NULL, "2026-02-05", 0.31);
    must(ops_gauge_add(job, &r, &someone, &now, &why), &why);
    survey *s = load();
    assert_int_equal(missing(s), 0);
    text_free(&json);
    survey_free(bare);
    survey_free(s);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_teardown(test_readings, clean),
        cmocka_unit_test_teardown(test_readings_refused, clean),
        cmocka_unit_test_teardown(test_inches, clean),
        cmocka_unit_test_teardown(test_overrule, clean),
        cmocka_unit_test_teardown(test_overrule_refused, clean),
        cmocka_unit_test_teardown(test_a_job_of_version_3, clean),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
