/* cure.h - a fresh repair kept moist, hour by hour, until water may stand against it.
 *
 * Model  each hour: evaporation (evaporation.h) from concrete at the wall's temperature into the air of that hour; the film left
 *   by a visit (0.1 kg/m2 on walls and soffits, 0.5 on floors: trade rule 16) is used up; the next visit is due when it is. At
 *   least every CURE_LOOK_H in the hours when somebody is there; outside them the place is covered (wet cloth and sheet: counted as no loss, our default).
 *   Maturity (maturity.h) adds up; water may come against it once CURE_DAYS have passed and the equivalent age at 20 C has reached
 *   CURE_AGE_H. Alarms: concrete or air below 5 C (frost from 0 C down), above 35 C, evaporation above 0.25 (caution) and
 *   1.0 kg/(m2 h).
 * Source trade page site.md 5, 6; films, days and age: our defaults (2 to 3 days moist: common practice).
 * Units  SI, hours, degrees Celsius; minutes on the clock of the works.   Threads  no shared state. */
#ifndef STANCH_CREW_CURE_H
#define STANCH_CREW_CURE_H

#include "core/fault.h"
#include "core/mem.h"
#include "crew/evaporation.h"
#include "crew/maturity.h"

#define CURE_DAYS 3.0   /* common practice: keep moist 2 to 3 days; the longer */
#define CURE_AGE_H 72.0 /* equivalent hours at 20 C: three days of it, our default */
#define CURE_LOOK_H 4.0 /* at least so often in working hours, our default */

typedef struct {
    double air_c, concrete_c, humidity, wind_km_h; /* humidity 0 to 1 */
    bool attended;                                 /* somebody is there */
} cure_hour;

typedef enum {
    CURE_COLD,
    CURE_FROST,
    CURE_HOT,
    CURE_DRYING,
    CURE_DRYING_FAST,
    CURE_WET,
    CURE_ALARMS
} cure_alarm_kind;
extern const char *const cure_alarm_words[CURE_ALARMS]; /* sentences, without numbers */

typedef struct {
    cure_alarm_kind kind;
    int from_h, to_h; /* of the cure */
    double worst;     /* C or kg/(m2 h) */
} cure_alarm;

typedef struct {
    int *visits_min; /* from the start of the cure, rising */
    size_t n_visits;
    cure_alarm *alarms;
    size_t n_alarms;
    double *rate_kg_m2_h, *age_h; /* one an hour */
    size_t n_hours;               /* looked at */
    double age_reached_h;
    double open_after_h; /* earliest opening to water; HUGE_VAL: not within the hours given */
} cure_result;

/* `hours` from the end of the last coat; film of one visit; in `memory`. E_INPUT names the hour and value out of range. */
status cure_run(const cure_hour *hours, size_t n, double film_kg_m2, arena *memory, cure_result *out,
                fault *why);

#endif
