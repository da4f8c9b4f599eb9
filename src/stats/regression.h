/* regression.h - linear least squares, to the last digits that the data carry.
 *
 * Model  minimise |y - X b|; standard error of b_j = s sqrt[(X'X)^-1_jj], s^2 = RSS/(n - p);
 *        R2 = 1 - RSS/TSS, TSS about the mean where a column of X is constant, about 0 where none is.
 *        Householder QR (GSL) of X, its columns scaled by powers of two, then iterative refinement of
 * residuals and coefficients together (Bjorck's augmented system: value from memory), r + X b = y,   X' r =
 * 0, with the right-hand sides formed in doubled precision. The same with other right-hand sides refines
 *        (X'X)^-1_jj.
 * Limits p <= 100 columns, n > p rows, entries within 1e100; columns that are dependent to rounding are
 * refused. Source checked against the NIST Statistical Reference Datasets.   Threads  no shared state; GSL's
 * error handler must be off, as main sets it. */
#ifndef STANCH_STATS_REGRESSION_H
#define STANCH_STATS_REGRESSION_H

#include "core/fault.h"
#include "core/mem.h"

#include <stdbool.h>

enum { REGRESSION_COLUMNS = 100 };
#define REGRESSION_LARGEST 1e100

typedef struct {
    const double *x; /* rows x columns, row after row; borrowed */
    const double *y; /* rows; borrowed */
    size_t rows, columns;
} regression_input;

typedef struct {
    double *coefficients, *standard_errors; /* columns each; in the arena */
    double *residuals;                      /* rows: y - X b; in the arena */
    double residual_sd;
    double r_squared; /* 0 where y does not vary */
    bool varies;      /* TSS > 0 */
    bool corrected;   /* a column is constant: TSS about the mean */
} regression_result;

/* Fit. Results live in `memory`. E_INPUT names row or column, value and limit, or the column that depends on
 * those before it; E_MEMORY. *out is zeroed on error. */
status regression_fit(const regression_input *in, arena *memory, regression_result *out, fault *why);

#endif
