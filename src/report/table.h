/* table.h - tables that wrap their cells, repeat their head on each page and never split a row.
 * A cell's text after a newline is set small and soft: a note under the figure. Units  points.  Threads  as
 * doc.h. */
#ifndef STANCH_REPORT_TABLE_H
#define STANCH_REPORT_TABLE_H

#include "report/doc.h"

enum { TABLE_COLUMNS = 14 };

typedef struct {
    const char *title;
    double share; /* of the width, relative */
    sheet_align align;
    bool soft; /* small and grey: a note to its row */
} table_column;

typedef struct {
    doc *d;
    const table_column *columns;
    size_t n;
    double x, width, size; /* size of type */
    size_t rows;           /* since the head */
} table;

/* Starts at d->y over the inner width, or between x and x + width; draws the head (none when no column has a
 * title). */
table table_begin(doc *d, const table_column *columns, size_t n, double size);
table table_begin_at(doc *d, const table_column *columns, size_t n, double size, double x, double width);

typedef enum { ROW_PLAIN, ROW_TOTAL, ROW_GROUP } table_row_style;
void table_row(table *t, const char *const *cells, table_row_style style);

/* Leaves a little room below. */
void table_end(table *t);

#endif
