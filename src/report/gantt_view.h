/* gantt_view.h - the works while they are laid out and drawn. Only for src/report/gantt*.
 *
 * x of a strip from the left edge of the sheet; y from 0 downwards, sheet_settle lifts it at the end. `type` is the height of
 * type, the measure of all distances.   Units  mm of paper; minutes on the clock of works.h.   Threads  as gantt.h. */
#ifndef STANCH_REPORT_GANTT_VIEW_H
#define STANCH_REPORT_GANTT_VIEW_H

#include "report/gantt.h"

/* One stretch of work, shifts and what was recorded outside of them. */
typedef struct {
    int from, to, day;
    double x, width; /* in its strip */
} gantt_stretch;

typedef struct {
    int day;
    size_t first, n; /* of the stretches */
    double x, width;
} gantt_day;

typedef enum { ROW_FACE, ROW_LEAK, ROW_PERSON } gantt_row_kind;
typedef struct {
    gantt_row_kind kind;
    size_t index;   /* face, leak, person */
    size_t face;    /* of a leak: where most of its tasks are */
    int from, to;   /* all that it has */
    int cure, open; /* of a leak: the cure; open < cure: none */
    size_t *tasks;  /* by start */
    size_t n_tasks;
} gantt_row;

typedef struct {
    size_t first_day, n_days;
    int from, to; /* minutes that it covers */
    size_t *rows;
    size_t n_rows;
} gantt_strip;

typedef enum {
    BAR_PREPARE,
    BAR_CUT,
    BAR_PLUG,
    BAR_COAT,
    BAR_PACK,
    BAR_FILL,
    BAR_PROVE,
    BAR_VISIT,
    BAR_OPEN,
    BAR_KINDS
} gantt_bar;

struct gantt {
    const survey *survey;
    const works_plan *works;
    say *words;
    gantt_form form;
    gantt_room room;
    double type, left, pitch; /* where the days begin; from row to row */
    double minute_mm;         /* width of a minute */
    works_day_form days_said;
    bool months_said; /* in a line of their own */
    gantt_stretch *stretches;
    size_t n_stretches;
    gantt_day *days;
    size_t n_days;
    gantt_row *rows; /* faces followed by their leaks; or people */
    size_t n_rows;
    gantt_strip *strips;
    size_t n_strips;
    bool drawn[BAR_KINDS]; /* kinds that the plan has */
    bool bonds, done, cures;
};

/* ---- laying out; false without memory ---- */

bool gantt_find_days(gantt *g); /* gantt_time.c */
bool gantt_find_rows(gantt *g); /* gantt_rows.c */
bool gantt_find_strips(gantt *g);
gantt_bar gantt_kind(const char *step);
/* Must the task follow that one at once: a pack its coat, or what has no more time than a coat stays tacky? Longer lags tie no
 * work together. */
bool gantt_at_once(const works_plan *works, const works_task *task, const schedule_after *after);

/* ---- time on paper (gantt_time.c) ---- */

/* Where a stretch that begins, or ends, at a minute lies; inside the strip. A moment off work lies in the middle of its gap. */
double gantt_x_from(const gantt *g, const gantt_strip *strip, int minute);
double gantt_x_to(const gantt *g, const gantt_strip *strip, int minute);
double gantt_x_at(const gantt *g, const gantt_strip *strip, int minute);
double gantt_right(const gantt *g, const gantt_strip *strip); /* end of its last day */
/* Place the days of a strip with the given width of a minute; its end. */
double gantt_place_days(const gantt *g, size_t first, size_t n, double minute_mm);

/* ---- drawing ---- */

/* Above the rows: returns the height used. The height alone without a sheet. */
double gantt_head(const gantt *g, const gantt_strip *strip, sheet *out);
/* Lines through the rows at days, breaks and the deadline. */
void gantt_ground(const gantt *g, const gantt_strip *strip, double top, double foot, sheet *out);
/* A row whose middle is at y. */
void gantt_draw_row(const gantt *g, const gantt_strip *strip, const gantt_row *row, double y, sheet *out);
/* One bar from x to x + width, in a row whose middle is at y: also for the legend. */
void gantt_draw_bar(const gantt *g, gantt_bar kind, double x, double width, double y, sheet *out);
void gantt_draw_staple(const gantt *g, double from, double to, double y, sheet *out);
void gantt_draw_done(const gantt *g, double x, double width, double y, sheet *out);

#endif
