/* day_sheet.h - the sheet of a day of the works for its crew: printed, and written as a PDF and an SVG.
 *
 * Not the day of the phone (wall.h), which is the list of leaks that somebody set.   Threads  as ops.h. */
#ifndef STANCH_OPS_DAY_SHEET_H
#define STANCH_OPS_DAY_SHEET_H

#include "ops/ops.h"
#include "report/day_sheet.h"

typedef struct {
    const char *day;   /* a date, the number of a day, or "all" */
    const char *today; /* YYYY-MM-DD, stamped into the PDF */
    const char *link;  /* as report_options */
    const char *pdf;   /* file to write; NULL: none */
    const char *svg;   /* the bars of the day by person, of all days for "all"; NULL: none */
} ops_works_day_request;

typedef struct {
    const day_sheet *days; /* in the arena of the job's plan */
    size_t n;
} ops_works_day_result;

/* The job was planned with its works. E_STATE: there are none, with the reason, or nobody works that day; else as day_sheet.h
 * and file.h. */
status ops_works_day(const ops_job *job, const ops_works_day_request *request, ops_works_day_result *out,
                     fault *why);

#endif
