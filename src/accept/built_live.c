/* Which records count: corrections put in the place of what they correct, then all filed by leak and time. */
#include "accept/built_parts.h"

#include "core/date.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define UNSEEN (SIZE_MAX - 1)
#define WALKING (SIZE_MAX - 2)

/* A record under its corrections. */
typedef struct {
    record *r;        /* NULL: none */
    const char *back; /* NULL, or the sentence that it was taken back */
    const record *by; /* the last correction */
} standing;

typedef struct {
    building *b;
    names *ids;
    size_t *
        root; /* per record: what it corrects in the end; itself; NAMES_NONE: a record that is not here, or itself */
    standing *standing; /* per record */
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

/* Words of a correction stand under the name of who told the record: somebody else's say whose they are. */
static bool name_words(building *b, record *r, const record *by) {
    if (!by->text || !by->by || (r->by && strcmp(r->by, by->by) == 0)) return true;
    r->text = arena_print(b->memory, "%s (corrected by %s)", by->text, by->by);
    return r->text != NULL;
}

/* Acts and amounts corrected by words alone are taken back; the words of notes, photos and deviations are what they say. */
static bool correct(building *b, standing *s, const record *by) {
    record *r = s->r;
    bool words = r->what > RECORD_USED;
    const char *said = r->text;
    bool given = record_lay_over(r, by);
    r->seq = by->seq;
    s->back = NULL;
    if (given || (words && by->text)) return name_words(b, r, by);
    r->text = said; /* those of the correction stand in its note */
    s->back = arena_print(b->memory, "%s of %.10s %.5s UTC taken back%s%s", record_what_words[r->what], r->at,
                          r->at + 11, by->text ? ": " : "", by->text ? by->text : "");
    return s->back != NULL;
}

static status correct_all(correcting *c) {
    building *b = c->b;
    for (size_t i = 0; i < b->in->n; i++) {
        size_t root = c->root[i];
        if (root == NAMES_NONE || root == i) continue;
        standing *s = &c->standing[root];
        if (!s->r) {
            s->r = arena_get(b->memory, 1, sizeof *s->r);
            if (!s->r) return fault_memory(b->why);
            *s->r = b->in->records[root];
        }
        s->by = &b->in->records[i];
        if (!correct(b, s, s->by)) return fault_memory(b->why);
    }
    return OK;
}

/* A note in place of a record; NULL without memory. */
static const record *note_of(building *b, const record *r, const char *sentence) {
    record *note = arena_get(b->memory, 1, sizeof *note);
    if (!note || !sentence) return NULL;
    *note = (record){.id = r->id,
                     .mark = r->mark,
                     .what = RECORD_NOTE,
                     .step = r->step,
                     .at = r->at,
                     .by = r->by,
                     .text = sentence,
                     .seq = r->seq};
    return note;
}

/* The record that counts for this place: NULL with OK when none does. */
static status live_at(correcting *c, size_t at, const record **out) {
    building *b = c->b;
    const record *r = &b->in->records[at];
    const standing *s = &c->standing[at];
    *out = NULL;
    if (r->what == RECORD_SETTLED) return OK;
    if (r->what != RECORD_CORRECTION)
        *out = !s->r ? r : s->back ? note_of(b, s->by, s->back) : s->r;
    else if (c->root[at] != NAMES_NONE)
        return OK;
    else
        *out = note_of(b, r,
                       arena_print(b->memory, "correction of a record that is not in this job%s%s",
                                   r->text ? ": " : "", r->text ? r->text : ""));
    return *out ? OK : fault_memory(b->why);
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
                    arena_get(b->memory, n, sizeof *c.standing)};
    b->filed = arena_get(b->memory, n, sizeof *b->filed);
    bool good = c.ids && c.root && c.standing && b->filed;
    for (size_t i = 0; good && i < n; i++) {
        c.root[i] = UNSEEN;
        good = names_put(c.ids, b->in->records[i].id, i);
    }
    for (size_t i = 0; good && i < n; i++) find_root(&c, i);
    status code = good ? correct_all(&c) : fault_memory(b->why);
    if (code == OK) code = file_all(&c);
    names_free(c.ids);
    return code;
}
