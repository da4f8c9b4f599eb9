/* schedule_inner.h - the order in which the tasks of one block are placed; only for src/crew.
 *
 * Placed alone, in the order of its starts in any plan, a block comes no later than there; so a block fits somewhere if it fits
 * in one of the topological orders of its tasks. Tried: first the one that follows each task at once by the one tied closest
 * to it, then all others while INNER_TRIES and INNER_MOVES last. In the search the order of a block comes from the plan that is
 * turned round, at first by chance. */
#ifndef STANCH_CREW_SCHEDULE_INNER_H
#define STANCH_CREW_SCHEDULE_INNER_H

#include "crew/schedule_order.h"
#include "crew/schedule_place.h"

typedef struct {
    model *m;
    generator g;
    int *waits;  /* of each task: arcs from tasks of its block not yet in the order */
    int *choice; /* of each place in the order: which of those that may come was taken */
    int *ready;  /* tasks that may come, the last first */
    int *tight;  /* of each task: the least play of a maximum lag to it */
    int *safe;   /* the order that fits alone, of each block */
    place_state state;
    int stuck; /* -1, or a task of a block that fits in no order */
    bool all;  /* each order of it was tried */
} inner_chooser;

/* Fill m->inner and m->loose, or tell `stuck`. False without memory. Close whatever comes. */
bool inner_open(inner_chooser *c, model *m, arena *memory);
void inner_close(inner_chooser *c);

void inner_reset(inner_chooser *c); /* all blocks to the order found first */

/* The loose blocks in orders by chance that fit, half of them as found first. */
void inner_sample(inner_chooser *c, random_source *random);

/* The loose blocks by the starts of an earlier plan (minutes, one a task of the problem), where that fits. */
void inner_like(inner_chooser *c, const int *start);

/* A loose block by keys of its tasks, the least first among those that may come. */
void inner_by_keys(model *m, int block, const int *key);

#endif
