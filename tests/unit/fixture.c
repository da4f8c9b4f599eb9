#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka wants these four first */
#include <cmocka.h>

#include "fixture.h"

#include "core/text.h"
#include "survey/catalogue.h"
#include "survey/check.h"
#include "survey/read_json.h"

#include <gsl/gsl_errno.h>
#include <string.h>

survey *fixture_survey(const char *json) {
    fault why = {0};
    survey *s = survey_new();
    fault_list *faults = fault_list_new();
    gsl_set_error_handler_off();
    assert_non_null(s);
    assert_non_null(faults);
    assert_int_equal(survey_catalogue_fill(s, &why), OK);
    survey_read_json(s, "test", json, strlen(json), faults);
    survey_check(s, faults);
    for (size_t i = 0; i < fault_list_kept(faults); i++) print_message("%s\n", fault_list_text(faults, i));
    assert_int_equal(fault_list_count(faults), 0);
    fault_list_free(faults);
    return s;
}

plan *fixture_plan(const survey *s) {
    fault why = {0};
    plan *p = NULL;
    if (plan_make(s, &(plan_options){.threads = 1}, &p, &why) != OK) fail_msg("%s", why.text);
    return p;
}

survey *fixture_wall(double thickness_m, double level_m, const char *defects) {
    text json = {0};
    text_print(&json,
               "{\"stanch_survey\": 1, \"units\": \"metric\", \"site\": {\"name\": \"test\","
               " \"today\": {\"level_m\": %.17g, \"known\": \"measured\"},"
               " \"design\": {\"level_m\": %.17g, \"known\": \"told\"}},"
               " \"faces\": [{\"id\": \"N\", \"lie\": \"wall\", \"behind\": \"ground\", \"thickness_m\": "
               "%.17g, \"elevation_m\": 0,"
               " \"outline\": [[0,0],[10,0],[10,4],[0,4]]}], \"defects\": [%s]}",
               level_m, level_m, thickness_m, defects);
    survey *s = fixture_survey(text_get(&json));
    text_free(&json);
    return s;
}
