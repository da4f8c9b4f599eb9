#include "schedule_check.h"

#include <stdio.h>
#include <stdlib.h>

int schedule_ends(const schedule_problem *problem, const int *start) {
    int last = 0;
    for (size_t i = 0; i < problem->n_tasks; i++)
        if (start[i] + problem->tasks[i].minutes > last) last = start[i] + problem->tasks[i].minutes;
    return last;
}

/* Minute t, from t to t + 1, is worked in window w. */
static bool works(const schedule_calendar *c, size_t w, int t) {
    return t >= c->windows[w].from && t < c->windows[w].to;
}

static bool in_one_window(const schedule_calendar *c, int start, int minutes) {
    for (size_t w = 0; w < c->n; w++) {
        int inside = 0;
        while (inside < minutes && works(c, w, start + inside)) inside++;
        /* a task of no minutes may stand at either end of a window */
        if (minutes == 0 && (works(c, w, start) || works(c, w, start - 1))) return true;
        if (minutes > 0 && inside == minutes) return true;
    }
    return false;
}

static bool lags_hold(const schedule_problem *p, const int *start, size_t i, char *told, size_t size) {
    const schedule_task *t = &p->tasks[i];
    for (size_t a = 0; a < t->n_after; a++) {
        size_t earlier = t->after[a].task;
        int lag = start[i] - (start[earlier] + p->tasks[earlier].minutes);
        bool good = lag >= t->after[a].min_lag;
        if (t->after[a].max_lag != SCHEDULE_NO_LIMIT && lag > t->after[a].max_lag) good = false;
        if (good) continue;
        snprintf(told, size, "task %s starts %d minutes after %s ends, not within %d to %d", t->id, lag,
                 p->tasks[earlier].id, t->after[a].min_lag, t->after[a].max_lag);
        return false;
    }
    return true;
}

static bool needs_hold(const schedule_problem *p, const int *start, size_t r, char *told, size_t size) {
    int end = schedule_ends(p, start);
    int *used = calloc((size_t)end + 1, sizeof *used);
    if (!used) abort();
    for (size_t i = 0; i < p->n_tasks; i++)
        for (int t = start[i]; t < start[i] + p->tasks[i].minutes; t++) used[t] += p->tasks[i].needs[r];
    bool good = true;
    for (int t = 0; good && t < end; t++) {
        if (used[t] <= p->resources[r].capacity) continue;
        snprintf(told, size, "minute %d: %d of %s in use, of %d", t, used[t], p->resources[r].name,
                 p->resources[r].capacity);
        good = false;
    }
    free(used);
    return good;
}

bool schedule_holds(const schedule_problem *p, const int *start, char *told, size_t size) {
    for (size_t i = 0; i < p->n_tasks; i++) {
        const schedule_task *t = &p->tasks[i];
        if (start[i] < 0 || start[i] < t->earliest) {
            snprintf(told, size, "task %s starts at %d, before %d", t->id, start[i], t->earliest);
            return false;
        }
        if (t->calendar >= 0 && !in_one_window(&p->calendars[t->calendar], start[i], t->minutes)) {
            snprintf(told, size, "task %s at %d lies in no window", t->id, start[i]);
            return false;
        }
        if (!lags_hold(p, start, i, told, size)) return false;
    }
    for (size_t r = 0; r < p->n_resources; r++)
        if (!needs_hold(p, start, r, told, size)) return false;
    return true;
}
