#include "ops/job.h"

#include <string.h>

/* An answer must name a finding that the plan has, open or answered. */
static status find_finding(const plan *p, const ops_answer_request *r, fault *why) {
    bool mark = strcmp(r->mark, "site") == 0 || survey_find_defect(p->survey, r->mark) != NULL;
    if (!mark) return fault_set(why, E_STATE, "no leak is marked %.60s", r->mark);
    text words = {0};
    for (size_t i = 0; i < p->findings.n; i++) {
        const finding *f = &p->findings.items[i];
        if (strcmp(f->mark, r->mark) != 0) continue;
        if (strcmp(f->code, r->finding) == 0) {
            text_free(&words);
            return OK;
        }
        text_print(&words, "%s%s", words.length ? ", " : "", f->code);
    }
    status code = words.length ? fault_set(why, E_STATE, "%s has no finding %.60s; it has %s", r->mark,
                                           r->finding, text_get(&words))
                               : fault_set(why, E_STATE, "%s has no finding to answer", r->mark);
    text_free(&words);
    return code;
}

static status check_texts(const ops_answer_request *r, fault *why) {
    const struct {
        const char *name, *value;
        size_t most;
    } texts[] = {{"--by", r->by, 200}, {"--text", r->what, 2000}};
    for (size_t i = 0; i < 2; i++) {
        size_t length = strlen(texts[i].value);
        if (length == 0 || length > texts[i].most || !text_is_utf8(texts[i].value, length))
            return fault_set(why, E_INPUT, "%s has %zu bytes; it must be 1 to %zu bytes of UTF-8",
                             texts[i].name, length, texts[i].most);
    }
    return OK;
}

static status add_answer(survey *s, const ops_answer_request *r, fault *why) {
    survey_answer *answers = arena_push(s->memory, s->answers, &s->n_answers, sizeof *answers);
    if (!answers) return fault_memory(why);
    s->answers = answers;
    answers[s->n_answers - 1] = (survey_answer){r->mark, r->finding, r->by, r->on, r->what};
    return OK;
}

status ops_answer(const char *path, const ops_answer_request *request, const ops_actor *actor, fault *why) {
    store *job = NULL;
    ops_job found = {0};
    const ops_plan_request request_planes = {.planes = PLANES_RUN, .threads = 1};
    status code = check_texts(request, why);
    if (code == OK) code = store_open(path, false, &job, why);
    if (code == OK) code = store_begin(job, why);
    if (code == OK) code = job_plan(job, &request_planes, &found, why);
    if (code == OK) code = find_finding(found.plan, request, why);
    if (code == OK) code = add_answer(found.survey, request, why);
    if (code == OK) code = store_save(job, found.survey, why);
    if (code == OK)
        code = job_log(job, actor, why, "answer %s %s by %s", request->mark, request->finding, request->by);
    if (code == OK) code = store_commit(job, why);
    store_close(job);
    ops_job_free(&found);
    return code;
}
