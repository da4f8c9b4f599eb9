#include "core/mem.h"
#include "hydraulics/plugging_parts.h"

#include <math.h>

/* Who chooses sees this. */
typedef struct {
    const plugging_cut *cut;
    const int *relief_of;
    const bool *closed;
    const double *flow_m3_s;
    size_t done;
} turn;

#define SAME                                                                                                 \
    1e-9 /* flows nearer than this part are equal: the first of them is taken, whatever the rounding */

static bool may(const turn *t, size_t segment) {
    return plugging_cut_may_close(t->cut, t->relief_of, t->closed, segment);
}

static size_t least(const turn *t) {
    size_t found = t->cut->n;
    for (size_t i = 0; i < t->cut->n; i++)
        if (may(t, i) && (found == t->cut->n || t->flow_m3_s[i] < t->flow_m3_s[found] * (1 - SAME)))
            found = i;
    return found;
}

static bool has_relief(const turn *t, size_t chain) {
    for (size_t i = 0; i < t->cut->n; i++)
        if (t->cut->segments[i].chain == chain && t->relief_of[i] >= 0) return true;
    return false;
}

/* First and last segment of a chain that may be closed; false when none may. */
static bool ends_of(const turn *t, size_t chain, size_t *first, size_t *last) {
    bool any = false;
    for (size_t i = 0; i < t->cut->n; i++) {
        if (t->cut->segments[i].chain != chain || t->relief_of[i] >= 0 || !may(t, i)) continue;
        if (!any) *first = i;
        *last = i;
        any = true;
    }
    return any;
}

/* From both ends of a chain by turns; between two reliefs from the middle outward. Chains without a relief
 * first. */
static size_t inward(const turn *t) {
    for (int with = 0; with < 2; with++)
        for (size_t c = 0; c < t->cut->chains; c++) {
            size_t first, last;
            if (has_relief(t, c) != (with == 1) || !ends_of(t, c, &first, &last)) continue;
            size_t at = t->done % 2 ? last : first;
            bool left = at > 0 && t->cut->segments[at - 1].chain == c,
                 right = at + 1 < t->cut->n && t->cut->segments[at + 1].chain == c;
            bool begins = left && right && !t->closed[at - 1] && !t->closed[at + 1];
            if (!begins) return at;
            size_t from = at, to = at; /* the whole stretch between the two reliefs may begin here */
            while (from > 0 && t->cut->segments[from - 1].chain == c && may(t, from - 1)) from--;
            while (to + 1 < t->cut->n && t->cut->segments[to + 1].chain == c && may(t, to + 1)) to++;
            return (from + to) / 2;
        }
    return least(t);
}

static size_t choose(plugging_order order, const size_t *given, size_t given_n, const turn *t) {
    switch (order) {
    case PLUGGING_INWARD: return inward(t);
    case PLUGGING_COMPUTED: return t->done < given_n ? given[t->done] : least(t);
    case PLUGGING_LEAST_FIRST:
    case PLUGGING_ORDERS: break;
    }
    return least(t);
}

int *plugging_reliefs_in(const plugging_cut *cut, const plane_relief *reliefs, const size_t *number,
                         size_t reliefs_n, arena *memory) {
    int *in = arena_get(memory, cut->n, sizeof *in);
    if (!in) return NULL;
    for (size_t i = 0; i < cut->n; i++) in[i] = -1;
    for (size_t r = 0; r < reliefs_n; r++) {
        int at = plugging_cut_find(cut, &reliefs[number[r]].at);
        if (at >= 0 && in[at] < 0) in[at] = (int)r;
    }
    return in;
}

bool plugging_better(const plugging_measure *a, const plugging_measure *b) {
    if (a->over != b->over) return a->over < b->over;
    if (a->peak_m2_s < b->peak_m2_s || a->peak_m2_s > b->peak_m2_s) return a->peak_m2_s < b->peak_m2_s;
    return a->met_m3_s < b->met_m3_s;
}

plugging_measure plugging_measure_of(const plugging_outcome *o) {
    return (plugging_measure){o->over_washout, o->peak_m2_s, o->met_m3_s};
}

typedef struct {
    const plugging_site *site;
    plugging_order order;
    const size_t *given;
    size_t given_n;
    plugging_state *state;
    int *relief_of;
    double *flow_m3_s;
} walk;

/* What tubes in this segment drain. */
static double tubes_in(const walk *w, size_t segment) {
    const plugging_cut *cut = &w->site->m->cut;
    double flow = 0;
    for (size_t r = 0; r < w->site->reliefs_n; r++)
        if (plugging_cut_find(cut, &w->site->m->reliefs[w->site->number[r]].at) == (int)segment)
            flow += w->state->tube_m3_s[r];
    return flow;
}

static status step(walk *w, size_t done, plugging_outcome *out, fault *why) {
    const plugging_cut *cut = &w->site->m->cut;
    turn now = {cut, w->relief_of, w->state->closed, w->flow_m3_s, done};
    plugging_state_flows(w->state, w->flow_m3_s);
    size_t at = choose(w->order, w->given, w->given_n, &now);
    plugging_step *to = &out->steps[done];
    *to = (plugging_step){.on = cut->segments[at].on,
                          .flow_m3_s = w->flow_m3_s[at] + tubes_in(w, at),
                          .relief = w->relief_of[at]};
    status code = plugging_state_close(w->state, at, why);
    if (code != OK) return code;
    to->total_m3_s = plugging_state_total_m3_s(w->state);
    to->max_back_head_m = plugging_state_back_head_m(w->state, -1);
    to->fresh_head_m = plugging_state_back_head_m(w->state, (int)at);
    return OK;
}

/* To 37 bits (7e-12): orders that differ by rounding only are equally good. */
static double rounded(double value) {
    int exponent;
    double mantissa = frexp(value, &exponent);
    return ldexp(round(ldexp(mantissa, 37)), exponent - 37);
}

static void measure(const walk *w, double washout_m2_s, plugging_outcome *out) {
    for (size_t i = 0; i < out->steps_n; i++) {
        const plugging_step *s = &out->steps[i];
        double rate_m2_s = s->flow_m3_s / (s->on.to_m - s->on.from_m);
        if (s->relief >= 0) {
            out->relief_met_m2_s = fmax(out->relief_met_m2_s, rate_m2_s);
            continue;
        }
        out->peak_m2_s = fmax(out->peak_m2_s, rate_m2_s);
        out->met_m3_s += s->flow_m3_s;
        out->over_washout += rate_m2_s > washout_m2_s;
    }
    out->peak_m2_s = rounded(out->peak_m2_s);
    out->met_m3_s = rounded(out->met_m3_s);
    for (size_t r = 0; r < out->reliefs_n; r++) {
        out->reliefs[r].relief = w->site->m->reliefs[w->site->number[r]];
        out->reliefs[r].flow_m3_s = w->state->tube_m3_s[r];
        out->reliefs[r].back_head_m = w->state->rise_m[r];
    }
}

static status walk_all(walk *w, arena *scratch, arena *memory, plugging_outcome *out, fault *why) {
    const plugging_site *site = w->site;
    const plugging_cut *cut = &site->m->cut;
    w->relief_of = plugging_reliefs_in(cut, site->m->reliefs, site->number, site->reliefs_n, scratch);
    w->flow_m3_s = arena_get(scratch, cut->n, sizeof *w->flow_m3_s);
    out->steps_n = cut->n;
    out->reliefs_n = site->reliefs_n;
    out->steps = arena_get(memory, cut->n, sizeof *out->steps);
    out->reliefs = arena_get(memory, site->reliefs_n, sizeof *out->reliefs);
    if (!w->relief_of || !w->flow_m3_s || !out->steps || !out->reliefs) return fault_memory(why);
    for (size_t i = 0; i < cut->n; i++) w->given_n += w->relief_of[i] < 0;
    plugging_start from = {site->number, site->reliefs_n, NULL};
    status code = plugging_state_new(site->m, &from, scratch, &w->state, why);
    if (code == OK) out->start_m3_s = plugging_state_total_m3_s(w->state);
    for (size_t i = 0; i < cut->n && code == OK; i++) {
        code = step(w, i, out, why);
        if (code == OK) plugging_tell(&site->walk, (double)(i + 1) / (double)cut->n);
    }
    return code;
}

status plugging_walk(const plugging_site *site, plugging_order order, const size_t *given, arena *memory,
                     plugging_outcome *out, fault *why) {
    walk w = {.site = site, .order = order, .given = given};
    arena *scratch = arena_new();
    *out = (plugging_outcome){0};
    if (!scratch) return fault_memory(why);
    status code = walk_all(&w, scratch, memory, out, why);
    if (code == OK) {
        measure(&w, site->washout_m2_s, out);
        out->shut_back_head_m = site->shut_back_head_m;
        out->shut_m3_s = site->shut_m3_s;
        out->unsettled = w.state->unsettled;
    }
    arena_free(scratch);
    return code;
}
