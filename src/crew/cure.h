/* cure.h - a fresh repair kept moist, hour by hour, until water may stand against it.
 *
 * Model  each hour: evaporation (evaporation.h) from concrete at the wall's temperature into the air of that hour; the film left
 *   by a visit is used up, the next visit is due when it is, and at least every CURE_LOOK_H in the hours when somebody is
 *   there. Times with somebody there that lie at most CURE_GAP_MIN apart (a break) are one presence: the film dries on in
 *   between. Outside a presence the place is covered (wet cloth and sheet: counted as no loss, our default): the first
 *   visit of a presence uncovers, the last covers; a look waits for the last where that comes within CURE_GAP_MIN.
 *   Maturity (maturity.h) adds up above 0 C; water may come against it once CURE_DAYS have passed at CURE_COLD_C or more (time
 *   spent below it does not count: DIN 1045-3 through a page that quotes it) and the equivalent age at 20 C is CURE_AGE_H.
 *   Alarms: concrete or air below 5 C (frost from 0 C down), above 35 C, and while somebody is there evaporation above
 *   0.25 (caution) and 1.0 kg/(m2 h), or below 0: dew.
 * Source trade page site.md 5, 6; days and age: our defaults (2 to 3 days moist: common practice).
 * Units  SI, hours, degrees Celsius; minutes from the start of the cure, the end of the last coat.   Limits  below -18 C the
 *   evaporation is that at -18 C (the formula ends there).   Threads  no shared state. */
#ifndef STANCH_CREW_CURE_H
#define STANCH_CREW_CURE_H

#include "core/fault.h"
#include "core/mem.h"
#include "crew/evaporation.h"
#include "crew/maturity.h"

#define CURE_DAYS 3.0   /* common practice: keep moist 2 to 3 days; the longer */
#define CURE_AGE_H 72.0 /* equivalent hours at 20 C: three days of it, our default */
#define CURE_LOOK_H 4.0 /* at least so often in working hours, our default */
#define CURE_GAP_MIN 60 /* our default */
#define CURE_COLD_C 5.0 /* ACI 306R (5 C) through pages that quote it */
#define CURE_FROST_C 0.0
#define CURE_HOT_C 35.0      /* ACI 305.1 and 301 through pages that quote them */
#define CURE_MOST_HOURS 8784 /* a year */

typedef struct {
    double air_c, concrete_c, humidity, wind_km_h; /* humidity 0 to 1; wind at 0.5 m */
} cure_hour;

typedef struct {
    int from_min, to_min;
} cure_stretch;

typedef enum {
    CURE_COLD,
    CURE_FROST,
    CURE_HOT,
    CURE_DRYING,
    CURE_DRYING_FAST,
    CURE_WET,
    CURE_ALARMS
} cure_alarm_kind;
extern const char *const cure_alarm_words[CURE_ALARMS]; /* what to do, without numbers */

typedef struct {
    cure_alarm_kind kind;
    int from_h, to_h; /* of the cure */
    double worst;     /* C or kg/(m2 h) */
} cure_alarm;

typedef enum { CURE_VISIT_MIST, CURE_VISIT_UNCOVER, CURE_VISIT_COVER } cure_visit_kind;
typedef struct {
    int at_min;
    cure_visit_kind kind;
} cure_visit;

typedef struct {
    const cure_hour *hours;
    size_t n_hours;
    const cure_stretch *attended; /* when somebody is there: rising, apart; may begin before the cure */
    size_t n_attended;
    double
        film_kg_m2; /* left by a visit and by the last coat; HUGE_VAL: covered all the time, only looked at */
    int visit_min;  /* that a visit takes, > 0: it lies within a stretch */
    int step_min;   /* visits begin on its multiples, >= 1 */
    double keep_h;  /* keep moist at least so long; 0: until it may take water */
} cure_input;

typedef struct {
    cure_visit *visits; /* rising */
    size_t n_visits;
    cure_alarm *alarms; /* by kind, then by time */
    size_t n_alarms;
    double *rate_kg_m2_h, *age_h; /* one an hour; age at its end */
    size_t n_hours;               /* looked at: all given, or until the end of the cure */
    double age_reached_h;
    double open_after_h; /* earliest opening to water; HUGE_VAL: not within the hours given */
    int shortest_min; /* that a film lasted while somebody was there, rounded down; INT_MAX: it never gave out */
    int dry_min;      /* without film, since nobody could come in time */
} cure_result;

/* In `memory`. E_INPUT names the hour, the stretch or the value out of range. */
status cure_run(const cure_input *in, arena *memory, cure_result *out, fault *why);

/* Hours until water may come against it, without the visits; HUGE_VAL as above. Temperatures are not checked. */
double cure_open_after_h(const cure_hour hours[], size_t n);

#endif
