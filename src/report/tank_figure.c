#include "report/tank_figure.h"

#include "report/contour.h"
#include "report/sheet_out.h"
#include "report/tank_words.h"

#include <math.h>

/* Heights of type, but for the parts of a span. */
static const double PANEL = 16, GAP = 0.8, SAMPLE = 2.6, PITCH = 1.5, PAD = 0.06, FAR = 0.5;
static const double SPAN_LEAST_M = 0.5e-3;
enum { LINES = 12, LEVEL_STEPS = 6, HOUR_STEPS = 8 };

typedef struct {
    double least, most, start, length; /* values from least to most, along the paper from start */
} scale;

typedef struct {
    const tank_figure_view *from;
    const watertest_result *r;
    say *words;
    sheet *sheet;
    double type, first_hours, first_m; /* of the first good reading: levels are told from it on */
    scale hours, levels;
} picture;

static double on(const scale *s, double value) {
    double inside = fmin(fmax(value, s->least), s->most);
    return s->start + (inside - s->least) / (s->most - s->least) * s->length;
}

static bool measured(const watertest_result *r) {
    return r->found_uncertainty.known;
}

/* ---- ranges ---- */

static void take(scale *s, double value) {
    s->least = fmin(s->least, value);
    s->most = fmax(s->most, value);
}

static void find_start(picture *v) {
    for (size_t i = v->r->n_points; i-- > 0;) {
        const watertest_point *p = &v->r->points[i];
        if (p->aside && i > 0) continue;
        if (!isfinite(p->hours) || !isfinite(p->level_m)) continue;
        v->first_hours = p->hours;
        v->first_m = p->level_m;
    }
}

static void find_ranges(picture *v) {
    const watertest_result *r = v->r;
    v->hours = v->levels = (scale){HUGE_VAL, -HUGE_VAL, 0, 0};
    take(&v->hours, 0);
    take(&v->levels, 0);
    for (size_t i = 0; i < r->n_points; i++) {
        const watertest_point *p = &r->points[i];
        if (p->aside) continue;
        take(&v->hours, p->hours - v->first_hours);
        take(&v->levels, p->level_m - v->first_m);
        take(&v->levels, p->corrected_m - v->first_m);
    }
    if (measured(r)) {
        double start = r->start_m - v->first_m;
        take(&v->levels, start - r->fitted_drop_m - r->uncertainty_m);
        take(&v->levels, start - r->fitted_drop_m + r->uncertainty_m);
        take(&v->levels, start - r->limit_m_h * r->hours);
    }
    if (!(v->hours.most > v->hours.least)) v->hours.most = v->hours.least + 1;
    double lacking = fmax(SPAN_LEAST_M - (v->levels.most - v->levels.least), 0);
    double span = v->levels.most - v->levels.least + lacking, near_least = v->levels.least - FAR * span,
           near_most = v->levels.most + FAR * span;
    for (size_t i = 0; i < r->n_points; i++) /* what was set aside is shown as far as it lies near */
        if (r->points[i].aside && isfinite(r->points[i].level_m))
            take(&v->levels, fmin(fmax(r->points[i].level_m - v->first_m, near_least), near_most));
    span = v->levels.most - v->levels.least + lacking;
    v->levels.least -= lacking / 2 + PAD * span;
    v->levels.most += lacking / 2 + PAD * span;
}

/* ---- axes ---- */

typedef struct {
    double first, step;
    size_t n;
    int decimals;
} ticks;

static ticks round_ticks(double from, double to, size_t most) {
    ticks t = {.step = contour_step(to - from, most)};
    t.first = ceil(from / t.step - 1e-9) * t.step;
    t.n = (size_t)fmax(0, floor((to - t.first) / t.step + 1e-9) + 1);
    for (double shown = t.step; t.decimals < 9 && fabs(shown - round(shown)) > 1e-6 * shown; shown *= 10)
        t.decimals++;
    return t;
}

static double tick(picture *v, const ticks *t, size_t i, const char **words) {
    double shown = t->first + (double)i * t->step;
    if (fabs(shown) < 1e-6 * t->step) shown = 0;
    *words = say_print(v->words, "%.*f", t->decimals, shown);
    return shown;
}

static ticks level_ticks(const picture *v) {
    units_system s = v->words->system;
    return round_ticks(units_from_si(UNITS_SIZE, s, v->levels.least),
                       units_from_si(UNITS_SIZE, s, v->levels.most), LEVEL_STEPS);
}

static double level_room(picture *v) {
    ticks t = level_ticks(v);
    double room = 0;
    const char *words;
    for (size_t i = 0; i < t.n; i++) {
        tick(v, &t, i, &words);
        room = fmax(room, sheet_text_width(words, v->type, false));
    }
    return room + 0.9 * v->type;
}

static void draw_levels(picture *v, double right) {
    ticks t = level_ticks(v);
    for (size_t i = 0; i < t.n; i++) {
        const char *words;
        double y = on(&v->levels, units_to_si(UNITS_SIZE, v->words->system, tick(v, &t, i, &words)));
        sheet_line(v->sheet, INK_GRID, (sheet_point){v->hours.start, y}, (sheet_point){right, y});
        sheet_place place = {
            {v->hours.start - 0.5 * v->type, y - 0.35 * v->type}, v->type, 0, 0, ALIGN_RIGHT, false};
        sheet_text(v->sheet, INK_TEXT_SOFT, place, words);
    }
}

/* Days where the test lasts for some, minutes where it is over within two hours. */
static double hour_unit(const picture *v, const char **name) {
    double span = v->hours.most - v->hours.least;
    *name = span < 2 ? "Minutes" : span > 240 ? "Days" : "Hours";
    return span < 2 ? 1 / 60.0 : span > 240 ? 24 : 1;
}

static void draw_hours(picture *v) {
    const char *name, *words;
    double unit = hour_unit(v, &name), foot = v->levels.start;
    ticks t = round_ticks(v->hours.least / unit, v->hours.most / unit, HOUR_STEPS);
    for (size_t i = 0; i < t.n; i++) {
        double x = on(&v->hours, unit * tick(v, &t, i, &words));
        sheet_line(v->sheet, INK_DIMENSION, (sheet_point){x, foot}, (sheet_point){x, foot - 0.3 * v->type});
        sheet_place place = {{x, foot - 1.4 * v->type}, v->type, 0, 0, ALIGN_MIDDLE, false};
        sheet_text(v->sheet, INK_TEXT_SOFT, place, words);
    }
    sheet_place place = {
        {v->hours.start + v->hours.length, foot - 2.8 * v->type}, v->type, 0, 0, ALIGN_RIGHT, false};
    sheet_text(v->sheet, INK_TEXT_SOFT, place, say_print(v->words, "%s since the first reading", name));
}

/* ---- marks ---- */

static void full_dot(picture *v, double x, double y) {
    sheet_circle(v->sheet, INK_READING, (sheet_point){x, y}, v->type * (v->r->n_points > 100 ? 0.13 : 0.25));
}

static void hollow_dot(picture *v, double x, double y) {
    sheet_circle(v->sheet, INK_ASIDE, (sheet_point){x, y}, v->type * (v->r->n_points > 100 ? 0.15 : 0.3));
}

static void cross(picture *v, double x, double y) {
    double arm = 0.35 * v->type;
    sheet_line(v->sheet, INK_ASIDE, (sheet_point){x - arm, y - arm}, (sheet_point){x + arm, y + arm});
    sheet_line(v->sheet, INK_ASIDE, (sheet_point){x - arm, y + arm}, (sheet_point){x + arm, y - arm});
}

static sheet_point at(const picture *v, double hours, double level_m) {
    return (sheet_point){on(&v->hours, hours), on(&v->levels, level_m)};
}

static void draw_lines(picture *v) {
    const watertest_result *r = v->r;
    if (!measured(r)) return;
    double start = r->start_m - v->first_m, end = start - r->fitted_drop_m;
    sheet_point fan[] = {at(v, 0, start), at(v, r->hours, end + r->uncertainty_m),
                         at(v, r->hours, end - r->uncertainty_m)};
    sheet_path(v->sheet, INK_BAND, fan, 3, true);
    sheet_line(v->sheet, INK_DEADLINE, at(v, 0, start), at(v, r->hours, start - r->limit_m_h * r->hours));
    sheet_line(v->sheet, INK_FIT, at(v, 0, start), at(v, r->hours, end));
}

static void draw_points(picture *v) {
    const watertest_result *r = v->r;
    for (size_t i = 0; i < r->n_points; i++) {
        const watertest_point *p = &r->points[i];
        if (!isfinite(p->hours) || !isfinite(p->level_m)) continue;
        sheet_point read = at(v, p->hours - v->first_hours, p->level_m - v->first_m);
        if (p->aside)
            cross(v, read.x, read.y);
        else
            hollow_dot(v, read.x, read.y);
    }
    for (size_t i = 0; measured(r) && i < r->n_points; i++) {
        const watertest_point *p = &r->points[i];
        sheet_point right = at(v, p->hours - v->first_hours, p->corrected_m - v->first_m);
        if (!p->aside) full_dot(v, right.x, right.y);
    }
}

static double draw_panel(picture *v, double top) {
    double high = PANEL * v->type, left = level_room(v), edge = 1.2 * v->type;
    v->hours.start = left;
    v->hours.length = v->sheet->width - left - edge;
    v->levels.start = top - 1.8 * v->type - high;
    v->levels.length = high;
    sheet_place title = {{0, top - v->type}, v->type, v->sheet->width, 0, ALIGN_LEFT, false};
    sheet_text(v->sheet, INK_TEXT_SOFT, title,
               say_print(v->words, "Level against the first reading, %s", say_unit(v->words, UNITS_SIZE)));
    draw_levels(v, left + v->hours.length);
    draw_lines(v);
    draw_points(v);
    draw_hours(v);
    sheet_rectangle(v->sheet, INK_DIMENSION, (sheet_box){left, v->levels.start, v->hours.length, high});
    return 1.8 * v->type + high + 3.6 * v->type;
}

/* ---- legend ---- */

typedef enum { KEY_READ, KEY_CORRECTED, KEY_ASIDE, KEY_FIT, KEY_BAND, KEY_LIMIT, KEYS } key;

static bool shown(const picture *v, key k) {
    if (k == KEY_READ) return true;
    if (k == KEY_ASIDE) return v->r->n_good < v->r->n_points;
    return measured(v->r);
}

static void draw_sample(picture *v, key k, double x, double y) {
    double wide = SAMPLE * v->type, high = 0.9 * v->type;
    sheet_point from = {x, y}, to = {x + wide, y};
    switch (k) {
    case KEY_READ: hollow_dot(v, x + wide / 2, y); break;
    case KEY_CORRECTED: full_dot(v, x + wide / 2, y); break;
    case KEY_ASIDE: cross(v, x + wide / 2, y); break;
    case KEY_FIT: sheet_line(v->sheet, INK_FIT, from, to); break;
    case KEY_BAND: sheet_rectangle(v->sheet, INK_BAND, (sheet_box){x, y - high / 2, wide, high}); break;
    case KEY_LIMIT: sheet_line(v->sheet, INK_DEADLINE, from, to); break;
    case KEYS: break;
    }
}

static double draw_legend(picture *v, double top) {
    const watertest_rule *rule = watertest_find_rule(v->from->input->criterion);
    const char *const names[KEYS] = {"level as read",   "less rain and warming, with evaporation",
                                     "set aside",       "line through them",
                                     "its uncertainty", say_print(v->words, "limit, %s", rule->name)};
    double x = 0, y = top - v->type, sample = (SAMPLE + 0.6) * v->type;
    for (key k = KEY_READ; k < KEYS; k++) {
        if (!shown(v, k)) continue;
        double wide = fmin(sheet_text_width(names[k], v->type, false), v->sheet->width - sample);
        if (x > 0 && x + sample + wide > v->sheet->width) {
            x = 0;
            y -= PITCH * v->type;
        }
        draw_sample(v, k, x, y + 0.35 * v->type);
        sheet_place place = {{x + sample, y}, v->type, v->sheet->width - x - sample, 0, ALIGN_LEFT, false};
        sheet_text(v->sheet, INK_TEXT_SOFT, place, names[k]);
        x += sample + wide + 1.2 * v->type;
    }
    return top - y + 0.6 * v->type;
}

/* ---- all of it ---- */

static double draw_heading(picture *v) {
    sheet_place place = {{0, -1.35 * v->type}, 1.35 * v->type, v->sheet->width, 0, ALIGN_LEFT, true};
    double y = sheet_paragraph(v->sheet, INK_TEXT, place, 2, tank_title(v->from, v->words));
    place.height = 1.15 * v->type;
    place.at.y = -y - 1.2 * v->type;
    y += sheet_paragraph(v->sheet, INK_TEXT, place, 1, tank_verdict(v->from)) + 0.2 * v->type;
    place.bold = false;
    place.height = v->type;
    place.at.y = -y - 1.1 * v->type;
    y += sheet_paragraph(v->sheet, INK_TEXT, place, LINES, tank_said(v->from, v->words));
    return y + GAP * v->type;
}

bool report_tank_figure(const tank_figure_view *view, tank_figure_size size, say *words, sheet *out) {
    picture v = {.from = view, .r = view->result, .words = words, .sheet = out, .type = size.type_mm};
    out->width = size.width_mm;
    find_start(&v);
    find_ranges(&v);
    double y = -draw_heading(&v);
    y -= draw_panel(&v, y);
    y -= draw_legend(&v, y);
    sheet_settle(out, -y);
    return !out->failed && !words->failed;
}

status report_tank_svg(const survey_tank *tank, const watertest_input *input, const watertest_result *result,
                       units_system system, text *out, fault *why) {
    arena *memory = arena_new();
    if (!memory) return fault_memory(why);
    tank_figure_view view = {tank, input, result};
    say words = {.memory = memory, .system = system, .currency = ""};
    sheet drawing = {.memory = memory};
    bool whole = report_tank_figure(&view, TANK_FIGURE_FILE, &words, &drawing);
    if (whole) {
        sheet_svg_begin(drawing.width, drawing.height, tank_title(&view, &words), out);
        sheet_svg(&drawing, 0, out);
        sheet_svg_end(out);
    }
    whole = whole && !words.failed && !out->failed;
    arena_free(memory);
    return whole ? OK : fault_memory(why);
}
