#include "works_job.h"

#include "core/date.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

enum { DAY = 1440, DAYS = 400, VISIT = 15, CURE = 3 * DAY };

typedef struct {
    works_plan *works;
    arena *memory;
    const survey *survey;
    int *free; /* of each team */
    size_t teams;
} filling;

static const struct {
    const char *step, *title;
    int minutes, wait; /* least wait after the one before */
    bool noisy, tied;
} STEPS[] = {{"setup", "Set up", 20, 0, false, false},
             {"scan", "Find bars and services", 15, 0, false, false},
             {"cut", "Cut the slot", 75, 0, true, false},
             {"wash", "Wash", 15, 0, false, false},
             {"plug", "Plug", 30, WORKS_SOAK_MIN, false, false},
             {"first_coat", "First coat", 20, 0, false, false},
             {"pack", "Dry-pack", 35, 0, false, true},
             {"last_coat", "Last coat", 20, WORKS_LAST_AFTER_MIN, false, false}};
enum { STEP_COUNT = sizeof STEPS / sizeof *STEPS };

static works_task *add(filling *f, const char *id) {
    works_task *tasks = arena_push(f->memory, f->works->tasks, &f->works->n_tasks, sizeof *tasks);
    assert_non_null(tasks);
    assert_non_null(id);
    f->works->tasks = tasks;
    works_task *t = &tasks[f->works->n_tasks - 1];
    t->id = id;
    t->part = t->parts = 1;
    return t;
}

static void add_shifts(filling *f) {
    long long first = 4; /* without a first day it is a Monday: 1970-01-01 was a Thursday */
    works_plan *w = f->works;
    if (w->start_on) assert_true(date_day(w->start_on, &first));
    w->shifts = arena_get(f->memory, 2 * DAYS, sizeof *w->shifts);
    assert_non_null(w->shifts);
    for (int day = 0; day < DAYS; day++) {
        if ((first + day + 3) % 7 > 4) continue;
        w->shifts[w->n_shifts++] = (works_shift){day * DAY + 420, day * DAY + 720, day};
        w->shifts[w->n_shifts++] = (works_shift){day * DAY + 750, day * DAY + 930, day};
    }
}

static bool is_free(const filling *f, size_t team, int from, int to, int *next) {
    for (size_t i = 0; i < f->works->n_tasks; i++) {
        const works_task *t = &f->works->tasks[i];
        if (t->n_workers == 0 || (size_t)t->workers[0] != 2 * team || t->start_min >= to ||
            t->end_min <= from)
            continue;
        *next = t->end_min;
        return false;
    }
    return true;
}

/* The first moment from `at` on when so many minutes fit a stretch and the team has nothing else to do. */
static int place(const filling *f, size_t team, int at, int minutes) {
    for (size_t i = 0; i < f->works->n_shifts; i++) {
        const works_shift *s = &f->works->shifts[i];
        int from = at > s->from_min ? at : s->from_min;
        while (from + minutes <= s->to_min)
            if (is_free(f, team, from, from + minutes, &from)) return from;
    }
    fail_msg("no shift is left");
    return 0;
}

static void give(const filling *f, works_task *t, size_t team) {
    size_t first = 2 * team;
    t->n_workers = first + 1 < f->works->n_workers ? 2 : 1;
    t->people[WORKER_ANY] = (int)t->n_workers;
    t->workers = arena_get(f->memory, t->n_workers, sizeof *t->workers);
    assert_non_null(t->workers);
    for (size_t i = 0; i < t->n_workers; i++) t->workers[i] = (int)(first + i);
}

static void tie(const filling *f, works_task *t, int wait, bool tied) {
    schedule_after *after = arena_get(f->memory, 1, sizeof *after);
    assert_non_null(after);
    *after = (schedule_after){f->works->n_tasks - 2, wait, tied ? WORKS_TACKY_MIN : SCHEDULE_NO_LIMIT};
    t->after = after;
    t->n_after = 1;
}

/* Two of a plug, one of a coat or pack; invented. */
static void mix(const filling *f, works_task *t) {
    static const struct {
        const char *step;
        takeoff_step as;
        size_t n;
    } of[] = {{"plug", MIX_PLUG, 2},
              {"first_coat", MIX_FIRST_COAT, 1},
              {"pack", MIX_PACK, 1},
              {"last_coat", MIX_LAST_COAT, 1}};
    for (size_t i = 0; i < sizeof of / sizeof *of; i++) {
        if (strcmp(t->step, of[i].step) != 0) continue;
        works_batch *b = arena_get(f->memory, of[i].n, sizeof *b);
        assert_non_null(b);
        for (size_t k = 0; k < of[i].n; k++)
            b[k] = (works_batch){.step = of[i].as,
                                 .volume_m3 = 0.0011,
                                 .powder_kg = 1.8,
                                 .water_m3 = 0.0005,
                                 .tub_m3 = WORKS_CUP_M3,
                                 .powder_tubs = 1.5,
                                 .water_tubs = 0.5,
                                 .mixed_min = t->start_min + (int)k * 3,
                                 .use_by_min = t->start_min + (int)k * 3 + 2,
                                 .placed_min = t->start_min + (int)k * 3 + 2};
        t->batches = b;
        t->n_batches = of[i].n;
    }
}

static size_t face_of(const survey *s, size_t leak) {
    return (size_t)(survey_find_face(s, s->defects[leak].parts[0].face) - s->faces);
}

/* Returns the end of the last coat. */
static int add_steps(filling *f, size_t leak, size_t team, bool begun) {
    const char *mark = f->survey->defects[leak].mark;
    int at = f->free[team];
    for (size_t i = 0; i < STEP_COUNT; i++) {
        works_task *t = add(f, arena_print(f->memory, "%s %s", mark, STEPS[i].step));
        t->title = STEPS[i].title;
        t->step = STEPS[i].step;
        t->leak = leak;
        t->face = face_of(f->survey, leak);
        t->minutes = STEPS[i].minutes;
        t->noisy = STEPS[i].noisy;
        t->plant = STEPS[i].noisy ? 1u << PLANT_CUTTER | 1u << PLANT_VACUUM : 0;
        t->done = begun && i < 5;
        int minutes = t->minutes;
        if (i + 1 < STEP_COUNT && STEPS[i + 1].tied) minutes += STEPS[i + 1].minutes;
        t->start_min = STEPS[i].tied ? at : place(f, team, at + STEPS[i].wait, minutes);
        at = t->end_min = t->start_min + t->minutes;
        mix(f, t);
        if (i > 0) tie(f, t, STEPS[i].wait, STEPS[i].tied);
        give(f, t, team);
        if (i == 3) f->free[team] = at; /* while it soaks the team goes on elsewhere */
    }
    return at;
}

static void add_close(filling *f, size_t leak, size_t team, int cured) {
    const char *mark = f->survey->defects[leak].mark;
    works_task *t = add(f, arena_print(f->memory, "%s open", mark));
    t->title = "Water may come back";
    t->step = "open";
    t->leak = leak;
    t->face = face_of(f->survey, leak);
    t->start_min = t->end_min = cured + CURE;
    t = add(f, arena_print(f->memory, "%s prove", mark));
    t->title = "Prove it dry";
    t->step = "prove";
    t->leak = leak;
    t->face = face_of(f->survey, leak);
    t->minutes = 30;
    t->start_min = place(f, team, cured + CURE + DAY, 30);
    t->end_min = t->start_min + 30;
    give(f, t, team);
}

/* Every four hours of work while something on the face cures. */
static void add_visits(filling *f, size_t face, int from, int to) {
    for (int at = place(f, 0, from + 120, VISIT); at + VISIT <= to; at = place(f, 0, at + 240, VISIT)) {
        works_task *t = add(f, arena_print(f->memory, "cure %s %d", f->survey->faces[face].id, at));
        t->title = arena_print(f->memory, "%s: mist: all of it", f->survey->faces[face].name);
        t->step = "mist";
        t->leak = SIZE_MAX;
        t->face = face;
        t->minutes = VISIT;
        t->start_min = at;
        t->end_min = at + VISIT;
        give(f, t, 0);
    }
}

static void add_exposures(filling *f) {
    works_plan *w = f->works;
    for (size_t i = 0; i < w->n_tasks; i++) {
        const works_task *t = &w->tasks[i];
        for (size_t k = 0; t->noisy && k < t->n_workers; k++) {
            int day = t->start_min / DAY;
            works_day_exposure *of = NULL;
            for (size_t e = 0; e < w->n_exposures; e++)
                if (w->exposures[e].day == day && w->exposures[e].worker == t->workers[k])
                    of = &w->exposures[e];
            if (!of) {
                of = arena_push(f->memory, w->exposures, &w->n_exposures, sizeof *of);
                assert_non_null(of);
                w->exposures = of;
                of = &of[w->n_exposures - 1];
                *of = (works_day_exposure){.day = day, .worker = t->workers[k], .noise_twa_dba = 84};
            }
            of->silica_min += 0.5 * t->minutes;
            of->vibration_points += 55;
            of->a8_m_s2 = 2.1;
            of->noise_dose_percent += 35;
            of->respirator_apf = of->silica_min > 60 ? 10 : 0;
            if (of->vibration_points > 100 && !of->over_action) {
                of->over_action = true;
                of->sentence = "Vibration passes the action value; a third person who may cut would help.";
            }
        }
    }
}

works_plan *works_job_fill(const survey *s, works_job like, arena *memory) {
    filling f = {.memory = memory, .survey = s, .teams = (like.people + 1) / 2};
    works_plan *w = f.works = arena_get(memory, 1, sizeof *w);
    assert_non_null(w);
    *w = (works_plan){.start_on = like.start_on, .n_workers = like.people, .gap_percent = 3.4};
    f.free = arena_get(memory, f.teams, sizeof *f.free);
    w->workers = arena_get(memory, like.people, sizeof *w->workers);
    int *cured = arena_get(memory, s->n_faces, sizeof *cured),
        *wet = arena_get(memory, s->n_faces, sizeof *wet);
    assert_true(f.free && w->workers && cured && wet);
    for (size_t i = 0; i < like.people; i++) w->workers[i] = arena_print(memory, "Worker %zu", i + 1);
    add_shifts(&f);
    size_t n = like.leaks ? like.leaks : s->n_defects;
    for (size_t i = 0; i < n; i++) {
        size_t team = 0, face = face_of(s, i);
        for (size_t k = 1; k < f.teams; k++)
            if (f.free[k] < f.free[team]) team = k;
        int end = add_steps(&f, i, team, like.begun && i == 0);
        add_close(&f, i, team, end);
        if (cured[face] == 0) wet[face] = end;
        if (end + CURE > cured[face]) cured[face] = end + CURE;
    }
    for (size_t i = 0; i < s->n_faces; i++)
        if (cured[i] > 0) add_visits(&f, i, wet[i], cured[i]);
    add_exposures(&f);
    w->out_from_min = w->tasks[2].start_min;
    for (size_t i = 0; i < w->n_tasks; i++) {
        if (w->tasks[i].end_min > w->makespan_min) w->makespan_min = w->tasks[i].end_min;
        if (strcmp(w->tasks[i].step, "open") == 0 && w->tasks[i].end_min > w->out_to_min)
            w->out_to_min = w->tasks[i].end_min;
    }
    w->back_min = like.back_day ? like.back_day * DAY + 420 : -1;
    w->late = like.back_day && w->out_to_min > w->back_min;
    w->late_min = w->late ? w->out_to_min - w->back_min : 0;
    w->lower_bound_min = w->makespan_min - w->makespan_min / 30;
    return w;
}
