/* The plugging run against exact solutions, hydrostatics, our rule 9, what must be refused, and every allocation
 * failing in turn. */
#include "../near.h"
#include "hydraulics/plugging_parts.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

/* An even crack with one slot; what differs is set by each test. */
typedef struct {
    plane_station stations[3];
    plane_slot slot;
    plane_stretch sealed;
    plane_panel panel;
    plane_relief relief;
    plugging_input in;
} crack;

static const relief_tube tube_20 = {0.02, 0.5, PLUGGING_ROUGHNESS_M, PLUGGING_ENTRY_LOSS, PLUGGING_EXIT_LOSS,
                                    0,    10};

static void even(crack *c, double length_m, double thickness_m, double depth_m, double level_m) {
    *c = (crack){.stations = {{0, 0, 3e-4, 3e-4}, {length_m, 0, 3e-4, 3e-4}}, .slot = {0, length_m, depth_m}};
    c->panel = (plane_panel){.id = "A",
                             .thickness_m = thickness_m,
                             .stations = c->stations,
                             .stations_n = 2,
                             .slots = &c->slot,
                             .slots_n = 1};
    c->relief = (plane_relief){.hole_m = 0.02, .depth_m = 0.085, .tube = tube_20};
    c->in = (plugging_input){.plane = {.temperature_c = 10,
                                       .flow_factor = 0.25,
                                       .mesh_m = 0.02,
                                       .water_level_m = {true, level_m},
                                       .panels = &c->panel,
                                       .panels_n = 1},
                             .segment_m = 0.15,
                             .washout_m2_s = PLUGGING_WASHOUT_M2_S,
                             .tube = tube_20,
                             .relief_depth_m = PLUGGING_RELIEF_DEPTH_M,
                             .wanted = {true, true, true}};
}

/* xi g w^3/(12 nu), nu at 10 C 1.3063e-6 (IAPWS, computed by us: 5 digits). */
static double transmissivity(const crack *c) {
    double w = c->stations[0].width_m;
    return c->in.plane.flow_factor * 9.80665 * w * w * w / (12 * 1.3063e-6);
}

static plugging_result good(const crack *c, arena *memory) {
    plugging_result out;
    fault why = {0};
    status code = plugging_run(&c->in, memory, &out, &why);
    if (code != OK) fail_msg("%s", why.text);
    return out;
}

/* The whole slot open: straight through what is left of the wall. All shut: the whole head stands behind. */
static void open_and_shut(void **state) {
    (void)state;
    crack c;
    even(&c, 1.5, 0.35, 0.037, 2.5);
    c.stations[1].elevation_m = -0.7; /* falls */
    c.in.reliefs_allowed = 1;
    arena *memory = arena_new();
    plugging_result out = good(&c, memory);
    for (int o = 0; o < PLUGGING_ORDERS; o++) {
        near_absolute(out.orders[o].shut_back_head_m, 2.5 + 0.7, 1e-9);
        near_absolute(out.orders[o].shut_m3_s, 0, 1e-18);
        assert_int_equal(out.orders[o].steps_n, 10);
        assert_int_equal(out.orders[o].reliefs_n, 1);
        const plugging_step *last = &out.orders[o].steps[9];
        near_relative(last->total_m3_s, out.orders[o].reliefs[0].flow_m3_s, 1e-9); /* only the tube is left */
        near_relative(out.orders[o].steps[8].total_m3_s, last->flow_m3_s, 1e-9);
    }
    c.stations[1].elevation_m = 0;
    c.in.reliefs_allowed = 0;
    out = good(&c, memory);
    near_relative(out.orders[0].start_m3_s, transmissivity(&c) * 2.5 * 1.5 / (0.35 - 0.037), 3e-5);
    assert_int_equal(out.orders[0].reliefs_n, 0);
    assert_true(out.drawn == PLUGGING_LEAST_FIRST);
    arena_free(memory);
}

/* Rectangle W = T = 1, top at H, bottom open over a half, a quarter (Harr, confined flow; 12 digits computed by us):
 * Q/(k H) = 0.819644188481, 0.621205357246. The half sealed from the start, then the inner quarter closed. */
static void rectangle(void **state) {
    (void)state;
    static const struct { double mesh_m, within; } meshes[] = {{0.05, 4e-3}, {0.025, 2e-3}};
    for (size_t i = 0; i < COUNT(meshes); i++) {
        crack c;
        even(&c, 1, 1.037, 0.037, 3);
        c.sealed = (plane_stretch){0, 0.5};
        c.panel.sealed = &c.sealed;
        c.panel.sealed_n = 1;
        c.in.segment_m = 0.25;
        c.in.plane.mesh_m = meshes[i].mesh_m;
        arena *memory = arena_new();
        plugging_result out = good(&c, memory);
        const plugging_outcome *o = &out.orders[PLUGGING_INWARD];
        double unit = transmissivity(&c) * 3;
        assert_int_equal(o->steps_n, 2);
        near_absolute(o->steps[0].on.from_m, 0.5, 1e-9);
        near_relative(o->start_m3_s / unit, 0.819644188481, meshes[i].within);
        near_relative(o->steps[0].total_m3_s / unit, 0.621205357246, meshes[i].within);
        near_relative(o->steps[1].flow_m3_s / unit, 0.621205357246, meshes[i].within);
        arena_free(memory);
    }
}

/* Our rule 9: wall 350, slot 37, segment 150: the hole takes 10 % of its segment's water at the depth of the slot,
 * 48 % at 85 mm. Setting as we read it: an even crack, all sealed but that segment, the hole in its middle drained
 * by a wide tube; water of the segment: what leaves its open slot and the tube. */
static void hole_share(void **state) {
    (void)state;
    static const double depth_m[] = {0.037, 0.085}, share[] = {0.10, 0.48};
    for (size_t i = 0; i < 2; i++) {
        crack c;
        plane_stretch sealed[2] = {{0, 1.5}, {1.65, 3.15}};
        even(&c, 3.15, 0.35, 0.037, 3);
        c.panel.sealed = sealed;
        c.panel.sealed_n = 2;
        c.relief.at = (plane_spot){0, 1.575};
        c.relief.depth_m = depth_m[i];
        c.relief.tube.bore_m = 0.05;
        c.in.plane.reliefs = &c.relief;
        c.in.plane.reliefs_n = 1;
        c.in.plane.mesh_m = 0.01;
        arena *memory = arena_new();
        plugging_cut cut;
        plugging_model m;
        plugging_state *s;
        plugging_result out = good(&c, memory);
        size_t number = 0;
        double open_m3_s;
        fault why = {0};
        assert_int_equal(out.orders[0].steps_n, 1);
        assert_int_equal(plugging_cut_make(&c.in.plane, 0.15, memory, &cut, &why), OK);
        plugging_model_options o = {.plane = &c.in.plane,
                                    .cut = &cut,
                                    .reliefs = &c.relief,
                                    .reliefs_n = 1,
                                    .levels = PLUGGING_LEVELS,
                                    .flow_factor = 0.25};
        plane_input bare = c.in.plane;
        bare.reliefs_n = 0;
        o.plane = &bare;
        assert_int_equal(plugging_model_make(&o, memory, &m, &why), OK);
        assert_int_equal(plugging_state_new(&m, &(plugging_start){&number, 1, NULL}, memory, &s, &why), OK);
        plugging_state_flows(s, &open_m3_s);
        near_absolute(s->tube_m3_s[0] / (s->tube_m3_s[0] + open_m3_s), share[i], 0.011);
        near_relative(s->tube_m3_s[0] + open_m3_s, out.orders[0].steps[0].flow_m3_s, 1e-9);
        plugging_model_free(&m);
        arena_free(memory);
    }
}

/* The seal past a shut slot: the rectangle again. A slot of next to no depth from 0 to 0.2, sealed on to 0.5. */
static void past_the_slot(void **state) {
    (void)state;
    crack c;
    plugging_past past, tighter;
    fault why = {0};
    even(&c, 1, 1, 2e-4, 3);
    c.slot.to_m = 0.2;
    double unit = transmissivity(&c) * 3;
    assert_int_equal(plugging_seal_past(&c.in, 0.7 * unit, &past, &why), OK);
    near_relative(past.practice_m3_s[0] / unit, 0.819644188481, 4e-3);
    assert_true(past.practice_m3_s[1] < past.practice_m3_s[0] && past.beyond_m3_s <= 0.7 * unit);
    assert_false(past.practice_governs);
    near_absolute(past.past_m, 0.5, 1e-9); /* open 0.35 at 0.45, 0.3 at 0.5; 0.25 still gives 0.62 */
    assert_int_equal(plugging_seal_past(&c.in, 0.9 * unit, &past, &why), OK);
    assert_true(past.practice_governs);
    assert_int_equal(plugging_seal_past(&c.in, 0, &tighter, &why), OK);
    near_absolute(tighter.past_m, 0.9, 1e-9); /* to the end of the crack, on a step of 150 mm */
    assert_int_equal(plugging_seal_past(&c.in, -1, &tighter, &why), E_INPUT);
    assert_int_equal(plugging_seal_past(&c.in, (double)NAN, &tighter, &why), E_INPUT);
}

/* Rule 8: least flow first is drawn, unless it breaks the limit and the computed order toward a relief does not. */
static void what_is_drawn(void **state) {
    (void)state;
    crack c;
    even(&c, 3, 0.35, 0.037, 5);
    c.stations[0].width_m = c.stations[0].width_wet_m = 2e-4;
    c.stations[1].elevation_m = 3;
    c.in.reliefs_allowed = 1;
    c.in.plane.mesh_m = 0.04;
    arena *memory = arena_new();
    plugging_result out = good(&c, memory);
    double least = out.orders[PLUGGING_LEAST_FIRST].peak_m2_s,
           computed = out.orders[PLUGGING_COMPUTED].peak_m2_s;
    assert_true(computed < least);
    c.in.washout_m2_s = (computed + least) / 2;
    out = good(&c, memory);
    assert_int_equal(out.orders[PLUGGING_LEAST_FIRST].over_washout > 0, true);
    assert_int_equal(out.orders[PLUGGING_COMPUTED].over_washout, 0);
    assert_int_equal(out.drawn, PLUGGING_COMPUTED);
    c.in.washout_m2_s = computed / 4;
    assert_int_equal(good(&c, memory).drawn, PLUGGING_LEAST_FIRST); /* both break it */
    c.in.washout_m2_s = 2 * least;
    assert_int_equal(good(&c, memory).drawn, PLUGGING_LEAST_FIRST); /* neither does */
    assert_int_equal(good(&c, memory).best, PLUGGING_COMPUTED);
    arena_free(memory);
}

/* The pictures: before, half-way and before the last plug; pressure rises behind what is closed; what leaves by the
 * face is what the steps tell. */
static void pictures(void **state) {
    (void)state;
    crack c;
    even(&c, 0.9, 0.3, 0.037, 2);
    c.in.reliefs_allowed = 1;
    c.in.plane.mesh_m = 0.04;
    c.in.picture_nx = 31;
    c.in.picture_ny = 11;
    arena *memory = arena_new();
    plugging_result out = good(&c, memory);
    const plugging_outcome *o = &out.orders[out.drawn];
    static const size_t closed[] = {0, 3, 5};
    for (size_t p = 0; p < COUNT(closed); p++) {
        const plugging_picture *at = &out.pictures[p];
        double leaves = 0, wet = at->head_m[0][10 * 31],
               start = p == 0 ? o->start_m3_s : o->steps[closed[p] - 1].total_m3_s;
        assert_int_equal(at->closed, closed[p]);
        near_absolute(wet, 2, 1e-12);
        assert_true(isnan(at->head_m[0][0])); /* the slot is cut away there */
        for (size_t i = 0; i < at->face_n; i++)
            leaves += at->flow_m2_s[i] * (at->face[i].to_m - at->face[i].from_m);
        assert_true(leaves < start && leaves > 0.3 * start); /* the tube takes the rest */
        if (p > 0) assert_true(at->head_m[0][31 * 2] > out.pictures[p - 1].head_m[0][31 * 2]);
    }
    arena_free(memory);
}

static void refuses(void **state) {
    (void)state;
    static const char *const words[] = {"segment_mm",      "segment_mm",      "washout",
                                        "reliefs_allowed", "bore_mm",         "relief_depth_mm",
                                        "segment_mm",      "no slot is open", "water_level_m"};
    for (size_t i = 0; i < COUNT(words); i++) {
        crack c;
        plugging_result out;
        fault why = {0};
        even(&c, 1.5, 0.35, 0.037, 2);
        c.in.reliefs_allowed = 1;
        c.in.plane.mesh_m = 0.05;
        plane_stretch all = {0, 1.5};
        switch (i) {
        case 0: c.in.segment_m = 0; break;
        case 1: c.in.segment_m = (double)NAN; break;
        case 2: c.in.washout_m2_s = -1; break;
        case 3: c.in.reliefs_allowed = PLUGGING_RELIEFS + 1; break;
        case 4: c.in.tube.bore_m = 0; break;
        case 5: c.in.relief_depth_m = 0.35; break;
        case 6: c.slot.to_m = c.stations[1].chainage_m = 900, c.in.segment_m = 0.1; break;
        case 7: c.panel.sealed = &all, c.panel.sealed_n = 1; break;
        default: c.in.plane.water_level_m.known = false; break;
        }
        arena *memory = arena_new();
        assert_int_equal(plugging_run(&c.in, memory, &out, &why), E_INPUT);
        if (!strstr(why.text, words[i])) fail_msg("case %zu says: %s", i, why.text);
        assert_int_equal(out.orders[0].steps_n, 0);
        arena_free(memory);
    }
}

/* A closed crack and a level below everything: nothing flows, and that is told without a fault. */
static void nothing_flows(void **state) {
    (void)state;
    for (int i = 0; i < 2; i++) {
        crack c;
        even(&c, 0.9, 0.3, 0.037, i == 0 ? 2 : -1);
        if (i == 0)
            c.stations[0].width_m = c.stations[0].width_wet_m = c.stations[1].width_m =
                c.stations[1].width_wet_m = 0;
        c.in.reliefs_allowed = 1;
        c.in.plane.mesh_m = 0.05;
        arena *memory = arena_new();
        plugging_result out = good(&c, memory);
        for (int o = 0; o < PLUGGING_ORDERS; o++) {
            assert_int_equal(out.orders[o].steps_n, 6);
            near_absolute(out.orders[o].start_m3_s, 0, 0);
            near_absolute(out.orders[o].shut_back_head_m, 0, 0);
        }
        arena_free(memory);
    }
}

/* Every allocation failing in turn: a clean refusal and nothing left behind (the leak checker sees to that), or,
 * where the sparse library does with less, the same answer. */
static void no_memory(void **state) {
    (void)state;
    crack c;
    even(&c, 0.45, 0.3, 0.037, 2);
    c.in.reliefs_allowed = 1;
    c.in.plane.mesh_m = 0.1;
    c.in.picture_nx = c.in.picture_ny = 3;
    arena *first = arena_new();
    long before = mem_count(), refused = 0;
    plugging_result whole = good(&c, first);
    long needed = mem_count() - before;
    for (long n = 0; n < needed; n += 1 + n / 100) {
        plugging_result out;
        fault why = {0};
        arena *memory = arena_new();
        assert_non_null(memory);
        mem_fail_at(n, 0);
        status code = plugging_run(&c.in, memory, &out, &why);
        mem_fail_at(-1, 0);
        if (code == OK) {
            near_relative(out.orders[2].met_m3_s, whole.orders[2].met_m3_s, 1e-9);
            near_relative(out.pictures[1].head_m[0][4], whole.pictures[1].head_m[0][4], 1e-9);
        } else {
            assert_int_equal(code, E_MEMORY);
            assert_int_equal(out.orders[0].steps_n, 0);
            refused++;
        }
        arena_free(memory);
    }
    printf("%ld allocations, %ld refusals\n", needed, refused);
    assert_true(refused > 100);
    arena_free(first);
}

int main(void) {
    gsl_set_error_handler_off();
    sparse_begin();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(open_and_shut), cmocka_unit_test(rectangle),     cmocka_unit_test(hole_share),
        cmocka_unit_test(past_the_slot), cmocka_unit_test(what_is_drawn), cmocka_unit_test(pictures),
        cmocka_unit_test(refuses),       cmocka_unit_test(nothing_flows), cmocka_unit_test(no_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
