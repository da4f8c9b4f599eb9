/* watertest.h - does a tank hold its water: the drop between readings, less evaporation, with rain and temperature, against a
 * published criterion, and how sure that is.
 *
 * Model  net drop = drop - pan factor x (pan drop + rain where the pan stood open) + rain (trade rule 17), less what the change of
 *   the water's temperature alone moved: depth (rho(T1)/rho(T2) - 1). The loss a day is the slope of a straight line through the
 *   corrected levels, by least squares with errors that hang together in time; with two readings their difference. Its
 *   uncertainty is that of the fit or of the readings (WATERTEST_READING_M each), the larger, with that of pan, rain and
 *   temperature, combined as independent (GUM), times 2.
 * Verdict  pass: loss + uncertainty <= allowed and the test as long as the criterion asks; fail: loss - uncertainty > allowed, at any
 *   time; else undecided, with the hours after which it could be decided if it goes on so.
 * Findings  the level rose and no rain was told; the clock ran backwards; a pan that ran dry or was filled up; readings whose
 *   steps look as if units were mixed; no pan on an open tank; too short; a soak that was not told. They are sentences, not
 *   faults.
 * Units  SI, degrees Celsius, hours.   Threads  no shared state. */
#ifndef STANCH_ACCEPT_WATERTEST_H
#define STANCH_ACCEPT_WATERTEST_H

#include "core/json_in.h" /* maybe */
#include "survey/survey.h"

#define WATERTEST_READING_M                                                                                  \
    0.0002 /* our default: standard uncertainty of one reading by hook gauge or scale */

enum { WATERTEST_READINGS_MOST = 100000 };

typedef enum { WATERTEST_PASS, WATERTEST_FAIL, WATERTEST_UNDECIDED, WATERTEST_VERDICTS } watertest_verdict;
extern const char *const watertest_verdict_words[WATERTEST_VERDICTS];

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
    double allowed; /* percent a day, l a m2; of BS 8007 the lower of 10 mm and 1/500 of the depth, in mm */
    double hours_least; /* of the test, and how far it is extended where it fails; 0: none told */
    double hours_extended;
    double soak_hours; /* standing full before the first reading */
    bool evaporation;  /* may be deducted */
} watertest_rule;
const watertest_rule *watertest_find_rule(survey_criterion id);

typedef struct {
    double hours, level_m; /* hours rise, level above any mark */
    maybe temperature_c;
} watertest_reading;

typedef struct {
    double capacity_m3, plan_area_m2, depth_m;
    maybe wetted_area_m2;
    const watertest_reading *readings; /* 2 or more */
    size_t n_readings;
    const watertest_reading *pan; /* NULL: none; interpolated to the readings of the tank */
    size_t n_pan;
    double pan_factor;
    survey_pan pan_kind;
    double rain_m;      /* in all, where `rain` is NULL */
    const double *rain; /* NULL, or fallen between each reading and the one before it; rain[0] = 0 */
    survey_criterion criterion;
} watertest_input;

typedef struct {
    double drop_m, evaporation_m, rain_m, thermal_m; /* first reading to last */
    double net_drop_m, uncertainty_m;                /* over the test */
    double hours;
    double loss_m3_s, loss_percent_day;
    maybe loss_uncertainty_m3_s;
    double allowed; /* in allowed_unit, over the time of the test where that is mm or l/m2 */
    watertest_allowed_unit allowed_unit;
    double found; /* in the same unit */
    maybe found_uncertainty;
    watertest_verdict verdict;
    maybe hours_more;      /* undecided: to go on until it could be decided; not known: it never can so */
    const char *reason;    /* one sentence */
    const char **findings; /* sentences */
    size_t n_findings;
} watertest_result;

/* E_INPUT: fewer than two readings, a size that is not above 0, a wetted area that the criterion wants; all else is a finding. In
 * `memory`. */
status watertest_judge(const watertest_input *in, arena *memory, watertest_result *out, fault *why);

#endif
