/* watertest.h - does a tank hold its water: the drop between readings, less evaporation, with rain and temperature, against a
 * published criterion, and how sure that is.
 *
 * Model  net drop = drop - pan factor x (pan drop + rain where the pan stood open) + rain (trade rule 17) + what the warming of the
 *   water lifted it: depth (rho(T1)/rho(Tn) - 1); first good reading to last. The loss a day is the slope of a straight line
 *   through the corrected levels: from WATERTEST_SERIES readings on with errors that hang together in time (stats/robust.h),
 *   fewer by least squares, two by their difference; also by the difference where rain is told only in all.
 * Uncertainty  of the readings that of WATERTEST_READING_M each (the pan's too) or of the fit, the larger (of fewer than
 *   WATERTEST_SERIES the fit only where chi-squared at 95 % says that reading error does not explain their scatter); combined as independent
 *   (GUM) with pan factor, rain and temperature; times the quantile of 95.45 % (2), by Student with the effective freedom
 *   (Welch and Satterthwaite) where the readings scatter more than they are read.
 * Verdict  pass: loss + uncertainty <= allowed and the test as long as the criterion asks; fail: loss - uncertainty > allowed, at any
 *   time; else undecided, with the hours after which it could be decided if it goes on so. A finding that hides loss (the level
 *   rose without rain) takes a pass back, one that adds loss (the pan was dry) a fail. "No measurable loss": the uncertainty
 *   covers 0 and is at most WATERTEST_MEASURABLE.
 * Findings  sentences, not faults: the level rose and no rain was told; the clock ran backwards or stood; a pan that ran dry or was
 *   filled up; units mixed; a reading far off the others; no pan, no temperature; too short; a soak that was short or not told.
 *   What they doubt is set aside or said; where too few readings stay the verdict is undecided.
 * Units  SI, degrees Celsius, hours; sentences in `system`.   Limits  readings far off are looked for where they are 6 to 5,000.
 * Threads  no shared state. */
#ifndef STANCH_ACCEPT_WATERTEST_H
#define STANCH_ACCEPT_WATERTEST_H

#include "accept/watertest_rule.h"
#include "core/json_in.h" /* maybe */

/* Standard uncertainties, all our default. */
#define WATERTEST_READING_M 0.0002 /* one reading by hook gauge or scale, tank or pan */
#define WATERTEST_PAN_PART 0.05    /* of the evaporation deducted: the pan factor */
#define WATERTEST_FILLED_PART 0.5  /* of evaporation that the pan did not show and its mean rate stands for */
#define WATERTEST_RAIN_PART 0.05   /* of the rain, and a part in m for each reading with rain */
#define WATERTEST_RAIN_M 0.0002
#define WATERTEST_READ_K 0.1   /* change of the mean temperature of the water over the test, where read */
#define WATERTEST_UNREAD_K 0.5 /* where not */

#define WATERTEST_MEASURABLE 0.0125 /* % a day, our default: half of the least class with a number */

enum { WATERTEST_SERIES = 12 }; /* our default: fewer say too little of how their errors hang together */
enum { WATERTEST_READINGS_MOST = 100000 };

typedef enum { WATERTEST_PASS, WATERTEST_FAIL, WATERTEST_UNDECIDED, WATERTEST_VERDICTS } watertest_verdict;
extern const char *const watertest_verdict_words[WATERTEST_VERDICTS];

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
    maybe soaked_hours;  /* standing full before the first reading; not known: not told */
    units_system system; /* of the sentences */
} watertest_input;

/* A reading as it was judged, in the order given. */
typedef struct {
    double hours, level_m;
    double corrected_m; /* less rain, thermal lift; with evaporation; as the first good reading stood */
    bool aside;
} watertest_point;

/* Where the uncertainty comes from. */
typedef enum {
    PART_READINGS,
    PART_PAN_FACTOR,
    PART_PAN_FILLED,
    PART_RAIN,
    PART_TEMPERATURE,
    WATERTEST_PARTS
} watertest_part;
extern const char *const watertest_part_words[WATERTEST_PARTS];

typedef struct {
    double drop_m, evaporation_m, rain_m,
        thermal_m;        /* first good reading to last; thermal_m: lifted by warming */
    double net_drop_m;    /* from these four */
    double fitted_drop_m; /* of the line over the test, and its uncertainty */
    double uncertainty_m;
    double parts_m[WATERTEST_PARTS]; /* standard uncertainties over the test, and what they are taken times */
    double coverage;
    double hours;
    double loss_m3_s, loss_percent_day; /* by the line */
    maybe loss_uncertainty_m3_s;        /* not known: nothing could be measured, all figures are 0 */
    double allowed; /* in allowed_unit, as published: a day, or in the hours of the criterion */
    watertest_allowed_unit allowed_unit;
    double found; /* in the same unit; of "none" in percent a day */
    maybe found_uncertainty;
    watertest_verdict verdict;
    maybe
        hours_more; /* undecided: to go on until it could be decided, not known: it never can so; failed: to the end of
                              the extension that the criterion grants */
    const char *reason;    /* one sentence */
    const char **findings; /* sentences */
    size_t n_findings;
    watertest_point *points; /* one for each reading */
    size_t n_points, n_good;
    double start_m,
        limit_m_h; /* the line at the first good reading; the fall that the criterion allows (none: 0) */
} watertest_result;

/* E_INPUT: fewer than two readings, a size that is not above 0, a wetted area that the criterion wants; all else is a finding. In
 * `memory`. E_MEMORY. */
status watertest_judge(const watertest_input *in, arena *memory, watertest_result *out, fault *why);

#endif
