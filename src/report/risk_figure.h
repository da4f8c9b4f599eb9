/* risk_figure.h - what the price may come out as: how often each price was met in the runs, with P20, P50, P80 and the price as
 * planned; beside it, or below where the paper is narrow, the inputs that carry the risk.
 *
 * Shows only: all comes from risk.h. Runs up to P80 are filled, those above it open, so that a grey copy reads as well. Each line
 * has its words in a row of its own, so none covers another.
 * Units  mm of paper; figures in those of the job.   Threads  no shared state. */
#ifndef STANCH_REPORT_RISK_FIGURE_H
#define STANCH_REPORT_RISK_FIGURE_H

#include "report/say.h"
#include "report/sheet.h"
#include "risk/risk.h"

typedef struct {
    double width_mm, type_mm; /* all else follows from these */
} risk_figure_size;

/* In a file of its own: type is read at 360 pixels across. */
#define RISK_FIGURE_FILE ((risk_figure_size){120, 3.4})
/* On a page of A4 or Letter. */
#define RISK_FIGURE_TYPE_MM 2.4

/* Compose. *out has its memory and is else empty. False without memory. */
bool risk_figure_draw(const risk_result *risk, risk_figure_size size, say *words, sheet *out);

/* The title of the figure. */
extern const char risk_figure_title[];

#endif
