#include "ops/offer.h"

#include "report/offer_amounts.h"

enum { SHOWN = 30 }; /* inputs, the largest first (docs/page.md) */

status ops_risk(const ops_job *job, const spread_options *options, risk_result *out, fault *why) {
    return risk_run(job->plan, options, job->plan->memory, out, why);
}

static void money(json_out *o, say *w, const char *name, double amount) {
    json_out_text(o, name, say_print(w, "%s %s", say_money(w, amount), w->currency));
}

static void put_groups(json_out *o, const risk_result *r) {
    json_out_open(o, "groups", '[');
    for (size_t g = 0; g < RISK_GROUPS; g++) {
        json_out_open(o, NULL, '{');
        json_out_text(o, "group", risk_group_words[g]);
        json_out_number(o, "share", r->group_shares[g]);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

static void put_inputs(json_out *o, say *w, const risk_result *r) {
    json_out_open(o, "inputs", '[');
    for (size_t i = 0; i < r->n_inputs && i < SHOWN; i++) {
        const risk_input *in = &r->inputs[i];
        const survey_rate as_rate = {
            .id = "", .label = in->label, .unit = "-", .source = in->basis}; /* for words in inches */
        json_out_open(o, NULL, '{');
        json_out_text(o, "label", offer_rate_label(w, &as_rate));
        json_out_text(o, "group", in->group);
        json_out_text(o, "low", say_print(w, "%.3g", in->low));
        json_out_text(o, "likely", say_print(w, "%.3g", in->likely));
        json_out_text(o, "high", say_print(w, "%.3g", in->high));
        json_out_text(o, "unit", in->unit);
        json_out_text(o, "basis", offer_rate_source(w, &as_rate));
        json_out_number(o, "share", in->share);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

status ops_risk_json(const plan *p, const risk_result *r, text *out, fault *why) {
    arena *memory = arena_new();
    if (!memory) return fault_memory(why);
    const survey_site *site = &p->survey->site;
    say w = {.memory = memory, .system = site->system, .currency = site->currency};
    json_out o = {.to = out, .system = site->system};
    json_out_open(&o, NULL, '{');
    json_out_text(&o, "state", "counted");
    json_out_bool(&o, "current", true);
    json_out_whole(&o, "runs", (long long)r->options.runs);
    json_out_whole(&o, "seed", (long long)r->options.seed);
    json_out_number(&o, "correlation", r->options.correlation);
    money(&o, &w, "total", r->total);
    money(&o, &w, "mean", r->price.mean);
    money(&o, &w, "p20", r->price.p20);
    money(&o, &w, "p50", r->price.p50);
    money(&o, &w, "p80", r->price.p80);
    money(&o, &w, "p90", r->price.p90);
    money(&o, &w, "contingency", r->contingency);
    put_groups(&o, r);
    put_inputs(&o, &w, r);
    json_out_open(&o, "warnings", '[');
    for (size_t i = 0; i < r->n_warnings; i++) json_out_text(&o, NULL, r->warnings[i]);
    json_out_close(&o, ']');
    json_out_close(&o, '}');
    bool whole = !w.failed && !out->failed;
    arena_free(memory);
    return whole ? OK : fault_memory(why);
}
