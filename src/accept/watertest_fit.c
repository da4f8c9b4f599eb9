/* watertest_fit.c - the slope of the corrected levels, and each part of its uncertainty carried through the weights that the levels
 * have in it. */
#include "accept/watertest_work.h"
#include "stats/robust.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

/* Two-sided 95.45 %: the quantile of the normal law is 2 (GUM, 6.3.3). */
static const double QUANTILE = 0.97724986805182079;
static const double COMPATIBLE = 0.95; /* our default: of chi-squared, scatter that reading error explains */

/* What is known of the slope by the readings' own scatter. */
typedef struct {
    double se_m_h, freedom;
    bool known, explained; /* explained: no more scatter than the readings have error */
} scatter;

static void weigh_ends(watertest_work *w) {
    const watertest_series *t = &w->tank;
    double hours = t->hours[t->n - 1] - t->hours[0];
    w->weight[0] = -1 / hours;
    w->weight[t->n - 1] = 1 / hours;
    w->loss_m_h = (w->y_m[0] - w->y_m[t->n - 1]) / hours;
    w->start_m = w->y_m[0];
}

static void weigh_line(watertest_work *w) {
    const watertest_series *t = &w->tank;
    double mean = 0, square = 0;
    for (size_t i = 0; i < t->n; i++) mean += t->hours[i] / (double)t->n;
    for (size_t i = 0; i < t->n; i++) square += (t->hours[i] - mean) * (t->hours[i] - mean);
    for (size_t i = 0; i < t->n; i++) w->weight[i] = (t->hours[i] - mean) / square;
}

/* Standard deviation of one corrected level by reading alone. */
static double reading_sd(const watertest_work *w) {
    return WATERTEST_READING_M * (w->pan.n >= 2 ? hypot(1, w->in->pan_factor) : 1);
}

/* Time in steps of the mean distance of readings, seven "days" each: the search for the correlation is by the week. */
static bool fit_line(watertest_work *w, scatter *out) {
    const watertest_series *t = &w->tank;
    size_t n = t->n;
    double *x = watertest_get(w, 2 * n, sizeof *x), *y = watertest_get(w, n, sizeof *y),
           *step = watertest_get(w, n, sizeof *step);
    double span = t->hours[n - 1] - t->hours[0], square = 0;
    if (w->failed) return false;
    for (size_t i = 0; i < n; i++) {
        double part = (t->hours[i] - t->hours[0]) / span;
        x[2 * i] = 1;
        x[2 * i + 1] = part;
        y[i] = w->y_m[i] - w->y_m[0];
        step[i] = 7 * (double)(n - 1) * part;
    }
    regression_input in = {x, y, n, 2};
    correlated_result tied;
    regression_result plain;
    status code = regression_fit(&in, w->memory, &plain, NULL);
    if (code == OK && n >= WATERTEST_SERIES) code = correlated_fit(&in, step, w->memory, &tied, NULL);
    if (code == E_MEMORY) w->failed = true;
    if (code != OK) return false;
    const regression_result *fit = n >= WATERTEST_SERIES ? &tied.fit : &plain;
    for (size_t i = 0; i < n; i++) square += plain.residuals[i] * plain.residuals[i];
    w->start_m = w->y_m[0] + fit->coefficients[0];
    w->loss_m_h = -fit->coefficients[1] / span;
    double sd = reading_sd(w);
    *out = (scatter){fit->standard_errors[1] / span, (double)(n - 2), true,
                     square / (sd * sd) <= gsl_cdf_chisq_Pinv(COMPATIBLE, (double)(n - 2))};
    return true;
}

/* ---- parts ---- */

/* Each reading of the pan stands in several corrected levels, by how it is interpolated. */
static double pan_square(const watertest_work *w) {
    const watertest_series *p = &w->pan, *t = &w->tank;
    double *of = mem_zero(p->n, sizeof *of), sum = 0;
    if (!of) return -1;
    for (size_t i = 0, k = 0; i < t->n; i++) {
        while (k + 2 < p->n && p->hours[k + 1] <= t->hours[i]) k++;
        double part = (t->hours[i] - p->hours[k]) / (p->hours[k + 1] - p->hours[k]);
        part = fmin(fmax(part, 0), 1);
        of[k] += (1 - part) * w->weight[i];
        of[k + 1] += part * w->weight[i];
    }
    for (size_t k = 0; k < p->n; k++) sum += of[k] * of[k];
    mem_free(of);
    return sum * w->in->pan_factor * w->in->pan_factor;
}

static double reading_part(watertest_work *w) {
    double sum = 0;
    for (size_t i = 0; i < w->tank.n; i++) sum += w->weight[i] * w->weight[i];
    if (w->pan.n >= 2) {
        double pan = pan_square(w);
        if (pan < 0) w->failed = true;
        sum += pan;
    }
    return WATERTEST_READING_M * sqrt(sum);
}

/* Rain is in the level, and with the other sign in the evaporation of a pan that stood open. */
static double rain_part(const watertest_work *w) {
    const watertest_series *t = &w->tank;
    double in_pan = w->pan_open && w->pan.n >= 2 ? w->in->pan_factor : 0, all = 0, showers = 0, later = 0;
    double start = watertest_rain_until(w, t->hours[0]);
    for (size_t i = t->n; i-- > 0;) {
        double rain = watertest_rain_until(w, t->hours[i]) - start;
        double fresh = i > 0 ? rain - (watertest_rain_until(w, t->hours[i - 1]) - start) : 0;
        all += w->weight[i] * rain;
        later += w->weight[i];
        if (fresh > 0) showers += later * later;
    }
    if (!w->in->rain && w->rain_total_m > 0) {
        double hours = t->hours[t->n - 1] - t->hours[0];
        showers = 1 / (hours * hours);
    }
    return fabs(1 - in_pan) *
           sqrt(pow(WATERTEST_RAIN_PART * all, 2) + WATERTEST_RAIN_M * WATERTEST_RAIN_M * showers);
}

static void find_parts(watertest_work *w) {
    const watertest_series *t = &w->tank;
    double hours = t->hours[t->n - 1] - t->hours[0], evaporated = 0;
    for (size_t i = 0; i < t->n; i++) evaporated += w->weight[i] * w->evaporated_m[i];
    w->part_m_h[PART_READINGS] = reading_part(w);
    w->part_m_h[PART_PAN_FACTOR] = WATERTEST_PAN_PART * fabs(evaporated);
    w->part_m_h[PART_PAN_FILLED] = WATERTEST_FILLED_PART * w->filled_m / hours;
    w->part_m_h[PART_RAIN] = rain_part(w);
    w->part_m_h[PART_TEMPERATURE] =
        (w->celsius ? WATERTEST_READ_K : WATERTEST_UNREAD_K) * w->expansion * w->in->depth_m / hours;
}

void watertest_fit(watertest_work *w) {
    size_t n = w->tank.n;
    scatter s = {0};
    w->weight = watertest_get(w, n, sizeof(double));
    if (w->failed) return;
    w->fitted = n > 2 && !w->ends_only && fit_line(w, &s);
    if (w->fitted)
        weigh_line(w);
    else
        weigh_ends(w);
    find_parts(w);
    bool scattered = w->fitted && s.se_m_h > w->part_m_h[PART_READINGS];
    if (n < WATERTEST_SERIES && s.explained) scattered = false; /* so few say nothing of their scatter */
    if (scattered) w->part_m_h[PART_READINGS] = s.se_m_h;
    double square = 0;
    for (int i = 0; i < WATERTEST_PARTS; i++) square += w->part_m_h[i] * w->part_m_h[i];
    w->coverage = 2;
    if (scattered && !s.explained) {
        double freedom = s.freedom * pow(square / (s.se_m_h * s.se_m_h), 2);
        w->coverage = gsl_cdf_tdist_Pinv(QUANTILE, fmin(freedom, 1e6));
    }
}
