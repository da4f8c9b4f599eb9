/* plane_notes.h - what the figure of a plane says in words: the order, what is met, the tube, all shut, the
 * three orders side by side, what the model leaves out. Only for src/report.   Units  mm.   Threads  one
 * view, one thread. */
#ifndef STANCH_REPORT_PLANE_NOTES_H
#define STANCH_REPORT_PLANE_NOTES_H

#include "report/plane_view.h"

/* Marks of the leaks that share the plane: "N1, N2". */
const char *plane_marks(const plan *p, const plan_plane *plane, say *words);

/* The sentences, in reading order, each for a line or paragraph of its own; at most PLANE_SENTENCES. */
enum { PLANE_SENTENCES = 16 };
size_t plane_sentences(const plane_view *v, const char *out[PLANE_SENTENCES]);

/* From 0 downwards; returns the height used. */
double plane_draw_notes(plane_view *v);

#endif
