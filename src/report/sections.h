/* sections.h - the parts of the document, in the order they are printed. Each leaves d->y below what it
 * wrote. Threads  as doc.h. */
#ifndef STANCH_REPORT_SECTIONS_H
#define STANCH_REPORT_SECTIONS_H

#include "report/doc.h"

void section_cover(doc *d);      /* what was found, what it costs, who must look */
void section_cautions(doc *d);   /* for the whole job; on the cover */
void section_faces(doc *d);      /* scale elevations */
void section_cards(doc *d);      /* one step card a leak */
void section_quantities(doc *d); /* by leak, and the order list */
void section_price(doc *d);
void section_works(doc *d);   /* who works where when: works_pages.c */
void section_days(doc *d);    /* of a document of its own: day_page.c */
void section_closing(doc *d); /* assumptions and sources */

#endif
