#include "accept/current.h"

#include "survey/names.h"

#include <stdlib.h>
#include <string.h>

typedef struct {
    record r;
    bool away;
} slot;

static bool looked(const record *r) {
    return r->hand || r->blotter || r->wetness || r->drips_per_min.known || r->volume_m3.known ||
           r->time_s.known;
}

static void correct(slot *s, const record *by) {
    if (looked(by)) {
        s->r.hand = s->r.blotter = s->r.wetness = NULL;
        s->r.drips_per_min.known = s->r.volume_m3.known = s->r.time_s.known = false;
    }
    s->away = !record_lay_over(&s->r, by);
    s->r.seq = by->seq;
}

/* Times are all written in one form: their order is that of the texts. */
static int by_time(const void *a, const void *b) {
    const record *x = *(const record *const *)a, *y = *(const record *const *)b;
    int order = strcmp(x->at, y->at);
    return order ? order : (x->seq > y->seq) - (x->seq < y->seq);
}

static bool take(names *ids, const record *r, unsigned whats, slot *slots, size_t *used) {
    if (r->what == RECORD_CORRECTION) {
        size_t at = r->about ? names_find(ids, r->about) : NAMES_NONE;
        if (at == NAMES_NONE) return true;
        correct(&slots[at], r);
        return !r->id || names_put(ids, r->id, at);
    }
    if (!(RECORD_BIT(r->what) & whats) || !r->at || !r->mark) return true;
    slots[*used].r = *r;
    size_t at = (*used)++;
    return !r->id || names_put(ids, r->id, at);
}

status current_records(const record *records, size_t n, unsigned whats, arena *memory, const record ***out,
                       size_t *n_out, fault *why) {
    size_t most = 0, used = 0;
    *out = NULL;
    *n_out = 0;
    for (size_t i = 0; i < n; i++) most += (RECORD_BIT(records[i].what) & whats) != 0;
    slot *slots = arena_get(memory, most, sizeof *slots);
    const record **list = arena_get(memory, most, sizeof *list);
    names *ids = names_new();
    bool good = slots && list && ids;
    for (size_t i = 0; good && i < n; i++) good = take(ids, &records[i], whats, slots, &used);
    names_free(ids);
    if (!good) return fault_memory(why);
    for (size_t i = 0; i < used; i++)
        if (!slots[i].away) list[(*n_out)++] = &slots[i].r;
    if (*n_out) qsort(list, *n_out, sizeof *list, by_time);
    *out = list;
    return OK;
}
