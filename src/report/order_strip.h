/* order_strip.h - one panel's slot on paper: where its boxes stand and where their numbers go; only for the
 * picture of one step (order_figure.h).   Units  mm of paper, y up.   Threads  one strip, one thread. */
#ifndef STANCH_REPORT_ORDER_STRIP_H
#define STANCH_REPORT_ORDER_STRIP_H

#include "report/plane_view.h"

/* One segment on paper. */
typedef struct {
    size_t step;
    double x, width;
    double number_x; /* the middle of a number under it */
    bool inside;     /* its number stands in the box */
    bool under;      /* or under it; else none is written */
    bool apart;      /* it has its own outline, else it runs together with narrow neighbours */
} order_box;

typedef struct {
    plane_lane lane;
    order_box *boxes; /* left to right; none in a panel without slot */
    size_t n;
    bool row;                            /* of numbers under the boxes */
    bool tube;                           /* at least one relief is here */
    double open_mm, closed_mm, under_mm; /* type of the numbers: in the boxes of either state, under them */
} order_strip;

/* Strips of all panels that have slot or tube, in `width_mm` from x = `left_mm`. NULL without memory. */
order_strip *order_strips(const plan_plane *plane, double left_mm, double width_mm, say *words, size_t *n);

double order_strip_height(const order_strip *strip);

/* Downwards from `top`, with `closed` steps done. */
void order_strip_draw(const plane_view *v, const order_strip *strip, size_t closed, double top);

#endif
