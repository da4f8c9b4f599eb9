/* schedule_place.h - the schedule generators: an order of the blocks in, the starts of the tasks out; only for src/crew.
 *
 * Serial    each block in turn as early as its lags, its calendar and what is free allow.
 * Parallel  time goes on; at each moment the waiting blocks start, in their order, that can start then.
 * A block of several tasks is placed whole, its tasks in their inner order: where a maximum lag is passed, the earlier task is
 * moved on by what is missing and placed again with those behind it. What is free stands in a grid of steps, kept from one
 * pass to the next; tasks that need nothing leave it alone. */
#ifndef STANCH_CREW_SCHEDULE_PLACE_H
#define STANCH_CREW_SCHEDULE_PLACE_H

#include "crew/schedule_model.h"

typedef enum {
    PLACED,
    PLACE_NO_ROOM,  /* the windows end too early, or a maximum lag cannot be met */
    PLACE_TOO_LONG, /* past SCHEDULE_MOST_STEPS */
    PLACE_NO_MEMORY
} place_state;

enum { PLACE_MOVES_MOST = 20000 }; /* of one block in one pass: our default */

typedef struct {
    const model *m;
    uint64_t *grid;  /* words a step */
    int ready, used; /* steps that hold what is free; steps touched by the pass at hand */
    int *start;      /* of the pass at hand */
    int *moved;      /* least starts of the block at hand */
    int latest; /* a task moved past it ends the pass: SCHEDULE_MOST_STEPS, or less where one looks for less */
    long moves; /* of tasks for a maximum lag, so far */
    int stuck;  /* the task at which a pass ended, unless PLACED */
    int makespan;
} generator;

bool generator_open(generator *g, const model *m); /* false without memory */
void generator_close(generator *g);

/* `order`: all blocks, none before one that it waits for. Fills g->start and g->makespan. */
place_state generator_serial(generator *g, const int *order);

/* `order`: all blocks, those to be preferred first. */
place_state generator_parallel(generator *g, const int *order);

/* Parts of a pass: clear the grid; place a block not before `from`; take it back; count its end. */
void place_begin(generator *g);
place_state place_block(generator *g, int block, int from);
void place_remove(generator *g, int block);
void place_count(generator *g, int block);

#endif
