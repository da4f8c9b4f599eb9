/* watertest_rule.c - the published criteria of a tank test; trade/acceptance.md 1 with how each was read. */
#include "accept/watertest_rule.h"

#include <math.h>

/* "through a page that quotes it" and "value from memory" are what the trade page says of each. 72 h for the classes of ACI 350.1:
 * at least 6 days in all, less 3 of soaking; our reading of both. */
static const watertest_rule rules[CRITERION_COUNT] = {
    {CRITERION_AWWA_D110, "AWWA D110",
     "net loss in 24 h at most 0.05 % of the capacity, over 72 h; if it fails, over 5 days",
     "ANSI/AWWA D110-04, read through a page that quotes it", ALLOWED_PERCENT_DAY, 0.05, 72, 120, 24, true},
    {CRITERION_ACI_AWWA_1978, "ACI-AWWA 1978",
     "net loss in 24 h at most 0.1 % of the volume, over at least 5 days",
     "ACI-AWWA committee report 1978, read through a page that quotes it", ALLOWED_PERCENT_DAY, 0.1, 120, 0,
     0, true},
    {CRITERION_ACI350_NML, "ACI 350.1 HST-NML", "no measurable loss",
     "ACI 350.1 class, value from memory; what is measurable: our default", ALLOWED_NONE, 0, 72, 0, 72, true},
    {CRITERION_ACI350_025, "ACI 350.1 HST-025", "net loss at most 0.025 % of the volume a day",
     "ACI 350.1 class, value from memory", ALLOWED_PERCENT_DAY, 0.025, 72, 0, 72, true},
    {CRITERION_ACI350_050, "ACI 350.1 HST-050", "net loss at most 0.050 % of the volume a day",
     "ACI 350.1 class, value from memory", ALLOWED_PERCENT_DAY, 0.05, 72, 0, 72, true},
    {CRITERION_ACI350_075, "ACI 350.1 HST-075", "net loss at most 0.075 % of the volume a day",
     "ACI 350.1 class, value from memory", ALLOWED_PERCENT_DAY, 0.075, 72, 0, 72, true},
    {CRITERION_ACI350_100, "ACI 350.1 HST-100", "net loss at most 0.100 % of the volume a day",
     "ACI 350.1 class, value from memory", ALLOWED_PERCENT_DAY, 0.1, 72, 0, 72, true},
    {CRITERION_BS5337, "BS 5337", "total drop in 7 days at most 10 mm, evaporation of open tanks allowed for",
     "BS 5337, read through a book that quotes it", ALLOWED_MM, 10, 168, 0, 0, true},
    {CRITERION_BS8007, "BS 8007",
     "drop in 7 days at most 1/500 of the depth or 10 mm, the lower, after evaporation and rain",
     "BS 8007:1987 section 9, value from memory", ALLOWED_MM, 10, 168, 0, 168, true},
    {CRITERION_EN1610_PIPE, "EN 1610, pipes", "water added in 30 min at most 0.15 l on each m2 wetted",
     "EN 1610, read through a page that quotes it", ALLOWED_L_M2, 0.15, 0.5, 0, 1, false},
    {CRITERION_EN1610_PIPE_MANHOLE, "EN 1610, pipes with manholes",
     "water added in 30 min at most 0.20 l on each m2 wetted", "EN 1610, read through a page that quotes it",
     ALLOWED_L_M2, 0.20, 0.5, 0, 1, false},
    {CRITERION_EN1610_CHAMBER, "EN 1610, manholes and chambers",
     "water added in 30 min at most 0.40 l on each m2 wetted", "EN 1610, read through a page that quotes it",
     ALLOWED_L_M2, 0.40, 0.5, 0, 1, false},
    {CRITERION_PRECAST, "small precast tanks", "loss in 30 min at most 0.1 l on each m2 of wetted inner wall",
     "a test house's page, read through it", ALLOWED_L_M2, 0.1, 0.5, 0, 0, false},
};

static const double BS8007_PART = 1.0 / 500; /* of the average full depth; value from memory */

const watertest_rule *watertest_find_rule(survey_criterion id) {
    return (unsigned)id < CRITERION_COUNT ? &rules[id] : NULL;
}

double watertest_allowed(const watertest_rule *rule, double depth_m) {
    return rule->id == CRITERION_BS8007 ? fmin(rule->allowed, depth_m * BS8007_PART * 1000) : rule->allowed;
}
