#include "cli/calc_rows.h"
#include "crew/evaporation.h"
#include "crew/maturity.h"
#include "crew/settime.h"

#include <math.h>

#define ACTIVATION                                                                                           \
    {                                                                                                        \
        .name = "activation_kj_mol", .quantity = UNITS_PLAIN, .unit = "kJ/mol",                              \
        .range = CALC_FROM(0, MATURITY_MOST_ACTIVATION_J_MOL / 1e3),                                         \
        .origin = "value from memory, 40-45 for plain cement", .fallback = MATURITY_ACTIVATION_J_MOL / 1e3,  \
        .text = "Activation energy; 0 leaves the temperature out."                                           \
    }
#define CELSIUS(field, need, low, high, from, value, about)                                                  \
    {                                                                                                        \
        .name = (field), .required = (need), .quantity = UNITS_TEMPERATURE, .range = CALC_FROM(low, high),   \
        .origin = (from), .fallback = (value), .text = (about)                                               \
    }

static const char *const maturity_sources[] = {
    "equivalent age and Nurse-Saul: forms of ASTM C1074, through pages that quote it; R = 8.314 J/(mol K)",
};

static const calc_field step_fields[] = {
    {.name = "hours",
     .required = true,
     .quantity = UNITS_PLAIN,
     .unit = "h",
     .range = CALC_ABOVE(0, 1e6),
     .text = "Length of the step."},
    CELSIUS("temperature_c", true, MATURITY_COLDEST_C, MATURITY_WARMEST_C, NULL, 0, "Mean over the step."),
};

static const calc_field maturity_fields[] = {
    {.name = "profile",
     .kind = CALC_OBJECTS,
     .required = true,
     .fields = step_fields,
     .fields_count = CALC_COUNT(step_fields),
     .least = 1,
     .text = "Temperatures of the material, one step after another."},
    ACTIVATION,
    CELSIUS("reference_c", false, MATURITY_COLDEST_C, MATURITY_WARMEST_C, "common practice", 20,
            "Equivalent age is told at this temperature."),
    CELSIUS("datum_c", false, MATURITY_COLDEST_C, MATURITY_WARMEST_C,
            "value from memory; 0 in later editions", MATURITY_DATUM_C,
            "No gain at or below it, Nurse-Saul."),
};

static status run_maturity(calc_run *r) {
    const calc_value *profile = calc_get(r->in, "profile");
    maturity_step *steps = arena_get(r->memory, profile->count, sizeof *steps);
    if (!steps) return fault_memory(r->why);
    double coldest_c = HUGE_VAL;
    for (size_t i = 0; i < profile->count; i++) {
        steps[i] = (maturity_step){calc_number(&profile->objects[i], "hours"),
                                   calc_number(&profile->objects[i], "temperature_c")};
        coldest_c = fmin(coldest_c, steps[i].temperature_c);
    }
    maturity_rule rule = {calc_number(r->in, "activation_kj_mol") * 1e3, calc_number(r->in, "reference_c"),
                          calc_number(r->in, "datum_c")};
    maturity_result out;
    status code = maturity_sum(steps, profile->count, &rule, &out, r->why);
    if (code != OK) return code;
    calc_put(r, "equivalent_age_h", UNITS_PLAIN, out.equivalent_age_h);
    calc_put(r, "nurse_saul_c_h", UNITS_PLAIN, out.nurse_saul_c_h);
    if (coldest_c < 0)
        calc_warn(r, "the material was at %g C: water freezes, and neither sum means much below 0 C",
                  coldest_c);
    return OK;
}

const calc_row calc_row_maturity = {
    .name = "maturity",
    .summary = "equivalent age and maturity of a cement from its temperatures",
    .model = "Arrhenius rate for the equivalent age, degree-hours above a datum for the maturity; summed "
             "step by step.",
    .equation = "te = sum exp[-(E/R)(1/Tk - 1/Tr)] dt; M = sum max(T - T0, 0) dt",
    .sources = maturity_sources,
    .sources_count = CALC_COUNT(maturity_sources),
    .fields = maturity_fields,
    .fields_count = CALC_COUNT(maturity_fields),
    .example =
        "{\"profile\": [{\"hours\": 12, \"temperature_c\": 10}, {\"hours\": 12, \"temperature_c\": 20}, "
        "{\"hours\": 24, \"temperature_c\": 15}]}\n",
    .run = run_maturity,
};

static const char *const settime_sources[] = {
    "Arrhenius rate with R = 8.314 J/(mol K), as for maturity; its use for set time is our default, to be "
    "overridden by "
    "data at two temperatures",
};

static const calc_field settime_fields[] = {
    {.name = "minutes_at_reference",
     .required = true,
     .quantity = UNITS_PLAIN,
     .unit = "min",
     .range = CALC_ABOVE(0, SETTIME_LONGEST_MIN),
     .text = "Set time or pot life at the reference."},
    CELSIUS("reference_c", false, SETTIME_COLDEST_C, SETTIME_WARMEST_C, "common practice", 20,
            "Of the data sheet."),
    CELSIUS("temperature_c", true, SETTIME_COLDEST_C, SETTIME_WARMEST_C, NULL, 0,
            "Of the mixed material for its pot life; of wall and leaking water for the set of a plug."),
    ACTIVATION,
};

static status run_settime(calc_run *r) {
    settime_result out;
    status code = settime_at(calc_number(r->in, "minutes_at_reference"), calc_number(r->in, "reference_c"),
                             calc_number(r->in, "temperature_c"),
                             calc_number(r->in, "activation_kj_mol") * 1e3, &out, r->why);
    if (code != OK) return code;
    calc_put(r, "minutes", UNITS_PLAIN, out.minutes);
    calc_put(r, "rate_factor", UNITS_PLAIN, out.rate_factor);
    if (calc_number(r->in, "temperature_c") < 5)
        calc_warn(r, "below 5 C many cements hardly set: follow the data sheet");
    return OK;
}

const calc_row calc_row_settime = {
    .name = "settime",
    .summary = "set time or pot life at another temperature",
    .model = "The time divides by the Arrhenius rate relative to the reference temperature.",
    .equation = "t(T) = t_ref/f(T), f = exp[-(E/R)(1/Tk - 1/Tr)]",
    .sources = settime_sources,
    .sources_count = CALC_COUNT(settime_sources),
    .fields = settime_fields,
    .fields_count = CALC_COUNT(settime_fields),
    .example = "{\"minutes_at_reference\": 3, \"temperature_c\": 10}\n",
    .run = run_settime,
};

static const char *const evaporation_sources[] = {
    "Uno 1998, ACI Materials Journal 95-M34, through pages that quote it; its exact twin lies 4-5 % higher, "
    "and the chart "
    "behind both is good to about 40 % (Hover 2020, abstract)",
};

static const char *const lies[] = {"wall", "floor", "soffit"};

static const calc_field evaporation_fields[] = {
    CELSIUS("concrete_c", true, EVAPORATION_COLDEST_C, EVAPORATION_WARMEST_C, NULL, 0,
            "Surface of the coat."),
    CELSIUS("air_c", true, EVAPORATION_COLDEST_C, EVAPORATION_WARMEST_C, NULL, 0, "Air over it."),
    {.name = "humidity_percent",
     .required = true,
     .quantity = UNITS_PLAIN,
     .unit = "%",
     .range = CALC_FROM(0, 100),
     .text = "Relative humidity of the air."},
    {.name = "wind_km_h",
     .required = true,
     .quantity = UNITS_PLAIN,
     .unit = "km/h",
     .range = CALC_FROM(0, EVAPORATION_STRONGEST_KM_H),
     .text = "At 0.5 m over the face."},
    {.name = "film_kg_m2",
     .quantity = UNITS_COVERAGE,
     .range = CALC_ABOVE(0, 10),
     .text = "Water that a mist visit leaves. Give this or lie."},
    {.name = "lie",
     .kind = CALC_WORD,
     .words = lies,
     .words_count = CALC_COUNT(lies),
     .text = "wall, soffit: a film of 0.1 kg/m2; floor: 0.5 (both our defaults)."},
};

static status take_film(calc_run *r, double *film_kg_m2) {
    static const char *const ways[] = {"film_kg_m2", "lie"};
    size_t which = 0;
    status code = calc_one_of(r, ways, 2, &which);
    if (code != OK) return code;
    bool floor = calc_get(r->in, "lie")->word == 1;
    *film_kg_m2 = which == 0 ? calc_number(r->in, "film_kg_m2")
                  : floor    ? EVAPORATION_FILM_FLOOR_KG_M2
                             : EVAPORATION_FILM_WALL_KG_M2;
    calc_base(r, which == 0 ? "film: as given" : "film of %g kg/m2 on a %s: our default", *film_kg_m2,
              lies[calc_get(r->in, "lie")->word]);
    return OK;
}

static void warn_evaporation(calc_run *r, const evaporation_weather *weather, double rate) {
    if (fmin(weather->concrete_c, weather->air_c) < EVAPORATION_LOW_C)
        calc_warn(r, "below %g C this formula reads low: others give up to a third more", EVAPORATION_LOW_C);
    if (rate <= 0) calc_warn(r, "water condenses on the coat: it may be washed");
    if (rate >= EVAPORATION_PRECAUTIONS)
        calc_warn(r, "above %g kg/(m2 h) precautions are due: shade, wind break, wet cloth",
                  EVAPORATION_PRECAUTIONS);
    else if (rate >= EVAPORATION_CAUTION)
        calc_warn(r, "above %g kg/(m2 h) thin coats and plugs need care (our default)", EVAPORATION_CAUTION);
}

static status run_evaporation(calc_run *r) {
    evaporation_weather weather = {calc_number(r->in, "concrete_c"), calc_number(r->in, "air_c"),
                                   calc_number(r->in, "humidity_percent") / 100,
                                   calc_number(r->in, "wind_km_h")};
    double film_kg_m2 = 0, rate = 0;
    status code = take_film(r, &film_kg_m2);
    if (code == OK) code = evaporation_rate(&weather, &rate, r->why);
    if (code != OK) return code;
    calc_put(r, "rate_kg_m2_h", UNITS_PLAIN, rate);
    if (rate > 0)
        calc_put(r, "mist_every_h", UNITS_PLAIN, film_kg_m2 / rate);
    else
        json_out_null(r->out, "mist_every_h");
    warn_evaporation(r, &weather, rate);
    return OK;
}

const calc_row calc_row_evaporation = {
    .name = "evaporation",
    .summary = "how fast a fresh coat dries and how often to mist it",
    .model = "Evaporation from a wet face by temperature of face and air, humidity and wind; a mist visit "
             "leaves a film "
             "that lasts film over rate. Negative: condensation.",
    .equation = "E = 5 [(Tc + 18)^2.5 - r (Ta + 18)^2.5] (V + 4) 1e-6 kg/(m2 h), V in km/h",
    .sources = evaporation_sources,
    .sources_count = CALC_COUNT(evaporation_sources),
    .fields = evaporation_fields,
    .fields_count = CALC_COUNT(evaporation_fields),
    .example = "{\"concrete_c\": 25, \"air_c\": 25, \"humidity_percent\": 50, \"wind_km_h\": 10, \"lie\": "
               "\"wall\"}\n",
    .run = run_evaporation,
};
