/* catalogue.h - what a new job starts with: generic materials, rates and prices, as tables a person can read.
 *
 * Materials and prices are INVENTED and say "replace by your maker's data sheet" or "invented"; they stand
 * for no product. Rates are marked published (with the source) or our default; a contractor replaces them by
 * his own records (basis "own"). Values of rates are in the metric unit that the rate names, whatever the
 * units of the job. Threads  no shared state. */
#ifndef STANCH_SURVEY_CATALOGUE_H
#define STANCH_SURVEY_CATALOGUE_H

#include "survey/survey.h"

/* Add every catalogue entry whose id the survey does not yet have; texts are borrowed from the program.
 * E_MEMORY without memory (the survey is then half filled). */
status survey_catalogue_fill(survey *s, fault *why);

/* The shipped entry of an id; NULL where there is none. */
const survey_rate *survey_catalogue_rate(const char *id);
const survey_price *survey_catalogue_price(const char *id);

/* Value of a rate or price by id; false when the job has none of that id. */
bool survey_rate_value(const survey *s, const char *id, double *value);
bool survey_price_value(const survey *s, const char *id, double *price);

#endif
