/* place.h - what a hole, a ring or a patch takes: cut out, plug in its lower part, pack above it.
 *
 * Model   the volume is the design's (place_volume_m3: cylinder or cone, annulus, area x depth), of which plug and pack
 *         take their layers: V(a, b) = pi/12 (b - a)(Da^2 + Da Db + Db^2) of a cone, else in proportion to depth.
 *         The polygons of geom/bands.h would make a round mouth 0.16 % too small and leave out the corner of a cone; they
 *         only tell which part of the mouth lies on the face.
 * Relief  its hole, 10 mm wider than the bore (our default), stands in the middle of a slot or ring, in a hole, in a patch.
 * Units   SI.   Threads  no shared state. */
#ifndef STANCH_TAKEOFF_PLACE_H
#define STANCH_TAKEOFF_PLACE_H

#include "repair/design.h"

typedef struct {
    double cut_m3, plug_m3, pack_m3;
} place_volumes;

/* False where the design has no volume of its own: a line, or nothing to cut. `mouth_m2`: as bands found it on the face. */
bool place_measure(const repair_design *design, double mouth_m2, place_volumes *out);

/* Plug that closes the hole of a relief tube, less what of it lies within the cut, which is filled as the cut; 0: no relief. */
double place_relief_m3(const repair_design *design);

/* Angle of the sides of a hole from the square, degrees; 0: straight. */
double place_undercut_deg(const repair_design *design);

#endif
