/* order_figure.h - the slot of a crack plane while it is plugged: one picture for each count of steps done,
 * looked through with a slider on the page.
 *
 * Shows only: order and figures come from plugging.h through the plan. One strip a panel, chainage to the
 * right at one scale (short panels larger), each segment a box. Closed: hatched, its number bold. Closed just
 * now: outlined heavily, a pointer over it. Open: white, its number small. Boxes too narrow for their numbers
 * have every n-th under them, the one just closed over it; those too narrow for lines of their own run
 * together with their neighbours in the same state. A tube is a pipe from its segment: an arrow while it drains, a cross when shut. All pictures
 * of one order have the same size and the same places. Type is large: it is read at 360 pixels across.
 * States  0 to n steps closed, each tube draining; where there are tubes one more, with them shut.
 * Units  mm of paper.   Threads  no shared state. */
#ifndef STANCH_REPORT_ORDER_FIGURE_H
#define STANCH_REPORT_ORDER_FIGURE_H

#include "report/say.h"
#include "report/sheet.h"

#define ORDER_FIGURE_MM 110.0

/* The last state, counted from 0. */
size_t order_figure_last(const plugging_outcome *order);

/* The picture after `closed` steps, at most order_figure_last. The plane has no plane_figure_problem. *out
 * has its memory and is else empty. False without memory. */
bool order_figure_draw(const plan *p, const plan_plane *plane, size_t closed, say *words, sheet *out);

/* What stands over it: a heading and two lines, "" where there is no more to say. */
enum { ORDER_CAPTION_LINES = 3 };
void order_figure_caption(const plan *p, const plan_plane *plane, size_t closed, say *words,
                          const char *out[ORDER_CAPTION_LINES]);

#endif
