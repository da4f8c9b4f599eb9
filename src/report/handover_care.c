/* handover_care.c - what comes after: dates of the looks, care and who does it, cautions, warranty. */
#include "report/handover_parts.h"

#include <string.h>

static const table_column look_columns[] = {{"", 0.15, ALIGN_LEFT, false},
                                            {"Look", 0.12, ALIGN_LEFT, false},
                                            {"State", 0.12, ALIGN_LEFT, false},
                                            {"Leaks", 0.47, ALIGN_LEFT, false},
                                            {"From", 0.14, ALIGN_LEFT, true}};
static const table_column care_columns[] = {{"", 0.52, ALIGN_LEFT, false},
                                            {"Who", 0.12, ALIGN_LEFT, false},
                                            {"When", 0.24, ALIGN_LEFT, false},
                                            {"Caution", 0.12, ALIGN_LEFT, true}};

/* Looks of one day, kind and state stand in one row. */
static bool same(const revisit *a, const revisit *b) {
    bool day = a->on && b->on ? strcmp(a->on, b->on) == 0 : !a->on && !b->on;
    bool dry = a->state != REVISIT_DONE || a->dry == b->dry;
    return day && a->kind == b->kind && a->state == b->state && dry;
}

static bool stands_before(const accept_job *a, size_t at) {
    for (size_t i = 0; i < at; i++)
        if (same(&a->revisits[i], &a->revisits[at])) return true;
    return false;
}

typedef struct {
    const char *marks;
    long long *seqs; /* of the proofs that were the looks */
    size_t n_marks, n_seqs;
} looks_row;

static void add(const handover *h, looks_row *to, const revisit *r) {
    to->marks = handover_join(h, to->marks, ", ", r->mark);
    to->n_marks++;
    if (!r->done) return;
    long long *grown = arena_push(h->words->memory, to->seqs, &to->n_seqs, sizeof *grown);
    if (!grown) {
        h->words->failed = true;
        return;
    }
    to->seqs = grown;
    grown[to->n_seqs - 1] = r->done->seq;
}

/* All looks like the one at `at`, so many a row that it has room for. */
static void look(const handover *h, handover_rows *to, size_t at) {
    const accept_job *a = h->view->accept;
    const revisit *first = &a->revisits[at];
    const char *state = first->state != REVISIT_DONE ? revisit_state_words[first->state]
                        : first->dry                 ? "done: dry"
                                                     : "done: not dry";
    for (size_t i = at; i < a->n_revisits;) {
        looks_row row = {.marks = ""};
        for (; i < a->n_revisits && row.n_marks < HANDOVER_MARKS; i++)
            if (same(first, &a->revisits[i])) add(h, &row, &a->revisits[i]);
        if (row.n_marks == 0) continue;
        handover_put(h, to,
                     (const char *[]){first->on ? first->on : "date not told", revisit_words[first->kind],
                                      state, row.marks, handover_from(h, row.seqs, row.n_seqs, BY_LOOKS)},
                     first->state == REVISIT_OVERDUE ? ROW_TOTAL : ROW_PLAIN);
    }
}

handover_rows handover_looks(const handover *h) {
    handover_rows rows = {.title = "Day", .columns = look_columns, .n_columns = 5};
    for (size_t i = 0; i < h->view->accept->n_revisits; i++)
        if (!stands_before(h->view->accept, i)) look(h, &rows, i);
    return rows;
}

/* Who looks at what: our default; `of` a method: where the job has it; METHOD_COUNT: always. */
static const struct {
    const char *what, *who, *when, *caution;
    survey_method of;
} CARE[] = {
    {"The treated lines and a hand's breadth beside them: damp, drips, white crust, rust, hollow sound",
     "owner", "at the looks below, then each year and after each high water", "C1", METHOD_COUNT},
    {"A new wet spot, also away from the treated length: sealing restores the head along the crack, the "
     "water may come out "
     "elsewhere",
     "owner tells the firm", "at once", "C6", METHOD_COUNT},
    {"A crack that grows, faces that stand apart, bulging, water with rust or soil", "licensed engineer",
     "at once", "C1, C2", METHOD_COUNT},
    {"No drilling, cutting or fixing through a coat band without asking; never into a bar", "owner", "always",
     "C4", METHOD_COUNT},
    {"What is open or not proven in this document: test when the water stands high enough", "firm",
     "at the next high water", "C6", METHOD_COUNT},
    {"Sealant in flexible joints: edges, tears, hardening", "firm", "each year, in the coldest month", "C3",
     METHOD_FLEXIBLE},
    {"Drain channels and outlets: running free, no crust, no soil", "owner; the firm cleans", "twice a year",
     "C2", METHOD_DRAIN},
    {"Places left to be watched: the gauge or mark, and the wetness", "owner", "each month for a year", "C2",
     METHOD_WATCH},
};

static bool has_method(const plan *p, survey_method of) {
    bool any = of == METHOD_COUNT;
    for (size_t i = 0; i < p->n_leaks && !any; i++) any = p->designs[i].method.name == of;
    return any;
}

handover_rows handover_care(const handover *h) {
    handover_rows rows = {.title = "Look at", .columns = care_columns, .n_columns = 4};
    for (size_t i = 0; i < sizeof CARE / sizeof *CARE; i++) {
        if (!has_method(h->view->plan, CARE[i].of)) continue;
        handover_put(h, &rows, (const char *[]){CARE[i].what, CARE[i].who, CARE[i].when, CARE[i].caution},
                     ROW_PLAIN);
    }
    if (h->view->accept->n_tanks)
        handover_put(
            h, &rows,
            (const char *[]){"The tanks that were tested: fill slowly, look at walls and base from outside",
                             "owner", "at each filling", "C2, C5"},
            ROW_PLAIN);
    return rows;
}

static void cautions(doc *d) {
    doc_heading(d, DOC_SUBHEAD, "Cautions");
    for (size_t i = 0; i < plan_n_general_cautions; i++)
        doc_paragraph(d, DOC_SMALL, say_print(&d->words, "C%zu  %s", i + 1, plan_general_cautions[i]));
    doc_paragraph(
        d, DOC_SMALL,
        say_print(
            &d->words,
            "C%zu  This document tells what was seen, done and tested on the days it names. Local codes and "
            "licensed practice stand above it.",
            plan_n_general_cautions + 1));
}

void handover_after(doc *d) {
    handover *h = handover_of(d);
    const char *warranty = d->plan->survey->site.warranty;
    doc_heading(d, DOC_HEAD, "Care, and when it is looked at again");
    doc_outline(d, 0, "Care, looks, warranty");
    d->first_works = d->page;
    handover_rows rows = handover_care(h);
    handover_draw(d, &rows, 8);
    doc_paragraph(d, DOC_SOFT,
                  "Who and when: our default; the contract and the local code may ask for more.");
    doc_heading(d, DOC_SUBHEAD, "Looks");
    rows = handover_looks(h);
    if (rows.n == 0)
        doc_paragraph(d, DOC_BODY, "No look has a date yet: none is due before a proof keeps its class.");
    handover_draw(d, &rows, 8);
    cautions(d);
    doc_heading(d, DOC_SUBHEAD, "Warranty");
    doc_paragraph(d, DOC_BODY, warranty && *warranty ? warranty : "No basis was told.");
}
