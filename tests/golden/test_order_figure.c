/* The slot step by step: all pictures of an order of one size, so many boxes hatched as steps are done, no
 * text on another, well-formed, the one looked at, faults in sentences. */
#include "paper.h"
#include "plane_job.h"
#include "report_job.h"

#include "core/file.h"
#include "report/order_figure.h"
#include "report/plane_figure.h"
#include "report/report.h"

#include <gsl/gsl_errno.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

enum { MOST = 400 };

/* From both ends to the last, a little left of the middle. */
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

static plane_job_made made_of(size_t panels, size_t segments, bool relief, bool us) {
    return plane_job_make(
        (plane_job_hand){panels, segments, inward(panels * segments), 1.5, false, relief, us});
}

static text svg_of(const plan *p, size_t closed) {
    text out = {0};
    fault why = {0};
    if (report_order_svg(p, 0, closed, &out, &why) != OK) fail_msg("%s", why.text);
    return out;
}

/* Paths in the groups of one class. */
static size_t paths_of(const char *svg, const char *class) {
    char open[64];
    snprintf(open, sizeof open, "<g class=\"%s\"", class);
    size_t n = 0;
    for (const char *at = strstr(svg, open); at; at = strstr(at + 1, open)) {
        const char *end = strstr(at, "</g>");
        for (const char *path = strstr(at, "<path"); path && path < end; path = strstr(path + 1, "<path"))
            n++;
    }
    return n;
}

/* The opening tag with the size. */
static void size_of(const char *svg, char into[256]) {
    const char *at = strstr(svg, "<svg");
    size_t n = strcspn(at, ">");
    assert_true(n < 256);
    memcpy(into, at, n);
    into[n] = '\0';
}

static void check_states(size_t panels, size_t segments, bool relief) {
    plane_job_made made = made_of(panels, segments, relief, false);
    size_t n = panels * segments;
    char first[256], now[256];
    for (size_t k = 0; k <= n + relief; k++) {
        text svg = svg_of(&made.plan, k);
        size_t closed = k < n ? k : n;
        size_of(svg.bytes, k ? now : first);
        if (k) assert_string_equal(now, first);
        assert_int_equal(paths_of(svg.bytes, "plugged"), closed);
        assert_int_equal(paths_of(svg.bytes, "order-early"), n - closed);
        assert_int_equal(paths_of(svg.bytes, "now"), k >= 1 && k <= n);
        assert_true((paths_of(svg.bytes, "hatch") > 0) == (k > 0));
        text_free(&svg);
    }
    plane_job_free(&made);
}

static void test_so_many_boxes_are_hatched_as_steps_are_done(void **state) {
    (void)state;
    check_states(1, 6, false);
    check_states(2, 6, true);
    check_states(1, 60, true); /* numbers under the boxes */
}

static void has(const plan *p, size_t closed, const char *words) {
    text svg = svg_of(p, closed);
    if (!strstr(svg.bytes, words)) fail_msg("state %zu: no \"%s\" in\n%s", closed, words, svg.bytes);
    text_free(&svg);
}

static void test_what_is_told(void **state) {
    (void)state;
    plane_job_made made = made_of(2, 6, true, false);
    plugging_outcome *o = &made.plan.planes[0].run.orders[PLUGGING_LEAST_FIRST];
    o->steps[4].total_m3_s = 1.2 / 60e3;
    o->steps[4].max_back_head_m = 2.1;
    has(&made.plan, 0, ">Nothing plugged yet: 18\u00a0l/min leaves<");
    has(&made.plan, 0, ">N1, 0.00 m to 0.30 m<");
    has(&made.plan, 5, ">Step 5 of 12: N1, 0.60 m to 0.90 m<");
    has(&made.plan, 5, ">met 0.3\u00a0l/min; leaving after it 1.2\u00a0l/min<");
    has(&made.plan, 5, ">water behind the plugs up to 2.10 m<");
    has(&made.plan, 12, ">All plugged; the tube still drains<");
    has(&made.plan, 12, ">tube drains<");
    has(&made.plan, 13, ">All plugged, the tube shut<");
    has(&made.plan, 13, ">tube shut<");
    has(&made.plan, 13, ">water behind the plugs up to 1.40 m<");
    plane_job_free(&made);
    made = made_of(1, 3, false, true);
    has(&made.plan, 2, " ft to ");
    has(&made.plan, 2, "gal/min");
    has(&made.plan, 3, ">All plugged<");
    plane_job_free(&made);
}

/* No text on another or off the sheet; how many are numbers of segments. */
static size_t check_texts(const sheet *s) {
    static sheet_box boxes[2 * MOST];
    size_t n = 0, numbers = 0;
    for (size_t i = 0; i < s->n_items; i++) {
        const sheet_item *t = &s->items[i];
        if (t->kind != ITEM_TEXT) continue;
        sheet_box box = box_of(t);
        assert_true(t->height >= 2.5); /* 8 pixels where the sheet is 360 across */
        if (box.x < -0.01 || box.x + box.width > s->width + 0.01 || box.y < 0 ||
            box.y + box.height > s->height)
            fail_msg("\"%s\" leaves the sheet", t->words);
        for (size_t k = 0; k < n; k++)
            if (box.x < boxes[k].x + boxes[k].width - 0.01 && boxes[k].x < box.x + box.width - 0.01 &&
                box.y < boxes[k].y + boxes[k].height && boxes[k].y < box.y + box.height)
                fail_msg("\"%s\" lies on another text", t->words);
        assert_true(n < 2 * MOST);
        boxes[n++] = box;
        numbers += t->align == ALIGN_MIDDLE;
    }
    return numbers;
}

static void test_no_text_lies_on_another(void **state) {
    (void)state;
    /* panels, segments; the fewest and the most numbers on the sheet */
    const size_t shapes[][4] = {{1, 1, 1, 1},     {1, 20, 20, 20}, {1, 40, 10, 40}, {1, 75, 15, 40},
                                {1, 150, 10, 30}, {1, 400, 7, 30}, {2, 11, 22, 22}, {3, 13, 39, 39},
                                {8, 4, 32, 32},   {6, 60, 48, 180}};
    for (size_t i = 0; i < sizeof shapes / sizeof *shapes; i++)
        for (int k = 0; k < 8; k++) {
            const size_t *shape = shapes[i];
            size_t n = shape[0] * shape[1];
            plane_job_made made = made_of(shape[0], shape[1], k % 2, k / 2 % 2);
            arena *memory = arena_new();
            say words = {.memory = memory, .system = made.plan.survey->site.system, .currency = "EUR"};
            sheet drawing = {.memory = memory};
            size_t closed = k < 4 ? n : n / 2;
            assert_true(order_figure_draw(&made.plan, &made.plan.planes[0], closed, &words, &drawing));
            size_t numbers = check_texts(&drawing);
            if (!(numbers >= shape[2] && numbers <= shape[3]))
                fail_msg("%zu panels of %zu: %zu numbers", shape[0], shape[1], numbers);
            arena_free(memory);
            plane_job_free(&made);
        }
}

/* Boxes too narrow for lines of their own run together. */
static void test_a_long_order_is_drawn_in_runs(void **state) {
    (void)state;
    plane_job_made made = made_of(1, 400, true, false);
    text svg = svg_of(&made.plan, 100);
    assert_int_equal(paths_of(svg.bytes, "plugged"), 2); /* from both ends */
    assert_int_equal(paths_of(svg.bytes, "order-early"), 1);
    assert_true(svg.length < 40000);
    text_free(&svg);
    plane_job_free(&made);
}

static void test_svg_is_the_one_looked_at(void **state) {
    (void)state;
    plane_job_made made = made_of(2, 6, true, false);
    text now = svg_of(&made.plan, 5), again = svg_of(&made.plan, 5);
    assert_string_equal(text_get(&now), text_get(&again));
    char *golden = NULL;
    size_t length = 0;
    fault why = {0};
    if (getenv("STANCH_WRITE_GOLDEN")) file_write(GOLDEN_FOLDER "/order.svg", now.bytes, now.length, &why);
    if (file_read(GOLDEN_FOLDER "/order.svg", &golden, &length, &why) != OK) fail_msg("%s", why.text);
    assert_string_equal(text_get(&now), golden);
    mem_free(golden);
    text_free(&now);
    text_free(&again);
    plane_job_free(&made);
}

/* Names of the customer's choice come through the mark and the face. */
static void test_the_xml_is_well_formed(void **state) {
    (void)state;
    plane_job_made made = made_of(2, 6, true, false);
    survey_defect *d = &((survey *)(uintptr_t)made.plan.survey)->defects[0];
    const char *mark = d->mark;
    d->mark = "N<1> & \"x\"";
    text svg = svg_of(&made.plan, 5);
    d->mark = mark;
    fault why = {0};
    char path[] = "/tmp/stanch-order-XXXXXX", command[256], said[128] = "";
    int file = mkstemp(path);
    assert_true(file >= 0);
    close(file);
    if (file_write(path, svg.bytes, svg.length, &why) != OK) fail_msg("%s", why.text);
    snprintf(
        command, sizeof command,
        "/usr/bin/python3 -c \"import xml.etree.ElementTree as e; print(e.parse('%s').getroot().tag)\" 2>&1",
        path);
    FILE *pipe = popen(command, "r");
    assert_non_null(pipe);
    while (fgets(said, sizeof said, pipe)) {
    }
    pclose(pipe);
    remove(path);
    text_free(&svg);
    plane_job_free(&made);
    if (strstr(said, "not found")) skip();
    assert_string_equal(said, "{http://www.w3.org/2000/svg}svg\n");
}

static void test_faults_in_sentences(void **state) {
    (void)state;
    plane_job_made made = made_of(1, 6, true, false);
    text out = {0};
    fault why = {0};
    assert_int_equal(report_order_svg(&made.plan, 1, 0, &out, &why), E_INPUT);
    assert_string_equal(why.text, "plane 2: the job has 1 crack planes");
    assert_int_equal(report_order_svg(&made.plan, 0, 8, &out, &why), E_INPUT);
    assert_string_equal(why.text, "N1: step 8 of the order: its pictures are 0 to 7");
    assert_int_equal(report_order_svg(&made.plan, 0, SIZE_MAX, &out, &why), E_INPUT);
    made.plan.planes[0].run.orders[PLUGGING_LEAST_FIRST].reliefs_n = 0;
    assert_int_equal(report_order_svg(&made.plan, 0, 7, &out, &why), E_INPUT);
    assert_string_equal(why.text, "N1: step 7 of the order: its pictures are 0 to 6");
    made.plan.planes[0].run.orders[PLUGGING_LEAST_FIRST].steps_n = 0;
    assert_int_equal(report_order_svg(&made.plan, 0, 0, &out, &why), E_STATE);
    assert_string_equal(why.text, "N1: no order of plugging to draw: there is no slot to plug");
    made.plan.planes[0].problem = "the plane would need too much memory";
    assert_int_equal(report_order_svg(&made.plan, 0, 0, &out, &why), E_STATE);
    assert_string_equal(why.text, "N1: no order of plugging to draw: the plane would need too much memory");
    assert_int_equal(out.length, 0);
    text_free(&out);
    plane_job_free(&made);
}

static void test_memory_runs_out(void **state) {
    (void)state;
    plane_job_made made = made_of(2, 6, true, false);
    text whole = svg_of(&made.plan, 5);
    fault why = {0};
    bool done = false;
    long failed = 0;
    for (long n = 0; !done; n++) {
        text out = {0};
        mem_fail_at(n, 0);
        status code = report_order_svg(&made.plan, 0, 5, &out, &why);
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
        cmocka_unit_test(test_so_many_boxes_are_hatched_as_steps_are_done),
        cmocka_unit_test(test_what_is_told),
        cmocka_unit_test(test_no_text_lies_on_another),
        cmocka_unit_test(test_a_long_order_is_drawn_in_runs),
        cmocka_unit_test(test_svg_is_the_one_looked_at),
        cmocka_unit_test(test_the_xml_is_well_formed),
        cmocka_unit_test(test_faults_in_sentences),
        cmocka_unit_test(test_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
