#include "hydraulics/crackflow.h"
#include "hydraulics/plane_parts.h"
#include "hydraulics/water.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>

#define FACTOR_LEAST 0.02 /* published range 0.02 to 0.5: value from memory; trade rule 4 */
#define SHALLOW 3.0       /* level over the lowest point, in thicknesses: trade rule 3 */
#define TELL_BELOW_M 1e-6 /* negative pressure heads nearer to 0 than this are rounding; our choice */

status plane_warn(plane_result *out, arena *memory, fault *why, const char *format, ...) {
    char sentence[600];
    va_list args;
    va_start(args, format);
    vsnprintf(sentence, sizeof sentence, format, args);
    va_end(args);
    const char *kept = arena_copy(memory, sentence);
    const char **longer = kept ? arena_push(memory, out->warnings, &out->warnings_n, sizeof *longer) : NULL;
    if (!longer) return fault_memory(why);
    out->warnings = longer;
    longer[out->warnings_n - 1] = kept;
    return OK;
}

static const char *panel_name(const plane_input *in, size_t panel, char into[90]) {
    if (in->panels[panel].id)
        snprintf(into, 90, "%.80s", in->panels[panel].id);
    else
        snprintf(into, 90, "%zu", panel);
    return into;
}

/* Can water leave at all? */
static bool has_way_out(const plane_state *s) {
    bool any = false;
    for (size_t i = 0; i < s->mesh->sides_n; i++) any |= s->active[i];
    for (size_t r = 0; r < s->in->reliefs_n; r++) any |= s->relief_runs[r];
    for (size_t p = 1; p < s->in->panels_n; p++) any |= plane_level_m(s->in, p) != plane_level_m(s->in, 0);
    return any;
}

/* Water in and out. Where faces with different levels are joined, water may also leave by the lower level. */
static void sum_up(const plane_state *s, plane_result *out) {
    const plane_input *in = s->in;
    if (!has_way_out(s)) return; /* all reactions are rounding then */
    for (size_t p = 0; p < in->panels_n; p++) {
        double level_m = plane_level_m(in, p), net = 0;
        bool counted = false;
        for (size_t q = 0; q < p; q++) counted |= plane_level_m(in, q) == level_m;
        for (int i = 0; i < s->mesh->dofs && !counted; i++)
            if (s->held[i] == STATE_WET && s->head_m[i] == level_m) net -= s->leaves_m3_s[i];
        out->inflow_m3_s += fmax(net, 0);
        out->outflow_m3_s += fmax(-net, 0);
    }
    for (int i = 0; i < s->mesh->dofs; i++)
        if (s->held[i] == STATE_AIR) out->outflow_m3_s += s->leaves_m3_s[i];
    for (size_t r = 0; r < in->reliefs_n; r++) out->outflow_m3_s += plane_relief_flow_m3_s(s, r);
    if (out->inflow_m3_s > 0) out->balance = (out->inflow_m3_s - out->outflow_m3_s) / out->inflow_m3_s;
}

/* Pressure heads below 0 are given as 0; `lowest_m` remembers how far below they were. */
static double shown_pressure(double pressure_m, double *lowest_m) {
    *lowest_m = fmin(*lowest_m, pressure_m);
    return fmax(pressure_m, 0);
}

static void report_interval(const plane_state *s, const plane_interval *on, plane_interval_result *out,
                            double *lowest_m) {
    static const double simpson[3] = {1.0 / 6, 4.0 / 6, 1.0 / 6};
    double length_m = 0, sum = 0;
    *out = (plane_interval_result){.on = *on, .flow_m3_s = plane_interval_flow_m3_s(s, on, false)};
    for (size_t i = 0; i < s->mesh->sides_n; i++) {
        const plane_side *side = &s->mesh->sides[i];
        bool face = side->kind == PLANE_DRY || side->kind == PLANE_BOTTOM;
        if (!face || side->panel != on->panel || !(side->column_m > on->from_m && side->column_m < on->to_m))
            continue;
        length_m += side->length_m;
        for (int k = 0; k < 3 && s->reached[side->dof[k]]; k++) {
            double pressure_m = s->head_m[side->dof[k]] - plane_side_level_m(s->mesh, side, k);
            pressure_m = shown_pressure(pressure_m, lowest_m);
            out->max_head_m = fmax(out->max_head_m, pressure_m);
            sum += simpson[k] * side->length_m * pressure_m;
        }
    }
    if (length_m > 0) out->mean_head_m = sum / length_m;
}

static status report_lists(const plane_state *s, arena *memory, plane_result *out, double *lowest_m,
                           fault *why) {
    const plane_input *in = s->in;
    out->intervals = arena_get(memory, in->report_n, sizeof *out->intervals);
    out->reliefs = arena_get(memory, in->reliefs_n, sizeof *out->reliefs);
    out->heads = arena_get(memory, in->heads_n, sizeof *out->heads);
    if (!out->intervals || !out->reliefs || !out->heads) return fault_memory(why);
    out->intervals_n = in->report_n;
    for (size_t i = 0; i < in->report_n; i++)
        report_interval(s, &in->report[i], &out->intervals[i], lowest_m);
    for (size_t r = 0; r < in->reliefs_n; r++) {
        double rise_m = s->relief_runs[r] ? s->relief_rise_m[r] : fmax(s->relief_rise_m[r], 0);
        out->reliefs[r] =
            (plane_relief_result){plane_relief_flow_m3_s(s, r), rise_m, plane_outlet_m(in, r) + rise_m};
    }
    for (size_t i = 0; i < in->heads_n; i++) {
        const plane_point *at = &in->heads[i];
        double head_m, z_m = plane_elevation_m(&in->panels[at->at.panel], at->at.chainage_m, at->depth_m);
        if (plane_head_at(s->mesh, s->head_m, s->reached, at, &head_m))
            out->heads[i] = (plane_point_result){shown_pressure(head_m - z_m, lowest_m), head_m, true};
        else
            out->heads[i] = (plane_point_result){0, z_m, false};
    }
    return OK;
}

/* Largest Reynolds number 2 q / nu, q being the flow out per metre of trace over lengths of about one wall
 * thickness: right at a singular point q has no meaning. */
static status largest_reynolds(const plane_state *s, arena *memory, double nu_m2_s, double *reynolds,
                               fault *why) {
    *reynolds = 0;
    for (size_t p = 0; p < s->in->panels_n; p++) {
        const plane_panel *panel = &s->in->panels[p];
        double from_m = panel->stations[0].chainage_m;
        double length_m = panel->stations[panel->stations_n - 1].chainage_m - from_m;
        size_t bins = (size_t)fmin(fmax(floor(length_m / panel->thickness_m), 1), 1e6);
        double *flow = arena_get(memory, bins, sizeof *flow);
        if (!flow) return fault_memory(why);
        for (size_t i = 0; i < s->mesh->sides_n; i++) {
            const plane_side *side = &s->mesh->sides[i];
            if (side->panel != p || !s->active[i]) continue;
            size_t bin =
                (size_t)fmin(fmax((side->column_m - from_m) / length_m * (double)bins, 0), (double)bins - 1);
            flow[bin] += plane_side_flow_m3_s(s, i);
        }
        for (size_t b = 0; b < bins; b++)
            *reynolds = fmax(*reynolds, 2 * flow[b] / (length_m / (double)bins) / nu_m2_s);
    }
    return OK;
}

static status warn_dry_parts(const plane_state *s, arena *memory, plane_result *out, fault *why) {
    const plane_mesh *m = s->mesh;
    status code = OK;
    char name[90];
    for (size_t p = 0; p < s->in->panels_n && code == OK; p++) {
        bool wet = false, dry = false, closed = false;
        for (size_t i = 0; i < m->sides_n; i++) {
            if (m->sides[i].panel != p) continue;
            wet |= s->reached[m->sides[i].dof[1]];
            dry |= !s->reached[m->sides[i].dof[1]];
        }
        const plane_panel *panel = &s->in->panels[p];
        for (size_t i = 1; i < panel->stations_n; i++)
            closed |= !(fmax(panel->stations[i - 1].width_m, panel->stations[i - 1].width_wet_m) > 0 ||
                        fmax(panel->stations[i].width_m, panel->stations[i].width_wet_m) > 0);
        if (!dry) continue;
        code = plane_warn(
            out, memory, why, "panel %s: %s of the plane carries no water: %s", panel_name(s->in, p, name),
            wet ? "a part" : "all",
            closed ? "the crack is closed there (width 0)"
                   : "the water level lies below its wet face, or nothing joins it to the wet face");
    }
    if (code == OK && out->inflow_m3_s <= 0 && !has_way_out(s))
        code =
            plane_warn(out, memory, why,
                       "nothing flows: water has no way in, or no way out (all sealed or above the level)");
    return code;
}

static status warn_shallow(const plane_state *s, arena *memory, plane_result *out, fault *why) {
    status code = OK;
    for (size_t p = 0; p < s->in->panels_n && code == OK; p++) {
        const plane_panel *panel = &s->in->panels[p];
        double lowest_m = HUGE_VAL;
        char name[90];
        for (size_t i = 0; i < panel->stations_n; i++)
            lowest_m = fmin(lowest_m, panel->stations[i].elevation_m);
        double head_m = plane_level_m(s->in, p) - lowest_m;
        if (panel->lie != PLANE_WALL || !(head_m > 0) || head_m >= SHALLOW * panel->thickness_m) continue;
        code = plane_warn(
            out, memory, why,
            "panel %s: the water stands only %.2g thicknesses above the lowest point; a free surface would "
            "form that the model leaves out, and the flow comes out too high (by 21 %% at 1, 3 %% at 3)",
            panel_name(s->in, p, name), head_m / panel->thickness_m);
    }
    return code;
}

static status warn_joins(const plane_input *in, arena *memory, plane_result *out, fault *why) {
    status code = OK;
    for (size_t i = 0; i < in->joins_n && code == OK; i++) {
        const plane_spot *a = &in->joins[i].a, *b = &in->joins[i].b;
        const plane_panel *pa = &in->panels[a->panel], *pb = &in->panels[b->panel];
        double za = plane_elevation_m(pa, a->chainage_m, 0), zb = plane_elevation_m(pb, b->chainage_m, 0);
        if (fabs(za - zb) > 1e-3)
            code = plane_warn(out, memory, why,
                              "joins[%zu]: the dry faces lie at %.10g and %.10g m where they are joined; "
                              "check the elevations",
                              i, za, zb);
        if (code == OK && plane_level_m(in, a->panel) != plane_level_m(in, b->panel))
            code = plane_warn(out, memory, why,
                              "joins[%zu]: the water levels of the two panels differ; the flow straight from "
                              "the one to the "
                              "other round the joint hangs on the mesh",
                              i);
    }
    return code;
}

static status warn_factor(const plane_state *s, arena *memory, plane_result *out, fault *why) {
    if (s->in->measured_n == 0 || (s->flow_factor <= 1 && s->flow_factor >= FACTOR_LEAST)) return OK;
    if (s->flow_factor > 1)
        return plane_warn(
            out, memory, why,
            "flow_factor: %.3g comes out above 1, more than a smooth crack passes: the width is entered too "
            "small, or more crack leaks than is entered",
            s->flow_factor);
    return plane_warn(
        out, memory, why,
        "flow_factor: %.3g comes out below %g, the least that is published (0.02 to 0.5, value from memory): "
        "the width is entered too large, or the ground and not the crack limits the flow",
        s->flow_factor, FACTOR_LEAST);
}

static status warn_numbers(const plane_state *s, double lowest_m, arena *memory, plane_result *out,
                           fault *why) {
    status code = warn_factor(s, memory, out, why);
    if (code == OK && out->largest_reynolds > CRACKFLOW_INERTIA_RE)
        code = plane_warn(
            out, memory, why,
            "Reynolds number 2q/nu reaches %.3g, above %g: inertia counts, and the cubic law used here "
            "overstates the flow",
            out->largest_reynolds, CRACKFLOW_INERTIA_RE);
    if (code == OK && lowest_m < -TELL_BELOW_M)
        code = plane_warn(
            out, memory, why,
            "pressure heads down to %.3g m came out below 0 and are given as 0: above the water line the "
            "crack is not full",
            lowest_m);
    if (code == OK && !s->settled)
        code = plane_warn(
            out, memory, why,
            "where water leaves and where not did not settle in %zu passes; flows are near but not exact",
            s->passes);
    if (code == OK && s->refused_head_m > TELL_BELOW_M)
        code = plane_warn(
            out, memory, why,
            "where water leaves and where not did not settle freely; stretches under up to %.3g m of "
            "pressure were left shut",
            s->refused_head_m);
    return code;
}

status plane_report(const plane_state *s, arena *memory, plane_result *out, fault *why) {
    water_properties water;
    double lowest_m = 0;
    status code = water_at(s->in->temperature_c, &water, why);
    out->flow_factor = s->flow_factor;
    out->unknowns = s->unknowns;
    out->passes = s->passes;
    out->settled = s->settled && !(s->refused_head_m > TELL_BELOW_M);
    sum_up(s, out);
    if (code == OK) code = report_lists(s, memory, out, &lowest_m, why);
    if (code == OK)
        code = largest_reynolds(s, memory, water.kinematic_viscosity_m2_s, &out->largest_reynolds, why);
    if (code == OK) code = warn_dry_parts(s, memory, out, why);
    if (code == OK) code = warn_shallow(s, memory, out, why);
    if (code == OK) code = warn_joins(s->in, memory, out, why);
    if (code == OK) code = warn_numbers(s, lowest_m, memory, out, why);
    return code;
}
