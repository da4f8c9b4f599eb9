/* inputs.h - the inputs of a job's risk: what each is called, its range, and where that comes from; only for src/risk.
 *
 * What the risk itself wants (length_factor, depth_factor, dry_wet_percent, risk_correlation) and an older job lacks is taken from
 * the shipped catalogue, and a warning says so.   Threads  no shared state. */
#ifndef STANCH_RISK_INPUTS_H
#define STANCH_RISK_INPUTS_H

#include "risk/model.h"

/* Values, factors and correlation of the job; before all others. */
status risk_inputs_begin(const plan *p, arena *memory, risk_model *m, fault *why);

/* Part of the dry leaks that will be found wet. */
double risk_inputs_chance(const risk_model *m);

/* One input more: *number is its own, or RISK_NONE where it cannot come out otherwise. */
status risk_inputs_length(const plan *p, size_t leak, arena *memory, risk_model *m, int *number, fault *why);
status risk_inputs_wet(const plan *p, size_t leak, arena *memory, risk_model *m, int *number, fault *why);
status risk_inputs_value(const plan *p, risk_value v, arena *memory, risk_model *m, int *number, fault *why);

/* Warnings about what has no range. */
status risk_inputs_end(arena *memory, risk_model *m, fault *why);

#endif
