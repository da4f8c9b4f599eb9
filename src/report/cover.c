/* cover.c - the first pages: the job, what was found in a few lines, the findings, the general cautions. */
#include "report/sections.h"
#include "report/table.h"
#include "report/works_words.h"

#include <string.h>

static size_t count(const plan *p, finding_level level, bool open) {
    size_t n = 0;
    for (size_t i = 0; i < p->findings.n; i++) {
        n += p->findings.items[i].level == level && (p->findings.items[i].answer == NULL) == open;
    }
    return n;
}

/* "3 jet, 2 run above 1 l/min, 9 drip": wettest first. */
static const char *grades(doc *d) {
    text all = {0};
    for (int grade = LEAKGRADE_JET; grade >= 0; grade--) {
        size_t n = 0;
        for (size_t i = 0; i < d->plan->n_leaks; i++) n += (int)d->plan->leaks[i].grade == grade;
        if (n)
            text_print(&all, "%s%zu %s", all.length ? ", " : "", n,
                       leak_grade_shown((leakgrade)grade, d->plan->survey->site.system));
    }
    if (all.failed) d->words.failed = true;
    const char *kept = say_print(&d->words, "%s", text_get(&all));
    text_free(&all);
    return kept;
}

static const char *methods(doc *d) {
    text all = {0};
    for (int method = 0; method < METHOD_COUNT; method++) {
        size_t n = 0;
        for (size_t i = 0; i < d->plan->n_leaks; i++) n += (int)d->plan->designs[i].method.name == method;
        if (n) text_print(&all, "%s%zu\u00a0%s", all.length ? ", " : "", n, method_words[method]);
    }
    if (all.failed) d->words.failed = true;
    const char *kept = say_print(&d->words, "%s", text_get(&all));
    text_free(&all);
    return kept;
}

static const char *level(doc *d, const survey_level *of) {
    if (!of->level_m.known) return "not given for the site; see the faces";
    return say_print(&d->words, "%s (%s%s%s)", say_level(&d->words, of->level_m.v),
                     survey_known_words[of->known], of->on ? ", " : "", of->on ? of->on : "");
}

static void works_row(table *t, const char *label, const char *said) {
    if (said) table_row(t, (const char *[]){label, said}, ROW_PLAIN);
}

static void works(doc *d, table *t) {
    if (d->plan->works_problem)
        works_row(t, "Works", say_print(&d->words, "Not planned: %s", d->plan->works_problem));
    if (!d->works) return;
    works_row(t, "Works", works_said_when(&d->words, d->works));
    works_row(t, "Out of service", works_said_out(&d->words, d->works));
    works_row(t, "Back in service by", works_said_deadline(&d->words, d->works));
}

static void found(doc *d) {
    const plan *p = d->plan;
    say *w = &d->words;
    static const table_column columns[] = {{"", 0.26, ALIGN_LEFT, false}, {"", 0.74, ALIGN_LEFT, false}};
    table t = table_begin(d, columns, 2, 9.5);
    table_row(&t,
              (const char *[]){"Leaks", say_print(w, "%zu on %zu face%s: %s", p->n_leaks, p->survey->n_faces,
                                                  p->survey->n_faces == 1 ? "" : "s",
                                                  p->n_leaks ? grades(d) : "none")},
              ROW_PLAIN);
    table_row(&t, (const char *[]){"Methods", p->n_leaks ? methods(d) : "none"}, ROW_PLAIN);
    table_row(&t,
              (const char *[]){"Must be answered",
                               say_print(w, "%zu STOP and %zu ASK open; %zu answered",
                                         count(p, FINDING_STOP, true), count(p, FINDING_ASK, true),
                                         count(p, FINDING_STOP, false) + count(p, FINDING_ASK, false))},
              ROW_PLAIN);
    table_row(&t, (const char *[]){"Water today", level(d, &p->survey->site.today)}, ROW_PLAIN);
    table_row(&t, (const char *[]){"Design water", level(d, &p->survey->site.design)}, ROW_PLAIN);
    table_row(&t, (const char *[]){"Slot to cut", say_value(w, UNITS_LENGTH, p->takeoff.slot_length_m)},
              ROW_PLAIN);
    table_row(&t,
              (const char *[]){"Coat bands", say_print(w, "%s, overlaps counted once",
                                                       say_value(w, UNITS_AREA, p->takeoff.coat_m2))},
              ROW_PLAIN);
    table_row(&t,
              (const char *[]){"Labour", say_print(w, "%s hours, %s", say_plain(w, p->price.hours_total, 1),
                                                   say_crew_days(w, p->price.crew_days))},
              ROW_PLAIN);
    works(d, &t);
    table_row(&t,
              (const char *[]){"Price",
                               say_print(w, "%s %s, without tax", say_money(w, p->price.total), w->currency)},
              ROW_TOTAL);
    table_end(&t);
}

/* Pages of the sections, known after the dry run. */
static void contents(doc *d) {
    say *w = &d->words;
    const char *faces = d->first_face ? say_print(w, "Elevations from page %d, step", d->first_face) : "Step";
    const char *works = d->first_works ? say_print(w, ", the works from page %d", d->first_works) : "";
    doc_paragraph(d, DOC_SOFT,
                  say_print(w, "%s cards from page %d, quantities and orders from page %d%s.", faces,
                            d->first_card, d->first_table, works));
}

/* True when a finding before `at` of the same kind says the same: it stands in that one's row. */
static bool said_before(const finding_list *all, size_t at) {
    const finding *f = &all->items[at];
    for (size_t i = 0; i < at; i++) {
        const finding *other = &all->items[i];
        if (other->level == f->level && !other->answer && strcmp(other->sentence, f->sentence) == 0)
            return true;
    }
    return false;
}

/* Marks of all open findings with this one's words. */
static const char *marks(doc *d, size_t at) {
    const finding_list *all = &d->plan->findings;
    text list = {0};
    for (size_t i = at; i < all->n; i++) {
        const finding *f = &all->items[i];
        if (f->level != all->items[at].level || f->answer ||
            strcmp(f->sentence, all->items[at].sentence) != 0)
            continue;
        text_print(&list, "%s%s", list.length ? ", " : "", f->mark);
    }
    if (list.failed) d->words.failed = true;
    const char *kept = say_print(&d->words, "%s", text_get(&list));
    text_free(&list);
    return kept;
}

static const char *answer_of(doc *d, const finding *f) {
    const survey_answer *a = f->answer;
    if (!a) return "open\nname, date, decision:";
    return say_print(&d->words, "%s\n%s%s%s", a->what ? a->what : "answered", a->by ? a->by : "",
                     a->on ? ", " : "", a->on ? a->on : "");
}

static void finding_rows(doc *d, table *t, finding_level of, bool open) {
    for (size_t i = 0; i < d->plan->findings.n; i++) {
        const finding *f = &d->plan->findings.items[i];
        if (f->level != of || (f->answer == NULL) != open) continue;
        if (open && said_before(&d->plan->findings, i)) continue;
        const char *mark = open ? marks(d, i) : f->mark;
        table_row(t,
                  (const char *[]){of == FINDING_STOP ? "STOP" : "ASK", mark, f->sentence, answer_of(d, f)},
                  open && of == FINDING_STOP ? ROW_TOTAL : ROW_PLAIN);
    }
}

static void findings(doc *d) {
    static const table_column columns[] = {{"", 0.09, ALIGN_LEFT, false},
                                           {"Marks", 0.24, ALIGN_LEFT, false},
                                           {"Found, and asked", 0.44, ALIGN_LEFT, false},
                                           {"Answer", 0.23, ALIGN_LEFT, false}};
    doc_heading(d, DOC_SUBHEAD, "Who must look");
    if (d->plan->findings.n == 0) {
        doc_paragraph(d, DOC_BODY, "Nothing in this survey calls for a decision by a named person.");
        return;
    }
    doc_paragraph(
        d, DOC_SMALL,
        "STOP: nothing is designed or cut until a named person has answered. ASK: the design goes "
        "on, the question stays open. Leaks with the same question stand in one row; each card has its own.");
    table t = table_begin(d, columns, 4, 8);
    finding_rows(d, &t, FINDING_STOP, true);
    finding_rows(d, &t, FINDING_ASK, true);
    finding_rows(d, &t, FINDING_STOP, false);
    finding_rows(d, &t, FINDING_ASK, false);
    table_end(&t);
}

void section_cautions(doc *d) {
    text all = {0};
    for (size_t i = 0; i < plan_n_general_cautions; i++)
        text_print(&all, "%s%s", i ? "  •  " : "", plan_general_cautions[i]);
    if (all.failed) d->words.failed = true;
    double width = doc_inner(d) - 12, height = doc_measure(d, DOC_SMALL, width, text_get(&all)) + 8;
    doc_need(d, height + 30); /* with its heading */
    doc_heading(d, DOC_SUBHEAD, "Cautions for the whole job");
    doc_box(d, (sheet_box){DOC_MARGIN, d->y, doc_inner(d), height}, 0xb00020, 0xfdf1ef);
    doc_text_at(d, DOC_SMALL, DOC_MARGIN + 6, d->y + 4, width, text_get(&all));
    d->y += height + 4;
    text_free(&all);
}

void section_cover(doc *d) {
    const survey_site *site = &d->plan->survey->site;
    say *w = &d->words;
    doc_page(d, false);
    doc_outline(d, 0, "Summary");
    doc_paragraph(d, DOC_SOFT, "REPAIR PLAN FOR LEAKING CONCRETE");
    doc_paragraph(d, DOC_TITLE, site->name && *site->name ? site->name : "Job without a name");
    doc_paragraph(d, DOC_BODY,
                  site->place && *site->place ? say_print(w, "%s  ·  %s", site->place, d->options->date)
                                              : d->options->date);
    if (site->client_note) doc_paragraph(d, DOC_BODY, site->client_note);
    d->y += 6;
    size_t stops = plan_open_stops(d->plan);
    if (stops) {
        doc_paragraph(d, DOC_ALARM,
                      say_print(w,
                                "%zu open STOP: part of this work is not designed, and its price is not in "
                                "the total, until a named person has answered.",
                                stops));
    }
    found(d);
    if (d->replaced) {
        doc_paragraph(d, DOC_SMALL,
                      "Some characters of this job have no font on the machine that made this document; they "
                      "stand as Unicode numbers in brackets, [U+....]. Install a font that has them and make "
                      "the document again.");
    }
    contents(d);
    section_cautions(d); /* before the findings, which may run over several pages */
    findings(d);
}
