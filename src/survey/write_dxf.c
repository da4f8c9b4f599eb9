#include "survey/write_dxf.h"

#include "survey/dxf.h"
#include "survey/names.h"
#include "survey/trace.h"

#include <math.h>

#define GAP_M 1.0      /* between faces; our default */
#define TEXT_M 0.06    /* height of marks: 3 mm on paper at 1:20; our default */
#define SYMBOL_M 0.025 /* radius of a point without a diameter; our default */
#define TICK_M 0.015   /* radius of a station; our default */

static const dxf_layer layers[] = {
    {"FACE", 7, false},    {"OPENING", 8, false},  {"FOLD", 8, true},         {"CRACK", 1, false},
    {"JOINT", 3, true},    {"TIE_HOLE", 5, false}, {"PENETRATION", 6, false}, {"HONEYCOMB", 30, false},
    {"STATION", 4, false}, {"MARK", 7, false},     {"TITLE", 7, false},
};

static const char *const kind_layers[KIND_COUNT] = {"CRACK", "JOINT", "TIE_HOLE", "PENETRATION", "HONEYCOMB"};

typedef struct {
    double low_u, low_v, high_u, high_v;
} box;

typedef struct {
    const survey *s;
    text *to;
    double scale;      /* drawing units a metre */
    dxf_point *origin; /* of each face, where its (0, 0) lies */
    names *faces;
} dxf_plan;

static box face_box(const survey_face *f) {
    box b = {0, 0, 0, 0};
    for (size_t i = 0; i < f->outline.n_points; i++) {
        survey_point p = f->outline.points[i];
        if (i == 0) b = (box){p.u_m, p.v_m, p.u_m, p.v_m};
        b.low_u = fmin(b.low_u, p.u_m);
        b.low_v = fmin(b.low_v, p.v_m);
        b.high_u = fmax(b.high_u, p.u_m);
        b.high_v = fmax(b.high_v, p.v_m);
    }
    return b;
}

/* Faces stand in a row, their lowest points on one line. */
static void lay_out(dxf_plan *p) {
    double x_m = 0;
    for (size_t i = 0; i < p->s->n_faces; i++) {
        box b = face_box(&p->s->faces[i]);
        p->origin[i] = (dxf_point){x_m - b.low_u, -b.low_v};
        x_m += b.high_u - b.low_u + GAP_M;
    }
}

static dxf_point place(const dxf_plan *p, size_t face, survey_point at) {
    return (dxf_point){(p->origin[face].x + at.u_m) * p->scale, (p->origin[face].y + at.v_m) * p->scale};
}

static void draw_run(dxf_plan *p, const char *layer, size_t face, const survey_point *points, size_t n,
                     bool closed) {
    dxf_point *drawn = mem_get(n, sizeof *drawn);
    if (!drawn) {
        p->to->failed = true;
        return;
    }
    for (size_t i = 0; i < n; i++) drawn[i] = place(p, face, points[i]);
    dxf_polyline(p->to, layer, drawn, n, closed);
    mem_free(drawn);
}

static void draw_face(dxf_plan *p, size_t at) {
    const survey_face *f = &p->s->faces[at];
    box b = face_box(f);
    draw_run(p, "FACE", at, f->outline.points, f->outline.n_points, true);
    for (size_t i = 0; i < f->n_openings; i++)
        draw_run(p, "OPENING", at, f->openings[i].points, f->openings[i].n_points, true);
    survey_point below = {b.low_u, b.low_v - 4 * TEXT_M};
    dxf_text(p->to, "TITLE", place(p, at, below), 2 * TEXT_M * p->scale, 0, f->name ? f->name : f->id);
}

static void draw_edge(dxf_plan *p, const char *face, const survey_point edge[2]) {
    size_t at = names_find(p->faces, face);
    if (at != NAMES_NONE) dxf_line(p->to, "FOLD", place(p, at, edge[0]), place(p, at, edge[1]));
}

static void draw_part(dxf_plan *p, const survey_defect *d, const survey_part *part) {
    size_t face = names_find(p->faces, part->face);
    const char *layer = kind_layers[d->kind];
    if (face == NAMES_NONE || part->n_points == 0) return;
    if (survey_is_line(d->kind) || d->kind == KIND_HONEYCOMB)
        draw_run(p, layer, face, part->points, part->n_points, d->kind == KIND_HONEYCOMB);
    else
        dxf_circle(p->to, layer, place(p, face, part->points[0]),
                   (d->diameter_m.known ? d->diameter_m.v / 2 : SYMBOL_M) * p->scale);
}

static void draw_defect(dxf_plan *p, const survey_defect *d) {
    for (size_t i = 0; i < d->n_parts; i++) draw_part(p, d, &d->parts[i]);
    for (size_t i = 0; i < d->n_stations && survey_is_line(d->kind); i++) {
        trace_place at;
        if (!trace_at(p->s, d, d->stations[i].chainage_m, &at)) continue;
        size_t face = (size_t)(at.face - p->s->faces);
        dxf_circle(p->to, "STATION", place(p, face, at.at), TICK_M * p->scale);
    }
    size_t face = d->n_parts ? names_find(p->faces, d->parts[0].face) : NAMES_NONE;
    if (face == NAMES_NONE || d->parts[0].n_points == 0) return;
    survey_point beside = {d->parts[0].points[0].u_m + TEXT_M / 2, d->parts[0].points[0].v_m + TEXT_M / 2};
    dxf_text(p->to, "MARK", place(p, face, beside), TEXT_M * p->scale, 0, d->mark);
}

static void draw_all(dxf_plan *p) {
    const survey *s = p->s;
    lay_out(p);
    for (size_t i = 0; i < s->n_faces; i++) draw_face(p, i);
    for (size_t i = 0; i < s->n_folds; i++) {
        draw_edge(p, s->folds[i].face_a, s->folds[i].a);
        draw_edge(p, s->folds[i].face_b, s->folds[i].b);
    }
    for (size_t i = 0; i < s->n_defects; i++) draw_defect(p, &s->defects[i]);
}

void survey_write_dxf(const survey *s, text *to) {
    dxf_plan p = {.s = s, .to = to, .scale = s->site.system == UNITS_US ? 1 / 0.0254 : 1000};
    p.origin = mem_zero(s->n_faces, sizeof *p.origin);
    p.faces = names_new();
    bool good = p.origin && p.faces;
    for (size_t i = 0; i < s->n_faces && good; i++) good = names_put(p.faces, s->faces[i].id, i);
    if (good) {
        dxf_begin(to, layers, sizeof layers / sizeof *layers);
        draw_all(&p);
        dxf_end(to);
    } else
        to->failed = true;
    names_free(p.faces);
    mem_free(p.origin);
}
