/* Movement of a crack. Outside checks: the worked vector of the trade page diagnosis.md 5.2 (twelve monthly readings built from
 * w0 0.50 mm, -0.012 mm/K, 3.0e-4 mm a day and rounded to 0.001 mm; its results computed by ordinary least squares apart
 * from this program), and properties that hold whatever the numbers. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "core/mem.h"
#include "diagnose/movement.h"
#include "stats/robust.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MONTHS = 12 };
static const double DAY[MONTHS] = {0, 30, 61, 91, 122, 152, 183, 213, 244, 274, 305, 335};
static const double TEMPERATURE_C[MONTHS] = {5, 8, 12, 17, 21, 23, 22, 18, 13, 9, 6, 4};
static const double WIDTH_MM[MONTHS] = {0.596, 0.569, 0.530, 0.479, 0.441, 0.426,
                                        0.447, 0.504, 0.573, 0.630, 0.675, 0.709};

static void fill_vector(movement_reading *r) {
    for (int i = 0; i < MONTHS; i++) r[i] = (movement_reading){DAY[i], TEMPERATURE_C[i], WIDTH_MM[i] / 1000};
}

static movement_result fit(const movement_input *in, arena *memory) {
    movement_result out;
    fault why = {0};
    if (movement_fit(in, memory, &out, &why) != OK) fail_msg("%s", why.text);
    return out;
}

static void assert_near(double got, double want, double part) {
    if (!(fabs(got - want) <= part * fabs(want))) fail_msg("%.9g is not %.9g", got, want);
}

/* Tolerances: half a unit of the last digit printed on the page. */
static void the_worked_vector(void **state) {
    movement_reading r[MONTHS];
    arena *memory = arena_new();
    (void)state;
    fill_vector(r);
    movement_input in = {.readings = r,
                         .n = MONTHS,
                         .reference_c = 13,
                         .confidence = 0.95,
                         .lag_days = {true, 0},
                         .method = MOVEMENT_OLS};
    movement_result out = fit(&in, memory);
    assert_near(out.width_m, 0.499956e-3, 1e-6);
    assert_near(out.per_kelvin_m, -0.0119850e-3, 5e-6);
    assert_near(out.per_year_m / 365, 3.00250e-7, 2e-6);
    assert_near(out.per_year_m, 0.10959e-3, 5e-5);
    assert_near(out.width_se_m, 1.811e-7, 3e-4);
    assert_near(out.per_kelvin_se_m, 1.464e-8, 4e-4);
    assert_near(out.per_year_se_m, 3.35e-7, 2e-3);
    assert_near(out.residual_sd_m, 3.307e-7, 2e-4);
    assert_near(out.cyclic_range_m, 0.2277e-3, 3e-4);
    assert_int_equal(out.verdict, MOVEMENT_GROWING);
    assert_near(sqrt(out.covariance[8]) * 365, out.per_year_se_m, 1e-9);
    arena_free(memory);
}

/* The page's warning: the straight line through the first six points has the wrong sign; the first six alone decide nothing. */
static void half_a_year_decides_nothing(void **state) {
    movement_reading r[MONTHS];
    arena *memory = arena_new();
    (void)state;
    fill_vector(r);
    movement_input in = {
        .readings = r, .n = 6, .reference_c = 13, .confidence = 0.95, .method = MOVEMENT_ROBUST};
    movement_result out = fit(&in, memory);
    assert_int_equal(out.verdict, MOVEMENT_UNDECIDED);
    assert_non_null(strstr(out.rule, "a season needs"));
    assert_true(out.months_more.known && out.months_more.v >= 5 && out.months_more.v <= 12);
    arena_free(memory);
}

static void growth_and_closing_are_mirror_images(void **state) {
    movement_reading r[MONTHS];
    arena *memory = arena_new();
    (void)state;
    fill_vector(r);
    for (int i = 0; i < MONTHS; i++) r[i].width_m = 2e-3 - r[i].width_m;
    movement_input in = {
        .readings = r, .n = MONTHS, .reference_c = 13, .confidence = 0.95, .method = MOVEMENT_ROBUST};
    movement_result out = fit(&in, memory);
    assert_int_equal(out.verdict, MOVEMENT_CLOSING);
    assert_true(out.per_kelvin_m > 0 && out.per_year_m < 0);
    arena_free(memory);
}

/* One reading wrong by a millimetre: told, set aside, and the rest gives what it gave. */
static void one_bad_reading(void **state) {
    movement_reading r[MONTHS];
    (void)state;
    for (int bad = 0; bad < MONTHS; bad++) {
        arena *memory = arena_new();
        fill_vector(r);
        for (int i = 0; i < MONTHS; i++) r[i].width_m += (i % 3 - 1) * 0.01e-3; /* an honest gauge's noise */
        movement_input in = {
            .readings = r, .n = MONTHS, .reference_c = 13, .confidence = 0.95, .method = MOVEMENT_ROBUST};
        movement_result clean = fit(&in, memory);
        assert_int_equal(clean.n_aside, 0);
        r[bad].width_m += 1e-3;
        movement_result out = fit(&in, memory);
        assert_int_equal(out.n_aside, 1);
        assert_true(out.aside[bad]);
        assert_true(fabs(out.per_year_m - clean.per_year_m) < 0.03e-3);
        arena_free(memory);
    }
}

static const double PI = 3.14159265358979323846;
enum { WEEKS = 78, AIR_DAYS = 800 };

static void fill_weeks(movement_reading *r, movement_air *air, double lag, double beta, double drift) {
    for (int d = 0; d < AIR_DAYS; d++)
        air[d] = (movement_air){d - 200, 10 - 8 * cos(2 * PI * (d - 215) / 365) + 3 * sin(d * 0.7) +
                                             2 * sin(d * 0.23)};
    srand(5);
    for (int i = 0; i < WEEKS; i++) {
        double day = 7 * i, at = day - lag + 200;
        int low = (int)floor(at);
        double t =
            air[low].temperature_c + (at - low) * (air[low + 1].temperature_c - air[low].temperature_c);
        r[i] = (movement_reading){day, 99,
                                  0.4e-3 + beta * (t - 13) + drift * day / 365 + (rand() % 21 - 10) * 1e-6};
    }
}

/* The lag with which the readings were made is found again, and the drift with it. */
static void the_lag_is_found(void **state) {
    static const double lags[] = {0, 3, 12, 30};
    movement_reading r[WEEKS];
    movement_air air[AIR_DAYS];
    (void)state;
    for (size_t k = 0; k < sizeof lags / sizeof *lags; k++) {
        arena *memory = arena_new();
        fill_weeks(r, air, lags[k], -0.012e-3, 0.15e-3);
        movement_input in = {.readings = r,
                             .n = WEEKS,
                             .air = air,
                             .n_air = AIR_DAYS,
                             .reference_c = 13,
                             .confidence = 0.95,
                             .method = MOVEMENT_ROBUST};
        movement_result out = fit(&in, memory);
        assert_true(out.lag_searched);
        assert_true(out.lag_days == lags[k]);
        assert_int_equal(out.wall, MOVEMENT_DELAY);
        assert_int_equal(out.verdict, MOVEMENT_GROWING);
        assert_true(fabs(out.per_year_m - 0.15e-3) < 5 * out.per_year_se_m + 1e-7);
        arena_free(memory);
    }
}

static void still_and_cyclic(void **state) {
    movement_reading r[WEEKS];
    movement_air air[AIR_DAYS];
    arena *memory = arena_new();
    (void)state;
    movement_input in = {.readings = r,
                         .n = WEEKS,
                         .air = air,
                         .n_air = AIR_DAYS,
                         .reference_c = 13,
                         .confidence = 0.95,
                         .method = MOVEMENT_ROBUST};
    fill_weeks(r, air, 5, -0.012e-3, 0);
    assert_int_equal(fit(&in, memory).verdict, MOVEMENT_CYCLIC);
    fill_weeks(r, air, 5, -0.001e-3, 0);
    movement_result out = fit(&in, memory);
    assert_int_equal(out.verdict, MOVEMENT_STILL);
    movement_expected at = movement_at(&in, &out, 600, 13);
    assert_true(fabs(at.width_m - 0.4e-3) < at.band_m && at.band_m > out.residual_sd_m &&
                at.band_m < 0.05e-3);
    arena_free(memory);
}

static void wrong_series_are_told(void **state) {
    movement_reading r[MONTHS];
    movement_air air[] = {{-10, 5}, {100, 12}};
    arena *memory = arena_new();
    movement_result out;
    fault why = {0};
    (void)state;
    fill_vector(r);
    movement_input in = {.readings = r,
                         .n = MONTHS,
                         .air = air,
                         .n_air = 2,
                         .reference_c = 13,
                         .confidence = 0.95,
                         .method = MOVEMENT_ROBUST};
    assert_int_equal(movement_fit(&in, memory, &out, &why), E_INPUT);
    assert_non_null(strstr(why.text, "air runs from day -10 to 100"));
    in.n_air = 0;
    r[4].day = r[3].day;
    assert_int_equal(movement_fit(&in, memory, &out, &why), E_INPUT);
    assert_non_null(strstr(why.text, "readings[4].day"));
    in.n = 3;
    assert_int_equal(fit(&in, memory).verdict, MOVEMENT_UNDECIDED);
    fill_vector(r);
    in.n = MONTHS;
    for (int i = 0; i < MONTHS; i++) r[i].temperature_c = 12;
    out = fit(&in, memory);
    assert_int_equal(out.verdict, MOVEMENT_UNDECIDED);
    assert_false(out.fitted);
    arena_free(memory);
}

/* Errors that hang together: the standard error of a mean of an autoregression with correlation r a step is larger than the
 * plain one by about sqrt((1 + r)/(1 - r)) (Bayley and Hammersley 1946, from memory): 1.36 at 0.3, 1.73 at 0.5. */
static void correlated_errors_are_larger(void **state) {
    enum { N = 4000 };
    static double x[N], y[N], day[N];
    double e = 0;
    (void)state;
    srand(11);
    for (int i = 0; i < N; i++) {
        double normal = -6;
        for (int k = 0; k < 12; k++) normal += rand() / (double)RAND_MAX;
        e = 0.5 * e + sqrt(0.75) * normal;
        x[i] = 1;
        y[i] = 3 + e;
        day[i] = 7 * i;
    }
    arena *memory = arena_new();
    regression_input in = {x, y, N, 1};
    regression_result plain;
    correlated_result honest;
    fault why;
    assert_int_equal(regression_fit(&in, memory, &plain, &why), OK);
    assert_int_equal(correlated_fit(&in, day, memory, &honest, &why), OK);
    assert_true(fabs(honest.correlation_week - 0.5) < 0.04);
    assert_near(honest.fit.standard_errors[0] / plain.standard_errors[0], sqrt(1.5 / 0.5), 0.08);
    assert_near(sqrt(honest.covariance[0]), honest.fit.standard_errors[0], 1e-9);
    arena_free(memory);
}

static void every_allocation_may_fail(void **state) {
    movement_reading r[MONTHS];
    status code = E_MEMORY;
    (void)state;
    fill_vector(r);
    movement_input in = {
        .readings = r, .n = MONTHS, .reference_c = 13, .confidence = 0.95, .method = MOVEMENT_ROBUST};
    for (long n = 0; code != OK && n < 500; n++) {
        arena *memory = arena_new();
        movement_result out;
        fault why = {0};
        mem_fail_at(n, 0);
        code = movement_fit(&in, memory, &out, &why);
        mem_fail_at(-1, 0);
        if (code != OK) assert_int_equal(code, E_MEMORY);
        arena_free(memory);
    }
    assert_int_equal(code, OK);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_worked_vector),
        cmocka_unit_test(half_a_year_decides_nothing),
        cmocka_unit_test(growth_and_closing_are_mirror_images),
        cmocka_unit_test(one_bad_reading),
        cmocka_unit_test(the_lag_is_found),
        cmocka_unit_test(still_and_cyclic),
        cmocka_unit_test(wrong_series_are_told),
        cmocka_unit_test(correlated_errors_are_larger),
        cmocka_unit_test(every_allocation_may_fail),
    };
    gsl_set_error_handler_off();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
