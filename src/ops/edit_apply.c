/* An edit on the survey in memory: what stands against it, and its effect. */
#include "ops/edit_parts.h"

#include "plan/plan.h"
#include "survey/catalogue.h"
#include "survey/check.h"

#include <string.h>

/* ---- what was seen, against what is there ---- */

static size_t place_of(const editing *e, const edit_change *c) {
    return object_is_listed(c->kind) ? names_find(e->places[c->kind], c->key) : 0;
}

static char *hash_at(const editing *e, object_kind kind, size_t at, char into[HASH_TEXT]) {
    object_any object = object_get(e->s, kind, at);
    return object_hash(kind, e->system, &object, into);
}

/* An empty list of folds may have been seen as none. */
static bool saw(const editing *e, const edit_change *c, const char *now) {
    if (!c->before) return c->at == NAMES_NONE || (c->kind == OBJECT_FOLDS && e->s->n_folds == 0);
    return c->at != NAMES_NONE && strcmp(c->before, now) == 0;
}

/* *fits: the change may be made, or is made already. False without memory. */
static bool compare_one(const editing *e, edit_change *c, bool *fits) {
    char now[HASH_TEXT] = "", after[HASH_TEXT] = "";
    c->at = place_of(e, c);
    if (c->at != NAMES_NONE && !hash_at(e, c->kind, c->at, now)) return false;
    if (c->removes)
        c->already = c->at == NAMES_NONE;
    else if (c->sound) {
        if (!object_hash(c->kind, e->system, &c->after, after)) return false;
        c->already = strcmp(now, after) == 0;
    }
    *fits = c->already || saw(e, c, now);
    return true;
}

status edit_compare(editing *e, const edit_change **which, fault *why) {
    for (size_t i = 0; i < e->n; i++) {
        bool fits = true;
        edit_change *c = &e->changes[i];
        if (!c->called) continue; /* it cannot be made out */
        if (!compare_one(e, c, &fits)) return fault_memory(why);
        if (fits) continue;
        *which = c;
        return fault_set(why, E_STATE, "%s has been %s meanwhile; nothing was changed", c->called,
                         c->at == NAMES_NONE ? "removed"
                         : c->before         ? "changed"
                                             : "added");
    }
    return OK;
}

/* ---- the effect ---- */

/* What named people decided about a leak that is gone would stand against nothing. */
static void drop_answers(survey *s, const char *mark) {
    size_t kept = 0;
    for (size_t i = 0; i < s->n_answers; i++)
        if (strcmp(s->answers[i].mark, mark) != 0) s->answers[kept++] = s->answers[i];
    s->n_answers = kept;
}

/* Places that removals have left, by kind, in their order. */
typedef struct {
    size_t *at, n, used;
} free_places;

static bool remove_one(editing *e, const edit_change *c, free_places *places) {
    static const object_any gone = {0}; /* without a key */
    object_put(e->s, c->kind, c->at, &gone);
    if (c->kind == OBJECT_DEFECT) drop_answers(e->s, c->key);
    size_t *more = arena_push(e->s->memory, places->at, &places->n, sizeof *more);
    if (!more) return false;
    more[places->n - 1] = c->at;
    places->at = more;
    return true;
}

static bool put_one(editing *e, const edit_change *c, free_places *places) {
    size_t at = c->at;
    if (at == NAMES_NONE && places->used == places->n) return object_append(e->s, c->kind, &c->after);
    if (at == NAMES_NONE) at = places->at[places->used++];
    object_put(e->s, c->kind, at, &c->after);
    return true;
}

bool edit_apply(editing *e) {
    free_places places[OBJECT_KINDS] = {{0}};
    bool good = true;
    for (size_t i = 0; i < e->n && good; i++)
        if (e->changes[i].removes && !e->changes[i].already)
            good = remove_one(e, &e->changes[i], &places[e->changes[i].kind]);
    for (size_t i = 0; i < e->n && good; i++)
        if (!e->changes[i].removes && !e->changes[i].already)
            good = put_one(e, &e->changes[i], &places[e->changes[i].kind]);
    for (object_kind k = 0; k < OBJECT_KINDS; k++)
        if (object_is_listed(k)) object_close_up(e->s, k);
    if (!good) fault_list_memory(e->faults);
    return good;
}

/* ---- may it stay like this ---- */

/* Materials, rates and prices of the catalogue stand in every job: what is taken out comes back at the next load. */
static status check_catalogue(editing *e, fault *why) {
    survey *whole = NULL;
    status code = OK;
    for (size_t i = 0; i < e->n && code == OK; i++) {
        const edit_change *c = &e->changes[i];
        if (!c->removes || c->already || c->kind < OBJECT_MATERIAL) continue;
        if (!whole) whole = survey_new();
        code = whole ? survey_catalogue_fill(whole, why) : fault_memory(why);
        for (size_t k = 0; code == OK && k < object_count(whole, c->kind); k++) {
            object_any has = object_get(whole, c->kind, k);
            if (strcmp(object_key(c->kind, &has), c->key) == 0)
                fault_list_add(e->faults, "%s cannot be removed: every job has it; change its values instead",
                               c->called);
        }
    }
    survey_free(whole);
    return code;
}

static void check_roles(editing *e) {
    for (survey_role role = 0; role < ROLE_COUNT; role++)
        if (!survey_find_role(e->s, role))
            fault_list_add(e->faults, "materials: none has the role %s; a job has at least one of each role",
                           survey_role_words[role]);
}

/* Site, materials, rates and prices bear on every leak. */
static bool bears_on_all(const editing *e) {
    for (size_t i = 0; i < e->n; i++)
        if (e->changes[i].kind == OBJECT_SITE || e->changes[i].kind >= OBJECT_MATERIAL) return true;
    return false;
}

static bool bears_on(const survey_defect *d, const names *marks, const names *faces) {
    bool found = names_find(marks, d->mark) != NAMES_NONE;
    for (size_t i = 0; i < d->n_parts && !found; i++)
        found = names_find(faces, d->parts[i].face) != NAMES_NONE;
    return found;
}

/* The job with the leaks on which the edit bears. False without memory. */
static bool narrow(const editing *e, survey *out) {
    *out = *e->s;
    if (bears_on_all(e)) return true;
    names *marks = names_new(), *faces = names_new();
    out->n_defects = 0;
    out->defects = arena_get(e->s->memory, e->s->n_defects, sizeof *out->defects);
    bool good = marks && faces && out->defects;
    for (size_t i = 0; i < e->n && good; i++)
        if (e->changes[i].kind != OBJECT_TANK) /* no leak's concern */
            good = names_put(e->changes[i].kind == OBJECT_FACE ? faces : marks, e->changes[i].key, i);
    for (size_t i = 0; i < e->s->n_defects && good; i++)
        if (bears_on(&e->s->defects[i], marks, faces)) out->defects[out->n_defects++] = e->s->defects[i];
    names_free(marks);
    names_free(faces);
    return good;
}

/* Planned once without crack planes and thrown away: the sentence of the stage that refuses is the fault. */
static status check_plan(editing *e, fault *why) {
    const plan_options options = {.threads = 1}; /* crack planes off */
    survey narrowed;
    plan *made = NULL;
    fault refused = {0};
    if (!narrow(e, &narrowed)) return fault_memory(why);
    if (narrowed.n_defects == 0) return OK;
    status code = plan_make(&narrowed, &options, &made, &refused);
    plan_free(made);
    if (code == E_INPUT || code == E_STATE) {
        fault_list_add(e->faults, "the job could not be planned any more: %s", refused.text);
        return OK;
    }
    return code == OK ? OK : fault_set(why, code, "%s", refused.text);
}

status edit_check(editing *e, fault *why) {
    survey *s = e->s;
    /* A person who edits has no file for a fault to lie in. */
    for (size_t i = 0; i < s->n_faces; i++) s->faces[i].origin = NULL;
    for (size_t i = 0; i < s->n_folds; i++) s->folds[i].origin = NULL;
    for (size_t i = 0; i < s->n_defects; i++) s->defects[i].origin = NULL;
    for (size_t i = 0; i < s->n_materials; i++) s->materials[i].origin = NULL;
    for (size_t i = 0; i < s->n_tanks; i++) s->tanks[i].origin = NULL;
    survey_check(s, e->faults);
    status code = check_catalogue(e, why);
    check_roles(e);
    return code == OK && fault_list_count(e->faults) == 0 ? check_plan(e, why) : code;
}
