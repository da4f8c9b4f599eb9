/* movement_time.c - the upper panel: width over date, the band, the coming year, and what each mark means. */
#include "report/movement_view.h"

#include <math.h>

static const double PANEL = 16.5; /* heights of type */
/* How far beyond the readings the drawing follows what was fitted, in spans of the readings. */
static const double BEYOND = 2, BEYOND_ASIDE = 0.8;
static const double SPAN_LEAST_M = 0.05e-3, SPAN_LEAST_DAYS = 10;

/* ---- ranges ---- */

static void take(movement_range *r, double value) {
    r->least = fmin(r->least, value);
    r->most = fmax(r->most, value);
}

/* Takes as much of the value as lies within `limit`; true when some was cut. */
static bool take_within(movement_range *r, movement_range limit, double value) {
    take(r, fmin(fmax(value, limit.least), limit.most));
    return value < limit.least || value > limit.most;
}

static movement_expected expected(const diagnosis_gauge *g, size_t i) {
    return movement_at(&g->input, &g->fit, g->input.readings[i].day, g->fit.temperature_c[i]);
}

/* At the mean temperature of the readings kept. */
static double drift_width(const movement_view *v, double day) {
    const diagnosis_gauge *g = v->gauge;
    return movement_at(&g->input, &g->fit, day, v->mean_c).width_m;
}

static double last_day(const diagnosis_gauge *g) {
    return g->input.readings[g->input.n - 1].day;
}

/* Readings kept and their fit are always shown whole. */
static movement_range inner_range(const diagnosis_gauge *g) {
    movement_range r = {HUGE_VAL, -HUGE_VAL};
    for (size_t i = 0; i < g->input.n; i++) {
        if (!movement_kept(g, i)) continue;
        take(&r, g->input.readings[i].width_m);
        if (g->fit.fitted) take(&r, expected(g, i).width_m);
    }
    double lacking = SPAN_LEAST_M - (r.most - r.least);
    return lacking > 0 ? (movement_range){r.least - lacking / 2, r.most + lacking / 2} : r;
}

static void find_widths(movement_view *v) {
    const diagnosis_gauge *g = v->gauge;
    movement_range inner = inner_range(g), r = inner, far = movement_padded(inner, BEYOND);
    for (size_t i = 0; g->fit.fitted && i < g->input.n; i++) {
        movement_expected at = expected(g, i);
        if (!movement_kept(g, i)) {
            movement_range near = movement_padded(inner, BEYOND_ASIDE);
            if (take_within(&r, near, g->input.readings[i].width_m)) v->cut = true;
        }
        if (take_within(&r, far, at.width_m - at.band_m)) v->cut = true;
        if (take_within(&r, far, at.width_m + at.band_m)) v->cut = true;
    }
    if (v->year_known && take_within(&r, far, g->widest_m.v)) v->cut = true;
    if (v->year_known && take_within(&r, far, g->narrowest_m.v)) v->cut = true;
    v->widths = movement_padded(r, 0.05);
}

static void find_mean(movement_view *v) {
    const diagnosis_gauge *g = v->gauge;
    size_t n = 0;
    for (size_t i = 0; g->fit.fitted && i < g->input.n; i++) {
        if (!movement_kept(g, i)) continue;
        v->mean_c += g->fit.temperature_c[i];
        n++;
    }
    if (n) v->mean_c /= (double)n;
}

bool movement_prepare(movement_view *v) {
    const diagnosis_gauge *g = v->gauge;
    v->year_known = g->fit.fitted && g->widest_m.known && g->narrowest_m.known;
    v->year_end_day = last_day(g) + (v->year_known ? MOVEMENT_YEAR_DAYS : 0);
    find_mean(v);
    find_widths(v);
    v->left = fmax(movement_axis_room(v, v->widths), 2 * v->type);
    if (g->fit.fitted) {
        movement_prepare_wall(v);
        v->left = fmax(v->left, movement_axis_room(v, v->wall_widths));
    }
    double labels = 2 * v->type;
    if (v->year_known)
        labels = 1 * v->type +
                 fmax(sheet_text_width("narrowest", v->type, false),
                      fmax(sheet_text_width(movement_width_said(v->words, g->widest_m.v), v->type, true),
                           sheet_text_width(movement_width_said(v->words, g->narrowest_m.v), v->type, true)));
    v->right = v->sheet->width - labels;
    return !v->words->failed;
}

/* ---- marks ---- */

void movement_dot(movement_view *v, double x, double y) {
    /* Many dots are small, so that they stay apart. */
    double radius = v->type * (v->gauge->input.n > 150 ? 0.14 : 0.25);
    sheet_circle(v->sheet, INK_READING, (sheet_point){x, y}, radius);
}

/* A hollow cross: twelve corners, turned by an eighth. */
void movement_cross(movement_view *v, double x, double y) {
    static const double corner[12][2] = {{-1, -3}, {1, -3}, {1, -1}, {3, -1}, {3, 1},   {1, 1},
                                         {1, 3},   {-1, 3}, {-1, 1}, {-3, 1}, {-3, -1}, {-1, -1}};
    double part = 0.17 * v->type * sqrt(0.5);
    sheet_point points[12];
    for (int i = 0; i < 12; i++)
        points[i] =
            (sheet_point){x + part * (corner[i][0] - corner[i][1]), y + part * (corner[i][0] + corner[i][1])};
    sheet_path(v->sheet, INK_ASIDE, points, 12, true);
}

/* ---- the panel ---- */

typedef struct {
    movement_view *v;
    movement_scale across, up;
} panel;

static void draw_band(const panel *p) {
    const diagnosis_gauge *g = p->v->gauge;
    size_t n = g->input.n;
    sheet_point *edge = arena_get(p->v->sheet->memory, 2 * n, sizeof *edge);
    if (!edge) {
        p->v->sheet->failed = true;
        return;
    }
    for (size_t i = 0; i < n; i++) {
        movement_expected at = expected(g, i);
        double x = movement_on(&p->across, g->input.readings[i].day);
        edge[i] = (sheet_point){x, movement_inside(&p->up, at.width_m + at.band_m)};
        edge[2 * n - 1 - i] = (sheet_point){x, movement_inside(&p->up, at.width_m - at.band_m)};
    }
    sheet_path(p->v->sheet, INK_BAND, edge, 2 * n, true);
}

static void draw_fit(const panel *p) {
    const diagnosis_gauge *g = p->v->gauge;
    for (size_t i = 1; i < g->input.n; i++) {
        double from[] = {g->input.readings[i - 1].day, expected(g, i - 1).width_m};
        double to[] = {g->input.readings[i].day, expected(g, i).width_m};
        movement_line(p->v->sheet, INK_FIT, &p->across, &p->up, from, to);
    }
    double first = g->input.readings[0].day, last = p->v->year_end_day;
    movement_line(p->v->sheet, INK_DRIFT, &p->across, &p->up, (double[]){first, drift_width(p->v, first)},
                  (double[]){last, drift_width(p->v, last)});
}

static void draw_year_ground(const panel *p) {
    double x = movement_on(&p->across, last_day(p->v->gauge)),
           right = movement_on(&p->across, p->v->year_end_day);
    sheet_rectangle(p->v->sheet, INK_YEAR, (sheet_box){x, p->up.start, right - x, p->up.length});
}

/* A name and a width at the right of the panel, `y` their middle. */
static void label_expected(movement_view *v, double y, const char *name, double width_m) {
    double x = v->right + 0.6 * v->type;
    sheet_place place = {{x, y + 0.25 * v->type}, v->type, 0, 0, ALIGN_LEFT, false};
    sheet_text(v->sheet, INK_TEXT, place, name);
    place.at.y -= 1.2 * v->type;
    place.bold = true;
    sheet_text(v->sheet, INK_TEXT, place, movement_width_said(v->words, width_m));
}

static void draw_expected(const panel *p) {
    movement_view *v = p->v;
    const double width[] = {v->gauge->widest_m.v, v->gauge->narrowest_m.v};
    double day = last_day(v->gauge), apart = 2.7 * v->type, label[2];
    for (int i = 0; i < 2; i++) {
        label[i] = movement_inside(&p->up, width[i]);
        movement_line(v->sheet, INK_EXPECTED, &p->across, &p->up, (double[]){day, width[i]},
                      (double[]){v->year_end_day, width[i]});
    }
    double middle = (label[0] + label[1]) / 2, half = fmax((label[0] - label[1]) / 2, apart / 2);
    double least = p->up.start + 1.2 * v->type + half,
           most = p->up.start + p->up.length - 1.2 * v->type - half;
    middle = fmin(fmax(middle, least), fmax(least, most));
    label_expected(v, middle + half, "widest", width[0]);
    label_expected(v, middle - half, "narrowest", width[1]);
}

static void draw_readings(const panel *p) {
    const movement_input *in = &p->v->gauge->input;
    for (size_t i = 0; i < in->n; i++) {
        double x = movement_on(&p->across, in->readings[i].day),
               y = movement_inside(&p->up, in->readings[i].width_m);
        if (movement_kept(p->v->gauge, i))
            movement_dot(p->v, x, y);
        else
            movement_cross(p->v, x, y);
    }
}

double movement_draw_time(movement_view *v, double top) {
    const diagnosis_gauge *g = v->gauge;
    double title = 1.9 * v->type, height = PANEL * v->type, foot = top - title - height;
    movement_range days = {g->input.readings[0].day, v->year_end_day};
    double lacking = SPAN_LEAST_DAYS - (days.most - days.least);
    if (lacking > 0) days = (movement_range){days.least - lacking / 2, days.most + lacking / 2};
    days = (movement_range){movement_padded(days, 0.02).least,
                            v->year_known ? days.most : movement_padded(days, 0.02).most};
    panel p = {v, {days, v->left, v->right - v->left}, {v->widths, foot, height}};
    sheet_place place = {{0, top - v->type}, v->type, v->sheet->width, 0, ALIGN_LEFT, true};
    sheet_text(v->sheet, INK_TEXT, place, say_print(v->words, "Width, %s", say_unit(v->words, UNITS_SIZE)));
    if (v->year_known) draw_year_ground(&p);
    if (g->fit.fitted) draw_band(&p);
    movement_width_axis(v, &p.up);
    double dates = movement_date_axis(v, &p.across, &p.up);
    if (g->fit.fitted) draw_fit(&p);
    if (v->year_known) draw_expected(&p);
    draw_readings(&p);
    return title + height + dates;
}
