#include "hydraulics/plugging.h"

#include "core/mem.h"
#include "hydraulics/plugging_parts.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* Hole of a relief to be searched, of its segment: wider ones would leave no segment (our limit). */
#define HOLE_SHARE 0.8
/* The coarse mesh of the search, of a segment (our choice; the fine one judges). */
#define COARSE_SHARE (1.0 / 3)

#define TELL_SHARE 1e-3 /* of the first flow: less than that beyond the shut slot is not told (our choice) */

/* Where coarse model, search, fine model, walks and pictures begin in the progress of a run: shares of its time on planes
 * of 4 to 153 segments, rounded. */
#define FIT_TO 0.30
#define SEARCH_FROM 0.45
#define SEARCH_TO 0.60
#define WALK_FROM 0.75
#define WALK_TO 0.95

/* One run: the plane without reliefs, the slot in segments, the reliefs there may be. */
typedef struct {
    const plugging_input *in;
    plane_input bare, coarse;
    plugging_cut cut;
    plane_relief *reliefs; /* given, or one in each segment that takes one */
    size_t reliefs_n;
    bool fixed; /* reliefs given */
    double flow_factor;
    arena *memory, *scratch;
    fault *why;
    plugging_result *out;
    bool unsettled;        /* when all is shut */
    size_t walks, walks_n; /* done, and to be done at most */
} run;

const char *plugging_order_name(plugging_order order) {
    static const char *const names[PLUGGING_ORDERS] = {"least-first", "inward", "computed"};
    return order < PLUGGING_ORDERS ? names[order] : "";
}

void plugging_tell(const plugging_span *span, double part) {
    if (span->in && span->in->progress)
        span->in->progress(span->in->progress_to, span->from + part * (span->to - span->from));
}

static status range(fault *why, const char *name, double shown, double low, double high) {
    if (shown >= low && shown <= high) return OK;
    return fault_set(why, E_INPUT, "%s: is %.10g; it must lie in %.10g to %.10g", name, shown, low, high);
}

status plugging_check(const plugging_input *in, fault *why) {
    status code = plane_check(&in->plane, why);
    if (code == OK)
        code = range(why, "segment_mm", in->segment_m * 1e3, PLUGGING_SHORTEST_M * 1e3,
                     PLUGGING_LONGEST_M * 1e3);
    if (code == OK) code = range(why, "washout_l_min_m", in->washout_m2_s * 60e3, 0, 1e6);
    if (code == OK) code = range(why, "reliefs_allowed", (double)in->reliefs_allowed, 0, PLUGGING_RELIEFS);
    if (code != OK || in->reliefs_allowed == 0 || in->plane.reliefs_n > 0) return code;
    code = range(why, "bore_mm", in->tube.bore_m * 1e3, RELIEF_NARROWEST_M * 1e3, RELIEF_WIDEST_M * 1e3);
    if (code == OK)
        code = range(why, "relief_length_m", in->tube.length_m, RELIEF_SHORTEST_M, RELIEF_LONGEST_M);
    if (code == OK) code = range(why, "relief_depth_mm", in->relief_depth_m * 1e3, 1, 1e4);
    return code;
}

static status warn(run *r, const char *format, ...) __attribute__((format(printf, 2, 3)));

static status warn(run *r, const char *format, ...) {
    char sentence[600];
    va_list args;
    va_start(args, format);
    vsnprintf(sentence, sizeof sentence, format, args);
    va_end(args);
    const char *kept = arena_copy(r->memory, sentence);
    const char **longer =
        kept ? arena_push(r->memory, r->out->warnings, &r->out->warnings_n, sizeof *longer) : NULL;
    if (!longer) return fault_memory(r->why);
    r->out->warnings = longer;
    longer[r->out->warnings_n - 1] = kept;
    return OK;
}

status plugging_fit(const plugging_input *in, arena *scratch, plane_fitted *out, fault *why) {
    const plane_mesh_options options = {.levels = PLANE_LEVELS};
    plane_mesh *mesh;
    *out = (plane_fitted){.factor = in->plane.flow_factor};
    if (in->plane.measured_n == 0) return OK;
    double *residuals = arena_get(scratch, in->plane.measured_n, sizeof *residuals);
    if (!residuals) return fault_memory(why);
    status code = plane_stopped(in->plane.stop, why);
    if (code == OK) code = plane_mesh_build(&in->plane, &options, scratch, &mesh, why);
    return code == OK ? plane_fit(&in->plane, mesh, out, residuals, scratch, why) : code;
}

status plugging_flow_factor(const plugging_input *in, plane_fitted *out, fault *why) {
    status code = plugging_check(in, why);
    arena *scratch = code == OK ? arena_new() : NULL;
    if (code == OK) code = scratch ? plugging_fit(in, scratch, out, why) : fault_memory(why);
    arena_free(scratch);
    return code;
}

static double slot_depth_m(const plane_panel *p, double from_m, double to_m) {
    double depth_m = 0;
    for (size_t i = 0; i < p->slots_n; i++)
        if (p->slots[i].from_m < to_m && p->slots[i].to_m > from_m)
            depth_m = fmax(depth_m, p->slots[i].depth_m);
    return depth_m;
}

/* Does the hole stand where another panel is joined? There the finite elements tie nothing (plane.h). */
static bool at_join(const plane_input *plane, const plane_relief *hole) {
    bool any = false;
    for (size_t i = 0; i < plane->joins_n; i++) {
        const plane_spot *const spots[] = {&plane->joins[i].a, &plane->joins[i].b};
        for (int k = 0; k < 2; k++)
            any |= spots[k]->panel == hole->at.panel &&
                   fabs(spots[k]->chainage_m - hole->at.chainage_m) <= hole->hole_m / 2 + PLUGGING_TIE_M;
    }
    return any;
}

/* A hole in the middle of every segment that takes one. */
static status offer_reliefs(run *r) {
    const plugging_input *in = r->in;
    r->reliefs = arena_get(r->memory, r->cut.n, sizeof *r->reliefs);
    if (!r->reliefs) return fault_memory(r->why);
    for (size_t i = 0; i < r->cut.n; i++) {
        const plane_interval *on = &r->cut.segments[i].on;
        const plane_panel *p = &in->plane.panels[on->panel];
        plane_relief hole = {.at = {on->panel, (on->from_m + on->to_m) / 2},
                             .hole_m = in->tube.bore_m,
                             .depth_m = in->relief_depth_m,
                             .tube = in->tube};
        plane_input one = r->bare;
        one.reliefs = &hole;
        one.reliefs_n = 1;
        bool fits = hole.hole_m <= HOLE_SHARE * (on->to_m - on->from_m) && !at_join(&in->plane, &hole) &&
                    hole.depth_m >= slot_depth_m(p, on->from_m, on->to_m) && plane_check(&one, NULL) == OK;
        if (fits) r->reliefs[r->reliefs_n++] = hole;
    }
    if (r->reliefs_n > 0) return OK;
    const plane_panel *p = &in->plane.panels[r->cut.segments[0].on.panel];
    return fault_set(
        r->why, E_INPUT,
        "relief_depth_mm: no segment takes a hole %.10g mm deep and %.10g mm wide; it must reach at least "
        "as deep as the slot (%.10g mm in the first), stay inside the wall (%.10g mm) and be at most %g of "
        "its segment wide",
        in->relief_depth_m * 1e3, in->tube.bore_m * 1e3,
        slot_depth_m(p, r->cut.segments[0].on.from_m, r->cut.segments[0].on.to_m) * 1e3, p->thickness_m * 1e3,
        HOLE_SHARE);
}

static status prepare(run *r) {
    plane_fitted fit;
    status code = plugging_fit(r->in, r->scratch, &fit, r->why);
    if (code != OK) return code;
    r->out->flow_factor = r->flow_factor = fit.factor;
    r->out->uncut_m3_s = fit.uncut_m3_s;
    r->bare = r->in->plane;
    r->bare.flow_factor = r->flow_factor;
    r->bare.reliefs_n = r->bare.measured_n = r->bare.report_n = r->bare.heads_n = 0;
    r->coarse = r->bare;
    r->coarse.mesh_m = fmax(r->bare.mesh_m, COARSE_SHARE * r->in->segment_m);
    code = plugging_cut_make(&r->bare, r->in->segment_m, r->scratch, &r->cut, r->why);
    if (code != OK) return code;
    if (r->cut.n == 0) return fault_set(r->why, E_INPUT, "panels: no slot is open; there is nothing to plug");
    r->fixed = r->in->plane.reliefs_n > 0;
    if (!r->fixed) return r->in->reliefs_allowed > 0 ? offer_reliefs(r) : OK;
    r->reliefs_n = r->in->plane.reliefs_n;
    r->reliefs = arena_get(r->memory, r->reliefs_n, sizeof *r->reliefs);
    if (!r->reliefs) return fault_memory(r->why);
    memcpy(r->reliefs, r->in->plane.reliefs, r->reliefs_n * sizeof *r->reliefs);
    return OK;
}

/* Positions, and for the computed order the way to close toward each, on the coarse model. */
static status look_round(run *r, plugging_search_result *found) {
    plugging_model coarse;
    plugging_model_options options = {.plane = &r->coarse,
                                      .cut = &r->cut,
                                      .reliefs = r->reliefs,
                                      .reliefs_n = r->reliefs_n,
                                      .flow_factor = r->flow_factor};
    *found = (plugging_search_result){.worst = -1, .exact = true};
    bool named_only = !r->in->wanted[PLUGGING_COMPUTED];
    if (named_only && (r->fixed || r->reliefs_n == 0)) return OK;
    status code = plugging_model_make(&options, r->scratch, &coarse, r->why);
    if (code != OK) return code;
    plugging_search_options search = {&coarse,
                                      r->fixed,
                                      named_only ? 0 : r->in->reliefs_allowed,
                                      r->in->washout_m2_s,
                                      {r->in, SEARCH_FROM, SEARCH_TO}};
    code = plugging_search(&search, r->scratch, found, r->why);
    if (named_only) found->n = 0;
    plugging_model_free(&coarse);
    return code;
}

/* The reliefs that the fine model needs: all given; else those found and the one at the worst place. `at`:
 * number in the fine model of each relief, or reliefs_n. */
static status choose_reliefs(run *r, const plugging_search_result *found, plane_relief **chosen, size_t *n,
                             size_t **at) {
    *chosen = arena_get(r->memory, r->reliefs_n, sizeof **chosen);
    *at = arena_get(r->scratch, r->reliefs_n, sizeof **at);
    *n = 0;
    if (!*chosen || !*at) return fault_memory(r->why);
    for (size_t i = 0; i < r->reliefs_n; i++) {
        bool wanted = r->fixed || (int)i == found->worst;
        for (size_t k = 0; k < found->n; k++)
            for (size_t q = 0; q < found->best[k].reliefs_n; q++) wanted |= found->best[k].number[q] == i;
        (*at)[i] = wanted ? *n : r->reliefs_n;
        if (wanted) (*chosen)[(*n)++] = r->reliefs[i];
    }
    return OK;
}

/* All closed, tubes too. */
static status shut_all(run *r, const plugging_model *m, plugging_site *site) {
    plugging_state *shut;
    arena *scratch = arena_new();
    if (!scratch) return fault_memory(r->why);
    bool *closed = arena_get(scratch, m->cut.n, sizeof *closed);
    status code = closed ? OK : fault_memory(r->why);
    for (size_t i = 0; i < m->cut.n && code == OK; i++) closed[i] = true;
    plugging_start from = {.closed = closed};
    if (code == OK) code = plugging_state_new(m, &from, scratch, &shut, r->why);
    if (code == OK) {
        site->shut_back_head_m = plugging_state_back_head_m(shut, -1);
        site->shut_m3_s = plugging_state_total_m3_s(shut);
        r->unsettled |= shut->unsettled;
    }
    arena_free(scratch);
    return code;
}

/* Walk one order, the next stretch of the progress. */
static status walk(run *r, plugging_site *site, plugging_order order, const size_t *given,
                   plugging_outcome *out) {
    double width = (WALK_TO - WALK_FROM) / (double)r->walks_n;
    double from = WALK_FROM + width * (double)r->walks++;
    site->walk = (plugging_span){r->in, from, from + width};
    return plugging_walk(site, order, given, r->memory, out, r->why);
}

/* Judge one more order; the better of it and *best stays. */
static status challenge(run *r, plugging_site *site, plugging_order order, const size_t *given,
                        plugging_outcome *best) {
    plugging_outcome other;
    status code = walk(r, site, order, given, &other);
    if (code != OK) return code;
    plugging_measure now = plugging_measure_of(&other), was = plugging_measure_of(best);
    if (best->steps_n == 0 || plugging_better(&now, &was)) *best = other;
    return OK;
}

/* The named orders with the reliefs given or one at the worst place; then what the search found, and the
 * trade's rule toward the best reliefs found. */
static status judge(run *r, const plugging_search_result *found, plugging_site *site, const size_t *at) {
    size_t *number = arena_get(r->scratch, r->reliefs_n, sizeof *number);
    plugging_outcome *orders = r->out->orders, named[PLUGGING_COMPUTED];
    status code = number ? OK : fault_memory(r->why);
    site->number = number;
    r->walks_n = PLUGGING_COMPUTED + found->n + 1;
    site->reliefs_n = r->fixed ? r->reliefs_n : found->worst >= 0;
    for (size_t i = 0; i < site->reliefs_n && code == OK; i++) number[i] = r->fixed ? i : at[found->worst];
    for (int o = 0; o < PLUGGING_COMPUTED && code == OK; o++) {
        if (!r->in->wanted[o] && !r->in->wanted[PLUGGING_COMPUTED]) continue;
        code = walk(r, site, (plugging_order)o, NULL, &named[o]);
        if (r->in->wanted[o] && code == OK) orders[o] = named[o];
    }
    if (code != OK || !r->in->wanted[PLUGGING_COMPUTED]) return code;
    plugging_outcome *best = &orders[PLUGGING_COMPUTED];
    *best = named[PLUGGING_LEAST_FIRST];
    plugging_measure inward = plugging_measure_of(&named[PLUGGING_INWARD]), least = plugging_measure_of(best);
    if (plugging_better(&inward, &least)) *best = named[PLUGGING_INWARD];
    for (size_t k = 0; k < found->n && code == OK; k++) {
        const plugging_found *f = &found->best[k];
        if (!r->fixed) site->reliefs_n = f->reliefs_n;
        for (size_t i = 0; i < f->reliefs_n; i++) number[i] = at[f->number[i]];
        code = challenge(r, site, PLUGGING_COMPUTED, f->order, best);
        bool elsewhere = f->reliefs_n != 1 || (int)f->number[0] != found->worst;
        if (k == 0 && f->reliefs_n > 0 && elsewhere && code == OK)
            code = challenge(r, site, PLUGGING_LEAST_FIRST, NULL, best);
    }
    return code;
}

static status keep_lines(run *r, const plugging_model *m) {
    plane_line *lines = arena_get(r->memory, m->lines_n, sizeof *lines);
    if (!lines) return fault_memory(r->why);
    memcpy(lines, m->lines, m->lines_n * sizeof *lines);
    r->out->lines = lines;
    r->out->lines_n = m->lines_n;
    return OK;
}

/* The best by the measure; what the drawing shows by rule: least flow first, unless it breaks the wash-out
 * limit and the computed order, closed toward a relief, does not. */
static void decide(const run *r) {
    plugging_result *out = r->out;
    const plugging_outcome *o = out->orders;
    out->best = PLUGGING_ORDERS;
    for (int i = 0; i < PLUGGING_ORDERS; i++) {
        if (!r->in->wanted[i]) continue;
        plugging_measure now = plugging_measure_of(&o[i]), was = {0, 0, 0};
        if (out->best != PLUGGING_ORDERS) was = plugging_measure_of(&o[out->best]);
        if (out->best == PLUGGING_ORDERS || plugging_better(&now, &was)) out->best = (plugging_order)i;
    }
    const plugging_outcome *computed = &o[PLUGGING_COMPUTED], *least = &o[PLUGGING_LEAST_FIRST];
    out->drawn = out->best;
    if (!r->in->wanted[PLUGGING_LEAST_FIRST]) return;
    bool spared = r->in->wanted[PLUGGING_COMPUTED] && computed->reliefs_n > 0 && least->over_washout > 0 &&
                  computed->over_washout == 0;
    out->drawn = spared ? PLUGGING_COMPUTED : PLUGGING_LEAST_FIRST;
}

static status tell_left_out(run *r) {
    status code = warn(
        r, "left out: the crack opening under the rising pressure, fines that wash out or clog, inertia and "
           "turbulence, the resistance of the ground, and what a plug lets through while it sets");
    if (code != OK) return code;
    return warn(
        r, "left out: a free surface in the crack; it is taken as full, which gives too much water where "
           "the level stands less than about 3 wall thicknesses above");
}

static status tell_reliefs(run *r) {
    status code = OK;
    if (r->reliefs_n == 0 && r->in->wanted[PLUGGING_COMPUTED])
        code = warn(r, "without a relief the computed order is information only: the last plug meets all the "
                       "water that is left");
    for (size_t i = 0; i < r->reliefs_n && r->fixed && code == OK; i++) {
        if (plugging_cut_find(&r->cut, &r->reliefs[i].at) < 0)
            code = warn(r, "reliefs[%zu] stands in no open stretch of a slot: no stretch is closed toward it",
                        i);
        if (code == OK && at_join(&r->bare, &r->reliefs[i]))
            code =
                warn(r,
                     "reliefs[%zu] stands on a join: here the joined panel drains into its hole too, which "
                     "crackplane leaves out",
                     i);
    }
    return code;
}

static status tell_orders(run *r) {
    const plugging_outcome *orders = r->out->orders;
    double shut_m3_s = 0, start_m3_s = 0;
    bool unsettled = r->unsettled;
    status code = OK;
    for (int o = 0; o < PLUGGING_ORDERS && code == OK; o++) {
        unsettled |= orders[o].unsettled;
        shut_m3_s = fmax(shut_m3_s, orders[o].shut_m3_s);
        start_m3_s = fmax(start_m3_s, orders[o].start_m3_s);
        if (orders[o].over_washout > 0)
            code = warn(
                r,
                "order %s meets more than the wash-out limit of %.3g l/min a metre at %zu segments, up to "
                "%.3g",
                plugging_order_name((plugging_order)o), r->in->washout_m2_s * 60e3, orders[o].over_washout,
                orders[o].peak_m2_s * 60e3);
    }
    if (code == OK && unsettled)
        code = warn(r, "where water leaves the dry face did not settle at every step: flows are approximate");
    if (code == OK && r->in->wanted[PLUGGING_COMPUTED] && !r->out->exact_search)
        code = warn(
            r, "the search for an order left states out: the computed order may not be the best there is");
    if (code == OK && shut_m3_s > TELL_SHARE * start_m3_s)
        code = warn(r, "with everything shut %.3g l/min still leaves beyond the slot", shut_m3_s * 60e3);
    return code;
}

static status run_all(run *r) {
    plugging_search_result found;
    plugging_model fine = {0};
    plane_relief *chosen;
    size_t chosen_n, *at;
    status code = prepare(r);
    plugging_tell(&(plugging_span){r->in, 0, 1}, FIT_TO);
    if (code == OK) code = look_round(r, &found);
    if (code == OK) code = choose_reliefs(r, &found, &chosen, &chosen_n, &at);
    if (code != OK) return code;
    r->out->exact_search = found.exact;
    plugging_model_options options = {.plane = &r->bare,
                                      .cut = &r->cut,
                                      .reliefs = chosen,
                                      .reliefs_n = chosen_n,
                                      .levels = PLUGGING_LEVELS,
                                      .flow_factor = r->flow_factor};
    code = plugging_model_make(&options, r->scratch, &fine, r->why);
    if (code != OK) return code;
    plugging_site site = {.m = &fine, .washout_m2_s = r->in->washout_m2_s};
    plugging_tell(&(plugging_span){r->in, WALK_FROM, 1}, 0);
    r->out->unknowns = (size_t)fine.unknowns;
    r->out->kept = (size_t)fine.kept_n;
    code = keep_lines(r, &fine);
    if (code == OK) code = shut_all(r, &fine, &site);
    if (code == OK) code = judge(r, &found, &site, at);
    if (code == OK) {
        decide(r);
        code = tell_left_out(r);
    }
    if (code == OK) code = tell_reliefs(r);
    if (code == OK) code = tell_orders(r);
    if (code == OK && r->in->picture_nx > 0) code = plugging_draw(&fine, r->in, r->memory, r->out, r->why);
    plugging_model_free(&fine);
    if (code == OK) plugging_tell(&(plugging_span){r->in, 0, 1}, 1);
    return code;
}

status plugging_run(const plugging_input *in, arena *memory, plugging_result *out, fault *why) {
    *out = (plugging_result){0};
    status code = plugging_check(in, why);
    if (code != OK) return code;
    run r = {.in = in, .memory = memory, .scratch = arena_new(), .why = why, .out = out};
    code = r.scratch ? run_all(&r) : fault_memory(why);
    arena_free(r.scratch);
    if (code != OK) *out = (plugging_result){0};
    return code;
}
