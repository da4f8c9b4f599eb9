/* card.h - the pieces of a step card. Only for src/report. */
#ifndef STANCH_REPORT_CARD_H
#define STANCH_REPORT_CARD_H

#include "report/doc.h"
#include "report/table.h"

/* Rows "label: value" on the water and the design of one leak, in a column. */
void card_facts(doc *d, size_t at, double size, double x, double width);
/* Rows of what has no slot: injection, flexible seal, drain. */
void card_ways(doc *d, table *t, size_t leak);
/* The ports of an injection along the crack, over the inner width. */
void card_ports(doc *d, size_t leak);
/* Why this method: row of the table or the person who overruled it, runner-up, movement, healing, hints at the cause. */
void card_why(doc *d, size_t leak, double size);
void card_findings(doc *d, size_t leak, double size);
void card_mixes(doc *d, size_t leak, double size);
void card_steps(doc *d, size_t leak, double size);
void card_cautions(doc *d, size_t leak, double size);

/* Where the order of plugging is drawn, or why there is none. */
void card_plane_line(doc *d, size_t leak, double size);
/* The figure of the plane, after the card of the first leak that shares it: below it, or on the next page. */
void card_plane_figure(doc *d, size_t leak);
/* The plots of its gauges, each whole on a page. */
void card_movement_figures(doc *d, size_t leak);

#endif
