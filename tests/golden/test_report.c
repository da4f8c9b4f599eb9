/* The documents of a plan: same bytes, nothing lost, nothing on top of another, faults in sentences. */
#include "paper.h"
#include "report_job.h"

#include "core/file.h"
#include "report/doc.h"
#include "report/elevation.h"
#include "report/ports.h"
#include "report/report.h"
#include "survey/dxf.h"

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

static const report_options options = {.date = "2025-03-12", .version = "0.1.0"};

static text pdf_of(const plan *p) {
    text out = {0};
    fault why = {0};
    if (report_pdf(p, &options, &out, &why) != OK) fail_msg("%s", why.text);
    assert_memory_equal(out.bytes, "%PDF-", 5);
    return out;
}

static text svg_of(const plan *p, size_t face) {
    text out = {0};
    fault why = {0};
    if (report_svg(p, face, &out, &why) != OK) fail_msg("%s", why.text);
    return out;
}

static int drop_folder(void **state) {
    (void)state;
    static const char *const files[] = {"job.pdf", "job.xlsx", NULL};
    return paper_drop(files);
}

/* No word leaves its page or lies on another, as the PDF has them. */
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

/* The PDF as text, pages parted by form feeds; skips the test without pdftotext. */
static text words_of(const plan *p) {
    text pdf = pdf_of(p);
    fault why = {0};
    if (file_write(in_folder("job.pdf"), pdf.bytes, pdf.length, &why) != OK) fail_msg("%s", why.text);
    text_free(&pdf);
    char command[256];
    snprintf(command, sizeof command, "pdftotext -layout %s - 2>/dev/null", in_folder("job.pdf"));
    text words = output_of(command);
    if (words.length == 0) {
        text_free(&words);
        report_job_free((plan *)(uintptr_t)p);
        skip();
    }
    return words;
}

static void test_same_bytes(void **state) {
    (void)state;
    plan *p = report_job_one(UNITS_METRIC);
    text first = pdf_of(p), second = pdf_of(p);
    assert_int_equal(first.length, second.length);
    assert_memory_equal(first.bytes, second.bytes, first.length);
    text_free(&first);
    text_free(&second);
    char *sheets[2];
    size_t lengths[2];
    fault why = {0};
    for (int i = 0; i < 2; i++) {
        if (report_xlsx(p, &options, in_folder("job.xlsx"), &why) != OK) fail_msg("%s", why.text);
        assert_int_equal(file_read(in_folder("job.xlsx"), &sheets[i], &lengths[i], &why), OK);
        if (i == 0)
            sleep(2); /* a clock that leaked into the file would show: zip stamps count in two seconds */
    }
    assert_int_equal(lengths[0], lengths[1]);
    assert_memory_equal(sheets[0], sheets[1], lengths[0]);
    mem_free(sheets[0]);
    mem_free(sheets[1]);
    report_job_free(p);
}

static void test_svg_is_the_one_looked_at(void **state) {
    (void)state;
    plan *p = report_job_one(UNITS_METRIC);
    text now = svg_of(p, 0);
    char *golden = NULL;
    size_t length = 0;
    fault why = {0};
    if (getenv("STANCH_WRITE_GOLDEN")) file_write(GOLDEN_FOLDER "/one-face.svg", now.bytes, now.length, &why);
    if (file_read(GOLDEN_FOLDER "/one-face.svg", &golden, &length, &why) != OK) fail_msg("%s", why.text);
    assert_string_equal(text_get(&now), golden);
    mem_free(golden);
    text_free(&now);
    report_job_free(p);
}

/* The pages that hold elevations, one after another. */
static text elevations_of(const text *words) {
    text out = {0};
    for (const char *at = words->bytes; *at;) {
        const char *end = strchr(at, '\f'), *head = strstr(at, "Elevations, seen from the dry side");
        assert_non_null(end);
        if (head && head < end) text_add_bytes(&out, at, (size_t)(end - at));
        at = end + 1;
    }
    return out;
}

static bool has_leak(const plan *p, const survey_face *face) {
    for (size_t k = 0; k < p->n_leaks; k++) {
        const survey_defect *d = p->leaks[k].defect;
        for (size_t n = 0; n < d->n_parts; n++)
            if (strcmp(d->parts[n].face, face->id) == 0) return true;
    }
    return false;
}

/* Every face with a leak is drawn, and every mark stands on a drawing. */
static void check_elevations(const plan *p, const text *words) {
    text drawn = elevations_of(words);
    for (size_t i = 0; i < p->survey->n_faces; i++)
        if (has_leak(p, &p->survey->faces[i])) assert_non_null(strstr(drawn.bytes, p->survey->faces[i].name));
    for (size_t i = 0; i < p->n_leaks; i++) assert_non_null(strstr(drawn.bytes, p->leaks[i].defect->mark));
    text_free(&drawn);
}

/* Pages: as many as the footers say, each with more than its footer, marks and face names all there. */
static void check_words(const plan *p, const text *words) {
    int pages = 0;
    char of[32];
    for (const char *at = words->bytes; *at; pages++) {
        const char *end = strchr(at, '\f');
        assert_non_null(end);
        assert_true(end - at > 300);
        at = end + 1;
    }
    for (int i = 1; i <= pages; i++) {
        snprintf(of, sizeof of, "page %d of %d\n", i, pages);
        assert_non_null(strstr(words->bytes, of));
    }
    check_elevations(p, words);
    assert_true(fits());
    char total[64];
    snprintf(total, sizeof total, "plan %.12s", p->price_hash);
    assert_non_null(strstr(words->bytes, total));
    assert_null(strstr(words->bytes, "nan"));
    assert_null(strstr(words->bytes, "-0.00 "));
}

static void check_job(plan *p) {
    text words = words_of(p);
    check_words(p, &words);
    text_free(&words);
    report_job_free(p);
}

static void test_pdf_of_one(void **state) {
    (void)state;
    check_job(report_job_one(UNITS_METRIC));
}

static void test_pdf_of_us(void **state) {
    (void)state;
    plan *p = report_job_one(UNITS_US);
    text words = words_of(p);
    check_words(p, &words);
    assert_non_null(strstr(words.bytes, "gal"));
    assert_non_null(strstr(words.bytes, "1/4 in = 1 ft (1:48)"));
    assert_null(strstr(words.bytes, " kPa"));
    text_free(&words);
    text drawing = svg_of(p, 0);
    assert_non_null(strstr(drawing.bytes, ">13.12 ft<")); /* 4 m / 0.3048 */
    text_free(&drawing);
    report_job_free(p);
}

static void test_pdf_of_the_example(void **state) {
    (void)state;
    check_job(report_job_file(EXAMPLES_FOLDER "/pump-house.json"));
}

static void test_pdf_of_a_crowd(void **state) {
    (void)state;
    check_job(report_job_crowd(300, 12));
}

static bool apart(sheet_box a, sheet_box b) {
    return a.x + a.width <= b.x || b.x + b.width <= a.x || a.y + a.height <= b.y || b.y + b.height <= a.y;
}

/* 25 marks a face: each placed, inside its sheet, none over another. */
static void test_labels_do_not_overlap(void **state) {
    (void)state;
    plan *p = report_job_crowd(300, 12);
    size_t placed = 0;
    for (size_t i = 0; i < p->survey->n_faces; i++) {
        arena *memory = arena_new();
        say words = {.memory = memory, .currency = "EUR"};
        sheet s = {.memory = memory};
        elevation_draw(p, i, elevation_scale(p, i, 273, 160), &words, &s);
        assert_false(s.failed);
        assert_int_equal(s.n_unplaced, 0);
        for (size_t a = 0; a < s.n_labels; a++) {
            sheet_box box = s.labels[a];
            assert_true(box.x >= 0 && box.y >= 0 && box.x + box.width <= s.width &&
                        box.y + box.height <= s.height);
            for (size_t b = 0; b < a; b++) assert_true(apart(box, s.labels[b]));
        }
        placed += s.n_labels;
        arena_free(memory);
    }
    assert_int_equal(placed, 300);
    report_job_free(p);
}

/* 900 marks cannot stand on one wall: those left out are counted and said, the rest still do not overlap. */
static void test_too_many_marks_are_said(void **state) {
    (void)state;
    plan *p = report_job_crowd(900, 1);
    arena *memory = arena_new();
    say words = {.memory = memory, .currency = "EUR"};
    sheet s = {.memory = memory};
    elevation_draw(p, 0, elevation_scale(p, 0, 273, 160), &words, &s);
    assert_true(s.n_unplaced > 0);
    assert_int_equal(s.n_labels + s.n_unplaced, 900);
    for (size_t a = 0; a < s.n_labels; a++)
        for (size_t b = 0; b < a; b++) assert_true(apart(s.labels[a], s.labels[b]));
    arena_free(memory);
    text svg = svg_of(p, 0);
    assert_non_null(strstr(svg.bytes, "marks found no room at this scale"));
    text_free(&svg);
    report_job_free(p);
}

/* The reckoned width of a text is never less than a font's: letters of four scripts, digits and signs, plain
 * and bold. */
static void test_reckoned_widths_hold(void **state) {
    (void)state;
    static const char *const families[] = {"Noto Sans", "DejaVu Sans"};
    PangoFontMap *fonts = pango_cairo_font_map_new();
    PangoContext *context = pango_font_map_create_context(fonts);
    const struct {
        gunichar from, to;
    } ranges[] = {{0x20, 0x7e}, {0xa1, 0x17f}, {0x391, 0x3c9}, {0x410, 0x44f}};
    for (size_t f = 0; f < 4; f++) {
        PangoFontDescription *font = pango_font_description_from_string(families[f / 2]);
        pango_font_description_set_absolute_size(font, 100 * PANGO_SCALE);
        if (f % 2) pango_font_description_set_weight(font, PANGO_WEIGHT_BOLD);
        for (size_t r = 0; r < sizeof ranges / sizeof *ranges; r++) {
            for (gunichar c = ranges[r].from; c <= ranges[r].to; c++) {
                char one[8] = {0};
                g_unichar_to_utf8(c, one);
                PangoLayout *layout = pango_layout_new(context);
                pango_layout_set_font_description(layout, font);
                pango_layout_set_text(layout, one, -1);
                PangoRectangle box;
                pango_layout_get_extents(layout, NULL, &box);
                if ((double)box.width / PANGO_SCALE > sheet_text_width(one, 100, f % 2) + 1e-6)
                    fail_msg("%s %s: %.1f", families[f / 2], one, (double)box.width / PANGO_SCALE);
                g_object_unref(layout);
            }
        }
        pango_font_description_free(font);
    }
    g_object_unref(context);
    g_object_unref(fonts);
}

static void test_hostile_names(void **state) {
    (void)state;
    plan *p = report_job_named("Кафе «Ωμέγα» 東京 <b>&\"x\"",
                               "wall <1> & \"東京\" Δυτικός τοίχος, a name as long as "
                               "your arm and longer still, and then some more of it",
                               "漢1&<é>Ж-0123456789-0123456789-0123456789");
    text svg = svg_of(p, 0);
    assert_null(strstr(svg.bytes, "<1>"));
    assert_non_null(strstr(svg.bytes, "wall &lt;1&gt; &amp; &quot;東京&quot;"));
    assert_non_null(strstr(svg.bytes, "data-mark=\"漢1&amp;&lt;é&gt;Ж"));
    assert_true(text_is_utf8(svg.bytes, svg.length));
    text_free(&svg);
    text dxf = {0};
    fault why = {0};
    assert_int_equal(report_dxf(p, &dxf, &why), OK);
    assert_non_null(strstr(dxf.bytes, "\\U+6771"));
    text_free(&dxf);
    text words = words_of(p);
    /* Either the machine has the font, or the characters stand by number and the cover says so. */
    if (!strstr(words.bytes, "東京")) {
        assert_non_null(strstr(words.bytes, "[U+6771 U+4EAC]"));
        assert_non_null(strstr(words.bytes, "have no font on the machine"));
    }
    assert_non_null(strstr(words.bytes, "Кафе"));
    assert_non_null(strstr(words.bytes, "Ωμέγα"));
    assert_true(fits());
    text_free(&words);
    report_job_free(p);
}

static void test_dxf_has_every_face(void **state) {
    (void)state;
    plan *p = report_job_file(EXAMPLES_FOLDER "/pump-house.json");
    text dxf = {0};
    fault why = {0};
    assert_int_equal(report_dxf(p, &dxf, &why), OK);
    for (size_t i = 0; i < p->survey->n_faces; i++)
        assert_non_null(strstr(dxf.bytes, p->survey->faces[i].name));
    for (size_t i = 0; i < p->n_leaks; i++) assert_non_null(strstr(dxf.bytes, p->leaks[i].defect->mark));
    assert_non_null(strstr(dxf.bytes, "EOF"));
    text_free(&dxf);
    report_job_free(p);
}

static void test_wrong_dates_and_faces(void **state) {
    (void)state;
    static const char *const wrong[] = {"",           "2025-3-12",  "2025-02-29", "2024-04-31",
                                        "2025-13-01", "2025-00-10", "2025-01-32", "1969-12-31",
                                        "20250-1-01", "2025/03/12", "yesterday!"};
    plan *p = report_job_one(UNITS_METRIC);
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        report_options bad = {.date = wrong[i], .version = "0"};
        text out = {0};
        fault why = {0};
        assert_int_equal(report_pdf(p, &bad, &out, &why), E_INPUT);
        assert_non_null(strstr(why.text, "YYYY-MM-DD"));
        assert_int_equal(out.length, 0);
        assert_int_equal(report_xlsx(p, &bad, in_folder("job.xlsx"), &why), E_INPUT);
    }
    text out = {0};
    fault why = {0};
    assert_int_equal(report_svg(p, 1, &out, &why), E_INPUT);
    assert_string_equal(why.text, "face 2: the job has 1 faces");
    assert_int_equal(report_xlsx(p, &options, "/nowhere/at/all.xlsx", &why), E_IO);
    assert_non_null(strstr(why.text, "/nowhere/at/all.xlsx"));
    report_job_free(p);
}

/* Column of the sheet Quantities, plan's total. */
static void test_spreadsheet_agrees(void **state) {
    (void)state;
    plan *p = report_job_file(EXAMPLES_FOLDER "/pump-house.json");
    fault why = {0};
    if (report_xlsx(p, &options, in_folder("job.xlsx"), &why) != OK) fail_msg("%s", why.text);
    const takeoff_job *t = &p->takeoff;
    char command[1024];
    snprintf(command, sizeof command,
             "/usr/bin/python3 %s/check_xlsx.py %s %zu %.17g %.17g %.17g %.17g %.17g %.17g %.17g %.17g %.17g "
             "%.17g 2>&1",
             GOLDEN_FOLDER, in_folder("job.xlsx"), p->n_leaks, t->slot_length_m, t->slot_volume_m3 * 1000,
             t->coat_m2, t->first_coat_m2, t->last_coat_m2, t->wash_m2, t->wash_water_m3 * 1000, t->spoil_kg,
             p->price.subtotal, p->price.total);
    text said = output_of(command);
    bool absent =
        said.length == 0 || strstr(said.bytes, "No module named") || strstr(said.bytes, "not found");
    report_job_free(p);
    if (!absent && strcmp(said.bytes, "agrees\n") != 0) fail_msg("%s", said.bytes);
    text_free(&said);
    if (absent) skip();
}

static void says(const text *words, const char *what) {
    if (!strstr(text_get(words), what)) fail_msg("\"%s\" is not in %s", what, text_get(words));
}

/* 30 mm of cover less 10 (our default) leaves 20 mm of slot: too little at 3.5 m on sawn faces. */
static void test_cuts_are_told(void **state) {
    (void)state;
    plan *p = report_job_cuts();
    assert_int_equal(p->designs[0].n_slots, 3);
    text words = words_of(p);
    says(&words, "in 3 stretches");
    says(&words, "DOES NOT HOLD with its safety factor in 1 of 3");
    says(&words, "is before the start of the crack");
    says(&words, "20-");
    says(&words, "; DOES NOT HOLD\n");
    says(&words, "of the deepest stretch");
    says(&words, "drilled to");
    says(&words, "diameter");
    assert_null(strstr(text_get(&words), "0 ×"));
    assert_true(fits());
    text_free(&words);
    fault why = {0};
    if (report_xlsx(p, &options, in_folder("job.xlsx"), &why) != OK) fail_msg("%s", why.text);
    report_job_free(p);
    char command[512];
    snprintf(command, sizeof command,
             "/usr/bin/python3 -c \"import openpyxl; r = list(openpyxl.load_workbook('%s')['Leaks'].values); "
             "print(r[1][12][:3], r[1][14], '/', r[2][14])\" 2>&1",
             in_folder("job.xlsx"));
    text said = output_of(command);
    bool absent = strstr(text_get(&said), "No module named") || strstr(text_get(&said), "not found");
    if (!absent) assert_string_equal(text_get(&said), "20- does not hold / yes\n");
    text_free(&said);
}

/* Injection, flexible seal and drain: sections, ports and the block of reasons, in both systems, nothing over another. */
static void test_every_way_is_drawn(void **state) {
    (void)state;
    static const char *const said[] = {"face seal",
                                       "packer",
                                       "wet side",
                                       "bar across, cover",
                                       "ports in the order of injection, 1 (yellow) first",
                                       "Dark: a bar is in the way",
                                       "bonded to both",
                                       "backer",
                                       "crack left open",
                                       "keep the outlet open",
                                       "one side of the pipe",
                                       "base ",
                                       "the owner wants no slot in this wall",
                                       "The table says",
                                       "What would tip it",
                                       "May be caused by"};
    for (int us = 0; us < 2; us++) {
        plan *p = report_job_ways(us ? UNITS_US : UNITS_METRIC);
        assert_true(p->designs[0].injection.n_ports > 2);
        p->designs[0].injection.ports[1].near_bar = true;
        p->designs[4].hole_shape = PLACE_CONE;
        p->designs[4].hole_base_m = p->designs[4].hole_diameter_m + 0.02;
        text words = words_of(p);
        for (size_t i = 0; i < sizeof said / sizeof *said; i++) says(&words, said[i]);
        says(&words, us ? "along, ft" : "along, m");
        assert_true(fits());
        text_free(&words);
        report_job_free(p);
    }
}

/* More ports than strips hold: none is lost without a word, nothing leaves the sheet. */
static void test_a_long_row_of_ports(void **state) {
    (void)state;
    enum { PORTS = 400 };
    static design_port ports[PORTS];
    survey_defect seen = {0};
    leak_water leak = {.defect = &seen, .worst = WET_DRIP};
    repair_design d = {.method = {.name = METHOD_INJECT_EPOXY},
                       .injection = {.to_m = 60, .spacing_m = 0.15, .offset_m = 0.15, .ports = ports}};
    for (int n = 1; n <= PORTS; n += n < 20 ? 1 : 95) {
        for (int i = 0; i < n; i++)
            ports[i] = (design_port){0.15 * i, i % 2 ? -0.15 : 0.15, 1, i + 1, i == 7};
        d.injection.n_ports = (size_t)n;
        d.injection.to_m = 0.15 * (n - 1);
        arena *memory = arena_new();
        say words = {.memory = memory, .currency = "EUR"};
        sheet s = {.memory = memory};
        ports_draw(&leak, &d, 181, &words, &s);
        assert_false(s.failed || words.failed);
        size_t holes = 0, numbers = 0;
        for (size_t i = 0; i < s.n_items; i++) {
            const sheet_item *item = &s.items[i];
            holes += item->kind == ITEM_CIRCLE;
            numbers += item->kind == ITEM_TEXT && item->bold;
            if (item->kind != ITEM_PATH)
                assert_true(item->at.x > 0 && item->at.x < s.width && item->at.y > 0 &&
                            item->at.y < s.height);
        }
        assert_int_equal(holes, n);
        bool told = false;
        for (size_t i = 0; i < s.n_items; i++)
            told = told || (s.items[i].kind == ITEM_TEXT && strstr(s.items[i].words, "found no room"));
        assert_true(told == (numbers < holes));
        assert_true(n > 150 || numbers == holes);
        arena_free(memory);
    }
}

/* A pair beside a pipe, a grid on honeycomb: as on the face, each with its number where they stand apart. */
static void test_ports_at_a_place(void **state) {
    (void)state;
    enum { SIDE = 6 };
    static const survey_point ring[] = {{2, 1}, {2.6, 1}, {2.6, 1.6}, {2, 1.6}};
    static const double spacings[] = {0.1, 0.01};
    for (int k = 0; k < 3; k++) {
        survey_part part = {"N", (survey_point *)(size_t)ring, k ? 4 : 1};
        survey_defect seen = {.kind = k ? KIND_HONEYCOMB : KIND_PENETRATION,
                              .parts = &part,
                              .n_parts = 1,
                              .diameter_m = {k == 0, 0.11}};
        leak_water leak = {.defect = &seen, .worst = WET_DRIP};
        design_port ports[SIDE * SIDE] = {{0, 0.23, 1, 1, false}, {0, -0.23, 1, 2, false}};
        for (int i = 0; k && i < SIDE * SIDE; i++)
            ports[i] = (design_port){0.05 + 0.1 * (i / SIDE), 0.05 + 0.1 * (i % SIDE), 1, i + 1, false};
        repair_design d = {.method = {.name = METHOD_INJECT_CEMENT},
                           .injection = {.spacing_m = k ? spacings[k - 1] : 0.15,
                                         .ports = ports,
                                         .n_ports = k ? SIDE * SIDE : 2}};
        arena *memory = arena_new();
        say words = {.memory = memory, .currency = "EUR"};
        sheet s = {.memory = memory};
        ports_draw(&leak, &d, 181, &words, &s);
        assert_false(s.failed || words.failed);
        size_t circles = 0, numbers = 0;
        for (size_t i = 0; i < s.n_items; i++) {
            const sheet_item *item = &s.items[i];
            circles += item->kind == ITEM_CIRCLE;
            numbers += item->kind == ITEM_TEXT && item->bold;
            if (item->kind != ITEM_PATH)
                assert_true(item->at.x > 0 && item->at.x < s.width && item->at.y > 0 &&
                            item->at.y < s.height);
        }
        assert_int_equal(circles, k ? SIDE * SIDE : 3); /* the pipe too */
        assert_int_equal(numbers, k == 0 ? 2 : k == 1 ? SIDE * SIDE : 1);
        arena_free(memory);
    }
}

/* Every allocation failing in turn: a sentence or the same bytes (the memory of heights may do without). */
typedef status (*making)(const plan *p, text *out, fault *why);

static status make_svg(const plan *p, text *out, fault *why) {
    return report_svg(p, 0, out, why);
}
static status make_pdf(const plan *p, text *out, fault *why) {
    return report_pdf(p, &options, out, why);
}

static void fail_in_turn(const plan *p, making make, long stride) {
    text whole = {0};
    fault why = {0};
    assert_int_equal(make(p, &whole, &why), OK);
    long before = mem_count();
    text again = {0};
    assert_int_equal(make(p, &again, &why), OK);
    long all = mem_count() - before, failed = 0;
    text_free(&again);
    for (long n = 0; n < all; n += n < 12 ? 1 : stride) {
        text out = {0};
        mem_fail_at(n, 0);
        status code = make(p, &out, &why);
        mem_fail_at(-1, 0);
        if (code == OK) {
            assert_int_equal(out.length, whole.length);
            assert_memory_equal(out.bytes, whole.bytes, whole.length);
        } else {
            assert_int_equal(code, E_MEMORY);
            failed++;
        }
        text_free(&out);
    }
    assert_true(failed > 2);
    text_free(&whole);
}

static void test_memory_runs_out(void **state) {
    (void)state;
    plan *p = report_job_one(UNITS_METRIC);
    fail_in_turn(p, make_svg, 1);
    fail_in_turn(p, report_dxf, 1);
    fail_in_turn(p, make_pdf, 100);
    fault why = {0};
    for (long n = 0;; n++) {
        mem_fail_at(n, 0);
        status code = report_xlsx(p, &options, in_folder("job.xlsx"), &why);
        mem_fail_at(-1, 0);
        if (code == OK) break;
        assert_int_equal(code, E_MEMORY);
    }
    report_job_free(p);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_same_bytes),
        cmocka_unit_test(test_svg_is_the_one_looked_at),
        cmocka_unit_test(test_pdf_of_one),
        cmocka_unit_test(test_pdf_of_us),
        cmocka_unit_test(test_pdf_of_the_example),
        cmocka_unit_test(test_pdf_of_a_crowd),
        cmocka_unit_test(test_labels_do_not_overlap),
        cmocka_unit_test(test_too_many_marks_are_said),
        cmocka_unit_test(test_reckoned_widths_hold),
        cmocka_unit_test(test_hostile_names),
        cmocka_unit_test(test_dxf_has_every_face),
        cmocka_unit_test(test_wrong_dates_and_faces),
        cmocka_unit_test(test_spreadsheet_agrees),
        cmocka_unit_test(test_cuts_are_told),
        cmocka_unit_test(test_every_way_is_drawn),
        cmocka_unit_test(test_a_long_row_of_ports),
        cmocka_unit_test(test_ports_at_a_place),
        cmocka_unit_test(test_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, drop_folder);
}
