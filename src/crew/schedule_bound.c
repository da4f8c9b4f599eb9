#include "crew/schedule_bound.h"

#include <stdlib.h>

typedef struct {
    int head, tail, work; /* work: need x steps */
} burden;

typedef struct {
    const model *m;
    int *head; /* with the windows */
    burden *list;
    int *by_tail;
} bounding;

static int first_fit(const model_calendar *c, int t, int duration) {
    for (size_t w = 0; w < c->n; w++) {
        int start = t > c->windows[w].from ? t : c->windows[w].from;
        if (start <= c->windows[w].to - duration) return start;
    }
    return t; /* the generators will tell that there is no room */
}

/* When `steps` of window time have passed since `from`; without calendar just so many steps later. */
static int passed(const model_calendar *c, int from, int steps) {
    if (!c) return from + steps;
    int end = from;
    for (size_t w = 0; w < c->n && steps > 0; w++) {
        int begin = from > c->windows[w].from ? from : c->windows[w].from;
        int length = c->windows[w].to - begin;
        if (length <= 0) continue;
        int part = length < steps ? length : steps;
        end = begin + part;
        steps -= part;
    }
    return end + steps;
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
        b->head[t] =
            m->calendar[t] >= 0 ? first_fit(&m->calendars[m->calendar[t]], least, m->duration[t]) : least;
    }
}

static int later_head(const void *a, const void *b) {
    const burden *x = a, *y = b;
    return (x->head < y->head) - (x->head > y->head);
}

/* One resource: all its users run within `calendar` (NULL: at any time). For each least head, with tails from the longest
 * down: work among tasks of at least that head and that tail. */
static int energy(bounding *b, int n, int capacity, const model_calendar *calendar) {
    int best = 0;
    qsort(b->list, (size_t)n, sizeof *b->list, later_head);
    for (int i = 0; i < n;
         i++) { /* all of 0..i have head >= list[i].head; kept in by_tail from the longest tail down */
        int at = i;
        for (; at > 0 && b->list[b->by_tail[at - 1]].tail < b->list[i].tail; at--)
            b->by_tail[at] = b->by_tail[at - 1];
        b->by_tail[at] = i;
        if (i + 1 < n && b->list[i + 1].head == b->list[i].head) continue;
        long long work = 0;
        for (int k = 0; k <= i; k++) {
            work += b->list[b->by_tail[k]].work;
            long long steps = (work + capacity - 1) / capacity;
            if (steps > SCHEDULE_MOST_STEPS) break;
            int end = passed(calendar, b->list[i].head, (int)steps) + b->list[b->by_tail[k]].tail;
            if (end > best) best = end;
        }
    }
    return best;
}

static int amount(const uint64_t *words, int resource) {
    return (int)(words[resource / 4] >> (resource % 4 * 16) & 0x7fff);
}

static int bound_resource(bounding *b, int resource) {
    const model *m = b->m;
    int n = 0, calendar = -2;
    for (int t = 0; t < m->n; t++) {
        int need = amount(m->need + t * m->words, resource);
        if (need == 0 || m->duration[t] == 0) continue;
        calendar = calendar == -2 || calendar == m->calendar[t] ? m->calendar[t] : -1;
        b->list[n++] = (burden){b->head[t], m->tail[t], need * m->duration[t]};
    }
    if (n == 0) return 0;
    return energy(b, n, amount(m->full, resource), calendar >= 0 ? &m->calendars[calendar] : NULL);
}

int schedule_bound(const model *m, arena *memory) {
    bounding b = {.m = m};
    b.head = arena_get(memory, (size_t)m->n, sizeof *b.head);
    b.list = arena_get(memory, (size_t)m->n, sizeof *b.list);
    b.by_tail = arena_get(memory, (size_t)m->n, sizeof *b.by_tail);
    if (!b.head || !b.list || !b.by_tail) return -1;
    find_heads(&b);
    int best = 0;
    for (int t = 0; t < m->n; t++) {
        int end = b.head[t] + m->duration[t] + m->tail[t];
        if (end > best) best = end;
    }
    for (int r = 0; r < 4 * m->words; r++) {
        int bound = bound_resource(&b, r);
        if (bound > best) best = bound;
    }
    return best;
}
