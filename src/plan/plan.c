#include "plan/plan.h"

#include "plan/parts.h"
#include "survey/objects.h"
#include "survey/write_json.h"

#include <string.h>

/* The inputs of a stage as JSON, hashed: cheaper to trust than a list of fields kept by hand. */
typedef struct {
    text base;                /* site, materials, rates */
    char (*faces)[HASH_TEXT]; /* one for each face */
} hashing;

static status hash_base(plan *p, hashing *h, fault *why) {
    const survey *s = p->survey;
    json_out o = {.to = &h->base, .system = UNITS_METRIC};
    h->faces = arena_get(p->memory, s->n_faces, sizeof *h->faces);
    if (!h->faces) return fault_memory(why);
    json_out_open(&o, NULL, '{');
    objects_write_site(&o, &s->site);
    json_out_close(&o, '}');
    for (size_t i = 0; i < s->n_faces; i++) {
        text one = {0};
        json_out f = {.to = &one, .system = UNITS_METRIC};
        json_out_open(&f, NULL, '{');
        objects_write_face(&f, &s->faces[i], true);
        json_out_close(&f, '}');
        bool failed = one.failed;
        hash_text(text_get(&one), one.length, h->faces[i]);
        text_free(&one);
        if (failed) return fault_memory(why);
    }
    return h->base.failed ? fault_memory(why) : OK;
}

/* look: site, the leak's faces, the leak. design: look and the answers to its findings. */
static status hash_leak(plan *p, const hashing *h, size_t i, fault *why) {
    const survey *s = p->survey;
    const survey_defect *d = &s->defects[i];
    text in = {0};
    text_add(&in, STANCH_VERSION);
    text_add(&in, text_get(&h->base));
    for (size_t k = 0; k < d->n_parts; k++) {
        const survey_face *face = survey_find_face(s, d->parts[k].face);
        if (face) text_add(&in, h->faces[face - s->faces]);
    }
    survey_write_defect_json(s, d, &in);
    hash_text(text_get(&in), in.length, p->hashes[i].look);
    for (size_t k = 0; k < s->n_answers; k++) {
        const survey_answer *a = &s->answers[k];
        if (strcmp(a->mark, d->mark) != 0 && strcmp(a->mark, "site") != 0) continue;
        text_print(&in, "%s|%s|%s", a->mark, a->finding, a->by);
    }
    hash_text(text_get(&in), in.length, p->hashes[i].design);
    bool failed = in.failed;
    text_free(&in);
    return failed ? fault_memory(why) : OK;
}

static status hash_job(plan *p, fault *why) {
    const survey *s = p->survey;
    text in = {0};
    json_out o = {.to = &in, .system = UNITS_METRIC};
    for (size_t i = 0; i < p->n_leaks; i++) text_add(&in, p->hashes[i].design);
    json_out_open(&o, NULL, '[');
    for (size_t i = 0; i < s->n_folds; i++) {
        json_out_open(&o, NULL, '{');
        objects_write_fold(&o, &s->folds[i]);
        json_out_close(&o, '}');
    }
    for (size_t i = 0; i < s->n_materials; i++) {
        json_out_open(&o, NULL, '{');
        objects_write_material(&o, &s->materials[i]);
        json_out_close(&o, '}');
    }
    for (size_t i = 0; i < s->n_rates; i++) {
        json_out_open(&o, NULL, '{');
        objects_write_rate(&o, &s->rates[i]);
        json_out_close(&o, '}');
    }
    hash_text(text_get(&in), in.length, p->takeoff_hash);
    for (size_t i = 0; i < s->n_prices; i++) {
        json_out_open(&o, NULL, '{');
        objects_write_price(&o, &s->prices[i]);
        json_out_close(&o, '}');
    }
    hash_text(text_get(&in), in.length, p->price_hash);
    bool failed = in.failed;
    text_free(&in);
    return failed ? fault_memory(why) : OK;
}

static status hash_inputs(plan *p, fault *why) {
    hashing h = {0};
    status code = hash_base(p, &h, why);
    for (size_t i = 0; code == OK && i < p->n_leaks; i++) code = hash_leak(p, &h, i, why);
    text_free(&h.base);
    return code == OK ? hash_job(p, why) : code;
}

static status make_room(plan *p, fault *why) {
    size_t n = p->n_leaks;
    p->leaks = arena_get(p->memory, n, sizeof *p->leaks);
    p->diagnoses = arena_get(p->memory, n, sizeof *p->diagnoses);
    p->designs = arena_get(p->memory, n, sizeof *p->designs);
    p->cards = arena_get(p->memory, n, sizeof *p->cards);
    p->hashes = arena_get(p->memory, n, sizeof *p->hashes);
    p->plane_of = arena_get(p->memory, n, sizeof *p->plane_of);
    p->plane_skipped = arena_get(p->memory, n, sizeof *p->plane_skipped);
    return p->leaks && p->diagnoses && p->designs && p->cards && p->hashes && p->plane_of && p->plane_skipped
               ? OK
               : fault_memory(why);
}

static status choose_and_size(plan *p, size_t i, finding_list *own, fault *why) {
    const leak_water *leak = &p->leaks[i];
    method_facts facts;
    method_choice method;
    steel_limits steel;
    status code = steel_look(leak, p->memory, &steel, why);
    if (code != OK) return code;
    method_facts_of(p->survey, leak, &p->diagnoses[i], own, &facts);
    facts.slot_allowed_m = steel.usual_m;
    code = design_plug_need(leak, &facts.plug_need_m, why);
    if (code == OK) code = method_choose(&facts, &leak->defect->overrule, p->memory, &method, why);
    if (code != OK) return code;
    const design_case of = {leak, &p->diagnoses[i], &method, &steel};
    return design_size(p->survey, &of, p->memory, own, &p->designs[i], why);
}

/* look -> why -> what, leak by leak. */
static status design_leak(plan *p, size_t i, fault *why) {
    const survey *s = p->survey;
    const survey_defect *d = &s->defects[i];
    status code = leak_look(s, d, p->memory, &p->leaks[i], why);
    finding_list own = {0}; /* kept apart while the leak is decided: the job's list may be long */
    for (size_t k = 0; code == OK && k < p->findings.n && strcmp(p->findings.items[k].mark, "site") == 0; k++)
        code = finding_add(s, p->memory, &own, p->findings.items[k].level, "site", p->findings.items[k].code,
                           "", why);
    size_t of_site = own.n;
    if (code == OK) code = diagnosis_make(s, &p->leaks[i], p->memory, &p->diagnoses[i], why);
    if (code == OK) code = finding_of_leak(s, &p->leaks[i], &p->diagnoses[i], p->memory, &own, why);
    if (code == OK) code = choose_and_size(p, i, &own, why);
    for (size_t k = of_site; code == OK && k < own.n; k++) {
        finding *items = arena_push(p->memory, p->findings.items, &p->findings.n, sizeof *items);
        if (!items) return fault_memory(why);
        items[p->findings.n - 1] = own.items[k];
        p->findings.items = items;
    }
    return code;
}

static status look_and_design(plan *p, progress *how_far, fault *why) {
    progress_say(how_far, "water, findings and design");
    status code = make_room(p, why);
    if (code == OK) code = hash_inputs(p, why);
    if (code == OK) code = finding_of_site(p->survey, p->memory, &p->findings, why);
    if (code == OK) code = plan_check_temperatures(p, why);
    for (size_t i = 0; code == OK && i < p->n_leaks; i++) {
        code = progress_stopped(how_far, why);
        if (code == OK) code = design_leak(p, i, why);
        progress_add(how_far, PROGRESS_LOOK_MS);
    }
    return code;
}

static status measure_and_price(plan *p, progress *how_far, fault *why) {
    const survey *s = p->survey;
    progress_say(how_far, "quantities, price and step cards");
    status code = takeoff_measure(s, p->leaks, p->designs, p->memory, &p->takeoff, why);
    if (code == OK) code = progress_stopped(how_far, why);
    if (code == OK) code = estimate_price(s, p->leaks, p->designs, &p->takeoff, p->memory, &p->price, why);
    if (code == OK) code = plan_list_assumptions(p, why);
    if (code == OK) code = plan_find_rounds(p, why);
    for (size_t i = 0; code == OK && i < p->n_leaks; i++) {
        code = progress_stopped(how_far, why);
        if (code == OK) code = plan_write_card(p, i, why);
        progress_add(how_far, PROGRESS_REST_MS);
    }
    return code;
}

static status run_stages(plan *p, const plan_options *options, fault *why) {
    progress how_far;
    status code = progress_begin(&how_far, options, p->n_leaks, why);
    if (code != OK) return code;
    code = look_and_design(p, &how_far, why);
    if (code == OK) code = plan_run_planes(p, options, &how_far, why);
    if (code == OK) code = progress_stopped(&how_far, why);
    if (code == OK) code = measure_and_price(p, &how_far, why);
    if (code == OK && options->works) code = plan_add_works(p, options, &how_far, why);
    if (code == OK) code = progress_stopped(&how_far, why);
    if (code == OK) progress_finish(&how_far);
    progress_end(&how_far);
    return code;
}

status plan_make(const survey *s, const plan_options *options, plan **out, fault *why) {
    *out = NULL;
    arena *memory = arena_new();
    plan *p = memory ? arena_get(memory, 1, sizeof *p) : NULL;
    if (!p) {
        arena_free(memory);
        return fault_memory(why);
    }
    *p = (plan){.memory = memory, .survey = s, .n_leaks = s->n_defects};
    status code = estimate_check_rates(s, why);
    if (code == OK) code = run_stages(p, options, why);
    if (code == OK)
        *out = p;
    else
        plan_free(p);
    return code;
}

void plan_free(plan *p) {
    if (!p) return;
    for (size_t i = 0; i < p->n_planes; i++) arena_free(p->planes[i].memory);
    arena_free(p->memory);
}

static size_t count_open(const plan *p, finding_level level) {
    size_t n = 0;
    for (size_t i = 0; i < p->findings.n; i++)
        n += p->findings.items[i].level == level && !p->findings.items[i].answer;
    return n;
}

size_t plan_open_stops(const plan *p) {
    return count_open(p, FINDING_STOP);
}

size_t plan_open_asks(const plan *p) {
    return count_open(p, FINDING_ASK);
}
