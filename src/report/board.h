/* board.h - elevations on sheets across: several small faces to a page, a legend at the foot of each, and under the faces, when
 * there is room, their leaks in a line each. What is drawn and said is the kind's.
 *
 * Use  section_faces (the plan), handover_faces (as built).   Threads  as doc.h. */
#ifndef STANCH_REPORT_BOARD_H
#define STANCH_REPORT_BOARD_H

#include "report/doc.h"

typedef struct {
    const char *outline, *heading; /* of the first page in the outline; at the head of each */
    size_t few;                    /* more leaks than these are listed in four columns; 0: always in three */
    void (*legend)(double width_mm, sheet *out);
    bool (*shown)(const plan *p, size_t face);
    void (*draw)(doc *d, size_t face, double scale, sheet *out);
    const char *(*words)(doc *d, size_t leak); /* beside its mark in the list */
    bool (*noted)(doc *d, size_t leak);        /* NULL, or does it want the note under the list? */
    const char *note;
} board_kind;

void board_faces(doc *d, const board_kind *kind);

#endif
