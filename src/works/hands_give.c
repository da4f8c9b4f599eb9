/* Every place of the plan filled: exposed tasks first, longest first; then the others as they start; then what found nobody, by
 * handing work on. */
#include "works/hands_parts.h"

#include <math.h>
#include <stdlib.h>

/* Tries of handing on for one place, our default: a few milliseconds. */
enum { TRIES = 4000 };

/* ---- who is taken first ---- */

typedef struct {
    hands_cost cost; /* of the day after it; all 0 without exposure */
    int strange, spare, minutes;
} preference;

/* Work with a tool goes where the day stays lowest. Then a leak keeps its people, and those who can do less are taken before
 * those who may be wanted elsewhere. */
static preference prefer(hands *h, size_t place, int worker) {
    const hands_place *p = &h->places[place];
    const works_task *t = &h->plan->tasks[p->task];
    preference out = {.spare = h->skills[worker], .minutes = h->minutes[worker]};
    if (t->leak != SIZE_MAX) out.strange = -h->on_leak[t->leak * h->n_workers + (size_t)worker];
    if (!h->loads[p->task].tool) return out;
    hands_put(h, place, worker);
    out.cost = hands_cost_of(h, h->loads[p->task].day);
    hands_put(h, place, HANDS_NOBODY);
    return out;
}

static bool preferred(const preference *a, const preference *b) {
    if (hands_better(&a->cost, &b->cost)) return true;
    if (hands_better(&b->cost, &a->cost)) return false;
    if (a->strange != b->strange) return a->strange < b->strange;
    if (a->spare != b->spare) return a->spare < b->spare;
    return a->minutes < b->minutes;
}

static int best_free(hands *h, size_t place) {
    int best = HANDS_NOBODY;
    preference least = {0};
    for (int w = 0; w < (int)h->n_workers; w++) {
        if (!hands_may(h, place, w) || !hands_free(h, place, w, SIZE_MAX)) continue;
        preference now = prefer(h, place, w);
        if (best != HANDS_NOBODY && !preferred(&now, &least)) continue;
        best = w;
        least = now;
    }
    return best;
}

/* ---- handing on ---- */

typedef struct {
    size_t place;
    int worker; /* before */
} change;

/* Whoever is put anywhere is written down, so that a try that fails is undone. */
typedef struct {
    hands *h;
    change *log; /* JOURNAL of them */
    size_t n_log;
    int tries;
} chain;

enum { JOURNAL = TRIES * (HANDS_CHAIN + 1) };

static void put(chain *c, size_t place, int worker) {
    c->log[c->n_log++] = (change){place, c->h->places[place].worker};
    hands_put(c->h, place, worker);
}

static void undo(chain *c, size_t to) {
    while (c->n_log > to) {
        change *last = &c->log[--c->n_log];
        hands_put(c->h, last->place, last->worker);
    }
}

static bool fill(chain *c, size_t place, int deep);

/* The places that `worker` must leave to take this one: how many, or -1 where he cannot. */
static int must_leave(const hands *h, size_t place, int worker, size_t left[HANDS_CHAIN]) {
    int n = 0;
    for (size_t i = h->near_from[place]; i < h->near_from[place + 1]; i++) {
        const hands_place *other = &h->places[h->near_to[i]];
        if (other->worker != worker) continue;
        if (other->fixed || other->locked || n == HANDS_CHAIN) return -1;
        left[n++] = h->near_to[i];
    }
    return n;
}

static bool take_over(chain *c, size_t place, int worker, int deep) {
    size_t left[HANDS_CHAIN], mark = c->n_log;
    int n = must_leave(c->h, place, worker, left), filled = 0;
    if (n < 0) return false;
    for (int i = 0; i < n; i++) put(c, left[i], HANDS_NOBODY);
    put(c, place, worker);
    c->h->places[place].locked = true;
    while (filled < n && fill(c, left[filled], deep - 1)) filled++;
    c->h->places[place].locked = false;
    if (filled == n) return true;
    undo(c, mark);
    return false;
}

static bool fill(chain *c, size_t place, int deep) {
    int free_one = best_free(c->h, place);
    if (free_one != HANDS_NOBODY) {
        put(c, place, free_one);
        return true;
    }
    for (int w = 0; w < (int)c->h->n_workers && deep > 0; w++) {
        if (!hands_may(c->h, place, w)) continue;
        if (c->tries-- <= 0) return false;
        if (take_over(c, place, w, deep)) return true;
    }
    return false;
}

/* Short chains before long ones. */
static void hand_on(chain *c, size_t place) {
    for (int deep = 1; deep <= HANDS_CHAIN; deep++) {
        c->n_log = 0;
        c->tries = TRIES;
        if (fill(c, place, deep)) return;
    }
}

/* ---- all places ---- */

static void give(hands *h, size_t place) {
    if (h->places[place].worker != HANDS_NOBODY) return;
    int best = best_free(h, place);
    if (best != HANDS_NOBODY) hands_put(h, place, best);
}

typedef struct {
    double points, dose_percent;
    size_t task;
} exposed;

static int longest_first(const void *a, const void *b) {
    const exposed *x = a, *y = b;
    if (x->points < y->points || x->points > y->points) return x->points < y->points ? 1 : -1;
    if (x->dose_percent < y->dose_percent || x->dose_percent > y->dose_percent)
        return x->dose_percent < y->dose_percent ? 1 : -1;
    return (x->task > y->task) - (x->task < y->task);
}

static status give_exposed(hands *h, fault *why) {
    size_t n_tasks = h->plan->n_tasks, n = 0;
    exposed *list = arena_get(h->memory, n_tasks, sizeof *list);
    if (!list) return fault_memory(why);
    for (size_t t = 0; t < n_tasks; t++)
        if (h->loads[t].tool) list[n++] = (exposed){h->loads[t].points, h->loads[t].dose_percent, t};
    qsort(list, n, sizeof *list, longest_first);
    for (size_t i = 0; i < n; i++)
        for (size_t p = h->first[list[i].task]; p < h->first[list[i].task + 1]; p++) give(h, p);
    return OK;
}

status hands_give(hands *h, fault *why) {
    chain c = {.h = h, .log = arena_get(h->memory, JOURNAL, sizeof *c.log)};
    if (!c.log) return fault_memory(why);
    status code = give_exposed(h, why);
    if (code != OK) return code;
    for (size_t i = 0; i < h->n_places; i++) give(h, h->by_start[i]);
    for (size_t i = 0; i < h->n_places; i++)
        if (h->places[h->by_start[i]].worker == HANDS_NOBODY) hand_on(&c, h->by_start[i]);
    return OK;
}
