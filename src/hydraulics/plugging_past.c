#include "core/mem.h"
#include "hydraulics/plugging_parts.h"

#include <math.h>

/* Lengths tried: every 50 mm to 0.6 m, where common practice lies, then every 150 mm (our choice). */
enum { STEPS = 29, FINE_STEPS = 13 };
static const double practice_m[2] = {0.3, 0.45}; /* common practice: past the last visible wetness */

static double length_m(int step) {
    return step < FINE_STEPS ? 0.05 * step : 0.6 + 0.15 * (step - FINE_STEPS + 1);
}

/* Lines where a seal may end, so that no element lies half under it. */
static plane_line *seal_lines(const plane_input *in, arena *memory, size_t *n) {
    size_t slots = 0;
    for (size_t p = 0; p < in->panels_n; p++) slots += in->panels[p].slots_n;
    plane_line *lines = arena_get(memory, 2 * STEPS * slots, sizeof *lines);
    *n = 0;
    for (size_t p = 0; p < in->panels_n && lines; p++)
        for (size_t k = 0; k < in->panels[p].slots_n; k++)
            for (int i = 1; i < STEPS; i++) {
                const plane_slot *slot = &in->panels[p].slots[k];
                lines[(*n)++] = (plane_line){p, false, slot->from_m - length_m(i), true};
                lines[(*n)++] = (plane_line){p, false, slot->to_m + length_m(i), true};
            }
    return lines;
}

static status lengthen(const plugging_model *m, double limit_m3_s, arena *scratch, plugging_past *out,
                       fault *why) {
    plugging_state *s;
    bool *closed = arena_get(scratch, m->cut.n, sizeof *closed);
    if (!closed) return fault_memory(why);
    for (size_t i = 0; i < m->cut.n; i++) closed[i] = true;
    plugging_start shut = {.closed = closed};
    status code = plugging_state_new(m, &shut, scratch, &s, why);
    out->past_m = HUGE_VAL;
    for (int i = 0; i < STEPS && code == OK; i++) {
        code = plugging_state_close_face(s, length_m(i), why);
        double beyond_m3_s = plugging_state_total_m3_s(s);
        for (int k = 0; k < 2; k++)
            if (fabs(length_m(i) - practice_m[k]) < PLUGGING_TIE_M) out->practice_m3_s[k] = beyond_m3_s;
        if (!isinf(out->past_m)) continue;
        out->beyond_m3_s = beyond_m3_s;
        if (beyond_m3_s <= limit_m3_s) out->past_m = length_m(i);
    }
    out->practice_governs = out->past_m <= practice_m[0];
    return code;
}

static status find(const plugging_input *in, double limit_m3_s, arena *scratch, plugging_past *out,
                   fault *why) {
    plugging_cut cut;
    plugging_model m;
    plane_input bare = in->plane;
    plugging_model_options options = {.plane = &bare, .cut = &cut, .flow_factor = bare.flow_factor};
    bare.reliefs_n = bare.measured_n = bare.report_n = bare.heads_n = 0;
    status code = plugging_cut_make(&bare, in->segment_m, scratch, &cut, why);
    options.lines = seal_lines(&bare, scratch, &options.lines_n);
    if (code == OK && !options.lines) code = fault_memory(why);
    plane_fitted fit;
    if (code == OK) code = plugging_fit(in, scratch, &fit, why);
    if (code == OK) options.flow_factor = fit.factor;
    if (code == OK) code = plugging_model_make(&options, scratch, &m, why);
    if (code != OK) return code;
    code = lengthen(&m, limit_m3_s, scratch, out, why);
    plugging_model_free(&m);
    return code;
}

status plugging_seal_past(const plugging_input *in, double limit_m3_s, plugging_past *out, fault *why) {
    *out = (plugging_past){0};
    status code = plugging_check(in, why);
    if (code == OK && !(limit_m3_s >= 0))
        code = fault_set(why, E_INPUT, "limit_l_min: is %.10g; it must be at least 0", limit_m3_s * 60e3);
    arena *scratch = code == OK ? arena_new() : NULL;
    if (code == OK) code = scratch ? find(in, limit_m3_s, scratch, out, why) : fault_memory(why);
    arena_free(scratch);
    if (code != OK) *out = (plugging_past){0};
    return code;
}
