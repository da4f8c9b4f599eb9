/* card.h - the pieces of a step card. Only for src/report. */
#ifndef STANCH_REPORT_CARD_H
#define STANCH_REPORT_CARD_H

#include "report/doc.h"

/* Rows "label: value" on the water and the design of one leak, in a column. */
void card_facts(doc *d, size_t at, double size, double x, double width);
void card_findings(doc *d, size_t leak, double size);
void card_mixes(doc *d, size_t leak, double size);
void card_steps(doc *d, size_t leak, double size);
void card_cautions(doc *d, size_t leak, double size);

/* Where the order of plugging is drawn, or why there is none. */
void card_plane_line(doc *d, size_t leak, double size);
/* The figure of the plane, after the card of the first leak that shares it: below it, or on the next page. */
void card_plane_figure(doc *d, size_t leak);

#endif
