#include "diagnose/movement.h"

#include "diagnose/phrase.h"
#include "stats/robust.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <string.h>

enum { TERMS = 3 };
static const double CUT =
    4.0; /* robust standard deviations to be set aside: our default, 1 of 16,000 good ones */
/* Readings alike to half a division of 0.01 mm tell nothing of their error; off is then what a good reading to 0.1 mm (BRE
 * Digest 343) cannot be. */
static const double SCALE_LEAST_M = 5e-6, OFF_LEAST_M = 0.1e-3;
static const double AIR_REACH_DAYS = 1.0;
static const int MONTHS_MOST = 60;
static const double MONTH_DAYS = 365.0 / 12;

const char *const movement_wall_words[] = {"delay", "first order"};
const char *const movement_method_words[] = {"robust", "ols"};
const char *const movement_verdict_words[] = {"still", "cyclic", "growing", "closing", "undecided"};

typedef struct {
    const movement_input *in;
    arena *memory;
    movement_result *out;
    double *x, *y, *day; /* rows kept */
    movement_air *wall;  /* smoothed air */
    size_t n;
    fault *why;
} fitting;

static status warn(fitting *f, const char *sentence) {
    const char **list = arena_push(f->memory, f->out->warnings, &f->out->n_warnings, sizeof *list);
    if (!list || !sentence) return fault_memory(f->why);
    f->out->warnings = list;
    list[f->out->n_warnings - 1] = sentence;
    return OK;
}

/* ---- temperature ---- */

/* Straight between the points of a series; beyond its ends the end holds (checked to be near). */
static double at_day(const movement_air *air, size_t n, double day) {
    size_t low = 0, high = n - 1;
    if (day <= air[0].day) return air[0].temperature_c;
    if (day >= air[high].day) return air[high].temperature_c;
    while (high - low > 1) {
        size_t middle = (low + high) / 2;
        if (air[middle].day <= day)
            low = middle;
        else
            high = middle;
    }
    double part = (day - air[low].day) / (air[high].day - air[low].day);
    return air[low].temperature_c * (1 - part) + air[high].temperature_c * part;
}

/* The wall as a first-order lag of the air, in f->wall: exact for air that goes in steps. */
static void follow_air(fitting *f, double lag_days) {
    const movement_air *air = f->in->air;
    double state = air[0].temperature_c, gap = 0, step = lag_days > 0 ? 0 : 1;
    for (size_t i = 0; i < f->in->n_air; i++) {
        double here = i > 0 ? air[i].day - air[i - 1].day : 0;
        if (here != gap && lag_days > 0) step = 1 - exp(-here / lag_days); /* most gaps are alike: a day */
        gap = here;
        state += (air[i].temperature_c - state) * step;
        f->wall[i] = (movement_air){air[i].day, state};
    }
}

static void set_temperatures(fitting *f, movement_wall wall, double lag_days) {
    const movement_input *in = f->in;
    double *into = f->out->temperature_c;
    if (wall == MOVEMENT_FOLLOW) follow_air(f, lag_days);
    for (size_t i = 0; i < in->n; i++)
        into[i] = in->n_air == 0            ? in->readings[i].temperature_c
                  : wall == MOVEMENT_FOLLOW ? at_day(f->wall, in->n_air, in->readings[i].day)
                                            : at_day(in->air, in->n_air, in->readings[i].day - lag_days);
}

/* ---- rows ---- */

static void fill_rows(fitting *f) {
    f->n = 0;
    for (size_t i = 0; i < f->in->n; i++) {
        if (f->out->aside[i]) continue;
        double *row = f->x + TERMS * f->n;
        row[0] = 1;
        row[1] = f->out->temperature_c[i] - f->in->reference_c;
        row[2] = f->in->readings[i].day;
        f->y[f->n] = f->in->readings[i].width_m;
        f->day[f->n++] = f->in->readings[i].day;
    }
}

static regression_input rows_of(const fitting *f) {
    return (regression_input){f->x, f->y, f->n, TERMS};
}

/* ---- checks ---- */

static status check_days(const movement_input *in, fault *why) {
    for (size_t i = 1; i < in->n; i++)
        if (!(in->readings[i].day > in->readings[i - 1].day))
            return fault_set(why, E_INPUT, "readings[%zu].day is %g after %g; days must rise", i,
                             in->readings[i].day, in->readings[i - 1].day);
    for (size_t i = 1; i < in->n_air; i++)
        if (!(in->air[i].day > in->air[i - 1].day))
            return fault_set(why, E_INPUT, "air[%zu].day is %g after %g; days must rise", i, in->air[i].day,
                             in->air[i - 1].day);
    return OK;
}

/* How far back the air series lets the lag go; the last reading must lie within it. */
static status check_air(const movement_input *in, double *lag_most, fault *why) {
    *lag_most = 0;
    if (in->n_air == 0 || in->n == 0) return OK;
    double first = in->readings[0].day, last = in->readings[in->n - 1].day;
    double least = in->lag_days.known ? in->lag_days.v : 0;
    if (!(in->air[0].day <= first - least + AIR_REACH_DAYS &&
          in->air[in->n_air - 1].day >= last - least - AIR_REACH_DAYS))
        return fault_set(why, E_INPUT,
                         "air runs from day %g to %g; with the lag of %g days it must cover day %g to %g",
                         in->air[0].day, in->air[in->n_air - 1].day, least, first - least, last - least);
    *lag_most = floor(first + AIR_REACH_DAYS - in->air[0].day);
    return OK;
}

/* ---- lag ---- */

/* Trimmed sum of squares with this lag; HUGE_VAL where it cannot be fitted. */
static status try_lag(fitting *f, movement_wall wall, double lag_days, double *sum) {
    arena *room = arena_new();
    if (!room) return fault_memory(f->why);
    set_temperatures(f, wall, lag_days);
    fill_rows(f);
    regression_input rows = rows_of(f);
    *sum = robust_trimmed(&rows, room);
    arena_free(room);
    return OK;
}

static status search_lag(fitting *f, double lag_most) {
    double best = HUGE_VAL, sum;
    status code = OK;
    for (int wall = 0; wall < MOVEMENT_WALLS; wall++) {
        double most =
            fmin(MOVEMENT_LAG_MOST, wall == MOVEMENT_FOLLOW ? floor(lag_most / MOVEMENT_WARM_UP) : lag_most);
        for (double lag = wall == MOVEMENT_FOLLOW; code == OK && lag <= most; lag++) {
            code = try_lag(f, (movement_wall)wall, lag, &sum);
            if (code != OK || !(sum < best * (1 - 1e-9))) continue;
            best = sum;
            f->out->lag_days = lag;
            f->out->wall = (movement_wall)wall;
        }
    }
    return code;
}

static status choose_lag(fitting *f, double lag_most) {
    const movement_input *in = f->in;
    f->out->lag_days = in->lag_days.known ? in->lag_days.v : 0;
    f->out->lag_searched = !in->lag_days.known && in->n_air > 0;
    status code = f->out->lag_searched ? search_lag(f, lag_most) : OK;
    set_temperatures(f, f->out->wall, f->out->lag_days);
    fill_rows(f);
    return code;
}

/* ---- fit ---- */

/* Readings far off the others are left out, told, and never more than a fifth of them. */
static status set_aside(fitting *f) {
    double scale = 0;
    regression_input rows = rows_of(f);
    double *off = arena_get(f->memory, f->in->n, sizeof *off);
    if (!off) return fault_memory(f->why);
    status code = robust_residuals(&rows, f->memory, off, &scale, f->why);
    if (code != OK) return code;
    double cut = scale < SCALE_LEAST_M ? OFF_LEAST_M : CUT * scale;
    size_t count = 0;
    for (size_t i = 0; i < f->in->n; i++) count += fabs(off[i]) > cut;
    if (count == 0) return OK;
    if (count * 5 > f->in->n)
        return warn(
            f, arena_print(f->memory,
                           "%zu of %zu readings lie off the others: that is no bad reading; all are kept",
                           count, f->in->n));
    for (size_t i = 0; i < f->in->n; i++) f->out->aside[i] = fabs(off[i]) > cut;
    f->out->n_aside = count;
    fill_rows(f);
    const phrase p = {f->memory, f->in->system};
    return warn(f, arena_print(f->memory, "%zu reading%s more than %s off the others, set aside", count,
                               count == 1 ? " lies" : "s lie", phrase_width(&p, cut)));
}

static double r_squared(const fitting *f, const double *b) {
    double mean = 0, rest = 0, all = 0;
    for (size_t i = 0; i < f->n; i++) mean += f->y[i] / (double)f->n;
    for (size_t i = 0; i < f->n; i++) {
        const double *x = f->x + TERMS * i;
        double r = f->y[i] - x[0] * b[0] - x[1] * b[1] - x[2] * b[2];
        rest += r * r;
        all += (f->y[i] - mean) * (f->y[i] - mean);
    }
    return all > 0 ? 1 - rest / all : 0;
}

static void take(fitting *f, const regression_result *fit) {
    movement_result *out = f->out;
    const double *b = fit->coefficients, *se = fit->standard_errors;
    out->width_m = b[0];
    out->per_kelvin_m = b[1];
    out->per_year_m = b[2] * MOVEMENT_YEAR_DAYS;
    out->width_se_m = se[0];
    out->per_kelvin_se_m = se[1];
    out->per_year_se_m = se[2] * MOVEMENT_YEAR_DAYS;
    out->residual_sd_m = fit->residual_sd;
    out->r_squared = r_squared(f, b);
    out->fitted = true;
}

static status fit_rows(fitting *f) {
    regression_input rows = rows_of(f);
    if (f->in->method == MOVEMENT_OLS) {
        regression_result fit;
        status code = regression_fit(&rows, f->memory, &fit, f->why);
        if (code != OK) return code;
        take(f, &fit);
        return correlated_covariance(f->x, f->day, f->n, TERMS, 0, fit.residual_sd, f->out->covariance)
                   ? OK
                   : fault_memory(f->why);
    }
    correlated_result fit;
    status code = correlated_fit(&rows, f->day, f->memory, &fit, f->why);
    if (code != OK) return code;
    take(f, &fit.fit);
    f->out->correlation_week = fit.correlation_week;
    memcpy(f->out->covariance, fit.covariance, sizeof f->out->covariance);
    return OK;
}

/* ---- what more readings would bring ---- */

/* Temperature of a coming day: that of the same day in a year on record, else the mean. */
static double coming_temperature(const fitting *f, double day) {
    const movement_input *in = f->in;
    const double *t = f->out->temperature_c;
    double back = day, mean = 0;
    while (back > in->readings[in->n - 1].day) back -= MOVEMENT_YEAR_DAYS;
    for (size_t i = 0; i < in->n; i++) mean += t[i] / (double)in->n;
    if (back < in->readings[0].day) return mean;
    size_t i = 1;
    while (i + 1 < in->n && in->readings[i].day < back) i++;
    double part = (back - in->readings[i - 1].day) / (in->readings[i].day - in->readings[i - 1].day);
    return t[i - 1] * (1 - part) + t[i] * part;
}

/* Standard error of the drift a year with `more` readings at the present spacing. */
static double later_se(const fitting *f, size_t more, double gap_days, double *x, double *day) {
    double covariance[TERMS * TERMS];
    memcpy(x, f->x, f->n * TERMS * sizeof *x);
    memcpy(day, f->day, f->n * sizeof *day);
    for (size_t i = 0; i < more; i++) {
        double at = f->day[f->n - 1] + gap_days * (double)(i + 1), *row = x + TERMS * (f->n + i);
        day[f->n + i] = at;
        row[0] = 1;
        row[1] = coming_temperature(f, at) - f->in->reference_c;
        row[2] = at;
    }
    if (!correlated_covariance(x, day, f->n + more, TERMS, f->out->correlation_week, f->out->residual_sd_m,
                               covariance))
        return HUGE_VAL;
    return sqrt(covariance[8]) * MOVEMENT_YEAR_DAYS;
}

/* The first month after which drift and error, both as found now, would decide. */
static status find_months(fitting *f) {
    movement_result *out = f->out;
    double span = f->day[f->n - 1] - f->day[0], gap = span / (double)(f->n - 1),
           drift = fabs(out->per_year_m);
    size_t most = (size_t)(MONTHS_MOST * MONTH_DAYS / gap) + 2;
    double *x = arena_get(f->memory, (f->n + most) * TERMS, sizeof *x),
           *day = arena_get(f->memory, f->n + most, sizeof *day);
    if (!x || !day) return fault_memory(f->why);
    for (int month = 1; month <= MONTHS_MOST; month++) {
        size_t more =
            (size_t)floor(month * MONTH_DAYS / gap + 0.05); /* months are not alike: a day late counts */
        if (more == 0 || span + (double)more * gap < MOVEMENT_SPAN_DAYS || f->n + more < MOVEMENT_LEAST)
            continue;
        double t = gsl_cdf_tdist_Pinv(0.5 + f->in->confidence / 2, (double)(f->n + more - TERMS));
        double reach = t * later_se(f, more, gap, x, day);
        bool still = drift + reach <= MOVEMENT_LIMIT_M_YEAR,
             moving = drift > fmax(MOVEMENT_LIMIT_M_YEAR, reach);
        if (!still && !moving) continue;
        out->months_more = (maybe){true, month};
        break;
    }
    return OK;
}

/* ---- verdict ---- */

static status say(fitting *f, movement_verdict verdict, const char *rule) {
    f->out->verdict = verdict;
    f->out->rule = rule;
    if (!rule) return fault_memory(f->why);
    return verdict == MOVEMENT_UNDECIDED && f->out->fitted ? find_months(f) : OK;
}

static status judge(fitting *f) {
    movement_result *out = f->out;
    const phrase p = {f->memory, f->in->system};
    const double limit = MOVEMENT_LIMIT_M_YEAR, reach = out->t * out->per_year_se_m;
    const char *drift = phrase_signed_width(&p, out->per_year_m), *most = phrase_limit(&p, limit);
    double span = f->day[f->n - 1] - f->day[0];
    out->season = f->n >= MOVEMENT_LEAST && span >= MOVEMENT_SPAN_DAYS;
    if (!out->season)
        return say(f, MOVEMENT_UNDECIDED,
                   arena_print(f->memory,
                               "%zu readings over %.0f days: a season needs %d readings over %.0f days; so "
                               "far %s a year beside the temperature",
                               f->n, span, (int)MOVEMENT_LEAST, MOVEMENT_SPAN_DAYS, drift));
    if (fabs(out->per_year_m) > fmax(limit, reach))
        return say(f, out->per_year_m > 0 ? MOVEMENT_GROWING : MOVEMENT_CLOSING,
                   arena_print(f->memory,
                               "%s a year beside the temperature: more than %s a year and more than its "
                               "error, %s",
                               drift, most, phrase_width(&p, reach)));
    if (fabs(out->per_year_m) + reach > limit)
        return say(f, MOVEMENT_UNDECIDED,
                   arena_print(f->memory, "%s a year, give or take %s: more than %s a year is not ruled out",
                               drift, phrase_width(&p, reach), most));
    if (out->cyclic_range_m > MOVEMENT_CYCLE_M)
        return say(f, MOVEMENT_CYCLIC,
                   arena_print(f->memory,
                               "opens and closes by %s with the temperature, more than %s; no drift beyond "
                               "%s a year",
                               phrase_width(&p, out->cyclic_range_m), phrase_limit(&p, MOVEMENT_CYCLE_M),
                               most));
    return say(f, MOVEMENT_STILL,
               arena_print(f->memory,
                           "neither drift beyond %s a year nor %s of movement with the temperature", most,
                           phrase_limit(&p, MOVEMENT_CYCLE_M)));
}

static void find_range(fitting *f) {
    movement_result *out = f->out;
    out->lowest_c = HUGE_VAL;
    out->highest_c = -HUGE_VAL;
    for (size_t i = 0; i < f->n; i++) {
        double t = f->x[TERMS * i + 1] + f->in->reference_c;
        out->lowest_c = fmin(out->lowest_c, t);
        out->highest_c = fmax(out->highest_c, t);
    }
    out->cyclic_range_m = fabs(out->per_kelvin_m) * (out->highest_c - out->lowest_c);
}

static double fitted_at(const fitting *f, const double *x) {
    const movement_result *out = f->out;
    return out->width_m * x[0] + out->per_kelvin_m * x[1] + out->per_year_m / MOVEMENT_YEAR_DAYS * x[2];
}

/* What the readings went apart by, however it came, less t times the error of that difference. */
static void find_seen(fitting *f) {
    size_t low = 0, high = 0;
    double apart[TERMS], variance = 0;
    for (size_t i = 1; i < f->n; i++) {
        double here = fitted_at(f, f->x + TERMS * i);
        if (here < fitted_at(f, f->x + TERMS * low)) low = i;
        if (here > fitted_at(f, f->x + TERMS * high)) high = i;
    }
    for (int k = 0; k < TERMS; k++) apart[k] = f->x[TERMS * high + (size_t)k] - f->x[TERMS * low + (size_t)k];
    for (int i = 0; i < TERMS; i++)
        for (int j = 0; j < TERMS; j++) variance += apart[i] * apart[j] * f->out->covariance[TERMS * i + j];
    f->out->seen_m = fmax(fitted_at(f, apart) - f->out->t * sqrt(fmax(variance, 0)), 0);
}

static status make_room(fitting *f) {
    size_t n = f->in->n;
    f->out->aside = arena_get(f->memory, n, sizeof *f->out->aside);
    f->out->temperature_c = arena_get(f->memory, n, sizeof(double));
    f->x = arena_get(f->memory, n * TERMS, sizeof(double));
    f->y = arena_get(f->memory, n, sizeof(double));
    f->day = arena_get(f->memory, n, sizeof(double));
    f->wall = arena_get(f->memory, f->in->n_air, sizeof *f->wall);
    return f->out->aside && f->out->temperature_c && f->x && f->y && f->day && f->wall ? OK
                                                                                       : fault_memory(f->why);
}

static status run(fitting *f) {
    double lag_most = 0;
    status code = check_days(f->in, f->why);
    if (code == OK) code = check_air(f->in, &lag_most, f->why);
    if (code == OK) code = make_room(f);
    if (code != OK) return code;
    if (f->in->n <= TERMS + 1)
        return say(f, MOVEMENT_UNDECIDED,
                   arena_print(f->memory, "%zu reading%s: at least %d are needed to fit", f->in->n,
                               f->in->n == 1 ? "" : "s", TERMS + 2));
    code = choose_lag(f, lag_most);
    if (code == OK && f->in->method == MOVEMENT_ROBUST) code = set_aside(f);
    if (code == OK) code = fit_rows(f);
    if (code == E_INPUT) /* the columns depend on each other */
        return say(f, MOVEMENT_UNDECIDED,
                   "the temperature was the same at all readings, or rose in step with time: movement and "
                   "growth cannot be told apart");
    if (code != OK) return code;
    find_range(f);
    f->out->t = gsl_cdf_tdist_Pinv(0.5 + f->in->confidence / 2, (double)(f->n - TERMS));
    find_seen(f);
    return judge(f);
}

status movement_fit(const movement_input *in, arena *memory, movement_result *out, fault *why) {
    *out = (movement_result){0};
    fitting f = {.in = in, .memory = memory, .out = out, .why = why};
    status code = run(&f);
    if (code != OK) *out = (movement_result){0};
    return code;
}

movement_expected movement_at(const movement_input *in, const movement_result *fit, double day,
                              double temperature_c) {
    const double x[TERMS] = {1, temperature_c - in->reference_c, day};
    double variance = fit->residual_sd_m * fit->residual_sd_m;
    for (int i = 0; i < TERMS; i++)
        for (int j = 0; j < TERMS; j++) variance += x[i] * x[j] * fit->covariance[TERMS * i + j];
    return (movement_expected){fit->width_m + fit->per_kelvin_m * x[1] +
                                   fit->per_year_m / MOVEMENT_YEAR_DAYS * day,
                               fit->t * sqrt(variance)};
}
