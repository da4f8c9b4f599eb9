/* One leak as it would be: the same numbers as a whole plan, nothing kept. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "core/file.h"
#include "core/mem.h"
#include "ops/edit.h"
#include "ops/try.h"
#include "survey/write_json.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static char folder[] = "/tmp/stanch-try-XXXXXX", job[64];
static const ops_actor ACTOR = {.by = "N. N.", .at = "2026-03-01T09:30:00Z", .through = "page"};

static int make_job(void **state) {
    fault why = {0};
    (void)state;
    if (!mkdtemp(folder)) return 1;
    snprintf(job, sizeof job, "%s/pump.stanch", folder);
    if (ops_new(job, &(ops_new_request){0}, &ACTOR, &why) != OK) return 1;
    fault_list *faults = fault_list_new();
    ops_import_result imported;
    status code = ops_import(
        job, &(ops_import_request){.files = (const char *const[]){EXAMPLES "/pump-house.json"}, .n = 1},
        &ACTOR, faults, &imported, &why);
    fault_list_free(faults);
    return code != OK;
}

static int remove_job(void **state) {
    char command[64];
    (void)state;
    snprintf(command, sizeof command, "rm -r '%s'", folder);
    return system(command);
}

static text defect_json(const survey *s, size_t at) {
    text words = {0};
    text_add(&words, "{\"defect\": ");
    survey_write_defect_json(s, &s->defects[at], &words);
    text_add(&words, "}");
    return words;
}

static void assert_same(double a, double b, const char *what, const char *mark) {
    if (!(fabs(a - b) <= 1e-9 * fmax(fabs(a), fabs(b))))
        fail_msg("%s of %s: %.12g and %.12g", what, mark, a, b);
}

/* Each leak tried as it stands gives what the whole plan gives: water, design, hours. (Bands and batches that are shared with
 * neighbours, and what an order of plugging decides, are the whole plan's.) */
static void as_it_stands_is_as_planned(void **state) {
    ops_job all = {0};
    fault why = {0};
    (void)state;
    assert_int_equal(ops_look(job, &(ops_plan_request){.planes = PLANES_STEADY, .threads = 1}, &all, &why),
                     OK);
    for (size_t i = 0; i < all.plan->n_leaks; i++) {
        const char *mark = all.plan->leaks[i].defect->mark;
        text words = defect_json(all.survey, i);
        fault_list *faults = fault_list_new();
        ops_job tried = {0};
        if (ops_try(job, &(ops_try_request){words.bytes, words.length}, &tried, faults, &why) != OK)
            fail_msg("%s: %s", mark, why.text);
        size_t at = 0;
        while (strcmp(tried.plan->leaks[at].defect->mark, mark) != 0) at++;
        assert_true(tried.plan->n_leaks < all.plan->n_leaks);
        assert_same(tried.plan->leaks[at].head_design_m, all.plan->leaks[i].head_design_m, "head", mark);
        assert_same(tried.plan->leaks[at].flow_m3_s.v, all.plan->leaks[i].flow_m3_s.v, "flow", mark);
        assert_same(tried.plan->designs[at].plug_need_m, all.plan->designs[i].plug_need_m, "plug", mark);
        assert_same(tried.plan->takeoff.leaks[at].slot_length_m, all.plan->takeoff.leaks[i].slot_length_m,
                    "slot", mark);
        const plan_plane *a = tried.plan->plane_of[at], *b = all.plan->plane_of[i];
        assert_int_equal(a == NULL, b == NULL);
        if (a && !a->problem) assert_same(a->uncut_m3_s.v, b->uncut_m3_s.v, "flow of the plane", mark);
        ops_job_free(&tried);
        fault_list_free(faults);
        text_free(&words);
    }
    ops_job_free(&all);
}

static void nothing_is_kept(void **state) {
    ops_job all = {0};
    fault why = {0};
    text before = {0}, after = {0};
    long long revision;
    (void)state;
    assert_int_equal(ops_survey_json(job, &revision, &before, &why), OK);
    assert_int_equal(ops_look(job, &(ops_plan_request){.threads = 1}, &all, &why), OK);
    all.survey->defects[0].stations[0].width_m = (maybe){true, 0.9e-3};
    text words = defect_json(all.survey, 0);
    fault_list *faults = fault_list_new();
    ops_job tried = {0};
    assert_int_equal(ops_try(job, &(ops_try_request){words.bytes, words.length}, &tried, faults, &why), OK);
    assert_true(tried.plan->leaks[0].widest_m.v > 0.8e-3);
    assert_int_equal(ops_survey_json(job, &revision, &after, &why), OK);
    assert_string_equal(before.bytes, after.bytes);
    text_free(&before);
    text_free(&after);
    text_free(&words);
    fault_list_free(faults);
    ops_job_free(&tried);
    ops_job_free(&all);
}

static void refuse(const char *json, const char *saying) {
    ops_job tried = {0};
    fault why = {0};
    fault_list *faults = fault_list_new();
    assert_int_equal(ops_try(job, &(ops_try_request){json, strlen(json)}, &tried, faults, &why), E_INPUT);
    if (fault_list_count(faults) == 0 || !strstr(fault_list_text(faults, 0), saying))
        fail_msg("%s: %s", json, fault_list_count(faults) ? fault_list_text(faults, 0) : "no fault");
    assert_null(tried.plan);
    fault_list_free(faults);
}

static void wrong_leaks_are_told(void **state) {
    (void)state;
    refuse("{}", "defect");
    refuse("{\"defect\": 3}", "defect");
    refuse("{\"defect\": {\"mark\": \"Q\"}, \"other\": 1}", "other");
    refuse("{\"defect\": {\"mark\": \"Q\", \"kind\": \"crack\", \"parts\": [{\"face\": \"nowhere\", "
           "\"points\": [[0, 0], [1, 1]]}]}}",
           "nowhere");
    refuse("{\"defect\": {\"mark\": \"Q\", \"kind\": \"crack\", \"parts\": [{\"face\": \"N\", \"points\": "
           "[[0, 0], [1, 99]]}]}}",
           "Q");
    refuse("{\"defect\"", "");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(as_it_stands_is_as_planned),
        cmocka_unit_test(nothing_is_kept),
        cmocka_unit_test(wrong_leaks_are_told),
    };
    gsl_set_error_handler_off();
    return cmocka_run_group_tests(tests, make_job, remove_job);
}
