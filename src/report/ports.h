/* ports.h - the ports of an injection along the crack, numbered in the order in which they are injected.
 * The crack is drawn straight from its start at the left, so that "left" looking along it lies above. Long cracks go over
 * several strips. Chainage is to scale; the offset of the holes is not. A port that has to move for a bar is dark.
 * Round a pipe or tie hole and on honeycomb they are drawn as they stand on the face, to scale.
 * Units  mm of paper.   Threads  none shared. */
#ifndef STANCH_REPORT_PORTS_H
#define STANCH_REPORT_PORTS_H

#include "report/say.h"
#include "report/sheet.h"

/* True when there are ports to draw. */
bool ports_has(const repair_design *design);

/* Compose for a width; out is filled from {0} with its memory set. Numbers that find no room are left out, and the note
 * says so. */
void ports_draw(const leak_water *leak, const repair_design *design, double width_mm, say *words, sheet *out);

#endif
