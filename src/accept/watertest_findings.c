/* watertest_findings.c - what is said about the readings once they are sorted: rises, scatter, what was not told. */
#include "accept/watertest_work.h"
#include "stats/robust.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* Our defaults: a rise is one beyond this many standard uncertainties and at least so much; a reading is far off beyond so many
 * robust standard deviations; more than a fifth far off is no accident. */
static const double RISE_TIMES = 4, RISE_M = 0.001, FAR_TIMES = 5, FAR_M = 0.001;
enum { FAR_SHARE = 5, FAR_LEAST = 6, FAR_MOST = 5000, FINDINGS_MOST = 40, SAID = 900 };

void *watertest_get(watertest_work *w, size_t n, size_t size) {
    void *out = arena_get(w->memory, n, size);
    if (!out) w->failed = true;
    return out;
}

__attribute__((format(printf, 2, 0))) static const char *print_list(watertest_work *w, const char *format,
                                                                    va_list list) {
    char words[SAID];
    vsnprintf(words, sizeof words, format, list);
    const char *copy = arena_copy(w->memory, words);
    if (!copy) w->failed = true;
    return copy ? copy : "";
}

const char *watertest_print(watertest_work *w, const char *format, ...) {
    va_list list;
    va_start(list, format);
    const char *out = print_list(w, format, list);
    va_end(list);
    return out;
}

/* Told once, though two looks find it. */
void watertest_find(watertest_work *w, const char *format, ...) {
    va_list list;
    va_start(list, format);
    const char *words = print_list(w, format, list);
    va_end(list);
    for (size_t i = 0; i < w->out->n_findings; i++)
        if (strcmp(w->out->findings[i], words) == 0) return;
    if (w->out->n_findings >= FINDINGS_MOST) {
        w->n_untold++;
        return;
    }
    const char **more = arena_push(w->memory, w->out->findings, &w->out->n_findings, sizeof *more);
    if (!more) {
        w->failed = true;
        return;
    }
    w->out->findings = more;
    more[w->out->n_findings - 1] = words;
}

const char *watertest_mm(watertest_work *w, double m) {
    char into[UNITS_SHOWN];
    return watertest_print(w, "%s",
                           units_show(UNITS_SIZE, w->in->system, m, w->in->system == UNITS_US ? 3 : 1, into));
}

/* The criterion's unit as it is shown, and in it. */
static double shown_in(const watertest_work *w, double of) {
    units_system s = w->in->system;
    if (w->rule->unit == ALLOWED_MM) return units_from_si(UNITS_SIZE, s, of / 1000);
    if (w->rule->unit != ALLOWED_L_M2) return of;
    return units_from_si(UNITS_VOLUME, s, of / 1000) / units_from_si(UNITS_AREA, s, 1);
}

static const char *unit_of(watertest_work *w) {
    units_system s = w->in->system;
    if (w->rule->unit == ALLOWED_MM) return units_symbol(UNITS_SIZE, s);
    if (w->rule->unit != ALLOWED_L_M2) return "% a day";
    return watertest_print(w, "%s/%s", units_symbol(UNITS_VOLUME, s), units_symbol(UNITS_AREA, s));
}

/* As many decimals as two figures of the uncertainty have. */
static int decimals_of(double uncertainty) {
    return uncertainty > 0 ? (int)fmin(fmax(1 - floor(log10(uncertainty) + 1e-9), 0), 6) : 6;
}

const char *watertest_loss(watertest_work *w) {
    double found = shown_in(w, w->out->found), spread = shown_in(w, w->out->found_uncertainty.v);
    int decimals = decimals_of(spread);
    return watertest_print(w, "%.*f \u00b1 %.*f %s", decimals,
                           fabs(found) < 0.5 * pow(10, -decimals) ? 0 : found, decimals, spread, unit_of(w));
}

const char *watertest_amount(watertest_work *w, double of) {
    return watertest_print(w, "%.3g %s", shown_in(w, of), unit_of(w));
}

/* ---- rises ---- */

static double rain_between(const watertest_work *w, size_t i) {
    if (!w->in->rain) return w->rain_total_m;
    return w->rain_m[w->tank.at[i]] - w->rain_m[w->tank.at[i - 1]];
}

void watertest_find_rise(watertest_work *w) {
    const watertest_series *t = &w->tank;
    double least = fmax(RISE_M, RISE_TIMES * sqrt(2) * WATERTEST_READING_M);
    size_t n = 0;
    if (!w->celsius) least += 2 * WATERTEST_UNREAD_K * w->expansion * w->in->depth_m;
    for (size_t i = 1; i < t->n; i++) {
        double rain = rain_between(w, i), lifted = w->lifted_m[i] - w->lifted_m[i - 1];
        double rise = t->level_m[i] - t->level_m[i - 1] - lifted - rain;
        if (!(rise > least + 2 * WATERTEST_RAIN_PART * rain)) continue;
        w->hides = "the level rose and no rain was told";
        if (n++ < 3)
            watertest_find(w,
                           "the level rose %s more from %g to %g h than rain and warming explain: water was "
                           "added, rain was not told, or the mark moved",
                           watertest_mm(w, rise), t->hours[i - 1], t->hours[i]);
    }
    if (n > 3) watertest_find(w, "the level rose so %zu times in all", n);
}

/* ---- far off ---- */

static void drop_readings(watertest_work *w, const bool *far) {
    watertest_series *t = &w->tank;
    size_t n = 0;
    for (size_t i = 0; i < t->n; i++) {
        if (far[i]) {
            w->aside[t->at[i]] = true;
            w->n_aside++;
            watertest_find(w, "the reading at %g h (%s) lies far off the others and was set aside",
                           t->hours[i], watertest_mm(w, t->level_m[i]));
            continue;
        }
        t->at[n] = t->at[i];
        t->hours[n] = t->hours[i];
        t->level_m[n] = t->level_m[i];
        if (w->celsius) w->celsius[n] = w->celsius[i];
        n++;
    }
    t->n = n;
}

bool watertest_sort_far(watertest_work *w) {
    const watertest_series *t = &w->tank;
    size_t n = t->n, count = 0;
    if (n < FAR_LEAST || n > FAR_MOST || w->ends_only) return false;
    double *x = watertest_get(w, 2 * n, sizeof *x), *y = watertest_get(w, n, sizeof *y),
           *r = watertest_get(w, n, sizeof *r), scale = 0;
    bool *far = watertest_get(w, n, sizeof *far);
    if (w->failed) return false;
    for (size_t i = 0; i < n; i++) {
        x[2 * i] = 1;
        x[2 * i + 1] = (t->hours[i] - t->hours[0]) / (t->hours[n - 1] - t->hours[0]);
        y[i] = w->y_m[i] - w->y_m[0];
    }
    regression_input in = {x, y, n, 2};
    if (robust_residuals(&in, w->memory, r, &scale, NULL) != OK) {
        w->failed = true;
        return false;
    }
    double limit = fmax(FAR_M, FAR_TIMES * fmax(scale, WATERTEST_READING_M));
    for (size_t i = 0; i < n; i++) count += far[i] = fabs(r[i]) > limit;
    if (count == 0) return false;
    if (count > n / FAR_SHARE) {
        watertest_find(w,
                       "%zu of %zu readings lie far off a straight line: the loss did not stay the same, or "
                       "water, rain or evaporation was not told",
                       count, n);
        return false;
    }
    drop_readings(w, far);
    return true;
}

/* ---- what was not told ---- */

static const double CAPACITY_FACTOR = 3; /* our default, that of a job: see survey/check.h */

void watertest_find_untold(watertest_work *w) {
    size_t more = w->n_untold + 1;
    const char *words = watertest_print(w, "and %zu more findings", more);
    if (w->n_untold > 0 && !w->failed)
        w->out->findings[w->out->n_findings - 1] = words; /* in place of the last, which it counts */
}

void watertest_find_missing(watertest_work *w) {
    const watertest_input *in = w->in;
    const watertest_rule *rule = w->rule;
    double hours = w->tank.hours[w->tank.n - 1] - w->tank.hours[0];
    double ratio = in->capacity_m3 / (in->plan_area_m2 * in->depth_m);
    if (!(ratio <= CAPACITY_FACTOR && ratio >= 1 / CAPACITY_FACTOR))
        watertest_find(
            w, "the capacity is %.3g times plan area times depth: see whether litres or units were mixed up",
            ratio);
    if (w->in->n_pan > 0 && w->pan.n < 2)
        watertest_find(w,
                       "fewer than two readings of the pan can be used: nothing is deducted for evaporation");
    else if (rule->evaporation && w->pan.n < 2)
        watertest_find(w, "no pan: where the tank is open to the air, what evaporated counts here as loss");
    if (!w->celsius)
        watertest_find(w,
                       "the water temperature was not read at the start and the end: a change of 1 %s alone "
                       "moves the level %s",
                       in->system == UNITS_US ? "°F" : "°C",
                       watertest_mm(w, in->depth_m * w->expansion / (in->system == UNITS_US ? 1.8 : 1)));
    if (w->ends_only && w->tank.n > 2)
        watertest_find(w, "rain was told only in all: the first and the last reading alone count");
    if (hours < rule->hours_least)
        watertest_find(w, "%s asks for %g h, the readings span %.3g h", rule->name, rule->hours_least, hours);
    if (rule->soak_hours > 0 && !in->soaked_hours.known)
        watertest_find(w, "%s asks that the tank stands full %g h before the first reading: not told",
                       rule->name, rule->soak_hours);
    else if (in->soaked_hours.known && !(in->soaked_hours.v >= rule->soak_hours))
        watertest_find(w, "%s asks that the tank stands full %g h before the first reading: it stood %.3g h",
                       rule->name, rule->soak_hours, in->soaked_hours.v);
}
