/* show.h - figures of a proof as a person reads them, in the job's units and the arena of the plan given; one place for page,
 * terminal and document. "" without memory, as plan/show.h.   Threads  no shared state. */
#ifndef STANCH_ACCEPT_SHOW_H
#define STANCH_ACCEPT_SHOW_H

#include "accept/accept.h"

/* "1.20 m" of a line; of a point or an area "whole" or "none". */
const char *accept_show_metres(const plan *p, const proof_leak *leak, double m);

/* "1.20 of 3.60 m", for a table; "whole", "none"; "" of what was not treated. */
const char *accept_show_kept(const plan *p, const proof_leak *leak);
/* "3.00 -> 0 l/min", for a table; with "~" in front where the flow before was not measured; "" not known. */
const char *accept_show_change(const plan *p, const proof_leak *leak);

/* "3.00 l/min"; "" not known. */
const char *accept_show_flow(const plan *p, maybe m3_s);
/* "3.00 l/min measured", "expected". */
const char *accept_show_before(const plan *p, const proof_leak *leak);
/* "2.94 l/min, 1545 m3 a year": of 365 days. */
const char *accept_show_saved(const plan *p, maybe m3_s);
/* After: before less saved. */
const char *accept_show_after(const plan *p, const accept_job *job);

/* "ZTV-ING class 2, largely dry"; without a class agreed "none; judged as ... (our default)". */
const char *accept_show_agreed(const plan *p, const accept_job *job);

/* An amount in the unit of a test's limit: "0.033 % a day", "4.0 mm", "0.15 l/m2". */
const char *accept_show_amount(const plan *p, watertest_allowed_unit unit, double value);

#endif
