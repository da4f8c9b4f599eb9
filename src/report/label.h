/* label.h - places for the marks of a drawing: no two overlap, leaders cross no mark.
 *
 * Method  The sheet is a grid of cells of 1 mm. A cell is taken (a label, a caption, a dimension), kept (a
 * symbol), inked (a trace, which a label should not hide but may) or free. Labels are placed one after
 * another, as a person would: nearest first, over as little ink as can be, on free cells only, with a
 * straight leader that runs over no taken cell. What finds no place within reach is counted and left out, for
 * the caller to say so. Greedy, O(labels x candidates x cells of a label). Units  mm of paper, y up. Threads
 * one board belongs to one thread. */
#ifndef STANCH_REPORT_LABEL_H
#define STANCH_REPORT_LABEL_H

#include "report/sheet.h"

typedef struct {
    unsigned char *cells; /* in the arena */
    size_t columns, rows;
} label_board;

/* False without memory. */
bool label_board_new(arena *memory, double width_mm, double height_mm, label_board *out);

void label_take(label_board *board, sheet_box box);                   /* nothing may stand here */
void label_keep(label_board *board, sheet_box box);                   /* no label, but a leader may end */
void label_ink(label_board *board, sheet_point from, sheet_point to); /* better not here */

/* A box of the given size near `anchor`; takes it and its leader. *foot: where the leader meets the box.
 * False when there is no place. */
bool label_find(label_board *board, sheet_point anchor, double width_mm, double height_mm, sheet_box *out,
                sheet_point *foot);

#endif
