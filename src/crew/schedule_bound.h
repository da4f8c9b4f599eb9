/* schedule_bound.h - no plan can be shorter: by the lags alone, and by the work that each resource must do; src/crew only.
 *
 * Model  longest path: max over tasks of head + duration + tail.  Energy: for each resource and each h, the tasks with
 *        head >= h: least head + ceil(sum of need x duration / capacity) + least tail, and the same for the tasks with tail >= h.
 * Limits nights and breaks are counted in the heads and in the energy, which makes it a true bound there too. */
#ifndef STANCH_CREW_SCHEDULE_BOUND_H
#define STANCH_CREW_SCHEDULE_BOUND_H

#include "crew/schedule_model.h"

/* In steps. -1 without memory. */
int schedule_bound(const model *m, arena *memory);

#endif
