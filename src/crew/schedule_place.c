#include "crew/schedule_place.h"

#include <string.h>

enum { FIRST_STEPS = 1024, MOVES_MOST = 100000 };

bool generator_open(generator *g, const model *m) {
    *g = (generator){.m = m};
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
    if (end > g->used) g->used = end;
    if (end <= g->ready) return PLACED;
    if (end > SCHEDULE_MOST_STEPS) return PLACE_NO_ROOM;
    int steps = g->ready ? g->ready : FIRST_STEPS;
    while (steps < end) steps *= 2;
    uint64_t *more = mem_grow(g->grid, (size_t)steps * (size_t)g->m->words, sizeof *more);
    if (!more) return PLACE_NO_MEMORY;
    g->grid = more;
    fill(g, g->ready, steps);
    g->ready = steps;
    return PLACED;
}

static void begin(generator *g) {
    fill(g, 0, g->used < g->ready ? g->used : g->ready);
    g->used = 0;
    g->makespan = 0;
}

/* First start from `t` on that lies within one window; -1: none. */
static int fit_window(const model_calendar *c, int t, int duration) {
    size_t low = 0, high = c->n; /* the first window that ends at t or later */
    while (low < high) {
        size_t middle = (low + high) / 2;
        if (c->windows[middle].to < t)
            low = middle + 1;
        else
            high = middle;
    }
    for (; low < c->n; low++) {
        int start = t > c->windows[low].from ? t : c->windows[low].from;
        if (start <= c->windows[low].to - duration) return start;
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
    for (int s = t + duration - 1; s >= t; s--) {
        const uint64_t *at = g->grid + (size_t)s * (size_t)m->words;
        for (int w = 0; w < m->words; w++)
            if (((at[w] - need[w]) & SCHEDULE_GUARD) != SCHEDULE_GUARD) return s;
    }
    return -1;
}

static place_state find_start(generator *g, int task, int from, int *start) {
    const model *m = g->m;
    int t = from, duration = m->duration[task];
    for (;;) {
        if (m->calendar[task] >= 0) {
            t = fit_window(&m->calendars[m->calendar[task]], t, duration);
            if (t < 0) return PLACE_NO_ROOM;
        }
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
    const uint64_t *need = m->need + task * m->words;
    if (m->words == 1)
        for (int s = start; s < end; s++) g->grid[s] -= *need;
    else
        for (int s = start; s < end; s++)
            for (int w = 0; w < m->words; w++) g->grid[(size_t)s * (size_t)m->words + (size_t)w] -= need[w];
}

static void give_back(generator *g, int task) {
    const model *m = g->m;
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

static void note_end(generator *g, int task) {
    int end = g->start[task] + g->m->duration[task];
    if (end > g->makespan) g->makespan = end;
}

static void remove_tasks(generator *g, int first, int last) {
    for (int task = first; task < last; task++) give_back(g, task);
}

static place_state place_many(generator *g, int first, int last, int from) {
    for (int task = first; task < last; task++) g->moved[task] = from;
    for (int moves = 0; moves < MOVES_MOST; moves++) {
        int task = first, earlier = -1;
        for (; task < last; task++) {
            int start;
            place_state state = find_start(g, task, least_start(g, task, g->moved[task]), &start);
            if (state != PLACED) {
                g->stuck = task;
                remove_tasks(g, first, task);
                return state;
            }
            int passed = passed_lag(g, task, start, &earlier);
            if (passed > 0) {
                g->moved[earlier] = g->start[earlier] + passed;
                break;
            }
            take(g, task, start);
        }
        if (task == last) return PLACED;
        remove_tasks(g, first, task);
    }
    g->stuck = first;
    return PLACE_NO_ROOM;
}

static place_state place_block(generator *g, int block, int from) {
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
    begin(g);
    for (int b = 0; b < m->n_blocks; b++) {
        place_state state = place_block(g, order[b], 0);
        if (state != PLACED) return state;
        for (int t = m->block_first[order[b]]; t < m->block_first[order[b] + 1]; t++) note_end(g, t);
    }
    return PLACED;
}

/* ---- parallel ---- */

typedef struct {
    int *waits; /* arcs from other blocks not yet placed */
    bool *done; /* blocks */
    int *ends;  /* moments to look at, a heap: the least first */
    int n_ends;
} moments;

static void push_moment(moments *q, int t) {
    int at = q->n_ends++;
    while (at > 0 && q->ends[(at - 1) / 2] > t) {
        q->ends[at] = q->ends[(at - 1) / 2];
        at = (at - 1) / 2;
    }
    q->ends[at] = t;
}

static int pop_moment(moments *q) {
    int top = q->ends[0], last = q->ends[--q->n_ends], at = 0;
    for (;;) {
        int child = 2 * at + 1;
        if (child >= q->n_ends) break;
        if (child + 1 < q->n_ends && q->ends[child + 1] < q->ends[child]) child++;
        if (q->ends[child] >= last) break;
        q->ends[at] = q->ends[child];
        at = child;
    }
    q->ends[at] = last;
    return top;
}

static int first_start(const generator *g, int block) {
    int least = INT32_MAX;
    for (int t = g->m->block_first[block]; t < g->m->block_first[block + 1]; t++)
        if (g->start[t] < least) least = g->start[t];
    return least;
}

/* Place the block if it can begin at `now`; what comes later is given back and *later told. */
static place_state try_block(generator *g, moments *q, int block, int now, int *later) {
    const model *m = g->m;
    place_state state = place_block(g, block, now);
    if (state != PLACED) return state;
    int begins = first_start(g, block);
    if (begins > now) {
        remove_tasks(g, m->block_first[block], m->block_first[block + 1]);
        if (begins < *later) *later = begins;
        return PLACED;
    }
    q->done[block] = true;
    for (int t = m->block_first[block]; t < m->block_first[block + 1]; t++) {
        note_end(g, t);
        push_moment(q, g->start[t] + m->duration[t]);
        for (int a = m->behind_first[t]; a < m->behind_first[t + 1]; a++) {
            int to = m->block_of[m->behind[a].task];
            if (to != block) q->waits[to]--;
        }
    }
    return PLACED;
}

static place_state run_parallel(generator *g, const int *order, moments *q) {
    const model *m = g->m;
    for (int t = 0; t < m->n; t++)
        for (int a = m->before_first[t]; a < m->before_first[t + 1]; a++)
            q->waits[m->block_of[t]] += m->block_of[m->before[a].task] != m->block_of[t];
    int left = m->n_blocks;
    for (int now = 0; left > 0;) {
        int later = INT32_MAX;
        bool placed = false;
        for (int b = 0; b < m->n_blocks; b++) {
            if (q->done[order[b]] || q->waits[order[b]] > 0) continue;
            place_state state = try_block(g, q, order[b], now, &later);
            if (state != PLACED) return state;
            left -= q->done[order[b]];
            placed |= q->done[order[b]];
        }
        if (placed) continue; /* one of no duration may have let others begin now */
        while (q->n_ends > 0 && q->ends[0] <= now) pop_moment(q);
        now = q->n_ends > 0 && q->ends[0] < later ? pop_moment(q) : later;
    }
    return PLACED;
}

place_state generator_parallel(generator *g, const int *order) {
    const model *m = g->m;
    moments q = {0};
    q.waits = mem_zero((size_t)m->n_blocks, sizeof *q.waits);
    q.done = mem_zero((size_t)m->n_blocks, sizeof *q.done);
    q.ends = mem_zero((size_t)m->n, sizeof *q.ends);
    begin(g);
    place_state state = q.waits && q.done && q.ends ? run_parallel(g, order, &q) : PLACE_NO_MEMORY;
    mem_free(q.waits);
    mem_free(q.done);
    mem_free(q.ends);
    return state;
}
