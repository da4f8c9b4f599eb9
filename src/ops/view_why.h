/* view_why.h - members of a leak that say why: the method and what speaks for and against it, movement, healing, tightness,
 * causes, steel; docs/page.md, "leak".
 *
 * Texts with numbers are in the units of the job, allocated in p->memory; "" where there is no such figure. Without memory
 * o->to->failed is set.   Threads  a plan is only read, but for its arena (pieces.h). */
#ifndef STANCH_OPS_VIEW_WHY_H
#define STANCH_OPS_VIEW_WHY_H

#include "core/json_out.h"
#include "plan/plan.h"

/* Members "method", "diagnosis" and "steel" of leak i. */
void view_method_json(json_out *o, const plan *p, size_t leak);
void view_diagnosis_json(json_out *o, const plan *p, size_t leak);
void view_steel_json(json_out *o, const plan *p, size_t leak);

#endif
