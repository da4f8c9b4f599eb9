#include "web/planned.h"

#include "ops/history.h"

status planned_hold(const web_request *r, web_response *out, planned *h, fault *why) {
    const char *path;
    long long now = 0;
    *h = (planned){.all = plans_of(r->server)};
    if (!h->all) return fault_memory(why);
    status code = web_job_path(r, out, &path, why);
    if (code == OK) code = ops_revision(path, &now, why);
    if (code != OK) return code;
    h->plan = plans_hold(h->all, path);
    if (!h->plan) return OK;
    held_lock(h->plan);
    code = held_current(h->plan, now, &h->current, why);
    h->view = (ops_view){r->variables[0], held_revision(h->plan), h->current, held_changes(h->plan)};
    return code;
}

void planned_let_go(planned *h) {
    if (!h->plan) return;
    held_unlock(h->plan);
    plans_let_go(h->all, h->plan);
    h->plan = NULL;
}

status planned_need(const web_request *r, web_response *out, planned *h, fault *why) {
    status code = planned_hold(r, out, h, why);
    if (code == OK && !h->plan) code = fault_set(why, E_STATE, "the job is not planned yet: plan it first");
    return code;
}

const plan *planned_plan(const planned *h) {
    return held_job(h->plan)->plan;
}

status planned_send(const web_request *r, planned *h, const char *name, planned_write *write,
                    web_response *out, fault *why) {
    status code = OK;
    char hash[HASH_TEXT];
    const char *kept = name ? held_text(h->plan, name, h->current) : NULL;
    if (!name) return fault_memory(why);
    if (kept) {
        text_add(&out->body, kept);
    } else {
        code = write(r, h, &out->body, why);
        if (code == OK && !out->body.failed)
            code = held_keep_text(h->plan, name, h->current, text_get(&out->body), why);
    }
    if (code != OK) return code;
    if (out->body.failed) return fault_memory(why);
    hash_text(out->body.bytes, out->body.length, hash);
    out->etag = arena_print(r->memory, "\"%.32s\"", hash);
    return out->etag ? OK : fault_memory(why);
}

status planned_send_none(const web_request *r, web_response *out, fault *why) {
    const char *path, *price = NULL;
    status code = web_job_path(r, out, &path, why);
    if (code == OK) code = ops_stored(path, "price", "", r->memory, &price, why);
    if (code == OK) text_print(&out->body, "{\"state\": \"none\", \"before\": %s}", price ? "true" : "false");
    return code;
}
