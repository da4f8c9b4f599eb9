#include "cli/calc_rows.h"
#include "crew/exposure.h"

#include <math.h>

#define MINUTES                                                                                              \
    {                                                                                                        \
        .name = "minutes", .required = true, .quantity = UNITS_PLAIN, .unit = "min",                         \
        .range = CALC_FROM(0, EXPOSURE_DAY_MIN), .text = "Of the shift; of one list at most a day in all."   \
    }
#define TOOL                                                                                                 \
    {                                                                                                        \
        .name = "tool", .kind = CALC_TEXT, .required = true, .range = CALC_FROM(1, 100),                     \
        .text = "Name, as you like."                                                                         \
    }

static const char *const sources[] = {
    "vibration: Directive 2002/44/EC, 2.5 and 5 m/s2 A(8), through pages that quote it; HSE points",
    "noise: NIOSH through a page that quotes it; OSHA form WAC 296-817-30015, which levels count and its "
    "action value from memory; EU values from memory",
    "silica: 29 CFR 1926.1153 Table 1; saw row read, others through pages that quote them; that hours add "
    "over the shift: value from memory",
    "local codes and a licensed professional govern: these figures check a plan; they do not replace the "
    "law of the place, the employer's risk assessment or the makers' data",
};

static const char *const places[] = {"outdoors", "indoors"};

static const calc_field vibration_fields[] = {
    TOOL,
    {.name = "m_s2",
     .required = true,
     .quantity = UNITS_PLAIN,
     .unit = "m/s2",
     .range = CALC_FROM(0, EXPOSURE_STRONGEST_M_S2),
     .text = "Hand-arm vibration, frequency-weighted, vector sum."},
    MINUTES,
};
static const calc_field noise_fields[] = {
    TOOL,
    {.name = "dba",
     .required = true,
     .quantity = UNITS_PLAIN,
     .unit = "dBA",
     .range = CALC_FROM(0, EXPOSURE_LOUDEST_DBA),
     .text = "Level at the ear, without muffs."},
    MINUTES,
};
static const calc_field silica_fields[] = {
    {.name = "task",
     .kind = CALC_WORD,
     .required = true,
     .words = exposure_silica_words,
     .words_count = SILICA_ROWS,
     .text = "Row of Table 1: saw (ii), core_drill (vi), hammer_drill (vii), chipping (x), mortar_grinder "
             "(xi), grinder for other uses (xii)."},
    MINUTES,
    {.name = "place",
     .kind = CALC_WORD,
     .required = true,
     .words = places,
     .words_count = CALC_COUNT(places),
     .text = "indoors: or in an enclosed place (basement, pit, tank: our reading)."},
};

static const calc_field fields[] = {
    {.name = "vibration",
     .kind = CALC_OBJECTS,
     .fields = vibration_fields,
     .fields_count = CALC_COUNT(vibration_fields),
     .text = "Tools in the hand, minutes with the trigger pulled."},
    {.name = "noise",
     .kind = CALC_OBJECTS,
     .fields = noise_fields,
     .fields_count = CALC_COUNT(noise_fields),
     .text = "Levels and how long."},
    {.name = "silica",
     .kind = CALC_OBJECTS,
     .fields = silica_fields,
     .fields_count = CALC_COUNT(silica_fields),
     .text = "Tasks on concrete, named as in Table 1."},
    {.name = "noise_rule",
     .kind = CALC_WORD,
     .words = exposure_noise_words,
     .words_count = NOISE_RULES,
     .origin = "our default, the strictest",
     .fallback = NOISE_NIOSH,
     .text = "niosh: 85 dBA, 3 dB; osha_pel: 90, 5, levels from 90; osha_hc: 90, 5, levels from 80, action "
             "at a dose of 50; eu: 85 (upper action), 3, and 80, 87."},
};

static status take(calc_run *r, exposure_shift *shift) {
    const calc_value *v = calc_get(r->in, "vibration"), *n = calc_get(r->in, "noise"),
                     *s = calc_get(r->in, "silica");
    exposure_vibration *tools = arena_get(r->memory, v->count, sizeof *tools);
    exposure_noise *levels = arena_get(r->memory, n->count, sizeof *levels);
    exposure_silica *tasks = arena_get(r->memory, s->count, sizeof *tasks);
    if (!tools || !levels || !tasks) return fault_memory(r->why);
    for (size_t i = 0; i < v->count; i++)
        tools[i] =
            (exposure_vibration){calc_get(&v->objects[i], "tool")->text, calc_number(&v->objects[i], "m_s2"),
                                 calc_number(&v->objects[i], "minutes")};
    for (size_t i = 0; i < n->count; i++)
        levels[i] =
            (exposure_noise){calc_get(&n->objects[i], "tool")->text, calc_number(&n->objects[i], "dba"),
                             calc_number(&n->objects[i], "minutes")};
    for (size_t i = 0; i < s->count; i++)
        tasks[i] = (exposure_silica){(exposure_silica_row)calc_get(&s->objects[i], "task")->word,
                                     calc_number(&s->objects[i], "minutes"),
                                     calc_get(&s->objects[i], "place")->word == 1};
    *shift = (exposure_shift){tools,
                              v->count,
                              levels,
                              n->count,
                              tasks,
                              s->count,
                              (exposure_noise_rule)calc_get(r->in, "noise_rule")->word};
    return OK;
}

/* A time that has no end is null. */
static void put_minutes(calc_run *r, const char *name, double minutes) {
    if (isfinite(minutes))
        calc_put(r, name, UNITS_PLAIN, minutes);
    else
        json_out_null(r->out, name);
}

static void put_vibration(calc_run *r, const exposure_shift *shift, const exposure_result *day) {
    json_out_open(r->out, "vibration", '[');
    for (size_t i = 0; i < shift->n_vibration; i++) {
        const exposure_vibration *at = &shift->vibration[i];
        double action_min, limit_min;
        exposure_vibration_times(at->a_m_s2, &action_min, &limit_min);
        json_out_open(r->out, NULL, '{');
        json_out_text(r->out, "tool", at->tool);
        calc_put(r, "points", UNITS_PLAIN, exposure_points(at->a_m_s2, at->minutes));
        put_minutes(r, "action_min", action_min);
        put_minutes(r, "limit_min", limit_min);
        put_minutes(r, "left_min", day->points_left / EXPOSURE_ACTION_POINTS * action_min);
        json_out_close(r->out, '}');
    }
    json_out_close(r->out, ']');
}

static void put_noise(calc_run *r, const exposure_shift *shift, const exposure_result *day) {
    double left = fmax(0, exposure_noise_rules[shift->rule].action_percent - day->dose_percent) / 100;
    json_out_open(r->out, "noise", '[');
    for (size_t i = 0; i < shift->n_noise; i++) {
        const exposure_noise *at = &shift->noise[i];
        double allowed_min = exposure_noise_min(shift->rule, at->level_dba);
        json_out_open(r->out, NULL, '{');
        json_out_text(r->out, "tool", at->tool);
        json_out_bool(r->out, "counts", isfinite(allowed_min));
        calc_put(r, "dose_percent", UNITS_PLAIN, 100 * at->minutes / allowed_min);
        put_minutes(r, "allowed_min", allowed_min);
        put_minutes(r, "left_min", isfinite(allowed_min) ? left * allowed_min : HUGE_VAL);
        json_out_close(r->out, '}');
    }
    json_out_close(r->out, ']');
}

static void put_silica(calc_run *r, const exposure_shift *shift, const exposure_result *day) {
    json_out_open(r->out, "silica", '[');
    for (size_t i = 0; i < shift->n_silica; i++) {
        const exposure_silica *at = &shift->silica[i];
        json_out_open(r->out, NULL, '{');
        json_out_text(r->out, "task", exposure_silica_words[at->row]);
        json_out_text(r->out, "place", places[at->indoors]);
        json_out_text(r->out, "control", exposure_control(at->row));
        json_out_whole(r->out, "respirator_apf", exposure_apf(at->row, at->indoors, day->silica_min));
        json_out_close(r->out, '}');
    }
    json_out_close(r->out, ']');
}

/* What the day may not exceed. */
static void put_limits(calc_run *r, exposure_noise_rule rule) {
    const exposure_noise_limits *noise = &exposure_noise_rules[rule];
    json_out_open(r->out, "limits", '{');
    json_out_number(r->out, "vibration_action_points", EXPOSURE_ACTION_POINTS);
    json_out_number(r->out, "vibration_limit_points", EXPOSURE_LIMIT_POINTS);
    json_out_number(r->out, "a8_action_m_s2", EXPOSURE_ACTION_M_S2);
    json_out_number(r->out, "a8_limit_m_s2", EXPOSURE_LIMIT_M_S2);
    if (rule == NOISE_EU) calc_put(r, "noise_lower_action_percent", UNITS_PLAIN, noise->lower_percent);
    calc_put(r, "noise_action_percent", UNITS_PLAIN, noise->action_percent);
    calc_put(r, "noise_limit_percent", UNITS_PLAIN, noise->limit_percent);
    calc_put(r, "noise_action_dba", UNITS_PLAIN,
             noise->q * log10(noise->action_percent / 100) + noise->criterion_dba);
    calc_put(r, "noise_limit_dba", UNITS_PLAIN,
             noise->q * log10(noise->limit_percent / 100) + noise->criterion_dba);
    json_out_number(r->out, "silica_column_min", EXPOSURE_SILICA_MIN);
    json_out_close(r->out, '}');
}

static void warn(calc_run *r, exposure_noise_rule rule, const exposure_result *day) {
    const exposure_noise_limits *noise = &exposure_noise_rules[rule];
    if (day->over_vibration_limit)
        calc_warn(r, "vibration: %.0f points pass the limit value of %g: this shift may not be worked",
                  day->points, EXPOSURE_LIMIT_POINTS);
    else if (day->over_vibration_action)
        calc_warn(r, "vibration: %.0f points pass the action value of %g: change hands or tool", day->points,
                  EXPOSURE_ACTION_POINTS);
    if (day->over_noise_limit)
        calc_warn(r, "noise: a dose of %.1f %% passes the limit of %.4g %%: quieter tool, shorter, and muffs",
                  day->dose_percent, noise->limit_percent);
    else if (day->over_noise_action)
        calc_warn(r, "noise: a dose of %.1f %% passes the action value of %.4g %%: hearing protection",
                  day->dose_percent, noise->action_percent);
    else if (day->dose_percent > noise->lower_percent)
        calc_warn(r, "noise: a dose of %.1f %% passes the lower action value of %.4g %%: offer muffs",
                  day->dose_percent, noise->lower_percent);
    if (day->apf) calc_warn(r, "silica: a respirator of APF %d is asked beside the control", day->apf);
    calc_warn(r, "local codes and a licensed professional govern: check these figures against them");
}

static status run_exposure(calc_run *r) {
    exposure_shift shift;
    exposure_result day;
    if (!calc_given(r->in, "vibration") && !calc_given(r->in, "noise") && !calc_given(r->in, "silica"))
        return calc_refuse(r, "vibration", "is missing; give one or more of vibration, noise, silica");
    status code = take(r, &shift);
    if (code == OK) code = exposure_sum(&shift, &day, r->why);
    if (code != OK) return code;
    calc_put(r, "vibration_points", UNITS_PLAIN, day.points);
    calc_put(r, "a8_m_s2", UNITS_PLAIN, day.a8_m_s2);
    calc_put(r, "noise_dose_percent", UNITS_PLAIN, day.dose_percent);
    if (day.dose_percent > 0) {
        calc_put(r, "noise_twa_dba", UNITS_PLAIN, day.twa_dba);
    } else {
        json_out_null(r->out, "noise_twa_dba");
        if (shift.n_noise) calc_warn(r, "no noise that counts under this rule: there is no mean level");
    }
    calc_put(r, "silica_min", UNITS_PLAIN, day.silica_min);
    json_out_whole(r->out, "respirator_apf", day.apf);
    json_out_bool(r->out, "over_vibration_action", day.over_vibration_action);
    json_out_bool(r->out, "over_vibration_limit", day.over_vibration_limit);
    json_out_bool(r->out, "over_noise_action", day.over_noise_action);
    json_out_bool(r->out, "over_noise_limit", day.over_noise_limit);
    calc_put(r, "vibration_points_left", UNITS_PLAIN, day.points_left);
    put_vibration(r, &shift, &day);
    put_noise(r, &shift, &day);
    put_silica(r, &shift, &day);
    put_limits(r, shift.rule);
    warn(r, shift.rule, &day);
    return OK;
}

const calc_row calc_row_exposure = {
    .name = "exposure",
    .summary = "one worker's shift against the limits of vibration, noise and silica dust",
    .model =
        "Vibration points add over the tools; noise doses add over the levels by a named rule; respirator by "
        "row of Table 1, place and the hours of all its tasks in the shift. A value is passed when it is "
        "exceeded (osha_hc: reached).",
    .equation = "points = 2 a^2 t, t in h, 100 at 2.5 m/s2 A(8); A(8) = a sqrt(t/8); T = 480/2^((L - "
                "criterion)/exchange) min, dose = 100 sum(C/T), TWA = q log10(dose/100) + criterion, q 10 "
                "or 16.61",
    .sources = sources,
    .sources_count = CALC_COUNT(sources),
    .fields = fields,
    .fields_count = CALC_COUNT(fields),
    .example =
        "{\"vibration\": [{\"tool\": \"breaker\", \"m_s2\": 12, \"minutes\": 20}, {\"tool\": \"grinder\", "
        "\"m_s2\": 5, \"minutes\": 60}],\n"
        " \"noise\": [{\"tool\": \"saw\", \"dba\": 100, \"minutes\": 5}, {\"tool\": \"drill\", \"dba\": 94, "
        "\"minutes\": 30}],\n"
        " \"silica\": [{\"task\": \"saw\", \"minutes\": 150, \"place\": \"outdoors\"}, {\"task\": "
        "\"chipping\", \"minutes\": 120, \"place\": \"outdoors\"}],\n"
        " \"noise_rule\": \"niosh\"}\n",
    .run = run_exposure,
};
