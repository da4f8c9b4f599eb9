#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka wants these four first */
#include <cmocka.h>

#include "again_check.h"

#include <string.h>

const works_task *again_find(const works_plan *w, size_t leak, const char *step, int part) {
    for (size_t i = 0; i < w->n_tasks; i++) {
        const works_task *t = &w->tasks[i];
        if (t->leak == leak && strcmp(t->step, step) == 0 && t->part == (part ? part : t->parts)) return t;
    }
    return NULL;
}

static int people_of(const works_task *t) {
    int n = 0;
    for (int k = 0; k < WORKER_KINDS; k++) n += t->people[k];
    return n;
}

static bool is_open(const works_task *t) {
    return t->leak != SIZE_MAX && !t->done && !t->begun;
}

static bool in_a_stretch(const works_plan *w, const works_task *t) {
    for (size_t i = 0; i < w->n_shifts; i++)
        if (t->start_min >= w->shifts[i].from_min && t->end_min <= w->shifts[i].to_min) return true;
    return t->minutes == 0;
}

static bool is_told(const works_plan *w, const works_task *t, const works_task *before) {
    for (size_t i = 0; i < w->n_warnings; i++)
        if (strncmp(w->warnings[i], t->id, strlen(t->id)) == 0 && strstr(w->warnings[i], before->id))
            return true;
    return false;
}

/* Lags that do no harm when they are passed need not be told: what is opened, marked and cut. */
static bool does_harm(const works_task *before) {
    static const char *const harmless[] = {"setup", "scan",    "cut",   "measure", "wash",
                                           "ports", "channel", "prime", "backer",  "flush"};
    for (size_t i = 0; i < sizeof harmless / sizeof *harmless; i++)
        if (strcmp(before->step, harmless[i]) == 0) return false;
    return true;
}

static void check_lags(const works_plan *w, const works_task *t) {
    for (size_t a = 0; a < t->n_after; a++) {
        const works_task *before = &w->tasks[t->after[a].task];
        int waited = t->start_min - before->end_min;
        if (waited < t->after[a].min_lag) fail_msg("%s: %d min after %s", t->id, waited, before->id);
        if (t->after[a].max_lag == SCHEDULE_NO_LIMIT) continue;
        bool passed = waited > t->after[a].max_lag;
        if (passed && is_open(before)) fail_msg("%s: %d min after %s", t->id, waited, before->id);
        if (does_harm(before) && passed != is_told(w, t, before))
            fail_msg("%s: %d min after %s, at most %d, told %d", t->id, waited, before->id,
                     t->after[a].max_lag, is_told(w, t, before));
    }
}

static void check_moment(const survey *s, const works_plan *w, int minute) {
    int people = 0, plant[PLANT_COUNT] = {0};
    bool busy[64] = {false};
    for (size_t i = 0; i < w->n_tasks; i++) {
        const works_task *t = &w->tasks[i];
        if (t->done || t->leak == SIZE_MAX || t->start_min > minute || t->end_min <= minute) continue;
        people += people_of(t);
        for (int k = 0; k < PLANT_COUNT; k++) plant[k] += (t->plant & 1u << k) != 0;
        for (size_t k = 0; k < t->n_workers; k++) {
            if (busy[t->workers[k]])
                fail_msg("minute %d: %s is twice at work, %s", minute, w->workers[t->workers[k]], t->id);
            busy[t->workers[k]] = true;
        }
    }
    if (people > (int)w->n_workers) fail_msg("minute %d: %d people", minute, people);
    for (int k = 0; k < PLANT_COUNT; k++) {
        maybe has = s->site.work.plant[k];
        if (plant[k] > (has.known ? has.v : 1)) fail_msg("minute %d: %d of plant %d", minute, plant[k], k);
    }
}

void again_check(const plan *p, const works_plan *w, int now_min) {
    int end = 0;
    for (size_t i = 0; i < w->n_tasks; i++) {
        const works_task *t = &w->tasks[i];
        if (t->leak != SIZE_MAX && t->end_min > end) end = t->end_min;
        if (t->leak == SIZE_MAX && t->start_min < now_min) fail_msg("%s lies behind", t->id);
        if (t->done && (t->begun || t->start_min > t->end_min || t->end_min > now_min))
            fail_msg("%s: done from %d to %d", t->id, t->start_min, t->end_min);
        if (t->begun && t->end_min < now_min + WORKS_STEP_MIN) fail_msg("%s ends before now", t->id);
        if (!is_open(t)) continue;
        if (t->start_min < now_min) fail_msg("%s starts before now", t->id);
        assert_int_equal(t->end_min - t->start_min, t->minutes);
        if (!in_a_stretch(w, t)) fail_msg("%s: outside of the hours at %d", t->id, t->start_min);
        check_lags(w, t);
    }
    assert_int_equal(w->makespan_min, end);
    assert_true(w->lower_bound_min <= w->makespan_min);
    for (int m = now_min; m < end; m += WORKS_STEP_MIN) check_moment(p->survey, w, m);
}

/* ---- two plans ---- */

static const works_task *same(const works_plan *w, const char *id) {
    for (size_t i = 0; i < w->n_tasks; i++)
        if (strcmp(w->tasks[i].id, id) == 0) return &w->tasks[i];
    return NULL;
}

static bool other_people(const works_plan *a, const works_task *x, const works_plan *b, const works_task *y) {
    for (size_t i = 0; i < x->n_workers; i++) {
        bool found = false;
        for (size_t k = 0; k < y->n_workers; k++)
            found = found || strcmp(a->workers[x->workers[i]], b->workers[y->workers[k]]) == 0;
        if (!found) return true;
    }
    return x->n_workers != y->n_workers;
}

static int count(const works_plan *a, const works_plan *b, bool people) {
    int n = 0, left = 0;
    for (size_t i = 0; i < b->n_tasks; i++) left += b->tasks[i].leak != SIZE_MAX;
    for (size_t i = 0; i < a->n_tasks; i++) {
        const works_task *x = &a->tasks[i], *y = same(b, x->id);
        if (x->leak == SIZE_MAX) continue;
        n += !y || (people ? other_people(a, x, b, y) : x->start_min != y->start_min);
        left -= y != NULL;
    }
    return n + left;
}

int again_starts_moved(const works_plan *a, const works_plan *b) {
    return count(a, b, false);
}

int again_people_moved(const works_plan *a, const works_plan *b) {
    return count(a, b, true);
}
