/* Why a leak leaks and what to do, as the page is shown it: the plan's own, in the units of the job. */
#include "view_bench.h"

#include "diagnose/tightness.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Two years of a gauge read each month, made up: w = 0.4 mm - 0.01 mm/K (T - 13 C) + `year_mm` a year, read to 0.001 mm;
 * the reading of June of the first year is 0.5 mm too wide. */
static void add_readings(survey *s, survey_defect *d, double year_mm) {
    d->readings = arena_get(s->memory, 24, sizeof *d->readings);
    d->n_readings = 24;
    for (int i = 0; i < 24; i++) {
        double c = 13 + 8 * cos(6.283185307 * (i - 6) / 12), wrong = i == 5 ? 0.5 : 0;
        double mm = 0.4 - 0.01 * (c - 13) + year_mm * i / 12 + 0.001 * ((i * 7) % 5 - 2) + wrong;
        char on[16];
        snprintf(on, sizeof on, "%d-%02d-15", 2024 + i / 12, i % 12 + 1);
        d->readings[i] = (survey_reading){"upper", arena_copy(s->memory, on), mm / 1000, {true, c}};
    }
}

static survey *gauged(units_system system, double year_mm) {
    survey *s = fixture_wall(0.3, 3, CRACK("E1", "1", "\"width_mm\": 0.3, ") "," CRACK("E2", "3", ""));
    s->site.system = system;
    s->site.tightness = TIGHT_ZTV_1;
    s->site.coldest_c = (maybe){true, 0};
    s->site.warmest_c = (maybe){true, 25};
    add_readings(s, &s->defects[0], year_mm);
    return s;
}

/* The number at the head of a text of a slope. */
static double slope_of(const json_t *gauge, const char *name, const char *unit) {
    const char *words = word(gauge, name);
    assert_true(*words == '+' || *words == '-' || *words == '0');
    assert_non_null(strstr(words, " \u00b1 "));
    assert_non_null(strstr(words, unit));
    return strtod(words, NULL);
}

/* The slopes are those that the readings were made with; an inch is 25.4 mm and a kelvin 1.8 F, exact. */
static void a_gauge_is_told_in_the_units_of_the_job(void **state) {
    (void)state;
    static const struct {
        units_system system;
        const char *year, *degree;
        double year_value, degree_value;
    } jobs[] = {{UNITS_METRIC, " mm a year", " mm/K", 0.2, -0.01},
                {UNITS_US, " in a year", " in/\u00b0F", 0.2 / 25.4, -0.01 / 25.4 / 1.8}};
    for (size_t k = 0; k < 2; k++) {
        bench b;
        plan_with(&b, gauged(jobs[k].system, 0.2), PLANES_OFF);
        json_t *root = leak_view(&b, 0);
        expect_leak_shape(root);
        const json_t *movement = member(member(root, "diagnosis"), "movement");
        const json_t *gauge = json_array_get(member(movement, "gauges"), 0);
        assert_string_equal(word(movement, "verdict"), "growing");
        assert_string_equal(word(movement, "basis"), "measured");
        assert_string_equal(word(movement, "reason"), b.p->diagnoses[0].reason);
        assert_string_equal(word(gauge, "gauge"), "upper");
        assert_true(number(gauge, "readings") == 24);
        assert_string_equal(word(gauge, "first"), "2024-01-15");
        assert_string_equal(word(gauge, "last"), "2025-12-15");
        assert_string_equal(word(gauge, "verdict"), "growing");
        assert_string_equal(word(gauge, "rule"), b.p->diagnoses[0].gauges[0].fit.rule);
        assert_int_equal(json_array_size(member(gauge, "set_aside")), 1);
        assert_string_equal(json_string_value(json_array_get(member(gauge, "set_aside"), 0)), "2024-06-15");
        assert_true(fabs(slope_of(gauge, "drift", jobs[k].year) / jobs[k].year_value - 1) < 0.05);
        const movement_result *fit = &b.p->diagnoses[0].gauges[0].fit;
        double band = strtod(strstr(word(gauge, "drift"), "\u00b1 ") + strlen("\u00b1 "), NULL);
        double wanted = units_from_si(UNITS_SIZE, jobs[k].system, fit->t * fit->per_year_se_m);
        assert_true(fabs(band - wanted) <= (k == 0 ? 0.0005 : 0.00005) * 1.0001); /* as printed */
        assert_true(fabs(slope_of(gauge, "per_kelvin", jobs[k].degree) / jobs[k].degree_value - 1) < 0.05);
        assert_true(*word(gauge, "widest") && *word(gauge, "narrowest") && *word(movement, "total"));
        if (jobs[k].system == UNITS_US) expect_us(root);
        json_decref(root);
        root = leak_view(&b, 1);
        expect_leak_shape(root);
        assert_string_equal(word(member(member(root, "diagnosis"), "movement"), "verdict"), "not known");
        json_decref(root);
        tear_down(&b);
    }
}

static void a_choice_against_the_table_is_told_with_it(void **state) {
    (void)state;
    bench b;
    size_t i;
    const json_t *choice;
    survey *s = gauged(UNITS_METRIC, 0);
    s->defects[0].overrule =
        (survey_overrule){true, METHOD_DRAIN, "A. Person", "2026-01-05", "a sump is there"};
    plan_with(&b, s, PLANES_OFF);
    json_t *root = leak_view(&b, 0);
    expect_leak_shape(root);
    const json_t *method = member(root, "method"), *by = member(method, "overruled");
    const method_choice *m = &b.p->designs[0].method;
    assert_true(m->overruled && m->by_table != METHOD_DRAIN);
    assert_string_equal(word(method, "name"), "drain and collect");
    assert_string_equal(word(method, "word"), "drain");
    assert_string_equal(word(method, "by_table"), method_words[m->by_table]);
    assert_string_equal(word(by, "method"), "drain");
    assert_string_equal(word(by, "by"), "A. Person");
    assert_string_equal(word(by, "on"), "2026-01-05");
    assert_string_equal(word(by, "why"), "a sump is there");
    assert_int_equal(json_is_null(member(by, "objection")), m->objection == NULL);
    assert_true(number(method, "row") == m->row);
    assert_int_equal(json_array_size(member(method, "tips")), m->n_tips);
    assert_int_equal(json_array_size(member(method, "passed")), m->n_passed);
    assert_int_equal(json_array_size(member(method, "choices")), METHOD_COUNT - 1);
    json_array_foreach(member(method, "choices"), i, choice) {
        assert_string_equal(word(choice, "word"), survey_method_words[i]);
        assert_string_equal(word(choice, "name"), method_words[i]);
        assert_string_not_equal(word(choice, "word"), "engineer");
    }
    json_decref(root);
    tear_down(&b);
}

/* Growing is a STOP: the choice is kept and told, and not taken. */
static void a_choice_under_a_stop_is_told_and_not_taken(void **state) {
    (void)state;
    bench b;
    survey *s = gauged(UNITS_METRIC, 0);
    s->defects[0].signs = SIGN_BIT(SIGN_GROWING);
    s->defects[0].overrule =
        (survey_overrule){true, METHOD_DRAIN, "A. Person", "2026-01-05", "a sump is there"};
    plan_with(&b, s, PLANES_OFF);
    json_t *root = leak_view(&b, 0);
    expect_leak_shape(root);
    const json_t *method = member(root, "method"), *by = member(method, "overruled");
    assert_string_equal(word(method, "word"), "engineer");
    assert_string_equal(word(by, "method"), "drain");
    assert_non_null(strstr(word(by, "objection"), "STOP"));
    json_decref(root);
    tear_down(&b);
}

static void healing_tightness_and_causes_are_those_of_the_plan(void **state) {
    (void)state;
    bench b;
    plan_with(&b, gauged(UNITS_METRIC, 0), PLANES_OFF);
    json_t *root = leak_view(&b, 0);
    const diagnosis *d = &b.p->diagnoses[0];
    const json_t *got = member(root, "diagnosis"), *healing = member(got, "healing"),
                 *causes = member(got, "causes");
    assert_true(d->healing_known);
    assert_int_equal(yes(healing, "heals"), d->healing.heals);
    assert_string_equal(word(healing, "width"), "0.300 mm");
    assert_string_equal(word(healing, "source"), healing_rule_source(HEALING_EN1992_3));
    assert_string_equal(word(member(got, "tightness"), "class"), tightness_name(TIGHT_ZTV_1));
    assert_string_equal(word(member(got, "tightness"), "verdict"), "broken"); /* water runs */
    assert_true(d->causes.n > 0);
    assert_int_equal(json_array_size(causes), d->causes.n);
    for (size_t i = 0; i < d->causes.n; i++) {
        const json_t *cause = json_array_get(causes, i);
        assert_string_equal(word(cause, "cause"), hints_cause_words[d->causes.items[i].cause]);
        assert_int_equal(json_array_size(member(cause, "for")), d->causes.items[i].n_evidence);
        assert_int_equal(json_array_size(member(cause, "against")), d->causes.items[i].n_against);
    }
    json_decref(root);
    tear_down(&b);
}

/* A bar along the crack under 25 mm of concrete: 15 mm may be cut (saw depth = cover - 10 mm), which is less than a plug wants. */
static void the_steel_says_where_and_what_helps(void **state) {
    (void)state;
    bench b;
    plan_with(&b,
              fixture_wall(
                  0.3, 3,
                  "{\"mark\": \"E1\", \"kind\": \"crack\", \"parts\": [{\"face\": \"N\", \"points\": "
                  "[[2,0.2],[3,0.2]]}], \"stations\": [{\"chainage_m\": 0, \"width_mm\": 0.3, \"wetness\": "
                  "\"run\", \"bar\": \"along\", \"cover_mm\": 25}, {\"chainage_m\": 1, \"width_mm\": 0.3, "
                  "\"wetness\": \"run\", \"bar\": \"along\", \"cover_mm\": 25}]}"),
              PLANES_OFF);
    json_t *root = leak_view(&b, 0);
    expect_leak_shape(root);
    const repair_design *d = &b.p->designs[0];
    const json_t *steel = member(root, "steel"), *stretches = member(steel, "stretches");
    assert_true(d->steel.n > 0 && json_array_size(stretches) == d->steel.n);
    assert_string_equal(word(json_array_get(stretches, 0), "bar"), "bar along the crack");
    assert_string_equal(word(json_array_get(stretches, 0), "allowed"), "15 mm");
    assert_int_equal(json_array_size(member(steel, "advice")), d->advised ? REMEDY_COUNT : 0);
    assert_true(d->advised);
    for (size_t k = 0; k < REMEDY_COUNT; k++) {
        const json_t *advice = json_array_get(member(steel, "advice"), k);
        assert_string_equal(word(advice, "remedy"), steel_remedy_words[k]);
        assert_int_equal(yes(advice, "enough"), d->advice[k].enough);
    }
    /* what is shown of a bond to be proven is at least what is wanted, and less than a digit above it */
    const char *bond =
        strstr(word(json_array_get(member(steel, "advice"), REMEDY_STRONGER), "saying"), "bond of ");
    assert_non_null(bond);
    double shown_pa = strtod(bond + strlen("bond of "), NULL) * 1e6,
           wanted_pa = d->advice[REMEDY_STRONGER].value;
    assert_true(shown_pa >= wanted_pa - 1e-3 && shown_pa < wanted_pa + 1000);
    json_decref(root);
    tear_down(&b);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_gauge_is_told_in_the_units_of_the_job),
        cmocka_unit_test(a_choice_against_the_table_is_told_with_it),
        cmocka_unit_test(a_choice_under_a_stop_is_told_and_not_taken),
        cmocka_unit_test(healing_tightness_and_causes_are_those_of_the_plan),
        cmocka_unit_test(the_steel_says_where_and_what_helps),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
