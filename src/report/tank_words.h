/* tank_words.h - what the figure of a tank test says. Only for src/report.   Threads  no shared state. */
#ifndef STANCH_REPORT_TANK_WORDS_H
#define STANCH_REPORT_TANK_WORDS_H

#include "report/tank_figure.h"

const char *tank_title(const tank_figure_view *view, say *words); /* "Water test of the raw water tank" */
const char *tank_verdict(const tank_figure_view *view);           /* "Passes" */
/* The reason, the figures, the first findings. */
const char *tank_said(const tank_figure_view *view, say *words);

#endif
