#include "report/table.h"

#include <assert.h>
#include <math.h>
#include <string.h>

static const double PAD = 0.26; /* of the type's size */
enum { MOST_LINES = 24 };       /* a row never outgrows its page */

static double column_width(const table *t, size_t at) {
    double sum = 0;
    for (size_t i = 0; i < t->n; i++) sum += t->columns[i].share;
    return t->width * t->columns[at].share / sum;
}

/* The part after a newline small and soft. */
static void soften_note(PangoLayout *layout, double size, bool whole) {
    const char *words = pango_layout_get_text(layout), *note = whole ? words : strchr(words, '\n');
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

static PangoLayout *set_cell(table *t, size_t at, const char *words, bool bold) {
    doc_style style = {t->size, bold, 0x111111, t->columns[at].align};
    PangoLayout *cell = doc_layout(t->d, style, column_width(t, at) - 2 * PAD * t->size, words);
    soften_note(cell, t->size, t->columns[at].soft && !bold);
    pango_layout_set_ellipsize(cell, PANGO_ELLIPSIZE_END);
    pango_layout_set_height(cell, -MOST_LINES);
    return cell;
}

/* Height of a cell, remembered: cells are told from plain texts of the same words by a negative width. */
static double cell_height(table *t, size_t at, const char *words, bool bold) {
    double height, size = t->size + (t->columns[at].soft ? 1000 : 0);
    uint64_t key = memo_key(words, size, bold, -column_width(t, at));
    if (memo_find(t->d->heights, key, &height)) return height;
    PangoLayout *cell = set_cell(t, at, words, bold);
    PangoRectangle box;
    pango_layout_get_extents(cell, NULL, &box);
    g_object_unref(cell);
    height = (double)box.height / PANGO_SCALE;
    memo_put(t->d->heights, key, height);
    return height;
}

static double row_height(table *t, const char *const *cells, bool bold) {
    double height = 0;
    for (size_t i = 0; i < t->n; i++) height = fmax(height, cell_height(t, i, cells[i], bold));
    return height + 2 * PAD * t->size;
}

typedef struct {
    bool bold;
    int32_t fill, rule;
} row_look;

static void draw_row(table *t, const char *const *cells, row_look look) {
    doc *d = t->d;
    double x = t->x, height = row_height(t, cells, look.bold);
    if (look.fill >= 0) doc_box(d, (sheet_box){t->x, d->y, t->width, height}, -1, look.fill);
    for (size_t i = 0; i < t->n && !d->dry; i++) {
        PangoLayout *cell = set_cell(t, i, cells[i], look.bold);
        doc_show_layout(d, (doc_style){.colour = 0x111111}, x + PAD * t->size, d->y + PAD * t->size, cell);
        g_object_unref(cell);
        x += column_width(t, i);
    }
    d->y += height;
    doc_rule(d, t->x, d->y, t->width, 0.4, look.rule);
}

static void draw_head(table *t) {
    const char *titles[TABLE_COLUMNS] = {0};
    bool any = false;
    for (size_t i = 0; i < t->n; i++) {
        titles[i] = t->columns[i].title;
        any = any || titles[i][0];
    }
    t->rows = 0;
    if (!any) return;
    draw_row(t, titles, (row_look){true, 0xe9edf0, 0x666666});
}

table table_begin_at(doc *d, const table_column *columns, size_t n, double size, double x, double width) {
    assert(n <= TABLE_COLUMNS);
    table t = {d, columns, n, x, width, size, 0};
    draw_head(&t);
    return t;
}

table table_begin(doc *d, const table_column *columns, size_t n, double size) {
    doc_need(d, 5 * size); /* the heads and a row: heads do not stand alone at the foot of a page */
    return table_begin_at(d, columns, n, size, DOC_MARGIN, doc_inner(d));
}

void table_row(table *t, const char *const *cells, table_row_style style) {
    static const row_look looks[] = {[ROW_PLAIN] = {false, -1, 0xcccccc},
                                     [ROW_TOTAL] = {true, 0xf1f1ee, 0x666666},
                                     [ROW_GROUP] = {true, -1, 0xcccccc}};
    double height = row_height(t, cells, looks[style].bold);
    double follows = style == ROW_GROUP ? 2.5 * height : 0; /* a group's name does not stand alone */
    if (doc_need(t->d, height + follows)) draw_head(t);
    draw_row(t, cells, looks[style]);
    t->rows++;
}

void table_end(table *t) {
    t->d->y += 6;
}
