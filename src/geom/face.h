/* face.h - one flat face of the structure: an outline with openings, and what lies on it.
 *
 * A wall, floor or soffit seen from its dry side, in its own plane: u to the right, v up, metres. An opening
 * (door, window, pipe) is not concrete. It may touch the outline (a door stands on the floor line) or another
 * opening; what counts as face is the closure of outline less openings, so a line along the sill of a door
 * is not on the face while a line along a free edge is.
 * Model  plane polygons; area by the shoelace formula; lines are clipped here, edge by edge, because a joint
 *        often runs exactly along an edge and must then count in full in spite of rounding.
 * Units  metres.   Limits  coordinates within +-FACE_REACH_M; FACE_FIT_M is how near "on the edge" is for
 * what people enter.   Threads  no shared state. */
#ifndef STANCH_GEOM_FACE_H
#define STANCH_GEOM_FACE_H

#include "core/fault.h"
#include "core/mem.h"

#include <stdbool.h>
#include <stddef.h>

#define FACE_REACH_M                                                                                         \
    100000.0             /* our default: no structure is larger, and a tenth of a nanometre still counts */
#define FACE_FIT_M 0.001 /* our default: coordinates are read off drawings and tapes to the millimetre */

typedef struct {
    double u_m, v_m;
} face_point;

/* An open or closed run of points; a ring closes by itself, its first point may be repeated at its end. */
typedef struct {
    const face_point *points;
    size_t n;
} face_run;

/* One region with its holes, as results are drawn. */
typedef struct {
    face_run outer;
    const face_run *holes;
    size_t holes_n;
} face_polygon;

typedef struct {
    const char *id; /* named in every sentence as "face ID" */
    face_run outline;
    const face_run *openings;
    size_t openings_n;
} face_shape;

/* The pieces of a line that lie on a face, in the line's order, in the arena of the caller. */
typedef struct {
    const face_run *pieces;
    size_t n;
    double length_m; /* of all pieces */
} face_pieces;

/* Is this a face? E_INPUT names it and the fault: a coordinate out of range, fewer than 3 different points,
 * an outline that crosses itself (with the place) or has no area, an opening that does so, reaches outside
 * the outline, or overlaps another. The functions below take faces that passed. */
status face_check(const face_shape *face, fault *why);

/* Is this ring sound by itself (an area of honeycomb)? Sentences begin with `name`; faults as above. */
status face_check_ring(const face_run *ring, const char *name, fault *why);

/* Outline less openings, m2. */
double face_area_m2(const face_shape *face);

/* Does the point lie on the face, or within `near_m` of an edge of it? A NaN does not. */
bool face_holds(const face_shape *face, face_point at, double near_m);

/* A joint along an edge, read off to the millimetre, must not fall off the face: where a segment runs within
 * FACE_FIT_M of an edge, its points that lie off the face are put on that edge. In place. */
void face_snap_line(const face_shape *face, face_point *points, size_t n);

/* Index of the first point of a line that is farther than FACE_FIT_M off the face; line->n when all lie on
 * it. The stretches between are not looked at: a line may pass a window. */
size_t face_first_off(const face_shape *face, const face_run *line);

/* What of a line lies on the face (edges count). The pieces live in `memory`. E_MEMORY only. */
status face_clip_line(const face_shape *face, const face_run *line, arena *memory, face_pieces *out,
                      fault *why);

/* Length of an open run, m; area of a ring, m2, never negative. */
double face_run_length_m(const face_run *line);
double face_ring_area_m2(const face_run *ring);

#endif
