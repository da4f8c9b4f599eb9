/* changes.h - what a new plan has other than the last one that the job keeps, in words; only for src/ops.
 *
 * Both plans are read from the bodies of their results (results.h), the stored and the new ones, by the same function: what
 * reads the same is no change, nor is a leak's cost that moves by less than 1 % with all else the same. Removed and new leaks are known by the list of marks that goes with the changes. A plan of
 * the same inputs keeps the changes of the one before. Units  the job's.   Threads  as store.h. */
#ifndef STANCH_OPS_CHANGES_H
#define STANCH_OPS_CHANGES_H

#include "ops/ops.h"
#include "store/store.h"

/* `rows`: the new results, 4 a leak in the order of the plan (look, design, takeoff, price), then findings, takeoff and price
 * of the job. Into job->changes, and *row for the store (stage "changes"), all in the plan's arena. */
status changes_find(store *kept, const store_result *rows, ops_job *job, store_result *row, fault *why);

#endif
