/* The figure of a tank test: every reading a mark, no text on another or off the sheet, in either size and either system of units,
 * whatever the readings; the one looked at. All readings are invented. */
#include "paper.h"

#include "core/file.h"
#include "report/tank_figure.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

enum { MOST = 200 };

typedef struct {
    survey_tank tank;
    watertest_input in;
    watertest_reading readings[MOST], pan[MOST];
    double rain[MOST];
    watertest_result out;
    arena *memory;
} tank_job;

/* Marsaglia 2003: xorshift64. */
static double chance(uint64_t *state) {
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    return (double)(*state >> 11) / 9007199254740992.0;
}

typedef struct {
    survey_criterion by;
    size_t n;
    double hours, percent_day;
    bool bad, us;
} like;

static tank_job *job_new(like of, uint64_t seed) {
    tank_job *j = calloc(1, sizeof *j);
    j->memory = arena_new();
    j->tank = (survey_tank){.id = "T1", .name = "the raw water tank"};
    j->in = (watertest_input){.capacity_m3 = 200,
                              .plan_area_m2 = 50,
                              .depth_m = 4,
                              .wetted_area_m2 = {true, 170},
                              .readings = j->readings,
                              .n_readings = of.n,
                              .pan = j->pan,
                              .n_pan = of.n,
                              .pan_factor = 1,
                              .pan_kind = PAN_COVERED,
                              .rain = j->rain,
                              .criterion = of.by,
                              .soaked_hours = {true, 200},
                              .system = of.us ? UNITS_US : UNITS_METRIC};
    double level = 3.9;
    for (size_t i = 0; i < of.n; i++) {
        double hours = of.hours * (double)i / (double)(of.n - 1),
               step = i ? of.hours / (double)(of.n - 1) : 0;
        j->rain[i] = i == of.n / 2 ? 0.003 : 0;
        level += j->rain[i] - of.percent_day / 100 * 4 * step / 24 - 0.1e-3 * step;
        double celsius = 14 + sin(hours / 30);
        j->readings[i] = (watertest_reading){
            hours, level + 0.4e-3 * (chance(&seed) - 0.5) + 6e-4 * (celsius - 14), {true, celsius}};
        j->pan[i] = (watertest_reading){hours, 0.2 - 0.1e-3 * hours, {0}};
    }
    if (of.bad) j->readings[of.n / 3].level_m += 0.025;
    fault why = {0};
    if (watertest_judge(&j->in, j->memory, &j->out, &why) != OK) fail_msg("%s", why.text);
    return j;
}

static void job_free(tank_job *j) {
    arena_free(j->memory);
    free(j);
}

/* ---- what lies where ---- */

static void check_texts(const sheet *s) {
    static const char *const never[] = {"…", "nan", "inf ", NULL};
    check_texts_but(s, never);
}

static void check_marks(const sheet *s, const watertest_result *r) {
    size_t hollow = 0, full = 0, limits = 0;
    for (size_t i = 0; i < s->n_items; i++) {
        const sheet_item *item = &s->items[i];
        if (item->kind == ITEM_CIRCLE) {
            if (!inside(s, item->at.x, item->at.y)) fail_msg("item %zu leaves the sheet", i);
            hollow += item->ink == INK_ASIDE;
            full += item->ink == INK_READING;
        }
        limits += item->ink == INK_DEADLINE;
        for (size_t k = 0; k < item->n_rings; k++)
            for (size_t p = 0; p < item->rings[k].n; p++)
                if (!inside(s, item->rings[k].points[p].x, item->rings[k].points[p].y))
                    fail_msg("item %zu leaves the sheet", i);
    }
    bool known = r->found_uncertainty.known;
    assert_int_equal(hollow, r->n_good + 1); /* one in the legend */
    assert_int_equal(full, known ? r->n_good + 1 : 0);
    assert_int_equal(limits, known ? 2 : 0);
}

static void check(tank_job *j) {
    static const tank_figure_size sizes[] = {{120, 3.4}, {181, TANK_FIGURE_TYPE_MM}};
    for (int k = 0; k < 2; k++) {
        arena *memory = arena_new();
        say words = {.memory = memory, .system = j->in.system, .currency = "EUR"};
        sheet s = {.memory = memory};
        tank_figure_view view = {&j->tank, &j->in, &j->out};
        assert_true(report_tank_figure(&view, sizes[k], &words, &s));
        check_texts(&s);
        check_marks(&s, &j->out);
        arena_free(memory);
    }
}

static const like GOOD = {CRITERION_AWWA_D110, 13, 72, 0.03, true, false};

static void kinds_of_tests(void **state) {
    (void)state;
    uint64_t seed = 20260301;
    for (int i = 0; i < 150; i++) {
        like of = GOOD;
        of.by = (survey_criterion)(chance(&seed) * CRITERION_COUNT);
        of.n = 2 + (size_t)(150 * pow(chance(&seed), 3));
        of.hours = pow(10, 3 * chance(&seed) - 0.3);
        of.percent_day = 0.2 * chance(&seed) * chance(&seed);
        of.bad = chance(&seed) < 0.5;
        of.us = chance(&seed) < 0.5;
        tank_job *j = job_new(of, (uint64_t)i + 1);
        check(j);
        job_free(j);
    }
}

static void nothing_could_be_measured(void **state) {
    (void)state;
    for (int kind = 0; kind < 3; kind++) {
        tank_job *j = job_new((like){CRITERION_BS8007, 3, 168, 0.03, false, kind == 2}, 3);
        for (size_t i = 0; i < 3; i++) {
            if (kind == 0) j->readings[i].hours = (double)NAN;
            if (kind == 1) j->readings[i].hours = 24;
            if (kind == 2) j->readings[i].level_m = i ? (double)INFINITY : 1;
        }
        fault why = {0};
        assert_int_equal(watertest_judge(&j->in, j->memory, &j->out, &why), OK);
        arena *memory = arena_new();
        say words = {.memory = memory, .system = j->in.system, .currency = "EUR"};
        sheet s = {.memory = memory};
        tank_figure_view view = {&j->tank, &j->in, &j->out};
        assert_true(report_tank_figure(&view, TANK_FIGURE_FILE, &words, &s));
        check_texts(&s);
        arena_free(memory);
        job_free(j);
    }
}

/* ---- files ---- */

static text svg_of(like of) {
    tank_job *j = job_new(of, 7);
    text out = {0};
    fault why = {0};
    if (report_tank_svg(&j->tank, &j->in, &j->out, j->in.system, &out, &why) != OK) fail_msg("%s", why.text);
    job_free(j);
    return out;
}

static void svg_is_the_one_looked_at(void **state) {
    (void)state;
    text now = svg_of(GOOD), again = svg_of(GOOD);
    assert_string_equal(text_get(&now), text_get(&again));
    char *golden = NULL;
    size_t length = 0;
    fault why = {0};
    if (getenv("STANCH_WRITE_GOLDEN")) file_write(GOLDEN_FOLDER "/tank.svg", now.bytes, now.length, &why);
    if (file_read(GOLDEN_FOLDER "/tank.svg", &golden, &length, &why) != OK) fail_msg("%s", why.text);
    assert_string_equal(text_get(&now), golden);
    assert_non_null(strstr(golden, "Passes"));
    assert_non_null(strstr(golden, "Water test of the raw water tank"));
    mem_free(golden);
    text_free(&now);
    text_free(&again);
}

static void no_millimetres_in_a_us_job(void **state) {
    (void)state;
    for (int by = 0; by < CRITERION_COUNT; by++) {
        text out = svg_of((like){(survey_criterion)by, 9, 72, 0.03, true, true});
        const char *words = strstr(out.bytes, "<text");
        for (const char *t = words; t; t = strstr(t + 1, "<text")) {
            const char *from = strchr(t, '>'), *to = strstr(t, "</text>");
            for (const char *c = from; c < to; c++)
                if (strncmp(c, "\u00a0mm", 4) == 0 || strncmp(c, " mm", 3) == 0 || strncmp(c, "l/m2", 4) == 0)
                    fail_msg("millimetres in %.*s", (int)(to - from), from);
        }
        text_free(&out);
    }
}

static void memory_runs_out(void **state) {
    (void)state;
    tank_job *j = job_new(GOOD, 7);
    fault why = {0};
    bool done = false;
    long failed = 0;
    for (long n = 0; !done; n++) {
        text out = {0};
        mem_fail_at(n, 0);
        status code = report_tank_svg(&j->tank, &j->in, &j->out, UNITS_METRIC, &out, &why);
        mem_fail_at(-1, 0);
        done = code == OK;
        if (!done) assert_int_equal(code, E_MEMORY);
        failed += !done;
        text_free(&out);
    }
    assert_true(failed > 3);
    job_free(j);
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(kinds_of_tests),           cmocka_unit_test(nothing_could_be_measured),
        cmocka_unit_test(svg_is_the_one_looked_at), cmocka_unit_test(no_millimetres_in_a_us_job),
        cmocka_unit_test(memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
