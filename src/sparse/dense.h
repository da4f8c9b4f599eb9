/* dense.h - small dense symmetric systems: Cholesky factor, triangular solves, a factor that grows and
 * shrinks.
 *
 * Model  A = L L'. A factor of the first m unknowns grows by one row: with a the new column of A against
 * them, l = L^-1 a,   l_mm = sqrt(a_mm - l'l) so that a system that gains unknowns one by one costs m^2 for
 * each, not m^3. Layout column after column, `stride` doubles from one column to the next; L in the lower
 * triangle, what is above the diagonal is not read.   Threads  no shared state; one thread if
 * OPENBLAS_NUM_THREADS=1. */
#ifndef STANCH_SPARSE_DENSE_H
#define STANCH_SPARSE_DENSE_H

#include "core/fault.h"

/* Factorise A (n x n) in place. E_STATE naming the unknown when A is not positive definite. */
status dense_cholesky(double *a, int n, int stride, fault *why);

/* L grows from m to m + 1 unknowns: `column` holds the m + 1 new entries of A (against 0 .. m - 1, then the
 * diagonal) and is overwritten by the new row of L. E_STATE when the new pivot is not above 0: L is as
 * before. */
status dense_grow(double *l, int m, int stride, double *column, fault *why);

/* The same for `rows` unknowns at once, at the speed of matrix products: rows m .. m + rows - 1 of the lower
 * triangle hold the new rows of A and become those of L. E_STATE: rows below m are as before. */
status dense_grow_rows(double *l, int m, int rows, int stride, fault *why);

void dense_solve(const double *l, int n, int stride, double *b);         /* b = A^-1 b */
void dense_solve_lower(const double *l, int n, int stride, double *b);   /* b = L^-1 b */
void dense_solve_lower_t(const double *l, int n, int stride, double *b); /* b = L'^-1 b */

/* y = A x, A symmetric in the lower triangle; y must not be x. */
void dense_multiply(const double *a, int n, int stride, const double *x, double *y);

/* c = L L', full symmetric, n x n, both with the same stride; c must not be l. */
void dense_square(const double *l, int n, int stride, double *c);

#endif
