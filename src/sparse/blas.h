/* blas.h - the few routines of BLAS and LAPACK that this folder calls, by their own (Fortran) names.
 *
 * The C interface (cblas.h) is also defined by GSL's slow library, and which of the two a program gets would hang on
 * the order of linking. Column after column; everything by pointer. late.c finds them.
 * Threads  as the library; one if OPENBLAS_NUM_THREADS=1. */
#ifndef STANCH_SPARSE_BLAS_H
#define STANCH_SPARSE_BLAS_H

extern void dpotrf_(const char *uplo, const int *n, double *a, const int *lda, int *info);
extern void dtrsv_(const char *uplo, const char *trans, const char *diag, const int *n, const double *a,
                   const int *lda, double *x, const int *incx);
extern void dtrmm_(const char *side, const char *uplo, const char *trans, const char *diag, const int *m,
                   const int *n, const double *alpha, const double *a, const int *lda, double *b,
                   const int *ldb);
extern void dtrsm_(const char *side, const char *uplo, const char *trans, const char *diag, const int *m,
                   const int *n, const double *alpha, const double *a, const int *lda, double *b,
                   const int *ldb);
extern void dsyrk_(const char *uplo, const char *trans, const int *n, const int *k, const double *alpha,
                   const double *a, const int *lda, const double *beta, double *c, const int *ldc);
extern void dsymv_(const char *uplo, const int *n, const double *alpha, const double *a, const int *lda,
                   const double *x, const int *incx, const double *beta, double *y, const int *incy);
extern double ddot_(const int *n, const double *x, const int *incx, const double *y, const int *incy);

#endif
