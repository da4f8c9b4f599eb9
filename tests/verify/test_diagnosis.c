/* Diagnosis of one leak by its gauges. Outside checks: the worked vector of trade page diagnosis.md 5.2; hand arithmetic on
 * readings made from a formula without error; a first-order wall under a sinusoid in closed form. */
#include "wall_job.h"

#include "diagnose/gauges.h"
#include "diagnose/method.h"

#include <gsl/gsl_errno.h>
#include <stdlib.h>
#include <string.h>

static const double crack[][2] = {{5, 0.2}, {5, 2.8}};
static const double PI = 3.14159265358979323846;
enum { MONTHS = 12 };
static const int days[MONTHS] = {0, 30, 61, 91, 122, 152, 183, 213, 244, 274, 305, 335};
static const double temperatures[MONTHS] = {5, 8, 12, 17, 21, 23, 22, 18, 13, 9, 6, 4};
static const double widths[MONTHS] = {0.596, 0.569, 0.530, 0.479, 0.441, 0.426,
                                      0.447, 0.504, 0.573, 0.630, 0.675, 0.709};

static diagnosis make(survey *s, const survey_defect *d) {
    leak_water leak = wall_look(s, d);
    diagnosis out;
    fault why = {0};
    if (diagnosis_make(s, &leak, s->memory, &out, &why) != OK) fail_msg("%s", why.text);
    assert_non_null(out.reason);
    return out;
}

/* 0.5 mm at 13 C and day 0, -0.010 mm/K, `drift` mm a year of 365 days: without error. */
static void read_formula(survey *s, survey_defect *d, const char *gauge, double per_kelvin, double drift) {
    for (int i = 0; i < MONTHS; i++)
        wall_read(s, d, gauge, days[i], 0.5 + per_kelvin * (temperatures[i] - 13) + drift * days[i] / 365,
                  temperatures[i]);
}

static void read_vector(survey *s, survey_defect *d, const char *gauge) {
    for (int i = 0; i < MONTHS; i++) wall_read(s, d, gauge, days[i], widths[i], temperatures[i]);
}

/* The vector's coefficients by ordinary least squares, and their errors; the robust fit must agree within its own errors and
 * its errors may not be smaller than a tenth below the plain ones. */
static void the_worked_vector(void **state) {
    (void)state;
    survey *s = wall_job();
    survey_defect *d = wall_add(s, "N1", KIND_CRACK, 2, crack);
    read_vector(s, d, "G1");
    diagnosis out = make(s, d);
    assert_int_equal(out.n_gauges, 1);
    assert_ptr_equal(out.decisive, &out.gauges[0]);
    const diagnosis_gauge *g = out.decisive;
    assert_string_equal(g->gauge, "G1");
    assert_string_equal(g->first_on, "2026-01-01");
    for (int i = 0; i < MONTHS; i++) assert_true(g->input.readings[i].day == days[i]);
    assert_true(g->last_day == 335);
    near_absolute(g->fit.width_m, 0.499956e-3, 2 * g->fit.width_se_m);
    near_absolute(g->fit.per_kelvin_m, -0.0119850e-3, 2 * g->fit.per_kelvin_se_m);
    near_absolute(g->fit.per_year_m, 0.10959e-3, 2 * g->fit.per_year_se_m);
    assert_true(g->fit.per_year_se_m >= 0.9 * 3.35e-7 && g->fit.per_year_se_m < 3 * 3.35e-7);
    assert_int_equal(out.verdict, MOVEMENT_GROWING);
    assert_int_equal(out.basis, MOVES_MEASURED);
    assert_non_null(strstr(out.reason, "By gauge G1: +0.1"));
    assert_non_null(strstr(out.reason, "mm a year"));
    assert_null(g->year_basis);
    assert_false(g->widest_m.known || g->coldest_c.known);
    /* No coming year: (0.011985 + error) x 19 K + 0.1096 + error: 0.3373 mm and a few errors more. */
    assert_true(g->movement_m.known && g->movement_m.v > 0.3373e-3 && g->movement_m.v < 0.3450e-3);
    survey_free(s);
}

/* In a US job no sentence has millimetres: 0.1096 mm = 0.0043 in, 0.1 mm = 0.004 in. */
static void sentences_in_inches(void **state) {
    (void)state;
    survey *s = wall_job();
    s->site.system = UNITS_US;
    survey_defect *d = wall_add(s, "N1", KIND_CRACK, 2, crack);
    read_vector(s, d, NULL);
    diagnosis out = make(s, d);
    assert_non_null(strstr(out.reason, "By the gauge: +0.0043 in a year"));
    assert_non_null(strstr(out.reason, "more than 0.004 in a year"));
    assert_null(strstr(out.reason, "mm"));
    for (size_t i = 0; i < out.causes.n; i++)
        for (size_t k = 0; k < out.causes.items[i].n_evidence; k++) {
            assert_null(strstr(out.causes.items[i].evidence[k], " mm"));
            assert_null(strstr(out.causes.items[i].evidence[k], " m "));
        }
    survey_free(s);
}

/* Extremes of the wall -5 and 25 C, readings without error (so without band), last reading on day 335:
 *   widest     0.5 - 0.010 (-5 - 13) + 0.073 x 700/365 = 0.5 + 0.18 + 0.14   = 0.82 mm    cold, at the end of the year
 *   narrowest  0.5 - 0.010 (25 - 13) + 0.073 x 336/365 = 0.5 - 0.12 + 0.0672 = 0.4472 mm  warm, on its first day
 *   movement   0.010 x 30 + 0.073                                            = 0.373 mm */
static void extremes_by_hand(void **state) {
    (void)state;
    survey *s = wall_job();
    survey_defect *d = wall_add(s, "N1", KIND_CRACK, 2, crack);
    s->site.coldest_c = (maybe){true, -5};
    s->site.warmest_c = (maybe){true, 25};
    read_formula(s, d, "G1", -0.010, 0.073);
    diagnosis out = make(s, d);
    const diagnosis_gauge *g = out.decisive;
    assert_string_equal(g->year_basis, "extremes given");
    assert_true(g->coldest_c.v == -5 && g->warmest_c.v == 25);
    near_absolute(g->widest_m.v, 0.82e-3, 1e-12); /* rounding of the fit; a fit without error has no band */
    near_absolute(g->narrowest_m.v, 0.4472e-3, 1e-12);
    near_absolute(g->movement_m.v, 0.373e-3, 1e-12);
    near_absolute(out.movement_m.v, 0.373e-3, 1e-12);
    assert_int_equal(out.verdict, MOVEMENT_CYCLIC);
    survey_free(s);
}

/* The vector at -5 C on day 700: width and half band of a new reading at 95 % by ordinary least squares, computed by us with
 * NumPy (t 2.262157 for 9 degrees of freedom): 0.925861 mm and 0.001412 mm. The robust fit of the vector finds a
 * correlation or none; its band may be wider, not a tenth narrower. */
static void the_band_counts(void **state) {
    (void)state;
    survey *s = wall_job();
    survey_defect *d = wall_add(s, "N1", KIND_CRACK, 2, crack);
    s->site.coldest_c = (maybe){true, -5};
    s->site.warmest_c = (maybe){true, 25};
    read_vector(s, d, "G1");
    const diagnosis_gauge *g = make(s, d).decisive;
    movement_expected at = movement_at(&g->input, &g->fit, 700, -5);
    near_absolute(at.width_m, 0.925861e-3, 2e-6);
    assert_true(at.band_m > 0.9 * 0.001412e-3 && at.band_m < 3 * 0.001412e-3);
    near_relative(g->widest_m.v, at.width_m + at.band_m, 1e-12);
    survey_free(s);
}

/* ---- typical year ---- */

static void fill_typical(survey *s, double mean_c, double swing_k) {
    s->site.typical_c = arena_get(s->memory, SURVEY_YEAR_DAYS, sizeof(double));
    assert_non_null(s->site.typical_c);
    s->site.n_typical = SURVEY_YEAR_DAYS;
    for (int i = 0; i < SURVEY_YEAR_DAYS; i++)
        s->site.typical_c[i] = mean_c - swing_k * cos(2 * PI * i / SURVEY_YEAR_DAYS);
}

/* Amplitude 8 K behind a wall of time constant tau: 8/sqrt(1 + (2 pi tau/365)^2), lagging by atan(2 pi tau/365); the daily
 * steps of the air put the wall half a day later. Tolerance 0.3 %: the step and days that miss the crest. */
static void a_sinusoid_in_closed_form(void **state) {
    static const double taus[] = {2, 10, 30, 60};
    double wall[SURVEY_YEAR_DAYS];
    (void)state;
    survey *s = wall_job();
    fill_typical(s, 10, 8);
    for (size_t k = 0; k < COUNT(taus); k++) {
        double w = 2 * PI * taus[k] / SURVEY_YEAR_DAYS, coldest = HUGE_VAL, warmest = -HUGE_VAL;
        int at = 0;
        gauges_typical_wall(s->site.typical_c, MOVEMENT_FOLLOW, taus[k], wall);
        for (int i = 0; i < SURVEY_YEAR_DAYS; i++) {
            if (wall[i] < coldest) coldest = wall[i], at = i;
            warmest = fmax(warmest, wall[i]);
        }
        near_relative(warmest - 10, 8 / sqrt(1 + w * w), 3e-3);
        near_relative(10 - coldest, 8 / sqrt(1 + w * w), 3e-3);
        near_absolute(at, atan(w) / (2 * PI) * SURVEY_YEAR_DAYS, 1.5);
        double step = 1 - exp(-1 / taus[k]); /* round the year: 31 December leads to 1 January */
        near_absolute(wall[0], wall[364] + (s->site.typical_c[0] - wall[364]) * step, 1e-12);
    }
    gauges_typical_wall(s->site.typical_c, MOVEMENT_DELAY, 10, wall);
    assert_true(wall[9] == s->site.typical_c[364] && wall[10] == s->site.typical_c[0]);
    survey_free(s);
}

/* Three years of air that goes up and down from day to day (seed 3), a wall that follows it with 10 days, a crack that
 * follows the wall by -0.012 mm/K: kind and time constant are found, and the typical year (8 K) gives
 *   wall 10 -+ 8/sqrt(1 + 0.17214^2) = 10 -+ 7.884 C,   crack 0.4 - 0.012 (2.116 - 13) = 0.5306 mm at its widest. */
static void a_typical_year_through_the_wall(void **state) {
    enum { DAYS = 3 * 365 };
    (void)state;
    survey *s = wall_job();
    survey_defect *d = wall_add(s, "N1", KIND_CRACK, 2, crack);
    fill_typical(s, 10, 8);
    s->site.n_air = DAYS;
    s->site.air = arena_get(s->memory, DAYS, sizeof *s->site.air);
    assert_non_null(s->site.air);
    srand(3);
    double wall = 2;
    for (int i = 0; i < DAYS; i++) {
        double air = 10 - 8 * cos(2 * PI * i / 365) + (rand() % 801 - 400) / 100.0;
        s->site.air[i] = (survey_air){wall_date(s, i), air};
        wall += (air - wall) * (1 - exp(-1.0 / 10));
        if (i >= 365 && i % 14 == 0) wall_read(s, d, "G1", i, 0.4 - 0.012 * (wall - 13), (double)NAN);
    }
    diagnosis out = make(s, d);
    const diagnosis_gauge *g = out.decisive;
    assert_true(g->fit.lag_searched && g->fit.wall == MOVEMENT_FOLLOW);
    near_absolute(g->fit.lag_days, 10, 0);
    assert_string_equal(g->year_basis, "typical year");
    near_absolute(g->coldest_c.v, 10 - 7.884, 0.03);
    near_absolute(g->warmest_c.v, 10 + 7.884, 0.03);
    near_absolute(g->widest_m.v, 0.5306e-3, 0.0005e-3);
    near_absolute(out.movement_m.v, 0.012e-3 * 2 * 7.884,
                  0.0015e-3); /* drift and errors are next to nothing */
    assert_int_equal(out.verdict, MOVEMENT_CYCLIC);
    survey_free(s);
}

/* The coming year begins the day after the last reading, 2 December, day 335 of the year from 0. Typical air
 * 10 - 8 cos(2 pi i/365), wall as the air, readings without error, 0.073 mm a year: widest on the last day, 2 December again,
 *   T = 10 - 8 cos(2 pi 30/365) = 3.04328 C,   w = 0.5 - 0.010 (3.04328 - 13) + 0.073 x 700/365 = 0.739567 mm
 * (on the cold day, 1 January, it has only 0.683). */
static void the_coming_year_goes_on_from_the_date(void **state) {
    (void)state;
    survey *s = wall_job();
    survey_defect *d = wall_add(s, "N1", KIND_CRACK, 2, crack);
    fill_typical(s, 10, 8);
    read_formula(s, d, "G1", -0.010, 0.073);
    const diagnosis_gauge *g = make(s, d).decisive;
    assert_string_equal(g->year_basis, "typical year");
    near_absolute(g->widest_m.v, 0.739567e-3, 1e-9);
    survey_free(s);
}

/* ---- which counts ---- */

static void the_loudest_gauge_decides(void **state) {
    (void)state;
    survey *s = wall_job();
    survey_defect *d = wall_add(s, "N1", KIND_CRACK, 2, crack);
    read_formula(s, d, "A", -0.030, 0);
    read_formula(s, d, "B", -0.001, 0.150);
    read_formula(s, d, "C", -0.001, 0.120);
    diagnosis out = make(s, d);
    assert_int_equal(out.n_gauges, 3);
    assert_int_equal(out.gauges[0].fit.verdict, MOVEMENT_CYCLIC);
    assert_string_equal(out.decisive->gauge, "B");
    assert_int_equal(out.verdict, MOVEMENT_GROWING);
    /* The seal must bear the most that any of them moves: 0.030 x 19 K = 0.57 mm. */
    near_absolute(out.movement_m.v, 0.57e-3, 1e-9);
    survey_free(s);
}

/* A gauge just begun says nothing against one that was read for a year; it outweighs one that stood still. */
static void a_gauge_just_begun(void **state) {
    (void)state;
    survey *s = wall_job();
    survey_defect *d = wall_add(s, "N1", KIND_CRACK, 2, crack);
    for (int i = 0; i < 5; i++) wall_read(s, d, "A", days[i], widths[i], temperatures[i]);
    read_formula(s, d, "B", -0.001, 0);
    assert_string_equal(make(s, d).decisive->gauge, "A");
    assert_int_equal(make(s, d).verdict, MOVEMENT_UNDECIDED);
    assert_int_equal(make(s, d).basis, MOVES_NOT_KNOWN);
    read_formula(s, d, "C", -0.030, 0);
    assert_string_equal(make(s, d).decisive->gauge, "C");
    assert_int_equal(make(s, d).verdict, MOVEMENT_CYCLIC);
    read_formula(s, d, "D", -0.001, -0.150);
    diagnosis out = make(s, d);
    assert_string_equal(out.decisive->gauge, "D");
    assert_int_equal(out.verdict, MOVEMENT_CLOSING);
    survey_free(s);
}

/* GSA (published): a crack is active where its width changes over the time measured. The first five of the vector: the fit
 * runs through all but 0.001 mm, so that what was seen is 0.155 mm less an error of that kind. Readings that went apart by no
 * more than their own error show nothing. */
static void a_short_gauge_that_moved(void **state) {
    (void)state;
    survey *s = wall_job();
    wall_add(s, "N1", KIND_CRACK, 2, crack);
    survey_defect *still = wall_add(s, "N2", KIND_CRACK, 2, crack), *d = &s->defects[0];
    for (int i = 0; i < 5; i++) wall_read(s, d, "A", days[i], widths[i], temperatures[i]);
    diagnosis out = make(s, d);
    assert_true(out.verdict == MOVEMENT_UNDECIDED && out.basis == MOVES_NOT_KNOWN);
    assert_true(out.seen_m.known && out.seen_m.v > 0.14e-3 && out.seen_m.v < 0.156e-3);
    assert_non_null(strstr(out.reason, "moved by more than 0.1 mm already"));
    leak_water leak = wall_look(s, d);
    method_facts facts;
    method_facts_of(s, &leak, &out, &(finding_list){0}, &facts);
    assert_int_equal(facts.movement, MOVEMENT_CYCLIC);
    static const double noise[] = {0.06, -0.05, 0.04, -0.06, 0.05};
    for (int i = 0; i < 5; i++) wall_read(s, still, "A", days[i], 0.3 + noise[i], temperatures[i]);
    out = make(s, still);
    assert_false(out.seen_m.known);
    assert_null(strstr(out.reason, "already"));
    leak = wall_look(s, still);
    method_facts_of(s, &leak, &out, &(finding_list){0}, &facts);
    assert_true(facts.movement == MOVEMENT_UNDECIDED && facts.moves == MOVES_MEASURED);
    survey_free(s);
}

/* 0.010 x 19 K + 0.150: what closes presses a seal together as what opens stretches it. */
static void a_closing_crack_moves_by_its_drift_too(void **state) {
    (void)state;
    survey *s = wall_job();
    survey_defect *d = wall_add(s, "N1", KIND_CRACK, 2, crack);
    read_formula(s, d, "A", -0.010, -0.150);
    diagnosis out = make(s, d);
    assert_int_equal(out.verdict, MOVEMENT_CLOSING);
    near_absolute(out.movement_m.v, 0.340e-3, 1e-9);
    survey_free(s);
}

static void told_and_measured(void **state) {
    (void)state;
    survey *s = wall_job();
    survey_defect *d = wall_add(s, "N1", KIND_CRACK, 2, crack);
    diagnosis out = make(s, d);
    assert_int_equal(out.basis, MOVES_NOT_KNOWN);
    assert_false(out.movement_m.known);
    d->signs = SIGN_BIT(SIGN_MOVING);
    out = make(s, d);
    assert_true(out.basis == MOVES_TOLD && out.verdict == MOVEMENT_CYCLIC && !out.movement_m.known);
    d->signs = 0;
    d->movement_m = (maybe){true, 0.4e-3};
    out = make(s, d);
    assert_true(out.basis == MOVES_TOLD && out.verdict == MOVEMENT_CYCLIC && out.movement_m.v == 0.4e-3);
    assert_non_null(strstr(out.reason, "0.400 mm in a year"));
    d->movement_m.v = 0.05e-3;
    assert_int_equal(make(s, d).verdict, MOVEMENT_STILL);
    /* Four months of a gauge decide nothing: the word stands, its movement too, unless it is less than what was seen: 0.596
     * less 0.441 mm. */
    for (int i = 0; i < 5; i++) wall_read(s, d, "G1", days[i], widths[i], temperatures[i]);
    out = make(s, d);
    assert_true(out.basis == MOVES_NOT_KNOWN && !out.movement_m.known && out.seen_m.known);
    d->movement_m.v = 0.4e-3;
    out = make(s, d);
    assert_true(out.basis == MOVES_TOLD && out.movement_m.v == 0.4e-3 && out.decisive != NULL);
    assert_false(out.decisive->movement_m.known);
    d->n_readings = 0;
    d->signs = SIGN_BIT(SIGN_MOVING);
    read_formula(s, d, "G1", -0.001, 0);
    out = make(s, d); /* the gauge outweighs both */
    assert_true(out.basis == MOVES_MEASURED && out.verdict == MOVEMENT_STILL);
    near_absolute(out.movement_m.v, 0.019e-3, 1e-9);
    assert_non_null(strstr(out.reason, "before the sign"));
    d->signs = SIGN_BIT(SIGN_GROWING); /* but no gauge outweighs that a person saw it grow */
    out = make(s, d);
    assert_true(out.basis == MOVES_TOLD && out.verdict == MOVEMENT_GROWING);
    assert_non_null(strstr(out.reason, "still"));
    survey_free(s);
}

static void one_bad_reading(void **state) {
    (void)state;
    survey *s = wall_job();
    survey_defect *d = wall_add(s, "N1", KIND_CRACK, 2, crack);
    read_vector(s, d, "G1");
    d->readings[7].width_m += 1e-3;
    diagnosis out = make(s, d);
    const movement_result *fit = &out.decisive->fit;
    assert_int_equal(fit->n_aside, 1);
    assert_true(fit->aside[7]);
    near_absolute(fit->per_year_m, 0.10959e-3, 0.003e-3);
    assert_int_equal(out.verdict, MOVEMENT_GROWING);
    survey_free(s);
}

/* ---- little to go by ---- */

static void little_decides_nothing(void **state) {
    (void)state;
    survey *s = wall_job();
    survey_defect *d = wall_add(s, "N1", KIND_CRACK, 2, crack);
    wall_read(s, d, "A", 0, 0.3, 12);
    for (int i = 0; i < MONTHS; i++) wall_read(s, d, "B", days[i], widths[i], 12);
    diagnosis out = make(s, d);
    assert_int_equal(out.n_gauges, 2);
    assert_int_equal(out.verdict, MOVEMENT_UNDECIDED);
    for (int i = 0; i < 2; i++) {
        assert_false(out.gauges[i].fit.fitted || out.gauges[i].movement_m.known);
        assert_non_null(out.gauges[i].fit.rule);
    }
    survey_free(s);
}

/* One reading without a temperature: the air log counts for all; it must reach, else the gauge says what is missing. */
static void temperatures_of_the_air(void **state) {
    (void)state;
    survey *s = wall_job();
    survey_defect *d = wall_add(s, "N1", KIND_CRACK, 2, crack);
    read_vector(s, d, "G1");
    d->readings[3].temperature_c.known = false;
    diagnosis out = make(s, d);
    assert_int_equal(out.verdict, MOVEMENT_UNDECIDED);
    assert_false(out.decisive->fit.fitted);
    assert_non_null(strstr(out.reason, "air log"));
    s->site.n_air = 340;
    s->site.air = arena_get(s->memory, 340, sizeof *s->site.air);
    assert_non_null(s->site.air);
    for (int i = 0; i < 340; i++) { /* the readings' temperatures, straight between them */
        int k = 1;
        while (k + 1 < MONTHS && days[k] < i) k++;
        double part = (double)(i - days[k - 1]) / (days[k] - days[k - 1]);
        s->site.air[i] = (survey_air){wall_date(s, i),
                                      temperatures[k - 1] + part * (temperatures[k] - temperatures[k - 1])};
    }
    out = make(s, d);
    assert_int_equal(out.verdict, MOVEMENT_GROWING);
    assert_true(out.decisive->fit.lag_searched && out.decisive->fit.lag_days == 0);
    near_absolute(out.decisive->fit.per_year_m, 0.10959e-3, 2 * out.decisive->fit.per_year_se_m);
    s->site.n_air = 200; /* ends before the last reading */
    assert_false(make(s, d).decisive->fit.fitted);
    survey_free(s);
}

static void wrong_readings_are_told(void **state) {
    (void)state;
    survey *s = wall_job();
    survey_defect *d = wall_add(s, "N1", KIND_CRACK, 2, crack);
    read_vector(s, d, "G1");
    leak_water leak = wall_look(s, d);
    diagnosis out;
    fault why = {0};
    d->readings[4].on = "2026-02-30";
    assert_int_equal(diagnosis_make(s, &leak, s->memory, &out, &why), E_INPUT);
    assert_non_null(strstr(why.text, "N1: a gauge reading is dated \"2026-02-30\""));
    d->readings[4].on = d->readings[3].on;
    assert_int_equal(diagnosis_make(s, &leak, s->memory, &out, &why), E_INPUT);
    assert_non_null(strstr(why.text, "N1: gauge \"G1\": readings[4].day"));
    survey_free(s);
}

/* EN 1992-3: 3 m of water less 0.2 m on 0.3 m: gradient 9.33, limit 0.20 - 0.15 x 4.333/30 = 0.17833 mm. */
static void healing_by_the_sites_rule(void **state) {
    static const double seen[] = {0.12, 0.17};
    (void)state;
    survey *s = wall_job();
    survey_defect *d = wall_add(s, "N1", KIND_CRACK, 2, crack);
    assert_false(make(s, d).healing_known);
    wall_widths(s, d, 2, seen, WET_DAMP);
    diagnosis out = make(s, d);
    assert_true(out.healing_known && out.healing.heals);
    near_relative(out.healing.gradient, 2.8 / 0.3, 1e-12);
    near_relative(out.healing.limit_m, 0.178333333333e-3, 1e-9);
    s->site.healing = HEALING_DAFSTB; /* 0.20 mm to a gradient of 10 */
    near_relative(make(s, d).healing.limit_m, 0.2e-3, 1e-12);
    survey_free(s);
}

static void every_allocation_may_fail(void **state) {
    static const double seen[] = {0.12, 0.17};
    status code = E_MEMORY;
    (void)state;
    survey *s = wall_job();
    survey_defect *d = wall_add(s, "N1", KIND_CRACK, 2, crack);
    wall_widths(s, d, 2, seen, WET_DAMP);
    read_vector(s, d, "G1");
    leak_water leak = wall_look(s, d);
    for (long n = 0; code != OK && n < 1000; n++) {
        arena *memory = arena_new();
        diagnosis out;
        fault why = {0};
        mem_fail_at(n, 0);
        code = diagnosis_make(s, &leak, memory, &out, &why);
        mem_fail_at(-1, 0);
        if (code != OK) assert_int_equal(code, E_MEMORY);
        arena_free(memory);
    }
    assert_int_equal(code, OK);
    survey_free(s);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_worked_vector),
        cmocka_unit_test(sentences_in_inches),
        cmocka_unit_test(extremes_by_hand),
        cmocka_unit_test(the_band_counts),
        cmocka_unit_test(a_sinusoid_in_closed_form),
        cmocka_unit_test(a_typical_year_through_the_wall),
        cmocka_unit_test(the_coming_year_goes_on_from_the_date),
        cmocka_unit_test(the_loudest_gauge_decides),
        cmocka_unit_test(a_gauge_just_begun),
        cmocka_unit_test(a_short_gauge_that_moved),
        cmocka_unit_test(a_closing_crack_moves_by_its_drift_too),
        cmocka_unit_test(told_and_measured),
        cmocka_unit_test(one_bad_reading),
        cmocka_unit_test(little_decides_nothing),
        cmocka_unit_test(temperatures_of_the_air),
        cmocka_unit_test(wrong_readings_are_told),
        cmocka_unit_test(healing_by_the_sites_rule),
        cmocka_unit_test(every_allocation_may_fail),
    };
    gsl_set_error_handler_off();
    return cmocka_run_group_tests(tests, NULL, NULL);
}
