/* diagnose_bench.c - 10,000 readings on 500 gauges: how long the diagnosis takes, beside one plain fit a gauge.
 *
 * usage: diagnose_bench [RUNS]       500 leaks, one gauge each; 20 readings a gauge, three weeks apart. SYNTHETIC: cracks that
 * open and close with a made-up season and weather, one in four growing, errors of 0.01 mm, seed 1. Twice: with a temperature
 * at each reading, and with a log of three years of daily air behind which the wall lags by a time that is searched. Beside:
 * ordinary least squares of the same readings at the temperatures that were found (regression.h), and nothing else.
 * Prints medians of RUNS (5) in processor seconds, and their spread. */
#include "diagnose/diagnosis.h"
#include "stats/regression.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { GAUGES = 500, READINGS = 20, GAP_DAYS = 21, AIR_DAYS = 3 * 365, START_DAY = 600 };
static const double PI = 3.14159265358979323846;

static void stop(const char *what) {
    fprintf(stderr, "%s\n", what);
    exit(1);
}

static double now_s(void) { /* of the processor: one thread, no files */
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Numerical Recipes' linear congruence (from memory): good enough for noise, the same on every run. */
static uint64_t chance;

static double uniform(void) { /* -1 to 1 */
    chance = chance * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
    return (double)(chance >> 11) * 0x1p-52 - 1;
}

static const char *date_of(survey *s, int day) {
    char into[16];
    time_t at = (time_t)(1672531200LL + day * 86400LL); /* 2023-01-01 */
    struct tm utc;
    if (!gmtime_r(&at, &utc) || strftime(into, sizeof into, "%Y-%m-%d", &utc) == 0) stop("no date");
    return arena_copy(s->memory, into);
}

/* ---- the job ---- */

static void make_air(survey *s, double *wall) {
    double state = 4;
    s->site.n_air = AIR_DAYS;
    s->site.air = arena_get(s->memory, AIR_DAYS, sizeof *s->site.air);
    for (int d = 0; d < AIR_DAYS; d++) {
        double air = 10 - 8 * cos(2 * PI * (d - 20) / 365) + 5 * uniform();
        s->site.air[d] = (survey_air){date_of(s, d), air};
        state += (air - state) / 12;
        wall[d] = state;
    }
}

static void make_readings(survey *s, survey_defect *d, const double *wall, int which, bool own) {
    int first = START_DAY + which % GAP_DAYS;
    d->n_readings = READINGS;
    d->readings = arena_get(s->memory, READINGS, sizeof *d->readings);
    for (int i = 0; i < READINGS; i++) {
        int day = first + GAP_DAYS * i;
        double drift = which % 4 == 0 ? 0.2e-3 * (day - first) / 365 : 0;
        d->readings[i] =
            (survey_reading){.on = date_of(s, day),
                             .width_m = 0.3e-3 - 0.008e-3 * (wall[day] - 13) + drift + 0.01e-3 * uniform(),
                             .temperature_c = {own, wall[day]}};
    }
}

static survey *make_job(bool own) {
    static survey_point outline[] = {{0, 0}, {1000, 0}, {1000, 4}, {0, 4}};
    static double wall[AIR_DAYS];
    survey *s = survey_new();
    chance = 1;
    s->faces = arena_get(s->memory, GAUGES / 25, sizeof *s->faces);
    s->n_faces = GAUGES / 25;
    for (size_t i = 0; i < s->n_faces; i++)
        s->faces[i] = (survey_face){
            .id = arena_print(s->memory, "W%zu", i), .thickness_m = 0.3, .outline = {outline, 4}};
    make_air(s, wall);
    s->defects = arena_get(s->memory, GAUGES, sizeof *s->defects);
    s->n_defects = GAUGES;
    for (int i = 0; i < GAUGES; i++) {
        survey_defect *d = &s->defects[i];
        survey_point *line = arena_get(s->memory, 2, sizeof *line);
        line[0] = (survey_point){0.4 * i, 0.2};
        line[1] = (survey_point){0.4 * i, 3};
        d->parts = arena_get(s->memory, 1, sizeof *d->parts);
        d->n_parts = 1;
        d->parts[0] = (survey_part){s->faces[i / 25].id, line, 2};
        d->mark = arena_print(s->memory, "C%d", i);
        make_readings(s, d, wall, i, own);
    }
    return s;
}

/* ---- the two works ---- */

typedef struct {
    double took_s, plain_s;
    size_t verdicts[MOVEMENT_VERDICTS];
} measured;

static void plain_fit(const diagnosis_gauge *g, arena *memory) {
    double x[3 * READINGS], y[READINGS];
    regression_result fit;
    for (size_t i = 0; i < g->input.n; i++) {
        x[3 * i] = 1;
        x[3 * i + 1] = g->fit.temperature_c[i] - 13;
        x[3 * i + 2] = g->input.readings[i].day;
        y[i] = g->input.readings[i].width_m;
    }
    regression_input in = {x, y, g->input.n, 3};
    if (regression_fit(&in, memory, &fit, NULL) != OK) stop("a plain fit failed");
}

static measured once(const survey *s) {
    static leak_water leaks[GAUGES];
    static diagnosis found[GAUGES];
    measured m = {0};
    fault why = {0};
    arena *memory = arena_new();
    for (int i = 0; i < GAUGES; i++)
        if (leak_look(s, &s->defects[i], memory, &leaks[i], &why) != OK) stop(why.text);
    double from = now_s();
    for (int i = 0; i < GAUGES; i++)
        if (diagnosis_make(s, &leaks[i], memory, &found[i], &why) != OK) stop(why.text);
    m.took_s = now_s() - from;
    from = now_s();
    for (int i = 0; i < GAUGES; i++) plain_fit(&found[i].gauges[0], memory);
    m.plain_s = now_s() - from;
    for (int i = 0; i < GAUGES; i++) m.verdicts[found[i].verdict]++;
    arena_free(memory);
    return m;
}

static void measure(const char *what, bool own, int runs) {
    double *took = calloc((size_t)runs, sizeof *took), *plain = calloc((size_t)runs, sizeof *plain);
    survey *s = make_job(own);
    measured m = {0};
    if (!took || !plain) stop("not enough memory");
    for (int i = 0; i < runs; i++) {
        m = once(s);
        took[i] = m.took_s;
        plain[i] = m.plain_s;
    }
    qsort(took, (size_t)runs, sizeof *took, by_size);
    qsort(plain, (size_t)runs, sizeof *plain, by_size);
    printf("%-22s median %.3f s (%.3f to %.3f); plain least squares %.4f s, ratio %.0f; growing %zu, cyclic "
           "%zu, still %zu, "
           "closing %zu, undecided %zu\n",
           what, took[runs / 2], took[0], took[runs - 1], plain[runs / 2], took[runs / 2] / plain[runs / 2],
           m.verdicts[MOVEMENT_GROWING], m.verdicts[MOVEMENT_CYCLIC], m.verdicts[MOVEMENT_STILL],
           m.verdicts[MOVEMENT_CLOSING], m.verdicts[MOVEMENT_UNDECIDED]);
    survey_free(s);
    free(took);
    free(plain);
}

int main(int argc, char **argv) {
    int runs = argc > 1 ? atoi(argv[1]) : 5;
    gsl_set_error_handler_off();
    printf("%d readings on %d gauges, synthetic\n", GAUGES * READINGS, GAUGES);
    measure("own temperatures", true, runs > 0 ? runs : 5);
    measure("air of 3 years, lag", false, runs > 0 ? runs : 5);
    return 0;
}
