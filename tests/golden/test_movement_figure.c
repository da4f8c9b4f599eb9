/* The plot of a gauge: every reading a mark, no text on another or off the sheet, in either size and either system of
 * units, whatever the readings; the one looked at; two on a page; faults in sentences. All readings are invented. */
#include "gauge_job.h"
#include "paper.h"
#include "report_job.h"

#include "core/file.h"
#include "report/movement_figure.h"
#include "report/report.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

static const report_options options = {"2026-03-01", "0.1.0", NULL};
static const movement_figure_size ON_PAGE = {181, MOVEMENT_FIGURE_TYPE_MM}; /* A4 less its margins */
static const double HALF_A_PAGE_MM = 120; /* Letter: 279.4 - 25.4 less two gaps of 4.2, and a half of it */

/* The readings of a job in place of what its survey has. */
static void set_gauges(plan *p, const gauge_job *like, size_t n) {
    diagnosis_gauge *all = arena_get(p->memory, n, sizeof *all);
    assert_non_null(all);
    for (size_t i = 0; i < n; i++) all[i] = gauge_job_make(like[i], p->memory);
    p->diagnoses[0].gauges = all;
    p->diagnoses[0].n_gauges = n;
}

static text svg_of(gauge_job like, units_system system) {
    plan *p = report_job_one(system);
    text out = {0};
    fault why = {0};
    set_gauges(p, &like, 1);
    if (report_movement_svg(p, 0, 0, &out, &why) != OK) fail_msg("%s", why.text);
    report_job_free(p);
    return out;
}

/* ---- what lies where ---- */

static void check_texts(const sheet *s) {
    static const char *const never[] = {"…", "nan", "inf", "-0.00\u00a0", NULL};
    check_texts_but(s, never);
}

static void check_marks(const sheet *s, const diagnosis_gauge *g) {
    size_t dots = 0, crosses = 0;
    for (size_t i = 0; i < s->n_items; i++) {
        const sheet_item *item = &s->items[i];
        if (item->kind == ITEM_CIRCLE) {
            assert_true(inside(s, item->at.x, item->at.y));
            dots++;
        }
        for (size_t r = 0; r < item->n_rings; r++)
            for (size_t k = 0; k < item->rings[r].n; k++)
                if (!inside(s, item->rings[r].points[k].x, item->rings[r].points[k].y))
                    fail_msg("item %zu leaves the sheet", i);
        crosses += item->ink == INK_ASIDE;
    }
    size_t kept = g->input.n - g->fit.n_aside, panels = g->fit.fitted ? 2 : 1;
    assert_int_equal(dots, panels * kept + 1); /* one in the legend */
    assert_int_equal(crosses, g->fit.n_aside ? panels * g->fit.n_aside + 1 : 0);
}

static double check_drawn(const diagnosis_gauge *g, movement_figure_size size, units_system system) {
    arena *memory = arena_new();
    say words = {.memory = memory, .system = system, .currency = "EUR"};
    sheet s = {.memory = memory};
    assert_true(movement_figure_draw("N1", g, size, &words, &s));
    check_texts(&s);
    check_marks(&s, g);
    double height = s.height;
    arena_free(memory);
    return height;
}

static void check_gauge(gauge_job like) {
    arena *memory = arena_new();
    diagnosis_gauge g = gauge_job_make(like, memory);
    for (int us = 0; us < 2; us++) {
        double paper = check_drawn(&g, ON_PAGE, us ? UNITS_US : UNITS_METRIC);
        if (!(paper < HALF_A_PAGE_MM)) fail_msg("%g mm high on a page", paper);
        check_drawn(&g, MOVEMENT_FIGURE_FILE, us ? UNITS_US : UNITS_METRIC);
    }
    arena_free(memory);
}

static void test_kinds_of_gauges(void **state) {
    (void)state;
    const gauge_job good = gauge_job_growing();
    gauge_job cases[12];
    for (size_t i = 0; i < 12; i++) cases[i] = good;
    cases[1].n = 1;
    cases[2].n = 4;       /* too few to fit */
    cases[3].swing_k = 0; /* all at one temperature */
    cases[4] =
        (gauge_job){.n = 20, .span_days = 400, .width_m = 0.3e-3, .year = true, .swing_k = 8}; /* all equal */
    cases[5].span_days = 7300;                                                                 /* 20 years */
    cases[5].n = 1043;
    cases[6].bad_m = 20e-3;
    cases[7].span_days = 3;
    cases[8].year = false;
    cases[9].air = true;
    cases[10].width_m = -1.2e-3; /* a gauge that tells a change */
    cases[11].n = 6;
    cases[11].span_days = 60;
    for (size_t i = 0; i < 12; i++) check_gauge(cases[i]);
}

/* xorshift64 of Marsaglia 2003. */
static double chance(uint64_t *state) {
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    return (double)(*state >> 11) / 9007199254740992.0;
}

static void test_any_gauge(void **state) {
    (void)state;
    uint64_t seed = 20260301;
    for (unsigned i = 0; i < 200; i++) {
        gauge_job like = {.n = 1 + (size_t)(200 * pow(chance(&seed), 2)),
                          .width_m = 3e-3 * chance(&seed) * chance(&seed),
                          .swing_k = chance(&seed) < 0.1 ? 0 : 15 * chance(&seed),
                          .seed = i + 1,
                          .ragged = chance(&seed) < 0.5,
                          .year = chance(&seed) < 0.7,
                          .name = chance(&seed) < 0.5 ? NULL : "by the stairs, upper of two"};
        like.span_days = (double)like.n * pow(10, 2.3 * chance(&seed) - 1);
        like.per_kelvin_m = 30e-6 * (chance(&seed) - 0.7);
        like.per_year_m = chance(&seed) < 0.5 ? 0 : 1e-3 * (chance(&seed) - 0.4);
        like.error_m = chance(&seed) < 0.1 ? 0 : 0.1e-3 * chance(&seed);
        like.bad_m = chance(&seed) < 0.5 ? 0 : 10e-3 * (chance(&seed) - 0.5);
        like.air = like.span_days > 2 && chance(&seed) < 0.2;
        if (like.span_days > 7300) like.span_days = 7300;
        check_gauge(like);
    }
}

/* ---- what is said ---- */

/* All texts of the sheet, one after another; lines of a paragraph run on. */
static text texts_of(gauge_job like, units_system system) {
    arena *memory = arena_new();
    say words = {.memory = memory, .system = system, .currency = "EUR"};
    sheet s = {.memory = memory};
    text out = {0};
    like.us = system == UNITS_US;
    diagnosis_gauge g = gauge_job_make(like, memory);
    assert_true(movement_figure_draw("N1", &g, MOVEMENT_FIGURE_FILE, &words, &s));
    for (size_t i = 0; i < s.n_items; i++)
        if (s.items[i].kind == ITEM_TEXT) text_print(&out, "%s ", s.items[i].words);
    arena_free(memory);
    return out;
}

static void has(const text *all, const char *words) {
    if (!strstr(all->bytes, words)) fail_msg("no \"%s\" in\n%s", words, all->bytes);
}

static void has_not(const text *all, const char *words) {
    if (strstr(all->bytes, words)) fail_msg("\"%s\" in\n%s", words, all->bytes);
}

static void test_what_is_told(void **state) {
    (void)state;
    text all = texts_of(gauge_job_growing(), UNITS_METRIC);
    has(&all, "Movement of N1, gauge upper Growing: +0.1609\u00a0±\u00a00.0084\u00a0mm a year ");
    has(&all,
        " With the temperature of the wall -0.00879\u00a0±\u00a00.00052\u00a0mm per °C (± at 95\u00a0%).");
    has(&all, "30 readings from 22\u00a0Oct\u00a02024 to 20\u00a0Jan\u00a02026, 1 set aside. Temperatures as "
              "read with them.");
    has(&all, "Set aside, too far off the others: 0.86\u00a0mm on 28\u00a0Apr\u00a02025.");
    has(&all, "Coming year (extremes given, wall -2 to 26\u00a0°C): 0.48\u00a0mm to 0.93\u00a0mm, the band");
    has(&all, " Width, mm ");
    has(&all, " widest 0.93\u00a0mm ");
    has(&all, " Jan 2025 ");
    has(&all, " by temperature of the wall, °C ");
    text_free(&all);
}

/* The same gauge: 0.1609 ± 0.0084 mm = 0.00633 ± 0.00033 in; -0.00879 mm/K = -0.000192 in/°F (over 25.4, over 1.8); -2 and 26 °C. */
static void test_what_is_told_in_inches(void **state) {
    (void)state;
    text all = texts_of(gauge_job_growing(), UNITS_US);
    has(&all, "Growing: +0.00633\u00a0±\u00a00.00033\u00a0in a year ");
    has(&all, "-0.000192\u00a0±\u00a00.000011\u00a0in per °F");
    has(&all, "wall 28 to 79\u00a0°F): 0.019\u00a0in to 0.037\u00a0in");
    has(&all, " on Apr\u00a028,\u00a02025.");
    has(&all, " Width, in ");
    has_not(&all, "mm");
    has_not(&all, "°C");
    text_free(&all);
}

static void test_what_is_told_without_a_verdict(void **state) {
    (void)state;
    gauge_job like = gauge_job_growing();
    like.n = 3;
    text all = texts_of(like, UNITS_METRIC);
    has(&all, " Undecided Not fitted: 3 readings: at least 5 are needed to fit. Read from "
              "22\u00a0Oct\u00a02024 to 20\u00a0Jan\u00a02026. ");
    has_not(&all, "fitted at each");
    has_not(&all, "Drift");
    has_not(&all, "coming year");
    has_not(&all, "by temperature");
    text_free(&all);
    like = gauge_job_growing();
    like.span_days = 200;
    like.year = false;
    all = texts_of(like, UNITS_METRIC);
    has(&all, " Undecided ");
    has(&all, "more of readings as now would decide. Drift ");
    has(&all, "Coming year: not told before a season of readings is closed.");
    text_free(&all);
    like.air = true;
    all = texts_of(like, UNITS_US);
    has(&all, "days, found by search.");
    has_not(&all, "mm");
    text_free(&all);
    like = gauge_job_growing();
    like.year = false;
    all = texts_of(like, UNITS_METRIC);
    has(&all, "Coming year: not known; the site has no temperatures for it.");
    text_free(&all);
}

/* As the diagnosis leaves a gauge without temperatures. */
static void test_a_gauge_that_was_never_fitted(void **state) {
    (void)state;
    arena *memory = arena_new();
    diagnosis_gauge g = gauge_job_make(gauge_job_growing(), memory);
    g.fit = (movement_result){.verdict = MOVEMENT_UNDECIDED, .rule = "no temperature is known"};
    check_drawn(&g, MOVEMENT_FIGURE_FILE, UNITS_METRIC);
    arena_free(memory);
}

/* ---- files and pages ---- */

static void test_svg_is_the_one_looked_at(void **state) {
    (void)state;
    text now = svg_of(gauge_job_growing(), UNITS_METRIC), again = svg_of(gauge_job_growing(), UNITS_METRIC);
    assert_string_equal(text_get(&now), text_get(&again));
    char *golden = NULL;
    size_t length = 0;
    fault why = {0};
    if (getenv("STANCH_WRITE_GOLDEN")) file_write(GOLDEN_FOLDER "/movement.svg", now.bytes, now.length, &why);
    if (file_read(GOLDEN_FOLDER "/movement.svg", &golden, &length, &why) != OK) fail_msg("%s", why.text);
    assert_string_equal(text_get(&now), golden);
    mem_free(golden);
    text_free(&now);
    text_free(&again);
}

/* Words of the PDF, what lies on another or leaves its page fails. Empty without pdftotext. */
static text pdf_words(const plan *p) {
    text pdf = {0};
    fault why = {0};
    char path[] = "/tmp/stanch-movement-XXXXXX", command[512];
    close(mkstemp(path));
    if (report_pdf(p, &options, &pdf, &why) != OK) fail_msg("%s", why.text);
    if (file_write(path, pdf.bytes, pdf.length, &why) != OK) fail_msg("%s", why.text);
    text_free(&pdf);
    snprintf(command, sizeof command, "/usr/bin/python3 %s/check_pdf.py %s 2>&1", GOLDEN_FOLDER, path);
    text said = output_of(command);
    if (strcmp(text_get(&said), "fits\n") != 0 && !strstr(text_get(&said), "not found"))
        fail_msg("%s", said.bytes);
    text_free(&said);
    snprintf(command, sizeof command, "pdftotext -layout %s - 2>/dev/null", path);
    said = output_of(command);
    unlink(path);
    return said;
}

static int page_of(const text *words, const char *title) {
    const char *at = strstr(words->bytes, title);
    if (!at) fail_msg("no \"%s\" in the PDF", title);
    int page = 1;
    for (const char *c = words->bytes; c < at; c++) page += *c == '\f';
    return page;
}

static void test_two_on_a_page(void **state) {
    (void)state;
    for (int us = 0; us < 2; us++) {
        plan *p = report_job_one(us ? UNITS_US : UNITS_METRIC);
        gauge_job like[3];
        for (int i = 0; i < 3; i++) like[i] = gauge_job_growing();
        like[1].name = "middle";
        like[2].name = "lower";
        set_gauges(p, like, 3);
        text words = pdf_words(p);
        if (words.length) {
            int first = page_of(&words, "Movement of N1, gauge upper"),
                second = page_of(&words, "Movement of N1, gauge middle"),
                third = page_of(&words, "Movement of N1, gauge lower");
            assert_true(second <= first + 1 && third <= second + 1);
            assert_int_equal(third, first + 1);
            assert_null(strstr(words.bytes, "nan"));
        }
        text_free(&words);
        report_job_free(p);
    }
}

static void test_faults(void **state) {
    (void)state;
    plan *p = report_job_one(UNITS_METRIC);
    text out = {0};
    fault why = {0};
    gauge_job like = gauge_job_growing();
    set_gauges(p, &like, 1);
    assert_int_equal(report_movement_svg(p, 1, 0, &out, &why), E_INPUT);
    assert_string_equal(why.text, "leak 2: the job has 1 leaks");
    assert_int_equal(report_movement_svg(p, 0, 1, &out, &why), E_INPUT);
    assert_string_equal(why.text, "N1: gauge 1: the leak has 1 gauges, counted from 0");
    assert_int_equal(out.length, 0);
    report_job_free(p);
}

static void test_memory_runs_out(void **state) {
    (void)state;
    plan *p = report_job_one(UNITS_METRIC);
    gauge_job like = gauge_job_growing();
    set_gauges(p, &like, 1);
    fault why = {0};
    bool done = false;
    long failed = 0;
    for (long n = 0; !done; n++) {
        text out = {0};
        mem_fail_at(n, 0);
        status code = report_movement_svg(p, 0, 0, &out, &why);
        mem_fail_at(-1, 0);
        done = code == OK;
        if (!done) assert_int_equal(code, E_MEMORY);
        failed += !done;
        text_free(&out);
    }
    assert_true(failed > 4);
    report_job_free(p);
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_kinds_of_gauges),
        cmocka_unit_test(test_any_gauge),
        cmocka_unit_test(test_what_is_told),
        cmocka_unit_test(test_what_is_told_in_inches),
        cmocka_unit_test(test_what_is_told_without_a_verdict),
        cmocka_unit_test(test_a_gauge_that_was_never_fitted),
        cmocka_unit_test(test_svg_is_the_one_looked_at),
        cmocka_unit_test(test_two_on_a_page),
        cmocka_unit_test(test_faults),
        cmocka_unit_test(test_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
