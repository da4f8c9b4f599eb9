#include "ops/leak_change.h"

#include "core/date.h"
#include "survey/fields.h"

#include <string.h>

static status tell_unknown(const survey *s, const char *mark, fault *why) {
    const char **marks = arena_get(s->memory, s->n_defects, sizeof *marks);
    if (!marks) return fault_memory(why);
    for (size_t i = 0; i < s->n_defects; i++) marks[i] = s->defects[i].mark;
    int near = text_nearest(mark, marks, s->n_defects);
    if (near >= 0)
        return fault_set(why, E_STATE, "no leak is marked %.60s; did you mean %.60s?", mark, marks[near]);
    return fault_set(why, E_STATE, "no leak is marked %.60s", mark);
}

static status find(leak_change *c, const char *mark, fault *why) {
    survey *s = c->e.s;
    edit_change *change = &c->change;
    c->e.changes = change;
    c->e.n = 1;
    *change = (edit_change){.kind = OBJECT_DEFECT, .key = mark, .sound = true};
    change->at = names_find(c->e.places[OBJECT_DEFECT], mark);
    if (change->at == NAMES_NONE) return tell_unknown(s, mark, why);
    change->before = change->called = s->defects[change->at].mark;
    change->after = object_get(s, OBJECT_DEFECT, change->at);
    c->after = &change->after.defect;
    return OK;
}

status leak_change_begin(leak_change *c, const char *path, const char *mark, fault *why) {
    *c = (leak_change){0};
    c->e.faults = fault_list_new();
    if (!c->e.faults) return fault_memory(why);
    status code = store_open(path, false, &c->job, why);
    if (code == OK) code = store_begin(c->job, why);
    if (code == OK) code = job_load(c->job, &c->e.s, why);
    if (code == OK) code = edit_begin(&c->e, why);
    return code == OK ? find(c, mark, why) : code;
}

static status save(leak_change *c, const char *told, const ops_actor *actor, fault *why) {
    if (!edit_apply(&c->e)) return fault_memory(why);
    status code = edit_check(&c->e, why);
    if (code == OK) code = fault_list_status(c->e.faults, why);
    if (code == OK) code = store_save(c->job, c->e.s, why);
    return code == OK ? job_log(c->job, actor, why, "%s", told) : code;
}

status leak_change_keep(leak_change *c, const char *told, const ops_actor *actor, ops_leak_change *out,
                        fault *why) {
    status code = told ? save(c, told, actor, why) : OK;
    if (code == OK) code = store_revision(c->job, &out->revision, why);
    if (code == OK && !object_hash(OBJECT_DEFECT, c->e.system, &c->change.after, out->hash))
        code = fault_memory(why);
    if (code == OK) code = store_commit(c->job, why);
    out->changed = told != NULL;
    return code;
}

void leak_change_end(leak_change *c) {
    store_close(c->job); /* takes back what was not committed */
    edit_end(&c->e);
    survey_free(c->e.s);
    fault_list_free(c->e.faults);
}

status leak_change_text(const char *name, const char *value, size_t most, fault *why) {
    size_t length = value ? strlen(value) : 0;
    if (length == 0 || length > most || !text_is_utf8(value, length))
        return fault_set(why, E_INPUT, "%s has %zu bytes; it must be 1 to %zu bytes of UTF-8", name, length,
                         most);
    const char *objection = survey_text_objection(value);
    return objection ? fault_set(why, E_INPUT, "%s %s", name, objection) : OK;
}

status leak_change_date(const char *name, const char *value, fault *why) {
    long long days;
    if (date_day(value, &days)) return OK;
    return fault_set(why, E_INPUT, "%s is %.40s; write the date as YYYY-MM-DD", name,
                     value ? value : "missing");
}
