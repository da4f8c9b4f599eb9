/* again.h - reality differed: what is left is planned again from now, changing as little as can be, and what moved is said.
 *
 * Model  tasks recorded as finished keep their recorded times; those begun and not finished go on from their start, at least to
 *   now; all others start at now or later. First the old order of what is left is kept (schedule.h `like`) and each task
 *   keeps its worker where it can (hands.h); a new order is taken only where it ends the work sooner by more than AGAIN_WORTH_MIN.
 * Threads  no shared state. */
#ifndef STANCH_WORKS_AGAIN_H
#define STANCH_WORKS_AGAIN_H

#include "record/record.h"
#include "works/works.h"

#define AGAIN_WORTH_MIN 60 /* our default: for less nobody wants another order */

typedef struct works_past {
    const record *records; /* start, finish, corrections; by seq */
    size_t n_records;
    const char *now;          /* YYYY-MM-DDTHH:MM, local time of the site */
    int utc_offset_min;       /* of the site, since records are in UTC */
    const works_plan *before; /* the plan that was followed; NULL: none */
} works_past;

typedef struct {
    const char *task;     /* id */
    int from_min, to_min; /* start before and now */
    const char *sentence; /* "N1 plug: 2026-03-03 10:00, was 2026-03-02 14:00" */
} works_moved;

/* What moved between two plans of one job: by task, more than WORKS_STEP_MIN; and tasks that came or went. In `memory`. */
status again_compare(const works_plan *before, const works_plan *after, arena *memory, works_moved **list,
                     size_t *n, fault *why);

#endif
