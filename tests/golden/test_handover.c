/* The handover document: same bytes, every figure with the place that it comes from, nothing lost, nothing on top of another. */
#include "handover_job.h"
#include "paper.h"
#include "report_job.h"

#include "core/file.h"
#include "image/image.h"
#include "report/elevation.h"
#include "report/handover_parts.h"

#include <ctype.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cmocka.h>

#define HASH "3f0a5d0c9b1e4f6a8c7d2e1f00112233445566778899aabbccddeeff00112233"

static int drop_folder(void **state) {
    (void)state;
    static const char *const files[] = {"job.pdf", "one.jpg", NULL};
    return paper_drop(files);
}

typedef struct {
    plan *plan;
    arena *memory;
    handover_job *job;
    handover_view view;
    handover_options options;
} fixture;

static fixture begin(plan *p) {
    fixture f = {.plan = p, .memory = arena_new()};
    assert_non_null(f.memory);
    f.job = handover_job_fill(p, f.memory);
    f.view = handover_job_view(p, f.job);
    f.options = (handover_options){
        .date = "2026-03-22", .version = "0.1.0", .head_seq = (long long)f.job->n_records, .head_hash = HASH};
    return f;
}

static void end(fixture *f) {
    arena_free(f->memory);
    report_job_free(f->plan);
}

static handover composing(fixture *f, say *words) {
    *words = (say){.memory = f->memory, .system = f->plan->survey->site.system, .currency = "EUR"};
    return (handover){&f->view, &f->options, f->plan->survey, words};
}

static text pdf_of(const fixture *f) {
    text out = {0};
    fault why = {0};
    if (report_handover_pdf(&f->view, &f->options, &out, &why) != OK) fail_msg("%s", why.text);
    assert_memory_equal(out.bytes, "%PDF-", 5);
    return out;
}

/* Kept as job.pdf, and as STANCH_KEEP_PDF asks for people to look at. */
static void write_pdf(const fixture *f, const char *name) {
    text pdf = pdf_of(f);
    fault why = {0};
    const char *keep = getenv("STANCH_KEEP_PDF");
    if (file_write(in_folder("job.pdf"), pdf.bytes, pdf.length, &why) != OK) fail_msg("%s", why.text);
    if (keep) {
        char path[256];
        snprintf(path, sizeof path, "%s/%s.pdf", keep, name);
        file_write(path, pdf.bytes, pdf.length, &why);
    }
    text_free(&pdf);
}

static text words_of(fixture *f, const char *name) {
    write_pdf(f, name);
    char command[256];
    snprintf(command, sizeof command, "pdftotext -layout %s - 2>/dev/null", in_folder("job.pdf"));
    text words = output_of(command);
    if (words.length == 0) {
        text_free(&words);
        end(f);
        skip();
    }
    return words;
}

static bool fits(void) {
    char command[512];
    snprintf(command, sizeof command, "/usr/bin/python3 %s/check_pdf.py %s 2>&1", GOLDEN_FOLDER,
             in_folder("job.pdf"));
    text said = output_of(command);
    bool good = strcmp(text_get(&said), "fits\n") == 0 || strstr(text_get(&said), "not found");
    if (!good) print_error("%s", text_get(&said));
    text_free(&said);
    return good;
}

static void has(const text *words, const char *part) {
    if (!strstr(words->bytes, part)) fail_msg("\"%s\" does not stand in the document", part);
}

/* ---- every figure has the place it comes from ---- */

static bool has_figure(const char *words) {
    for (; *words; words++)
        if (isdigit((unsigned char)*words)) return true;
    return false;
}

/* "#12", "E4", "S" or "P". */
static bool is_source(const char *from) {
    for (const char *at = from; *at; at++) {
        bool first = at == from || at[-1] == ' ' || at[-1] == ',';
        if (!first) continue;
        if ((*at == '#' || *at == 'E') && isdigit((unsigned char)at[1])) return true;
        if ((*at == 'S' || *at == 'P') && (at[1] == '\0' || at[1] == ' ')) return true;
    }
    return false;
}

/* Returns how many rows had a figure. */
static size_t check_rows(const handover_rows *rows) {
    size_t figures = 0;
    for (size_t i = 0; i < rows->n; i++) {
        bool any = false;
        for (size_t k = 0; k + 1 < rows->n_columns; k++) any = any || has_figure(rows->rows[i].cells[k]);
        figures += any;
        const char *from = rows->rows[i].cells[rows->n_columns - 1];
        if (any && !is_source(from))
            fail_msg("%s: \"%s\" has a figure without its source: \"%s\"", rows->title ? rows->title : "",
                     rows->rows[i].cells[0], from);
    }
    return figures;
}

static size_t check(handover_rows rows) {
    return check_rows(&rows);
}

static size_t check_traced(fixture *f) {
    say words;
    const handover h = composing(f, &words);
    size_t n = 0;
    for (size_t i = 0; i < f->plan->n_leaks; i++) {
        n += check(handover_wrong(&h, i)) + check(handover_steps(&h, &f->job->built.leaks[i])) +
             check(handover_built(&h, &f->job->built.leaks[i]));
        n += check(handover_proved(&h, i)) + check(handover_saved(&h, i)) + check(handover_remains(&h, i));
    }
    for (size_t i = 0; i < f->view.accept->n_tanks; i++) n += check(handover_tank(&h, i));
    n += check(handover_billed(&h)) + check(handover_looks(&h)) + check(handover_remaining(&h));
    n += check(handover_materials(&h)) + check(handover_built_job(&h));
    assert_false(words.failed);
    return n;
}

static void test_every_figure_is_traced(void **state) {
    (void)state;
    fixture f = begin(report_job_file(EXAMPLES_FOLDER "/pump-house.json"));
    assert_true(check_traced(&f) > 150);
    end(&f);
}

/* The rows stand on paper as they were composed: each record that the steps name, in the order of the rows. */
static void test_records_named_are_listed(void **state) {
    (void)state;
    fixture f = begin(report_job_file(EXAMPLES_FOLDER "/pump-house.json"));
    text words = words_of(&f, "pump-house");
    const char *log = NULL;
    for (const char *at = words.bytes; (at = strstr(at, "Time, UTC")); at++)
        if (!log) log = at;
    assert_non_null(log);
    for (const char *at = words.bytes; at < log && (at = strchr(at, '#')); at++) {
        long long seq = strtoll(at + 1, NULL, 10);
        if (seq > 0) assert_true(seq <= (long long)f.job->n_records);
    }
    for (size_t i = 0; i < f.job->n_records; i++) {
        char number[32];
        if (f.job->records[i].what == RECORD_LEVEL) continue;
        snprintf(number, sizeof number, " %zu ", i + 1);
        if (!strstr(log, number)) fail_msg("record %zu is not listed", i + 1);
    }
    text_free(&words);
    end(&f);
}

/* ---- the paper ---- */

static void check_pages(const text *words) {
    int pages = 0;
    char of[32];
    for (const char *at = words->bytes; *at; pages++) {
        const char *end = strchr(at, '\f');
        assert_non_null(end);
        if (end - at <= 300) fail_msg("page %d is empty", pages + 1);
        at = end + 1;
    }
    for (int i = 1; i <= pages; i++) {
        snprintf(of, sizeof of, "page %d of %d\n", i, pages);
        has(words, of);
    }
    assert_null(strstr(words->bytes, "nan"));
    assert_null(strstr(words->bytes, "-0.00 "));
    assert_null(strstr(words->bytes, "(null)"));
    assert_true(fits());
}

static void test_document(void **state) {
    (void)state;
    fixture f = begin(report_job_file(EXAMPLES_FOLDER "/pump-house.json"));
    text words = words_of(&f, "pump-house");
    char head[128];
    check_pages(&words);
    has(&words, "HANDOVER DOCUMENT");
    has(&words, "Verdict of the job: broken");
    snprintf(head, sizeof head, "stanch check JOB --head %zu:" HASH, f.job->n_records);
    has(&words, head);
    has(&words, "No basis was told.");
    has(&words, "not there");
    has(&words, "no reason given");
    has(&words, "hold point, ticked");
    has(&words, "too low");
    has(&words, "0.0333 % a day");
    has(&words, "2 550.08");
    has(&words, "of it expected from the widths"); /* N12: its flow was never collected */
    has(&words, "not in it: ");                    /* S1 runs, and no test tells how much comes now */
    has(&words, "~ less what was expected");
    has(&words, "plus rain");
    has(&words, "Slots and coats are drawn on faces without an open leak only"); /* the north wall has none */
    has(&words, " m³, water surface");
    assert_null(strstr(words.bytes, " 1 people"));
    assert_null(strstr(words.bytes, "…")); /* of the levels over a narrow lift pit least of all */
    has(&words, "not billed");
    assert_null(strstr(words.bytes, "DRAFT"));
    for (size_t i = 0; i < f.plan->n_leaks; i++) has(&words, f.plan->leaks[i].defect->mark);
    text_free(&words);
    end(&f);
}

static void test_draft_says_so(void **state) {
    (void)state;
    fixture f = begin(report_job_one(UNITS_METRIC));
    f.options.draft = true;
    text words = words_of(&f, "draft");
    has(&words, "DRAFT: not kept in the job");
    has(&words, " · DRAFT");
    text_free(&words);
    end(&f);
}

/* A US job has no metric unit beside a figure. */
static void test_us(void **state) {
    (void)state;
    fixture f = begin(report_job_ways(UNITS_US));
    ((survey *)(uintptr_t)f.plan->survey)->site.warranty =
        "Two years on the treated lengths, as told by the firm.";
    text words = words_of(&f, "us");
    check_pages(&words);
    has(&words, "Two years on the treated lengths");
    const char *last = strstr(words.bytes, "Equations and rules"); /* sources may name theirs */
    assert_non_null(last);
    static const char *const metric[] = {" mm", " l ", " l\n", " kg", " m ", " m,", " m2", " l/min"};
    for (size_t i = 0; i < sizeof metric / sizeof *metric; i++) {
        const char *at = words.bytes;
        while ((at = strstr(at, metric[i])) && at < last) {
            if (at > words.bytes && isdigit((unsigned char)at[-1]))
                fail_msg("%.60s: a metric unit in a US job", at - 20);
            at++;
        }
    }
    text_free(&words);
    end(&f);
}

static void test_many(void **state) {
    (void)state;
    fixture f = begin(report_job_crowd(40, 2));
    text words = words_of(&f, "crowd");
    check_pages(&words);
    check_traced(&f);
    text_free(&words);
    end(&f);
}

/* Lists of marks are never cut: each mark of 264 leaks stands with its verdict under What remains, and in a look. */
static void test_long_lists(void **state) {
    (void)state;
    fixture f = begin(report_job_crowd(264, 6));
    say words;
    const handover h = composing(&f, &words);
    const handover_rows lists[] = {handover_remaining(&h), handover_looks(&h)};
    const size_t column[] = {2, 3};
    size_t marks[2] = {0};
    for (size_t k = 0; k < 2; k++)
        for (size_t i = 0; i < lists[k].n; i++) {
            size_t commas = 1;
            for (const char *at = lists[k].rows[i].cells[column[k]]; *at; at++) commas += *at == ',';
            assert_true(commas <= HANDOVER_MARKS);
            marks[k] += commas;
        }
    assert_int_equal(marks[0], 198); /* three of four are not kept */
    assert_int_equal(marks[1], 66 * REVISITS);
    end(&f);
}

/* Any text of a job. */
static void test_any_words(void **state) {
    (void)state;
    fixture f = begin(report_job_named("Προβλήτα 東京", "مخزن", "Ж1"));
    ((survey *)(uintptr_t)f.plan->survey)->site.warranty = "هر سال";
    text words = words_of(&f, "words");
    check_pages(&words);
    has(&words, "Προβλήτα");
    has(&words, "Ж1");
    text_free(&words);
    end(&f);
}

/* On the wall: the trace in the ink of its verdict, whole, and the words beside its mark. */
static void test_verdict_on_the_wall(void **state) {
    (void)state;
    plan *p = report_job_one(UNITS_METRIC);
    arena *memory = arena_new();
    assert_non_null(memory);
    say words = {.memory = memory};
    const sheet_ink trace = INK_BUILT_BROKEN, box = INK_LABEL_BROKEN;
    const char *said = "N1 · 2.20 m";
    for (int bare = 0; bare < 2; bare++) {
        const elevation_look look = {&trace, &box, &said, bare == 1};
        sheet drawing = {.memory = memory};
        elevation_draw_built(p, 0, 50, &look, &words, &drawing);
        size_t traces = 0, boxes = 0, texts = 0, coats = 0, wet = 0;
        for (size_t i = 0; i < drawing.n_items; i++) {
            const sheet_item *item = &drawing.items[i];
            traces += item->ink == INK_BUILT_BROKEN;
            boxes += item->ink == INK_LABEL_BROKEN;
            coats += item->ink == INK_COAT || item->ink == INK_SLOT;
            wet += item->ink >= INK_DRY && item->ink <= INK_JET;
            texts += item->kind == ITEM_TEXT && strcmp(item->words, said) == 0;
        }
        assert_int_equal(traces, 1);
        assert_int_equal(boxes, 1);
        assert_int_equal(texts, 1);
        assert_int_equal(wet, 0);
        assert_int_equal(coats > 0, bare == 0);
    }
    arena_free(memory);
    report_job_free(p);
}

static double length_in(const sheet *s, sheet_ink ink) {
    double sum = 0;
    for (size_t i = 0; i < s->n_items; i++)
        for (size_t r = 0; s->items[i].ink == ink && r < s->items[i].n_rings; r++) {
            const sheet_ring *ring = &s->items[i].rings[r];
            for (size_t k = 1; k < ring->n; k++)
                sum += hypot(ring->points[k].x - ring->points[k - 1].x,
                             ring->points[k].y - ring->points[k - 1].y);
        }
    return sum;
}

/* E1 is a joint of 5.40 m with a slot of 4.00 m: the drawing must not say of the rest that it was proved dry. */
static void test_only_what_was_treated_is_kept(void **state) {
    (void)state;
    plan *p = report_job_file(EXAMPLES_FOLDER "/pump-house.json");
    arena *memory = arena_new();
    assert_non_null(memory);
    say words = {.memory = memory};
    sheet_ink *traces = arena_get(memory, p->n_leaks, sizeof *traces),
              *boxes = arena_get(memory, p->n_leaks, sizeof *boxes);
    const char **said = arena_get(memory, p->n_leaks, sizeof *said);
    for (size_t i = 0; i < p->n_leaks; i++) {
        bool e1 = strcmp(p->leaks[i].defect->mark, "E1") == 0;
        traces[i] = e1 ? INK_BUILT_KEPT : INK_BUILT_BROKEN;
        boxes[i] = INK_LABEL_KEPT;
        said[i] = p->leaks[i].defect->mark;
    }
    const elevation_look look = {traces, boxes, said, false};
    sheet drawing = {.memory = memory};
    elevation_draw_built(p, 1, 50, &look, &words, &drawing);
    assert_true(fabs(length_in(&drawing, INK_BUILT_KEPT) - 4.00 * 20) < 1e-6); /* mm of paper at 1:50 */
    assert_true(fabs(length_in(&drawing, INK_BUILT_OPEN) - 1.40 * 20) < 1e-6);
    arena_free(memory);
    report_job_free(p);
}

static void test_faces_show_the_verdicts(void **state) {
    (void)state;
    fixture f = begin(report_job_file(EXAMPLES_FOLDER "/pump-house.json"));
    say words;
    const handover h = composing(&f, &words);
    elevation_look look;
    assert_true(handover_look(&h, 0, f.memory, &look)); /* the north wall: N1, N12, N12a, N3, N4, N5 */
    for (size_t i = 0; i < 6; i++) {
        assert_int_equal(look.traces[i], INK_BUILT_KEPT + i % 4);
        assert_int_equal(look.boxes[i], INK_LABEL_KEPT + i % 4);
    }
    assert_string_equal(look.words[0], "N1 · 3.21 m · ph. 1");
    assert_string_equal(look.words[3], "N3");
    assert_string_equal(look.words[5], "N5 · ph. 5-6"); /* a place has no length */
    assert_true(look.bare);                             /* N3 is open */
    end(&f);
}

/* Whoever multiplies what is printed gets the amount beside it; a share is told as the offer tells it. */
static void test_bill_multiplies(void **state) {
    (void)state;
    fixture f = begin(report_job_one(UNITS_METRIC));
    say words;
    handover h = composing(&f, &words);
    built_bill lines[] = {
        {"Cut and chip", "h", "labour-hours recorded", {true, 32 + 44.0 / 60}, 52, 1702.13, 31.05},
        {"Plug powder", "kg", "recorded as used", {true, 59.07}, 294 / 57.83753241599557, 300.26, 57.84},
        {"Overhead", "x", "on all lines above", {true, 9200.34}, 0.15, 1380.05, 8971.88}};
    built_job job = *h.view->built;
    job.bills = lines;
    job.n_bills = 3;
    handover_view view = *h.view;
    view.built = &job;
    h.view = &view;
    const handover_rows bill = handover_billed(&h);
    assert_string_equal(bill.rows[0].cells[2], "32.7333\u00a0h");
    assert_string_equal(bill.rows[0].cells[3], "52.00");
    assert_string_equal(bill.rows[1].cells[3], "5.0832");
    assert_string_equal(bill.rows[2].cells[1], "8\u00a0971.88");
    assert_string_equal(bill.rows[2].cells[2], "9\u00a0200.34");
    assert_string_equal(bill.rows[2].cells[3], "15 %");
    end(&f);
}

/* What is printed adds up: money by line to the total, the four parts of a drop to the net drop (trade/acceptance.md 2: 4.0 mm). */
static void test_lines_add_up(void **state) {
    (void)state;
    fixture f = begin(report_job_one(UNITS_METRIC));
    say words;
    const handover h = composing(&f, &words);
    const handover_rows bill = handover_billed(&h), tank = handover_tank(&h, 0);
    assert_string_equal(bill.rows[1].cells[2], "not recorded");
    assert_string_equal(bill.rows[1].cells[4], "not billed");
    assert_string_equal(bill.rows[0].cells[4], "1\u00a0838.25");
    assert_string_equal(bill.rows[2].cells[4], "480.00");
    assert_string_equal(bill.rows[3].cells[4], "2\u00a0318.25");
    assert_string_equal(bill.rows[4].cells[4], "2\u00a0550.08");
    double sum = 0;
    for (size_t i = 0; i < 4; i++) sum += strtod(tank.rows[i].cells[1], NULL);
    assert_true(fabs(sum - 4.0) < 1e-9);
    assert_true(fabs(strtod(tank.rows[4].cells[1], NULL) - 4.0) < 1e-9);
    assert_string_equal(tank.rows[4].cells[0], "Net drop");
    end(&f);
}

/* ---- photos, bytes, faults ---- */

static void write_photo(void) {
    unsigned char rgb[40 * 30 * 3];
    for (size_t i = 0; i < sizeof rgb; i++) rgb[i] = (unsigned char)(i * 7);
    const image picture = {40, 30, rgb};
    text jpeg = {0};
    fault why = {0};
    if (image_write_jpeg(&picture, 90, &jpeg, &why) != OK) fail_msg("%s", why.text);
    if (file_write(in_folder("one.jpg"), jpeg.bytes, jpeg.length, &why) != OK) fail_msg("%s", why.text);
    text_free(&jpeg);
}

static size_t count_of(const text *in, const char *part) {
    size_t n = 0, length = strlen(part);
    for (size_t i = 0; i + length <= in->length; i++) n += memcmp(in->bytes + i, part, length) == 0;
    return n;
}

/* A link could lead to any picture of the machine, a pipe would be waited for without an end: neither is a photo. */
static void test_no_photo_from_elsewhere(void **state) {
    (void)state;
    fixture f = begin(report_job_one(UNITS_METRIC));
    text without = pdf_of(&f);
    char there[200];
    write_photo();
    snprintf(there, sizeof there, "%s", in_folder("two.jpg"));
    assert_int_equal(rename(in_folder("one.jpg"), there), 0);
    f.options.photo_folder = own_folder();
    for (int pipe = 0; pipe < 2; pipe++) {
        assert_int_equal(pipe ? mkfifo(in_folder("one.jpg"), 0600) : symlink(there, in_folder("one.jpg")), 0);
        text with = pdf_of(&f);
        assert_int_equal(with.length, without.length);
        assert_memory_equal(with.bytes, without.bytes, with.length);
        text_free(&with);
        assert_int_equal(unlink(in_folder("one.jpg")), 0);
    }
    assert_int_equal(unlink(there), 0);
    text_free(&without);
    end(&f);
}

static void test_same_bytes_with_photo(void **state) {
    (void)state;
    fixture f = begin(report_job_one(UNITS_METRIC));
    text without = pdf_of(&f);
    write_photo();
    f.options.photo_folder = own_folder();
    text first = pdf_of(&f), second = pdf_of(&f);
    assert_int_equal(first.length, second.length);
    assert_memory_equal(first.bytes, second.bytes, first.length);
    assert_int_equal(count_of(&without, "/DCTDecode"), 0);
    assert_int_equal(count_of(&first, "/DCTDecode"), 1);
    text_free(&first);
    f.options.photo_folder = "/tmp/is-not-there"; /* a photo that a person put beside the job file */
    f.options.photo_beside = own_folder();
    first = pdf_of(&f);
    assert_int_equal(count_of(&first, "/DCTDecode"), 1);
    f.options.photo_beside = NULL;
    text_free(&without);
    text_free(&first);
    text_free(&second);
    char outside[128];
    snprintf(outside, sizeof outside, "%s/one.jpg",
             own_folder() + strlen("/tmp/")); /* it is there, but not in the folder */
    f.options.photo_folder = "/tmp";
    f.job->built.photos[0].file = outside;
    first = pdf_of(&f);
    assert_int_equal(count_of(&first, "/DCTDecode"), 0);
    text_free(&first);
    end(&f);
}

static void test_faults(void **state) {
    (void)state;
    fixture f = begin(report_job_one(UNITS_METRIC));
    text out = {0};
    fault why = {0};
    f.options.date = "22.3.2026";
    assert_int_equal(report_handover_pdf(&f.view, &f.options, &out, &why), E_INPUT);
    assert_non_null(strstr(why.text, "22.3.2026"));
    text_free(&out);
    f.options.date = "2026-03-22";
    f.job->accept.n_leaks = 0;
    assert_int_equal(report_handover_pdf(&f.view, &f.options, &out, &why), E_INPUT);
    assert_string_equal(why.text, "the plan has 1 leaks, the proof 0, the work as built 1");
    text_free(&out);
    end(&f);
}

/* From the n-th allocation on there is none; every fifth, which takes a second: all of them were run once. */
static void test_memory_runs_out(void **state) {
    (void)state;
    fixture f = begin(report_job_one(UNITS_METRIC));
    long before = mem_count();
    text whole = pdf_of(&f);
    long count = mem_count() - before;
    assert_true(count > 10);
    text_free(&whole);
    for (long i = 0; i < count; i += 5) {
        text out = {0};
        fault why = {0};
        mem_fail_at(i, 1);
        status code = report_handover_pdf(&f.view, &f.options, &out, &why);
        mem_fail_at(-1, 0);
        if (code != E_MEMORY) fail_msg("allocation %ld of %ld failed and nobody said so", i, count);
        text_free(&out);
    }
    end(&f);
}

static void test_nothing_recorded(void **state) {
    (void)state;
    fixture f = begin(report_job_one(UNITS_METRIC));
    arena *memory = f.memory;
    proof_leak *leaks = arena_get(memory, 1, sizeof *leaks);
    built_leak *built = arena_get(memory, 1, sizeof *built);
    assert_non_null(leaks);
    assert_non_null(built);
    leaks[0] = (proof_leak){
        .mark = "N1", .verdict = PROOF_OPEN, .reached = "", .sentence = "Nothing was placed here."};
    built[0].mark = "N1";
    f.job->accept = (accept_job){.verdict = PROOF_OPEN,
                                 .class_id = TIGHT_ZTV_2,
                                 .leaks = leaks,
                                 .n_leaks = 1,
                                 .counts = {0, 0, 0, 1},
                                 .sentence = "Nothing was treated."};
    f.job->built = (built_job){.leaks = built, .n_leaks = 1};
    f.view.n_records = 0;
    f.options.head_seq = 0;
    text words = words_of(&f, "nothing");
    check_pages(&words);
    has(&words, "Verdict of the job: open");
    has(&words, "had no record when this document was made");
    has(&words, "There is nothing to bill");
    has(&words, "No look has a date yet");
    has(&words, "none was agreed; judged as ZTV-ING class 2");
    text_free(&words);
    end(&f);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_figure_is_traced),
        cmocka_unit_test(test_records_named_are_listed),
        cmocka_unit_test(test_document),
        cmocka_unit_test(test_draft_says_so),
        cmocka_unit_test(test_us),
        cmocka_unit_test(test_many),
        cmocka_unit_test(test_long_lists),
        cmocka_unit_test(test_faces_show_the_verdicts),
        cmocka_unit_test(test_bill_multiplies),
        cmocka_unit_test(test_only_what_was_treated_is_kept),
        cmocka_unit_test(test_lines_add_up),
        cmocka_unit_test(test_verdict_on_the_wall),
        cmocka_unit_test(test_any_words),
        cmocka_unit_test(test_no_photo_from_elsewhere),
        cmocka_unit_test(test_same_bytes_with_photo),
        cmocka_unit_test(test_faults),
        cmocka_unit_test(test_nothing_recorded),
        cmocka_unit_test(test_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, drop_folder);
}
