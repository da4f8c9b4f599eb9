/* The price with its risk, counted on the worker and kept with the held plan; offers printed and kept in the job. */
#include "core/date.h"
#include "ops/history.h"
#include "ops/offer.h"
#include "report/offer.h"
#include "web/errand.h"
#include "web/planned.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { RUNS = 20000, SEED = 1 };
static const char RISK[] = "risk", RISK_SVG[] = "risk.svg";

/* False where it is left out or not whole. */
static bool read_whole(const web_request *r, json_in *in, const char *name, const json_range *range,
                       double *out) {
    if (!json_object_get(r->json, name) || !json_in_number(in, NULL, r->json, name, range, NULL, out))
        return false;
    if (*out == floor(*out)) return true;
    json_in_fault(in, NULL, name, "is %g; it must be a whole number", *out);
    return false;
}

/* runs and seed, either left out. */
static status read_spread(const web_request *r, json_in *in, spread_options *out, fault *why) {
    static const json_range runs = {SPREAD_RUNS_LEAST, RISK_RUNS_MOST, false, false},
                            seed = {0, 9007199254740992.0, false, false};
    double value;
    *out = (spread_options){.runs = RUNS, .seed = SEED};
    if (read_whole(r, in, "runs", &runs, &value)) out->runs = (size_t)value;
    if (read_whole(r, in, "seed", &seed, &value)) out->seed = (uint64_t)value;
    return fault_list_status(in->faults, why);
}

/* ---- the risk ---- */

/* With the held plan, but without its lock: it is only read, and others are answered meanwhile. */
static status make_risk(const errand *e, const held *of, arena *memory, text *json, text *svg, fault *why) {
    const plan *p = held_job(of)->plan;
    risk_result risk;
    status code = risk_run(p, &e->spread, memory, &risk, why);
    if (code == OK) code = ops_risk_json(p, &risk, json, why);
    if (code == OK) code = report_risk_svg(p, &risk, svg, why);
    return code;
}

static status run_risk(void *data, work *self, fault *why) {
    const errand *e = data;
    plans *all = plans_of(e->server);
    held *of = all ? plans_hold(all, e->path) : NULL;
    arena *memory = of ? arena_new() : NULL;
    text json = {0}, svg = {0};
    if (!of) return fault_set(why, E_STATE, "the job is not planned yet: plan it first");
    work_progress(self, 0.1, "what the price may come out as");
    status code = memory ? make_risk(e, of, memory, &json, &svg, why) : fault_memory(why);
    if (code == OK) code = errand_keep(e, of, RISK, text_get(&json), why);
    if (code == OK) code = errand_keep(e, of, RISK_SVG, text_get(&svg), why);
    text_free(&svg);
    text_free(&json);
    arena_free(memory);
    plans_let_go(all, of);
    return code;
}

status api_risk_start(const web_request *r, web_response *out, fault *why) {
    static const char *const known[] = {"runs", "seed"};
    json_in in = {.source = "", .faults = fault_list_new(), .memory = r->memory};
    spread_options spread;
    const char *path;
    planned h = {0};
    if (!in.faults) return fault_memory(why);
    json_in_only(&in, NULL, r->json, known, 2);
    status code = read_spread(r, &in, &spread, why);
    fault_list_free(in.faults);
    if (code == OK) code = web_job_path(r, out, &path, why);
    if (code != OK) return code;
    code = planned_need(r, out, &h, why);
    planned_let_go(&h);
    if (code != OK) return code;
    errand *e = errand_make(r, path, RISK);
    const char *what = arena_print(r->memory, "risk %zu/%llu", spread.runs, (unsigned long long)spread.seed);
    if (e) e->spread = spread;
    return errand_start(r, what ? what : RISK, run_risk, e, out, why);
}

/* Only what is there: making it is the queue's. */
static status send_kept(const web_request *r, const char *name, const char *type, web_response *out,
                        fault *why) {
    planned h;
    status code = planned_need(r, out, &h, why);
    const char *kept = code == OK ? held_text(h.plan, name, h.current) : NULL;
    if (code == OK && !kept && type)
        code = web_missing(out, why, "the risk of this price is not counted yet");
    else if (code == OK)
        text_add(&out->body, kept ? kept : "{\"state\": \"none\"}");
    if (code == OK && type) out->type = type;
    planned_let_go(&h);
    return code;
}

status api_risk(const web_request *r, web_response *out, fault *why) {
    return send_kept(r, RISK, NULL, out, why);
}

status api_risk_figure(const web_request *r, web_response *out, fault *why) {
    return send_kept(r, RISK_SVG, "image/svg+xml", out, why);
}

/* ---- offers ---- */

static status read_on(const web_request *r, json_in *in, char into[11], fault *why) {
    const char *on = NULL;
    long long day;
    json_in_text(in, NULL, r->json, "on", 100, true, &on);
    status code = fault_list_status(in->faults, why);
    if (code != OK) return code;
    if (!date_day(on, &day))
        return fault_set(why, E_INPUT, "on is \"%.40s\"; it must be a date, YYYY-MM-DD", on);
    memcpy(into, on, 11);
    return OK;
}

status errand_make_dated(const web_request *r, const char *path, errand **out, fault *why) {
    static const char *const known[] = {"on", "runs", "seed"};
    json_in in = {.source = "", .faults = fault_list_new(), .memory = r->memory};
    spread_options spread;
    char on[11];
    if (!in.faults) return fault_memory(why);
    json_in_only(&in, NULL, r->json, known, 3);
    status code = read_on(r, &in, on, why);
    if (code == OK) code = read_spread(r, &in, &spread, why);
    fault_list_free(in.faults);
    if (code != OK) return code;
    *out = errand_make(r, path, "");
    if (!*out) return fault_memory(why);
    memcpy((*out)->on, on, sizeof on);
    (*out)->spread = spread;
    return OK;
}

static status run_offer(void *data, work *self, fault *why) {
    const errand *e = data;
    const ops_actor actor = {e->who, e->now, "page"};
    arena *memory = arena_new();
    ops_offer_result result;
    if (!memory) return fault_memory(why);
    work_progress(self, 0.1, "planning, counting and printing");
    const ops_offer_request request = {
        .on = e->on, .options = e->spread, .link = ops_link(memory, e->address, e->path)};
    status code = request.link ? ops_offer_make(e->path, &request, &actor, &result, why) : fault_memory(why);
    arena_free(memory);
    return code;
}

status api_offer_start(const web_request *r, web_response *out, fault *why) {
    const char *path;
    errand *e = NULL;
    status code = web_job_path(r, out, &path, why);
    if (code == OK) code = errand_make_dated(r, path, &e, why);
    return code == OK ? errand_start(r, "offer", run_offer, e, out, why) : code;
}

status api_offers(const web_request *r, web_response *out, fault *why) {
    const char *path;
    status code = web_job_path(r, out, &path, why);
    return code == OK ? ops_offers_json(path, &out->body, why) : code;
}

static status send_document(const web_request *r, const char *ending, const char *type, web_response *out,
                            fault *why) {
    const char *path, *word = r->variables[1];
    bool number = strlen(word) <= 15 && strspn(word, "0123456789") == strlen(word);
    if (!number) return web_missing(out, why, "%.40s is no number of an offer", word);
    status code = web_job_path(r, out, &path, why);
    if (code != OK) return code;
    code = ops_offer_document(path, strtoll(word, NULL, 10), ending, &out->body, why);
    if (code == E_STATE) out->code = 404;
    if (code != OK) return code;
    out->type = type;
    out->save_as = arena_print(r->memory, "%s-%s.%s", r->variables[0], word, ending);
    return out->save_as ? OK : fault_memory(why);
}

status api_offer_pdf(const web_request *r, web_response *out, fault *why) {
    return send_document(r, "pdf", "application/pdf", out, why);
}

status api_offer_xlsx(const web_request *r, web_response *out, fault *why) {
    return send_document(r, "xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", out,
                         why);
}
