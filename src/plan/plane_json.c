#include "plan/planes.h"

#include "core/json_out.h"

#include <math.h>
#include <string.h>

/* ---- out ---- */

static void write_list(json_out *o, const char *name, const double *values, size_t n) {
    json_out_open(o, name, '[');
    for (size_t i = 0; i < n; i++)
        if (isfinite(values[i]))
            json_out_number(o, NULL, values[i]);
        else
            json_out_null(o, NULL);
    json_out_close(o, ']');
}

static void write_outcome(json_out *o, const char *name, const plugging_outcome *order) {
    json_out_open(o, name, '{');
    const double sums[] = {order->peak_m2_s,  order->met_m3_s,         order->relief_met_m2_s,
                           order->start_m3_s, order->shut_back_head_m, order->shut_m3_s};
    write_list(o, "sums", sums, 6);
    json_out_whole(o, "over_washout", (long long)order->over_washout);
    json_out_open(o, "steps", '[');
    for (size_t i = 0; i < order->steps_n; i++) {
        const plugging_step *s = &order->steps[i];
        const double row[] = {(double)s->on.panel, s->on.from_m,       s->on.to_m,      s->flow_m3_s,
                              s->total_m3_s,       s->max_back_head_m, s->fresh_head_m, s->relief};
        write_list(o, NULL, row, 8);
    }
    json_out_close(o, ']');
    json_out_open(o, "reliefs", '[');
    for (size_t i = 0; i < order->reliefs_n; i++) {
        const plugging_relief *r = &order->reliefs[i];
        const double row[] = {(double)r->relief.at.panel,
                              r->relief.at.chainage_m,
                              r->relief.hole_m,
                              r->relief.depth_m,
                              r->flow_m3_s,
                              r->back_head_m};
        write_list(o, NULL, row, 6);
    }
    json_out_close(o, ']');
    json_out_close(o, '}');
}

static void write_picture(json_out *o, const plugging_picture *p, const plan_plane *plane, int nx, int ny) {
    json_out_open(o, NULL, '{');
    json_out_whole(o, "closed", (long long)p->closed);
    json_out_open(o, "heads", '[');
    for (size_t k = 0; p->head_m && k < plane->group->input.panels_n; k++)
        write_list(o, NULL, p->head_m[k], (size_t)nx * (size_t)ny);
    json_out_close(o, ']');
    json_out_open(o, "face", '[');
    for (size_t i = 0; i < p->face_n; i++) {
        const double row[] = {(double)p->face[i].panel, p->face[i].from_m, p->face[i].to_m, p->flow_m2_s[i]};
        write_list(o, NULL, row, 4);
    }
    json_out_close(o, ']');
    json_out_close(o, '}');
}

void plan_write_plane(const plan_plane *p, text *to) {
    json_out o = {.to = to};
    json_out_open(&o, NULL, '{');
    json_out_text(&o, "problem", p->problem);
    json_out_number(&o, "tube_bore_m", p->tube_bore_m);
    if (p->uncut_m3_s.known) json_out_number(&o, "uncut_m3_s", p->uncut_m3_s.v);
    if (p->past_known) {
        const double past[] = {p->past.past_m, p->past.beyond_m3_s, p->past.practice_m3_s[0],
                               p->past.practice_m3_s[1], p->past.practice_governs};
        write_list(&o, "past", past, 5);
    }
    json_out_number(&o, "flow_factor", p->run.flow_factor);
    json_out_whole(&o, "unknowns", (long long)p->run.unknowns);
    json_out_whole(&o, "kept", (long long)p->run.kept);
    json_out_bool(&o, "exact_search", p->run.exact_search);
    json_out_whole(&o, "best", p->run.best);
    json_out_whole(&o, "drawn", p->run.drawn);
    json_out_open(&o, "orders", '{');
    for (int k = 0; k < PLUGGING_ORDERS; k++)
        if (p->run.orders[k].steps_n)
            write_outcome(&o, plugging_order_name((plugging_order)k), &p->run.orders[k]);
    json_out_close(&o, '}');
    json_out_open(&o, "pictures", '[');
    for (int k = 0; k < PLUGGING_PICTURES; k++)
        write_picture(&o, &p->run.pictures[k], p, PLAN_PICTURE_NX, PLAN_PICTURE_NY);
    json_out_close(&o, ']');
    json_out_open(&o, "warnings", '[');
    for (size_t i = 0; i < p->run.warnings_n; i++) json_out_text(&o, NULL, p->run.warnings[i]);
    json_out_close(&o, ']');
    json_out_close(&o, '}');
}

/* ---- back: whatever does not fit makes the body unfit, and the plane is run again ---- */

typedef struct {
    plan_plane *p;
    bool fit;
} reading;

static double *read_list(reading *r, const json_t *list, size_t n) {
    double *values = arena_get(r->p->memory, n, sizeof *values);
    if (!values || json_array_size(list) != n) r->fit = false;
    for (size_t i = 0; r->fit && i < n; i++) {
        const json_t *v = json_array_get(list, i);
        values[i] = json_is_number(v) ? json_number_value(v) : (double)NAN;
    }
    return values;
}

static size_t as_size(double value, double limit, reading *r) {
    if (!(value >= 0 && value < limit)) r->fit = false;
    return r->fit ? (size_t)value : 0;
}

static void read_steps(reading *r, const json_t *list, plugging_outcome *order) {
    size_t n = json_array_size(list);
    order->steps = arena_get(r->p->memory, n, sizeof *order->steps);
    if (!order->steps) r->fit = false;
    for (size_t i = 0; r->fit && i < n; i++) {
        const double *v = read_list(r, json_array_get(list, i), 8);
        if (!r->fit) return;
        order->steps[i] = (plugging_step){{as_size(v[0], (double)r->p->group->input.panels_n, r), v[1], v[2]},
                                          v[3],
                                          v[4],
                                          v[5],
                                          v[6],
                                          (int)v[7]};
    }
    order->steps_n = n;
}

static void read_reliefs(reading *r, const json_t *list, plugging_outcome *order) {
    size_t n = json_array_size(list);
    order->reliefs = arena_get(r->p->memory, n, sizeof *order->reliefs);
    if (!order->reliefs) r->fit = false;
    for (size_t i = 0; r->fit && i < n; i++) {
        const double *v = read_list(r, json_array_get(list, i), 6);
        if (!r->fit) return;
        order->reliefs[i] = (plugging_relief){.flow_m3_s = v[4], .back_head_m = v[5]};
        order->reliefs[i].relief =
            (plane_relief){.at = {as_size(v[0], (double)r->p->group->input.panels_n, r), v[1]},
                           .tube = {.bore_m = r->p->tube_bore_m},
                           .hole_m = v[2],
                           .depth_m = v[3]};
    }
    order->reliefs_n = n;
}

static void read_outcome(reading *r, const json_t *from, plugging_outcome *order) {
    if (!from) return; /* not wanted then, not wanted now */
    const double *sums = read_list(r, json_object_get(from, "sums"), 6);
    if (!r->fit) return;
    order->peak_m2_s = sums[0];
    order->met_m3_s = sums[1];
    order->relief_met_m2_s = sums[2];
    order->start_m3_s = sums[3];
    order->shut_back_head_m = sums[4];
    order->shut_m3_s = sums[5];
    order->over_washout = (size_t)json_integer_value(json_object_get(from, "over_washout"));
    read_steps(r, json_object_get(from, "steps"), order);
    read_reliefs(r, json_object_get(from, "reliefs"), order);
}

static void read_picture(reading *r, const json_t *from, plugging_picture *to) {
    const json_t *heads = json_object_get(from, "heads"), *face = json_object_get(from, "face");
    size_t panels = json_array_size(heads), n = json_array_size(face);
    if (panels != 0 && panels != r->p->group->input.panels_n) r->fit = false;
    to->closed = (size_t)json_integer_value(json_object_get(from, "closed"));
    to->head_m = panels ? arena_get(r->p->memory, panels, sizeof *to->head_m) : NULL;
    to->face = arena_get(r->p->memory, n, sizeof *to->face);
    to->flow_m2_s = arena_get(r->p->memory, n, sizeof *to->flow_m2_s);
    if ((panels && !to->head_m) || !to->face || !to->flow_m2_s) r->fit = false;
    for (size_t k = 0; r->fit && k < panels; k++)
        to->head_m[k] = read_list(r, json_array_get(heads, k), (size_t)PLAN_PICTURE_NX * PLAN_PICTURE_NY);
    for (size_t i = 0; r->fit && i < n; i++) {
        const double *v = read_list(r, json_array_get(face, i), 4);
        if (!r->fit) return;
        to->face[i] = (plane_interval){as_size(v[0], (double)r->p->group->input.panels_n, r), v[1], v[2]};
        to->flow_m2_s[i] = v[3];
    }
    to->face_n = n;
}

static void read_warnings(reading *r, const json_t *list) {
    size_t n = json_array_size(list);
    r->p->run.warnings = arena_get(r->p->memory, n, sizeof *r->p->run.warnings);
    if (!r->p->run.warnings) r->fit = false;
    for (size_t i = 0; r->fit && i < n; i++) {
        r->p->run.warnings[i] = arena_copy(r->p->memory, json_string_value(json_array_get(list, i)));
        if (!r->p->run.warnings[i]) r->fit = false;
    }
    r->p->run.warnings_n = n;
}

static void read_all(reading *r, const json_t *root) {
    plan_plane *p = r->p;
    const json_t *problem = json_object_get(root, "problem"), *past = json_object_get(root, "past");
    p->problem = json_is_string(problem) ? arena_copy(p->memory, json_string_value(problem)) : NULL;
    p->tube_bore_m = json_number_value(json_object_get(root, "tube_bore_m"));
    p->uncut_m3_s = (maybe){json_object_get(root, "uncut_m3_s") != NULL,
                            json_number_value(json_object_get(root, "uncut_m3_s"))};
    p->past_known = past != NULL;
    if (past) {
        const double *v = read_list(r, past, 5);
        if (!r->fit) return;
        p->past = (plugging_past){isnan(v[0]) ? HUGE_VAL : v[0], v[1], {v[2], v[3]}, v[4] != 0};
    }
    p->run.flow_factor = json_number_value(json_object_get(root, "flow_factor"));
    p->run.unknowns = (size_t)json_integer_value(json_object_get(root, "unknowns"));
    p->run.kept = (size_t)json_integer_value(json_object_get(root, "kept"));
    p->run.exact_search = json_is_true(json_object_get(root, "exact_search"));
    p->run.best = (plugging_order)as_size((double)json_integer_value(json_object_get(root, "best")),
                                          PLUGGING_ORDERS, r);
    p->run.drawn = (plugging_order)as_size((double)json_integer_value(json_object_get(root, "drawn")),
                                           PLUGGING_ORDERS, r);
    for (int k = 0; r->fit && k < PLUGGING_ORDERS; k++)
        read_outcome(r,
                     json_object_get(json_object_get(root, "orders"), plugging_order_name((plugging_order)k)),
                     &p->run.orders[k]);
    for (int k = 0; r->fit && k < PLUGGING_PICTURES; k++)
        read_picture(r, json_array_get(json_object_get(root, "pictures"), (size_t)k), &p->run.pictures[k]);
    if (r->fit) read_warnings(r, json_object_get(root, "warnings"));
    if (!p->problem && p->run.orders[p->run.drawn].steps_n == 0) r->fit = false;
}

bool plan_read_plane(const char *body, plan_plane *p) {
    json_t *root = json_loads(body, JSON_REJECT_DUPLICATES, NULL);
    reading r = {p, json_is_object(root)};
    if (r.fit) read_all(&r, root);
    json_decref(root);
    return r.fit;
}
