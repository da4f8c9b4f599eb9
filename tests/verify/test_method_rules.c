/* What holds of the choice of method whatever the leak: on random facts from a printed seed, and on each row of the table. */
#include "../near.h"
#include "diagnose/method_parts.h"

#include <inttypes.h>
#include <string.h>

enum { RUNS = 20000 };

static uint64_t seed = 20260711;

static unsigned next_random(unsigned below) {
    seed = seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407); /* Knuth, MMIX */
    return (unsigned)(seed >> 33) % below;
}

static maybe perhaps(double low, double high) {
    return (maybe){next_random(3) > 0, low + (high - low) * next_random(1000) / 999};
}

/* Of `most` bits each with the chance of one in `rare`. */
static unsigned some_bits(unsigned most, unsigned rare) {
    unsigned bits = 0;
    for (unsigned i = 0; i < most; i++) bits |= next_random(rare) == 0 ? 1u << i : 0;
    return bits;
}

static method_facts random_facts(void) {
    unsigned rare = 2 + next_random(20);
    method_facts f = {.kind = next_random(2) ? KIND_CRACK : (survey_kind)next_random(KIND_COUNT),
                      .worst = (survey_wetness)next_random(WET_COUNT),
                      .stopped = next_random(8) == 0,
                      .movement = (movement_verdict)next_random(MOVEMENT_VERDICTS),
                      .moves = (diagnosis_basis)next_random(3),
                      .movement_m = perhaps(0, 1e-3),
                      .width_m = perhaps(0, 2e-3),
                      .head_m = next_random(4) ? 0.1 * next_random(200) : 0,
                      .level_known = next_random(4) > 0,
                      .always_wet = next_random(2),
                      .thickness_m = 0.05 + 0.01 * next_random(200),
                      .slot_allowed_m = perhaps(0, 0.1),
                      .plug_need_m = perhaps(0, 0.1),
                      .sawn = next_random(2),
                      .honeycomb_m = perhaps(0, 0.3),
                      .heals = next_random(2),
                      .far_side = (survey_far_side)next_random(FAR_COUNT),
                      .drinking_water = next_random(6) == 0,
                      .approved = next_random(2),
                      .strength_wanted = next_random(8) == 0,
                      .wall_c = perhaps(-5, 25),
                      .excluded = some_bits(METHOD_ENGINEER, rare),
                      .excluded_job = some_bits(METHOD_ENGINEER, 20)};
    for (survey_method m = 0; m < METHOD_COUNT; m++)
        f.lowest_c[m] = m >= METHOD_DRAIN ? -HUGE_VAL : (double)next_random(15);
    return f;
}

static method_choice choose(const method_facts *f, arena *memory) {
    method_choice got;
    fault why = {0};
    assert_int_equal(method_choose(f, NULL, memory, &got, &why), OK);
    return got;
}

static bool is_moving_line(const method_facts *f) {
    return (f->movement == MOVEMENT_CYCLIC || f->movement == MOVEMENT_CLOSING) &&
           (survey_is_line(f->kind) || f->kind == KIND_PENETRATION);
}

/* Trade rule 14; UFC 4-150-07 (rigid epoxy only where static); Construction Waterproofing Handbook (no cement coat on
 * movement); common practice (nothing fresh under running water). */
static void check_taken(const method_facts *f, survey_method name) {
    unsigned excluded = f->excluded | f->excluded_job;
    bool rigid = name == METHOD_SLOT_PLUG || name == METHOD_SLOT_PACK || name == METHOD_COAT ||
                 name == METHOD_INJECT_EPOXY || name == METHOD_INJECT_CEMENT;
    if (name != METHOD_ENGINEER) assert_false(excluded & METHOD_BIT(name));
    if (is_moving_line(f)) assert_false(rigid);
    if (f->worst >= WET_SEEP) assert_int_not_equal(name, METHOD_INJECT_EPOXY);
    if (f->worst >= WET_DRIP && f->far_side != FAR_OPEN) assert_int_not_equal(name, METHOD_COAT);
    if (f->worst >= WET_RUN) assert_false(name == METHOD_FLEXIBLE || name == METHOD_INJECT_CEMENT);
    if (!f->always_wet) assert_int_not_equal(name, METHOD_INJECT_ACRYLATE);
    if (f->drinking_water && !f->approved)
        assert_false(name == METHOD_INJECT_EPOXY || name == METHOD_INJECT_POLYURETHANE ||
                     name == METHOD_INJECT_ACRYLATE || name == METHOD_FLEXIBLE);
    if (f->wall_c.known) assert_true(f->wall_c.v >= f->lowest_c[name]);
    if (f->slot_allowed_m.known && f->slot_allowed_m.v < 0.015) /* our default: the least cut */
        assert_false(name == METHOD_SLOT_PLUG || name == METHOD_SLOT_PACK || name == METHOD_RING);
}

static void check_passed(const method_facts *f, const method_choice *c) {
    char say[METHOD_SAY];
    for (size_t i = 0; i < c->n_passed; i++) {
        assert_int_not_equal(c->passed[i].method, c->name);
        assert_true(method_forbidden(f, c->passed[i].method, say));
        assert_string_equal(c->passed[i].why, say);
        for (size_t k = 0; k < i; k++) assert_int_not_equal(c->passed[k].method, c->passed[i].method);
    }
}

static void rules_hold_of_random_facts(void **state) {
    (void)state;
    size_t chosen[METHOD_COUNT] = {0};
    print_message("seed %" PRIu64 "\n", seed);
    for (int run = 0; run < RUNS; run++) {
        arena *memory = arena_new();
        method_facts f = random_facts();
        method_choice c = choose(&f, memory);
        chosen[c.name]++;
        check_taken(&f, c.name);
        assert_int_not_equal(c.runner_up, c.name);
        if (c.name != METHOD_ENGINEER || c.runner_up != METHOD_WATCH) check_taken(&f, c.runner_up);
        if (f.stopped || f.movement == MOVEMENT_GROWING || f.strength_wanted)
            assert_int_equal(c.name, METHOD_ENGINEER);
        assert_true(c.row >= 1 && c.row <= (int)method_rows());
        assert_int_equal(method_row_at((size_t)c.row - 1).method, c.name);
        assert_true(strncmp(c.reason, method_row_at((size_t)c.row - 1).reason,
                            strlen(method_row_at((size_t)c.row - 1).reason)) == 0);
        assert_true(strlen(c.basis) > 0);
        check_passed(&f, &c);
        arena_free(memory);
    }
    for (size_t m = 0; m < METHOD_COUNT; m++) assert_true(chosen[m] > 0);
}

/* A method that is excluded is missed by nobody but itself: the choice among the others stays. */
static void excluding_another_changes_nothing(void **state) {
    (void)state;
    for (int run = 0; run < RUNS; run++) {
        method_facts f = random_facts();
        method_pick before = method_ask(&f);
        survey_method other = (survey_method)next_random(METHOD_ENGINEER);
        if (other == before.name) continue;
        f.excluded |= METHOD_BIT(other);
        method_pick after = method_ask(&f);
        assert_int_equal(after.name, before.name);
        assert_int_equal(after.row, before.row);
    }
}

/* Rows 1 to 23, each reached; and of each the text is made from the conditions, and fits a column. */
static void every_row_is_reached(void **state) {
    (void)state;
    bool reached[64] = {0};
    size_t n = method_rows(), missing = 0;
    assert_true(n <= 64);
    for (int run = 0; run < 15 * RUNS; run++) {
        method_facts f = random_facts();
        if (next_random(2)) f.stopped = f.strength_wanted = false;
        reached[method_ask(&f).row] = true;
    }
    for (size_t i = 0; i < n; i++) {
        method_row row = method_row_at(i);
        if (!reached[i]) print_message("row %zu (%s) is never reached\n", i + 1, row.when);
        missing += !reached[i];
        assert_true(strlen(row.when) > 0 && strlen(row.when) < METHOD_WHEN - 1);
        assert_true(strlen(row.reason) > 0 && strlen(row.basis) > 0);
        assert_int_not_equal(row.method, row.runner_up);
    }
    assert_int_equal(missing, 0);
}

/* On random facts: no tip leads where the choice stands already. */
static void tips_lead_elsewhere(void **state) {
    (void)state;
    for (int run = 0; run < RUNS / 10; run++) {
        arena *memory = arena_new();
        method_facts f = random_facts();
        method_choice c = choose(&f, memory);
        assert_true(c.n_tips <= METHOD_TIPS && c.tip && *c.tip);
        for (size_t i = 0; i < c.n_tips; i++) assert_int_not_equal(c.tips[i].to, c.name);
        if (f.stopped) assert_true(c.n_tips <= 1);
        arena_free(memory);
    }
}

/* A cold wall forbids all that is mixed. A channel leads away what runs; over a damp patch it collects nothing, so one waits:
 * the tip says for what. */
static void nothing_runs_so_nothing_is_drained(void **state) {
    (void)state;
    method_facts f = {.kind = KIND_CRACK,
                      .worst = WET_DAMP,
                      .width_m = {true, 0.3e-3},
                      .head_m = 3,
                      .level_known = true,
                      .thickness_m = 0.3,
                      .movement = MOVEMENT_UNDECIDED,
                      .wall_c = {true, 3}};
    for (survey_method m = 0; m < METHOD_COUNT; m++) f.lowest_c[m] = m < METHOD_DRAIN ? 5 : -HUGE_VAL;
    arena *memory = arena_new();
    method_choice got;
    fault why = {0};
    assert_int_equal(method_choose(&f, NULL, memory, &got, &why), OK);
    assert_int_equal(got.name, METHOD_ENGINEER);
    assert_int_equal(got.runner_up, METHOD_WATCH);
    assert_non_null(strstr(got.tip, "slot without plug, if the wall is at 5"));
    f.worst = WET_SEEP;
    assert_int_equal(method_choose(&f, NULL, memory, &got, &why), OK);
    assert_int_equal(got.name, METHOD_DRAIN);
    arena_free(memory);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rules_hold_of_random_facts), cmocka_unit_test(excluding_another_changes_nothing),
        cmocka_unit_test(nothing_runs_so_nothing_is_drained), cmocka_unit_test(every_row_is_reached),
        cmocka_unit_test(tips_lead_elsewhere)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
