#include "web/when.h"

#include "core/date.h"

#include <assert.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

enum { DAY_S = 86400 };

bool when_read(const char *text, long long *seconds) {
    int hour, minute, second, used = 0;
    calendar_day day;
    if (!text || strlen(text) != WHEN_TEXT - 1 || strspn(text + 10, "0123456789:TZ") != WHEN_TEXT - 11)
        return false;
    if (!date_read(text, &day) || day.year < 1970) return false;
    if (sscanf(text + 10, "T%2d:%2d:%2dZ%n", &hour, &minute, &second, &used) != 3 || used != WHEN_TEXT - 11)
        return false;
    if (hour < 0 || hour > 23 || minute < 0 || minute > 59 || second < 0 || second > 59) return false;
    *seconds = date_days(day) * DAY_S + hour * 3600 + minute * 60 + second;
    return true;
}

char *when_write(long long seconds, char into[WHEN_TEXT]) {
    time_t at = (time_t)seconds;
    struct tm utc;
    bool good = gmtime_r(&at, &utc) && strftime(into, WHEN_TEXT, "%Y-%m-%dT%H:%M:%SZ", &utc) == WHEN_TEXT - 1;
    assert(good);
    if (!good) memcpy(into, "1970-01-01T00:00:00Z", WHEN_TEXT);
    return into;
}
