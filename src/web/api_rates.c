/* What the folder's finished jobs say of the firm's rates: read on the worker, kept until asked anew, taken into a job by a person. */
#include "ops/edit.h"
#include "ops/history.h"
#include "ops/learn.h"
#include "web/errand.h"
#include "web/server.h"

#include <pthread.h>
#include <string.h>

enum { IDS_MOST = 1000, LEARN_THREADS = 2 };

typedef struct {
    pthread_mutex_t lock;
    arena *memory; /* of learned; NULL: not read yet */
    ops_learned learned;
} shelf;

static void *make_shelf(web_server *s) {
    (void)s;
    shelf *it = mem_zero(1, sizeof *it);
    if (it) pthread_mutex_init(&it->lock, NULL);
    return it;
}

static void end_shelf(void *data) {
    shelf *it = data;
    pthread_mutex_destroy(&it->lock);
    arena_free(it->memory);
    mem_free(it);
}

static shelf *shelf_of(web_server *s) {
    return web_server_keep(s, WEB_KEEP_RATES, make_shelf, end_shelf);
}

static status run_rates(void *data, work *self, fault *why) {
    const errand *e = data;
    shelf *it = shelf_of(e->server);
    arena *memory = arena_new(), *before;
    ops_learned learned;
    status code = it && memory ? OK : fault_memory(why);
    work_progress(self, 0.1, "reading the finished jobs");
    if (code == OK) code = ops_learn(e->path, LEARN_THREADS, memory, &learned, why);
    if (code != OK) {
        arena_free(memory);
        return code;
    }
    pthread_mutex_lock(&it->lock);
    before = it->memory;
    it->memory = memory;
    it->learned = learned;
    pthread_mutex_unlock(&it->lock);
    arena_free(before);
    return OK;
}

status api_rates_start(const web_request *r, web_response *out, fault *why) {
    if (!shelf_of(r->server))
        return fault_memory(why); /* made before the queue, so that it outlives its works */
    return errand_start(r, "rates", run_rates, errand_make(r, web_server_folder(r->server), ""), out, why);
}

status api_rates(const web_request *r, web_response *out, fault *why) {
    shelf *it = shelf_of(r->server);
    if (!it) return fault_memory(why);
    pthread_mutex_lock(&it->lock);
    status code = OK;
    if (it->memory)
        code = ops_learn_json(&it->learned, &out->body, why);
    else
        text_add(&out->body, "{\"state\": \"none\"}");
    pthread_mutex_unlock(&it->lock);
    return code;
}

/* ---- taking them into a job ---- */

static status read_ids(const web_request *r, const char ***ids, size_t *n, fault *why) {
    json_t *list = json_object_get(r->json, "ids");
    size_t count = json_array_size(list);
    if (json_object_size(r->json) != 1 || count == 0 || count > IDS_MOST)
        return fault_set(why, E_INPUT, "ids is needed: a list of 1 to %d names of rates", IDS_MOST);
    *ids = arena_get(r->memory, count, sizeof **ids);
    if (!*ids) return fault_memory(why);
    for (*n = 0; *n < count; (*n)++) {
        (*ids)[*n] = json_string_value(json_array_get(list, *n));
        if (!(*ids)[*n]) return fault_set(why, E_INPUT, "ids[%zu] is no text", *n);
    }
    return OK;
}

/* The proposals as a survey that is imported. */
static status write_rates(shelf *it, const char *const ids[], size_t n, text *to, fault *why) {
    pthread_mutex_lock(&it->lock);
    status code = it->memory ? ops_learn_rates(&it->learned, ids, n, to, why)
                             : fault_set(why, E_STATE, "the finished jobs have not been read yet");
    pthread_mutex_unlock(&it->lock);
    return code;
}

/* Of the rates taken, from the survey as it is now. */
static status answer(const char *path, const char *const ids[], size_t n, web_response *out, fault *why) {
    text now = {0};
    long long revision = 0;
    status code = ops_survey_json(path, &revision, &now, why);
    json_t *root = code == OK ? json_loads(text_get(&now), 0, NULL) : NULL;
    const json_t *hashes = json_object_get(json_object_get(root, "hashes"), "rates");
    json_out o = {.to = &out->body};
    json_out_open(&o, NULL, '{');
    json_out_whole(&o, "revision", revision);
    json_out_open(&o, "hashes", '{');
    json_out_open(&o, "rates", '{');
    for (size_t i = 0; i < n; i++)
        json_out_text(&o, ids[i], json_string_value(json_object_get(hashes, ids[i])));
    for (int i = 0; i < 3; i++) json_out_close(&o, '}');
    json_decref(root);
    text_free(&now);
    if (code == OK && out->body.failed) code = fault_memory(why);
    return code;
}

status api_rates_take(const web_request *r, web_response *out, fault *why) {
    static const char *const name = "proposed rates.json";
    const ops_actor actor = {r->who, r->now, "page"};
    const char *path, **ids = NULL;
    size_t n = 0;
    text rates = {0};
    ops_import_result done;
    shelf *it = shelf_of(r->server);
    fault_list *faults = fault_list_new();
    status code = it && faults ? web_job_path(r, out, &path, why) : fault_memory(why);
    if (code == OK) code = read_ids(r, &ids, &n, why);
    if (code == OK) code = write_rates(it, ids, n, &rates, why);
    const char *bytes = text_get(&rates);
    if (code == OK)
        code = ops_import(path, &(ops_import_request){.names = &name, .n = 1, .texts = &bytes}, &actor,
                          faults, &done, why);
    if (code == OK) code = answer(path, ids, n, out, why);
    if (code == E_INPUT && fault_list_count(faults) > 0) code = web_faults(out, faults, why);
    text_free(&rates);
    fault_list_free(faults);
    return code;
}
