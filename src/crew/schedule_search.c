#include "crew/schedule_bound.h"
#include "crew/schedule_order.h"
#include "crew/schedule_place.h"

#include <string.h>

/* Found on the PSPLIB sets J30 and J60 (bench/schedule_bench.c). */
enum {
    PEOPLE_MOST = 60,
    PEOPLE_LEAST = 4,
    SCHEDULES_EACH = 80,  /* fewer people where fewer schedules are allowed */
    ROUNDS_WITHOUT = 30,  /* rounds without a better plan: begin anew with others */
    CHANGES_OF_TWINS = 3, /* keys moved in a child of two parents that are the same */
    BLOCKS_A_CHANGE = 100 /* in a child of others: one key, and one more for every so many blocks */
};
static const double WINDOW_LEAST = 0.1,
                    WINDOW_MORE = 0.7; /* of the plan's length: what comes from the mother */
static const double MOVED = 0.4;       /* a key moves by at most this part of it */
static const int NOT_PLACED = INT32_MAX;

/* One plan of a population: when its blocks come, seen from the other direction, and how long it takes. */
typedef struct {
    int *key; /* makespan less the end of the block: an order for the other direction */
    int makespan;
} person;

/* One direction: its model, its generator and its population. */
typedef struct {
    const model *m;
    generator g;
    person *people, child;
} side;

typedef struct {
    const model *m;
    const schedule_options *options;
    arena *memory;
    fault *why;
    order_maker maker;
    random_source random;
    model *mirrored;
    side left, right; /* left: as early as can be; right: mirrored */
    int n_people;
    int *order, *best; /* best: starts of the model's tasks */
    int best_makespan, bound, stuck;
    long made;
    bool no_memory;
} searching;

static bool over(const searching *s) {
    return s->no_memory || s->made >= s->options->schedules || s->best_makespan <= s->bound ||
           (s->options->stop && atomic_load_explicit(s->options->stop, memory_order_relaxed));
}

/* One pass over s->order; a forward one that is the best so far is kept. False when there is no room. */
static bool pass(searching *s, side *to, bool parallel) {
    place_state state = parallel ? generator_parallel(&to->g, s->order) : generator_serial(&to->g, s->order);
    s->made++;
    if (state == PLACE_NO_MEMORY) s->no_memory = true;
    if (state == PLACE_NO_ROOM && to == &s->left) s->stuck = to->g.stuck;
    if (state != PLACED) return false;
    if (to == &s->left && to->g.makespan < s->best_makespan) {
        s->best_makespan = to->g.makespan;
        memcpy(s->best, to->g.start, (size_t)s->m->n * sizeof *s->best);
    }
    return true;
}

/* Block b of one direction is block n - 1 - b of the other. */
static void describe(const generator *g, person *to) {
    const model *m = g->m;
    to->makespan = g->makespan;
    for (int b = 0; b < m->n_blocks; b++) {
        int end = 0;
        for (int t = m->block_first[b]; t < m->block_first[b + 1]; t++)
            if (g->start[t] + m->duration[t] > end) end = g->start[t] + m->duration[t];
        to->key[m->n_blocks - 1 - b] = g->makespan - end;
    }
}

static bool is_twin(const searching *s, const person *a, const person *b) {
    return a->makespan == b->makespan && memcmp(a->key, b->key, (size_t)s->m->n_blocks * sizeof *a->key) == 0;
}

static const person *choose(searching *s, const person *people) {
    const person *a = &people[random_below(&s->random, s->n_people)],
                 *b = &people[random_below(&s->random, s->n_people)];
    return a->makespan <= b->makespan ? a : b;
}

/* Keys of a child: before and behind a window of time those of the father, within it those of the mother; a few moved. */
static void cross(searching *s, const person *father, const person *mother) {
    int n = s->m->n_blocks, span = father->makespan > 4 ? father->makespan : 4;
    int length = (int)(span * WINDOW_LEAST) + random_below(&s->random, (int)(span * WINDOW_MORE) + 1);
    int from = random_below(&s->random, span - length + 1);
    int changes = is_twin(s, father, mother) ? CHANGES_OF_TWINS : 1 + n / BLOCKS_A_CHANGE;
    for (int b = 0; b < n; b++) {
        int key = father->key[b], part = key < from ? 0 : key <= from + length ? 1 : 2;
        order_key(&s->maker, b, part, part == 1 ? mother->key[b] : key);
    }
    for (int i = 0; i < changes; i++) {
        int b = random_below(&s->random, n), key = father->key[b];
        if (key >= from && key <= from + length) key = mother->key[b];
        key += (int)((2 * random_unit(&s->random) - 1) * MOVED * span);
        key = key < 0 ? 0 : key > SCHEDULE_MOST_STEPS ? SCHEDULE_MOST_STEPS : key;
        order_key(&s->maker, b, key < from ? 0 : key <= from + length ? 1 : 2, key);
    }
}

/* A child takes its place when it is no longer than who stands there and no twin of anybody. */
static void settle(const searching *s, side *to, int place) {
    if (to->g.makespan > to->people[place].makespan) return;
    describe(&to->g, &to->child);
    for (int i = 0; i < s->n_people; i++)
        if (is_twin(s, &to->people[i], &to->child)) return;
    person old = to->people[place];
    to->people[place] = to->child;
    to->child = old;
}

static void breed(searching *s, const side *from, side *to) {
    for (int i = 0; i < s->n_people && !over(s); i++) {
        const person *father = &from->people[i], *mother = choose(s, from->people);
        if (father->makespan == NOT_PLACED) continue;
        cross(s, father, mother->makespan == NOT_PLACED ? father : mother);
        order_make(&s->maker, to->m, s->order);
        if (to == &s->right) model_mirror_at(s->m, father->makespan, s->mirrored);
        if (pass(s, to, false)) settle(s, to, i);
    }
}

/* New people; the first of all like an earlier plan where there is one, the second by the parallel scheme. */
static void begin(searching *s, bool first) {
    for (int i = 0; i < s->n_people; i++)
        s->left.people[i].makespan = s->right.people[i].makespan = NOT_PLACED;
    for (int i = 0; i < s->n_people && !over(s); i++) {
        if (i == 0 && first && s->options->like)
            order_like(&s->maker, s->m, s->options->like, s->order);
        else
            order_sample(&s->maker, s->m, &s->random, true, s->order);
        if (pass(s, &s->left, i == 1)) describe(&s->left.g, &s->left.people[i]);
    }
}

static int shortest(const searching *s) {
    int least = NOT_PLACED;
    for (int i = 0; i < s->n_people; i++)
        if (s->left.people[i].makespan < least) least = s->left.people[i].makespan;
    return least;
}

static void search(searching *s) {
    for (bool first = true; !over(s); first = false) {
        begin(s, first);
        int best = shortest(s);
        if (best == NOT_PLACED) return;
        for (int without = 0; without < ROUNDS_WITHOUT && !over(s); without++) {
            breed(s, &s->left, &s->right);
            breed(s, &s->right, &s->left);
            if (shortest(s) >= best) continue;
            best = shortest(s);
            without = 0;
        }
    }
}

static void sample(searching *s) {
    while (!over(s)) {
        order_sample(&s->maker, s->m, &s->random, s->options->way == SCHEDULE_SAMPLE_LATEST, s->order);
        pass(s, &s->left, false);
    }
}

/* ---- room and result ---- */

static bool open_side(searching *s, side *to, const model *m) {
    size_t blocks = (size_t)m->n_blocks;
    to->m = m;
    to->people = arena_get(s->memory, (size_t)s->n_people, sizeof *to->people);
    to->child.key = arena_get(s->memory, blocks, sizeof *to->child.key);
    if (!to->people || !to->child.key) return false;
    for (int i = 0; i < s->n_people; i++) {
        to->people[i].key = arena_get(s->memory, blocks, sizeof *to->people[i].key);
        if (!to->people[i].key) return false;
    }
    return generator_open(&to->g, m);
}

static status open_all(searching *s) {
    const model *m = s->m;
    long people = s->options->schedules / SCHEDULES_EACH;
    s->n_people = people > PEOPLE_MOST ? PEOPLE_MOST : people < PEOPLE_LEAST ? PEOPLE_LEAST : (int)people;
    s->mirrored = model_mirror(m, s->memory);
    s->order = arena_get(s->memory, (size_t)m->n_blocks, sizeof *s->order);
    s->best = arena_get(s->memory, (size_t)m->n, sizeof *s->best);
    s->bound = schedule_bound(m, s->memory);
    bool good = s->mirrored && s->order && s->best && s->bound >= 0 && order_open(&s->maker, m, s->memory);
    return good && open_side(s, &s->left, m) && open_side(s, &s->right, s->mirrored) ? OK
                                                                                     : fault_memory(s->why);
}

static status tell_best(searching *s, const schedule_problem *problem, schedule_result *out) {
    const model *m = s->m;
    if (s->best_makespan == NOT_PLACED) {
        const schedule_task *t = &problem->tasks[m->task[s->stuck]];
        return fault_set(s->why, E_INPUT,
                         "task %s: no shift is left for it; the shifts end too early, or its lags fit none",
                         t->id);
    }
    out->start = arena_get(s->memory, (size_t)m->n, sizeof *out->start);
    if (!out->start) return fault_memory(s->why);
    for (int t = 0; t < m->n; t++) out->start[m->task[t]] = s->best[t] * m->step_minutes;
    out->makespan = s->best_makespan * m->step_minutes;
    out->lower_bound = s->bound * m->step_minutes;
    out->schedules = s->made;
    return OK;
}

status schedule_solve(const schedule_problem *problem, const schedule_options *options, arena *memory,
                      schedule_result *out, fault *why) {
    searching s = {.options = options,
                   .memory = memory,
                   .why = why,
                   .random = {options->seed},
                   .best_makespan = NOT_PLACED};
    model *m;
    *out = (schedule_result){0};
    status code = model_make(problem, memory, &m, why);
    if (code != OK) return code;
    s.m = m;
    code = open_all(&s);
    if (code == OK) {
        if (options->way == SCHEDULE_SEARCH)
            search(&s);
        else
            sample(&s);
        code = s.no_memory ? fault_memory(why) : tell_best(&s, problem, out);
    }
    generator_close(&s.left.g);
    generator_close(&s.right.g);
    return code;
}
