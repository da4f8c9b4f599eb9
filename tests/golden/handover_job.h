/* handover_job.h - a job as it was built and proved, filled by hand from its plan: no record is judged. All invented. For tests
 * only. */
#ifndef STANCH_TESTS_HANDOVER_JOB_H
#define STANCH_TESTS_HANDOVER_JOB_H

#include "report/handover.h"

typedef struct {
    accept_job accept;
    built_job built;
    record *records; /* by seq, from 1 on */
    size_t n_records;
} handover_job;

/* Of four leaks one after another: the first is kept, the second broken, the third not proven (tested at low water, not all
 * recorded), the fourth open (nothing recorded). The first two have photos, named and not there. One tank is tested. */
handover_job *handover_job_fill(const plan *p, arena *memory);

handover_view handover_job_view(const plan *p, const handover_job *job);

#endif
