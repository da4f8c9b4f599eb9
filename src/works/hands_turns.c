/* Turns: while the worst day of anybody falls, a place is given to another, or two people change places. */
#include "works/hands_parts.h"

#include <math.h>

/* Our defaults: moves tried in one search, and looked ahead. */
enum { TRIES = 20000, DEEPEST = 3 };

static const double SAME = 1e-9; /* below it a cost has not changed: rounding */

hands_cost hands_cost_of(const hands *h, size_t day) {
    hands_cost out = {0};
    double points = 0, dose = 0, silica = 0;
    for (size_t w = 0; w < h->n_workers; w++) {
        const hands_day *d = &h->sums[day * h->n_workers + w];
        double p = d->points / EXPOSURE_ACTION_POINTS, n = d->dose_percent / 100,
               s = d->silica_min / EXPOSURE_SILICA_MIN;
        points = fmax(points, p);
        dose = fmax(dose, n);
        silica = fmax(silica, s);
        out.by[4] += p * p + n * n * 1e-3 + s * s; /* noise lightly: muffs take it, hands stay */
    }
    out.by[0] = fmax(1, points);
    out.by[1] = fmax(1, dose);
    out.by[2] = fmax(1, silica);
    out.by[3] = points;
    return out;
}

bool hands_better(const hands_cost *a, const hands_cost *b) {
    for (int i = 0; i < HANDS_MEASURES; i++) {
        if (a->by[i] < b->by[i] - SAME * (1 + b->by[i])) return true;
        if (a->by[i] > b->by[i] + SAME * (1 + b->by[i])) return false;
    }
    return false;
}

/* ---- moves ---- */

/* A place given to another, or two places changed, one of which may be of any kind of work. */
typedef struct {
    size_t place, other; /* SIZE_MAX: given */
    int was, its;        /* workers before */
    bool kept;           /* somebody of the plan before leaves his place */
} move;

typedef struct {
    hands *h;
    size_t day;
    const size_t *exposed; /* places of the day */
    size_t n;
    hands_cost before;
    long tries;
} turning;

static bool give_to(turning *t, move *m, int worker) {
    hands *h = t->h;
    if (worker == m->was || !hands_may(h, m->place, worker) || !hands_free(h, m->place, worker, SIZE_MAX))
        return false;
    m->other = SIZE_MAX;
    hands_put(h, m->place, worker);
    return true;
}

static bool change_with(turning *t, move *m, size_t other) {
    hands *h = t->h;
    const hands_place *b = &h->places[other];
    const hands_load *load = &h->loads[b->task];
    m->other = other;
    m->its = b->worker;
    if (b->fixed || m->its == HANDS_NOBODY || m->its == m->was) return false;
    if (load->tool && load->day != t->day) return false; /* what its own day comes to is not looked at here */
    if (!hands_may(h, m->place, m->its) || !hands_may(h, other, m->was)) return false;
    if (!hands_free(h, m->place, m->its, other) || !hands_free(h, other, m->was, m->place)) return false;
    m->kept |= b->kept;
    hands_put(h, m->place, m->its);
    hands_put(h, other, m->was);
    return true;
}

/* The k-th move of a place: to each worker, with each place of the day, with each that overlaps. False where it cannot be. */
static bool make(turning *t, size_t place, size_t k, move *m) {
    hands *h = t->h;
    *m = (move){place, SIZE_MAX, h->places[place].worker, HANDS_NOBODY, h->places[place].kept};
    if (k < h->n_workers) return give_to(t, m, (int)k);
    k -= h->n_workers;
    if (k < t->n) return t->exposed[k] != place && change_with(t, m, t->exposed[k]);
    return change_with(t, m, h->near_to[h->near_from[place] + k - t->n]);
}

static void take_back(hands *h, const move *m) {
    hands_put(h, m->place, m->was);
    if (m->other != SIZE_MAX) hands_put(h, m->other, m->its);
}

/* Somebody of the plan before leaves his place only where that lowers vibration above its action value. */
static bool worth(const turning *t, bool kept) {
    hands_cost after = hands_cost_of(t->h, t->day);
    if (kept) return after.by[0] < t->before.by[0] * (1 - SAME);
    return hands_better(&after, &t->before);
}

/* Up to `deep` moves, one after another, after which the day is better than it was; all taken back where there are none. */
static bool search(turning *t, int deep, bool kept) {
    hands *h = t->h;
    for (size_t i = 0; i < t->n; i++) {
        size_t place = t->exposed[i], near = h->near_from[place + 1] - h->near_from[place];
        if (h->places[place].fixed || h->places[place].worker == HANDS_NOBODY) continue;
        for (size_t k = 0; k < h->n_workers + t->n + near; k++) {
            move m;
            if (t->tries-- <= 0) return false;
            if (!make(t, place, k, &m)) continue;
            bool left = kept || m.kept;
            if (deep == 1 ? worth(t, left) : search(t, deep - 1, left)) {
                h->places[place].kept = false;
                if (m.other != SIZE_MAX) h->places[m.other].kept = false;
                return true;
            }
            take_back(h, &m);
        }
    }
    return false;
}

/* One move at a time while that helps; two or three at once only where vibration is above its action value. */
static void improve(turning *t) {
    for (int deep = 1; deep <= DEEPEST;) {
        t->before = hands_cost_of(t->h, t->day);
        t->tries = TRIES;
        if (deep > 1 && !(t->before.by[0] > 1)) return;
        deep = search(t, deep, false) ? 1 : deep + 1;
    }
}

status hands_turn(hands *h, fault *why) {
    size_t *exposed = arena_get(h->memory, h->n_places, sizeof *exposed);
    if (!exposed) return fault_memory(why);
    for (size_t day = 0; day < h->n_days; day++) {
        turning t = {.h = h, .day = day, .exposed = exposed};
        for (size_t i = h->day_from[day]; i < h->day_to[day]; i++)
            if (h->loads[h->places[h->by_start[i]].task].tool) exposed[t.n++] = h->by_start[i];
        improve(&t);
    }
    return OK;
}
