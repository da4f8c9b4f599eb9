/* spread.h - the spread of a sum of uncertain things: Latin hypercube samples with equal rank correlation, and what is read from
 * them.
 *
 * Model  each item's range of probability is cut in `runs` equal parts; each part is taken once, at a random place within it. The
 *   order of the parts follows normal scores z_i = sqrt(r) g + sqrt(1 - r) e_i with r = 2 sin(pi correlation/6), so that any two
 *   items have about that rank correlation (normal copula) and each keeps its own distribution exactly.
 *   Quantiles by linear interpolation between order statistics (Hyndman and Fan, type 7, as NumPy's default).
 *   Share of an item: its squared correlation with the total, divided by the sum of those of all items.
 *   Scores are told apart to 13/2^17 of a standard deviation, uniform ones to 1/2^17; equal ones stand in the order of the runs.
 * Random  a counter-based generator of our own choice: the same seed, item and runs give the same samples, in any order of asking.
 *   Its outputs are those of SplitMix64 (Steele, Lea, Flood 2014) at a counter, with a key for each item.
 * Limits  runs SPREAD_RUNS_LEAST to SPREAD_RUNS_MOST; correlation 0 to 0.95; triangular low <= likely <= high; normal low = P10, high = P90,
 *   likely = P50: where it is not their middle the two halves keep their own width; chance: 1 with probability `likely`, else 0.
 * Threads  no shared state. */
#ifndef STANCH_STATS_SPREAD_H
#define STANCH_STATS_SPREAD_H

#include "core/fault.h"
#include "core/mem.h"

#include <stdint.h>

enum { SPREAD_RUNS_LEAST = 100, SPREAD_RUNS_MOST = 1000000 };
#define SPREAD_CORRELATION_MOST 0.95 /* our default: beyond it the items are one */

typedef enum { SPREAD_TRIANGULAR, SPREAD_NORMAL, SPREAD_CHANCE, SPREAD_FORMS } spread_form;
extern const char *const spread_form_words[2]; /* triangular normal */

typedef struct {
    spread_form form;
    double low, likely, high;
} spread_item;

typedef struct {
    size_t runs;
    uint64_t seed;
    double correlation;
} spread_options;

typedef struct spread_sampler spread_sampler;
/* *out is the caller's (spread_end). E_INPUT, E_MEMORY. */
status spread_begin(const spread_options *options, spread_sampler **out, fault *why);
void spread_end(spread_sampler *sampler); /* NULL is fine */

/* The samples of item number `number`, options->runs of them, into `values`; asked again, the same. From one thread at a time. */
status spread_sample(spread_sampler *sampler, size_t number, const spread_item *item, double *values,
                     fault *why);

typedef struct {
    double mean, sd, p10, p20, p50, p80, p90;
} spread_summary;
/* Sorts `totals`. */
void spread_summarise(double *totals, size_t runs, spread_summary *out);
/* Of values that rise, 0 <= part <= 1. */
double spread_quantile(const double *sorted, size_t runs, double part);

/* Squared correlation of two columns; 0 where one does not vary. */
double spread_squared_correlation(const double *a, const double *b, size_t runs);

#endif
