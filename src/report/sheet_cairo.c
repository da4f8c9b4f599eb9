/* sheet_cairo.c - a sheet drawn on the page. */
#include "report/doc.h"

#include <math.h>

static void set_ink(cairo_t *cr, int32_t rgb) {
    cairo_set_source_rgb(cr, (rgb >> 16 & 255) / 255.0, (rgb >> 8 & 255) / 255.0, (rgb & 255) / 255.0);
}

/* Fill and stroke the current path (in points) in the style of an ink. */
static void paint(cairo_t *cr, const sheet_style *style, bool closed) {
    if (style->fill >= 0 && closed) {
        set_ink(cr, style->fill);
        cairo_set_fill_rule(cr, CAIRO_FILL_RULE_EVEN_ODD);
        cairo_fill_preserve(cr);
    }
    if (style->stroke >= 0 && style->width_mm > 0) {
        double dash[4];
        int n = 0;
        for (; n < 4 && style->dash_mm[n] > 0; n++) dash[n] = style->dash_mm[n] * DOC_MM;
        set_ink(cr, style->stroke);
        cairo_set_line_width(cr, style->width_mm * DOC_MM);
        cairo_set_dash(cr, dash, n, 0);
        cairo_stroke_preserve(cr);
        cairo_set_dash(cr, NULL, 0, 0);
    }
    cairo_new_path(cr);
}

typedef struct {
    doc *d;
    const sheet *sheet;
    double x, y;
} placing;

static sheet_point at(const placing *p, sheet_point from) {
    return (sheet_point){p->x + from.x * DOC_MM, p->y + (p->sheet->height - from.y) * DOC_MM};
}

static void draw_path(const placing *p, const sheet_item *item) {
    cairo_t *cr = p->d->cr;
    cairo_new_path(cr);
    for (size_t r = 0; r < item->n_rings; r++) {
        for (size_t i = 0; i < item->rings[r].n; i++) {
            sheet_point to = at(p, item->rings[r].points[i]);
            if (i == 0)
                cairo_move_to(cr, to.x, to.y);
            else
                cairo_line_to(cr, to.x, to.y);
        }
        if (item->closed) cairo_close_path(cr);
    }
    paint(cr, &sheet_inks[item->ink], item->closed);
}

static void draw_circle(const placing *p, const sheet_item *item) {
    sheet_point centre = at(p, item->at);
    cairo_new_path(p->d->cr);
    cairo_arc(p->d->cr, centre.x, centre.y, item->radius * DOC_MM, 0, 6.283185307179586);
    paint(p->d->cr, &sheet_inks[item->ink], true);
}

/* One line from its base line; shrunk when a font, or characters spelled out, run wider than the sheet
 * reckoned. */
static void draw_text(const placing *p, const sheet_item *item) {
    cairo_t *cr = p->d->cr;
    doc_style style = {item->height * DOC_MM, item->bold, sheet_inks[item->ink].stroke, ALIGN_LEFT};
    PangoLayout *layout = doc_layout(p->d, style, 0, item->words);
    pango_layout_set_single_paragraph_mode(layout, TRUE);
    PangoRectangle box;
    pango_layout_get_extents(layout, NULL, &box);
    double width = (double)box.width / PANGO_SCALE,
           base = (double)pango_layout_get_baseline(layout) / PANGO_SCALE;
    double room = sheet_text_width(item->words, item->height, item->bold) * DOC_MM;
    double shrink = width > room && room > 0 ? room / width : 1;
    sheet_point foot = at(p, item->at);
    cairo_save(cr);
    cairo_translate(cr, foot.x, foot.y);
    cairo_rotate(cr, -item->angle_deg * 3.141592653589793 / 180);
    cairo_scale(cr, shrink, shrink);
    double back = item->align == ALIGN_LEFT ? 0 : item->align == ALIGN_MIDDLE ? width / 2 : width;
    cairo_move_to(cr, -back, -base);
    set_ink(cr, style.colour);
    pango_cairo_show_layout(cr, layout);
    cairo_restore(cr);
    g_object_unref(layout);
}

void doc_sheet(doc *d, const sheet *s, double x, double y) {
    if (s->failed) d->words.failed = true;
    if (d->dry || s->failed) return;
    placing p = {d, s, x, y};
    for (size_t i = 0; i < s->n_items; i++) {
        const sheet_item *item = &s->items[i];
        if (item->kind == ITEM_PATH) draw_path(&p, item);
        if (item->kind == ITEM_CIRCLE) draw_circle(&p, item);
        if (item->kind == ITEM_TEXT) draw_text(&p, item);
    }
}
