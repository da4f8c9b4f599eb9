/* handover_proof.c - how it was proved: each test, the flow before and after, and the verdicts of all leaks. */
#include "report/handover_parts.h"

#include <string.h>

static const table_column test_columns[] = {
    {"", 0.15, ALIGN_LEFT, false},           {"Stretch", 0.13, ALIGN_LEFT, false},
    {"Water then", 0.15, ALIGN_LEFT, false}, {"Found", 0.20, ALIGN_LEFT, false},
    {"Says", 0.26, ALIGN_LEFT, false},       {"From", 0.11, ALIGN_LEFT, true}};
static const table_column flow_columns[] = {
    {"", 0.19, ALIGN_LEFT, false}, {"", 0.68, ALIGN_LEFT, false}, {"From", 0.13, ALIGN_LEFT, true}};
static const table_column verdict_columns[] = {
    {"Leak", 0.10, ALIGN_LEFT, false},    {"Where, how treated", 0.34, ALIGN_LEFT, false},
    {"Verdict", 0.13, ALIGN_LEFT, false}, {"Class reached", 0.22, ALIGN_LEFT, false},
    {"Saved", 0.14, ALIGN_RIGHT, false},  {"Page", 0.07, ALIGN_RIGHT, false}};

static const char *stretch(const handover *h, const proof_test *t) {
    if (!t->r->from_m.known && !t->r->to_m.known) return "whole";
    return say_print(h->words, "%s to %s", say_length(h->words, t->from_m), say_length(h->words, t->to_m));
}

static const char *water(const handover *h, const proof_test *t) {
    const char *then = t->level_m.known ? say_level(h->words, t->level_m.v) : "not recorded";
    const char *needed = t->level_needed_m.known
                             ? say_print(h->words, "\nneeded %s", say_level(h->words, t->level_needed_m.v))
                             : "";
    return say_print(h->words, "%s%s%s", then, needed, t->low_water ? "\ntoo low: proves nothing" : "");
}

static const char *found(const handover *h, const record *r) {
    say *w = h->words;
    const char *all = r->hand ? say_print(w, "hand %s", r->hand) : "";
    if (r->blotter) all = handover_join(h, all, ", ", say_print(w, "blotter %s", r->blotter));
    if (r->drips_per_min.known)
        all = handover_join(h, all, ", ",
                            say_print(w, "%s drips a minute", say_plain(w, r->drips_per_min.v, 1)));
    if (r->volume_m3.known && r->time_s.known)
        all = handover_join(
            h, all, ", ",
            say_print(w, "%s in %s", say_value(w, UNITS_VOLUME, r->volume_m3.v), say_time(w, r->time_s.v)));
    return r->by ? say_print(w, "%s\n%s", all, r->by) : all;
}

static const char *says(const handover *h, const proof_test *t) {
    const char *class_of = t->reached != TIGHT_NOT_AGREED ? tightness_name(t->reached) : "no class";
    return say_print(h->words, "%s: %s\n%s",
                     t->keeps       ? "keeps"
                     : t->low_water ? "not proven"
                                    : "fails",
                     class_of, t->sentence ? t->sentence : "");
}

handover_rows handover_proved(const handover *h, size_t leak) {
    const proof_leak *p = &h->view->accept->leaks[leak];
    handover_rows rows = {.title = "How proved", .columns = test_columns, .n_columns = 6};
    for (size_t i = 0; i < p->n_tests; i++) {
        const proof_test *t = &p->tests[i];
        handover_put(h, &rows,
                     (const char *[]){handover_time(h, t->r->at), stretch(h, t), water(h, t), found(h, t->r),
                                      says(h, t), handover_from_one(h, t->r->seq, BY_CLASS)},
                     ROW_PLAIN);
    }
    if (rows.n == 0 && p->treated)
        handover_put(h, &rows, (const char *[]){"not tested", "", "", "", "", ""}, ROW_PLAIN);
    return rows;
}

/* Tests in which water was collected. */
static const char *collected(const handover *h, const proof_leak *p) {
    long long *seqs = arena_get(h->words->memory, p->n_tests + 1, sizeof *seqs);
    size_t n = 0;
    if (!seqs) {
        h->words->failed = true;
        return "";
    }
    for (size_t i = 0; i < p->n_tests; i++) seqs[n++] = p->tests[i].r->seq;
    return handover_from(h, seqs, n, BY_SAVED);
}

static const char *metres(const handover *h, const proof_leak *p) {
    say *w = h->words;
    if (!(h->view->plan->leaks[(size_t)(p - h->view->accept->leaks)].length_m > 0)) return NULL;
    return say_print(w, "%s treated: %s kept, %s broken, %s not proven", say_length(w, p->length_m),
                     say_length(w, p->kept_m), say_length(w, p->broken_m), say_length(w, p->not_proven_m));
}

handover_rows handover_saved(const handover *h, size_t leak) {
    const proof_leak *p = &h->view->accept->leaks[leak];
    say *w = h->words;
    handover_rows rows = {.title = "Result", .columns = flow_columns, .n_columns = 3};
    const char *length = metres(h, p);
    bool expected = p->before_m3_s.known && h->view->plan->leaks[leak].basis != FLOW_MEASURED;
    if (!p->treated) return rows;
    if (length)
        handover_put(h, &rows, (const char *[]){"Treated length", length, handover_said(h, "", BY_STRETCH)},
                     ROW_PLAIN);
    if (p->reached && *p->reached)
        handover_put(h, &rows, (const char *[]){"Class reached", p->reached, handover_said(h, "", BY_CLASS)},
                     ROW_PLAIN);
    if (p->before_m3_s.known || p->after_m3_s.known)
        handover_put(
            h, &rows,
            (const char *[]){
                "Flow",
                say_print(w, "before %s%s, after %s%s%s", say_maybe(w, UNITS_FLOW, p->before_m3_s),
                          expected ? " (expected, not measured)" : "",
                          say_maybe(w, UNITS_FLOW, p->after_m3_s), p->saved_m3_s.known ? ": saved " : "",
                          p->saved_m3_s.known ? say_value(w, UNITS_FLOW, p->saved_m3_s.v) : ""),
                handover_join(h, collected(h, p), " ", expected ? "P" : "S")},
            ROW_PLAIN);
    return rows;
}

handover_rows handover_verdicts(const handover *h, const int *pages) {
    const plan *p = h->view->plan;
    handover_rows rows = {.columns = verdict_columns, .n_columns = 6};
    for (size_t i = 0; i < p->n_leaks; i++) {
        const proof_leak *l = &h->view->accept->leaks[i];
        const char *where = say_print(h->words, "%s, %s: %s", say_kind_words[p->leaks[i].defect->kind],
                                      say_faces(h->words, p->survey, p->leaks[i].defect),
                                      method_words[p->designs[i].method.name]);
        handover_put(h, &rows,
                     (const char *[]){l->mark, where, proof_verdict_words[l->verdict], l->reached,
                                      l->saved_m3_s.known
                                          ? say_print(h->words, "%s%s", l->before_measured ? "" : "~",
                                                      say_value(h->words, UNITS_FLOW, l->saved_m3_s.v))
                                          : "",
                                      pages[i] ? say_print(h->words, "%d", pages[i]) : ""},
                     l->verdict == PROOF_BROKEN ? ROW_TOTAL : ROW_PLAIN);
    }
    return rows;
}

static bool same_rest(const proof_leak *a, const proof_leak *b) {
    const char *said = a->sentence ? a->sentence : "", *other = b->sentence ? b->sentence : "";
    return a->verdict == b->verdict && strcmp(said, other) == 0;
}

static bool told_before(const accept_job *a, size_t at) {
    for (size_t i = 0; i < at; i++)
        if (same_rest(&a->leaks[i], &a->leaks[at])) return true;
    return false;
}

/* Leaks of which the same is to be said stand in one row; so many that a row has room for. */
handover_rows handover_remaining(const handover *h) {
    static const table_column columns[] = {{"", 0.12, ALIGN_LEFT, false},
                                           {"Why", 0.37, ALIGN_LEFT, false},
                                           {"Leaks", 0.44, ALIGN_LEFT, false},
                                           {"From", 0.07, ALIGN_LEFT, true}};
    const accept_job *a = h->view->accept;
    handover_rows rows = {.title = "Verdict", .columns = columns, .n_columns = 4};
    for (size_t i = 0; i < a->n_leaks; i++) {
        const proof_leak *l = &a->leaks[i];
        if (l->verdict == PROOF_KEPT || told_before(a, i)) continue;
        for (size_t k = i; k < a->n_leaks;) {
            const char *marks = "";
            for (size_t n = 0; k < a->n_leaks && n < HANDOVER_MARKS; k++)
                if (same_rest(l, &a->leaks[k]))
                    marks = handover_join(h, marks, n++ ? ", " : "", a->leaks[k].mark);
            if (!*marks) continue;
            handover_put(h, &rows,
                         (const char *[]){proof_verdict_words[l->verdict], l->sentence, marks,
                                          handover_said(h, "", BY_VERDICT)},
                         ROW_PLAIN);
        }
    }
    return rows;
}
