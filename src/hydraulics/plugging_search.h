/* plugging_search.h - between the two files of the search for an order; no one else includes it.
 *
 * Model  one unknown a segment and one a hole: how much water leaves there, in a fixed pattern (that of the
 * open slot; even over a hole). With h0 the mean head over the pattern when all is closed, sum over l of
 * drop_kl q_l = h0_k - level_k       for all open k,   drop = P' S^-1 P A tube adds its own resistance, taken
 * at what it drains when all else is closed. Nothing flows in. Threads  no shared state. */
#ifndef STANCH_HYDRAULICS_PLUGGING_SEARCH_H
#define STANCH_HYDRAULICS_PLUGGING_SEARCH_H

#include "hydraulics/plugging_parts.h"

typedef struct {
    size_t n, segments;       /* segments first, then the model's reliefs */
    double *head_m, *level_m; /* mean head with all closed; level at which water leaves */
    double *drop;             /* n x n, m/(m3/s) */
    bool *usable;             /* water comes there at all */
    double *factor, *right;   /* scratch */
    size_t *row;
} reduced;

/* open, shut: states of the coarse model without reliefs, nothing and everything closed. */
status reduced_make(const plugging_state *open, const plugging_state *shut, arena *memory, reduced *out,
                    fault *why);
/* Flow out of each segment with these closed and these reliefs draining. */
void reduced_flows(reduced *r, const bool *closed, const size_t *number, size_t reliefs_n, double *flow_m3_s);

#endif
