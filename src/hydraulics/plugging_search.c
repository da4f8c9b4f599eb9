#include "hydraulics/plugging_search.h"

#include "core/mem.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    KEPT = 64, /* states of equal number of closed segments that the search keeps: all, where one chain is
                  closed toward one relief and has at most 128 segments */
    POSITIONS = 64, /* segments tried for the first relief: the leakiest */
    FEWER = 8,      /* the same once a relief is chosen, or where the slot has more than POSITIONS segments */
    FEWER_KEPT = 8  /* states kept there */
};
#define WORTH                                                                                                \
    0.95 /* a further hole must lower the peak to this part of what it was, or spare a wash-out: our choice  \
          */

/* A set of closed segments that can be reached, and the best way to it. */
typedef struct {
    bool *closed;
    plugging_measure way;
    int from, edge; /* state before, and the edge from it; -1 at the start */
    bool kept, reached;
} node;
typedef struct {
    int from, to;
    size_t segment;
    double flow_m3_s, rate_m2_s;
} edge;
typedef struct {
    reduced *r;
    const plugging_cut *cut;
    const int *relief_of;
    const size_t *number;
    size_t reliefs_n, most; /* states kept of equal number */
    double washout_m2_s;
    arena *memory;
    node *nodes;
    edge *edges;
    size_t nodes_n, edges_n;
    bool cut_short, failed;
    const atomic_bool *stop;
} graph;

static plugging_measure after(const graph *g, const plugging_measure *before, const edge *e) {
    plugging_measure m = *before;
    m.over += e->rate_m2_s > g->washout_m2_s;
    m.peak_m2_s = fmax(m.peak_m2_s, e->rate_m2_s);
    m.met_m3_s += e->flow_m3_s;
    return m;
}

/* The state `closed` with one more segment, among those from `level` on; new when it is not there. -1: no
 * memory. */
static int find_or_add(graph *g, size_t level, const bool *closed, size_t segment) {
    size_t n = g->cut->n;
    bool *now = arena_get(g->memory, n, sizeof *now);
    if (!now) return -1;
    if (closed) memcpy(now, closed, n * sizeof *now);
    if (segment < n) now[segment] = true;
    for (size_t i = level; i < g->nodes_n; i++)
        if (memcmp(g->nodes[i].closed, now, n * sizeof *now) == 0) return (int)i;
    node *longer = arena_push(g->memory, g->nodes, &g->nodes_n, sizeof *longer);
    if (!longer) return -1;
    g->nodes = longer;
    longer[g->nodes_n - 1] = (node){.closed = now, .from = -1, .edge = -1, .kept = true};
    return (int)g->nodes_n - 1;
}

static void relax(graph *g, int at_edge) {
    const edge *e = &g->edges[at_edge];
    node *to = &g->nodes[e->to];
    plugging_measure way = after(g, &g->nodes[e->from].way, e);
    if (to->reached && !plugging_better(&way, &to->way)) return;
    *to = (node){to->closed, way, e->from, at_edge, to->kept, true};
}

/* Every segment that may be closed in this state. */
static void expand(graph *g, size_t at, size_t next_level, double *flow_m3_s) {
    const bool *closed = g->nodes[at].closed;
    reduced_flows(g->r, closed, g->number, g->reliefs_n, flow_m3_s);
    for (size_t i = 0; i < g->cut->n && !g->failed; i++) {
        const plane_interval *on = &g->cut->segments[i].on;
        if (g->relief_of[i] >= 0 || !plugging_cut_may_close(g->cut, g->relief_of, closed, i)) continue;
        int to = find_or_add(g, next_level, closed, i);
        edge *longer = to < 0 ? NULL : arena_push(g->memory, g->edges, &g->edges_n, sizeof *longer);
        if (!longer) {
            g->failed = true;
            return;
        }
        g->edges = longer;
        longer[g->edges_n - 1] = (edge){(int)at, to, i, flow_m3_s[i], flow_m3_s[i] / (on->to_m - on->from_m)};
        relax(g, (int)g->edges_n - 1);
    }
}

/* Keep the best `most` of the states from `level` on. */
static void thin(graph *g, size_t level) {
    size_t count = g->nodes_n - level;
    for (; count > g->most; count--) {
        size_t worst = level;
        while (!g->nodes[worst].kept) worst++;
        for (size_t i = worst + 1; i < g->nodes_n; i++)
            if (g->nodes[i].kept && plugging_better(&g->nodes[worst].way, &g->nodes[i].way)) worst = i;
        g->nodes[worst].kept = false;
        g->cut_short = true;
    }
}

/* The way of least flow met among those that never meet more than `peak` a metre; the first found has the
 * fewest steps above the wash-out limit, then the lowest peak, since both only grow along a way. */
static void again_below(graph *g, double peak_m2_s) {
    for (size_t i = 1; i < g->nodes_n; i++) g->nodes[i].reached = false;
    for (size_t e = 0; e < g->edges_n; e++) { /* edges stand by the level they come from */
        const edge *at = &g->edges[e];
        node *to = &g->nodes[at->to];
        const node *from = &g->nodes[at->from];
        if (!from->reached || !(at->rate_m2_s <= peak_m2_s)) continue;
        plugging_measure way = after(g, &from->way, at);
        bool less = way.over < to->way.over || (way.over == to->way.over && way.met_m3_s < to->way.met_m3_s);
        if (!to->reached || less) *to = (node){to->closed, way, at->from, (int)e, to->kept, true};
    }
}

/* The best order for given reliefs. */
static status find_order(graph *g, plugging_found *out, arena *memory, fault *why) {
    size_t ordinary = 0, level = 0, next = 1;
    for (size_t i = 0; i < g->cut->n; i++) ordinary += g->relief_of[i] < 0;
    double *flow_m3_s = arena_get(g->memory, g->cut->n, sizeof *flow_m3_s);
    out->order = arena_get(memory, ordinary, sizeof *out->order);
    if (!flow_m3_s || !out->order || find_or_add(g, 0, NULL, g->cut->n) < 0) return fault_memory(why);
    g->nodes[0].reached = true;
    for (size_t k = 0; k < ordinary; k++) {
        for (size_t i = level; i < next && !g->failed; i++) {
            status code = plane_stopped(g->stop, why);
            if (code != OK) return code;
            if (g->nodes[i].kept) expand(g, i, next, flow_m3_s);
        }
        if (g->failed) return fault_memory(why);
        thin(g, next);
        level = next;
        next = g->nodes_n;
    }
    again_below(g, g->nodes[g->nodes_n - 1].way.peak_m2_s);
    int at = (int)g->nodes_n - 1; /* the only one with all closed */
    out->measure = g->nodes[at].way;
    for (size_t k = ordinary; k-- > 0;) {
        out->order[k] = g->edges[g->nodes[at].edge].segment;
        at = g->nodes[at].from;
    }
    return OK;
}

/* One search: what it looks at and where its finds go. */
typedef struct {
    const plugging_search_options *o;
    reduced *r;
    const size_t *ranked; /* reliefs, the leakiest first */
    plugging_search_result *out;
    arena *memory;
    fault *why;
} hunt;

static status try_reliefs(hunt *h, const size_t *number, size_t reliefs_n, size_t most,
                          plugging_found *found) {
    const plugging_model *m = h->o->coarse;
    graph g = {.r = h->r,
               .cut = &m->cut,
               .number = number,
               .reliefs_n = reliefs_n,
               .most = most,
               .washout_m2_s = h->o->washout_m2_s,
               .stop = m->plane->stop,
               .memory = arena_new()};
    *found = (plugging_found){.reliefs_n = h->o->fixed ? 0 : reliefs_n};
    for (size_t k = 0; k < found->reliefs_n; k++) found->number[k] = number[k];
    status code = g.memory ? OK : fault_memory(h->why);
    if (code == OK) {
        g.relief_of = plugging_reliefs_in(g.cut, m->reliefs, number, reliefs_n, g.memory);
        code = g.relief_of ? find_order(&g, found, h->memory, h->why) : fault_memory(h->why);
    }
    h->out->exact &= !g.cut_short;
    arena_free(g.memory);
    return code;
}

static void keep_best(plugging_search_result *out, const plugging_found *found) {
    size_t at = out->n < PLUGGING_BEST ? out->n++ : PLUGGING_BEST;
    while (at > 0 && plugging_better(&found->measure, &out->best[at - 1].measure)) {
        if (at < PLUGGING_BEST) out->best[at] = out->best[at - 1];
        at--;
    }
    if (at < PLUGGING_BEST) out->best[at] = *found;
}

/* Reliefs by the flow of their segment with the slot open, the leakiest first. */
static size_t *rank_reliefs(const plugging_model *m, const double *flow_m3_s, arena *memory) {
    size_t *list = arena_get(memory, m->reliefs_n, sizeof *list);
    double *flow = arena_get(memory, m->reliefs_n, sizeof *flow);
    if (!list || !flow) return NULL;
    for (size_t r = 0; r < m->reliefs_n; r++) {
        int in = plugging_cut_find(&m->cut, &m->reliefs[r].at);
        flow[r] = in >= 0 ? flow_m3_s[in] : 0;
        size_t at = r;
        for (; at > 0 && flow[list[at - 1]] < flow[r]; at--) list[at] = list[at - 1];
        list[at] = r;
    }
    return list;
}

/* Is a further hole worth it? The first always is. */
static bool worth_it(const plugging_found *base, const plugging_found *found) {
    if (base->reliefs_n == 0) return true;
    if (found->measure.over != base->measure.over) return found->measure.over < base->measure.over;
    return found->measure.peak_m2_s < WORTH * base->measure.peak_m2_s;
}

/* One relief more than `base` has, the best of those tried; *worth: some was worth its hole. */
static status add_relief(hunt *h, const plugging_found *base, bool *worth) {
    const plugging_model *m = h->o->coarse;
    bool few = base->reliefs_n > 0 || m->cut.n > POSITIONS;
    size_t limit = few ? FEWER : POSITIONS, tried = m->reliefs_n < limit ? m->reliefs_n : limit;
    h->out->exact &= tried == m->reliefs_n;
    *worth = false;
    for (size_t k = 0; k < tried; k++) {
        size_t number[PLUGGING_RELIEFS];
        bool there = false;
        plugging_found found;
        for (size_t i = 0; i < base->reliefs_n; i++)
            number[i] = base->number[i], there |= number[i] == h->ranked[k];
        plugging_span span = h->o->span;
        double width = (span.to - span.from) / (double)h->o->allowed;
        span.from += width * (double)base->reliefs_n;
        span.to = span.from + width;
        plugging_tell(&span, (double)k / (double)tried);
        if (there) continue;
        number[base->reliefs_n] = h->ranked[k];
        status code = try_reliefs(h, number, base->reliefs_n + 1, few ? FEWER_KEPT : KEPT, &found);
        if (code != OK) return code;
        if (!worth_it(base, &found)) continue;
        keep_best(h->out, &found);
        *worth = true;
    }
    return OK;
}

/* All reliefs given, or none to be had. */
static status search_fixed(hunt *h) {
    const plugging_model *m = h->o->coarse;
    size_t *all = arena_get(h->memory, m->reliefs_n, sizeof *all),
           most = m->cut.n > POSITIONS ? FEWER_KEPT : KEPT;
    if (!all) return fault_memory(h->why);
    for (size_t i = 0; i < m->reliefs_n; i++) all[i] = i;
    h->out->n = 1;
    return try_reliefs(h, all, h->o->fixed ? m->reliefs_n : 0, most, &h->out->best[0]);
}

static status search(hunt *h) {
    const plugging_model *m = h->o->coarse;
    plugging_found base = {0};
    bool worth = true;
    status code = OK;
    h->out->exact = true;
    h->out->worst = m->reliefs_n > 0 ? (int)h->ranked[0] : -1;
    if (h->o->fixed || h->o->allowed == 0 || m->reliefs_n == 0) return search_fixed(h);
    for (size_t k = 0; k < h->o->allowed && k < m->reliefs_n && worth && code == OK; k++) {
        code = add_relief(h, &base, &worth);
        if (worth) base = h->out->best[0];
    }
    return code;
}

status plugging_search(const plugging_search_options *o, arena *memory, plugging_search_result *out,
                       fault *why) {
    const plugging_model *m = o->coarse;
    plugging_state *open, *shut;
    reduced r;
    arena *scratch = arena_new();
    hunt h = {.o = o, .r = &r, .out = out, .memory = memory, .why = why};
    *out = (plugging_search_result){.worst = -1};
    if (!scratch) return fault_memory(why);
    bool *closed = arena_get(scratch, m->cut.n, sizeof *closed);
    double *open_m3_s = arena_get(scratch, m->cut.n, sizeof *open_m3_s);
    plugging_start nothing = {0}, everything = {.closed = closed};
    status code = closed && open_m3_s ? OK : fault_memory(why);
    for (size_t i = 0; i < m->cut.n && code == OK; i++) closed[i] = true;
    if (code == OK) code = plugging_state_new(m, &nothing, scratch, &open, why);
    if (code == OK) code = plugging_state_new(m, &everything, scratch, &shut, why);
    if (code == OK) code = reduced_make(open, shut, scratch, &r, why);
    if (code == OK) {
        plugging_state_flows(open, open_m3_s);
        h.ranked = rank_reliefs(m, open_m3_s, scratch);
        code = h.ranked ? search(&h) : fault_memory(why);
    }
    arena_free(scratch);
    return code;
}
