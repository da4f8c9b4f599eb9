/* model.h - the conjugate model of one rate: fit, and quantiles of any combination of its coefficients; only for src/learn, its
 * tests and its study.
 *
 * Model  learn.h has it. With the job's part integrated out the leaks of a job have the covariance s2 (W^-1 + g 11'), whose inverse is
 *   W - g W11'W/(1 + g 1'W1) and whose determinant prod(1/w) (1 + g sum w) (Sherman and Morrison; the matrix determinant lemma). Then
 *   A = P0 + sum x'Mx, m = A^-1 sum x'My, a = a0 + n/2, b = b0 + (y'My - m'Am)/2 (conjugate normal-inverse-gamma, e.g. Gelman and
 *   others, Bayesian Data Analysis, chapter 14: value from memory), all about the prior's centre.
 *   b_j + lambda s2 is no Student t; its distribution is the integral of a normal over log s2, by the trapezoidal rule, which
 *   is exact to rounding here (smooth, both tails gone).
 * Units  logarithms.   Threads  no shared state. */
#ifndef STANCH_LEARN_MODEL_H
#define STANCH_LEARN_MODEL_H

#include "learn/learn.h"

/* Firm, kinds but the first, accesses but the first, temperatures but mild. */
enum {
    MODEL_KIND = 1,
    MODEL_ACCESS = MODEL_KIND + KIND_COUNT - 1,
    MODEL_TEMPERATURE = MODEL_ACCESS + ACCESS_COUNT - 1,
    MODEL_COLUMNS = MODEL_TEMPERATURE + LEARN_TEMPERATURES - 1,
    MODEL_RATIOS = 5
};
extern const double model_ratios[MODEL_RATIOS]; /* g */

typedef struct {
    double centre; /* log of the rate as it ships */
    double firm_sd, effect_sd, noise_sd;
} model_prior;

/* The posterior at one ratio. */
typedef struct {
    double ratio, weight; /* the weights of all add up to 1 */
    double origin;        /* centre of the prior of the firm's coefficient */
    double a, b;          /* of s2 */
    double mean[MODEL_COLUMNS],
        cover[MODEL_COLUMNS][MODEL_COLUMNS]; /* mean about the origin; cover in units of s2 */
} model_part;

typedef struct {
    model_part parts[MODEL_RATIOS];
    double own; /* weight of the firm's own evidence: 1 less the variance left of the firm's coefficient */
} model_posterior;

/* Which column a leak's class has; 0: it is the usual one. */
int model_kind_column(survey_kind kind);
int model_access_column(survey_access access);
int model_temperature_column(learn_temperature temperature);

/* `facts` by job, each with value and quantity above 0. n may be 0. */
void model_fit(const model_prior *prior, const learn_fact *const *facts, size_t n, model_posterior *out);

/* The p-quantile of log rate for the firm (column 0) or one class; of the effect alone with `effect`. */
double model_quantile(const model_posterior *of, int column, bool effect, double p);

/* Of the same: the chance to lie at or below x. */
double model_chance(const model_posterior *of, int column, bool effect, double x);

#endif
