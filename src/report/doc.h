/* doc.h - the paper under the document: pages with footers, wrapped text, boxes, keep-together.
 *
 * The whole document is run first dry (nothing drawn, pages counted, cards noted by page), then once more on
 * the PDF, so that "page 3 of 40" and "card on page 12" are known. The same code runs both times: whoever
 * writes a section moves d->y down and asks doc_need for room. Text is set by Pango, always within a width.
 * Units  points, y down from the top of the page.   Memory  texts and lists in d->words.memory.
 * Threads  one document belongs to one thread. */
#ifndef STANCH_REPORT_DOC_H
#define STANCH_REPORT_DOC_H

#include "report/memo.h"
#include "report/report.h"
#include "report/say.h"
#include "report/sheet.h"
#include "works/works.h"

#include <pango/pangocairo.h>

#define DOC_MM (72 / 25.4) /* points in a millimetre, exact */
#define DOC_MARGIN 40.0    /* left and right */
#define DOC_TOP 34.0
#define DOC_FOOT 38.0

typedef struct {
    double size;
    bool bold;
    int32_t colour; /* 0xRRGGBB */
    sheet_align align;
} doc_style;
extern const doc_style DOC_TITLE, DOC_HEAD, DOC_SUBHEAD, DOC_BODY, DOC_BOLD, DOC_SMALL, DOC_SOFT, DOC_ALARM;

typedef struct {
    const plan *plan;
    const works_plan *works; /* NULL: none to show */
    const report_options *options;
    int first_day, last_day; /* of day sheets */
    void *content;           /* of a document with sections of its own (pdf.h); NULL */
    const char *subject;     /* of the PDF; NULL: a repair plan */
    const char *stamp;       /* in the middle of each footer; NULL: the plan's hash */
    say words;
    cairo_surface_t *surface;
    cairo_t *cr;
    PangoFontMap *fonts;
    PangoContext *pango;
    bool dry;             /* measure and count only */
    double width, height; /* of this page */
    double y, bottom;     /* next free, last usable */
    int page, pages;      /* this page; all pages as the dry run found them */
    memo *heights;        /* of texts measured */
    double *card_sizes;   /* type that each card was given in the dry run; 0 before */
    int *card_pages;      /* by leak, 0 before the dry run */
    int *plane_pages;     /* by plane: page of its figure */
    int first_face, first_card, first_table, first_works; /* pages of the sections; 0: none */
    bool replaced; /* a character without a font was met, now or in the dry run */
    int outline;   /* of the section, for entries below it */
} doc;

/* Start a page (closing the one before). */
void doc_page(doc *d, bool across);
void doc_close_page(doc *d);
/* New page unless `height` is left on this one. True when a page was begun. */
bool doc_need(doc *d, double height);
double doc_inner(const doc *d); /* width between the margins */

/* Wrapped text at (x, y): draws unless dry, returns its height. y is not moved. */
double doc_text_at(doc *d, doc_style style, double x, double y, double width, const char *words);
/* The same over the inner width at d->y, going to the next page first when it does not fit; moves y. */
void doc_paragraph(doc *d, doc_style style, const char *words);
double doc_measure(doc *d, doc_style style, double width, const char *words);
/* One line, cut with an ellipsis. */
void doc_short_at(doc *d, doc_style style, double x, double y, double width, const char *words);
/* A layout for tables; words that no font has are replaced. The caller unrefs it. */
PangoLayout *doc_layout(doc *d, doc_style style, double width, const char *words);
void doc_show_layout(doc *d, doc_style style, double x, double y, PangoLayout *layout);

/* A heading that stays with what follows; an entry of the PDF's outline when `entry`. */
void doc_heading(doc *d, doc_style style, const char *words);
int doc_outline(doc *d, int parent, const char *words);

/* A level line from x to the right. */
void doc_rule(doc *d, double x, double y, double length, double width, int32_t colour);
/* fill or stroke -1: none */
void doc_box(doc *d, sheet_box box, int32_t stroke, int32_t fill);
/* A sheet with its upper left corner at (x, y). */
void doc_sheet(doc *d, const sheet *s, double x, double y);

/* A QR code (code.h) with its quiet zone; returns the length of a side, 0 when it cannot be made. */
double doc_code(doc *d, const char *content, double x, double y);
#define DOC_CODE_CELL_PT 1.6 /* 0.56 mm a cell: read from 30 cm by any phone, common practice */

#endif
