#include "crew/schedule_model.h"
#include "crew/schedule_blocks.h"
#include "crew/schedule_check.h"

typedef struct {
    const schedule_problem *p;
    arena *memory;
    model *m;
    fault *why;
    int n;
    blocks b;
} making;

/* Tasks by block, within it by rank: two stable countings. */
static status number_tasks(making *k) {
    model *m = k->m;
    int *by_rank = arena_get(k->memory, (size_t)k->n, sizeof *by_rank);
    m->task = arena_get(k->memory, (size_t)k->n, sizeof *m->task);
    m->place = arena_get(k->memory, (size_t)k->n, sizeof *m->place);
    m->loose = arena_get(k->memory, (size_t)k->b.n_blocks, sizeof *m->loose);
    m->inner = arena_get(k->memory, (size_t)k->n, sizeof *m->inner);
    m->block_of = arena_get(k->memory, (size_t)k->n, sizeof *m->block_of);
    m->block_first = arena_get(k->memory, (size_t)k->b.n_blocks + 1, sizeof *m->block_first);
    int *filled = arena_get(k->memory, (size_t)k->b.n_blocks, sizeof *filled);
    if (!by_rank || !m->task || !m->place || !m->inner || !m->loose || !m->block_of || !m->block_first ||
        !filled)
        return fault_memory(k->why);
    m->n_blocks = k->b.n_blocks;
    m->blocked = k->b.n_blocks < k->n;
    for (int t = 0; t < k->n; t++) {
        by_rank[k->b.rank[t]] = t;
        m->block_first[k->b.block[t] + 1]++;
    }
    for (int b = 0; b < k->b.n_blocks; b++) m->block_first[b + 1] += m->block_first[b];
    for (int r = 0; r < k->n; r++) {
        int t = by_rank[r], at = m->block_first[k->b.block[t]] + filled[k->b.block[t]]++;
        m->task[at] = t;
        m->inner[at] = at;
        m->place[t] = at;
        m->block_of[at] = k->b.block[t];
    }
    return OK;
}

/* ---- numbers ---- */

static int divisor(int a, int b) {
    while (b) {
        int rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

static int find_step(const schedule_problem *p) {
    int g = 0;
    for (size_t i = 0; i < p->n_tasks; i++) {
        const schedule_task *t = &p->tasks[i];
        g = divisor(divisor(g, t->minutes), t->earliest);
        for (size_t a = 0; a < t->n_after; a++) {
            g = divisor(g, t->after[a].min_lag);
            if (t->after[a].max_lag > 0) g = divisor(g, t->after[a].max_lag);
        }
    }
    for (size_t c = 0; c < p->n_calendars; c++)
        for (size_t w = 0; w < p->calendars[c].n; w++)
            g = divisor(divisor(g, p->calendars[c].windows[w].from), p->calendars[c].windows[w].to);
    return g > 0 ? g : 1;
}

static status copy_calendars(making *k) {
    const schedule_problem *p = k->p;
    model *m = k->m;
    m->n_calendars = (int)p->n_calendars;
    m->calendars = arena_get(k->memory, p->n_calendars, sizeof *m->calendars);
    if (!m->calendars) return fault_memory(k->why);
    for (size_t c = 0; c < p->n_calendars; c++) {
        schedule_window *windows = arena_get(k->memory, p->calendars[c].n, sizeof *windows);
        if (!windows) return fault_memory(k->why);
        for (size_t w = 0; w < p->calendars[c].n; w++)
            windows[w] = (schedule_window){p->calendars[c].windows[w].from / m->step_minutes,
                                           p->calendars[c].windows[w].to / m->step_minutes};
        m->calendars[c] = (model_calendar){windows, p->calendars[c].n};
    }
    return OK;
}

static void pack(uint64_t *words, size_t resource, int amount) {
    words[resource / 4] |= (uint64_t)amount << (resource % 4 * 16);
}

static status copy_tasks(making *k) {
    const schedule_problem *p = k->p;
    model *m = k->m;
    size_t n = p->n_tasks;
    m->words = p->n_resources ? (int)((p->n_resources + 3) / 4) : 1;
    m->duration = arena_get(k->memory, n, sizeof(int));
    m->earliest = arena_get(k->memory, n, sizeof(int));
    m->calendar = arena_get(k->memory, n, sizeof(int));
    m->need = arena_get(k->memory, n * (size_t)m->words, sizeof *m->need);
    m->full = arena_get(k->memory, (size_t)m->words, sizeof *m->full);
    if (!m->duration || !m->earliest || !m->calendar || !m->need || !m->full) return fault_memory(k->why);
    for (int w = 0; w < m->words; w++) m->full[w] = SCHEDULE_GUARD;
    for (size_t r = 0; r < p->n_resources; r++) pack(m->full, r, p->resources[r].capacity);
    for (int at = 0; at < m->n; at++) {
        const schedule_task *t = &p->tasks[m->task[at]];
        m->duration[at] = t->minutes / m->step_minutes;
        m->earliest[at] = t->earliest / m->step_minutes;
        m->calendar[at] = t->calendar;
        m->windowed |= t->calendar != SCHEDULE_ALWAYS;
        for (size_t r = 0; r < p->n_resources; r++) pack(m->need + at * m->words, r, t->needs[r]);
    }
    return OK;
}

static status copy_arcs(making *k) {
    const schedule_problem *p = k->p;
    model *m = k->m;
    size_t arcs = 0, n = p->n_tasks;
    for (size_t i = 0; i < n; i++) arcs += p->tasks[i].n_after;
    m->before_first = arena_get(k->memory, n + 1, sizeof(int));
    m->behind_first = arena_get(k->memory, n + 1, sizeof(int));
    m->before = arena_get(k->memory, arcs, sizeof *m->before);
    m->behind = arena_get(k->memory, arcs, sizeof *m->behind);
    int *filled = arena_get(k->memory, n, sizeof(int));
    if (!m->before_first || !m->behind_first || !m->before || !m->behind || !filled)
        return fault_memory(k->why);
    for (int at = 0; at < m->n; at++) {
        const schedule_task *t = &p->tasks[m->task[at]];
        m->before_first[at + 1] = m->before_first[at] + (int)t->n_after;
        for (size_t a = 0; a < t->n_after; a++) m->behind_first[m->place[t->after[a].task] + 1]++;
    }
    for (int at = 0; at < m->n; at++) m->behind_first[at + 1] += m->behind_first[at];
    for (int at = 0; at < m->n; at++) {
        const schedule_task *t = &p->tasks[m->task[at]];
        for (size_t a = 0; a < t->n_after; a++) {
            int from = m->place[t->after[a].task], max = t->after[a].max_lag;
            int least = t->after[a].min_lag / m->step_minutes;
            int most = max == SCHEDULE_NO_LIMIT ? -1 : max / m->step_minutes;
            m->before[m->before_first[at] + (int)a] = (model_arc){from, least, most};
            m->behind[m->behind_first[from] + filled[from]++] = (model_arc){at, least, most};
        }
    }
    return OK;
}

/* ---- heads and tails ---- */

/* One round over a block: later tasks on by minimum lags, in their order; then earlier ones on by maximum lags, from the last
 * back. *tied: whose maximum lag moved something. */
static bool move_heads(const model *m, int first, int last, long long *head, int *tied, int *to) {
    bool moved = false;
    for (int at = first; at < last; at++)
        for (int a = m->before_first[at]; a < m->before_first[at + 1]; a++) {
            const model_arc *arc = &m->before[a];
            long long least = head[arc->task] + m->duration[arc->task] + arc->min_lag;
            if (least <= head[at]) continue;
            head[at] = least;
            moved = true;
        }
    for (int at = last - 1; at >= first; at--)
        for (int a = m->before_first[at]; a < m->before_first[at + 1]; a++) {
            const model_arc *arc = &m->before[a];
            long long least = head[at] - m->duration[arc->task] - arc->max_lag;
            if (arc->max_lag < 0 || least <= head[arc->task]) continue;
            head[arc->task] = least;
            moved = true;
            *tied = at;
            *to = arc->task;
        }
    return moved;
}

/* Earliest starts by the lags alone. More rounds than tasks: the lags of a block go round and grow (Bellman and Ford). */
static status find_heads(const making *k, long long *head) {
    const model *m = k->m;
    for (int b = 0; b < m->n_blocks; b++) {
        int first = m->block_first[b], last = m->block_first[b + 1], tied = first, to = first;
        for (int at = first; at < last; at++) head[at] = m->earliest[at];
        int rounds = 0;
        while (move_heads(m, first, last, head, &tied, &to))
            if (rounds++ > last - first)
                return fault_set(k->why, E_INPUT,
                                 "task %s: its maximum lag after %s cannot be met with the other lags",
                                 k->p->tasks[m->task[tied]].id, k->p->tasks[m->task[to]].id);
    }
    return OK;
}

static void find_tails(const model *m, long long *tail) {
    for (int at = m->n - 1; at >= 0; at--)
        for (int a = m->behind_first[at]; a < m->behind_first[at + 1]; a++) {
            const model_arc *arc = &m->behind[a];
            long long length = (long long)arc->min_lag + m->duration[arc->task] + tail[arc->task];
            if (length > tail[at]) tail[at] = length;
        }
}

/* Sums of many lags may be far beyond what an int holds: they are made wide, and told when no plan can be that long. */
static status find_ends(const making *k) {
    model *m = k->m;
    size_t n = (size_t)m->n;
    long long *head = arena_get(k->memory, n, sizeof *head), *tail = arena_get(k->memory, n, sizeof *tail);
    m->head = arena_get(k->memory, n, sizeof *m->head);
    m->tail = arena_get(k->memory, n, sizeof *m->tail);
    if (!head || !tail || !m->head || !m->tail) return fault_memory(k->why);
    status code = find_heads(k, head);
    if (code != OK) return code;
    find_tails(m, tail);
    for (int at = 0; at < m->n; at++) {
        if (head[at] + m->duration[at] + tail[at] > SCHEDULE_MOST_STEPS)
            return model_too_long(m, k->p, at, k->why);
        m->head[at] = (int)head[at];
        m->tail[at] = (int)tail[at];
    }
    return OK;
}

status model_too_long(const model *m, const schedule_problem *problem, int at, fault *why) {
    long long most = (long long)SCHEDULE_MOST_STEPS * m->step_minutes;
    return fault_set(why, E_INPUT,
                     "task %s: a plan with it lasts longer than %lld minutes, the most where all times are "
                     "multiples of %d",
                     problem->tasks[m->task[at]].id, most, m->step_minutes);
}

status model_make(const schedule_problem *problem, arena *memory, model **out, fault *why) {
    making k = {.p = problem, .memory = memory, .why = why};
    *out = NULL;
    status code = schedule_check(problem, memory, why);
    if (code == OK) code = blocks_find(problem, memory, &k.b, why);
    if (code != OK) return code;
    k.n = (int)problem->n_tasks;
    k.m = arena_get(memory, 1, sizeof *k.m);
    if (!k.m) return fault_memory(why);
    k.m->n = k.n;
    k.m->step_minutes = find_step(problem);
    code = number_tasks(&k);
    if (code == OK) code = copy_tasks(&k);
    if (code == OK) code = copy_arcs(&k);
    if (code == OK) code = copy_calendars(&k);
    if (code == OK) code = find_ends(&k);
    if (code == OK) *out = k.m;
    return code;
}
