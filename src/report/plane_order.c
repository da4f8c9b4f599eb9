/* plane_order.c - the numbered order under the plane: a box over each segment, its number in it or under it. */
#include "report/plane_view.h"

#include <math.h>
#include <stdlib.h>

static const double BOX_MM = 6, ROW_MM = 3.2, LAST_MM = 3.2;
static const double SIZES[] = {2.8, 2.4, 2.1, 1.9}; /* of numbers in their boxes */
enum { ROWS = 3 };

/* One segment on paper. */
typedef struct {
    size_t step;
    double x, width;
    bool inside; /* its number fits its box */
    int row;     /* else: below */
} order_box;

typedef struct {
    plane_view *v;
    order_box *boxes; /* of one lane, left to right */
    size_t n;
    double size; /* of the type */
} order_row;

static int by_x(const void *a, const void *b) {
    const order_box *p = a, *q = b;
    return (p->x > q->x) - (p->x < q->x);
}

static double number_width(const order_row *r, const order_box *b, double size) {
    return sheet_text_width(say_print(r->v->words, "%zu", b->step + 1), size, true);
}

/* The largest type in which every number fits its box that fits it in the smallest. */
static double choose_size(const order_row *r) {
    size_t last = sizeof SIZES / sizeof *SIZES - 1;
    for (size_t k = 0; k < last; k++) {
        bool all = true;
        for (size_t i = 0; i < r->n && all; i++) {
            const order_box *b = &r->boxes[i];
            bool ever = number_width(r, b, SIZES[last]) + 0.5 <= b->width;
            all = !ever || number_width(r, b, SIZES[k]) + 0.5 <= b->width;
        }
        if (all) return SIZES[k];
    }
    return SIZES[last];
}

/* The first row under the box where neither a number nor the line up from it meets another. */
static int row_for(const double taken[ROWS], double middle, double width) {
    for (int row = 0; row < ROWS; row++) {
        if (middle - width / 2 - 0.2 >= taken[row]) return row;
        if (!(middle - 0.15 >= taken[row])) return ROWS;
    }
    return ROWS;
}

/* Numbers that do not fit their boxes go below. False when one finds no place. */
static bool place_numbers(order_row *r) {
    double taken[ROWS] = {-HUGE_VAL, -HUGE_VAL, -HUGE_VAL};
    for (size_t i = 0; i < r->n; i++) {
        order_box *b = &r->boxes[i];
        double width = number_width(r, b, r->size), middle = b->x + b->width / 2;
        b->inside = width + 0.5 <= b->width;
        if (b->inside) continue;
        b->row = row_for(taken, middle, width);
        if (b->row == ROWS) return false;
        taken[b->row] = middle + width / 2;
        for (int above = 0; above < b->row; above++) taken[above] = fmax(taken[above], middle + 0.15);
    }
    return true;
}

static sheet_ink ink_of(const plane_view *v, size_t step) {
    static const sheet_ink thirds[] = {INK_ORDER_EARLY, INK_ORDER_MIDDLE, INK_ORDER_LATE};
    const plugging_outcome *o = v->order;
    if (step + 1 == o->steps_n || o->steps[step].relief >= 0) return INK_ORDER_LAST;
    return thirds[3 * step / o->steps_n];
}

static void write_number(const order_row *r, sheet_point at, size_t step) {
    sheet_place place = {at, r->size, 0, 0, ALIGN_MIDDLE, true};
    sheet_text(r->v->sheet, INK_TEXT, place, say_print(r->v->words, "%zu", step + 1));
}

static void draw_numbers(const order_row *r, double foot) {
    for (size_t i = 0; i < r->n; i++) {
        const order_box *b = &r->boxes[i];
        double middle = b->x + b->width / 2, y = foot - ROW_MM * (b->row + 1) + 0.8;
        if (b->inside) {
            write_number(r, (sheet_point){middle, foot + BOX_MM / 2 - 0.36 * r->size}, b->step);
            continue;
        }
        sheet_line(r->v->sheet, INK_LEADER, (sheet_point){middle, foot},
                   (sheet_point){middle, y + 0.8 * r->size});
        write_number(r, (sheet_point){middle, y}, b->step);
    }
}

/* Where single numbers find no room: arrows over runs of neighbours that are closed in one direction, with
 * the first and the last number. */
static size_t run_from(const order_row *r, size_t first) {
    size_t last = first;
    if (first + 1 >= r->n) return first;
    bool up = r->boxes[first + 1].step > r->boxes[first].step;
    while (last + 1 < r->n && (r->boxes[last + 1].step > r->boxes[last].step) == up) last++;
    return last;
}

/* The number at one end of a run; at its beginning the next one too: "1, 3 ..." shows that others come between. */
static const char *run_label(const order_row *r, size_t at, size_t other, bool right) {
    say *w = r->v->words;
    size_t here = r->boxes[at].step + 1;
    size_t apart = at > other ? at - other : other - at;
    if (apart < 2 || r->boxes[other].step + 1 < here) return say_print(w, "%zu", here);
    size_t next = r->boxes[at < other ? at + 1 : at - 1].step + 1;
    return right ? say_print(w, "... %zu, %zu", next, here) : say_print(w, "%zu, %zu ...", here, next);
}

static void draw_run(const order_row *r, size_t first, size_t last, double foot) {
    const order_box *a = &r->boxes[first], *b = &r->boxes[last];
    double from = a->x + 0.4, to = b->x + b->width - 0.4, y = foot - 1.6;
    bool up = b->step > a->step;
    double tip = up ? to : from, back = up ? to - 1.6 : from + 1.6;
    if (last > first) {
        sheet_line(r->v->sheet, INK_ARROW, (sheet_point){from, y}, (sheet_point){to, y});
        sheet_path(r->v->sheet, INK_ARROW, (sheet_point[]){{back, y + 0.8}, {tip, y}, {back, y - 0.8}}, 3,
                   false);
    }
    const char *left = run_label(r, first, last, false), *right = run_label(r, last, first, true);
    double widths = sheet_text_width(left, r->size, true) + sheet_text_width(right, r->size, true) + 1.5;
    if (last > first && widths <= to - from) {
        sheet_text(r->v->sheet, INK_TEXT, (sheet_place){{from, y - 3.2}, r->size, 0, 0, ALIGN_LEFT, true},
                   left);
        sheet_text(r->v->sheet, INK_TEXT, (sheet_place){{to, y - 3.2}, r->size, 0, 0, ALIGN_RIGHT, true},
                   right);
        return;
    }
    const char *both = last > first ? say_print(r->v->words, "%s-%s", left, right) : left;
    sheet_place place = {{(from + to) / 2, y - 3.2}, r->size, 0, 0, ALIGN_MIDDLE, true};
    plane_label(r->v->sheet, INK_TEXT, place, both);
}

static bool gather(order_row *r, const plane_lane *lane) {
    const plugging_outcome *o = r->v->order;
    r->boxes = arena_get(r->v->sheet->memory, o->steps_n, sizeof *r->boxes);
    r->n = 0;
    for (size_t i = 0; r->boxes && i < o->steps_n; i++) {
        const plane_interval *on = &o->steps[i].on;
        if (on->panel != lane->panel) continue;
        double x = plane_lane_x(lane, on->from_m);
        r->boxes[r->n++] = (order_box){.step = i, .x = x, .width = plane_lane_x(lane, on->to_m) - x};
    }
    if (r->boxes && r->n > 1) qsort(r->boxes, r->n, sizeof *r->boxes, by_x);
    if (!r->boxes) r->v->sheet->failed = true;
    return r->boxes && r->n > 0;
}

/* Rows of numbers under the boxes that a lane needs. */
static int rows_of(const order_row *r) {
    int rows = 0;
    for (size_t i = 0; i < r->n; i++)
        if (!r->boxes[i].inside) rows = r->boxes[i].row + 1 > rows ? r->boxes[i].row + 1 : rows;
    return rows;
}

static void name_last(const order_row *r, double y) {
    for (size_t i = 0; i < r->n; i++) {
        const order_box *b = &r->boxes[i];
        if (b->step + 1 != r->v->order->steps_n) continue;
        const char *words = r->v->order->reliefs_n ? "LAST, then the tube" : "LAST";
        double half = sheet_text_width(words, PLANE_TEXT_MM, true) / 2;
        double x = fmin(fmax(b->x + b->width / 2, half), r->v->sheet->width - half);
        sheet_text(r->v->sheet, INK_TEXT, (sheet_place){{x, y}, PLANE_TEXT_MM, 0, 0, ALIGN_MIDDLE, true},
                   words);
    }
}

double plane_draw_order(plane_view *v, double top) {
    order_row *rows = arena_get(v->sheet->memory, v->n_lanes, sizeof *rows);
    double foot = top - BOX_MM;
    int most = 0;
    if (!rows) v->sheet->failed = true;
    for (size_t k = 0; rows && k < v->n_lanes; k++) {
        order_row *r = &rows[k];
        r->v = v;
        if (!gather(r, &v->lanes[k])) continue;
        r->size = choose_size(r);
        bool placed = place_numbers(r);
        int need = placed ? rows_of(r) : 2;
        most = need > most ? need : most;
        for (size_t i = 0; i < r->n; i++)
            sheet_rectangle(v->sheet, ink_of(v, r->boxes[i].step),
                            (sheet_box){r->boxes[i].x, foot, r->boxes[i].width, BOX_MM});
        if (placed) draw_numbers(r, foot);
        for (size_t first = 0, last; !placed && first < r->n; first = last + 1) {
            last = run_from(r, first);
            draw_run(r, first, last, foot);
        }
    }
    double used = BOX_MM + ROW_MM * most + LAST_MM;
    for (size_t k = 0; rows && k < v->n_lanes; k++) name_last(&rows[k], top - used + 0.6);
    sheet_place side = {{PLANE_MARGIN_MM - 1.5, foot + BOX_MM / 2 - 0.8},
                        PLANE_TEXT_MM,
                        PLANE_MARGIN_MM - 2,
                        0,
                        ALIGN_RIGHT,
                        true};
    sheet_text(v->sheet, INK_TEXT, side, "ORDER");
    return used;
}
