/* The scheduling kernel against hand-made plans, against slow ways to the optimum, against the open PSPLIB instances (read from
 * STANCH_DATA, skipped where absent), and against the slow checker on random problems. */
#include "../near.h"
#include "../patterson.h"
#include "../schedule_check.h"
#include "crew/schedule_place.h"
#include "random_schedule.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#ifndef STANCH_DATA
#define STANCH_DATA "../shared/data"
#endif

static const schedule_options usual = {.schedules = 300, .seed = 1};

/* Solve, check by the slow checker, and hold the bound. The starts live in `memory`. */
static schedule_result solve(const schedule_problem *p, const schedule_options *options, arena *memory) {
    schedule_result out;
    fault why = {0};
    char told[200] = "";
    assert_non_null(memory);
    if (schedule_solve(p, options, memory, &out, &why) != OK) fail_msg("%s", why.text);
    if (!schedule_holds(p, out.start, told, sizeof told)) fail_msg("%s", told);
    assert_int_equal(out.makespan, schedule_ends(p, out.start));
    assert_true(out.lower_bound <= out.makespan);
    assert_in_range(out.schedules, 1, options->schedules);
    return out;
}

static void ends_at(const schedule_problem *p, int makespan) {
    arena *memory = arena_new();
    schedule_result out = solve(p, &usual, memory);
    if (out.makespan != makespan) fail_msg("ends at %d, wanted %d", out.makespan, makespan);
    arena_free(memory);
}

static void is_refused(const schedule_problem *p, const char *part) {
    arena *memory = arena_new();
    schedule_result out = {.makespan = 7};
    fault why = {0};
    assert_int_equal(schedule_solve(p, &usual, memory, &out, &why), E_INPUT);
    if (!strstr(why.text, part)) fail_msg("\"%s\" has no \"%s\"", why.text, part);
    assert_null(out.start);
    assert_int_equal(out.makespan, 0);
    arena_free(memory);
}

/* ---- by hand ---- */

enum { MOST = 8, KINDS = 9 };
typedef struct {
    schedule_resource resources[KINDS];
    schedule_task tasks[MOST];
    schedule_after after[MOST][4];
    int needs[MOST][KINDS];
    schedule_window windows[8];
    schedule_calendar calendar;
    schedule_problem p;
} hand;

static void hand_open(hand *h, int capacity) {
    *h = (hand){0};
    for (int r = 0; r < KINDS; r++) h->resources[r] = (schedule_resource){"lift", capacity};
    h->p = (schedule_problem){h->resources, KINDS, h->tasks, 0, &h->calendar, 1};
    h->calendar.windows = h->windows;
}

static void hand_task(hand *h, const char *id, int minutes, int kind, int need, int calendar) {
    size_t i = h->p.n_tasks++;
    h->needs[i][kind] = need;
    h->tasks[i] = (schedule_task){id, minutes, h->needs[i], h->after[i], 0, calendar, 0};
}

static void hand_after(hand *h, size_t later, size_t earlier, int min_lag, int max_lag) {
    h->after[later][h->tasks[later].n_after++] = (schedule_after){earlier, min_lag, max_lag};
}

static void hand_window(hand *h, int from, int to) {
    h->windows[h->calendar.n++] = (schedule_window){from, to};
}

static void one_after_the_other(void **state) {
    (void)state;
    hand h;
    hand_open(&h, 1); /* 30 + 20, one lift */
    hand_task(&h, "a", 30, 0, 1, SCHEDULE_ALWAYS);
    hand_task(&h, "b", 20, 0, 1, SCHEDULE_ALWAYS);
    ends_at(&h.p, 50);
    h.resources[0].capacity = 2; /* side by side: the longer */
    ends_at(&h.p, 30);
    hand_after(&h, 1, 0, 15, SCHEDULE_NO_LIMIT); /* 30 + 15 + 20 */
    ends_at(&h.p, 65);
    h.tasks[0].earliest = 7;
    ends_at(&h.p, 72);
}

/* The ninth kind lies in the third word of what is free. */
static void the_ninth_kind_counts(void **state) {
    (void)state;
    hand h;
    for (int kind = 0; kind < KINDS; kind++) {
        hand_open(&h, 5);
        hand_task(&h, "a", 10, kind, 3, SCHEDULE_ALWAYS);
        hand_task(&h, "b", 10, kind, 3, SCHEDULE_ALWAYS);
        ends_at(&h.p, 20); /* 3 + 3 > 5 */
        h.needs[1][kind] = 2;
        ends_at(&h.p, 10); /* 3 + 2 = 5 */
    }
}

/* Coat 20, pack 45 at once. From 0 to 60 they do not fit (65): both wait for the next shift, 90 to 155. Cut needs 60 and takes
 * the first one. */
static void at_once_over_the_end_of_a_shift(void **state) {
    (void)state;
    hand h;
    hand_open(&h, 1);
    hand_window(&h, 0, 60);
    hand_window(&h, 90, 200);
    hand_task(&h, "cut", 60, 0, 1, 0);
    hand_task(&h, "coat", 20, 1, 1, 0);
    hand_task(&h, "pack", 45, 1, 1, 0);
    hand_after(&h, 2, 1, 0, 0);
    ends_at(&h.p, 155);
    h.after[2][0].max_lag = 30; /* coat 40 to 60, the break of 30, pack from 90 */
    ends_at(&h.p, 135);
    h.after[2][0].max_lag = 29;
    ends_at(&h.p, 155);
    h.calendar.n = 1;
    is_refused(&h.p, "maximum lags");
    h.after[2][0].max_lag = SCHEDULE_NO_LIMIT;
    is_refused(&h.p, "no shift is left"); /* 20 + 45 > 60 */
}

/* Lags run through the night: 100 minutes after 60 is 160, in the second shift. */
static void cure_through_the_night(void **state) {
    (void)state;
    hand h;
    hand_open(&h, 1);
    hand_window(&h, 0, 60);
    hand_window(&h, 150, 210);
    hand_task(&h, "coat", 60, 0, 1, 0);
    hand_task(&h, "prove", 10, 0, 1, 0);
    hand_task(&h, "soak", 500, 0, 0, SCHEDULE_ALWAYS);
    hand_after(&h, 1, 0, 100, SCHEDULE_NO_LIMIT);
    hand_after(&h, 2, 0, 0, 0); /* 60 to 560 */
    ends_at(&h.p, 560);
    h.p.n_tasks = 2;
    ends_at(&h.p, 170);
    h.after[1][0].min_lag = 20; /* 80 is night: from 150 */
    ends_at(&h.p, 160);
}

/* Plug and coat are tied by 25 minutes; what lies between, 20 minutes of the only lift, belongs to no tie itself. */
static void a_block_with_another_between(void **state) {
    (void)state;
    hand h;
    hand_open(&h, 1);
    hand_task(&h, "plug", 10, 0, 1, SCHEDULE_ALWAYS);
    hand_task(&h, "bend", 20, 0, 1, SCHEDULE_ALWAYS);
    hand_task(&h, "coat", 10, 0, 1, SCHEDULE_ALWAYS);
    hand_task(&h, "other", 15, 0, 1, SCHEDULE_ALWAYS);
    hand_after(&h, 1, 0, 0, SCHEDULE_NO_LIMIT);
    hand_after(&h, 2, 1, 0, SCHEDULE_NO_LIMIT);
    hand_after(&h, 2, 0, 0, 25); /* 20 between leave 5: not room for the other, 15 */
    ends_at(&h.p, 55);
    h.tasks[3].earliest = 5; /* the other from 40: 55; first it could only come at 5, then 20 + 40 */
    ends_at(&h.p, 55);
    h.after[2][1].max_lag = 19;
    is_refused(&h.p, "task coat");
}

/* One lift, two faces; each face: cut 20 with lift, soak 30 without, plug 10 with. a: 0-20, b: 20-40, plug a 50, plug b 70-80. */
static void a_lift_for_two_faces(void **state) {
    (void)state;
    hand h;
    hand_open(&h, 1);
    for (size_t face = 0; face < 2; face++) {
        hand_task(&h, "cut", 20, 0, 1, SCHEDULE_ALWAYS);
        hand_task(&h, "soak", 30, 0, 0, SCHEDULE_ALWAYS);
        hand_task(&h, "plug", 10, 0, 1, SCHEDULE_ALWAYS);
        hand_after(&h, 3 * face + 1, 3 * face, 0, 0);
        hand_after(&h, 3 * face + 2, 3 * face + 1, 0, SCHEDULE_NO_LIMIT);
    }
    ends_at(&h.p, 80); /* 20 + 20 + 30 + 10: the second cut, its soak, its plug */
    h.after[2][0].max_lag = h.after[5][0].max_lag = 0;
    ends_at(&h.p, 80);
}

/* Two pairs tied at once on one placer, both pairs after the same mixing within 10: x1 x2 y1 y2 fits, x1 y1 x2 y2 never. */
static void the_inner_order_is_found(void **state) {
    (void)state;
    hand h;
    hand_open(&h, 1);
    hand_task(&h, "mix", 5, 1, 1, SCHEDULE_ALWAYS);
    hand_task(&h, "x1", 5, 0, 1, SCHEDULE_ALWAYS);
    hand_task(&h, "y1", 5, 0, 1, SCHEDULE_ALWAYS);
    hand_task(&h, "x2", 5, 0, 1, SCHEDULE_ALWAYS);
    hand_task(&h, "y2", 5, 0, 1, SCHEDULE_ALWAYS);
    hand_after(&h, 1, 0, 0, 10);
    hand_after(&h, 2, 0, 0, 10);
    hand_after(&h, 3, 1, 0, 0);
    hand_after(&h, 4, 2, 0, 0);
    ends_at(&h.p, 25);
    h.after[1][0].max_lag = h.after[2][0].max_lag = 9; /* the second pair can begin 10 after the mixing */
    is_refused(&h.p, "maximum lags");
    h.resources[0].capacity = 2;
    ends_at(&h.p, 15);
}

/* After mixing, 5 and 10 minutes of one placer, both to begin within 5: the shorter first, whichever is named first. */
static void the_second_order_is_tried(void **state) {
    (void)state;
    hand h;
    for (int swap = 0; swap < 2; swap++) {
        hand_open(&h, 1);
        hand_task(&h, "mix", 5, 1, 1, SCHEDULE_ALWAYS);
        hand_task(&h, "one", swap ? 10 : 5, 0, 1, SCHEDULE_ALWAYS);
        hand_task(&h, "two", swap ? 5 : 10, 0, 1, SCHEDULE_ALWAYS);
        hand_after(&h, 1, 0, 0, 5);
        hand_after(&h, 2, 0, 0, 5);
        ends_at(&h.p, 20);
    }
    /* seven of one minute, the last to begin at 6, but within 5: 5,040 orders, not all of them tried, and that is said */
    hand_open(&h, 1);
    hand_task(&h, "mix", 1, 1, 1, SCHEDULE_ALWAYS);
    for (size_t i = 1; i < MOST; i++) {
        hand_task(&h, "coat", 1, 0, 1, SCHEDULE_ALWAYS);
        hand_after(&h, i, 0, 0, 5);
    }
    is_refused(&h.p, "no way was found");
    for (size_t i = 1; i < MOST; i++) h.after[i][0].max_lag = 6;
    ends_at(&h.p, 8);
}

/* All times are tens but the maximum lags: a 0 to 10, b 25 to 35, c from 50, which is 40 after a. */
static void maximum_lags_set_the_step(void **state) {
    (void)state;
    hand h;
    hand_open(&h, 1);
    for (int i = 0; i < 3; i++) hand_task(&h, "task", 10, 0, 1, SCHEDULE_ALWAYS);
    hand_after(&h, 1, 0, 0, 15);
    hand_after(&h, 2, 1, 0, 15);
    hand_after(&h, 2, 0, 40, SCHEDULE_NO_LIMIT);
    ends_at(&h.p, 60);
}

/* Two of 10 on one lift, each followed by 30 of cure and 5 of proof: 10 + 10 + 30 + 5 is a bound; met, it ends the search. With a
 * break from 15 to 35 the second is done by 45 (10 do not fit into the 5 left), and the bound knows the 15 + 5 of machine time. */
static void the_bound_knows_work_and_what_follows(void **state) {
    (void)state;
    hand h;
    hand_open(&h, 1);
    for (size_t i = 0; i < 2; i++) {
        hand_task(&h, "cut", 10, 0, 1, 0);
        hand_task(&h, "prove", 5, 0, 0, SCHEDULE_ALWAYS);
        hand_after(&h, 2 * i + 1, 2 * i, 30, SCHEDULE_NO_LIMIT);
    }
    hand_window(&h, 0, 100);
    arena *memory = arena_new();
    schedule_result out = solve(&h.p, &usual, memory);
    assert_int_equal(out.makespan, 55);
    assert_int_equal(out.lower_bound, 55);
    assert_int_equal(out.schedules, 1);
    h.windows[0].to = 15;
    hand_window(&h, 35, 100);
    out = solve(&h.p, &usual, memory);
    assert_int_equal(out.makespan, 80);
    assert_int_equal(out.lower_bound, 75); /* 15 before the break, 5 behind it: 40 + 30 + 5 */
    arena_free(memory);
}

/* First in the order: two lifts from minute 5. The serial scheme keeps them free for it; the parallel one lets nobody wait who
 * can start: b from 0 to 10, then a. */
static void the_two_schemes_differ(void **state) {
    (void)state;
    hand h;
    hand_open(&h, 2);
    hand_task(&h, "a", 5, 0, 2, SCHEDULE_ALWAYS);
    hand_task(&h, "b", 10, 0, 1, SCHEDULE_ALWAYS);
    h.tasks[0].earliest = 5;
    arena *memory = arena_new();
    model *m;
    generator g;
    fault why;
    assert_int_equal(model_make(&h.p, memory, &m, &why), OK);
    assert_true(generator_open(&g, m));
    int order[2] = {m->block_of[m->place[0]], m->block_of[m->place[1]]};
    assert_int_equal(generator_serial(&g, order), PLACED);
    assert_int_equal(g.makespan * m->step_minutes, 20);
    assert_int_equal(generator_parallel(&g, order), PLACED);
    assert_int_equal(g.makespan * m->step_minutes, 15);
    assert_int_equal(g.start[m->place[0]] * m->step_minutes, 10);
    generator_close(&g);
    arena_free(memory);
}

static void nothing_to_do(void **state) {
    (void)state;
    hand h;
    hand_open(&h, 0); /* none of anything: tasks that need nothing run all the same */
    hand_task(&h, "mark", 0, 0, 0, SCHEDULE_ALWAYS);
    hand_task(&h, "wait", 40, 0, 0, SCHEDULE_ALWAYS);
    hand_after(&h, 0, 1, 0, 0);
    ends_at(&h.p, 40);
    hand_window(&h, 50, 60);
    h.tasks[0].calendar = 0; /* of no minutes, at once: the task before is moved to 10 to 50 */
    ends_at(&h.p, 50);
    h.tasks[0].earliest = 60; /* the end of the window is in it, for a task of no minutes */
    ends_at(&h.p, 60);
    h.tasks[0].earliest = 61;
    is_refused(&h.p, "too early");
    h.p.n_resources = 0;
    h.tasks[0].earliest = 0;
    ends_at(&h.p, 50);
}

static void what_cannot_be(void **state) {
    (void)state;
    hand h;
    hand_open(&h, 2);
    hand_window(&h, 0, 60);
    hand_task(&h, "a", 30, 0, 3, SCHEDULE_ALWAYS);
    hand_task(&h, "b", 20, 0, 1, 0);
    is_refused(&h.p, "task a: needs 3 of lift; it must lie in 0 to 2");
    h.needs[0][0] = 2;
    h.tasks[1].minutes = 61;
    is_refused(&h.p, "task b: 61 minutes are longer than every shift (the longest has 60)");
    h.tasks[1].minutes = 20;
    hand_after(&h, 0, 1, 0, SCHEDULE_NO_LIMIT);
    hand_after(&h, 1, 0, 0, SCHEDULE_NO_LIMIT);
    is_refused(&h.p, "for itself");
    h.tasks[1].n_after = 0;
    h.after[0][0].max_lag = -2;
    is_refused(&h.p, "maximum lag -2");
    h.after[0][0] = (schedule_after){1, 10, 9};
    is_refused(&h.p, "task a after b: maximum lag 9 is below the minimum lag 10");
    h.after[0][0] = (schedule_after){0, 0, 0};
    is_refused(&h.p, "task a: waits for itself");
    h.after[0][0] = (schedule_after){9, 0, 0};
    is_refused(&h.p, "not there");
    h.tasks[0].n_after = 0;
    h.tasks[0].calendar = 1;
    is_refused(&h.p, "calendar 1");
    h.tasks[0].calendar = SCHEDULE_ALWAYS;
    h.windows[0].to = 0;
    is_refused(&h.p, "shift 1");
    h.windows[0].to = 60;
    h.resources[0].capacity = SCHEDULE_MOST_CAPACITY + 1;
    is_refused(&h.p, "capacity 30001");
    h.resources[0].capacity = 2;
    h.tasks[0].minutes = SCHEDULE_MOST_MINUTES + 1;
    is_refused(&h.p, "task a: 20000001 minutes");
}

/* A ring of three behind which a fourth waits: one of the ring is named, not the fourth. */
static void a_ring_is_named(void **state) {
    (void)state;
    hand h;
    hand_open(&h, 1);
    hand_task(&h, "behind", 1, 0, 0, SCHEDULE_ALWAYS);
    for (size_t i = 1; i < 4; i++) hand_task(&h, "ring", 1, 0, 0, SCHEDULE_ALWAYS);
    hand_after(&h, 0, 1, 0, SCHEDULE_NO_LIMIT);
    for (size_t i = 1; i < 4; i++) hand_after(&h, i, i % 3 + 1, 0, SCHEDULE_NO_LIMIT);
    is_refused(&h.p, "task ring: waits");
}

/* Numbers at their limits neither overflow nor pass as "no shift is left". */
static void at_the_limits(void **state) {
    (void)state;
    hand h;
    hand_open(&h, SCHEDULE_MOST_CAPACITY);
    h.p.n_resources = 1; /* the checker counts each minute of each kind */
    hand_task(&h, "long", SCHEDULE_MOST_MINUTES, 0, SCHEDULE_MOST_CAPACITY, SCHEDULE_ALWAYS);
    ends_at(&h.p, SCHEDULE_MOST_MINUTES); /* one step */
    hand_task(&h, "odd", 1, 0, 1, SCHEDULE_ALWAYS);
    is_refused(&h.p, "task long: a plan with it lasts longer than 2000000 minutes");
    for (size_t i = 1; i < MOST; i++) {
        if (i > 1) hand_task(&h, "on", SCHEDULE_MOST_MINUTES, 0, 1, SCHEDULE_ALWAYS);
        hand_after(&h, i, i - 1, SCHEDULE_MOST_MINUTES, SCHEDULE_MOST_MINUTES);
    }
    is_refused(&h.p, "lasts longer than 2000000 minutes");
    hand_open(&h, 1);
    h.p.n_resources = 1;
    hand_task(&h, "one", SCHEDULE_MOST_STEPS - 1, 0, 1, SCHEDULE_ALWAYS);
    hand_task(&h, "two", 1, 0, 1, SCHEDULE_ALWAYS);
    ends_at(&h.p, SCHEDULE_MOST_STEPS);
    h.tasks[1].minutes = 2;
    is_refused(&h.p, "no plan is shorter than 2000001 minutes");
    h.needs[1][0] = 0;
    h.tasks[1].calendar = 0;
    hand_window(&h, SCHEDULE_MOST_STEPS - 1, SCHEDULE_MOST_STEPS + 1);
    is_refused(&h.p, "no plan is shorter than 2000001 minutes");
}

/* ---- the slow ways ---- */

/* Up to six tasks, with and without maximum lags and windows: as short as the best, found by trying all; never below a bound. */
static void search_meets_the_optimum(void **state) {
    (void)state;
    int met = 0, bounds = 0, none = 0, given_up = 0;
    for (unsigned seed = 1; seed <= 240; seed++) {
        random_problem r;
        random_schedule(&r, seed, (random_shape){4 + (int)seed % 3, 4, 2, seed % 2, seed % 4 > 1});
        int best = slow_makespan(&r.p, 60);
        arena *memory = arena_new();
        if (best == SLOW_NONE) {
            fault why = {0};
            schedule_result out;
            status code = schedule_solve(&r.p, &usual, memory, &out, &why);
            if (code == OK && out.makespan <= 60) fail_msg("seed %u: a plan of %d", seed, out.makespan);
            none++;
        } else if (best == SLOW_GIVEN_UP) {
            given_up++;
        } else {
            schedule_result out = solve(&r.p, &usual, memory);
            if (out.makespan < best || out.lower_bound > best)
                fail_msg("seed %u: %d found, bound %d, best %d", seed, out.makespan, out.lower_bound, best);
            if (out.makespan > best)
                print_message("seed %u: %d found, %d is best, gap told %d\n", seed, out.makespan, best,
                              out.makespan - out.lower_bound);
            met += out.makespan == best;
            bounds += out.lower_bound == best;
        }
        arena_free(memory);
    }
    int known = 240 - none - given_up;
    print_message("of 240: %d impossible, %d given up; of %d others %d shortest, %d bounds met\n", none,
                  given_up, known, met, bounds);
    assert_true(known > 160 && none > 2 && met >= known - 4);
}

/* Whatever the shape: lags, windows, one to nine kinds; each way of solving; the same seed twice. */
static void every_plan_holds(void **state) {
    (void)state;
    int refused = 0;
    for (unsigned seed = 1; seed <= 60; seed++) {
        random_problem r;
        random_schedule(&r, seed,
                        (random_shape){.tasks = 4 + (int)seed % 7,
                                       .longest = 30,
                                       .kinds = 1 + (int)seed % 9,
                                       .maxima = seed % 2,
                                       .windows = seed % 3 != 0});
        for (schedule_way way = SCHEDULE_SEARCH; way <= SCHEDULE_SAMPLE_LATEST; way++) {
            arena *memory = arena_new();
            schedule_options options = {.schedules = 30, .seed = seed, .way = way};
            schedule_result one, two;
            fault why = {0}, again = {0};
            char told[200] = "";
            status code = schedule_solve(&r.p, &options, memory, &one, &why);
            assert_int_equal(schedule_solve(&r.p, &options, memory, &two, &again), code);
            assert_string_equal(why.text, again.text);
            if (code == OK) {
                if (!schedule_holds(&r.p, one.start, told, sizeof told)) fail_msg("seed %u: %s", seed, told);
                assert_int_equal(one.makespan, schedule_ends(&r.p, one.start));
                assert_true(one.lower_bound <= one.makespan);
                assert_memory_equal(one.start, two.start, r.p.n_tasks * sizeof *one.start);
                assert_int_equal(one.schedules, two.schedules);
            } else {
                assert_int_equal(code, E_INPUT);
                refused++;
            }
            arena_free(memory);
        }
    }
    print_message("%d of 180 refused\n", refused);
    assert_in_range(refused, 0, 80);
}

/* ---- options ---- */

static void an_earlier_plan_is_kept(void **state) {
    (void)state;
    for (unsigned seed = 1; seed <= 40; seed++) {
        random_problem r;
        random_schedule(&r, seed, (random_shape){.tasks = 20, .longest = 9, .kinds = 2});
        arena *memory = arena_new();
        schedule_options options = {.schedules = 400, .seed = seed};
        schedule_result good = solve(&r.p, &options, memory);
        schedule_options once = {.schedules = 1, .seed = seed + 1, .like = good.start};
        schedule_result again = solve(&r.p, &once, memory); /* serial in the order of its starts: no later */
        assert_true(again.makespan <= good.makespan);
        assert_int_equal(again.schedules, 1);
        arena_free(memory);
    }
}

static void a_stop_gives_what_there_is(void **state) {
    (void)state;
    random_problem r;
    random_schedule(&r, 5, (random_shape){.tasks = 20, .longest = 9, .kinds = 2});
    atomic_bool stop;
    atomic_init(&stop, true);
    for (schedule_way way = SCHEDULE_SEARCH; way <= SCHEDULE_SAMPLE_LATEST; way++) {
        arena *memory = arena_new();
        schedule_options options = {.schedules = 100000000, .seed = 1, .way = way, .stop = &stop};
        assert_int_equal(solve(&r.p, &options, memory).schedules, 1);
        arena_free(memory);
    }
}

static void memory_fails(void **state) {
    (void)state;
    random_problem r; /* blocks, windows, two words, a grid that grows */
    random_schedule(&r, 10, (random_shape){12, 400, 5, true, true});
    status code = E_MEMORY;
    for (long n = 0; code != OK; n++) {
        arena *memory = arena_new();
        schedule_options options = {.schedules = 30, .seed = 1};
        schedule_result out = {0};
        fault why = {0};
        mem_fail_at(n, 1);
        code = memory ? schedule_solve(&r.p, &options, memory, &out, &why) : E_MEMORY;
        mem_fail_at(-1, 0);
        if (code != OK && code != E_MEMORY) fail_msg("allocation %ld: %s", n, why.text);
        if (code == E_MEMORY) assert_null(out.start);
        arena_free(memory);
    }
}

/* A chain of many, tied at once, and many side by side: no walk on the C stack, no square of their number. */
static void a_hundred_thousand(void **state) {
    (void)state;
    size_t n = SCHEDULE_MOST_TASKS;
    arena *memory = arena_new();
    schedule_task *tasks = arena_get(memory, n, sizeof *tasks);
    schedule_after *after = arena_get(memory, n, sizeof *after);
    static const int needs[] = {1};
    static const schedule_resource resource[] = {{"lift", 1000}};
    assert_non_null(after);
    for (size_t i = 0; i < n; i++) {
        after[i] = (schedule_after){i - 1, 0, 0};
        tasks[i] = (schedule_task){"t", 1, needs, &after[i], i > 0, SCHEDULE_ALWAYS, 0};
    }
    schedule_problem p = {resource, 1, tasks, n, NULL, 0};
    schedule_options options = {.schedules = 1, .seed = 1, .way = SCHEDULE_SAMPLE_RANDOM};
    assert_int_equal(solve(&p, &options, memory).makespan, (int)n);
    for (size_t i = 0; i < n; i++) tasks[i].n_after = 0;
    schedule_result out = solve(&p, &options, memory);
    assert_int_equal(out.makespan, (int)n / 1000);
    assert_int_equal(out.lower_bound, (int)n / 1000);
    arena_free(memory);
}

/* ---- published ---- */

/* PSPLIB J30 (Kolisch and Sprecher 1996), every sixteenth instance: no plan below the optimum, on average within 1 %. */
static void published_instances(void **state) {
    (void)state;
    size_t n, taken = 0;
    const char *folder = getenv("STANCH_DATA");
    arena *memory = arena_new();
    patterson_case *cases = patterson_read(folder ? folder : STANCH_DATA, "j30", "j30_optimum", memory, &n);
    if (!cases) {
        arena_free(memory);
        print_message("PSPLIB is not there: set STANCH_DATA\n");
        skip();
    }
    double deviation = 0;
    schedule_options options = {.schedules = 300, .seed = 1};
    for (size_t i = 0; i < n; i += 16, taken++) {
        schedule_result out = solve(&cases[i].problem, &options, memory);
        assert_in_range(out.makespan, cases[i].known, INT32_MAX);
        assert_in_range(out.lower_bound, cases[i].critical_path, cases[i].known);
        deviation += 100.0 * (out.makespan - cases[i].known) / cases[i].known;
    }
    assert_int_equal(taken, 30);
    deviation /= (double)taken;
    print_message("%zu of J30: %.3f %% above the optimum\n", taken, deviation);
    assert_true(deviation <= 1);
    arena_free(memory);
}

int main(int argc, char **argv) {
    if (argc > 1) cmocka_set_test_filter(argv[1]);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_after_the_other),
        cmocka_unit_test(the_ninth_kind_counts),
        cmocka_unit_test(at_once_over_the_end_of_a_shift),
        cmocka_unit_test(cure_through_the_night),
        cmocka_unit_test(a_block_with_another_between),
        cmocka_unit_test(a_lift_for_two_faces),
        cmocka_unit_test(the_inner_order_is_found),
        cmocka_unit_test(the_second_order_is_tried),
        cmocka_unit_test(maximum_lags_set_the_step),
        cmocka_unit_test(the_bound_knows_work_and_what_follows),
        cmocka_unit_test(the_two_schemes_differ),
        cmocka_unit_test(nothing_to_do),
        cmocka_unit_test(what_cannot_be),
        cmocka_unit_test(a_ring_is_named),
        cmocka_unit_test(at_the_limits),
        cmocka_unit_test(search_meets_the_optimum),
        cmocka_unit_test(every_plan_holds),
        cmocka_unit_test(an_earlier_plan_is_kept),
        cmocka_unit_test(a_stop_gives_what_there_is),
        cmocka_unit_test(memory_fails),
        cmocka_unit_test(a_hundred_thousand),
        cmocka_unit_test(published_instances),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
