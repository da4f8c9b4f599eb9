#include "crew/schedule_model.h"

#include <string.h>

typedef struct {
    const schedule_problem *p;
    arena *memory;
    model *m;
    fault *why;
    int n;
    int *rank;  /* of a problem task in one topological order */
    int *block; /* of a problem task, any numbering */
    int n_blocks;
} making;

static const char *id_of(const making *k, size_t task) {
    return k->p->tasks[task].id ? k->p->tasks[task].id : "?";
}

/* ---- what may stand ---- */

static status check_lags(const making *k, size_t i) {
    const schedule_task *t = &k->p->tasks[i];
    for (size_t a = 0; a < t->n_after; a++) {
        const schedule_after *arc = &t->after[a];
        if (!(arc->task < k->p->n_tasks) || arc->task == i)
            return fault_set(k->why, E_INPUT, "task %s: waits for %s", id_of(k, i),
                             arc->task == i ? "itself" : "a task that is not there");
        if (arc->min_lag < 0 || arc->min_lag > SCHEDULE_MOST_MINUTES || arc->max_lag > SCHEDULE_MOST_MINUTES)
            return fault_set(
                k->why, E_INPUT, "task %s after %s: lags of %d and %d minutes; they must lie in 0 to %d",
                id_of(k, i), id_of(k, arc->task), arc->min_lag, arc->max_lag, (int)SCHEDULE_MOST_MINUTES);
        if (arc->max_lag != SCHEDULE_NO_LIMIT && arc->max_lag < arc->min_lag)
            return fault_set(k->why, E_INPUT, "task %s after %s: maximum lag %d is below the minimum lag %d",
                             id_of(k, i), id_of(k, arc->task), arc->max_lag, arc->min_lag);
    }
    return OK;
}

static status check_windows(const making *k, size_t i) {
    const schedule_task *t = &k->p->tasks[i];
    if (t->calendar == SCHEDULE_ALWAYS) return OK;
    if (t->calendar < 0 || (size_t)t->calendar >= k->p->n_calendars)
        return fault_set(k->why, E_INPUT, "task %s: calendar %d is not there", id_of(k, i), t->calendar);
    const schedule_calendar *c = &k->p->calendars[t->calendar];
    int longest = 0;
    for (size_t w = 0; w < c->n; w++) {
        int length = c->windows[w].to - c->windows[w].from;
        if (length > longest) longest = length;
    }
    if (t->minutes > longest)
        return fault_set(k->why, E_INPUT,
                         "task %s: %d minutes are longer than every shift (the longest has %d)", id_of(k, i),
                         t->minutes, longest);
    return OK;
}

static status check_task(const making *k, size_t i) {
    const schedule_task *t = &k->p->tasks[i];
    if (t->minutes < 0 || t->minutes > SCHEDULE_MOST_MINUTES)
        return fault_set(k->why, E_INPUT, "task %s: %d minutes; it must lie in 0 to %d", id_of(k, i),
                         t->minutes, (int)SCHEDULE_MOST_MINUTES);
    if (t->earliest < 0 || t->earliest > SCHEDULE_MOST_MINUTES)
        return fault_set(k->why, E_INPUT, "task %s: earliest start %d; it must lie in 0 to %d", id_of(k, i),
                         t->earliest, (int)SCHEDULE_MOST_MINUTES);
    for (size_t r = 0; r < k->p->n_resources; r++)
        if (t->needs[r] < 0 || t->needs[r] > k->p->resources[r].capacity)
            return fault_set(k->why, E_INPUT,
                             "task %s: needs %d of %s; it must lie in 0 to %d, what there is", id_of(k, i),
                             t->needs[r], k->p->resources[r].name, k->p->resources[r].capacity);
    status code = check_lags(k, i);
    return code == OK ? check_windows(k, i) : code;
}

static status check(const making *k) {
    const schedule_problem *p = k->p;
    if (p->n_tasks < 1 || p->n_tasks > SCHEDULE_MOST_TASKS)
        return fault_set(k->why, E_INPUT, "%zu tasks; there must be 1 to %d", p->n_tasks,
                         (int)SCHEDULE_MOST_TASKS);
    if (p->n_resources > SCHEDULE_MOST_RESOURCES)
        return fault_set(k->why, E_INPUT, "%zu resources; at most %d", p->n_resources,
                         (int)SCHEDULE_MOST_RESOURCES);
    for (size_t r = 0; r < p->n_resources; r++)
        if (p->resources[r].capacity < 0 || p->resources[r].capacity > SCHEDULE_MOST_CAPACITY)
            return fault_set(k->why, E_INPUT, "resource %s: capacity %d; it must lie in 0 to %d",
                             p->resources[r].name, p->resources[r].capacity, (int)SCHEDULE_MOST_CAPACITY);
    for (size_t c = 0; c < p->n_calendars; c++)
        for (size_t w = 0; w < p->calendars[c].n; w++) {
            const schedule_window *at = &p->calendars[c].windows[w];
            int least = w > 0 ? p->calendars[c].windows[w - 1].to : 0;
            if (at->from < least || at->to <= at->from || at->to > SCHEDULE_MOST_MINUTES)
                return fault_set(
                    k->why, E_INPUT,
                    "shift %zu: %d to %d minutes; shifts must rise, not overlap and lie in 0 to %d", w + 1,
                    at->from, at->to, (int)SCHEDULE_MOST_MINUTES);
        }
    status code = OK;
    for (size_t i = 0; code == OK && i < p->n_tasks; i++) code = check_task(k, i);
    return code;
}

/* ---- order ---- */

/* Kahn's order by what must come first. */
static status rank_tasks(making *k) {
    const schedule_problem *p = k->p;
    int *waits = arena_get(k->memory, p->n_tasks, sizeof *waits),
        *queue = arena_get(k->memory, p->n_tasks, sizeof *queue);
    int *first = arena_get(k->memory, p->n_tasks + 1, sizeof *first), *next;
    k->rank = arena_get(k->memory, p->n_tasks, sizeof *k->rank);
    size_t arcs = 0;
    for (size_t i = 0; i < p->n_tasks; i++) arcs += p->tasks[i].n_after;
    next = arena_get(k->memory, arcs + 1, sizeof *next);
    if (!waits || !queue || !first || !next || !k->rank) return fault_memory(k->why);
    for (size_t i = 0; i < p->n_tasks; i++)
        for (size_t a = 0; a < p->tasks[i].n_after; a++) first[p->tasks[i].after[a].task + 1]++;
    for (size_t i = 0; i < p->n_tasks; i++) first[i + 1] += first[i];
    for (size_t i = 0; i < p->n_tasks; i++)
        for (size_t a = 0; a < p->tasks[i].n_after; a++) {
            size_t from = p->tasks[i].after[a].task;
            next[first[from] + waits[from]++] =
                (int)i; /* waits counts what was written here, then is set anew */
        }
    int head = 0, tail = 0;
    for (size_t i = 0; i < p->n_tasks; i++) {
        waits[i] = (int)p->tasks[i].n_after;
        if (waits[i] == 0) queue[tail++] = (int)i;
    }
    while (head < tail) {
        int i = queue[head];
        k->rank[i] = head++;
        for (int a = first[i]; a < first[i + 1]; a++)
            if (--waits[next[a]] == 0) queue[tail++] = next[a];
    }
    for (size_t i = 0; tail < k->n && i < p->n_tasks; i++)
        if (waits[i] > 0)
            return fault_set(k->why, E_INPUT, "task %s: waits, through others, for itself", id_of(k, i));
    return OK;
}

/* Strongly connected sets when a maximum lag is an arc both ways: repeated spreading of the least mark forward and back
 * would be slow, so Tarjan's walk, with its own stack. */
typedef struct {
    int *index, *low, *stack, *walk, *at; /* walk: tasks under way; at: next neighbour of each */
    bool *on;
    int *first, *next; /* neighbours */
    int counter, top;
} walking;

static status list_neighbours(making *k, walking *w) {
    const schedule_problem *p = k->p;
    size_t arcs = 0;
    for (size_t i = 0; i < p->n_tasks; i++)
        for (size_t a = 0; a < p->tasks[i].n_after; a++)
            arcs += p->tasks[i].after[a].max_lag == SCHEDULE_NO_LIMIT ? 1 : 2;
    w->first = arena_get(k->memory, p->n_tasks + 1, sizeof *w->first);
    w->next = arena_get(k->memory, arcs + 1, sizeof *w->next);
    int *filled = arena_get(k->memory, p->n_tasks, sizeof *filled);
    if (!w->first || !w->next || !filled) return fault_memory(k->why);
    for (int pass = 0; pass < 2; pass++) {
        for (size_t i = 0; i < p->n_tasks; i++)
            for (size_t a = 0; a < p->tasks[i].n_after; a++) {
                const schedule_after *arc = &p->tasks[i].after[a];
                bool both = arc->max_lag != SCHEDULE_NO_LIMIT;
                if (pass == 0) {
                    w->first[arc->task + 1]++;
                    w->first[i + 1] += both;
                } else {
                    w->next[w->first[arc->task] + filled[arc->task]++] = (int)i;
                    if (both) w->next[w->first[i] + filled[i]++] = (int)arc->task;
                }
            }
        for (size_t i = 0; pass == 0 && i < p->n_tasks; i++) w->first[i + 1] += w->first[i];
    }
    return OK;
}

static void close_block(making *k, walking *w, int root) {
    int t;
    do {
        t = w->stack[--w->top];
        w->on[t] = false;
        k->block[t] = k->n_blocks;
    } while (t != root);
    k->n_blocks++;
}

static void enter(walking *w, int t) {
    w->index[t] = w->low[t] = ++w->counter;
    w->stack[w->top++] = t;
    w->on[t] = true;
    w->at[t] = w->first[t];
}

static void walk_from(making *k, walking *w, int root) {
    int depth = 0;
    w->walk[depth++] = root;
    enter(w, root);
    while (depth > 0) {
        int t = w->walk[depth - 1];
        if (w->at[t] < w->first[t + 1]) {
            int to = w->next[w->at[t]++];
            if (w->index[to] == 0) {
                enter(w, to);
                w->walk[depth++] = to;
            } else if (w->on[to] && w->index[to] < w->low[t]) {
                w->low[t] = w->index[to];
            }
            continue;
        }
        if (w->low[t] == w->index[t]) close_block(k, w, t);
        depth--;
        if (depth > 0 && w->low[t] < w->low[w->walk[depth - 1]]) w->low[w->walk[depth - 1]] = w->low[t];
    }
}

static status find_blocks(making *k) {
    walking w = {0};
    size_t n = k->p->n_tasks;
    w.index = arena_get(k->memory, n, sizeof(int));
    w.low = arena_get(k->memory, n, sizeof(int));
    w.stack = arena_get(k->memory, n, sizeof(int));
    w.walk = arena_get(k->memory, n, sizeof(int));
    w.at = arena_get(k->memory, n, sizeof(int));
    w.on = arena_get(k->memory, n, sizeof(bool));
    k->block = arena_get(k->memory, n, sizeof(int));
    if (!w.index || !w.low || !w.stack || !w.walk || !w.at || !w.on || !k->block) return fault_memory(k->why);
    status code = list_neighbours(k, &w);
    for (int t = 0; code == OK && t < k->n; t++)
        if (w.index[t] == 0) walk_from(k, &w, t);
    /* Tarjan closes a block after all that follow it: turned round, the numbers are topological. */
    for (int t = 0; code == OK && t < k->n; t++) k->block[t] = k->n_blocks - 1 - k->block[t];
    return code;
}

/* Tasks by block, within it by rank: two stable countings. */
static status number_tasks(making *k) {
    model *m = k->m;
    int *by_rank = arena_get(k->memory, (size_t)k->n, sizeof *by_rank);
    m->task = arena_get(k->memory, (size_t)k->n, sizeof *m->task);
    m->place = arena_get(k->memory, (size_t)k->n, sizeof *m->place);
    m->block_of = arena_get(k->memory, (size_t)k->n, sizeof *m->block_of);
    m->block_first = arena_get(k->memory, (size_t)k->n_blocks + 1, sizeof *m->block_first);
    int *filled = arena_get(k->memory, (size_t)k->n_blocks, sizeof *filled);
    if (!by_rank || !m->task || !m->place || !m->block_of || !m->block_first || !filled)
        return fault_memory(k->why);
    m->n_blocks = k->n_blocks;
    m->blocked = k->n_blocks < k->n;
    for (int t = 0; t < k->n; t++) {
        by_rank[k->rank[t]] = t;
        m->block_first[k->block[t] + 1]++;
    }
    for (int b = 0; b < k->n_blocks; b++) m->block_first[b + 1] += m->block_first[b];
    for (int r = 0; r < k->n; r++) {
        int t = by_rank[r], at = m->block_first[k->block[t]] + filled[k->block[t]]++;
        m->task[at] = t;
        m->place[t] = at;
        m->block_of[at] = k->block[t];
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

/* Earliest starts; within a block a maximum lag moves the earlier task later, until nothing moves. */
static status find_heads(making *k) {
    model *m = k->m;
    m->head = arena_get(k->memory, (size_t)m->n, sizeof(int));
    m->tail = arena_get(k->memory, (size_t)m->n, sizeof(int));
    if (!m->head || !m->tail) return fault_memory(k->why);
    for (int b = 0; b < m->n_blocks; b++) {
        int first = m->block_first[b], last = m->block_first[b + 1];
        for (int at = first; at < last; at++) m->head[at] = m->earliest[at];
        bool moved = true;
        for (int round = 0; moved; round++) {
            moved = false;
            for (int at = first; at < last; at++)
                for (int a = m->before_first[at]; a < m->before_first[at + 1]; a++) {
                    const model_arc *arc = &m->before[a];
                    int end = m->head[arc->task] + m->duration[arc->task];
                    if (end + arc->min_lag > m->head[at]) {
                        m->head[at] = end + arc->min_lag;
                        moved = true;
                    }
                    if (arc->max_lag >= 0 && m->head[at] > end + arc->max_lag) {
                        m->head[arc->task] += m->head[at] - end - arc->max_lag;
                        moved = true;
                    }
                }
            if (moved && round > last - first)
                return fault_set(k->why, E_INPUT,
                                 "task %s: its maximum lags cannot be met with the other lags",
                                 id_of(k, (size_t)m->task[last - 1]));
        }
    }
    for (int at = m->n - 1; at >= 0; at--)
        for (int a = m->behind_first[at]; a < m->behind_first[at + 1]; a++) {
            const model_arc *arc = &m->behind[a];
            int length = arc->min_lag + m->duration[arc->task] + m->tail[arc->task];
            if (length > m->tail[at]) m->tail[at] = length;
        }
    return OK;
}

status model_make(const schedule_problem *problem, arena *memory, model **out, fault *why) {
    making k = {.p = problem, .memory = memory, .why = why};
    *out = NULL;
    status code = check(&k);
    if (code != OK) return code;
    k.n = (int)problem->n_tasks;
    k.m = arena_get(memory, 1, sizeof *k.m);
    if (!k.m) return fault_memory(why);
    k.m->n = k.n;
    k.m->step_minutes = find_step(problem);
    code = rank_tasks(&k);
    if (code == OK) code = find_blocks(&k);
    if (code == OK) code = number_tasks(&k);
    if (code == OK) code = copy_tasks(&k);
    if (code == OK) code = copy_arcs(&k);
    if (code == OK) code = copy_calendars(&k);
    if (code == OK) code = find_heads(&k);
    if (code == OK) *out = k.m;
    return code;
}

/* ---- mirrored ---- */

/* Task `at` becomes task n - 1 - at, so that the order stays topological. */
model *model_mirror(const model *m, arena *memory) {
    model *r = arena_get(memory, 1, sizeof *r);
    size_t n = (size_t)m->n, arcs = (size_t)m->before_first[m->n];
    if (!r) return NULL;
    *r = *m;
    r->duration = arena_get(memory, n, sizeof(int));
    r->earliest = arena_get(
        memory, n, sizeof(int)); /* zero: an earliest start becomes a latest end, which guides only */
    r->calendar = arena_get(memory, n, sizeof(int));
    r->need = arena_get(memory, n * (size_t)m->words, sizeof *r->need);
    r->before_first = arena_get(memory, n + 1, sizeof(int));
    r->behind_first = arena_get(memory, n + 1, sizeof(int));
    r->before = arena_get(memory, arcs, sizeof *r->before);
    r->behind = arena_get(memory, arcs, sizeof *r->behind);
    r->block_of = arena_get(memory, n, sizeof(int));
    r->block_first = arena_get(memory, (size_t)m->n_blocks + 1, sizeof(int));
    r->calendars = arena_get(memory, (size_t)m->n_calendars, sizeof *r->calendars);
    if (!r->duration || !r->earliest || !r->calendar || !r->need || !r->before_first || !r->behind_first ||
        !r->before || !r->behind || !r->block_of || !r->block_first || !r->calendars)
        return NULL;
    for (int c = 0; c < m->n_calendars; c++) {
        r->calendars[c].windows = arena_get(memory, m->calendars[c].n, sizeof(schedule_window));
        if (!r->calendars[c].windows) return NULL;
    }
    for (int at = 0, b = 0, e = 0; at < m->n; at++) {
        int of = m->n - 1 - at;
        r->duration[at] = m->duration[of];
        r->calendar[at] = m->calendar[of];
        memcpy(r->need + at * m->words, m->need + of * m->words, (size_t)m->words * sizeof *r->need);
        for (int a = m->behind_first[of]; a < m->behind_first[of + 1]; a++, b++)
            r->before[b] =
                (model_arc){m->n - 1 - m->behind[a].task, m->behind[a].min_lag, m->behind[a].max_lag};
        for (int a = m->before_first[of]; a < m->before_first[of + 1]; a++, e++)
            r->behind[e] =
                (model_arc){m->n - 1 - m->before[a].task, m->before[a].min_lag, m->before[a].max_lag};
        r->before_first[at + 1] = b;
        r->behind_first[at + 1] = e;
        r->block_of[at] = m->n_blocks - 1 - m->block_of[of];
    }
    for (int b = 0; b <= m->n_blocks; b++) r->block_first[b] = m->n - m->block_first[m->n_blocks - b];
    r->head = r->tail = r->task = r->place = NULL; /* read of the forward model only */
    return r;
}

void model_mirror_at(const model *m, int end, model *mirrored) {
    for (int c = 0; c < m->n_calendars; c++) {
        const model_calendar *from = &m->calendars[c];
        schedule_window *to = mirrored->calendars[c].windows;
        size_t n = 0;
        for (size_t w = from->n; w-- > 0;)
            if (from->windows[w].from < end)
                to[n++] = (schedule_window){from->windows[w].to < end ? end - from->windows[w].to : 0,
                                            end - from->windows[w].from};
        mirrored->calendars[c].n = n;
    }
}
