/* The picture of a price with its risk: no text on another or off the sheet, bars as tall as their runs, in either size, whatever
 * the job; the one looked at, of invented figures. */
#include "paper.h"
#include "report_job.h"

#include "core/file.h"
#include "report/offer.h"
#include "report/risk_figure.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static const risk_figure_size ON_PAGE = {181, RISK_FIGURE_TYPE_MM}; /* A4 less its margins */

/* A skewed heap of 1,000 runs; the price as planned lies left of its middle. */
static risk_result invented(void) {
    static risk_input inputs[] = {
        {"Rank of a very long name of a rate that hardly fits beside its bar (invented)", "rates", 1, 2, 3,
         "h/m", "", 0.37},
        {"length of N1", "lengths", 1, 2, 3, "m", "", 0.23},
        {"N3 found wet", "found wet", 0, 10, 100, "% chance", "", 0.21},
        {"Depth of the slots as cut: times", "depth", 0.9, 1, 1.4, "", "", 0.12},
        {"Labour (invented)", "prices", 48, 52, 60, "h", "", 0.07},
    };
    static const size_t heap[] = {2,  6,  13, 25, 41, 55, 69, 78, 84, 86, 84, 78, 70, 62, 53,
                                  44, 36, 29, 23, 17, 13, 10, 7,  5,  4,  2,  2,  1,  0,  1};
    risk_result r = {.options = {1000, 1, 0.2},
                     .total = 11250.4,
                     .price = {12010, 1060, 10710, 11080, 11920, 12890, 13480},
                     .contingency = 1639.6,
                     .inputs = inputs,
                     .n_inputs = 5,
                     .group_shares = {0.23, 0.21, 0.12, 0.37, 0.07},
                     .bin_from = 9600,
                     .bin_width = 180};
    memcpy(r.bins, heap, sizeof heap);
    return r;
}

/* ---- what lies where ---- */

static void check_texts(const sheet *s) {
    static const char *const never[] = {"nan", "inf", NULL};
    check_texts_but(s, never);
}

static void check_paths(const sheet *s) {
    for (size_t i = 0; i < s->n_items; i++)
        for (size_t r = 0; r < s->items[i].n_rings; r++)
            for (size_t k = 0; k < s->items[i].rings[r].n; k++)
                if (!inside(s, s->items[i].rings[r].points[k].x, s->items[i].rings[r].points[k].y))
                    fail_msg("item %zu leaves the sheet", i);
}

static sheet drawn(const risk_result *r, risk_figure_size size, say *words) {
    sheet s = {.memory = words->memory};
    assert_true(risk_figure_draw(r, size, words, &s));
    check_texts(&s);
    check_paths(&s);
    return s;
}

static void both_sizes(const risk_result *r, units_system system) {
    arena *memory = arena_new();
    say words = {.memory = memory, .system = system, .currency = "EUR"};
    drawn(r, RISK_FIGURE_FILE, &words);
    sheet page = drawn(r, ON_PAGE, &words);
    assert_true(page.height < 110); /* two of them go on a sheet */
    arena_free(memory);
}

static void invented_figures(void **state) {
    (void)state;
    risk_result r = invented();
    both_sizes(&r, UNITS_METRIC);
    r.total = 30000; /* far above all runs */
    both_sizes(&r, UNITS_METRIC);
    r.total = 950;
    r.price.p20 = r.price.p50 = r.price.p80 = 17000; /* all at the end */
    both_sizes(&r, UNITS_METRIC);
}

/* Nothing varies; nothing is known to vary; a price of millions. */
static void odd_figures(void **state) {
    (void)state;
    risk_result r = {.options = {100, 1, 0}, .total = 950, .bin_from = 950, .bins = {100}};
    r.price = (spread_summary){950, 0, 950, 950, 950, 950, 950};
    both_sizes(&r, UNITS_METRIC);
    r = invented();
    r.total *= 1e4;
    r.bin_from *= 1e4;
    r.bin_width *= 1e4;
    r.price = (spread_summary){1.2e8, 1e7, 1.07e8, 1.1e8, 1.19e8, 1.29e8, 1.35e8};
    both_sizes(&r, UNITS_US);
}

/* Of the bars below P80 and above: as tall as their runs, each met once. */
static void bars_are_runs(void **state) {
    (void)state;
    risk_result r = invented();
    arena *memory = arena_new();
    say words = {.memory = memory, .system = UNITS_METRIC, .currency = "EUR"};
    sheet s = drawn(&r, ON_PAGE, &words);
    double area = 0, tallest = 0, open = 0, width = 0;
    for (size_t i = 0; i < s.n_items; i++) {
        const sheet_item *t = &s.items[i];
        if (t->ink != INK_ORDER_EARLY &&
            !(t->ink == INK_PLUGGED && t->rings[0].points[0].x < s.width / 2 - 5))
            continue;
        const sheet_point *p = t->rings[0].points;
        double wide = fabs(p[2].x - p[0].x), high = fabs(p[2].y - p[0].y);
        area += wide * high;
        if (t->ink == INK_ORDER_EARLY) open += wide * high;
        if (high > tallest) {
            tallest = high;
            width = wide;
        }
    }
    double runs = 0, above = 0;
    for (size_t i = 0; i < RISK_BINS; i++) {
        double from = r.bin_from + (double)i * r.bin_width, to = from + r.bin_width;
        runs += (double)r.bins[i];
        above += (double)r.bins[i] * fmin(fmax((to - r.price.p80) / (to - from), 0), 1);
    }
    assert_true(fabs(area / (tallest * width) - runs / 86) < 1e-6);
    assert_true(fabs(open / area - above / runs) < 1e-6);
    arena_free(memory);
}

static void of_jobs(void **state) {
    (void)state;
    static const char *const files[] = {EXAMPLES_FOLDER "/pump-house.json", EXAMPLES_FOLDER "/small-us.json"};
    for (size_t i = 0; i < 2; i++) {
        plan *p = report_job_file(files[i]);
        risk_result r;
        fault why = {0};
        if (risk_run(p, &(spread_options){1000, 1, 0}, p->memory, &r, &why) != OK) fail_msg("%s", why.text);
        both_sizes(&r, p->survey->site.system);
        report_job_free(p);
    }
}

static void the_one_looked_at(void **state) {
    (void)state;
    const risk_result r = invented();
    plan *p = report_job_one(UNITS_METRIC);
    text now = {0};
    char *golden = NULL;
    size_t length = 0;
    fault why = {0};
    assert_int_equal(report_risk_svg(p, &r, &now, &why), OK);
    if (getenv("STANCH_WRITE_GOLDEN")) file_write(GOLDEN_FOLDER "/risk.svg", now.bytes, now.length, &why);
    if (file_read(GOLDEN_FOLDER "/risk.svg", &golden, &length, &why) != OK) fail_msg("%s", why.text);
    assert_string_equal(text_get(&now), golden);
    mem_free(golden);
    text_free(&now);
    report_job_free(p);
}

static void without_memory(void **state) {
    (void)state;
    const risk_result r = invented();
    plan *p = report_job_one(UNITS_METRIC);
    status code = E_MEMORY;
    for (long n = 0; code == E_MEMORY; n++) {
        text out = {0};
        mem_fail_at(n, 1);
        code = report_risk_svg(p, &r, &out, NULL);
        mem_fail_at(-1, 0);
        text_free(&out);
    }
    assert_int_equal(code, OK);
    report_job_free(p);
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(invented_figures),  cmocka_unit_test(odd_figures),
        cmocka_unit_test(bars_are_runs),     cmocka_unit_test(of_jobs),
        cmocka_unit_test(the_one_looked_at), cmocka_unit_test(without_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
