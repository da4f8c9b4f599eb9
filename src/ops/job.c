#include "ops/job.h"

#include "survey/catalogue.h"

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

status job_plan(store *from, ops_job *out, fault *why) {
    *out = (ops_job){0};
    status code = job_load(from, &out->survey, why);
    if (code == OK) code = plan_make(out->survey, &out->plan, why);
    if (code != OK) ops_job_free(out);
    return code;
}

status ops_look(const char *path, ops_job *out, fault *why) {
    store *from = NULL;
    *out = (ops_job){0};
    status code = store_open(path, true, &from, why);
    if (code == OK) code = job_plan(from, out, why);
    store_close(from);
    return code;
}
