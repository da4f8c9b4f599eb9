/* fold.h - going round folds: faces unfolded into one plane, and lines walked over them. For bands only.
 *
 * A fold is two ways through it; each is the rigid map that takes the plane of the face left to the plane of
 * the face entered, segment on segment (middle on middle, as their lengths may differ by a millimetre). Of
 * the turn and the mirrored turn that do so, the one is taken that puts the two faces on opposite sides.
 * Units  metres.   Threads  no shared state. */
#ifndef STANCH_GEOM_FOLD_H
#define STANCH_GEOM_FOLD_H

#include "geom/bands.h"
#include "geom/wall.h"

typedef struct {
    size_t fold, from, to; /* indices of the fold and the faces */
    face_point a, b;       /* the segment on `from` */
    face_point to_a, to_b; /* and on `to` */
    double in_u, in_v;     /* unit normal of a-b that points into `from` */
    wall_map map;          /* plane of `from` to plane of `to` */
} fold_way;

typedef struct {
    const fold_way *ways; /* by the face they leave, then as given */
    const size_t *first;  /* [faces_n + 1] ways out of face f: first[f] to first[f + 1] - 1 */
} fold_table;

/* One face's stretch of a line. Where the line goes on over a fold, the run ends FOLD_LAP_M past it, so that
 * neighbouring bands overlap by a hair instead of leaving a slit of rounding; `line_m` counts without it. */
typedef struct {
    size_t face;
    face_run run;
    double line_m; /* of the stretch on its face, openings out */
} fold_stretch;

#define FOLD_LAP_M 1e-6 /* our default: far above rounding, far below what is built */

/* Check the folds and lay them out by face. E_INPUT names the fold and the fault. Results in `memory`. */
status fold_build(const bands_input *in, arena *memory, fold_table *out, fault *why);

/* Walk a line item with its extensions: out[0] on its own face, then what goes on over folds. E_INPUT when it
 * lies wholly outside the outline of its face or crosses too many folds. Results in `memory`. */
status fold_walk(const bands_input *in, const fold_table *table, size_t item, arena *memory,
                 fold_stretch **out, size_t *n, fault *why);

face_point fold_apply(const wall_map *map, face_point at);
wall_map fold_chain(const wall_map *first, const wall_map *then); /* first, then `then` */

#endif
