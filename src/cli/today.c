#include "cli/today.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static bool is_date(const char *text) {
    int year, month, day, used = 0;
    if (strlen(text) != 10 || sscanf(text, "%4d-%2d-%2d%n", &year, &month, &day, &used) != 3 || used != 10)
        return false;
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    if (year < 1900 || month < 1 || month > 12 || day < 1) return false;
    bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return day <= days[month - 1] + (month == 2 && leap);
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
