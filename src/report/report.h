/* report.h - the finished plan as documents: one PDF for the job, SVG and DXF of the faces, XLSX of the
 * quantities.
 *
 * Used last in a run: ops/ makes the plan, asks for the bytes of each document and writes them to files.
 * Nothing of the trade is computed here; every figure is read from the plan, and a figure that stands in two
 * documents comes from the same field. A face is composed once, as a list of lines, fills and texts
 * (sheet.h), and drawn from it by Cairo, SVG and DXF alike.
 *
 * Same bytes  The date is an input; the same plan, options and installed fonts give the same bytes.
 * Text  Any UTF-8. A character that no installed font has is written by its Unicode number in brackets, and
 * the cover says so.   Units  those of the job, by core/units. Threads  Each call is on its own, except that
 * Pango and Cairo keep caches of their own: one PDF at a time. */
#ifndef STANCH_REPORT_REPORT_H
#define STANCH_REPORT_REPORT_H

#include "plan/plan.h"

typedef struct {
    const char *date;    /* YYYY-MM-DD, printed on the cover and stamped into PDF and XLSX */
    const char *version; /* of the program, in every footer */
    const char *link;    /* of the job on the page: a QR code on each step card ("wall/N1") and day sheet
                            ("works/day/2026-03-05", or the number of the day); NULL: none */
} report_options;

/* The whole document, appended to *out (the caller's). E_INPUT: the date is not YYYY-MM-DD; E_IO: Cairo
 * failed, with its reason; E_MEMORY. After a fault *out holds nothing useful. */
status report_pdf(const plan *p, const report_options *options, text *out, fault *why);

/* One face (index in the survey) with caption, dimensions and legend, in millimetres of paper at a round
 * scale. E_INPUT: no such face. */
status report_svg(const plan *p, size_t face, text *out, fault *why);

/* In what order to plug one crack plane (index in the plan): plane_figure.h. E_INPUT: no such plane; E_STATE:
 * it has no order, with the reason. */
status report_plane_svg(const plan *p, size_t plane, text *out, fault *why);

/* The slot of one crack plane (index in the plan) with the first `closed` steps of its order done:
 * order_figure.h. E_INPUT: no such plane, no such step; E_STATE: it has no order, with the reason. */
status report_order_svg(const plan *p, size_t plane, size_t closed, text *out, fault *why);

/* The plot of one gauge (indices in the plan's leaks and in the leak's gauges): movement_figure.h. E_INPUT: no such leak, no such
 * gauge. */
status report_movement_svg(const plan *p, size_t leak, size_t gauge, text *out, fault *why);

/* All faces side by side at true size, in millimetres or, for a US job, inches; same drawing as the PDF. */
status report_dxf(const plan *p, text *out, fault *why);

/* Sheets Leaks, Quantities, Plugging (when there are crack planes), Orders and Price, with live formulas whose stored values are the plan's. Writes
 * `path` itself, through a file beside it that is renamed: all or nothing. E_INPUT: date; E_IO names the path
 * and the reason. */
status report_xlsx(const plan *p, const report_options *options, const char *path, fault *why);

#endif
