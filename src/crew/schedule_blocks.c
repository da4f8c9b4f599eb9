#include "crew/schedule_blocks.h"

typedef struct {
    const schedule_problem *p;
    arena *memory;
    fault *why;
    int n, n_blocks;
    int *rank, *block;
} making;

/* A task of a ring, when those with waits are in one or behind one: back through them, so often that it must come round. */
static size_t find_ring(const schedule_problem *p, const int *waits) {
    size_t at = 0;
    while (waits[at] <= 0) at++;
    for (size_t step = 0; step < p->n_tasks; step++) {
        const schedule_task *t = &p->tasks[at];
        size_t a = 0;
        while (waits[t->after[a].task] <= 0) a++;
        at = t->after[a].task;
    }
    return at;
}

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
            next[first[from] + waits[from]++] = (int)i; /* counted here, then set anew */
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
    if (tail < k->n) {
        const char *id = p->tasks[find_ring(p, waits)].id;
        return fault_set(k->why, E_INPUT, "task %s: waits, through others, for itself", id);
    }
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

status blocks_find(const schedule_problem *problem, arena *memory, blocks *out, fault *why) {
    making k = {.p = problem, .memory = memory, .why = why, .n = (int)problem->n_tasks};
    status code = rank_tasks(&k);
    if (code == OK) code = find_blocks(&k);
    *out = (blocks){k.rank, k.block, k.n_blocks};
    return code;
}
