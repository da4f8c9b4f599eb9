/* schedule_bound.h - no plan can be shorter: by the lags alone, and by the work that each resource must do; src/crew only.
 *
 * Model  longest path: max over tasks of head + duration + tail.  Energy: the users of one resource as one machine of its
 *        capacity that may share its speed and be interrupted: whoever has the longest tail goes first (Jackson's preemptive
 *        schedule, Carlier 1982), which is the least end of such a machine, rounded up to a step.
 * Limits nights and breaks are counted in the heads, and in the energy where all users have the same calendar. */
#ifndef STANCH_CREW_SCHEDULE_BOUND_H
#define STANCH_CREW_SCHEDULE_BOUND_H

#include "crew/schedule_model.h"

/* In steps; may be past SCHEDULE_MOST_STEPS. -1 without memory. */
long long schedule_bound(const model *m, arena *memory);

#endif
