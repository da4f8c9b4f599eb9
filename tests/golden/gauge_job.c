#include "gauge_job.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>

#include <cmocka.h>

static const double PI = 3.14159265358979323846;
enum { AIR_BEFORE_DAYS = 200 };

gauge_job gauge_job_growing(void) {
    return (gauge_job){.n = 30,
                       .span_days = 455,
                       .width_m = 0.42e-3,
                       .per_kelvin_m = -9e-6,
                       .per_year_m = 0.16e-3,
                       .error_m = 0.012e-3,
                       .swing_k = 9,
                       .bad_m = 0.35e-3,
                       .year = true,
                       .seed = 7,
                       .name = "upper"};
}

/* xorshift64 of Marsaglia 2003: the same readings on every machine. */
static double chance(uint64_t *state) {
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    return (double)(*state >> 11) / 9007199254740992.0;
}

static double wall_c(const gauge_job *g, double day) {
    return 12 - g->swing_k * cos(2 * PI * (day + 70) / 365);
}

static void read_gauge(const gauge_job *g, movement_reading *into) {
    uint64_t state = 0x9e3779b97f4a7c15u * (g->seed ? g->seed : 1);
    for (int k = 0; k < 20; k++) chance(&state); /* the first of a small seed are alike */
    double step = g->n > 1 ? g->span_days / (double)(g->n - 1) : 0;
    for (size_t i = 0; i < g->n; i++) {
        double error = 0;
        for (int k = 0; k < 4; k++) error += chance(&state) - 0.5; /* nearly normal, variance 1/3 */
        double day = step * ((double)i + (g->ragged && i ? 0.8 * (chance(&state) - 0.5) : 0));
        double celsius = wall_c(g, day) + (g->swing_k > 0 ? 2 * (chance(&state) - 0.5) : 0);
        into[i] = (movement_reading){day, celsius,
                                     g->width_m + g->per_kelvin_m * (celsius - MOVEMENT_REFERENCE_C) +
                                         g->per_year_m * day / 365 + error * sqrt(3) * g->error_m};
        if (i == 2 * g->n / 5) into[i].width_m += g->bad_m;
    }
}

static movement_air *air_of(const gauge_job *g, double last_day, arena *memory, size_t *n) {
    *n = AIR_BEFORE_DAYS + (size_t)last_day + 2;
    movement_air *air = arena_get(memory, *n, sizeof *air);
    assert_non_null(air);
    for (size_t i = 0; i < *n; i++) {
        double day = (double)i - AIR_BEFORE_DAYS;
        air[i] = (movement_air){day, wall_c(g, day + 5)};
    }
    return air;
}

/* As diagnosis.h has it for extremes that are given. */
static void add_year(diagnosis_gauge *g) {
    g->coldest_c = (maybe){true, -2};
    g->warmest_c = (maybe){true, 26};
    g->year_basis = "extremes given";
    if (!g->fit.fitted) return;
    g->widest_m = (maybe){true, -HUGE_VAL};
    g->narrowest_m = (maybe){true, HUGE_VAL};
    for (int i = 0; i < 4; i++) {
        movement_expected at = movement_at(&g->input, &g->fit, g->last_day + (i & 1 ? 365 : 0),
                                           i & 2 ? g->warmest_c.v : g->coldest_c.v);
        g->widest_m.v = fmax(g->widest_m.v, at.width_m + at.band_m);
        g->narrowest_m.v = fmin(g->narrowest_m.v, at.width_m - at.band_m);
    }
}

diagnosis_gauge gauge_job_make(gauge_job like, arena *memory) {
    fault why = {0};
    movement_reading *readings = arena_get(memory, like.n, sizeof *readings);
    assert_non_null(readings);
    read_gauge(&like, readings);
    diagnosis_gauge g = {.gauge = like.name ? like.name : "", .first_on = "2024-10-22"};
    g.input = (movement_input){.readings = readings,
                               .n = like.n,
                               .reference_c = MOVEMENT_REFERENCE_C,
                               .confidence = MOVEMENT_CONFIDENCE,
                               .system = like.us ? UNITS_US : UNITS_METRIC};
    if (like.air) g.input.air = air_of(&like, readings[like.n - 1].day, memory, &g.input.n_air);
    if (movement_fit(&g.input, memory, &g.fit, &why) != OK) fail_msg("%s", why.text);
    g.last_day = readings[like.n - 1].day;
    if (like.year) add_year(&g);
    return g;
}
