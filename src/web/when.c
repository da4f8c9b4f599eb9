#include "web/when.h"

#include <assert.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

enum { DAY_S = 86400 };

/* Days from 1970-01-01, by counting years from March so that the leap day comes last (common practice). */
static long long days_of(int year, int month, int day) {
    long long y = month > 2 ? year : year - 1;
    long long m = month > 2 ? month - 3 : month + 9;
    return 365 * y + y / 4 - y / 100 + y / 400 + (153 * m + 2) / 5 + day - 1 - 719468;
}

bool when_read(const char *text, long long *seconds) {
    int year, month, day, hour, minute, second, used = 0;
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    if (!text || strlen(text) != WHEN_TEXT - 1 || strspn(text, "0123456789-:TZ") != WHEN_TEXT - 1)
        return false;
    if (sscanf(text, "%4d-%2d-%2dT%2d:%2d:%2dZ%n", &year, &month, &day, &hour, &minute, &second, &used) !=
            6 ||
        used != WHEN_TEXT - 1)
        return false;
    bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    if (year < 1970 || month < 1 || month > 12 || day < 1) return false;
    if (day > days[month - 1] + (month == 2 && leap)) return false;
    if (hour < 0 || hour > 23 || minute < 0 || minute > 59 || second < 0 || second > 59) return false;
    *seconds = days_of(year, month, day) * DAY_S + hour * 3600 + minute * 60 + second;
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
