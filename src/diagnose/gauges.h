/* gauges.h - the readings of one leak by gauge: days and temperatures, fit, coming year; only for src/diagnose.
 *
 * Temperatures  those of the readings where each has one, else the site's air log with the lag searched. Where neither
 *   serves, the gauge is undecided and its rule says why.
 * Coming year  the 365 days after the last reading, for a gauge whose season is closed. Extremes given: both, at its first
 *   and its last day (drift is straight, so no day between lies outside). Typical year: each day's temperature of the
 *   wall, the air wrapped round the year (a first-order wall starts in its own steady state).   Threads  no shared state. */
#ifndef STANCH_DIAGNOSE_GAUGES_H
#define STANCH_DIAGNOSE_GAUGES_H

#include "diagnose/diagnosis.h"

/* Fill out->gauges. E_MEMORY; E_INPUT where the readings do not fit movement.h. */
status gauges_read(const survey *s, const survey_defect *d, arena *memory, diagnosis *out, fault *why);

/* Wall temperatures over a typical year from its daily air, both SURVEY_YEAR_DAYS long. */
void gauges_typical_wall(const double *air_c, movement_wall wall, double lag_days, double *wall_c);

#endif
