#include "crew/schedule_place.h"

#include <string.h>

enum { FIRST_STEPS = 1024 };

bool generator_open(generator *g, const model *m) {
    *g = (generator){.m = m, .latest = SCHEDULE_MOST_STEPS};
    g->start = mem_zero((size_t)m->n, sizeof *g->start);
    g->moved = mem_zero((size_t)m->n, sizeof *g->moved);
    if (g->start && g->moved) return true;
    generator_close(g);
    return false;
}

void generator_close(generator *g) {
    mem_free(g->grid);
    mem_free(g->start);
    mem_free(g->moved);
    *g = (generator){0};
}

static void fill(generator *g, int from, int to) {
    const model *m = g->m;
    for (int t = from; t < to; t++)
        for (int w = 0; w < m->words; w++) g->grid[(size_t)t * (size_t)m->words + (size_t)w] = m->full[w];
}

static place_state reach(generator *g, int end) {
    if (end > SCHEDULE_MOST_STEPS) return PLACE_TOO_LONG;
    if (end > g->used) g->used = end;
    if (end <= g->ready) return PLACED;
    int steps = g->ready ? g->ready : FIRST_STEPS;
    while (steps < end) steps *= 2;
    uint64_t *more = mem_grow(g->grid, (size_t)steps * (size_t)g->m->words, sizeof *more);
    if (!more) return PLACE_NO_MEMORY;
    g->grid = more;
    fill(g, g->ready, steps);
    g->ready = steps;
    return PLACED;
}

void place_begin(generator *g) {
    fill(g, 0, g->used < g->ready ? g->used : g->ready);
    g->used = 0;
    g->makespan = 0;
}

static size_t first_window(const model_calendar *c, int t) { /* that ends at t or later */
    size_t low = 0, high = c->n;
    while (low < high) {
        size_t middle = (low + high) / 2;
        if (c->windows[middle].to < t)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

/* First start from `t` on that lies within one window, *at or a later one, which *at becomes; -1: none. */
static int fit_window(const model_calendar *c, size_t *at, int t, int duration) {
    for (; *at < c->n; (*at)++) {
        int start = t > c->windows[*at].from ? t : c->windows[*at].from;
        if (start <= c->windows[*at].to - duration) return start;
    }
    return -1;
}

/* The last step of [t, t + duration) in which the task finds too little, or -1. */
static int last_clash(const generator *g, int task, int t, int duration) {
    const model *m = g->m;
    if (m->words == 1) {
        const uint64_t need = m->need[task], *grid = g->grid;
        for (int s = t + duration - 1; s >= t; s--)
            if (((grid[s] - need) & SCHEDULE_GUARD) != SCHEDULE_GUARD) return s;
        return -1;
    }
    const uint64_t *need = m->need + task * m->words;
    if (m->words == 2) { /* five to eight kinds: the usual job */
        const uint64_t one = need[0], two = need[1], *at = g->grid + 2 * ((size_t)t + (size_t)duration);
        for (int s = t + duration - 1; s >= t; s--) {
            at -= 2;
            if (((at[0] - one) & (at[1] - two) & SCHEDULE_GUARD) != SCHEDULE_GUARD) return s;
        }
        return -1;
    }
    for (int s = t + duration - 1; s >= t; s--) {
        const uint64_t *at = g->grid + (size_t)s * (size_t)m->words;
        for (int w = 0; w < m->words; w++)
            if (((at[w] - need[w]) & SCHEDULE_GUARD) != SCHEDULE_GUARD) return s;
    }
    return -1;
}

static bool needs_nothing(const model *m, int task) {
    for (int w = 0; w < m->words; w++)
        if (m->need[task * m->words + w]) return false;
    return true;
}

static place_state find_start(generator *g, int task, int from, int *start) {
    const model *m = g->m;
    int t = from, duration = m->duration[task];
    const model_calendar *c = m->calendar[task] >= 0 ? &m->calendars[m->calendar[task]] : NULL;
    size_t window = c ? first_window(c, t) : 0;
    bool free = duration == 0 || needs_nothing(m, task);
    for (;;) {
        if (c) t = fit_window(c, &window, t, duration);
        if (t < 0) return PLACE_NO_ROOM;
        if (t > SCHEDULE_MOST_STEPS - duration) return PLACE_TOO_LONG;
        if (free) break;
        place_state state = reach(g, t + duration);
        if (state != PLACED) return state;
        int clash = last_clash(g, task, t, duration);
        if (clash < 0) break;
        t = clash + 1;
    }
    *start = t;
    return PLACED;
}

static void take(generator *g, int task, int start) {
    const model *m = g->m;
    int end = start + m->duration[task];
    g->start[task] = start;
    if (needs_nothing(m, task)) return;
    const uint64_t *need = m->need + task * m->words;
    if (m->words == 1)
        for (int s = start; s < end; s++) g->grid[s] -= *need;
    else
        for (int s = start; s < end; s++)
            for (int w = 0; w < m->words; w++) g->grid[(size_t)s * (size_t)m->words + (size_t)w] -= need[w];
}

static void give_back(generator *g, int task) {
    const model *m = g->m;
    if (needs_nothing(m, task)) return;
    for (int s = g->start[task]; s < g->start[task] + m->duration[task]; s++)
        for (int w = 0; w < m->words; w++)
            g->grid[(size_t)s * (size_t)m->words + (size_t)w] += m->need[task * m->words + w];
}

static int least_start(const generator *g, int task, int from) {
    const model *m = g->m;
    int least = m->earliest[task] > from ? m->earliest[task] : from;
    for (int a = m->before_first[task]; a < m->before_first[task + 1]; a++) {
        const model_arc *arc = &m->before[a];
        int from_there = g->start[arc->task] + m->duration[arc->task] + arc->min_lag;
        if (from_there > least) least = from_there;
    }
    return least;
}

/* By how much a maximum lag before `task` is passed when it starts at `start`; *earlier: whose. */
static int passed_lag(const generator *g, int task, int start, int *earlier) {
    const model *m = g->m;
    int most = 0;
    for (int a = m->before_first[task]; a < m->before_first[task + 1]; a++) {
        const model_arc *arc = &m->before[a];
        if (arc->max_lag < 0) continue;
        int passed = start - (g->start[arc->task] + m->duration[arc->task] + arc->max_lag);
        if (passed <= most) continue;
        most = passed;
        *earlier = arc->task;
    }
    return most;
}

void place_count(generator *g, int block) {
    for (int t = g->m->block_first[block]; t < g->m->block_first[block + 1]; t++) {
        int end = g->start[t] + g->m->duration[t];
        if (end > g->makespan) g->makespan = end;
    }
}

void place_remove(generator *g, int block) {
    for (int t = g->m->block_first[block]; t < g->m->block_first[block + 1]; t++) give_back(g, t);
}

/* A block of several tasks, in their inner order. On a fault nothing of it is left in the grid. */
static place_state place_many(generator *g, int first, int last, int from) {
    const int *inner = g->m->inner;
    place_state state = PLACED;
    for (int task = first; task < last; task++) g->moved[task] = from;
    int at = first, moves = 0;
    while (at < last) {
        int task = inner[at], earlier = -1, start;
        state = find_start(g, task, least_start(g, task, g->moved[task]), &start);
        if (state != PLACED) break;
        int passed = passed_lag(g, task, start, &earlier);
        if (passed == 0) {
            take(g, task, start);
            at++;
            continue;
        }
        g->moved[earlier] = g->start[earlier] + passed;
        g->moves++;
        if (g->moved[earlier] > g->latest || ++moves > PLACE_MOVES_MOST) {
            state = PLACE_NO_ROOM;
            break;
        }
        do give_back(g, inner[--at]);
        while (inner[at] != earlier);
    }
    if (state == PLACED) return PLACED;
    g->stuck = inner[at];
    while (at > first) give_back(g, inner[--at]);
    return state;
}

place_state place_block(generator *g, int block, int from) {
    const model *m = g->m;
    int first = m->block_first[block], last = m->block_first[block + 1], start;
    if (last - first > 1) return place_many(g, first, last, from);
    place_state state = find_start(g, first, least_start(g, first, from), &start);
    if (state == PLACED)
        take(g, first, start);
    else
        g->stuck = first;
    return state;
}

place_state generator_serial(generator *g, const int *order) {
    const model *m = g->m;
    place_begin(g);
    for (int b = 0; b < m->n_blocks; b++) {
        place_state state = place_block(g, order[b], 0);
        if (state != PLACED) return state;
        place_count(g, order[b]);
    }
    return PLACED;
}
