/* book.h - the spreadsheet while it is being written; only for src/report. Threads  one book, one thread. */
#ifndef STANCH_REPORT_BOOK_H
#define STANCH_REPORT_BOOK_H

#include "report/report.h"
#include "report/say.h"

#include <xlsxwriter.h>

typedef struct {
    const plan *plan;
    lxw_workbook *book;
    lxw_format *head, *number, *money, *wrap, *total, *total_money, *total_words;
    lxw_format *open;    /* a number that the reader may change */
    const void *content; /* what sheets of their own read; NULL */
    say words;
    lxw_error error; /* the first */
} book;

typedef struct {
    const char *date, *subject, *path;
} book_paper;
/* A whole book: opened, filled by `sheets`, renamed into place. `b` has the plan and what the sheets read. Errors as report_xlsx. */
status book_write(book *b, const book_paper *paper, void (*sheets)(book *b), fault *why);

typedef struct {
    const char *title;
    double width; /* in characters */
} book_column;

/* A sheet with a frozen, bold first row. */
lxw_worksheet *book_sheet(book *b, const char *name, const book_column *columns, size_t n);
void book_words(book *b, lxw_worksheet *sheet, size_t row, size_t column, const char *words);
void book_number(book *b, lxw_worksheet *sheet, size_t row, size_t column, double value);
typedef struct {
    lxw_worksheet *sheet;
    size_t row, column;
    lxw_format *format;
} book_cell;
/* A live formula with the value that stands in the file until it is recalculated. */
void book_formula(book *b, book_cell cell, const char *formula, double value);
/* SUM over the rows between the head and this cell. */
void book_sum(book *b, book_cell cell, double value);

void book_leaks(book *b);  /* Leaks, Quantities (xlsx_leaks.c) */
void book_planes(book *b); /* Plugging, when there are planes (xlsx_planes.c) */
void book_orders(book *b); /* xlsx_job.c */
void book_price(book *b);

#endif
