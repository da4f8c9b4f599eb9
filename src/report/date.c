#include "report/date.h"

#include "core/date.h"

status date_check(const char *date, fault *why) {
    calendar_day at;
    long long days;
    if (date_day(date, &days) && date_read(date, &at) && at.year >= 1970) return OK;
    return fault_set(why, E_INPUT, "date \"%s\": it must be a day as YYYY-MM-DD, from 1970 on",
                     date ? date : "");
}
