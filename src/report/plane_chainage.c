/* plane_chainage.c - the scale along the plane, and what its ends are called. */
#include "report/contour.h"
#include "report/plane_view.h"

#include <math.h>

static const double TICKS_MM = 4, ENDS_MM = 3.4;

static void draw_ticks(plane_view *v, const plane_lane *lane, double top) {
    say *w = v->words;
    double from = units_from_si(UNITS_LENGTH, w->system, lane->from_m),
           to = units_from_si(UNITS_LENGTH, w->system, lane->to_m);
    double step = contour_step(to - from, (size_t)fmax(1, floor(lane->width / 11)));
    for (double at = ceil(from / step - 1e-9); at * step <= to + 1e-9 * (to - from); at++) {
        double x = plane_lane_x(lane, units_to_si(UNITS_LENGTH, w->system, at * step));
        sheet_line(v->sheet, INK_DIMENSION, (sheet_point){x, top}, (sheet_point){x, top - 1});
        sheet_place place = {{x, top - 3.2}, PLANE_TEXT_MM, 0, 0, ALIGN_MIDDLE, false};
        sheet_text(v->sheet, INK_TEXT_SOFT, place, say_number(w, UNITS_PLAIN, at * step));
    }
}

double plane_draw_chainage(plane_view *v, double top) {
    for (size_t k = 0; k < v->n_lanes; k++) {
        const plane_lane *lane = &v->lanes[k];
        double right = lane->x + lane->width, y = top - TICKS_MM - 2.2;
        sheet_line(v->sheet, INK_DIMENSION, (sheet_point){lane->x, top}, (sheet_point){right, top});
        draw_ticks(v, lane, top);
        const char *start = plane_end(v->plan, v->plane, lane->panel, false),
                   *end = plane_end(v->plan, v->plane, lane->panel, true);
        double widths =
            sheet_text_width(start, PLANE_TEXT_MM, true) + sheet_text_width(end, PLANE_TEXT_MM, true) + 2;
        sheet_text(v->sheet, INK_TEXT, (sheet_place){{lane->x, y}, PLANE_TEXT_MM, 0, 0, ALIGN_LEFT, true},
                   start);
        if (widths <= lane->width)
            sheet_text(v->sheet, INK_TEXT, (sheet_place){{right, y}, PLANE_TEXT_MM, 0, 0, ALIGN_RIGHT, true},
                       end);
    }
    sheet_place side = {{PLANE_MARGIN_MM - 1.5, top - 3.2}, 2, PLANE_MARGIN_MM - 1.5, 0, ALIGN_RIGHT, false};
    sheet_text(v->sheet, INK_TEXT_SOFT, side,
               say_print(v->words, "along, %s", say_unit(v->words, UNITS_LENGTH)));
    return TICKS_MM + ENDS_MM;
}
