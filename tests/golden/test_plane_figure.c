/* The order of plugging as drawn: each number on its segment, nothing on top of another, same bytes, the
 * mirror image of a mirrored plane, faults in sentences. */
#include "paper.h"
#include "plane_job.h"
#include "report_job.h"

#include "core/file.h"
#include "report/plane_figure.h"
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

static const report_options options = {.date = "2025-03-12", .version = "0.1.0"};
static int drop_folder(void **state) {
    (void)state;
    static const char *const files[] = {"job.pdf", "job.xlsx", NULL};
    return paper_drop(files);
}

static text svg_of(const plan *p) {
    text out = {0};
    fault why = {0};
    if (report_plane_svg(p, 0, &out, &why) != OK) fail_msg("%s", why.text);
    return out;
}

/* The PDF's words; what lies on another or leaves its page fails. Empty without pdftotext. */
static text pdf_words(const plan *p) {
    text pdf = {0};
    fault why = {0};
    if (report_pdf(p, &options, &pdf, &why) != OK) fail_msg("%s", why.text);
    if (file_write(in_folder("job.pdf"), pdf.bytes, pdf.length, &why) != OK) fail_msg("%s", why.text);
    text_free(&pdf);
    char command[512];
    snprintf(command, sizeof command, "/usr/bin/python3 %s/check_pdf.py %s 2>&1", GOLDEN_FOLDER,
             in_folder("job.pdf"));
    text said = output_of(command);
    if (strcmp(text_get(&said), "fits\n") != 0 && !strstr(text_get(&said), "not found"))
        fail_msg("%s", said.bytes);
    text_free(&said);
    snprintf(command, sizeof command, "pdftotext -layout %s - 2>/dev/null", in_folder("job.pdf"));
    return output_of(command);
}

/* From both ends to the last, a little left of the middle. */
enum { MOST = 400 };
static const size_t *inward(size_t n) {
    static size_t number[MOST];
    size_t left = 0, right = n - 1, last = 2 * n / 5, k = 1;
    while (k < n) {
        if (left < last) number[left++] = k++;
        if (right > last && k < n) number[right--] = k++;
    }
    number[last] = n;
    return number;
}

static plane_figure drawn(const plan *p, arena *memory, say *words) {
    *words = (say){.memory = memory, .system = p->survey->site.system, .currency = "EUR"};
    plane_figure figure;
    assert_true(plane_figure_draw(p, &p->planes[0], PLANE_FIGURE_MM, words, &figure));
    return figure;
}

static bool is_order(sheet_ink ink) {
    return ink >= INK_ORDER_EARLY && ink <= INK_ORDER_LAST;
}

/* The number that stands in a box of the order, or straight under it; 0 when none does. */
static size_t number_of(const sheet *s, const sheet_item *box) {
    double left = box->rings[0].points[0].x, right = box->rings[0].points[1].x,
           foot = box->rings[0].points[0].y;
    for (size_t i = 0; i < s->n_items; i++) {
        const sheet_item *t = &s->items[i];
        if (t->kind != ITEM_TEXT || !t->bold || t->align != ALIGN_MIDDLE) continue;
        if (fabs(t->at.x - (left + right) / 2) > 1e-9 || t->at.y > foot + 6 || t->at.y < foot - 10) continue;
        char *end;
        size_t number = strtoul(t->words, &end, 10);
        if (number && !*end) return number;
    }
    return 0;
}

/* A person who reads only the boxes goes the way of the steps. */
static void check_numbers(size_t panels, size_t segments, bool us) {
    size_t n = panels * segments;
    const size_t *number = inward(n);
    plane_job_made made = plane_job_make((plane_job_hand){panels, segments, number, 1.5, false, true, us});
    arena *memory = arena_new();
    say words;
    plane_figure figure = drawn(&made.plan, memory, &words);
    size_t at = 0;
    for (size_t k = 0; k < figure.n; k++)
        for (size_t i = 0; i < figure.sheets[k].n_items; i++) {
            const sheet_item *box = &figure.sheets[k].items[i];
            if (box->kind != ITEM_PATH || !is_order(box->ink) || k + 1 == figure.n) continue;
            assert_true(at < n);
            size_t found = number_of(&figure.sheets[k], box);
            if (found != number[at])
                fail_msg("%zu x %zu: segment %zu has %zu, not %zu", panels, segments, at, found, number[at]);
            assert_int_equal(box->ink == INK_ORDER_LAST, number[at] == n);
            at++;
        }
    assert_int_equal(at, n);
    arena_free(memory);
    plane_job_free(&made);
}

static void test_every_segment_has_its_number(void **state) {
    (void)state;
    check_numbers(1, 1, false);
    check_numbers(1, 25, false);
    check_numbers(1, 40, true);
    check_numbers(1, 75, false); /* some under their boxes */
    check_numbers(3, 9, false);
    check_numbers(6, 6, true);
}

/* All texts of a sheet as reckoned boxes, apart from each other and inside. */
static void check_texts(const sheet *s) {
    sheet_box *boxes = arena_get(s->memory, s->n_items, sizeof *boxes);
    size_t n = 0;
    assert_non_null(boxes);
    for (size_t i = 0; i < s->n_items; i++) {
        const sheet_item *t = &s->items[i];
        if (t->kind != ITEM_TEXT || t->angle_deg != 0) continue;
        double width = sheet_text_width(t->words, t->height, t->bold);
        double left = t->align == ALIGN_LEFT ? 0 : t->align == ALIGN_MIDDLE ? width / 2 : width;
        sheet_box box = {t->at.x - left, t->at.y, width, 0.7 * t->height};
        if (box.x < -0.01 || box.x + box.width > s->width + 0.01 || box.y < 0 ||
            box.y + box.height > s->height)
            fail_msg("\"%s\" leaves the sheet", t->words);
        for (size_t k = 0; k < n; k++)
            if (box.x < boxes[k].x + boxes[k].width - 0.01 && boxes[k].x < box.x + box.width - 0.01 &&
                box.y < boxes[k].y + boxes[k].height && boxes[k].y < box.y + box.height)
                fail_msg("\"%s\" lies on another text", t->words);
        boxes[n++] = box;
    }
    assert_true(n > 0);
}

static void check_figure(const plan *p) {
    arena *memory = arena_new();
    say words;
    plane_figure figure = drawn(p, memory, &words);
    for (size_t k = 0; k < figure.n; k++) {
        check_texts(&figure.sheets[k]);
        assert_true(figure.sheets[k].height < 250); /* a page of A4 */
    }
    arena_free(memory);
}

static void test_no_text_lies_on_another(void **state) {
    (void)state;
    const size_t shapes[][2] = {{1, 1},   {1, 2},  {1, 25}, {1, 40}, {1, 75}, {1, 150},
                                {1, 400}, {2, 11}, {3, 13}, {6, 18}, {8, 4}};
    for (size_t i = 0; i < sizeof shapes / sizeof *shapes; i++)
        for (int k = 0; k < 4; k++) {
            size_t panels = shapes[i][0], segments = shapes[i][1];
            plane_job_made made = plane_job_make((plane_job_hand){panels, segments, inward(panels * segments),
                                                                  k < 2 ? 1.5 : 0.02, false, k % 2, k % 2});
            check_figure(&made.plan);
            plane_job_free(&made);
        }
}

/* Points of the head lines, sorted: of a mirrored plane they are the mirror image. */
static int by_place(const void *a, const void *b) {
    const sheet_point *p = a, *q = b;
    double d = fabs(p->y - q->y) > 1e-6 ? p->y - q->y : p->x - q->x;
    return (d > 0) - (d < 0);
}

static size_t head_points(const plane_figure *figure, bool mirror, sheet_point *out, size_t most) {
    size_t n = 0;
    double left = HUGE_VAL, right = -HUGE_VAL;
    const sheet *s = &figure->sheets[0];
    for (size_t i = 0; i < s->n_items; i++)
        for (size_t k = 0; s->items[i].ink == INK_PLANE && k < 4; k++) {
            left = fmin(left, s->items[i].rings[0].points[k].x);
            right = fmax(right, s->items[i].rings[0].points[k].x);
        }
    for (size_t i = 0; i < s->n_items; i++)
        for (size_t k = 0; s->items[i].ink == INK_HEAD_LINE && k < s->items[i].rings[0].n && n < most; k++) {
            out[n] = s->items[i].rings[0].points[k];
            if (mirror) out[n].x = left + right - out[n].x;
            n++;
        }
    qsort(out, n, sizeof *out, by_place);
    return n;
}

static void test_a_mirrored_plane_is_drawn_mirrored(void **state) {
    (void)state;
    enum { POINTS = 4000 };
    static sheet_point points[2][POINTS];
    size_t n[2];
    for (int k = 0; k < 2; k++) {
        plane_job_made made = plane_job_make((plane_job_hand){1, 11, inward(11), 1.5, k, false, false});
        arena *memory = arena_new();
        say words;
        plane_figure figure = drawn(&made.plan, memory, &words);
        n[k] = head_points(&figure, k, points[k], POINTS);
        arena_free(memory);
        plane_job_free(&made);
    }
    assert_true(n[0] > 100 && n[0] < POINTS);
    assert_int_equal(n[0], n[1]);
    for (size_t i = 0; i < n[0]; i++)
        assert_true(fabs(points[0][i].x - points[1][i].x) < 1e-6 &&
                    fabs(points[0][i].y - points[1][i].y) < 1e-6);
}

static void test_svg_is_the_one_looked_at(void **state) {
    (void)state;
    plane_job_made made = plane_job_make((plane_job_hand){2, 6, inward(12), 1.5, false, true, false});
    text now = svg_of(&made.plan), again = svg_of(&made.plan);
    assert_string_equal(text_get(&now), text_get(&again));
    char *golden = NULL;
    size_t length = 0;
    fault why = {0};
    if (getenv("STANCH_WRITE_GOLDEN")) file_write(GOLDEN_FOLDER "/plane.svg", now.bytes, now.length, &why);
    if (file_read(GOLDEN_FOLDER "/plane.svg", &golden, &length, &why) != OK) fail_msg("%s", why.text);
    assert_string_equal(text_get(&now), golden);
    mem_free(golden);
    text_free(&now);
    text_free(&again);
    plane_job_free(&made);
}

/* The card names the page, and the figure is on it. */
static void check_pages(const plan *p, const text *words) {
    const char *line = strstr(text_get(words), "Order of plugging: drawn on page ");
    assert_non_null(line);
    long page = strtol(line + strlen("Order of plugging: drawn on page "), NULL, 10);
    const char *at = words->bytes;
    for (long i = 1; i < page; i++) at = strchr(at, '\f') + 1;
    const char *title = strstr(at, "Order of plugging: N1\n"), *end = strchr(at, '\f');
    assert_true(title && title < end);
    char last[64];
    snprintf(last, sizeof last, "LAST%s",
             p->planes[0].run.orders[p->planes[0].run.drawn].reliefs_n ? ", then the tube" : "");
    const char *marked = strstr(title, last), *table = strstr(title, "least flow first: DRAWN");
    assert_true(marked && marked < end);
    assert_non_null(table); /* on the next page when there are strips */
    assert_null(strstr(words->bytes, "nan"));
    assert_null(strstr(words->bytes, " inf"));
}

static void check_run(plane_job_like like) {
    plan *p = plane_job_run(like);
    assert_int_equal(p->n_planes, 1);
    assert_null(p->planes[0].problem);
    check_figure(p);
    text words = pdf_words(p), again = {0};
    if (words.length) check_pages(p, &words);
    if (words.length && strcmp(like.units, "us") == 0) assert_non_null(strstr(words.bytes, "gal/min per ft"));
    text_free(&again);
    text_free(&words);
    report_job_free(p);
}

static void test_planes_of_the_solver(void **state) {
    (void)state;
    check_run((plane_job_like){"metric", "wall", 3.75, false}); /* 25 steps */
    check_run((plane_job_like){"us", "wall", 4.5, true});       /* three walls */
    check_run((plane_job_like){"metric", "floor", 1.5, false});
    check_run((plane_job_like){"metric", "soffit", 1.5, false});
}

/* A large figure, several strips: still one page each, words apart. */
static void test_many_panels_on_paper(void **state) {
    (void)state;
    plane_job_made made = plane_job_make((plane_job_hand){8, 9, inward(72), 1.5, false, true, true});
    text words = pdf_words(&made.plan);
    if (words.length) check_pages(&made.plan, &words);
    text_free(&words);
    plane_job_free(&made);
}

static void test_why_there_is_no_order(void **state) {
    (void)state;
    plane_job_made made = plane_job_make((plane_job_hand){1, 6, inward(6), 1.5, false, true, false});
    made.plan.planes[0].problem = "the plane would need too much memory";
    text out = {0};
    fault why = {0};
    assert_int_equal(report_plane_svg(&made.plan, 0, &out, &why), E_STATE);
    assert_string_equal(why.text, "N1: no order of plugging to draw: the plane would need too much memory");
    assert_int_equal(report_plane_svg(&made.plan, 1, &out, &why), E_INPUT);
    assert_string_equal(why.text, "plane 2: the job has 1 crack planes");
    assert_int_equal(out.length, 0);
    text words = pdf_words(&made.plan);
    if (words.length)
        assert_non_null(strstr(
            words.bytes, "Order of plugging: none was computed: the plane would need too much memory."));
    text_free(&words);
    made.plan.plane_of[0] = NULL;
    made.plan.plane_skipped[0] = "no width was measured";
    words = pdf_words(&made.plan);
    if (words.length)
        assert_non_null(strstr(words.bytes, "Order of plugging: none was computed: no width was measured."));
    text_free(&words);
    plane_job_free(&made);
}

/* One row a step, in the order of the steps. */
static void test_the_spreadsheet_has_the_steps(void **state) {
    (void)state;
    plane_job_made made = plane_job_make((plane_job_hand){1, 10, inward(10), 1.5, false, true, false});
    fault why = {0};
    if (report_xlsx(&made.plan, &options, in_folder("job.xlsx"), &why) != OK) fail_msg("%s", why.text);
    char command[512];
    snprintf(
        command, sizeof command,
        "/usr/bin/python3 -c \"import openpyxl; r = list(openpyxl.load_workbook('%s')['Plugging'].values); "
        "print(len(r), [x[1] for x in r[1:]], [round(x[3] / 0.18) for x in r[1:]], r[10][7])\" 2>&1",
        in_folder("job.xlsx"));
    text said = output_of(command);
    plane_job_free(&made);
    bool absent = strstr(text_get(&said), "No module named") || strstr(text_get(&said), "not found");
    if (!absent)
        assert_string_equal(
            said.bytes, "11 [1, 2, 3, 4, 5, 6, 7, 8, 9, 10] [0, 9, 1, 8, 2, 7, 3, 6, 5, 4] round a tube\n");
    text_free(&said);
    if (absent) skip();
}

static void test_memory_runs_out(void **state) {
    (void)state;
    plane_job_made made = plane_job_make((plane_job_hand){2, 6, inward(12), 1.5, false, true, false});
    text whole = svg_of(&made.plan);
    fault why = {0};
    bool done = false;
    long failed = 0;
    for (long n = 0; !done; n++) {
        text out = {0};
        mem_fail_at(n, 0);
        status code = report_plane_svg(&made.plan, 0, &out, &why);
        mem_fail_at(-1, 0);
        done = code == OK;
        if (done) assert_string_equal(out.bytes, whole.bytes);
        if (!done) assert_int_equal(code, E_MEMORY);
        failed += !done;
        text_free(&out);
    }
    assert_true(failed > 4);
    text_free(&whole);
    plane_job_free(&made);
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_segment_has_its_number),
        cmocka_unit_test(test_no_text_lies_on_another),
        cmocka_unit_test(test_a_mirrored_plane_is_drawn_mirrored),
        cmocka_unit_test(test_svg_is_the_one_looked_at),
        cmocka_unit_test(test_planes_of_the_solver),
        cmocka_unit_test(test_many_panels_on_paper),
        cmocka_unit_test(test_why_there_is_no_order),
        cmocka_unit_test(test_the_spreadsheet_has_the_steps),
        cmocka_unit_test(test_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, drop_folder);
}
