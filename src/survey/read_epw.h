/* read_epw.h - the typical year of a weather station, from an EPW file, hour by hour and as daily means of the air.
 *
 * Format  EnergyPlus weather file: 8 lines of heading, the first beginning "LOCATION"; then one line an hour from 1 January,
 *   8760 of them, or 8784 with 29 February, which is left out. Fields parted by commas: year, month, day, hour 1 to 24,
 *   minute, flags, dry bulb in C as the 7th (99.9 there says "missing"), relative humidity in % as the 9th, to 110, and wind speed in
 *   m/s as the 22nd, to 40 (999: missing). Hour 1 runs from 0 h to 1 h (EnergyPlus, Auxiliary Programs, "EPW data dictionary").
 *   Years may change from month to month: a typical year is put together.
 * Result  site.typical_c, one mean a day, and site.year, each hour with its wind as told, 10 m above the ground (the height of
 *   stations: common practice), humidity to 100; rounded to 0.01 in the job's units (our default). They replace those that were
 *   there.   Threads  no shared state. */
#ifndef STANCH_SURVEY_READ_EPW_H
#define STANCH_SURVEY_READ_EPW_H

#include "survey/survey.h"

/* Faults go to the list, with the line; the survey is then as it was. True when this file added no fault. */
bool survey_read_epw(survey *into, const char *source, const char *bytes, size_t length, fault_list *faults);

#endif
