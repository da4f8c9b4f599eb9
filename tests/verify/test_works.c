/* Who does what when: every rule of works.h looked at by works_check.h, on the example jobs, on random ones and on jobs that
 * are tight in one way each. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka wants these four first */
#include <cmocka.h>

#include "../prop/random_survey.h"
#include "../unit/fixture.h"
#include "core/file.h"
#include "core/mem.h"
#include "works_check.h"

#include "survey/catalogue.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define EXAMPLES STANCH_SOURCE "/examples/"

static survey *example(const char *name) {
    char path[400];
    static char bytes[1 << 20];
    snprintf(path, sizeof path, EXAMPLES "%s", name);
    FILE *f = fopen(path, "rb");
    assert_non_null(f);
    bytes[fread(bytes, 1, sizeof bytes - 1, f)] = '\0';
    fclose(f);
    return fixture_survey(bytes);
}

static works_options quick(long schedules) {
    return (works_options){.schedules = schedules, .seed = 1};
}

static works_plan make(const plan *p, works_options options) {
    works_plan w;
    fault why = {0};
    if (plan_works(p, &options, p->memory, &w, &why) != OK) fail_msg("%s", why.text);
    return w;
}

/* Plan, make, check; both are freed. */
static works_plan checked(survey *s, plan **p, long schedules) {
    *p = fixture_plan(s);
    works_plan w = make(*p, quick(schedules));
    works_check(*p, &w);
    return w;
}

static void let_go(survey *s, plan *p) {
    plan_free(p);
    survey_free(s);
}

static int warned_of(const works_plan *w, const char *words) {
    int n = 0;
    for (size_t i = 0; i < w->n_warnings; i++) n += strstr(w->warnings[i], words) != NULL;
    return n;
}

static void the_example_jobs_hold(void **state) {
    (void)state;
    static const char *const names[] = {"pump-house.json", "small-us.json"};
    for (size_t i = 0; i < 2; i++) {
        survey *s = example(names[i]);
        plan *p;
        works_plan w = checked(s, &p, 60);
        assert_true(w.n_tasks > 0 && w.makespan_min > 0);
        assert_int_equal(w.n_workers, s->site.work.n_workers ? s->site.work.n_workers : (size_t)s->site.crew);
        assert_int_equal(w.back_min >= 0, s->site.work.start_on && s->site.work.back_on);
        let_go(s, p);
    }
}

/* Three leaks on two walls, one dry enough to pack. */
static survey *walls(void) {
    return fixture_survey(
        "{\"stanch_survey\": 1, \"units\": \"metric\", \"site\": {\"name\": \"test\","
        " \"today\": {\"level_m\": 3, \"known\": \"measured\"}, \"design\": {\"level_m\": 3, \"known\": "
        "\"told\"}},"
        " \"faces\": [{\"id\": \"A\", \"lie\": \"wall\", \"behind\": \"ground\", \"thickness_m\": 0.3, "
        "\"elevation_m\": 0,"
        "  \"outline\": [[0,0],[10,0],[10,4],[0,4]]},"
        "  {\"id\": \"B\", \"lie\": \"wall\", \"behind\": \"ground\", \"thickness_m\": 0.3, \"elevation_m\": "
        "0,"
        "  \"outline\": [[0,0],[10,0],[10,4],[0,4]]}],"
        " \"defects\": ["
        "{\"mark\": \"L1\", \"kind\": \"crack\", \"parts\": [{\"face\": \"A\", \"points\": [[1,1],[3,1]]}],"
        " \"signs\": [\"settled\"], \"stations\": [{\"chainage_m\": 0, \"width_mm\": 0.3, \"wetness\": "
        "\"run\", \"bar\": \"none\"},"
        " {\"chainage_m\": 2, \"width_mm\": 0.3, \"wetness\": \"run\", \"bar\": \"none\"}]},"
        "{\"mark\": \"L2\", \"kind\": \"crack\", \"parts\": [{\"face\": \"A\", \"points\": [[6,1],[8,1]]}],"
        " \"signs\": [\"settled\"], \"stations\": [{\"chainage_m\": 0, \"width_mm\": 0.6, \"wetness\": "
        "\"damp\", \"bar\": \"none\"},"
        " {\"chainage_m\": 2, \"width_mm\": 0.6, \"wetness\": \"damp\", \"bar\": \"none\"}]},"
        "{\"mark\": \"L3\", \"kind\": \"crack\", \"parts\": [{\"face\": \"B\", \"points\": [[1,1],[4,1]]}],"
        " \"signs\": [\"settled\"], \"stations\": [{\"chainage_m\": 0, \"width_mm\": 0.3, \"wetness\": "
        "\"drip\", \"bar\": \"none\"},"
        " {\"chainage_m\": 3, \"width_mm\": 0.3, \"wetness\": \"drip\", \"bar\": \"none\"}]}]}");
}

static maybe is(double v) {
    return (maybe){true, v};
}

/* A Wednesday; the Friday is a holiday; noise in the morning only. */
static void days_off_and_noise_are_kept(void **state) {
    (void)state;
    static const char *holidays[] = {"2026-03-06"};
    survey *s = walls();
    plan *p;
    s->site.work.start_on = "2026-03-04";
    s->site.work.holidays = holidays;
    s->site.work.n_holidays = 1;
    s->site.work.noise_from_h = is(9);
    s->site.work.noise_to_h = is(11);
    works_plan w = checked(s, &p, 60);
    const works_task *cut = works_find(&w, 0, "cut", 1);
    assert_true(cut->noisy && cut->start_min % 1440 >= 9 * 60 && cut->end_min % 1440 <= 11 * 60);
    for (size_t i = 0; i < w.n_shifts; i++) assert_true(w.shifts[i].day != 2 && w.shifts[i].day != 3);
    assert_int_equal(w.shifts[0].from_min, 420);
    let_go(s, p);
}

static void faces_take_their_turn(void **state) {
    (void)state;
    for (int round = 0; round < 2; round++) {
        survey *s = walls();
        plan *p;
        s->site.crew = 4;
        s->faces[round].turn = is(2);
        s->faces[1 - round].turn = is(1);
        works_plan w = checked(s, &p, 60);
        const works_task *first = works_find(&w, round ? 0 : 2, "setup", 1);
        assert_int_equal(first->start_min, 420);
        let_go(s, p);
    }
    survey *s = walls(); /* a face without a turn comes last */
    plan *p;
    s->faces[1].turn = is(7);
    checked(s, &p, 60);
    let_go(s, p);
}

/* Two faces that want the one lift: never at once (looked at by works_check); with two lifts they may. */
static void one_lift_serves_one_face(void **state) {
    (void)state;
    int ends[2];
    for (int lifts = 1; lifts <= 2; lifts++) {
        survey *s = walls();
        plan *p;
        s->site.crew = 6;
        s->faces[0].access = s->faces[1].access = ACCESS_LIFT;
        for (int k = 0; k < PLANT_COUNT; k++) s->site.work.plant[k] = is(6);
        s->site.work.plant[PLANT_LIFT] = is(lifts);
        works_plan w = checked(s, &p, 60);
        ends[lifts - 1] = works_find(&w, 2, "wash", 1)->end_min + works_find(&w, 0, "wash", 1)->end_min;
        let_go(s, p);
    }
    assert_true(ends[1] < ends[0]);
}

/* Who can do two things does one at a time: works_check tries who could do what at every moment. */
static void nobody_is_counted_twice(void **state) {
    (void)state;
    static survey_worker few[] = {
        {"Ana", true, true, false}, {"Ben", false, false, true}, {"Cem", true, false, false}};
    for (size_t n = 2; n <= 3; n++) {
        survey *s = walls();
        plan *p;
        s->site.work.workers = few;
        s->site.work.n_workers = n;
        for (int k = 0; k < PLANT_COUNT; k++) s->site.work.plant[k] = is(6);
        works_plan w = checked(s, &p, 60);
        assert_string_equal(w.workers[0], "Ana");
        let_go(s, p);
    }
}

/* One person mixes and places by himself: as many hours, so twice the time of two. */
static void one_person_does_both(void **state) {
    (void)state;
    int minutes[2];
    for (int crew = 1; crew <= 2; crew++) {
        survey *s = walls();
        plan *p;
        s->site.crew = crew;
        works_plan w = checked(s, &p, 60);
        const works_task *pack = works_find(&w, 1, "pack", 1);
        assert_int_equal(pack->people[WORKER_MIXER], crew - 1);
        assert_int_equal(warned_of(&w, "longer than the coat stays tacky, about 10 minutes"), 1);
        minutes[crew - 1] = pack->minutes;
        /* hours of the estimate over the people, in fives */
        double want = p->price.leaks[1].hours[HOURS_PACK] * 60 / crew;
        assert_true(pack->minutes >= want - 1e-9); /* or what its batches take */
        let_go(s, p);
    }
    assert_true(minutes[0] > minutes[1]);
}

static void a_ladder_takes_longer(void **state) {
    (void)state;
    survey *s = walls();
    plan *p;
    s->faces[1].access = ACCESS_LADDER;
    works_plan w = checked(s, &p, 20);
    double hours = p->price.leaks[2].hours[HOURS_CUT];
    /* 25 % longer off a ladder (our default), two people, in fives */
    assert_int_equal(works_find(&w, 2, "cut", 1)->minutes, (int)ceil(hours * 60 / 2 * 1.25 / 5 - 1e-9) * 5);
    let_go(s, p);
}

/* Shifts of three hours with a break: cuts are parted, coat and pack go on turn by turn. */
static void long_tasks_are_parted(void **state) {
    (void)state;
    survey *s = walls();
    plan *p;
    s->site.shift_h = 3;
    works_plan w = checked(s, &p, 60);
    const works_task *cut = works_find(&w, 2, "cut", 0);
    assert_true(cut->parts == 1 || cut->minutes <= 90);
    s->site.shift_h = 1;
    plan_free(p);
    w = checked(s, &p, 60);
    const works_task *pack = works_find(&w, 2, "pack", 1);
    assert_true(pack->parts > 1);
    assert_int_equal(works_find(&w, 2, "first_coat", 1)->parts, pack->parts);
    char id[40];
    snprintf(id, sizeof id, "L3 pack 1 of %d", pack->parts);
    assert_string_equal(pack->id, id);
    let_go(s, p);
}

static void the_drawn_order_is_kept(void **state) {
    (void)state;
    survey *s = walls();
    plan *p = fixture_plan(s);
    size_t after[3] = {2, SIZE_MAX, SIZE_MAX};
    works_plan w;
    fault why = {0};
    works_options o = quick(40);
    o.after_leak = after;
    for (int turned = 0; turned < 2; turned++) {
        assert_int_equal(works_make(&(works_stages){s, p->leaks, p->designs, &p->takeoff, &p->price}, &o,
                                    p->memory, &w, &why),
                         OK);
        const works_task *mine = works_find(&w, 0, "plug", 1), *its = works_find(&w, 2, "plug", 0);
        assert_non_null(mine);
        assert_non_null(its);
        assert_int_equal(mine->start_min >= its->end_min, !turned);
        assert_int_equal(warned_of(&w, "against the drawn order"), turned);
        s->faces[0].turn = is(1);
        s->faces[1].turn = is(2);
    }
    let_go(s, p);
}

static void a_day_back_is_kept_or_told(void **state) {
    (void)state;
    survey *s = walls();
    plan *p;
    s->site.work.start_on = "2026-03-02";
    s->site.work.back_on = "2026-04-01";
    works_plan w = checked(s, &p, 30);
    assert_false(w.late);
    assert_int_equal(w.back_min, 30 * 1440 + 420);
    plan_free(p);
    s->site.work.back_on = "2026-03-04";
    w = checked(s, &p, 30);
    assert_true(w.late);
    assert_int_equal(w.late_min, w.out_to_min - (2 * 1440 + 420));
    let_go(s, p);
}

/* 5 and 35 C: colder cures longer (72 h at 20 C is 174 h at 5 C, factor 0.4127: trade page site.md 4) and gives more time in
 * the pail, so no more batches; warmer leaves less time while tacky. */
static void cold_and_heat_change_the_plan(void **state) {
    (void)state;
    survey *s = walls();
    plan *p = fixture_plan(s);
    works_options o = quick(30);
    int open[2];
    size_t batches[2] = {0, 0};
    for (int k = 0; k < 2; k++) {
        o.temperature_c = is(k ? 35 : 5);
        works_plan w = make(p, o);
        works_check(p, &w);
        open[k] = works_find(&w, 2, "open", 1)->start_min - works_find(&w, 2, "last_coat", 0)->end_min;
        for (size_t i = 0; i < w.n_tasks; i++) batches[k] += w.tasks[i].n_batches;
    }
    assert_true(open[0] >= 174 * 60 && open[0] < 176 * 60);
    assert_int_equal(open[1], 72 * 60);
    assert_true(batches[1] > batches[0]);
    let_go(s, p);
}

/* Five days at 20 C, then 5 C: a repair coated late cures on in the cold. At 5 C an hour counts 0.4127 of one at 20 C (trade
 * page site.md 4), so that 72 h of it take up to 174 h. What is counted here is the forecast itself, hour by hour. */
static void the_weather_of_its_days_cures_a_repair(void **state) {
    (void)state;
    enum { WARM_H = 120, HOURS = 2000 };
    static survey_weather hours[HOURS];
    bool cold = false;
    survey *s = walls();
    plan *p;
    for (int h = 0; h < HOURS; h++) hours[h] = (survey_weather){h < WARM_H ? 20 : 5, 70, 5};
    s->site.work.start_on = "2026-03-02";
    s->site.forecast = (survey_forecast){"2026-03-02T00:00", hours, HOURS};
    s->site.crew = 1;
    works_plan w = checked(s, &p, 60);
    for (size_t i = 0; i < p->n_leaks; i++) {
        const works_task *last = works_find(&w, i, "last_coat", 0), *open = works_find(&w, i, "open", 1);
        double age_h = 0;
        for (int m = last->end_min; m < open->start_min; m += 5)
            age_h += 5.0 / 60 * (m < WARM_H * 60 ? 1 : 0.4127);
        /* the wall follows the air half a day behind: it is that much longer warm */
        assert_true(age_h > 72 - 12 * (1 - 0.4127) - 0.5);
        cold = cold || open->start_min - last->end_min > 80 * 60;
    }
    assert_true(cold);
    let_go(s, p);
}

static void what_cannot_be_is_said(void **state) {
    (void)state;
    static survey_worker mixers[] = {{"Ana", false, true, true}};
    survey *s = walls();
    plan *p = fixture_plan(s);
    works_options o = quick(10);
    works_plan w;
    fault why = {0};
    s->site.work.workers = mixers;
    s->site.work.n_workers = 1;
    assert_int_equal(plan_works(p, &o, p->memory, &w, &why), E_INPUT);
    assert_string_equal(why.text, "work: nobody of the crew may cut, which leak L1 needs");
    s->site.work.n_workers = 0;
    s->faces[0].access = ACCESS_LIFT;
    s->site.work.plant[PLANT_LIFT] = is(0);
    assert_int_equal(plan_works(p, &o, p->memory, &w, &why), E_INPUT);
    assert_string_equal(why.text, "work: there is no lift, which step setup of leak L1 needs");
    s->faces[0].access = ACCESS_GROUND;
    s->site.work.noise_from_h = is(20);
    s->site.work.noise_to_h = is(22);
    assert_int_equal(plan_works(p, &o, p->memory, &w, &why), E_INPUT);
    assert_string_equal(why.text,
                        "work: noise is allowed from 20:00 to 22:00, in no hour of the shift; step cut of "
                        "leak L1 is noisy");
    s->site.work.noise_from_h.known = s->site.work.noise_to_h.known = false;
    s->site.work.start_on = "2026-02-30";
    assert_int_equal(plan_works(p, &o, p->memory, &w, &why), E_INPUT);
    assert_string_equal(why.text, "work: start_on is \"2026-02-30\"; it must be a day as YYYY-MM-DD");
    plan_free(p);
    s->site.work.start_on = NULL; /* the rest of the plan stands without the works */
    s->site.work.plant[PLANT_CUTTER] = is(0);
    if (plan_make(s, &(plan_options){.threads = 1, .works = true}, &p, &why) != OK) fail_msg("%s", why.text);
    assert_null(p->works);
    assert_string_equal(p->works_problem, "work: there is no cutter, which step cut of leak L1 needs");
    let_go(s, p);
}

static void memory_may_end_anywhere(void **state) {
    (void)state;
    survey *s = walls();
    plan *p = fixture_plan(s);
    works_options o = quick(1);
    status code = E_MEMORY;
    long n = 0;
    for (; code != OK && n < 5000; n++) {
        arena *memory = arena_new();
        works_plan w;
        fault why = {0};
        mem_fail_at(n, 0);
        code = plan_works(p, &o, memory, &w, &why);
        mem_fail_at(-1, 0);
        assert_true(code == OK || code == E_MEMORY);
        arena_free(memory);
    }
    assert_int_equal(code, OK);
    assert_true(n > 10);
    let_go(s, p);
}

/* The hours of work of a random job: any shift, any days, some noise, few or many people, some plant. */
static void shuffle_work(survey *s, unsigned seed) {
    static survey_worker people[5];
    static const char *const names[5] = {"Ana", "Ben", "Cem", "Dan", "Eva"};
    survey_work *w = &s->site.work;
    *w = (survey_work){0};
    srand(seed);
    s->site.shift_h = 4 + rand() % 6;
    s->site.crew = 1 + rand() % 5;
    if (rand() % 2) w->start_on = "2026-03-04";
    w->starts_h = is(6 + rand() % 3);
    w->days = (unsigned)rand() % 2 ? 0x3f : 0;
    if (rand() % 3 == 0) {
        w->noise_from_h = is(8);
        w->noise_to_h = is(14);
    }
    for (int k = 0; k < PLANT_COUNT; k++)
        if (rand() % 2) w->plant[k] = is(1 + rand() % 3);
    for (int i = 0; i < 5; i++)
        people[i] =
            (survey_worker){names[i], i == 0 || rand() % 2, i == 1 || rand() % 2, i == 2 || rand() % 2};
    if (rand() % 2) w->workers = people, w->n_workers = 3 + (size_t)rand() % 3;
    for (size_t f = 0; f < s->n_faces; f++) {
        s->faces[f].turn = rand() % 2 ? is(rand() % 3) : (maybe){0};
        s->faces[f].access = (survey_access)(rand() % ACCESS_COUNT);
    }
}

static void random_jobs_hold(void **state) {
    (void)state;
    enum { JOBS = 40 };
    size_t tasks = 0;
    for (unsigned seed = 1; seed <= JOBS; seed++) {
        fault why = {0};
        plan *p = NULL;
        survey *s = random_survey(seed, seed % 2 ? UNITS_US : UNITS_METRIC, 1 + seed % 4, 2 + seed % 9);
        assert_int_equal(survey_catalogue_fill(s, &why), OK);
        shuffle_work(s, seed);
        if (plan_make(s, &(plan_options){.threads = 1}, &p, &why) != OK) { /* such numbers as are no job */
            survey_free(s);
            continue;
        }
        works_options o = quick(12);
        works_plan w;
        if (plan_works(p, &o, p->memory, &w, &why) != OK) fail_msg("seed %u: %s", seed, why.text);
        works_check(p, &w);
        tasks += w.n_tasks;
        let_go(s, p);
    }
    print_message("%zu tasks\n", tasks);
    assert_true(tasks > 500);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_example_jobs_hold),
        cmocka_unit_test(days_off_and_noise_are_kept),
        cmocka_unit_test(faces_take_their_turn),
        cmocka_unit_test(one_lift_serves_one_face),
        cmocka_unit_test(nobody_is_counted_twice),
        cmocka_unit_test(one_person_does_both),
        cmocka_unit_test(a_ladder_takes_longer),
        cmocka_unit_test(long_tasks_are_parted),
        cmocka_unit_test(the_drawn_order_is_kept),
        cmocka_unit_test(a_day_back_is_kept_or_told),
        cmocka_unit_test(cold_and_heat_change_the_plan),
        cmocka_unit_test(the_weather_of_its_days_cures_a_repair),
        cmocka_unit_test(what_cannot_be_is_said),
        cmocka_unit_test(memory_may_end_anywhere),
        cmocka_unit_test(random_jobs_hold),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
