/* injection_parts.h - what the files that plan one injection share; for src/repair only.
 * Units  SI.   Threads  no shared state.   Errors  E_MEMORY. */
#ifndef STANCH_REPAIR_INJECTION_PARTS_H
#define STANCH_REPAIR_INJECTION_PARTS_H

#include "repair/injection.h"
#include "repair/sizing.h"

#define INJECTION_HOLE_M 0.014      /* diameter; 10-16 mm, value from memory */
#define INJECTION_CLOSEST_M 0.020   /* packers stand no closer, our default */
#define INJECTION_BAR_CLEAR_M 0.020 /* between the wall of a hole and a bar, our default */

/* injection_ports.c: along a line, from in->from_m to in->to_m, no two farther apart than in->spacing_m. */
status injection_along(sizing *z, design_injection *in);

/* injection_place.c: a pair astride a pipe or tie hole; a grid over an area. */
status injection_astride(sizing *z, design_injection *in);
status injection_over(sizing *z, design_injection *in);

status injection_add_port(sizing *z, design_injection *in, design_port port);

/* injection_order.c: numbers the ports. On walls from the lowest up, what stands within half a spacing of height counting as
 * one height and going by chainage; on floors from the widest place outwards; on soffits from one end to the other. */
status injection_order(sizing *z, design_injection *in);

/* Is the mouth on the face and on no opening? */
bool injection_on_face(const sizing *z, const survey_face *face, survey_point mouth, bool *out_of_memory);

#endif
