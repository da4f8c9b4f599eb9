/* risk.h - the price of a job with its risk: what may come out otherwise, how far, and which of it matters.
 *
 * Inputs  length of each line leak (times length_factor, triangular), each dry leak found wet (chance dry_wet_percent; costs what a
 *   second plan of the job, planes off, with that leak as a drip costs more), depth of all slots (times depth_factor), each rate and each
 *   price with a low and a high (triangular). Equal rank correlation: rate risk_correlation.
 * Model  the cost of a run is counted by the same lines as estimate.h: hours and quantities scale with their inputs, days are whole,
 *   the minimum charge and the additions hold in every run. With everything at its likely value it is the printed total.
 * Contingency  P80 less the printed total, at least 0.   Threads  two at most inside; no shared state. */
#ifndef STANCH_RISK_RISK_H
#define STANCH_RISK_RISK_H

#include "plan/plan.h"
#include "stats/spread.h"

enum { RISK_BINS = 40, RISK_GROUPS = 5, RISK_RUNS_MOST = 200000 }; /* runs: some hundred megabytes */

typedef struct {
    const char *label; /* "length of N1", "Labour (invented)" */
    const char *group; /* lengths, found wet, depth, rates, prices */
    double low, likely, high;
    const char *unit, *basis;
    double share; /* of the variance; all together 1, or 0 where nothing varies */
} risk_input;

typedef struct {
    spread_options options;
    double total; /* as printed */
    spread_summary price;
    double contingency;
    risk_input *inputs; /* largest share first */
    size_t n_inputs;
    double group_shares[RISK_GROUPS];
    double bin_from, bin_width; /* of the picture */
    size_t bins[RISK_BINS];
    const char **warnings;
    size_t n_warnings;
} risk_result;
extern const char *const risk_group_words[RISK_GROUPS];

/* runs 0: 20,000; NULL: seed 1 too. The correlation is the job's rate, whatever the options say. E_STATE where there is nothing to price. */
status risk_run(const plan *p, const spread_options *options, arena *memory, risk_result *out, fault *why);

#endif
