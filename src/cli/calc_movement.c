#include "cli/calc_rows.h"
#include "diagnose/movement.h"

static const char *const movement_sources[] = {
    "regression of width on temperature and time: our method; readings over at least 12 months and a plot "
    "against "
    "temperature: a consulting engineer's advice; readings to 0.1 mm: BRE Digest 343",
};

static const calc_field reading_fields[] = {
    {.name = "day",
     .required = true,
     .quantity = UNITS_PLAIN,
     .unit = "d",
     .range = CALC_FROM(-1e5, 1e5),
     .text = "From any day on; rising."},
    {.name = "temperature_c",
     .quantity = UNITS_TEMPERATURE,
     .range = CALC_FROM(-60, 90),
     .text = "Of the concrete at the reading; needed without air."},
    {.name = "width_mm",
     .required = true,
     .quantity = UNITS_SIZE,
     .range = CALC_FROM(0, 100),
     .text = "Of the crack, at the gauge."},
};
static const calc_field air_fields[] = {
    {.name = "day",
     .required = true,
     .quantity = UNITS_PLAIN,
     .unit = "d",
     .range = CALC_FROM(-1e5, 1e5),
     .text = "On the same count; rising."},
    {.name = "temperature_c",
     .required = true,
     .quantity = UNITS_TEMPERATURE,
     .range = CALC_FROM(-60, 90),
     .text = "Of the air, a daily mean."},
};

static const calc_field movement_fields[] = {
    {.name = "readings",
     .kind = CALC_OBJECTS,
     .required = true,
     .fields = reading_fields,
     .fields_count = CALC_COUNT(reading_fields),
     .least = 1,
     .text = "Of one gauge."},
    {.name = "reference_c",
     .quantity = UNITS_TEMPERATURE,
     .range = CALC_FROM(-60, 90),
     .origin = "our default",
     .fallback = MOVEMENT_REFERENCE_C,
     .text = "width_mm is told at it."},
    {.name = "confidence",
     .quantity = UNITS_PLAIN,
     .range = CALC_FROM(0.5, 0.999),
     .origin = "common practice",
     .fallback = MOVEMENT_CONFIDENCE,
     .text = "Of the verdict, two-sided."},
    {.name = "lag_days",
     .quantity = UNITS_PLAIN,
     .unit = "d",
     .range = CALC_FROM(0, 365),
     .text = "Of the wall behind the air; not given: searched with air, else 0."},
    {.name = "method",
     .kind = CALC_WORD,
     .words = movement_method_words,
     .words_count = MOVEMENT_METHODS,
     .origin = "our default",
     .fallback = MOVEMENT_ROBUST,
     .text = "robust: bad readings set aside, errors that hang together in time; ols: plain least squares."},
    {.name = "air",
     .kind = CALC_OBJECTS,
     .fields = air_fields,
     .fields_count = CALC_COUNT(air_fields),
     .text = "Instead of the readings' own temperatures; it must reach back by the lag."},
};

static status read_series(calc_run *r, movement_input *in) {
    const calc_value *readings = calc_get(r->in, "readings"), *air = calc_get(r->in, "air");
    movement_reading *list = arena_get(r->memory, readings->count, sizeof *list);
    movement_air *series = arena_get(r->memory, air->count, sizeof *series);
    if (!list || !series) return fault_memory(r->why);
    for (size_t i = 0; i < readings->count; i++) {
        const calc_object *o = &readings->objects[i];
        if (air->count == 0 && !calc_given(o, "temperature_c"))
            return fault_set(r->why, E_INPUT,
                             "readings[%zu].temperature_c is missing; it is needed where air is not given",
                             i);
        list[i] = (movement_reading){calc_number(o, "day"), calc_number(o, "temperature_c"),
                                     calc_number(o, "width_mm")};
    }
    for (size_t i = 0; i < air->count; i++)
        series[i] = (movement_air){calc_number(&air->objects[i], "day"),
                                   calc_number(&air->objects[i], "temperature_c")};
    in->readings = list;
    in->n = readings->count;
    in->air = series;
    in->n_air = air->count;
    return OK;
}

static void put_fit(calc_run *r, const movement_result *out) {
    const struct {
        const char *name;
        double value;
    } sizes[] = {{"width_mm", out->width_m},
                 {"width_mm_se", out->width_se_m},
                 {"per_kelvin_mm", out->per_kelvin_m},
                 {"per_kelvin_mm_se", out->per_kelvin_se_m},
                 {"per_year_mm", out->per_year_m},
                 {"per_year_mm_se", out->per_year_se_m},
                 {"residual_sd_mm", out->residual_sd_m},
                 {"cyclic_range_mm", out->cyclic_range_m}};
    for (size_t i = 0; i < CALC_COUNT(sizes); i++)
        if (out->fitted)
            calc_put(r, sizes[i].name, UNITS_SIZE, sizes[i].value);
        else
            json_out_null(r->out, sizes[i].name);
    calc_put(r, "r_squared", UNITS_PLAIN, out->r_squared);
    calc_put(r, "correlation_week", UNITS_PLAIN, out->correlation_week);
    calc_put(r, "lag_days", UNITS_PLAIN, out->lag_days);
    json_out_text(r->out, "wall", movement_wall_words[out->wall]);
}

static status run_movement(calc_run *r) {
    movement_input in = {.reference_c = calc_number(r->in, "reference_c"),
                         .confidence = calc_number(r->in, "confidence"),
                         .lag_days = {calc_given(r->in, "lag_days"), calc_number(r->in, "lag_days")},
                         .method = (movement_method)calc_get(r->in, "method")->word};
    movement_result out;
    status code = read_series(r, &in);
    if (code == OK && in.n_air == 0 && in.lag_days.known && in.lag_days.v > 0)
        code = calc_refuse(r, "lag_days", "is %g, but there is no air series for the wall to lag behind",
                           in.lag_days.v);
    if (code == OK) code = movement_fit(&in, r->memory, &out, r->why);
    if (code != OK) return code;
    put_fit(r, &out);
    json_out_text(r->out, "verdict", movement_verdict_words[out.verdict]);
    json_out_text(r->out, "rule", out.rule);
    if (out.months_more.known)
        calc_put(r, "months_more", UNITS_PLAIN, out.months_more.v);
    else
        json_out_null(r->out, "months_more");
    json_out_open(r->out, "set_aside", '[');
    for (size_t i = 0; i < in.n; i++)
        if (out.aside && out.aside[i]) json_out_whole(r->out, NULL, (long long)i);
    json_out_close(r->out, ']');
    for (size_t i = 0; i < out.n_warnings; i++) calc_warn(r, "%s", out.warnings[i]);
    return OK;
}

const calc_row calc_row_movement = {
    .name = "movement",
    .summary = "does a crack move: still, cyclic, growing, closing",
    .model = "Width fitted on temperature and time; the wall lags behind the air. The year has 365 days.",
    .equation = "w = w0 + beta (T(t - lag) - Tref) + gamma t; growing (closing): |gamma| 365 > max(0.1 mm, t "
                "SE); undecided: fewer than 6 readings or "
                "330 days, or |gamma| 365 + t SE > 0.1 mm; cyclic: |beta| (Tmax - Tmin) > 0.1 mm; else still",
    .sources = movement_sources,
    .sources_count = CALC_COUNT(movement_sources),
    .fields = movement_fields,
    .fields_count = CALC_COUNT(movement_fields),
    .example = "{\"method\": \"ols\", \"readings\": [{\"day\": 0, \"temperature_c\": 5, \"width_mm\": "
               "0.596}, {\"day\": 61, \"temperature_c\": 12, \"width_mm\": 0.530}, "
               "{\"day\": 122, \"temperature_c\": 21, \"width_mm\": 0.441}, {\"day\": 183, "
               "\"temperature_c\": 22, \"width_mm\": 0.447}, "
               "{\"day\": 244, \"temperature_c\": 13, \"width_mm\": 0.573}, {\"day\": 305, "
               "\"temperature_c\": 6, \"width_mm\": 0.675}, "
               "{\"day\": 335, \"temperature_c\": 4, \"width_mm\": 0.709}]}\n",
    .run = run_movement,
};
