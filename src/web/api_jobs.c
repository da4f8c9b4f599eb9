#include "ops/history.h"
#include "web/web.h"

#include <string.h>

/* ---- the list ---- */

/* A job that cannot be read stands in the list with the reason: the others can still be opened. */
static status write_job(const web_request *r, const char *job, json_out *o, fault *why) {
    web_response found = {0};
    web_request one = *r;
    const char *path;
    ops_summary about = {0};
    fault reason = {OK, ""};
    one.variables[0] = job;
    status code = web_job_path(&one, &found, &path, &reason);
    if (found.code == 404) return OK; /* it went meanwhile */
    if (code == OK) code = ops_summarise(path, r->memory, &about, &reason);
    if (code == E_MEMORY) return fault_memory(why);
    json_out_open(o, NULL, '{');
    json_out_text(o, "job", job);
    if (code != OK) {
        text told = {0};
        web_tell(r->server, reason.text, &told);
        json_out_text(o, "fault", text_get(&told));
        text_free(&told);
    } else {
        json_out_text(o, "name", about.name);
        json_out_text(o, "units", about.system == UNITS_US ? "us" : "metric");
        json_out_whole(o, "leaks", (long long)about.leaks);
        json_out_whole(o, "revision", about.revision);
    }
    json_out_close(o, '}');
    return OK;
}

status api_jobs(const web_request *r, web_response *out, fault *why) {
    const char **names = NULL;
    size_t n = 0;
    json_out o = {.to = &out->body};
    status code = web_jobs(r, &names, &n, why);
    json_out_open(&o, NULL, '{');
    json_out_open(&o, "jobs", '[');
    for (size_t i = 0; i < n && code == OK; i++) code = write_job(r, names[i], &o, why);
    json_out_close(&o, ']');
    json_out_close(&o, '}');
    return code;
}

/* ---- a new one ---- */

enum { NAME_BYTES = 200 };

static void read_new(const web_request *r, json_in *in, const char **job, ops_new_request *new) {
    static const char *const known[] = {"job", "name", "units", "currency", "paper"};
    static const char *const systems[] = {"metric", "us"}, *const papers[] = {"a4", "letter"};
    int system = 0, paper = -1;
    json_in_only(in, NULL, r->json, known, sizeof known / sizeof *known);
    json_in_text(in, NULL, r->json, "job", NAME_BYTES, true, job);
    json_in_text(in, NULL, r->json, "name", NAME_BYTES, false, &new->name);
    json_in_word(in, NULL, r->json, "units", systems, 2, false, &system);
    json_in_text(in, NULL, r->json, "currency", 3, false, &new->currency);
    json_in_word(in, NULL, r->json, "paper", papers, 2, false, &paper);
    if (new->name && !*new->name) new->name = NULL;
    if (new->currency && !*new->currency) new->currency = NULL;
    new->system = system == 1 ? UNITS_US : UNITS_METRIC;
    new->letter_paper = paper == 1 || (paper < 0 && system == 1); /* by the units, as on the command line */
}

status api_jobs_new(const web_request *r, web_response *out, fault *why) {
    const ops_actor actor = {r->who, r->now, "page"};
    const char *job = NULL, *path = NULL;
    ops_new_request new = {0};
    json_out o = {.to = &out->body};
    json_in in = {"", fault_list_new(), UNITS_METRIC, r->memory};
    if (!in.faults) return fault_memory(why);
    read_new(r, &in, &job, &new);
    status code = fault_list_status(in.faults, why);
    if (code == E_INPUT)
        code = web_faults(out, in.faults, why);
    else if (code == OK) {
        code = web_job_place(r, job, &path, why);
        if (code == OK) code = ops_new(path, &new, &actor, why);
        json_out_open(&o, NULL, '{');
        json_out_text(&o, "job", job);
        json_out_close(&o, '}');
    }
    fault_list_free(in.faults);
    return code;
}
