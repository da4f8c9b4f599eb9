/* write_gauges.h - the readings of a survey as the table that read_table.h takes: mark,gauge,on,width_mm,temperature_c (or
 * width_in,temperature_f), leak by leak, gauge by gauge, in the order of the dates. Threads  no shared state. */
#ifndef STANCH_SURVEY_WRITE_GAUGES_H
#define STANCH_SURVEY_WRITE_GAUGES_H

#include "core/text.h"
#include "survey/survey.h"

/* Appended to `to`, in the job's units; to->failed without memory. */
void survey_write_gauges(const survey *s, text *to);

#endif
