#include "geom/face.h"

#include "core/text.h"
#include "geom/wall.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* Our default: how far from a point we look to see on which side of an edge there is concrete, and how near a
 * line counts as running along an edge. A thousandth of what people measure, far above rounding. */
#define SIDE_M 1e-6
#define ROUNDING_M 1e-11   /* our default: what is left of a coordinate of FACE_REACH_M in double precision */
#define LEAST_AREA_M2 1e-6 /* our default: a square millimetre; less is a slip of the pen */

static double cross(face_point o, face_point a, face_point b) {
    return (a.u_m - o.u_m) * (b.v_m - o.v_m) - (a.v_m - o.v_m) * (b.u_m - o.u_m);
}

static double apart(face_point a, face_point b) {
    return hypot(b.u_m - a.u_m, b.v_m - a.v_m);
}

static face_point between(face_point a, face_point b, double t) {
    return (face_point){a.u_m + t * (b.u_m - a.u_m), a.v_m + t * (b.v_m - a.v_m)};
}

/* How far along a-b the point lies, from a, m. */
static double along(face_point a, face_point b, face_point at) {
    return ((at.u_m - a.u_m) * (b.u_m - a.u_m) + (at.v_m - a.v_m) * (b.v_m - a.v_m)) / apart(a, b);
}

/* The outline, then the openings. */
static const face_run *ring_at(const face_shape *face, size_t k) {
    return k ? &face->openings[k - 1] : &face->outline;
}

static face_point next_of(const face_run *ring, size_t i) {
    return ring->points[i + 1 < ring->n ? i + 1 : 0];
}

double face_run_length_m(const face_run *line) {
    double length = 0;
    for (size_t i = 0; i + 1 < line->n; i++) length += apart(line->points[i], line->points[i + 1]);
    return length;
}

/* Shoelace about the first point, so that a ring far from the origin keeps its digits. */
double face_ring_area_m2(const face_run *ring) {
    double twice = 0;
    for (size_t i = 1; i + 1 < ring->n; i++)
        twice += cross(ring->points[0], ring->points[i], ring->points[i + 1]);
    return fabs(twice) / 2;
}

double face_area_m2(const face_shape *face) {
    double area = face_ring_area_m2(&face->outline);
    for (size_t k = 0; k < face->openings_n; k++) area -= face_ring_area_m2(&face->openings[k]);
    return area;
}

/* ---- points and lines on a face ---- */

/* Even-odd rule; points on the ring may fall on either side. */
static bool inside(const face_run *ring, face_point at) {
    bool in = false;
    for (size_t i = 0; i < ring->n; i++) {
        face_point a = ring->points[i], b = next_of(ring, i);
        if ((a.v_m > at.v_m) == (b.v_m > at.v_m)) continue;
        double u_m = a.u_m + (at.v_m - a.v_m) / (b.v_m - a.v_m) * (b.u_m - a.u_m);
        if (at.u_m < u_m) in = !in;
    }
    return in;
}

static bool on_concrete(const face_shape *face, face_point at) {
    if (!inside(&face->outline, at)) return false;
    for (size_t k = 0; k < face->openings_n; k++)
        if (inside(&face->openings[k], at)) return false;
    return true;
}

/* Is there concrete on either side of a point of the line a-b? */
static bool beside_concrete(const face_shape *face, face_point a, face_point b, face_point at) {
    double length = apart(a, b);
    double du = -(b.v_m - a.v_m) / length * SIDE_M, dv = (b.u_m - a.u_m) / length * SIDE_M;
    return on_concrete(face, (face_point){at.u_m + du, at.v_m + dv}) ||
           on_concrete(face, (face_point){at.u_m - du, at.v_m - dv});
}

/* The nearest point of the face's edges within near_m. An edge counts where it is one of the face: the sill
 * of a door is not. */
static bool nearest_edge(const face_shape *face, const face_run *ring, face_point at, double *near_m,
                         face_point *foot) {
    bool found = false;
    for (size_t i = 0; i < ring->n; i++) {
        face_point a = ring->points[i], b = next_of(ring, i);
        double length = apart(a, b);
        if (!(length > 0)) continue;
        double t = fmin(fmax(along(a, b, at) / length, 0), 1);
        double off_m = apart(between(a, b, t), at);
        /* Step off the corner: exactly there the sides belong to two edges. */
        double step = fmin(2 * SIDE_M / length, 0.5);
        if (!(off_m <= *near_m) || !beside_concrete(face, a, b, between(a, b, fmin(fmax(t, step), 1 - step))))
            continue;
        *near_m = off_m;
        *foot = between(a, b, t);
        found = true;
    }
    return found;
}

static bool find_edge(const face_shape *face, face_point at, double near_m, face_point *foot) {
    bool found = false;
    for (size_t k = 0; k <= face->openings_n; k++)
        found = nearest_edge(face, ring_at(face, k), at, &near_m, foot) || found;
    return found;
}

bool face_holds(const face_shape *face, face_point at, double near_m) {
    face_point foot;
    return on_concrete(face, at) || find_edge(face, at, near_m, &foot);
}

void face_snap_line(const face_shape *face, face_point *points, size_t n) {
    for (size_t i = 0; i + 1 < n; i++) {
        face_point a = points[i], b = points[i + 1], at_a, at_b, at_middle;
        if (on_concrete(face, a) && on_concrete(face, b)) continue;
        if (!find_edge(face, a, FACE_FIT_M, &at_a) || !find_edge(face, b, FACE_FIT_M, &at_b) ||
            !find_edge(face, between(a, b, 0.5), FACE_FIT_M, &at_middle))
            continue;
        if (!on_concrete(face, a)) points[i] = at_a;
        if (!on_concrete(face, b)) points[i + 1] = at_b;
    }
}

size_t face_first_off(const face_shape *face, const face_run *line) {
    size_t i = 0;
    while (i < line->n && face_holds(face, line->points[i], FACE_FIT_M)) i++;
    return i;
}

/* Places along one segment where it may come on to or leave the face, as parts of its length. */
typedef struct {
    arena *memory;
    double *at;
    size_t n;
    bool no_memory;
} cuts;

static void add_cut(cuts *c, double t) {
    if (!(t >= 0 && t <= 1) || c->no_memory) return;
    double *grown = arena_push(c->memory, c->at, &c->n, sizeof *grown);
    c->no_memory = !grown;
    if (!grown) return;
    c->at = grown;
    c->at[c->n - 1] = t;
}

static int by_value(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Where the edge p-q crosses the segment a-b; and the ends of an edge that runs along it. */
static void cut_by_edge(cuts *c, face_point a, face_point b, face_point p, face_point q) {
    double length = apart(a, b);
    double p_off = cross(a, b, p) / length, q_off = cross(a, b, q) / length;
    if ((p_off > 0) != (q_off > 0)) {
        face_point x = between(p, q, p_off / (p_off - q_off));
        add_cut(c, along(a, b, x) / length);
    }
    if (fabs(p_off) <= SIDE_M) add_cut(c, along(a, b, p) / length);
}

static size_t drop_repeats(double *at, size_t n, double least) {
    size_t kept = 1;
    for (size_t i = 1; i < n; i++) {
        if (at[i] - at[kept - 1] > least)
            at[kept++] = at[i];
        else if (i + 1 == n && kept > 1)
            at[kept - 1] = at[i]; /* the end of the segment stays exact */
    }
    return kept;
}

static bool find_cuts(const face_shape *face, face_point a, face_point b, cuts *c) {
    add_cut(c, 0);
    for (size_t k = 0; k <= face->openings_n; k++) {
        const face_run *ring = ring_at(face, k);
        for (size_t i = 0; i < ring->n; i++) cut_by_edge(c, a, b, ring->points[i], next_of(ring, i));
    }
    add_cut(c, 1);
    if (c->no_memory) return false;
    assert(c->at);
    qsort(c->at, c->n, sizeof *c->at, by_value);
    c->n = drop_repeats(c->at, c->n, ROUNDING_M / apart(a, b));
    return true;
}

/* Pieces under way: all their points in one list, and where each piece begins in it. */
typedef struct {
    arena *memory;
    face_point *points;
    size_t points_n;
    size_t *starts;
    size_t starts_n;
    bool open, no_memory; /* open: the last piece may still grow */
    double length_m;
} joiner;

static void add_point(joiner *j, face_point at) {
    face_point *grown = arena_push(j->memory, j->points, &j->points_n, sizeof *grown);
    j->no_memory = j->no_memory || !grown;
    if (!grown) return;
    j->points = grown;
    j->points[j->points_n - 1] = at;
}

static void begin_piece(joiner *j, face_point at) {
    size_t *grown = arena_push(j->memory, j->starts, &j->starts_n, sizeof *grown);
    j->no_memory = j->no_memory || !grown;
    if (!grown) return;
    j->starts = grown;
    j->starts[j->starts_n - 1] = j->points_n;
    add_point(j, at);
    j->open = true;
}

/* Append what of the segment a-b lies on the face: every stretch between two cuts is on it or off it. */
static void join_segment(joiner *j, const face_shape *face, face_point a, face_point b, const cuts *c) {
    bool straight = false; /* the last stretch was on the face too: its end moves on */
    for (size_t i = 0; i + 1 < c->n && !j->no_memory; i++) {
        double from = c->at[i], to = c->at[i + 1];
        bool on = beside_concrete(face, a, b, between(a, b, (from + to) / 2));
        if (on && !j->open) begin_piece(j, between(a, b, from));
        face_point end = to < 1 ? between(a, b, to) : b;
        if (on && straight) j->points[j->points_n - 1] = end;
        if (on && !straight) add_point(j, end);
        if (on) j->length_m += (to - from) * apart(a, b);
        j->open = straight = on;
    }
}

static status hand_over(const joiner *j, face_pieces *out, fault *why) {
    face_run *pieces = arena_get(j->memory, j->starts_n, sizeof *pieces);
    if (!pieces) return fault_memory(why);
    for (size_t i = 0; i < j->starts_n; i++) {
        size_t end = i + 1 < j->starts_n ? j->starts[i + 1] : j->points_n;
        pieces[i] = (face_run){j->points + j->starts[i], end - j->starts[i]};
    }
    *out = (face_pieces){pieces, j->starts_n, j->length_m};
    return OK;
}

status face_clip_line(const face_shape *face, const face_run *line, arena *memory, face_pieces *out,
                      fault *why) {
    joiner j = {.memory = memory};
    *out = (face_pieces){0};
    for (size_t i = 0; i + 1 < line->n; i++) {
        face_point a = line->points[i], b = line->points[i + 1];
        if (!(apart(a, b) > 0)) continue;
        cuts c = {.memory = memory};
        if (!find_cuts(face, a, b, &c)) return fault_memory(why);
        join_segment(&j, face, a, b, &c);
        if (j.no_memory) return fault_memory(why);
    }
    return hand_over(&j, out, why);
}

/* ---- is it a face? ---- */

typedef struct {
    const face_shape *face;
    wall *w;
    fault *why;
} checker;

typedef struct {
    char text[200];
} label;

/* "face N: outline" or "face N: opening 2"; counted from 1 as a person does. */
static label label_of(const face_shape *face, size_t k) {
    label made;
    char id[100];
    snprintf(id, sizeof id, "%s", face->id);
    text_cut_utf8(id, sizeof id - 4);
    if (k)
        snprintf(made.text, sizeof made.text, "face %s: opening %zu", id, k);
    else
        snprintf(made.text, sizeof made.text, "face %s: outline", id);
    return made;
}

static status check_points(const face_run *ring, const char *name, fault *why) {
    size_t different = 0;
    for (size_t i = 0; i < ring->n; i++) {
        face_point at = ring->points[i], next = next_of(ring, i);
        if (!(fabs(at.u_m) <= FACE_REACH_M && fabs(at.v_m) <= FACE_REACH_M))
            return fault_set(why, E_INPUT, "%s: point %zu (%g, %g) m must lie within +-%g m", name, i + 1,
                             at.u_m, at.v_m, FACE_REACH_M);
        different += at.u_m != next.u_m || at.v_m != next.v_m;
    }
    if (different < 3)
        return fault_set(why, E_INPUT, "%s has %zu different points; it needs at least 3", name,
                         different || !ring->n ? different : 1);
    return OK;
}

/* All points on one line: told as "no area", which says more than "crosses itself". */
static bool is_flat(const face_run *ring) {
    size_t far = 0;
    for (size_t i = 1; i < ring->n; i++)
        if (apart(ring->points[0], ring->points[i]) > apart(ring->points[0], ring->points[far])) far = i;
    double reach = apart(ring->points[0], ring->points[far]);
    for (size_t i = 1; i < ring->n; i++)
        if (fabs(cross(ring->points[0], ring->points[far], ring->points[i])) > reach * 1e-9) return false;
    return true;
}

static status check_ring(wall *w, const face_run *ring, const char *name, shape **made, fault *why) {
    status s = check_points(ring, name, why);
    if (s != OK) return s;
    if (is_flat(ring)) return fault_set(why, E_INPUT, "%s has no area: its points lie on one line", name);
    *made = wall_polygon(w, ring);
    face_point at = {0, 0};
    int crossing = *made ? wall_crossing(w, *made, &at) : -1;
    if (crossing < 0) return wall_status(w, name, why);
    if (crossing)
        return fault_set(why, E_INPUT, "%s crosses or touches itself at (%.4f, %.4f) m", name, at.u_m,
                         at.v_m);
    double area_m2 = face_ring_area_m2(ring);
    if (!(area_m2 >= LEAST_AREA_M2))
        return fault_set(why, E_INPUT, "%s has no area: %g m2; at least %g m2", name, area_m2, LEAST_AREA_M2);
    return OK;
}

status face_check_ring(const face_run *ring, const char *name, fault *why) {
    wall *w = wall_new();
    shape *made = NULL;
    status s = w ? check_ring(w, ring, name, &made, why) : fault_memory(why);
    wall_free(w);
    return s;
}

/* An area that shows when edges meant to coincide are drawn to the millimetre. */
static double slack_m2(const face_run *ring) {
    return FACE_FIT_M * face_run_length_m(ring);
}

static status check_within(const checker *c, size_t k, const shape *outline, const shape *opening) {
    const face_run *ring = ring_at(c->face, k);
    const shape *rest = wall_less(c->w, opening, outline);
    label name = label_of(c->face, k);
    if (!rest) return wall_status(c->w, name.text, c->why);
    double outside_m2 = wall_area_m2(c->w, rest);
    if (outside_m2 <= slack_m2(ring)) return OK;
    face_shape bare = {.id = c->face->id, .outline = c->face->outline};
    size_t off = face_first_off(&bare, ring);
    if (off == ring->n)
        return fault_set(c->why, E_INPUT, "%s lies outside the outline with %.4g m2", name.text, outside_m2);
    return fault_set(c->why, E_INPUT,
                     "%s reaches outside the outline: point %zu (%.4f, %.4f) m is off by more than %g mm",
                     name.text, off + 1, ring->points[off].u_m, ring->points[off].v_m, FACE_FIT_M * 1e3);
}

static bool boxes_meet(wall_box a, wall_box b) {
    return a.low_u <= b.high_u && b.low_u <= a.high_u && a.low_v <= b.high_v && b.low_v <= a.high_v;
}

static status check_apart(const checker *c, size_t k, shape *const rings[], const wall_box boxes[]) {
    for (size_t i = 1; i < k; i++) {
        if (!boxes_meet(boxes[i], boxes[k])) continue;
        const shape *shared = wall_and(c->w, rings[i], rings[k]);
        if (!shared) return wall_status(c->w, c->face->id, c->why);
        double shared_m2 = wall_area_m2(c->w, shared);
        if (!(shared_m2 <= slack_m2(ring_at(c->face, k))))
            return fault_set(c->why, E_INPUT,
                             "face %s: openings %zu and %zu overlap by %.4g m2; they may only touch",
                             c->face->id, i, k, shared_m2);
    }
    return OK;
}

static status check_rings(const checker *c, shape *rings[], wall_box boxes[]) {
    status s = OK;
    for (size_t k = 0; k <= c->face->openings_n && s == OK; k++) {
        label name = label_of(c->face, k);
        s = check_ring(c->w, ring_at(c->face, k), name.text, &rings[k], c->why);
        if (s == OK && k) s = check_within(c, k, rings[0], rings[k]);
        if (s == OK) boxes[k] = wall_extent(c->w, rings[k]);
        if (s == OK && k) s = check_apart(c, k, rings, boxes);
    }
    double left_m2 = s == OK ? face_area_m2(c->face) : 1;
    if (!(left_m2 >= LEAST_AREA_M2))
        return fault_set(c->why, E_INPUT, "face %s: its openings leave %g m2 of it; at least %g m2",
                         c->face->id, left_m2, LEAST_AREA_M2);
    return s;
}

status face_check(const face_shape *face, fault *why) {
    status s = OK;
    checker c = {.face = face, .w = wall_new(), .why = why};
    shape **rings = mem_zero(face->openings_n + 1, sizeof(shape *));
    wall_box *boxes = mem_zero(face->openings_n + 1, sizeof *boxes);
    s = c.w && rings && boxes ? check_rings(&c, rings, boxes) : fault_memory(why);
    mem_free(boxes);
    mem_free(rings);
    wall_free(c.w);
    return s;
}
