/* readings.h - readings of gauges and days of the air: their order, and new ones put among those that are there.
 *
 * Order  readings by gauge (one without a name first), then by date; days of the air by date. Files may have any order.
 * Again  what is there already with the same value is passed over, so that a file may come twice; a reading that is there
 *   without a temperature takes the new one's. Another value of the same gauge and day is a fault that names both.
 * Units  SI inside; sentences speak the job's units.   Threads  no shared state. */
#ifndef STANCH_SURVEY_READINGS_H
#define STANCH_SURVEY_READINGS_H

#include "survey/survey.h"

/* Our defaults: two gauges read every quarter of an hour for a year; a hundred years of days. */
enum { READINGS_MOST = 100000, READINGS_AIR_MOST = 40000 };

/* Below 0, 0 or above, as strcmp: by gauge, then by date. */
int readings_order(const survey_reading *a, const survey_reading *b);
bool readings_same_gauge(const survey_reading *a, const survey_reading *b);

void readings_sort(survey_reading *readings, size_t n);
void readings_sort_air(survey_air *air, size_t n);

typedef struct {
    survey_reading reading;
    const char *origin; /* for a fault: "gauges.csv: line 3", or NULL */
} readings_new;

typedef struct {
    survey_air day;
    const char *origin;
} readings_new_air;

/* Put `n` more among the readings of `d`, a leak of `s`, whose readings are in order; texts are borrowed. *added: how many
 * were new. After a fault the leak is as it was. False after a fault or without memory (noted). */
bool readings_add(survey *s, survey_defect *d, const readings_new *more, size_t n, size_t *added,
                  fault_list *faults);

/* The same for the log of the air of the site. */
bool readings_add_air(survey *s, const readings_new_air *more, size_t n, fault_list *faults);

/* "0.31 mm", "0.0122 in": as it was typed. Returns `into`. */
char *readings_show(units_quantity q, units_system system, double si, char into[UNITS_SHOWN]);

#endif
