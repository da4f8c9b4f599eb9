/* movement.h - does a crack move, and how: width fitted on temperature and time.
 *
 * Model    w = w0 + beta (T(t - lag) - Tref) + gamma t       beta is usually negative: the crack closes as the wall warms
 *   T is that of the readings or, with an air series, that of a wall behind the air: the air `lag` days before (delay), or
 *   the air smoothed to the first order with that time constant (follow). The lag is given (then a delay) or searched, whole
 *   days and both kinds: the one whose trimmed sum of squares is least.
 * Robust   readings off the fit of the others are set aside and told (robust.h), the rest is fitted with errors that hang
 *   together in time; its standard errors are larger than those of plain least squares, and honest. `ols`: plain.
 * Verdict  (trade page diagnosis.md 5.2, our method; first row that fits)
 *   undecided  fewer than 6 readings, or less than 330 days (11 months: no season closed)
 *   growing    gamma > max(limit, t SE)         closing  the same below 0          limit 0.1 mm a year of 365 days
 *   undecided  |gamma| + t SE > limit           growth beyond the limit is not ruled out
 *   cyclic     |beta| (Tmax - Tmin) > 0.1 mm    still    else
 *   t: Student's quantile at `confidence` (two-sided) for n - 3 degrees of freedom.
 * Units  SI; degrees Celsius; days.   Threads  no shared state; GSL's error handler off. */
#ifndef STANCH_DIAGNOSE_MOVEMENT_H
#define STANCH_DIAGNOSE_MOVEMENT_H

#include "core/json_in.h" /* maybe */

#define MOVEMENT_REFERENCE_C 13.0
#define MOVEMENT_CONFIDENCE 0.95
#define MOVEMENT_LIMIT_M_YEAR 0.1e-3 /* our default; BRE Digest 343 asks for readings to 0.1 mm */
#define MOVEMENT_CYCLE_M 0.1e-3      /* our default */
#define MOVEMENT_YEAR_DAYS 365.0
#define MOVEMENT_SPAN_DAYS 330.0 /* our default: 12 monthly readings span 334 to 335 days */
enum { MOVEMENT_LEAST = 6, MOVEMENT_LAG_MOST = 60 };
#define MOVEMENT_WARM_UP                                                                                     \
    3.0 /* time constants that a first-order wall needs to forget how it began: 5 % left */

typedef struct {
    double day, temperature_c, width_m;
} movement_reading;
typedef struct {
    double day, temperature_c;
} movement_air;

typedef enum { MOVEMENT_DELAY, MOVEMENT_FOLLOW, MOVEMENT_WALLS } movement_wall;
extern const char *const movement_wall_words[MOVEMENT_WALLS]; /* "delay", "first order" */
typedef enum { MOVEMENT_ROBUST, MOVEMENT_OLS, MOVEMENT_METHODS } movement_method;
extern const char *const movement_method_words[MOVEMENT_METHODS]; /* robust ols */

typedef struct {
    const movement_reading *readings; /* days rising */
    size_t n;
    const movement_air *air; /* days rising; n_air 0: the temperatures of the readings */
    size_t n_air;
    double reference_c, confidence;
    maybe lag_days; /* not known: searched where there is an air series, else 0 */
    movement_method method;
    units_system system; /* of the sentences */
} movement_input;

typedef enum {
    MOVEMENT_STILL,
    MOVEMENT_CYCLIC,
    MOVEMENT_GROWING,
    MOVEMENT_CLOSING,
    MOVEMENT_UNDECIDED,
    MOVEMENT_VERDICTS
} movement_verdict;
extern const char
    *const movement_verdict_words[MOVEMENT_VERDICTS]; /* still cyclic growing closing undecided */

typedef struct {
    double width_m, per_kelvin_m, per_year_m; /* at day 0 and the reference; beta; gamma times 365 */
    double width_se_m, per_kelvin_se_m, per_year_se_m;
    double covariance[9]; /* of w0, beta, gamma a day */
    double residual_sd_m, r_squared, lag_days, correlation_week;
    double lowest_c, highest_c, cyclic_range_m; /* of the temperatures used */
    double seen_m; /* between the widest and the narrowest fitted reading, less its error; 0: within it */
    double t;      /* Student's quantile */
    bool *aside;   /* one a reading */
    size_t n_aside;
    double *temperature_c; /* that each reading was fitted with */
    movement_verdict verdict;
    const char *rule; /* that gave it, with its numbers */
    maybe
        months_more; /* undecided: readings as now for so long would decide it; not known: none within 5 years */
    movement_wall wall; /* how the wall follows the air */
    bool lag_searched, fitted;
    bool season; /* readings enough over a closed season: what a year brings can be told */
    const char **warnings;
    size_t n_warnings;
} movement_result;

/* Fit and judge. Lists live in `memory`. Too few readings to fit, or all at one temperature, is a verdict (undecided,
 * fitted = false). E_INPUT: days that do not rise, an air series that does not reach `lag` days before the first reading
 * and to the last; E_MEMORY. *out is zeroed on error. */
status movement_fit(const movement_input *in, arena *memory, movement_result *out, fault *why);

/* Expected width at a day and temperature of the wall, and half the band that holds a new reading at the confidence. */
typedef struct {
    double width_m, band_m;
} movement_expected;
movement_expected movement_at(const movement_input *in, const movement_result *fit, double day,
                              double temperature_c);

#endif
