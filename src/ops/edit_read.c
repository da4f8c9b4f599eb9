/* The request of an edit, from JSON to changes. */
#include "ops/edit_parts.h"

#include <string.h>

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

enum { KEY_BYTES = 200 };

/* "defect E3"; "site". */
static const char *call(editing *e, const edit_change *c) {
    const char *called = object_words[c->kind];
    if (object_is_listed(c->kind)) called = arena_print(e->s->memory, "%s %s", called, c->key);
    if (!called) fault_list_memory(e->faults);
    return called ? called : "";
}

/* A required text is not empty; a key may be. */
static bool read_key(json_in *in, const json_path *at, json_t *one, const char **out) {
    const char *given = json_string_value(json_object_get(one, "key"));
    if (!given || *given) return json_in_text(in, at, one, "key", KEY_BYTES, true, out);
    *out = "";
    return true;
}

static void check_key(json_in *in, const json_path *at, const edit_change *c) {
    if (object_is_listed(c->kind) && !*c->key)
        json_in_fault(in, at, "key", "is empty; a %s has a name", object_words[c->kind]);
    else if (!object_is_listed(c->kind) && *c->key)
        json_in_fault(in, at, "key", "is \"%.40s\"; it must be \"\" for %s", c->key, object_words[c->kind]);
}

/* The object as it shall be. Its key is the one of the change: a new name is a removal and an addition. */
static void read_after(editing *e, edit_change *c, json_t *after) {
    json_in in = {c->called, e->faults, e->system, e->s->memory};
    size_t before = fault_list_count(e->faults);
    c->removes = json_is_null(after) && object_is_listed(c->kind);
    if (json_is_null(after) && c->kind == OBJECT_SITE)
        json_in_fault(&in, NULL, NULL, "cannot be removed");
    else if (!json_is_null(after)) /* folds without any are an empty list */
        object_read(&in, c->kind, after, &c->after);
    c->sound = fault_list_count(e->faults) == before;
    if (c->removes || !c->sound) return;
    const char *named = object_key(c->kind, &c->after);
    if (strcmp(named, c->key) == 0) return;
    json_in_fault(&in, NULL, NULL,
                  "the object is named \"%s\"; a new name is a removal of the old and an addition of the new",
                  named);
    c->sound = false;
}

static void read_change(editing *e, json_in *in, const json_path *at, json_t *one, edit_change *c) {
    static const char *const known[] = {"what", "key", "before", "after"};
    size_t before = fault_list_count(in->faults);
    int kind = 0;
    json_t *after = json_object_get(one, "after");
    json_in_only(in, at, one, known, COUNT_OF(known));
    bool told = json_in_word(in, at, one, "what", object_words, OBJECT_KINDS, true, &kind);
    c->kind = (object_kind)kind;
    told = read_key(in, at, one, &c->key) && told;
    if (told) check_key(in, at, c);
    if (!json_object_get(one, "before"))
        json_in_fault(in, at, "before", "is missing; it must be the hash of the object seen, or null");
    else if (!json_is_null(json_object_get(one, "before")))
        json_in_text(in, at, one, "before", HASH_TEXT - 1, true, &c->before);
    if (!after)
        json_in_fault(in, at, "after", "is missing; it must be the whole object, or null to remove it");
    if (fault_list_count(in->faults) != before) return;
    c->called = call(e, c);
    read_after(e, c, after);
}

/* No object twice: which of the two should stand? */
static void check_once(editing *e) {
    names *seen[OBJECT_KINDS] = {NULL};
    for (int k = 0; k < OBJECT_KINDS; k++) seen[k] = names_new();
    for (size_t i = 0; i < e->n; i++) {
        const edit_change *c = &e->changes[i];
        if (!c->called) continue; /* it has faults of its own */
        if (seen[c->kind] && names_find(seen[c->kind], c->key) != NAMES_NONE)
            fault_list_add(e->faults, "%s stands twice in this edit", c->called);
        else if (!seen[c->kind] || !names_put(seen[c->kind], c->key, i))
            fault_list_memory(e->faults);
    }
    for (int k = 0; k < OBJECT_KINDS; k++) names_free(seen[k]);
}

static void read_changes(editing *e, json_in *in, json_t *list) {
    static const json_path up = {NULL, "changes", 0};
    size_t n = json_array_size(list);
    if (n == 0 || n > EDIT_CHANGES_MOST) {
        json_in_fault(in, NULL, "changes", "has %zu entries; it must have 1 to %d", n, EDIT_CHANGES_MOST);
        return;
    }
    e->changes = arena_get(e->s->memory, n, sizeof *e->changes);
    if (!e->changes) {
        fault_list_memory(e->faults);
        return;
    }
    e->n = n;
    for (size_t i = 0; i < n; i++) {
        json_path here = {&up, NULL, i};
        json_t *one = json_array_get(list, i);
        if (json_in_is_object(in, &here, one)) read_change(e, in, &here, one, &e->changes[i]);
    }
    check_once(e);
}

void edit_read(editing *e, const ops_edit_request *request) {
    static const char *const known[] = {"changes"};
    json_in in = {"", e->faults, e->system, e->s->memory};
    json_t *root = json_in_parse(&in, request->json, request->length);
    if (root && json_in_is_object(&in, NULL, root)) {
        json_in_only(&in, NULL, root, known, COUNT_OF(known));
        json_t *list = json_in_array(&in, NULL, root, "changes", true);
        if (list) read_changes(e, &in, list);
    }
    json_decref(root);
}
