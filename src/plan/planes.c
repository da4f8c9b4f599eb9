#include "plan/planes.h"

#include "plan/parts.h"
#include "plan/show.h"

#include <math.h>
#include <pthread.h>
#include <stdatomic.h>
#include <string.h>

static const double TUBE_LENGTH_M = 0.5, TUBE_ROUGHNESS_M = 1.5e-6; /* smooth plastic, common practice */
static const double TUBES_M[] = {0.010, 0.013, 0.016, 0.020,
                                 0.025, 0.032, 0.040};        /* stocked bores, our default */
static const double TUBE_USUAL_M = 0.020, TUBE_LEAVES = 0.10; /* our defaults, as in repair/design.c */
#define PLANE_MODEL "plane 2 " /* raised when the same inputs give another result */
enum { THREADS_MOST = 64 };

/* What the threads share. */
typedef struct {
    plan *p;
    planes_list today, past;
    atomic_size_t next;
    double past_limit_m3_s;
} running;

typedef struct {
    running *shared;
    status code;
    fault why;
} worker;

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
static double relief_depth_of(const running *r, const planes_group *g) {
    double depth = PLUGGING_RELIEF_DEPTH_M;
    for (size_t i = 0; i < g->n_leaks; i++) depth = fmax(depth, r->p->designs[g->leaks[i]].relief.depth_m);
    return depth;
}

static plugging_input input_of(const running *r, const planes_group *g, double bore_m) {
    return (plugging_input){.plane = g->input,
                            .segment_m = PLUGGING_SEGMENT_M,
                            .washout_m2_s = PLUGGING_WASHOUT_M2_S,
                            .reliefs_allowed = g->relief_wanted ? 1 : 0,
                            .tube = {.bore_m = bore_m,
                                     .length_m = TUBE_LENGTH_M,
                                     .roughness_m = TUBE_ROUGHNESS_M,
                                     .entry_loss = 0.8,
                                     .exit_loss = 1.0,
                                     .temperature_c = g->input.temperature_c},
                            .relief_depth_m = relief_depth_of(r, g),
                            .wanted = {true, true, !g->stop_unknown},
                            .picture_nx = PLAN_PICTURE_NX,
                            .picture_ny = PLAN_PICTURE_NY};
}

static double head_of(const planes_group *g, const leak_water *leaks) {
    double head = 0;
    for (size_t i = 0; i < g->n_leaks; i++) head = fmax(head, leaks[g->leaks[i]].head_today_m);
    return head;
}

static bool leaves_little(const plugging_outcome *o, double head_m) {
    for (size_t i = 0; i < o->reliefs_n; i++)
        if (!(o->reliefs[i].back_head_m <= TUBE_LEAVES * head_m)) return false;
    return true;
}

/* Search with the usual tube; then the smallest stocked one that leaves at most a tenth of the head, at the
 * place found. */
static status run_with_tube(const running *r, plan_plane *plane, fault *why) {
    plugging_input in = input_of(r, plane->group, TUBE_USUAL_M);
    status code = plugging_run(&in, plane->memory, &plane->run, why);
    const plugging_outcome *drawn = &plane->run.orders[plane->run.drawn];
    if (code != OK || drawn->reliefs_n == 0) return code;
    plane->tube_bore_m = TUBE_USUAL_M;
    plane_relief *fixed = arena_get(plane->memory, drawn->reliefs_n, sizeof *fixed);
    if (!fixed) return fault_memory(why);
    size_t n = drawn->reliefs_n;
    double head_m = head_of(plane->group, r->p->leaks);
    for (size_t i = 0; i < n; i++) fixed[i] = drawn->reliefs[i].relief;
    /* From the flow that the drawn order leaves to the tube, guess the bore; step up until the plane agrees.
     */
    for (size_t k = 0; code == OK && k < sizeof TUBES_M / sizeof *TUBES_M; k++) {
        relief_result alone;
        relief_tube tube = in.tube;
        tube.bore_m = TUBES_M[k];
        if (relief_flow(&tube, TUBE_LEAVES * head_m, &alone, NULL) != OK) continue;
        bool last = k + 1 == sizeof TUBES_M / sizeof *TUBES_M;
        if (!last && alone.flow_m3_s < drawn->reliefs[0].flow_m3_s * 0.9) continue;
        if (TUBES_M[k] == TUBE_USUAL_M && leaves_little(drawn, head_m))
            return OK; /* the search already ran with it */
        for (size_t i = 0; i < n; i++) {
            fixed[i].tube = tube;
            fixed[i].hole_m = tube.bore_m;
        }
        plugging_input again = input_of(r, plane->group, TUBES_M[k]);
        again.plane.reliefs = fixed;
        again.plane.reliefs_n = n;
        code = plugging_run(&again, plane->memory, &plane->run, why);
        plane->tube_bore_m = TUBES_M[k];
        if (code == OK && (last || leaves_little(&plane->run.orders[plane->run.drawn], head_m))) break;
    }
    return code;
}

/* What leaves the uncut plane today, beside the 1-D estimate of the same leaks. */
static status solve_uncut(plan_plane *plane, fault *why) {
    plane_input in = plane->group->input;
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

static status find_past(const running *r, size_t i, plan_plane *plane, fault *why) {
    plugging_input in = input_of(r, &r->past.groups[i], TUBE_USUAL_M);
    in.plane.measured_n = 0;
    in.plane.flow_factor = plane->run.flow_factor;
    status code = plugging_seal_past(&in, r->past_limit_m3_s, &plane->past, why);
    plane->past_known = code == OK;
    return code == E_MEMORY ? code : OK; /* a plane without an end to run past has no such length */
}

static status run_one(const running *r, size_t i, fault *why) {
    plan_plane *plane = &r->p->planes[i];
    status code = run_with_tube(r, plane, why);
    if (code == OK) code = solve_uncut(plane, why);
    if (code == OK) code = find_past(r, i, plane, why);
    if (code == E_MEMORY) return code;
    if (code != OK) { /* the rest of the plan stands without this plane; the sentence is shown */
        plane->problem = arena_copy(plane->memory, why->text);
        if (!plane->problem) return fault_memory(why);
        plane->run = (plugging_result){0};
    }
    round_run(plane);
    return OK;
}

static void *work(void *data) {
    worker *w = data;
    for (;;) {
        size_t i = atomic_fetch_add(&w->shared->next, 1);
        if (i >= w->shared->p->n_planes || w->code != OK) return NULL;
        if (w->shared->p->planes[i].fresh) w->code = run_one(w->shared, i, &w->why);
    }
}

/* This thread works too; a thread that cannot be started only leaves more to the others. */
static status run_all(running *r, int threads, fault *why) {
    worker workers[THREADS_MOST] = {{0}};
    pthread_t started[THREADS_MOST];
    int n = threads < 1 ? 1 : threads > THREADS_MOST ? THREADS_MOST : threads, running_n = 0;
    for (int i = 0; i < n; i++) workers[i].shared = r;
    while (running_n < n - 1 && pthread_create(&started[running_n], NULL, work, &workers[running_n + 1]) == 0)
        running_n++;
    work(&workers[0]);
    for (int i = 0; i < running_n; i++) pthread_join(started[i], NULL);
    for (int i = 0; i < n; i++) {
        if (workers[i].code == OK) continue;
        if (why) *why = workers[i].why;
        return workers[i].code;
    }
    return OK;
}

/* What a plane reads: its leaks' designs, by their hashes. */
static void hash_plane(const plan *p, plan_plane *plane) {
    text in = {0};
    text_add(&in, PLANE_MODEL STANCH_VERSION);
    for (size_t i = 0; i < plane->group->n_leaks; i++)
        text_add(&in, p->hashes[plane->group->leaks[i]].design);
    hash_text(text_get(&in), in.length, plane->hash);
    text_free(&in);
}

static void take_known(plan_plane *plane, const plan_options *options) {
    plane->fresh = true;
    for (size_t i = 0; plane->fresh && i < options->n_known; i++)
        if (strcmp(options->known[i].hash, plane->hash) == 0)
            plane->fresh = !plan_read_plane(options->known[i].body, plane);
}

static status list_planes(plan *p, running *r, const plan_options *options, fault *why) {
    p->planes = arena_get(p->memory, r->today.n, sizeof *p->planes);
    if (!p->planes) return fault_memory(why);
    for (size_t i = 0; i < r->today.n; i++) {
        plan_plane *plane = &p->planes[i];
        plane->group = &r->today.groups[i];
        plane->memory = arena_new();
        if (!plane->memory) return fault_memory(why);
        p->n_planes = i + 1;
        hash_plane(p, plane);
        take_known(plane, options);
        for (size_t k = 0; k < plane->group->n_leaks; k++) p->plane_of[plane->group->leaks[k]] = plane;
    }
    return OK;
}

/* ---- what the plan takes from a plane ---- */

static void take_relief(plan *p, const plan_plane *plane) {
    const plugging_outcome *drawn = &plane->run.orders[plane->run.drawn];
    for (size_t i = 0; i < plane->group->n_leaks; i++) {
        design_relief *relief = &p->designs[plane->group->leaks[i]].relief;
        if (relief->wanted)
            *relief =
                (design_relief){.reason = "its water leaves by the relief of the neighbour solved with it"};
    }
    for (size_t i = 0; i < drawn->reliefs_n; i++) {
        const plugging_relief *found = &drawn->reliefs[i];
        design_relief *relief = &p->designs[plane->group->owners[found->relief.at.panel].defect].relief;
        *relief = (design_relief){
            .wanted = true,
            .at_m = found->relief.at.chainage_m,
            .bore_m = plane->tube_bore_m,
            .depth_m = found->relief.depth_m,
            .flow_m3_s = {true, found->flow_m3_s},
            .back_head_m = {true, found->back_head_m},
            .reason = "place and bore follow from the crack plane: the order met there meets least"};
    }
}

static status ask_about_washout(plan *p, const plan_plane *plane, fault *why) {
    const plugging_outcome *drawn = &plane->run.orders[plane->run.drawn];
    if (drawn->over_washout == 0) return OK;
    const char *mark = p->leaks[plane->group->leaks[0]].defect->mark;
    const char *sentence = arena_print(
        p->memory,
        "%zu step%s of plugging meet%s more than %s, the limit above which fresh plug washes out (our "
        "default). A lower level, a second relief or suction: who decides?",
        drawn->over_washout, drawn->over_washout == 1 ? "" : "s", drawn->over_washout == 1 ? "s" : "",
        show_flow_metre(p, PLUGGING_WASHOUT_M2_S));
    if (!sentence) return fault_memory(why);
    return finding_add(p->survey, p->memory, &p->findings, FINDING_ASK, mark, "washout", sentence, why);
}

/* Does the slot run as far past the last wet mark as the plane asks? Common practice is what the design gave it. */
static status ask_about_past(plan *p, const plan_plane *plane, fault *why) {
    const survey_defect *d = p->leaks[plane->group->leaks[0]].defect;
    double given_m = 0.300;
    for (size_t i = 0; i < plane->group->n_leaks; i++)
        if (p->leaks[plane->group->leaks[i]].worst >= WET_RUN) given_m = 0.450;
    if (!plane->past_known || plane->past.past_m <= given_m) return OK;
    const char *wanted = isinf(plane->past.past_m) ? "further than 3 m" : show_length(p, plane->past.past_m);
    const char *sentence = arena_print(
        p->memory,
        "By the crack plane the seal must run on %s past the last wet mark; the slot runs %s, the common "
        "practice. Cut further, or watch the ends after all is shut: who decides?",
        wanted, show_length(p, given_m));
    if (!sentence) return fault_memory(why);
    return finding_add(p->survey, p->memory, &p->findings, FINDING_ASK, d->mark, "past", sentence, why);
}

static status take_planes(plan *p, fault *why) {
    status code = OK;
    for (size_t i = 0; code == OK && i < p->n_planes; i++) {
        if (p->planes[i].problem) continue;
        take_relief(p, &p->planes[i]);
        code = ask_about_washout(p, &p->planes[i], why);
        if (code == OK) code = ask_about_past(p, &p->planes[i], why);
    }
    return code;
}

status plan_run_planes(plan *p, const plan_options *options, fault *why) {
    p->planes_on = options->planes;
    if (!options->planes) return OK;
    running r = {.p = p, .past_limit_m3_s = takeoff_rate(p->survey, "seal_past_limit_l_d") / 1000 / 86400};
    status code = planes_find(p->survey, p->leaks, p->designs, false, p->memory, &r.today, why);
    if (code == OK) code = planes_find(p->survey, p->leaks, p->designs, true, p->memory, &r.past, why);
    if (code != OK) return code;
    p->plane_skipped = r.today.skipped;
    code = list_planes(p, &r, options, why);
    if (code == OK) code = run_all(&r, options->threads, why);
    return code == OK ? take_planes(p, why) : code;
}

/* ---- in words ---- */

/* Steps that go on from one another in one direction are one stretch. */
const char *plan_order_words(plan *p, const plan_plane *plane) {
    const plugging_outcome *o = &plane->run.orders[plane->run.drawn];
    text words = {0};
    for (size_t i = 0; i < o->steps_n;) {
        const plugging_step *first = &o->steps[i];
        size_t last = i;
        int way = 0;
        while (last + 1 < o->steps_n && o->steps[last + 1].on.panel == first->on.panel &&
               o->steps[last + 1].relief < 0 && first->relief < 0) {
            const plane_interval *a = &o->steps[last].on, *b = &o->steps[last + 1].on;
            int step = b->from_m == a->to_m ? 1 : b->to_m == a->from_m ? -1 : 0;
            if (step == 0 || (way != 0 && step != way)) break;
            way = step;
            last++;
        }
        const char *mark = p->leaks[plane->group->owners[first->on.panel].defect].defect->mark;
        double from = way < 0 ? first->on.to_m : first->on.from_m,
               to = way < 0 ? o->steps[last].on.from_m : o->steps[last].on.to_m;
        text_print(&words, "%s", i == 0 ? "" : first->relief >= 0 ? "; last the relief piece " : ", then ");
        if (plane->group->n_leaks > 1) text_print(&words, "%s ", mark);
        text_print(&words, "%s to %s", show_length(p, from), show_length(p, to));
        i = last + 1;
    }
    const char *copy = words.failed ? NULL : arena_copy(p->memory, text_get(&words));
    text_free(&words);
    return copy;
}
