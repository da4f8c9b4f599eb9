/* movement_axis.c - scales of the panels, their frames, and round figures along them. */
#include "report/contour.h"
#include "report/movement_view.h"

#include <math.h>
#include <string.h>

enum { WIDTH_STEPS = 5, TEMPERATURE_STEPS = 8, DAYS_A_MONTH = 30, MONTHS = 12 };

double movement_on(const movement_scale *scale, double value) {
    double span = scale->range.most - scale->range.least;
    return scale->start + (value - scale->range.least) / span * scale->length;
}

double movement_inside(const movement_scale *scale, double value) {
    return movement_on(scale, fmin(fmax(value, scale->range.least), scale->range.most));
}

movement_range movement_padded(movement_range r, double part) {
    double more = part * (r.most - r.least);
    return (movement_range){r.least - more, r.most + more};
}

/* Narrows the part `t` of a line in which least <= from + t (to - from) <= most. */
static void narrow(movement_range *t, movement_range in, double from, double to) {
    if (from == to) {
        if (from < in.least || from > in.most) *t = (movement_range){1, 0};
        return;
    }
    double a = (in.least - from) / (to - from), b = (in.most - from) / (to - from);
    t->least = fmax(t->least, fmin(a, b));
    t->most = fmin(t->most, fmax(a, b));
}

void movement_line(sheet *s, sheet_ink ink, const movement_scale *across, const movement_scale *up,
                   const double from[2], const double to[2]) {
    movement_range t = {0, 1};
    narrow(&t, across->range, from[0], to[0]);
    narrow(&t, up->range, from[1], to[1]);
    if (!(t.least < t.most)) return;
    sheet_point ends[2];
    const double at[] = {t.least, t.most};
    for (int i = 0; i < 2; i++)
        ends[i] = (sheet_point){movement_inside(across, from[0] + at[i] * (to[0] - from[0])),
                                movement_inside(up, from[1] + at[i] * (to[1] - from[1]))};
    sheet_line(s, ink, ends[0], ends[1]);
}

/* ---- figures ---- */

typedef struct {
    units_quantity of;
    double first, step; /* shown: first figure inside, and from one to the next */
    size_t n;
    int decimals;
} ticks;

static ticks round_ticks(const say *w, units_quantity q, movement_range in, size_t most) {
    double from = units_from_si(q, w->system, in.least), to = units_from_si(q, w->system, in.most);
    ticks out = {.of = q, .step = contour_step(to - from, most)};
    out.first = ceil(from / out.step - 1e-9) * out.step;
    out.n = (size_t)fmax(0, floor((to - out.first) / out.step + 1e-9) + 1);
    for (double shown = out.step; out.decimals < 9 && fabs(shown - round(shown)) > 1e-6 * shown; shown *= 10)
        out.decimals++;
    return out;
}

static double tick_si(say *w, const ticks *t, size_t i, const char **words) {
    double shown = t->first + (double)i * t->step;
    if (fabs(shown) < 1e-6 * t->step) shown = 0;
    *words = say_print(w, "%.*f", t->decimals, shown);
    return units_to_si(t->of, w->system, shown);
}

double movement_axis_room(const movement_view *v, movement_range widths) {
    ticks t = round_ticks(v->words, UNITS_SIZE, widths, WIDTH_STEPS);
    double room = 0;
    for (size_t i = 0; i < t.n; i++) {
        const char *words;
        tick_si(v->words, &t, i, &words);
        room = fmax(room, sheet_text_width(words, v->type, false));
    }
    return room + 0.7 * v->type;
}

static void frame(movement_view *v, const movement_scale *across, const movement_scale *up) {
    sheet_rectangle(v->sheet, INK_DIMENSION,
                    (sheet_box){across->start, up->start, across->length, up->length});
}

void movement_width_axis(movement_view *v, const movement_scale *up) {
    ticks t = round_ticks(v->words, UNITS_SIZE, up->range, WIDTH_STEPS);
    for (size_t i = 0; i < t.n; i++) {
        const char *words;
        double y = movement_inside(up, tick_si(v->words, &t, i, &words));
        sheet_line(v->sheet, INK_GRID, (sheet_point){v->left, y}, (sheet_point){v->right, y});
        sheet_place place = {
            {v->left - 0.5 * v->type, y - 0.35 * v->type}, v->type, 0, 0, ALIGN_RIGHT, false};
        sheet_text(v->sheet, INK_TEXT_SOFT, place, words);
    }
}

static void upright(movement_view *v, const movement_scale *up, double x, const char *words) {
    double foot = up->start;
    sheet_line(v->sheet, INK_GRID, (sheet_point){x, foot}, (sheet_point){x, foot + up->length});
    sheet_line(v->sheet, INK_DIMENSION, (sheet_point){x, foot}, (sheet_point){x, foot - 0.3 * v->type});
    sheet_place place = {{x, foot - 1.4 * v->type}, v->type, 0, 0, ALIGN_MIDDLE, false};
    sheet_text(v->sheet, INK_TEXT_SOFT, place, words);
}

/* As many as keep their figures apart. */
static ticks temperature_ticks(movement_view *v, const movement_scale *across) {
    ticks t = {0};
    for (size_t most = TEMPERATURE_STEPS; most > 0; most--) {
        t = round_ticks(v->words, UNITS_TEMPERATURE, across->range, most);
        double widest = 0;
        for (size_t i = 0; i < t.n; i++) {
            const char *words;
            tick_si(v->words, &t, i, &words);
            widest = fmax(widest, sheet_text_width(words, v->type, false));
        }
        if (widest + 0.6 * v->type <= across->length / (double)most) break;
    }
    return t;
}

void movement_temperature_axis(movement_view *v, const movement_scale *across, const movement_scale *up) {
    ticks t = temperature_ticks(v, across);
    for (size_t i = 0; i < t.n; i++) {
        const char *words;
        double x = movement_inside(across, tick_si(v->words, &t, i, &words));
        upright(v, up, x, words);
    }
    frame(v, across, up);
}

/* ---- dates ---- */

/* Months that a step may have, and days below them: those that a calendar has names for. */
static const int MONTH_STEPS[] = {1, 2, 3, 6, 12, 24, 60, 120, 240}, DAY_STEPS[] = {1, 2, 5, 10, 15};

typedef struct {
    bool months; /* else days of a month: 1, then every step-th but near its end */
    int step;
} date_step;

static date_step choose_step(const movement_view *v, const movement_scale *across) {
    double day = across->length / (across->range.most - across->range.least);
    double room = sheet_text_width("28 May ", v->type, false),
           narrow_room = sheet_text_width("2025 ", v->type, false);
    size_t n = sizeof DAY_STEPS / sizeof *DAY_STEPS;
    for (size_t i = 0; i < n; i++)
        if (DAY_STEPS[i] * day >= room) return (date_step){false, DAY_STEPS[i]};
    n = sizeof MONTH_STEPS / sizeof *MONTH_STEPS;
    for (size_t i = 0; i < n; i++)
        if (MONTH_STEPS[i] * (DAYS_A_MONTH - 2) * day >= narrow_room)
            return (date_step){true, MONTH_STEPS[i]};
    return (date_step){true, MONTH_STEPS[n - 1]};
}

static bool is_tick(date_step by, calendar_day at) {
    if (by.months) return at.day == 1 && (at.year * MONTHS + at.month - 1) % by.step == 0;
    return (at.day - 1) % by.step == 0 && (by.step == 1 || at.day + by.step / 2 <= DAYS_A_MONTH);
}

static const char *date_words(movement_view *v, date_step by, calendar_day at) {
    const char *month = movement_months[at.month - 1];
    if (by.months && by.step % MONTHS == 0) return say_print(v->words, "%d", at.year);
    if (by.months) return month;
    return v->words->system == UNITS_US ? say_print(v->words, "%s %d", month, at.day)
                                        : say_print(v->words, "%d %s", at.day, month);
}

double movement_date_axis(movement_view *v, const movement_scale *across, const movement_scale *up) {
    date_step by = choose_step(v, across);
    bool years = by.months && by.step % MONTHS == 0;
    int year = 0;
    for (double day = ceil(across->range.least); day <= across->range.most; day++) {
        calendar_day at = movement_date(v, day);
        if (!is_tick(by, at)) continue;
        double x = movement_on(across, day);
        upright(v, up, x, date_words(v, by, at));
        sheet_place place = {{x, up->start - 2.7 * v->type}, v->type, 0, 0, ALIGN_MIDDLE, true};
        if (!years && at.year != year)
            sheet_text(v->sheet, INK_TEXT_SOFT, place, say_print(v->words, "%d", at.year));
        year = at.year;
    }
    frame(v, across, up);
    return (years ? 1.9 : 3.2) * v->type;
}
