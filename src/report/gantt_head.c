/* gantt_head.c - over the rows: out of service, months, days, hours; and the ground under the bars. */
#include "report/gantt_view.h"

#include <math.h>
#include <stdio.h>

static const double LINE = 1.3, SMALL = 0.85; /* heights of type: of a line, of the type of hours */

static double pitch_text(const gantt *g, const char *words, double height) {
    return sheet_text_width(words, height * g->type, false);
}

/* ---- out of service, deadline ---- */

static bool out_shown(const gantt *g, const gantt_strip *strip) {
    const works_plan *w = g->works;
    return w->out_to_min > w->out_from_min && w->out_from_min < strip->to && w->out_to_min > strip->from;
}

static bool deadline_shown(const gantt *g, const gantt_strip *strip, int *minute) {
    if (!works_deadline(g->works, minute)) return false;
    const gantt_day *first = &g->days[strip->first_day], *last = first + strip->n_days - 1;
    return *minute > g->stretches[first->first].from && *minute <= (last->day + 1) * WORKS_DAY_MIN &&
           *minute < strip->to;
}

static void draw_out(const gantt *g, const gantt_strip *strip, double y, sheet *out) {
    static const char words[] = "out of service";
    double from = gantt_x_from(g, strip, g->works->out_from_min),
           to = gantt_x_to(g, strip, g->works->out_to_min);
    double height = 1.25 * g->type, wide = pitch_text(g, words, SMALL) + g->type;
    if (!(to > from)) return;
    sheet_rectangle(out, INK_OUT, (sheet_box){from, y, to - from, height});
    sheet_place place = {{(from + to) / 2, y + 0.35 * g->type}, SMALL * g->type, 0, 0, ALIGN_MIDDLE, false};
    bool right = to + wide<g->room.width_mm, left = from - wide> 0;
    if (to - from < wide && !right && !left) return;
    if (to - from < wide) {
        place.align = right ? ALIGN_LEFT : ALIGN_RIGHT;
        place.at.x = right ? to + 0.4 * g->type : from - 0.4 * g->type;
    }
    sheet_text(out, INK_TEXT, place, words);
}

static double deadline_x(const gantt *g, const gantt_strip *strip, int minute) {
    double half = 0.4 * g->type; /* of its flag */
    return fmin(gantt_x_at(g, strip, minute), g->room.width_mm - half);
}

static void draw_deadline(const gantt *g, const gantt_strip *strip, int minute, double y, sheet *out) {
    double x = deadline_x(g, strip, minute), size = 0.8 * g->type;
    const char *words = g->works->late ? "to be back in service: late" : "to be back in service";
    sheet_path(out, INK_DEADLINE,
               (sheet_point[]){{x - size / 2, y + size}, {x + size / 2, y + size}, {x, y + 0.1 * size}}, 3,
               true);
    double wide = pitch_text(g, words, SMALL) + g->type;
    bool right = x + wide < g->room.width_mm;
    sheet_place place = {{right ? x + 0.7 * g->type : x - 0.7 * g->type, y + 0.2 * g->type},
                         SMALL * g->type,
                         fmax(right ? g->room.width_mm - x - g->type : x - g->type, g->type),
                         0,
                         right ? ALIGN_LEFT : ALIGN_RIGHT,
                         g->works->late};
    sheet_text(out, INK_TEXT, place, words);
}

/* ---- days ---- */

static void draw_months(const gantt *g, const gantt_strip *strip, double y, sheet *out) {
    int month = 0;
    double free = -HUGE_VAL;
    for (size_t i = strip->first_day; i < strip->first_day + strip->n_days; i++) {
        calendar_day at;
        if (!works_date(g->works, g->days[i].day, &at) || at.month == month) continue;
        static const char *const names[12] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                              "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
        const char *words = say_print(g->words, "%s\u00a0%d", names[at.month - 1], at.year);
        double x = g->days[i].x, wide = sheet_text_width(words, g->type, true);
        month = at.month;
        if (x < free || x + wide > g->room.width_mm) continue;
        sheet_place place = {{x, y}, g->type, 0, 0, ALIGN_LEFT, true};
        sheet_text(out, INK_TEXT, place, words);
        free = x + wide + g->type;
    }
}

static void draw_days(const gantt *g, const gantt_strip *strip, double y, sheet *out) {
    for (size_t i = strip->first_day; i < strip->first_day + strip->n_days; i++) {
        const gantt_day *day = &g->days[i];
        const char *words = works_said_day(g->words, g->works, day->day, g->days_said);
        sheet_place place = {{day->x + day->width / 2, y}, g->type, 0, 0, ALIGN_MIDDLE, true};
        if (sheet_text_width(words, g->type, true) <= day->width + 0.8 * g->type)
            sheet_text(out, INK_TEXT, place, words);
    }
}

/* ---- hours ---- */

/* Every how many hours one is named; 0: none has room. */
static int hour_step(const gantt *g) {
    static const int steps[] = {1, 2, 3, 4, 6};
    double room = 1.6 * pitch_text(g, "00", SMALL);
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++)
        if (60 * steps[i] * g->minute_mm >= room) return steps[i];
    return 0;
}

static void draw_hours(const gantt *g, const gantt_strip *strip, double y, sheet *out) {
    int step = 60 * hour_step(g);
    double half = pitch_text(g, "00", SMALL) / 2, tick = 0.25 * g->type;
    for (size_t i = strip->first_day; i < strip->first_day + strip->n_days; i++) {
        const gantt_day *day = &g->days[i];
        double taken = day->x;
        for (size_t k = day->first; k < day->first + day->n; k++) {
            const gantt_stretch *s = &g->stretches[k];
            for (int at = (s->from + step - 1) / step * step; at <= s->to; at += step) {
                double x = s->x + s->width * (at - s->from) / (s->to - s->from);
                if (x - half < taken || x + half > day->x + day->width) continue;
                int hour = at / 60 % 24;
                if (g->words->system == UNITS_US) hour = hour % 12 ? hour % 12 : 12;
                sheet_place place = {{x, y}, SMALL * g->type, 0, 0, ALIGN_MIDDLE, false};
                sheet_text(out, INK_TEXT_SOFT, place, say_print(g->words, "%d", hour));
                sheet_line(out, INK_DIMENSION, (sheet_point){x, y - 1.7 * tick},
                           (sheet_point){x, y - 0.7 * tick});
                taken = x + half + 0.3 * g->type;
            }
        }
    }
}

double gantt_head(const gantt *g, const gantt_strip *strip, sheet *out) {
    double line = LINE * g->type, y = 0;
    int deadline;
    if (out_shown(g, strip)) {
        y -= 1.25 * g->type;
        if (out) draw_out(g, strip, y, out);
        y -= 0.3 * g->type;
    }
    if (deadline_shown(g, strip, &deadline)) {
        y -= line;
        if (out) draw_deadline(g, strip, deadline, y + 0.1 * g->type, out);
    }
    if (g->months_said) {
        y -= line;
        if (out) draw_months(g, strip, y + 0.2 * g->type, out);
    }
    y -= line;
    if (out) draw_days(g, strip, y + 0.2 * g->type, out);
    if (hour_step(g)) {
        y -= line;
        if (out) draw_hours(g, strip, y + 0.45 * g->type, out);
    }
    return -y;
}

/* ---- ground ---- */

static void shade(double from, double to, double top, double foot, sheet *out) {
    if (to > from) sheet_rectangle(out, INK_OFF_WORK, (sheet_box){from, foot, to - from, top - foot});
}

void gantt_ground(const gantt *g, const gantt_strip *strip, double top, double foot, sheet *out) {
    int deadline;
    for (size_t i = strip->first_day; i < strip->first_day + strip->n_days; i++) {
        const gantt_day *day = &g->days[i];
        if (i > strip->first_day) {
            double before = day[-1].x + day[-1].width, third = (day->x - before) / 3;
            bool off = day->day > day[-1].day + 1; /* days are left out: a stripe of paper between */
            shade(before, off ? before + third : day->x, top, foot, out);
            if (off) shade(day->x - third, day->x, top, foot, out);
        }
        for (size_t k = day->first + 1; k < day->first + day->n; k++)
            shade(g->stretches[k - 1].x + g->stretches[k - 1].width, g->stretches[k].x, top, foot, out);
    }
    if (!deadline_shown(g, strip, &deadline)) return;
    double x = deadline_x(g, strip, deadline);
    sheet_line(out, INK_DEADLINE, (sheet_point){x, top}, (sheet_point){x, foot});
}
