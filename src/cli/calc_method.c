#include "cli/calc_rows.h"
#include "cli/calc_survey.h"
#include "diagnose/method.h"
#include "repair/design.h"
#include "survey/catalogue.h"
#include "survey/check.h"

#include <math.h>

static const char *const method_sources[] = {
    "the table of `stanch methods --table`; each row names its own source",
    "placing temperatures: the generic materials of a new job, invented: replace by your maker's data sheet",
};

static const calc_field result_fields[] = {
    {.name = "movement",
     .kind = CALC_WORD,
     .words = movement_verdict_words,
     .words_count = MOVEMENT_VERDICTS,
     .text = "Verdict of the gauges; not given: from the readings and signs of the defect."},
    {.name = "movement_mm",
     .quantity = UNITS_SIZE,
     .range = CALC_FROM(0, 50),
     .text = "Widest less narrowest in a year."},
    {.name = "flow_l_min",
     .quantity = UNITS_FLOW,
     .range = CALC_FROM(0, 1e5),
     .text = "Measured; not given: from the flows, else the widths, of the defect."},
    {.name = "head_m",
     .quantity = UNITS_LENGTH,
     .range = CALC_FROM(0, 1000),
     .text = "By design, on the lowest place; not given: from the levels of site and face."},
    {.name = "slot_allowed_mm",
     .quantity = UNITS_SIZE,
     .range = CALC_FROM(0, 5000),
     .text = "Depth that the steel leaves; not given: from the stations' bars."},
    {.name = "plug_need_mm",
     .quantity = UNITS_SIZE,
     .range = CALC_FROM(0, 5000),
     .text = "Depth that the plug wants; not given: at the head, as `plug` has it."},
    {.name = "heals",
     .kind = CALC_CUSTOM,
     .read = calc_read_truth,
     .shape = "true or false",
     .text = "By the rule chosen; not given: by the site's rule, as `healing` has it."},
};

static const calc_field method_fields[] = {
    {.name = "site",
     .kind = CALC_CUSTOM,
     .read = calc_read_site,
     .shape = "object as the survey's site",
     .text = "Levels, temperatures, liquid, exclusions; what is not given is as in a new job."},
    {.name = "face",
     .kind = CALC_CUSTOM,
     .read = calc_read_face,
     .shape = "object as one of the survey's faces",
     .text = "That the defect lies on. Not given: levels count from the leak, and thickness_m is needed."},
    {.name = "thickness_m",
     .quantity = UNITS_LENGTH,
     .range = CALC_ABOVE(0, 20),
     .text = "Of the member, where no face is given."},
    {.name = "defect",
     .kind = CALC_CUSTOM,
     .required = true,
     .read = calc_read_defect,
     .shape = "object as one of the survey's defects",
     .text = "One leak, as seen, with its gauge readings, signs and overrule."},
    {.name = "results",
     .kind = CALC_OBJECT,
     .fields = result_fields,
     .fields_count = CALC_COUNT(result_fields),
     .text = "What is known already; each stands in for what would be computed."},
    {.name = "exclude",
     .kind = CALC_CUSTOM,
     .read = calc_read_methods,
     .shape = "list of methods",
     .text = "That may not be used, beside those of site and defect; `stanch methods` lists the words."},
};

/* A result that was given, else `found`. */
static maybe result_or(const calc_run *r, const char *name, maybe found) {
    const calc_value *results = calc_get(r->in, "results");
    if (!results->count || !calc_given(results->objects, name)) return found;
    return (maybe){true, calc_number(results->objects, name)};
}

static bool is_result(const calc_run *r, const char *name) {
    const calc_value *results = calc_get(r->in, "results");
    return results->count && calc_given(results->objects, name);
}

/* Without a face: a level one at elevation 0 under all of the leak, so that no place on a wall is made up. */
static status take_face(calc_run *r, survey *s) {
    static const char *const thickness[] = {"thickness_m"};
    const calc_value *given = calc_get(r->in, "face");
    survey_face *face = arena_get(s->memory, 1, sizeof *face);
    survey_point *ring = arena_get(s->memory, 4, sizeof *ring);
    if (!face || !ring) return fault_memory(r->why);
    s->faces = face;
    s->n_faces = 1;
    if (given->given) {
        *face = *(const survey_face *)given->custom;
        face->origin = "face";
        return calc_none_of(r, thickness, 1, "the face has its own");
    }
    if (!calc_given(r->in, "thickness_m"))
        return calc_refuse(r, "thickness_m", "is missing; it is needed where no face is given");
    const survey_part *part = s->defects[0].parts;
    double low[2] = {HUGE_VAL, HUGE_VAL}, high[2] = {-HUGE_VAL, -HUGE_VAL};
    for (size_t i = 0; i < part->n_points; i++) {
        double at[2] = {part->points[i].u_m, part->points[i].v_m};
        for (size_t k = 0; k < 2; k++) {
            low[k] = fmin(low[k], at[k] - 1);
            high[k] = fmax(high[k], at[k] + 1);
        }
    }
    ring[0] = (survey_point){low[0], low[1]};
    ring[1] = (survey_point){high[0], low[1]};
    ring[2] = (survey_point){high[0], high[1]};
    ring[3] = (survey_point){low[0], high[1]};
    *face = (survey_face){.id = part->face,
                          .lie = LIE_FLOOR,
                          .thickness_m = calc_number(r->in, "thickness_m"),
                          .outline = {ring, 4},
                          .origin = "face"};
    calc_base(r, "no face given: levels count from the leak, and nothing is said of its place on a wall");
    return OK;
}

/* A head that is given is the design level above the lowest place. */
static void take_head(const calc_run *r, survey *s) {
    double lowest_m;
    maybe head = result_or(r, "head_m", (maybe){0});
    if (!head.known || !trace_lowest(s, &s->defects[0], 0, trace_length_m(&s->defects[0]), &lowest_m)) return;
    s->faces[0].design = (survey_level){{true, lowest_m + head.v}, KNOWN_TOLD, NULL};
}

/* One leak as a job of its own. */
static status build(calc_run *r, survey *s) {
    const calc_value *site = calc_get(r->in, "site"), *exclude = calc_get(r->in, "exclude");
    fault_list *faults = fault_list_new();
    status code = E_MEMORY;
    s->defects = arena_get(s->memory, 1, sizeof *s->defects);
    if (!faults || !s->defects) goto done;
    s->n_defects = 1;
    if (site->given) s->site = *(const survey_site *)site->custom;
    s->defects[0] = *(const survey_defect *)calc_get(r->in, "defect")->custom;
    s->defects[0].origin = "defect";
    if (exclude->given) s->defects[0].excluded |= *(const unsigned *)exclude->custom;
    code = take_face(r, s);
    if (code == OK) code = survey_catalogue_fill(s, r->why);
    if (code != OK) goto tell;
    survey_check(s, faults);
    code = fault_list_status(faults, r->why);
    if (code == OK) take_head(r, s);
    goto tell;
done:
    fault_memory(r->why);
tell:
    fault_list_free(faults);
    return code;
}

/* look -> why, with the results that were given in place of what was found. */
static status look(calc_run *r, const survey *s, leak_water *leak, diagnosis *why_leaks) {
    status code = leak_look(s, &s->defects[0], r->memory, leak, r->why);
    if (code != OK) return code;
    leak->head_design_m = result_or(r, "head_m", (maybe){true, leak->head_design_m}).v;
    leak->flow_m3_s = result_or(r, "flow_l_min", leak->flow_m3_s);
    if (is_result(r, "flow_l_min")) {
        leak->flow_measured_m3_s = leak->flow_m3_s;
        leak->basis = FLOW_MEASURED;
    }
    code = diagnosis_make(s, leak, r->memory, why_leaks, r->why);
    if (code != OK) return code;
    const calc_value *results = calc_get(r->in, "results");
    if (is_result(r, "movement")) {
        why_leaks->verdict = (movement_verdict)calc_get(results->objects, "movement")->word;
        why_leaks->basis = MOVES_MEASURED;
        why_leaks->decisive = NULL;
        why_leaks->reason = "The verdict was given.";
    }
    why_leaks->movement_m = result_or(r, "movement_mm", why_leaks->movement_m);
    return OK;
}

static status gather(calc_run *r, const survey *s, const leak_water *leak, const diagnosis *why_leaks,
                     const finding_list *findings, method_facts *facts) {
    steel_limits steel;
    maybe need = {0};
    status code = steel_look(leak, r->memory, &steel, r->why);
    if (code == OK) code = design_plug_need(leak, &need, r->why);
    if (code != OK) return code;
    method_facts_of(s, leak, why_leaks, findings, facts);
    facts->slot_allowed_m = result_or(r, "slot_allowed_mm", steel.usual_m);
    facts->plug_need_m = result_or(r, "plug_need_mm", need);
    if (is_result(r, "heals"))
        facts->heals = calc_get(calc_get(r->in, "results")->objects, "heals")->word != 0;
    return OK;
}

static void put_reasons(calc_run *r, const method_choice *c) {
    json_out_open(r->out, "reasons", '[');
    json_out_text(r->out, NULL, c->reason);
    if (c->overruled && c->name == c->overruled->method) {
        const char *chosen = arena_print(r->memory, "chosen by %s: %s", c->overruled->by, c->overruled->why);
        json_out_text(r->out, NULL, chosen ? chosen : "");
    }
    if (c->objection) json_out_text(r->out, NULL, c->objection);
    json_out_close(r->out, ']');
}

static void put_choice(calc_run *r, const method_choice *c) {
    json_out_text(r->out, "method", survey_method_words[c->name]);
    json_out_text(r->out, "by_table", survey_method_words[c->by_table]);
    json_out_whole(r->out, "row", c->row);
    put_reasons(r, c);
    json_out_text(r->out, "runner_up", survey_method_words[c->runner_up]);
    json_out_open(r->out, "what_would_tip", '[');
    for (size_t i = 0; i < c->n_tips; i++) {
        json_out_open(r->out, NULL, '{');
        json_out_text(r->out, "change", c->tips[i].change);
        json_out_text(r->out, "method", survey_method_words[c->tips[i].to]);
        json_out_close(r->out, '}');
    }
    json_out_close(r->out, ']');
    json_out_open(r->out, "passed", '[');
    for (size_t i = 0; i < c->n_passed; i++) {
        json_out_open(r->out, NULL, '{');
        json_out_text(r->out, "method", survey_method_words[c->passed[i].method]);
        json_out_text(r->out, "why", c->passed[i].why);
        json_out_close(r->out, '}');
    }
    json_out_close(r->out, ']');
    calc_base(r, "row %d: %s", c->row, c->basis);
}

static void put_findings(calc_run *r, const finding_list *list, const char *name, finding_level level) {
    json_out_open(r->out, name, '[');
    for (size_t i = 0; i < list->n; i++)
        if (list->items[i].level == level) json_out_text(r->out, NULL, list->items[i].sentence);
    json_out_close(r->out, ']');
}

static status decide(calc_run *r, survey *s) {
    leak_water leak;
    diagnosis why_leaks;
    finding_list findings = {0};
    method_facts facts;
    method_choice choice;
    status code = build(r, s);
    if (code == OK) code = look(r, s, &leak, &why_leaks);
    if (code == OK) code = finding_of_site(s, r->memory, &findings, r->why);
    if (code == OK) code = finding_of_leak(s, &leak, &why_leaks, r->memory, &findings, r->why);
    if (code == OK) code = gather(r, s, &leak, &why_leaks, &findings, &facts);
    if (code == OK) code = method_choose(&facts, &s->defects[0].overrule, r->memory, &choice, r->why);
    if (code != OK) return code;
    put_choice(r, &choice);
    put_findings(r, &findings, "stop", FINDING_STOP);
    put_findings(r, &findings, "ask", FINDING_ASK);
    for (size_t i = 0; i < leak.n_warnings; i++) calc_warn(r, "%s", leak.warnings[i]);
    return OK;
}

static status run_method(calc_run *r) {
    survey *s = survey_new();
    status code = s ? decide(r, s) : fault_memory(r->why);
    survey_free(s);
    return code;
}

const calc_row calc_row_method = {
    .name = "method",
    .summary = "how one leak is treated: the choice, its reasons, the runner-up",
    .model =
        "The first row of the decision table that fits what was seen, and whose method nothing forbids. "
        "Each input is "
        "then changed alone, to tell what would tip the choice. An open STOP is answered by a person first.",
    .equation = "none: a table, printed by `stanch methods --table`",
    .sources = method_sources,
    .sources_count = CALC_COUNT(method_sources),
    .fields = method_fields,
    .fields_count = CALC_COUNT(method_fields),
    .example =
        "{\"site\": {\"wall_c\": 11, \"design\": {\"level_m\": 3.9, \"known\": \"told\"},\n"
        "  \"today\": {\"level_m\": 2.6, \"known\": \"measured\"}},\n"
        " \"face\": {\"id\": \"N\", \"lie\": \"wall\", \"behind\": \"ground\", \"thickness_m\": 0.35, "
        "\"elevation_m\": 0,\n"
        "  \"outline\": [[0, 0], [10, 0], [10, 3.9], [0, 3.9]]},\n"
        " \"defect\": {\"mark\": \"N1\", \"kind\": \"crack\", \"parts\": [{\"face\": \"N\", \"points\": [[2, "
        "0], [2.2, 3]]}],\n"
        "  \"stations\": [{\"chainage_m\": 0, \"width_mm\": 0.3, \"wetness\": \"run\", \"bar\": \"none\"},\n"
        "   {\"chainage_m\": 1.5, \"width_mm\": 0.2, \"wetness\": \"drip\", \"bar\": \"none\"},\n"
        "   {\"chainage_m\": 3, \"width_mm\": 0.05, \"wetness\": \"dry\", \"bar\": \"none\"}]},\n"
        " \"results\": {\"movement\": \"still\", \"flow_l_min\": 0.9},\n"
        " \"exclude\": [\"inject_epoxy\"]}\n",
    .run = run_method,
};
