#include "ops/handover.h"

#include "core/json_out.h"
#include "ops/job.h"
#include "ops/photo.h"
#include "report/handover.h"
#include "store/offers.h"
#include "survey/write_json.h"

#include <string.h>

typedef struct {
    const char *path;
    const ops_handover_request *request;
    const ops_actor *actor;
    ops_job job;
    ops_proof proof;
} handing;

/* The folder that the job file lies in. */
static const char *folder_of(arena *memory, const char *path) {
    const char *slash = strrchr(path, '/');
    return slash ? arena_print(memory, "%.*s", slash > path ? (int)(slash - path) : 1, path) : ".";
}

static status print(handing *h, text *out, fault *why) {
    const handover_view view = {.plan = h->job.plan,
                                .accept = &h->proof.accept,
                                .built = &h->proof.built,
                                .records = h->proof.records,
                                .n_records = h->proof.n_records};
    const handover_options options = {.date = h->request->on,
                                      .version = STANCH_VERSION,
                                      .link = h->request->link,
                                      .photo_folder = ops_photo_folder(h->proof.memory, h->path),
                                      .photo_beside = folder_of(h->proof.memory, h->path),
                                      .head_seq = h->proof.head_seq,
                                      .head_hash = h->proof.head_hash,
                                      .draft = !h->request->keep};
    if (!options.photo_folder || !options.photo_beside) return fault_memory(why);
    return report_handover_pdf(&view, &options, out, why);
}

static void write_options(const handing *h, text *to) {
    json_out o = {.to = to};
    json_out_open(&o, NULL, '{');
    json_out_text(&o, "on", h->request->on);
    json_out_text(&o, "link", h->request->link);
    json_out_close(&o, '}');
}

static void write_facts(const handing *h, text *to) {
    const accept_job *a = &h->proof.accept;
    json_out o = {.to = to};
    json_out_open(&o, NULL, '{');
    json_out_text(&o, "verdict", proof_verdict_words[a->verdict]);
    for (int i = 0; i < PROOF_VERDICTS; i++)
        json_out_whole(&o, proof_verdict_words[i], (long long)a->counts[i]);
    json_out_whole(&o, "records", (long long)h->proof.n_records);
    json_out_number(&o, "billed", h->proof.built.bill_total);
    json_out_text(&o, "currency", h->job.survey->site.currency);
    json_out_close(&o, '}');
}

static status add(const handing *h, const store_offer *offer, long long *number, fault *why) {
    store *st = NULL;
    status code = store_open(h->path, false, &st, why);
    if (code == OK) code = store_begin(st, why);
    if (code == OK) code = store_add_offer(st, offer, number, why);
    if (code == OK)
        code = job_log(st, h->actor, why, "handover %lld of %s kept: %s", *number, h->request->on,
                       proof_verdict_words[h->proof.accept.verdict]);
    if (code == OK) code = store_commit(st, why);
    store_close(st);
    return code;
}

/* The bytes of the PDF are the last of `out`. */
static status keep(const handing *h, const char *bytes, size_t length, long long *number, fault *why) {
    text inputs = {0}, options = {0}, facts = {0};
    survey_write_json(h->job.survey, &inputs);
    write_options(h, &options);
    write_facts(h, &facts);
    status code = inputs.failed || options.failed || facts.failed ? fault_memory(why) : OK;
    const store_offer offer = {.kind = "handover",
                               .on = h->request->on,
                               .at = h->actor->at,
                               .by = h->actor->by,
                               .program_version = STANCH_VERSION,
                               .inputs = text_get(&inputs),
                               .options = text_get(&options),
                               .facts = text_get(&facts),
                               .head_seq = h->proof.head_seq,
                               .head_hash = h->proof.head_hash,
                               .pdf = {.bytes = bytes, .length = length}};
    if (code == OK) code = add(h, &offer, number, why);
    text_free(&inputs);
    text_free(&options);
    text_free(&facts);
    return code;
}

status ops_handover(const char *path, const ops_handover_request *request, const ops_actor *actor, text *out,
                    long long *number, fault *why) {
    handing h = {.path = path, .request = request, .actor = actor};
    const ops_plan_request how = {.planes = request->without_planes ? PLANES_OFF : PLANES_RUN,
                                  .threads = request->threads > 0 ? request->threads : 1};
    size_t before = out->length;
    *number = 0;
    status code = ops_look(path, &how, &h.job, why);
    if (code == OK) code = ops_proof_look(path, &h.job, request->on, &h.proof, why);
    if (code == OK) code = print(&h, out, why);
    if (code == OK && request->keep) code = keep(&h, out->bytes + before, out->length - before, number, why);
    ops_proof_free(&h.proof);
    ops_job_free(&h.job);
    return code;
}
