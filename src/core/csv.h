/* csv.h - CSV as spreadsheets write it: a whole table of cells, each row with its line number.
 *
 * RFC 4180 by libcsv in its strict mode. The separator is the one of comma, semicolon and tab that stands
 * most often in the first line; a decimal comma is understood where the separator is not a comma. A UTF-8
 * byte order mark is dropped; lines may end in LF or CRLF; a quoted cell may hold line ends (CRLF arrives as
 * LF). Blanks round an unquoted cell are dropped; empty lines are skipped. Threads  no shared state. */
#ifndef STANCH_CORE_CSV_H
#define STANCH_CORE_CSV_H

#include "core/fault.h"
#include "core/mem.h"
#include "core/text.h"

enum { CSV_CELLS_MOST = 1000 }; /* in a row; our default */

typedef struct {
    const char **cells;
    size_t n_cells;
    size_t line; /* where the row begins, from 1 */
} csv_row;

typedef struct {
    csv_row *rows; /* the header is row 0 */
    size_t n_rows;
    char separator;
} csv_table;

/* Read a whole table into `memory`. A fault (bad UTF-8, unbalanced or stray quote) is listed as "source: line
 * N: ..." and gives false. */
bool csv_table_read(const char *source, const char *bytes, size_t length, arena *memory, csv_table *out,
                    fault_list *faults);

/* True when `cell` is a finite decimal number; a decimal comma counts unless the separator is a comma. */
bool csv_table_number(const csv_table *table, const char *cell, double *value);

/* Append one cell, quoted where it must be. A text that a spreadsheet would take for a formula ("=...", "@...") gets an
 * apostrophe in front, which reading takes away. */
void csv_put_cell(text *to, const char *cell);

#endif
