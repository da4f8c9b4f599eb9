/* past.h - what the records from the wall say of each task; only for src/works.
 *
 * Model  a start makes the first part of its step begun; a finish, or a hold ticked, makes the step done. A step begun or done
 *   has those before it on the card done too, since nobody packs a slot that was not cut; a finish without a step ends the leak. A
 *   record about which a correction was written does not count. Times are those of the records, in minutes of the clock of
 *   works.h, none later than now.   Threads  no shared state. */
#ifndef STANCH_WORKS_PAST_H
#define STANCH_WORKS_PAST_H

#include "works/again.h"
#include "works/parts.h"

typedef enum { PAST_OPEN, PAST_BEGUN, PAST_DONE } past_state;

typedef struct {
    past_state state;
    int start_min, end_min; /* begun: start only */
    int left_min;           /* of what is begun; set by rest.h */
    bool
        paused; /* begun, but its people are at something begun later: it goes on after that; set by rest.h */
} past_task;

typedef struct {
    past_task *tasks; /* one a task */
    int *before;      /* starts in the plan that was followed; -1: not in it, or there is none */
    int now_min;      /* rounded up to WORKS_STEP_MIN */
} past_plan;

/* To whole steps of WORKS_STEP_MIN; minutes >= 0. */
int past_round_up(int minutes);

/* In the arena of `m`, whose tasks are made. E_INPUT: no first day of work, or a `now` that is none. */
status past_look(const works_making *m, past_plan *out);

#endif
