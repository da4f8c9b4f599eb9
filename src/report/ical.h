/* ical.h - the works as a calendar that a phone takes in (iCalendar, RFC 5545).
 *
 * Events  one a day of work with what is done then; one a curing visit, with an alarm ICAL_ALARM_MIN before it; the moment
 *   water may come back to a leak; and all-day ones, free of time, to look again 24 h, 7 d and 28 d after that, one a
 *   day with its leaks, as planned; once proofs are kept report_looks_ical has the true days. Hold points are not events: they
 *   want a tick and a name, and stand on the day sheets.
 * Time  floating, without a time zone (3.3.5, form 1): 07:00 is seven o'clock at the site whatever the phone is set to, and the job
 *   knows no zone.
 * UID  the same for the same job and task or day, so that a calendar taken in again moves its events and doubles none.
 * Same bytes  DTSTAMP is the date given.   Text  folded at 75 octets, no character split.   Threads  no shared state. */
#ifndef STANCH_REPORT_ICAL_H
#define STANCH_REPORT_ICAL_H

#include "accept/revisit.h"
#include "core/text.h"
#include "report/works_words.h"

#define ICAL_ALARM_MIN 15 /* our default: time to walk there */

typedef struct {
    const char *date;    /* YYYY-MM-DD */
    const char *version; /* of the program */
    const char *job;     /* what tells this job from others: the name of its file */
} ical_options;

/* Appended to *out. E_INPUT: the date; E_STATE: no first day of work is told; E_MEMORY. */
status report_ical(const survey *s, const works_plan *works, const ical_options *options, text *out,
                   fault *why);

/* The looks at repairs that are not done and have a date, as all-day events, free of time: one a day and kind with its leaks. The
 * same job, kind and day have the same UID. E_STATE: there are none, and a calendar without an event is no calendar (3.6). */
status report_looks_ical(const survey *s, const revisit *looks, size_t n, const ical_options *options,
                         text *out, fault *why);

/* Opens a calendar, and an event in it: `what` is unique in the job (a task's id, or a word and a day). The caller ends them by
 * END:VEVENT and END:VCALENDAR. */
void ical_begin(text *out, const survey *s, const ical_options *options);
void ical_begin_event(text *out, const survey *s, const ical_options *options, const char *what,
                      const char *summary);

/* One content line: value escaped (3.3.11), folded (3.1), ended by CRLF. For tests. */
void ical_add_text(text *out, const char *name, const char *value);

#endif
