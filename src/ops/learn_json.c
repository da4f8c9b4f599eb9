/* What was learned, as JSON; and the proposals as a survey that an import takes in. */
#include "core/json_out.h"
#include "ops/learn.h"

#include <string.h>

/* Four digits: what is beyond them nobody measured. */
static double rounded(double value) {
    char digits[32];
    double back = value;
    snprintf(digits, sizeof digits, "%.4g", value);
    text_to_number(digits, &back);
    return back;
}

static void write_estimate(json_out *o, const learn_estimate *e) {
    json_out_number(o, "value", rounded(e->value));
    json_out_number(o, "low", rounded(e->low));
    json_out_number(o, "high", rounded(e->high));
}

static void write_rate(json_out *o, const learn_rate *r) {
    json_out_open(o, NULL, '{');
    json_out_text(o, "id", r->id);
    json_out_text(o, "label", r->label);
    json_out_text(o, "unit", r->unit);
    json_out_number(o, "shipped", r->shipped);
    write_estimate(o, &r->estimate);
    json_out_number(o, "weight", rounded(r->weight));
    json_out_whole(o, "leaks", (long long)r->estimate.leaks);
    json_out_whole(o, "jobs", (long long)r->estimate.jobs);
    json_out_text(o, "evidence", r->evidence);
    json_out_open(o, "classes", '[');
    for (size_t i = 0; i < r->n_classes; i++) {
        json_out_open(o, NULL, '{');
        json_out_text(o, "what", r->classes[i].what);
        write_estimate(o, &r->classes[i].estimate);
        json_out_whole(o, "leaks", (long long)r->classes[i].estimate.leaks);
        json_out_bool(o, "differs", r->classes[i].differs);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
    json_out_close(o, '}');
}

status ops_learn_json(const ops_learned *learned, text *out, fault *why) {
    const learn_result *result = &learned->result;
    json_out o = {.to = out, .indent = 1, .compact_from = 2};
    json_out_open(&o, NULL, '{');
    json_out_text(&o, "state", "learned");
    json_out_whole(&o, "files", (long long)learned->files);
    json_out_whole(&o, "finished", (long long)learned->finished);
    json_out_open(&o, "left_out", '[');
    for (size_t i = 0; i < learned->n_left_out; i++) json_out_text(&o, NULL, learned->left_out[i]);
    json_out_close(&o, ']');
    json_out_text(&o, "calibration", result->calibration);
    json_out_whole(&o, "within", (long long)result->within);
    json_out_whole(&o, "priced", (long long)result->priced);
    json_out_open(&o, "rates", '[');
    for (size_t i = 0; i < result->n_rates; i++) write_rate(&o, &result->rates[i]);
    json_out_close(&o, ']');
    json_out_close(&o, '}');
    return out->failed ? fault_memory(why) : OK;
}

/* ---- proposals ---- */

static const learn_rate *find(const learn_result *result, const char *id) {
    for (size_t i = 0; i < result->n_rates; i++)
        if (strcmp(result->rates[i].id, id) == 0) return &result->rates[i];
    return NULL;
}

static status no_rate(const learn_result *result, const char *id, fault *why) {
    const char *words[100];
    size_t n = 0;
    for (; n < result->n_rates && n < sizeof words / sizeof *words; n++) words[n] = result->rates[n].id;
    int near = text_nearest(id, words, n);
    return fault_set(why, E_INPUT, "\"%.60s\": the finished jobs say nothing of such a rate%s%s%s", id,
                     near < 0 ? "" : "; did you mean ", near < 0 ? "" : words[near], near < 0 ? "" : "?");
}

static void write_proposal(json_out *o, const learn_rate *r) {
    json_out_open(o, NULL, '{');
    json_out_text(o, "id", r->id);
    json_out_text(o, "label", r->label);
    json_out_text(o, "unit", r->unit);
    write_estimate(o, &r->estimate);
    json_out_text(o, "basis", survey_basis_words[BASIS_OWN]);
    json_out_text(o, "source", r->evidence);
    json_out_close(o, '}');
}

status ops_learn_rates(const ops_learned *learned, const char *const ids[], size_t n, text *out, fault *why) {
    const learn_result *result = &learned->result;
    for (size_t i = 0; i < n; i++)
        if (!find(result, ids[i])) return no_rate(result, ids[i], why);
    json_out o = {.to = out, .indent = 1, .compact_from = 2};
    json_out_open(&o, NULL, '{');
    json_out_whole(&o, "stanch_survey", 1);
    json_out_text(&o, "units", "metric");
    json_out_open(&o, "rates", '[');
    for (size_t i = 0; i < result->n_rates; i++) {
        bool wanted = n == 0;
        for (size_t k = 0; k < n; k++) wanted = wanted || strcmp(ids[k], result->rates[i].id) == 0;
        if (wanted) write_proposal(&o, &result->rates[i]);
    }
    json_out_close(&o, ']');
    json_out_close(&o, '}');
    return out->failed ? fault_memory(why) : OK;
}
