/* sheet.h - a drawing as a list: paths, circles and texts in millimetres of paper, drawn alike by Cairo, SVG
 * and DXF.
 *
 * Each item has an ink; the table sheet_inks gives its stroke, dashes, fill, DXF layer and class name. Texts
 * do not wrap and were cut to their room when they were put down (sheet_fit), by widths that are never less
 * than those of the usual sans-serif faces, so that what fits here fits in every output. Units  mm of paper,
 * x to the right, y up, (0, 0) at the lower left.   Memory  all in the arena; after a failed allocation
 * `failed` stays true and the list is not whole.   Threads  one sheet belongs to one thread. */
#ifndef STANCH_REPORT_SHEET_H
#define STANCH_REPORT_SHEET_H

#include "core/mem.h"
#include "report/ink.h"

#include <stdbool.h>
#include <stddef.h>

typedef struct {
    double x, y;
} sheet_point;

typedef struct {
    sheet_point *points;
    size_t n;
} sheet_ring;

typedef enum { ITEM_PATH, ITEM_CIRCLE, ITEM_TEXT } sheet_kind;
typedef enum { ALIGN_LEFT, ALIGN_MIDDLE, ALIGN_RIGHT } sheet_align;

typedef struct {
    sheet_kind kind;
    sheet_ink ink;
    const char *mark;  /* the leak it belongs to, or NULL; borrowed */
    sheet_ring *rings; /* path: filled even-odd when closed */
    size_t n_rings;
    bool closed;
    sheet_point at; /* circle: centre; text: on the base line */
    double radius, height, angle_deg;
    sheet_align align;
    bool bold;
    const char *words;
} sheet_item;

typedef struct {
    double x, y, width, height;
} sheet_box;

typedef struct {
    arena *memory;
    bool failed;
    double width, height;
    sheet_item *items;
    size_t n_items;
    const char *mark; /* given to every item put down, until changed */
    /* For outputs at true size: paper millimetre (x, y) is the face point (u0 + x scale/1000, v0 + y
     * scale/1000). */
    double scale, u0_m, v0_m;
    sheet_box *labels; /* where the marks stand, for tests */
    size_t n_labels, n_unplaced;
} sheet;

/* Each puts down one item and returns it for finishing touches, or NULL without memory. Points are copied. */
sheet_item *sheet_line(sheet *s, sheet_ink ink, sheet_point from, sheet_point to);
sheet_item *sheet_path(sheet *s, sheet_ink ink, const sheet_point *points, size_t n, bool closed);
sheet_item *sheet_rectangle(sheet *s, sheet_ink ink, sheet_box box);
sheet_item *sheet_circle(sheet *s, sheet_ink ink, sheet_point centre, double radius);
/* A path of several rings whose points the caller fills: rings zeroed, in the arena. */
sheet_item *sheet_rings(sheet *s, sheet_ink ink, size_t n_rings, bool closed);

typedef struct {
    sheet_point at;
    double height, room, angle_deg; /* room 0: as long as it is */
    sheet_align align;
    bool bold;
} sheet_place;
/* Text cut to its room with an ellipsis. */
sheet_item *sheet_text(sheet *s, sheet_ink ink, sheet_place place, const char *words);

/* Width that no usual sans-serif face exceeds. */
double sheet_text_width(const char *words, double height, bool bold);

/* Lines that a paragraph takes. */
size_t sheet_paragraph_lines(sheet_place place, size_t most, const char *words);

/* Text over several lines, downwards from place.at; returns the height used. At most `most` lines. */
double sheet_paragraph(sheet *s, sheet_ink ink, sheet_place place, size_t most, const char *words);

/* What was put down from 0 downwards is lifted by `height`, which becomes the sheet's. */
void sheet_settle(sheet *s, double height);

#endif
