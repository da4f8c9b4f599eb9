/* section_inject.c - the wall cut across the crack where a packer stands: the hole meets the crack at half the thickness. */
#include "report/section_parts.h"

#include <math.h>

static const double CRACK_X = 17, BAR_X = 12.5;             /* of paper, from the left edge */
static const double MOST_DEEP_MM = 44, MOST_ACROSS_MM = 25; /* the wall; the offset of the hole */
static const double PACKER_M = 0.070, ABOVE_MM = 13; /* our default: what a packer is drawn in the hole */
static const double DEGREE = 3.14159265358979323846 / 180;

/* A strip `wide` across between two points, as a closed figure. */
static void strip(cut *c, sheet_ink ink, sheet_point from, sheet_point to, double wide) {
    double x = to.x - from.x, y = to.y - from.y, length = hypot(x, y);
    if (!(length > 0)) return;
    double u = -y / length * wide / 2, v = x / length * wide / 2;
    sheet_point at[] = {
        {from.x + u, from.y + v}, {to.x + u, to.y + v}, {to.x - u, to.y - v}, {from.x - u, from.y - v}};
    sheet_path(c->sheet, ink, at, 4, true);
}

/* The bar with least cover of those seen, of one kind. */
static const survey_station *bar_of(const survey_defect *d, survey_bar kind) {
    const survey_station *least = NULL;
    for (size_t i = 0; i < d->n_stations; i++) {
        const survey_station *s = &d->stations[i];
        if (s->bar == kind && s->cover_m.known && (!least || s->cover_m.v < least->cover_m.v)) least = s;
    }
    return least;
}

/* A bar that crosses the crack lies in the cut; one along the crack is met end on. */
static void draw_bars(cut *c) {
    const survey_station *across = bar_of(c->leak->defect, BAR_CROSSING),
                         *along = bar_of(c->leak->defect, BAR_ALONG);
    if (across) {
        double thick =
            fmax((across->bar_diameter_m.known ? across->bar_diameter_m.v : STEEL_BAR_M) * c->mm, 0.4);
        double top = c->surface - across->cover_m.v * c->mm;
        sheet_rectangle(c->sheet, INK_SCALE_DARK, (sheet_box){BAR_X, top - thick, CUT_RIGHT - BAR_X, thick});
    }
    if (along) {
        double radius =
            fmax((along->bar_diameter_m.known ? along->bar_diameter_m.v : STEEL_BAR_M) * c->mm / 2, 0.4);
        sheet_circle(c->sheet, INK_SCALE_DARK,
                     (sheet_point){c->middle - radius - 0.8, c->surface - along->cover_m.v * c->mm - radius},
                     radius);
    }
}

static void name_bars(cut *c) {
    const survey_station *across = bar_of(c->leak->defect, BAR_CROSSING),
                         *along = bar_of(c->leak->defect, BAR_ALONG);
    if (across)
        cut_name(c, (sheet_point){CUT_RIGHT - 1, c->surface - across->cover_m.v * c->mm - 0.2},
                 say_print(c->words, "bar across, cover %s", cut_size(c, across->cover_m.v)));
    if (along)
        cut_name(c, (sheet_point){c->middle - 1, c->surface - along->cover_m.v * c->mm - 0.5},
                 say_print(c->words, "bar along, cover %s", cut_size(c, along->cover_m.v)));
}

/* Past the mouth the packer stands out of the wall. */
static sheet_point draw_packer(cut *c, sheet_point mouth, sheet_point end, double wide) {
    double length = hypot(end.x - mouth.x, end.y - mouth.y), in = fmin(PACKER_M * c->mm, length * 0.5);
    double x = (end.x - mouth.x) / length, y = (end.y - mouth.y) / length;
    sheet_point inner = {mouth.x + x * in, mouth.y + y * in}, outer = {mouth.x - x * 4, mouth.y - y * 4};
    strip(c, INK_PLUG, inner, mouth, wide);
    strip(c, INK_PLUG, mouth, outer, fmax(wide * 0.5, 0.6));
    return outer;
}

static void draw_seal(cut *c) {
    sheet_rectangle(c->sheet, INK_PACK, (sheet_box){c->middle - 2.5, c->surface, 5, 0.9});
    sheet_place place = {{c->middle - 5, c->surface + 2.6}, CUT_TEXT, c->middle - 5, 0, ALIGN_RIGHT, false};
    sheet_text(c->sheet, INK_TEXT, place, "face seal");
    sheet_line(c->sheet, INK_LEADER, (sheet_point){c->middle - 4.6, c->surface + 2.8},
               (sheet_point){c->middle - 1.5, c->surface + 0.6});
}

static void draw_names(cut *c, sheet_point mouth, sheet_point end, sheet_point packer) {
    const design_injection *j = &c->design->injection;
    say *w = c->words;
    c->next_name = c->surface + 7;
    cut_name(c, packer, "packer");
    double bar = HUGE_VAL;
    const survey_station *across = bar_of(c->leak->defect, BAR_CROSSING);
    if (across) bar = across->cover_m.v;
    const char *hole = say_print(w, "hole %s × %s at %s°", say_number(w, UNITS_SIZE, j->hole_m),
                                 cut_size(c, j->hole_length_m), say_plain(w, j->angle_deg, 0));
    double at = 0.62; /* of the hole: past its packer */
    sheet_point on = {mouth.x + (end.x - mouth.x) * at, mouth.y + (end.y - mouth.y) * at};
    bool bars_first = bar * c->mm < c->surface - on.y;
    if (bars_first) {
        name_bars(c);
        c->next_name = fmin(c->next_name, c->surface - bar * c->mm - 3.5);
    }
    cut_name(c, on, hole);
    if (!bars_first) name_bars(c);
    c->next_name = fmin(c->next_name, c->foot + (end.y - c->foot) * 0.7);
    static const char *const words[KIND_COUNT] = {[KIND_CRACK] = "crack",
                                                  [KIND_JOINT] = "joint",
                                                  [KIND_TIE_HOLE] = "gap at the tie",
                                                  [KIND_PENETRATION] = "gap at the pipe",
                                                  [KIND_HONEYCOMB] = "honeycomb"};
    const char *what = words[c->leak->defect->kind];
    cut_name(c, (sheet_point){c->middle + 0.3, c->foot + (end.y - c->foot) * 0.5},
             j->width_m > 0 ? say_print(w, "%s %s", what, cut_size(c, j->width_m)) : what);
    cut_name(c, (sheet_point){CUT_RIGHT - 6, c->foot}, "wet side");
}

void section_of_injection(cut *c) {
    const design_injection *j = &c->design->injection;
    double thick_m = c->leak->thickness_m, half_m = j->hole_length_m * sin(j->angle_deg * DEGREE);
    double scale = cut_scale(j->offset_m, MOST_ACROSS_MM, fmax(thick_m, half_m), MOST_DEEP_MM);
    cut_begin(c, scale, fmax(thick_m, half_m) * 1000 / scale, ABOVE_MM);
    c->middle = CRACK_X;
    sheet_point mouth = {c->middle + j->offset_m * c->mm, c->surface},
                end = {c->middle, c->surface - half_m * c->mm};
    double wide = fmax(j->hole_m * c->mm, 0.8);
    sheet_line(c->sheet, INK_WATER_FACE, (sheet_point){CUT_SIDE, c->foot}, (sheet_point){CUT_RIGHT, c->foot});
    sheet_point line[] = {{c->middle, c->surface},
                          {c->middle + 0.4, end.y + 2},
                          {c->middle, end.y},
                          {c->middle - 0.4, end.y - 3},
                          {c->middle, c->foot}};
    draw_bars(c);
    strip(c, INK_RELIEF, mouth, end, wide);
    sheet_path(c->sheet, INK_CRACK, line, 5, false);
    sheet_point packer = draw_packer(c, mouth, end, wide);
    draw_seal(c);
    if (j->offset_m > 0) cut_across(c, c->middle, mouth.x, c->surface + 8, cut_size(c, j->offset_m));
    cut_down(c, CUT_SIDE + 3, c->surface, c->foot, cut_size(c, thick_m));
    cut_down(c, CUT_SIDE + 8, c->surface, end.y, cut_size(c, half_m));
    draw_names(c, mouth, end, packer);
    const char *meets = c->leak->defect->kind == KIND_HONEYCOMB
                            ? ": the hole goes half-way into the honeycomb"
                            : ": the hole meets the crack at half the thickness";
    cut_note(c, say_print(c->words, "%s.%s", meets, c->design->scan_first ? " Bars: not scanned yet." : ""));
}
