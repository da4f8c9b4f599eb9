#include "ops/gauge.h"
#include "ops/leak_change.h"
#include "survey/fields.h"

#include <string.h>

/* All but "engineer": that is no choice of method. */
static status read_method(const char *word, survey_method *out, fault *why) {
    text words = {0};
    for (survey_method m = 0; m < METHOD_ENGINEER; m++) {
        if (strcmp(survey_method_words[m], word) == 0) {
            *out = m;
            text_free(&words);
            return OK;
        }
        text_print(&words, "%s%s", m ? ", " : "", survey_method_words[m]);
    }
    status code = fault_set(why, E_INPUT, "method is %.60s; it must be one of %s", word, text_get(&words));
    text_free(&words);
    return code;
}

static status read_overrule(const ops_overrule_request *r, survey_overrule *out, fault *why) {
    status code = leak_change_text("by", r->by, 200, why);
    *out = (survey_overrule){0};
    if (code != OK || !r->method) return code;
    out->given = true;
    out->by = r->by;
    out->on = r->on;
    out->why = r->why;
    code = read_method(r->method, &out->method, why);
    if (code == OK) code = leak_change_text("why", r->why, SURVEY_NOTE_BYTES, why);
    return code == OK ? leak_change_date("on", r->on, why) : code;
}

static bool same(const survey_overrule *a, const survey_overrule *b) {
    return a->given == b->given && (!a->given || survey_fields_equal(survey_overrule_fields, a, b));
}

static status change(leak_change *c, const ops_overrule_request *r, const survey_overrule *to,
                     const char **told, fault *why) {
    if (same(&c->after->overrule, to)) return OK;
    c->after->overrule = *to;
    *told = to->given ? arena_print(c->e.s->memory, "overrule %s: %s by %s", c->after->mark, r->method, r->by)
                      : arena_print(c->e.s->memory, "overrule %s withdrawn by %s", c->after->mark, r->by);
    return *told ? OK : fault_memory(why);
}

status ops_overrule(const char *path, const ops_overrule_request *request, const ops_actor *actor,
                    ops_leak_change *out, fault *why) {
    leak_change c;
    survey_overrule to;
    const char *told = NULL;
    *out = (ops_leak_change){0};
    status code = read_overrule(request, &to, why);
    if (code != OK) return code;
    code = leak_change_begin(&c, path, request->mark, why);
    if (code == OK) code = change(&c, request, &to, &told, why);
    if (code == OK) code = leak_change_keep(&c, told, actor, out, why);
    leak_change_end(&c);
    return code;
}
