/* fixture.h - a survey from JSON text written in a test, completed from the catalogue and checked. */
#ifndef STANCH_TESTS_FIXTURE_H
#define STANCH_TESTS_FIXTURE_H

#include "plan/plan.h"

/* Fails the test, with the faults printed, when the text is no good survey. The caller frees it. */
survey *fixture_survey(const char *json);

/* The plan of such a survey; fails the test when there is none. */
plan *fixture_plan(const survey *s);

/* A metric job with one wall N, 10 x 4 m, `thickness_m` thick, its foot at elevation 0, water at `level`
 * today and by design, and the given defects (JSON objects). */
survey *fixture_wall(double thickness_m, double level_m, const char *defects);

#endif
