/* order_strip.c - the scale of the strips and the room of their numbers. */
#include "report/order_strip.h"

#include <math.h>
#include <stdlib.h>

static const double LEAST_MM = 34;   /* a strip: two chainages stand side by side under it */
static const double APART_MM = 0.9;  /* narrower boxes have no outline of their own */
static const double SIDE_MM = 0.5;   /* of paper beside a number */
static const double BESIDE_MM = 1.8; /* a number may stand so far beyond the end of its strip */
static const double CLOSED_MM = 3.8, OPEN_MM = 3.2, UNDER_MM = 3, SMALLEST_MM = 2.5; /* type */
enum { MOST_PARTS = 4 }; /* numbers go in the boxes when all but one in so many fit */
static const size_t ROUND[] = {1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 400};

static int by_x(const void *a, const void *b) {
    const order_box *p = a, *q = b;
    return (p->x > q->x) - (p->x < q->x);
}

static double length_of(const plane_panel *p) {
    return p->stations[p->stations_n - 1].chainage_m - p->stations[0].chainage_m;
}

static bool gather(order_strip *s, const plugging_outcome *o, arena *memory) {
    s->boxes = arena_get(memory, o->steps_n, sizeof *s->boxes);
    if (!s->boxes) return false;
    for (size_t i = 0; i < o->steps_n; i++) {
        const plane_interval *on = &o->steps[i].on;
        if (on->panel != s->lane.panel) continue;
        double x = plane_lane_x(&s->lane, on->from_m);
        s->boxes[s->n++] = (order_box){.step = i, .x = x, .width = plane_lane_x(&s->lane, on->to_m) - x};
    }
    if (s->n > 1) qsort(s->boxes, s->n, sizeof *s->boxes, by_x);
    for (size_t r = 0; r < o->reliefs_n; r++)
        s->tube = s->tube || o->reliefs[r].relief.at.panel == s->lane.panel;
    return true;
}

static double number_width(size_t step, double size, say *words) {
    return sheet_text_width(say_print(words, "%zu", step + 1), size, true);
}

static double largest_within(const order_box *b, say *words) {
    return (b->width - SIDE_MM) / number_width(b->step, 1, words);
}

/* Numbers in boxes, where nearly all fit: the largest type in which every one does that fits at all. */
static void place_inside(order_strip *s, say *words) {
    size_t fit = 0;
    s->closed_mm = CLOSED_MM;
    for (size_t i = 0; i < s->n; i++) fit += largest_within(&s->boxes[i], words) >= SMALLEST_MM;
    for (size_t i = 0; i < s->n && MOST_PARTS * fit >= (MOST_PARTS - 1) * s->n; i++) {
        double size = largest_within(&s->boxes[i], words);
        s->boxes[i].inside = size >= SMALLEST_MM;
        if (s->boxes[i].inside) s->closed_mm = fmin(s->closed_mm, size);
    }
    s->open_mm = fmin(OPEN_MM, s->closed_mm);
}

/* In the middle under their boxes, but on the paper. */
static void aim_under(order_strip *s, say *words) {
    for (size_t i = 0; i < s->n; i++) {
        order_box *b = &s->boxes[i];
        double half = number_width(b->step, UNDER_MM, words) / 2, right = s->lane.x + s->lane.width;
        b->number_x = fmin(fmax(b->x + b->width / 2, s->lane.x - BESIDE_MM + half), right + BESIDE_MM - half);
        s->row = s->row || !b->inside;
    }
}

/* A number under every so many of the boxes that have none inside. False when two meet. */
static bool place_under(order_strip *s, size_t every, say *words) {
    double taken = -HUGE_VAL;
    size_t seen = 0;
    for (size_t i = 0; i < s->n; i++) {
        order_box *b = &s->boxes[i];
        b->under = !b->inside && seen++ % every == 0;
        if (!b->under) continue;
        double half = number_width(b->step, UNDER_MM, words) / 2;
        if (!(b->number_x - half >= taken + SIDE_MM)) return false;
        taken = b->number_x + half;
    }
    return true;
}

static void place_numbers(order_strip *s, say *words) {
    s->under_mm = UNDER_MM;
    for (size_t i = 0; i < s->n; i++) s->boxes[i].apart = s->boxes[i].width >= APART_MM;
    place_inside(s, words);
    aim_under(s, words);
    for (size_t k = 0; k < sizeof ROUND / sizeof *ROUND; k++)
        if (place_under(s, ROUND[k], words)) return;
}

order_strip *order_strips(const plan_plane *plane, double left_mm, double width_mm, say *words, size_t *n) {
    const plane_input *in = &plane->group->input;
    const plugging_outcome *o = &plane->run.orders[plane->run.drawn];
    order_strip *all = arena_get(words->memory, in->panels_n, sizeof *all);
    double longest = 0;
    *n = 0;
    for (size_t i = 0; i < in->panels_n; i++) longest = fmax(longest, length_of(&in->panels[i]));
    for (size_t i = 0; all && i < in->panels_n; i++) {
        const plane_panel *p = &in->panels[i];
        order_strip s = {.lane = {.panel = i,
                                  .from_m = p->stations[0].chainage_m,
                                  .to_m = p->stations[p->stations_n - 1].chainage_m,
                                  .x = left_mm,
                                  .width = fmax(LEAST_MM, width_mm * length_of(p) / longest)}};
        if (!gather(&s, o, words->memory)) return NULL;
        if (s.n == 0 && !s.tube) continue;
        place_numbers(&s, words);
        all[(*n)++] = s;
    }
    return all;
}
