/* job.h - what the verbs share: a survey out of a store, completed from the catalogue, and its plan; only for
 * src/ops. */
#ifndef STANCH_OPS_JOB_H
#define STANCH_OPS_JOB_H

#include "ops/ops.h"
#include "store/store.h"

/* *out is the caller's. */
status job_load(store *from, survey **out, fault *why);
status job_plan(store *from, const ops_plan_request *request, ops_job *out, fault *why);

#endif
