/* order_draw.c - one strip in one state: boxes, hatch, numbers, pointer, tubes, chainage. */
#include "report/order_strip.h"

#include <math.h>

static const double TITLE_MM = 5.4, POINT_MM = 2.8, BOX_MM = 12, NUMBERS_MM = 5.2, TUBE_MM = 7.4, ENDS_MM = 5;
static const double TITLE_TYPE_MM = 4.2, ENDS_TYPE_MM = 3.4, TUBE_TYPE_MM = 3.6;
static const double HATCH_MM = 1.7;  /* between its lines, along the box */
static const double RADIUS_MM = 1.5; /* of a tube's sign */
static const double TOUCH_MM = 0.02; /* boxes nearer than this are neighbours */

typedef struct {
    const plane_view *v;
    const order_strip *strip;
    size_t closed;
    double foot; /* of the boxes */
} picture;

double order_strip_height(const order_strip *s) {
    return TITLE_MM + POINT_MM + BOX_MM + (s->row ? NUMBERS_MM : 0) + (s->tube ? TUBE_MM : 0) + ENDS_MM;
}

static bool is_closed(const picture *p, const order_box *box) {
    return box->step < p->closed;
}

static void draw_title(const picture *p, double y) {
    const plane_view *v = p->v;
    size_t panel = p->strip->lane.panel;
    const char *mark = plane_defect(v->plan, v->plane, panel)->mark;
    double x = p->strip->lane.x, wide = sheet_text_width(mark, TITLE_TYPE_MM, true) + 1;
    sheet_text(v->sheet, INK_TEXT, (sheet_place){{x, y}, TITLE_TYPE_MM, 0, 0, ALIGN_LEFT, true}, mark);
    sheet_place face = {{x + wide, y}, ENDS_TYPE_MM, v->sheet->width - x - wide, 0, ALIGN_LEFT, false};
    sheet_text(v->sheet, INK_TEXT_SOFT, face, plane_face(v->plan, v->plane, panel));
}

/* Lines x + y = k HATCH_MM cut to the box: they run on from one box to the next. */
static void hatch(sheet *s, double x0, double x1, double y0, double y1) {
    for (double k = ceil((x0 + y0) / HATCH_MM); k * HATCH_MM < x1 + y1; k++) {
        double sum = k * HATCH_MM, from = fmax(x0, sum - y1), to = fmin(x1, sum - y0);
        if (to > from) sheet_line(s, INK_HATCH, (sheet_point){from, sum - from}, (sheet_point){to, sum - to});
    }
}

/* Narrow boxes run together with the neighbours in the same state: the last of those that begin at `first`. */
static size_t run_end(const picture *p, size_t first) {
    const order_strip *s = p->strip;
    size_t last = first;
    while (last + 1 < s->n && !s->boxes[last].apart && !s->boxes[last + 1].apart &&
           is_closed(p, &s->boxes[last + 1]) == is_closed(p, &s->boxes[first]) &&
           s->boxes[last + 1].x - s->boxes[last].x - s->boxes[last].width < TOUCH_MM)
        last++;
    return last;
}

/* The boxes of one state. */
static void draw_boxes(const picture *p, bool closed, bool hatched) {
    const order_strip *s = p->strip;
    for (size_t first = 0, last; first < s->n; first = last + 1) {
        last = run_end(p, first);
        if (is_closed(p, &s->boxes[first]) != closed) continue;
        double x0 = s->boxes[first].x, x1 = s->boxes[last].x + s->boxes[last].width;
        if (hatched)
            hatch(p->v->sheet, x0, x1, p->foot, p->foot + BOX_MM);
        else
            sheet_rectangle(p->v->sheet, closed ? INK_PLUGGED : INK_ORDER_EARLY,
                            (sheet_box){x0, p->foot, x1 - x0, BOX_MM});
    }
}

/* Its number beside the pointer where it stands in no box. */
static void number_over(const picture *p, const order_box *b, double x, double y) {
    const char *number = say_print(p->v->words, "%zu", b->step + 1);
    double size = p->strip->under_mm, wide = sheet_text_width(number, size, true) + 2;
    bool right = x + wide <= p->v->sheet->width;
    sheet_place place = {{right ? x + 2 : x - 2, y}, size, 0, 0, right ? ALIGN_LEFT : ALIGN_RIGHT, true};
    sheet_text(p->v->sheet, INK_TEXT, place, number);
}

/* The one closed just now. */
static void draw_now(const picture *p) {
    for (size_t i = 0; i < p->strip->n; i++) {
        const order_box *b = &p->strip->boxes[i];
        if (b->step + 1 != p->closed) continue;
        double middle = b->x + b->width / 2, top = p->foot + BOX_MM + 0.7;
        sheet_rectangle(p->v->sheet, INK_NOW, (sheet_box){b->x, p->foot, b->width, BOX_MM});
        sheet_path(p->v->sheet, INK_SCALE_DARK,
                   (sheet_point[]){{middle, top}, {middle + 1.5, top + 2}, {middle - 1.5, top + 2}}, 3, true);
        if (!b->inside) number_over(p, b, middle, top);
    }
}

static void number_inside(const picture *p, const order_box *b) {
    say *w = p->v->words;
    bool closed = is_closed(p, b);
    const char *number = say_print(w, "%zu", b->step + 1);
    double size = closed ? p->strip->closed_mm : p->strip->open_mm, middle = b->x + b->width / 2,
           half = fmin(sheet_text_width(number, size, true) / 2 + 0.2, b->width / 2 - 0.15),
           y = p->foot + BOX_MM / 2 - 0.36 * size;
    if (closed)
        sheet_rectangle(p->v->sheet, INK_PATCH,
                        (sheet_box){middle - half, y - 0.2 * size, 2 * half, 1.12 * size});
    sheet_text(p->v->sheet, closed ? INK_TEXT : INK_TEXT_SOFT,
               (sheet_place){{middle, y}, size, 0, 0, ALIGN_MIDDLE, closed}, number);
}

/* The pipe of a tube comes down between the numbers. */
static bool at_tube(const picture *p, double x, double half) {
    const plugging_outcome *o = p->v->order;
    for (size_t r = 0; r < o->reliefs_n; r++) {
        const plane_spot *at = &o->reliefs[r].relief.at;
        if (at->panel == p->strip->lane.panel &&
            fabs(plane_lane_x(&p->strip->lane, at->chainage_m) - x) < half + 0.8)
            return true;
    }
    return false;
}

static void number_under(const picture *p, const order_box *b) {
    bool closed = is_closed(p, b);
    const char *number = say_print(p->v->words, "%zu", b->step + 1);
    double size = p->strip->under_mm, x = b->x + b->width / 2, y = p->foot - NUMBERS_MM + 1;
    if (at_tube(p, b->number_x, sheet_text_width(number, size, true) / 2)) return;
    sheet_line(p->v->sheet, INK_LEADER, (sheet_point){x, p->foot},
               (sheet_point){x, p->foot - NUMBERS_MM + 1.2 + 0.8 * size});
    sheet_text(p->v->sheet, closed ? INK_TEXT : INK_TEXT_SOFT,
               (sheet_place){{b->number_x, y}, size, 0, 0, ALIGN_MIDDLE, closed}, number);
}

static void draw_tube(const picture *p, const plugging_relief *relief) {
    const plane_view *v = p->v;
    const plugging_outcome *o = v->order;
    sheet *s = v->sheet;
    bool shut = p->closed > o->steps_n;
    double x = plane_lane_x(&p->strip->lane, relief->relief.at.chainage_m),
           y = p->foot - (p->strip->row ? NUMBERS_MM : 0) - 3, r = RADIUS_MM, in = 0.7 * RADIUS_MM;
    sheet_rectangle(s, INK_RELIEF, (sheet_box){x - 0.45, y, 0.9, p->foot - y + 1});
    sheet_circle(s, INK_RELIEF, (sheet_point){x, y}, r);
    if (shut) {
        sheet_line(s, INK_ARROW, (sheet_point){x - in, y - in}, (sheet_point){x + in, y + in});
        sheet_line(s, INK_ARROW, (sheet_point){x - in, y + in}, (sheet_point){x + in, y - in});
    } else {
        sheet_line(s, INK_ARROW, (sheet_point){x, y - r}, (sheet_point){x, y - 4});
        sheet_path(s, INK_ARROW, (sheet_point[]){{x - 0.9, y - 2.8}, {x, y - 4}, {x + 0.9, y - 2.8}}, 3,
                   false);
    }
    const char *words = shut ? "tube shut" : "tube drains";
    double wide = sheet_text_width(words, TUBE_TYPE_MM, true) + 2.6;
    bool right = x + wide <= s->width;
    sheet_place place = {{right ? x + 2.4 : x - 2.4, y - 0.36 * TUBE_TYPE_MM},
                         TUBE_TYPE_MM,
                         0,
                         0,
                         right ? ALIGN_LEFT : ALIGN_RIGHT,
                         true};
    plane_label(s, INK_TEXT, place, words); /* of tubes side by side one is named */
}

static void draw_ends(const picture *p, double y) {
    const plane_view *v = p->v;
    const plane_lane *lane = &p->strip->lane;
    const char *ends[2], *at[2];
    double wide = 3;
    for (int k = 0; k < 2; k++) {
        at[k] = say_length(v->words, k ? lane->to_m : lane->from_m);
        const char *name = plane_end(v->plan, v->plane, lane->panel, k);
        ends[k] = say_print(v->words, "%s %s", k ? name : at[k], k ? at[k] : name);
        wide += sheet_text_width(ends[k], ENDS_TYPE_MM, false);
    }
    const char **shown = wide <= lane->width ? ends : at;
    for (int k = 0; k < 2; k++) {
        sheet_place place = {{lane->x + (k ? lane->width : 0), y}, ENDS_TYPE_MM, 0, 0,
                             k ? ALIGN_RIGHT : ALIGN_LEFT,         false};
        sheet_text(v->sheet, INK_TEXT, place, shown[k]);
    }
}

void order_strip_draw(const plane_view *v, const order_strip *s, size_t closed, double top) {
    const picture p = {v, s, closed, top - TITLE_MM - POINT_MM - BOX_MM};
    const plane_lane *lane = &s->lane;
    double middle = p.foot + BOX_MM / 2;
    v->sheet->mark = plane_defect(v->plan, v->plane, lane->panel)->mark;
    draw_title(&p, top - 4);
    sheet_line(v->sheet, INK_CRACK, (sheet_point){lane->x, middle},
               (sheet_point){lane->x + lane->width, middle});
    draw_boxes(&p, false, false);
    draw_boxes(&p, true, false);
    draw_boxes(&p, true, true);
    draw_now(&p);
    for (size_t r = 0; r < v->order->reliefs_n; r++)
        if (v->order->reliefs[r].relief.at.panel == lane->panel) draw_tube(&p, &v->order->reliefs[r]);
    for (size_t i = 0; i < s->n; i++) {
        if (s->boxes[i].inside) number_inside(&p, &s->boxes[i]);
        if (s->boxes[i].under) number_under(&p, &s->boxes[i]);
    }
    draw_ends(&p, top - order_strip_height(s) + 1.2);
    v->sheet->mark = NULL;
}
