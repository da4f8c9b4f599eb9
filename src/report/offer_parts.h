/* offer_parts.h - the sections of an offer, in the order they are printed; only for src/report.   Threads  as doc.h. */
#ifndef STANCH_REPORT_OFFER_PARTS_H
#define STANCH_REPORT_OFFER_PARTS_H

#include "report/doc.h"
#include "report/offer.h"

/* d->content. */
typedef struct {
    const risk_result *risk; /* NULL: nothing is said of it */
    const offer_options *options;
} offer_content;

const offer_content *offer_of(const doc *d);

void offer_cover(doc *d); /* parties, price, what it may come out as in words, validity */
void offer_scope(doc *d); /* leak by leak, down to the total */
void offer_risk(doc *d);
void offer_left_out(doc *d); /* what is not included */
void offer_marks(doc *d);    /* rates and prices, and where they come from */

#endif
