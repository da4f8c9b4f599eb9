#include "ops/edit.h"

#include "ops/edit_parts.h"
#include "ops/job.h"
#include "survey/objects.h"

#include <string.h>

void ops_edit_result_free(ops_edit_result *result) {
    text_free(&result->hashes);
    text_free(&result->now);
    *result = (ops_edit_result){0};
}

/* ---- hashes as JSON ---- */

/* Members into an object that the caller has opened. Those of a listed kind are named by key. False without memory. */
static bool write_hash(json_out *o, const survey *s, object_kind kind, size_t at) {
    char hash[HASH_TEXT];
    object_any object = object_get(s, kind, at);
    if (!object_hash(kind, s->site.system, &object, hash)) return false;
    json_out_text(o, object_is_listed(kind) ? object_key(kind, &object) : object_members[kind], hash);
    return true;
}

static bool write_all_hashes(json_out *o, const char *name, const survey *s) {
    bool good = true;
    json_out_open(o, name, '{');
    for (object_kind k = 0; k < OBJECT_KINDS && good; k++) {
        if (object_is_listed(k)) json_out_open(o, object_members[k], '{');
        for (size_t i = 0; i < object_count(s, k) && good; i++) good = write_hash(o, s, k, i);
        if (object_is_listed(k)) json_out_close(o, '}');
    }
    json_out_close(o, '}');
    return good && !o->to->failed;
}

/* The hash of what a change left behind, under its key; null when that is nothing. */
static bool write_changed(json_out *o, const editing *e, const edit_change *c) {
    char hash[HASH_TEXT];
    const char *name = object_is_listed(c->kind) ? c->key : object_members[c->kind];
    if (c->removes) {
        json_out_null(o, name);
        return true;
    }
    if (!object_hash(c->kind, e->s->site.system, &c->after, hash)) return false;
    json_out_text(o, name, hash);
    return true;
}

static bool write_changed_hashes(const editing *e, text *to) {
    json_out o = {.to = to};
    bool good = true;
    if (e->s->site.system != e->system) return write_all_hashes(&o, NULL, e->s); /* all are written anew */
    json_out_open(&o, NULL, '{');
    for (object_kind k = 0; k < OBJECT_KINDS; k++) {
        bool open = false;
        for (size_t i = 0; i < e->n && good; i++) {
            if (e->changes[i].kind != k) continue;
            if (!open && object_is_listed(k)) json_out_open(&o, object_members[k], '{');
            open = true;
            good = write_changed(&o, e, &e->changes[i]);
        }
        if (open && object_is_listed(k)) json_out_close(&o, '}');
    }
    json_out_close(&o, '}');
    return good && !to->failed;
}

/* {"what","key","now","hash"} of the object that somebody else has changed. */
static status write_conflict(const editing *e, const edit_change *c, ops_edit_result *out, fault *why) {
    char hash[HASH_TEXT];
    json_out o = {.to = &out->now};
    json_out_open(&o, NULL, '{');
    json_out_text(&o, "what", object_words[c->kind]);
    json_out_text(&o, "key", c->key);
    if (c->at == NAMES_NONE) {
        json_out_null(&o, "now");
        json_out_null(&o, "hash");
    } else {
        text now = {0};
        object_any object = object_get(e->s, c->kind, c->at);
        object_write(c->kind, e->system, &object, &now);
        json_out_json(&o, "now", &now);
        json_out_text(&o, "hash", hash_text(text_get(&now), now.length, hash));
        text_free(&now);
    }
    json_out_close(&o, '}');
    out->conflict = !out->now.failed;
    return out->now.failed ? fault_memory(why) : E_STATE;
}

/* ---- the log ---- */

enum { TOLD_BYTES = 420 };

static void tell_answers(const editing *e, const char *mark, text *to) {
    for (size_t i = 0; i < e->s->n_answers; i++) {
        const survey_answer *a = &e->s->answers[i];
        if (strcmp(a->mark, mark) == 0) text_print(to, " with the answer %s by %s", a->finding, a->by);
    }
}

void edit_tell(const editing *e, text *to) {
    size_t told = 0;
    text_add(to, "edit: ");
    for (size_t i = 0; i < e->n; i++) {
        const edit_change *c = &e->changes[i];
        if (c->already) continue;
        if (to->length > TOLD_BYTES) {
            text_print(to, " and more, %zu changes in all", e->n);
            return;
        }
        const char *how = c->removes ? "removed " : c->at == NAMES_NONE ? "new " : "";
        text_print(to, "%s%s%s", told++ ? ", " : "", object_is_listed(c->kind) ? how : "", c->called);
        if (c->removes && c->kind == OBJECT_DEFECT) tell_answers(e, c->key, to);
    }
}

/* ---- the op ---- */

status edit_begin(editing *e, fault *why) {
    e->system = e->s->site.system;
    for (object_kind k = 0; k < OBJECT_KINDS; k++) {
        if (!object_is_listed(k)) continue;
        e->places[k] = names_new();
        bool good = e->places[k] != NULL;
        for (size_t i = 0; i < object_count(e->s, k) && good; i++) {
            object_any object = object_get(e->s, k, i);
            good = names_put(e->places[k], object_key(k, &object), i);
        }
        if (!good) return fault_memory(why);
    }
    return OK;
}

void edit_end(editing *e) {
    for (int k = 0; k < OBJECT_KINDS; k++) names_free(e->places[k]);
}

static bool changes_nothing(const editing *e) {
    for (size_t i = 0; i < e->n; i++)
        if (!e->changes[i].already) return false;
    return true;
}

static status keep(editing *e, store *job, const ops_actor *actor, fault *why) {
    text told = {0};
    edit_tell(e, &told); /* before the answers of what is removed are gone */
    bool good = !told.failed && edit_apply(e);
    status code = good ? edit_check(e, why) : fault_memory(why);
    if (code == OK) code = fault_list_status(e->faults, why);
    if (code == OK) code = store_save(job, e->s, why);
    if (code == OK) code = job_log(job, actor, why, "%s", text_get(&told));
    text_free(&told);
    return code;
}

static status edit(editing *e, store *job, const ops_edit_request *request, const ops_actor *actor,
                   ops_edit_result *out, fault *why) {
    const edit_change *which = NULL;
    status code = job_load(job, &e->s, why);
    if (code == OK) code = edit_begin(e, why);
    if (code != OK) return code;
    edit_read(e, request);
    code = edit_compare(e, &which, why);
    if (which) return write_conflict(e, which, out, why);
    if (code == OK) code = fault_list_status(e->faults, why);
    if (code == OK && !changes_nothing(e)) code = keep(e, job, actor, why);
    if (code == OK && !write_changed_hashes(e, &out->hashes)) code = fault_memory(why);
    return code == OK ? store_revision(job, &out->revision, why) : code;
}

status ops_edit(const char *path, const ops_edit_request *request, const ops_actor *actor,
                ops_edit_result *out, fault_list *faults, fault *why) {
    store *job = NULL;
    editing e = {.faults = faults};
    *out = (ops_edit_result){0};
    status code = store_open(path, false, &job, why);
    if (code == OK)
        code = store_begin(job, why); /* the load too: nobody may change the job before the save */
    if (code == OK) code = edit(&e, job, request, actor, out, why);
    if (code == OK) code = store_commit(job, why);
    store_close(job); /* takes back what was not committed */
    edit_end(&e);
    survey_free(e.s);
    return code;
}

/* ---- the survey as the editor reads it ---- */

/* One object as JSON into `scratch`, and from there into the survey and, as its hash, beside it. The folds stand in the
 * survey only when there are some, as in survey_write_json. */
static void write_object(json_out *o, json_out *hashes, text *scratch, const survey *s, object_kind kind,
                         size_t at) {
    char hash[HASH_TEXT];
    object_any object = object_get(s, kind, at);
    bool listed = object_is_listed(kind);
    scratch->length = 0;
    object_write(kind, s->site.system, &object, scratch);
    hash_text(text_get(scratch), scratch->length, hash);
    json_out_text(hashes, listed ? object_key(kind, &object) : object_members[kind], hash);
    if (kind == OBJECT_FOLDS && s->n_folds == 0) return;
    json_out_json(o, listed ? NULL : object_members[kind], scratch);
}

static void write_objects(json_out *o, json_out *hashes, const survey *s) {
    text scratch = {0};
    for (object_kind k = 0; k < OBJECT_KINDS; k++) {
        size_t n = object_count(s, k);
        bool listed = object_is_listed(k);
        if (listed) json_out_open(hashes, object_members[k], '{');
        if (listed && n > 0) json_out_open(o, object_members[k], '[');
        for (size_t i = 0; i < n; i++) write_object(o, hashes, &scratch, s, k, i);
        if (listed && n > 0) json_out_close(o, ']');
        if (listed) json_out_close(hashes, '}');
    }
    text_free(&scratch);
}

static void write_answers(json_out *o, const survey *s) {
    if (s->n_answers == 0) return;
    json_out_open(o, "answers", '[');
    for (size_t i = 0; i < s->n_answers; i++) {
        json_out_open(o, NULL, '{');
        objects_write_answer(o, &s->answers[i]);
        json_out_close(o, '}');
    }
    json_out_close(o, ']');
}

typedef struct {
    const char **faces; /* those with a picture under them */
    size_t n;
} underlays;

/* Each object is written once, on one line: the text of its hash. */
static bool write_survey(const survey *s, const underlays *under, long long revision, text *to) {
    text beside = {0};
    json_out o = {.to = to, .system = s->site.system}, hashes = {.to = &beside};
    json_out_open(&hashes, NULL, '{');
    json_out_open(&o, NULL, '{');
    json_out_whole(&o, "revision", revision);
    json_out_open(&o, "survey", '{');
    json_out_whole(&o, "stanch_survey", 1);
    json_out_text(&o, "units", s->site.system == UNITS_US ? "us" : "metric");
    write_objects(&o, &hashes, s);
    write_answers(&o, s);
    json_out_close(&o, '}');
    json_out_close(&hashes, '}');
    json_out_json(&o, "hashes", &beside);
    json_out_open(&o, "underlays", '[');
    for (size_t i = 0; i < under->n; i++) json_out_text(&o, NULL, under->faces[i]);
    json_out_close(&o, ']');
    json_out_close(&o, '}');
    text_free(&beside);
    return !to->failed;
}

status ops_survey_json(const char *path, long long *revision, text *out, fault *why) {
    store *job = NULL;
    survey *s = NULL;
    underlays under = {0};
    *revision = 0;
    status code = store_open(path, true, &job, why);
    if (code == OK) code = store_begin_read(job, why);
    if (code == OK) code = store_revision(job, revision, why);
    if (code == OK) code = job_load(job, &s, why);
    if (code == OK) code = store_list_underlays(job, s->memory, &under.faces, &under.n, why);
    store_close(job);
    if (code == OK && !write_survey(s, &under, *revision, out)) code = fault_memory(why);
    survey_free(s);
    return code;
}
