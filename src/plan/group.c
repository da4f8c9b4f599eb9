/* One group of leaks: the plugging run with the tube that fits, or only its steady plane. */
#include "plan/group.h"

#include <math.h>
#include <string.h>

/* Shares of a group's time, measured and rounded: all runs with tubes, then the uncut plane, then the run past the wet
 * mark. */
#define RUNS_TO 0.9
#define FIRST_TO 0.6   /* where another tube may follow */
#define AGAIN_PART 0.8 /* of what is left, each time: mostly one run more is enough */
#define UNCUT_PART 0.3

static double round_to(double value, double step) {
    return isfinite(value) ? round(value / step) * step : value;
}

/* To six figures: what is printed or drawn is the same from a stored result. */
static double figures(double value) {
    if (value == 0 || !isfinite(value)) return value;
    double step = pow(10, floor(log10(fabs(value))) - 5);
    return round_to(value, step);
}

static void round_outcome(plugging_outcome *o) {
    double *sums[] = {&o->peak_m2_s,  &o->met_m3_s,         &o->relief_met_m2_s,
                      &o->start_m3_s, &o->shut_back_head_m, &o->shut_m3_s};
    for (size_t i = 0; i < sizeof sums / sizeof *sums; i++) *sums[i] = figures(*sums[i]);
    for (size_t i = 0; i < o->steps_n; i++) {
        plugging_step *s = &o->steps[i];
        s->flow_m3_s = figures(s->flow_m3_s);
        s->total_m3_s = figures(s->total_m3_s);
        s->max_back_head_m = figures(s->max_back_head_m);
        s->fresh_head_m = figures(s->fresh_head_m);
    }
    for (size_t i = 0; i < o->reliefs_n; i++) {
        o->reliefs[i].flow_m3_s = figures(o->reliefs[i].flow_m3_s);
        o->reliefs[i].back_head_m = figures(o->reliefs[i].back_head_m);
    }
}

static void round_run(plan_plane *plane) {
    for (int k = 0; k < PLUGGING_ORDERS; k++) round_outcome(&plane->run.orders[k]);
    for (int k = 0; k < PLUGGING_PICTURES; k++) {
        plugging_picture *p = &plane->run.pictures[k];
        for (size_t i = 0; p->head_m && i < plane->group->input.panels_n; i++)
            for (int j = 0; j < PLAN_PICTURE_NX * PLAN_PICTURE_NY; j++)
                p->head_m[i][j] = round_to(p->head_m[i][j], 1e-4);
        for (size_t i = 0; i < p->face_n; i++) p->flow_m2_s[i] = figures(p->flow_m2_s[i]);
    }
    plane->run.flow_factor = figures(plane->run.flow_factor);
    plane->uncut_m3_s.v = figures(plane->uncut_m3_s.v);
    plane->past.beyond_m3_s = figures(plane->past.beyond_m3_s);
    for (int k = 0; k < 2; k++) plane->past.practice_m3_s[k] = figures(plane->past.practice_m3_s[k]);
}

/* As deep as the deepest relief hole that the leaks' designs ask for. */
static double relief_depth_of(const group_job *job, const planes_group *g) {
    double depth = PLUGGING_RELIEF_DEPTH_M;
    for (size_t i = 0; i < g->n_leaks; i++) depth = fmax(depth, job->p->designs[g->leaks[i]].relief.depth_m);
    return depth;
}

static plugging_input input_of(const group_job *job, const planes_group *g, double bore_m) {
    plugging_input in = {.plane = g->input,
                         .segment_m = PLUGGING_SEGMENT_M,
                         .washout_m2_s = PLUGGING_WASHOUT_M2_S,
                         .reliefs_allowed = g->relief_wanted ? 1 : 0,
                         .tube = design_tube(bore_m, g->input.temperature_c),
                         .relief_depth_m = relief_depth_of(job, g),
                         .wanted = {true, true, !g->stop_unknown},
                         .picture_nx = PLAN_PICTURE_NX,
                         .picture_ny = PLAN_PICTURE_NY};
    in.plane.stop = job->stop;
    return in;
}

static double head_of(const planes_group *g, const leak_water *leaks) {
    double head = 0;
    for (size_t i = 0; i < g->n_leaks; i++) head = fmax(head, leaks[g->leaks[i]].head_today_m);
    return head;
}

static bool leaves_little(const plugging_outcome *o, double head_m) {
    for (size_t i = 0; i < o->reliefs_n; i++)
        if (!(o->reliefs[i].back_head_m <= DESIGN_TUBE_LEAVES * head_m)) return false;
    return true;
}

/* A stretch of the group's progress, handed to one run. */
typedef struct {
    const group_job *job;
    double from, to;
} span;

static void tell(void *to, double part) {
    const span *s = to;
    if (s->job->progress) s->job->progress(s->job->progress_to, s->from + part * (s->to - s->from));
}

/* One run, told as the next stretch. */
static status run_plugging(plugging_input *in, span *s, plan_plane *plane, fault *why) {
    in->progress = tell;
    in->progress_to = s;
    status code = plugging_run(in, plane->memory, &plane->run, why);
    s->from = s->to;
    s->to = s->from + (RUNS_TO - s->from) * AGAIN_PART;
    return code;
}

/* The place found stays, and so does the flow factor: it was fitted to readings taken before any tube was set. */
static status run_again(const group_job *job, plan_plane *plane, plane_relief *fixed, size_t n, double bore_m,
                        span *s, fault *why) {
    plugging_input in = input_of(job, plane->group, bore_m);
    for (size_t i = 0; i < n; i++) {
        fixed[i].tube = in.tube;
        fixed[i].hole_m = bore_m;
    }
    in.plane.reliefs = fixed;
    in.plane.reliefs_n = n;
    in.plane.measured_n = 0;
    in.plane.flow_factor = plane->run.flow_factor;
    plane->tube_bore_m = bore_m;
    maybe uncut_m3_s = plane->run.uncut_m3_s;
    status code = run_plugging(&in, s, plane, why);
    plane->run.uncut_m3_s = uncut_m3_s;
    return code;
}

/* Search with the usual tube; then the smallest stocked one that leaves at most a tenth of the head, at the place
 * found: from the flow that the drawn order leaves to the tube the bore is guessed, then stepped up until the plane
 * agrees. */
static status run_with_tube(const group_job *job, plan_plane *plane, fault *why) {
    plugging_input in = input_of(job, plane->group, DESIGN_TUBE_USUAL_M);
    span s = {job, 0, plane->group->relief_wanted ? FIRST_TO : RUNS_TO};
    status code = run_plugging(&in, &s, plane, why);
    const plugging_outcome *drawn = &plane->run.orders[plane->run.drawn];
    if (code != OK || drawn->reliefs_n == 0) return code;
    plane->tube_bore_m = DESIGN_TUBE_USUAL_M;
    size_t n = drawn->reliefs_n;
    plane_relief *fixed = arena_get(plane->memory, n, sizeof *fixed);
    if (!fixed) return fault_memory(why);
    double head_m = head_of(plane->group, job->p->leaks);
    for (size_t i = 0; i < n; i++) fixed[i] = drawn->reliefs[i].relief;
    for (int k = 0; code == OK && k < DESIGN_TUBES; k++) {
        relief_result alone;
        relief_tube tube = design_tube(design_tubes_m[k], in.plane.temperature_c);
        if (relief_flow(&tube, DESIGN_TUBE_LEAVES * head_m, &alone, NULL) != OK) continue;
        bool last = k + 1 == DESIGN_TUBES;
        drawn = &plane->run.orders[plane->run.drawn];
        if (!last && alone.flow_m3_s < drawn->reliefs[0].flow_m3_s * 0.9) continue;
        if (tube.bore_m == DESIGN_TUBE_USUAL_M && leaves_little(drawn, head_m))
            return OK; /* the search already ran with it */
        code = run_again(job, plane, fixed, n, tube.bore_m, &s, why);
        if (code == OK && (last || leaves_little(&plane->run.orders[plane->run.drawn], head_m))) break;
    }
    return code;
}

/* What leaves the uncut plane today, beside the 1-D estimate of the same leaks; where a reading was fitted it is known. */
static status solve_uncut(const group_job *job, plan_plane *plane, fault *why) {
    plane->uncut_m3_s = plane->run.uncut_m3_s;
    if (plane->uncut_m3_s.known) return OK;
    plane_input in = plane->group->input;
    in.stop = job->stop;
    plane_panel *panels = arena_get(plane->memory, in.panels_n, sizeof *panels);
    if (!panels) return fault_memory(why);
    memcpy(panels, in.panels, in.panels_n * sizeof *panels);
    for (size_t i = 0; i < in.panels_n; i++) panels[i].slots_n = 0;
    in.panels = panels;
    in.measured_n = 0;
    in.flow_factor = plane->run.flow_factor;
    plane_result result;
    status code = plane_solve(&in, plane->memory, &result, why);
    if (code == OK) plane->uncut_m3_s = (maybe){true, result.outflow_m3_s};
    return code;
}

static status find_past(const group_job *job, plan_plane *plane, fault *why) {
    plugging_input in = input_of(job, job->past, DESIGN_TUBE_USUAL_M);
    in.plane.measured_n = 0;
    in.plane.flow_factor = plane->run.flow_factor;
    fault silent; /* a plane without an end to run past has no such length */
    status code = plugging_seal_past(&in, job->past_limit_m3_s, &plane->past, &silent);
    plane->past_known = code == OK;
    if (code == E_MEMORY) return fault_memory(why);
    return plane_stopped(job->stop, why);
}

static status run_whole(const group_job *job, plan_plane *plane, fault *why) {
    span rest = {job, RUNS_TO, 1};
    status code = run_with_tube(job, plane, why);
    if (code == OK) code = plane_stopped(job->stop, why);
    if (code == OK) tell(&rest, 0);
    if (code == OK) code = solve_uncut(job, plane, why);
    if (code == OK) tell(&rest, UNCUT_PART);
    return code == OK ? find_past(job, plane, why) : code;
}

/* The factor that fits the readings, on the plane as a run would see it. */
static status run_steady(const group_job *job, plan_plane *plane, fault *why) {
    plugging_input in = input_of(job, plane->group, DESIGN_TUBE_USUAL_M);
    plane_fitted fit;
    status code = plugging_flow_factor(&in, &fit, why);
    if (code != OK) return code;
    plane->run.flow_factor = fit.factor;
    plane->run.uncut_m3_s = fit.uncut_m3_s;
    return solve_uncut(job, plane, why);
}

status group_run(const group_job *job, plan_plane *plane, fault *why) {
    status code = plane->steady ? run_steady(job, plane, why) : run_whole(job, plane, why);
    if (code == OK) round_run(plane);
    return code;
}

/* A run condenses the plane on to its slot and closes it a segment at a time, all of it again with the tube that fits.
 * Milliseconds, fitted by eye to runs of 4 to 153 segments. */
double group_weight(const plan_plane *plane) {
    const plane_input *in = &plane->group->input;
    double segments = 0;
    for (size_t i = 0; i < in->panels_n; i++)
        for (size_t k = 0; k < in->panels[i].slots_n; k++)
            segments += (in->panels[i].slots[k].to_m - in->panels[i].slots[k].from_m) / PLUGGING_SEGMENT_M;
    if (plane->steady) return 5 * (double)in->panels_n;
    return 10 + segments * segments * (plane->group->relief_wanted ? 2 : 0.2);
}
