/* movement_study WEATHER.epw [WALLS] - how often is a still crack called growing, and a growing one growing?
 *
 * Synthetic walls, labelled so: the air of a typical year (EPW, repeated, scaled so that its season has an amplitude of 8 K),
 * a wall that follows it either so many days later or as a first-order delay, a crack that follows the wall, a gauge read once
 * a week for 18 months with errors of 0.03 mm that hang together by 0.3 a week. Beside it: the plain straight line through
 * the same readings, the same limit. The first day lies anywhere in the year.
 * Prints a table with its seed. */
#include "core/file.h"
#include "core/mem.h"
#include "diagnose/movement.h"
#include "stats/regression.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double PI = 3.14159265358979323846;
enum { YEAR = 365, DAYS = 4 * YEAR, WEEKS = 78, START = YEAR };
static const double ERROR_M = 0.03e-3, WEEK = 0.3, AMPLITUDE_K = 8, BETA_M_K = -0.012e-3;

typedef struct {
    double daily_c[YEAR]; /* of the EPW, season scaled */
    movement_air air[DAYS];
} weather;

/* Daily means of column 7 (dry bulb) of an EPW's 8,760 rows after 8 lines of heading; amplitude of the first harmonic to 8 K. */
static void read_weather(const char *path, weather *w) {
    char *bytes = NULL;
    size_t length;
    fault why;
    if (file_read(path, &bytes, &length, &why) != OK) {
        fprintf(stderr, "%s\n", why.text);
        exit(2);
    }
    char *line = bytes;
    for (int i = 0; i < 8; i++) line = strchr(line, '\n') + 1;
    double mean = 0, c = 0, s = 0;
    for (int hour = 0; hour < 24 * YEAR; hour++, line = strchr(line, '\n') + 1) {
        char *at = line;
        for (int k = 0; k < 6; k++) at = strchr(at, ',') + 1;
        w->daily_c[hour / 24] += strtod(at, NULL) / 24;
    }
    mem_free(bytes);
    for (int d = 0; d < YEAR; d++) mean += w->daily_c[d] / YEAR;
    for (int d = 0; d < YEAR; d++) {
        c += w->daily_c[d] * cos(2 * PI * d / YEAR) * 2 / YEAR;
        s += w->daily_c[d] * sin(2 * PI * d / YEAR) * 2 / YEAR;
    }
    double scale = AMPLITUDE_K / hypot(c, s);
    for (int d = 0; d < YEAR; d++) w->daily_c[d] = mean + (w->daily_c[d] - mean) * scale;
    for (int d = 0; d < DAYS; d++) w->air[d] = (movement_air){d - START, w->daily_c[d % YEAR]};
}

typedef enum { WALL_NONE, WALL_DELAY, WALL_FOLLOW, WALLS } wall_kind;
static const char *const wall_words[] = {"as the air", "10 days later", "first order, 10 days"};

/* Temperature of the wall on each day. */
static void make_wall(const weather *w, wall_kind kind, double *wall) {
    double state = w->air[0].temperature_c;
    for (int d = 0; d < DAYS; d++) {
        state += (w->air[d].temperature_c - state) / 10;
        wall[d] =
            kind == WALL_FOLLOW ? state : w->air[kind == WALL_DELAY && d >= 10 ? d - 10 : d].temperature_c;
    }
}

typedef struct {
    double width_m, beta, drift_m_year;
    bool bad; /* one reading 1 mm off */
} crack;

static void read_gauge(const double *wall, crack k, gsl_rng *r, movement_reading *out) {
    double e = gsl_ran_gaussian(r, ERROR_M);
    int first = (int)gsl_rng_uniform_int(r, YEAR);
    for (int i = 0; i < WEEKS; i++) {
        int day = first + 7 * i;
        if (i > 0) e = WEEK * e + gsl_ran_gaussian(r, ERROR_M * sqrt(1 - WEEK * WEEK));
        out[i] = (movement_reading){
            day, 0, k.width_m + k.beta * (wall[START + day] - 13) + k.drift_m_year * (day - first) / 365 + e};
    }
    if (k.bad) out[gsl_rng_uniform_int(r, WEEKS)].width_m += 1e-3;
}

/* The plain line: growing when its slope is above the limit and twice its error, as one would by hand. */
static bool line_grows(const movement_reading *readings) {
    double x[2 * WEEKS], y[WEEKS];
    regression_result fit;
    arena *memory = arena_new();
    for (int i = 0; i < WEEKS; i++) {
        x[2 * i] = 1;
        x[2 * i + 1] = readings[i].day / 365;
        y[i] = readings[i].width_m;
    }
    regression_input in = {x, y, WEEKS, 2};
    bool grows = regression_fit(&in, memory, &fit, NULL) == OK &&
                 fit.coefficients[1] > fmax(MOVEMENT_LIMIT_M_YEAR, 2 * fit.standard_errors[1]);
    arena_free(memory);
    return grows;
}

typedef struct {
    int n, verdicts[MOVEMENT_VERDICTS], line, covered;
    double se, spread, mean;
} tally;

static void one(const weather *w, const movement_reading *readings, double drift, tally *t) {
    movement_input in = {.readings = readings,
                         .n = WEEKS,
                         .air = w->air,
                         .n_air = DAYS,
                         .reference_c = MOVEMENT_REFERENCE_C,
                         .confidence = MOVEMENT_CONFIDENCE,
                         .method = MOVEMENT_ROBUST};
    movement_result out;
    fault why;
    arena *memory = arena_new();
    if (movement_fit(&in, memory, &out, &why) != OK) {
        fprintf(stderr, "%s\n", why.text);
        exit(1);
    }
    t->n++;
    t->verdicts[out.verdict]++;
    t->line += line_grows(readings);
    t->covered += fabs(out.per_year_m - drift) <= out.t * out.per_year_se_m;
    t->se += out.per_year_se_m;
    t->mean += out.per_year_m;
    t->spread += (out.per_year_m - drift) * (out.per_year_m - drift);
    arena_free(memory);
}

int main(int argc, char **argv) {
    static weather w;
    static double wall[DAYS];
    static movement_reading readings[WEEKS];
    if (argc < 2) return fprintf(stderr, "usage: movement_study WEATHER.epw [WALLS]\n"), 2;
    int n = argc > 2 ? atoi(argv[2]) : 1000;
    gsl_set_error_handler_off();
    read_weather(argv[1], &w);
    gsl_rng *r = gsl_rng_alloc(gsl_rng_mt19937);
    printf("%d synthetic cracks a row, seed 1; 78 weekly readings, error 0.03 mm, correlation 0.3 a week, "
           "season 8 K\n",
           n);
    printf("%-22s %-9s %-4s | growing cyclic still undec. | line  | covered  se/spread\n", "wall", "mm/year",
           "bad");
    static const double drifts[] = {0, 0.05e-3, 0.15e-3};
    for (int kind = 0; kind < WALLS; kind++)
        for (size_t d = 0; d < 3; d++)
            for (int bad = 0; bad < 2; bad++) {
                tally t = {0};
                gsl_rng_set(r, 1);
                make_wall(&w, (wall_kind)kind, wall);
                for (int i = 0; i < n; i++) {
                    read_gauge(wall, (crack){0.4e-3, BETA_M_K, drifts[d], bad}, r, readings);
                    one(&w, readings, drifts[d], &t);
                }
                double of = 100.0 / t.n;
                printf("%-22s %-9.2f %-4s | %6.1f%% %5.1f%% %4.1f%% %5.1f%% | %4.1f%% | %6.1f%%  %.2f\n",
                       wall_words[kind], drifts[d] * 1000, bad ? "yes" : "no",
                       of * t.verdicts[MOVEMENT_GROWING], of * t.verdicts[MOVEMENT_CYCLIC],
                       of * t.verdicts[MOVEMENT_STILL], of * t.verdicts[MOVEMENT_UNDECIDED], of * t.line,
                       of * t.covered, t.se / t.n / sqrt(t.spread / t.n));
            }
    gsl_rng_free(r);
    return 0;
}
