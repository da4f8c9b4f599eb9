/* watertest_rule.h - the published criteria of a tank test, by name: what each allows and asks.
 *
 * Source  trade/acceptance.md 1, told with each row as it was read: through a page that quotes it, or from memory. The contract and
 *   the local code set the criterion; the one used is printed.
 * Units  those of the criterion.   Threads  constant. */
#ifndef STANCH_ACCEPT_WATERTEST_RULE_H
#define STANCH_ACCEPT_WATERTEST_RULE_H

#include "survey/survey.h"

/* What the limit is counted in. */
typedef enum {
    ALLOWED_PERCENT_DAY,
    ALLOWED_MM,
    ALLOWED_L_M2,
    ALLOWED_NONE,
    ALLOWED_UNITS
} watertest_allowed_unit;
extern const char *const watertest_allowed_words[ALLOWED_UNITS]; /* percent_day mm l_m2 none */

/* One published criterion. */
typedef struct {
    survey_criterion id;
    const char *name, *asks, *source; /* source with how it was read */
    watertest_allowed_unit unit;
    double
        allowed; /* percent a day; mm or l a m2 in `hours_least`; of BS 8007 at most, see watertest_allowed */
    double hours_least; /* of the test, and how far it is extended where it fails; 0: not */
    double hours_extended;
    double soak_hours; /* standing full before the first reading */
    bool evaporation;  /* may be deducted */
} watertest_rule;
const watertest_rule *watertest_find_rule(survey_criterion id);
/* In the rule's unit: of BS 8007 the lower of 10 mm and 1/500 of the depth; else rule->allowed. */
double watertest_allowed(const watertest_rule *rule, double depth_m);

#endif
