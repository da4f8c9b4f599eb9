/* offer_parts.h - an offer between its inputs and its documents; only for src/ops.   Threads  no shared state. */
#ifndef STANCH_OPS_OFFER_PARTS_H
#define STANCH_OPS_OFFER_PARTS_H

#include "ops/job.h"
#include "ops/offer.h"
#include "report/offer.h"
#include "store/offers.h"

typedef struct {
    ops_job job; /* of the inputs alone */
    risk_result risk;
    offer_options paper; /* number and version are filled in by who prints */
} offer_made;
void offer_made_free(offer_made *made); /* {0} is fine */

/* The plan of a survey in JSON. *out is the caller's in every case. */
status offer_plan_inputs(const char *inputs, ops_job *out, fault *why);
/* Plan and risk. */
status offer_from_inputs(const char *inputs, const ops_offer_request *request, offer_made *out, fault *why);

/* The spreadsheet, by way of a file in the folder of `path` that is gone again. */
status offer_xlsx(const offer_made *made, const char *path, text *out, fault *why);

/* Options as they are kept beside the inputs, written and read; texts in `memory`. */
status offer_write_options(const ops_offer_request *request, text *out, fault *why);
status offer_read_options(const store_offer *kept, arena *memory, ops_offer_request *out, fault *why);

#endif
