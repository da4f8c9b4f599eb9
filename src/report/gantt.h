/* gantt.h - who works where when, as bars over working time: a row a leak under its face, or a row a person.
 *
 * Shows only: times, people and limits come from works.h. Time is what is worked: nights and days off are a gap, a doubled one
 * where days are left out, breaks a notch. Days that find no room across go on in a strip below, which has the rows with
 * something in it only. Work is told apart by height, tone and hatch, not by colour alone. What must follow at once is
 * stapled to what it follows. The cure is a thin line to the diamond where water comes back, its visits are ticks. Above the
 * days: the time out of service and the day of the deadline.
 * Units  mm of paper.   Threads  no shared state. */
#ifndef STANCH_REPORT_GANTT_H
#define STANCH_REPORT_GANTT_H

#include "core/text.h"
#include "report/sheet.h"
#include "report/works_words.h"

typedef enum { GANTT_LEAKS, GANTT_PEOPLE, GANTT_FORMS } gantt_form;
extern const char *const gantt_form_words[GANTT_FORMS]; /* "by leak", "by person" */

typedef struct {
    double width_mm, type_mm;
    double strip_mm; /* a strip is at most so high; HUGE_VAL: as high as it is */
    int day;         /* this day only; GANTT_ALL_DAYS */
} gantt_room;
enum { GANTT_ALL_DAYS = -1 };

/* In a file of its own: type is read at 360 pixels across. */
#define GANTT_FILE ((gantt_room){120, 3.2, HUGE_VAL, GANTT_ALL_DAYS})
#define GANTT_PAGE_TYPE_MM 2.3

typedef struct gantt gantt;

/* Lay out. The plan has tasks. In words->memory; NULL without memory. */
gantt *gantt_new(const survey *s, const works_plan *works, gantt_form form, gantt_room room, say *words);

size_t gantt_strips(const gantt *g); /* at least 1 */
/* Each composes one sheet, which has its memory and is else empty. */
void gantt_draw_strip(const gantt *g, size_t at, sheet *out);
void gantt_draw_legend(const gantt *g, sheet *out);
/* Title and sentences, for a figure without a page round it. */
void gantt_draw_heading(const gantt *g, sheet *out);

/* All of it as a file of its own, appended to *out; `day` as in gantt_room. The plan has tasks. E_MEMORY. */
status gantt_svg(const survey *s, const works_plan *works, gantt_form form, int day, text *out, fault *why);

#endif
