/* One job of the folder: read, is it finished, and what it tells. */
#include "ops/job.h"
#include "ops/learn_parts.h"
#include "ops/offer_parts.h"
#include "store/offers.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

status learn_add_fact(const learn_reading *r, const learn_fact *fact) {
    learn_told *out = r->out;
    learn_fact *list = arena_push(out->memory, out->facts, &out->n_facts, sizeof *list);
    if (!list) return fault_memory(r->why);
    out->facts = list;
    list[out->n_facts - 1] = *fact;
    return OK;
}

status learn_add_event(const learn_reading *r, const learn_event *event) {
    learn_told *out = r->out;
    learn_event *list = arena_push(out->memory, out->events, &out->n_events, sizeof *list);
    if (!list) return fault_memory(r->why);
    out->events = list;
    list[out->n_events - 1] = *event;
    return OK;
}

/* ---- a leak's class ---- */

/* Of the wall while it was worked on, else of the air, by all that its records tell. */
static maybe temperature_at(const learn_reading *r, const char *mark) {
    double wall = 0, air = 0, walls = 0, airs = 0;
    for (size_t i = 0; i < r->n_records; i++) {
        const record *of = &r->records[i];
        if (strcmp(of->mark, mark) != 0 || of->what == RECORD_PROOF) continue;
        if (of->wall_c.known) {
            wall += of->wall_c.v;
            walls++;
        }
        if (of->air_c.known) {
            air += of->air_c.v;
            airs++;
        }
    }
    const survey_site *site = &r->p->survey->site;
    if (walls > 0) return (maybe){true, wall / walls};
    if (airs > 0) return (maybe){true, air / airs};
    return site->wall_c.known ? site->wall_c : site->air_c;
}

learn_fact learn_about(const learn_reading *r, size_t leak) {
    const survey_defect *d = &r->p->survey->defects[leak];
    const survey_face *face = d->n_parts ? survey_find_face(r->p->survey, d->parts[0].face) : NULL;
    maybe c = temperature_at(r, d->mark);
    return (learn_fact){.kind = d->kind,
                        .access = face ? face->access : ACCESS_GROUND,
                        .temperature = !c.known || (c.v >= 10 && c.v <= 25) ? LEARN_MILD
                                       : c.v < 10                           ? LEARN_COLD
                                                                            : LEARN_HOT};
}

/* ---- is it of use ---- */

static status leave_out(const learn_reading *r, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
static status leave_out(const learn_reading *r, const char *format, ...) {
    char why[400];
    va_list args;
    va_start(args, format);
    vsnprintf(why, sizeof why, format, args);
    va_end(args);
    r->out->left_out = arena_print(r->out->memory, "%s: %s", r->out->name, why);
    return r->out->left_out ? OK : fault_memory(r->why);
}

/* Every leak that has a design has a proof, and work was recorded. */
static status judge_finished(const learn_reading *r) {
    size_t designed = 0, open = 0;
    const char *first = NULL;
    for (size_t i = 0; i < r->p->n_leaks; i++) {
        if (!design_is_priced(&r->p->designs[i])) continue;
        designed++;
        if (r->proofs[i].n_tests) continue;
        open++;
        if (!first) first = r->proofs[i].mark;
    }
    if (!designed) return leave_out(r, "no leak of it has a design");
    if (!r->built.first) return leave_out(r, "no work was recorded");
    if (open)
        return leave_out(r, "not finished: %zu of %zu leaks have no proof, the first is %s", open, designed,
                         first);
    r->out->leaks = designed;
    return OK;
}

/* ---- the offer and what came of it ---- */

static maybe number_of(const json_t *facts, const char *name) {
    const json_t *value = json_object_get(facts, name);
    return json_is_number(value) ? (maybe){true, json_number_value(value)} : (maybe){0};
}

/* The measured work at the rates of that offer, whatever the job's price list has become since. An offer that cannot be planned
 * from what it was made of tells no price. */
static status bill(store *job, const learn_reading *r, const store_offer *listed, maybe *out) {
    store_offer offer = {0};
    ops_job offered = {0};
    built_job built = {0};
    bool found = false;
    status code = store_load_offer(job, listed->number, r->scratch, &offer, &found, NULL);
    if (code == OK && found) code = offer_plan_inputs(offer.inputs, &offered, NULL);
    if (code == OK && offered.plan) {
        const built_input in = {r->p, r->records, r->n_records, offered.plan, 0};
        code = built_make_of(&in, r->scratch, &built, NULL);
    }
    ops_job_free(&offered);
    if (code == OK && built.bill_total > 0) *out = (maybe){true, built.bill_total};
    return code == E_MEMORY ? fault_memory(r->why) : OK;
}

static status take_offer(store *job, const learn_reading *r, const store_offer *offer) {
    json_t *facts = offer->facts ? json_loads(offer->facts, 0, NULL) : NULL;
    learn_price *price = &r->out->price;
    price->p20 = number_of(facts, "p20");
    price->p80 = number_of(facts, "p80");
    price->offered = number_of(facts, "total");
    if (price->p20.known && price->p80.known && !(price->p20.v <= price->p80.v))
        price->p20.known = price->p80.known = false; /* no range of ours: not counted */
    json_decref(facts);
    return bill(job, r, offer, &price->final);
}

static status take_documents(store *job, learn_reading *r) {
    store_offer *list;
    size_t n;
    status code = store_list_offers(job, NULL, r->scratch, &list, &n, r->why);
    const store_offer *last = NULL;
    for (size_t i = 0; code == OK && i < n; i++) {
        bool handover = strcmp(list[i].kind, "handover") == 0;
        if (!handover)
            last = &list[i];
        else if (!r->handed_over)
            r->handed_over = list[i].at;
    }
    return code == OK && last ? take_offer(job, r, last) : code;
}

/* ---- reading ---- */

static status take_records(store *job, learn_reading *r) {
    store_record *list;
    size_t n;
    status code = store_load_records(job, 0, 0, r->scratch, &list, &n, r->why);
    if (code != OK) return code;
    record *records = arena_get(r->scratch, n, sizeof *records);
    if (!records) return fault_memory(r->why);
    for (size_t i = 0; code == OK && i < n; i++) {
        code = record_read_body(list[i].body, r->scratch, &records[i], r->why);
        records[i].seq = list[i].seq;
    }
    r->records = records;
    r->n_records = n;
    return code;
}

static status tell(store *job, const survey *s, learn_reading *r) {
    const plan_options options = {.planes = PLANES_OFF, .threads = 1};
    plan *p = NULL;
    status code = take_records(job, r);
    if (code == OK && r->n_records == 0) return leave_out(r, "no work was recorded"); /* spares the plan */
    if (code == OK) code = plan_make(s, &options, &p, r->why);
    r->p = p;
    if (code == OK) code = proof_judge(p, r->records, r->n_records, r->scratch, &r->proofs, r->why);
    if (code == OK) code = built_make(p, r->records, r->n_records, r->scratch, &r->built, r->why);
    if (code == OK) code = judge_finished(r);
    if (code == OK && !r->out->left_out) code = take_documents(job, r);
    if (code == OK && !r->out->left_out) code = learn_tell_again(r);
    if (code == OK && !r->out->left_out) code = learn_tell_hours(r);
    plan_free(p);
    return code;
}

static status read_job(const char *path, learn_reading *r) {
    store *job = NULL;
    survey *s = NULL;
    status code = store_open_still(path, &job, r->why);
    if (code == OK) code = job_load(job, &s, r->why);
    if (code == OK) code = tell(job, s, r);
    if (job && code != E_MEMORY && !store_stood_still(job))
        code = fault_set(r->why, E_BUSY, "%s: was being changed while it was read; ask again", path);
    survey_free(s);
    store_close(job);
    return code;
}

/* A sentence about the file at `path` begins with its name alone. */
static const char *without_folder(const char *path, const char *name, const char *sentence) {
    size_t length = strlen(path);
    bool about = strncmp(sentence, path, length) == 0;
    return about ? sentence + length - strlen(name) : sentence;
}

status learn_read_job(const char *path, learn_told *out, fault *why) {
    fault of_job = {0};
    learn_reading r = {.out = out, .scratch = arena_new(), .why = &of_job};
    status code = r.scratch ? read_job(path, &r) : fault_memory(&of_job);
    arena_free(r.scratch);
    if (code == OK) return OK;
    if (code == E_MEMORY) return fault_memory(why);
    const char *said = without_folder(path, out->name, of_job.text);
    bool named = strncmp(said, out->name, strlen(out->name)) == 0;
    out->left_out =
        named ? arena_copy(out->memory, said) : arena_print(out->memory, "%s: %s", out->name, said);
    out->n_facts = out->n_events = 0;
    return out->left_out ? OK : fault_memory(why);
}
