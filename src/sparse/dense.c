#include "sparse/dense.h"

#include "sparse/blas.h"

#include <math.h>
#include <string.h>

static const int one = 1;

static double *at(double *a, int stride, int i, int j) {
    return a + (size_t)j * (size_t)stride + (size_t)i;
}

status dense_cholesky(double *a, int n, int stride, fault *why) {
    int info = 0;
    if (n > 0) dpotrf_("L", &n, a, &stride, &info);
    if (info == 0) return OK;
    return fault_set(why, E_STATE, "the dense matrix is not positive definite at unknown %d", info - 1);
}

status dense_grow(double *l, int m, int stride, double *column, fault *why) {
    double pivot = column[m];
    dense_solve_lower(l, m, stride, column);
    pivot -= ddot_(&m, column, &one, column, &one);
    if (!(pivot > 0))
        return fault_set(why, E_STATE, "the dense matrix is not positive definite at unknown %d", m);
    column[m] = sqrt(pivot);
    for (int j = 0; j <= m; j++) *at(l, stride, m, j) = column[j];
    return OK;
}

status dense_grow_rows(double *l, int m, int rows, int stride, fault *why) {
    const double unit = 1, minus = -1;
    double *corner = at(l, stride, m, m);
    if (rows <= 0) return OK;
    if (m > 0) {
        dtrsm_("R", "L", "T", "N", &rows, &m, &unit, l, &stride, l + m, &stride);
        dsyrk_("L", "N", &rows, &m, &minus, l + m, &stride, &unit, corner, &stride);
    }
    return dense_cholesky(corner, rows, stride, why);
}

void dense_solve_lower(const double *l, int n, int stride, double *b) {
    if (n > 0) dtrsv_("L", "N", "N", &n, l, &stride, b, &one);
}

void dense_solve_lower_t(const double *l, int n, int stride, double *b) {
    if (n > 0) dtrsv_("L", "T", "N", &n, l, &stride, b, &one);
}

void dense_solve(const double *l, int n, int stride, double *b) {
    dense_solve_lower(l, n, stride, b);
    dense_solve_lower_t(l, n, stride, b);
}

void dense_multiply(const double *a, int n, int stride, const double *x, double *y) {
    const double unit = 1, none = 0;
    if (n > 0) dsymv_("L", &n, &unit, a, &stride, x, &one, &none, y, &one);
}

void dense_square(const double *l, int n, int stride, double *c) {
    for (int j = 0; j < n; j++) {
        double *column = at(c, stride, 0, j);
        memset(column, 0, (size_t)n * sizeof *column);
        memcpy(column + j, l + (size_t)j * (size_t)stride + (size_t)j, (size_t)(n - j) * sizeof *column);
    }
    const double unit = 1;
    if (n > 0) dtrmm_("R", "L", "T", "N", &n, &n, &unit, l, &stride, c, &stride);
}
