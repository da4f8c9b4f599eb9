#include "learn/model.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <string.h>

/* Our choice: no part of the job at all, to a part of the job that varies 1.7 times as much as one leak does. */
const double model_ratios[MODEL_RATIOS] = {0, 0.1, 0.3, 1, 3};

enum { STEPS = 60, HALVINGS = 60 };

/* Sums of one job's leaks, or of all of them. */
typedef struct {
    double xx[MODEL_COLUMNS][MODEL_COLUMNS], x[MODEL_COLUMNS], xy[MODEL_COLUMNS], w, y, yy;
} sums;

int model_kind_column(survey_kind kind) {
    return kind == KIND_CRACK ? 0 : MODEL_KIND + (int)kind - 1;
}

int model_access_column(survey_access access) {
    return access == ACCESS_GROUND ? 0 : MODEL_ACCESS + (int)access - 1;
}

int model_temperature_column(learn_temperature temperature) {
    return temperature == LEARN_MILD ? 0 : MODEL_TEMPERATURE + (temperature == LEARN_HOT);
}

/* A leak has a 1 in at most four columns: only those are added to. */
static void add_fact(sums *to, const learn_fact *f, double w, double y) {
    int columns[4] = {0, model_kind_column(f->kind), model_access_column(f->access),
                      model_temperature_column(f->temperature)};
    for (int i = 0; i < 4; i++) {
        if (i && !columns[i]) continue;
        to->x[columns[i]] += w;
        to->xy[columns[i]] += w * y;
        for (int j = 0; j < 4; j++)
            if (!j || columns[j]) to->xx[columns[i]][columns[j]] += w;
    }
    to->w += w;
    to->y += w * y;
    to->yy += w * y * y;
}

/* Add a finished job with its common part taken out. Returns the log of its determinant's factor. */
static double add_job(sums *to, const sums *job, double ratio) {
    double shrink = ratio / (1 + ratio * job->w);
    for (int i = 0; i < MODEL_COLUMNS; i++) {
        for (int j = 0; j < MODEL_COLUMNS; j++)
            to->xx[i][j] += job->xx[i][j] - shrink * job->x[i] * job->x[j];
        to->xy[i] += job->xy[i] - shrink * job->x[i] * job->y;
    }
    to->yy += job->yy - shrink * job->y * job->y;
    return log1p(ratio * job->w);
}

static double mean_quantity(const learn_fact *const *facts, size_t n) {
    double sum = 0;
    for (size_t i = 0; i < n; i++) sum += facts[i]->quantity;
    return sum / (double)n;
}

static double add_all(sums *to, const learn_fact *const *facts, size_t n, double origin, double ratio) {
    double typical = mean_quantity(facts, n), log_factor = 0;
    for (size_t i = 0; i < n;) {
        sums job = {0};
        size_t at = facts[i]->job;
        for (; i < n && facts[i]->job == at; i++)
            add_fact(&job, facts[i], facts[i]->quantity / typical, log(facts[i]->value) - origin);
        log_factor += add_job(to, &job, ratio);
    }
    return log_factor;
}

/* Cholesky in place (lower), then its inverse times its transpose; the prior keeps it well away from singular. Returns the log of
 * the determinant. */
static double invert(double a[MODEL_COLUMNS][MODEL_COLUMNS], double inverse[MODEL_COLUMNS][MODEL_COLUMNS]) {
    double log_determinant = 0;
    for (int j = 0; j < MODEL_COLUMNS; j++)
        for (int i = j; i < MODEL_COLUMNS; i++) {
            double sum = a[i][j];
            for (int k = 0; k < j; k++) sum -= a[i][k] * a[j][k];
            a[i][j] = i == j ? sqrt(sum) : sum / a[j][j];
        }
    for (int c = 0; c < MODEL_COLUMNS; c++) {
        double x[MODEL_COLUMNS];
        log_determinant += 2 * log(a[c][c]);
        for (int i = 0; i < MODEL_COLUMNS; i++) {
            double sum = i == c;
            for (int k = 0; k < i; k++) sum -= a[i][k] * x[k];
            x[i] = sum / a[i][i];
        }
        for (int i = MODEL_COLUMNS - 1; i >= 0; i--) {
            double sum = x[i];
            for (int k = i + 1; k < MODEL_COLUMNS; k++) sum -= a[k][i] * x[k];
            x[i] = sum / a[i][i];
        }
        for (int i = 0; i < MODEL_COLUMNS; i++) inverse[i][c] = x[i];
    }
    return log_determinant;
}

static double prior_precision(const model_prior *prior, int column) {
    double sd = (column ? prior->effect_sd : prior->firm_sd) / prior->noise_sd;
    return 1 / (sd * sd);
}

/* The posterior about the origin; returns the log likelihood but for what all ratios share. */
static double fit_part(const model_prior *prior, const learn_fact *const *facts, size_t n, model_part *part) {
    sums all = {0};
    double log_factor = n ? add_all(&all, facts, n, part->origin, part->ratio) : 0, log_prior = 0, taken = 0;
    for (int i = 0; i < MODEL_COLUMNS; i++) {
        double precision = prior_precision(prior, i);
        all.xx[i][i] += precision;
        log_prior += log(precision);
    }
    double log_after = invert(all.xx, part->cover);
    for (int i = 0; i < MODEL_COLUMNS; i++) {
        part->mean[i] = 0;
        for (int j = 0; j < MODEL_COLUMNS; j++) part->mean[i] += part->cover[i][j] * all.xy[j];
        taken += part->mean[i] * all.xy[i];
    }
    double a0 = LEARN_PRIOR_DF / 2, b0 = a0 * prior->noise_sd * prior->noise_sd;
    part->a = a0 + (double)n / 2;
    part->b = b0 + fmax(all.yy - taken, 0) / 2;
    return (log_prior - log_after - log_factor) / 2 - part->a * log(part->b);
}

/* One ratio alone, as a mixture of one. */
static model_posterior alone(const model_part *part) {
    model_posterior one = {.parts = {*part}};
    one.parts[0].weight = 1;
    return one;
}

void model_fit(const model_prior *prior, const learn_fact *const *facts, size_t n, model_posterior *out) {
    double likelihood[MODEL_RATIOS], best = -HUGE_VAL, sum = 0, left = 0;
    *out = (model_posterior){0};
    for (int k = 0; k < MODEL_RATIOS; k++) {
        model_part *part = &out->parts[k];
        part->ratio = model_ratios[k];
        fit_part(prior, NULL, 0,
                 part); /* the prior alone: where must it stand for the rate's middle to be the default? */
        model_posterior before = alone(part);
        part->origin = prior->centre - model_quantile(&before, 0, false, 0.5);
        likelihood[k] = fit_part(prior, facts, n, part);
        best = fmax(best, likelihood[k]);
    }
    for (int k = 0; k < MODEL_RATIOS; k++) sum += exp(likelihood[k] - best);
    for (int k = 0; k < MODEL_RATIOS; k++) {
        out->parts[k].weight = exp(likelihood[k] - best) / sum;
        left += out->parts[k].weight * out->parts[k].cover[0][0];
    }
    out->own = 1 - left * prior_precision(prior, 0);
}

/* ---- what the posterior says of a class or an effect ---- */

typedef struct {
    double middle, cover, lambda; /* middle + lambda s2 + sqrt(cover s2) z */
} combined;

static combined combine(const model_part *p, int column, bool effect) {
    combined c = {p->mean[column], p->cover[column][column], 0};
    if (effect) return c;
    c.lambda = (1 + p->ratio) / 2;
    c.middle = p->origin + p->mean[0];
    c.cover = p->cover[0][0];
    if (column) {
        c.middle += p->mean[column];
        c.cover += p->cover[column][column] + 2 * p->cover[0][column];
    }
    return c;
}

/* Steps of log s2 from where its density is nothing to where it is nothing again: of log s2 the density goes as
 * exp(-a t - b exp(-t)), with a spread of about 1/sqrt(a) round log(b/a). */
static double chance_of_part(const model_part *p, const combined *c, double x) {
    double sum = 0, weights = 0, width = 1 / sqrt(p->a);
    for (int i = 0; i <= STEPS; i++) {
        double t = width * (-8 + 20.0 * i / STEPS), s2 = p->b / p->a * exp(t);
        double weight = exp(-p->a * (t + exp(-t) - 1));
        weights += weight;
        sum += weight * gsl_cdf_ugaussian_P((x - c->middle - c->lambda * s2) / sqrt(c->cover * s2));
    }
    return sum / weights;
}

double model_chance(const model_posterior *of, int column, bool effect, double x) {
    double chance = 0;
    for (int k = 0; k < MODEL_RATIOS; k++) {
        const model_part *p = &of->parts[k];
        if (!(p->weight > 1e-12)) continue; /* changes no figure that is shown */
        combined c = combine(p, column, effect);
        chance += p->weight * chance_of_part(p, &c, x);
    }
    return chance;
}

double model_quantile(const model_posterior *of, int column, bool effect, double p) {
    double low = HUGE_VAL, high = -HUGE_VAL;
    for (int k = 0; k < MODEL_RATIOS; k++) {
        if (!(of->parts[k].weight > 1e-12)) continue;
        combined c = combine(&of->parts[k], column, effect);
        double s2 = of->parts[k].b / of->parts[k].a, reach = 8 * sqrt(c.cover * s2) + 4 * c.lambda * s2;
        low = fmin(low, c.middle - reach);
        high = fmax(high, c.middle + reach);
    }
    for (double step = high - low; model_chance(of, column, effect, low) > p; step *= 2) low -= step;
    for (double step = high - low; model_chance(of, column, effect, high) < p; step *= 2) high += step;
    for (int i = 0; i < HALVINGS && high - low > 1e-10; i++) {
        double middle = low + (high - low) / 2;
        if (model_chance(of, column, effect, middle) < p)
            low = middle;
        else
            high = middle;
    }
    return low + (high - low) / 2;
}
