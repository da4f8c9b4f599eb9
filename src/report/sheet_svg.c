/* sheet_svg.c - a sheet as SVG 1.1 elements: presentation attributes only, text stays text. */
#include "report/sheet_out.h"

#include <stdio.h>
#include <string.h>

static void escape(text *to, const char *words) {
    for (const char *at = words; *at; at++) {
        unsigned char c = (unsigned char)*at;
        if (c == '&')
            text_add(to, "&amp;");
        else if (c == '<')
            text_add(to, "&lt;");
        else if (c == '>')
            text_add(to, "&gt;");
        else if (c == '"')
            text_add(to, "&quot;");
        else if (c < 0x20 || c == 0x7f)
            text_add(to, " "); /* not allowed in XML 1.0, or no use */
        else if (c == 0xef && (unsigned char)at[1] == 0xbf && (unsigned char)at[2] >= 0xbe) {
            text_add(to, "\ufffd"); /* U+FFFE and U+FFFF are not allowed either */
            at += 2;
        } else
            text_add_bytes(to, at, 1);
    }
}

/* Millimetres to a thousandth, without trailing zeros. */
static void number(text *to, const char *before, double value) {
    char into[64];
    snprintf(into, sizeof into, "%.3f", value);
    char *end = into + strlen(into);
    while (end[-1] == '0') *--end = 0;
    if (end[-1] == '.') *--end = 0;
    text_add(to, before);
    text_add(to, strcmp(into, "-0") == 0 ? "0" : into);
}

static void colour(text *to, const char *name, int32_t rgb) {
    if (rgb < 0)
        text_print(to, " %s=\"none\"", name);
    else
        text_print(to, " %s=\"#%06x\"", name, (unsigned)rgb);
}

static void group_open(text *to, const sheet_item *item) {
    const sheet_style *ink = &sheet_inks[item->ink];
    text_print(to, "<g class=\"%s\"", ink->name);
    if (item->mark) {
        text_add(to, " data-mark=\"");
        escape(to, item->mark);
        text_add(to, "\"");
    }
    if (item->kind == ITEM_TEXT) {
        colour(to, "fill", ink->stroke);
    } else {
        colour(to, "stroke", ink->stroke);
        colour(to, "fill", item->kind == ITEM_PATH && !item->closed ? -1 : ink->fill);
        number(to, " stroke-width=\"", ink->width_mm);
        text_add(to, "\"");
        for (size_t i = 0; i < 4 && ink->dash_mm[i] > 0; i++)
            number(to, i ? " " : " stroke-dasharray=\"", ink->dash_mm[i]);
        if (ink->dash_mm[0] > 0) text_add(to, "\"");
    }
    text_add(to, ">\n");
}

static void path(text *to, const sheet_item *item, double height) {
    text_add(to, "<path fill-rule=\"evenodd\" d=\"");
    for (size_t r = 0; r < item->n_rings; r++) {
        for (size_t i = 0; i < item->rings[r].n; i++) {
            number(to, i ? "L" : "M", item->rings[r].points[i].x);
            number(to, " ", height - item->rings[r].points[i].y);
        }
        if (item->closed) text_add(to, "Z");
    }
    text_add(to, "\"/>\n");
}

static void words(text *to, const sheet_item *item, double height) {
    static const char *const anchors[] = {"start", "middle", "end"};
    double x = item->at.x, y = height - item->at.y;
    number(to, "<text x=\"", x);
    number(to, "\" y=\"", y);
    number(to, "\" font-size=\"", item->height);
    text_print(to, "\" text-anchor=\"%s\"", anchors[item->align]);
    if (item->bold) text_add(to, " font-weight=\"bold\"");
    if (item->angle_deg != 0) {
        number(to, " transform=\"rotate(", -item->angle_deg);
        number(to, " ", x);
        number(to, " ", y);
        text_add(to, ")\"");
    }
    text_add(to, ">");
    escape(to, item->words);
    text_add(to, "</text>\n");
}

static bool same_group(const sheet_item *a, const sheet_item *b) {
    bool marks = a->mark == b->mark || (a->mark && b->mark && strcmp(a->mark, b->mark) == 0);
    return marks && a->ink == b->ink && a->kind == b->kind && a->closed == b->closed;
}

void sheet_svg(const sheet *s, double y_mm, text *to) {
    number(to, "<g transform=\"translate(0 ", y_mm);
    text_add(to, ")\">\n");
    for (size_t i = 0; i < s->n_items; i++) {
        const sheet_item *item = &s->items[i];
        if (i == 0 || !same_group(item, item - 1)) group_open(to, item);
        if (item->kind == ITEM_PATH) path(to, item, s->height);
        if (item->kind == ITEM_CIRCLE) {
            number(to, "<circle cx=\"", item->at.x);
            number(to, "\" cy=\"", s->height - item->at.y);
            number(to, "\" r=\"", item->radius);
            text_add(to, "\"/>\n");
        }
        if (item->kind == ITEM_TEXT) words(to, item, s->height);
        if (i + 1 == s->n_items || !same_group(item, item + 1)) text_add(to, "</g>\n");
    }
    text_add(to, "</g>\n");
}

void sheet_svg_begin(double width_mm, double height_mm, const char *title, text *to) {
    text_add(to, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\"");
    number(to, " width=\"", width_mm);
    number(to, "mm\" height=\"", height_mm);
    number(to, "mm\" viewBox=\"0 0 ", width_mm);
    number(to, " ", height_mm);
    text_add(to, "\" font-family=\"Noto Sans, DejaVu Sans, sans-serif\">\n<title>");
    escape(to, title);
    text_add(to, "</title>\n<rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n");
}

void sheet_svg_end(text *to) {
    text_add(to, "</svg>\n");
}
