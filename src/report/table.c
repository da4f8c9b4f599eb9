#include "report/table.h"

#include <assert.h>
#include <math.h>
#include <string.h>

static const double PAD = 2.5;
enum { MOST_LINES = 24 }; /* a row never outgrows its page */

static double column_width(const table *t, size_t at) {
    double sum = 0;
    for (size_t i = 0; i < t->n; i++) sum += t->columns[i].share;
    return t->width * t->columns[at].share / sum;
}

/* The part after a newline small and soft. */
static void soften_note(PangoLayout *layout, double size) {
    const char *words = pango_layout_get_text(layout), *note = strchr(words, '\n');
    if (!note) return;
    PangoAttrList *list = pango_attr_list_new();
    PangoAttribute *parts[] = {pango_attr_size_new_absolute((int)(size * 0.86 * PANGO_SCALE)),
                               pango_attr_foreground_new(0x5555, 0x5555, 0x5555),
                               pango_attr_weight_new(PANGO_WEIGHT_NORMAL)};
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
        parts[i]->start_index = (guint)(note - words);
        pango_attr_list_insert(list, parts[i]);
    }
    pango_layout_set_attributes(layout, list);
    pango_attr_list_unref(list);
}

typedef struct {
    PangoLayout *cells[TABLE_COLUMNS];
    double height;
} row;

static row set_row(table *t, const char *const *cells, bool bold) {
    row r = {.height = 0};
    for (size_t i = 0; i < t->n; i++) {
        doc_style style = {t->size, bold, 0x111111, t->columns[i].align};
        r.cells[i] = doc_layout(t->d, style, column_width(t, i) - 2 * PAD, cells[i]);
        soften_note(r.cells[i], t->size);
        pango_layout_set_ellipsize(r.cells[i], PANGO_ELLIPSIZE_END);
        pango_layout_set_height(r.cells[i], -MOST_LINES);
        PangoRectangle box;
        pango_layout_get_extents(r.cells[i], NULL, &box);
        r.height = fmax(r.height, (double)box.height / PANGO_SCALE);
    }
    r.height += 2 * PAD;
    return r;
}

static void draw_row(table *t, row *r, int32_t fill, int32_t rule) {
    doc *d = t->d;
    double x = t->x;
    if (fill >= 0) doc_box(d, t->x, d->y, t->width, r->height, -1, fill);
    for (size_t i = 0; i < t->n; i++) {
        doc_style style = {t->size, false, 0x111111, ALIGN_LEFT};
        doc_show_layout(d, style, x + PAD, d->y + PAD, r->cells[i]);
        g_object_unref(r->cells[i]);
        x += column_width(t, i);
    }
    d->y += r->height;
    doc_line(d, t->x, d->y, t->x + t->width, d->y, 0.4, rule);
}

static void draw_head(table *t) {
    const char *titles[TABLE_COLUMNS];
    bool any = false;
    for (size_t i = 0; i < t->n; i++) {
        titles[i] = t->columns[i].title;
        any = any || titles[i][0];
    }
    t->rows = 0;
    if (!any) return;
    row head = set_row(t, titles, true);
    draw_row(t, &head, 0xe9edf0, 0x666666);
}

table table_begin_at(doc *d, const table_column *columns, size_t n, double size, double x, double width) {
    assert(n <= TABLE_COLUMNS);
    table t = {d, columns, n, x, width, size, 0};
    draw_head(&t);
    return t;
}

table table_begin(doc *d, const table_column *columns, size_t n, double size) {
    return table_begin_at(d, columns, n, size, DOC_MARGIN, doc_inner(d));
}

void table_row(table *t, const char *const *cells, table_row_style style) {
    row r = set_row(t, cells, style != ROW_PLAIN);
    double follows = style == ROW_GROUP ? 2.5 * r.height : 0; /* a group's name does not stand alone */
    if (doc_need(t->d, r.height + follows)) draw_head(t);
    draw_row(t, &r, style == ROW_TOTAL ? 0xf1f1ee : -1, style == ROW_TOTAL ? 0x666666 : 0xcccccc);
    t->rows++;
}

void table_end(table *t) {
    t->d->y += 6;
}
