/* work.h - the hours of a site's shift, and which days are worked, with our defaults where nothing was told.
 *
 * Defaults  start at 7 h, or so early that the shift ends by 24 h; a break of half an hour, or what the day leaves, after half
 *   the shift; Monday to Friday; noisy work at any hour: all ours.
 * Units  hours of the day, 0 to 24; days since 1970-01-01 (core/date.h).   Threads  no shared state. */
#ifndef STANCH_SURVEY_WORK_H
#define STANCH_SURVEY_WORK_H

#include "survey/survey.h"

#define WORK_STARTS_H 7.0       /* our default */
#define WORK_BREAK_LENGTH_H 0.5 /* our default */

/* Our defaults: more is a mistake. */
enum { WORK_HOLIDAYS_MOST = 1000, WORK_WORKERS_MOST = 100, WORK_FORECAST_MOST_H = 8784 };

typedef struct {
    double from_h, to_h;             /* there: site.shift_h of work, and the break */
    double break_from_h, break_to_h; /* equal: no break */
    double noise_from_h, noise_to_h; /* 0, 24: at any hour */
} work_shift;

/* A survey that passed survey_check gives 0 <= from < break <= to <= 24, and noisy hours that meet the shift. */
work_shift work_shift_of(const survey_site *site);

/* Is work done on that day: a day of the week that is worked, and no holiday? */
bool work_on_day(const survey_work *work, long long day);

/* 0 Monday to 6 Sunday. */
int work_week_day(long long day);

#endif
