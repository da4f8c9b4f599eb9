#include "diagnose/hints_view.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double DEGREES = 57.29577951308232; /* 180 over pi */

/* ---- plane geometry ---- */

static double to_segment(survey_point p, survey_point a, survey_point b) {
    double u = b.u_m - a.u_m, v = b.v_m - a.v_m, square = u * u + v * v;
    double along = square > 0 ? ((p.u_m - a.u_m) * u + (p.v_m - a.v_m) * v) / square : 0;
    along = fmin(fmax(along, 0), 1);
    return hypot(p.u_m - a.u_m - along * u, p.v_m - a.v_m - along * v);
}

static double to_run(survey_point p, const survey_point *run, size_t n) {
    double gap = n == 1 ? hypot(p.u_m - run[0].u_m, p.v_m - run[0].v_m) : HUGE_VAL;
    for (size_t i = 1; i < n; i++) gap = fmin(gap, to_segment(p, run[i - 1], run[i]));
    return gap;
}

static double turn(survey_point a, survey_point b, survey_point c) {
    return (b.u_m - a.u_m) * (c.v_m - a.v_m) - (b.v_m - a.v_m) * (c.u_m - a.u_m);
}

/* Nearest of two runs: one crosses the other, or the nearest place lies at a corner of either. */
static double between(const survey_point *a, size_t n, const survey_point *b, size_t m) {
    double gap = HUGE_VAL;
    for (size_t i = 0; i < n; i++) gap = fmin(gap, to_run(a[i], b, m));
    for (size_t k = 0; k < m; k++) gap = fmin(gap, to_run(b[k], a, n));
    for (size_t i = 1; i < n; i++)
        for (size_t k = 1; k < m; k++)
            if (turn(a[i - 1], a[i], b[k - 1]) * turn(a[i - 1], a[i], b[k]) < 0 &&
                turn(b[k - 1], b[k], a[i - 1]) * turn(b[k - 1], b[k], a[i]) < 0)
                return 0;
    return gap;
}

/* How far all of a run strays from a segment. */
static double strays(const survey_part *part, survey_point a, survey_point b) {
    double most = 0;
    for (size_t i = 0; i < part->n_points; i++) most = fmax(most, to_segment(part->points[i], a, b));
    return most;
}

double hints_lean_deg(const survey_part *part, survey_point *middle) {
    survey_point a = part->points[0], b = part->points[part->n_points - 1];
    *middle = (survey_point){(a.u_m + b.u_m) / 2, (a.v_m + b.v_m) / 2};
    return atan2(fabs(b.v_m - a.v_m), fabs(b.u_m - a.u_m)) * DEGREES;
}

/* ---- the view ---- */

static const survey_part *longest_part(const survey_defect *d) {
    const survey_part *best = &d->parts[0];
    double most = -1;
    for (size_t i = 0; i < d->n_parts; i++) {
        double length = face_run_length_m(&(face_run){d->parts[i].points, d->parts[i].n_points});
        if (length > most) best = &d->parts[i], most = length;
    }
    return best;
}

static const survey_part *part_on(const survey_defect *d, const char *face) {
    for (size_t i = 0; i < d->n_parts; i++)
        if (strcmp(d->parts[i].face, face) == 0) return &d->parts[i];
    return NULL;
}

static status find_others(hints_view *v, fault *why) {
    for (size_t i = 0; i < v->s->n_defects; i++) {
        const survey_defect *d = &v->s->defects[i];
        if (d == v->d || !part_on(d, v->face->id)) continue;
        const survey_defect **list = arena_push(v->say.memory, v->others, &v->n_others, sizeof *list);
        if (!list) return fault_memory(why);
        list[v->n_others - 1] = d;
        v->others = list;
    }
    return OK;
}

static void find_face_size(hints_view *v) {
    double low_u = HUGE_VAL, high_u = -HUGE_VAL, low_v = HUGE_VAL, high_v = -HUGE_VAL;
    for (size_t i = 0; i < v->face->outline.n_points; i++) {
        survey_point p = v->face->outline.points[i];
        low_u = fmin(low_u, p.u_m), high_u = fmax(high_u, p.u_m);
        low_v = fmin(low_v, p.v_m), high_v = fmax(high_v, p.v_m);
    }
    v->foot_m = low_v;
    v->height_m = high_v - low_v;
    v->run_m = high_u - low_u;
}

static void find_widths(hints_view *v) {
    double lowest = HUGE_VAL, highest = -HUGE_VAL;
    v->narrowest_m = HUGE_VAL;
    for (size_t i = 0; i < v->d->n_stations; i++) {
        const survey_station *at = &v->d->stations[i];
        if (!at->width_m.known || !(at->width_m.v > 0)) continue;
        double here = v->leak->stations[i].elevation_m;
        v->n_widths++;
        v->narrowest_m = fmin(v->narrowest_m, at->width_m.v);
        v->widest_m = fmax(v->widest_m, at->width_m.v);
        if (here < lowest) lowest = here, v->low_width_m = at->width_m.v;
        if (here > highest) highest = here, v->high_width_m = at->width_m.v;
    }
}

status hints_place(const survey *s, const leak_water *leak, arena *memory, hints_view *out, fault *why) {
    const survey_defect *d = leak->defect;
    *out = (hints_view){.s = s, .leak = leak, .d = d, .say = {memory, s->site.system}};
    out->line = survey_is_line(d->kind);
    out->part = longest_part(d);
    out->face = survey_find_face(s, out->part->face);
    if (!out->face) return fault_set(why, E_INPUT, "%s: its face is not in the job", d->mark);
    out->wall = out->face->lie == LIE_WALL;
    survey_point a = out->part->points[0], b = out->part->points[out->part->n_points - 1], middle;
    out->low = a.v_m <= b.v_m ? a : b;
    out->high = a.v_m <= b.v_m ? b : a;
    out->lean_deg = hints_lean_deg(out->part, &middle);
    find_face_size(out);
    return OK;
}

status hints_look(const survey *s, const leak_water *leak, const movement_result *fit, arena *memory,
                  hints_view *out, fault *why) {
    status code = hints_place(s, leak, memory, out, why);
    if (code != OK) return code;
    out->fit = fit;
    find_widths(out);
    return find_others(out, why);
}

bool hints_upright(const hints_view *v) {
    return v->line && v->wall && v->lean_deg >= HINTS_UPRIGHT_DEG;
}

bool hints_level(const hints_view *v) {
    return v->line && v->wall && v->lean_deg <= HINTS_LEVEL_DEG;
}

bool hints_slanting(const hints_view *v) {
    return v->line && v->wall && v->lean_deg > HINTS_LEVEL_DEG && v->lean_deg < HINTS_UPRIGHT_DEG;
}

/* ---- what lies near ---- */

const survey_defect *hints_nearest(const hints_view *v, survey_kind kind, double *gap_m) {
    const survey_defect *best = NULL;
    *gap_m = HUGE_VAL;
    for (size_t i = 0; i < v->n_others; i++) {
        const survey_defect *d = v->others[i];
        if (d->kind != kind) continue;
        for (size_t k = 0; k < d->n_parts; k++) {
            if (strcmp(d->parts[k].face, v->face->id) != 0) continue;
            double gap =
                between(v->part->points, v->part->n_points, d->parts[k].points, d->parts[k].n_points);
            gap = fmax(0, gap - (d->diameter_m.known ? d->diameter_m.v / 2 : 0));
            if (gap < *gap_m) *gap_m = gap, best = d;
        }
    }
    return best;
}

double hints_corner_gap(const hints_view *v) {
    double gap = HUGE_VAL;
    for (size_t i = 0; i < v->face->n_openings; i++)
        for (size_t k = 0; k < v->face->openings[i].n_points; k++) {
            survey_point p = v->face->openings[i].points[k];
            gap = fmin(gap, hypot(p.u_m - v->low.u_m, p.v_m - v->low.v_m));
            gap = fmin(gap, hypot(p.u_m - v->high.u_m, p.v_m - v->high.v_m));
        }
    return gap;
}

static double from_ends(const hints_view *v, const survey_point fold[2]) {
    return fmin(to_segment(v->low, fold[0], fold[1]), to_segment(v->high, fold[0], fold[1]));
}

double hints_fold_gap(const hints_view *v) {
    double gap = HUGE_VAL;
    for (size_t i = 0; i < v->s->n_folds; i++) {
        const survey_fold *f = &v->s->folds[i];
        if (strcmp(f->face_a, v->face->id) == 0) gap = fmin(gap, from_ends(v, f->a));
        if (strcmp(f->face_b, v->face->id) == 0) gap = fmin(gap, from_ends(v, f->b));
    }
    return gap;
}

static void nearer(double gap, const char *name, double *least, const char **what) {
    if (gap < *least) *least = gap, *what = name;
}

static double joint_gap(const hints_view *v) {
    double least = HUGE_VAL;
    for (size_t i = 0; i < v->n_others; i++) {
        if (v->others[i]->kind != KIND_JOINT) continue;
        const survey_part *on = part_on(v->others[i], v->face->id);
        double most = 0;
        for (size_t k = 0; k < v->part->n_points; k++)
            most = fmax(most, to_run(v->part->points[k], on->points, on->n_points));
        least = fmin(least, most);
    }
    return least;
}

double hints_along_gap(const hints_view *v, const char **what) {
    double least = HUGE_VAL;
    *what = "";
    for (size_t i = 0; i < v->s->n_folds; i++) {
        const survey_fold *f = &v->s->folds[i];
        if (strcmp(f->face_a, v->face->id) == 0)
            nearer(strays(v->part, f->a[0], f->a[1]), "a corner of two faces", &least, what);
        if (strcmp(f->face_b, v->face->id) == 0)
            nearer(strays(v->part, f->b[0], f->b[1]), "a corner of two faces", &least, what);
    }
    nearer(joint_gap(v), "a recorded construction joint", &least, what);
    if (v->wall)
        nearer(strays(v->part, (survey_point){v->low.u_m - v->run_m, v->foot_m},
                      (survey_point){v->low.u_m + v->run_m, v->foot_m}),
               "the foot of the wall", &least, what);
    return least;
}

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

status hints_upright_row(const hints_view *v, hints_row *out, fault *why) {
    survey_point middle;
    double *at = arena_get(v->say.memory, v->n_others + 1, sizeof *at);
    *out = (hints_row){.least_m = HUGE_VAL};
    if (!at) return fault_memory(why);
    for (size_t i = 0; i < v->n_others; i++) {
        const survey_part *part = part_on(v->others[i], v->face->id);
        if (v->others[i]->kind == KIND_CRACK && hints_lean_deg(part, &middle) >= HINTS_UPRIGHT_DEG)
            at[out->n++] = middle.u_m;
    }
    hints_lean_deg(v->part, &middle);
    at[out->n++] = middle.u_m;
    qsort(at, out->n, sizeof *at, by_size);
    for (size_t i = 1; i < out->n; i++) {
        out->least_m = fmin(out->least_m, at[i] - at[i - 1]);
        out->most_m = fmax(out->most_m, at[i] - at[i - 1]);
    }
    if (out->n > 1) out->mean_m = (at[out->n - 1] - at[0]) / (double)(out->n - 1);
    return OK;
}
