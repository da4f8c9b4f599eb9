#include "ops/job.h"
#include "survey/write_json.h"

status ops_stored(const char *path, const char *stage, const char *mark, arena *memory, const char **body,
                  fault *why) {
    store *job = NULL;
    store_result result;
    bool found = false;
    *body = NULL;
    status code = store_open(path, true, &job, why);
    if (code == OK) code = store_load_result(job, stage, mark, memory, &result, &found, why);
    store_close(job);
    if (code == OK && found) *body = result.body;
    return code;
}

status ops_survey_hash(const survey *s, char into[HASH_TEXT], fault *why) {
    text words = {0};
    survey_write_json(s, &words);
    bool failed = words.failed;
    hash_text(text_get(&words), words.length, into);
    text_free(&words);
    return failed ? fault_memory(why) : OK;
}

status ops_survey_hash_now(const char *path, char into[HASH_TEXT], fault *why) {
    store *job = NULL;
    survey *s = NULL;
    status code = store_open(path, true, &job, why);
    if (code == OK) code = job_load(job, &s, why);
    store_close(job);
    if (code == OK) code = ops_survey_hash(s, into, why);
    survey_free(s);
    return code;
}
