/* tools.h - which tool a step of a repair wants, as far as it shakes, is loud or makes dust.
 *
 * Source our defaults: a slot is sawn, or chipped where its faces are to be (survey_slot_faces); a hole is core-drilled, a ring
 *        chipped, a face cut back with a demolition hammer; ports, relief and fixings by hammer drill; a joint is routed by grinder.
 * Threads  constant. */
#ifndef STANCH_REPAIR_TOOLS_H
#define STANCH_REPAIR_TOOLS_H

#include "crew/exposure.h"
#include "repair/design.h"

/* Of a step of the card of defect `d`, by its code; NULL: none that counts. */
const exposure_tool *tool_of_step(const survey_defect *d, const repair_design *design, const char *step);

#endif
