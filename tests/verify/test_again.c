/* Reality differs: what was recorded is laid over the works, and the rest is planned again; each case by hand, and at random. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka wants these four first */
#include <cmocka.h>

#include "../prop/random_survey.h"
#include "../unit/fixture.h"
#include "again_check.h"
#include "core/date.h"
#include "core/mem.h"
#include "survey/catalogue.h"
#include "works/again.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define START_ON "2026-03-02" /* a Monday: `date -d 2026-03-02 +%a` */
enum { DAY = 1440, MOST_RECORDS = 400, OFFSET = 60 };

/* A job, the plan that is followed, and what was recorded. */
typedef struct {
    survey *s;
    plan *p;
    works_plan first;
    record records[MOST_RECORDS];
    char ids[MOST_RECORDS][12], at[MOST_RECORDS][64], now[64];
    works_past past;
} job;

static survey *walls(void) {
#define STATION(ch, w, wet)                                                                                  \
    "{\"chainage_m\": " ch ", \"width_mm\": " w ", \"wetness\": \"" wet "\", \"bar\": \"none\"}"
#define LEAK(mark, face, from, to, w, wet, length)                                                           \
    "{\"mark\": \"" mark "\", \"kind\": \"crack\", \"parts\": [{\"face\": \"" face "\", \"points\": [[" from \
    ",1],[" to ",1]]}], \"signs\": [\"settled\"], \"stations\": [" STATION("0", w, wet) "," STATION(         \
        length, w, wet) "]}"
#define WALL(id)                                                                                             \
    "{\"id\": \"" id "\", \"lie\": \"wall\", \"behind\": \"ground\", \"thickness_m\": 0.3, "                 \
    "\"elevation_m\": 0, \"outline\": [[0,0],[10,0],[10,4],[0,4]]}"
    return fixture_survey(
        "{\"stanch_survey\": 1, \"units\": \"metric\", \"site\": {\"name\": \"test\","
        " \"today\": {\"level_m\": 3, \"known\": \"measured\"}, \"design\": {\"level_m\": 3, \"known\": "
        "\"told\"}}, \"faces\": [" WALL("A") "," WALL("B") "], \"defects\": [" LEAK(
            "L1", "A", "1", "3", "0.3", "run", "2") "," LEAK("L2", "A", "6", "8", "0.6", "damp",
                                                             "2") "," LEAK("L3", "B", "1", "4", "0.3", "drip",
                                                                           "3") "]}");
}

static works_plan make(const job *j, const works_past *past) {
    works_plan w;
    fault why = {0};
    works_options o = {.schedules = 40, .seed = 1, .past = past};
    if (plan_works(j->p, &o, j->p->memory, &w, &why) != OK) fail_msg("%s", why.text);
    return w;
}

static void begin_with(job *j, survey *s) {
    memset(j, 0, sizeof *j);
    j->s = s;
    s->site.work.start_on = START_ON;
    j->p = fixture_plan(s);
    j->first = make(j, NULL);
    j->past =
        (works_past){.records = j->records, .now = j->now, .utc_offset_min = OFFSET, .before = &j->first};
}

static void begin(job *j) {
    begin_with(j, walls());
}

static void end(job *j) {
    plan_free(j->p);
    survey_free(j->s);
}

static void set_now(job *j, int minute) {
    long long day_0;
    assert_true(date_day(START_ON, &day_0));
    int day = minute >= 0 ? minute / DAY : -((DAY - 1 - minute) / DAY);
    calendar_day at = date_of_days(day_0 + day);
    snprintf(j->now, sizeof j->now, "%04d-%02d-%02dT%02d:%02d", at.year, at.month, at.day,
             (minute - day * DAY) / 60, (minute - day * DAY) % 60);
}

/* A record at a minute of the works' clock. */
static record *add(job *j, record_what what, const char *mark, const char *step, int minute) {
    size_t i = j->past.n_records++;
    long long day_0;
    assert_true(date_day(START_ON, &day_0) && i < MOST_RECORDS);
    int utc = minute - OFFSET + 10 * DAY, day = utc / DAY - 10, of_day = utc % DAY;
    calendar_day at = date_of_days(day_0 + day);
    snprintf(j->ids[i], sizeof j->ids[i], "r%zu", i);
    snprintf(j->at[i], sizeof j->at[i], "%04d-%02d-%02dT%02d:%02d:00Z", at.year, at.month, at.day,
             of_day / 60, of_day % 60);
    j->records[i] = (record){.id = j->ids[i], .mark = mark, .what = what, .step = step, .at = j->at[i]};
    return &j->records[i];
}

static works_plan again(job *j, int now) {
    set_now(j, now);
    works_plan w = make(j, &j->past);
    again_check(j->p, &w, now < 0 ? 0 : (now + 4) / 5 * 5);
    return w;
}

static const works_task *find(const works_plan *w, const char *id) {
    for (size_t i = 0; i < w->n_tasks; i++)
        if (strcmp(w->tasks[i].id, id) == 0) return &w->tasks[i];
    fail_msg("no task %s", id);
    return NULL;
}

static int warned_of(const works_plan *w, const char *words) {
    int n = 0;
    for (size_t i = 0; i < w->n_warnings; i++) n += strstr(w->warnings[i], words) != NULL;
    return n;
}

/* Everything that the plan ends by `minute`, recorded as it stands there. */
static void follow(job *j, int minute) {
    for (size_t i = 0; i < j->first.n_tasks; i++) {
        const works_task *t = &j->first.tasks[i];
        if (t->leak == SIZE_MAX || t->part != t->parts || t->end_min > minute) continue;
        const char *mark = j->p->leaks[t->leak].defect->mark;
        add(j, RECORD_START, mark, t->step, again_find(&j->first, t->leak, t->step, 1)->start_min);
        add(j, RECORD_FINISH, mark, t->step, t->end_min);
    }
}

static size_t moved(const job *j, const works_plan *w, works_moved **list) {
    size_t n;
    fault why;
    assert_int_equal(again_compare(&j->first, w, j->p->memory, list, &n, &why), OK);
    return n;
}

/* ---- as planned ---- */

static void nothing_recorded_is_the_same_plan(void **state) {
    (void)state;
    job j;
    works_moved *list;
    begin(&j);
    works_plan w = again(&j, 0);
    assert_int_equal(again_starts_moved(&j.first, &w), 0);
    assert_int_equal(again_people_moved(&j.first, &w), 0);
    assert_int_equal(w.makespan_min, j.first.makespan_min);
    assert_int_equal(moved(&j, &w, &list), 0);
    w = again(&j, -3 * DAY + 77); /* now before the first day */
    assert_int_equal(again_starts_moved(&j.first, &w), 0);
    end(&j);
}

static void on_time_changes_nothing_else(void **state) {
    (void)state;
    job j;
    begin(&j);
    for (size_t i = 0; i < j.first.n_tasks; i++) {
        int now = j.first.tasks[i].end_min;
        if (j.first.tasks[i].leak == SIZE_MAX) continue;
        j.past.n_records = 0;
        follow(&j, now);
        bool between = false; /* what is under way has no record: nobody says so here */
        for (size_t k = 0; k < j.first.n_tasks; k++)
            between = between || (j.first.tasks[k].start_min < now && j.first.tasks[k].end_min > now);
        if (between) continue;
        works_plan w = again(&j, now);
        assert_int_equal(again_starts_moved(&j.first, &w), 0);
        assert_int_equal(again_people_moved(&j.first, &w), 0);
        assert_int_equal(w.makespan_min, j.first.makespan_min);
        assert_int_equal(warned_of(&w, "should have followed"), 0);
        assert_true(find(&w, j.first.tasks[i].id)->done);
    }
    end(&j);
}

/* ---- later and sooner ---- */

static const works_task *first_cut(const works_plan *w) {
    const works_task *best = NULL;
    for (size_t i = 0; i < w->n_tasks; i++)
        if (strcmp(w->tasks[i].step, "cut") == 0 && (!best || w->tasks[i].start_min < best->start_min))
            best = &w->tasks[i];
    return best;
}

/* Two more people and plant for all, so that the leaks go their own ways: then only what depends on it moves. */
static void two_hours_late_moves_what_depends(void **state) {
    (void)state;
    job j;
    survey *s = walls();
    s->site.crew = 9;
    for (int k = 0; k < PLANT_COUNT; k++) s->site.work.plant[k] = (maybe){true, 9};
    begin_with(&j, s);
    const works_task *cut = first_cut(&j.first);
    const char *mark = j.p->leaks[cut->leak].defect->mark;
    int late = cut->end_min + 120;
    for (size_t i = 0; i < 3; i++) { /* what the others have done until then */
        for (size_t k = 0; k < j.first.n_tasks; k++) {
            const works_task *t = &j.first.tasks[k];
            if (t->leak == SIZE_MAX || t->leak == cut->leak || t->leak != i) continue;
            if (t->start_min < late) add(&j, RECORD_START, j.p->leaks[i].defect->mark, t->step, t->start_min);
            if (t->end_min <= late) add(&j, RECORD_FINISH, j.p->leaks[i].defect->mark, t->step, t->end_min);
        }
    }
    add(&j, RECORD_FINISH, mark, "cut", late);
    works_plan w = again(&j, late);
    const works_task *done = find(&w, cut->id), *wash = again_find(&w, cut->leak, "wash", 1);
    assert_true(done->done && done->end_min == late);
    assert_true(wash->start_min >= late);
    for (size_t i = 0; i < w.n_tasks; i++)
        if (w.tasks[i].leak != SIZE_MAX && w.tasks[i].leak != cut->leak)
            assert_int_equal(w.tasks[i].start_min, find(&j.first, w.tasks[i].id)->start_min);
    works_moved *list;
    size_t n = moved(&j, &w, &list);
    assert_true(n > 0);
    for (size_t i = 0; i < n; i++) {
        assert_int_equal(strncmp(list[i].task, mark, 2), 0);
        assert_non_null(strstr(list[i].sentence, ", was 2026-03-0"));
        if (i > 0) assert_true(list[i].to_min >= list[i - 1].to_min);
    }
    end(&j);
}

/* Sooner by a quarter of an hour: nobody is called earlier. Sooner by days: the rest is pulled. */
static void sooner_pulls_only_what_is_worth_it(void **state) {
    (void)state;
    job j;
    survey *s = walls();
    s->site.crew = 1;
    begin_with(&j, s);
    const works_task *cut = first_cut(&j.first);
    const char *mark = j.p->leaks[cut->leak].defect->mark;
    int now = cut->end_min - 15;
    add(&j, RECORD_FINISH, mark, "cut", now);
    works_plan w = again(&j, now);
    for (size_t i = 0; i < w.n_tasks; i++)
        if (w.tasks[i].leak != SIZE_MAX && !w.tasks[i].done && w.tasks[i].start_min >= cut->end_min)
            assert_true(w.tasks[i].start_min >= find(&j.first, w.tasks[i].id)->start_min);
    j.past.n_records = 0; /* all but the last done: that could end somewhat sooner, which nobody wants */
    const works_task *last = NULL;
    for (size_t i = 0; i < j.first.n_tasks; i++)
        if (j.first.tasks[i].leak != SIZE_MAX && (!last || j.first.tasks[i].end_min > last->end_min))
            last = &j.first.tasks[i];
    now = last->start_min / DAY * DAY + j.first.shifts[0].from_min;
    for (size_t i = 0; i < j.first.n_tasks; i++) {
        const works_task *t = &j.first.tasks[i];
        if (t->leak == SIZE_MAX || t == last) continue;
        add(&j, RECORD_FINISH, j.p->leaks[t->leak].defect->mark, t->step,
            t->end_min < now ? t->end_min : now);
    }
    w = again(&j, now);
    assert_true(now < last->start_min && last->start_min <= now + 60); /* there is time for it */
    assert_int_equal(find(&w, last->id)->start_min, last->start_min);
    j.past.n_records = 0; /* all three coated on the first day: days sooner */
    for (size_t i = 0; i < 3; i++)
        add(&j, RECORD_FINISH, j.p->leaks[i].defect->mark, "last_coat", 420 + 30 * (int)i);
    w = again(&j, 600);
    assert_true(w.makespan_min <= j.first.makespan_min - 60);
    for (size_t i = 0; i < 3; i++) {
        assert_true(again_find(&w, i, "cut", 1)->done);
        const works_task *open = again_find(&w, i, "open", 1);
        assert_true(open->start_min >= 420 + 30 * (int)i + open->after[0].min_lag); /* the cure */
        assert_true(open->start_min <= find(&j.first, open->id)->start_min);
    }
    end(&j);
}

/* ---- what the records say ---- */

static void a_start_goes_on_from_now(void **state) {
    (void)state;
    job j;
    begin(&j);
    const works_task *cut = again_find(&j.first, 0, "cut", 1);
    int at = 2 * DAY + 430, now = at + 10;
    assert_true(cut->minutes > 10);
    add(&j, RECORD_START, "L1", "cut", at);
    works_plan w = again(&j, now);
    const works_task *is = again_find(&w, 0, "cut", 1);
    assert_true(is->begun && !is->done && again_find(&w, 0, "scan", 1)->done);
    assert_int_equal(is->start_min, at);
    assert_int_equal(is->end_min, at + cut->minutes);
    w = again(&j, at + cut->minutes + 100); /* it takes longer: nobody knows how long, so it ends next */
    assert_int_equal(again_find(&w, 0, "cut", 1)->end_min, at + cut->minutes + 105);
    add(&j, RECORD_FINISH, "L1", "cut", at + 100);
    w = again(&j, at + 120);
    is = again_find(&w, 0, "cut", 1);
    assert_true(is->done && is->start_min == at && is->end_min == at + 100);
    end(&j);
}

/* Two crews of one: everything was begun, nothing told as finished. */
static void more_begun_than_hands(void **state) {
    (void)state;
    job j;
    begin(&j);
    add(&j, RECORD_START, "L1", "cut", 430);
    add(&j, RECORD_START, "L3", "cut", 440);
    add(&j, RECORD_START, "L2", "cut", 435);
    works_plan w = again(&j, 450);
    const works_task *last = again_find(&w, 2, "cut", 1);
    assert_true(last->begun && last->start_min == 440); /* the latest goes on, the others wait */
    for (size_t i = 0; i < 2; i++) {
        const works_task *t = again_find(&w, i, "cut", 1);
        assert_true(t->begun && t->start_min >= last->end_min);
    }
    end(&j);
}

static void night_and_weekend(void **state) {
    (void)state;
    job j;
    begin(&j);
    const works_task *cut = again_find(&j.first, 0, "cut", 1);
    add(&j, RECORD_START, "L1", "cut", 4 * DAY + 420); /* Friday */
    static const int nights[] = {4 * DAY + 22 * 60, 5 * DAY + 600, 7 * DAY + 60};
    for (size_t i = 0; i < 3; i++) {
        works_plan w = again(&j, nights[i]);
        const works_task *is = again_find(&w, 0, "cut", 1);
        assert_int_equal(is->end_min, 7 * DAY + 425); /* Monday morning */
        assert_true(again_find(&w, 0, "wash", 1)->start_min >= 7 * DAY + 425);
    }
    works_plan w = again(&j, 4 * DAY + 425);
    assert_int_equal(again_find(&w, 0, "cut", 1)->end_min, 4 * DAY + 420 + cut->minutes);
    j.past.n_records = 0;
    add(&j, RECORD_START, "L2", "pack", 4 * DAY + 16 * 60 + 30); /* a mix does not wait for Monday */
    w = again(&j, 4 * DAY + 16 * 60 + 31);
    assert_true(again_find(&w, 1, "pack", 1)->end_min < 5 * DAY);
    end(&j);
}

static void a_hold_and_an_end(void **state) {
    (void)state;
    job j;
    begin(&j);
    add(&j, RECORD_HOLD, "L1", "scan", 500);
    add(&j, RECORD_FINISH, "L2", NULL, 600);
    add(&j, RECORD_START, "L3", NULL, 600);
    works_plan w = again(&j, 605);
    assert_true(again_find(&w, 0, "setup", 1)->done && again_find(&w, 0, "scan", 1)->done);
    assert_int_equal(again_find(&w, 0, "scan", 1)->end_min, 500);
    assert_false(again_find(&w, 0, "cut", 1)->done);
    for (size_t i = 0; i < w.n_tasks; i++)
        if (w.tasks[i].leak == 1) assert_true(w.tasks[i].done);
    assert_true(again_find(&w, 2, "setup", 1)->begun);
    end(&j);
}

static void taken_back_or_not_of_this_job(void **state) {
    (void)state;
    job j;
    begin(&j);
    add(&j, RECORD_FINISH, "L1", "cut", 300); /* before the first shift */
    record *back = add(&j, RECORD_CORRECTION, "L1", NULL, 302);
    back->about = j.ids[0];
    add(&j, RECORD_CORRECTION, "L1", NULL, 303); /* about nothing */
    add(&j, RECORD_FINISH, "L9", "cut", 300);
    add(&j, RECORD_FINISH, "site", NULL, 300);
    add(&j, RECORD_FINISH, "L1", "inject", 300);
    add(&j, RECORD_FINISH, "L1", "no such step", 300);
    add(&j, RECORD_FOUND, "L1", "cut", 300);
    add(&j, RECORD_NOTE, "L1", NULL, 300);
    add(&j, RECORD_FINISH, "L1", "cut", 300)->at = "yesterday";
    add(&j, RECORD_FINISH, "L1", "cut", 300)->at = NULL;
    works_plan w = again(&j, 305);
    assert_int_equal(again_starts_moved(&j.first, &w), 0);
    for (size_t i = 0; i < w.n_tasks; i++) assert_false(w.tasks[i].done || w.tasks[i].begun);
    end(&j);
}

/* Clocks that are wrong: done, but neither after now nor before the first day. */
static void of_tomorrow_and_of_last_week(void **state) {
    (void)state;
    job j;
    begin(&j);
    add(&j, RECORD_FINISH, "L1", "cut", 9 * DAY);
    add(&j, RECORD_FINISH, "L2", "cut", -6 * DAY);
    works_plan w = again(&j, 500);
    assert_int_equal(again_find(&w, 0, "cut", 1)->end_min, 500);
    assert_int_equal(again_find(&w, 1, "cut", 1)->end_min, 0);
    end(&j);
}

/* Phones send when they have a network: the order of the records is that of their times. */
static void sent_late(void **state) {
    (void)state;
    job j;
    begin(&j);
    add(&j, RECORD_START, "L1", "plug", 700);
    add(&j, RECORD_FINISH, "L1", "cut", 600);
    add(&j, RECORD_START, "L1", "cut", 450);
    works_plan w = again(&j, 705);
    const works_task *cut = again_find(&w, 0, "cut", 1);
    assert_true(cut->done && cut->start_min == 450 && cut->end_min == 600);
    assert_true(again_find(&w, 0, "plug", 1)->begun);
    j.past.n_records =
        0; /* only finishes, close together: a step does not begin before the one before it ends */
    add(&j, RECORD_FINISH, "L1", "wash", 601);
    add(&j, RECORD_FINISH, "L1", "cut", 600);
    w = again(&j, 605);
    const works_task *wash = again_find(&w, 0, "wash", 1);
    assert_true(wash->start_min == 600 && wash->end_min == 601 && wash->minutes > 1);
    end(&j);
}

/* Short stretches: coat and pack go on in turns, and one word ends all of them. */
static void a_step_in_parts_shares_its_time(void **state) {
    (void)state;
    job j;
    survey *s = walls();
    s->site.shift_h = 1;
    begin_with(&j, s);
    const works_task *coat = again_find(&j.first, 2, "first_coat", 1);
    assert_true(coat->parts > 1);
    add(&j, RECORD_START, "L3", "first_coat", 30 * DAY + 420);
    works_plan w = again(&j, 30 * DAY + 425);
    assert_true(again_find(&w, 2, "first_coat", 1)->begun && !again_find(&w, 2, "first_coat", 2)->begun);
    add(&j, RECORD_FINISH, "L3", "first_coat", 30 * DAY + 480);
    w = again(&j, 30 * DAY + 485);
    int before = 30 * DAY + 420;
    for (int part = 1; part <= coat->parts; part++) {
        const works_task *c = again_find(&w, 2, "first_coat", part), *p = again_find(&w, 2, "pack", part);
        assert_true(c->done && c->start_min >= before && c->end_min >= c->start_min);
        assert_int_equal(p->done, part < coat->parts); /* the last pack is on nothing that was told */
        before = c->end_min;
    }
    assert_int_equal(again_find(&w, 2, "first_coat", 0)->end_min, 30 * DAY + 480);
    end(&j);
}

/* ---- maximum lags ---- */

static void a_coat_that_waits(void **state) {
    (void)state;
    job j;
    begin(&j);
    add(&j, RECORD_FINISH, "L2", "first_coat", DAY + 500);
    works_plan w = again(&j, DAY + 500); /* in time: the pack goes first of all */
    const works_task *pack = again_find(&w, 1, "pack", 1);
    assert_true(pack->start_min <= DAY + 500 + WORKS_TACKY_MIN);
    assert_int_equal(warned_of(&w, "should have followed"), 0);
    w = again(&j, DAY + 620);
    char words[100];
    snprintf(words, sizeof words,
             "L2 pack: should have followed L2 first coat within 10 minutes and comes %d",
             again_find(&w, 1, "pack", 1)->start_min - (DAY + 500));
    assert_int_equal(warned_of(&w, words), 1);
    assert_int_equal(warned_of(&w, "look whether what was placed still takes it, else do that again"), 1);
    assert_true(again_find(&w, 1, "pack", 1)->start_min >= DAY + 620);
    /* five minutes before the shift ends there is no time for it: told too, and the plan stands */
    j.past.n_records = 0;
    int last = 0;
    for (size_t i = 0; i < j.first.n_shifts && j.first.shifts[i].day <= 1; i++)
        if (j.first.shifts[i].day == 1) last = j.first.shifts[i].to_min;
    add(&j, RECORD_START, "L2", "first_coat", last - 10);
    w = again(&j, last - 5);
    assert_int_equal(warned_of(&w, "L2 pack: should have followed L2 first coat"), 1);
    end(&j);
}

/* ---- people ---- */

static void the_same_person_goes_on(void **state) {
    (void)state;
    static survey_worker crew[] = {{"Ana", true, true, true},
                                   {"Ben", true, true, true},
                                   {"Cem", true, true, true},
                                   {"Dan", true, true, true}};
    static survey_worker turned[] = {{"Dan", true, true, true},
                                     {"Cem", true, true, true},
                                     {"Ben", true, true, true},
                                     {"Ana", true, true, true}};
    job j;
    survey *s = walls();
    s->site.work.workers = crew;
    s->site.work.n_workers = 4;
    begin_with(&j, s);
    const works_task *cut = again_find(&j.first, 0, "cut", 1);
    add(&j, RECORD_START, "L1", "cut", cut->start_min);
    s->site.work.workers = turned; /* listed otherwise: people are known by their names */
    works_plan w = again(&j, cut->start_min + 5);
    const works_task *is = again_find(&w, 0, "cut", 1);
    assert_true(is->begun && is->n_workers == cut->n_workers);
    for (size_t i = 0; i < is->n_workers; i++) {
        bool found = false;
        for (size_t k = 0; k < cut->n_workers; k++)
            found = found || strcmp(w.workers[is->workers[i]], j.first.workers[cut->workers[k]]) == 0;
        assert_true(found);
    }
    j.past.n_records = 0;
    follow(&j, cut->end_min);
    for (size_t i = 0; i < j.first.n_tasks; i++) /* and what is under way */
        if (j.first.tasks[i].leak != SIZE_MAX && j.first.tasks[i].start_min < cut->end_min)
            add(&j, RECORD_START, j.p->leaks[j.first.tasks[i].leak].defect->mark, j.first.tasks[i].step,
                j.first.tasks[i].start_min);
    w = again(&j, cut->end_min);
    assert_int_equal(again_starts_moved(&j.first, &w), 0);
    assert_int_equal(again_people_moved(&j.first, &w), 0);
    s->site.work.n_workers = 2; /* Ana and Ben have left: no task has them any more */
    w = again(&j, cut->end_min);
    for (size_t i = 0; i < w.n_tasks; i++)
        for (size_t k = 0; k < w.tasks[i].n_workers; k++) {
            assert_true(w.tasks[i].workers[k] < 2);
            for (size_t l = 0; l < k; l++) assert_int_not_equal(w.tasks[i].workers[k], w.tasks[i].workers[l]);
        }
    end(&j);
}

/* ---- refusals, memory ---- */

static void wrong_moments_are_refused(void **state) {
    (void)state;
    static const char *const wrong[] = {"",
                                        "2026-03-02",
                                        "2026-03-02 07:00",
                                        "2026-02-30T07:00",
                                        "2026-03-02T24:00",
                                        "2026-03-02T07:60",
                                        "2026-03-02T +7:5",
                                        "2026-03-02T+7:05",
                                        "2026-03-02T07:00:00Z",
                                        "2026-03-02T07:0x"};
    job j;
    works_plan w;
    fault why = {0};
    begin(&j);
    works_options o = {.schedules = 5, .seed = 1, .past = &j.past};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        j.past.now = wrong[i];
        assert_int_equal(plan_works(j.p, &o, j.p->memory, &w, &why), E_INPUT);
        assert_non_null(strstr(why.text, "it must be a time as YYYY-MM-DDTHH:MM"));
    }
    j.past.now = "2126-03-02T07:00";
    assert_int_equal(plan_works(j.p, &o, j.p->memory, &w, &why), E_INPUT);
    assert_string_equal(why.text, "now, 2126-03-02T07:00, lies 36524 days from the first day of work");
    j.past.now = "2026-03-02T07:00";
    j.s->site.work.start_on = NULL;
    assert_int_equal(plan_works(j.p, &o, j.p->memory, &w, &why), E_INPUT);
    assert_non_null(strstr(why.text, "start_on is not told"));
    end(&j);
}

/* Years after the first day, and a plan that stood at other times altogether. */
static void far_away(void **state) {
    (void)state;
    job j;
    begin(&j);
    add(&j, RECORD_FINISH, "L1", "cut", 500);
    works_plan w = again(&j, 900 * DAY);
    assert_true(again_find(&w, 1, "setup", 1)->start_min >= 900 * DAY);
    for (size_t i = 0; i < j.first.n_tasks; i++) { /* the first day was put on by three years */
        j.first.tasks[i].start_min += 1096 * DAY;
        j.first.tasks[i].end_min += 1096 * DAY;
    }
    w = again(&j, 600);
    assert_true(w.makespan_min < 30 * DAY);
    for (size_t i = 0; i < j.first.n_tasks; i++) { /* and off by six */
        j.first.tasks[i].start_min -= 2 * 1096 * DAY;
        j.first.tasks[i].end_min -= 2 * 1096 * DAY;
    }
    w = again(&j, 600);
    assert_true(w.makespan_min < 30 * DAY);
    works_moved *list;
    size_t n = moved(&j, &w, &list);
    assert_true(n > 0);
    for (size_t i = 0; i < n; i++) assert_non_null(strstr(list[i].sentence, ", was 2023-03-"));
    end(&j);
}

static void everything_done(void **state) {
    (void)state;
    job j;
    begin(&j);
    for (size_t i = 0; i < 3; i++) add(&j, RECORD_FINISH, j.p->leaks[i].defect->mark, NULL, 600);
    works_plan w = again(&j, 40 * DAY);
    assert_int_equal(w.makespan_min, 600);
    for (size_t i = 0; i < w.n_tasks; i++) assert_true(w.tasks[i].done);
    end(&j);
}

static void memory_may_end_anywhere(void **state) {
    (void)state;
    job j;
    begin(&j);
    add(&j, RECORD_FINISH, "L2", "first_coat", 500);
    add(&j, RECORD_START, "L1", "cut", 500);
    set_now(&j, 520);
    works_options o = {.schedules = 1, .seed = 1, .past = &j.past};
    status code = E_MEMORY;
    long n = 0;
    for (; code != OK && n < 5000; n++) {
        arena *memory = arena_new();
        works_plan w;
        fault why = {0};
        works_moved *list;
        size_t n_moved;
        mem_fail_at(n, 0);
        code = plan_works(j.p, &o, memory, &w, &why);
        if (code == OK) code = again_compare(&j.first, &w, memory, &list, &n_moved, &why);
        mem_fail_at(-1, 0);
        if (code != OK && code != E_MEMORY) fail_msg("%ld: %s", n, why.text);
        arena_free(memory);
    }
    assert_int_equal(code, OK);
    assert_true(n > 10);
    end(&j);
}

/* ---- at random ---- */

static int of(int n) {
    return rand() % n;
}

static void shuffle_work(survey *s) {
    static survey_worker people[5];
    static const char *const names[5] = {"Ana", "Ben", "Cem", "Dan", "Eva"};
    survey_work *w = &s->site.work;
    *w = (survey_work){.starts_h = {true, 6 + of(3)}, .days = of(2) ? 0x3f : 0};
    s->site.shift_h = 4 + of(6);
    s->site.crew = 1 + of(5);
    for (int k = 0; k < PLANT_COUNT; k++)
        if (of(2)) w->plant[k] = (maybe){true, 1 + of(3)};
    for (int i = 0; i < 5; i++)
        people[i] = (survey_worker){names[i], i == 0 || of(2), i == 1 || of(2), i == 2 || of(2)};
    if (of(2)) w->workers = people, w->n_workers = 3 + (size_t)of(3);
    for (size_t f = 0; f < s->n_faces; f++) s->faces[f].turn = of(2) ? (maybe){true, of(3)} : (maybe){0};
}

/* Some follow the plan, more or less; some do something else. */
static void shuffle_records(job *j, int now) {
    for (size_t i = 0; i < j->first.n_tasks && j->past.n_records + 2 < MOST_RECORDS; i++) {
        const works_task *t = &j->first.tasks[i];
        int late = of(3) ? 0 : of(400) - 100;
        if (t->leak == SIZE_MAX || (t->start_min + late > now && of(40)) || of(3) == 0) continue;
        const char *mark = j->p->leaks[t->leak].defect->mark, *step = of(30) ? t->step : NULL;
        int start = t->start_min + late, finish = start + t->minutes * (1 + of(3)) / 2;
        if (of(2)) add(j, RECORD_START, mark, step, start < now ? start : now);
        if (of(4) && finish <= now) add(j, RECORD_FINISH, mark, step, finish);
        if (of(20) == 0 && j->past.n_records)
            add(j, RECORD_CORRECTION, mark, NULL, now)->about = j->ids[of((int)j->past.n_records)];
    }
}

static void check_random(job *j, unsigned seed) {
    int now = of(j->first.makespan_min + 3 * DAY);
    shuffle_records(j, now);
    works_plan w = again(j, now);
    works_past twice = j->past;
    twice.before = &w;
    works_plan same = make(j, &twice);
    if (again_starts_moved(&w, &same)) fail_msg("seed %u: planned twice, moved", seed);
    twice.before = NULL;
    works_plan alone = make(j, &twice);
    again_check(j->p, &alone, (now + 4) / 5 * 5);
}

static void at_random(void **state) {
    (void)state;
    enum { JOBS = 40 };
    size_t tasks = 0, done = 0, begun = 0;
    for (unsigned seed = 1; seed <= JOBS; seed++) {
        fault why = {0};
        job j = {0};
        plan *p = NULL;
        survey *s = random_survey(seed, seed % 2 ? UNITS_US : UNITS_METRIC, 1 + seed % 4, 2 + seed % 7);
        assert_int_equal(survey_catalogue_fill(s, &why), OK);
        srand(seed);
        shuffle_work(s);
        bool good = plan_make(s, &(plan_options){.threads = 1}, &p, &why) == OK; /* else no job */
        plan_free(p);
        if (!good) {
            survey_free(s);
            continue;
        }
        begin_with(&j, s);
        if (j.first.n_tasks) check_random(&j, seed);
        tasks += j.first.n_tasks;
        works_plan w = make(&j, j.past.n_records ? &j.past : NULL);
        for (size_t i = 0; i < w.n_tasks; i++) done += w.tasks[i].done, begun += w.tasks[i].begun;
        end(&j);
    }
    print_message("%zu tasks, %zu done, %zu begun\n", tasks, done, begun);
    assert_true(tasks > 500 && done > 100 && begun > 8);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_recorded_is_the_same_plan),
        cmocka_unit_test(on_time_changes_nothing_else),
        cmocka_unit_test(two_hours_late_moves_what_depends),
        cmocka_unit_test(sooner_pulls_only_what_is_worth_it),
        cmocka_unit_test(a_start_goes_on_from_now),
        cmocka_unit_test(more_begun_than_hands),
        cmocka_unit_test(night_and_weekend),
        cmocka_unit_test(a_hold_and_an_end),
        cmocka_unit_test(taken_back_or_not_of_this_job),
        cmocka_unit_test(of_tomorrow_and_of_last_week),
        cmocka_unit_test(sent_late),
        cmocka_unit_test(a_step_in_parts_shares_its_time),
        cmocka_unit_test(a_coat_that_waits),
        cmocka_unit_test(the_same_person_goes_on),
        cmocka_unit_test(wrong_moments_are_refused),
        cmocka_unit_test(far_away),
        cmocka_unit_test(everything_done),
        cmocka_unit_test(memory_may_end_anywhere),
        cmocka_unit_test(at_random),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
