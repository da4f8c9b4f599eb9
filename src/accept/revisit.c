#include "accept/revisit.h"

#include "core/date.h"

#include <stdlib.h>
#include <string.h>

/* Days after the first proof, as the step "Prove it dry" asks (trade/acceptance.md 4, our default). */
static const int after_days[REVISITS] = {[REVISIT_24H] = 1, [REVISIT_7D] = 7, [REVISIT_28D] = 28};

typedef struct {
    const plan *p;
    arena *memory;
    long long today;
} looking;

/* Day of the first proof that keeps its class; false: none. */
static bool day_0(const proof_leak *leak, long long *day) {
    for (size_t i = 0; i < leak->n_tests; i++) {
        calendar_day at;
        if (!leak->tests[i].keeps || !date_read(leak->tests[i].r->at, &at)) continue;
        *day = date_days(at);
        return true;
    }
    return false;
}

/* The first test on that day or after it; tests rise in time. */
static const proof_test *look_from(const proof_leak *leak, long long day) {
    for (size_t i = 0; i < leak->n_tests; i++) {
        calendar_day at;
        if (date_read(leak->tests[i].r->at, &at) && date_days(at) >= day) return &leak->tests[i];
    }
    return NULL;
}

static bool set_date(const looking *l, revisit *v, long long day) {
    calendar_day at = date_of_days(day);
    v->on = arena_print(l->memory, "%04d-%02d-%02d", at.year, at.month, at.day);
    return v->on != NULL;
}

static void set_state(const looking *l, const proof_leak *leak, long long day, revisit *v) {
    const proof_test *done = look_from(leak, day);
    if (!done) {
        v->state = l->today < day ? REVISIT_WAITING : l->today == day ? REVISIT_DUE : REVISIT_OVERDUE;
        return;
    }
    v->state = REVISIT_DONE;
    v->done = done->r;
    v->dry = done->keeps;
    v->proves = done->keeps || done->seen == TIGHT_BROKEN;
}

static bool fill(const looking *l, const proof_leak *leak, long long first, revisit *v) {
    long long day = first + after_days[v->kind];
    v->mark = leak->mark;
    if (v->kind == REVISIT_HIGH_WATER && (!date_day(l->p->survey->site.high_water_on, &day) || day <= first))
        return true; /* not told, or that one was before the repair: it waits */
    if (!set_date(l, v, day)) return false;
    set_state(l, leak, day, v);
    return true;
}

typedef struct {
    revisit v;
    size_t leak;
} ordered;

static int by_date(const void *a, const void *b) {
    const ordered *x = a, *y = b;
    if (!x->v.on != !y->v.on) return x->v.on ? -1 : 1; /* without a date at the end */
    int order = x->v.on ? strcmp(x->v.on, y->v.on) : 0;
    if (order) return order;
    if (x->leak != y->leak) return x->leak < y->leak ? -1 : 1;
    return (int)x->v.kind - (int)y->v.kind;
}

status revisit_list(const plan *p, const proof_leak *proofs, const char *today, arena *memory, revisit **out,
                    size_t *n, fault *why) {
    looking l = {.p = p, .memory = memory};
    size_t used = 0;
    *out = NULL;
    *n = 0;
    if (!date_day(today, &l.today))
        return fault_set(why, E_INPUT, "the date is \"%.40s\"; it must be a day as YYYY-MM-DD",
                         today ? today : "");
    ordered *list = arena_get(memory, p->n_leaks, REVISITS * sizeof *list);
    if (!list) return fault_memory(why);
    for (size_t i = 0; i < p->n_leaks; i++) {
        long long first;
        for (int kind = 0; proofs[i].treated && day_0(&proofs[i], &first) && kind < REVISITS; kind++) {
            list[used] = (ordered){.v = {.kind = (revisit_kind)kind}, .leak = i};
            if (!fill(&l, &proofs[i], first, &list[used++].v)) return fault_memory(why);
        }
    }
    if (used) qsort(list, used, sizeof *list, by_date);
    *out = arena_get(memory, used, sizeof **out);
    if (!*out) return fault_memory(why);
    for (; *n < used; (*n)++) (*out)[*n] = list[*n].v;
    return OK;
}
