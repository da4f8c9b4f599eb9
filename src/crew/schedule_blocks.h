/* schedule_blocks.h - which tasks wait for which, and which are tied into one block; only for src/crew.
 *
 * Rank   a topological order (Kahn 1962).
 * Block  a strongly connected set when a maximum lag counts as an arc both ways (Tarjan 1972); numbered in topological order. */
#ifndef STANCH_CREW_SCHEDULE_BLOCKS_H
#define STANCH_CREW_SCHEDULE_BLOCKS_H

#include "crew/schedule.h"

typedef struct {
    int *rank, *block; /* of each task of the problem */
    int n_blocks;
} blocks;

/* The problem has passed schedule_check. E_INPUT: tasks that wait for each other, one of them named. */
status blocks_find(const schedule_problem *problem, arena *memory, blocks *out, fault *why);

#endif
