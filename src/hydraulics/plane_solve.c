#include "hydraulics/plane.h"

#include "hydraulics/plane_parts.h"

#include <string.h>

static status solve(const plane_input *in, arena *memory, arena *scratch, plane_result *out, fault *why) {
    const plane_mesh_options options = {.levels = PLANE_LEVELS};
    plane_mesh *m = NULL;
    plane_state s;
    plane_fitted fit = {.factor = in->flow_factor};
    out->residuals_m3_s = arena_get(memory, in->measured_n, sizeof *out->residuals_m3_s);
    if (!out->residuals_m3_s) return fault_memory(why);
    status code = plane_mesh_build(in, &options, scratch, &m, why);
    if (code == OK && in->measured_n > 0) code = plane_fit(in, m, &fit, out->residuals_m3_s, scratch, why);
    if (code == OK) code = plane_state_solve(in, m, fit.factor, scratch, &s, why);
    if (code == OK) code = plane_report(&s, memory, out, why);
    return code;
}

status plane_solve(const plane_input *in, arena *memory, plane_result *out, fault *why) {
    *out = (plane_result){0};
    status code = plane_check(in, why);
    if (code != OK) return code;
    arena *scratch = arena_new();
    if (!scratch) return fault_memory(why);
    code = solve(in, memory, scratch, out, why);
    arena_free(scratch);
    if (code != OK) *out = (plane_result){0};
    return code;
}
