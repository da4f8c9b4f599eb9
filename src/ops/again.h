/* again.h - what a new plan must know of the old one and of the wall: records, and the works that were followed; only for src/ops. */
#ifndef STANCH_OPS_AGAIN_H
#define STANCH_OPS_AGAIN_H

#include "ops/job.h"

/* *out in the survey's memory; NULL where nothing was begun, or no moment or no works were asked for. */
status again_load(store *from, const survey *s, const ops_plan_request *request, const works_past **out,
                  fault *why);

#endif
