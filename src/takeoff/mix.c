#include "takeoff/mix.h"

#include "core/limits.h"

double mix_absolute_volume_m3(const mix_part parts[], size_t count, double air_fraction) {
    double sum_m3 = 0;
    for (size_t i = 0; i < count; i++) sum_m3 += parts[i].mass_kg / parts[i].particle_kg_m3;
    return sum_m3 / (1 - air_fraction);
}

static status check(const mix_recipe *r, double need, double waste_fraction, fault *why) {
    limits_item limits[] = {
        {"parts_powder", r->parts_powder, 1e-3, 1e3, false},
        {"parts_water", r->parts_water, 1e-3, 1e3, false},
        {"bulk_kg_m3", r->bulk_kg_m3, 100, 10000, false},
        {"particle_kg_m3", r->particle_kg_m3, r->bulk_kg_m3, 10000, true},
        {"air_fraction", r->air_fraction, 0, 0.5, false},
        {"need", need, 0, 1e9, false},
        {"waste_fraction", waste_fraction, 0, 10, false},
    };
    return limits_check(limits, sizeof limits / sizeof limits[0], why);
}

status mix_batch(const mix_recipe *recipe, mix_given given, double need, double waste_fraction,
                 mix_result *out, fault *why) {
    *out = (mix_result){0};
    status code = check(recipe, need, waste_fraction, why);
    if (code != OK) return code;

    /* A unit batch: one cubic metre a part. */
    mix_part unit[] = {{recipe->parts_powder * recipe->bulk_kg_m3, recipe->particle_kg_m3},
                       {recipe->parts_water * MIX_WATER_KG_M3, MIX_WATER_KG_M3}};
    double volume_m3 = mix_absolute_volume_m3(unit, 2, recipe->air_fraction);
    double of_unit = given == MIX_BY_VOLUME   ? volume_m3
                     : given == MIX_BY_POWDER ? unit[0].mass_kg
                                              : recipe->parts_water;
    double batches = need * (1 + waste_fraction) / of_unit;

    out->powder_kg = unit[0].mass_kg * batches;
    out->water_m3 = recipe->parts_water * batches;
    out->yield_m3 = volume_m3 * batches;
    out->density_kg_m3 = (unit[0].mass_kg + unit[1].mass_kg) / volume_m3;
    out->water_powder_ratio = unit[1].mass_kg / unit[0].mass_kg;
    return OK;
}
