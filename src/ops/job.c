#include "ops/again.h"

#include "survey/catalogue.h"

#include <stdarg.h>
#include <stdio.h>

void ops_job_free(ops_job *job) {
    plan_free(job->plan);
    survey_free(job->survey);
    *job = (ops_job){0};
}

status job_load(store *from, survey **out, fault *why) {
    status code = store_load(from, out, why);
    if (code != OK) return code;
    code = survey_catalogue_fill(*out, why); /* a job made by an older catalogue gets the new entries */
    if (code == OK) return OK;
    survey_free(*out);
    *out = NULL;
    return code;
}

enum { LOG_BYTES = 500 };

status job_log(store *to, const ops_actor *actor, fault *why, const char *format, ...) {
    char what[LOG_BYTES + 8];
    va_list args;
    va_start(args, format);
    vsnprintf(what, sizeof what, format, args);
    va_end(args);
    text_cut_utf8(what, LOG_BYTES);
    const store_change change = {.at = actor->at, .by = actor->by, .through = actor->through, .what = what};
    return store_log(to, &change, why);
}

/* The planes that the job keeps; which of them still hold is for the plan to say, by their hashes. */
static status load_planes(store *from, const survey *s, plan_known_plane **list, size_t *n, fault *why) {
    *list = arena_get(s->memory, s->n_defects, sizeof **list);
    if (!*list) return fault_memory(why);
    status code = OK;
    for (size_t i = 0; code == OK && i < s->n_defects; i++) {
        store_result result;
        bool found;
        code = store_load_result(from, "plane", s->defects[i].mark, s->memory, &result, &found, why);
        if (code == OK && found) (*list)[(*n)++] = (plan_known_plane){result.inputs_hash, result.body};
    }
    return code;
}

status job_plan(store *from, const ops_plan_request *request, ops_job *out, fault *why) {
    plan_options options = {.planes = request->planes,
                            .threads = request->threads,
                            .works = request->works,
                            .stop = request->stop,
                            .progress = request->progress,
                            .progress_to = request->progress_to};
    plan_known_plane *known = NULL;
    *out = (ops_job){0};
    status code = job_load(from, &out->survey, why);
    if (code == OK && request->planes != PLANES_OFF)
        code = load_planes(from, out->survey, &known, &options.n_known, why);
    options.known = known;
    if (code == OK) code = again_load(from, out->survey, request, &options.past, why);
    if (code == OK) code = plan_make(out->survey, &options, &out->plan, why);
    if (code != OK) ops_job_free(out);
    return code;
}

status ops_look(const char *path, const ops_plan_request *request, ops_job *out, fault *why) {
    store *from = NULL;
    *out = (ops_job){0};
    status code = store_open(path, true, &from, why);
    if (code == OK) code = job_plan(from, request, out, why);
    store_close(from);
    return code;
}
