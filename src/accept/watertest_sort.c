/* watertest_sort.c - which readings can be used: clock, size, units, temperature, rain, and the stretches of the pan. */
#include "accept/watertest_work.h"
#include "hydraulics/water.h"

#include <gsl/gsl_sort.h>
#include <math.h>
#include <string.h>

/* Our defaults. Factors between units that are taken for one another: mm and in, cm, m; m and ft. */
static const double FACTORS[] = {25.4, 10, 1000, 1 / 0.3048}, FACTOR_NEAR = 0.05, STEP_M = 0.005,
                    STEP_TIMES = 10;
static const double LEVEL_MOST_M = 1000, HOURS_MOST = 1e6, RAIN_MOST_M = 10; /* beyond any tank */
static const double SECOND_H = 1 / 3600.0; /* two readings in one second are one */
static const double KELVIN_FAR = 10;       /* between readings of one test */
enum { FACTOR_COUNT = sizeof FACTORS / sizeof *FACTORS, UNITS_MOST = 8 };

typedef struct {
    const char *what; /* "the reading", "the reading of the pan" */
    const watertest_reading *all;
    size_t n;
    bool *aside; /* NULL: nobody asks */
} source;

static void put_aside(watertest_work *w, const source *s, size_t i, const char *why) {
    if (s->aside) {
        s->aside[i] = true;
        w->n_aside++;
    }
    watertest_find(w, "%s number %zu was set aside: %s", s->what, i + 1, why);
}

/* ---- clock: the longest run of rising hours stays ---- */

static bool usable(const watertest_reading *r) {
    return fabs(r->hours) <= HOURS_MOST && fabs(r->level_m) <= LEVEL_MOST_M; /* NaN is not */
}

/* Patience sorting: top[k] ends the best rising run of k + 1 readings, before[] leads back. */
static void keep_rising(watertest_work *w, const source *s, watertest_series *out) {
    size_t *top = watertest_get(w, s->n, sizeof *top), *before = watertest_get(w, s->n, sizeof *before),
           n = 0;
    bool *kept = watertest_get(w, s->n, sizeof *kept);
    out->at = watertest_get(w, s->n, sizeof *out->at);
    out->hours = watertest_get(w, s->n, sizeof(double));
    out->level_m = watertest_get(w, s->n, sizeof(double));
    if (w->failed) return;
    for (size_t i = 0; i < s->n; i++) {
        if (!usable(&s->all[i])) continue;
        size_t low = 0, high = n;
        while (low < high) {
            size_t middle = (low + high) / 2;
            if (s->all[top[middle]].hours + SECOND_H <= s->all[i].hours)
                low = middle + 1;
            else
                high = middle;
        }
        if (low < n && !(s->all[i].hours < s->all[top[low]].hours)) continue; /* of equals the first */
        before[i] = low > 0 ? top[low - 1] : s->n;
        top[low] = i;
        if (low == n) n++;
    }
    for (size_t i = n > 0 ? top[n - 1] : s->n; i < s->n; i = before[i]) kept[i] = true;
    for (size_t i = 0; i < s->n; i++) {
        if (kept[i]) {
            out->at[out->n] = i;
            out->hours[out->n] = s->all[i].hours;
            out->level_m[out->n++] = s->all[i].level_m;
        } else
            put_aside(w, s, i,
                      usable(&s->all[i]) ? "the clock ran backwards or stood"
                                         : "its hour or level is no number of a tank");
    }
}

/* ---- units ---- */

/* Which factor lies between two levels so far apart, or 0. */
static double factor_between(double a, double b) {
    if (!(fabs(a - b) > STEP_M)) return 0;
    double ratio = fabs(a) > fabs(b) ? a / b : b / a;
    for (size_t k = 0; k < FACTOR_COUNT; k++)
        if (fabs(ratio / FACTORS[k] - 1) < FACTOR_NEAR) return FACTORS[k];
    return 0;
}

/* The value at a part of the way through the sorted ones. */
static double sorted_at(watertest_work *w, const double *values, size_t n, size_t at) {
    double *sorted = watertest_get(w, n, sizeof *sorted);
    if (!sorted) return 0;
    memcpy(sorted, values, n * sizeof *sorted);
    gsl_sort(sorted, 1, n);
    return sorted[at];
}

/* A unit as a number: 1 as the first reading, then times what lies between. */
typedef struct {
    double unit;
    size_t n;
} unit_count;

static size_t count_unit(unit_count *units, size_t *n, double unit) {
    size_t k = 0;
    while (k < *n && !(fabs(units[k].unit / unit - 1) < 1e-6)) k++;
    if (k == *n && *n < UNITS_MOST) units[(*n)++].unit = unit;
    if (k == UNITS_MOST) return 0;
    units[k].n++;
    return k;
}

/* A step from one unit to another is far larger than steps are, and its ratio is that of the units. The unit of most readings
 * stays. */
static void sort_units(watertest_work *w, const source *s, watertest_series *t) {
    unit_count units[UNITS_MOST] = {{0}};
    size_t n_units = 0, best = 0, n = 0;
    double *step = watertest_get(w, t->n, sizeof *step), now = 1;
    size_t *of = watertest_get(w, t->n, sizeof *of);
    if (w->failed || t->n < 3) return;
    for (size_t i = 1; i < t->n; i++) step[i - 1] = fabs(t->level_m[i] - t->level_m[i - 1]);
    double usual = t->n > 3 ? sorted_at(w, step, t->n - 1, (t->n - 2) / 4) : 0;
    for (size_t i = 0; i < t->n; i++) {
        double factor = i > 0 ? factor_between(t->level_m[i], t->level_m[i - 1]) : 0;
        if (t->n == 3 && factor < 20) factor = 0; /* three levels may well stand as 1 to 10 */
        if (factor > 0 && step[i - 1] > STEP_TIMES * usual)
            now = fabs(t->level_m[i]) > fabs(t->level_m[i - 1]) ? now * factor : now / factor;
        of[i] = count_unit(units, &n_units, now);
    }
    for (size_t k = 1; k < n_units; k++)
        if (units[k].n > units[best].n) best = k;
    for (size_t i = 0; i < t->n; i++) {
        if (of[i] != best) {
            put_aside(w, s, t->at[i],
                      "it stands to the others as one unit to another (mm, cm, in, ft, m): units mixed");
            continue;
        }
        t->at[n] = t->at[i];
        t->hours[n] = t->hours[i];
        t->level_m[n++] = t->level_m[i];
    }
    t->n = n;
}

/* ---- temperature ---- */

static bool warm_enough(const maybe *c) {
    return c->known && c->v >= WATER_COLDEST_C && c->v <= WATER_WARMEST_C;
}

/* Between readings that have none along straight lines; NULL where the first or the last has none. */
static void sort_temperatures(watertest_work *w) {
    const watertest_series *t = &w->tank;
    size_t n = 0, last = 0, odd = 0;
    double *c = watertest_get(w, t->n, sizeof *c), *known = watertest_get(w, t->n, sizeof *known);
    bool *good = watertest_get(w, t->n, sizeof *good);
    if (w->failed || t->n < 2) return;
    for (size_t i = 0; i < t->n; i++) {
        const maybe *m = &w->in->readings[t->at[i]].temperature_c;
        good[i] = warm_enough(m);
        odd += m->known && !good[i];
        if (good[i]) known[n++] = c[i] = m->v;
    }
    double middle = n > 0 ? sorted_at(w, known, n, (n - 1) / 2) : 0;
    for (size_t i = 0; i < t->n; i++)
        if (good[i] && fabs(c[i] - middle) > KELVIN_FAR) {
            good[i] = false;
            odd++;
        }
    if (odd > 0)
        watertest_find(w,
                       "%zu water temperature%s cannot stand beside the others or %s not of water (°F among "
                       "°C?) and %s not used",
                       odd, odd == 1 ? "" : "s", odd == 1 ? "is" : "are", odd == 1 ? "was" : "were");
    if (!good[0] || !good[t->n - 1]) return;
    for (size_t i = 1; i < t->n; i++) {
        if (!good[i]) continue;
        for (size_t k = last + 1; k < i; k++)
            c[k] =
                c[last] + (c[i] - c[last]) * (t->hours[k] - t->hours[last]) / (t->hours[i] - t->hours[last]);
        last = i;
    }
    w->celsius = c;
}

/* ---- rain ---- */

static void sort_rain(watertest_work *w) {
    const watertest_input *in = w->in;
    size_t odd = 0;
    w->rain_m = watertest_get(w, in->n_readings, sizeof(double));
    if (w->failed) return;
    if (!in->rain) {
        bool good = in->rain_m >= 0 && in->rain_m <= RAIN_MOST_M;
        if (!good) watertest_find(w, "the rain told is no amount of rain and counts as none");
        w->rain_total_m = good ? in->rain_m : 0;
        w->ends_only = w->rain_total_m > 0;
        return;
    }
    for (size_t i = 1; i < in->n_readings; i++) {
        bool good = in->rain[i] >= 0 && in->rain[i] <= RAIN_MOST_M;
        odd += !good;
        w->rain_m[i] = w->rain_m[i - 1] + (good ? in->rain[i] : 0);
    }
    if (odd > 0) watertest_find(w, "%zu amounts of rain are no amounts of rain and count as none", odd);
    if (w->tank.n > 0) w->rain_total_m = w->rain_m[w->tank.at[w->tank.n - 1]] - w->rain_m[w->tank.at[0]];
}

/* ---- all of it ---- */

static void sort_pan(watertest_work *w) {
    const watertest_input *in = w->in;
    source s = {"the reading of the pan", in->pan, in->n_pan, NULL};
    if (in->n_pan == 0) return;
    keep_rising(w, &s, &w->pan);
    if (!w->failed) sort_units(w, &s, &w->pan);
    w->pan_good = watertest_get(w, w->pan.n + 1, sizeof(bool));
    if (w->failed || w->pan.n < 2 || w->tank.n < 2) return;
    watertest_find_pan(w);
    double first = w->tank.hours[0], last = w->tank.hours[w->tank.n - 1], slack = 0.02 * (last - first);
    if (w->pan.hours[0] > first + slack || w->pan.hours[w->pan.n - 1] < last - slack)
        watertest_find(w,
                       "the pan was read from %g to %g h, the tank from %g to %g h: the mean rate of the pan "
                       "stands for the rest",
                       w->pan.hours[0], w->pan.hours[w->pan.n - 1], first, last);
    bool any = false;
    for (size_t k = 0; k + 1 < w->pan.n; k++) any = any || w->pan_good[k];
    if (any) return;
    w->adds = "no stretch of the pan can be used";
    watertest_find(w, "no stretch of the pan can be used: nothing is deducted for evaporation");
}

void watertest_sort(watertest_work *w) {
    const watertest_input *in = w->in;
    w->aside = watertest_get(w, in->n_readings, sizeof(bool));
    source s = {"the reading", in->readings, in->n_readings, w->aside};
    if (w->failed) return;
    keep_rising(w, &s, &w->tank);
    if (!w->failed) sort_units(w, &s, &w->tank);
    if (w->failed) return;
    const watertest_series *t = &w->tank;
    double factor = t->n == 2 ? factor_between(t->level_m[0], t->level_m[1]) : 0;
    w->units_doubted = factor > 20; /* 1 to 10, or to 3.28, may be the leak */
    if (w->units_doubted)
        watertest_find(w, "the two readings stand to each other as one unit to another: units mixed");
    sort_temperatures(w);
    sort_rain(w);
    sort_pan(w);
}
