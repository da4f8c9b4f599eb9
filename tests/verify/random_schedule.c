#include "random_schedule.h"

#include <stdlib.h>

static int below(uint64_t *seed, int n) {
    *seed = *seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407); /* Knuth, MMIX */
    return (int)((*seed >> 33) % (uint64_t)n);
}

static void make_windows(random_problem *r, uint64_t *seed, int longest) {
    for (int c = 0; c < 2; c++) {
        int t = below(seed, 3);
        for (int w = 0; w < RANDOM_WINDOWS; w++) {
            int length = longest + below(seed, 2 * longest + 1);
            r->windows[c][w] = (schedule_window){t, t + length};
            t += length + below(seed, 4) * below(seed, longest + 2); /* some touch */
        }
        r->calendars[c] = (schedule_calendar){r->windows[c], RANDOM_WINDOWS};
    }
}

static void make_arcs(random_problem *r, uint64_t *seed, int i, const random_shape *shape) {
    schedule_task *t = &r->tasks[i];
    t->after = r->after[i];
    for (int a = 0; i > 0 && a < RANDOM_ARCS; a++) {
        if (below(seed, 5) < 3) continue;
        int min = below(seed, 2) * below(seed, shape->longest), max = SCHEDULE_NO_LIMIT;
        if (shape->maxima && below(seed, 2)) max = min + below(seed, 2) * below(seed, 6 * shape->longest);
        r->after[i][t->n_after++] = (schedule_after){(size_t)below(seed, i), min, max};
    }
}

void random_schedule(random_problem *r, unsigned from, random_shape shape) {
    uint64_t seed = from;
    *r = (random_problem){0};
    for (int warm = 0; warm < 8; warm++) below(&seed, 2);
    for (int k = 0; k < shape.kinds; k++) r->resources[k] = (schedule_resource){"kind", 1 + below(&seed, 4)};
    make_windows(r, &seed, shape.longest);
    for (int i = 0; i < shape.tasks; i++) {
        r->tasks[i] = (schedule_task){.id = "task",
                                      .minutes = below(&seed, shape.longest + 1),
                                      .needs = r->needs[i],
                                      .calendar = shape.windows ? below(&seed, 3) - 1 : SCHEDULE_ALWAYS,
                                      .earliest = below(&seed, 4) ? 0 : below(&seed, shape.longest)};
        for (int k = 0; k < shape.kinds; k++)
            r->needs[i][k] = below(&seed, 3) ? below(&seed, r->resources[k].capacity + 1) : 0;
        make_arcs(r, &seed, i, &shape);
    }
    r->p =
        (schedule_problem){r->resources, (size_t)shape.kinds, r->tasks, (size_t)shape.tasks, r->calendars, 2};
}

/* ---- the slow way ---- */

enum { SLOW_MOST = 100000, SLOW_MINUTES = 400 };

typedef struct {
    const schedule_problem *p;
    int start[RANDOM_TASKS], used[RANDOM_KINDS][SLOW_MINUTES];
    int best;
    long tried;
} trying;

static bool may_start(const trying *s, size_t i, int at) {
    const schedule_task *t = &s->p->tasks[i];
    bool open = t->calendar < 0;
    for (size_t w = 0; !open && w < s->p->calendars[t->calendar].n; w++) {
        const schedule_window *window = &s->p->calendars[t->calendar].windows[w];
        open = window->from <= at && at + t->minutes <= window->to;
    }
    if (!open || at < t->earliest) return false;
    for (size_t a = 0; a < t->n_after; a++) {
        const schedule_after *arc = &t->after[a];
        int lag = at - s->start[arc->task] - s->p->tasks[arc->task].minutes;
        if (lag < arc->min_lag || (arc->max_lag >= 0 && lag > arc->max_lag)) return false;
    }
    for (size_t k = 0; k < s->p->n_resources; k++)
        for (int m = at; m < at + t->minutes; m++)
            if (s->used[k][m] + t->needs[k] > s->p->resources[k].capacity) return false;
    return true;
}

static void use(trying *s, size_t i, int sign) {
    const schedule_task *t = &s->p->tasks[i];
    for (size_t k = 0; k < s->p->n_resources; k++)
        for (int m = s->start[i]; m < s->start[i] + t->minutes; m++) s->used[k][m] += sign * t->needs[k];
}

static void try_from(trying *s, size_t i, int end) {
    if (i == s->p->n_tasks) {
        s->best = end;
        return;
    }
    for (int at = 0; at + s->p->tasks[i].minutes < s->best && end < s->best; at++) {
        if (++s->tried > SLOW_MOST) return;
        if (!may_start(s, i, at)) continue;
        s->start[i] = at;
        use(s, i, 1);
        int ends = at + s->p->tasks[i].minutes;
        try_from(s, i + 1, ends > end ? ends : end);
        use(s, i, -1);
    }
}

int slow_makespan(const schedule_problem *p, int horizon) {
    trying *s = calloc(1, sizeof *s);
    if (!s || horizon > SLOW_MINUTES) abort();
    s->p = p;
    s->best = horizon + 1;
    try_from(s, 0, 0);
    int best = s->tried > SLOW_MOST ? SLOW_GIVEN_UP : s->best > horizon ? SLOW_NONE : s->best;
    free(s);
    return best;
}
