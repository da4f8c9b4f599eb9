/* watertest_correct.c - evaporation by the pan, rain, and what warming lifted: the levels as a leak alone would leave them. */
#include "accept/watertest_work.h"
#include "hydraulics/water.h"

#include <math.h>

double watertest_rain_until(const watertest_work *w, double hours) {
    const watertest_input *in = w->in;
    const watertest_series *t = &w->tank;
    double first = t->hours[0], last = t->hours[t->n - 1];
    if (!in->rain) return w->rain_total_m * fmin(fmax((hours - first) / (last - first), 0), 1);
    size_t low = 0, high = t->n - 1;
    if (hours <= first) return w->rain_m[t->at[0]];
    if (hours >= last) return w->rain_m[t->at[high]];
    while (high - low > 1) {
        size_t middle = (low + high) / 2;
        if (t->hours[middle] <= hours)
            low = middle;
        else
            high = middle;
    }
    double part = (hours - t->hours[low]) / (t->hours[high] - t->hours[low]);
    return w->rain_m[t->at[low]] + part * (w->rain_m[t->at[high]] - w->rain_m[t->at[low]]);
}

/* ---- pan ---- */

/* What evaporated from the pan in the stretch after its reading k. */
static double stretch_loss(const watertest_work *w, size_t k) {
    const watertest_series *p = &w->pan;
    double rain =
        w->pan_open ? watertest_rain_until(w, p->hours[k + 1]) - watertest_rain_until(w, p->hours[k]) : 0;
    return p->level_m[k] - p->level_m[k + 1] + rain;
}

/* Of the stretches that can be used; 0 where there is none. */
static double mean_rate(const watertest_work *w) {
    double loss = 0, hours = 0;
    for (size_t k = 0; k + 1 < w->pan.n; k++)
        if (w->pan_good[k]) {
            loss += stretch_loss(w, k);
            hours += w->pan.hours[k + 1] - w->pan.hours[k];
        }
    return hours > 0 ? loss / hours : 0;
}

typedef struct {
    double from, to, rate;
    bool good;
} stretch;

/* The stretch that begins at `hours`; before and after the pan's readings at its mean rate. */
static stretch stretch_at(const watertest_work *w, double hours, double mean, size_t *k) {
    const watertest_series *p = &w->pan;
    if (hours < p->hours[0]) return (stretch){hours, p->hours[0], mean, false};
    while (*k + 1 < p->n && p->hours[*k + 1] <= hours) ++*k;
    if (*k + 1 >= p->n) return (stretch){hours, HUGE_VAL, mean, false};
    double wide = p->hours[*k + 1] - p->hours[*k];
    bool good = w->pan_good[*k];
    return (stretch){hours, p->hours[*k + 1], good ? stretch_loss(w, *k) / wide : mean, good};
}

/* Walks the pan's stretches and the tank's readings together. */
static void correct_evaporation(watertest_work *w) {
    double sum = 0, mean = mean_rate(w), now = w->tank.hours[0];
    size_t k = 0;
    w->filled_m = 0;
    for (size_t i = 1; i < w->tank.n; i++) {
        while (now < w->tank.hours[i]) {
            stretch s = stretch_at(w, now, mean, &k);
            double until = fmin(s.to, w->tank.hours[i]), loss = w->in->pan_factor * s.rate * (until - now);
            sum += loss;
            if (!s.good) w->filled_m += fabs(loss);
            now = until;
        }
        w->evaporated_m[i] = sum;
    }
}

/* ---- temperature ---- */

static double density(double celsius) {
    water_properties p;
    return water_at(celsius, &p, NULL) == OK ? p.density_kg_m3
                                             : 1000; /* sorted before: always within range */
}

/* Without readings: at 20 C, where it is larger than in any colder tank. */
static void find_expansion(watertest_work *w) {
    double mean = 0;
    for (size_t i = 0; w->celsius && i < w->tank.n; i++) mean += w->celsius[i] / (double)w->tank.n;
    if (!w->celsius) mean = 20;
    double low = fmax(mean - 0.5, WATER_COLDEST_C), high = fmin(mean + 0.5, WATER_WARMEST_C);
    w->expansion = fabs(density(low) / density(high) - 1) / (high - low);
}

void watertest_correct(watertest_work *w) {
    const watertest_series *t = &w->tank;
    w->evaporated_m = watertest_get(w, t->n, sizeof(double));
    w->lifted_m = watertest_get(w, t->n, sizeof(double));
    w->y_m = watertest_get(w, t->n, sizeof(double));
    if (w->failed) return;
    if (w->pan.n >= 2) correct_evaporation(w);
    find_expansion(w);
    double start = watertest_rain_until(w, t->hours[0]);
    for (size_t i = 0; i < t->n; i++) {
        double rain = watertest_rain_until(w, t->hours[i]) - start;
        if (w->celsius)
            w->lifted_m[i] = w->in->depth_m * (density(w->celsius[0]) / density(w->celsius[i]) - 1);
        w->y_m[i] = t->level_m[i] - rain + w->evaporated_m[i] - w->lifted_m[i];
    }
}
