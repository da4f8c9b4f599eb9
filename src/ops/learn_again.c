/* Call-backs: a leak at which a step that was finished is done again on a later day than a proof that kept, or whose proof was broken
 * after the job was handed over. */
#include "accept/current.h"
#include "ops/learn_parts.h"

#include <string.h>

static bool is_work(const char *step) {
    static const char *const not [] = {"answer",  "gauge",   "watch", "scan",
                                       "measure", "stopped", "cure",  "prove"};
    for (size_t i = 0; step && i < sizeof not / sizeof *not ; i++)
        if (strcmp(step, not [i]) == 0) return false;
    return step != NULL;
}

/* The first test that kept its class at enough water, whatever came after; NULL: none. */
static const char *first_kept(const proof_leak *proof) {
    for (size_t i = 0; i < proof->n_tests; i++)
        if (proof->tests[i].seen == TIGHT_KEPT && !proof->tests[i].low_water) return proof->tests[i].r->at;
    return NULL;
}

static bool broken_after(const proof_leak *proof, const char *moment) {
    for (size_t i = 0; i < proof->n_tests; i++)
        if (proof->tests[i].seen == TIGHT_BROKEN && strcmp(proof->tests[i].r->at, moment) > 0) return true;
    return false;
}

static bool same_step(const record *a, const record *b) {
    return a->step && b->step && strcmp(a->step, b->step) == 0 && strcmp(a->mark, b->mark) == 0;
}

/* Times are of one length: the first ten letters are the day. */
static bool is_later_day(const char *at, const char *than) {
    return strncmp(at, than, 10) > 0;
}

static bool worked_again(const record *const *acts, size_t n, const char *mark, const char *kept) {
    for (size_t i = 0; i < n; i++) {
        if (acts[i]->what != RECORD_START && acts[i]->what != RECORD_FINISH) continue;
        if (strcmp(acts[i]->mark, mark) != 0 || !is_work(acts[i]->step) || !is_later_day(acts[i]->at, kept))
            continue;
        for (size_t k = 0; k < n; k++)
            if (acts[k]->what == RECORD_FINISH && same_step(acts[k], acts[i]) &&
                strcmp(acts[k]->at, kept) <= 0)
                return true;
    }
    return false;
}

status learn_tell_again(learn_reading *r) {
    const record **acts;
    size_t n;
    r->again = arena_get(r->scratch, r->p->n_leaks, sizeof *r->again);
    if (!r->again) return fault_memory(r->why);
    status code =
        current_records(r->records, r->n_records, RECORD_BIT(RECORD_START) | RECORD_BIT(RECORD_FINISH),
                        r->scratch, &acts, &n, r->why);
    for (size_t i = 0; code == OK && i < r->p->n_leaks; i++) {
        const proof_leak *proof = &r->proofs[i];
        if (!design_is_priced(&r->p->designs[i]) || !proof->n_tests) continue;
        const char *kept = first_kept(proof);
        learn_fact about = learn_about(r, i);
        r->again[i] = kept && worked_again(acts, n, proof->mark, kept);
        const learn_event event = {"call_back_percent", 0, about.kind, about.access,
                                   r->again[i] || (r->handed_over && broken_after(proof, r->handed_over))};
        code = learn_add_event(r, &event);
    }
    return code;
}
