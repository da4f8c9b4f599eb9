#include "cli/today.h"

#include "core/clock.h"
#include "core/date.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static bool is_date(const char *text) {
    calendar_day day;
    long long days;
    return date_day(text, &days) && date_read(text, &day) && day.year >= 1900;
}

static bool read_clock(struct tm *utc) {
    const char *epoch = getenv("SOURCE_DATE_EPOCH");
    time_t now = epoch ? (time_t)strtoll(epoch, NULL, 10) : time(NULL);
    return gmtime_r(&now, utc) != NULL;
}

static status fault_clock(fault *why) {
    return fault_set(why, E_INPUT, "the clock does not tell a date");
}

status today_read(const char *given, char into[TODAY_TEXT], fault *why) {
    if (given) {
        if (!is_date(given))
            return fault_set(why, E_INPUT, "the date is %.60s; it must be a day as YYYY-MM-DD", given);
        memcpy(into, given, TODAY_TEXT);
        return OK;
    }
    struct tm utc;
    bool told = read_clock(&utc) && strftime(into, TODAY_TEXT, "%Y-%m-%d", &utc) > 0;
    return told ? OK : fault_clock(why);
}

status today_now(char into[NOW_TEXT], fault *why) {
    struct tm utc;
    bool told = read_clock(&utc) && strftime(into, NOW_TEXT, "%Y-%m-%dT%H:%M:%SZ", &utc) > 0;
    return told ? OK : fault_clock(why);
}

status today_local(char into[LOCAL_TEXT], int *offset_min, fault *why) {
    const char *epoch = getenv("SOURCE_DATE_EPOCH");
    long long now = epoch ? strtoll(epoch, NULL, 10) : (long long)time(NULL);
    return clock_local(now, into, offset_min) ? OK : fault_clock(why);
}

status today_check(const char *given, fault *why) {
    char day[TODAY_TEXT];
    static const char form[] = "0000-00-00T00:00";
    snprintf(day, sizeof day, "%.10s", given);
    bool good = is_date(day) && strlen(given) == sizeof form - 1;
    for (size_t i = 10; good && i < sizeof form - 1; i++)
        good = form[i] == '0' ? given[i] >= '0' && given[i] <= '9' : given[i] == form[i];
    if (good && atoi(given + 11) < 24 && atoi(given + 14) < 60) return OK;
    return fault_set(why, E_INPUT, "the time is %.60s; it must be YYYY-MM-DDTHH:MM", given);
}
