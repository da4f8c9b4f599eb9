/* schedule_place.h - the schedule generators: an order of the blocks in, the starts of the tasks out; only for src/crew.
 *
 * Serial    each block in turn as early as its lags, its calendar and what is free allow.
 * Parallel  time goes on; at each moment the waiting blocks start, in their order, that can start then.
 * A block of several tasks is placed whole: where a maximum lag is passed, the earlier task is moved on by what is missing
 * and the block is placed again. What is free stands in a grid of steps, kept from one pass to the next. */
#ifndef STANCH_CREW_SCHEDULE_PLACE_H
#define STANCH_CREW_SCHEDULE_PLACE_H

#include "crew/schedule_model.h"

typedef enum {
    PLACED,
    PLACE_NO_ROOM,
    PLACE_NO_MEMORY
} place_state; /* no room: the windows, or the grid, end too early */

typedef struct {
    const model *m;
    uint64_t *grid;  /* words a step */
    int ready, used; /* steps that hold what is free; steps touched by the pass at hand */
    int *start;      /* of the pass at hand */
    int *moved;      /* least starts of the block at hand */
    int stuck;       /* PLACE_NO_ROOM: the task */
    int makespan;
} generator;

bool generator_open(generator *g, const model *m); /* false without memory */
void generator_close(generator *g);

/* `order`: all blocks, none before one that it waits for. Fills g->start and g->makespan. */
place_state generator_serial(generator *g, const int *order);

/* `order`: all blocks, those to be preferred first. */
place_state generator_parallel(generator *g, const int *order);

#endif
