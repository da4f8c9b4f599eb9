/* moist.h - the cure of a job on its clock: its air hour by hour, the visits to its faces, alarms, opening to water.
 *
 * Air    of each hour from 0 h of the first day: the site's forecast; where that has no hour, the typical year, by its hours or
 *   else its daily means; where there is none (or no first day to place it), the site's air all the time without wind. Of a
 *   place with still_air only the last.
 *   Site without air or humidity: MOIST_AIR_C and MOIST_HUMIDITY, told. A forecast that ends with nothing behind it ends the
 *   air, and what lies beyond is not known: told too.
 * Wall   site.wall_c; else the mean of the air in the 24 h before (our default for a lag of half a day).
 * Wind   of forecast and typical year is that at 10 m; SURVEY_WIND_LOW of it goes over the face at 0.5 m (survey.h).
 * Cover  a film of 0.1 kg/m2 on walls and soffits, 0.5 on floors (trade rule 16); where that would bring somebody back within
 *   MOIST_SHORTEST_MIN, wet cloth is held to it (0.5); where that does too, a sheet over the cloth (no loss, only looked at).
 * Visits one serves all leaks of a face that are in cure; of the rate cure_visit_h, in steps of WORKS_STEP_MIN.
 * Units  minutes on the clock of works.h; degrees Celsius, kg/(m2 h).   Threads  no shared state. */
#ifndef STANCH_WORKS_MOIST_H
#define STANCH_WORKS_MOIST_H

#include "crew/cure.h"
#include "works/works.h"

#define MOIST_AIR_C 10.0       /* our default for an unknown place: as for its wall */
#define MOIST_HUMIDITY 0.6     /* our default */
#define MOIST_SHORTEST_MIN 60  /* nobody comes back sooner, our default */
#define MOIST_LONGEST_DAYS 28  /* a cure is not followed longer, our default */
#define MOIST_HORIZON_DAYS 730 /* of the works, our default */

typedef struct {
    const survey *s;
    long long first_day; /* days since 1970; of no use unless dated */
    bool dated;
    cure_hour *hours; /* from 0 h of the first day */
    size_t n_hours;   /* fewer than the horizon: then the air ends */
    bool known;       /* by the weather or the air of the site, not by our defaults alone */
    const char **warnings;
    size_t n_warnings;
} moist_air;

/* `start_on`: first day, or NULL; `temperature_c` known: of air and wall, instead of the site's. In `memory`. */
status moist_air_make(const survey *s, const char *start_on, maybe temperature_c, arena *memory,
                      moist_air *out, fault *why);

/* Minutes from the end of the last coat (`begin_min` >= 0 on the clock) until water may come against it, rounded up to
 * WORKS_STEP_MIN; HUGE_VAL: not known, since the air ends first, or not within MOIST_LONGEST_DAYS. */
double moist_open_after_min(const moist_air *air, int begin_min);
/* The same as a lag for a schedule: where not known CURE_DAYS, or all the hours within which it is known not to be, which is
 * MOIST_LONGEST_DAYS where it stays too cold. */
int moist_lag_min(const moist_air *air, int begin_min);

typedef struct {
    size_t leak, face;
    int begin_min; /* end of its last coat */
} moist_cure;

typedef struct {
    size_t face;
    int at_min, minutes;
    const char *sentence; /* "North wall: mist N1, N2, hold wet cloth to it" */
} moist_visit;

typedef struct {
    cure_alarm_kind kind;
    int from_min, to_min;
    double worst;         /* C or kg/(m2 h) */
    const char *sentence; /* "Frost Tue 3 March 22:00 to Wed 4 March 06:00, down to -3 C: ..." */
} moist_alarm;

typedef struct {
    size_t leak;
    int open_min; /* by moist_lag_min where not known */
    bool known;
} moist_opening;

typedef struct {
    moist_visit *visits; /* by time, then face */
    size_t n_visits;
    moist_alarm *alarms; /* of the job, by time */
    size_t n_alarms;
    moist_opening *openings; /* in the order of the cures given */
    const char **warnings;   /* those of the air first */
    size_t n_warnings;
} moist_plan;

/* Cures of one plan and the stretches of its shifts. In `memory`. E_INPUT where the air of the site is out of range. */
status moist_visits(const moist_air *air, const moist_cure *cures, size_t n_cures, const works_shift *shifts,
                    size_t n_shifts, arena *memory, moist_plan *out, fault *why);

/* How often somebody must look at a repair on such a face in the working hours of the first days, for the card: at most every
 * CURE_LOOK_H, in quarters of an hour. */
typedef struct {
    double seconds;
    const char *under; /* what is held to it meanwhile; NULL: nothing */
    bool known;        /* by the weather or air of the site rather than our defaults */
} moist_round;
moist_round moist_round_of(const moist_air *air, survey_lie lie);

#endif
