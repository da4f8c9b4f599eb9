#include "plane_job.h"

#include "report_job.h"
#include "survey/catalogue.h"
#include "survey/check.h"
#include "survey/read_json.h"

#include <assert.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

static plan *plan_of(const text *json) {
    fault why = {0};
    survey *s = survey_new();
    fault_list *faults = fault_list_new();
    assert_non_null(s);
    assert_non_null(faults);
    if (!survey_read_json(s, "job", json->bytes, json->length, faults))
        fail_msg("%s", fault_list_text(faults, 0));
    if (survey_catalogue_fill(s, &why) != OK) fail_msg("%s", why.text);
    survey_check(s, faults);
    if (fault_list_count(faults)) fail_msg("%s", fault_list_text(faults, 0));
    fault_list_free(faults);
    plan *p = NULL;
    if (plan_make(s, &(plan_options){.planes = PLANES_RUN, .threads = 1}, &p, &why) != OK)
        fail_msg("%s", why.text);
    return p;
}

static void add_face(text *t, const char *id, const char *name, const char *lie, double width) {
    text_print(t,
               "%s{\"id\": \"%s\", \"name\": \"%s\", \"lie\": \"%s\", \"behind\": \"ground\", "
               "\"thickness_m\": 0.3, \"elevation_m\": 0, \"outline\": [[0,0],[%g,0],[%g,3],[0,3]]}",
               strcmp(id, "N") ? "," : "", id, name, lie, width, width);
}

static void add_stations(text *t, double length) {
    static const double width_mm[] = {0.15, 0.3, 0.35, 0.2, 0.25, 0.1};
    text_add(t, "\"stations\": [");
    for (int i = 0; i < 6; i++)
        text_print(t, "%s{\"chainage_m\": %.17g, \"width_mm\": %g, \"wetness\": \"%s\", \"bar\": \"none\"}",
                   i ? "," : "", length * i / 5, width_mm[i], i == 2 ? "jet" : "run");
    text_add(t, "]");
}

plan *plane_job_run(plane_job_like like) {
    bool us = strcmp(like.units, "us") == 0;
    double third = like.length_m / 3;
    text t = {0};
    text_print(&t, "{\"stanch_survey\": 1, \"units\": \"metric\", \"site\": {\"name\": \"plane\", "
                   "\"today\": {\"level_m\": 2.6, \"known\": \"measured\"}, "
                   "\"design\": {\"level_m\": 3.2, \"known\": \"told\"}}, \"faces\": [");
    add_face(&t, "N", "north wall of the pit", like.lie, like.corner ? third : like.length_m + 1);
    if (like.corner) {
        add_face(&t, "E", "east wall", like.lie, third);
        add_face(&t, "S", "south wall", like.lie, third);
        text_print(&t,
                   "], \"folds\": [{\"a\": [\"N\", [[%g,0],[%g,3]]], \"b\": [\"E\", [[0,0],[0,3]]]},"
                   "{\"a\": [\"E\", [[%g,0],[%g,3]]], \"b\": [\"S\", [[0,0],[0,3]]]}], ",
                   third, third, third, third);
    } else {
        text_add(&t, "], ");
    }
    text_add(
        &t,
        "\"defects\": [{\"mark\": \"N1\", \"kind\": \"crack\", \"slot_faces\": \"chipped\", \"parts\": [");
    if (like.corner)
        text_print(&t,
                   "{\"face\": \"N\", \"points\": [[0.1,0.6],[%g,0.5]]},{\"face\": \"E\", \"points\": "
                   "[[0,0.5],[%g,0.7]]},"
                   "{\"face\": \"S\", \"points\": [[0,0.7],[%g,0.4]]}], ",
                   third, third, third * 0.6);
    else
        text_print(&t, "{\"face\": \"N\", \"points\": [[0.5,0.6],[%g,0.6]]}], ", like.length_m + 0.5);
    add_stations(&t, like.length_m * (like.corner ? 0.8 : 1));
    text_add(&t, "}]}");
    plan *p = plan_of(&t);
    if (us)
        ((survey *)(uintptr_t)p->survey)->site.system =
            UNITS_US; /* the figure's units, not the job's reading */
    text_free(&t);
    return p;
}

/* ---- by hand ---- */

static const double LONG_M = 1.8, THICK_M = 0.3, SLOT_M = 0.037;

static double width_of(const plane_job_hand *h) {
    return LONG_M / (double)h->segments;
}

static void fill_panels(const plane_job_hand *h, arena *memory, planes_group *g) {
    plane_panel *panels = arena_get(memory, h->panels, sizeof *panels);
    planes_owner *owners = arena_get(memory, h->panels, sizeof *owners);
    plane_join *joins = arena_get(memory, h->panels, sizeof *joins);
    assert_true(panels && owners && joins);
    for (size_t i = 0; i < h->panels; i++) {
        plane_station *stations = arena_get(memory, 2, sizeof *stations);
        plane_slot *slot = arena_get(memory, 1, sizeof *slot);
        assert_true(stations && slot);
        stations[0] = (plane_station){0, 0.5, 3e-4, 3e-4};
        stations[1] = (plane_station){LONG_M, 0.5, 3e-4, 3e-4};
        *slot = (plane_slot){0, LONG_M, SLOT_M};
        panels[i] = (plane_panel){.id = "N1",
                                  .thickness_m = THICK_M,
                                  .water_level_m = {true, 2},
                                  .stations = stations,
                                  .stations_n = 2,
                                  .slots = slot,
                                  .slots_n = 1};
        if (i > 0) joins[i - 1] = (plane_join){{i - 1, LONG_M}, {i, 0}};
    }
    g->input = (plane_input){.temperature_c = 10,
                             .flow_factor = 0.25,
                             .panels = panels,
                             .panels_n = h->panels,
                             .joins = joins,
                             .joins_n = h->panels - 1};
    g->owners = owners;
    g->leaks = arena_get(memory, 1, sizeof *g->leaks);
    g->n_leaks = 1;
    g->relief_wanted = h->relief;
}

static void fill_steps(const plane_job_hand *h, arena *memory, plugging_outcome *o) {
    size_t n = h->panels * h->segments;
    double width = width_of(h);
    *o = (plugging_outcome){.steps_n = n,
                            .peak_m2_s = 1.2e-4,
                            .met_m3_s = 4e-4,
                            .relief_met_m2_s = 5e-5,
                            .start_m3_s = 3e-4,
                            .shut_back_head_m = 1.4,
                            .shut_m3_s = 1e-9};
    o->steps = arena_get(memory, n, sizeof *o->steps);
    assert_non_null(o->steps);
    for (size_t i = 0; i < n; i++) {
        double from = (double)(i % h->segments) * width;
        size_t k = h->number[i] - 1;
        o->steps[k] = (plugging_step){.on = {i / h->segments, from, from + width},
                                      .flow_m3_s = 1e-6 * (double)(k + 1),
                                      .fresh_head_m = 0.02 * (double)k,
                                      .relief = -1};
    }
    if (!h->relief) return;
    plugging_step *last = &o->steps[n - 1];
    last->relief = 0;
    o->reliefs_n = 1;
    o->reliefs = arena_get(memory, 1, sizeof *o->reliefs);
    assert_non_null(o->reliefs);
    o->reliefs[0] =
        (plugging_relief){.relief = {.at = {last->on.panel, (last->on.from_m + last->on.to_m) / 2},
                                     .hole_m = 0.02,
                                     .depth_m = 0.085,
                                     .tube = {.bore_m = 0.02}},
                          .flow_m3_s = 2e-4,
                          .back_head_m = 0.1};
}

static void fill_pictures(const plane_job_hand *h, arena *memory, plugging_result *run) {
    size_t n = h->panels * h->segments;
    for (size_t k = 0; k < PLUGGING_PICTURES; k++) {
        plugging_picture *p = &run->pictures[k];
        p->closed = k == 0 ? 0 : k == 1 ? n / 2 : n - 1;
        p->face_n = n;
        p->face = arena_get(memory, n, sizeof *p->face);
        p->flow_m2_s = arena_get(memory, n, sizeof *p->flow_m2_s);
        p->head_m = arena_get(memory, h->panels, sizeof *p->head_m);
        assert_true(p->face && p->flow_m2_s && p->head_m);
        for (size_t i = 0; i < n; i++) {
            double from = (double)(i % h->segments) * width_of(h);
            p->face[i] = (plane_interval){i / h->segments, from, from + width_of(h)};
            p->flow_m2_s[i] = h->number[i] <= p->closed ? 0 : (1 + (double)k) * 4e-5;
        }
        for (size_t i = 0; i < h->panels; i++) {
            p->head_m[i] = arena_get(memory, PLAN_PICTURE_NX * PLAN_PICTURE_NY, sizeof **p->head_m);
            assert_non_null(p->head_m[i]);
            for (size_t g = 0; g < PLAN_PICTURE_NX * PLAN_PICTURE_NY; g++) {
                double x = (double)(g % PLAN_PICTURE_NX) / (PLAN_PICTURE_NX - 1),
                       y = (double)(g / PLAN_PICTURE_NX) / (PLAN_PICTURE_NY - 1);
                if (h->mirrored) x = 1 - x;
                p->head_m[i][g] =
                    y * THICK_M < SLOT_M ? (double)NAN : 0.5 + h->head_m * y * (0.4 + 0.6 * x * x);
            }
        }
    }
}

plane_job_made plane_job_make(plane_job_hand h) {
    plane_job_made made = {.base = report_job_one(h.us ? UNITS_US : UNITS_METRIC)};
    arena *memory = made.base->memory;
    planes_group *group = arena_get(memory, 1, sizeof *group);
    plan_plane *plane = arena_get(memory, 1, sizeof *plane);
    made.plan = *made.base;
    made.plan.plane_of = arena_get(memory, made.plan.n_leaks, sizeof *made.plan.plane_of);
    assert_true(group && plane && made.plan.plane_of);
    fill_panels(&h, memory, group);
    plane->group = group;
    plane->run.drawn = plane->run.best = PLUGGING_LEAST_FIRST;
    plane->run.flow_factor = 0.25;
    fill_steps(&h, memory, &plane->run.orders[PLUGGING_LEAST_FIRST]);
    fill_steps(&h, memory, &plane->run.orders[PLUGGING_INWARD]);
    fill_pictures(&h, memory, &plane->run);
    plane->tube_bore_m = h.relief ? 0.02 : 0;
    plane->uncut_m3_s = (maybe){true, 2e-4};
    made.plan.planes = plane;
    made.plan.n_planes = 1;
    made.plan.plane_of[0] = plane;
    return made;
}

void plane_job_free(plane_job_made *made) {
    report_job_free(made->base);
}
