/* sparse.h - symmetric positive definite sparse systems: factorise once, solve often, condense; over CHOLMOD.
 *
 * Model  K x = b with K = P' L L' P, supernodal Cholesky factorisation; P keeps L sparse.
 *        Condensing on to a few kept unknowns: with b the kept and i the others,
 *            S = K_bb - K_bi K_ii^-1 K_ib = L_bb L_bb'
 *        where L_bb is the trailing block of L when the kept unknowns come last (Schur complement).
 * Units  none.   Limits  fewer than 2^31 unknowns and entries of K.
 * Threads  one factor belongs to one thread; any number of factors. The bits of a result may differ between
 *        machines and thread counts of BLAS; tests round. */
#ifndef STANCH_SPARSE_SPARSE_H
#define STANCH_SPARSE_SPARSE_H

#include "core/fault.h"

/* Lower triangle by columns: entries start[j] .. start[j + 1] - 1 of `row` and `value` are those of column j,
 * rows >= j, each row once, the diagonal first. The arrays come from core/mem. */
typedef struct {
    int n;
    int *start; /* n + 1 */
    int *row;
    double *value;
} sparse_matrix;

typedef struct sparse_factor sparse_factor;

typedef enum {
    SPARSE_NATURAL, /* as numbered */
    SPARSE_AUTO,    /* CHOLMOD's own choice: AMD, METIS where that promises less */
    SPARSE_GIVEN    /* `given`: given[k] is the unknown that is eliminated k-th */
} sparse_order;

/* Let CHOLMOD allocate through core/mem. Call once, before any thread and any other call here. */
void sparse_begin(void);

/* Frees the arrays and zeroes *m; a zeroed matrix is fine. */
void sparse_matrix_free(sparse_matrix *m);

/* y = K x, both triangles. y must not be x. */
void sparse_multiply(const sparse_matrix *k, const double *x, double *y);

/* Factorise K, which stays the caller's and is not needed after. `given` is read for SPARSE_GIVEN only.
 * E_MEMORY, E_IO when the library is not there, or E_STATE "... is not positive definite" naming the unknown. The
 * caller frees *out. */
status sparse_factorise(const sparse_matrix *k, sparse_order order, const int *given, sparse_factor **out,
                        fault *why);

/* Solve for `columns` right-hand sides, n doubles each, one after the other, in place. E_MEMORY (b is then
 * undefined). */
status sparse_solve(sparse_factor *f, double *b, int columns, fault *why);

/* Entries of L as stored. */
double sparse_factor_entries(const sparse_factor *f);

void sparse_factor_free(sparse_factor *f); /* NULL is fine */

/* What is left of K and of right-hand sides on the kept unknowns. Dense, column after column. The factor
 * stays with it, so that the heads of the others can be found back. */
typedef struct {
    int kept_n, columns;
    double *lower;         /* kept_n x kept_n: L_bb in the lower triangle, zeros above; S = L_bb L_bb' */
    double *load;          /* kept_n x columns: condensed right-hand sides b_b - K_bi K_ii^-1 b_i */
    sparse_factor *factor; /* of all of K */
} sparse_condensed;

/* Condense K and the `columns` right-hand sides `b` (n doubles each, unchanged; NULL when columns is 0) on to
 * the unknowns kept[0 .. kept_n - 1], each once, in that order. Codes as sparse_factorise; *out is zeroed on
 * error. The caller frees it by sparse_condensed_free. */
status sparse_condense(const sparse_matrix *k, const int *kept, int kept_n, const double *b, int columns,
                       sparse_condensed *out, fault *why);
void sparse_condensed_free(sparse_condensed *c);

/* All unknowns from the kept ones: x (n) such that x on the kept is `kept_x` and K x = b elsewhere (b NULL:
 * 0). E_MEMORY. */
status sparse_expand(sparse_condensed *c, const double *b, const double *kept_x, double *x, fault *why);

#endif
