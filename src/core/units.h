/* units.h - the two systems of units at the border of the program; inside, everything is SI (and degrees
 * Celsius).
 *
 * Factors are exact: 1 ft = 0.3048 m, 1 in = 25.4 mm, 1 US gal = 231 in3 = 3.785411784 l, 1 lb = 0.45359237
 * kg (NIST Handbook 44, appendix C; International Yard and Pound Agreement 1959), 1 lbf = 0.45359237
 * * 9.80665 N. A number typed with up to 15 digits reads back as typed: `units_text` searches the shortest
 * decimal that converts to exactly the stored SI value. Threads  no shared state. */
#ifndef STANCH_CORE_UNITS_H
#define STANCH_CORE_UNITS_H

#include "core/text.h"

#define UNITS_GRAVITY_M_S2 9.80665 /* standard gravity, CGPM 1901, exact */

typedef enum { UNITS_METRIC, UNITS_US } units_system;

typedef enum {
    UNITS_LENGTH,      /* m | ft      chainage, level, faces */
    UNITS_SIZE,        /* mm | in     width, depth, cover; SI: m */
    UNITS_AREA,        /* m2 | ft2 */
    UNITS_VOLUME,      /* l | gal     SI: m3 */
    UNITS_FLOW,        /* l_min | gal_min   SI: m3/s */
    UNITS_FLOW_LENGTH, /* l_h_m | gal_h_ft  SI: m2/s */
    UNITS_MASS,        /* kg | lb */
    UNITS_DENSITY,     /* kg_m3 | lb_ft3 */
    UNITS_COVERAGE,    /* kg_m2 | lb_ft2 */
    UNITS_PRESSURE,    /* kpa | psi   SI: Pa */
    UNITS_STRESS,      /* mpa | psi   SI: Pa */
    UNITS_TEMPERATURE, /* c | f       inside: degrees Celsius */
    UNITS_SPEED,       /* km_h | mph  SI: m/s */
    UNITS_WIND,        /* km_h | mph  inside: km/h, as weather is told and the evaporation of coats counted */
    UNITS_MINUTES,     /* min         inside: s */
    UNITS_SECONDS,     /* s */
    UNITS_HOURS,       /* h           inside: s */
    UNITS_PLAIN,       /* no unit */
    UNITS_QUANTITIES
} units_quantity;

/* The suffix of a field name ("mm", "in"; "" for UNITS_PLAIN) and the symbol to print ("mm", "in", "l/min").
 */
const char *units_suffix(units_quantity q, units_system s);
const char *units_symbol(units_quantity q, units_system s);

double units_to_si(units_quantity q, units_system s, double shown);
double units_from_si(units_quantity q, units_system s, double si);

/* The shortest decimal in the system's unit that units_to_si turns back into exactly `si`. Returns `into`. */
char *units_text(units_quantity q, units_system s, double si, char into[TEXT_NUMBER]);

enum { UNITS_SHOWN = 64 };
/* For a person: rounded to `decimals` places in the system's unit, with its symbol ("37 mm", "1.5 in"). */
char *units_show(units_quantity q, units_system s, double si, int decimals, char into[UNITS_SHOWN]);

#endif
