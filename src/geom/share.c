#include "geom/share.h"

#include <math.h>

typedef struct {
    const shape *outline;
    wall_box box;
    double union_m2, sum_m2;
    size_t first; /* band met first */
    bool shared;  /* by more than one band */
} cluster;

/* A polygon of a band and where it went. */
typedef struct {
    size_t band, cluster;
    double area_m2;
} piece;

typedef struct {
    wall *w;
    cluster *clusters;
    size_t clusters_n;
    piece *pieces;
    size_t pieces_n;
} sharing;

static bool find_clusters(sharing *s, const shape *united, arena *memory) {
    size_t n = wall_pieces_n(s->w, united);
    s->clusters = arena_get(memory, n, sizeof *s->clusters);
    for (size_t i = 0; s->clusters && i < n; i++) {
        const shape *outline = wall_piece(s->w, united, i);
        double area_m2 = outline ? wall_area_m2(s->w, outline) : 0;
        if (area_m2 > 0)
            s->clusters[s->clusters_n++] =
                (cluster){.outline = outline, .box = wall_extent(s->w, outline), .union_m2 = area_m2};
    }
    return s->clusters;
}

static double to_box_m(const wall_box *to, const wall_box *from) {
    double u = fmax(to->low_u - from->low_u, from->low_u - to->high_u);
    double v = fmax(to->low_v - from->low_v, from->low_v - to->high_v);
    return hypot(fmax(u, 0), fmax(v, 0));
}

/* The cluster that holds a point. The union moves edges by a rounding, so for a sliver it is the nearest. */
static size_t cluster_at(const sharing *s, const shape *point) {
    wall_box at = wall_extent(s->w, point);
    double nearest_m = HUGE_VAL;
    size_t found = s->clusters_n;
    for (size_t i = 0; i < s->clusters_n && nearest_m > 0; i++) {
        const cluster *c = &s->clusters[i];
        if (!(to_box_m(&c->box, &at) < nearest_m)) continue;
        double off_m = wall_distance_m(s->w, c->outline, point);
        if (!(off_m < nearest_m)) continue;
        nearest_m = off_m;
        found = i;
    }
    return found;
}

static bool place_piece(sharing *s, size_t band, const shape *polygon) {
    double area_m2 = wall_area_m2(s->w, polygon);
    if (!(area_m2 > 0)) return true;
    const shape *inside = wall_inside(s->w, polygon);
    size_t at = inside ? cluster_at(s, inside) : s->clusters_n;
    if (at == s->clusters_n) return false;
    cluster *c = &s->clusters[at];
    if (!(c->sum_m2 > 0)) c->first = band;
    c->shared = c->shared || c->first != band;
    c->sum_m2 += area_m2;
    s->pieces[s->pieces_n++] = (piece){band, at, area_m2};
    return true;
}

static bool place_pieces(sharing *s, const share_bands *of, arena *memory) {
    size_t n = 0;
    for (size_t i = 0; i < of->n; i++) n += wall_pieces_n(s->w, of->bands[i]);
    s->pieces = arena_get(memory, n, sizeof *s->pieces);
    for (size_t i = 0; i < of->n; i++) {
        size_t pieces = wall_pieces_n(s->w, of->bands[i]);
        for (size_t k = 0; k < pieces; k++) {
            const shape *polygon = s->pieces ? wall_piece(s->w, of->bands[i], k) : NULL;
            if (!polygon || !place_piece(s, i, polygon)) return false;
        }
    }
    return true;
}

/* Exactly 0 for a cluster of one band alone, whatever the union rounded. */
static double saved_part(const cluster *c) {
    return c->shared ? fmax(1 - c->union_m2 / c->sum_m2, 0) : 0;
}

status share_overlaps(wall *w, const share_bands *of, arena *memory, double saved_m2[], fault *why) {
    sharing s = {.w = w};
    for (size_t i = 0; i < of->n; i++) saved_m2[i] = 0;
    if (!find_clusters(&s, of->united, memory)) return fault_memory(why);
    if (!place_pieces(&s, of, memory)) return s.pieces ? wall_status(w, of->face, why) : fault_memory(why);
    for (size_t i = 0; i < s.pieces_n; i++) {
        const piece *p = &s.pieces[i];
        saved_m2[p->band] += p->area_m2 * saved_part(&s.clusters[p->cluster]);
    }
    return OK;
}
