#include "core/date.h"

#include <stdio.h>
#include <string.h>

static const int before[] = {0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334}; /* days before a month */

static bool is_leap(int year) {
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

static int number(const char *from, int digits) {
    int value = 0;
    for (int i = 0; i < digits; i++) value = value * 10 + (from[i] - '0');
    return value;
}

bool date_read(const char *text, calendar_day *out) {
    static const char form[] = "0000-00-00";
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    *out = (calendar_day){0};
    if (!text) return false;
    for (int i = 0; form[i]; i++) /* a text that ends early differs at its end */
        if (form[i] == '0' ? text[i] < '0' || text[i] > '9' : text[i] != '-') return false;
    calendar_day at = {number(text, 4), number(text + 5, 2), number(text + 8, 2)};
    if (at.year < 1 || at.month < 1 || at.month > 12 || at.day < 1) return false;
    if (at.day > days[at.month - 1] + (at.month == 2 && is_leap(at.year))) return false;
    *out = at;
    return true;
}

long long date_days(calendar_day at) {
    int past = at.year - 1;
    long long leap_days = past / 4 - past / 100 + past / 400 - 477; /* 477 to the end of 1969 */
    return 365LL * (at.year - 1970) + leap_days + before[at.month - 1] + (is_leap(at.year) && at.month > 2) +
           at.day - 1;
}

calendar_day date_of_days(long long days) {
    calendar_day at = {(int)(1970 + days / 366), 1, 1}; /* no later than the year for days from 1970 on */
    while (date_days((calendar_day){at.year, 1, 1}) > days) at.year--;
    while (date_days((calendar_day){at.year + 1, 1, 1}) <= days) at.year++;
    while (at.month < 12 && date_days((calendar_day){at.year, at.month + 1, 1}) <= days) at.month++;
    at.day = (int)(days - date_days(at)) + 1;
    return at;
}

bool date_day(const char *text, long long *days) {
    calendar_day at;
    if (!date_read(text, &at) || strlen(text) != 10) return false;
    *days = date_days(at);
    return true;
}

bool date_hour(const char *text, long long *hours) {
    calendar_day at;
    if (!date_read(text, &at) || (text[10] != 'T' && text[10] != ' ')) return false;
    const char *clock = text + 11;
    for (int i = 0; i < 2; i++)
        if (clock[i] < '0' || clock[i] > '9') return false;
    if (number(clock, 2) > 23 || (clock[2] && strcmp(clock + 2, ":00") != 0)) return false;
    *hours = 24 * date_days(at) + number(clock, 2);
    return true;
}

char *date_hour_text(long long hours, char into[DATE_HOUR_BYTES]) {
    long long day = hours >= 0 ? hours / 24 : -((23 - hours) / 24);
    calendar_day at = date_of_days(day);
    snprintf(into, DATE_HOUR_BYTES, "%04d-%02d-%02dT%02d:00", at.year % 10000, at.month % 100, at.day % 100,
             (int)(hours - 24 * day) % 100);
    return into;
}

int date_of_year(calendar_day at) {
    bool added = at.month == 2 && at.day == 29;
    return before[at.month - 1] + at.day - 1 - added;
}
