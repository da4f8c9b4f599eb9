/* Import, export, import changes nothing; on random surveys in both systems of units. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "random_survey.h"

#include "survey/check.h"
#include "survey/read_geojson.h"
#include "survey/read_json.h"
#include "survey/read_table.h"
#include "survey/write_csv.h"
#include "survey/write_dxf.h"
#include "survey/write_gauges.h"
#include "survey/write_geojson.h"
#include "survey/write_json.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { ROUNDS = 150 };
static unsigned long long first_seed = 20240611;

static void no_fault(fault_list *faults, unsigned long long seed) {
    if (fault_list_count(faults) == 0) return;
    for (size_t i = 0; i < fault_list_kept(faults) && i < 5; i++)
        print_message("%s\n", fault_list_text(faults, i));
    fail_msg("seed %llu: %zu faults", seed, fault_list_count(faults));
}

static void no_difference(const char *difference, const char *where, unsigned long long seed) {
    if (difference) fail_msg("seed %llu, %s: %s differs", seed, where, difference);
}

/* Both surveys write the same bytes. */
static void same_bytes(const survey *a, const survey *b, void (*write)(const survey *, text *),
                       unsigned long long seed) {
    text one = {0}, two = {0};
    write(a, &one);
    write(b, &two);
    assert_false(one.failed || two.failed);
    if (strcmp(text_get(&one), text_get(&two)) != 0)
        fail_msg("seed %llu: written again, the bytes differ", seed);
    text_free(&one);
    text_free(&two);
}

static void round_json(const survey *s, unsigned long long seed) {
    fault_list *faults = fault_list_new();
    survey *back = survey_new();
    text t = {0};
    survey_write_json(s, &t);
    assert_true(survey_read_json(back, "job.json", t.bytes, t.length, faults) || fault_list_count(faults));
    no_fault(faults, seed);
    no_difference(survey_difference(s, back), "json", seed);
    survey_read_json(back, "job.json", t.bytes, t.length, faults); /* again, into the same job */
    no_fault(faults, seed);
    no_difference(survey_difference(s, back), "json twice", seed);
    same_bytes(s, back, survey_write_json, seed);
    assert_true(survey_check(back, faults));
    text_free(&t);
    survey_free(back);
    fault_list_free(faults);
}

static void round_csv(const survey *s, unsigned long long seed) {
    fault_list *faults = fault_list_new();
    survey *back = survey_new();
    text t = {0}, gauges = {0};
    back->site = s->site;
    survey_write_csv(s, &t);
    survey_write_gauges(s, &gauges);
    survey_read_table(back, "table.csv", t.bytes, t.length, faults);
    survey_read_table(back, "gauges.csv", gauges.bytes, gauges.length, faults);
    no_fault(faults, seed);
    no_difference(defects_difference(s, back), "csv", seed);
    survey_read_table(back, "table.csv", t.bytes, t.length, faults); /* leaves the readings */
    no_fault(faults, seed);
    no_difference(defects_difference(s, back), "csv twice", seed);
    survey_read_table(back, "gauges.csv", gauges.bytes, gauges.length, faults);
    no_fault(faults, seed);
    no_difference(defects_difference(s, back), "gauges twice", seed);
    same_bytes(s, back, survey_write_csv, seed);
    same_bytes(s, back, survey_write_gauges, seed);
    text_free(&t);
    text_free(&gauges);
    survey_free(back);
    fault_list_free(faults);
}

static void round_geojson(const survey *s, unsigned long long seed) {
    fault_list *faults = fault_list_new();
    survey *back = survey_new();
    text t = {0};
    back->site = s->site;
    survey_write_geojson(s, &t);
    survey_read_geojson(back, "map.geojson", t.bytes, t.length, faults);
    no_fault(faults, seed);
    no_difference(faces_difference(s, back), "geojson", seed);
    no_difference(defects_difference(s, back), "geojson", seed);
    same_bytes(s, back, survey_write_geojson, seed);
    text_free(&t);
    survey_free(back);
    fault_list_free(faults);
}

static void test_round_trips(void **state) {
    (void)state;
    print_message("first seed %llu\n", first_seed);
    for (unsigned long long seed = first_seed; seed < first_seed + ROUNDS; seed++) {
        units_system system = seed % 2 ? UNITS_US : UNITS_METRIC;
        survey *s = random_survey(seed, system, 1 + seed % 5, seed % 23);
        fault_list *faults = fault_list_new();
        survey_check(s, faults);
        no_fault(faults, seed);
        round_json(s, seed);
        round_csv(s, seed);
        round_geojson(s, seed);
        fault_list_free(faults);
        survey_free(s);
    }
}

/* A job in feet whose lengths were never typed in feet: the first export rounds, from then on nothing moves.
 */
static void test_foreign_units_settle(void **state) {
    (void)state;
    for (unsigned long long seed = 1; seed < 40; seed++) {
        survey *s = random_survey(seed, UNITS_METRIC, 3, 10), *one = survey_new(), *two = survey_new();
        fault_list *faults = fault_list_new();
        text t = {0}, again = {0};
        s->site.system = UNITS_US;
        survey_write_json(s, &t);
        survey_read_json(one, "", t.bytes, t.length, faults);
        survey_write_json(one, &again);
        assert_string_equal(text_get(&t), text_get(&again));
        survey_read_json(two, "", again.bytes, again.length, faults);
        no_fault(faults, seed);
        no_difference(survey_difference(one, two), "settled", seed);
        text_free(&t);
        text_free(&again);
        survey_free(s);
        survey_free(one);
        survey_free(two);
        fault_list_free(faults);
    }
}

/* Every line of a DXF file is a group code or its value, in turn; nothing of ours can break that. */
static void test_dxf_is_made_of_pairs(void **state) {
    (void)state;
    for (unsigned long long seed = 1; seed < 20; seed++) {
        survey *s = random_survey(seed, seed % 2 ? UNITS_US : UNITS_METRIC, 4, 20);
        text t = {0};
        size_t lines = 0;
        survey_write_dxf(s, &t);
        assert_false(t.failed);
        for (char *line = t.bytes; *line; lines++) {
            char *end = strchr(line, '\n');
            assert_non_null(end);
            if (lines % 2 == 0) {
                char *rest;
                long code = strtol(line, &rest, 10);
                assert_true(rest == end && code >= 0 && code < 100);
            }
            for (char *c = line; c < end; c++) assert_true(*c >= 0x20 && *c < 0x7F);
            line = end + 1;
        }
        assert_int_equal(lines % 2, 0);
        assert_non_null(strstr(t.bytes, "0\nEOF\n"));
        text_free(&t);
        survey_free(s);
    }
}

int main(int argc, char **argv) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_round_trips),
        cmocka_unit_test(test_foreign_units_settle),
        cmocka_unit_test(test_dxf_is_made_of_pairs),
    };
    if (argc > 1) first_seed = strtoull(argv[1], NULL, 10);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
