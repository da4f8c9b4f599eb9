/* Hints at the cause: for each cause a survey in which it leads, and one in which the evidence against it speaks. The
 * patterns are common practice; numbers in the sentences are worked out beside each check. */
#include "wall_job.h"

#include "diagnose/diagnosis.h"

#include <gsl/gsl_errno.h>
#include <string.h>

static hint_list hints_of(survey *s, size_t at) {
    leak_water leak = wall_look(s, &s->defects[at]);
    diagnosis out;
    fault why = {0};
    if (diagnosis_make(s, &leak, s->memory, &out, &why) != OK) fail_msg("%s", why.text);
    return out.causes;
}

static const hint *find(const hint_list *list, hints_cause cause) {
    for (size_t i = 0; i < list->n; i++)
        if (list->items[i].cause == cause) return &list->items[i];
    return NULL;
}

static bool told(const hint *h, bool against, const char *words) {
    if (!h) return false;
    const char **list = against ? h->against : h->evidence;
    for (size_t i = 0; i < (against ? h->n_against : h->n_evidence); i++)
        if (strstr(list[i], words)) return true;
    return false;
}

/* Every sentence ends as one, and none is sure. */
static void check_words(const hint_list *list) {
    for (size_t i = 0; i < list->n; i++) {
        const hint *h = &list->items[i];
        assert_true(h->n_evidence > 0 && h->cause < CAUSE_COUNT);
        if (i > 0)
            assert_true((int)list->items[i - 1].n_evidence - (int)list->items[i - 1].n_against >=
                        (int)h->n_evidence - (int)h->n_against);
        for (size_t k = 0; k < h->n_evidence; k++) {
            assert_true(h->evidence[k][strlen(h->evidence[k]) - 1] == '.');
            assert_null(strstr(h->evidence[k], "certain"));
            assert_null(strstr(h->evidence[k], "is caused"));
        }
    }
}

static const double upright[3][2][2] = {{{2, 0.1}, {2, 2.8}}, {{5.5, 0.1}, {5.5, 2.9}}, {{9, 0.2}, {9, 2.7}}};
static const double slanting[][2] = {{1, 0.5}, {4, 3.0}};
static const double even[] = {0.20, 0.22, 0.25}, wide_above[] = {0.2, 0.4, 0.9},
                    wide_below[] = {0.5, 0.3, 0.15};

/* Monthly readings of a year; mm per kelvin and mm a year. */
static void read_year(survey *s, survey_defect *d, double per_kelvin, double drift) {
    static const int days[] = {0, 30, 61, 91, 122, 152, 183, 213, 244, 274, 305, 335};
    static const double t[] = {5, 8, 12, 17, 21, 23, 22, 18, 13, 9, 6, 4};
    for (size_t i = 0; i < COUNT(days); i++)
        wall_read(s, d, "G1", days[i], 0.4 + per_kelvin * (t[i] - 13) + drift * days[i] / 365, t[i]);
}

/* Three upright cracks from near the foot, 3.5 m apart in a wall 4 m high: 0.9 heights. */
static void shrinkage_leads(void **state) {
    (void)state;
    survey *s = wall_job();
    for (int i = 0; i < 3; i++) wall_add(s, "N1", KIND_CRACK, 2, upright[i]);
    wall_widths(s, &s->defects[1], 3, even, WET_DAMP);
    hint_list list = hints_of(s, 1);
    check_words(&list);
    assert_int_equal(list.items[0].cause, CAUSE_SHRINKAGE);
    const hint *h = &list.items[0];
    assert_int_equal(h->n_evidence, 3);
    assert_int_equal(h->n_against, 0);
    assert_true(
        told(h, false, "upright (90 degrees) and begins 0.10 m above the foot of a wall 4.00 m high"));
    assert_true(
        told(h, false, "One of 3 upright cracks of this wall, 3.50 m to 3.50 m apart, on average 0.9 times"));
    assert_true(told(h, false, "even, 0.200 mm to 0.250 mm at 3 stations"));
    assert_null(find(&list, CAUSE_SETTLEMENT)); /* only evidence against it: left out */
    wall_widths(s, &s->defects[1], 3, wide_below, WET_DAMP);
    list = hints_of(s, 1);
    assert_true(told(find(&list, CAUSE_SHRINKAGE), false, "Narrows to the top, from 0.500 mm to 0.150 mm"));
    survey_free(s);
}

static void shrinkage_at_a_corner(void **state) {
    static const double from_corner[][2] = {{6.1, 2.1}, {7.0, 2.9}};
    survey_point window[] = {{5, 1}, {6, 1}, {6, 2}, {5, 2}};
    survey_ring ring = {window, 4};
    (void)state;
    survey *s = wall_job();
    s->faces[0].openings = &ring;
    s->faces[0].n_openings = 1;
    wall_add(s, "N1", KIND_CRACK, 2, from_corner);
    hint_list list = hints_of(s, 0);
    assert_int_equal(list.items[0].cause, CAUSE_SHRINKAGE);
    assert_true(told(&list.items[0], false, "0.14 m from it")); /* hypot(0.1, 0.1) */
    assert_null(find(&list, CAUSE_SETTLEMENT));
    survey_free(s);
}

static void shrinkage_is_doubted(void **state) {
    (void)state;
    survey *s = wall_job();
    survey_defect *d = wall_add(s, "N1", KIND_CRACK, 2, upright[0]);
    wall_widths(s, d, 3, wide_above, WET_DAMP);
    d->signs = SIGN_BIT(SIGN_OFFSET);
    read_year(s, d, -0.002, 0.2);
    hint_list list = hints_of(s, 0);
    const hint *h = find(&list, CAUSE_SHRINKAGE);
    assert_int_equal(h->n_against, 3);
    assert_true(told(h, true, "Widens to the top, from 0.200 mm to 0.900 mm"));
    assert_true(told(h, true, "grows by 0.200 mm a year"));
    assert_true(told(h, true, "faces stand apart"));
    survey_free(s);
}

static void settlement_leads(void **state) {
    (void)state;
    survey *s = wall_job();
    survey_defect *d = wall_add(s, "N1", KIND_CRACK, 2, slanting);
    wall_widths(s, d, 3, wide_above, WET_SEEP);
    d->signs = SIGN_BIT(SIGN_OFFSET) | SIGN_BIT(SIGN_BULGING);
    read_year(s, d, -0.002, 0.2);
    hint_list list = hints_of(s, 0);
    check_words(&list);
    const hint *h = &list.items[0];
    assert_int_equal(h->cause, CAUSE_SETTLEMENT);
    assert_int_equal(h->n_evidence, 5);
    assert_true(told(h, false, "slanting (40 degrees)")); /* atan(2.5/3) = 39.8 */
    assert_true(told(h, false, "0.200 mm below and 0.900 mm above"));
    assert_true(told(h, false, "grows by 0.200 mm a year"));
    survey_free(s);
}

static void settlement_is_doubted(void **state) {
    (void)state;
    survey *s = wall_job();
    survey_defect *d = wall_add(s, "N1", KIND_CRACK, 2, slanting);
    wall_widths(s, d, 3, even, WET_SEEP);
    d->signs = SIGN_BIT(SIGN_SETTLED);
    read_year(s, d, -0.001, 0);
    hint_list list = hints_of(s, 0);
    const hint *h = find(&list, CAUSE_SETTLEMENT);
    assert_int_equal(h->n_evidence, 1);
    assert_int_equal(h->n_against, 3);
    assert_true(told(h, true, "does not grow"));
    assert_true(told(h, true, "known and has ended"));
    survey_free(s);
}

/* -0.030 mm/K: 0.030/10e-6 = 3.0 m of concrete, the wall is 10 m long; 0.030 x (23 - 4) = 0.57 mm. */
static void the_season_leads(void **state) {
    static const double across[][2] = {{4, 1.5}, {6, 3.0}};
    (void)state;
    survey *s = wall_job();
    survey_defect *d = wall_add(s, "N1", KIND_CRACK, 2, across);
    read_year(s, d, -0.030, 0);
    d->signs = SIGN_BIT(SIGN_MOVING);
    hint_list list = hints_of(s, 0);
    check_words(&list);
    const hint *h = &list.items[0];
    assert_int_equal(h->cause, CAUSE_THERMAL);
    assert_int_equal(h->n_evidence, 3);
    assert_true(told(h, false, "by 0.570 mm between the coldest and the warmest"));
    assert_true(told(h, false, "0.0300 mm a kelvin as it warms: what 3.00 m of concrete"));
    s->site.system = UNITS_US; /* 0.030 x 5/9 = 0.016667 mm = 0.00066 in; 3 m = 9.84 ft */
    list = hints_of(s, 0);
    assert_true(told(&list.items[0], false, "0.00066 in a °F as it warms: what 9.84 ft of concrete"));
    survey_free(s);
}

/* -0.150 mm/K would take 15 m of concrete: more than the wall has. */
static void the_season_is_doubted(void **state) {
    (void)state;
    survey *s = wall_job();
    survey_defect *d = wall_add(s, "N1", KIND_CRACK, 2, slanting);
    read_year(s, d, -0.150, 0);
    hint_list list = hints_of(s, 0);
    assert_true(told(find(&list, CAUSE_THERMAL), true, "15.00 m of concrete would have to move"));
    d->n_readings = 0;
    d->signs = SIGN_BIT(SIGN_MOVING);
    read_year(s, d, -0.001, 0);
    list = hints_of(s, 0);
    assert_true(told(find(&list, CAUSE_THERMAL), true, "moves by 0.019 mm with the temperature"));
    d->n_readings = 0;
    read_year(s, d, 0.030, 0);
    list = hints_of(s, 0);
    assert_true(told(find(&list, CAUSE_THERMAL), true, "Opens by 0.0300 mm a kelvin as it warms"));
    survey_free(s);
}

static void a_joint_leads(void **state) {
    static const double at_foot[][2] = {{1, 0.1}, {8, 0.12}}, lift[][2] = {{0.5, 2.5}, {4, 2.5}},
                        other[][2] = {{5, 2.52}, {9, 2.55}};
    (void)state;
    survey *s = wall_job();
    wall_add(s, "N1", KIND_CRACK, 2, at_foot);
    wall_add(s, "N2", KIND_JOINT, 2, lift);
    wall_add(s, "N3", KIND_CRACK, 2, other);
    hint_list list = hints_of(s, 0);
    check_words(&list);
    assert_int_equal(list.items[0].cause, CAUSE_JOINT);
    assert_true(told(&list.items[0], false, "along the foot of the wall, nowhere more than 0.12 m"));
    assert_true(told(&list.items[0], false, "level over 7.00 m of a wall 10.00 m long"));
    list = hints_of(s, 1);
    assert_true(told(&list.items[0], false, "Recorded as a construction joint"));
    list = hints_of(s, 2);
    assert_int_equal(list.items[0].cause, CAUSE_JOINT);
    assert_true(told(&list.items[0], false, "at the height of joint N2"));
    survey_free(s);
}

/* An upright crack that lies along a recorded fold speaks for a joint; one that crosses the wall freely against it. */
static void a_joint_along_a_fold(void **state) {
    static const double in_corner[][2] = {{9.9, 0.5}, {9.95, 3}};
    survey_fold fold = {.face_a = "N", .face_b = "E", .a = {{10, 0}, {10, 4}}, .b = {{0, 0}, {0, 4}}};
    (void)state;
    survey *s = wall_job();
    s->folds = &fold;
    s->n_folds = 1;
    wall_add(s, "N1", KIND_CRACK, 2, in_corner);
    hint_list list = hints_of(s, 0);
    assert_true(
        told(find(&list, CAUSE_JOINT), false, "along a corner of two faces, nowhere more than 0.10 m"));
    survey_free(s);
}

static void points_lead(void **state) {
    static const survey_kind kinds[] = {KIND_TIE_HOLE, KIND_PENETRATION, KIND_HONEYCOMB};
    static const hints_cause causes[] = {CAUSE_TIE, CAUSE_PENETRATION, CAUSE_HONEYCOMB};
    static const double spot[][2] = {{3, 2}, {3.3, 2}, {3.3, 2.3}, {3, 2.3}},
                        beside[][2] = {{2.8, 1.5}, {2.8, 2.5}};
    (void)state;
    for (size_t k = 0; k < COUNT(kinds); k++) {
        survey *s = wall_job();
        survey_defect *d = wall_add(s, "P1", kinds[k], kinds[k] == KIND_HONEYCOMB ? 4 : 1, spot);
        d->signs = SIGN_BIT(SIGN_RUST);
        if (k == 1) d->diameter_m = (maybe){true, 0.1};
        hint_list list = hints_of(s, 0);
        check_words(&list);
        assert_int_equal(list.n, 1);
        assert_int_equal(list.items[0].cause, causes[k]);
        assert_int_equal(list.items[0].n_evidence, 2); /* kind and rust */
        /* A crack 0.2 m beside it, less half the pipe's 0.1 m. */
        wall_add(s, "N1", KIND_CRACK, 2, beside);
        list = hints_of(s, 1);
        assert_true(told(find(&list, causes[k]), false, k == 1 ? "P1 at 0.15 m" : "P1 at 0.20 m"));
        survey_free(s);
    }
}

static void points_are_doubted(void **state) {
    static const double spot[][2] = {{2.1, 2}, {2.3, 2}, {2.3, 2.2}, {2.1, 2.2}};
    (void)state;
    for (int k = 0; k < 3; k++) {
        survey *s = wall_job();
        survey_kind kind = (const survey_kind[]){KIND_TIE_HOLE, KIND_PENETRATION, KIND_HONEYCOMB}[k];
        hints_cause cause = (const hints_cause[]){CAUSE_TIE, CAUSE_PENETRATION, CAUSE_HONEYCOMB}[k];
        wall_add(s, "P1", kind, kind == KIND_HONEYCOMB ? 4 : 1, spot);
        survey_defect *d = wall_add(s, "N1", KIND_CRACK, 2, upright[0]);
        wall_widths(s, d, 3, even, WET_DRIP);
        hint_list list = hints_of(s, 1);
        assert_true(told(find(&list, cause), true, "Wet over 2.70 m, far beyond"));
        if (kind == KIND_HONEYCOMB)
            assert_true(told(find(&list, cause), true, "clear width was read at 3 stations"));
        survey_free(s);
    }
}

/* A tie hole 0.31 m away is not near; one at 0.29 m is. */
static void near_ends_at_0_3_m(void **state) {
    (void)state;
    for (int k = 0; k < 2; k++) {
        const double spot[][2] = {{k ? 2.29 : 2.31, 2}};
        survey *s = wall_job();
        wall_add(s, "P1", KIND_TIE_HOLE, 1, spot);
        wall_add(s, "N1", KIND_CRACK, 2, upright[0]);
        hint_list list = hints_of(s, 1);
        assert_int_equal(find(&list, CAUSE_TIE) != NULL, k);
        survey_free(s);
    }
}

static void every_allocation_may_fail(void **state) {
    status code = E_MEMORY;
    (void)state;
    survey *s = wall_job();
    for (int i = 0; i < 3; i++) wall_add(s, "N1", KIND_CRACK, 2, upright[i]);
    wall_widths(s, &s->defects[1], 3, even, WET_DAMP);
    leak_water leak = wall_look(s, &s->defects[1]);
    for (long n = 0; code != OK && n < 200; n++) {
        arena *memory = arena_new();
        hint_list out;
        fault why = {0};
        mem_fail_at(n, 1);
        code = hints_find(s, &leak, false, NULL, memory, &out, &why);
        mem_fail_at(-1, 0);
        if (code != OK) assert_int_equal(code, E_MEMORY);
        arena_free(memory);
    }
    assert_int_equal(code, OK);
    survey_free(s);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shrinkage_leads),           cmocka_unit_test(shrinkage_at_a_corner),
        cmocka_unit_test(shrinkage_is_doubted),      cmocka_unit_test(settlement_leads),
        cmocka_unit_test(settlement_is_doubted),     cmocka_unit_test(the_season_leads),
        cmocka_unit_test(the_season_is_doubted),     cmocka_unit_test(a_joint_leads),
        cmocka_unit_test(a_joint_along_a_fold),      cmocka_unit_test(points_lead),
        cmocka_unit_test(points_are_doubted),        cmocka_unit_test(near_ends_at_0_3_m),
        cmocka_unit_test(every_allocation_may_fail),
    };
    gsl_set_error_handler_off();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
