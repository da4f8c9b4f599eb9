#include "hands_job.h"

#include "../near.h"

#include <stdio.h>
#include <string.h>

static const char *const hands_job_names[HANDS_JOB_WORKERS] = {"Ann", "Ben", "Cem", "Dora",
                                                               "Eli", "Fay", "Gus", "Hana"};

void hands_job_begin(hands_job *j, int workers, int leaks) {
    memset(j, 0, sizeof *j);
    j->memory = arena_new();
    assert_non_null(j->memory);
    for (int w = 0; w < workers; w++) j->workers[w] = (survey_worker){hands_job_names[w], true, true, true};
    for (int w = 0; w < workers; w++) j->names[w] = hands_job_names[w];
    for (int i = 0; i < leaks; i++) j->designs[i].method.name = METHOD_SLOT_PLUG;
    j->s.defects = j->defects;
    j->s.n_defects = (size_t)leaks;
    j->s.site.work.workers = j->workers;
    j->s.site.work.n_workers = (size_t)workers;
    for (int d = 0; d < HANDS_JOB_DAYS; d++) j->shifts[d] = (works_shift){d * 1440 + 420, d * 1440 + 960, d};
    j->plan = (works_plan){.tasks = j->tasks,
                           .shifts = j->shifts,
                           .n_shifts = HANDS_JOB_DAYS,
                           .workers = j->names,
                           .n_workers = (size_t)workers};
}

works_task *hands_job_add(hands_job *j, const char *step, size_t leak, int from, int to) {
    size_t n = j->plan.n_tasks++;
    works_task *t = &j->tasks[n];
    snprintf(j->ids[n], sizeof j->ids[n], "T%zu %s", n, step);
    *t = (works_task){.id = j->ids[n],
                      .step = step,
                      .leak = leak,
                      .start_min = from,
                      .end_min = to,
                      .minutes = to - from,
                      .part = 1,
                      .parts = 1};
    return t;
}

works_task *hands_job_cut(hands_job *j, size_t leak, int from, int to) {
    works_task *t = hands_job_add(j, "cut", leak, from, to);
    t->people[WORKER_CUTTER] = 1;
    return t;
}

void hands_job_assign(hands_job *j) {
    fault why = {0};
    if (hands_assign(&j->s, j->designs, &j->plan, j->memory, &why) != OK) fail_msg("%s", why.text);
}

void hands_job_end(hands_job *j) {
    arena_free(j->memory);
}

const works_day_exposure *hands_job_day_of(const hands_job *j, int day, int worker) {
    for (size_t i = 0; i < j->plan.n_exposures; i++)
        if (j->plan.exposures[i].day == day && j->plan.exposures[i].worker == worker)
            return &j->plan.exposures[i];
    return NULL;
}

/* ---- slow checks, without a line of the code checked ---- */

bool hands_job_able(const hands_job *j, int worker, int kind) {
    const survey_worker *w = &j->workers[worker];
    return kind == WORKER_CUTTER   ? w->cuts
           : kind == WORKER_PLACER ? w->places
           : kind == WORKER_MIXER  ? w->mixes
                                   : true;
}

int hands_job_wanted(const works_task *t) {
    int n = 0;
    for (int k = 0; k < WORKER_KINDS; k++) n += t->people[k];
    return n;
}

/* Can these people take a task's places one each? `used`: bits of people taken. */
static bool team_fits(const hands_job *j, const works_task *t, int kind, int left, unsigned used) {
    while (kind < WORKER_KINDS && left == 0) {
        kind++;
        left = kind < WORKER_KINDS ? t->people[kind] : 0;
    }
    if (kind >= WORKER_KINDS) return true;
    for (size_t i = 0; i < t->n_workers; i++)
        if (!(used & 1u << i) && hands_job_able(j, t->workers[i], kind) &&
            team_fits(j, t, kind, left - 1, used | 1u << i))
            return true;
    return false;
}

static bool warned(const hands_job *j, const char *id) {
    for (size_t i = 0; i < j->plan.n_warnings; i++)
        if (strncmp(j->plan.warnings[i], id, strlen(id)) == 0) return true;
    return false;
}

void hands_job_check_people(const hands_job *j) {
    for (size_t a = 0; a < j->plan.n_tasks; a++) {
        const works_task *t = &j->tasks[a];
        bool full = (int)t->n_workers == hands_job_wanted(t);
        assert_true((int)t->n_workers <= hands_job_wanted(t));
        if (warned(j, t->id) == full) fail_msg("%s: full %d, warned %d", t->id, full, !full);
        if (full && !team_fits(j, t, -1, 0, 0)) fail_msg("%s: somebody lacks a skill", t->id);
        for (size_t i = 0; i < t->n_workers; i++)
            for (size_t k = 0; k < i; k++) assert_int_not_equal(t->workers[i], t->workers[k]);
        for (size_t b = 0; b < a; b++) {
            const works_task *o = &j->tasks[b];
            if (o->end_min <= t->start_min || t->end_min <= o->start_min) continue;
            for (size_t i = 0; i < t->n_workers; i++)
                for (size_t k = 0; k < o->n_workers; k++)
                    if (t->workers[i] == o->workers[k])
                        fail_msg("%s is at %s and at %s", hands_job_names[o->workers[k]], o->id, t->id);
        }
    }
}

/* Points of one worker and day by the tables of the trade page: saw 8, chipping hammer 25 m/s2, half the minutes. */
double hands_job_points_of(const hands_job *j, int worker, int day) {
    double sum = 0;
    for (size_t a = 0; a < j->plan.n_tasks; a++) {
        const works_task *t = &j->tasks[a];
        double a_m_s2 = j->defects[t->leak].slot_faces == SLOT_CHIPPED ? 25 : 8;
        int cutters = 0;
        bool in = false;
        if (strcmp(t->step, "cut") != 0 || t->start_min / 1440 != day) continue;
        for (size_t i = 0; i < t->n_workers; i++) {
            cutters += hands_job_able(j, t->workers[i], WORKER_CUTTER);
            in |= t->workers[i] == worker;
        }
        if (in && hands_job_able(j, worker, WORKER_CUTTER))
            sum += 2 * a_m_s2 * a_m_s2 * 0.5 * (t->end_min - t->start_min) / 60 / cutters;
    }
    return sum;
}

void hands_job_check_days(const hands_job *j) {
    for (size_t i = 0; i < j->plan.n_exposures; i++) {
        const works_day_exposure *e = &j->plan.exposures[i];
        near_absolute(e->vibration_points, hands_job_points_of(j, e->worker, e->day), 1e-9);
        if (e->vibration_points > 100.001) assert_non_null(strstr(e->sentence, "Vibration"));
        assert_int_equal(e->sentence != NULL, e->over_action);
        if (i) assert_true(e->day > e[-1].day || (e->day == e[-1].day && e->worker > e[-1].worker));
    }
}
