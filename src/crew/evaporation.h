/* evaporation.h - how fast a fresh coat dries, and how often to mist it.
 *
 * Model  E = 5 [(Tc + 18)^2.5 - r (Ta + 18)^2.5] (V + 4) 1e-6   kg/(m2 h)    (Uno 1998, SI form)
 *        Tc concrete, Ta air in C, r relative humidity 0 to 1, V wind in km/h at 0.5 m. Its exact twin, the
 * US form turned into SI, E = 5.275 [(Tc + 17.778)^2.5 - r (Ta + 17.778)^2.5] (V + 4.02336) 1e-6, lies 4-5 %
 *        higher. Mist every film/E hours.
 * Source Uno, ACI Materials Journal 95-M34 (read through pages that quote it). Film left by a visit: 0.1
 * kg/m2 on walls and soffits, 0.5 on floors: our defaults. Limits -18 to 60 C; the chart behind the formula
 * is good to about 40 % (Hover 2020, abstract); below 15 C other formulas give up to a third more. Negative:
 * condensation.   Threads  no shared state. */
#ifndef STANCH_CREW_EVAPORATION_H
#define STANCH_CREW_EVAPORATION_H

#include "core/fault.h"

#define EVAPORATION_COLDEST_C (-18.0) /* below it the formula has no value */
#define EVAPORATION_WARMEST_C 60.0
#define EVAPORATION_STRONGEST_KM_H 200.0
#define EVAPORATION_FILM_WALL_KG_M2 0.1  /* our default: a draining film */
#define EVAPORATION_FILM_FLOOR_KG_M2 0.5 /* our default: flat, or under held wet cloth */
#define EVAPORATION_LOW_C 15.0           /* below it the formula reads low */
#define EVAPORATION_CAUTION 0.25         /* kg/(m2 h), for thin coats and plugs: our default */
#define EVAPORATION_PRECAUTIONS 1.0      /* kg/(m2 h); ACI 305 through pages that quote it */

typedef struct {
    double concrete_c, air_c;
    double humidity;  /* 0 to 1 */
    double wind_km_h; /* at 0.5 m above the face */
} evaporation_weather;

/* kg/(m2 h), Uno's form. E_INPUT names the value out of range; *rate is 0 on error. */
status evaporation_rate(const evaporation_weather *weather, double *rate_kg_m2_h, fault *why);

/* The same by the exact twin. */
status evaporation_rate_exact(const evaporation_weather *weather, double *rate_kg_m2_h, fault *why);

#endif
