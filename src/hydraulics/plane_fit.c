#include "hydraulics/plane_parts.h"

#include <math.h>

/* What the two planes give to each reading at a flow factor. */
typedef struct {
    const plane_input *in;
    const plane_mesh *as_given;
    const double
        *unit_m3_s; /* of a plane that carries no tube, at factor 1; 0 where the reading is bent by one */
    bool any_bent;
} fitting;

/* A tube bends the flow; without one it goes with the factor, and one solution serves. */
static bool is_bent(const plane_input *in, const plane_measured *at) {
    return at->as_given && in->reliefs_n > 0;
}

/* Of the whole reading, whatever panels it lies on. */
static double model_flow_m3_s(const plane_state *s, const plane_measured *at) {
    double flow = 0;
    for (size_t i = 0; i < at->on_n; i++) flow += plane_interval_flow_m3_s(s, &at->on[i], at->as_given);
    return flow;
}

static status flows_at(const fitting *f, double factor, double *flow_m3_s, fault *why) {
    plane_state s;
    arena *scratch = f->any_bent ? arena_new() : NULL;
    status code = OK;
    if (f->any_bent)
        code = scratch ? plane_state_solve(f->in, f->as_given, factor, scratch, &s, why) : fault_memory(why);
    for (size_t i = 0; i < f->in->measured_n && code == OK; i++) {
        const plane_measured *at = &f->in->measured[i];
        flow_m3_s[i] = is_bent(f->in, at) ? model_flow_m3_s(&s, at) : factor * f->unit_m3_s[i];
    }
    arena_free(scratch);
    return code;
}

/* Readings that go with the factor, on a mesh solved once at factor 1: those of the plane as given, or the uncut ones. */
static status solve_unit(const plane_input *in, const plane_mesh *m, bool as_given, double *flow_m3_s,
                         double *all_m3_s, fault *why) {
    plane_state s;
    arena *scratch = arena_new();
    status code = scratch ? plane_state_solve(in, m, 1, scratch, &s, why) : fault_memory(why);
    *all_m3_s = 0;
    for (size_t i = 0; i < in->measured_n && code == OK; i++)
        if (in->measured[i].as_given == as_given) flow_m3_s[i] = model_flow_m3_s(&s, &in->measured[i]);
    for (size_t i = 0; i < m->sides_n && code == OK; i++) *all_m3_s += plane_side_flow_m3_s(&s, i);
    arena_free(scratch);
    return code;
}

static status solve_uncut(const plane_input *in, double *flow_m3_s, double *all_m3_s, fault *why) {
    const plane_mesh_options options = {.levels = PLANE_LEVELS, .uncut = true};
    plane_mesh *m = NULL;
    arena *scratch = arena_new();
    status code = scratch ? plane_mesh_build(in, &options, scratch, &m, why) : fault_memory(why);
    if (code == OK) code = solve_unit(in, m, false, flow_m3_s, all_m3_s, why);
    arena_free(scratch);
    return code;
}

/* Gauss-Newton on the sum of squares of the residuals, the slopes d q / d factor taken along the last step:
 * for flows that go with the factor the first step is exact; a tube bends them a little. */
static status iterate(const fitting *f, double *factor, double *residual, arena *memory, fault *why) {
    enum { STEPS = 60 };
    size_t n = f->in->measured_n;
    double *flow = arena_get(memory, n, sizeof *flow), *slope = arena_get(memory, n, sizeof *slope), last = 0;
    if (!flow || !slope) return fault_memory(why);
    for (int step = 0; step < STEPS; step++) {
        double down = 0, up = 0;
        status code = flows_at(f, *factor, residual, why);
        if (code != OK) return code;
        for (size_t i = 0; i < n; i++) {
            double now = residual[i];
            slope[i] = step == 0 ? now / *factor : (now - flow[i]) / (*factor - last);
            flow[i] = now;
            residual[i] = f->in->measured[i].flow_m3_s - now;
            up += residual[i] * slope[i];
            down += slope[i] * slope[i];
        }
        if (!(down > 0))
            return fault_set(
                why, E_INPUT,
                "measured: the plane as entered gives no water there, so no flow factor fits; check "
                "water level, widths and seals");
        double to = fmin(fmax(*factor + up / down, *factor / 10), *factor * 10);
        if (!(fabs(to - *factor) > 1e-12 * *factor)) return OK;
        last = *factor;
        *factor = to;
    }
    return OK;
}

status plane_fit(const plane_input *in, const plane_mesh *as_given, plane_fitted *out, double *residuals_m3_s,
                 arena *memory, fault *why) {
    double *unit = arena_get(memory, in->measured_n, sizeof *unit), uncut_m3_s = 0, cut_m3_s;
    fitting f = {.in = in, .as_given = as_given, .unit_m3_s = unit};
    bool uncut = false, straight = false;
    status code = unit ? OK : fault_memory(why);
    for (size_t i = 0; i < in->measured_n; i++) {
        f.any_bent |= is_bent(in, &in->measured[i]);
        uncut |= !in->measured[i].as_given;
        straight |= in->measured[i].as_given && !is_bent(in, &in->measured[i]);
    }
    if (code == OK && uncut) code = solve_uncut(in, unit, &uncut_m3_s, why);
    if (code == OK && straight) code = solve_unit(in, as_given, true, unit, &cut_m3_s, why);
    out->factor = 0.25; /* where the search begins: our default factor */
    if (code == OK) code = iterate(&f, &out->factor, residuals_m3_s, memory, why);
    out->uncut_m3_s = (maybe){code == OK && uncut, out->factor * uncut_m3_s};
    return code;
}
