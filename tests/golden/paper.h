/* paper.h - what tests of documents and figures share: a folder of their own, the words of a command, and whether every text of a
 * sheet lies within it and on no other.
 *
 * Threads  one test program, one thread: the folder's name is its own. */
#ifndef STANCH_TESTS_PAPER_H
#define STANCH_TESTS_PAPER_H

#include "core/text.h"
#include "report/sheet.h"

/* A name in a folder that is made at the first call; the last four answers stay. */
const char *in_folder(const char *name);

const char *own_folder(void); /* that folder */

/* Remove the files named (up to NULL) and the folder; not 0 when something else was left in it. */
int paper_drop(const char *const names[]);

/* What a command prints; empty when it is not installed. */
text output_of(const char *command);

/* The room that a text takes, and whether a place lies on the sheet (NaN does not). */
sheet_box box_of(const sheet_item *t);
bool inside(const sheet *s, double x, double y);

/* Every text lies on the sheet and on no other, and has none of `never` (up to NULL) in it. */
void check_texts_but(const sheet *s, const char *const never[]);

#endif
