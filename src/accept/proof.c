#include "accept/proof.h"

#include "accept/current.h"
#include "accept/proof_parts.h"
#include "survey/names.h"

#include <string.h>

/* ---- treated ---- */

/* Steps after which something is in the wall that was not there before (plan.h has the codes). */
static bool is_placing(const char *step) {
    static const char *const steps[] = {"surface_seal", "inject", "strip",      "channel",
                                        "backer",       "seal",   "plug",       "stopped",
                                        "close_relief", "pack",   "first_coat", "last_coat"};
    for (size_t i = 0; step && i < sizeof steps / sizeof *steps; i++)
        if (strcmp(step, steps[i]) == 0) return true;
    return false;
}

static bool is_step(const record *r, const char *code) {
    return r->step && strcmp(r->step, code) == 0;
}

/* Curing and proving come after what is placed, and so does the end of a leak that has a design. */
static bool tells_work(const plan *p, size_t leak, const record *r) {
    if (r->what == RECORD_USED) return true;
    if (r->what == RECORD_START) return false;
    if (is_placing(r->step) || is_step(r, "cure")) return true;
    return design_is_priced(&p->designs[leak]) && (!r->step || is_step(r, "prove"));
}

static bool take_work(const proving *m, size_t leak, const record *r) {
    proof_leak *out = &m->leaks[leak];
    bool is_end = is_step(r, "prove") || (!r->step && r->what != RECORD_USED); /* told, not work itself */
    bool placing = r->what != RECORD_USED && is_placing(r->step);
    if (!tells_work(m->p, leak, r)) return true;
    const char *on = arena_print(m->memory, "%.10s", r->at);
    out->treated = true;
    if (placing) m->placed_at[leak] = r->at;
    if (placing && !out->placed_on) out->placed_on = on;
    if (!is_end || !out->treated_on) out->treated_on = on;
    return on != NULL;
}

/* ---- all leaks ---- */

enum {
    WORK = RECORD_BIT(RECORD_START) | RECORD_BIT(RECORD_FINISH) | RECORD_BIT(RECORD_HOLD) |
           RECORD_BIT(RECORD_USED)
};

static status find_work(const proving *m, const names *leaks, const record *records, size_t n, fault *why) {
    const record **work;
    size_t n_work;
    status code = current_records(records, n, WORK, m->memory, &work, &n_work, why);
    for (size_t i = 0; code == OK && i < n_work; i++) {
        size_t leak = names_find(leaks, work[i]->mark);
        if (leak != NAMES_NONE && !take_work(m, leak, work[i])) code = fault_memory(why);
    }
    return code;
}

static status find_tests(const proving *m, const names *leaks, const record *records, size_t n, fault *why) {
    const record **tests;
    size_t n_tests;
    status code = current_records(records, n, RECORD_BIT(RECORD_PROOF), m->memory, &tests, &n_tests, why);
    for (size_t i = 0; code == OK && i < n_tests; i++) {
        size_t leak = names_find(leaks, tests[i]->mark);
        if (leak == NAMES_NONE) continue;
        proof_leak *of = &m->leaks[leak];
        proof_test *list = arena_push(m->memory, of->tests, &of->n_tests, sizeof *list);
        if (!list) return fault_memory(why);
        of->tests = list;
        list[of->n_tests - 1].r = tests[i];
        proof_class_test(m, leak, &list[of->n_tests - 1]);
        if (!list[of->n_tests - 1].sentence) return fault_memory(why);
    }
    return code;
}

static status judge(const proving *m, const names *leaks, const record *records, size_t n, fault *why) {
    status code = find_work(m, leaks, records, n, why);
    if (code == OK) code = find_tests(m, leaks, records, n, why);
    for (size_t i = 0; code == OK && i < m->p->n_leaks; i++) code = proof_measure(m, i, why);
    if (code == OK) code = proof_find_moved(m, why);
    for (size_t i = 0; code == OK && i < m->p->n_leaks; i++) {
        m->leaks[i].sentence = proof_say_leak(m, i);
        if (!m->leaks[i].sentence) code = fault_memory(why);
    }
    return code;
}

status proof_judge(const plan *p, const record *records, size_t n, arena *memory, proof_leak **out,
                   fault *why) {
    plan view = *p;
    view.memory = memory;
    proving m = {.p = &view, .memory = memory, .class_id = proof_class(p->survey)};
    *out = m.leaks = arena_get(memory, p->n_leaks, sizeof *m.leaks);
    m.placed_at = arena_get(memory, p->n_leaks, sizeof *m.placed_at);
    names *leaks = names_new();
    bool good = m.leaks && m.placed_at && leaks;
    for (size_t i = 0; good && i < p->n_leaks; i++) {
        const survey_defect *d = p->leaks[i].defect;
        m.leaks[i].mark = d->mark;
        m.leaks[i].is_line = survey_is_line(d->kind);
        m.leaks[i].reached = "";
        good = names_put(leaks, d->mark, i);
    }
    status code = good ? judge(&m, leaks, records, n, why) : fault_memory(why);
    names_free(leaks);
    return code;
}
