/* offer_cover.c - the first page of an offer: who, what, for how much, how sure, until when. */
#include "report/offer_parts.h"
#include "report/table.h"

#include <string.h>

static const double CODE_PT = 76; /* room of the code, beside the title */

static double line(doc *d, doc_style style, double y, double width, const char *words) {
    return words && *words ? doc_text_at(d, style, DOC_MARGIN, y, width, words) + 3 : 0;
}

static void heading(doc *d) {
    const survey_site *site = &d->plan->survey->site;
    const offer_options *o = offer_of(d)->options;
    say *w = &d->words;
    double top = d->y, side = o->link ? doc_code(d, o->link, DOC_MARGIN + doc_inner(d) - CODE_PT, top) : 0;
    double width = doc_inner(d) - (side > 0 ? CODE_PT + 10 : 0), y = top;
    y += line(d, DOC_SOFT, y, width, "OFFER TO SEAL LEAKING CONCRETE");
    y += line(d, DOC_TITLE, y, width, site->name && *site->name ? site->name : "Job without a name");
    if (site->place && *site->place) y += line(d, DOC_BODY, y, width, site->place);
    y += line(d, DOC_BOLD, y, width,
              o->number > 0 ? say_print(w, "Offer %lld of %s", o->number, o->date)
                            : say_print(w, "Draft of %s: not kept in the job, no offer", o->date));
    y += line(d, DOC_BODY, y, width, site->client_note);
    d->y = (y > top + side ? y : top + side) + 6;
}

/* A box to be filled in by hand or by a stamp. */
static void party(doc *d, double x, double width, double height, const char *label) {
    doc_box(d, (sheet_box){x, d->y, width, height}, 0x999999, -1);
    doc_text_at(d, DOC_SOFT, x + 6, d->y + 4, width - 12, label);
}

static void parties(doc *d) {
    const double height = 74, gap = 10;
    double width = (doc_inner(d) - gap) / 2;
    doc_need(d, height);
    party(d, DOC_MARGIN, width, height, "From: the firm, its address");
    party(d, DOC_MARGIN + width + gap, width, height, "To: the client");
    d->y += height + 10;
}

static void price(doc *d) {
    say *w = &d->words;
    const estimate *e = &d->plan->price;
    const char *words = say_print(w, "Price: %s %s", say_money(w, e->total), w->currency);
    const char *more = "Without tax. The lines that add up to it follow.";
    double inner = doc_inner(d) - 16, first = doc_measure(d, DOC_TITLE, inner, words);
    double height = first + doc_measure(d, DOC_BODY, inner, more) + 14;
    doc_need(d, height);
    doc_box(d, (sheet_box){DOC_MARGIN, d->y, doc_inner(d), height}, 0x333333, 0xf4f4f2);
    doc_text_at(d, DOC_TITLE, DOC_MARGIN + 8, d->y + 4, inner, words);
    doc_text_at(d, DOC_BODY, DOC_MARGIN + 8, d->y + first + 7, inner, more);
    d->y += height + 8;
}

static size_t priced(const plan *p) {
    size_t n = 0;
    for (size_t i = 0; i < p->n_leaks; i++) n += design_is_priced(&p->designs[i]);
    return n;
}

static void row(table *t, const char *label, const char *value) {
    table_row(t, (const char *[]){label, value}, ROW_PLAIN);
}

static void facts(doc *d) {
    static const table_column columns[] = {{"", 0.26, ALIGN_LEFT, false}, {"", 0.74, ALIGN_LEFT, false}};
    const plan *p = d->plan;
    const risk_result *risk = offer_of(d)->risk;
    say *w = &d->words;
    size_t n = priced(p), left = p->n_leaks - n;
    table t = table_begin(d, columns, 2, 9.5);
    row(&t, "Leaks treated",
        left ? say_print(w, "%zu of the %zu found; the others are not in this price", n, p->n_leaks)
             : say_print(w, "%zu, all that were found", n));
    row(&t, "Work",
        say_print(w, "%s hours of labour; %s, %s people, %s hours a day",
                  say_plain(w, p->price.hours_total, 1), say_crew_days(w, p->price.crew_days),
                  say_plain(w, p->survey->site.crew, 1), say_plain(w, p->survey->site.shift_h, 1)));
    if (risk) {
        row(&t, "As likely above as below (P50)",
            say_print(w, "%s %s", say_money(w, risk->price.p50), w->currency));
        row(&t, "Four in five stay below (P80)",
            say_print(w, "%s %s", say_money(w, risk->price.p80), w->currency));
        row(&t, "To hold back (contingency)",
            say_print(w, "%s %s, P80 less the price. Why: under \"What the price may come out as\"",
                      say_money(w, risk->contingency), w->currency));
    }
    table_end(&t);
}

/* Prices of the shipped catalogue say what they are in their labels. */
static size_t invented(const survey *s) {
    size_t n = 0;
    for (size_t i = 0; i < s->n_prices; i++)
        n += s->prices[i].label && strstr(s->prices[i].label, "(invented)");
    return n;
}

static void warnings(doc *d) {
    const survey *s = d->plan->survey;
    size_t stops = plan_open_stops(d->plan), made_up = invented(s);
    say *w = &d->words;
    if (stops)
        doc_paragraph(
            d, DOC_ALARM,
            say_print(w,
                      "%zu open STOP: part of this work is not designed, and not in the price, until a "
                      "named person has answered.",
                      stops));
    if (made_up)
        doc_paragraph(
            d, DOC_ALARM,
            say_print(
                w,
                "%zu of %zu prices behind this offer are the invented ones of the catalogue: the firm puts "
                "its own in their place before this leaves the house.",
                made_up, s->n_prices));
    if (d->replaced)
        doc_paragraph(
            d, DOC_SMALL,
            "Some characters of this job have no font on the machine that made this document; they stand as "
            "Unicode numbers in brackets, [U+....].");
}

static void blank(doc *d, const char *label) {
    const double room = 24, from = 190;
    doc_need(d, room);
    doc_text_at(d, DOC_BODY, DOC_MARGIN, d->y + 8, from, label);
    doc_rule(d, DOC_MARGIN + from, d->y + room - 4, doc_inner(d) - from, 0.5, 0x666666);
    d->y += room;
}

static void validity(doc *d) {
    static const char *const labels[] = {"This offer is valid until", "Place, date, for the firm",
                                         "Accepted: place, date, for the client"};
    doc_need(d, 120);
    doc_heading(d, DOC_SUBHEAD, "Validity and signatures");
    for (size_t i = 0; i < sizeof labels / sizeof *labels; i++) blank(d, labels[i]);
    d->y += 4;
}

void offer_cover(doc *d) {
    doc_page(d, false);
    doc_outline(d, 0, "Offer");
    heading(d);
    parties(d);
    price(d);
    warnings(d);
    facts(d);
    validity(d);
}
