/* handover_parts.h - the rows of the handover document, composed apart from being drawn, and what its sections share. Only for
 * src/report and its tests.
 *
 * Model  a section is a table whose last cell says where each figure comes from: "#12" a record by its number, "E4" an equation
 *   of the list at the end, "S" the survey, "P" the plan. Sections done, proved and billed hold it in every row with a figure.
 * Memory  rows and texts in words->memory; where that runs out words->failed is set.   Threads  as doc.h. */
#ifndef STANCH_REPORT_HANDOVER_PARTS_H
#define STANCH_REPORT_HANDOVER_PARTS_H

#include "report/elevation.h"
#include "report/handover.h"
#include "report/table.h"

enum { HANDOVER_CELLS = 6, HANDOVER_MARKS = 60 }; /* marks listed in one row */

/* Equations and rules by their number in the list at the end. */
typedef enum {
    BY_NONE,
    BY_HEAD,
    BY_CRACK,
    BY_TIMED,
    BY_SAVED,
    BY_CLASS,
    BY_STRETCH,
    BY_VERDICT,
    BY_BUILT,
    BY_HOURS,
    BY_DEVIATION,
    BY_NET,
    BY_PAN,
    BY_THERMAL,
    BY_LOSS,
    BY_CRITERION,
    BY_LOOKS,
    BY_BILL,
    BY_COUNT
} handover_by;

typedef struct {
    const char *cells[HANDOVER_CELLS];
    table_row_style style;
} handover_row;

typedef struct {
    const char *title; /* stands in the head of the first column */
    const table_column *columns;
    size_t n_columns;
    handover_row *rows;
    size_t n;
} handover_rows;

typedef struct {
    const handover_view *view;
    const handover_options *options;
    const survey *survey;
    say *words;
} handover;

/* ---- handover_rows.c ---- */

/* A row of as many texts as the table has columns; NULL stands for "". */
void handover_put(const handover *h, handover_rows *to, const char *const *cells, table_row_style style);
void handover_draw(doc *d, const handover_rows *rows, double size);

/* "#12, 15-17 E4": records (none: n = 0), then the rule (BY_NONE: none). At most some of very many records are named. */
const char *handover_from(const handover *h, const long long *seqs, size_t n, handover_by rule);
const char *handover_from_one(const handover *h, long long seq, handover_by rule);
const char *handover_said(const handover *h, const char *source, handover_by rule); /* "S E1" */

/* "2026-03-02 09:14" of a time as recorded, UTC; "" of NULL. */
const char *handover_time(const handover *h, const char *at);

/* "before; more", either may be "". */
const char *handover_join(const handover *h, const char *before, const char *mark, const char *more);
const record *handover_record(const handover *h, long long seq); /* NULL: not among them */
const char *handover_sum_up(const handover *h,
                            const record *r); /* a record in a few words, "" when it says nothing */

/* ---- the sections; of a leak: its index in the plan ---- */

handover_rows handover_wrong(const handover *h, size_t leak); /* handover_leak.c */
handover_rows handover_remains(const handover *h, size_t leak);
handover_rows handover_steps(const handover *h,
                             const built_leak *b); /* handover_done.c; of a leak or the site */
handover_rows handover_built(const handover *h, const built_leak *b);
handover_rows handover_built_job(const handover *h);
handover_rows handover_materials(const handover *h);
handover_rows handover_proved(const handover *h, size_t leak); /* handover_proof.c */
handover_rows handover_saved(const handover *h, size_t leak);
handover_rows handover_remaining(const handover *h);
handover_rows handover_verdicts(const handover *h, const int *pages);
handover_rows handover_tank(const handover *h, size_t tank); /* handover_tank.c */
handover_rows handover_looks(const handover *h);             /* handover_care.c */
handover_rows handover_care(const handover *h);
handover_rows handover_billed(const handover *h); /* handover_bill.c */
handover_rows handover_log(const handover *h);    /* handover_log.c */
handover_rows handover_rules(const handover *h);

/* How the leaks of a face look: ink by verdict, mark with length as built and photos (handover_faces.c). False without memory. */
bool handover_look(const handover *h, size_t face, arena *memory, elevation_look *out);

/* ---- drawing ---- */

handover *handover_of(doc *d);
void handover_cover(doc *d); /* handover_cover.c */
void handover_faces(doc *d); /* handover_faces.c */
void handover_leaks(doc *d); /* handover_leak.c */
void handover_site(doc *d);
void handover_tanks(doc *d);                    /* handover_tank.c */
void handover_after(doc *d);                    /* handover_care.c: looks, care, cautions, warranty */
void handover_bill(doc *d);                     /* handover_bill.c */
void handover_sources(doc *d);                  /* handover_log.c: records, equations, sources */
void handover_photos(doc *d, const char *mark); /* handover_photos.c */
/* "photos 3-5": numbers that the photos of a leak have in the document; "" none. */
const char *handover_photo_numbers(const handover *h, const char *mark);

#endif
