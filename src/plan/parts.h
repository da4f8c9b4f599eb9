/* parts.h - the pieces of plan_make that live in files of their own; only for src/plan. */
#ifndef STANCH_PLAN_PARTS_H
#define STANCH_PLAN_PARTS_H

#include "plan/plan.h"

/* ASK where the site's temperatures lie outside a material's placing limits. */
status plan_check_temperatures(plan *p, fault *why);

/* Defaults that this plan used, as sentences. */
status plan_list_assumptions(plan *p, fault *why);

/* Step card and cautions of leak i. */
status plan_write_card(plan *p, size_t i, fault *why);

#endif
