/* run.h - the runs themselves: a price for each, and how far each input goes with it; only for src/risk.
 *
 * Two threads, each with every second leak and value: a column is drawn, kept short as float for the shares, and its leak's
 * amounts of all runs are added to. The split is always the same, so the sums are too.
 * Memory  8 bytes a run for each amount that moves, twice, and for each value; columns for shares up to RUN_KEPT floats, from
 *   the first runs when there are more: a Latin hypercube's first runs are a random part of it. */
#ifndef STANCH_RISK_RUN_H
#define STANCH_RISK_RUN_H

#include "risk/model.h"

enum { RUN_KEPT = 32 * 1000 * 1000 };

/* Fills `prices` (options->runs) and squared correlations (one an input). */
status risk_runs(const risk_model *m, const spread_options *options, double *prices, double *squared,
                 fault *why);

#endif
