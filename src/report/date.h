/* date.h - the caller's date, checked.   Threads  no shared state. */
#ifndef STANCH_REPORT_DATE_H
#define STANCH_REPORT_DATE_H

#include "core/fault.h"

/* OK for YYYY-MM-DD of a year from 1970 to 9999 and a day that exists; else E_INPUT. */
status date_check(const char *date, fault *why);

#endif
