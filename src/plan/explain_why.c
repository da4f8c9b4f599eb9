/* Why it leaks, what the table chose and what the steel leaves: the figures that a person reads before he agrees. */
#include "diagnose/tightness.h"
#include "plan/explain.h"
#include "plan/show.h"

#include <string.h>

static void explain_gauge(explaining *e, const diagnosis_gauge *g) {
    plan *p = e->p;
    const movement_result *fit = &g->fit;
    const char *name = *g->gauge ? arena_print(p->memory, "Gauge %s", g->gauge) : "Gauge";
    const char *widths =
        g->widest_m.known && g->narrowest_m.known
            ? arena_print(p->memory, "; next year %s to %s (%s)", show_width(p, g->narrowest_m.v),
                          show_width(p, g->widest_m.v), g->year_basis ? g->year_basis : "")
            : "";
    const char *drift =
        fit->fitted ? arena_print(p->memory, ", %s a year", show_width(p, fit->per_year_m)) : "";
    explain_row(e, name ? name : "",
                widths && drift
                    ? arena_print(p->memory, "%s%s%s", movement_verdict_words[fit->verdict], drift, widths)
                    : NULL,
                "w = w0 + beta (T - Tref) + gamma t",
                arena_print(p->memory, "%zu readings, %zu set aside; %s", g->input.n, fit->n_aside,
                            fit->rule ? fit->rule : ""),
                arena_print(p->memory, "limit %s a year: our default; readings to as much: BRE Digest 343",
                            show_width(p, MOVEMENT_LIMIT_M_YEAR)));
}

static void explain_movement(explaining *e, const diagnosis *why_leaks) {
    static const char *const basis[] = {
        [MOVES_NOT_KNOWN] = "not known", [MOVES_TOLD] = "told", [MOVES_MEASURED] = "measured"};
    plan *p = e->p;
    bool known = why_leaks->basis != MOVES_NOT_KNOWN;
    explain_row(e, "Movement",
                known                     ? movement_verdict_words[why_leaks->verdict]
                : why_leaks->seen_m.known ? "undecided, taken as moving"
                                          : "not known",
                "", why_leaks->reason && *why_leaks->reason ? why_leaks->reason : basis[why_leaks->basis],
                "");
    if (why_leaks->movement_m.known)
        explain_row(e, "Movement in a year", show_width(p, why_leaks->movement_m.v),
                    why_leaks->basis == MOVES_MEASURED
                        ? "(|beta| + t SE) (Tmax - Tmin) + |gamma| 365 d + t SE"
                        : "widest less narrowest",
                    basis[why_leaks->basis], "");
    for (size_t i = 0; i < why_leaks->n_gauges; i++) explain_gauge(e, &why_leaks->gauges[i]);
}

static void explain_healing(explaining *e, const diagnosis *why_leaks) {
    plan *p = e->p;
    if (!why_leaks->healing_known) return;
    const healing_result *h = &why_leaks->healing;
    const char *value = h->heals ? "within the limit: may heal by itself" : "wider than the limit";
    explain_row(e, "Healing",
                arena_print(p->memory, "%s (%s against %s)", value,
                            show_width(p, why_leaks->healing_in.width_m), show_width(p, h->limit_m)),
                "width <= limit at the gradient",
                arena_print(p->memory, "rule %s, head over thickness %s",
                            healing_rule_name(why_leaks->healing_in.rule), show_plain(p, h->gradient, 1)),
                healing_rule_source(why_leaks->healing_in.rule));
}

static void explain_tightness(explaining *e) {
    static const char *const verdicts[] = {[TIGHT_KEPT] = "kept as seen today",
                                           [TIGHT_BROKEN] = "broken as seen today",
                                           [TIGHT_NOT_SEEN] = "cannot be said from what was measured"};
    plan *p = e->p;
    survey_tightness asked = p->survey->site.tightness;
    if (asked == TIGHT_NOT_AGREED) return;
    explain_row(e, "Tightness asked",
                arena_print(p->memory, "%s: %s", tightness_name(asked),
                            verdicts[tightness_of_leak(asked, &p->leaks[e->leak])]),
                "", tightness_asks(asked), tightness_source(asked));
}

static const char *joined(const plan *p, const char *const *list, size_t n) {
    const char *all = "";
    for (size_t i = 0; all && i < n; i++) all = arena_print(p->memory, "%s%s%s", all, i ? " " : "", list[i]);
    return all;
}

/* The two that most speaks for; never a certainty. */
static void explain_causes(explaining *e, const hint_list *list) {
    plan *p = e->p;
    for (size_t i = 0; i < list->n && i < 2; i++) {
        const hint *h = &list->items[i];
        const char *evidence = joined(p, h->evidence, h->n_evidence),
                   *against = joined(p, h->against, h->n_against);
        explain_row(e, i == 0 ? "May be caused by" : "Or by", hints_cause_words[h->cause], "",
                    evidence && against
                        ? arena_print(p->memory, "%s%s%s", evidence, *against ? " Against: " : "", against)
                        : NULL,
                    "hints, no proof; each says on what it rests");
    }
}

static void explain_choice(explaining *e, const method_choice *m) {
    plan *p = e->p;
    const survey_overrule *by = m->overruled;
    explain_row(e, by ? "Chosen by a person" : "First choice", method_words[m->name], "",
                by ? arena_print(p->memory, "%s on %s: %s", by->by, by->on ? by->on : "no date", by->why)
                   : arena_print(p->memory, "row %d of the table: %s", m->row, m->reason),
                by ? "" : m->basis);
    if (!by) return;
    explain_row(e, "The table would say", method_words[m->by_table], "",
                arena_print(p->memory, "row %d: %s", m->row, m->reason), m->basis);
    if (m->objection) explain_row(e, "Against the choice", m->objection, "", "", "");
}

static void explain_findings(explaining *e) {
    const plan *p = e->p;
    for (size_t i = 0; i < p->findings.n; i++) {
        const finding *f = &p->findings.items[i];
        if (strcmp(f->mark, p->leaks[e->leak].defect->mark) != 0 && strcmp(f->mark, "site") != 0) continue;
        explain_row(e, f->level == FINDING_STOP ? "STOP" : "ASK", f->sentence, "",
                    f->answer ? arena_print(p->memory, "answered by %s: %s", f->answer->by, f->answer->what)
                              : arena_print(p->memory, "open; answer with the word %s", f->code),
                    "trade rules 14, 15");
    }
}

void explain_why(explaining *e) {
    const diagnosis *why_leaks = &e->p->diagnoses[e->leak];
    e->group = "Why";
    explain_movement(e, why_leaks);
    explain_healing(e, why_leaks);
    explain_tightness(e);
    explain_causes(e, &why_leaks->causes);
}

void explain_method(explaining *e) {
    plan *p = e->p;
    const method_choice *m = &p->designs[e->leak].method;
    e->group = "Method";
    explain_choice(e, m);
    explain_row(e, "Runner-up", method_words[m->runner_up], "",
                m->tip && m->n_tips == 0 ? arena_print(p->memory, "what would tip it: %s", m->tip) : "", "");
    for (size_t i = 0; i < m->n_tips; i++)
        explain_row(e, "What would tip it",
                    arena_print(p->memory, "%s: then %s", m->tips[i].change, method_words[m->tips[i].to]), "",
                    "one change alone", "the same table");
    for (size_t i = 0; i < m->n_passed; i++)
        explain_row(e, "Passed over", method_words[m->passed[i].method], "", m->passed[i].why, "");
    explain_findings(e);
}
