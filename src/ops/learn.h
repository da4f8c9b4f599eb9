/* learn.h - the verb of the office: what our finished jobs say of our rates.
 *
 * Finished: a job in which every leak that has a design has a proof, and work was recorded. Nothing is written into any job.
 * Errors, threads  as ops.h; at most two threads read jobs at once. A file that is no job or is damaged is told and left out. */
#ifndef STANCH_OPS_LEARN_H
#define STANCH_OPS_LEARN_H

#include "learn/learn.h"
#include "ops/ops.h"

typedef struct {
    learn_result result; /* in `memory` */
    size_t files, finished;
    const char **left_out; /* sentences */
    size_t n_left_out;
} ops_learned;

status ops_learn(const char *folder, int threads, arena *memory, ops_learned *out, fault *why);
/* As docs/page.md has it. */
status ops_learn_json(const ops_learned *learned, text *out, fault *why);
/* The proposals (`ids`; n 0: all with evidence) as a survey JSON that `stanch import` takes in: basis own, source with its
 * evidence. */
status ops_learn_rates(const ops_learned *learned, const char *const ids[], size_t n, text *out, fault *why);

#endif
