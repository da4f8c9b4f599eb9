/* How often a verdict on a tank is right: synthetic tanks that leak from nothing to three times the limit, under a real year's air,
 * beside what is done by hand, the difference of the first and the last level against the limit.
 *
 * Invented: a tank of 10 x 5 x 4 m under AWWA D110; 2 to 5 readings of tank and pan a test of 72 h; its water follows the air with a
 * first-order lag of 5 days, one thermometer 0.1 K off the mean of the water at each reading; evaporation by the want of vapour in
 * the air and the wind, 1 to 5 mm a day; a pan that evaporates 5 % (standard deviation) more or less than is told, read to 0.2 mm as
 * the tank is; showers, two in three days, of 4 mm on average, the gauge 5 % off; pan under a roof.
 *
 * usage: watertest_study WEATHER.epw [TANKS] */
#include "accept/watertest.h"
#include "core/file.h"
#include "hydraulics/water.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { HOURS = 8760, LENGTH = 72, READINGS = 73, SEED = 1 };
static const double AREA_M2 = 50, CAPACITY_M3 = 200, DEPTH_M = 4, LIMIT_PERCENT = 0.05;
static const double READING_M = 0.2e-3, PAN_SD = 0.05, GAUGE_SD = 0.05, THERMOMETER_K = 0.1, LAG_H = 120;
static const double SHOWERS_AN_HOUR = 2.0 / 72, SHOWER_M = 4e-3;

typedef struct {
    double water_c[2 * HOURS], evaporation_m[2 * HOURS]; /* an hour each; the year twice */
} weather;

static double column(const char *line, int n) {
    for (int k = 1; k < n; k++) line = strchr(line, ',') + 1;
    return strtod(line, NULL);
}

/* Saturation by Magnus (value from memory); 0.012 mm an hour and hPa in still air, a half more at 3 m/s: invented. */
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
    for (int h = 0; h < HOURS; h++, line = strchr(line, '\n') + 1) {
        double air = column(line, 7), wet = column(line, 9) / 100, wind = column(line, 22);
        w->water_c[h] = w->water_c[h + HOURS] = air;
        double want = 6.112 * exp(17.62 * air / (243.12 + air)) * (1 - fmin(wet, 1));
        w->evaporation_m[h] = w->evaporation_m[h + HOURS] = 1e-3 * 0.012 * want * (1 + wind / 6);
    }
    mem_free(bytes);
    double water = w->water_c[0];
    for (int h = 0; h < 2 * HOURS; h++) {
        water += (fmax(w->water_c[h], 1) - water) / LAG_H;
        w->water_c[h] = water;
    }
}

typedef struct {
    watertest_reading tank[READINGS], pan[READINGS];
    double rain[READINGS];
    size_t n;
} readings;

static double density(double celsius) {
    water_properties p;
    if (water_at(celsius, &p, NULL) != OK) abort();
    return p.density_kg_m3;
}

static void make(const weather *w, gsl_rng *r, double leak_percent, int step, readings *out) {
    int first = HOURS / 2 + (int)gsl_rng_uniform_int(r, HOURS);
    double level = 1, pan = 0.3, fresh = 0, leak = leak_percent / 100 * CAPACITY_M3 / AREA_M2 / 24;
    double factor = 1 + gsl_ran_gaussian(r, PAN_SD), gauge = 1 + gsl_ran_gaussian(r, GAUGE_SD);
    out->n = 0;
    for (int h = 0; h <= LENGTH; h++) {
        if (h % step == 0) {
            double celsius = w->water_c[first + h],
                   lift = DEPTH_M * (density(w->water_c[first]) / density(celsius) - 1);
            double read_c = fmax(celsius + gsl_ran_gaussian(r, THERMOMETER_K), 0);
            out->rain[out->n] = fmax(fresh * gauge, 0);
            out->tank[out->n] =
                (watertest_reading){h, level + lift + gsl_ran_gaussian(r, READING_M), {true, read_c}};
            out->pan[out->n++] = (watertest_reading){h, pan + gsl_ran_gaussian(r, READING_M), {0}};
            fresh = 0;
        }
        double rain = gsl_rng_uniform(r) < SHOWERS_AN_HOUR ? gsl_ran_exponential(r, SHOWER_M) : 0;
        level += rain - leak - w->evaporation_m[first + h];
        pan -= w->evaporation_m[first + h] / factor;
        fresh += rain;
    }
}

typedef struct {
    int n, verdicts[WATERTEST_VERDICTS], bare, with_pan, covered;
    double spread;
} tally;

static void one(const readings *set, double leak_percent, tally *t) {
    watertest_input in = {.capacity_m3 = CAPACITY_M3,
                          .plan_area_m2 = AREA_M2,
                          .depth_m = DEPTH_M,
                          .readings = set->tank,
                          .n_readings = set->n,
                          .pan = set->pan,
                          .n_pan = set->n,
                          .pan_factor = 1,
                          .pan_kind = PAN_COVERED,
                          .rain = set->rain,
                          .criterion = CRITERION_AWWA_D110,
                          .soaked_hours = {true, 24}};
    watertest_result out;
    fault why;
    arena *memory = arena_new();
    if (!memory || watertest_judge(&in, memory, &out, &why) != OK) exit(1);
    size_t last = set->n - 1;
    double drop = set->tank[0].level_m - set->tank[last].level_m,
           allowed = LIMIT_PERCENT / 100 * DEPTH_M * LENGTH / 24;
    double net = drop - (set->pan[0].level_m - set->pan[last].level_m);
    for (size_t i = 1; i <= last; i++) net += set->rain[i];
    t->n++;
    t->verdicts[out.verdict]++;
    t->bare += drop <= allowed;
    t->with_pan += net <= allowed;
    t->covered += fabs(out.found - leak_percent) <= out.found_uncertainty.v;
    t->spread += out.found_uncertainty.v;
    arena_free(memory);
}

int main(int argc, char **argv) {
    static weather w;
    static readings set;
    static const double times[] = {0, 0.5, 0.8, 0.95, 1.05, 1.25, 1.5, 2, 3};
    static const int steps[] = {72, 24, 6, 2};
    if (argc < 2) return fprintf(stderr, "usage: watertest_study WEATHER.epw [TANKS]\n"), 2;
    int n = argc > 2 ? atoi(argv[2]) : 1000;
    gsl_set_error_handler_off();
    read_weather(argv[1], &w);
    gsl_rng *r = gsl_rng_alloc(gsl_rng_mt19937);
    printf("%d synthetic tanks a row, seed %d; 72 h, limit 0.05 %% a day\n", n, SEED);
    printf("readings  leak | pass    fail    undec. | level alone, pass | less pan and rain, pass | U "
           "covers, mean U\n");
    for (size_t s = 0; s < sizeof steps / sizeof *steps; s++)
        for (size_t k = 0; k < sizeof times / sizeof *times; k++) {
            tally t = {0};
            gsl_rng_set(r, SEED);
            for (int i = 0; i < n; i++) {
                make(&w, r, times[k] * LIMIT_PERCENT, steps[s], &set);
                one(&set, times[k] * LIMIT_PERCENT, &t);
            }
            double of = 100.0 / t.n;
            printf("%8zu  %4.2f | %5.1f%%  %5.1f%%  %5.1f%% | %16.1f%% | %22.1f%% | %5.1f%%  %.4f\n", set.n,
                   times[k], of * t.verdicts[WATERTEST_PASS], of * t.verdicts[WATERTEST_FAIL],
                   of * t.verdicts[WATERTEST_UNDECIDED], of * t.bare, of * t.with_pan, of * t.covered,
                   t.spread / t.n);
        }
    gsl_rng_free(r);
    return 0;
}
