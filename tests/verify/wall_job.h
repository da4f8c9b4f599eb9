/* wall_job.h - a small job built in C for the tests of the diagnosis: one wall N, 10 m long, 4 m high, 0.30 m thick, ground and
 * water to 3 m behind it. Fails the test where memory ends. */
#ifndef STANCH_TESTS_WALL_JOB_H
#define STANCH_TESTS_WALL_JOB_H

#include "../near.h"
#include "hydraulics/leak.h"

survey *wall_job(void);

/* Another defect of the wall: its run of points, two numbers each. The survey's array may move: take defects by index. */
survey_defect *wall_add(survey *s, const char *mark, survey_kind kind, size_t n, const double (*points)[2]);

/* Stations with these widths (mm; 0: not read), evenly from the first point to the last. */
void wall_widths(survey *s, survey_defect *d, size_t n, const double *width_mm, survey_wetness wetness);

/* A reading of a gauge `day` days after 2026-01-01; temperature NAN: not known. */
void wall_read(survey *s, survey_defect *d, const char *gauge, int day, double width_mm,
               double temperature_c);

/* `day` days after 2026-01-01 as text in the survey's memory. */
const char *wall_date(survey *s, int day);

leak_water wall_look(survey *s, const survey_defect *d);

#endif
