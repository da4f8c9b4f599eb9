/* robust.h - straight-line fits of few terms that one bad reading cannot bend, and errors that are honest when readings
 * hang together in time.
 *
 * robust_residuals  Least median of squares over sub-sets of p readings (Rousseeuw 1984), and the scale
 *   1.4826 (1 + 5/(n - p)) med|r| (Rousseeuw and Leroy 1987, ch. 5; both from memory). All sub-sets are tried when there are
 *   at most ROBUST_SUBSETS, else that many of a fixed seed: the same input, the same answer.
 * robust_trimmed    The sum of squares without the largest tenth (at least one): what a choice between models compares.
 * correlated_fit    y = X b + e, e of correlation exp(-dt/tau) (first-order autoregression at any spacing). tau by
 *   restricted maximum likelihood (Patterson and Thompson 1971, from memory), then least squares of the whitened readings,
 *   e_i - r_i e_(i-1) over sqrt(1 - r_i^2), r_i = exp(-dt_i/tau). tau is told as the correlation of readings a week apart.
 * Limits  p <= ROBUST_TERMS columns, n > p + 1 rows; times rise.   Threads  no shared state. */
#ifndef STANCH_STATS_ROBUST_H
#define STANCH_STATS_ROBUST_H

#include "stats/regression.h"

enum { ROBUST_TERMS = 4, ROBUST_SUBSETS = 2000 };

/* How far each reading (in->rows) lies off the fit that most of them share; *scale is the robust standard deviation, 0 where
 * more than half of them lie on that fit. Where no sub-set can be solved all are 0 and *scale is HUGE_VAL. E_MEMORY. */
status robust_residuals(const regression_input *in, arena *memory, double *residuals, double *scale,
                        fault *why);

/* Trimmed sum of squares of the least-squares residuals; HUGE_VAL when the columns depend on each other. */
double robust_trimmed(const regression_input *in, arena *memory);

typedef struct {
    regression_result
        fit; /* of the whitened readings: coefficients and their standard errors hold, its r_squared does not */
    double covariance[ROBUST_TERMS * ROBUST_TERMS]; /* of the coefficients, columns x columns */
    double correlation_week;                        /* 0: none found */
} correlated_result;

/* `day`: rising, in->rows of them. Errors as regression_fit. */
status correlated_fit(const regression_input *in, const double *day, arena *memory, correlated_result *out,
                      fault *why);

/* The covariance of the coefficients that `rows` x of these days would give for errors of this standard deviation and
 * correlation: to see what more readings would bring. False when the columns depend on each other. */
bool correlated_covariance(const double *x, const double *day, size_t rows, size_t columns,
                           double correlation_week, double sd, double *covariance);

#endif
