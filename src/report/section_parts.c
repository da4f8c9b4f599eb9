#include "report/section_parts.h"

#include <math.h>

double cut_scale(double across_m, double across_mm, double deep_m, double deep_mm) {
    static const double scales[] = {1, 2, 2.5, 5, 10, 20, 25, 50, 100, 200, 500};
    size_t last = sizeof scales / sizeof *scales - 1;
    for (size_t i = 0; i < last; i++)
        if (deep_m * 1000 / scales[i] <= deep_mm && across_m * 1000 / scales[i] <= across_mm)
            return scales[i];
    return scales[last];
}

void cut_begin(cut *c, double scale, double body_mm, double above_mm) {
    c->scale = scale;
    c->mm = 1000 / scale;
    c->foot = CUT_BELOW;
    c->surface = CUT_BELOW + body_mm;
    c->sheet->width = CUT_WIDTH;
    c->sheet->height = c->surface + above_mm;
    c->sheet->scale = scale;
    c->next_name = c->surface + above_mm - 5;
    sheet_rectangle(c->sheet, INK_CONCRETE, (sheet_box){CUT_SIDE, c->foot, CUT_RIGHT - CUT_SIDE, body_mm});
}

void cut_name(cut *c, sheet_point thing, const char *words) {
    sheet_place place = {{CUT_NAMES, fmin(c->next_name, c->surface + 8)},
                         CUT_TEXT,
                         CUT_WIDTH - CUT_NAMES,
                         0,
                         ALIGN_LEFT,
                         false};
    sheet_line(c->sheet, INK_LEADER, thing, (sheet_point){CUT_NAMES - 0.6, place.at.y + 0.7});
    double used = sheet_paragraph(c->sheet, INK_TEXT, place, 2, words);
    c->next_name = place.at.y - used - 0.6;
}

static void tick(sheet *s, double x, double y) {
    sheet_line(s, INK_DIMENSION, (sheet_point){x - 0.7, y - 0.7}, (sheet_point){x + 0.7, y + 0.7});
}

void cut_across(cut *c, double left, double right, double y, const char *words) {
    sheet_line(c->sheet, INK_DIMENSION, (sheet_point){left, y}, (sheet_point){right, y});
    for (int i = 0; i < 2; i++) {
        double x = i ? right : left;
        sheet_line(c->sheet, INK_DIMENSION, (sheet_point){x, y - 2.4}, (sheet_point){x, y + 0.8});
        tick(c->sheet, x, y);
    }
    sheet_place place = {{(left + right) / 2, y + 1}, CUT_TEXT, 0, 0, ALIGN_MIDDLE, false};
    sheet_text(c->sheet, INK_DIMENSION, place, words);
}

void cut_down(cut *c, double x, double from, double to, const char *words) {
    sheet_line(c->sheet, INK_DIMENSION, (sheet_point){x, from}, (sheet_point){x, to});
    tick(c->sheet, x, from);
    tick(c->sheet, x, to);
    sheet_place place = {{x - 0.8, (from + to) / 2}, CUT_TEXT, 0, 90, ALIGN_MIDDLE, false};
    sheet_text(c->sheet, INK_DIMENSION, place, words);
}

void cut_note(cut *c, const char *more) {
    const char *note =
        say_print(c->words, "Section 1:%s%s", say_plain(c->words, c->scale, 1), *more ? more : ".");
    sheet_paragraph(c->sheet, INK_TEXT_SOFT,
                    (sheet_place){{CUT_SIDE, 4.5}, CUT_TEXT, CUT_WIDTH - CUT_SIDE, 0, ALIGN_LEFT, false}, 2,
                    note);
}

const char *cut_size(cut *c, double size_m) {
    return say_value(c->words, UNITS_SIZE, size_m);
}
