/* when.h - times as the page writes them, "2026-03-01T09:30:00Z", and as seconds since 1970 (UTC, no leap seconds).
 *
 * Limits  years 1970 to 9999.   Threads  no shared state. */
#ifndef STANCH_WEB_WHEN_H
#define STANCH_WEB_WHEN_H

#include <stdbool.h>

enum { WHEN_TEXT = 21 };

/* False when `text` is not such a time. */
bool when_read(const char *text, long long *seconds);

/* Returns `into`. */
char *when_write(long long seconds, char into[WHEN_TEXT]);

#endif
