/* handover_cover.c - the first page: what job, what was agreed, what came of it, how the log is held against this paper; then all
 * leaks with their verdicts. */
#include "report/handover_parts.h"

#include <string.h>

static const double CODE_PT = 76; /* room of the code */

static void verdict(doc *d, const handover *h) {
    static const int32_t edges[PROOF_VERDICTS] = {0x007a58, 0xb00020, 0xb54e00, 0x333333};
    static const int32_t fills[PROOF_VERDICTS] = {0xeef7f3, 0xfdf1ef, 0xfdf6ec, 0xf4f4f2};
    const accept_job *a = h->view->accept;
    proof_verdict of = a->verdict;
    const char *words = say_print(&d->words, "Verdict of the job: %s", proof_verdict_words[of]);
    const char *more = a->sentence ? a->sentence : "";
    double inner = doc_inner(d) - 16, first = doc_measure(d, DOC_HEAD, inner, words);
    double height = first + doc_measure(d, DOC_BODY, inner, more) + 14;
    doc_need(d, height);
    doc_box(d, (sheet_box){DOC_MARGIN, d->y, doc_inner(d), height}, edges[of], fills[of]);
    doc_text_at(d, DOC_HEAD, DOC_MARGIN + 8, d->y + 4, inner, words);
    doc_text_at(d, DOC_BODY, DOC_MARGIN + 8, d->y + first + 7, inner, more);
    d->y += height + 8;
}

static void row(table *t, const char *label, const char *value) {
    if (value && *value) table_row(t, (const char *[]){label, value}, ROW_PLAIN);
}

static const char *agreed(const handover *h) {
    survey_tightness of = h->view->accept->agreed;
    if (of == TIGHT_NOT_AGREED)
        return say_print(h->words, "none was agreed; judged as %s",
                         tightness_name(h->view->accept->class_id));
    return say_print(h->words, "%s\n%s", tightness_name(of), tightness_asks(of));
}

static const char *counts(const handover *h) {
    const char *all = "";
    for (int i = 0; i < PROOF_VERDICTS; i++)
        if (h->view->accept->counts[i])
            all = handover_join(
                h, all, ", ",
                say_print(h->words, "%zu %s", h->view->accept->counts[i], proof_verdict_words[i]));
    return say_print(h->words, "%zu: %s (E%d)", h->view->plan->n_leaks, *all ? all : "none", (int)BY_VERDICT);
}

static const char *tanks(const handover *h) {
    const accept_job *a = h->view->accept;
    const char *all = "";
    for (size_t i = 0; i < a->n_tanks; i++) {
        const accept_tank *t = &a->tanks[i];
        all = handover_join(h, all, "; ",
                            say_print(h->words, "%s: %s", t->tank->name ? t->tank->name : t->tank->id,
                                      t->judged ? watertest_verdict_words[t->result.verdict] : "not judged"));
    }
    return *all ? say_print(h->words, "%s (E%d)", all, (int)BY_CRITERION) : "";
}

/* Of what was saved: where the flow before is only an expectation. */
static double expected_m3_s(const handover *h) {
    const accept_job *a = h->view->accept;
    double sum = 0;
    for (size_t i = 0; i < a->n_leaks; i++)
        if (a->leaks[i].saved_m3_s.known && !a->leaks[i].before_measured) sum += a->leaks[i].saved_m3_s.v;
    return sum;
}

/* Leaks that ran, of which no test tells how much comes now: they are in no sum of what was saved. */
static const char *not_told(const handover *h) {
    const accept_job *a = h->view->accept;
    double sum = 0;
    size_t n = 0;
    for (size_t i = 0; i < a->n_leaks; i++) {
        const proof_leak *l = &a->leaks[i];
        if (l->saved_m3_s.known || !l->before_m3_s.known || !(l->before_m3_s.v > 0)) continue;
        sum += l->before_m3_s.v;
        n++;
    }
    if (n == 0) return "";
    return say_print(h->words,
                     "\nnot in it: %zu leak%s with %s before, of which no test tells how much comes now", n,
                     n == 1 ? "" : "s", say_value(h->words, UNITS_FLOW, sum));
}

static const char *saved(const handover *h) {
    const accept_job *a = h->view->accept;
    double expected = expected_m3_s(h);
    const char *of = "";
    if (!a->saved_m3_s.known)
        return say_print(h->words, "not known: no leak was measured before and after%s", not_told(h));
    if (expected > 0)
        of = say_print(h->words, "; %s of it expected from the widths, not measured (E%d)",
                       say_value(h->words, UNITS_FLOW, expected), (int)BY_CRACK);
    return say_print(h->words, "%s of %s, on %zu leak%s (E%d)%s%s",
                     say_value(h->words, UNITS_FLOW, a->saved_m3_s.v),
                     say_maybe(h->words, UNITS_FLOW, a->before_m3_s), a->n_flows, a->n_flows == 1 ? "" : "s",
                     (int)BY_SAVED, of, not_told(h));
}

static const char *people(const handover *h) {
    const char *all = "";
    for (size_t i = 0; i < h->view->built->n_people; i++)
        all = handover_join(h, all, ", ", h->view->built->people[i]);
    return all;
}

static const char *deviations(const handover *h) {
    const built_job *b = h->view->built;
    return say_print(h->words, "%zu, %zu of them without a reason (E%d)", b->n_deviations, b->n_unreasoned,
                     (int)BY_DEVIATION);
}

static void facts(doc *d, const handover *h) {
    static const table_column columns[] = {{"", 0.24, ALIGN_LEFT, false}, {"", 0.76, ALIGN_LEFT, false}};
    const built_job *b = h->view->built;
    say *w = &d->words;
    table t = table_begin(d, columns, 2, 9);
    row(&t, "Class agreed", agreed(h));
    row(&t, "Leaks", counts(h));
    row(&t, "Tanks", tanks(h));
    row(&t, "Water saved", saved(h));
    row(&t, "Work",
        b->first ? say_print(w, "%s to %s", b->first, b->last ? b->last : b->first) : "no work was recorded");
    row(&t, "Done by", people(h));
    row(&t, "Done otherwise than planned", deviations(h));
    row(&t, "Questions open",
        say_print(w, "%zu STOP, %zu ASK (P)", plan_open_stops(d->plan), plan_open_asks(d->plan)));
    row(&t, "To bill",
        say_print(w, "%s %s, without tax, by measured quantities (E%d)", say_money(w, b->bill_total),
                  w->currency, (int)BY_BILL));
    table_end(&t);
}

static void chain(doc *d, const handover *h) {
    say *w = &d->words;
    long long n = h->options->head_seq;
    double width = doc_inner(d) - 12;
    const char *hash = h->options->head_hash ? h->options->head_hash : "";
    const char *words = n > 0 ? say_print(w,
                                          "The log of this job had %zu record%s, the last is #%lld. Whether "
                                          "anything was changed since tells\n"
                                          "stanch check JOB --head %lld:%s",
                                          h->view->n_records, h->view->n_records == 1 ? "" : "s", n, n, hash)
                              : "The log of this job had no record when this document was made.";
    double height = doc_measure(d, DOC_SMALL, width, words) + 8;
    doc_need(d, height + 4);
    doc_box(d, (sheet_box){DOC_MARGIN, d->y, doc_inner(d), height}, 0x666666, -1);
    doc_text_at(d, DOC_SMALL, DOC_MARGIN + 6, d->y + 4, width, words);
    d->y += height + 6;
}

static const char *from_page(const handover *h, const char *before, const char *label, int page) {
    return page ? handover_join(h, before, " · ", say_print(h->words, "%s %d", label, page)) : before;
}

static void contents(doc *d, const handover *h) {
    const char *all = from_page(h, "", "elevations", d->first_face);
    all = from_page(h, all, "leak by leak", d->first_card);
    all = from_page(h, all, "care and looks", d->first_works);
    all = from_page(h, all, "to bill", d->first_table);
    if (*all) doc_paragraph(d, DOC_SOFT, say_print(&d->words, "On page: %s", all));
    doc_paragraph(d, DOC_SOFT,
                  say_print(&d->words,
                            "Where a figure comes from: #12 is record 12 of the log, E4 equation or rule 4 "
                            "of the list at the "
                            "end, S the survey, P the plan %.12s. Times are UTC, as recorded.",
                            d->plan->price_hash));
}

/* Beside the title, so that the page begins with both. */
static double code(doc *d) {
    if (!d->options->link) return 0;
    double x = DOC_MARGIN + doc_inner(d) - CODE_PT;
    double side = doc_code(d, d->options->link, x, d->y);
    if (side > 0) side += doc_text_at(d, DOC_SOFT, x, d->y + side, CODE_PT, "The job on a phone");
    return side;
}

static double title(doc *d, doc_style style, double y, double width, const char *words) {
    return words && *words ? doc_text_at(d, style, DOC_MARGIN, y, width, words) + 3 : 0;
}

static void heading(doc *d) {
    const survey_site *site = &d->plan->survey->site;
    double top = d->y, side = code(d), width = doc_inner(d) - (side > 0 ? CODE_PT + 10 : 0), y = top;
    y += title(d, DOC_SOFT, y, width, "HANDOVER DOCUMENT: LEAKS SEALED IN CONCRETE");
    y += title(d, DOC_TITLE, y, width, site->name && *site->name ? site->name : "Job without a name");
    y += title(d, DOC_BODY, y, width,
               site->place && *site->place ? say_print(&d->words, "%s  ·  %s", site->place, d->options->date)
                                           : d->options->date);
    y += title(d, DOC_BODY, y, width, site->client_note);
    d->y = (y > top + side ? y : top + side) + 6;
}

void handover_cover(doc *d) {
    handover *h = handover_of(d);
    doc_page(d, false);
    doc_outline(d, 0, "Summary");
    heading(d);
    if (h->options->draft) doc_paragraph(d, DOC_ALARM, "DRAFT: not kept in the job, not handed over.");
    verdict(d, h);
    facts(d, h);
    chain(d, h);
    if (d->replaced)
        doc_paragraph(
            d, DOC_SMALL,
            "Some characters of this job have no font on the machine that made this document; they stand as "
            "Unicode numbers in brackets, [U+....].");
    contents(d, h);
    doc_heading(d, DOC_SUBHEAD, "Leaks and their verdicts");
    handover_rows rows = handover_verdicts(h, d->card_pages);
    handover_draw(d, &rows, 8);
    if (expected_m3_s(h) > 0)
        doc_paragraph(d, DOC_SOFT,
                      "~ less what was expected from the widths: the flow before was not measured.");
    rows = handover_remaining(h);
    if (rows.n == 0) return;
    doc_heading(d, DOC_SUBHEAD, "What remains");
    handover_draw(d, &rows, 8);
}
