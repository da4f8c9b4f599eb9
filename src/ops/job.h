/* job.h - what the verbs share: a survey out of a store, completed from the catalogue, and its plan; only for
 * src/ops. */
#ifndef STANCH_OPS_JOB_H
#define STANCH_OPS_JOB_H

#include "ops/ops.h"
#include "store/log.h"

/* *out is the caller's. */
status job_load(store *from, survey **out, fault *why);
/* One line of the log: who, when, and what by the format, cut at 500 bytes. */
status job_log(store *to, const ops_actor *actor, fault *why, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

status job_plan(store *from, const ops_plan_request *request, ops_job *out, fault *why);

#endif
