/* handover.h - the document that stays with the owner: as-built elevations, what was wrong, what was done, how it was proved, what
 * remains, care, who must look at what, warranty basis, quantities to bill, the records. Every number names its record or its equation.
 *
 * Same bytes, threads  as report.h. */
#ifndef STANCH_REPORT_HANDOVER_H
#define STANCH_REPORT_HANDOVER_H

#include "accept/accept.h"
#include "report/report.h"

typedef struct {
    const char *date, *version, *link;
    const char *photo_folder; /* where the photos that records name lie; NULL: they are named only */
    const char
        *photo_beside;  /* where those that are not in it lie: beside the job file; NULL: nowhere else */
    long long head_seq; /* last record and its hash: what `stanch check` holds the log against */
    const char *head_hash;
    bool draft; /* said on the cover and in every footer */
} handover_options;

typedef struct {
    const plan *plan;
    const accept_job *accept;
    const built_job *built;
    const record *records;
    size_t n_records;
} handover_view;

status report_handover_pdf(const handover_view *view, const handover_options *options, text *out, fault *why);

#endif
