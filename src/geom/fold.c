#include "geom/fold.h"

#include "geom/item.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

/* Our default: a line that leaves the plane of the fold by less than this per metre runs along it. */
#define ALONG_SLOPE 1e-9

static double apart(face_point a, face_point b) {
    return hypot(b.u_m - a.u_m, b.v_m - a.v_m);
}

static face_point between(face_point a, face_point b, double t) {
    return (face_point){a.u_m + t * (b.u_m - a.u_m), a.v_m + t * (b.v_m - a.v_m)};
}

face_point fold_apply(const wall_map *map, face_point at) {
    return (face_point){map->xx * at.u_m + map->xy * at.v_m + map->x0,
                        map->yx * at.u_m + map->yy * at.v_m + map->y0};
}

wall_map fold_chain(const wall_map *first, const wall_map *then) {
    face_point origin = fold_apply(then, (face_point){first->x0, first->y0});
    return (wall_map){
        .xx = then->xx * first->xx + then->xy * first->yx,
        .xy = then->xx * first->xy + then->xy * first->yy,
        .yx = then->yx * first->xx + then->yy * first->yx,
        .yy = then->yx * first->xy + then->yy * first->yy,
        .x0 = origin.u_m,
        .y0 = origin.v_m,
    };
}

/* ---- folds ---- */

typedef struct {
    face_point a, b;
    double length_m, du, dv; /* unit direction */
} ray;

static ray ray_of(face_point a, face_point b) {
    double length_m = apart(a, b);
    return (ray){a, b, length_m, (b.u_m - a.u_m) / length_m, (b.v_m - a.v_m) / length_m};
}

static double along(const ray *r, face_point at) {
    return (at.u_m - r->a.u_m) * r->du + (at.v_m - r->a.v_m) * r->dv;
}

/* Left of the ray is positive. */
static double beside(const ray *r, face_point at) {
    return (at.v_m - r->a.v_m) * r->du - (at.u_m - r->a.u_m) * r->dv;
}

/* How far along the segment an edge of the outline covers it from `from_m` on, or from_m when it does not.
 * *turn is +1 when the edge runs the same way. */
static double covered_to(const ray *r, face_point p, face_point q, double from_m, int *turn) {
    double p_m = along(r, p), q_m = along(r, q);
    double low_m = fmax(fmin(p_m, q_m), 0), high_m = fmin(fmax(p_m, q_m), r->length_m);
    if (!(low_m <= from_m + FACE_FIT_M && high_m > from_m)) return from_m;
    double low_off = beside(r, between(p, q, (low_m - p_m) / (q_m - p_m)));
    double high_off = beside(r, between(p, q, (high_m - p_m) / (q_m - p_m)));
    if (!(fabs(low_off) <= FACE_FIT_M && fabs(high_off) <= FACE_FIT_M)) return from_m;
    *turn = q_m > p_m ? 1 : -1;
    return high_m;
}

static bool runs_left(const face_run *ring) {
    double twice = 0;
    for (size_t i = 1; i + 1 < ring->n; i++) {
        ray r = {.a = ring->points[0],
                 .du = ring->points[i].u_m - ring->points[0].u_m,
                 .dv = ring->points[i].v_m - ring->points[0].v_m};
        twice += beside(&r, ring->points[i + 1]);
    }
    return twice > 0;
}

/* +1 when the face lies left of the segment, -1 when right, 0 when the outline does not cover it; *off_m then
 * tells from where along it. */
static int side_of(const face_run *outline, const ray *r, double *off_m) {
    double at_m = 0, best_m = 0;
    int turn = 0;
    do {
        at_m = best_m;
        for (size_t i = 0; i < outline->n; i++) {
            face_point p = outline->points[i], q = outline->points[i + 1 < outline->n ? i + 1 : 0];
            int way = 0;
            double to_m = covered_to(r, p, q, at_m, &way);
            if (to_m > best_m) {
                best_m = to_m;
                turn = way;
            }
        }
    } while (best_m > at_m && best_m < r->length_m - FACE_FIT_M);
    *off_m = best_m;
    if (!(best_m >= r->length_m - FACE_FIT_M)) return 0;
    return runs_left(outline) ? turn : -turn;
}

/* Segment on segment; `flip` -1 mirrors. */
static wall_map map_of(const ray *from, const ray *to, int flip) {
    double along_cos = from->du * to->du, along_sin = from->du * to->dv;
    double over_cos = from->dv * to->du, over_sin = from->dv * to->dv;
    /* unit vectors: along -> along, left -> flip * left */
    wall_map map = {
        .xx = along_cos + flip * over_sin,
        .xy = over_cos - flip * along_sin,
        .yx = along_sin - flip * over_cos,
        .yy = over_sin + flip * along_cos,
    };
    face_point middle = between(from->a, from->b, 0.5), target = between(to->a, to->b, 0.5);
    face_point turned = fold_apply(&map, middle);
    map.x0 = target.u_m - turned.u_m;
    map.y0 = target.v_m - turned.v_m;
    return map;
}

typedef struct {
    char text[100];
} fold_label;

static fold_label name_of(const bands_input *in, size_t fold) {
    fold_label label;
    if (in->folds[fold].tag)
        snprintf(label.text, sizeof label.text, "%.90s", in->folds[fold].tag);
    else
        snprintf(label.text, sizeof label.text, "fold %zu", fold);
    return label;
}

/* One side of a fold: its ray, and on which hand its face lies. */
static status check_side(const bands_input *in, size_t face, const face_point side[2], const char *name,
                         ray *out, int *hand, fault *why) {
    for (int i = 0; i < 2; i++)
        if (!(fabs(side[i].u_m) <= FACE_REACH_M && fabs(side[i].v_m) <= FACE_REACH_M))
            return fault_set(why, E_INPUT, "%s: point (%g, %g) m on face %s must lie within +-%g m", name,
                             side[i].u_m, side[i].v_m, in->faces[face].id, FACE_REACH_M);
    *out = ray_of(side[0], side[1]);
    if (!(out->length_m > 2 * FACE_FIT_M))
        return fault_set(why, E_INPUT, "%s: its segment on face %s is %g mm long; at least %g mm", name,
                         in->faces[face].id, out->length_m * 1e3, 2e3 * FACE_FIT_M);
    double off_m = 0;
    *hand = side_of(&in->faces[face].outline, out, &off_m);
    if (*hand) return OK;
    face_point off = between(side[0], side[1], off_m / out->length_m);
    return fault_set(why, E_INPUT,
                     "%s: its segment leaves the outline of face %s at (%.4f, %.4f) m; limit %g mm", name,
                     in->faces[face].id, off.u_m, off.v_m, FACE_FIT_M * 1e3);
}

static fold_way way_of(size_t fold, const size_t faces[2], const ray rays[2], const int hands[2], int back) {
    const ray *from = &rays[back], *to = &rays[!back];
    /* The next face must come to lie on the other hand than the face left. */
    return (fold_way){.fold = fold,
                      .from = faces[back],
                      .to = faces[!back],
                      .a = from->a,
                      .b = from->b,
                      .to_a = to->a,
                      .to_b = to->b,
                      .in_u = -from->dv * hands[back],
                      .in_v = from->du * hands[back],
                      .map = map_of(from, to, hands[0] == hands[1] ? -1 : 1)};
}

static status check_fold(const bands_input *in, size_t fold, fold_way ways[2], fault *why) {
    const bands_fold *f = &in->folds[fold];
    fold_label name = name_of(in, fold);
    const size_t faces[2] = {f->face_a, f->face_b};
    ray rays[2] = {{.length_m = 0}, {.length_m = 0}};
    int hands[2] = {0};
    assert(f->face_a < in->faces_n && f->face_b < in->faces_n);
    status s = check_side(in, f->face_a, f->side_a, name.text, &rays[0], &hands[0], why);
    if (s == OK) s = check_side(in, f->face_b, f->side_b, name.text, &rays[1], &hands[1], why);
    if (s != OK) return s;
    if (!(fabs(rays[0].length_m - rays[1].length_m) <= FACE_FIT_M * (1 + 1e-9)))
        return fault_set(
            why, E_INPUT,
            "%s: its segments are %.6g m on face %s and %.6g m on face %s; they must agree within %g mm",
            name.text, rays[0].length_m, in->faces[f->face_a].id, rays[1].length_m, in->faces[f->face_b].id,
            FACE_FIT_M * 1e3);
    ways[0] = way_of(fold, faces, rays, hands, 0);
    ways[1] = way_of(fold, faces, rays, hands, 1);
    return OK;
}

/* Counting sort by the face left. */
static status sort_ways(const fold_way *ways, size_t n, size_t faces_n, arena *memory, fold_table *out,
                        fault *why) {
    size_t *first = arena_get(memory, faces_n + 2, sizeof *first);
    fold_way *sorted = arena_get(memory, n, sizeof *sorted);
    if (!first || !sorted) return fault_memory(why);
    for (size_t i = 0; i < n; i++) first[ways[i].from + 2]++;
    for (size_t f = 2; f < faces_n + 2; f++) first[f] += first[f - 1];
    for (size_t i = 0; i < n; i++) sorted[first[ways[i].from + 1]++] = ways[i];
    *out = (fold_table){sorted, first};
    return OK;
}

status fold_build(const bands_input *in, arena *memory, fold_table *out, fault *why) {
    fold_way *ways = arena_get(memory, in->folds_n, 2 * sizeof *ways);
    if (!ways) return fault_memory(why);
    for (size_t i = 0; i < in->folds_n; i++) {
        status s = check_fold(in, i, ways + 2 * i, why);
        if (s != OK) return s;
    }
    return sort_ways(ways, 2 * in->folds_n, in->faces_n, memory, out, why);
}

/* ---- lines ---- */

typedef struct {
    const bands_input *in;
    const fold_table *table;
    arena *memory;
    fault *why;
    const char *name;
    fold_stretch *list;
    size_t n;
    size_t crossed;
} walker;

/* A way along the plane of the home face, walked outward; `map` leads from there to the face we are on. */
typedef struct {
    size_t face;
    wall_map map;
    face_point *points;
    size_t n;
} stretch;

static bool append(walker *w, stretch *s, face_point at) {
    if (s->n && !(apart(s->points[s->n - 1], at) > 0)) return true;
    face_point *grown = arena_push(w->memory, s->points, &s->n, sizeof *grown);
    if (!grown) return false;
    s->points = grown;
    s->points[s->n - 1] = at;
    return true;
}

/* The first fold by which the ray leaves the face, or NULL; *at_m tells where. A ray that only ends on a fold
 * does not leave. */
static const fold_way *first_fold(const fold_table *table, size_t face, const ray *r, double *at_m) {
    const fold_way *found = NULL;
    for (size_t k = table->first[face]; k < table->first[face + 1]; k++) {
        const fold_way *way = &table->ways[k];
        double slope = r->du * way->in_u + r->dv * way->in_v;
        if (!(slope < -ALONG_SLOPE)) continue;
        ray edge = ray_of(way->a, way->b);
        double depth_m = (r->a.u_m - way->a.u_m) * way->in_u + (r->a.v_m - way->a.v_m) * way->in_v;
        double here_m = fmax(depth_m / -slope, -FACE_FIT_M);
        double on_m = along(&edge, between(r->a, r->b, here_m / r->length_m));
        if (!(depth_m >= -FACE_FIT_M && on_m >= -FACE_FIT_M && on_m <= edge.length_m + FACE_FIT_M)) continue;
        here_m = fmax(here_m, 0);
        if (!(here_m < r->length_m - 2 * FOLD_LAP_M) || (found && !(here_m < *at_m))) continue;
        found = way;
        *at_m = here_m;
    }
    return found;
}

static status end_stretch(walker *w, const stretch *s) {
    face_pieces on_face;
    face_run run = {s->points, s->n};
    status ok = face_clip_line(&w->in->faces[s->face], &run, w->memory, &on_face, w->why);
    if (ok != OK) return ok;
    fold_stretch *grown = arena_push(w->memory, w->list, &w->n, sizeof *grown);
    if (!grown) return fault_memory(w->why);
    w->list = grown;
    w->list[w->n - 1] = (fold_stretch){s->face, run, on_face.length_m};
    return OK;
}

/* End the stretch at the fold, begin the next behind it. */
static status cross_fold(walker *w, stretch *s, const fold_way *way, const ray *r, double at_m) {
    if (++w->crossed > BANDS_MAX_FOLDS)
        return fault_set(w->why, E_INPUT, "%s crosses more than %d folds", w->name, BANDS_MAX_FOLDS);
    face_point at = between(r->a, r->b, at_m / r->length_m);
    if (!append(w, s, at)) return fault_memory(w->why);
    status ok = end_stretch(w, s);
    if (ok != OK) return ok;
    if (!append(w, s, between(r->a, r->b, (at_m + FOLD_LAP_M) / r->length_m))) return fault_memory(w->why);
    w->list[w->n - 1].run = (face_run){s->points, s->n};
    *s = (stretch){.face = way->to, .map = fold_chain(&s->map, &way->map)};
    return append(w, s, fold_apply(&way->map, at)) ? OK : fault_memory(w->why);
}

/* Walk a way given in the plane of the home face, from its first point, which lies on that face. */
static status walk_out(walker *w, size_t home, const face_run *way) {
    stretch s = {.face = home, .map = {.xx = 1, .yy = 1}};
    if (!append(w, &s, way->points[0])) return fault_memory(w->why);
    for (size_t i = 1; i < way->n;) {
        ray r = ray_of(s.points[s.n - 1], fold_apply(&s.map, way->points[i]));
        double at_m = 0;
        const fold_way *fold = r.length_m > 0 ? first_fold(w->table, s.face, &r, &at_m) : NULL;
        if (!fold) {
            if (!append(w, &s, r.b)) return fault_memory(w->why);
            i++;
            continue;
        }
        status ok = cross_fold(w, &s, fold, &r, at_m);
        if (ok != OK) return ok;
    }
    return end_stretch(w, &s);
}

/* The point `extend_m` straight on past `end`, away from the nearest point before it that differs. */
static face_point straight_on(const face_point *end, size_t n, int step, double extend_m) {
    for (size_t i = 1; i < n && extend_m > 0; i++) {
        face_point before = step > 0 ? end[-(ptrdiff_t)i] : end[i];
        double length_m = apart(before, *end);
        if (length_m > 0) return between(before, *end, 1 + extend_m / length_m);
    }
    return *end;
}

/* The points of the line, those of a joint along an edge put on it. */
static face_run snapped(const bands_item *it, const face_shape *face, arena *memory) {
    face_point *points = arena_get(memory, it->run.n, sizeof *points);
    if (!points) return (face_run){NULL, 0};
    memcpy(points, it->run.points, it->run.n * sizeof *points);
    face_snap_line(face, points, it->run.n);
    face_run run = {points, it->run.n};
    return face_run_length_m(&run) > 0 ? run : it->run;
}

/* Where the walk begins: the first place of the line on the face, and its segment; the line's own beginning
 * when all of it lies in openings. */
static status find_anchor(walker *w, const bands_item *it, const face_run *line, size_t *segment,
                          face_point *at) {
    const face_shape *face = &w->in->faces[it->face];
    face_shape bare = {.id = face->id, .outline = face->outline};
    for (*segment = 0; *segment + 1 < line->n; ++*segment) {
        face_run one = {line->points + *segment, 2};
        face_pieces on_face;
        status ok = face_clip_line(face, &one, w->memory, &on_face, w->why);
        if (ok != OK) return ok;
        if (on_face.n) *at = on_face.pieces[0].points[0];
        if (on_face.n) return OK;
    }
    face_pieces within;
    status ok = face_clip_line(&bare, line, w->memory, &within, w->why);
    if (ok != OK) return ok;
    *segment = 0;
    *at = line->points[0];
    if (within.n) return OK;
    return fault_set(w->why, E_INPUT,
                     "%s: point 1 (%g, %g) m and all the line lie outside the outline of face %s", w->name,
                     at->u_m, at->v_m, face->id);
}

/* The two walks meet at the anchor: the first walk's home stretch, turned round, leads to the second's. */
static status join_home(walker *w, size_t second) {
    assert(w->list);
    fold_stretch *back = &w->list[0], *on = &w->list[second];
    size_t n = back->run.n + on->run.n - 1;
    face_point *points = arena_get(w->memory, n, sizeof *points);
    if (!points) return fault_memory(w->why);
    for (size_t i = 0; i < back->run.n; i++) points[i] = back->run.points[back->run.n - 1 - i];
    for (size_t i = 1; i < on->run.n; i++) points[back->run.n - 1 + i] = on->run.points[i];
    *back = (fold_stretch){back->face, {points, n}, back->line_m + on->line_m};
    *on = w->list[--w->n];
    return OK;
}

status fold_walk(const bands_input *in, const fold_table *table, size_t item, arena *memory,
                 fold_stretch **out, size_t *n, fault *why) {
    const bands_item *it = &in->items[item];
    item_label name = item_name(in, item);
    walker w = {.in = in, .table = table, .memory = memory, .why = why, .name = name.text};
    face_run line = snapped(it, &in->faces[it->face], memory);
    face_point *way = arena_get(memory, it->run.n + 2, sizeof *way);
    if (!line.points || !way) return fault_memory(why);
    size_t segment = 0, last = line.n - 1;
    status ok = find_anchor(&w, it, &line, &segment, &way[0]);
    if (ok != OK) return ok;

    bool closed = !(apart(line.points[0], line.points[last]) > 0); /* a closed line has no ends */
    size_t count = 1;
    for (size_t i = segment + 1; i-- > 0;) way[count++] = line.points[i];
    way[count++] = straight_on(&line.points[0], line.n, -1, closed ? 0 : it->extend_start_m);
    ok = walk_out(&w, it->face, &(face_run){way, count});
    if (ok != OK) return ok;

    size_t second = w.n;
    count = 1;
    for (size_t i = segment + 1; i < line.n; i++) way[count++] = line.points[i];
    way[count++] = straight_on(&line.points[last], line.n, 1, closed ? 0 : it->extend_end_m);
    ok = walk_out(&w, it->face, &(face_run){way, count});
    if (ok == OK) ok = join_home(&w, second);
    *out = w.list;
    *n = w.n;
    return ok;
}
