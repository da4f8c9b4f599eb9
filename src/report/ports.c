#include "report/ports.h"

#include "report/contour.h"

#include <math.h>

static const double SIDE_MM = 15, SIDES_MM = 6, TEXT_MM = 2.2; /* margins; of the mouths from the crack */
static const double STRIP_MM = 26, NOTE_MM = 8.5, NUMBER_MM = 2.4;
static const double LEAST_MM = 3.3;  /* between two ports on paper, where there is room for strips */
static const double LARGEST_MM = 25; /* more between two ports only spreads them */
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

void ports_draw(const leak_water *leak, const repair_design *design, double width_mm, say *words,
                sheet *out) {
    const design_injection *in = &design->injection;
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
