#include "ops/proof.h"

#include "ops/job.h"
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

status ops_proof_look(const char *path, const ops_job *job, const char *today, ops_proof *out, fault *why) {
    *out = (ops_proof){.memory = arena_new()};
    if (!out->memory) return fault_memory(why);
    snprintf(out->today, sizeof out->today, "%.10s", today ? today : "");
    status code = read_records(path, out, why);
    if (code == OK)
        code = accept_judge(job->plan, out->records, out->n_records, today, out->memory, &out->accept, why);
    if (code == OK) code = built_make(job->plan, out->records, out->n_records, out->memory, &out->built, why);
    if (code != OK) ops_proof_free(out);
    return code;
}

void ops_proof_free(ops_proof *proof) {
    arena_free(proof->memory);
    *proof = (ops_proof){0};
}

status ops_revisits_ical(const plan *p, const ops_proof *proof, const char *job, text *out, fault *why) {
    const ical_options options = {.date = proof->today, .version = STANCH_VERSION, .job = job};
    return report_looks_ical(p->survey, proof->accept.revisits, proof->accept.n_revisits, &options, out, why);
}
