/* wall.h - the thin wall round GEOS, for the files of this folder only.
 *
 * A wall is one GEOS context, the last message GEOS gave in it, and every shape made in it: shapes live until
 * the wall is freed, so no caller frees one by one. A function that fails returns NULL (or false, or NaN for
 * a measure) and wall_status turns the reason into a fault. Our own lists come from core/mem; the inside of
 * GEOS is C++ and cannot be made to fail in tests.
 * Units  metres.   Threads  one wall belongs to one thread; any number of walls. */
#ifndef STANCH_GEOM_WALL_H
#define STANCH_GEOM_WALL_H

#include "geom/face.h"

typedef struct wall wall;
typedef struct GEOSGeom_t shape; /* opaque; owned by its wall */

enum { WALL_QUADRANT_SEGMENTS = 16 }; /* our default: a circle of 64 sides lacks 0.16 % of its area */

/* x' = xx u + xy v + x0, y' = yx u + yy v + y0 */
typedef struct {
    double xx, xy, yx, yy, x0, y0;
} wall_map;

typedef struct {
    double low_u, low_v, high_u, high_v;
} wall_box;

wall *wall_new(void); /* NULL without memory */
void wall_free(wall *w);

/* Fault for the last failure: E_MEMORY, or E_INPUT "`item`: the geometry library says ...". */
status wall_status(const wall *w, const char *item, fault *why);

shape *wall_polygon(wall *w, const face_run *ring); /* NULL too when it has fewer than 3 different points */
shape *wall_line(wall *w, const face_run *line);    /* at least 2 points */
shape *wall_point(wall *w, face_point at);

/* All within `half_m` of a line: flat ends, round bends. Of a point or polygon: round all over. */
shape *wall_buffer(wall *w, const shape *of, double half_m);
shape *wall_and(wall *w, const shape *a, const shape *b);
shape *wall_less(wall *w, const shape *a, const shape *b);
shape *wall_union(wall *w, const shape *const shapes[], size_t n); /* n = 1 gives shapes[0] itself */
shape *wall_move(wall *w, const shape *of, const wall_map *by);

/* The polygons of `of` that lie within `near_m` of `to`, as one shape; empty when none does. */
shape *wall_near(wall *w, const shape *of, const shape *to, double near_m);

size_t wall_pieces_n(wall *w, const shape *of); /* its polygons and whatever else; 1 of one */
const shape *wall_piece(wall *w, const shape *of, size_t piece); /* owned by `of` */
shape *wall_inside(wall *w, const shape *of);                    /* a point in its inside */

double wall_area_m2(wall *w, const shape *of);
double wall_distance_m(wall *w, const shape *a, const shape *b); /* NaN when one is empty */
bool wall_is_empty(wall *w, const shape *of);
wall_box wall_extent(wall *w, const shape *of); /* upside down (low > high) when empty */

/* Does `a`, prepared, cover all of `b`? False also on failure: a caller then clips, and meets it there. */
typedef struct GEOSPrepGeom_t wall_ready;
const wall_ready *wall_prepare(wall *w, const shape *of);
bool wall_covers(wall *w, const wall_ready *a, const shape *b);

/* Fault of a polygon: 1 and the place when it crosses or touches itself, 0 when sound, -1 on failure. */
int wall_crossing(wall *w, const shape *of, face_point *at);

/* The polygons of a shape (slivers without area left out), copied to `memory`. False on failure. */
bool wall_polygons(wall *w, const shape *of, arena *memory, const face_polygon **out, size_t *n);

#endif
