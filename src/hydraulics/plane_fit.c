#include "hydraulics/plane_parts.h"

#include <math.h>

/* What the two planes give to each reading at a flow factor. */
typedef struct {
    const plane_input *in;
    const plane_mesh *as_given;
    const double *uncut_m3_s; /* of the uncut plane at factor 1, 0 where the reading is as given */
    bool any_as_given;
} fitting;

/* Of the whole reading, whatever panels it lies on. */
static double model_flow_m3_s(const plane_state *s, const plane_measured *at) {
    double flow = 0;
    for (size_t i = 0; i < at->on_n; i++) flow += plane_interval_flow_m3_s(s, &at->on[i], at->as_given);
    return flow;
}

static status flows_at(const fitting *f, double factor, double *flow_m3_s, fault *why) {
    plane_state s;
    arena *scratch = f->any_as_given ? arena_new() : NULL;
    status code = OK;
    if (f->any_as_given)
        code = scratch ? plane_state_solve(f->in, f->as_given, factor, scratch, &s, why) : fault_memory(why);
    for (size_t i = 0; i < f->in->measured_n && code == OK; i++) {
        const plane_measured *at = &f->in->measured[i];
        flow_m3_s[i] = at->as_given ? model_flow_m3_s(&s, at) : factor * f->uncut_m3_s[i];
    }
    arena_free(scratch);
    return code;
}

/* The uncut plane carries no tube, so its flows go with the factor and one solution serves. */
static status solve_uncut(const plane_input *in, double *flow_m3_s, fault *why) {
    const plane_mesh_options options = {.levels = PLANE_LEVELS, .uncut = true};
    plane_mesh *m = NULL;
    plane_state s;
    bool any = false;
    for (size_t i = 0; i < in->measured_n; i++) any |= !in->measured[i].as_given;
    if (!any) return OK;
    arena *scratch = arena_new();
    if (!scratch) return fault_memory(why);
    status code = plane_mesh_build(in, &options, scratch, &m, why);
    if (code == OK) code = plane_state_solve(in, m, 1, scratch, &s, why);
    for (size_t i = 0; i < in->measured_n && code == OK; i++)
        if (!in->measured[i].as_given) flow_m3_s[i] = model_flow_m3_s(&s, &in->measured[i]);
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

status plane_fit(const plane_input *in, const plane_mesh *as_given, double *factor, double *residuals_m3_s,
                 arena *memory, fault *why) {
    double *uncut = arena_get(memory, in->measured_n, sizeof *uncut);
    fitting f = {.in = in, .as_given = as_given, .uncut_m3_s = uncut};
    if (!uncut) return fault_memory(why);
    for (size_t i = 0; i < in->measured_n; i++) f.any_as_given |= in->measured[i].as_given;
    status code = solve_uncut(in, uncut, why);
    *factor = 0.25; /* where the search begins: our default factor */
    if (code == OK) code = iterate(&f, factor, residuals_m3_s, memory, why);
    return code;
}
