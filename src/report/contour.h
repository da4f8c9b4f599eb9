/* contour.h - lines of equal value through a field on a grid that may have holes.
 *
 * Model  Marching squares: on each cell the field is linear along the four sides; a saddle is parted by the
 *        mean of its corners. A cell with a hole at a corner draws nothing. Lines of neighbouring cells are
 *        joined end to end.   Source common practice.
 * Units  those of the values; points in grid steps, (i, j) at value[i + nx j].   Threads  no shared state. */
#ifndef STANCH_REPORT_CONTOUR_H
#define STANCH_REPORT_CONTOUR_H

#include "core/mem.h"
#include "report/sheet.h"

typedef struct {
    size_t nx, ny;       /* each at least 2 */
    const double *value; /* NAN: a hole */
} contour_grid;

typedef struct {
    sheet_ring *lines; /* a closed one ends where it begins */
    size_t n;
} contour_set;

/* All lines of one level, those that end at the border or at a hole first. In `memory`; false without it. */
bool contour_trace(const contour_grid *grid, double level, arena *memory, contour_set *out);

/* The least of 1, 2, 2.5, 5 times a power of ten that makes at most `most` steps of a span > 0. */
double contour_step(double span, size_t most);

/* A copy whose holes are filled one step deep along straight lines from the values beside them, so that
 * lines run up to an edge that lies between two grid points; the caller paints the hole over them. NULL
 * without memory. */
double *contour_fill_edge(const contour_grid *grid, arena *memory);

#endif
