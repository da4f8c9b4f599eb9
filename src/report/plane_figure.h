/* plane_figure.h - in what order to plug, as one drawing: the crack plane with its heads, the numbered
 * order under it, the flow along the face three times, and the same in words.
 *
 * Shows only: heads, flows and order come from plugging.h through the plan. The plane is laid flat: chainage
 * to the right, depth through the wall upward, dry face below. Heads are drawn as the height to which water
 * would rise above the dry face (metres of water): h less the elevation of the dry face at that chainage, 0
 * where water leaves. A figure of many panels has several strips, then a sheet of notes.
 * Units  mm of paper.   Threads  no shared state. */
#ifndef STANCH_REPORT_PLANE_FIGURE_H
#define STANCH_REPORT_PLANE_FIGURE_H

#include "report/say.h"
#include "report/sheet.h"

#define PLANE_FIGURE_MM 181.0 /* width in a file of its own: A4 upright, less its margins */

/* Sheets of one figure, top to bottom. `words` and the sheets share one arena. */
typedef struct {
    sheet *sheets;
    size_t n;
} plane_figure;

/* Compose. The plane has no `problem` and at least one step. False without memory. */
bool plane_figure_draw(const plan *p, const plan_plane *plane, double width_mm, say *words,
                       plane_figure *out);

/* NULL when a figure can be drawn, else the sentence why not. */
const char *plane_figure_problem(const plan_plane *plane);

/* The step-by-step order in words: stretches closed one after another in one direction are one phrase. At
 * most `most` phrases. */
const char *plane_order_words(const plan *p, const plan_plane *plane, size_t most, say *words);

#endif
