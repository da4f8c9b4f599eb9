/* The cure of a repair: closed forms, the tables of the trade page, alarms, and what must hold for any weather. */
#include "../near.h"
#include "crew/cure.h"

#include <limits.h>
#include <stdlib.h>
#include <string.h>

enum { WEEKS_H = 28 * 24 };

static arena *memory;

static int open_memory(void **state) {
    (void)state;
    memory = arena_new();
    return memory ? 0 : 1;
}

static int close_memory(void **state) {
    (void)state;
    arena_free(memory);
    return 0;
}

static cure_hour *constant(size_t n, cure_hour hour) {
    cure_hour *hours = arena_get(memory, n, sizeof *hours);
    assert_non_null(hours);
    for (size_t i = 0; i < n; i++) hours[i] = hour;
    return hours;
}

static const cure_stretch always[] = {{0, WEEKS_H * 60}};

static cure_input at_all_hours(const cure_hour *hours, size_t n, double film_kg_m2) {
    return (cure_input){hours, n, always, 1, film_kg_m2, 1, 1, 0};
}

static cure_result run(cure_input in) {
    cure_result out;
    fault why = {0};
    status code = cure_run(&in, memory, &out, &why);
    if (code != OK) fail_msg("%s", why.text);
    return out;
}

/* Days of 7 to 12 and 12:30 to 15:30; the cure begins at `begin` minutes after 0 h of the first. */
static cure_stretch *shifts(size_t days, int begin) {
    cure_stretch *list = arena_get(memory, 2 * days, sizeof *list);
    assert_non_null(list);
    for (size_t d = 0; d < days; d++) {
        int at = (int)d * 1440 - begin;
        list[2 * d] = (cure_stretch){at + 420, at + 720};
        list[2 * d + 1] = (cure_stretch){at + 750, at + 930};
    }
    return list;
}

/* The rows of trade page site.md 5 with water to lose, computed by us from Uno's formula: the film of 0.1 kg/m2 lasts 0.1/E
 * hours, and so long apart lie the visits of one who is always there. */
static void visits_are_film_over_rate(void **state) {
    (void)state;
    static const double rows[][5] = {{25, 25, 0.50, 10, 0.4244}, {30, 30, 0.50, 20, 0.9578},
                                     {35, 25, 0.30, 25, 2.4378}, {20, 20, 0.50, 0, 0.0890},
                                     {20, 20, 0.90, 0, 0.0178},  {15, 5, 0.50, 10, 0.3491},
                                     {27, 35, 0.20, 25, 1.3767}, {20, 20, 0.60, 5, 0.1602},
                                     {15, 15, 0.80, 0, 0.0250},  {22, 12, 0.70, 8, 0.4001}};
    for (size_t i = 0; i < COUNT(rows); i++) {
        const double *r = rows[i];
        cure_hour *hours = constant(200, (cure_hour){r[1], r[0], r[2], r[3]});
        cure_result out = run(at_all_hours(hours, 200, 0.1));
        near_absolute(out.rate_kg_m2_h[0], r[4], 5e-5); /* half the last digit */
        double film_min = 0.1 / out.rate_kg_m2_h[0] * 60;
        if (film_min > 240) { /* the look comes first */
            assert_int_equal(out.visits[0].at_min, 240);
            continue;
        }
        assert_int_equal(out.shortest_min, (int)film_min);
        assert_int_equal(out.dry_min, 0);
        for (size_t k = 0; k + 1 < out.n_visits && k < 20; k++)
            assert_int_equal(out.visits[k].at_min, (int)(k + 1) * (int)film_min);
    }
}

/* Opening in constant air: the days at 20 C or more; the age below it, 72 h over the rate of site.md 4 (E = 40 kJ/mol). */
static void opening_of_constant_air(void **state) {
    (void)state;
    static const double rows[][2] = {{5, 0.4127}, {10, 0.5601}, {15, 0.7522}, {20, 1}, {30, 1.7184}};
    for (size_t i = 0; i < COUNT(rows); i++) {
        cure_hour *hours = constant(WEEKS_H, (cure_hour){rows[i][0], rows[i][0], 0.7, 0});
        double wanted = fmax(72 / rows[i][1], 72);
        near_relative(cure_open_after_h(hours, WEEKS_H), wanted, 3e-4); /* R rounded to 8.314 */
        cure_result out = run(at_all_hours(hours, WEEKS_H, 0.5));
        near_relative(out.open_after_h, wanted, 3e-4);
        assert_true(out.visits[out.n_visits - 1].at_min < out.open_after_h * 60);
        assert_true(out.open_after_h * 60 - out.visits[out.n_visits - 1].at_min <= 240);
        assert_int_equal(out.n_hours, (size_t)ceil(out.open_after_h));
    }
    /* At 4.9 C no day counts; at -1 C nothing does. */
    assert_true(cure_open_after_h(constant(WEEKS_H, (cure_hour){4.9, 4.9, 0.7, 0}), WEEKS_H) == HUGE_VAL);
    assert_true(cure_open_after_h(constant(WEEKS_H, (cure_hour){-1, -1, 0.7, 0}), WEEKS_H) == HUGE_VAL);
    cure_result frozen = run(at_all_hours(constant(100, (cure_hour){-1, -1, 0.7, 0}), 100, 0.5));
    near_absolute(frozen.age_reached_h, 0, 0);
}

/* Site.md 4: 12 h at 10, 12 h at 20, 24 h at 15 C are 36.77 h at 20 C, computed by us. */
static void maturity_adds_up(void **state) {
    (void)state;
    cure_hour *hours = constant(48, (cure_hour){15, 15, 0.7, 0});
    for (int i = 0; i < 24; i++) hours[i].concrete_c = i < 12 ? 10 : 20;
    cure_result out = run(at_all_hours(hours, 48, 0.5));
    near_absolute(out.age_reached_h, 36.77, 0.005);
    near_absolute(out.age_h[11], 6.721, 0.0006);
    near_absolute(out.age_h[23], 18.721, 0.0006);
    assert_true(out.open_after_h == HUGE_VAL); /* two days are not three */
    assert_int_equal(out.n_hours, 48);
}

/* Time below 5 C does not count toward the three days: 10 h of it put the opening off by 10 h where it is warm otherwise. */
static void cold_hours_put_it_off(void **state) {
    (void)state;
    cure_hour *hours = constant(WEEKS_H, (cure_hour){30, 30, 0.7, 0});
    near_relative(cure_open_after_h(hours, WEEKS_H), 72, 1e-12);
    for (int i = 20; i < 30; i++) hours[i].concrete_c = 4;
    near_relative(cure_open_after_h(hours, WEEKS_H), 82, 1e-12);
}

/* A working day in still air of 20 C and 90 %: the film lasts longer than 4 h, so looks decide. */
static void rounds_of_a_working_day(void **state) {
    (void)state;
    cure_hour *hours = constant(WEEKS_H, (cure_hour){20, 20, 0.9, 0});
    cure_input in = {hours, WEEKS_H, shifts(6, 600), 12, 0.1, 15, 5, 0}; /* begins at 10:00 */
    cure_result out = run(in);
    /* 10:00 of day 1 plus 4 h is 14:00; covered at 15:15, within an hour of 14:00? no: both. Then 7:00, 11:00, and 15:00 waits
     * for 15:15. Opens after 72 h, at 10:00 of day 4. */
    static const int clock_min[] = {840,        915,        1440 + 420, 1440 + 660, 1440 + 915,
                                    2880 + 420, 2880 + 660, 2880 + 915, 4320 + 420};
    static const cure_visit_kind kinds[] = {CURE_VISIT_MIST, CURE_VISIT_COVER, CURE_VISIT_UNCOVER,
                                            CURE_VISIT_MIST, CURE_VISIT_COVER, CURE_VISIT_UNCOVER,
                                            CURE_VISIT_MIST, CURE_VISIT_COVER, CURE_VISIT_UNCOVER};
    assert_int_equal(out.n_visits, COUNT(clock_min));
    for (size_t i = 0; i < out.n_visits; i++) {
        assert_int_equal(out.visits[i].at_min + 600, clock_min[i]);
        assert_int_equal(out.visits[i].kind, kinds[i]);
    }
    assert_int_equal(out.shortest_min, 337); /* 0.1/0.0178 h */
    assert_int_equal(out.n_alarms, 0);
}

/* Another repair of the face is still in cure: the visits go on for it. */
static void kept_moist_longer(void **state) {
    (void)state;
    cure_input in = at_all_hours(constant(200, (cure_hour){20, 20, 0.9, 0}), 200, 0.1);
    cure_result alone = run(in);
    in.keep_h = 100;
    cure_result longer = run(in);
    near_relative(longer.open_after_h, 72, 1e-12);
    assert_int_equal(alone.visits[alone.n_visits - 1].at_min, 17 * 240);
    assert_int_equal(longer.visits[longer.n_visits - 1].at_min, 24 * 240);
    assert_int_equal(longer.n_hours, 100);
}

/* A film of 61 minutes: the round that falls into the break is done before it. */
static void no_visit_in_a_break(void **state) {
    (void)state;
    cure_hour *hours = constant(200, (cure_hour){20, 20, 0.5, 0});
    cure_input in = {hours, 200, shifts(3, 420), 6, 0.0890 * 61.5 / 60, 15, 5, 0};
    cure_result out = run(in);
    for (size_t i = 0; i < out.n_visits; i++) {
        int of_day = (out.visits[i].at_min + 420) % 1440;
        bool in_shift = (of_day >= 420 && of_day + 15 <= 720) || (of_day >= 750 && of_day + 15 <= 930);
        if (!in_shift) fail_msg("a visit at minute %d of the day", of_day);
        assert_int_equal(out.visits[i].at_min % 5, 0);
    }
    assert_int_equal(out.dry_min, 0);
    assert_int_equal(out.visits[0].at_min, 60);
    /* 60, 120, 180, 240; 300 is noon; the latest before it is 285. From 12:30 on (330) again. */
    assert_int_equal(out.visits[4].at_min, 285);
    assert_int_equal(out.visits[5].at_min, 345);
}

/* So dry that nobody can come in time: the minutes without a film are counted. */
static void dry_minutes_are_told(void **state) {
    (void)state;
    cure_hour *hours = constant(72, (cure_hour){25, 35, 0.3, 25}); /* 2.4378: 2.46 min of a film of 0.1 */
    cure_input in = {hours, 72, always, 1, 0.1, 15, 5, 0};
    cure_result out = run(in);
    assert_int_equal(out.shortest_min, 2);
    assert_int_equal(out.visits[0].at_min, 15);
    assert_int_equal(out.dry_min, (int)(out.n_visits + 1) * 13); /* to the end of the hours */
    in.film_kg_m2 = HUGE_VAL;                                    /* covered all the time: only looked at */
    out = run(in);
    assert_int_equal(out.visits[0].at_min, 240);
    assert_int_equal(out.dry_min, 0);
}

static const cure_alarm *alarm_of(const cure_result *out, cure_alarm_kind kind, size_t nth) {
    for (size_t i = 0; i < out->n_alarms; i++)
        if (out->alarms[i].kind == kind && nth-- == 0) return &out->alarms[i];
    return NULL;
}

static void expect(const cure_result *out, cure_alarm_kind kind, int from_h, int to_h, double worst) {
    const cure_alarm *a = alarm_of(out, kind, 0);
    assert_non_null(a);
    assert_int_equal(a->from_h, from_h);
    assert_int_equal(a->to_h, to_h);
    near_absolute(a->worst, worst, 5e-4);
    assert_null(alarm_of(out, kind, 1));
    assert_true(strlen(cure_alarm_words[kind]) > 10);
}

static void alarms(void **state) {
    (void)state;
    cure_hour *hours = constant(72, (cure_hour){20, 20, 0.9, 0});
    for (int i = 3; i < 6; i++) hours[i].air_c = 4.9;
    hours[6].air_c = 0;
    hours[7].air_c = -4; /* concrete still warm */
    hours[10].concrete_c = 35.5;
    hours[11].air_c = 36;
    hours[20] = (cure_hour){25, 25, 0.5, 10};
    hours[22] = (cure_hour){27 + 8, 27, 0.2, 25}; /* 35 C is not yet hot */
    hours[24] = (cure_hour){25, 10, 0.8, 5};      /* dew, -0.2498 */
    cure_result out = run(at_all_hours(hours, 72, 0.5));
    const cure_alarm *first = alarm_of(&out, CURE_DRYING, 0);
    expect(&out, CURE_COLD, 3, 6, 4.9);
    expect(&out, CURE_FROST, 6, 8, -4);
    expect(&out, CURE_HOT, 10, 12, 36);
    expect(&out, CURE_DRYING_FAST, 22, 23, 1.3767);
    assert_non_null(alarm_of(&out, CURE_WET, 0));
    near_absolute(alarm_of(&out, CURE_WET, 1) ? alarm_of(&out, CURE_WET, 1)->worst : 0, -0.2498, 5e-4);
    assert_non_null(first);
    /* With nobody there it is covered: frost rings, drying does not. */
    cure_input away = at_all_hours(hours, 72, 0.5);
    away.n_attended = 0;
    out = run(away);
    expect(&out, CURE_FROST, 6, 8, -4);
    assert_null(alarm_of(&out, CURE_DRYING, 0));
    assert_null(alarm_of(&out, CURE_DRYING_FAST, 0));
    assert_null(alarm_of(&out, CURE_WET, 0));
    assert_int_equal(out.n_visits, 0);
}

static void limits_are_not_alarms(void **state) {
    (void)state;
    cure_hour *hours = constant(2, (cure_hour){5, 5, 0.9, 0});
    hours[1] = (cure_hour){35, 35, 0.95, 0};
    cure_result out = run(at_all_hours(hours, 2, 0.5));
    assert_int_equal(out.n_alarms, 0);
}

static uint64_t next(uint64_t *seed) {
    *seed = *seed * 6364136223846793005u + 1442695040888963407u;
    return *seed >> 33;
}

static double between(uint64_t *seed, double low, double high) {
    return low + (high - low) * (double)next(seed) / 2147483648.0;
}

/* Water left on the face minute by minute, by a count of its own: while somebody is there it never ends before the next visit,
 * save for the dry minutes told. */
static int dry_minutes(const cure_input *in, const cure_result *out) {
    double film = in->film_kg_m2;
    size_t v = 0, s = 0;
    int dry = 0;
    int end = (int)ceil(fmin(out->open_after_h, (double)in->n_hours) * 60);
    for (int t = 0; t < end; t++) {
        if (v < out->n_visits && out->visits[v].at_min == t) {
            film = in->film_kg_m2;
            v++;
        }
        while (s < in->n_attended && in->attended[s].to_min <= t) s++;
        bool here = s < in->n_attended && in->attended[s].from_min <= t;
        bool pause =
            s > 0 && s < in->n_attended && in->attended[s].from_min - in->attended[s - 1].to_min <= 60;
        if (!here && !pause) continue;
        double lost = fmax(out->rate_kg_m2_h[t / 60], 0) / 60;
        if (film < lost * (1 - 1e-6)) dry++;
        film = fmax(film - lost, 0);
    }
    assert_int_equal(v, out->n_visits);
    return dry;
}

/* Any weather: never dry but where told, visits within the shifts, at most 4 h (5 with the cover) apart, and warmer opens sooner. */
static void any_weather(void **state) {
    (void)state;
    uint64_t seed = 20261126;
    for (int k = 0; k < 60; k++) {
        cure_hour *hours = constant(WEEKS_H, (cure_hour){0}), *warmer = constant(WEEKS_H, (cure_hour){0});
        double mean = between(&seed, 3, 28), swing = between(&seed, 0, 10), rise = between(&seed, 0, 6);
        for (int i = 0; i < WEEKS_H; i++) {
            double air = mean + swing * sin(i * 0.2618) + between(&seed, -3, 3);
            hours[i] = (cure_hour){air, mean + swing / 2 * sin(i * 0.2618 - 1.5), between(&seed, 0.3, 1),
                                   between(&seed, 0, 15)};
            warmer[i] = hours[i];
            warmer[i].concrete_c += rise;
        }
        int begin = 5 * (int)between(&seed, 84, 186);
        cure_input in = {hours, WEEKS_H, shifts(40, begin), 80, between(&seed, 0.1, 0.5), 15, 5, 0};
        cure_result out = run(in);
        if (cure_open_after_h(warmer, WEEKS_H) > out.open_after_h)
            fail_msg("seed 20261126, case %d: %g C warmer opens later", k, rise);
        /* Without a film at most as long as told: the told minutes run on to the visit even past a cover. */
        int dry = dry_minutes(&in, &out);
        if (abs(dry - out.dry_min) > (int)out.n_visits)
            fail_msg("seed 20261126, case %d: dry for %d minutes, told %d", k, dry, out.dry_min);
        for (size_t i = 0; i < out.n_visits; i++) {
            int of_day = (out.visits[i].at_min + begin) % 1440;
            assert_true((of_day >= 420 && of_day + 15 <= 720) || (of_day >= 750 && of_day + 15 <= 930));
            if (i > 0) {
                int apart = out.visits[i].at_min - out.visits[i - 1].at_min;
                assert_true(apart >= 15);
                bool night = out.visits[i - 1].kind == CURE_VISIT_COVER;
                assert_true(night || apart <= 300);
                assert_true(night == (out.visits[i].kind == CURE_VISIT_UNCOVER));
            }
        }
    }
}

static void refuse(cure_input in, const char *sentence) {
    cure_result out;
    fault why = {0};
    assert_int_equal(cure_run(&in, memory, &out, &why), E_INPUT);
    if (!strstr(why.text, sentence)) fail_msg("\"%s\" lacks \"%s\"", why.text, sentence);
    assert_int_equal(out.n_visits, 0);
}

static void refused(void **state) {
    (void)state;
    cure_hour *hours = constant(10, (cure_hour){20, 20, 0.5, 0});
    static const cure_stretch turned[] = {{60, 120}, {100, 200}}, empty[] = {{60, 60}};
    cure_input good = at_all_hours(hours, 10, 0.1), bad = good;
    bad.film_kg_m2 = (double)NAN;
    refuse(bad, "the film of a visit (");
    bad = good, bad.visit_min = 0;
    refuse(bad, "its minutes (0)");
    bad = good, bad.n_hours = 9000;
    refuse(bad, "the cure has 9000 hours; at most 8784");
    bad = good, bad.attended = turned, bad.n_attended = 2;
    refuse(bad, "stretch 1 ");
    bad.attended = empty, bad.n_attended = 1;
    refuse(bad, "stretch 0 ");
    hours[4].humidity = 1.5;
    refuse(good, "hour 4 of the cure: humidity (0 to 1)");
    hours[4].humidity = 0.5;
    hours[5].concrete_c = (double)NAN;
    refuse(good, "hour 5 of the cure: concrete, in C,");
}

static void arctic_air(void **state) {
    (void)state;
    cure_result out = run(at_all_hours(constant(24, (cure_hour){-30, -25, 0.7, 10}), 24, 0.1));
    near_absolute(out.rate_kg_m2_h[0], 0, 0); /* the formula ends at -18 C */
    expect(&out, CURE_FROST, 0, 24, -30);
    out = run((cure_input){NULL, 0, NULL, 0, 0.1, 1, 1, 0}); /* no weather at all */
    assert_true(out.open_after_h == HUGE_VAL);
}

static void each_allocation_fails(void **state) {
    (void)state;
    cure_hour *hours = constant(100, (cure_hour){2, 25, 0.5, 10});
    status code = E_MEMORY;
    for (long n = 0; code != OK; n++) {
        arena *own = arena_new();
        cure_result out;
        fault why = {0};
        cure_input in = at_all_hours(hours, 100, 0.01);
        mem_fail_at(n, 0);
        code = cure_run(&in, own, &out, &why);
        mem_fail_at(-1, 0);
        arena_free(own);
        assert_true(code == OK || code == E_MEMORY);
        assert_true(n < 1000);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(visits_are_film_over_rate),
        cmocka_unit_test(opening_of_constant_air),
        cmocka_unit_test(maturity_adds_up),
        cmocka_unit_test(cold_hours_put_it_off),
        cmocka_unit_test(rounds_of_a_working_day),
        cmocka_unit_test(kept_moist_longer),
        cmocka_unit_test(no_visit_in_a_break),
        cmocka_unit_test(dry_minutes_are_told),
        cmocka_unit_test(alarms),
        cmocka_unit_test(limits_are_not_alarms),
        cmocka_unit_test(any_weather),
        cmocka_unit_test(refused),
        cmocka_unit_test(arctic_air),
        cmocka_unit_test(each_allocation_fails),
    };
    return cmocka_run_group_tests(tests, open_memory, close_memory);
}
