/* What the choice of method says: tips, what was passed over, what was taken as given, a person's overrule. */
#include "../near.h"
#include "diagnose/method_parts.h"
#include "repair/design.h"

#include <string.h>

static method_choice choose(const method_facts *f, const survey_overrule *overrule, arena *memory) {
    method_choice got;
    fault why = {0};
    assert_int_equal(method_choose(f, overrule, memory, &got, &why), OK);
    return got;
}

static method_facts leaking(void) {
    method_facts f = {.kind = KIND_CRACK,
                      .worst = WET_DRIP,
                      .movement = MOVEMENT_UNDECIDED,
                      .width_m = {true, 0.3e-3},
                      .head_m = 3,
                      .level_known = true,
                      .thickness_m = 0.3,
                      .sawn = true};
    for (survey_method m = 0; m < METHOD_COUNT; m++) f.lowest_c[m] = m == METHOD_INJECT_EPOXY ? 10 : 5;
    f.lowest_c[METHOD_DRAIN] = f.lowest_c[METHOD_WATCH] = f.lowest_c[METHOD_ENGINEER] = -HUGE_VAL;
    return f;
}

static const method_tip *tip_of(const method_choice *c, const char *words) {
    for (size_t i = 0; i < c->n_tips; i++)
        if (strstr(c->tips[i].change, words)) return &c->tips[i];
    return NULL;
}

/* The change written into the facts by hand must give the method that the tip names. */
static void expect_tip(const method_facts *now, const char *words, const method_facts *changed,
                       survey_method want, int line) {
    arena *memory = arena_new();
    method_choice c = choose(now, NULL, memory), then = choose(changed, NULL, memory);
    const method_tip *tip = tip_of(&c, words);
    if (!tip) fail_msg("line %d: no tip says \"%s\"; it says: %s", line, words, c.tip);
    if (tip->to != want || then.name != want)
        fail_msg("line %d: the tip says %s, the table %s, want %s", line, method_words[tip->to],
                 method_words[then.name], method_words[want]);
    assert_non_null(strstr(c.tip, tip->change));
    assert_non_null(strstr(c.tip, method_words[tip->to]));
    assert_true(c.n_tips <= 6);
    arena_free(memory);
}
#define EXPECT_TIP(words, member, value, want)                                                               \
    do {                                                                                                     \
        method_facts changed = f;                                                                            \
        changed.member = (value);                                                                            \
        expect_tip(&f, words, &changed, want, __LINE__);                                                     \
    } while (0)

static survey_method answered(const method_facts *f, arena *memory) {
    method_choice c = choose(f, NULL, memory);
    const method_tip *tip = tip_of(&c, "answers the STOP");
    assert_non_null(tip);
    return tip->to;
}

static void tips_are_true(void **state) {
    (void)state;
    method_facts f = leaking();
    EXPECT_TIP("that it moves", movement, MOVEMENT_CYCLIC, METHOD_FLEXIBLE);
    EXPECT_TIP("leaves less than 15 mm", slot_allowed_m, ((maybe){true, 0.014}), METHOD_INJECT_POLYURETHANE);
    EXPECT_TIP("only damp", worst, WET_DAMP, METHOD_SLOT_PACK);
    f.movement = MOVEMENT_STILL;
    f.width_m.v = 0.15e-3;
    f.heals = true;
    EXPECT_TIP("only damp", worst, WET_DAMP, METHOD_WATCH); /* damp, not dry: dry would be coated */
    f = leaking();
    EXPECT_TIP("carry force", strength_wanted, true, METHOD_ENGINEER);
    f.stopped = true;
    EXPECT_TIP("answers the STOP", stopped, false, METHOD_SLOT_PLUG);
    f.movement = MOVEMENT_GROWING; /* told: the answer takes it back; by gauges: it moves */
    f.moves = MOVES_TOLD;
    arena *memory = arena_new();
    assert_int_equal(answered(&f, memory), METHOD_SLOT_PLUG);
    f.moves = MOVES_MEASURED;
    assert_int_equal(answered(&f, memory), METHOD_FLEXIBLE);
    arena_free(memory);
    f = leaking();
    f.worst = WET_DAMP;
    f.width_m.v = 0.15e-3;
    f.heals = true;
    EXPECT_TIP("show it still", movement, MOVEMENT_STILL, METHOD_WATCH);
    EXPECT_TIP("more than 0.2 mm", width_m.v, 0.25e-3, METHOD_SLOT_PACK);
    EXPECT_TIP("water runs", worst, WET_RUN, METHOD_SLOT_PLUG);
    f.system = UNITS_US;
    EXPECT_TIP("more than 0.008 in", width_m.v, 0.25e-3, METHOD_SLOT_PACK);
    f = leaking();
    f.excluded = METHOD_BIT(METHOD_SLOT_PLUG);
    EXPECT_TIP("slot and plug is not excluded", excluded, 0, METHOD_SLOT_PLUG);
    f.width_m.v = 0.1e-3;
    EXPECT_TIP("wet side", far_side, FAR_OPEN, METHOD_COAT);
    f = leaking();
    f.wall_c = (maybe){true, 2};
    EXPECT_TIP("at 10 °C or warmer", wall_c.v, 10, METHOD_SLOT_PLUG);
    f = leaking();
    f.slot_allowed_m = (maybe){true, 0.010};
    EXPECT_TIP("leaves 37 mm", slot_allowed_m.v, 0.037, METHOD_SLOT_PLUG);
    f.drinking_water = true;
    EXPECT_TIP("approved", approved, true, METHOD_INJECT_POLYURETHANE);
    f = leaking();
    f.kind = KIND_HONEYCOMB;
    EXPECT_TIP("deeper than a third of the member, 100 mm", honeycomb_m, ((maybe){true, 0.11}),
               METHOD_INJECT_CEMENT);
    f = leaking();
    f.worst = WET_DRY;
    f.head_m = 0;
    EXPECT_TIP("can rise", head_m, 2, METHOD_SLOT_PACK);
}

static void expect_why(const method_facts *f, survey_method name, const char *words) {
    arena *memory = arena_new();
    method_choice c = choose(f, NULL, memory);
    for (size_t i = 0; i < c.n_passed; i++)
        if (c.passed[i].method == name) {
            if (!strstr(c.passed[i].why, words))
                fail_msg("\"%s\" says nothing of %s", c.passed[i].why, words);
            arena_free(memory);
            return;
        }
    fail_msg("%s was not passed over", method_words[name]);
}

static void what_was_passed_over_says_why(void **state) {
    (void)state;
    method_facts f = leaking();
    f.slot_allowed_m = (maybe){true, 0.010};
    expect_why(&f, METHOD_SLOT_PLUG, "leaves 10 mm of depth, and a cut wants at least 15 mm");
    f.system = UNITS_US; /* 10/25.4 = 0.39, 15/25.4 = 0.59 */
    expect_why(&f, METHOD_SLOT_PLUG, "leaves 0.39 in of depth, and a cut wants at least 0.59 in");
    f = leaking();
    f.slot_allowed_m = (maybe){true, 0.016};
    f.plug_need_m = (maybe){true, 0.0490}; /* sawn; chipped a third: 16.3 mm, trade page strength.md 3 */
    expect_why(&f, METHOD_SLOT_PLUG, "leaves 16 mm of depth, and a plug between chipped faces wants 17 mm");
    f.slot_allowed_m.v = 0.0164;
    assert_int_equal(method_ask(&f).name, METHOD_SLOT_PLUG);
    f = leaking();
    f.wall_c = (maybe){true, 3};
    expect_why(&f, METHOD_SLOT_PLUG, "the wall at 3 °C is colder than the 5 °C");
    f.system = UNITS_US; /* 3 x 1.8 + 32 = 37.4 */
    expect_why(&f, METHOD_SLOT_PLUG, "the wall at 37 °F is colder than the 41 °F");
    f = leaking();
    f.excluded_job = METHOD_BIT(METHOD_SLOT_PLUG);
    expect_why(&f, METHOD_SLOT_PLUG, "excluded in this job");
    f.excluded_job = 0;
    f.thickness_m = 0.100; /* a third is 33 mm, the trade's slot 37 */
    expect_why(&f, METHOD_SLOT_PLUG, "a cut of 37 mm is deeper than a third of the member, 33 mm");
    f.slot_allowed_m = (maybe){true, 0.030}; /* held up by the steel it is no deeper than 30 */
    assert_int_equal(method_ask(&f).name, METHOD_SLOT_PLUG);
    f = leaking();
    f.movement = MOVEMENT_CYCLIC;
    f.worst = WET_RUN;
    f.movement_m = (maybe){true, 0.2e-3};
    expect_why(&f, METHOD_INJECT_POLYURETHANE, "a movement of 0.20 mm in a crack of 0.30 mm");
    f.movement_m.v = 0.15e-3; /* just twice as wide */
    assert_int_equal(method_ask(&f).name, METHOD_INJECT_POLYURETHANE);
    f = leaking();
    f.slot_allowed_m = (maybe){true, 0};
    f.width_m.v = 0.04e-3; /* below the 0.05 mm of REMR CS-MR-3.7 */
    expect_why(&f, METHOD_INJECT_POLYURETHANE, "the crack of 0.04 mm is finer than the 0.05 mm");
}

/* Widths at which a row begins or a material ends, to the last digit typed. */
static void limits_are_where_they_are_published(void **state) {
    (void)state;
    method_facts f = leaking();
    f.worst = WET_DAMP;
    f.width_m.v = 0.2e-3; /* EN 1992-3 7.3.1 */
    assert_int_equal(method_ask(&f).name, METHOD_COAT);
    f.width_m.v = 0.201e-3;
    assert_int_equal(method_ask(&f).name, METHOD_SLOT_PACK);
    f.width_m.known = false;
    assert_int_equal(method_ask(&f).name, METHOD_COAT);
    f.movement = MOVEMENT_STILL;
    f.excluded = METHOD_BIT(METHOD_SLOT_PACK);
    f.width_m = (maybe){true, 6.3e-3}; /* UFGS 03931 3.8.5 */
    assert_int_equal(method_ask(&f).name, METHOD_INJECT_EPOXY);
    f.width_m.v = 6.31e-3;
    assert_int_equal(method_ask(&f).name, METHOD_INJECT_POLYURETHANE);
    f = leaking();
    f.thickness_m = 1; /* our default for the thick walls of REMR CS-MR-3.7 */
    f.width_m.v = 0.8e-3;
    assert_int_equal(method_ask(&f).name, METHOD_INJECT_CEMENT);
    f.thickness_m = 0.99;
    assert_int_equal(method_ask(&f).name, METHOD_SLOT_PLUG);
    near_absolute(METHOD_SLOT_M, DESIGN_SLOT_DEPTH_M, 0); /* the same slot as the design cuts */
    near_relative(METHOD_CHIPPED_GAIN, PLUG_BOND_CHIPPED_PA / PLUG_BOND_SAWN_PA, 1e-12);
}

static void expect_forbidden(const method_facts *f, survey_method name, bool want, int line) {
    char say[METHOD_SAY];
    if (method_forbidden(f, name, say) != want)
        fail_msg("line %d: %s is %s", line, method_words[name], want ? "not forbidden" : say);
}
#define FORBIDDEN(name) expect_forbidden(&f, name, true, __LINE__)
#define ALLOWED(name) expect_forbidden(&f, name, false, __LINE__)

/* Each limit just kept and just broken. Numbers: our defaults, save where said. */
static void what_forbids_ends_where_it_says(void **state) {
    (void)state;
    method_facts f = leaking();
    f.wall_c = (maybe){true, 5};
    ALLOWED(METHOD_SLOT_PLUG);
    f.wall_c.v = 4.9;
    FORBIDDEN(METHOD_SLOT_PLUG);
    f = leaking(); /* it drips: nothing fresh without a plug holds (common practice) */
    FORBIDDEN(METHOD_SLOT_PACK);
    FORBIDDEN(METHOD_COAT);
    f.far_side = FAR_CLOSED;
    FORBIDDEN(METHOD_COAT);
    f.far_side = FAR_OPEN;
    ALLOWED(METHOD_COAT);
    f.worst = WET_SEEP;
    ALLOWED(METHOD_SLOT_PACK);
    f.width_m.v = 0.5e-3;
    ALLOWED(METHOD_COAT);
    f.width_m.v = 0.51e-3;
    FORBIDDEN(METHOD_COAT);
    ALLOWED(METHOD_DRAIN);
    f.worst = WET_DRY;
    FORBIDDEN(METHOD_DRAIN);
    f = leaking();
    f.slot_allowed_m = (maybe){true, 0.015};
    ALLOWED(METHOD_SLOT_PLUG);
    f.plug_need_m = (maybe){true, 0.015};
    f.sawn = false;
    ALLOWED(METHOD_SLOT_PLUG);
    f.kind = KIND_PENETRATION; /* a ring holds on one side: twice the plug */
    FORBIDDEN(METHOD_RING);
    f.plug_need_m.v = 0.0075;
    ALLOWED(METHOD_RING);
    f = leaking();
    f.thickness_m = 3 * METHOD_SLOT_M;
    ALLOWED(METHOD_SLOT_PLUG);
    f.thickness_m = 0.074; /* a third is 24.7 mm, a groove 25 */
    FORBIDDEN(METHOD_FLEXIBLE);
    f.thickness_m = 0.076;
    ALLOWED(METHOD_FLEXIBLE);
    f.kind = KIND_HONEYCOMB; /* what is dug out is not held up by bars */
    f.thickness_m = 0.3;
    f.honeycomb_m = (maybe){true, 0.101};
    f.slot_allowed_m = (maybe){true, 0.030};
    FORBIDDEN(METHOD_CUT_BACK);
    f.honeycomb_m.v = 0.100;
    ALLOWED(METHOD_CUT_BACK);
}

/* Not known is not none: a level nobody knows may stand above, a wet side that is closed is not in reach. */
static void what_is_not_known_is_not_taken(void **state) {
    (void)state;
    method_facts f = leaking();
    f.worst = WET_DRY;
    f.width_m.v = 0.1e-3;
    f.head_m = 0;
    assert_int_equal(method_ask(&f).name, METHOD_WATCH);
    f.level_known = false;
    assert_int_equal(method_ask(&f).name, METHOD_COAT);
    f = leaking();
    f.worst = WET_SEEP;
    f.slot_allowed_m = (maybe){true, 0};
    f.far_side = FAR_CLOSED;
    assert_int_equal(method_ask(&f).name, METHOD_INJECT_POLYURETHANE);
    f.far_side = FAR_OPEN;
    assert_int_equal(method_ask(&f).name, METHOD_COAT);
}

static void a_person_overrules(void **state) {
    (void)state;
    arena *memory = arena_new();
    method_facts f = leaking();
    survey_overrule by = {true, METHOD_INJECT_POLYURETHANE, "A. Mason (invented)", "2025-03-01", "no dust"};
    method_choice c = choose(&f, &by, memory);
    assert_int_equal(c.name, METHOD_INJECT_POLYURETHANE);
    assert_int_equal(c.by_table, METHOD_SLOT_PLUG);
    assert_int_equal(c.runner_up, METHOD_SLOT_PLUG);
    assert_ptr_equal(c.overruled, &by);
    assert_null(c.objection);
    by.method = METHOD_INJECT_EPOXY;
    c = choose(&f, &by, memory);
    assert_int_equal(c.name, METHOD_INJECT_EPOXY);
    assert_non_null(strstr(c.objection, "dry or damp"));
    by.method = METHOD_RING;
    assert_non_null(strstr(choose(&f, &by, memory).objection, "round a pipe"));
    f.strength_wanted = true; /* an engineer's decision, written down as an overrule */
    f.worst = WET_DRY;
    by.method = METHOD_INJECT_EPOXY;
    c = choose(&f, &by, memory);
    assert_int_equal(c.name, METHOD_INJECT_EPOXY);
    assert_non_null(strstr(c.objection, "engineer"));
    f.stopped = true;
    c = choose(&f, &by, memory);
    assert_int_equal(c.name, METHOD_ENGINEER);
    assert_ptr_equal(c.overruled, &by);
    assert_non_null(strstr(c.objection, "STOP"));
    by.given = false;
    f = leaking();
    c = choose(&f, &by, memory);
    assert_int_equal(c.name, METHOD_SLOT_PLUG);
    assert_null(c.overruled);
    arena_free(memory);
}

/* What is taken as given is said: stillness that nobody measured, faces that must be chipped, a wet side in reach. */
static void the_reason_says_what_was_taken(void **state) {
    (void)state;
    arena *memory = arena_new();
    method_facts f = leaking();
    assert_non_null(strstr(choose(&f, NULL, memory).reason, "nothing is known of its movement"));
    f.settled = true;
    assert_non_null(strstr(choose(&f, NULL, memory).reason, "its cause is told to have ended"));
    f.moves = MOVES_MEASURED;
    assert_non_null(strstr(choose(&f, NULL, memory).reason, "its gauges decide nothing yet"));
    f.movement = MOVEMENT_STILL;
    assert_null(strstr(choose(&f, NULL, memory).reason, "taken as still"));
    f.slot_allowed_m = (maybe){true, 0.025};
    f.plug_need_m = (maybe){true, 0.0294};
    assert_non_null(strstr(choose(&f, NULL, memory).reason, "faces chipped"));
    f.slot_allowed_m.v = 0.010;
    f.far_side = FAR_OPEN;
    assert_non_null(strstr(choose(&f, NULL, memory).reason, "better coated there"));
    f.excluded = METHOD_BIT(METHOD_COAT);
    assert_non_null(strstr(choose(&f, NULL, memory).reason, "seal the crack there first"));
    arena_free(memory);
}

static void memory_runs_out(void **state) {
    (void)state;
    method_facts f = leaking();
    f.slot_allowed_m = (maybe){true, 0.010};
    survey_overrule by = {true, METHOD_INJECT_EPOXY, "A. Mason (invented)", "2025-03-01", "because"};
    status code = E_MEMORY;
    for (long n = 0; code != OK; n++) {
        arena *memory = arena_new();
        method_choice c;
        fault why = {0};
        mem_fail_at(n, 1);
        code = method_choose(&f, &by, memory, &c, &why);
        mem_fail_at(-1, 0);
        assert_true(code == OK || code == E_MEMORY);
        if (code == OK) assert_int_equal(c.name, METHOD_INJECT_EPOXY);
        arena_free(memory);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(tips_are_true),
                                       cmocka_unit_test(what_was_passed_over_says_why),
                                       cmocka_unit_test(limits_are_where_they_are_published),
                                       cmocka_unit_test(what_forbids_ends_where_it_says),
                                       cmocka_unit_test(what_is_not_known_is_not_taken),
                                       cmocka_unit_test(a_person_overrules),
                                       cmocka_unit_test(the_reason_says_what_was_taken),
                                       cmocka_unit_test(memory_runs_out)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
