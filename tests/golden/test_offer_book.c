/* The spreadsheet of an offer, counted again by an evaluator of its own, comes to the plan's total to the cent: as it stands, and
 * with each rate and price changed, against a plan made with that rate or price. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "core/file.h"
#include "paper.h"
#include "report/offer.h"
#include "report/offer_amounts.h"
#include "report_job.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static int drop_folder(void **state) {
    (void)state;
    static const char *const files[] = {"offer.xlsx", "changes", NULL};
    return paper_drop(files);
}

static const offer_options options = {.date = "2026-03-01", .version = "0.1.0", .number = 3};

static double total_now(survey *s) {
    const plan_options off = {.planes = PLANES_OFF, .threads = 1};
    plan *p = NULL;
    fault why = {0};
    if (plan_make(s, &off, &p, &why) != OK) fail_msg("%s", why.text);
    double total = p->price.total;
    plan_free(p);
    return total;
}

/* The job again, after its site was changed. */
static plan *again(plan *p) {
    const survey *s = p->survey;
    const plan_options off = {.planes = PLANES_OFF, .threads = 1};
    fault why = {0};
    plan_free(p);
    if (plan_make(s, &off, &p, &why) != OK) fail_msg("%s", why.text);
    return p;
}

static survey *open_survey(const plan *p) {
    return (survey *)(uintptr_t)p->survey;
}

/* Each rate that counts and each price, one after another, to a figure of its own; at most `most` of them. */
static void list_changes(const plan *p, size_t most, text *out) {
    survey *s = open_survey(p); /* put back after each */
    arena *memory = arena_new();
    say words = {.memory = memory, .system = s->site.system, .currency = s->site.currency};
    double sums[AMOUNT_COUNT] = {0}, times;
    for (size_t i = 0; i < p->n_leaks; i++) {
        offer_leak leak;
        offer_leak_count(p, i, &leak);
        for (size_t k = 0; k < AMOUNT_COUNT; k++) sums[k] += leak.values[k];
    }
    size_t n = 0;
    for (size_t i = 0; i < s->n_rates && n < most; i++) {
        survey_rate *rate = &s->rates[i];
        if (!offer_rate_counts(rate, sums) || strcmp(rate->id, "waste_percent") == 0) continue;
        double kept = rate->value;
        rate->value = kept * 1.37;
        offer_unit(&words, rate->unit, &times);
        text_print(out, "Rates\t%s\t%.17g\t%.2f\n", offer_rate_label(&words, rate), rate->value * times,
                   total_now(s));
        rate->value = kept;
        n++;
    }
    for (size_t i = 0; i < s->n_prices && n < most; i++, n++) {
        survey_price *price = &s->prices[i];
        double kept = price->price;
        price->price = strcmp(price->id, "minimum_charge") == 0 ? 1e6 : kept * 1.37;
        offer_unit(&words, price->unit, &times);
        text_print(out, "Prices\t%s\t%.17g\t%.2f\n", price->label, price->price / times, total_now(s));
        price->price = kept;
    }
    arena_free(memory);
}

/* Takes the plan. */
static void hold(plan *p, size_t changes) {
    fault why = {0};
    text list = {0};
    if (report_offer_xlsx(p, NULL, &options, in_folder("offer.xlsx"), &why) != OK) fail_msg("%s", why.text);
    list_changes(p, changes, &list);
    if (file_write(in_folder("changes"), text_get(&list), list.length, &why) != OK) fail_msg("%s", why.text);
    text_free(&list);
    char command[400];
    snprintf(command, sizeof command, "/usr/bin/python3 %s/check_offer.py %s %.2f %s 2>&1", GOLDEN_FOLDER,
             in_folder("offer.xlsx"), p->price.total, in_folder("changes"));
    report_job_free(p);
    text said = output_of(command);
    bool absent = strstr(text_get(&said), "No module named") || strstr(text_get(&said), "not found");
    if (!absent && strcmp(text_get(&said), "agrees\n") != 0) fail_msg("%s", text_get(&said));
    text_free(&said);
    if (absent) skip();
}

static void test_demo(void **state) {
    (void)state;
    hold(report_job_file(EXAMPLES_FOLDER "/pump-house.json"), 100);
}

static void test_us(void **state) {
    (void)state;
    plan *p = report_job_file(EXAMPLES_FOLDER "/small-us.json");
    open_survey(p)->site.system = UNITS_US; /* as the job that takes it in would be */
    hold(again(p), 100);
}

static void test_every_way(void **state) {
    (void)state;
    hold(report_job_ways(UNITS_METRIC), 100);
}

static void test_every_way_in_us(void **state) {
    (void)state;
    hold(report_job_ways(UNITS_US), 12);
}

static void test_cuts(void **state) {
    (void)state;
    hold(report_job_cuts(), 12);
}

/* Hours that fill two days but for the noise of their sum: it must not cost half a day. */
static void test_full_days(void **state) {
    (void)state;
    plan *p = report_job_cuts();
    open_survey(p)->site.crew = 1;
    open_survey(p)->site.shift_h = p->price.hours_total / 2 * (1 - 1e-13);
    p = again(p);
    assert_true(p->price.crew_days == 2);
    hold(p, 0);
}

static double next_random(uint64_t *state) { /* splitmix64 (Steele, Lea, Flood 2014; constants from memory) */
    uint64_t z = *state += 0x9e3779b97f4a7c15;
    z = (z ^ z >> 30) * 0xbf58476d1ce4e5b9;
    z = (z ^ z >> 27) * 0x94d049bb133111eb;
    return (double)((z ^ z >> 31) >> 11) / 9007199254740992.0;
}

/* Other rates and prices each time: decimals as people type them, which fall on half cents often. */
static void test_random(void **state) {
    (void)state;
    uint64_t seed = 20260301;
    for (size_t k = 0; k < 2; k++) {
        plan *p = report_job_crowd(5 + 3 * k, 2);
        survey *s = open_survey(p);
        s->site.system = k % 2 ? UNITS_US : UNITS_METRIC;
        for (size_t i = 0; i < s->n_rates; i++)
            if (strcmp(s->rates[i].id, "waste_percent") != 0)
                s->rates[i].value = ceil(s->rates[i].value * (0.5 + next_random(&seed)) * 1000) / 1000;
        for (size_t i = 0; i < s->n_prices; i++)
            s->prices[i].price = ceil(s->prices[i].price * (0.5 + next_random(&seed)) * 20) / 20;
        p = again(p);
        print_message("job %zu of seed 20260301: %.2f\n", k, p->price.total);
        hold(p, 12);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_demo),      cmocka_unit_test(test_us),
        cmocka_unit_test(test_every_way), cmocka_unit_test(test_every_way_in_us),
        cmocka_unit_test(test_cuts),      cmocka_unit_test(test_full_days),
        cmocka_unit_test(test_random),
    };
    return cmocka_run_group_tests_name("offer_book", tests, NULL, drop_folder);
}
