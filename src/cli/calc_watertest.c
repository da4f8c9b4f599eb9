#include "accept/watertest.h"
#include "cli/calc_rows.h"

#include <math.h>

static const char *const watertest_sources[] = {
    "net drop and its limits: published criteria, each read as `criterion` tells; density of water: Tanaka "
    "et al. 2001, value from memory",
    "uncertainty by the GUM: 0.2 mm a reading, 5 % of the evaporation deducted for the pan factor, 5 % and "
    "0.2 mm of the rain, 0.1 K "
    "(0.5 K where not read) of the water: our defaults",
};

static bool read_yes_no(json_in *in, const json_path *at, json_t *value, calc_value *out) {
    if (!json_is_boolean(value)) {
        json_in_fault(in, at, NULL, "must be true or false");
        return false;
    }
    out->number = json_is_true(value);
    return true;
}

#define HOURS_FIELD                                                                                          \
    {                                                                                                        \
        .name = "hours", .required = true, .quantity = UNITS_PLAIN, .unit = "h",                             \
        .range = CALC_FROM(-1e6, 1e6), .text = "From any hour on; rising."                                   \
    }
#define LEVEL_FIELD(about)                                                                                   \
    {                                                                                                        \
        .name = "level_mm", .required = true, .quantity = UNITS_SIZE, .range = CALC_FROM(-1e6, 1e6),         \
        .text = (about)                                                                                      \
    }

static const calc_field reading_fields[] = {
    HOURS_FIELD,
    LEVEL_FIELD("Of the water above any fixed mark."),
    {.name = "temperature_c",
     .quantity = UNITS_TEMPERATURE,
     .range = CALC_FROM(0, 60),
     .text = "Of the water; not given at the first and the last: not corrected for, and less sure."},
};
static const calc_field pan_fields[] = {HOURS_FIELD,
                                        LEVEL_FIELD("Of the water in the pan above any fixed mark.")};

static const calc_field watertest_fields[] = {
    {.name = "capacity_m3",
     .required = true,
     .quantity = UNITS_PLAIN,
     .unit = "m3",
     .range = CALC_ABOVE(0, 1e6),
     .text = "Of the tank."},
    {.name = "plan_area_m2",
     .required = true,
     .quantity = UNITS_AREA,
     .range = CALC_ABOVE(0, 1e6),
     .text = "Of the water's surface."},
    {.name = "depth_m",
     .required = true,
     .quantity = UNITS_LENGTH,
     .range = CALC_ABOVE(0, 100),
     .text = "Of the water."},
    {.name = "readings",
     .kind = CALC_OBJECTS,
     .required = true,
     .fields = reading_fields,
     .fields_count = CALC_COUNT(reading_fields),
     .least = 2,
     .text = "Of the tank."},
    {.name = "pan",
     .kind = CALC_OBJECTS,
     .fields = pan_fields,
     .fields_count = CALC_COUNT(pan_fields),
     .text = "Evaporation pan beside the tank: none, or two readings or more."},
    {.name = "pan_factor",
     .quantity = UNITS_PLAIN,
     .range = CALC_ABOVE(0, 2),
     .origin = "our default",
     .fallback = 1,
     .text = "Evaporation of the tank over that of the pan."},
    {.name = "pan_open_to_rain",
     .kind = CALC_CUSTOM,
     .read = read_yes_no,
     .shape = "true or false",
     .text = "Needed with pan and rain."},
    {.name = "rain_mm",
     .quantity = UNITS_SIZE,
     .range = CALC_FROM(0, 1e4),
     .origin = "our default",
     .fallback = 0,
     .text = "In all; with rain the first and the last reading alone count."},
    {.name = "criterion",
     .kind = CALC_WORD,
     .required = true,
     .words = survey_criterion_words,
     .words_count = CRITERION_COUNT,
     .text = "awwa_d110: 0.05 %/day, 72 h, to 120 h if it fails; aci_awwa_1978: 0.1 %/day, 120 h; "
             "aci350_nml: none "
             "measurable, aci350_025 .. _100: 0.025 to 0.1 %/day, 72 h; bs5337: 10 mm in 7 days; bs8007: "
             "1/500 of the depth or "
             "10 mm in 7 days; en1610_pipe, en1610_pipe_manhole, en1610_chamber: 0.15, 0.20, 0.40 l/m2 in 30 "
             "min; precast: 0.1 "
             "l/m2 in 30 min."},
    {.name = "wetted_area_m2",
     .quantity = UNITS_AREA,
     .range = CALC_ABOVE(0, 1e6),
     .text = "Needed with en1610_... and precast."},
};

static status take_series(calc_run *r, const char *field, const watertest_reading **out, size_t *n) {
    const calc_value *given = calc_get(r->in, field);
    watertest_reading *list = arena_get(r->memory, given->count, sizeof *list);
    if (!list) return fault_memory(r->why);
    for (size_t i = 0; i < given->count; i++) {
        const calc_object *o = &given->objects[i];
        list[i] =
            (watertest_reading){.hours = calc_number(o, "hours"), .level_m = calc_number(o, "level_mm")};
        if (i > 0 && !(list[i].hours > list[i - 1].hours))
            return fault_set(r->why, E_INPUT, "%s[%zu].hours: %g; it must rise above %g, the one before",
                             field, i, list[i].hours, list[i - 1].hours);
        if (o->fields_count == CALC_COUNT(reading_fields))
            list[i].temperature_c = (maybe){calc_given(o, "temperature_c"), calc_number(o, "temperature_c")};
    }
    *out = given->count > 0 ? list : NULL;
    *n = given->count;
    return OK;
}

static status take(calc_run *r, watertest_input *in) {
    *in = (watertest_input){
        .capacity_m3 = calc_number(r->in, "capacity_m3"),
        .plan_area_m2 = calc_number(r->in, "plan_area_m2"),
        .depth_m = calc_number(r->in, "depth_m"),
        .wetted_area_m2 = {calc_given(r->in, "wetted_area_m2"), calc_number(r->in, "wetted_area_m2")},
        .pan_factor = calc_number(r->in, "pan_factor"),
        .rain_m = calc_number(r->in, "rain_mm"),
        .criterion = (survey_criterion)calc_get(r->in, "criterion")->word};
    status code = take_series(r, "readings", &in->readings, &in->n_readings);
    if (code == OK) code = take_series(r, "pan", &in->pan, &in->n_pan);
    if (code != OK) return code;
    if (in->n_pan == 1) return calc_refuse(r, "pan", "has 1 reading; give none, or 2 or more");
    if (in->n_pan > 0 && in->rain_m > 0 && !calc_given(r->in, "pan_open_to_rain"))
        return calc_refuse(r, "pan_open_to_rain", "is missing; it is needed with pan and rain");
    const watertest_rule *rule = watertest_find_rule(in->criterion);
    if (rule->unit == ALLOWED_L_M2 && !in->wetted_area_m2.known)
        return calc_refuse(r, "wetted_area_m2", "is missing; %s allows so much on each m2 of it", rule->name);
    in->pan_kind = calc_number(r->in, "pan_open_to_rain") > 0 ? PAN_OPEN : PAN_COVERED;
    calc_base(r, "%s: %s; %s", rule->name, rule->asks, rule->source);
    return OK;
}

/* Differences of levels to the picometre: what millimetres divided by 1000 leave behind is nobody's reading. */
static double level_difference(double m) {
    return round(m * 1e12) / 1e12;
}

static void put(calc_run *r, bool known, const char *name, units_quantity q, double si) {
    if (known)
        calc_put(r, name, q, si);
    else
        json_out_null(r->out, name);
}

/* The trade's arithmetic on the first and the last reading; what is judged is the line through all of them. */
static void put_figures(calc_run *r, const watertest_input *in, const watertest_result *out) {
    bool known = out->found_uncertainty.known;
    double days = known ? out->hours / 24 : 1, net_m = level_difference(out->net_drop_m),
           net_m3 = net_m * in->plan_area_m2;
    put(r, known, "net_drop_mm", UNITS_SIZE, net_m);
    put(r, known, "drop_mm", UNITS_SIZE, level_difference(out->drop_m));
    put(r, known, "evaporation_mm", UNITS_SIZE, level_difference(out->evaporation_m));
    put(r, known, "warming_mm", UNITS_SIZE, level_difference(out->thermal_m));
    put(r, known, "net_volume_l", UNITS_VOLUME, net_m3);
    put(r, known, "loss_l_day", UNITS_VOLUME, net_m3 / days);
    put(r, known, "loss_percent_day", UNITS_PLAIN, 100 * net_m3 / (in->capacity_m3 * days));
    put(r, known, "fitted_drop_mm", UNITS_SIZE, level_difference(out->fitted_drop_m));
    put(r, known, "uncertainty_mm", UNITS_SIZE, out->uncertainty_m);
    put(r, known, "coverage", UNITS_PLAIN, out->coverage);
    calc_put(r, "allowed", UNITS_PLAIN, out->allowed);
    json_out_text(r->out, "allowed_unit", watertest_allowed_words[out->allowed_unit]);
    put(r, known, "found", UNITS_PLAIN, out->found);
    put(r, known, "found_uncertainty", UNITS_PLAIN, out->found_uncertainty.v);
}

static status run_watertest(calc_run *r) {
    watertest_input in;
    watertest_result out;
    status code = take(r, &in);
    if (code == OK) code = watertest_judge(&in, r->memory, &out, r->why);
    if (code != OK) return code;
    put_figures(r, &in, &out);
    json_out_text(r->out, "verdict", watertest_verdict_words[out.verdict]);
    json_out_text(r->out, "reason", out.reason);
    put(r, out.hours_more.known, "hours_more", UNITS_PLAIN, out.hours_more.v);
    json_out_open(r->out, "set_aside", '[');
    for (size_t i = 0; i < out.n_points; i++)
        if (out.points[i].aside) json_out_whole(r->out, NULL, (long long)i);
    json_out_close(r->out, ']');
    for (size_t i = 0; i < out.n_findings; i++) calc_warn(r, "%s", out.findings[i]);
    return OK;
}

const calc_row calc_row_watertest = {
    .name = "watertest",
    .summary = "does a tank hold its water, by a published criterion",
    .model = "Drop of the level less evaporation, with rain, at the temperature of the first reading; judged "
             "is the straight line "
             "through all readings with its expanded uncertainty U.",
    .equation = "net = drop - pan factor x (pan drop + rain where open) + rain + depth (rho(T1)/rho(Tn) - "
                "1); pass: found + U <= "
                "allowed and long enough; fail: found - U > allowed; else undecided",
    .sources = watertest_sources,
    .sources_count = CALC_COUNT(watertest_sources),
    .fields = watertest_fields,
    .fields_count = CALC_COUNT(watertest_fields),
    .example = "{\"capacity_m3\": 200, \"plan_area_m2\": 50, \"depth_m\": 4, \"criterion\": \"awwa_d110\", "
               "\"rain_mm\": 1.0, "
               "\"pan_open_to_rain\": false, \"readings\": [{\"hours\": 0, \"level_mm\": 100.0, "
               "\"temperature_c\": 18}, {\"hours\": "
               "72, \"level_mm\": 94.0, \"temperature_c\": 18}], \"pan\": [{\"hours\": 0, \"level_mm\": "
               "60.0}, {\"hours\": 72, "
               "\"level_mm\": 57.0}]}\n",
    .run = run_watertest,
};
