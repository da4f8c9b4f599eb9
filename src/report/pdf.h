/* pdf.h - a document of pages made into a PDF: run dry until its page numbers stand, then drawn. Only for src/report.
 *
 * Same bytes, threads  as report.h. */
#ifndef STANCH_REPORT_PDF_H
#define STANCH_REPORT_PDF_H

#include "report/doc.h"

typedef void (*pdf_pages)(doc *d);

/* `d` has what is to be shown: plan, options with date and version, and what its own sections read. `write` is run two or three
 * times and must write the same each time. Appended to *out. Errors as report_pdf. */
status pdf_make(doc *d, pdf_pages write, text *out, fault *why);

#endif
