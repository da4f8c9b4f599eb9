/* movement_view.h - the figure of a gauge while it is drawn: scales, panels, sentences. Only for src/report.
 *
 * Everything is put down from 0 downwards; sheet_settle lifts it at the end. `type` is the height of type, the measure
 * of all distances.   Units  mm of paper; widths in m, days, degrees Celsius.   Threads  one view, one thread. */
#ifndef STANCH_REPORT_MOVEMENT_VIEW_H
#define STANCH_REPORT_MOVEMENT_VIEW_H

#include "core/date.h"
#include "report/movement_figure.h"

typedef struct {
    double least, most;
} movement_range;

/* Values from `range` along the paper from `start` over `length`. */
typedef struct {
    movement_range range;
    double start, length;
} movement_scale;

typedef struct {
    const diagnosis_gauge *gauge;
    say *words;
    sheet *sheet;
    double type, left, right; /* of the panels */
    double year_end_day;      /* of the drawing; the last reading where the coming year is not known */
    double mean_c;            /* of the wall, over the readings fitted */
    movement_range widths, wall_widths; /* shown in the upper panel; in the lower one */
    bool year_known, cut;               /* cut: something lies beyond the frame */
} movement_view;

/* ---- scales and axes (movement_axis.c) ---- */

double movement_on(const movement_scale *scale, double value);
/* The same, kept inside the range. */
double movement_inside(const movement_scale *scale, double value);
/* Wider by `part` of itself at both ends. */
movement_range movement_padded(movement_range r, double part);
/* A straight line from (x0, y0) to (x1, y1) as far as it lies in the panel. */
void movement_line(sheet *s, sheet_ink ink, const movement_scale *across, const movement_scale *up,
                   const double from[2], const double to[2]);
/* Frame, level lines and their figures at the left, upright ones under the frame. */
void movement_width_axis(movement_view *v, const movement_scale *up);
void movement_temperature_axis(movement_view *v, const movement_scale *across, const movement_scale *up);
/* Days, months or years as dates; returns the height used. */
double movement_date_axis(movement_view *v, const movement_scale *across, const movement_scale *up);
/* Room that the figures of the width axis take. */
double movement_axis_room(const movement_view *v, movement_range widths);

/* ---- marks ---- */

void movement_dot(movement_view *v, double x, double y);
void movement_cross(movement_view *v, double x, double y);

/* ---- parts; from `top` downwards, each returns the height used ---- */

/* Ranges, margins, what is cut: before anything is drawn. False without memory. */
bool movement_prepare(movement_view *v);
void movement_prepare_wall(movement_view *v);
double movement_draw_time(movement_view *v, double top);
double movement_draw_legend(movement_view *v, double top);
double movement_draw_wall(movement_view *v, double top);

/* ---- words (movement_words.c) ---- */

const char *movement_verdict_said(const movement_view *v); /* with its number, for a heading */
const char *movement_said(const movement_view *v);         /* all else, sentence after sentence */
const char *movement_width_said(say *w, double width_m);   /* "0.71 mm", "0.028 in" */
const char *movement_drift_said(const movement_view *v);   /* "+0.110 ± 0.009 mm a year" */
calendar_day movement_date(const movement_view *v, double day);
extern const char *const movement_months[12]; /* Jan to Dec */
bool movement_kept(const diagnosis_gauge *g, size_t reading);

#endif
