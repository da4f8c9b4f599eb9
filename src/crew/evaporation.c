#include "crew/evaporation.h"

#include "core/limits.h"

#include <math.h>

/* `scale` [(Tc + c)^2.5 - r (Ta + c)^2.5] (V + v) 1e-6 */
typedef struct {
    double scale, c, v;
} form;

static const form uno = {5, 18, 4}, exact = {5.275, 17.778, 4.02336};

static status rate(const form *f, const evaporation_weather *w, double *rate_kg_m2_h, fault *why) {
    *rate_kg_m2_h = 0;
    limits_item limits[] = {
        {"concrete_c", w->concrete_c, EVAPORATION_COLDEST_C, EVAPORATION_WARMEST_C, false},
        {"air_c", w->air_c, EVAPORATION_COLDEST_C, EVAPORATION_WARMEST_C, false},
        {"humidity", w->humidity, 0, 1, false},
        {"wind_km_h", w->wind_km_h, 0, EVAPORATION_STRONGEST_KM_H, false},
    };
    status code = limits_check(limits, sizeof limits / sizeof limits[0], why);
    if (code != OK) return code;
    /* The twin's offset is a little under 18: at the cold end its base would be negative. */
    double at_face = pow(fmax(w->concrete_c + f->c, 0), 2.5), in_air = pow(fmax(w->air_c + f->c, 0), 2.5);
    *rate_kg_m2_h = f->scale * (at_face - w->humidity * in_air) * (w->wind_km_h + f->v) * 1e-6;
    return OK;
}

status evaporation_rate(const evaporation_weather *weather, double *rate_kg_m2_h, fault *why) {
    return rate(&uno, weather, rate_kg_m2_h, why);
}

status evaporation_rate_exact(const evaporation_weather *weather, double *rate_kg_m2_h, fault *why) {
    return rate(&exact, weather, rate_kg_m2_h, why);
}
