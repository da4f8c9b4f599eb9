/* The offer on paper: what it says, that its lines add up, that nothing leaves its page, and the same bytes each time. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "core/file.h"
#include "paper.h"
#include "report/offer.h"
#include "report_job.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static int drop_folder(void **state) {
    (void)state;
    static const char *const files[] = {"offer.pdf", NULL};
    return paper_drop(files);
}

static const spread_options few = {500, 7, 0};

static text pdf_of(plan *p, const offer_options *options) {
    risk_result risk;
    fault why = {0};
    text pdf = {0};
    if (risk_run(p, &few, p->memory, &risk, &why) != OK) fail_msg("%s", why.text);
    if (report_offer_pdf(p, &risk, options, &pdf, &why) != OK) fail_msg("%s", why.text);
    return pdf;
}

/* Its words, after a look at where they stand; "" where the tools are not there. */
static text words_of(plan *p, const offer_options *options) {
    text pdf = pdf_of(p, options);
    fault why = {0};
    char command[256];
    if (file_write(in_folder("offer.pdf"), pdf.bytes, pdf.length, &why) != OK) fail_msg("%s", why.text);
    text_free(&pdf);
    snprintf(command, sizeof command, "/usr/bin/python3 %s/check_pdf.py %s 2>&1", GOLDEN_FOLDER,
             in_folder("offer.pdf"));
    text said = output_of(command);
    if (strcmp(text_get(&said), "fits\n") != 0 && !strstr(text_get(&said), "not found"))
        fail_msg("%s", text_get(&said));
    text_free(&said);
    snprintf(command, sizeof command, "pdftotext -layout %s - 2>/dev/null", in_folder("offer.pdf"));
    return output_of(command);
}

static void says(const text *words, const char *what) {
    if (!strstr(text_get(words), what)) fail_msg("\"%s\" is not in %s", what, text_get(words));
}

static const offer_options third = {.date = "2026-03-01", .version = "0.1.0", .number = 3};

static void test_demo(void **state) {
    (void)state;
    plan *p = report_job_file(EXAMPLES_FOLDER "/pump-house.json");
    text words = words_of(p, &third);
    report_job_free(p);
    if (words.length == 0) skip();
    static const char *const all[] = {"OFFER TO SEAL",
                                      "Offer 3 of 2026-03-01",
                                      "From: the firm",
                                      "Price: ",
                                      "(P50)",
                                      "(P80)",
                                      "contingency",
                                      "Not included",
                                      "valid until",
                                      "21 of 21 prices",
                                      "catalogue, stands for no market",
                                      "Cautions for the whole job",
                                      "Rates and prices",
                                      "our default",
                                      "Assumptions",
                                      "offer 3 · plan",
                                      "For the job as a whole"};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) says(&words, all[i]);
    text_free(&words);
}

/* Without the risk nothing of it is said anywhere. */
static void test_without_risk(void **state) {
    (void)state;
    plan *p = report_job_one(UNITS_METRIC);
    offer_options quiet = third;
    quiet.without_risk = true;
    quiet.number = 0;
    text words = words_of(p, &quiet);
    report_job_free(p);
    if (words.length == 0) skip();
    says(&words, "Draft of 2026-03-01: not kept in the job, no offer");
    static const char *const none[] = {"P50", "P80", "ontingency", "come out", "seed"};
    for (size_t i = 0; i < sizeof none / sizeof *none; i++)
        if (strstr(text_get(&words), none[i])) fail_msg("\"%s\" is in %s", none[i], text_get(&words));
    text_free(&words);
}

/* The file again as a US job. */
static plan *in_us(plan *p) {
    survey *s = (survey *)(uintptr_t)p->survey;
    const plan_options off = {.planes = PLANES_OFF, .threads = 1};
    fault why = {0};
    plan_free(p);
    s->site.system = UNITS_US;
    s->site.letter_paper = true;
    if (plan_make(s, &off, &p, &why) != OK) fail_msg("%s", why.text);
    return p;
}

static void test_us(void **state) {
    (void)state;
    plan *jobs[] = {in_us(report_job_file(EXAMPLES_FOLDER "/small-us.json")), report_job_ways(UNITS_US)};
    size_t seen = 0;
    for (size_t i = 0; i < 2; i++) {
        text words = words_of(jobs[i], &third);
        report_job_free(jobs[i]);
        seen += words.length;
        if (words.length && strstr(text_get(&words), " mm")) fail_msg("millimetres in %s", text_get(&words));
        if (words.length) says(&words, "h/ft");
        if (words.length && i == 0) {
            says(&words, "1 crew day, ");
            says(&words, " USD/visit"); /* a price is money, not visits */
        }
        text_free(&words);
    }
    if (seen == 0) skip();
}

static void test_many_fit(void **state) {
    (void)state;
    plan *jobs[] = {
        report_job_ways(UNITS_METRIC), report_job_cuts(), report_job_crowd(40, 4),
        report_job_named(
            "東京 Pumpenhaus mit einem sehr langen Namen, der nicht endet und nicht endet und nicht endet",
            "Wand", "N1")};
    for (size_t i = 0; i < sizeof jobs / sizeof *jobs; i++) {
        text words = words_of(jobs[i], &third);
        text_free(&words);
        report_job_free(jobs[i]);
    }
}

static void test_same_bytes(void **state) {
    (void)state;
    plan *p = report_job_ways(UNITS_METRIC);
    text first = pdf_of(p, &third);
    sleep(1); /* a clock that leaked in would show */
    text second = pdf_of(p, &third);
    assert_int_equal(first.length, second.length);
    assert_memory_equal(first.bytes, second.bytes, first.length);
    text_free(&second);
    offer_options other = third;
    other.number = 4;
    second = pdf_of(p, &other);
    assert_false(first.length == second.length && memcmp(first.bytes, second.bytes, first.length) == 0);
    text_free(&first);
    text_free(&second);
    fault why = {0};
    other.date = "1 March";
    assert_int_equal(report_offer_pdf(p, NULL, &other, &first, &why), E_INPUT);
    text_free(&first);
    report_job_free(p);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_demo),     cmocka_unit_test(test_without_risk), cmocka_unit_test(test_us),
        cmocka_unit_test(test_many_fit), cmocka_unit_test(test_same_bytes),
    };
    return cmocka_run_group_tests_name("offer_pdf", tests, NULL, drop_folder);
}
