/* card_why.c - why this method: what a person reads before he agrees, in one block. */
#include "report/card.h"
#include "report/table.h"

#include <string.h>

enum { MOST_CAUSES = 2, MOST_TIPS = 4 };

static void row(table *t, const char *label, const char *value) {
    table_row(t, (const char *[]){label, value}, ROW_PLAIN);
}

/* Texts joined by "; ". */
static const char *joined(doc *d, const char *before, const char *next) {
    return say_print(&d->words, "%s%s%s", before, *before ? "; " : "", next);
}

static void chosen(doc *d, table *t, const method_choice *m) {
    say *w = &d->words;
    const survey_overrule *by = m->overruled;
    const char *basis = m->basis && *m->basis ? say_print(w, " (%s)", m->basis) : "";
    if (!by) {
        row(t, "Why this method",
            say_print(w, "row %d of the table: %s%s", m->row, m->reason ? m->reason : "", basis));
        return;
    }
    table_row(
        t,
        (const char *[]){"Chosen by a person",
                         say_print(w, "%s, %s: %s%s%s", by->by ? by->by : "no name",
                                   by->on ? by->on : "no date", by->why ? by->why : "no reason given",
                                   m->objection ? ". Against it: " : "", m->objection ? m->objection : "")},
        ROW_TOTAL);
    row(t, "The table says",
        say_print(w, "%s, row %d: %s%s", method_words[m->by_table], m->row, m->reason ? m->reason : "",
                  basis));
}

static void others(doc *d, table *t, const method_choice *m) {
    say *w = &d->words;
    const char *tips = "", *passed = "";
    for (size_t i = 0; i < m->n_tips && i < MOST_TIPS; i++)
        tips = joined(d, tips, say_print(w, "%s: %s", m->tips[i].change, method_words[m->tips[i].to]));
    if (m->n_tips > MOST_TIPS) tips = joined(d, tips, say_print(w, "and %zu more", m->n_tips - MOST_TIPS));
    if (m->n_tips == 0 && m->tip) tips = m->tip;
    row(t, "Runner-up",
        say_print(w, "%s%s%s", method_words[m->runner_up], *tips ? ". What would tip it: " : "", tips));
    for (size_t i = 0; i < m->n_passed; i++)
        passed =
            joined(d, passed, say_print(w, "%s (%s)", method_words[m->passed[i].method], m->passed[i].why));
    if (*passed) row(t, "Passed over", passed);
}

static void movement(doc *d, table *t, const diagnosis *of) {
    say *w = &d->words;
    if (of->basis == MOVES_NOT_KNOWN) return;
    const char *year = of->movement_m.known
                           ? say_print(w, ", %s in a year", say_value(w, UNITS_SIZE, of->movement_m.v))
                           : "";
    row(t, "Movement",
        say_print(w, "%s%s%s%s%s", movement_verdict_words[of->verdict], year,
                  of->basis == MOVES_TOLD ? " (told)" : "", of->reason && *of->reason ? ": " : "",
                  of->reason ? of->reason : ""));
}

static void healing(doc *d, table *t, const diagnosis *of) {
    say *w = &d->words;
    if (!of->healing_known) return;
    row(t, "Healing",
        say_print(w, "%s: %s wide, limit %s by %s", of->healing.heals ? "may heal by itself" : "not expected",
                  say_value(w, UNITS_SIZE, of->healing_in.width_m),
                  say_value(w, UNITS_SIZE, of->healing.limit_m), healing_rule_name(of->healing_in.rule)));
}

static const char *sentences(doc *d, const char *const *list, size_t n) {
    const char *all = "";
    for (size_t i = 0; i < n; i++) all = say_print(&d->words, "%s%s%s", all, i ? " " : "", list[i]);
    return all;
}

static void causes(doc *d, table *t, const hint_list *list) {
    say *w = &d->words;
    for (size_t i = 0; i < list->n && i < MOST_CAUSES; i++) {
        const hint *h = &list->items[i];
        const char *against =
            h->n_against ? say_print(w, " Against: %s", sentences(d, h->against, h->n_against)) : "";
        row(t, i == 0 ? "May be caused by" : "or by",
            say_print(w, "%s. For: %s%s", hints_cause_words[h->cause],
                      sentences(d, h->evidence, h->n_evidence), against));
    }
}

void card_why(doc *d, size_t leak, double size) {
    static const table_column columns[] = {{"", 0.17, ALIGN_LEFT, false}, {"", 0.83, ALIGN_LEFT, false}};
    const diagnosis *of = &d->plan->diagnoses[leak];
    table t = table_begin(d, columns, 2, size);
    chosen(d, &t, &d->plan->designs[leak].method);
    others(d, &t, &d->plan->designs[leak].method);
    movement(d, &t, of);
    healing(d, &t, of);
    causes(d, &t, &of->causes);
    table_end(&t);
}
