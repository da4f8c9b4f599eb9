/* watertest_pan.c - which stretches of the pan show evaporation: filled up, bailed out, misread, run dry, at its bottom. */
#include "accept/watertest_work.h"

#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>
#include <math.h>

/* Our defaults. */
static const double JUMP_M = 0.001, STILL_M = 0.00005, STILL_HOURS = 18; /* longer than a night */
static const double SPILT_M = 0.003,
                    FAST = 4;     /* no wind evaporates so many times what is usual, and this on top */
static const double SCATTERS = 5; /* wind on the pan moves no reading further against its neighbours */
static const double SCATTER_MOST_M = 0.0015; /* beyond it the pan was filled up again and again */
enum { SCATTER_READINGS = 6 };               /* fewer do not tell scatter from one filling */

static double pan_rain(const watertest_work *w, size_t k) {
    if (w->in->pan_kind == PAN_COVERED) return 0;
    if (!w->in->rain) return w->rain_total_m;
    return watertest_rain_until(w, w->pan.hours[k + 1]) - watertest_rain_until(w, w->pan.hours[k]);
}

static double median(double *values, size_t n) {
    gsl_sort(values, 1, n);
    return gsl_stats_median_from_sorted_data(values, 1, n);
}

/* What a step of the pan must pass to be no scatter: by how far its readings lie off the line between their neighbours. */
static double least_jump(watertest_work *w) {
    const watertest_series *p = &w->pan;
    if (p->n < SCATTER_READINGS) return JUMP_M;
    double *off = watertest_get(w, p->n, sizeof *off);
    if (w->failed) return JUMP_M;
    for (size_t j = 1; j + 1 < p->n; j++) {
        double part = (p->hours[j] - p->hours[j - 1]) / (p->hours[j + 1] - p->hours[j - 1]);
        double line = p->level_m[j - 1] + part * (p->level_m[j + 1] - p->level_m[j - 1]);
        off[j - 1] = fabs(p->level_m[j] - line);
    }
    double scatter = 1.4826 * median(off, p->n - 2); /* standard deviation of normal errors */
    return fmax(JUMP_M, SCATTERS * fmin(scatter, SCATTER_MOST_M));
}

/* Usual rate of the stretches in which the pan fell. */
static double usual_rate(watertest_work *w) {
    const watertest_series *p = &w->pan;
    double *rate = watertest_get(w, p->n, sizeof *rate);
    size_t n = 0;
    for (size_t k = 0; rate && k + 1 < p->n; k++) {
        double drop = p->level_m[k] - p->level_m[k + 1];
        if (drop > STILL_M) rate[n++] = drop / (p->hours[k + 1] - p->hours[k]);
    }
    return n > 0 ? median(rate, n) : 0;
}

static void find_refills(watertest_work *w, double jump_m) {
    const watertest_series *p = &w->pan;
    for (size_t k = 0; k + 1 < p->n; k++) {
        double rise = p->level_m[k + 1] - p->level_m[k];
        w->pan_good[k] = !(rise > pan_rain(w, k) + jump_m);
        if (!w->pan_good[k])
            watertest_find(
                w, "the pan rose %s from %g to %g h: filled up; its mean rate stands for that stretch",
                watertest_mm(w, rise), p->hours[k], p->hours[k + 1]);
    }
}

/* Fell further than water evaporates; beside a rise it is the way back of a reading that was wrong. */
static void find_spills(watertest_work *w, double jump_m) {
    const watertest_series *p = &w->pan;
    double usual = usual_rate(w);
    for (size_t k = 0; k + 1 < p->n; k++) {
        if (!w->pan_good[k]) continue;
        bool beside = (k > 0 && p->level_m[k] - p->level_m[k - 1] > pan_rain(w, k - 1) + jump_m) ||
                      (k + 2 < p->n && p->level_m[k + 2] - p->level_m[k + 1] > pan_rain(w, k + 1) + jump_m);
        double fell = p->level_m[k] - p->level_m[k + 1];
        double most =
            FAST * usual * (p->hours[k + 1] - p->hours[k]) + (beside ? jump_m : fmax(jump_m, SPILT_M));
        if (!(fell > most)) continue;
        w->pan_good[k] = false;
        watertest_find(
            w,
            "the pan fell %s from %g to %g h, far more than usual: misread, spilt or bailed out; its "
            "mean rate stands for that stretch",
            watertest_mm(w, fell), p->hours[k], p->hours[k + 1]);
    }
}

/* How many stretches after reading k the pan stands still without rain. */
static size_t still_run(const watertest_work *w, size_t k) {
    const watertest_series *p = &w->pan;
    size_t n = 0;
    while (k + n + 1 < p->n && pan_rain(w, k + n) <= 0 &&
           fabs(p->level_m[k + n + 1] - p->level_m[k]) < STILL_M)
        n++;
    return n;
}

/* Drop and hours of the stretches in which it fell. */
static double falling_rate(const watertest_work *w) {
    const watertest_series *p = &w->pan;
    double fell = 0, hours = 0;
    for (size_t k = 0; k + 1 < p->n; k++) {
        double drop = p->level_m[k] - p->level_m[k + 1];
        if (!w->pan_good[k] || !(drop > STILL_M)) continue;
        fell += drop;
        hours += p->hours[k + 1] - p->hours[k];
    }
    return hours > 0 ? fell / hours : 0;
}

/* Still for longer than a night while the other stretches say that water evaporated. */
static void find_still(watertest_work *w) {
    const watertest_series *p = &w->pan;
    double rate = falling_rate(w), dry_from = HUGE_VAL;
    for (size_t k = 0, n; k + 1 < p->n; k += n > 0 ? n : 1) {
        n = still_run(w, k);
        double wide = p->hours[k + n] - p->hours[k];
        if (!(wide >= STILL_HOURS && rate * wide > JUMP_M)) continue;
        for (size_t j = k; j < k + n; j++) w->pan_good[j] = false;
        dry_from = fmin(dry_from, p->hours[k]);
    }
    if (dry_from < HUGE_VAL) {
        w->adds = "the pan stood still";
        watertest_find(w,
                       "the pan looks dry from %g h on: it stood still while water evaporated before or "
                       "after; its mean rate stands "
                       "for that time",
                       dry_from);
    } else if (!(rate > 0) && p->hours[p->n - 1] - p->hours[0] >= 24 && w->in->pan_kind != PAN_OPEN) {
        w->adds = "the pan never fell";
        watertest_find(w, "the pan never fell: dry, under a lid or frozen? Nothing is deducted");
    }
}

/* Level 0 where all levels are counted upwards: from there on evaporation is at least as much as was read. */
static void find_bottom(watertest_work *w) {
    const watertest_series *p = &w->pan;
    size_t bottom = p->n;
    for (size_t k = p->n; k-- > 0;) {
        if (p->level_m[k] < 0) return;
        if (p->level_m[k] <= 0) bottom = k;
    }
    if (bottom == p->n || bottom == 0) return;
    if (p->n > 2)
        w->adds = "the pan stood at 0, perhaps dry"; /* of two, 0 is as likely where counting began */
    watertest_find(
        w, "the pan stood at 0 at %g h: if that is its bottom, more may have evaporated than was read",
        p->hours[bottom]);
}

void watertest_find_pan(watertest_work *w) {
    double jump_m = least_jump(w);
    find_refills(w, jump_m);
    find_spills(w, jump_m);
    find_still(w);
    find_bottom(w);
}
