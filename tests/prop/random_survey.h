/* random_survey.h - a survey that passes survey_check, drawn from a seed; and a deep comparison.
 * Numbers are decimals as a person types them in the units of the job. For tests only. */
#ifndef STANCH_TEST_RANDOM_SURVEY_H
#define STANCH_TEST_RANDOM_SURVEY_H

#include "survey/survey.h"

survey *random_survey(unsigned long long seed, units_system system, size_t n_faces, size_t n_defects);

/* NULL when equal in every member (doubles bit for bit, order too); else the name of what differs. Origins do
 * not count. `parts` of a comparison: */
const char *survey_difference(const survey *a, const survey *b);
const char *faces_difference(const survey *a, const survey *b);   /* faces and folds */
const char *defects_difference(const survey *a, const survey *b); /* defects */

#endif
