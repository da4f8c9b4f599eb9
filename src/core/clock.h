/* clock.h - a moment as the clock on the wall of this machine shows it. The moment is the caller's: no clock is read here.
 *
 * Model  the time zone of the machine (TZ), summer time included.   Threads  any. */
#ifndef STANCH_CORE_CLOCK_H
#define STANCH_CORE_CLOCK_H

#include <stdbool.h>

enum { CLOCK_TEXT = 17 }; /* YYYY-MM-DDTHH:MM */

/* `seconds` since 1970 (UTC), and how many minutes the local clock runs before UTC then. False past the calendar. */
bool clock_local(long long seconds, char into[CLOCK_TEXT], int *offset_min);

#endif
