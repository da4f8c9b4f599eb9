/* date.h - days of the Gregorian calendar: a written date checked, and as a count of days.
 *
 * Limits  years 1 to 9999.   Threads  no shared state. */
#ifndef STANCH_CORE_DATE_H
#define STANCH_CORE_DATE_H

#include <stdbool.h>

typedef struct {
    int year, month, day; /* month and day from 1 */
} calendar_day;

/* The date at the head of `text`, YYYY-MM-DD (what follows it is not read). False when it is no day that exists. */
bool date_read(const char *text, calendar_day *out);

/* Days since 1970-01-01, below 0 before it, of a day that exists. */
long long date_days(calendar_day at);

/* The day of such a count; years 1 to 9999. */
calendar_day date_of_days(long long days);

/* The whole of `text` is a date YYYY-MM-DD: its days since 1970-01-01. False when it is none; NULL is none. */
bool date_day(const char *text, long long *days);

/* The whole of `text` is an hour of a day, YYYY-MM-DDTHH:00, 00 to 23; a blank for the T and leaving out ":00" are understood.
 * Hours since 1970-01-01 0 h, by the clock of one place. False when it is none; NULL is none. */
bool date_hour(const char *text, long long *hours);

enum { DATE_HOUR_BYTES = 24 };
/* Such a count as YYYY-MM-DDTHH:00; years 1 to 9999. Returns `into`. */
char *date_hour_text(long long hours, char into[DATE_HOUR_BYTES]);

/* 0 (1 January) to 364 (31 December) of a year without leap day; 29 February counts as the 28th. */
int date_of_year(calendar_day at);

#endif
