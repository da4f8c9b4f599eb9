/* offer_book.h - where everything stands in the spreadsheet of an offer; only for src/report.
 *
 * Sheets  Offer: lines of money. Leaks: a row a leak, quantities and from them hours. Rates, with the job's own figures below.
 *   Prices, with the materials as bought below. Risk: what the price may come out as, as counted; it does not follow.
 * Live    Offer = sums over Leaks x Prices; Leaks = quantities x Rates; a length carries its quantities in proportion.
 * All rows and columns count from 0, as libxlsxwriter does; cells in formulas are texts.   Threads  one book, one thread. */
#ifndef STANCH_REPORT_OFFER_BOOK_H
#define STANCH_REPORT_OFFER_BOOK_H

#include "report/book.h"
#include "report/offer.h"
#include "report/offer_amounts.h"

/* Figures of the job below the rates. */
typedef enum {
    JOB_CREW,
    JOB_SHIFT,
    JOB_FACES, /* kept moist */
    JOB_MOIST_DAYS,
    JOB_MOIST_ROUNDS,
    JOB_RETURNS,
    JOB_STANDBY,
    JOB_PIECE, /* of slot that a piece of plug fills */
    JOB_SCAN,
    JOB_HOURS,
    JOB_DAYS,
    JOB_COUNT
} offer_job_figure;

enum { LEAK_MARK, LEAK_METHOD, LEAK_LENGTH, LEAK_PLANNED, LEAK_TIMES, LEAK_OVERHEAD, LEAK_FIRST };

typedef struct {
    const risk_result *risk; /* NULL: nothing is said of it */
    const offer_options *options;
    offer_leak *leaks;
    double sums[AMOUNT_COUNT];
    size_t amount_column[AMOUNT_COUNT], hours_column[HOURS_COUNT]; /* 0: not in this job */
    size_t *material_column;                                       /* by order; 0: nothing bought */
    size_t total_column, money_column;
    size_t job_row, materials_row; /* the first of each */
} offer_book;

/* `o` has risk and options; arrays go to the book's memory. False without memory. */
bool offer_book_lay_out(book *b, offer_book *o);

/* Cells as formulas name them; "0" for what the job does not have. */
const char *offer_cell(book *b, size_t row, size_t column); /* on the same sheet: "C4" */
const char *offer_rate(book *b, const char *id);
const char *offer_price(book *b, const char *id);
const char *offer_job(book *b, offer_job_figure figure);
const char *offer_material(book *b,
                           size_t order);      /* its price divided by the planned need: money a kg or l */
const char *offer_sum(book *b, size_t column); /* of Leaks */
double offer_money(book *b, const char *price_id); /* a price in the job's units, as stored */
double offer_job_value(book *b, offer_job_figure figure);
double offer_material_need(book *b, size_t order);

/* The sheets. b->content is the offer_book. */
void offer_sheet_lines(book *b);
void offer_sheet_leaks(book *b);
void offer_sheet_rates(book *b);
void offer_sheet_prices(book *b);
void offer_sheet_risk(book *b);

#endif
