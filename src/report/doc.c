#include "report/doc.h"

#include "report/code.h"

#include <cairo-pdf.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

const doc_style DOC_TITLE = {20, true, 0x111111, ALIGN_LEFT};
const doc_style DOC_HEAD = {14, true, 0x111111, ALIGN_LEFT};
const doc_style DOC_SUBHEAD = {10.5, true, 0x111111, ALIGN_LEFT};
const doc_style DOC_BODY = {9, false, 0x111111, ALIGN_LEFT};
const doc_style DOC_BOLD = {9, true, 0x111111, ALIGN_LEFT};
const doc_style DOC_SMALL = {7.5, false, 0x111111, ALIGN_LEFT};
const doc_style DOC_SOFT = {7.5, false, 0x555555, ALIGN_LEFT};
const doc_style DOC_ALARM = {9, true, 0xb00020, ALIGN_LEFT};

double doc_inner(const doc *d) {
    return d->width - 2 * DOC_MARGIN;
}

static void footer(doc *d) {
    if (d->dry) return;
    doc_style style = DOC_SOFT;
    double y = d->height - DOC_FOOT + 10, third = doc_inner(d) / 3;
    doc_rule(d, DOC_MARGIN, y - 4, doc_inner(d), 0.4, 0x999999);
    doc_short_at(d, style, DOC_MARGIN, y, third * 1.15, d->plan->survey->site.name);
    char words[160];
    style.align = ALIGN_MIDDLE;
    snprintf(words, sizeof words, "stanch %.40s · ", d->options->version);
    size_t used = strlen(words);
    if (d->stamp)
        snprintf(words + used, sizeof words - used, "%s", d->stamp);
    else
        snprintf(words + used, sizeof words - used, "plan %.12s", d->plan->price_hash);
    doc_text_at(d, style, DOC_MARGIN + 1.2 * third, y, third, words);
    style.align = ALIGN_RIGHT;
    snprintf(words, sizeof words, "page %d of %d", d->page, d->pages);
    doc_text_at(d, style, DOC_MARGIN + 2.2 * third, y, 0.8 * third, words);
}

void doc_close_page(doc *d) {
    if (d->page == 0) return;
    footer(d);
    if (!d->dry) cairo_show_page(d->cr);
}

void doc_page(doc *d, bool across) {
    doc_close_page(d);
    bool letter = d->plan->survey->site.letter_paper;
    double narrow = letter ? 612 : 210 * DOC_MM, tall = letter ? 792 : 297 * DOC_MM;
    d->width = across ? tall : narrow;
    d->height = across ? narrow : tall;
    d->y = DOC_TOP;
    d->bottom = d->height - DOC_FOOT;
    d->page++;
    if (!d->dry) cairo_pdf_surface_set_size(d->surface, d->width, d->height);
}

bool doc_need(doc *d, double height) {
    if (d->y + height <= d->bottom) return false;
    doc_page(d, d->width > d->height);
    return true;
}

/* Mark in `odd` the first byte of each character that no font could draw. */
static void find_odd(PangoLayout *layout, bool *odd) {
    PangoLayoutIter *at = pango_layout_get_iter(layout);
    do {
        PangoLayoutRun *run = pango_layout_iter_get_run_readonly(at);
        for (int i = 0; run && i < run->glyphs->num_glyphs; i++) {
            if (run->glyphs->glyphs[i].glyph & PANGO_GLYPH_UNKNOWN_FLAG)
                odd[run->item->offset + run->glyphs->log_clusters[i]] = true;
        }
    } while (pango_layout_iter_next_run(at));
    pango_layout_iter_free(at);
}

/* The words with each run of such characters written by number, "[U+6771 U+4EAC]". */
static void spell_out(const char *words, const bool *odd, text *out) {
    bool inside = false;
    for (const char *at = words; *at;) {
        const char *next = at + g_utf8_skip[*(const guchar *)at];
        bool is_odd = odd[at - words];
        if (is_odd)
            text_print(out, "%sU+%04X", inside ? " " : "[", (unsigned)g_utf8_get_char(at));
        else if (inside)
            text_add(out, "]");
        if (!is_odd) text_add_bytes(out, at, (size_t)(next - at));
        inside = is_odd;
        at = next;
    }
    if (inside) text_add(out, "]");
}

static void replace_unknown(doc *d, PangoLayout *layout, const char *words) {
    if (pango_layout_get_unknown_glyphs_count(layout) == 0) return;
    bool *odd = mem_zero(strlen(words) + 1, sizeof *odd);
    text spelled = {0};
    if (odd) {
        find_odd(layout, odd);
        spell_out(words, odd, &spelled);
    }
    if (!odd || spelled.failed)
        d->words.failed = true;
    else
        pango_layout_set_text(layout, text_get(&spelled), -1);
    d->replaced = true;
    text_free(&spelled);
    mem_free(odd);
}

PangoLayout *doc_layout(doc *d, doc_style style, double width, const char *words) {
    static const PangoAlignment aligns[] = {PANGO_ALIGN_LEFT, PANGO_ALIGN_CENTER, PANGO_ALIGN_RIGHT};
    PangoLayout *layout = pango_layout_new(d->pango);
    PangoFontDescription *font = pango_font_description_new();
    pango_font_description_set_family_static(font, "Noto Sans, DejaVu Sans");
    pango_font_description_set_absolute_size(font, style.size * PANGO_SCALE);
    if (style.bold) pango_font_description_set_weight(font, PANGO_WEIGHT_BOLD);
    pango_layout_set_font_description(layout, font);
    pango_font_description_free(font);
    if (width > 0) pango_layout_set_width(layout, (int)floor(width * PANGO_SCALE));
    pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    pango_layout_set_alignment(layout, aligns[style.align]);
    pango_layout_set_text(layout, words ? words : "", -1);
    if (words) replace_unknown(d, layout, words);
    return layout;
}

static void ink(doc *d, int32_t rgb) {
    cairo_set_source_rgb(d->cr, (rgb >> 16 & 255) / 255.0, (rgb >> 8 & 255) / 255.0, (rgb & 255) / 255.0);
}

static double height_of(PangoLayout *layout) {
    PangoRectangle box;
    pango_layout_get_extents(layout, NULL, &box);
    return (double)box.height / PANGO_SCALE;
}

void doc_show_layout(doc *d, doc_style style, double x, double y, PangoLayout *layout) {
    if (d->dry) return;
    ink(d, style.colour);
    cairo_move_to(d->cr, x, y);
    pango_cairo_show_layout(d->cr, layout);
}

double doc_measure(doc *d, doc_style style, double width, const char *words) {
    double height;
    uint64_t key = memo_key(words, style.size, style.bold, width);
    if (memo_find(d->heights, key, &height)) return height;
    PangoLayout *layout = doc_layout(d, style, width, words);
    height = height_of(layout);
    g_object_unref(layout);
    memo_put(d->heights, key, height);
    return height;
}

double doc_text_at(doc *d, doc_style style, double x, double y, double width, const char *words) {
    if (d->dry) return doc_measure(d, style, width, words);
    PangoLayout *layout = doc_layout(d, style, width, words);
    double height = height_of(layout);
    doc_show_layout(d, style, x, y, layout);
    g_object_unref(layout);
    return height;
}

void doc_short_at(doc *d, doc_style style, double x, double y, double width, const char *words) {
    if (d->dry) return;
    PangoLayout *layout = doc_layout(d, style, width, words);
    pango_layout_set_ellipsize(layout, PANGO_ELLIPSIZE_END);
    pango_layout_set_single_paragraph_mode(layout, TRUE);
    pango_layout_set_height(layout, -1);
    doc_show_layout(d, style, x, y, layout);
    g_object_unref(layout);
}

void doc_paragraph(doc *d, doc_style style, const char *words) {
    PangoLayout *layout = doc_layout(d, style, doc_inner(d), words);
    double page = d->height - DOC_TOP - DOC_FOOT;
    pango_layout_set_ellipsize(layout, PANGO_ELLIPSIZE_END);
    pango_layout_set_height(layout, (int)(page * PANGO_SCALE));
    double height = height_of(layout);
    doc_need(d, height);
    doc_show_layout(d, style, DOC_MARGIN, d->y, layout);
    g_object_unref(layout);
    d->y += height + 3;
}

void doc_heading(doc *d, doc_style style, const char *words) {
    const double follows = 60; /* a few lines of what follows */
    doc_need(d, doc_measure(d, style, doc_inner(d), words) + follows);
    if (d->y > DOC_TOP) d->y += 8;
    d->y += doc_text_at(d, style, DOC_MARGIN, d->y, doc_inner(d), words) + 4;
}

int doc_outline(doc *d, int parent, const char *words) {
    if (d->dry) return 0;
    char link[80];
    snprintf(link, sizeof link, "page=%d pos=[0 %d]", d->page, (int)d->y);
    return cairo_pdf_surface_add_outline(d->surface, parent, words, link, 0);
}

void doc_rule(doc *d, double x, double y, double length, double width, int32_t colour) {
    if (d->dry) return;
    ink(d, colour);
    cairo_set_line_width(d->cr, width);
    cairo_move_to(d->cr, x, y);
    cairo_line_to(d->cr, x + length, y);
    cairo_stroke(d->cr);
}

void doc_box(doc *d, sheet_box box, int32_t stroke, int32_t fill) {
    if (d->dry) return;
    cairo_rectangle(d->cr, box.x, box.y, box.width, box.height);
    if (fill >= 0) {
        ink(d, fill);
        cairo_fill_preserve(d->cr);
    }
    if (stroke >= 0) {
        ink(d, stroke);
        cairo_set_line_width(d->cr, 0.6);
        cairo_stroke_preserve(d->cr);
    }
    cairo_new_path(d->cr);
}

double doc_code(doc *d, const char *content, double x, double y) {
    code_cells cells;
    if (code_make(content, d->words.memory, &cells, NULL) != OK) return 0;
    double quiet = CODE_QUIET * DOC_CODE_CELL_PT;
    for (size_t i = 0; i < cells.side * cells.side; i++)
        if (cells.black[i])
            doc_box(d,
                    (sheet_box){x + quiet + (double)(i % cells.side) * DOC_CODE_CELL_PT,
                                y + quiet + (double)(i / cells.side) * DOC_CODE_CELL_PT, DOC_CODE_CELL_PT,
                                DOC_CODE_CELL_PT},
                    -1, 0x000000);
    return (double)cells.side * DOC_CODE_CELL_PT + 2 * quiet;
}
