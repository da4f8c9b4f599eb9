/* cost.h - the price of one run: the lines of price/estimate.h from the amounts and values of that run; only for src/risk.
 *
 * Materials  a choice: the cost of the printed order in proportion to the need, so that the printed price is met exactly; whole
 *   packs of every run would jump by a pack. A material that only leaks found wet want is taken at their order's price.
 * Units  as amounts.h; money.   Threads  read only. */
#ifndef STANCH_RISK_COST_H
#define STANCH_RISK_COST_H

#include "risk/amounts.h"

typedef struct {
    size_t n_amounts;
    double crew_hours_day, cured_faces;
    const bool *resin;           /* of each material: its waste stands in the design */
    const double *material_cost; /* of one of its need, at the job's waste */
    size_t n_materials;
    double waste; /* of the plan, as a fraction */
} risk_costing;

/* *out borrows from `memory`. `wet`: NULL, or the second plan. `needs`: of each material in the plan, by the amounts. */
status risk_costing_make(const plan *p, const plan *wet, const double *needs, const double *wet_needs,
                         arena *memory, risk_costing *out, fault *why);

/* `amounts`: n_amounts of the run, then as many that slots twice as deep add. `values`: VALUES of them. Whole cents. */
double risk_cost(const risk_costing *c, const double *amounts, const double *values);

#endif
