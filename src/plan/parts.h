/* parts.h - the pieces of plan_make that live in files of their own; only for src/plan. */
#ifndef STANCH_PLAN_PARTS_H
#define STANCH_PLAN_PARTS_H

#include "plan/progress.h"

/* ASK where the site's temperatures lie outside a material's placing limits. */
status plan_check_temperatures(plan *p, fault *why);

/* Defaults that this plan used, as sentences. */
status plan_list_assumptions(plan *p, fault *why);

/* The crack planes of the designed leaks; relief, tube and order follow from them. */
status plan_run_planes(plan *p, const plan_options *options, progress *how_far, fault *why);

/* How often somebody must look at a fresh repair: plan.rounds. */
status plan_find_rounds(plan *p, fault *why);

/* Who does what when, and the hash of what that read. */
status plan_add_works(plan *p, const plan_options *options, progress *how_far, fault *why);

/* The drawn order in words: "0.35 m to 1.40 m, then 2.90 m to 1.55 m; last the relief piece 1.40 m to 1.55
 * m". NULL without memory. */
const char *plan_order_words(plan *p, const plan_plane *plane);

/* Step card and cautions of leak i. */
status plan_write_card(plan *p, size_t i, fault *why);

#endif
