#include "ops/proof.h"

#include "ops/job.h"
#include "ops/offer_parts.h"
#include "ops/wall.h"
#include "report/ical.h"

#include <stdio.h>
#include <string.h>

static status read_head(const char *path, ops_proof *out, fault *why) {
    store *job = NULL;
    status code = store_open(path, true, &job, why);
    if (code == OK) code = store_chain_head(job, &out->head_seq, out->head_hash, why);
    store_close(job);
    return code;
}

/* Records that came in since the head was read are left for the next look. */
static status read_records(const char *path, ops_proof *out, fault *why) {
    ops_records all;
    status code = read_head(path, out, why);
    if (code == OK) code = ops_records_load(path, out->memory, &all, why);
    if (code != OK) return code;
    out->records = all.items;
    out->n_records = all.n;
    while (out->n_records > 0 && all.items[out->n_records - 1].seq > out->head_seq) out->n_records--;
    return OK;
}

/* The plan of the last offer that is kept, and nothing where none is. */
static status plan_offer(const char *path, ops_proof *out, fault *why) {
    store *job = NULL;
    store_offer *list = NULL, last;
    size_t n = 0;
    bool found = false;
    status code = store_open(path, true, &job, why);
    if (code == OK) code = store_list_offers(job, "offer", out->memory, &list, &n, why);
    if (code == OK && n > 0)
        code = store_load_offer(job, list[n - 1].number, out->memory, &last, &found, why);
    store_close(job);
    return code == OK && found ? offer_plan_inputs(last.inputs, &out->offered, why) : code;
}

status ops_proof_look(const char *path, const ops_job *job, const char *today, ops_proof *out, fault *why) {
    *out = (ops_proof){.memory = arena_new()};
    if (!out->memory) return fault_memory(why);
    snprintf(out->today, sizeof out->today, "%.10s", today ? today : "");
    status code = read_records(path, out, why);
    if (code == OK)
        code = accept_judge(job->plan, out->records, out->n_records, today, out->memory, &out->accept, why);
    if (code == OK) code = plan_offer(path, out, why);
    const built_input built = {job->plan, out->records, out->n_records, out->offered.plan, 0};
    if (code == OK) code = built_make_of(&built, out->memory, &out->built, why);
    if (code != OK) ops_proof_free(out);
    return code;
}

void ops_proof_free(ops_proof *proof) {
    ops_job_free(&proof->offered);
    arena_free(proof->memory);
    *proof = (ops_proof){0};
}

status ops_revisits_ical(const plan *p, const ops_proof *proof, const char *job, text *out, fault *why) {
    const ical_options options = {.date = proof->today, .version = STANCH_VERSION, .job = job};
    return report_looks_ical(p->survey, proof->accept.revisits, proof->accept.n_revisits, &options, out, why);
}
