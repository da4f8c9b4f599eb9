/* moist_parts.h - what the files of moist.h share; only for src/works.
 *
 * moist_air.c the air, moist_open.c openings and rounds, moist.c visits and alarms, moist_say.c sentences.
 * Threads  no shared state. */
#ifndef STANCH_WORKS_MOIST_PARTS_H
#define STANCH_WORKS_MOIST_PARTS_H

#include "works/moist.h"

#define MOIST_CLOTH_KG_M2 EVAPORATION_FILM_FLOOR_KG_M2 /* rule 16: on flat floors or under held wet cloth */

int moist_up_min(double minutes); /* to WORKS_STEP_MIN */
/* Hour of the clock whose weather an hour of a cure has: that in which its middle lies. */
size_t moist_clock_hour(int begin_min, size_t hour);
bool moist_air_ends(const moist_air *air, int begin_min); /* before MOIST_LONGEST_DAYS have passed */
double moist_film_kg_m2(survey_lie lie);                  /* left by a visit on bare concrete */

/* How a face is kept moist between visits. */
typedef enum { COVER_NONE, COVER_CLOTH, COVER_SHEET } moist_cover;

/* A minute of the clock as a person says it: "Tue 3 March 10:00", or "day 2, 10:00" without dates. NULL without memory. */
const char *moist_clock(const moist_air *air, long long minute, arena *memory);

/* What is done on a visit; `marks`: of the leaks, with commas. NULL without memory. */
const char *moist_visit_text(const survey_face *face, const char *marks, cure_visit_kind kind,
                             moist_cover cover, bool frost, arena *memory);
const char *moist_alarm_text(const moist_air *air, const moist_alarm *alarm, arena *memory);

/* Append a sentence; NULL is memory that was not there. */
status moist_add_text(arena *memory, const char ***list, size_t *n, const char *sentence, fault *why);

#endif
