/* cards.c - the step cards, one leak a page or two short ones, never split when a page can hold them. */
#include "report/card.h"
#include "report/code.h"
#include "report/elevation.h"
#include "report/section.h"
#include "report/sections.h"

#include <math.h>

static const double SKETCH_PT = 226, KEY_WIDTH_MM = 60, KEY_HEIGHT_MM = 17;
/* Sizes of type: the next for a card that would run over its page. */
static const double SIZES[] = {8.5, 8, 7.5, 7, 6.6};

static void heading(doc *d, size_t leak) {
    const leak_water *of = &d->plan->leaks[leak];
    bool stop = finding_stops(&d->plan->findings, of->defect->mark);
    say *w = &d->words;
    doc_style mark = {15, true, stop ? 0xb00020 : 0x111111, ALIGN_LEFT}, right = DOC_BOLD;
    right.align = ALIGN_RIGHT;
    double inner = doc_inner(d) - 12, x = DOC_MARGIN + 6;
    const char *what = say_print(w, "%s, %s", say_kind_words[of->defect->kind],
                                 method_words[d->plan->designs[leak].method.name]);
    const char *grade = say_print(w, "%s%s", leak_grade_shown(of->grade, d->plan->survey->site.system),
                                  stop ? "\nSTOP: do not cut" : "");
    double tall =
        fmax(doc_measure(d, mark, inner * 0.36, of->defect->mark),
             fmax(doc_measure(d, DOC_BOLD, inner * 0.4, what), doc_measure(d, right, inner * 0.22, grade)));
    doc_box(d, (sheet_box){DOC_MARGIN, d->y, doc_inner(d), tall + 8}, stop ? 0xb00020 : 0x444444,
            stop ? 0xffe9e6 : 0xe9edf0);
    doc_text_at(d, mark, x, d->y + 4, inner * 0.36, of->defect->mark);
    doc_text_at(d, DOC_BOLD, x + inner * 0.38, d->y + 4, inner * 0.4, what);
    doc_text_at(d, right, x + inner * 0.78, d->y + 4, inner * 0.22, grade);
    d->y += tall + 12;
}

/* The cut through the repair; returns the height used. */
static double section(doc *d, size_t leak, double x, double y) {
    if (!section_has(&d->plan->designs[leak])) return 0;
    sheet cut = {.memory = d->words.memory};
    section_draw(&d->plan->leaks[leak], &d->plan->designs[leak], &d->words, &cut);
    doc_sheet(d, &cut, x, y);
    return cut.height * DOC_MM + 4;
}

/* Where on its face the leak lies; returns the height used. */
static double key_plan(doc *d, size_t leak, double x, double y) {
    const survey *s = d->plan->survey;
    const survey_defect *of = d->plan->leaks[leak].defect;
    const survey_face *face = of->n_parts ? survey_find_face(s, of->parts[0].face) : NULL;
    if (!face) return 0;
    sheet key = {.memory = d->words.memory};
    elevation_key(d->plan, (size_t)(face - s->faces), leak, KEY_WIDTH_MM, KEY_HEIGHT_MM, &key);
    doc_sheet(d, &key, x + 4, y);
    double height = key.height * DOC_MM + 2;
    const char *name = say_print(&d->words, "on %s", face->name ? face->name : face->id);
    return height + doc_text_at(d, DOC_SOFT, x + 7, y + height, SKETCH_PT - 14, name);
}

/* The QR code that opens the leak on the page, at the right end of its heading's row; returns the height used. */
static double code(doc *d, size_t leak, double x, double y) {
    if (!d->options->link) return 0;
    text link = {0};
    text_print(&link, "%swall/", d->options->link);
    text_add_escaped(&link, d->plan->leaks[leak].defect->mark);
    double side = link.failed ? 0 : doc_code(d, text_get(&link), x, y);
    text_free(&link);
    if (!(side > 0)) return 0;
    double quiet = CODE_QUIET * DOC_CODE_CELL_PT, right = x + side - quiet;
    double words = doc_text_at(d, DOC_SOFT, right, y + quiet, SKETCH_PT - (right - x) - 4,
                               "Opens this leak on a phone: steps, timers, mix, records.");
    return fmax(side, words + 2 * quiet);
}

/* Facts at the left, section at the right, the key plan under the shorter of them. */
static void middle(doc *d, size_t leak, double size) {
    double top = d->y, left = doc_inner(d) - SKETCH_PT, right = DOC_MARGIN + left;
    double cut = section(d, leak, right, top);
    cut += code(d, leak, right, top + cut);
    card_facts(d, leak, size - 0.5, DOC_MARGIN, left - 4);
    double facts = d->y - top;
    if (facts < cut)
        facts += 5 + key_plan(d, leak, DOC_MARGIN, top + facts + 5);
    else
        cut += key_plan(d, leak, right, top + cut);
    d->y = top + fmax(facts, cut) + 6;
}

static void card(doc *d, size_t leak, double size) {
    heading(d, leak);
    middle(d, leak, size);
    card_ports(d, leak);
    card_why(d, leak, size - 0.5);
    card_findings(d, leak, size - 0.5);
    card_mixes(d, leak, size - 0.5);
    card_plane_line(d, leak, size);
    card_steps(d, leak, size);
    card_cautions(d, leak, size - 0.5);
}

/* Height a card takes on endless paper. */
static double card_height(doc *d, size_t leak, double size) {
    doc saved = *d;
    d->dry = true;
    d->y = 0;
    d->bottom = HUGE_VAL;
    card(d, leak, size);
    double height = d->y;
    saved.words = d->words;
    saved.replaced = d->replaced;
    *d = saved;
    return height;
}

/* The largest type at which the card fits `room`, else the smallest; its height to *height. */
static double choose_size(doc *d, size_t leak, double room, double *height) {
    size_t n = sizeof SIZES / sizeof *SIZES, at = 0;
    while (at + 1 < n && SIZES[at] > d->card_sizes[leak] && d->card_sizes[leak] > 0) at++;
    *height = card_height(d, leak, SIZES[at]);
    while (*height > room && at + 1 < n) *height = card_height(d, leak, SIZES[++at]);
    return SIZES[at];
}

static void place_card(doc *d, size_t leak, bool first) {
    double height, room = d->bottom - (first ? d->y : DOC_TOP), size = choose_size(d, leak, room, &height);
    d->card_sizes[leak] = size;
    if (!first && d->y + 14 + height <= d->bottom) {
        d->y += 14;
    } else if (!first) {
        doc_page(d, false);
    }
    d->card_pages[leak] = d->page;
    doc_outline(d, d->outline, d->plan->leaks[leak].defect->mark);
    if (d->dry && d->y + height <= d->bottom)
        d->y += height;
    else
        card(d, leak, size);
    card_plane_figure(d, leak);
    card_movement_figures(d, leak);
}

void section_cards(doc *d) {
    arena *outer = d->words.memory;
    for (size_t i = 0; i < d->plan->n_leaks; i++) {
        arena *memory = arena_new();
        if (!memory) {
            d->words.failed = true;
            return;
        }
        d->words.memory = memory;
        if (i == 0) {
            doc_page(d, false);
            d->first_card = d->page;
            d->outline = doc_outline(d, 0, "Step cards");
        }
        place_card(d, i, i == 0);
        d->words.memory = outer;
        arena_free(memory);
    }
}
