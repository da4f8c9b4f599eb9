#include "crew/schedule_inner.h"

#include <assert.h>
#include <string.h>

/* Our defaults: 1,000 are all orders of six tasks that are free of each other. */
enum { INNER_TRIES = 1000, INNER_MOVES = 100000 };

/* The next order in the sequence of choices, into m->inner; those that are free stand on a stack, the one tied closest on top.
 * choice[at] counts from the top. *left: how many could have come at the last place that had more to give, -1: none. */
static void follow(inner_chooser *c, int first, int last, int *left) {
    model *m = c->m;
    int n = 0;
    *left = -1;
    for (int t = first; t < last; t++) c->waits[t] = 0;
    for (int t = first; t < last; t++)
        for (int a = m->before_first[t]; a < m->before_first[t + 1]; a++)
            c->waits[t] += m->before[a].task >= first;
    for (int t = last - 1; t >= first; t--)
        if (c->waits[t] == 0) c->ready[n++] = t;
    for (int at = first; at < last; at++) {
        assert(n > 0); /* what is in no ring always has a next */
        int taken = n - 1 - c->choice[at] % n, task = c->ready[taken];
        if (taken > 0) *left = at;
        for (int i = taken; i + 1 < n; i++) c->ready[i] = c->ready[i + 1];
        n--;
        m->inner[at] = task;
        int bottom = n;
        for (int a = m->behind_first[task]; a < m->behind_first[task + 1]; a++) {
            int to = m->behind[a].task;
            if (to >= last || --c->waits[to] > 0) continue;
            int i = n++; /* those released now by their play, the least on top */
            for (; i > bottom && c->tight[c->ready[i - 1]] < c->tight[to]; i--) c->ready[i] = c->ready[i - 1];
            c->ready[i] = to;
        }
    }
}

static void find_tight(const model *m, int first, int last, int *tight) {
    for (int t = first; t < last; t++) {
        tight[t] = INT32_MAX;
        for (int a = m->before_first[t]; a < m->before_first[t + 1]; a++) {
            const model_arc *arc = &m->before[a];
            if (arc->max_lag >= 0 && arc->max_lag - arc->min_lag < tight[t])
                tight[t] = arc->max_lag - arc->min_lag;
        }
    }
}

/* Left to itself and pushed together, a block lasts no longer than all its durations and lags, and begins no later than the
 * last earliest start and the last window. */
static int horizon(const model *m, int first, int last) {
    long long sum = 0, latest = 0;
    for (int t = first; t < last; t++) {
        const model_calendar *c = m->calendar[t] >= 0 ? &m->calendars[m->calendar[t]] : NULL;
        sum += m->duration[t];
        for (int a = m->before_first[t]; a < m->before_first[t + 1]; a++) sum += m->before[a].min_lag;
        if (m->earliest[t] > latest) latest = m->earliest[t];
        if (c && c->n > 0 && c->windows[c->n - 1].to > latest) latest = c->windows[c->n - 1].to;
    }
    return sum + latest < SCHEDULE_MOST_STEPS ? (int)(sum + latest) : SCHEDULE_MOST_STEPS;
}

static bool fits(inner_chooser *c, int block) {
    const model *m = c->m;
    place_begin(&c->g);
    c->g.latest = horizon(m, m->block_first[block], m->block_first[block + 1]);
    c->state = place_block(&c->g, block, 0);
    for (int t = m->block_first[block]; t < m->block_first[block + 1]; t++)
        c->g.start[t] = 0; /* others must not see it as a start that is known */
    return c->state == PLACED;
}

/* The first order that fits, or stuck. */
static bool try_orders(inner_chooser *c, int block) {
    int first = c->m->block_first[block], last = c->m->block_first[block + 1], left = -1;
    long from = c->g.moves;
    find_tight(c->m, first, last, c->tight);
    for (int t = first; t < last; t++) c->choice[t] = 0;
    for (int tries = 0; tries < INNER_TRIES && c->g.moves - from < INNER_MOVES; tries++) {
        long moves = c->g.moves;
        follow(c, first, last, &left);
        c->m->loose[block] |= left >= 0;
        if (fits(c, block)) return true;
        c->all = left < 0 && c->g.moves - moves < PLACE_MOVES_MOST;
        if (left < 0 || c->state == PLACE_NO_MEMORY) return false;
        c->choice[left]++;
        for (int t = left + 1; t < last; t++) c->choice[t] = 0;
    }
    return false;
}

bool inner_open(inner_chooser *c, model *m, arena *memory) {
    size_t n = (size_t)m->n;
    *c = (inner_chooser){.m = m, .stuck = -1};
    c->waits = arena_get(memory, n, sizeof *c->waits);
    c->choice = arena_get(memory, n, sizeof *c->choice);
    c->ready = arena_get(memory, n, sizeof *c->ready);
    c->tight = arena_get(memory, n, sizeof *c->tight);
    c->safe = arena_get(memory, n, sizeof *c->safe);
    if (!c->waits || !c->choice || !c->ready || !c->tight || !c->safe || !generator_open(&c->g, m))
        return false;
    for (int b = 0; b < m->n_blocks && c->stuck < 0; b++) {
        if (m->block_first[b + 1] - m->block_first[b] < 2) continue;
        if (!try_orders(c, b)) c->stuck = c->g.stuck;
    }
    memcpy(c->safe, m->inner, n * sizeof *c->safe);
    return c->state != PLACE_NO_MEMORY;
}

void inner_close(inner_chooser *c) {
    generator_close(&c->g);
}

void inner_reset(inner_chooser *c) {
    memcpy(c->m->inner, c->safe, (size_t)c->m->n * sizeof *c->safe);
}

void inner_sample(inner_chooser *c, random_source *random) {
    const model *m = c->m;
    int left;
    for (int b = 0; b < m->n_blocks; b++) {
        int first = m->block_first[b], last = m->block_first[b + 1];
        if (!m->loose[b] || random_below(random, 2)) continue;
        find_tight(m, first, last, c->tight);
        for (int t = first; t < last; t++) c->choice[t] = random_below(random, last - first);
        follow(c, first, last, &left);
        if (!fits(c, b)) memcpy(m->inner + first, c->safe + first, (size_t)(last - first) * sizeof *c->safe);
    }
}

void inner_by_keys(model *m, int block, const int *key) {
    int first = m->block_first[block], last = m->block_first[block + 1];
    for (int at = first; at < last; at++) { /* insertion, never before one that it waits for */
        int to = at;
        for (; to > first && key[m->inner[to - 1]] > key[at]; to--) {
            bool waits = false;
            for (int a = m->before_first[at]; a < m->before_first[at + 1]; a++)
                waits |= m->before[a].task == m->inner[to - 1];
            if (waits) break;
            m->inner[to] = m->inner[to - 1];
        }
        m->inner[to] = at;
    }
}

void inner_like(inner_chooser *c, const int *start) {
    model *m = c->m;
    for (int t = 0; t < m->n; t++) c->choice[t] = start[m->task[t]];
    for (int b = 0; b < m->n_blocks; b++) {
        int first = m->block_first[b], last = m->block_first[b + 1];
        if (!m->loose[b]) continue;
        inner_by_keys(m, b, c->choice);
        if (!fits(c, b)) memcpy(m->inner + first, c->safe + first, (size_t)(last - first) * sizeof *c->safe);
    }
}
