/* The sheet of a day: who does what when, batches, hold points, exposures, in both systems of units; the day that is asked for; the
 * page on A4 and Letter, with its code; the works in the document. The works are filled by hand (works_job.h). */
#include "paper.h"
#include "report_job.h"
#include "works_job.h"

#include "core/file.h"
#include "report/day_sheet.h"

#include <gsl/gsl_errno.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

static const report_options OPTIONS = {"2026-03-01", "0.1.0", "https://192.0.2.7:8466/#/job/cellar/"};

typedef struct {
    plan *plan;
    const works_plan *works;
    say words;
} job;

static job job_of(size_t leaks, size_t faces, works_job like, bool us) {
    plan *p = report_job_crowd(leaks, faces);
    survey_site *site = &((survey *)(uintptr_t)p->survey)->site;
    site->system = us ? UNITS_US : UNITS_METRIC;
    site->letter_paper = us;
    works_plan *w = works_job_fill(p->survey, like, p->memory);
    return (job){p, w, {.memory = p->memory, .system = site->system, .currency = "EUR"}};
}

static day_sheet sheet_of(job *j, int day) {
    day_sheet s;
    fault why = {0};
    if (day_sheet_make(j->plan, j->works, day, &j->words, &s, &why) != OK) fail_msg("%s", why.text);
    return s;
}

/* ---- what is told ---- */

static void test_a_day_in_metric(void **state) {
    (void)state;
    job j = job_of(3, 2, (works_job){"2026-03-05", 0, 2, 0, false}, false);
    day_sheet s = sheet_of(&j, 1);
    assert_string_equal(s.title, "Fri 6 March 2026, day 2");
    assert_string_equal(s.date, "2026-03-06");
    assert_string_equal(s.hours, "07:00-12:00, 12:30-15:30");
    assert_string_equal(s.crew, "Worker 1, Worker 2");
    assert_string_equal(s.tasks[0].hours, "07:00-08:25");
    assert_string_equal(s.tasks[0].where, "A0");
    assert_string_equal(s.tasks[0].task, "Plug, 07:30 First coat, 07:50 Dry-pack");
    assert_string_equal(s.tasks[0].people, "Worker 1, Worker 2");
    for (size_t i = 1; i < s.n_tasks; i++) assert_true(strcmp(s.tasks[i - 1].hours, s.tasks[i].hours) <= 0);
    assert_int_equal(s.n_batches, 12); /* three leaks: plug, first coat, pack, last coat */
    assert_string_equal(s.batches[0].mixed, "07:00, 07:03");
    assert_string_equal(s.batches[0].use_by, "07:02, 07:05");
    assert_string_equal(s.batches[0].what, "A0 plug");
    assert_string_equal(s.batches[0].take, "1.8\u00a0kg + 0.5\u00a0l");
    assert_string_equal(s.batches[0].measure, "1.5 + 0.5 cup");
    assert_string_equal(s.tub, "Powder + water. A tub holds 10\u00a0l, a cup 1\u00a0l, each with 10 marks.");
    assert_non_null(strstr(s.visits, "face W0"));
    assert_string_equal(s.tasks[s.n_tasks - 1].where, "face W1");
    assert_string_equal(s.tasks[s.n_tasks - 1].task, "mist: all of it");
    assert_int_equal(s.n_people, 0);
    report_job_free(j.plan);
}

static void test_cutting_is_looked_after(void **state) {
    (void)state;
    job j = job_of(6, 2, (works_job){"2026-03-05", 0, 2, 0, false}, false);
    day_sheet s = sheet_of(&j, 0);
    assert_int_equal(s.n_people, 2);
    assert_string_equal(s.people[0].who, "Worker 1");
    assert_non_null(strstr(s.people[0].vibration, " points, A(8) 2.1 m/s²"));
    assert_non_null(strstr(s.people[0].respirator, "APF 10"));
    assert_non_null(strstr(s.people[0].sentence, "a third person"));
    assert_true(s.n_controls > 0 && s.n_cautions > 0 && s.n_holds > 0);
    assert_string_equal(s.tasks[0].task,
                        "Set up, 07:20 Find bars and services, 07:35 Cut the slot, 08:50 Wash");
    bool plant = false, scan = false;
    for (size_t i = 0; i < s.n_tasks; i++) plant = plant || strcmp(s.tasks[i].plant, "cutter, vacuum") == 0;
    for (size_t i = 0; i < s.n_holds; i++) scan = scan || strstr(s.holds[i].title, "can");
    assert_true(plant && scan);
    for (size_t i = 0; i < s.n_cautions; i++)
        for (size_t k = 0; k < i; k++) assert_string_not_equal(s.cautions[i].second, s.cautions[k].second);
    report_job_free(j.plan);
}

static void no_metric(const char *words) {
    const char *litres = strstr(words, "\u00a0l");
    if ((litres && !strstr(litres, "\u00a0lb")) || strstr(words, "kg") || strstr(words, "mm"))
        fail_msg("\"%s\"", words);
}

/* 1.8 kg = 3.97 lb, 0.5 l = 0.132 gal, 10 l = 2.64 gal (units.h) */
static void test_a_day_in_us_units(void **state) {
    (void)state;
    job j = job_of(3, 2, (works_job){"2026-03-05", 0, 2, 0, false}, true);
    day_sheet s = sheet_of(&j, 1);
    assert_string_equal(s.title, "Fri, March 6, 2026, day 2");
    assert_string_equal(s.hours, "7:00\u00a0am-12:00\u00a0pm, 12:30-3:30\u00a0pm");
    assert_string_equal(s.batches[0].mixed, "7:00, 7:03\u00a0am");
    assert_string_equal(s.batches[0].take, "3.97\u00a0lb + 0.132\u00a0gal");
    assert_string_equal(
        s.tub, "Powder + water. A tub holds 2.64\u00a0gal, a cup 0.264\u00a0gal, each with 10 marks.");
    for (size_t i = 0; i < s.n_batches; i++) no_metric(s.batches[i].take);
    report_job_free(j.plan);
}

/* ---- which day ---- */

static void refused(job *j, const char *word, status code, const char *sentence) {
    fault why = {0};
    int day;
    assert_int_equal(day_sheet_find(j->works, word, &j->words, &day, &why), code);
    assert_string_equal(why.text, sentence);
}

static void test_which_day(void **state) {
    (void)state;
    job j = job_of(3, 2, (works_job){"2026-03-05", 0, 2, 0, false}, false);
    fault why = {0};
    int day;
    assert_int_equal(day_sheet_find(j.works, "2026-03-06", &j.words, &day, &why), OK);
    assert_int_equal(day, 1);
    assert_int_equal(day_sheet_find(j.works, "5", &j.words, &day, &why), OK);
    assert_int_equal(day, 4);
    refused(&j, "2026-03-07", E_STATE,
            "no work on Sat 7 March 2026; the next day with work is Mon 9 March 2026");
    refused(&j, "2026-02-01", E_STATE,
            "no work on Sun 1 February 2026; the next day with work is Thu 5 March 2026");
    refused(&j, "90", E_STATE, "no work on Tue 2 June 2026; the works end on Tue 10 March 2026");
    refused(&j, "2199-01-01", E_STATE, "no work on Tue 1 January 2199; the works end on Tue 10 March 2026");
    refused(&j, "9999-01-01", E_STATE, "no work on 9999-01-01: the works begin on 2026-03-05");
    static const char said[] =
        "the day is \"%s\"; it must be a date as YYYY-MM-DD or the number of a day, from 1 on";
    static const char *const wrong[] = {"0", "-1", "monday", "2026-02-30", "1234567", "", "3 "};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        char sentence[200];
        snprintf(sentence, sizeof sentence, said, wrong[i]);
        refused(&j, wrong[i], E_INPUT, sentence);
    }
    report_job_free(j.plan);
    j = job_of(3, 2, (works_job){NULL, 0, 2, 0, false}, false);
    refused(&j, "2026-03-06", E_STATE, "the works have no first day: name a day by its number, from 1 on");
    assert_int_equal(day_sheet_find(j.works, "1", &j.words, &day, &why), OK);
    report_job_free(j.plan);
}

/* ---- on paper ---- */

/* Words of a PDF; what lies on another or leaves its page fails. Empty without pdftotext. Keeps the file for looking at
 * where STANCH_KEEP names a folder. */
static text words_of(const text *pdf, const char *name) {
    fault why = {0};
    char path[] = "/tmp/stanch-day-XXXXXX", command[600];
    close(mkstemp(path));
    if (file_write(path, pdf->bytes, pdf->length, &why) != OK) fail_msg("%s", why.text);
    if (getenv("STANCH_KEEP")) {
        snprintf(command, sizeof command, "%.200s/%s.pdf", getenv("STANCH_KEEP"), name);
        file_write(command, pdf->bytes, pdf->length, &why);
    }
    snprintf(command, sizeof command, "/usr/bin/python3 %s/check_pdf.py %s 2>&1", GOLDEN_FOLDER, path);
    text said = output_of(command);
    if (strcmp(text_get(&said), "fits\n") != 0 && !strstr(text_get(&said), "not found"))
        fail_msg("%s: %s", name, said.bytes);
    text_free(&said);
    snprintf(command, sizeof command, "pdftotext -layout %s - 2>/dev/null", path);
    said = output_of(command);
    unlink(path);
    return said;
}

static size_t pages_of(const text *words) {
    size_t n = 0;
    for (const char *c = text_get(words); *c; c++) n += *c == '\f';
    return n;
}

static void test_a_page_a_day(void **state) {
    (void)state;
    for (int us = 0; us < 2; us++) {
        job j = job_of(20, 3, (works_job){"2026-03-02", 0, us ? 2 : 4, 0, us}, us);
        text one = {0}, all = {0}, again = {0};
        fault why = {0};
        size_t days = works_days_worked(j.works, j.plan->memory);
        int last = works_day_of(j.works->makespan_min);
        if (report_day_pdf(j.plan, j.works, &OPTIONS, (int[2]){1, 1}, &one, &why) != OK)
            fail_msg("%s", why.text);
        assert_int_equal(report_day_pdf(j.plan, j.works, &OPTIONS, (int[2]){1, 1}, &again, &why), OK);
        assert_int_equal(one.length, again.length);
        assert_memory_equal(one.bytes, again.bytes, one.length);
        assert_int_equal(report_day_pdf(j.plan, j.works, &OPTIONS, (int[2]){0, last}, &all, &why), OK);
        text words = words_of(&one, us ? "day_us" : "day");
        if (words.length) {
            assert_non_null(
                strstr(words.bytes, us ? "Tue, March 3, 2026, day 2" : "Tue 3 March 2026, day 2"));
            assert_non_null(strstr(words.bytes, "Hold point"));
            assert_int_equal(pages_of(&words), 1);
            text_free(&words);
            words = words_of(&all, us ? "days_us" : "days");
            assert_in_range(pages_of(&words), days, days + 1); /* one of them has ten proofs and 14 mixes */
        }
        text_free(&words);
        text_free(&one);
        text_free(&all);
        text_free(&again);
        report_job_free(j.plan);
    }
}

/* The works come after the price, across; the cover tells when, and when the place is out of service. */
static void test_the_document(void **state) {
    (void)state;
    static const size_t leaks[] = {4, 10};
    for (int k = 0; k < 2; k++) {
        job j = job_of(leaks[k], 3, (works_job){k ? "2026-03-02" : NULL, 10, 4, 0, false}, k == 1);
        text pdf = {0};
        fault why = {0};
        j.plan->works = j.works;
        if (report_pdf(j.plan, &OPTIONS, &pdf, &why) != OK) fail_msg("%s", why.text);
        static const char *const names[] = {"plan", "plan_us"};
        text words = words_of(&pdf, names[k]);
        if (words.length) {
            assert_non_null(strstr(words.bytes, "Out of service"));
            assert_non_null(strstr(words.bytes, ", the works from page "));
            assert_non_null(strstr(words.bytes, "The works, by leak"));
            assert_non_null(strstr(words.bytes, "The works, by person"));
            assert_true((strstr(words.bytes, "Back in service by") != NULL) == (k > 0));
        }
        text_free(&words);
        text_free(&pdf);
        report_job_free(j.plan);
    }
}

static void test_memory_runs_out(void **state) {
    (void)state;
    job j = job_of(3, 2, (works_job){"2026-03-05", 0, 2, 0, false}, false);
    fault why = {0};
    for (long n = 0;; n++) {
        day_sheet s;
        say words = {.memory = arena_new()};
        mem_fail_at(n, 0);
        status code = day_sheet_make(j.plan, j.works, 1, &words, &s, &why);
        mem_fail_at(-1, 0);
        arena_free(words.memory);
        if (code == OK) break;
        assert_int_equal(code, E_MEMORY);
    }
    /* The memory of heights and the code do without: then the sheet is the same, or has no code. */
    for (long n = 0, stride = 1; n < 4000; n += stride) {
        text out = {0};
        mem_fail_at(n, 0);
        status code = report_day_pdf(j.plan, j.works, &OPTIONS, (int[2]){1, 1}, &out, &why);
        mem_fail_at(-1, 0);
        text_free(&out);
        assert_true(code == OK || code == E_MEMORY);
        if (n > 40) stride = 397;
    }
    report_job_free(j.plan);
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_day_in_metric),   cmocka_unit_test(test_cutting_is_looked_after),
        cmocka_unit_test(test_a_day_in_us_units), cmocka_unit_test(test_which_day),
        cmocka_unit_test(test_a_page_a_day),      cmocka_unit_test(test_the_document),
        cmocka_unit_test(test_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
