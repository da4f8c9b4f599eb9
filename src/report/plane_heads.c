/* plane_heads.c - lines of equal head above the dry face, with their values. */
#include "report/plane_heads.h"

#include <math.h>

double plane_slot_depth_m(const plane_panel *p, double chainage_m) {
    for (size_t i = 0; i < p->slots_n; i++)
        if (chainage_m >= p->slots[i].from_m && chainage_m <= p->slots[i].to_m) return p->slots[i].depth_m;
    return 0;
}

/* The head field above the dry face, NAN where cut away. NULL without a field or memory. */
static double *heads_above(const plane_patch *p) {
    const plugging_picture *state = &p->v->plane->run.pictures[PLUGGING_PICTURES - 1];
    const size_t nx = PLAN_PICTURE_NX, ny = PLAN_PICTURE_NY;
    if (!state->head_m) return NULL;
    const double *from = state->head_m[p->lane->panel];
    double *above = arena_get(p->v->sheet->memory, nx * ny, sizeof *above);
    if (!above) p->v->sheet->failed = true;
    for (size_t k = 0; above && k < nx * ny; k++) {
        double x = p->lane->from_m + (p->lane->to_m - p->lane->from_m) * (double)(k % nx) / (double)(nx - 1);
        above[k] = from[k] - plane_elevation_m(p->panel, x, 0);
    }
    return above;
}

double plane_most_head_m(const plan_plane *p) {
    const plugging_picture *state = &p->run.pictures[PLUGGING_PICTURES - 1];
    double most = 0;
    for (size_t i = 0; state->head_m && i < p->group->input.panels_n; i++) {
        const plane_panel *panel = &p->group->input.panels[i];
        double from = panel->stations[0].chainage_m, to = panel->stations[panel->stations_n - 1].chainage_m;
        for (size_t k = 0; k < PLAN_PICTURE_NX * PLAN_PICTURE_NY; k++) {
            double x = from + (to - from) * (double)(k % PLAN_PICTURE_NX) / (PLAN_PICTURE_NX - 1);
            most = fmax(most, state->head_m[i][k] - plane_elevation_m(panel, x, 0));
        }
    }
    return most;
}

/* Its value on the line, at the first place from the middle outward where it covers nothing. */
static void name_line(const plane_patch *p, const sheet_ring *line, const char *words) {
    double half = sheet_text_width(words, PLANE_TEXT_MM, false) / 2 + 0.6;
    double left = p->lane->x + half, right = p->lane->x + p->lane->width - half;
    double top = p->base + plane_mm_through(p->v, p->panel->thickness_m) - 1.6;
    for (size_t k = 0; k < line->n; k++) {
        size_t step = (k + 1) / 2, middle = line->n / 2;
        if (k % 2 ? step > middle : middle + step >= line->n) continue;
        sheet_point at = line->points[k % 2 ? middle - step : middle + step];
        double chainage =
            p->lane->from_m + (at.x - p->lane->x) / p->lane->width * (p->lane->to_m - p->lane->from_m);
        double cut = p->base + plane_mm_through(p->v, plane_slot_depth_m(p->panel, chainage)) + 1.6;
        if (!(at.x >= left && at.x <= right && at.y >= cut && at.y <= top)) continue;
        sheet_place place = {{at.x, at.y - 0.75}, PLANE_TEXT_MM, 0, 0, ALIGN_MIDDLE, false};
        if (plane_label(p->v->sheet, INK_HEAD, place, words)) return;
    }
}

/* Grid steps to paper, within the panel. */
static void to_paper(const plane_patch *p, contour_set *set) {
    double high = plane_mm_through(p->v, p->panel->thickness_m);
    for (size_t i = 0; i < set->n; i++)
        for (size_t k = 0; k < set->lines[i].n; k++) {
            sheet_point *at = &set->lines[i].points[k];
            *at = (sheet_point){p->lane->x + at->x / (PLAN_PICTURE_NX - 1) * p->lane->width,
                                p->base + at->y / (PLAN_PICTURE_NY - 1) * high};
        }
}

void plane_trace_heads(const plane_patch *p, contour_set sets[PLANE_HEAD_LINES]) {
    sheet *s = p->v->sheet;
    double *above = heads_above(p);
    if (!above) return;
    contour_grid grid = {PLAN_PICTURE_NX, PLAN_PICTURE_NY, above};
    grid.value = contour_fill_edge(&grid, s->memory);
    for (int i = 0; i < PLANE_HEAD_LINES; i++) {
        if (!grid.value || !contour_trace(&grid, (i + 1) * p->v->head_step_m, s->memory, &sets[i])) {
            s->failed = true;
            return;
        }
        to_paper(p, &sets[i]);
        for (size_t k = 0; k < sets[i].n; k++)
            sheet_path(s, INK_HEAD_LINE, sets[i].lines[k].points, sets[i].lines[k].n, false);
    }
}

void plane_name_heads(const plane_patch *p, const contour_set sets[PLANE_HEAD_LINES]) {
    for (int i = 0; i < PLANE_HEAD_LINES; i++) {
        const char *words = say_value(p->v->words, UNITS_LENGTH, (i + 1) * p->v->head_step_m);
        for (size_t k = 0; k < sets[i].n; k++)
            if (sets[i].lines[k].n > 3) name_line(p, &sets[i].lines[k], words);
    }
}
