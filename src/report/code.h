/* code.h - a QR code (ISO/IEC 18004), made by libqrencode: as SVG for the page, as cells for a step card.
 *
 * Error correction level M: about 15 % of it may be dirty. The quiet zone of four cells (clause 9.1 of the
 * standard, from memory) is part of the drawing.   Threads  no shared state. */
#ifndef STANCH_REPORT_CODE_H
#define STANCH_REPORT_CODE_H

#include "core/fault.h"
#include "core/mem.h"
#include "core/text.h"

enum { CODE_QUIET = 4, CODE_TEXT_MOST = 1000 };

typedef struct {
    size_t side;       /* cells, without the quiet zone */
    const bool *black; /* row after row from the top left */
} code_cells;

/* E_INPUT: empty, longer than CODE_TEXT_MOST bytes. Cells live in `memory`. */
status code_make(const char *content, arena *memory, code_cells *out, fault *why);

/* The same as an SVG of its own, black on white, appended to *to. */
status code_svg(const char *content, arena *memory, text *to, fault *why);

#endif
