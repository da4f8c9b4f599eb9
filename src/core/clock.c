#include "core/clock.h"

#include "core/date.h"

#include <time.h>

static long long minutes_of(const struct tm *at) {
    const calendar_day day = {at->tm_year + 1900, at->tm_mon + 1, at->tm_mday};
    return date_days(day) * 1440 + at->tm_hour * 60 + at->tm_min;
}

bool clock_local(long long seconds, char into[CLOCK_TEXT], int *offset_min) {
    time_t at = (time_t)seconds;
    struct tm utc, local;
    tzset();
    if (!gmtime_r(&at, &utc) || !localtime_r(&at, &local)) return false;
    *offset_min = (int)(minutes_of(&local) - minutes_of(&utc));
    return strftime(into, CLOCK_TEXT, "%Y-%m-%dT%H:%M", &local) == CLOCK_TEXT - 1;
}
