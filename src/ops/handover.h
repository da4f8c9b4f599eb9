/* handover.h - the document that stays with the owner: made of plan, records and proof, and kept as it was handed over.
 *
 * Errors, threads  as ops.h. */
#ifndef STANCH_OPS_HANDOVER_H
#define STANCH_OPS_HANDOVER_H

#include "ops/proof.h"

typedef struct {
    const char *on; /* YYYY-MM-DD, printed; also the day by which looks are due */
    const char *link;
    bool keep;           /* in the job (store/offers.h, kind "handover"); else it is a draft and says so */
    bool without_planes; /* the water in the crack planes is left out */
    int threads;         /* for the planes that are not stored; 0: one */
} ops_handover_request;

/* PDF bytes, appended. *number: of the kept one; 0 where it was not kept. */
status ops_handover(const char *path, const ops_handover_request *request, const ops_actor *actor, text *out,
                    long long *number, fault *why);

#endif
