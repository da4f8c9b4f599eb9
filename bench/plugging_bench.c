/* plugging_bench [METRES [SEGMENT_MM]] - the plugging run on one crack: three orders and the search over
 * relief positions, timed; then every step of the computed order again by solving the whole plane anew on the
 * same mesh. Prints both times, their ratio and the largest difference of the flows met. One thread a crack:
 * run it with OPENBLAS_NUM_THREADS=1. */
#include "hydraulics/plane_parts.h"
#include "hydraulics/plugging.h"
#include "sparse/sparse.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

static double now_s(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void need(status code, const fault *why) {
    if (code == OK) return;
    fprintf(stderr, "plugging_bench: %s\n", why->text);
    exit(1);
}

/* The largest difference of a flow met, of the first flow of all, between the steps of an order and whole
 * solves. */
static double again(const plugging_input *in, const plugging_result *fast, const plugging_outcome *o,
                    double *seconds) {
    plane_relief *reliefs = calloc(o->reliefs_n + 1, sizeof *reliefs);
    if (!reliefs) exit(1);
    for (size_t r = 0; r < o->reliefs_n; r++) reliefs[r] = o->reliefs[r].relief;
    plane_input whole = in->plane;
    whole.reliefs = reliefs;
    whole.reliefs_n = o->reliefs_n;
    plane_mesh_options options = {.levels = PLUGGING_LEVELS, .lines = fast->lines, .lines_n = fast->lines_n};
    double worst = 0, start = now_s();
    for (size_t k = 0; k < o->steps_n; k++) {
        fault why = {0};
        plane_mesh *m;
        plane_state s;
        arena *scratch = arena_new();
        if (!scratch) exit(1);
        need(plane_mesh_build(&whole, &options, scratch, &m, &why), &why);
        for (size_t i = 0; i < m->sides_n; i++)
            for (size_t q = 0; q < k; q++) {
                const plane_interval *on = &o->steps[q].on;
                plane_side *side = &m->sides[i];
                bool slot = side->kind == PLANE_BOTTOM || side->kind == PLANE_SLOT_END;
                side->sealed |= slot && side->panel == on->panel && side->column_m > on->from_m &&
                                side->column_m < on->to_m;
            }
        need(plane_state_solve(&whole, m, fast->flow_factor, scratch, &s, &why), &why);
        double flow = plane_interval_flow_m3_s(&s, &o->steps[k].on, true);
        worst = fmax(worst, fabs(flow - o->steps[k].flow_m3_s) / o->start_m3_s);
        arena_free(scratch);
    }
    *seconds = now_s() - start;
    free(reliefs);
    return worst;
}

int main(int argc, char **argv) {
    double length_m = argc > 1 ? atof(argv[1]) : 6, segment_m = argc > 2 ? atof(argv[2]) / 1e3 : 0.15,
           mesh_m = argc > 3 ? atof(argv[3]) / 1e3 : 0.02;
    plane_station stations[] = {{0, 0, 0.2e-3, 0.2e-3},
                                {0.35 * length_m, 0.2 * length_m, 0.45e-3, 0.4e-3},
                                {0.7 * length_m, 0.4 * length_m, 0.25e-3, 0.25e-3},
                                {length_m, 0.6 * length_m, 0.35e-3, 0.3e-3}};
    plane_slot slot = {0, length_m, 0.037};
    plane_panel panel = {
        .id = "A", .thickness_m = 0.35, .stations = stations, .stations_n = 4, .slots = &slot, .slots_n = 1};
    plugging_input in = {.plane = {.temperature_c = 10,
                                   .flow_factor = 0.25,
                                   .mesh_m = mesh_m,
                                   .water_level_m = {true, 0.6 * length_m + 2},
                                   .panels = &panel,
                                   .panels_n = 1},
                         .segment_m = segment_m,
                         .washout_m2_s = PLUGGING_WASHOUT_M2_S,
                         .reliefs_allowed = 1,
                         .tube = {0.02, 0.5, 1.5e-6, 0.8, 1.0, 0, 10},
                         .relief_depth_m = PLUGGING_RELIEF_DEPTH_M,
                         .wanted = {true, true, true}};
    plugging_result out;
    fault why = {0};
    gsl_set_error_handler_off();
    sparse_begin();
    arena *memory = arena_new();
    if (!memory) return 1;
    double best = HUGE_VAL;
    for (int i = 0; i < 5; i++) {
        double start = now_s();
        need(plugging_run(&in, memory, &out, &why), &why);
        best = fmin(best, now_s() - start);
    }
    printf("%zu segments, %zu unknowns, %zu kept: %.4f s\n", out.orders[0].steps_n, out.unknowns, out.kept,
           best);
    for (int i = 0; i < PLUGGING_ORDERS; i++) {
        const plugging_outcome *o = &out.orders[i];
        double seconds, worst = again(&in, &out, o, &seconds);
        printf("%-12s over %zu, peak %.4f l/min/m, met %.4f l/min, relief met %.3f l/min/m, shut %.4f m, "
               "reliefs %zu at %.3f m; "
               "anew %.3f s, ratio of one order %.0f, difference %.2g\n",
               plugging_order_name((plugging_order)i), o->over_washout, o->peak_m2_s * 60e3,
               o->met_m3_s * 60e3, o->relief_met_m2_s * 60e3, o->shut_back_head_m, o->reliefs_n,
               o->reliefs_n ? o->reliefs[0].relief.at.chainage_m : 0.0, seconds, seconds / best, worst);
    }
    for (size_t i = 0; i < out.warnings_n; i++) printf("- %s\n", out.warnings[i]);
    arena_free(memory);
    return 0;
}
