/* today.h - the date, from the clock or from SOURCE_DATE_EPOCH (reproducible builds), as YYYY-MM-DD in UTC.
 */
#ifndef STANCH_CLI_TODAY_H
#define STANCH_CLI_TODAY_H

#include "core/clock.h"
#include "core/fault.h"

enum { TODAY_TEXT = 11, NOW_TEXT = 21 };
/* `given` (an option's value) or, when NULL, the clock. E_INPUT when it is no date. */
status today_read(const char *given, char into[TODAY_TEXT], fault *why);

/* The moment of that clock, YYYY-MM-DDTHH:MM:SSZ. */
status today_now(char into[NOW_TEXT], fault *why);

/* The same moment by the local clock, YYYY-MM-DDTHH:MM, and how far that runs before UTC. */
enum { LOCAL_TEXT = CLOCK_TEXT };
status today_local(char into[LOCAL_TEXT], int *offset_min, fault *why);

/* E_INPUT when `given` is no such moment. */
status today_check(const char *given, fault *why);

#endif
