#include "geom/wall.h"

#define GEOS_USE_ONLY_R_API
#include <geos_c.h>
#include <math.h>
#include <string.h>

struct wall {
    GEOSContextHandle_t geos;
    GEOSBufferParams *flat; /* flat ends, round bends */
    shape **shapes;
    size_t shapes_n, shapes_size;
    const wall_ready **ready;
    size_t ready_n, ready_size;
    bool no_memory;
    char message[400];
};

/* GEOS hands over complete sentences; the first line says what and where. */
static void keep_message(const char *message, void *data) {
    wall *w = data;
    size_t length = strcspn(message, "\r\n");
    if (length >= sizeof w->message) length = sizeof w->message - 1;
    memcpy(w->message, message, length);
    w->message[length] = '\0';
}

static bool open_geos(wall *w) {
    w->geos = GEOS_init_r();
    if (!w->geos) return false;
    GEOSContext_setErrorMessageHandler_r(w->geos, keep_message, w);
    GEOSContext_setNoticeMessageHandler_r(w->geos, keep_message, w);
    w->flat = GEOSBufferParams_create_r(w->geos);
    return w->flat && GEOSBufferParams_setEndCapStyle_r(w->geos, w->flat, GEOSBUF_CAP_FLAT) &&
           GEOSBufferParams_setJoinStyle_r(w->geos, w->flat, GEOSBUF_JOIN_ROUND) &&
           GEOSBufferParams_setQuadrantSegments_r(w->geos, w->flat, WALL_QUADRANT_SEGMENTS);
}

wall *wall_new(void) {
    wall *w = mem_zero(1, sizeof *w);
    if (!w) return NULL;
    if (open_geos(w)) return w;
    wall_free(w);
    return NULL;
}

void wall_free(wall *w) {
    if (!w) return;
    for (size_t i = 0; i < w->ready_n; i++) GEOSPreparedGeom_destroy_r(w->geos, w->ready[i]);
    for (size_t i = 0; i < w->shapes_n; i++) GEOSGeom_destroy_r(w->geos, w->shapes[i]);
    if (w->flat) GEOSBufferParams_destroy_r(w->geos, w->flat);
    if (w->geos) GEOS_finish_r(w->geos);
    mem_free(w->shapes);
    mem_free(w->ready);
    mem_free(w);
}

status wall_status(const wall *w, const char *item, fault *why) {
    if (w->no_memory || !strcmp(w->message, "std::bad_alloc")) return fault_memory(why);
    return fault_set(why, E_INPUT, "%s: the geometry library says: %s", item,
                     w->message[0] ? w->message : "no result");
}

/* Room for one more pointer in a list, doubling it. */
static bool make_room(wall *w, void **list, size_t n, size_t *size, size_t of) {
    if (n < *size) return true;
    size_t more = *size ? 2 * *size : 64;
    void *grown = mem_grow(*list, more, of);
    w->no_memory = w->no_memory || !grown;
    if (!grown) return false;
    *list = grown;
    *size = more;
    return true;
}

/* Every shape passes here and is the wall's from then on. */
static shape *own(wall *w, shape *made) {
    if (!made) return NULL;
    void *list = w->shapes;
    bool room = make_room(w, &list, w->shapes_n, &w->shapes_size, sizeof(shape *));
    w->shapes = list;
    if (!room) {
        GEOSGeom_destroy_r(w->geos, made);
        return NULL;
    }
    return w->shapes[w->shapes_n++] = made;
}

static bool same(face_point a, face_point b) {
    return a.u_m == b.u_m && a.v_m == b.v_m;
}

/* The points, without repeats, as GEOS keeps them; `close` repeats the first at the end. */
static GEOSCoordSequence *sequence(wall *w, const face_run *run, bool close) {
    double *flat = mem_get(run->n + 1, 2 * sizeof *flat);
    w->no_memory = w->no_memory || !flat;
    if (!flat) return NULL;
    unsigned n = 0;
    for (size_t i = 0; i < run->n; i++) {
        if (i && same(run->points[i], run->points[i - 1])) continue;
        flat[(size_t)2 * n] = run->points[i].u_m;
        flat[(size_t)2 * n + 1] = run->points[i].v_m;
        n++;
    }
    if (close && n && !same(run->points[0], run->points[run->n - 1])) {
        memcpy(flat + 2 * (size_t)n, flat, 2 * sizeof *flat);
        n++;
    }
    GEOSCoordSequence *made = GEOSCoordSeq_copyFromBuffer_r(w->geos, flat, n, 0, 0);
    mem_free(flat);
    return made;
}

shape *wall_polygon(wall *w, const face_run *ring) {
    GEOSCoordSequence *points = sequence(w, ring, true);
    GEOSGeometry *line = points ? GEOSGeom_createLinearRing_r(w->geos, points) : NULL;
    return own(w, line ? GEOSGeom_createPolygon_r(w->geos, line, NULL, 0) : NULL);
}

shape *wall_line(wall *w, const face_run *line) {
    GEOSCoordSequence *points = sequence(w, line, false);
    return own(w, points ? GEOSGeom_createLineString_r(w->geos, points) : NULL);
}

shape *wall_point(wall *w, face_point at) {
    return own(w, GEOSGeom_createPointFromXY_r(w->geos, at.u_m, at.v_m));
}

shape *wall_buffer(wall *w, const shape *of, double half_m) {
    if (GEOSGeom_getDimensions_r(w->geos, of) == 1)
        return own(w, GEOSBufferWithParams_r(w->geos, of, w->flat, half_m));
    return own(w, GEOSBuffer_r(w->geos, of, half_m, WALL_QUADRANT_SEGMENTS));
}

shape *wall_and(wall *w, const shape *a, const shape *b) {
    return own(w, GEOSIntersection_r(w->geos, a, b));
}

shape *wall_less(wall *w, const shape *a, const shape *b) {
    return own(w, GEOSDifference_r(w->geos, a, b));
}

/* A collection owns its members, so it is made of copies (1 ms for a thousand). */
static GEOSGeometry *collect(wall *w, const shape *const shapes[], size_t n) {
    GEOSGeometry **copies = mem_zero(n, sizeof(GEOSGeometry *));
    w->no_memory = w->no_memory || !copies;
    if (!copies) return NULL;
    size_t made = 0;
    while (made < n && (copies[made] = GEOSGeom_clone_r(w->geos, shapes[made]))) made++;
    GEOSGeometry *all = NULL;
    if (made == n)
        all = GEOSGeom_createCollection_r(w->geos, GEOS_GEOMETRYCOLLECTION, copies, (unsigned)n);
    else
        while (made) GEOSGeom_destroy_r(w->geos, copies[--made]);
    mem_free(copies);
    return all;
}

shape *wall_union(wall *w, const shape *const shapes[], size_t n) {
    if (n == 1) return own(w, GEOSGeom_clone_r(w->geos, shapes[0]));
    GEOSGeometry *all = collect(w, shapes, n);
    GEOSGeometry *united = all ? GEOSUnaryUnion_r(w->geos, all) : NULL;
    if (all) GEOSGeom_destroy_r(w->geos, all);
    return own(w, united);
}

static int map_point(double *x, double *y, void *data) {
    const wall_map *by = data;
    double u = *x, v = *y;
    *x = by->xx * u + by->xy * v + by->x0;
    *y = by->yx * u + by->yy * v + by->y0;
    return 1;
}

shape *wall_move(wall *w, const shape *of, const wall_map *by) {
    wall_map map = *by;
    return own(w, GEOSGeom_transformXY_r(w->geos, of, map_point, &map));
}

shape *wall_near(wall *w, const shape *of, const shape *to, double near_m) {
    int n = GEOSGetNumGeometries_r(w->geos, of);
    const shape **kept = mem_get(n > 0 ? (size_t)n : 0, sizeof *kept);
    w->no_memory = w->no_memory || !kept;
    if (!kept || n < 0) return NULL;
    size_t kept_n = 0;
    for (int i = 0; i < n; i++) {
        const shape *one = GEOSGetGeometryN_r(w->geos, of, i);
        if (one && wall_distance_m(w, one, to) <= near_m) kept[kept_n++] = one;
    }
    shape *united = kept_n ? wall_union(w, kept, kept_n) : own(w, GEOSGeom_createEmptyPolygon_r(w->geos));
    mem_free(kept);
    return united;
}

size_t wall_pieces_n(wall *w, const shape *of) {
    int n = GEOSGetNumGeometries_r(w->geos, of);
    return n > 0 ? (size_t)n : 0;
}

const shape *wall_piece(wall *w, const shape *of, size_t piece) {
    return GEOSGetGeometryN_r(w->geos, of, (int)piece);
}

shape *wall_inside(wall *w, const shape *of) {
    return own(w, GEOSPointOnSurface_r(w->geos, of));
}

double wall_area_m2(wall *w, const shape *of) {
    double area;
    return GEOSArea_r(w->geos, of, &area) ? area : (double)NAN;
}

double wall_distance_m(wall *w, const shape *a, const shape *b) {
    double distance;
    if (wall_is_empty(w, a) || wall_is_empty(w, b)) return (double)NAN;
    return GEOSDistance_r(w->geos, a, b, &distance) ? distance : (double)NAN;
}

bool wall_is_empty(wall *w, const shape *of) {
    return GEOSisEmpty_r(w->geos, of) == 1;
}

wall_box wall_extent(wall *w, const shape *of) {
    wall_box box = {HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL};
    if (!wall_is_empty(w, of))
        GEOSGeom_getExtent_r(w->geos, of, &box.low_u, &box.low_v, &box.high_u, &box.high_v);
    return box;
}

const wall_ready *wall_prepare(wall *w, const shape *of) {
    void *list = (void *)w->ready;
    bool room = make_room(w, &list, w->ready_n, &w->ready_size, sizeof(wall_ready *));
    w->ready = list;
    const wall_ready *made = room ? GEOSPrepare_r(w->geos, of) : NULL;
    return made ? (w->ready[w->ready_n++] = made) : NULL;
}

bool wall_covers(wall *w, const wall_ready *a, const shape *b) {
    return GEOSPreparedCovers_r(w->geos, a, b) == 1;
}

int wall_crossing(wall *w, const shape *of, face_point *at) {
    char *reason = NULL;
    GEOSGeometry *place = NULL;
    char sound = GEOSisValidDetail_r(w->geos, of, 0, &reason, &place);
    int found = sound == 1 ? 0 : sound == 0 ? 1 : -1;
    if (found == 1 && (!place || GEOSGeomGetX_r(w->geos, place, &at->u_m) != 1 ||
                       GEOSGeomGetY_r(w->geos, place, &at->v_m) != 1))
        found = -1;
    if (reason) GEOSFree_r(w->geos, reason);
    if (place) GEOSGeom_destroy_r(w->geos, place);
    return found;
}

/* A GEOS ring, which repeats its first point at the end, as a run that does not. */
static bool copy_ring(wall *w, const GEOSGeometry *ring, arena *memory, face_run *out) {
    const GEOSCoordSequence *points = ring ? GEOSGeom_getCoordSeq_r(w->geos, ring) : NULL;
    unsigned n = 0;
    if (!points || !GEOSCoordSeq_getSize_r(w->geos, points, &n) || n < 1) return false;
    face_point *copy = arena_get(memory, n, sizeof *copy);
    w->no_memory = w->no_memory || !copy;
    if (!copy || !GEOSCoordSeq_copyToBuffer_r(w->geos, points, &copy->u_m, 0, 0)) return false;
    *out = (face_run){copy, n - 1};
    return true;
}

static bool copy_polygon(wall *w, const GEOSGeometry *one, arena *memory, face_polygon *out) {
    int holes_n = GEOSGetNumInteriorRings_r(w->geos, one);
    if (holes_n < 0 || !copy_ring(w, GEOSGetExteriorRing_r(w->geos, one), memory, &out->outer)) return false;
    face_run *holes = arena_get(memory, (size_t)holes_n, sizeof *holes);
    w->no_memory = w->no_memory || !holes;
    if (!holes) return false;
    for (int i = 0; i < holes_n; i++)
        if (!copy_ring(w, GEOSGetInteriorRingN_r(w->geos, one, i), memory, &holes[i])) return false;
    out->holes = holes;
    out->holes_n = (size_t)holes_n;
    return true;
}

bool wall_polygons(wall *w, const shape *of, arena *memory, const face_polygon **out, size_t *n) {
    int parts = GEOSGetNumGeometries_r(w->geos, of);
    face_polygon *list = parts < 0 ? NULL : arena_get(memory, (size_t)parts, sizeof *list);
    w->no_memory = w->no_memory || (parts >= 0 && !list);
    if (!list) return false;
    size_t kept = 0;
    for (int i = 0; i < parts; i++) {
        const GEOSGeometry *one = GEOSGetGeometryN_r(w->geos, of, i);
        bool drawn = one && GEOSGeom_getDimensions_r(w->geos, one) == 2 && wall_area_m2(w, one) > 0;
        if (drawn && !copy_polygon(w, one, memory, &list[kept++])) return false;
    }
    *out = list;
    *n = kept;
    return true;
}
