/* elevation.h - one face as a sheet at a round scale: outline, openings, coats, slots, leaks by wetness,
 * marks, folds, water levels, dimensions, caption and scale bar.
 *
 * Shows only: outlines and slots come from takeoff, places from trace.h, levels from the survey. A trace
 * between two stations is drawn half in the wetness of each.   Units  mm of paper.   Threads  no shared
 * state. */
#ifndef STANCH_REPORT_ELEVATION_H
#define STANCH_REPORT_ELEVATION_H

#include "report/say.h"
#include "report/sheet.h"

/* The round scale (50 means 1:50) at which a face with all that stands round it fits the room, and no larger
 * than a foreman needs; the smallest scale there is when none fits. */
double elevation_scale(const plan *p, size_t face, double width_mm, double height_mm);

/* Size of the sheet at a scale. */
void elevation_size(const plan *p, size_t face, double scale, double *width_mm, double *height_mm);

/* Compose. `words` and `out` share one arena; out is filled from {0} with its memory set. */
void elevation_draw(const plan *p, size_t face, double scale, say *words, sheet *out);

/* How the leaks of a drawing as built look, by leak of the plan. */
typedef struct {
    const sheet_ink *traces, *boxes; /* of the line or place, and round its mark */
    const char *const *words;        /* in the box; the mark alone where they find no room */
    bool bare;                       /* without slots and coats */
} elevation_look;
void elevation_draw_built(const plan *p, size_t face, double scale, const elevation_look *look, say *words,
                          sheet *out);

/* The legend of the inks, as wide as the room: its own sheet. */
void elevation_legend(double width_mm, sheet *out);
void elevation_legend_built(double width_mm, sheet *out);

/* The outline of a face with one leak, fitted into a small box: the key plan of a step card. */
void elevation_key(const plan *p, size_t face, size_t leak, double width_mm, double height_mm, sheet *out);

#endif
