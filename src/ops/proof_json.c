/* The proof of a job, as docs/page.md has it. */
#include "accept/show.h"
#include "core/json_out.h"
#include "ops/proof.h"
#include "plan/show.h"

/* The plan is shared between threads: this one is a copy of the struct with an arena of its own for the texts. */
typedef struct {
    plan p;
    const accept_job *job;
    bool stale;
    json_out o;
} writing;

static void write_marks(json_out *o, const char *name, const char **marks, size_t n) {
    json_out_open(o, name, '[');
    for (size_t i = 0; i < n; i++) json_out_text(o, NULL, marks[i]);
    json_out_close(o, ']');
}

static void write_test(writing *w, const proof_leak *leak, const proof_test *t) {
    json_out *o = &w->o;
    json_out_open(o, NULL, '{');
    json_out_whole(o, "seq", t->r->seq);
    json_out_text(o, "on", arena_print(w->p.memory, "%.10s", t->r->at));
    json_out_text(o, "by", t->r->by);
    json_out_text(o, "from", leak->is_line ? show_length(&w->p, t->from_m) : "");
    json_out_text(o, "to", leak->is_line ? show_length(&w->p, t->to_m) : "");
    json_out_text(o, "level", t->level_m.known ? show_length(&w->p, t->level_m.v) : "");
    json_out_text(o, "hand", t->r->hand ? t->r->hand : "");
    json_out_text(o, "blotter", t->r->blotter ? t->r->blotter : "");
    json_out_text(o, "drips", proof_say_drips(&w->p, t->drips_per_min, t->drips_m));
    json_out_text(o, "flow", accept_show_flow(&w->p, t->flow_m3_s));
    json_out_text(o, "reached", t->reached == TIGHT_NOT_AGREED ? "" : tightness_name(t->reached));
    json_out_bool(o, "low_water", t->low_water);
    json_out_bool(o, "before_work", t->before_work);
    json_out_bool(o, "keeps", t->keeps);
    json_out_text(o, "sentence", t->sentence);
    json_out_close(o, '}');
}

static void write_leak(writing *w, const proof_leak *leak) {
    json_out *o = &w->o;
    json_out_open(o, NULL, '{');
    json_out_text(o, "mark", leak->mark);
    json_out_text(o, "verdict", proof_verdict_words[leak->verdict]);
    json_out_text(o, "treated_on", leak->treated_on);
    json_out_text(o, "reached", leak->reached);
    json_out_text(o, "kept", accept_show_metres(&w->p, leak, leak->kept_m));
    json_out_text(o, "broken", accept_show_metres(&w->p, leak, leak->broken_m));
    json_out_text(o, "not_proven", accept_show_metres(&w->p, leak, leak->not_proven_m));
    json_out_text(o, "of", leak->is_line ? show_length(&w->p, leak->length_m) : "whole");
    json_out_text(o, "before", accept_show_before(&w->p, leak));
    json_out_text(o, "after", accept_show_flow(&w->p, leak->after_m3_s));
    json_out_text(o, "saved", accept_show_saved(&w->p, leak->saved_m3_s));
    json_out_text(o, "drips", proof_say_drips(&w->p, leak->drips_per_min, leak->drips_m));
    json_out_text(o, "moved_from", leak->moved_from);
    json_out_bool(o, "moved_is_hint", leak->moved_is_hint);
    write_marks(o, "moved_to", leak->moved_to, leak->n_moved_to);
    json_out_text(o, "sentence", leak->sentence);
    json_out_open(o, "tests", '[');
    for (size_t i = 0; i < leak->n_tests; i++) write_test(w, leak, &leak->tests[i]);
    json_out_close(o, ']');
    json_out_close(o, '}');
}

/* Levels are read to a tenth of a millimetre, the water to a tenth of a degree: both weigh in the verdict. */
static const char *reading(writing *w, units_quantity q, double si) {
    units_system system = w->p.survey->site.system;
    int decimals = q == UNITS_SIZE && system == UNITS_US ? 3 : 1;
    const char *said =
        arena_print(w->p.memory, "%.*f %s", decimals, units_from_si(q, system, si), units_symbol(q, system));
    return said ? said : "";
}

/* A level as it is read off a gauge: to 0.1 mm or 0.001 in. */
static const char *show_level(const writing *w, double m) {
    char into[UNITS_SHOWN];
    units_system system = w->p.survey->site.system;
    const char *copy =
        arena_copy(w->p.memory, units_show(UNITS_SIZE, system, m, system == UNITS_US ? 3 : 1, into));
    return copy ? copy : "";
}

static void write_reading(writing *w, const record *r) {
    json_out *o = &w->o;
    json_out_open(o, NULL, '{');
    json_out_whole(o, "seq", r->seq);
    json_out_text(o, "at", r->at);
    json_out_text(o, "by", r->by);
    json_out_text(o, "level", reading(w, UNITS_SIZE, r->level_m.v));
    json_out_text(o, "temperature",
                  r->tank_water_c.known ? reading(w, UNITS_TEMPERATURE, r->tank_water_c.v) : "");
    json_out_text(o, "pan", r->pan_level_m.known ? reading(w, UNITS_SIZE, r->pan_level_m.v) : "");
    json_out_text(o, "rain", r->rain_m.known ? reading(w, UNITS_SIZE, r->rain_m.v) : "");
    json_out_close(o, '}');
}

/* Where nothing could be measured there are no figures. */
static void write_result(writing *w, const accept_tank *t) {
    const watertest_result *r = &t->result;
    bool measured = t->judged && r->loss_uncertainty_m3_s.known;
    json_out *o = &w->o;
    json_out_text(o, "allowed", t->judged ? accept_show_amount(&w->p, r->allowed_unit, r->allowed) : "");
    json_out_text(o, "found", measured ? accept_show_amount(&w->p, r->allowed_unit, r->found) : "");
    json_out_text(o, "uncertainty",
                  measured && r->found_uncertainty.known
                      ? accept_show_amount(&w->p, r->allowed_unit, r->found_uncertainty.v)
                      : "");
    json_out_text(o, "loss", measured ? arena_print(w->p.memory, "%.3g %% a day", r->loss_percent_day) : "");
    json_out_text(o, "net_drop", measured ? show_level(w, r->net_drop_m) : "");
    json_out_text(o, "hours", t->judged ? show_plain(&w->p, r->hours, 1) : "");
    if (t->judged && r->hours_more.known)
        json_out_text(o, "hours_more", show_plain(&w->p, r->hours_more.v, 0));
    else
        json_out_null(o, "hours_more");
}

static void write_tank(writing *w, const accept_tank *t) {
    json_out *o = &w->o;
    json_out_open(o, NULL, '{');
    json_out_text(o, "id", t->tank->id);
    json_out_text(o, "name", t->tank->name ? t->tank->name : t->tank->id);
    json_out_text(o, "criterion", t->rule ? t->rule->name : "");
    json_out_text(o, "asks", t->rule ? t->rule->asks : "");
    json_out_text(o, "source", t->rule ? t->rule->source : "");
    json_out_text(o, "verdict", t->judged ? watertest_verdict_words[t->result.verdict] : "none");
    json_out_text(o, "reason", t->judged ? t->result.reason : t->problem);
    write_result(w, t);
    write_marks(o, "findings", t->result.findings, t->judged ? t->result.n_findings : 0);
    json_out_open(o, "readings", '[');
    for (size_t i = 0; i < t->n_readings; i++) write_reading(w, t->readings[i]);
    json_out_close(o, ']');
    json_out_close(o, '}');
}

static void write_revisit(writing *w, const revisit *v) {
    json_out *o = &w->o;
    json_out_open(o, NULL, '{');
    json_out_text(o, "mark", v->mark);
    json_out_text(o, "what", revisit_words[v->kind]);
    json_out_text(o, "on", v->on);
    json_out_text(o, "state", revisit_state_words[v->state]);
    if (v->done)
        json_out_whole(o, "seq", v->done->seq);
    else
        json_out_null(o, "seq");
    if (v->done && v->proves)
        json_out_bool(o, "dry", v->dry);
    else
        json_out_null(o, "dry");
    json_out_close(o, '}');
}

static void write_job(writing *w) {
    static const char *const counts[PROOF_VERDICTS] = {"kept", "broken", "not_proven", "open"};
    const accept_job *job = w->job;
    json_out *o = &w->o;
    json_out_text(o, "state", "judged");
    json_out_bool(o, "current", !w->stale);
    json_out_text(o, "verdict", proof_verdict_words[job->verdict]);
    json_out_text(o, "agreed", job->agreed == TIGHT_NOT_AGREED ? "" : tightness_name(job->agreed));
    json_out_text(o, "judged_by", tightness_name(job->class_id));
    json_out_text(o, "asks", tightness_asks(job->class_id));
    json_out_text(o, "source", tightness_source(job->class_id));
    json_out_text(o, "sentence", job->sentence);
    json_out_open(o, "counts", '{');
    for (int i = 0; i < PROOF_VERDICTS; i++) json_out_whole(o, counts[i], (long long)job->counts[i]);
    json_out_close(o, '}');
    json_out_text(o, "before", accept_show_flow(&w->p, job->before_m3_s));
    json_out_text(o, "after", accept_show_after(&w->p, job));
    json_out_text(o, "saved", accept_show_saved(&w->p, job->saved_m3_s));
}

static void write_all(writing *w) {
    const accept_job *job = w->job;
    json_out *o = &w->o;
    json_out_open(o, NULL, '{');
    write_job(w);
    json_out_open(o, "leaks", '[');
    for (size_t i = 0; i < job->n_leaks; i++) write_leak(w, &job->leaks[i]);
    json_out_close(o, ']');
    json_out_open(o, "tanks", '[');
    for (size_t i = 0; i < job->n_tanks; i++) write_tank(w, &job->tanks[i]);
    json_out_close(o, ']');
    json_out_open(o, "revisits", '[');
    for (size_t i = 0; i < job->n_revisits; i++) write_revisit(w, &job->revisits[i]);
    json_out_close(o, ']');
    json_out_close(o, '}');
}

status ops_proof_json(const plan *p, const ops_proof *proof, text *out, fault *why) {
    writing w = {.p = *p,
                 .job = &proof->accept,
                 .stale = proof->stale,
                 .o = {.to = out, .system = p->survey->site.system}};
    w.p.memory = arena_new();
    if (!w.p.memory) return fault_memory(why);
    write_all(&w);
    arena_free(w.p.memory);
    return out->failed ? fault_memory(why) : OK;
}
