/* flat_csv.h - a table with one plain object a row, read by the members of its struct; only for src/survey.
 *
 * Columns may stand in any order, by the members' names in either system of units, never both in one file; columns of
 * members that are not required may be left out. An unknown heading is a fault with the nearest right one. A row whose first
 * cell begins with "# " is a comment. Every fault has source and line. Threads  no shared state. */
#ifndef STANCH_SURVEY_FLAT_CSV_H
#define STANCH_SURVEY_FLAT_CSV_H

#include "core/csv.h"
#include "survey/fields.h"

typedef struct {
    void *rows; /* in the arena */
    size_t n;
    const char **origins; /* of each row: "gauges.csv: line 3" */
} flat_rows;

/* True when this file added no fault. */
bool flat_csv_read(const char *source, const char *bytes, size_t length, survey_fields table, size_t size,
                   arena *memory, flat_rows *out, fault_list *faults);

#endif
