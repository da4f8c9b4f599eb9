/* plugging_bench [METRES [SEGMENT_MM [CRACKS]]] - the plugging run on one crack: three orders and the search over
 * relief positions, timed whole; then every step of each order again by solving the whole plane anew on the same
 * mesh. Prints the times, two ratios and the largest difference:
 *   a step: a whole solve against a step of an order (a run less what it takes to condense and search is not
 *           taken off: it is the time of a further order on the condensed plane, measured by asking for it);
 *   the run: what the orders and the trade's rule toward every relief position would take by whole solves.
 * Times are core seconds. With CRACKS, that many runs one after the other on cracks of 2 to 4 m, for the time of one. One thread a crack:
 * run it with OPENBLAS_NUM_THREADS=1. */
#include "../tests/plugging_again.h"
#include "hydraulics/plugging_parts.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { RUNS = 7 };

typedef struct {
    plane_station stations[4];
    plane_slot slot;
    plane_panel panel;
    plugging_input in;
} crack;

static double now_s(void) {
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t); /* core time: others may use the machine */
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void need(status code, const fault *why) {
    if (code == OK) return;
    fprintf(stderr, "plugging_bench: %s\n", why->text);
    exit(1);
}

/* A rising crack, widest at a third. */
static void make_crack(crack *c, double length_m, double segment_m) {
    *c = (crack){.stations = {{0, 0, 0.2e-3, 0.2e-3},
                              {0.35 * length_m, 0.2 * length_m, 0.45e-3, 0.4e-3},
                              {0.7 * length_m, 0.4 * length_m, 0.25e-3, 0.25e-3},
                              {length_m, 0.6 * length_m, 0.35e-3, 0.3e-3}},
                 .slot = {0, length_m, 0.037}};
    c->panel = (plane_panel){.id = "A",
                             .thickness_m = 0.35,
                             .stations = c->stations,
                             .stations_n = 4,
                             .slots = &c->slot,
                             .slots_n = 1};
    c->in = (plugging_input){
        .plane = {.temperature_c = 10,
                  .flow_factor = 0.25,
                  .mesh_m = PLANE_MESH_M,
                  .water_level_m = {true, 0.6 * length_m + 2},
                  .panels = &c->panel,
                  .panels_n = 1},
        .segment_m = segment_m,
        .washout_m2_s = PLUGGING_WASHOUT_M2_S,
        .reliefs_allowed = 1,
        .tube = {0.02, 0.5, PLUGGING_ROUGHNESS_M, PLUGGING_ENTRY_LOSS, PLUGGING_EXIT_LOSS, 0, 10},
        .relief_depth_m = PLUGGING_RELIEF_DEPTH_M,
        .wanted = {true, true, true}};
}

static double run_s(const crack *c, arena *memory, plugging_result *out) {
    fault why = {0};
    double best = HUGE_VAL;
    for (int i = 0; i < RUNS; i++) {
        double start = now_s();
        need(plugging_run(&c->in, memory, out, &why), &why);
        best = fmin(best, now_s() - start);
    }
    return best;
}

/* One more order of closing on the condensed plane. */
static double walk_s(const crack *c, const plugging_result *run, arena *memory) {
    fault why = {0};
    plugging_cut cut;
    plugging_model m;
    plugging_outcome out;
    size_t number = 0;
    const plugging_outcome *order = &run->orders[PLUGGING_LEAST_FIRST];
    need(plugging_cut_make(&c->in.plane, c->in.segment_m, memory, &cut, &why), &why);
    plugging_model_options o = {.plane = &c->in.plane,
                                .cut = &cut,
                                .reliefs = &order->reliefs[0].relief,
                                .reliefs_n = 1,
                                .levels = PLUGGING_LEVELS,
                                .flow_factor = run->flow_factor};
    need(plugging_model_make(&o, memory, &m, &why), &why);
    plugging_site site = {.m = &m, .number = &number, .reliefs_n = 1, .washout_m2_s = c->in.washout_m2_s};
    double best = HUGE_VAL;
    for (int i = 0; i < RUNS; i++) {
        double start = now_s();
        need(plugging_walk(&site, PLUGGING_LEAST_FIRST, NULL, memory, &out, &why), &why);
        best = fmin(best, now_s() - start);
    }
    plugging_model_free(&m);
    return best;
}

static void compare(double length_m, double segment_m, arena *memory) {
    crack c;
    plugging_result out;
    fault why = {0};
    make_crack(&c, length_m, segment_m);
    double fast_s = run_s(&c, memory, &out), order_s = walk_s(&c, &out, memory), slow_s = 0, flow = 0,
           head = 0;
    size_t n = out.orders[0].steps_n;
    for (int i = 0; i < PLUGGING_ORDERS; i++) {
        plugging_difference d;
        double start = now_s();
        need(plugging_again(&c.in, &out, &out.orders[i], &d, &why), &why);
        slow_s += now_s() - start;
        flow = fmax(flow, d.flow), head = fmax(head, d.head);
        const plugging_outcome *o = &out.orders[i];
        printf("%-12s %zu over, peak %.4f l/min/m, met %.4f l/min, relief at %.3f m\n",
               plugging_order_name((plugging_order)i), o->over_washout, o->peak_m2_s * 60e3,
               o->met_m3_s * 60e3, o->reliefs[0].relief.at.chainage_m);
    }
    double solve_s = slow_s / (3 * (double)(n + 2)); /* the oracle also solves start and shut */
    double whole_s = solve_s * (double)n * (double)(PLUGGING_ORDERS + n);
    printf("%zu segments, %zu unknowns, %zu kept: run %.4f s; one order %.4f s; a whole solve %.4f s\n", n,
           out.unknowns, out.kept, fast_s, order_s, solve_s);
    printf("ratio a step %.0f; ratio the run %.0f; difference: flows %.2g, heads %.2g\n",
           solve_s * (double)n / order_s, whole_s / fast_s, flow, head);
}

int main(int argc, char **argv) {
    double length_m = argc > 1 ? atof(argv[1]) : 6,
           segment_m = argc > 2 ? atof(argv[2]) / 1e3 : PLUGGING_SEGMENT_M;
    int cracks = argc > 3 ? atoi(argv[3]) : 0;
    gsl_set_error_handler_off();
    sparse_begin();
    arena *memory = arena_new();
    if (!memory) return 1;
    if (cracks == 0) compare(length_m, segment_m, memory);
    double start = now_s();
    for (int i = 0; i < cracks; i++) {
        crack c;
        plugging_result out;
        fault why = {0};
        arena *own = arena_new();
        if (!own) return 1;
        make_crack(&c, 2 + 2.0 * i / cracks, segment_m);
        need(plugging_run(&c.in, own, &out, &why), &why);
        arena_free(own);
    }
    if (cracks > 0) printf("%d cracks of 2 to 4 m: %.4f s each\n", cracks, (now_s() - start) / cracks);
    arena_free(memory);
    return 0;
}
