/* ways.h - quantities of what has no slot: injection, flexible seal, drain channel.
 *
 * Model   injection: the volume ordered stands in the design with its own void factor and waste; a packer a port; holes n x l.
 *         Seal: section x length of the design x (1 + waste). Batches as for mixes: no larger than is placed within 80 % of
 *         the pot life at the temperature of the mixed material, at the rates inject_place_l_min and sealant_place_l_min.
 *         Spoil: holes and groove x 2400 kg/m3.
 * Units   SI.   Threads  no shared state. */
#ifndef STANCH_TAKEOFF_WAYS_H
#define STANCH_TAKEOFF_WAYS_H

#include "takeoff/takeoff.h"

#define WAYS_CONCRETE_KG_M3 2400 /* reinforced concrete, common practice */

/* Fills what concerns them in *out. E_INPUT: no material of the kind, in a sentence that names the leak. */
status ways_measure(const survey *s, const repair_design *design, const char *mark, takeoff_leak *out,
                    fault *why);

/* How fast a resin or sealant is placed, m3 a minute. */
double ways_place_m3_min(const survey *s, const survey_material *material);

#endif
