/* plane_view.h - a crack plane laid on paper, shared by the files that draw parts of its figure.
 *
 * A strip holds a few panels side by side, each in a lane; plane, order and flow stand under one another on
 * the same chainage. Only for src/report.   Units  mm of paper, y up.   Threads  one view, one thread. */
#ifndef STANCH_REPORT_PLANE_VIEW_H
#define STANCH_REPORT_PLANE_VIEW_H

#include "report/plane_figure.h"

#define PLANE_TEXT_MM 2.2
#define PLANE_TITLE_MM 2.8
#define PLANE_MARGIN_MM 13.0 /* left of the lanes: scales and what they measure */

typedef struct {
    size_t panel;
    double from_m, to_m;
    double x, width; /* on paper */
    double scale;    /* 30 means 1:30 along */
} plane_lane;

typedef struct {
    const plan *plan;
    const plan_plane *plane;
    const plugging_outcome *order; /* the one drawn */
    say *words;
    sheet *sheet;
    const plane_lane *lanes;
    size_t n_lanes;
    double scale, depth_scale; /* along, but for lanes of their own scale; through */
    double head_step_m;        /* between the lines of head */
    double flow_top_m2_s;      /* of the flow axis, the same in all strips */
} plane_view;

/* Lanes of one strip for panels from *next on; *next moves past them. NULL without memory. */
plane_lane *plane_lanes(const plane_input *in, double scale, size_t *next, size_t *n, arena *memory);
/* The round scale at which the fullest strip fits the width. */
double plane_scale_along(const plane_input *in, double width);
double plane_scale_through(const plane_input *in);
double plane_lane_x(const plane_lane *lane, double chainage_m);
double plane_mm_through(const plane_view *v, double depth_m);

/* Each draws downwards from `top` and returns the height it took. */
double plane_draw_titles(plane_view *v, double top);
double plane_draw_plane(plane_view *v, double top);
double plane_draw_order(plane_view *v, double top);
double plane_draw_chainage(plane_view *v, double top);
double plane_draw_flow(plane_view *v, double top);

/* Largest head above the dry face in the state drawn, and largest flow along the face in any of the three
 * (false without memory). */
double plane_most_head_m(const plan_plane *p);
bool plane_most_flow(const plan_plane *p, arena *memory, double *most_m2_s);

/* Flow along a lane in one state, averaged over each segment and over as long pieces beside the slot. */
typedef struct {
    double from_m, to_m, flow_m2_s;
} plane_bin;
plane_bin *plane_bins(const plan_plane *p, size_t panel, size_t picture, size_t *n, arena *memory);

/* Mark and place of a panel; what its ends are called on the wall ("lower end"). */
const survey_defect *plane_defect(const plan *p, const plan_plane *of, size_t panel);
const char *plane_face(const plan *p, const plan_plane *of, size_t panel);
const char *plane_end(const plan *p, const plan_plane *of, size_t panel, bool last);

/* Texts on white, registered in the sheet's labels; false and nothing drawn where one stands already. */
bool plane_label(sheet *s, sheet_ink ink, sheet_place place, const char *words);

/* "12.3 l/min per m". */
const char *plane_say_flow(say *w, double flow_m2_s);
double plane_flow_shown(const say *w, double flow_m2_s);
const char *plane_flow_unit(const say *w);

#endif
