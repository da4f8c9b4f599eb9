/* Which records count: corrections put in the place of what they correct, then all filed by leak and time. */
#include "accept/built_parts.h"

#include "core/date.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define UNSEEN (SIZE_MAX - 1)
#define WALKING (SIZE_MAX - 2)

typedef struct {
    building *b;
    names *ids;
    size_t *
        root; /* per record: what it corrects in the end; itself; NAMES_NONE: a record that is not here, or itself */
    size_t *latest; /* per record: the newest correction; NAMES_NONE */
} correcting;

static size_t about(const correcting *c, size_t at) {
    const record *r = &c->b->in->records[at];
    return r->about ? names_find(c->ids, r->about) : NAMES_NONE;
}

/* Follow corrections of corrections once, and remember the end for all on the way. */
static void find_root(correcting *c, size_t from) {
    const record *records = c->b->in->records;
    size_t at = from, end = NAMES_NONE;
    while (at != NAMES_NONE && c->root[at] == UNSEEN) {
        bool corrects = records[at].what == RECORD_CORRECTION;
        c->root[at] = corrects ? WALKING : at;
        if (corrects) at = about(c, at);
    }
    if (at != NAMES_NONE && c->root[at] != WALKING) end = c->root[at];
    for (at = from; at != NAMES_NONE && c->root[at] == WALKING; at = about(c, at)) c->root[at] = end;
}

static bool is_act(record_what what) {
    return what == RECORD_START || what == RECORD_FINISH || what == RECORD_HOLD;
}

static bool has_value(const record *r) {
    for (size_t i = 0; i < record_fields.n; i++) {
        const survey_field *f = &record_fields.fields[i];
        maybe value;
        if (f->kind != FIELD_MAYBE) continue;
        memcpy(&value, (const char *)r + f->offset, sizeof value);
        if (value.known) return true;
    }
    return false;
}

/* NULL without memory. */
static const record *put_in_place(building *b, const record *old, const record *new) {
    record *r = arena_get(b->memory, 1, sizeof *r);
    if (!r) return NULL;
    bool back = is_act(old->what) && !has_value(new);
    *r = *new;
    r->what = back ? RECORD_NOTE : old->what;
    if (!back) r->at = old->at;
    if (!r->step) r->step = old->step;
    if (!r->material) r->material = old->material;
    if (!r->photo) r->photo = old->photo;
    if (!r->wetness) r->wetness = old->wetness;
    if (is_act(old->what) && !back && old->by) r->by = old->by;
    if (back) {
        r->text = arena_print(b->memory, "%s of %.10s %.5s UTC taken back%s%s", record_what_words[old->what],
                              old->at, old->at + 11, new->text ? ": " : "", new->text ? new->text : "");
        if (!r->text) return NULL;
    }
    return r;
}

/* The record that counts for this place: NULL with OK when none does. */
static status live_at(correcting *c, size_t at, const record **out) {
    building *b = c->b;
    const record *r = &b->in->records[at];
    *out = NULL;
    if (r->what == RECORD_SETTLED) return OK;
    if (r->what != RECORD_CORRECTION) {
        size_t by = c->latest[at];
        *out = by == NAMES_NONE ? r : put_in_place(b, r, &b->in->records[by]);
        return *out ? OK : fault_memory(b->why);
    }
    if (c->root[at] != NAMES_NONE) return OK;
    record *lost = arena_get(b->memory, 1, sizeof *lost);
    if (!lost) return fault_memory(b->why);
    *lost = (record){.id = r->id,
                     .mark = r->mark,
                     .what = RECORD_NOTE,
                     .step = r->step,
                     .at = r->at,
                     .by = r->by,
                     .seq = r->seq};
    lost->text = arena_print(b->memory, "correction of a record that is not in this job%s%s",
                             r->text ? ": " : "", r->text ? r->text : "");
    *out = lost;
    return lost->text ? OK : fault_memory(b->why);
}

static int by_place(const void *left, const void *right) {
    const built_filed *a = left, *b = right;
    if (a->leak != b->leak) return a->leak < b->leak ? -1 : 1;
    if (a->seconds != b->seconds) return a->seconds < b->seconds ? -1 : 1;
    return (a->r->seq > b->r->seq) - (a->r->seq < b->r->seq);
}

static status file_all(correcting *c) {
    building *b = c->b;
    status code = OK;
    for (size_t i = 0; code == OK && i < b->in->n; i++) {
        const record *r;
        code = live_at(c, i, &r);
        if (code != OK || !r) continue;
        size_t leak = r->mark ? names_find(b->marks, r->mark) : NAMES_NONE;
        built_filed *one = &b->filed[b->n_filed];
        *one = (built_filed){leak == NAMES_NONE ? b->p->n_leaks : leak, 0, r};
        if (record_time(r->at, &one->seconds)) b->n_filed++;
    }
    if (b->n_filed > 1) qsort(b->filed, b->n_filed, sizeof *b->filed, by_place);
    return code;
}

int built_step_of(const char *step) {
    for (int i = 0; step && i < RECORD_STEPS; i++)
        if (strcmp(record_step_words[i], step) == 0) return i;
    return BUILT_NO_STEP;
}

long long built_day(const building *b, long long seconds) {
    long long local = seconds + b->in->utc_offset_min * 60LL;
    return local >= 0 ? local / 86400 : -((86399 - local) / 86400);
}

status built_live(building *b) {
    size_t n = b->in->n;
    correcting c = {b, names_new(), arena_get(b->memory, n, sizeof *c.root),
                    arena_get(b->memory, n, sizeof *c.latest)};
    b->filed = arena_get(b->memory, n, sizeof *b->filed);
    bool good = c.ids && c.root && c.latest && b->filed;
    for (size_t i = 0; good && i < n; i++) {
        c.root[i] = UNSEEN;
        c.latest[i] = NAMES_NONE;
        good = names_put(c.ids, b->in->records[i].id, i);
    }
    for (size_t i = 0; good && i < n; i++) {
        find_root(&c, i);
        if (c.root[i] != NAMES_NONE && c.root[i] != i) c.latest[c.root[i]] = i;
    }
    status code = good ? file_all(&c) : fault_memory(b->why);
    names_free(c.ids);
    return code;
}
