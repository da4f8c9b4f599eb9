#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka wants these four first */
#include <cmocka.h>

#include "works_check.h"

#include "../schedule_check.h"
#include "core/date.h"

#include <limits.h>
#include <math.h>
#include <string.h>

enum { DAY = 1440, STEP = 5, MOST_PEOPLE = 16, NO_LAG = -1 };

static const works_task *behind_time; /* only told in faults */

const works_task *works_find(const works_plan *w, size_t leak, const char *step, int part) {
    const works_task *found = NULL;
    for (size_t i = 0; i < w->n_tasks; i++) {
        const works_task *t = &w->tasks[i];
        if (t->leak != leak || strcmp(t->step, step) != 0) continue;
        if (part == 0 || t->part == part) found = t;
    }
    return found;
}

/* ---- hours ---- */

static double or_(maybe value, double otherwise) {
    return value.known ? value.v : otherwise;
}

static bool is_day_of_work(const survey *s, const works_plan *w, int day) {
    static const char *const names[7] = {"mon", "tue", "wed", "thu", "fri", "sat", "sun"};
    unsigned days = s->site.work.days ? s->site.work.days : 31;
    long long first = 0, at;
    if (!date_day(w->start_on, &first)) first = 4; /* Monday 5 January 1970 */
    int week_day = (int)((first + 3 + day) % 7);
    assert_non_null(names[week_day]);
    if (!(days & 1u << week_day)) return false;
    for (size_t i = 0; w->start_on && i < s->site.work.n_holidays; i++)
        if (date_day(s->site.work.holidays[i], &at) && at == first + day) return false;
    return true;
}

/* May work be done from this minute to the next? */
static bool may_work(const survey *s, const works_plan *w, int minute, bool noisy) {
    const survey_work *k = &s->site.work;
    double from = 60 * or_(k->starts_h, 7), length = 60 * or_(k->break_length_h, 0.5);
    double rest = 60 * or_(k->break_h, from / 60 + s->site.shift_h / 2),
           to = from + 60 * s->site.shift_h + length;
    double at = minute % DAY;
    if (!is_day_of_work(s, w, minute / DAY)) return false;
    if (at < from || at + 1 > to + 1e-9) return false;
    if (at + 1 > rest + 1e-9 && at < rest + length - 1e-9) return false;
    return !noisy || (at >= 60 * or_(k->noise_from_h, 0) && at + 1 <= 60 * or_(k->noise_to_h, 24) + 1e-9);
}

static void check_hours(const survey *s, const works_plan *w) {
    for (size_t i = 0; i < w->n_tasks; i++) {
        const works_task *t = &w->tasks[i];
        for (size_t k = 0; k < i; k++) assert_string_not_equal(w->tasks[k].id, t->id);
        assert_int_equal(t->end_min - t->start_min, t->minutes);
        for (int m = t->start_min; m < t->end_min; m++)
            if (!may_work(s, w, m, t->noisy)) fail_msg("%s: no work at minute %d", t->id, m);
    }
}

/* ---- people and plant ---- */

static bool able(const survey *s, int worker, int skill) {
    const survey_work *k = &s->site.work;
    if (k->n_workers == 0 || skill == WORKER_ANY) return true;
    const survey_worker *one = &k->workers[worker];
    return skill == WORKER_CUTTER ? one->cuts : skill == WORKER_PLACER ? one->places : one->mixes;
}

/* Is there a way to give every place its worker (augmenting paths)? */
static bool find_for(const survey *s, int place, const int *skills, int n_workers, int *place_of,
                     bool *seen) {
    for (int i = 0; i < n_workers; i++) {
        if (seen[i] || !able(s, i, skills[place])) continue;
        seen[i] = true;
        if (place_of[i] >= 0 && !find_for(s, place_of[i], skills, n_workers, place_of, seen)) continue;
        place_of[i] = place;
        return true;
    }
    return false;
}

static bool can_be_done(const survey *s, const int *skills, int n) {
    int n_workers = s->site.work.n_workers ? (int)s->site.work.n_workers : (int)fmax(1, floor(s->site.crew));
    int place_of[MOST_PEOPLE];
    if (n > n_workers || n_workers > MOST_PEOPLE) return false;
    for (int i = 0; i < n_workers; i++) place_of[i] = -1;
    for (int p = 0; p < n; p++) {
        bool seen[MOST_PEOPLE] = {false};
        if (!find_for(s, p, skills, n_workers, place_of, seen)) return false;
    }
    return true;
}

static void check_moment(const survey *s, const works_plan *w, int minute) {
    int skills[MOST_PEOPLE], n = 0, plant[PLANT_COUNT] = {0};
    for (size_t i = 0; i < w->n_tasks; i++) {
        const works_task *t = &w->tasks[i];
        if (t->start_min > minute || t->end_min <= minute) continue;
        behind_time = t;
        for (int k = 0; k < WORKER_KINDS; k++)
            for (int c = 0; c < t->people[k]; c++) {
                if (n == MOST_PEOPLE) fail_msg("minute %d: more than %d people", minute, n);
                skills[n++] = k;
            }
        for (int k = 0; k < PLANT_COUNT; k++) plant[k] += (t->plant & 1u << k) != 0;
    }
    if (n && !can_be_done(s, skills, n)) fail_msg("minute %d, %s: %d people", minute, behind_time->id, n);
    for (int k = 0; k < PLANT_COUNT; k++)
        if (plant[k] > or_(s->site.work.plant[k], 1))
            fail_msg("minute %d, %s: %d of %s", minute, behind_time->id, plant[k], survey_plant_words[k]);
}

/* Everybody able, nobody twice at a time; one left short is told. */
static void check_workers(const survey *s, const works_plan *w) {
    for (size_t i = 0; i < w->n_tasks; i++) {
        const works_task *t = &w->tasks[i];
        int wanted[WORKER_KINDS], n = 0, skills[MOST_PEOPLE];
        memcpy(wanted, t->people, sizeof wanted);
        for (int k = 0; k < WORKER_KINDS; k++)
            for (int c = 0; c < wanted[k]; c++) skills[n++] = k;
        bool told = false;
        for (size_t k = 0; k < w->n_warnings; k++) told = told || strstr(w->warnings[k], t->id);
        if (t->n_workers != (size_t)n && !told) fail_msg("%s: %zu of %d people", t->id, t->n_workers, n);
        for (int k = 0; k < n && t->n_workers == (size_t)n; k++)
            if (skills[k] == WORKER_CUTTER && n == 1 && !able(s, t->workers[0], WORKER_CUTTER))
                fail_msg("%s: somebody who may not cut", t->id);
        for (size_t o = 0; o < i; o++) {
            const works_task *u = &w->tasks[o];
            if (u->start_min >= t->end_min || t->start_min >= u->end_min) continue;
            for (size_t a = 0; a < t->n_workers; a++)
                for (size_t b = 0; b < u->n_workers; b++)
                    if (t->workers[a] == u->workers[b])
                        fail_msg("%s and %s have the same person", t->id, u->id);
        }
    }
}

/* ---- the order of the card, and the trade's waits ---- */

static bool is_written(const char *code) {
    static const char *const not_timed[] = {"answer", "gauge", "watch", "cure"};
    for (size_t i = 0; i < sizeof not_timed / sizeof *not_timed; i++)
        if (strcmp(code, not_timed[i]) == 0) return false;
    return true;
}

static void check_card(const plan *p, const works_plan *w, size_t leak) {
    const plan_card *card = &p->cards[leak];
    int before = -1;
    bool works = design_is_priced(&p->designs[leak]);
    for (size_t i = 0; i < card->n_steps; i++) {
        const plan_step *step = &card->steps[i];
        if (!is_written(step->code)) continue;
        const works_task *first = works_find(w, leak, step->code, 1),
                         *last = works_find(w, leak, step->code, 0);
        if (!works) {
            assert_null(first);
            continue;
        }
        if (!first || !last) fail_msg("%s has no task %s", p->leaks[leak].defect->mark, step->code);
        assert_string_equal(first->title, step->title);
        if (first->start_min < before && strcmp(step->code, "pack") != 0)
            fail_msg("%s begins before the step before it is done", first->id);
        before = last->end_min;
    }
    const works_task *setup = works_find(w, leak, "setup", 1), *open = works_find(w, leak, "open", 1);
    assert_int_equal(setup != NULL, works);
    assert_int_equal(open != NULL, works);
}

static void lag(const works_plan *w, size_t leak, const char *from, const char *to, int least, int most) {
    const works_task *a = works_find(w, leak, from, 0), *b = works_find(w, leak, to, 1);
    if (!a || !b) return;
    int waited = b->start_min - a->end_min;
    if (waited < least) fail_msg("%s: %d minutes after %s, at least %d", b->id, waited, from, least);
    if (most != NO_LAG && waited > most)
        fail_msg("%s: %d minutes after %s, at most %d", b->id, waited, from, most);
}

/* Soak 10 h (read through a page that quotes it), our default of an hour where the concrete leaks; pack while the coat is
 * tacky; kept moist three days (common practice). */
static void check_waits(const plan *p, const works_plan *w, size_t leak) {
    lag(w, leak, "wash", "soak", p->leaks[leak].worst >= WET_SEEP ? 60 : 600, NO_LAG);
    lag(w, leak, "pack", "last_coat", 60, NO_LAG);
    lag(w, leak, "first_coat", "last_coat", 60, NO_LAG);
    lag(w, leak, "last_coat", "open", 3 * DAY, NO_LAG);
    lag(w, leak, "open", "prove", 0, NO_LAG);
    for (int part = 1;; part++) {
        const works_task *coat = works_find(w, leak, "first_coat", part),
                         *pack = works_find(w, leak, "pack", part);
        if (!coat || !pack) break;
        int waited = pack->start_min - coat->end_min;
        if (waited < 0 || waited > WORKS_TACKY_MIN) fail_msg("%s: the coat waits %d min", pack->id, waited);
    }
}

static void check_plugs(const survey *s, const works_plan *w, size_t leak) {
    const works_task *plug = works_find(w, leak, "plug", 1), *stopped = works_find(w, leak, "stopped", 0);
    if (!plug) return;
    int minutes = 0;
    for (size_t i = 0; i < w->n_tasks; i++)
        if (w->tasks[i].leak == leak &&
            (strcmp(w->tasks[i].step, "plug") == 0 || strcmp(w->tasks[i].step, "close_relief") == 0 ||
             strcmp(w->tasks[i].step, "stopped") == 0))
            minutes += w->tasks[i].minutes;
    if (minutes <= 60 * s->site.shift_h / 2 && plug->start_min / DAY != stopped->start_min / DAY)
        fail_msg("%s: a night lies in the plug", plug->id);
}

/* ---- batches ---- */

static void check_batches(const survey *s, const works_plan *w, const works_task *t) {
    int before = t->start_min;
    for (size_t i = 0; i < t->n_batches; i++) {
        const works_batch *b = &t->batches[i];
        if (b->mixed_min < before || b->placed_min < b->mixed_min || b->placed_min > t->end_min)
            fail_msg("%s: batch %zu from %d to %d", t->id, i + 1, b->mixed_min, b->placed_min);
        if (b->placed_min > b->use_by_min) fail_msg("%s: batch %zu sets in the pail", t->id, i + 1);
        for (int m = b->mixed_min; m < b->placed_min; m++)
            if (!may_work(s, w, m, false)) fail_msg("%s: batch %zu over a break", t->id, i + 1);
        before = b->placed_min;
    }
}

static void check_mixed(const plan *p, const works_plan *w, size_t leak) {
    static const char *const steps[MIX_COUNT] = {"plug", "first_coat", "pack", "last_coat"};
    for (int k = 0; k < MIX_COUNT; k++) {
        double mixed = 0, needed = p->takeoff.leaks[leak].mixes[k].volume_m3;
        for (size_t i = 0; i < w->n_tasks; i++)
            if (w->tasks[i].leak == leak && strcmp(w->tasks[i].step, steps[k]) == 0)
                for (size_t b = 0; b < w->tasks[i].n_batches; b++) mixed += w->tasks[i].batches[b].volume_m3;
        if (p->takeoff.leaks[leak].mixes[k].material && mixed < needed * (1 - 1e-9))
            fail_msg("%s %s: %g of %g m3 mixed", p->leaks[leak].defect->mark, steps[k], mixed, needed);
    }
}

/* ---- turns of faces, the leak before in its plane ---- */

static double turn_of(const plan *p, size_t leak) {
    const survey_face *face = survey_find_face(p->survey, p->leaks[leak].defect->parts[0].face);
    return or_(face->turn, HUGE_VAL);
}

static void check_turns(const plan *p, const works_plan *w) {
    static const char *const fresh[] = {"last_coat", "first_coat", "inject", "seal", "outlet"};
    for (size_t a = 0; a < p->n_leaks; a++)
        for (size_t b = 0; b < p->n_leaks; b++) {
            const works_task *begins = works_find(w, b, "setup", 1);
            if (!begins || !(turn_of(p, a) < turn_of(p, b))) continue;
            for (size_t k = 0; k < sizeof fresh / sizeof *fresh; k++) {
                const works_task *ends = works_find(w, a, fresh[k], 0);
                if (ends && begins->start_min < ends->end_min)
                    fail_msg("%s begins before %s, which has an earlier turn", begins->id, ends->id);
            }
        }
}

/* ---- the other checker: the same rules as a problem ---- */

static void check_as_problem(const survey *s, const works_plan *w) {
    enum { RESOURCES = 1 + PLANT_COUNT };
    schedule_resource resources[RESOURCES] = {{"people", 0}};
    static schedule_window windows[2][40000];
    schedule_calendar calendars[2] = {{windows[0], 0}, {windows[1], 0}};
    arena *memory = arena_new();
    schedule_task *tasks = arena_get(memory, w->n_tasks, sizeof *tasks);
    int *needs = arena_get(memory, w->n_tasks * RESOURCES, sizeof *needs),
        *start = arena_get(memory, w->n_tasks, sizeof *start);
    char told[300] = "";
    resources[0].capacity = (int)w->n_workers;
    for (int k = 0; k < PLANT_COUNT; k++)
        resources[1 + k] = (schedule_resource){survey_plant_words[k], (int)or_(s->site.work.plant[k], 1)};
    for (int noisy = 0; noisy < 2; noisy++)
        for (int m = 0; m < w->makespan_min + 30 * DAY; m++) {
            bool now = may_work(s, w, m, noisy), was = m > 0 && may_work(s, w, m - 1, noisy);
            if (now && !was) windows[noisy][calendars[noisy].n++] = (schedule_window){m, m + 1};
            if (now) windows[noisy][calendars[noisy].n - 1].to = m + 1;
        }
    for (size_t i = 0; i < w->n_tasks; i++) {
        const works_task *t = &w->tasks[i];
        int *need = needs + i * RESOURCES;
        for (int k = 0; k < WORKER_KINDS; k++) need[0] += t->people[k];
        for (int k = 0; k < PLANT_COUNT; k++) need[1 + k] = (t->plant & 1u << k) != 0;
        tasks[i] = (schedule_task){.id = t->id,
                                   .minutes = t->minutes,
                                   .needs = need,
                                   .after = t->after,
                                   .n_after = t->n_after,
                                   .calendar = t->minutes ? t->noisy : SCHEDULE_ALWAYS};
        start[i] = t->start_min;
    }
    const schedule_problem problem = {resources, RESOURCES, tasks, w->n_tasks, calendars, 2};
    if (!schedule_holds(&problem, start, told, sizeof told)) fail_msg("%s", told);
    assert_true(schedule_ends(&problem, start) >= w->makespan_min); /* visits may be later */
    arena_free(memory);
}

/* From the first cut or wet work to the last opening to water. */
static void check_service(const works_plan *w) {
    int from = INT_MAX, to = 0;
    for (size_t i = 0; i < w->n_tasks; i++) {
        const works_task *t = &w->tasks[i];
        if (strcmp(t->step, "open") == 0 && t->end_min > to) to = t->end_min;
        if (strcmp(t->step, "setup") != 0 && strcmp(t->step, "scan") != 0 && t->start_min < from)
            from = t->start_min;
    }
    assert_int_equal(w->out_to_min, to);
    assert_int_equal(w->out_from_min, w->n_tasks ? from : 0);
}

void works_check(const plan *p, const works_plan *w) {
    const survey *s = p->survey;
    int end = 0;
    for (size_t i = 0; i < w->n_tasks; i++)
        if (w->tasks[i].leak != SIZE_MAX && w->tasks[i].end_min > end) end = w->tasks[i].end_min;
    assert_int_equal(w->makespan_min, end);
    assert_true(w->lower_bound_min <= w->makespan_min);
    check_hours(s, w);
    for (int m = 0; m < end; m += STEP) check_moment(s, w, m);
    for (size_t i = 0; i < p->n_leaks; i++) {
        check_card(p, w, i);
        check_waits(p, w, i);
        check_plugs(s, w, i);
        check_mixed(p, w, i);
    }
    for (size_t i = 0; i < w->n_tasks; i++) check_batches(s, w, &w->tasks[i]);
    check_turns(p, w);
    check_workers(s, w);
    check_service(w);
    if (w->n_tasks) check_as_problem(s, w);
}
