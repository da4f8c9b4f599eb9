/* try.h - one leak as it would be, without keeping anything.
 *
 * The defect object replaces the one of its mark in a copy of the survey (or is added); planned are that leak and those that
 * are solved in one crack plane with it, the planes steady. Quantities shared with other neighbours, and the order of
 * plugging, are for the whole plan to say. Errors  as ops.h; E_INPUT: `faults` has them all. Threads  as ops.h. */
#ifndef STANCH_OPS_TRY_H
#define STANCH_OPS_TRY_H

#include "ops/ops.h"

typedef struct {
    const char *json; /* {"defect": {...}} in the job's units */
    size_t length;
} ops_try_request;

/* *out is the caller's (ops_job_free). */
status ops_try(const char *path, const ops_try_request *request, ops_job *out, fault_list *faults,
               fault *why);

#endif
