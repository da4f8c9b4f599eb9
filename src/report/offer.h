/* offer.h - the offer: lines that add up, what the price may come out as, and what it rests on.
 *
 * PDF   cover with parties left blank for the firm's own letter, scope by leak, lines, total, P50 and P80 with contingency, the
 *   picture of the spread and what carries it, assumptions, cautions, what is not included.
 * XLSX  sheets Offer, Leaks, Rates, Prices, Risk: quantity x rate, hours from quantities and rates, sums and additions as live
 *   formulas over cells that an estimator may change; the stored values are the plan's, and a spreadsheet that counts again gets
 *   the same total to the cent.
 * Same bytes, threads  as report.h. */
#ifndef STANCH_REPORT_OFFER_H
#define STANCH_REPORT_OFFER_H

#include "report/report.h"
#include "risk/risk.h"

typedef struct {
    const char *date, *version, *link;
    long long number;  /* of the offer; 0: a draft */
    bool without_risk; /* for a client: nothing is said of what the price may come out as */
} offer_options;

status report_offer_pdf(const plan *p, const risk_result *risk, const offer_options *options, text *out,
                        fault *why);
status report_offer_xlsx(const plan *p, const risk_result *risk, const offer_options *options,
                         const char *path, fault *why);
/* The picture alone: histogram with P20, P50, P80 and the printed total, and the shares beside it. */
status report_risk_svg(const plan *p, const risk_result *risk, text *out, fault *why);

#endif
