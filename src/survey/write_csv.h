/* write_csv.h - the defects of a job as CSV (RFC 4180, LF), and the empty form to fill in.
 *
 * All columns of read_csv.h in the job's units, comma and decimal point; export, import, export gives the
 * same bytes. Threads  no shared state. */
#ifndef STANCH_SURVEY_WRITE_CSV_H
#define STANCH_SURVEY_WRITE_CSV_H

#include "core/text.h"
#include "survey/survey.h"

/* Appends to `to`; without memory to->failed is set. */
void survey_write_csv(const survey *s, text *to);

/* The header and a few example rows behind "# ", which an import skips. */
void survey_write_template(units_system system, text *to);

#endif
