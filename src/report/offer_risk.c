/* offer_risk.c - what the price may come out as: in words for whoever pays, the picture, and what carries it. */
#include "report/offer_amounts.h"
#include "report/offer_parts.h"
#include "report/risk_figure.h"
#include "report/table.h"

#include <string.h>

static void in_words(doc *d, const risk_result *risk) {
    say *w = &d->words;
    const char *money = w->currency;
    doc_paragraph(
        d, DOC_BODY,
        say_print(
            w,
            "Nobody sees into a wall. Lengths, depths, hours and prices may come out higher or lower than "
            "taken here, and cracks that are dry today may run. The job was counted %zu times, each time "
            "with other figures within their ranges.",
            risk->options.runs));
    doc_paragraph(d, DOC_BODY,
                  say_print(w, "Half of these came out below %s %s (P50), half above.",
                            say_money(w, risk->price.p50), money));
    doc_paragraph(d, DOC_BODY,
                  say_print(w, "Four in five came out below %s %s (P80); one in five below %s %s (P20).",
                            say_money(w, risk->price.p80), money, say_money(w, risk->price.p20), money));
    doc_paragraph(
        d, DOC_BODY,
        risk->contingency > 0
            ? say_print(w,
                        "The price offered, %s %s, has every figure at its likely value. Whoever wants to be "
                        "safe in four cases of five holds %s %s "
                        "back besides: the contingency, P80 less the price.",
                        say_money(w, risk->total), money, say_money(w, risk->contingency), money)
            : say_print(w, "The price offered is %s %s and stands above P80: nothing need be held back.",
                        say_money(w, risk->total), money));
}

static const char *percent(say *w, double share) {
    return share > 0 && share < 0.005 ? "under 1 %" : say_print(w, "%s %%", say_plain(w, share * 100, 0));
}

static const char *bound(say *w, const risk_input *input, double value) {
    return say_print(w, "%s%s%s", say_plain(w, value, 3), *input->unit ? "\u00a0" : "", input->unit);
}

/* A range told a metre means nothing beside a figure a foot. */
static const char *basis(say *w, const risk_input *in) {
    static const char ours[] = "our default";
    if (!in->basis) return "";
    bool converted = w->system == UNITS_US && strcmp(in->group, "rates") == 0 &&
                     (strstr(in->unit, "ft") || strstr(in->unit, "gal"));
    return converted && strncmp(in->basis, ours, strlen(ours)) == 0 ? ours : offer_words(w, in->basis);
}

static void figure(doc *d, const risk_result *risk) {
    sheet picture = {.memory = d->words.memory};
    const risk_figure_size size = {doc_inner(d) / DOC_MM, RISK_FIGURE_TYPE_MM};
    if (!risk_figure_draw(risk, size, &d->words, &picture) || picture.failed) {
        d->words.failed = true;
        return;
    }
    doc_need(d, picture.height * DOC_MM);
    doc_sheet(d, &picture, DOC_MARGIN, d->y);
    d->y += picture.height * DOC_MM + 8;
}

enum { INPUTS_SHOWN = 12 };

static void inputs(doc *d, const risk_result *risk) {
    static const table_column columns[] = {{"What carries it most", 2.6, ALIGN_LEFT, false},
                                           {"Low", 0.9, ALIGN_RIGHT, false},
                                           {"Likely", 0.9, ALIGN_RIGHT, false},
                                           {"High", 0.9, ALIGN_RIGHT, false},
                                           {"Share", 0.8, ALIGN_MIDDLE, false},
                                           {"From", 2.2, ALIGN_LEFT, true}};
    say *w = &d->words;
    size_t n = risk->n_inputs < INPUTS_SHOWN ? risk->n_inputs : INPUTS_SHOWN;
    if (n == 0) return;
    table t = table_begin(d, columns, sizeof columns / sizeof *columns, 8);
    for (size_t i = 0; i < n; i++) {
        const risk_input *in = &risk->inputs[i];
        table_row(&t,
                  (const char *[]){offer_words(w, in->label), bound(w, in, in->low), bound(w, in, in->likely),
                                   bound(w, in, in->high), percent(w, in->share), basis(w, in)},
                  ROW_PLAIN);
    }
    table_end(&t);
    if (risk->n_inputs > n)
        doc_paragraph(d, DOC_SMALL, say_print(w, "And %zu more that carry less.", risk->n_inputs - n));
}

static void groups(doc *d, const risk_result *risk) {
    say *w = &d->words;
    const char *all = "";
    for (int i = 0; i < 5; i++)
        if (risk->group_shares[i] > 0)
            all = say_print(w, "%s%s%s %s", all, *all ? ", " : "", risk_group_words[i],
                            percent(w, risk->group_shares[i]));
    if (*all) doc_paragraph(d, DOC_BODY, say_print(w, "Of the risk come from: %s.", all));
}

void offer_risk(doc *d) {
    const risk_result *risk = offer_of(d)->risk;
    doc_page(d, false);
    doc_outline(d, 0, "What the price may come out as");
    doc_heading(d, DOC_HEAD, "What the price may come out as");
    in_words(d, risk);
    groups(d, risk);
    figure(d, risk);
    inputs(d, risk);
    for (size_t i = 0; i < risk->n_warnings; i++)
        doc_paragraph(d, DOC_SMALL, say_print(&d->words, "•  %s", risk->warnings[i]));
    doc_paragraph(d, DOC_SOFT,
                  say_print(&d->words,
                            "%zu runs, seed %llu, rank correlation %s between any two: Latin hypercube, each "
                            "run counted by the "
                            "lines of the price.",
                            risk->options.runs, (unsigned long long)risk->options.seed,
                            say_plain(&d->words, risk->options.correlation, 2)));
}
