/* results.h - the stages' results as JSON: for the store, stage by stage, and for people's own programs; only
 * for src/ops. Quantities in the job's units. Threads  no shared state. */
#ifndef STANCH_OPS_RESULTS_H
#define STANCH_OPS_RESULTS_H

#include "core/json_out.h"
#include "plan/plan.h"

/* Each writes members into an object that the caller has opened. */
void results_write_look(json_out *o, const plan *p, size_t leak);
void results_write_design(json_out *o, const plan *p, size_t leak);
void results_write_takeoff(json_out *o, const plan *p, size_t leak);
/* Members of the design: "why" (movement, healing), the sizes of an injection, a flexible seal, a drain, a person's choice. */
void results_write_why(json_out *o, const plan *p, size_t leak);
void results_write_ways(json_out *o, const plan *p, size_t leak);
void results_write_price(json_out *o, const plan *p, size_t leak);
void results_write_job_takeoff(json_out *o, const plan *p);
void results_write_job_price(json_out *o, const plan *p);
void results_write_findings(json_out *o, const plan *p);
/* Who does what when; nothing where it was not asked for. */
void results_write_works(json_out *o, const plan *p);

#endif
