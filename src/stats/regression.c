#include "stats/regression.h"

#include "stats/doubled.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_linalg.h>
#include <math.h>

/* A column whose part outside the span of those before it is this small a share of it says nothing of its own
 * in double precision. Our default: some hundred roundings. */
#define DEPENDENT 1e-13

/* r + A b = f and A' r = g, factored once, solved for several right-hand sides. */
typedef struct {
    size_t n, p;
    const double *a; /* n x p, scaled */
    gsl_matrix_view qr;
    gsl_vector_view tau;
    doubled *r, *b;       /* the solution: n, p */
    double *f, *g;        /* right-hand sides of one correction: n, p */
    double *column_scale; /* powers of two: x = a scale */
    double y_scale, *y;   /* the same for y */
} problem;

static status check_shape(const regression_input *in, fault *why) {
    if (in->columns < 1 || in->columns > REGRESSION_COLUMNS)
        return fault_set(why, E_INPUT, "x has %zu columns; it must have 1 to %d", in->columns,
                         REGRESSION_COLUMNS);
    if (in->rows <= in->columns)
        return fault_set(why, E_INPUT, "x has %zu rows; with %zu columns it must have more than %zu",
                         in->rows, in->columns, in->columns);
    for (size_t i = 0; i < in->rows; i++) {
        for (size_t j = 0; j < in->columns; j++)
            if (!(fabs(in->x[i * in->columns + j]) <= REGRESSION_LARGEST))
                return fault_set(why, E_INPUT, "x[%zu][%zu] is %g; it must lie in -1e100 to 1e100", i, j,
                                 in->x[i * in->columns + j]);
        if (!(fabs(in->y[i]) <= REGRESSION_LARGEST))
            return fault_set(why, E_INPUT, "y[%zu] is %g; it must lie in -1e100 to 1e100", i, in->y[i]);
    }
    return OK;
}

/* The power of two just above the largest of n values `step` apart; 1 when all are 0. */
static double power_above(const double *values, size_t n, size_t step) {
    double largest = 0;
    for (size_t i = 0; i < n; i++) largest = fmax(largest, fabs(values[i * step]));
    int exponent = 0;
    frexp(largest, &exponent);
    return largest > 0 ? ldexp(1, exponent) : 1;
}

static bool problem_get(problem *q, const regression_input *in, arena *memory) {
    size_t n = in->rows, p = in->columns;
    double *a = arena_get(memory, n * p, sizeof *a), *copy = arena_get(memory, n * p, sizeof *copy);
    double *tau = arena_get(memory, p, sizeof *tau);
    *q = (problem){.n = n, .p = p, .a = a};
    q->r = arena_get(memory, n, sizeof *q->r);
    q->b = arena_get(memory, p, sizeof *q->b);
    q->f = arena_get(memory, n, sizeof *q->f);
    q->g = arena_get(memory, p, sizeof *q->g);
    q->y = arena_get(memory, n, sizeof *q->y);
    q->column_scale = arena_get(memory, p, sizeof *q->column_scale);
    if (!a || !copy || !tau || !q->r || !q->b || !q->f || !q->g || !q->y || !q->column_scale) return false;

    for (size_t j = 0; j < p; j++) {
        q->column_scale[j] = power_above(in->x + j, n, p);
        for (size_t i = 0; i < n; i++) a[i * p + j] = copy[i * p + j] = in->x[i * p + j] / q->column_scale[j];
    }
    q->y_scale = power_above(in->y, n, 1);
    for (size_t i = 0; i < n; i++) q->y[i] = in->y[i] / q->y_scale;
    q->qr = gsl_matrix_view_array(copy, n, p);
    q->tau = gsl_vector_view_array(tau, p);
    return true;
}

static status dependent(size_t column, fault *why) {
    return fault_set(
        why, E_INPUT,
        "x: column %zu (counted from 0) is a combination of the columns before it, to rounding; the "
        "columns must be independent",
        column);
}

static status factor(problem *q, fault *why) {
    gsl_linalg_QR_decomp(&q->qr.matrix, &q->tau.vector);
    for (size_t j = 0; j < q->p; j++) {
        double norm = 0;
        for (size_t i = 0; i < q->n; i++) norm = hypot(norm, q->a[i * q->p + j]);
        if (!(fabs(gsl_matrix_get(&q->qr.matrix, j, j)) > DEPENDENT * norm)) return dependent(j, why);
    }
    return OK;
}

/* One correction by the factors: f, g become the change of r, and the change of b. */
static void correct(problem *q) {
    gsl_vector_view f = gsl_vector_view_array(q->f, q->n), g = gsl_vector_view_array(q->g, q->p);
    gsl_matrix_view upper = gsl_matrix_submatrix(&q->qr.matrix, 0, 0, q->p, q->p);
    gsl_linalg_QR_QTvec(&q->qr.matrix, &q->tau.vector, &f.vector);                  /* f := Q'f = [d1; d2] */
    gsl_blas_dtrsv(CblasUpper, CblasTrans, CblasNonUnit, &upper.matrix, &g.vector); /* g := w = R^-T g */
    for (size_t j = 0; j < q->p; j++) {
        double w = q->g[j];
        q->g[j] = q->f[j] - w;
        q->f[j] = w;
    }
    gsl_blas_dtrsv(CblasUpper, CblasNoTrans, CblasNonUnit, &upper.matrix, &g.vector); /* R^-1 (d1 - w) */
    gsl_linalg_QR_Qvec(&q->qr.matrix, &q->tau.vector, &f.vector);                     /* Q [w; d2] */
}

/* What r and b still miss, in doubled precision: f = right - r - A b, g = under - A' r. */
static void miss(problem *q, const double *right, const double *under) {
    for (size_t i = 0; i < q->n; i++) {
        doubled sum = doubled_sum(right ? right[i] : 0, -q->r[i].high);
        sum = doubled_add(sum, (doubled){-q->r[i].low, 0});
        for (size_t j = 0; j < q->p; j++) sum = doubled_add_product(sum, -q->a[i * q->p + j], q->b[j]);
        q->f[i] = sum.high;
    }
    for (size_t j = 0; j < q->p; j++) {
        doubled sum = {under ? under[j] : 0, 0};
        for (size_t i = 0; i < q->n; i++) sum = doubled_add_product(sum, -q->a[i * q->p + j], q->r[i]);
        q->g[j] = sum.high;
    }
}

/* Add the correction. Returns its largest part relative to the largest of r and b (columns and y are scaled
 * to about 1), and in *own its largest relative to each coefficient itself. */
static double apply(problem *q, double *own) {
    double change = 0, size = 0;
    *own = 0;
    for (size_t i = 0; i < q->n; i++) {
        q->r[i] = doubled_add(q->r[i], (doubled){q->f[i], 0});
        size = fmax(size, fabs(q->r[i].high));
    }
    for (size_t j = 0; j < q->p; j++) {
        q->b[j] = doubled_add(q->b[j], (doubled){q->g[j], 0});
        size = fmax(size, fabs(q->b[j].high));
        change = fmax(change, fabs(q->g[j]));
        if (q->b[j].high != 0) *own = fmax(*own, fabs(q->g[j] / q->b[j].high));
    }
    return size > 0 ? change / size : 0;
}

/* Solve for right-hand sides `right` (n) and `under` (p), NULL for zeros; the solution is in q->r and q->b.
 * False when the corrections do not shrink: the columns are too nearly dependent. */
static bool refine(problem *q, const double *right, const double *under) {
    enum { STEPS = 40 };
    double before = HUGE_VAL;
    for (size_t i = 0; i < q->n; i++) q->r[i] = (doubled){0, 0};
    for (size_t j = 0; j < q->p; j++) q->b[j] = (doubled){0, 0};
    for (int step = 0; step < STEPS; step++) {
        double own, change;
        miss(q, right, under);
        correct(q);
        change = apply(q, &own);
        if (own <= 1e-17 || change <= 1e-30) return true; /* the last bit stands, or all that is carried */
        if (step > 1 && !(change < before)) return change < 1e-14;
        before = change;
    }
    return before < 1e-14;
}

static bool has_constant_column(const problem *q) {
    for (size_t j = 0; j < q->p; j++) {
        size_t same = 1;
        while (same < q->n && q->a[same * q->p + j] == q->a[j]) same++;
        if (same == q->n && q->a[j] != 0) return true;
    }
    return false;
}

/* Sum of squares of y, scaled, about its mean or about 0. */
static doubled total_squares(const problem *q, bool about_mean) {
    doubled mean = {0, 0}, squares = {0, 0};
    for (size_t i = 0; about_mean && i < q->n; i++) mean = doubled_add(mean, (doubled){q->y[i], 0});
    double high = mean.high / (double)q->n;
    /* The mean to doubled precision: what the division lost is divided once more. */
    doubled lost = doubled_add(mean, doubled_product(-high, (double)q->n));
    doubled centre = doubled_sum(high, lost.high / (double)q->n);
    for (size_t i = 0; i < q->n; i++) {
        doubled off = doubled_add((doubled){q->y[i], 0}, (doubled){-centre.high, -centre.low});
        squares = doubled_add(squares, doubled_product(off.high, off.high));
        squares.low += 2 * off.high * off.low;
    }
    return doubled_sum(squares.high, squares.low);
}

static void take_fit(const problem *q, regression_result *out) {
    doubled squares = {0, 0};
    for (size_t i = 0; i < q->n; i++) {
        squares = doubled_add(squares, doubled_product(q->r[i].high, q->r[i].high));
        squares.low += 2 * q->r[i].high * q->r[i].low;
        out->residuals[i] = q->r[i].high * q->y_scale;
    }
    for (size_t j = 0; j < q->p; j++) out->coefficients[j] = q->b[j].high / q->column_scale[j] * q->y_scale;
    double rss = squares.high + squares.low;
    out->corrected = has_constant_column(q);
    doubled tss = total_squares(q, out->corrected);
    out->residual_sd = sqrt(rss / (double)(q->n - q->p)) * q->y_scale;
    out->varies = tss.high > 0;
    if (!out->varies) return;
    /* 1 - rss/tss cancels when little is explained: the small difference is formed before it is divided. */
    doubled explained = doubled_add(tss, (doubled){-squares.high, -squares.low});
    out->r_squared = explained.high / tss.high;
}

static status take_errors(problem *q, arena *memory, regression_result *out, fault *why) {
    double *unit = arena_get(memory, q->p, sizeof *unit);
    if (!unit) return fault_memory(why);
    for (size_t j = 0; j < q->p; j++) {
        unit[j] = -1; /* A' r = -e_j and r = -A b give A'A b = e_j */
        if (!refine(q, NULL, unit)) return dependent(j, why);
        unit[j] = 0;
        out->standard_errors[j] = out->residual_sd * sqrt(fmax(q->b[j].high, 0)) / q->column_scale[j];
    }
    return OK;
}

status regression_fit(const regression_input *in, arena *memory, regression_result *out, fault *why) {
    *out = (regression_result){0};
    problem q;
    status code = check_shape(in, why);
    if (code != OK) return code;
    regression_result found = {0};
    found.coefficients = arena_get(memory, in->columns, sizeof *found.coefficients);
    found.standard_errors = arena_get(memory, in->columns, sizeof *found.standard_errors);
    found.residuals = arena_get(memory, in->rows, sizeof *found.residuals);
    if (!found.coefficients || !found.standard_errors || !found.residuals || !problem_get(&q, in, memory))
        return fault_memory(why);
    code = factor(&q, why);
    if (code != OK) return code;
    if (!refine(&q, q.y, NULL)) return dependent(q.p - 1, why);
    take_fit(&q, &found);
    code = take_errors(&q, memory, &found, why);
    if (code == OK) *out = found;
    return code;
}
