/* movement_wall.c - the lower panel: the width with the drift taken out, against the temperature of the wall. */
#include "report/movement_view.h"

#include <math.h>

static const double PANEL = 9; /* heights of type */
static const double SPAN_LEAST_M = 0.05e-3, SPAN_LEAST_K = 1, BEYOND = 1.2;

static double without_drift(const diagnosis_gauge *g, size_t i) {
    const movement_reading *r = &g->input.readings[i];
    return r->width_m - g->fit.per_year_m / MOVEMENT_YEAR_DAYS * r->day;
}

static double sloped(const diagnosis_gauge *g, double celsius) {
    return movement_at(&g->input, &g->fit, 0, celsius).width_m;
}

static movement_range at_least(movement_range r, double span) {
    double lacking = fmax(0, span - (r.most - r.least));
    return (movement_range){r.least - lacking / 2, r.most + lacking / 2};
}

/* Of the readings kept and the slope; one set aside widens it a little and no more. */
void movement_prepare_wall(movement_view *v) {
    const diagnosis_gauge *g = v->gauge;
    movement_range r = {fmin(sloped(g, g->fit.lowest_c), sloped(g, g->fit.highest_c)),
                        fmax(sloped(g, g->fit.lowest_c), sloped(g, g->fit.highest_c))};
    for (size_t i = 0; i < g->input.n; i++) {
        if (!movement_kept(g, i)) continue;
        r.least = fmin(r.least, without_drift(g, i));
        r.most = fmax(r.most, without_drift(g, i));
    }
    r = at_least(r, SPAN_LEAST_M);
    movement_range near = movement_padded(r, BEYOND), all = r;
    for (size_t i = 0; i < g->input.n; i++) {
        if (movement_kept(g, i)) continue;
        double width = without_drift(g, i);
        all.least = fmin(all.least, fmax(near.least, width));
        all.most = fmax(all.most, fmin(near.most, width));
        if (width < near.least || width > near.most) v->cut = true;
    }
    v->wall_widths = movement_padded(all, 0.07);
}

static movement_range find_temperatures(const diagnosis_gauge *g) {
    movement_range r = {g->fit.lowest_c, g->fit.highest_c};
    for (size_t i = 0; i < g->input.n; i++) {
        r.least = fmin(r.least, g->fit.temperature_c[i]);
        r.most = fmax(r.most, g->fit.temperature_c[i]);
    }
    return movement_padded(at_least(r, SPAN_LEAST_K), 0.04);
}

static double draw_title(movement_view *v, double top) {
    const char *words = say_print(v->words, "Width less drift, %s, by temperature of the wall, %s",
                                  say_unit(v->words, UNITS_SIZE), say_unit(v->words, UNITS_TEMPERATURE));
    sheet_place place = {{0, top - v->type}, v->type, v->sheet->width, 0, ALIGN_LEFT, true};
    return 0.7 * v->type + sheet_paragraph(v->sheet, INK_TEXT, place, 2, words);
}

double movement_draw_wall(movement_view *v, double top) {
    const diagnosis_gauge *g = v->gauge;
    double title = draw_title(v, top), height = PANEL * v->type;
    movement_scale across = {find_temperatures(g), v->left, v->right - v->left},
                   up = {v->wall_widths, top - title - height, height};
    movement_width_axis(v, &up);
    movement_temperature_axis(v, &across, &up);
    for (size_t i = 0; i < g->input.n; i++) {
        double x = movement_on(&across, g->fit.temperature_c[i]),
               y = movement_inside(&up, without_drift(g, i));
        if (movement_kept(g, i))
            movement_dot(v, x, y);
        else
            movement_cross(v, x, y);
    }
    movement_line(v->sheet, INK_FIT, &across, &up, (double[]){g->fit.lowest_c, sloped(g, g->fit.lowest_c)},
                  (double[]){g->fit.highest_c, sloped(g, g->fit.highest_c)});
    return title + height + 1.75 * v->type;
}
