/* read_table.h - the CSV tables that a job takes, told apart by their heading.
 *
 *   stations   mark, kind, face, u, v ...   (read_csv.h)
 *   gauges     mark,gauge,on,width_mm,temperature_c (or width_in,temperature_f): one reading a row. `gauge` and `temperature`
 *              may be empty or left out. A heading `on` with `mark`, or one of gauge, width with no `kind`, says so.
 *   air        on,air_c (or air_f): the mean of a day. A heading air_c or air_f says so.
 *   forecast   hour,air_c,humidity_percent,wind_km_h (or air_f, wind_mph): one hour a row, in their order, none left out. A heading
 *              `hour` says so. It replaces the forecast of the job.
 *
 * Readings and days are added to those of the job (readings.h). Every fault is listed with source, line, value and limit;
 * after a fault the survey is half merged and the caller throws it away. Threads  no shared state. */
#ifndef STANCH_SURVEY_READ_TABLE_H
#define STANCH_SURVEY_READ_TABLE_H

#include "survey/survey.h"

typedef enum { TABLE_STATIONS, TABLE_GAUGES, TABLE_AIR, TABLE_FORECAST } table_kind;

/* By the first line; what has no heading that we know is taken for stations, whose reader says what is wrong. */
table_kind survey_table_kind(const char *bytes, size_t length);

/* Any of the four. True when this file added no fault. */
bool survey_read_table(survey *into, const char *source, const char *bytes, size_t length,
                       fault_list *faults);

bool survey_read_gauges(survey *into, const char *source, const char *bytes, size_t length,
                        fault_list *faults);
bool survey_read_forecast(survey *into, const char *source, const char *bytes, size_t length,
                          fault_list *faults);
bool survey_read_air(survey *into, const char *source, const char *bytes, size_t length, fault_list *faults);

#endif
