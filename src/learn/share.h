/* share.h - how often something happens, by Beta and binomial; only for src/learn, its tests and its study.
 *
 * Model  Beta(weight p0, weight (1 - p0)) before; a leak that happened adds 1 to the first, one that did not to the second.
 * Limits  p0 is taken within 0.001 to 0.999: a default of 0 does not forbid what was seen.   Threads  no shared state. */
#ifndef STANCH_LEARN_SHARE_H
#define STANCH_LEARN_SHARE_H

#include <stddef.h>

typedef struct {
    double mean, low, high; /* of LEARN_CONFIDENCE, equal tails */
} share_interval;

share_interval share_of(double prior_mean, double prior_weight, size_t happened, size_t of);

/* Of what is known of nothing beforehand: Beta(1/2, 1/2), Jeffreys' prior (value from memory). */
share_interval share_plain(size_t happened, size_t of);

#endif
