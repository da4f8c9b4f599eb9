/* sheet_out.h - a sheet drawn by Cairo, as SVG elements, or into DXF.   Threads  no shared state. */
#ifndef STANCH_REPORT_SHEET_OUT_H
#define STANCH_REPORT_SHEET_OUT_H

#include "core/text.h"
#include "report/sheet.h"

/* A document of so many millimetres; then sheets, the top of each at y_mm; then the end. to->failed without
 * memory. */
void sheet_svg_begin(double width_mm, double height_mm, const char *title, text *to);
void sheet_svg(const sheet *s, double y_mm, text *to);
void sheet_svg_end(text *to);

/* Entities at true size: face point (u, v) lands at ((u + shift_m) per_m, v per_m), per_m drawing units a
 * metre. */
void sheet_dxf(const sheet *s, double shift_m, double per_m, text *to);
/* The layers of all inks, each once. Between them the sheets; then dxf_end. */
void sheet_dxf_begin(text *to);

#endif
