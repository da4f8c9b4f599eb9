#include "accept/proof_parts.h"

#include <stdlib.h>
#include <string.h>

/* Was the leak to be treated at that place? Where the design names no stretch, all of it. */
static bool is_treated_at(const repair_design *d, double at_m) {
    bool within = false;
    if (method_is_injection(d->method.name)) return at_m >= d->injection.from_m && at_m <= d->injection.to_m;
    if (d->method.name == METHOD_FLEXIBLE && d->flexible.to_m > d->flexible.from_m)
        return at_m >= d->flexible.from_m && at_m <= d->flexible.to_m;
    for (size_t i = 0; i < d->n_slots; i++)
        within = within || (at_m >= d->slots[i].from_m && at_m <= d->slots[i].to_m);
    return within || d->n_slots == 0;
}

typedef struct {
    const proving *m;
    proof_leak *leak;
    const repair_design *design;
    double whole_m; /* length of the trace; 1 of a point or an area */
    double *cuts;   /* rising */
    size_t n_cuts;
    bool *counts; /* a test: it is the newest somewhere */
} measuring;

static int by_value(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void add_cut(measuring *g, double at_m) {
    if (at_m >= 0 && at_m <= g->whole_m) g->cuts[g->n_cuts++] = at_m;
}

/* All places where a test or the treated length begins or ends. */
static bool make_cuts(measuring *g) {
    const repair_design *d = g->design;
    g->cuts = arena_get(g->m->memory, 2 * (g->leak->n_tests + d->n_slots) + 6, sizeof *g->cuts);
    if (!g->cuts) return false;
    add_cut(g, 0);
    add_cut(g, g->whole_m);
    for (size_t i = 0; i < g->leak->n_tests; i++) {
        add_cut(g, g->leak->tests[i].from_m);
        add_cut(g, g->leak->tests[i].to_m);
    }
    for (size_t i = 0; i < d->n_slots; i++) {
        add_cut(g, d->slots[i].from_m);
        add_cut(g, d->slots[i].to_m);
    }
    if (method_is_injection(d->method.name)) {
        add_cut(g, d->injection.from_m);
        add_cut(g, d->injection.to_m);
    } else if (d->method.name == METHOD_FLEXIBLE) {
        add_cut(g, d->flexible.from_m);
        add_cut(g, d->flexible.to_m);
    }
    qsort(g->cuts, g->n_cuts, sizeof *g->cuts, by_value);
    return true;
}

static bool covers(const proof_test *t, double at_m) {
    return t->from_m <= at_m && at_m <= t->to_m;
}

/* What fails at low water fails; what keeps its class at low water tells nothing and leaves what was known. */
static bool tells_class(const proof_test *t) {
    return !t->before_work && (t->keeps || t->seen == TIGHT_BROKEN);
}

static bool tells_flow(const proof_test *t) {
    return !t->before_work && !t->low_water && t->flow_m3_s.known;
}

static bool tells_drips(const proof_test *t) {
    return !t->before_work && t->drips_per_min.known;
}

/* The newest test at that place that tells it; n_tests: none. */
static size_t newest(const measuring *g, double at_m, bool (*tells)(const proof_test *)) {
    for (size_t i = g->leak->n_tests; i > 0; i--)
        if (covers(&g->leak->tests[i - 1], at_m) && tells(&g->leak->tests[i - 1])) return i - 1;
    return g->leak->n_tests;
}

/* Stretches that a tape leaves between two tests are passed over. */
static bool is_told(const measuring *g, size_t cut) {
    double from_m = g->cuts[cut], to_m = g->cuts[cut + 1];
    if (!(to_m > from_m) || (g->leak->is_line && !is_treated_at(g->design, (from_m + to_m) / 2)))
        return false;
    return to_m - from_m > PROOF_GAP_M || !(g->whole_m > PROOF_GAP_M);
}

/* Sum of a value over the tests that are the newest somewhere; not known where a treated metre has none, or one that failed
 * since. A test counts in full though only a part of its stretch was not tested anew. */
static maybe sum_newest(const measuring *g, bool (*tells)(const proof_test *), size_t member) {
    size_t n = g->leak->n_tests, told = 0;
    bool *counted = arena_get(g->m->memory, n, sizeof *counted);
    maybe sum = {counted != NULL, 0}, value;
    for (size_t k = 0; sum.known && k + 1 < g->n_cuts; k++) {
        double middle_m = (g->cuts[k] + g->cuts[k + 1]) / 2;
        if (!is_told(g, k)) continue;
        size_t at = newest(g, middle_m, tells), last = newest(g, middle_m, tells_class);
        told++;
        sum.known = at < n && (last == n || last <= at || g->leak->tests[last].keeps);
        if (!sum.known || counted[at]) continue;
        memcpy(&value, (const char *)&g->leak->tests[at] + member, sizeof value);
        counted[at] = true;
        sum.v += value.v;
    }
    sum.known = sum.known && told > 0;
    return sum;
}

static void add_metres(measuring *g) {
    proof_leak *leak = g->leak;
    for (size_t k = 0; k + 1 < g->n_cuts; k++) {
        double from_m = g->cuts[k], to_m = g->cuts[k + 1], middle_m = (from_m + to_m) / 2;
        if (!(to_m > from_m) || (leak->is_line && !is_treated_at(g->design, middle_m))) continue;
        size_t at = newest(g, middle_m, tells_class);
        leak->length_m += to_m - from_m;
        if (at == leak->n_tests) {
            leak->not_proven_m += to_m - from_m;
            continue;
        }
        g->counts[at] = true;
        if (leak->tests[at].keeps)
            leak->kept_m += to_m - from_m;
        else
            leak->broken_m += to_m - from_m;
    }
}

static proof_verdict verdict_of(const proof_leak *leak) {
    if (!leak->treated) return PROOF_OPEN;
    if (leak->broken_m > 0) return PROOF_BROKEN;
    return leak->kept_m > 0 && !(leak->not_proven_m > PROOF_GAP_M) ? PROOF_KEPT : PROOF_NOT_PROVEN;
}

/* The worst class of the tests that count; "" where a metre is not proven, or keeps none. */
static const char *reached_of(const measuring *g) {
    const proof_leak *leak = g->leak;
    survey_tightness worst = TIGHT_NOT_AGREED;
    if (leak->verdict == PROOF_OPEN || leak->not_proven_m > PROOF_GAP_M) return "";
    for (size_t i = 0; i < leak->n_tests; i++) {
        survey_tightness t = leak->tests[i].reached;
        if (!g->counts[i]) continue;
        if (t == TIGHT_NOT_AGREED) return "";
        if (worst == TIGHT_NOT_AGREED || tightness_rank(t) > tightness_rank(worst)) worst = t;
    }
    return worst == TIGHT_NOT_AGREED ? "" : tightness_name(worst);
}

static void find_flows(const measuring *g, const leak_water *water) {
    proof_leak *leak = g->leak;
    leak->before_m3_s = water->flow_m3_s;
    leak->before_measured = water->basis == FLOW_MEASURED;
    if (leak->treated) leak->after_m3_s = sum_newest(g, tells_flow, offsetof(proof_test, flow_m3_s));
    leak->saved_m3_s.known = leak->before_m3_s.known && leak->after_m3_s.known;
    leak->saved_m3_s.v = leak->saved_m3_s.known ? leak->before_m3_s.v - leak->after_m3_s.v : 0;
    leak->drips_per_min = sum_newest(g, tells_drips, offsetof(proof_test, drips_per_min));
    if (leak->drips_per_min.known && leak->is_line && leak->length_m > 0)
        leak->drips_m = (maybe){true, leak->drips_per_min.v / leak->length_m};
}

status proof_measure(const proving *m, size_t leak, fault *why) {
    measuring g = {.m = m, .leak = &m->leaks[leak], .design = &m->p->designs[leak]};
    g.whole_m = g.leak->is_line ? m->p->leaks[leak].length_m : 1;
    g.counts = arena_get(m->memory, g.leak->n_tests, sizeof *g.counts);
    if (!g.counts || !make_cuts(&g)) return fault_memory(why);
    add_metres(&g);
    g.leak->verdict = verdict_of(g.leak);
    g.leak->reached = reached_of(&g);
    find_flows(&g, &m->p->leaks[leak]);
    return OK;
}
