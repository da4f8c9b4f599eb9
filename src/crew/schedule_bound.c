#include "crew/schedule_bound.h"

#include <stdlib.h>

typedef struct {
    int head, tail;
    long long work; /* left: need x steps */
} burden;

typedef struct {
    const model *m;
    int *head; /* with the windows */
    burden *list;
    int *heap;         /* of the list: those under way, the longest tail first */
    long long *before; /* of each window: window steps before it, and of all */
} bounding;

static size_t window_at(const model_calendar *c, int t) { /* the first that ends after t */
    size_t low = 0, high = c->n;
    while (low < high) {
        size_t middle = (low + high) / 2;
        if (c->windows[middle].to <= t)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

static int first_fit(const model_calendar *c, int t, int duration) {
    for (size_t w = window_at(c, t); w < c->n; w++) {
        int start = t > c->windows[w].from ? t : c->windows[w].from;
        if (start <= c->windows[w].to - duration) return start;
    }
    return t; /* the generators will tell that there is no room */
}

static void find_heads(bounding *b) {
    const model *m = b->m;
    for (int t = 0; t < m->n; t++) {
        int least = m->head[t];
        for (int a = m->before_first[t]; a < m->before_first[t + 1]; a++) {
            const model_arc *arc = &m->before[a];
            int end = b->head[arc->task] + m->duration[arc->task] + arc->min_lag;
            if (end > least) least = end;
        }
        b->head[t] = m->calendar[t] >= 0 && m->duration[t] > 0
                         ? first_fit(&m->calendars[m->calendar[t]], least, m->duration[t])
                         : least;
    }
}

/* ---- the machine: its clock counts steps within the windows ---- */

static long long clock_at(const bounding *b, const model_calendar *c, int t) {
    if (!c) return t;
    size_t w = window_at(c, t);
    return b->before[w] + (w < c->n && t > c->windows[w].from ? t - c->windows[w].from : 0);
}

/* The first moment at which the clock shows `count`, > 0. */
static long long moment_of(const bounding *b, const model_calendar *c, long long count) {
    if (!c) return count;
    size_t low = 0, high = c->n; /* the first window after which it shows as much */
    while (low < high) {
        size_t middle = (low + high) / 2;
        if (b->before[middle + 1] < count)
            low = middle + 1;
        else
            high = middle;
    }
    if (low == c->n) return c->windows[c->n - 1].to + (count - b->before[c->n]);
    return c->windows[low].from + (count - b->before[low]);
}

static int by_head(const void *a, const void *b) {
    const burden *x = a, *y = b;
    if (x->head != y->head) return x->head < y->head ? -1 : 1;
    return (x->tail < y->tail) - (x->tail > y->tail);
}

static void push(bounding *b, int n, int i) {
    int at = n;
    for (; at > 0 && b->list[b->heap[(at - 1) / 2]].tail < b->list[i].tail; at = (at - 1) / 2)
        b->heap[at] = b->heap[(at - 1) / 2];
    b->heap[at] = i;
}

static void pop(bounding *b, int n) {
    int last = b->heap[n - 1], at = 0;
    for (int child = 1; child < n - 1; child = 2 * at + 1) {
        if (child + 1 < n - 1 && b->list[b->heap[child + 1]].tail > b->list[b->heap[child]].tail) child++;
        if (b->list[b->heap[child]].tail <= b->list[last].tail) break;
        b->heap[at] = b->heap[child];
        at = child;
    }
    b->heap[at] = last;
}

/* In units of work: `capacity` of them a step. */
static long long energy(bounding *b, int n, int capacity, const model_calendar *c) {
    long long best = 0, now = 0;
    int next = 0, under_way = 0;
    qsort(b->list, (size_t)n, sizeof *b->list, by_head);
    while (next < n || under_way > 0) {
        long long come = next < n ? capacity * clock_at(b, c, b->list[next].head) : -1;
        if (next < n && (come <= now || under_way == 0)) {
            if (come > now) now = come;
            push(b, under_way++, next++);
            continue;
        }
        burden *top = &b->list[b->heap[0]];
        long long run = next < n && come - now < top->work ? come - now : top->work;
        now += run;
        top->work -= run;
        if (top->work > 0) continue;
        long long end = moment_of(b, c, (now + capacity - 1) / capacity) + top->tail;
        if (end > best) best = end;
        pop(b, under_way--);
    }
    return best;
}

static int amount(const uint64_t *words, int resource) {
    return (int)(words[resource / 4] >> (resource % 4 * 16) & 0x7fff);
}

static long long bound_resource(bounding *b, int resource) {
    const model *m = b->m;
    int n = 0, calendar = -2;
    for (int t = 0; t < m->n; t++) {
        int need = amount(m->need + t * m->words, resource);
        if (need == 0 || m->duration[t] == 0) continue;
        calendar = calendar == -2 || calendar == m->calendar[t] ? m->calendar[t] : -1;
        b->list[n++] = (burden){b->head[t], m->tail[t], (long long)need * m->duration[t]};
    }
    const model_calendar *c = calendar >= 0 ? &m->calendars[calendar] : NULL;
    for (size_t w = 0; c && w < c->n; w++)
        b->before[w + 1] = b->before[w] + c->windows[w].to - c->windows[w].from;
    return n > 0 ? energy(b, n, amount(m->full, resource), c) : 0;
}

long long schedule_bound(const model *m, arena *memory) {
    bounding b = {.m = m};
    size_t windows = 0, n = (size_t)m->n;
    for (int c = 0; c < m->n_calendars; c++)
        if (m->calendars[c].n > windows) windows = m->calendars[c].n;
    b.head = arena_get(memory, n, sizeof *b.head);
    b.list = arena_get(memory, n, sizeof *b.list);
    b.heap = arena_get(memory, n, sizeof *b.heap);
    b.before = arena_get(memory, windows + 1, sizeof *b.before);
    if (!b.head || !b.list || !b.heap || !b.before) return -1;
    find_heads(&b);
    long long best = 0;
    for (int t = 0; t < m->n; t++) {
        long long end = (long long)b.head[t] + m->duration[t] + m->tail[t];
        if (end > best) best = end;
    }
    for (int r = 0; r < 4 * m->words; r++) {
        long long bound = bound_resource(&b, r);
        if (bound > best) best = bound;
    }
    return best;
}
