#include "ops/history.h"

#include "core/json_out.h"
#include "store/log.h"

status ops_summarise(const char *path, arena *memory, ops_summary *out, fault *why) {
    store *job = NULL;
    store_summary found;
    *out = (ops_summary){0};
    status code = store_open(path, true, &job, why);
    if (code == OK) code = store_summarise(job, memory, &found, why);
    store_close(job);
    if (code == OK) *out = (ops_summary){found.name, found.system, found.leaks, found.revision};
    return code;
}

status ops_revision(const char *path, long long *out, fault *why) {
    store *job = NULL;
    *out = 0;
    status code = store_open(path, true, &job, why);
    if (code == OK) code = store_revision(job, out, why);
    store_close(job);
    return code;
}

static void write_change(json_out *o, const store_change *change) {
    json_out_open(o, NULL, '{');
    json_out_whole(o, "seq", change->seq);
    json_out_text(o, "at", change->at);
    json_out_text(o, "by", change->by);
    json_out_text(o, "through", change->through);
    json_out_text(o, "what", change->what);
    json_out_close(o, '}');
}

static void write_changes(const store_change *list, size_t n, text *to) {
    json_out o = {.to = to};
    json_out_open(&o, NULL, '{');
    json_out_open(&o, "changes", '[');
    for (size_t i = 0; i < n; i++) write_change(&o, &list[i]);
    json_out_close(&o, ']');
    json_out_close(&o, '}');
}

status ops_log_json(const char *path, long long before, text *out, fault *why) {
    store *job = NULL;
    store_change *list = NULL;
    size_t n = 0;
    arena *memory = arena_new();
    status code = memory ? store_open(path, true, &job, why) : fault_memory(why);
    if (code == OK) code = store_load_log(job, before, OPS_LOG_MOST, memory, &list, &n, why);
    store_close(job);
    if (code == OK) write_changes(list, n, out);
    if (code == OK && out->failed) code = fault_memory(why);
    arena_free(memory);
    return code;
}

status ops_bring_up(const char *path, fault *why) {
    store *job = NULL;
    status code = store_open(path, false, &job, why);
    store_close(job);
    return code;
}
