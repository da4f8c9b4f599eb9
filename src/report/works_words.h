/* works_words.h - days, hours and spans of the works as a person reads them. Only shows.
 *
 * Without a first day of work a day is "Day 3". Hours: 07:00; on a US job 7:00 am. Units  minutes on the clock of works.h.
 * Threads  as say.h. */
#ifndef STANCH_REPORT_WORKS_WORDS_H
#define STANCH_REPORT_WORKS_WORDS_H

#include "core/date.h"
#include "report/say.h"
#include "works/works.h"

/* From the longest: "Tue 3 March 2026", "Tue 3 Mar", "Tue 3", "3"; US: "Tue, March 3, 2026", "Tue, Mar 3", "Tue 3", "3". */
typedef enum { DAY_FULL, DAY_MONTH, DAY_SHORT, DAY_NUMBER, DAY_FORMS } works_day_form;

int works_day_of(int minute); /* the day a minute lies in; from 0 */

/* False when the first day is not told or the day is past the calendar. */
bool works_date(const works_plan *works, int day, calendar_day *out);

const char *works_said_day(say *w, const works_plan *works, int day, works_day_form form);
const char *works_said_time(say *w, int minute); /* of its day */
/* "07:00-08:15", "7:00-8:15 am", "11:30 am-12:15 pm"; one moment where both are the same. */
const char *works_said_hours(say *w, int from, int to);
/* Rising moments: "07:00, 07:03", "7:00, 7:03 am". */
const char *works_said_times(say *w, const int *minutes, size_t n);
const char *works_said_moment(say *w, const works_plan *works, int minute); /* "Tue 3 Mar 07:00" */
const char *works_said_span(say *w, const works_plan *works, int from,
                            int to); /* "Tue 3 Mar 07:00 to 12:30" */

/* When the place must be back in service. False when that or the first day is not told. */
bool works_deadline(const works_plan *works, int *minute);

/* What stands on the cover and over the figures; sentences without their label. NULL: nothing to say. */
const char *works_said_when(say *w, const works_plan *works);     /* first to last, days, people */
const char *works_said_out(say *w, const works_plan *works);      /* out of service */
const char *works_said_deadline(say *w, const works_plan *works); /* and whether it is kept */
const char *works_said_bound(say *w, const works_plan *works);    /* how much shorter a plan could be */
const char *works_said_absent(say *w, const survey *s, const works_plan *works); /* leaks without tasks */

/* All of that as sentences. */
const char *works_said_all(say *w, const survey *s, const works_plan *works);

/* A task's title without the place it may begin with; with its part where it was split. */
const char *works_said_task(say *w, const works_task *task, const char *where);

/* Days on which somebody works. */
size_t works_days_worked(const works_plan *works, arena *memory);

#endif
