/* The calendar of the works: line by line after RFC 5545, the same events each time, and what an outside reader makes of it. */
#include "report_job.h"
#include "works_job.h"

#include "core/file.h"
#include "report/ical.h"

#include <gsl/gsl_errno.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

static const ical_options OPTIONS = {"2026-03-01", "0.1.0", "cellar"};

static text calendar_of(const plan *p, const works_plan *w) {
    text out = {0};
    fault why = {0};
    if (report_ical(p->survey, w, &OPTIONS, &out, &why) != OK) fail_msg("%s", why.text);
    return out;
}

/* Removing each CRLF that a space follows gives the line back (3.1); no line is over 75 octets, none begins inside a character. */
static text unfold(const text *from) {
    text whole = {0};
    size_t line = 0;
    for (const char *c = text_get(from); *c; c++) {
        if (*c != '\r') {
            assert_true(*c != '\n');
            if (line++ == 0) assert_true(((unsigned char)*c & 0xc0) != 0x80);
            if (line == 2 && c[-1] == ' ') assert_true(((unsigned char)*c & 0xc0) != 0x80);
            assert_true(line <= 75);
            text_add_bytes(&whole, c, 1);
            continue;
        }
        assert_int_equal(c[1], '\n');
        c++;
        line = 0;
        if (c[1] == ' ') {
            c++;
            line = 1;
        } else {
            text_add(&whole, "\n");
        }
    }
    return whole;
}

static void has(const text *all, const char *words) {
    if (!strstr(text_get(all), words)) fail_msg("no \"%s\" in\n%s", words, text_get(all));
}

static size_t count(const text *all, const char *words) {
    size_t n = 0;
    for (const char *at = text_get(all); (at = strstr(at, words)); at++) n++;
    return n;
}

/* The example of RFC 5545, 3.3.11, and its long line of 3.1. */
static void test_lines_of_the_standard(void **state) {
    (void)state;
    arena *memory = arena_new();
    text out = {0};
    ical_add_text(&out, "DESCRIPTION", "Project XYZ Final Review\nConference Room - 3B\nCome Prepared.");
    text whole = unfold(&out);
    assert_string_equal(text_get(&whole),
                        "DESCRIPTION:Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared.\n");
    assert_int_equal(count(&out, "\r\n"), 1); /* 74 octets */
    text_free(&out);
    text_free(&whole);
    ical_add_text(&out, "X", "a;b,c\\d\x01");
    assert_string_equal(text_get(&out), "X:a\\;b\\,c\\\\d\r\n");
    text_free(&out);
    for (size_t n = 72; n < 76; n++) { /* "X:" and so many: 75 is one line, 76 are two */
        ical_add_text(&out, "X", arena_print(memory, "%0*d", (int)n, 7));
        assert_int_equal(count(&out, "\r\n"), n > 73 ? 2 : 1);
        text_free(&out);
    }
    arena_free(memory);
    for (size_t n = 60; n < 160; n++) { /* characters of two and three octets at every place of the fold */
        text value = {0};
        for (size_t i = 0; i < n; i++) text_add(&value, i % 3 ? "é" : i % 2 ? "東" : "a");
        ical_add_text(&out, "X", text_get(&value));
        whole = unfold(&out);
        assert_memory_equal(whole.bytes + 2, value.bytes, value.length);
        assert_int_equal(whole.length, value.length + 3);
        text_free(&value);
        text_free(&whole);
        text_free(&out);
    }
}

static void test_events(void **state) {
    (void)state;
    plan *p = report_job_crowd(3, 2);
    ((survey *)(uintptr_t)p->survey)->site.name = "Cellar; north, lower\\deep";
    const works_plan *w = works_job_fill(p->survey, (works_job){"2026-03-05", 0, 2, 0, false}, p->memory);
    text out = calendar_of(p, w), again = calendar_of(p, w), whole = unfold(&out);
    assert_string_equal(text_get(&out), text_get(&again));
    has(&whole, "BEGIN:VCALENDAR\nVERSION:2.0\nPRODID:-//stanch//works 0.1.0//EN\n");
    has(&whole, "NAME:Cellar\\; north\\, lower\\\\deep\n");
    has(&whole, "SUMMARY:Works\\, day 1: Cellar\\;");
    has(&whole,
        "DTSTART:20260305T070000\nDTEND:20260305T153000\nDESCRIPTION:07:00 A0: Set up\\n07:20 A0: Find");
    has(&whole, "DESCRIPTION:mist: all of it\nBEGIN:VALARM\n");
    has(&whole, "SUMMARY:A0: water may come back\n");
    /* opened on Monday 9 March: a day, a week and four weeks later */
    has(&whole,
        "SUMMARY:Look again\\, 24 h: A0\\, B1\\, C2\nLOCATION:nowhere\nDTSTART;VALUE=DATE:20260310\n");
    has(&whole, "DTSTART;VALUE=DATE:20260316\n");
    has(&whole, "DTSTART;VALUE=DATE:20260406\n");
    size_t visits = 0;
    for (size_t i = 0; i < w->n_tasks; i++) visits += strcmp(w->tasks[i].step, "mist") == 0;
    assert_true(visits > 3);
    assert_int_equal(count(&whole, "BEGIN:VALARM"), visits);
    assert_int_equal(count(&whole, "TRIGGER:-PT15M"), visits);
    assert_int_equal(count(&whole, "DTSTAMP:20260301T000000Z\n"), count(&whole, "BEGIN:VEVENT\n"));
    assert_null(strstr(text_get(&whole), "TZID"));
    text_free(&out);
    text_free(&again);
    text_free(&whole);
    report_job_free(p);
}

static void test_faults(void **state) {
    (void)state;
    plan *p = report_job_crowd(1, 1);
    const works_plan *w = works_job_fill(p->survey, (works_job){NULL, 0, 2, 0, false}, p->memory);
    text out = {0};
    fault why = {0};
    assert_int_equal(report_ical(p->survey, w, &OPTIONS, &out, &why), E_STATE);
    assert_string_equal(why.text, "the works have no first day: tell one before a calendar is made");
    ical_options bad = OPTIONS;
    bad.date = "1.3.2026";
    assert_int_equal(report_ical(p->survey, w, &bad, &out, &why), E_INPUT);
    w = works_job_fill(p->survey, (works_job){"2026-03-05", 0, 2, 0, false}, p->memory);
    for (long n = 0;; n++) {
        text some = {0};
        mem_fail_at(n, 0);
        status code = report_ical(p->survey, w, &OPTIONS, &some, &why);
        mem_fail_at(-1, 0);
        text_free(&some);
        if (code == OK) break;
        assert_int_equal(code, E_MEMORY);
    }
    report_job_free(p);
}

/* Debian's python3-icalendar, an outside reader: check_ical.py says what it found. */
static void test_another_reader_takes_it(void **state) {
    (void)state;
    plan *p = report_job_crowd(20, 3);
    const works_plan *w = works_job_fill(p->survey, (works_job){"2026-12-28", 0, 4, 0, false}, p->memory);
    text out = calendar_of(p, w);
    fault why = {0};
    char path[] = "/tmp/stanch-ical-XXXXXX", command[512], said[4096] = "";
    close(mkstemp(path));
    if (file_write(path, out.bytes, out.length, &why) != OK) fail_msg("%s", why.text);
    snprintf(command, sizeof command, "/usr/bin/python3 %s/check_ical.py %s 2>&1", GOLDEN_FOLDER, path);
    FILE *pipe = popen(command, "r");
    assert_non_null(pipe);
    said[fread(said, 1, sizeof said - 1, pipe)] = '\0';
    pclose(pipe);
    unlink(path);
    text_free(&out);
    report_job_free(p);
    if (strncmp(said, "skip:", 5) == 0 || strstr(said, "not found")) {
        print_message("skipped: %s", said);
        skip();
    }
    assert_string_equal(said, "agrees\n");
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_lines_of_the_standard),
        cmocka_unit_test(test_events),
        cmocka_unit_test(test_faults),
        cmocka_unit_test(test_another_reader_takes_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
