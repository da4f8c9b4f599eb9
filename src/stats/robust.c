#include "stats/robust.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>

static const double WEEK_DAYS = 7;

/* ---- a few equations ---- */

/* Solve the p x p system by elimination with row exchanges; false when it is singular to rounding. */
static bool solve_few(double a[ROBUST_TERMS][ROBUST_TERMS + 1], size_t p, double *x) {
    for (size_t k = 0; k < p; k++) {
        size_t best = k;
        for (size_t i = k + 1; i < p; i++)
            if (fabs(a[i][k]) > fabs(a[best][k])) best = i;
        if (!(fabs(a[best][k]) > 1e-12)) return false;
        for (size_t j = 0; j <= p && best != k; j++) {
            double swap = a[k][j];
            a[k][j] = a[best][j];
            a[best][j] = swap;
        }
        for (size_t i = k + 1; i < p; i++) {
            double factor = a[i][k] / a[k][k];
            for (size_t j = k; j <= p; j++) a[i][j] -= factor * a[k][j];
        }
    }
    for (size_t k = p; k-- > 0;) {
        x[k] = a[k][p];
        for (size_t j = k + 1; j < p; j++) x[k] -= a[k][j] * x[j];
        x[k] /= a[k][k];
    }
    return true;
}

/* Columns divided by their largest entry, so that 1e-12 means the same for each. */
typedef struct {
    double *x, scale[ROBUST_TERMS];
    const double *y;
    size_t n, p;
} scaled;

static status scale_columns(const regression_input *in, arena *memory, scaled *out, fault *why) {
    *out = (scaled){.x = arena_get(memory, in->rows * in->columns, sizeof(double)),
                    .y = in->y,
                    .n = in->rows,
                    .p = in->columns};
    if (!out->x) return fault_memory(why);
    for (size_t j = 0; j < out->p; j++) {
        for (size_t i = 0; i < out->n; i++) out->scale[j] = fmax(out->scale[j], fabs(in->x[i * out->p + j]));
        double by = out->scale[j] > 0 ? out->scale[j] : 1;
        for (size_t i = 0; i < out->n; i++) out->x[i * out->p + j] = in->x[i * out->p + j] / by;
    }
    return OK;
}

static double residual(const scaled *s, const double *b, size_t row) {
    double r = s->y[row];
    for (size_t j = 0; j < s->p; j++) r -= s->x[row * s->p + j] * b[j];
    return r;
}

/* ---- least median of squares ---- */

/* The next sub-set in lexical order; false after the last. */
static bool next_subset(size_t *at, size_t p, size_t n) {
    size_t k = p;
    while (k-- > 0) {
        if (at[k] + (p - k) < n) {
            at[k]++;
            for (size_t i = k + 1; i < p; i++) at[i] = at[i - 1] + 1;
            return true;
        }
    }
    return false;
}

static uint64_t random_next(uint64_t *state) { /* xorshift64*, Vigna 2016, from memory */
    *state ^= *state >> 12;
    *state ^= *state << 25;
    *state ^= *state >> 27;
    return *state * UINT64_C(2685821657736338717);
}

/* p different rows. */
static void random_subset(size_t *at, size_t p, size_t n, uint64_t *state) {
    for (size_t k = 0; k < p;) {
        at[k] = (size_t)(random_next(state) % n);
        size_t same = 0;
        while (same < k && at[same] != at[k]) same++;
        if (same == k) k++;
    }
}

static bool few_subsets(size_t n, size_t p) {
    double count = 1;
    for (size_t k = 0; k < p; k++) count *= (double)(n - k) / (double)(k + 1);
    return count <= ROBUST_SUBSETS;
}

/* Median of the absolute residuals of the fit through the sub-set; HUGE_VAL when it fixes none. */
static double median_of(const scaled *s, const size_t *at, double *room, double *b) {
    double a[ROBUST_TERMS][ROBUST_TERMS + 1];
    for (size_t i = 0; i < s->p; i++) {
        memcpy(a[i], s->x + at[i] * s->p, s->p * sizeof(double));
        a[i][s->p] = s->y[at[i]];
    }
    if (!solve_few(a, s->p, b)) return HUGE_VAL;
    for (size_t i = 0; i < s->n; i++) room[i] = fabs(residual(s, b, i));
    return gsl_stats_median(room, 1, s->n);
}

static double least_median(const scaled *s, double *room, double *best) {
    size_t at[ROBUST_TERMS];
    double lowest = HUGE_VAL, b[ROBUST_TERMS];
    uint64_t state = UINT64_C(88172645463325252);
    bool all = few_subsets(s->n, s->p);
    for (size_t k = 0; k < s->p; k++) at[k] = k;
    for (size_t count = 0; all || count < ROBUST_SUBSETS; count++) {
        if (!all) random_subset(at, s->p, s->n, &state);
        double median = median_of(s, at, room, b);
        if (median < lowest) {
            lowest = median;
            memcpy(best, b, sizeof b);
        }
        if (all && !next_subset(at, s->p, s->n)) break;
    }
    return lowest;
}

status robust_residuals(const regression_input *in, arena *memory, double *residuals, double *scale,
                        fault *why) {
    scaled s;
    double best[ROBUST_TERMS] = {0};
    *scale = HUGE_VAL;
    for (size_t i = 0; i < in->rows; i++) residuals[i] = 0;
    status code = scale_columns(in, memory, &s, why);
    double *room = arena_get(memory, in->rows, sizeof *room);
    if (code != OK || !room) return fault_memory(why);
    double median = least_median(&s, room, best);
    if (!isfinite(median)) return OK;
    *scale = 1.4826 * (1 + 5 / (double)(s.n - s.p)) * median;
    for (size_t i = 0; i < s.n; i++) residuals[i] = residual(&s, best, i);
    return OK;
}

/* ---- readings that hang together ---- */

/* Correlation of a reading with the one before, and sqrt(1 - r^2). */
static void link_of(double gap_days, double week, double *r, double *rest) {
    *r = week > 0 ? pow(week, gap_days / WEEK_DAYS) : 0;
    *rest = sqrt(fmax(1 - *r * *r, 1e-12)); /* two readings at one moment: nearly no news in the second */
}

/* The whitened rows; returns half the logarithm of the determinant of the correlation. */
static double whiten(const double *x, const double *y, const double *day, size_t n, size_t p, double week,
                     double *wx, double *wy) {
    double log_det = 0;
    for (size_t i = 0; i < n; i++) {
        double r = 0, rest = 1;
        if (i > 0) link_of(day[i] - day[i - 1], week, &r, &rest);
        log_det += log(rest);
        for (size_t j = 0; j < p; j++)
            wx[i * p + j] = (x[i * p + j] - (i > 0 ? r * x[(i - 1) * p + j] : 0)) / rest;
        if (y) wy[i] = (y[i] - (i > 0 ? r * y[i - 1] : 0)) / rest;
    }
    return log_det;
}

/* Cholesky factor of X'X in place; half the logarithm of its determinant, or -HUGE_VAL when it is singular. */
static double factor_normal(const double *x, size_t n, size_t p, double a[ROBUST_TERMS][ROBUST_TERMS]) {
    double log_det = 0;
    for (size_t j = 0; j < p; j++)
        for (size_t k = 0; k <= j; k++) {
            a[j][k] = 0;
            for (size_t i = 0; i < n; i++) a[j][k] += x[i * p + j] * x[i * p + k];
        }
    for (size_t j = 0; j < p; j++) {
        double diagonal = a[j][j];
        for (size_t k = 0; k < j; k++) diagonal -= a[j][k] * a[j][k];
        if (!(diagonal > 1e-12 * a[j][j])) return -HUGE_VAL;
        a[j][j] = sqrt(diagonal);
        log_det += log(a[j][j]);
        for (size_t i = j + 1; i < p; i++) {
            for (size_t k = 0; k < j; k++) a[i][j] -= a[i][k] * a[j][k];
            a[i][j] /= a[j][j];
        }
    }
    return log_det;
}

/* Coefficients by the factor of X'X. */
static void solve_normal(const double *x, const double *y, size_t n, size_t p,
                         double a[ROBUST_TERMS][ROBUST_TERMS], double *b) {
    for (size_t j = 0; j < p; j++) b[j] = 0;
    for (size_t j = 0; j < p; j++)
        for (size_t i = 0; i < n; i++) b[j] += x[i * p + j] * y[i];
    for (size_t j = 0; j < p; j++) {
        for (size_t k = 0; k < j; k++) b[j] -= a[j][k] * b[k];
        b[j] /= a[j][j];
    }
    for (size_t j = p; j-- > 0;) {
        for (size_t k = j + 1; k < p; k++) b[j] -= a[k][j] * b[k];
        b[j] /= a[j][j];
    }
}

/* Residual sum of squares of the whitened rows. */
static double rest_of(const double *x, const double *y, size_t n, size_t p, const double *b) {
    double sum = 0;
    for (size_t i = 0; i < n; i++) {
        double r = y[i];
        for (size_t j = 0; j < p; j++) r -= x[i * p + j] * b[j];
        sum += r * r;
    }
    return sum;
}

/* Without refinement: only a comparison rests on it. */
double robust_trimmed(const regression_input *in, arena *memory) {
    double a[ROBUST_TERMS][ROBUST_TERMS], b[ROBUST_TERMS], sum = 0;
    scaled s;
    double *r = arena_get(memory, in->rows, sizeof *r);
    if (!r || scale_columns(in, memory, &s, NULL) != OK) return HUGE_VAL;
    if (!isfinite(factor_normal(s.x, s.n, s.p, a))) return HUGE_VAL;
    solve_normal(s.x, s.y, s.n, s.p, a, b);
    for (size_t i = 0; i < s.n; i++) {
        r[i] = residual(&s, b, i);
        r[i] *= r[i];
    }
    gsl_sort(r, 1, s.n);
    size_t keep = s.n - (s.n / 10 > 1 ? s.n / 10 : 1);
    for (size_t i = 0; i < keep; i++) sum += r[i];
    return sum;
}

typedef struct {
    const scaled *s;
    const double *day;
    double *wx, *wy;
} whitening;

/* Restricted log-likelihood but for constants. */
static double likelihood(const whitening *w, double week) {
    double a[ROBUST_TERMS][ROBUST_TERMS], b[ROBUST_TERMS];
    size_t n = w->s->n, p = w->s->p;
    double log_det = whiten(w->s->x, w->s->y, w->day, n, p, week, w->wx, w->wy);
    double normal = factor_normal(w->wx, n, p, a);
    if (!isfinite(normal)) return -HUGE_VAL;
    solve_normal(w->wx, w->wy, n, p, a, b);
    double rest = fmax(rest_of(w->wx, w->wy, n, p, b), 1e-300);
    return -0.5 * (double)(n - p) * log(rest) - log_det - normal;
}

/* The likeliest correlation a week apart: a grid, then halving steps about its best. */
static double likeliest(const whitening *w) {
    static const double STEP = 0.05, MOST = 0.951;
    double best = 0, value = likelihood(w, 0);
    for (double week = STEP; week < MOST; week += STEP) {
        double here = likelihood(w, week);
        if (here > value) best = week, value = here;
    }
    for (double step = STEP / 2; step > 1e-3; step /= 2)
        for (int side = -1; side <= 1; side += 2) {
            double week = best + side * step;
            double here = week >= 0 && week < MOST ? likelihood(w, week) : -HUGE_VAL;
            if (here > value) best = week, value = here;
        }
    return best;
}

bool correlated_covariance(const double *x, const double *day, size_t rows, size_t columns,
                           double correlation_week, double sd, double *covariance) {
    double a[ROBUST_TERMS][ROBUST_TERMS], inverse[ROBUST_TERMS][ROBUST_TERMS] = {{0}};
    double *wx = mem_get(rows * columns, sizeof *wx);
    if (!wx) return false;
    whiten(x, NULL, day, rows, columns, correlation_week, wx, NULL);
    bool good = isfinite(factor_normal(wx, rows, columns, a));
    mem_free(wx);
    for (size_t c = 0; good && c < columns; c++) /* L^-1, column by column */
        for (size_t j = c; j < columns; j++) {
            double sum = j == c ? 1 : 0;
            for (size_t k = c; k < j; k++) sum -= a[j][k] * inverse[k][c];
            inverse[j][c] = sum / a[j][j];
        }
    for (size_t i = 0; good && i < columns; i++)
        for (size_t j = 0; j < columns; j++) {
            double sum = 0;
            for (size_t k = 0; k < columns; k++) sum += inverse[k][i] * inverse[k][j];
            covariance[i * columns + j] = sd * sd * sum;
        }
    return good;
}

status correlated_fit(const regression_input *in, const double *day, arena *memory, correlated_result *out,
                      fault *why) {
    scaled s;
    *out = (correlated_result){0};
    status code = scale_columns(in, memory, &s, why);
    whitening w = {&s, day, arena_get(memory, in->rows * in->columns, sizeof(double)),
                   arena_get(memory, in->rows, sizeof(double))};
    if (code != OK || !w.wx || !w.wy) return fault_memory(why);
    out->correlation_week = likeliest(&w);
    whiten(in->x, in->y, day, in->rows, in->columns, out->correlation_week, w.wx, w.wy);
    regression_input white = {w.wx, w.wy, in->rows, in->columns};
    code = regression_fit(&white, memory, &out->fit, why);
    if (code == OK && !correlated_covariance(in->x, day, in->rows, in->columns, out->correlation_week,
                                             out->fit.residual_sd, out->covariance))
        code = fault_memory(why); /* the fit saw that the columns are independent */
    return code;
}
