#include "crew/schedule_bound.h"
#include "crew/schedule_inner.h"
#include "crew/schedule_order.h"
#include "crew/schedule_place.h"

#include <string.h>

/* Found on the PSPLIB sets J30 and J60 (bench/schedule_bench.c). */
enum {
    PEOPLE_MOST = 60,
    PEOPLE_LEAST = 4,
    SCHEDULES_EACH = 80,   /* fewer people where fewer schedules are allowed */
    ROUNDS_WITHOUT = 30,   /* rounds without a better plan: begin anew with others */
    TRIES_FOR_ANY = 500,   /* passes without any plan: there is none; our default */
    PARALLEL_MOST = 10000, /* blocks: the parallel scheme looks at all that wait, again and again */
    CHANGES_OF_TWINS = 3,  /* keys moved in a child of two parents that are the same */
    BLOCKS_A_CHANGE = 100  /* in a child of others: one key, and one more for every so many blocks */
};
static const double WINDOW_LEAST = 0.1,
                    WINDOW_MORE = 0.7; /* of the plan's length: what comes from the mother */
static const double MOVED = 0.4;       /* a key moves by at most this part of it */
static const int NOT_PLACED = INT32_MAX;

/* One plan of a population: when its blocks come, seen from the other direction, and how long it takes. */
typedef struct {
    int *key; /* of each task, makespan less its end: an order for the other direction */
    int makespan;
} person;

/* One direction: its model, its generator and its population. */
typedef struct {
    model *m;
    generator g;
    inner_chooser inner;
    person *people, child;
} side;

typedef struct {
    const model *m;
    const schedule_options *options;
    arena *memory;
    fault *why;
    order_maker maker;
    random_source random;
    side left, right; /* left: as early as can be; right: mirrored */
    int n_people;
    int *order, *best; /* best: starts of the model's tasks */
    int best_makespan, bound, stuck;
    place_state state; /* of the last forward pass that failed */
    long made;
    bool no_memory;
} searching;

static bool over(const searching *s) {
    if (s->made == 0) return false; /* whoever stops is given a plan */
    return s->no_memory || s->made >= s->options->schedules || s->best_makespan <= s->bound ||
           (s->options->stop && atomic_load_explicit(s->options->stop, memory_order_relaxed));
}

/* One pass over s->order; a forward one that is the best so far is kept. False when there is no room. */
static bool pass(searching *s, side *to, bool parallel) {
    place_state state = parallel ? generator_parallel(&to->g, s->order) : generator_serial(&to->g, s->order);
    s->made++;
    if (state == PLACE_NO_MEMORY) s->no_memory = true;
    if (state != PLACED && to == &s->left) {
        s->stuck = to->g.stuck;
        s->state = state;
    }
    if (state != PLACED) return false;
    if (to == &s->left && to->g.makespan < s->best_makespan) {
        s->best_makespan = to->g.makespan;
        memcpy(s->best, to->g.start, (size_t)s->m->n * sizeof *s->best);
    }
    return true;
}

/* Task t of one direction is task n - 1 - t of the other. */
static void describe(const generator *g, person *to) {
    const model *m = g->m;
    to->makespan = g->makespan;
    for (int t = 0; t < m->n; t++) to->key[m->n - 1 - t] = g->makespan - g->start[t] - m->duration[t];
}

static bool is_twin(const searching *s, const person *a, const person *b) {
    return a->makespan == b->makespan && memcmp(a->key, b->key, (size_t)s->m->n * sizeof *a->key) == 0;
}

static const person *choose(searching *s, const person *people) {
    const person *a = &people[random_below(&s->random, s->n_people)],
                 *b = &people[random_below(&s->random, s->n_people)];
    return a->makespan <= b->makespan ? a : b;
}

static int block_key(const model *m, const person *of, int block) {
    int least = INT32_MAX;
    for (int t = m->block_first[block]; t < m->block_first[block + 1]; t++)
        if (of->key[t] < least) least = of->key[t];
    return least;
}

/* Keys of a child: before and behind a window of time those of the father, within it those of the mother; a few moved. `m` is
 * the model of the child. */
static void cross(searching *s, model *m, const person *father, const person *mother) {
    int n = m->n_blocks, span = father->makespan > 4 ? father->makespan : 4;
    int length = (int)(span * WINDOW_LEAST) + random_below(&s->random, (int)(span * WINDOW_MORE) + 1);
    int from = random_below(&s->random, span - length + 1);
    int changes = is_twin(s, father, mother) ? CHANGES_OF_TWINS : 1 + n / BLOCKS_A_CHANGE;
    for (int b = 0; b < n; b++) {
        int key = block_key(m, father, b), part = key < from ? 0 : key <= from + length ? 1 : 2;
        order_key(&s->maker, b, part, part == 1 ? block_key(m, mother, b) : key);
        if (m->loose[b]) inner_by_keys(m, b, part == 1 ? mother->key : father->key);
    }
    for (int i = 0; i < changes; i++) {
        int b = random_below(&s->random, n), key = block_key(m, father, b);
        if (key >= from && key <= from + length) key = block_key(m, mother, b);
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
        cross(s, to->m, father, mother->makespan == NOT_PLACED ? father : mother);
        order_make(&s->maker, to->m, s->order);
        if (to == &s->right) model_mirror_at(s->m, father->makespan, to->m);
        if (pass(s, to, false)) settle(s, to, i);
    }
}

/* New people; the first of all like an earlier plan where there is one, the second by the parallel scheme. */
static void begin(searching *s, bool first) {
    for (int i = 0; i < s->n_people; i++)
        s->left.people[i].makespan = s->right.people[i].makespan = NOT_PLACED;
    for (int i = 0; i < s->n_people && !over(s); i++) {
        inner_reset(&s->left.inner);
        if (i == 0 && first && s->options->like) {
            order_like(&s->maker, s->m, s->options->like, s->order);
            inner_like(&s->left.inner, s->options->like);
        } else {
            order_sample(&s->maker, s->m, &s->random, true, s->order);
            if (i > 1) inner_sample(&s->left.inner, &s->random);
        }
        if (pass(s, &s->left, i == 1 && s->m->n_blocks <= PARALLEL_MOST))
            describe(&s->left.g, &s->left.people[i]);
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
        if (best == NOT_PLACED && s->made >= TRIES_FOR_ANY) return;
        if (best == NOT_PLACED) continue;
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
    while (!over(s) && (s->best_makespan != NOT_PLACED || s->made < TRIES_FOR_ANY)) {
        order_sample(&s->maker, s->m, &s->random, s->options->way == SCHEDULE_SAMPLE_LATEST, s->order);
        if (s->made > 0) inner_sample(&s->left.inner, &s->random);
        pass(s, &s->left, false);
    }
}

/* ---- room and result ---- */

static bool open_side(searching *s, side *to) {
    size_t n = (size_t)s->m->n;
    to->people = arena_get(s->memory, (size_t)s->n_people, sizeof *to->people);
    to->child.key = arena_get(s->memory, n, sizeof *to->child.key);
    if (!to->people || !to->child.key) return false;
    for (int i = 0; i < s->n_people; i++) {
        to->people[i].key = arena_get(s->memory, n, sizeof *to->people[i].key);
        if (!to->people[i].key) return false;
    }
    return generator_open(&to->g, to->m);
}

/* The sentence for a block that fits nowhere, whatever else is planned. */
static status refuse_block(const searching *s, const schedule_problem *problem, const inner_chooser *found) {
    const char *id = problem->tasks[s->m->task[found->stuck]].id;
    if (found->state == PLACE_TOO_LONG) return model_too_long(s->m, problem, found->stuck, s->why);
    return fault_set(
        s->why, E_INPUT,
        found->all ? "task %s: the maximum lags that tie it to other tasks cannot be met%s"
                   : "task %s: no way was found to meet the maximum lags that tie it to other tasks%s",
        id, s->m->windowed ? " within the shifts and with what there is" : " with what there is");
}

/* The mirrored windows are turned round the last of all for this; a block stuck there is only not planned backward. */
static status choose_inner(searching *s, const schedule_problem *problem) {
    const model *m = s->m;
    int end = 0;
    if (!inner_open(&s->left.inner, s->left.m, s->memory)) return fault_memory(s->why);
    if (s->left.inner.stuck >= 0) return refuse_block(s, problem, &s->left.inner);
    for (int c = 0; c < m->n_calendars; c++)
        if (m->calendars[c].n > 0 && m->calendars[c].windows[m->calendars[c].n - 1].to > end)
            end = m->calendars[c].windows[m->calendars[c].n - 1].to;
    model_mirror_at(m, end, s->right.m);
    return inner_open(&s->right.inner, s->right.m, s->memory) ? OK : fault_memory(s->why);
}

static status find_bound(searching *s) {
    long long bound = schedule_bound(s->m, s->memory),
              most = (long long)SCHEDULE_MOST_STEPS * s->m->step_minutes;
    if (bound < 0) return fault_memory(s->why);
    if (bound > SCHEDULE_MOST_STEPS)
        return fault_set(
            s->why, E_INPUT,
            "no plan is shorter than %lld minutes; the most is %lld where all times are multiples of %d",
            bound * s->m->step_minutes, most, s->m->step_minutes);
    s->bound = (int)bound;
    return OK;
}

static status open_all(searching *s) {
    const model *m = s->m;
    long people = s->options->schedules / SCHEDULES_EACH;
    s->n_people = people > PEOPLE_MOST ? PEOPLE_MOST : people < PEOPLE_LEAST ? PEOPLE_LEAST : (int)people;
    s->order = arena_get(s->memory, (size_t)m->n_blocks, sizeof *s->order);
    s->best = arena_get(s->memory, (size_t)m->n, sizeof *s->best);
    bool good = s->order && s->best && order_open(&s->maker, m, s->memory) && open_side(s, &s->left) &&
                open_side(s, &s->right);
    return good ? OK : fault_memory(s->why);
}

/* No pass found room for all. */
static status refuse_plan(const searching *s, const schedule_problem *problem) {
    if (s->state == PLACE_TOO_LONG) return model_too_long(s->m, problem, s->stuck, s->why);
    return fault_set(
        s->why, E_INPUT,
        "task %s: no shift is left for it; the shifts end too early, or its lags fit none (%ld plans tried)",
        problem->tasks[s->m->task[s->stuck]].id, s->made);
}

static status tell_best(const searching *s, schedule_result *out) {
    const model *m = s->m;
    int *start = arena_get(s->memory, (size_t)m->n, sizeof *start);
    if (!start) return fault_memory(s->why);
    for (int t = 0; t < m->n; t++) start[m->task[t]] = s->best[t] * m->step_minutes;
    *out = (schedule_result){start, s->best_makespan * m->step_minutes, s->bound * m->step_minutes, s->made};
    return OK;
}

static status run(searching *s, const schedule_problem *problem, model *m, schedule_result *out) {
    s->m = s->left.m = m;
    s->right.m = model_mirror(m, s->memory);
    if (!s->right.m) return fault_memory(s->why);
    status code = choose_inner(s, problem);
    if (code == OK) code = find_bound(s);
    if (code == OK) code = open_all(s);
    if (code != OK) return code;
    if (s->options->way == SCHEDULE_SEARCH)
        search(s);
    else
        sample(s);
    if (s->no_memory) return fault_memory(s->why);
    return s->best_makespan == NOT_PLACED ? refuse_plan(s, problem) : tell_best(s, out);
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
    if (code == OK) code = run(&s, problem, m, out);
    inner_close(&s.left.inner);
    inner_close(&s.right.inner);
    generator_close(&s.left.g);
    generator_close(&s.right.g);
    return code;
}
