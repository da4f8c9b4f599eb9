/* plane_heads.h - the heads of one panel as lines on paper. Only for src/report.   Units  mm of paper.
 * Threads  one view, one thread. */
#ifndef STANCH_REPORT_PLANE_HEADS_H
#define STANCH_REPORT_PLANE_HEADS_H

#include "report/contour.h"
#include "report/plane_view.h"

enum { PLANE_HEAD_LINES = 7 };

/* One panel where it is drawn. */
typedef struct {
    plane_view *v;
    const plane_lane *lane;
    const plane_panel *panel;
    double base; /* y of the dry face */
} plane_patch;

double plane_slot_depth_m(const plane_panel *p, double chainage_m); /* 0: no slot there */

/* Draw the lines; keep them in `sets` for their values, written when all else is drawn. */
void plane_trace_heads(const plane_patch *p, contour_set sets[PLANE_HEAD_LINES]);
void plane_name_heads(const plane_patch *p, const contour_set sets[PLANE_HEAD_LINES]);

#endif
