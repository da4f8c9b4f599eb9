#include "ops/offer_parts.h"

#include "survey/write_json.h"

#include <stdio.h>

/* ---- making ---- */

static status inputs_now(store *job, text *out, fault *why) {
    survey *s = NULL;
    status code = job_load(job, &s, why);
    if (code == OK) survey_write_json(s, out);
    survey_free(s);
    return code == OK && out->failed ? fault_memory(why) : code;
}

static status read_inputs(const char *path, text *out, fault *why) {
    store *job = NULL;
    status code = store_open(path, true, &job, why);
    if (code == OK) code = inputs_now(job, out, why);
    store_close(job);
    return code;
}

static void fill_result(const offer_made *made, ops_offer_result *out) {
    *out = (ops_offer_result){made->paper.number,   made->risk.total,     made->risk.price.p20,
                              made->risk.price.p50, made->risk.price.p80, ""};
    snprintf(out->currency, sizeof out->currency, "%s", made->job.survey->site.currency);
}

static status print_both(const offer_made *made, const char *path, text *pdf, text *xlsx, fault *why) {
    status code = report_offer_pdf(made->job.plan, &made->risk, &made->paper, pdf, why);
    return code == OK ? offer_xlsx(made, path, xlsx, why) : code;
}

static status write_facts(const offer_made *made, text *out, fault *why) {
    json_out o = {.to = out};
    json_out_open(&o, NULL, '{');
    json_out_number(&o, "total", made->risk.total);
    json_out_number(&o, "p20", made->risk.price.p20);
    json_out_number(&o, "p50", made->risk.price.p50);
    json_out_number(&o, "p80", made->risk.price.p80);
    json_out_text(&o, "currency", made->job.survey->site.currency);
    json_out_close(&o, '}');
    return out->failed ? fault_memory(why) : OK;
}

typedef struct {
    const char *path;
    const ops_offer_request *request;
    const ops_actor *actor;
    text inputs, options, facts, pdf, xlsx;
    char head_hash[HASH_TEXT];
} keeping;

static status add(store *job, keeping *k, offer_made *made, fault *why) {
    long long number = 0;
    store_offer offer = {.kind = "offer",
                         .on = k->request->on,
                         .at = k->actor->at,
                         .by = k->actor->by,
                         .program_version = STANCH_VERSION,
                         .inputs = text_get(&k->inputs),
                         .options = text_get(&k->options),
                         .facts = text_get(&k->facts),
                         .head_hash = k->head_hash,
                         .pdf = {.bytes = k->pdf.bytes, .length = k->pdf.length},
                         .xlsx = {.bytes = k->xlsx.bytes, .length = k->xlsx.length}};
    status code = store_chain_head(job, &offer.head_seq, k->head_hash, why);
    if (code == OK) code = store_add_offer(job, &offer, &number, why);
    if (code == OK && number != made->paper.number)
        code = fault_set(why, E_STATE, "%s: the offer was printed as %lld and would be kept as %lld", k->path,
                         made->paper.number, number);
    if (code == OK)
        code = job_log(job, k->actor, why, "offer %lld of %s: %.2f %s, without tax", number, k->request->on,
                       made->risk.total, made->job.survey->site.currency);
    return code;
}

/* One transaction: the number stands in the document, so nobody else may take it while it is printed. */
static status keep(keeping *k, offer_made *made, fault *why) {
    store *job = NULL;
    status code = store_open(k->path, false, &job, why);
    if (code == OK) code = store_begin(job, why);
    if (code == OK) code = store_next_offer(job, &made->paper.number, why);
    if (code == OK) code = print_both(made, k->path, &k->pdf, &k->xlsx, why);
    if (code == OK) code = add(job, k, made, why);
    if (code == OK) code = store_commit(job, why);
    store_close(job);
    return code;
}

status ops_offer_make(const char *path, const ops_offer_request *request, const ops_actor *actor,
                      ops_offer_result *out, fault *why) {
    keeping k = {.path = path, .request = request, .actor = actor};
    offer_made made = {0};
    *out = (ops_offer_result){0};
    status code = read_inputs(path, &k.inputs, why);
    if (code == OK) code = offer_from_inputs(text_get(&k.inputs), request, &made, why);
    ops_offer_request counted = *request;
    counted.options = made.risk.options; /* with the defaults of this program filled in */
    if (code == OK) code = offer_write_options(&counted, &k.options, why);
    if (code == OK) code = write_facts(&made, &k.facts, why);
    if (code == OK) code = keep(&k, &made, why);
    if (code == OK) fill_result(&made, out);
    text *const all[] = {&k.inputs, &k.options, &k.facts, &k.pdf, &k.xlsx};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) text_free(all[i]);
    offer_made_free(&made);
    return code;
}

status ops_offer_draft(const char *path, const ops_offer_request *request, text *pdf, text *xlsx,
                       ops_offer_result *out, fault *why) {
    text inputs = {0};
    offer_made made = {0};
    *out = (ops_offer_result){0};
    status code = read_inputs(path, &inputs, why);
    if (code == OK) code = offer_from_inputs(text_get(&inputs), request, &made, why);
    if (code == OK) code = print_both(&made, path, pdf, xlsx, why);
    if (code == OK) fill_result(&made, out);
    text_free(&inputs);
    offer_made_free(&made);
    return code;
}
