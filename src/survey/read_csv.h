/* read_csv.h - stations filled in a spreadsheet, one row each, read and merged into a job by mark.
 *
 * Columns may stand in any order, by their names in either system of units ("width_mm" or "width_in", never
 * both systems in one file); separator comma, semicolon or tab; decimal comma where the separator is not a
 * comma. Needed columns: mark, kind, face, u, v.
 *
 * Rows  Rows of one mark make one defect, in their order; they need not stand together.
 *   u, v given            a point of the trace (or the point, or a corner of the area) on `face`; a change of
 *                         `face` starts the next part.
 *   station columns       (chainage, width, wetness, bar, cover, bar_diameter) any of them makes the row a
 *                         station; then `wetness` is needed. Without `chainage` it stands at its u, v; with
 *                         chainage and no u, v it lies between two points of the trace.
 *   flow_*, open_*, note, photo_*   one flow reading, open place of the waterstop, note, photo each row; rows
 *                         with nothing else are fine.
 *   diameter, signs and exclude (words parted by spaces), slot_faces, waterstop, cutoff, tried, strength_wanted, movement,
 *                         depth, overrule_*  belong to the defect: in its first row, in others empty or the same.
 * A row whose first cell begins with "# " is a comment. The faces must be in the job.
 * Left out  site, water, faces, folds, materials, rates, prices, answers: those travel as JSON. Readings of gauges have a
 *   table of their own (read_table.h): those that a replaced defect has in the job stay.
 * Threads  no shared state. */
#ifndef STANCH_SURVEY_READ_CSV_H
#define STANCH_SURVEY_READ_CSV_H

#include "survey/survey.h"

/* Read `length` bytes into `into`; defects of the same mark are replaced whole. All faults are listed with
 * source, line, column, value and limit; after a fault the survey is half merged and the caller throws it
 * away. True when this file added no fault. */
bool survey_read_csv(survey *into, const char *source, const char *bytes, size_t length, fault_list *faults);

#endif
