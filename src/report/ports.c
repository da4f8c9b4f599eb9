#include "report/ports.h"

#include "report/contour.h"

#include <math.h>

static const double SIDE_MM = 15, SIDES_MM = 6, TEXT_MM = 2.2; /* margins; of the mouths from the crack */
static const double STRIP_MM = 26, NOTE_MM = 8.5, NUMBER_MM = 2.4;
static const double LEAST_MM = 3.3;  /* between two ports on paper, where there is room for strips */
static const double LARGEST_MM = 25; /* more between two ports only spreads them */
static const double PLAN_MM = 42, PLAN_ACROSS_MM = 90, ROOM_MM = 4.5; /* at a place; a number wants ROOM */
enum { MOST_STRIPS = 4 };

typedef struct {
    const leak_water *leak;
    const design_injection *in;
    say *words;
    sheet *sheet;
    double per_m, from_m, to_m; /* of this strip */
    double width, y;            /* of its paper; y: of the crack */
    size_t hidden;              /* numbers without room */
} strip;

bool ports_has(const repair_design *design) {
    return method_is_injection(design->method.name) && design->injection.n_ports > 0;
}

static double x_of(const strip *s, double at_m) {
    return SIDE_MM + (at_m - s->from_m) * s->per_m;
}

static bool is_here(const strip *s, double at_m, bool last) {
    return at_m >= s->from_m - 1e-9 && (at_m < s->to_m - 1e-9 || (last && at_m <= s->to_m + 1e-9));
}

static void draw_axis(strip *s) {
    say *w = s->words;
    double y = s->y - SIDES_MM - 5.2;
    double from = units_from_si(UNITS_LENGTH, w->system, s->from_m),
           to = units_from_si(UNITS_LENGTH, w->system, s->to_m);
    double right = x_of(s, s->to_m);
    sheet_line(s->sheet, INK_DIMENSION, (sheet_point){SIDE_MM, y}, (sheet_point){right, y});
    double step = contour_step(to - from, (size_t)fmax(1, floor((right - SIDE_MM) / 13)));
    for (double at = ceil(from / step - 1e-9); at * step <= to + 1e-9; at++) {
        double x = x_of(s, units_to_si(UNITS_LENGTH, w->system, at * step));
        sheet_line(s->sheet, INK_DIMENSION, (sheet_point){x, y}, (sheet_point){x, y - 1});
        sheet_text(s->sheet, INK_TEXT_SOFT, (sheet_place){{x, y - 3.3}, TEXT_MM, 0, 0, ALIGN_MIDDLE, false},
                   say_plain(w, at * step, 2));
    }
    sheet_place unit = {{SIDE_MM - 3, y - 3.3}, TEXT_MM, SIDE_MM - 3, 0, ALIGN_RIGHT, false};
    sheet_text(s->sheet, INK_TEXT_SOFT, unit, say_print(w, "along, %s", say_unit(w, UNITS_LENGTH)));
}

static void draw_crack(strip *s) {
    double right = x_of(s, s->to_m);
    static const char *const sides[] = {"left", "right"};
    for (int k = 0; k < 2; k++) {
        sheet_place side = {
            {SIDE_MM - 3, s->y + (k ? -1 : 1) * SIDES_MM - 0.8}, TEXT_MM, SIDE_MM - 3, 0, ALIGN_RIGHT, false};
        sheet_text(s->sheet, INK_TEXT_SOFT, side, sides[k]);
    }
    sheet_place crack = {{SIDE_MM - 3, s->y - 0.8}, TEXT_MM, SIDE_MM - 3, 0, ALIGN_RIGHT, false};
    sheet_text(s->sheet, INK_TEXT_SOFT, crack, "crack");
    for (size_t i = 0; i < s->leak->defect->n_stations; i++) {
        const survey_station *at = &s->leak->defect->stations[i];
        if (at->bar != BAR_CROSSING || !is_here(s, at->chainage_m, false)) continue;
        double x = x_of(s, at->chainage_m);
        sheet_line(s->sheet, INK_WASHOUT, (sheet_point){x, s->y - SIDES_MM - 2},
                   (sheet_point){x, s->y + SIDES_MM + 2});
    }
    sheet_line(s->sheet, INK_DRY + (sheet_ink)s->leak->worst, (sheet_point){SIDE_MM, s->y},
               (sheet_point){right, s->y});
}

/* The hole runs from its mouth to the crack; its number stands outside. `taken`: where the last one on that side ends. */
static void draw_port(strip *s, const design_port *port, double taken[2]) {
    bool below = port->offset_m > 0;
    double x = x_of(s, port->at_m), radius = fmin(1.1, s->per_m * s->in->spacing_m * 0.3);
    double sign = below ? -1 : 1, mouth = s->y + sign * SIDES_MM;
    sheet_line(s->sheet, INK_LEADER, (sheet_point){x, s->y}, (sheet_point){x, mouth});
    sheet_circle(s->sheet,
                 port->near_bar     ? INK_SCALE_DARK
                 : port->order == 1 ? INK_ORDER_LAST
                                    : INK_RELIEF,
                 (sheet_point){x, mouth}, radius);
    const char *number = say_print(s->words, "%d", port->order);
    double half = sheet_text_width(number, NUMBER_MM, true) / 2;
    if (x - half < taken[below] + 0.4) {
        s->hidden++;
        return;
    }
    taken[below] = x + half;
    double y = below ? mouth - radius - 2.2 : mouth + radius + 0.6;
    sheet_text(s->sheet, INK_TEXT, (sheet_place){{x, y}, NUMBER_MM, 0, 0, ALIGN_MIDDLE, true}, number);
}

/* Ports stand by chainage in the design. */
static void draw_strip(strip *s, bool last) {
    double taken[2] = {0, 0};
    draw_axis(s);
    draw_crack(s);
    for (size_t i = 0; i < s->in->n_ports; i++)
        if (is_here(s, s->in->ports[i].at_m, last)) draw_port(s, &s->in->ports[i], taken);
}

static bool any_near(const design_injection *in) {
    for (size_t i = 0; i < in->n_ports; i++)
        if (in->ports[i].near_bar) return true;
    return false;
}

static bool any_bar(const survey_defect *d) {
    for (size_t i = 0; i < d->n_stations; i++)
        if (d->stations[i].bar == BAR_CROSSING) return true;
    return false;
}

static void write_note(strip *s) {
    say *w = s->words;
    const design_injection *in = s->in;
    const char *hidden =
        s->hidden ? say_print(w, " %zu numbers found no room: they run on in between.", s->hidden) : "";
    const char *note = say_print(
        w, "%zu ports in the order of injection, 1 (yellow) first; each %s beside the crack, every %s.%s%s%s",
        in->n_ports, say_value(w, UNITS_SIZE, in->offset_m), say_value(w, UNITS_SIZE, in->spacing_m),
        any_near(in) ? " Dark: a bar is in the way, move it." : "",
        any_bar(s->leak->defect) ? " Broken line: a bar crosses." : "", hidden);
    sheet_place place = {{1, NOTE_MM - 3.4}, TEXT_MM, s->width - 2, 0, ALIGN_LEFT, false};
    sheet_paragraph(s->sheet, INK_TEXT_SOFT, place, 2, note);
}

/* ---- at a pipe, a tie hole, on honeycomb: seen on the face, to scale ---- */

typedef struct {
    const leak_water *leak;
    const design_injection *in;
    say *words;
    sheet *sheet;
    double left_m, low_m, right_m, high_m, mm; /* of the first point; mm of paper a metre */
} view;

static void widen(view *v, double x_m, double y_m) {
    v->left_m = fmin(v->left_m, x_m);
    v->right_m = fmax(v->right_m, x_m);
    v->low_m = fmin(v->low_m, y_m);
    v->high_m = fmax(v->high_m, y_m);
}

static sheet_point on_paper(const view *v, double x_m, double y_m) {
    return (sheet_point){SIDE_MM + (x_m - v->left_m) * v->mm, NOTE_MM + 5 + (y_m - v->low_m) * v->mm};
}

static double half_width(const survey_defect *d) {
    return (d->diameter_m.known ? d->diameter_m.v : 0) / 2;
}

static void frame_view(view *v) {
    const survey_defect *d = v->leak->defect;
    double r = half_width(d);
    widen(v, -r, -r);
    widen(v, r, r);
    for (size_t i = 0; i < v->in->n_ports; i++) widen(v, v->in->ports[i].offset_m, v->in->ports[i].at_m);
    for (size_t k = 0; d->kind == KIND_HONEYCOMB && d->n_parts && k < d->parts[0].n_points; k++) {
        const survey_point *p = d->parts[0].points;
        widen(v, p[k].u_m - p[0].u_m, p[k].v_m - p[0].v_m);
    }
    v->mm =
        fmin(PLAN_ACROSS_MM / fmax(v->right_m - v->left_m, 0.01), PLAN_MM / fmax(v->high_m - v->low_m, 0.01));
}

static void draw_place(const view *v) {
    const survey_defect *d = v->leak->defect;
    sheet_ink ink = INK_DRY + (sheet_ink)v->leak->worst;
    if (d->kind != KIND_HONEYCOMB) {
        sheet_circle(v->sheet, INK_CRACK, on_paper(v, 0, 0), fmax(half_width(d) * v->mm, 1));
        return;
    }
    for (size_t k = 0; d->n_parts && k < d->parts[0].n_points; k++) {
        const survey_point *p = d->parts[0].points, *to = &p[(k + 1) % d->parts[0].n_points];
        sheet_line(v->sheet, ink, on_paper(v, p[k].u_m - p->u_m, p[k].v_m - p->v_m),
                   on_paper(v, to->u_m - p->u_m, to->v_m - p->v_m));
    }
}

/* The first always has its number, the others where they stand apart. */
static size_t draw_mouths(const view *v) {
    size_t hidden = 0;
    bool room = v->leak->defect->kind != KIND_HONEYCOMB || v->in->spacing_m * v->mm >= ROOM_MM;
    for (size_t i = 0; i < v->in->n_ports; i++) {
        const design_port *port = &v->in->ports[i];
        sheet_point at = on_paper(v, port->offset_m, port->at_m);
        sheet_circle(v->sheet,
                     port->near_bar     ? INK_SCALE_DARK
                     : port->order == 1 ? INK_ORDER_LAST
                                        : INK_RELIEF,
                     at, 0.9);
        if (room || port->order == 1)
            sheet_text(v->sheet, INK_TEXT,
                       (sheet_place){{at.x, at.y + 1.4}, NUMBER_MM, 0, 0, ALIGN_MIDDLE, true},
                       say_print(v->words, "%d", port->order));
        else
            hidden++;
    }
    return hidden;
}

static void draw_view(const leak_water *leak, const design_injection *in, double width_mm, say *words,
                      sheet *out) {
    view v = {.leak = leak, .in = in, .words = words, .sheet = out};
    frame_view(&v);
    out->width = width_mm;
    out->height = NOTE_MM + 11 + (v.high_m - v.low_m) * v.mm;
    draw_place(&v);
    size_t hidden = draw_mouths(&v);
    const char *note = say_print(
        words, "%zu port%s on the face, in the order of injection, 1 (yellow) first.%s%s", in->n_ports,
        in->n_ports == 1 ? "" : "s", any_near(in) ? " Dark: a bar is in the way, move it." : "",
        hidden ? " Row by row from the lowest, each from the left." : "");
    sheet_paragraph(out, INK_TEXT_SOFT,
                    (sheet_place){{1, NOTE_MM - 3.4}, TEXT_MM, width_mm - 2, 0, ALIGN_LEFT, false}, 2, note);
}

void ports_draw(const leak_water *leak, const repair_design *design, double width_mm, say *words,
                sheet *out) {
    const design_injection *in = &design->injection;
    if (!survey_is_line(leak->defect->kind)) {
        draw_view(leak, in, width_mm, words, out);
        return;
    }
    double low = in->from_m, high = in->to_m, room = width_mm - SIDE_MM - 5;
    for (size_t i = 0; i < in->n_ports; i++) {
        low = fmin(low, in->ports[i].at_m);
        high = fmax(high, in->ports[i].at_m);
    }
    double length = fmax(high - low, 0.001), spacing = fmax(in->spacing_m, 0.001);
    int strips = (int)fmin(MOST_STRIPS, fmax(1, ceil(length / spacing * LEAST_MM / room)));
    double per_m = fmin(room * strips / length, LARGEST_MM / spacing);
    strip s = {.leak = leak, .in = in, .words = words, .sheet = out, .per_m = per_m, .width = width_mm};
    out->width = width_mm;
    out->height = STRIP_MM * strips + NOTE_MM;
    for (int k = 0; k < strips; k++) {
        s.from_m = low + length * k / strips;
        s.to_m = low + length * (k + 1) / strips;
        s.y = out->height - STRIP_MM * k - 10;
        draw_strip(&s, k + 1 == strips);
    }
    write_note(&s);
}
