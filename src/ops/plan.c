#include "ops/changes.h"
#include "ops/job.h"
#include "ops/results.h"

typedef void (*write_leak)(json_out *, const plan *, size_t);

/* One result row: an object of its own in one line of JSON. */
static const char *body_of(const plan *p, write_leak write, size_t leak,
                           void (*job)(json_out *, const plan *)) {
    text bytes = {0};
    json_out o = {.to = &bytes, .system = p->survey->site.system};
    json_out_open(&o, NULL, '{');
    if (write)
        write(&o, p, leak);
    else
        job(&o, p);
    json_out_close(&o, '}');
    const char *body = bytes.failed ? NULL : arena_copy(p->memory, text_get(&bytes));
    text_free(&bytes);
    return body;
}

static status fill_results(const plan *p, store_result *rows, size_t *n, fault *why) {
    for (size_t i = 0; i < p->n_leaks; i++) {
        const char *mark = p->leaks[i].defect->mark;
        const plan_hashes *h = &p->hashes[i];
        const struct {
            const char *stage, *hash;
            write_leak write;
        } stages[] = {{"look", h->look, results_write_look},
                      {"design", h->design, results_write_design},
                      {"takeoff", p->takeoff_hash, results_write_takeoff},
                      {"price", p->price_hash, results_write_price}};
        for (size_t k = 0; k < sizeof stages / sizeof *stages; k++) {
            const char *body = body_of(p, stages[k].write, i, NULL);
            if (!body) return fault_memory(why);
            rows[(*n)++] = (store_result){stages[k].stage, mark, stages[k].hash, STANCH_VERSION, 0, body};
        }
    }
    const struct {
        const char *stage, *hash;
        void (*write)(json_out *, const plan *);
    } job[] = {{"findings", p->takeoff_hash, results_write_findings},
               {"takeoff", p->takeoff_hash, results_write_job_takeoff},
               {"price", p->price_hash, results_write_job_price}};
    for (size_t k = 0; k < sizeof job / sizeof *job; k++) {
        const char *body = body_of(p, NULL, 0, job[k].write);
        if (!body) return fault_memory(why);
        rows[(*n)++] = (store_result){job[k].stage, "", job[k].hash, STANCH_VERSION, 0, body};
    }
    return OK;
}

/* Planes computed now; those taken from the store are there already. */
static status fill_planes(const plan *p, store_result *rows, size_t *n, fault *why) {
    for (size_t i = 0; i < p->n_planes; i++) {
        const plan_plane *plane = &p->planes[i];
        if (!plane->fresh || plane->steady) continue;
        text bytes = {0};
        plan_write_plane(plane, &bytes);
        const char *body = bytes.failed ? NULL : arena_copy(p->memory, text_get(&bytes));
        text_free(&bytes);
        if (!body) return fault_memory(why);
        const char *mark = p->leaks[plane->group->leaks[0]].defect->mark;
        rows[(*n)++] = (store_result){"plane", mark, plane->hash, STANCH_VERSION, 0, body};
    }
    return OK;
}

/* Where there are none, those that were followed stay: the next plan is held against them. */
static status fill_works(const plan *p, store_result *rows, size_t *n, fault *why) {
    if (!p->works) return OK;
    const char *body = body_of(p, NULL, 0, results_write_works);
    if (!body) return fault_memory(why);
    rows[(*n)++] = (store_result){"works", "", p->works_hash, STANCH_VERSION, 0, body};
    return OK;
}

/* All results of a finished plan, in one transaction. */
static status keep(store *job, const ops_plan_request *request, ops_job *out, fault *why) {
    const plan *p = out->plan;
    size_t n = 0;
    store_result *rows = arena_get(p->memory, 4 * p->n_leaks + 5 + p->n_planes, sizeof *rows);
    status code = rows ? fill_results(p, rows, &n, why) : fault_memory(why);
    if (code == OK) code = changes_find(job, rows, out, &rows[n++], why);
    if (code == OK) code = fill_planes(p, rows, &n, why);
    if (code == OK) code = fill_works(p, rows, &n, why);
    if (code == OK) code = plane_stopped(request->stop, why);
    return code == OK ? store_save_results(job, rows, n, why) : code;
}

status ops_plan(const char *path, const ops_plan_request *request, ops_job *out, fault *why) {
    store *job = NULL;
    *out = (ops_job){0};
    status code = store_open(path, false, &job, why);
    if (code == OK) code = job_plan(job, request, out, why);
    if (code == OK) code = keep(job, request, out, why);
    store_close(job);
    if (code != OK) ops_job_free(out);
    return code;
}

status ops_plan_json(const plan *p, text *out, fault *why) {
    json_out o = {.to = out, .indent = 1, .compact_from = 4, .system = p->survey->site.system};
    json_out_open(&o, NULL, '{');
    json_out_text(&o, "program", "stanch " STANCH_VERSION);
    json_out_text(&o, "inputs_hash", p->price_hash);
    results_write_findings(&o, p);
    json_out_open(&o, "leaks", '[');
    for (size_t i = 0; i < p->n_leaks; i++) {
        json_out_open(&o, NULL, '{');
        json_out_text(&o, "mark", p->leaks[i].defect->mark);
        const struct {
            const char *name;
            write_leak write;
        } stages[] = {{"look", results_write_look},
                      {"design", results_write_design},
                      {"takeoff", results_write_takeoff},
                      {"price", results_write_price}};
        for (size_t k = 0; k < sizeof stages / sizeof *stages; k++) {
            json_out_open(&o, stages[k].name, '{');
            stages[k].write(&o, p, i);
            json_out_close(&o, '}');
        }
        json_out_close(&o, '}');
    }
    json_out_close(&o, ']');
    json_out_open(&o, "takeoff", '{');
    results_write_job_takeoff(&o, p);
    json_out_close(&o, '}');
    json_out_open(&o, "price", '{');
    results_write_job_price(&o, p);
    json_out_close(&o, '}');
    if (p->works || p->works_problem) {
        json_out_open(&o, "works", '{');
        results_write_works(&o, p);
        json_out_close(&o, '}');
    }
    json_out_open(&o, "assumptions", '[');
    for (size_t i = 0; i < p->n_assumptions; i++) json_out_text(&o, NULL, p->assumptions[i]);
    json_out_close(&o, ']');
    json_out_close(&o, '}');
    return out->failed ? fault_memory(why) : OK;
}
