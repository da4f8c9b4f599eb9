/* schedule_model.h - a scheduling problem as the generators use it; only for src/crew.
 *
 * Time is in steps: minutes over the greatest common divisor of all numbers. Needs and what is free of the resources are
 * packed four to a word, 15 bits each under a guard bit, so that one subtraction tests four resources. Tasks are numbered in
 * topological order. Blocks: strongly connected sets of tasks when a maximum lag counts as an arc both ways; numbered in
 * topological order, the tasks of one are neighbours. Mirrored: time runs backward, arcs and windows turned round. */
#ifndef STANCH_CREW_SCHEDULE_MODEL_H
#define STANCH_CREW_SCHEDULE_MODEL_H

#include "crew/schedule.h"

#define SCHEDULE_GUARD UINT64_C(0x8000800080008000)

typedef struct {
    int task, min_lag, max_lag; /* max_lag < 0: none */
} model_arc;

typedef struct {
    schedule_window *windows; /* in steps */
    size_t n;
} model_calendar;

typedef struct {
    int n, words, n_blocks, step_minutes;
    int *task;  /* model task -> problem task */
    int *place; /* and back */
    int *duration, *earliest, *calendar;
    uint64_t *need, *full; /* n * words; words */
    int *before_first;     /* n + 1: arcs from earlier tasks */
    model_arc *before;
    int *behind_first; /* n + 1: arcs to later tasks */
    model_arc *behind;
    int *block_of, *block_first; /* n; n_blocks + 1 */
    bool *loose;   /* n_blocks: more than one order of its tasks is possible; set by schedule_inner */
    int *inner;    /* n: the tasks in the order in which those of one block are placed */
    bool blocked;  /* some block holds more than one task */
    bool windowed; /* some task has a calendar */
    model_calendar *calendars;
    int n_calendars;
    int *tail; /* steps from a task's end to the end of all, by the lags alone */
    int *head; /* earliest start by lags and `earliest` alone */
} model;

status model_make(const schedule_problem *problem, arena *memory, model **out, fault *why);

/* The same problem with time turned round, in which step 0 is `end` of the other. NULL without memory. */
model *model_mirror(const model *m, arena *memory);
/* Turn the windows of a mirrored model round `end`. */
void model_mirror_at(const model *m, int end, model *mirrored);

/* The sentence for a task (of the model) that ends after SCHEDULE_MOST_STEPS. Returns E_INPUT. */
status model_too_long(const model *m, const schedule_problem *problem, int at, fault *why);

#endif
