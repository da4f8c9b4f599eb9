/* movement_legend.c - what each mark of the figure of a gauge means, as many to a line as fit. */
#include "report/movement_view.h"

#include <math.h>

typedef enum { KEY_DOT, KEY_CROSS, KEY_FIT, KEY_BAND, KEY_DRIFT, KEY_YEAR, KEY_EXPECTED } key;

static const double SAMPLE = 2.6, PITCH = 1.5; /* heights of type */

static void draw_sample(movement_view *v, key what, double x, double y) {
    double wide = SAMPLE * v->type, high = 0.9 * v->type;
    sheet_point from = {x, y}, to = {x + wide, y}, middle = {x + wide / 2, y};
    sheet_box box = {x, y - high / 2, wide, high};
    switch (what) {
    case KEY_DOT: movement_dot(v, middle.x, y); break;
    case KEY_CROSS: movement_cross(v, middle.x, y); break;
    case KEY_FIT: sheet_line(v->sheet, INK_FIT, from, to); break;
    case KEY_BAND: sheet_rectangle(v->sheet, INK_BAND, box); break;
    case KEY_DRIFT: sheet_line(v->sheet, INK_DRIFT, from, to); break;
    case KEY_YEAR: sheet_rectangle(v->sheet, INK_YEAR, box); break;
    case KEY_EXPECTED: sheet_line(v->sheet, INK_EXPECTED, from, to); break;
    }
}

static bool shown(const movement_view *v, key what) {
    if (what == KEY_DOT) return true;
    if (what == KEY_CROSS) return v->gauge->fit.n_aside > 0;
    return v->gauge->fit.fitted && (v->year_known || (what != KEY_YEAR && what != KEY_EXPECTED));
}

double movement_draw_legend(movement_view *v, double top) {
    const char *const words[] = {
        "reading",
        "reading set aside",
        "fitted at each reading, straight between",
        say_print(v->words, "holds %.0f\u00a0%% of new readings", 100 * v->gauge->input.confidence),
        "drift alone, at the mean temperature",
        "the coming year",
        "widest, narrowest expected"};
    double x = 0, y = top - v->type, sample = (SAMPLE + 0.6) * v->type;
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (!shown(v, (key)i)) continue;
        double wide = fmin(sheet_text_width(words[i], v->type, false), v->sheet->width - sample);
        if (x > 0 && x + sample + wide > v->sheet->width) {
            x = 0;
            y -= PITCH * v->type;
        }
        draw_sample(v, (key)i, x, y + 0.35 * v->type);
        sheet_place place = {{x + sample, y}, v->type, v->sheet->width - x - sample, 0, ALIGN_LEFT, false};
        sheet_text(v->sheet, INK_TEXT_SOFT, place, words[i]);
        x += sample + wide + 1.2 * v->type;
    }
    return top - y + 0.6 * v->type;
}
