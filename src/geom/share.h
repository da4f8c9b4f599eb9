/* share.h - what overlapping coats save, shared out among the items whose coats meet.
 *
 * The union of the bands of a face falls into polygons; a piece of a band lies in just one of them, so a
 * polygon is a cluster of items that meet, straight away or through others.
 * Model   a_ic area of band i in cluster c, U_c area of c, S_c = sum of a_ic over i:
 *     saved_i = sum over c of a_ic (1 - U_c / S_c)     (our rule: in a cluster each saves in the same ratio)
 * So  0 <= saved_i < a_i; the shares add up to sum a - sum U; a band that meets no other saves exactly 0; and
 * cutting an item into stretches that abut changes no sum over them.
 * Units  metres.   Limits  bands that touch along an edge are one cluster; at a point they are not.
 * Threads  as wall.h. */
#ifndef STANCH_GEOM_SHARE_H
#define STANCH_GEOM_SHARE_H

#include "geom/wall.h"

typedef struct {
    const char *face; /* named in sentences */
    const shape *const *bands;
    size_t n;
    const shape *united; /* the union of the bands */
} share_bands;

/* saved_m2[n] gets the shares; `memory` is for scratch. E_MEMORY, or E_INPUT on a failure of the geometry
 * library. */
status share_overlaps(wall *w, const share_bands *of, arena *memory, double saved_m2[], fault *why);

#endif
