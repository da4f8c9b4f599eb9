#include "report/date.h"

#include <string.h>

static int number(const char *from, int digits) {
    int value = 0;
    for (int i = 0; i < digits; i++) value = value * 10 + (from[i] - '0');
    return value;
}

void date_parts(const char *date, int *year, int *month, int *day) {
    *year = number(date, 4);
    *month = number(date + 5, 2);
    *day = number(date + 8, 2);
}

static bool well_formed(const char *date) {
    if (!date || strlen(date) != 10 || strspn(date, "0123456789-") != 10) return false;
    for (int i = 0; i < 10; i++) {
        if ((date[i] == '-') != (i == 4 || i == 7)) return false;
    }
    int year, month, day;
    date_parts(date, &year, &month, &day);
    if (year < 1970 || month < 1 || month > 12 || day < 1) return false;
    bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    return day <= days[month - 1] + (leap && month == 2);
}

status date_check(const char *date, fault *why) {
    if (well_formed(date)) return OK;
    return fault_set(why, E_INPUT, "date \"%s\": it must be a day as YYYY-MM-DD, from 1970 on",
                     date ? date : "");
}
