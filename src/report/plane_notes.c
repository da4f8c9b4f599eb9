/* plane_notes.c - the sentences and the table of the orders, set on a sheet. */
#include "report/plane_notes.h"

#include <math.h>
#include <string.h>

static const double HEAD_MM = 6.6, ROW_MM = 4.2, NAME_MM = 48, GAP_MM = 2;
enum { COLUMNS = 5 };
static const char *const order_names[PLUGGING_ORDERS] = {"least flow first", "inward", "computed"};

static double draw_sentences(plane_view *v, double top) {
    const char *sentences[PLANE_SENTENCES];
    size_t n = plane_sentences(v, sentences);
    double y = top;
    for (size_t i = 0; i < n; i++) {
        bool note = strncmp(sentences[i], "Note: ", 6) == 0;
        double height = i == 0 ? 2.6 : note ? 2.1 : 2.5;
        sheet_place place = {{0, y - height}, height, v->sheet->width, 0, ALIGN_LEFT, i == 0};
        y -= sheet_paragraph(v->sheet, note ? INK_TEXT_SOFT : INK_TEXT, place, 8, sentences[i]) + 0.8;
    }
    return top - y;
}

static double column_x(const plane_view *v, int column) {
    return NAME_MM + (v->sheet->width - NAME_MM) * (column + 1) / COLUMNS - 2;
}

static void write_cell(plane_view *v, int column, double y, bool bold, const char *words) {
    double room = (v->sheet->width - NAME_MM) / COLUMNS - 2;
    sheet_place place = {{column_x(v, column), y}, 2.3, room, 0, ALIGN_RIGHT, bold};
    sheet_text(v->sheet, INK_TEXT, place, words);
}

static void draw_head(plane_view *v, double top) {
    say *w = v->words;
    const char *flow = plane_flow_unit(w), *whole = say_unit(w, UNITS_FLOW),
               *length = say_unit(w, UNITS_LENGTH);
    const char *heads[COLUMNS][2] = {{"steps above", "wash-out limit"},
                                     {"most met,", flow},
                                     {"sum met,", whole},
                                     {"most at tubes,", flow},
                                     {"all shut behind", say_print(w, "the plugs, %s", length)}};
    sheet_text(v->sheet, INK_TEXT, (sheet_place){{0, top - 2.6}, 2.3, NAME_MM - 2, 0, ALIGN_LEFT, true},
               "The orders side by side");
    for (int c = 0; c < COLUMNS; c++)
        for (int line = 0; line < 2; line++) write_cell(v, c, top - 2.6 - 3 * line, false, heads[c][line]);
    sheet_line(v->sheet, INK_DIMENSION, (sheet_point){0, top - HEAD_MM},
               (sheet_point){v->sheet->width, top - HEAD_MM});
}

static void draw_row(plane_view *v, int order, double top) {
    say *w = v->words;
    const plugging_outcome *o = &v->plane->run.orders[order];
    bool drawn = order == (int)v->plane->run.drawn;
    double y = top - 3;
    if (drawn)
        sheet_rectangle(v->sheet, INK_ORDER_LAST,
                        (sheet_box){0.3, top - ROW_MM + 0.3, v->sheet->width - 0.6, ROW_MM - 0.5});
    bool inward = order == PLUGGING_INWARD && o->reliefs_n > 0;
    const char *name =
        say_print(w, "%s%s%s", order_names[order], inward ? " to the tube" : "", drawn ? ": DRAWN" : "");
    sheet_text(v->sheet, INK_TEXT, (sheet_place){{1.4, y}, 2.3, NAME_MM - 3, 0, ALIGN_LEFT, drawn}, name);
    if (o->steps_n == 0) {
        write_cell(v, 0, y, false, "not computed");
        return;
    }
    const char *cells[COLUMNS] = {
        say_print(w, "%zu of %zu", o->over_washout, o->steps_n),
        say_number(w, UNITS_PLAIN, plane_flow_shown(w, o->peak_m2_s)), say_number(w, UNITS_FLOW, o->met_m3_s),
        o->reliefs_n ? say_number(w, UNITS_PLAIN, plane_flow_shown(w, o->relief_met_m2_s)) : "no tube",
        say_number(w, UNITS_LENGTH, o->shut_back_head_m)};
    for (int c = 0; c < COLUMNS; c++) write_cell(v, c, y, drawn, cells[c]);
}

double plane_draw_notes(plane_view *v) {
    double y = -GAP_MM;
    y -= draw_sentences(v, y);
    draw_head(v, y);
    y -= HEAD_MM;
    for (int k = 0; k < PLUGGING_ORDERS; k++, y -= ROW_MM) draw_row(v, k, y);
    return -y + 1;
}
