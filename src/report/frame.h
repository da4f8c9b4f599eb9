/* frame.h - a face laid on paper, shared by the files that draw parts of an elevation. Threads  one frame,
 * one thread. */
#ifndef STANCH_REPORT_FRAME_H
#define STANCH_REPORT_FRAME_H

#include "report/elevation.h"
#include "report/label.h"

#define FRAME_TEXT_MM 2.3  /* captions and dimensions */
#define FRAME_MARK_MM 2.6  /* marks */
#define FRAME_TITLE_MM 3.4 /* name of the face */

typedef struct {
    const plan *plan;
    const survey_face *face;
    size_t index;
    double scale;
    survey_point low, high; /* of the outline */
    sheet_box box;          /* the same on paper */
    sheet *sheet;
    say *words;
    label_board board;
    const elevation_look *look; /* NULL: as seen */
} frame;

/* Bounds of a face's outline. */
void frame_bounds(const survey_face *face, survey_point *low, survey_point *high);

/* Face metres to paper millimetres. */
sheet_point frame_at(const frame *f, survey_point at);

/* A path over several rings given in face metres. */
void frame_rings(const frame *f, sheet_ink ink, const survey_ring *rings, size_t n);

void frame_leaks(frame *f);  /* traces, reliefs (leaks.c) */
void frame_marks(frame *f);  /* marks with leaders, after all else (leaks.c) */
void frame_around(frame *f); /* folds, water, dimensions, scale bar, caption (around.c) */

/* True when the defect has a part on the face. */
bool frame_has(const survey_defect *d, const survey_face *face);

#endif
