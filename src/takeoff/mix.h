/* mix.h - parts by volume into kilograms and litres.
 *
 * Model  a parts of loose powder (bulk density rb, particle density rp) to b parts of water, by volume. For a
 * + b litres taken: powder a rb kg/l, water b l, mixed volume V = (a rb/rp + b)/(1 - air). The mixed volume
 * is the sum of the absolute volumes m/(rp), air apart. Source absolute volume: NAVEDTRA 14071 p. 17-7. Water
 * is taken at 1 kg/l. Bulk and particle densities of the shipped materials: our defaults; an error of 20 % in
 * the bulk density moves the water by 20 %. Units  SI.   Limits  without air the volume of a dry, rammed mix
 * is a lower bound. Threads  no shared state. */
#ifndef STANCH_TAKEOFF_MIX_H
#define STANCH_TAKEOFF_MIX_H

#include "core/fault.h"

#include <stddef.h>

#define MIX_WATER_KG_M3 1000.0 /* common practice in batching: a litre of water is a kilogram */

typedef struct {
    double parts_powder, parts_water; /* by volume, each above 0 */
    double bulk_kg_m3;                /* of the loose powder as measured */
    double particle_kg_m3;            /* of its grains; above bulk */
    double air_fraction;              /* of the mixed volume, 0 to 0.5 */
} mix_recipe;

typedef enum { MIX_BY_VOLUME, MIX_BY_POWDER, MIX_BY_WATER } mix_given;

typedef struct {
    double powder_kg;
    double water_m3;
    double yield_m3; /* mixed volume, air in it */
    double density_kg_m3;
    double water_powder_ratio; /* by mass */
} mix_result;

/* The batch in which the named quantity (m3, kg, m3) is `need` times 1 + `waste_fraction`. E_INPUT names the
 * value out of range; *out is zeroed on error. */
status mix_batch(const mix_recipe *recipe, mix_given given, double need, double waste_fraction,
                 mix_result *out, fault *why);

typedef struct {
    double mass_kg, particle_kg_m3;
} mix_part;

/* Volume of any mix by absolute volumes: the sum of mass over particle density, over 1 - air. Each density
 * above 0, 0 <= air_fraction < 1. */
double mix_absolute_volume_m3(const mix_part parts[], size_t count, double air_fraction);

#endif
