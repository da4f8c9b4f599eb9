/* The works as bars: every task once, nothing off the sheet, no text on another, in both forms, sizes and systems of units, for one
 * day and for all; strips no higher than their room; the one looked at. The works are filled by hand (works_job.h). */
#include "paper.h"
#include "report_job.h"
#include "works_job.h"

#include "core/file.h"
#include "report/gantt.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static const gantt_room PAGE = {268, GANTT_PAGE_TYPE_MM, 140,
                                GANTT_ALL_DAYS}; /* A4 across, less margins and heading */

/* ---- what lies where ---- */

static bool apart(sheet_box a, sheet_box b) {
    return !(a.x < b.x + b.width - 0.01 && b.x < a.x + a.width - 0.01 && a.y < b.y + b.height - 0.01 &&
             b.y < a.y + a.height - 0.01);
}

static void check_sheet(const sheet *s) {
    sheet_box *boxes = arena_get(s->memory, s->n_items + 1, sizeof *boxes);
    size_t n = 0;
    assert_non_null(boxes);
    assert_false(s->failed);
    for (size_t i = 0; i < s->n_items; i++) {
        const sheet_item *t = &s->items[i];
        for (size_t r = 0; r < t->n_rings; r++)
            for (size_t k = 0; k < t->rings[r].n; k++)
                if (!inside(s, t->rings[r].points[k].x, t->rings[r].points[k].y))
                    fail_msg("item %zu, %s, leaves the sheet at %g, %g", i, sheet_inks[t->ink].name,
                             t->rings[r].points[k].x, t->rings[r].points[k].y);
        if (t->kind != ITEM_TEXT) continue;
        sheet_box box = box_of(t);
        if (!inside(s, box.x, box.y) || !inside(s, box.x + box.width, box.y + box.height))
            fail_msg("\"%s\" leaves the sheet", t->words);
        if (strstr(t->words, "…")) fail_msg("\"%s\" was cut", t->words);
        for (size_t k = 0; k < n; k++)
            if (!apart(box, boxes[k])) fail_msg("\"%s\" lies on another text", t->words);
        boxes[n++] = box;
    }
}

static size_t count(const sheet *s, sheet_ink ink) {
    size_t n = 0;
    for (size_t i = 0; i < s->n_items; i++) n += s->items[i].ink == ink && s->items[i].kind != ITEM_TEXT;
    return n;
}

static size_t tasks_of(const works_plan *w, const char *step) {
    size_t n = 0;
    for (size_t i = 0; i < w->n_tasks; i++) n += strcmp(w->tasks[i].step, step) == 0;
    return n;
}

/* Every bar of the works in the strips, once. */
static void check_bars(const works_plan *w, const sheet *strips, size_t n, bool by_person) {
    const struct {
        sheet_ink ink;
        size_t tasks;
    } want[] = {{INK_BAR_CUT, tasks_of(w, "cut")},
                {INK_BAR_PLUG, tasks_of(w, "plug")},
                {INK_BAR_PACK, tasks_of(w, "pack")},
                {INK_BAR_COAT, tasks_of(w, "first_coat") + tasks_of(w, "last_coat")},
                {INK_BAR_PREPARE, tasks_of(w, "setup") + tasks_of(w, "scan") + tasks_of(w, "wash")},
                {INK_PROVE, tasks_of(w, "prove")},
                {INK_STAPLE, tasks_of(w, "pack")}};
    size_t each = by_person ? w->n_workers < 2 ? 1 : 2 : 1, open = 0;
    for (size_t k = 0; k < sizeof want / sizeof *want; k++) {
        size_t drawn = 0;
        for (size_t i = 0; i < n; i++) drawn += count(&strips[i], want[k].ink);
        if (w->n_workers % 2 == 0 || w->n_workers == 1 || !by_person)
            assert_int_equal(drawn, each * want[k].tasks);
    }
    for (size_t i = 0; i < n; i++) open += count(&strips[i], INK_OPEN);
    assert_int_equal(open, by_person ? 0 : tasks_of(w, "open"));
}

static size_t check_drawn(const survey *s, const works_plan *w, gantt_form form, gantt_room room) {
    arena *memory = arena_new();
    say words = {.memory = memory, .system = s->site.system, .currency = "EUR"};
    const gantt *g = gantt_new(s, w, form, room, &words);
    assert_non_null(g);
    size_t n = gantt_strips(g);
    sheet *strips = arena_get(memory, n + 2, sizeof *strips);
    for (size_t i = 0; i < n + 2; i++) {
        strips[i].memory = memory;
        if (i < n)
            gantt_draw_strip(g, i, &strips[i]);
        else
            (i == n ? gantt_draw_legend : gantt_draw_heading)(g, &strips[i]);
        check_sheet(&strips[i]);
        if (i < n && !(strips[i].height <= room.strip_mm))
            fail_msg("strip %zu of %zu is %g mm high", i + 1, n, strips[i].height);
    }
    if (room.day == GANTT_ALL_DAYS) check_bars(w, strips, n, form == GANTT_PEOPLE);
    assert_false(words.failed);
    arena_free(memory);
    return n;
}

static void check_job(size_t leaks, size_t faces, works_job like, bool us) {
    plan *p = report_job_crowd(leaks, faces);
    ((survey *)(uintptr_t)p->survey)->site.system = us ? UNITS_US : UNITS_METRIC;
    const works_plan *w = works_job_fill(p->survey, like, p->memory);
    for (int form = 0; form < GANTT_FORMS; form++) {
        check_drawn(p->survey, w, (gantt_form)form, PAGE);
        check_drawn(p->survey, w, (gantt_form)form, GANTT_FILE);
        gantt_room day = GANTT_FILE;
        for (day.day = 0; day.day < 9; day.day++) check_drawn(p->survey, w, (gantt_form)form, day);
    }
    report_job_free(p);
}

static void test_jobs_of_all_sizes(void **state) {
    (void)state;
    check_job(1, 1, (works_job){"2026-03-02", 0, 1, 0, false}, false);
    check_job(1, 1, (works_job){NULL, 0, 2, 0, true}, true);
    check_job(4, 4, (works_job){"2026-12-30", 3, 3, 0, true}, false);
    check_job(20, 3, (works_job){"2026-03-02", 10, 4, 0, true}, false);
    check_job(20, 3, (works_job){"2026-03-02", 40, 4, 0, true}, true);
    check_job(20, 2, (works_job){NULL, 0, 7, 0, false}, false);
    check_job(45, 5, (works_job){"2028-02-25", 12, 2, 0, false}, true);
}

/* A4 across in at most two pages of strips. */
static void test_twenty_leaks_fit_pages(void **state) {
    (void)state;
    plan *p = report_job_crowd(20, 3);
    const works_plan *w = works_job_fill(p->survey, (works_job){"2026-03-02", 10, 4, 0, false}, p->memory);
    assert_in_range(check_drawn(p->survey, w, GANTT_LEAKS, PAGE), 1, 2);
    assert_int_equal(check_drawn(p->survey, w, GANTT_PEOPLE, PAGE), 1);
    report_job_free(p);
}

static void test_three_hundred_leaks(void **state) {
    (void)state;
    plan *p = report_job_crowd(300, 12);
    const works_plan *w = works_job_fill(p->survey, (works_job){"2026-03-02", 60, 8, 0, false}, p->memory);
    assert_in_range(check_drawn(p->survey, w, GANTT_LEAKS, PAGE), 5, 40);
    report_job_free(p);
}

static void test_svg_is_the_one_looked_at(void **state) {
    (void)state;
    plan *p = report_job_crowd(3, 2);
    const works_plan *w = works_job_fill(p->survey, (works_job){"2026-03-05", 7, 2, 0, true}, p->memory);
    text now = {0};
    fault why = {0};
    char *golden = NULL;
    size_t length = 0;
    assert_int_equal(gantt_svg(p->survey, w, GANTT_LEAKS, GANTT_ALL_DAYS, &now, &why), OK);
    if (getenv("STANCH_WRITE_GOLDEN")) file_write(GOLDEN_FOLDER "/works.svg", now.bytes, now.length, &why);
    if (file_read(GOLDEN_FOLDER "/works.svg", &golden, &length, &why) != OK) fail_msg("%s", why.text);
    assert_string_equal(text_get(&now), golden);
    mem_free(golden);
    text_free(&now);
    report_job_free(p);
}

/* ---- words ---- */

static void test_days_and_hours_are_said(void **state) {
    (void)state;
    arena *memory = arena_new();
    say metric = {.memory = memory}, us = {.memory = memory, .system = UNITS_US};
    works_plan w = {.start_on = "2026-02-27", .n_tasks = 1, .back_min = 3 * 1440 + 420}, none = {0};
    /* 27 February 2026 is a Friday, 2026 no leap year: cal(1) of util-linux */
    assert_string_equal(works_said_day(&metric, &w, 0, DAY_FULL), "Fri 27 February 2026");
    assert_string_equal(works_said_day(&metric, &w, 2, DAY_MONTH), "Sun\u00a01\u00a0Mar");
    assert_string_equal(works_said_day(&us, &w, 2, DAY_FULL), "Sun, March 1, 2026");
    assert_string_equal(works_said_day(&us, &none, 2, DAY_FULL), "Day\u00a03");
    assert_string_equal(works_said_time(&metric, 1440 + 7 * 60 + 5), "07:05");
    assert_string_equal(works_said_time(&us, 12 * 60), "12:00\u00a0pm");
    assert_string_equal(works_said_time(&us, 5), "12:05\u00a0am");
    assert_string_equal(works_said_span(&metric, &w, 420, 450), "Fri\u00a027\u00a0Feb 07:00 to 07:30");
    assert_string_equal(works_said_deadline(&metric, &w), "Mon\u00a02\u00a0Mar 07:00: kept");
    w.late = true;
    w.late_min = 90;
    assert_string_equal(works_said_deadline(&metric, &w), "Mon\u00a02\u00a0Mar 07:00: LATE by 1 h 30 min");
    assert_null(works_said_deadline(&metric, &none));
    assert_null(works_said_when(&metric, &none));
    arena_free(memory);
}

/* ---- memory ---- */

static void test_memory_runs_out(void **state) {
    (void)state;
    plan *p = report_job_crowd(3, 2);
    const works_plan *w = works_job_fill(p->survey, (works_job){"2026-03-05", 7, 2, 0, true}, p->memory);
    fault why = {0};
    for (int form = 0; form < GANTT_FORMS; form++)
        for (long n = 0;; n++) {
            text out = {0};
            mem_fail_at(n, 0);
            status code = gantt_svg(p->survey, w, (gantt_form)form, GANTT_ALL_DAYS, &out, &why);
            mem_fail_at(-1, 0);
            text_free(&out);
            if (code == OK) break;
            assert_int_equal(code, E_MEMORY);
        }
    report_job_free(p);
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_jobs_of_all_sizes),       cmocka_unit_test(test_twenty_leaks_fit_pages),
        cmocka_unit_test(test_three_hundred_leaks),     cmocka_unit_test(test_svg_is_the_one_looked_at),
        cmocka_unit_test(test_days_and_hours_are_said), cmocka_unit_test(test_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
