/* Is it dry, what was built, was the log left alone: the records of a job against the held plan. */
#include "ops/check.h"
#include "ops/handover.h"
#include "ops/proof.h"
#include "report/tank_figure.h"
#include "web/errand.h"
#include "web/planned.h"

#include <stdlib.h>
#include <string.h>

typedef status proof_write(const web_request *r, const plan *p, const ops_proof *proof, web_response *out,
                           fault *why);

/* Records come in while a plan is held, so that what is made of them is made anew each time. */
static status answer(const web_request *r, proof_write *write, web_response *out, fault *why) {
    planned h;
    ops_proof proof = {0};
    const char *path, *today = arena_print(r->memory, "%.10s", r->now);
    if (!today) return fault_memory(why);
    status code = web_job_path(r, out, &path, why);
    if (code != OK) return code;
    code = planned_need(r, out, &h, why);
    if (code == OK) code = ops_proof_look(path, held_job(h.plan), today, &proof, why);
    proof.stale = !h.current;
    if (code == OK) code = write(r, planned_plan(&h), &proof, out, why);
    ops_proof_free(&proof);
    planned_let_go(&h);
    return code;
}

static status write_proof(const web_request *r, const plan *p, const ops_proof *proof, web_response *out,
                          fault *why) {
    (void)r;
    return ops_proof_json(p, proof, &out->body, why);
}

static status write_built(const web_request *r, const plan *p, const ops_proof *proof, web_response *out,
                          fault *why) {
    (void)r;
    return ops_built_json(p, proof, &out->body, why);
}

static status write_tank(const web_request *r, const plan *p, const ops_proof *proof, web_response *out,
                         fault *why) {
    const accept_tank *tank = NULL;
    for (size_t i = 0; i < proof->accept.n_tanks; i++)
        if (strcmp(proof->accept.tanks[i].tank->id, r->variables[1]) == 0) tank = &proof->accept.tanks[i];
    if (!tank) return web_missing(out, why, "no tank is called %.60s in the plan", r->variables[1]);
    if (!tank->judged) return fault_set(why, E_STATE, "tank %.60s: %s", r->variables[1], tank->problem);
    out->type = "image/svg+xml";
    return report_tank_svg(tank->tank, &tank->input, &tank->result, p->survey->site.system, &out->body, why);
}

static status write_revisits(const web_request *r, const plan *p, const ops_proof *proof, web_response *out,
                             fault *why) {
    out->type = "text/calendar; charset=utf-8";
    out->save_as = arena_print(r->memory, "%s-looks.ics", r->variables[0]);
    return out->save_as ? ops_revisits_ical(p, proof, r->variables[0], &out->body, why) : fault_memory(why);
}

status api_proof(const web_request *r, web_response *out, fault *why) {
    return answer(r, write_proof, out, why);
}

status api_built(const web_request *r, web_response *out, fault *why) {
    return answer(r, write_built, out, why);
}

status api_tank_figure(const web_request *r, web_response *out, fault *why) {
    return answer(r, write_tank, out, why);
}

status api_revisits(const web_request *r, web_response *out, fault *why) {
    return answer(r, write_revisits, out, why);
}

/* ---- the log ---- */

static status read_known(const web_request *r, ops_check_request *out, fault *why) {
    const char *seq = web_query(r, "seq"), *hash = web_query(r, "hash");
    if (!seq && !hash) return OK;
    bool number = seq && *seq && *seq != '0' && strlen(seq) <= 15 && strspn(seq, "0123456789") == strlen(seq);
    bool hex = hash && strlen(hash) == HASH_TEXT - 1 && strspn(hash, "0123456789abcdef") == HASH_TEXT - 1;
    if (!number || !hex)
        return fault_set(
            why, E_INPUT,
            "seq and hash are both needed: the number of a record, from 1, and 64 small hex digits");
    out->seq = strtoll(seq, NULL, 10);
    out->hash = hash;
    return OK;
}

status api_check(const web_request *r, web_response *out, fault *why) {
    const char *path;
    ops_check_request request = {0};
    ops_check_result result;
    status code = web_job_path(r, out, &path, why);
    if (code == OK) code = read_known(r, &request, why);
    if (code == OK) code = ops_check(path, &request, r->memory, &result, why);
    if (code == OK) ops_check_json(&result, &out->body);
    return code == OK && out->body.failed ? fault_memory(why) : code;
}

/* ---- handing over ---- */

static status run_handover(void *data, work *self, fault *why) {
    const errand *e = data;
    const ops_actor actor = {e->who, e->now, "page"};
    arena *memory = arena_new();
    text pdf = {0};
    long long number;
    if (!memory) return fault_memory(why);
    work_progress(self, 0.1, "planning, judging and printing");
    const ops_handover_request request = {
        .on = e->on, .link = ops_link(memory, e->address, e->path), .keep = true};
    status code =
        request.link ? ops_handover(e->path, &request, &actor, &pdf, &number, why) : fault_memory(why);
    text_free(&pdf);
    arena_free(memory);
    return code;
}

status api_handover_start(const web_request *r, web_response *out, fault *why) {
    const char *path;
    errand *e = NULL;
    status code = web_job_path(r, out, &path, why);
    if (code == OK && json_object_size(r->json) > 1)
        code = fault_set(why, E_INPUT, "a handover takes its date alone, on");
    if (code == OK) code = errand_make_dated(r, path, &e, why);
    return code == OK ? errand_start(r, "handover", run_handover, e, out, why) : code;
}
