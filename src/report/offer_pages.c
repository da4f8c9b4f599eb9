/* offer_pages.c - the offer behind its cover: the scope, what is left out, rates and prices with their marks. */
#include "report/offer_amounts.h"
#include "report/offer_parts.h"
#include "report/pdf.h"
#include "report/sections.h"
#include "report/table.h"

#include <stdio.h>
#include <string.h>

const offer_content *offer_of(const doc *d) {
    return d->content;
}

/* ---- scope ---- */

/* How much of it: metres along a line, an area, or so many. */
static const char *treated(doc *d, size_t i) {
    const repair_design *design = &d->plan->designs[i];
    const takeoff_leak *t = &d->plan->takeoff.leaks[i];
    survey_method name = design->method.name;
    say *w = &d->words;
    if (!design_is_priced(design)) return "";
    if (name == METHOD_HOLE) return "1 hole";
    if (name == METHOD_RING) return say_length(w, design->ring_length_m);
    if (name == METHOD_CUT_BACK) return say_value(w, UNITS_AREA, design->patch_m2);
    if (name == METHOD_COAT) return say_value(w, UNITS_AREA, t->last_coat_m2);
    if (name == METHOD_FLEXIBLE) return say_length(w, design->flexible.length_m);
    if (name == METHOD_DRAIN) return say_length(w, design->drain.length_m);
    if (method_is_injection(name))
        return design->injection.to_m > design->injection.from_m
                   ? say_length(w, design->injection.to_m - design->injection.from_m)
                   : say_print(w, "%d packers", t->packers);
    return say_length(w, t->slot_length_m);
}

static const char *sum_of(doc *d, size_t i) {
    if (design_is_priced(&d->plan->designs[i])) return say_money(&d->words, d->plan->price.leaks[i].cost);
    return d->plan->designs[i].method.name == METHOD_WATCH ? "watched" : "not priced";
}

static void leak_rows(doc *d, table *t, double *sum) {
    const plan *p = d->plan;
    say *w = &d->words;
    for (size_t i = 0; i < p->n_leaks; i++) {
        const survey_defect *defect = p->leaks[i].defect;
        survey_method name = p->designs[i].method.name;
        const char *what = say_print(w, "%s\n%s", method_words[name], method_about[name]);
        const char *where =
            say_print(w, "%s\n%s", say_kind_words[defect->kind], say_faces(w, p->survey, defect));
        table_row(t, (const char *[]){defect->mark, where, what, treated(d, i), sum_of(d, i)}, ROW_PLAIN);
        *sum = estimate_cents(*sum + p->price.leaks[i].cost);
    }
}

void offer_scope(doc *d) {
    say *w = &d->words;
    const table_column columns[] = {{"Mark", 0.8, ALIGN_LEFT, false},
                                    {"What and where", 2, ALIGN_LEFT, false},
                                    {"What is done", 3, ALIGN_LEFT, false},
                                    {"How much", 1, ALIGN_RIGHT, false},
                                    {say_print(w, "Sum %s", w->currency), 1.1, ALIGN_RIGHT, false}};
    double sum = 0, total = d->plan->price.total;
    doc_need(d, 150); /* below the cover's lines where a few leaks have room there */
    doc_outline(d, 0, "Leak by leak");
    doc_heading(d, DOC_HEAD, "What is done, leak by leak");
    table t = table_begin(d, columns, sizeof columns / sizeof *columns, 8.5);
    leak_rows(d, &t, &sum);
    table_row(&t, (const char *[]){"", "At the leaks, together", "", "", say_money(w, sum)}, ROW_TOTAL);
    table_row(&t,
              (const char *[]){"", "For the job as a whole",
                               "plant, site, whole packs, keeping moist, return visits, additions", "",
                               say_money(w, estimate_cents(total - sum))},
              ROW_PLAIN);
    table_row(&t, (const char *[]){"", "Total, without tax", "", "", say_money(w, total)}, ROW_TOTAL);
    table_end(&t);
    doc_paragraph(d, DOC_SMALL,
                  "The sum of a leak is its labour and its part of the materials. The same total by kind of "
                  "cost stands "
                  "under \"Price\".");
}

/* ---- left out ---- */

/* Marks of the leaks without a price: of those that are watched, or of the others. */
static const char *marks(doc *d, bool watched) {
    text all = {0};
    for (size_t i = 0; i < d->plan->n_leaks; i++) {
        const repair_design *design = &d->plan->designs[i];
        if (design_is_priced(design) || (design->method.name == METHOD_WATCH) != watched) continue;
        text_print(&all, "%s%s", all.length ? ", " : "", d->plan->leaks[i].defect->mark);
    }
    if (all.failed) d->words.failed = true;
    const char *kept = say_print(&d->words, "%s", text_get(&all));
    text_free(&all);
    return kept;
}

/* Common practice of offers for such work; the firm adds its own conditions. */
static const char *const never_in[] = {
    "Tax.",
    "Leaks that were dry or hidden when the job was looked at, and water that comes out elsewhere once these "
    "are sealed.",
    "The cause of the cracks, structural repair, steel that is found corroded or cut.",
    "Finishes: paint, plaster, tiles, insulation and whatever stands before the face.",
    "Power, fresh water, light and free access to the face, which the client provides.",
    "Permits, traffic control, night work and waiting for which the firm is not the cause, beyond the hours "
    "of standby priced.",
    "Lowering the ground water, and treatment of water that is more than alkaline.",
};

void offer_left_out(doc *d) {
    const char *stopped = marks(d, false), *watched = marks(d, true);
    doc_heading(d, DOC_HEAD, "Not included");
    doc_outline(d, 0, "Not included");
    if (*stopped)
        doc_paragraph(d, DOC_BODY,
                      say_print(&d->words,
                                "•  %s: not designed before what is open about them has been answered.",
                                stopped));
    if (*watched) doc_paragraph(d, DOC_BODY, say_print(&d->words, "•  %s: left and watched.", watched));
    for (size_t i = 0; i < sizeof never_in / sizeof *never_in; i++)
        doc_paragraph(d, DOC_BODY, say_print(&d->words, "•  %s", never_in[i]));
}

/* ---- rates and prices ---- */

static const char *range(say *w, maybe low, maybe high, double times) {
    if (!low.known || !high.known) return "";
    return say_print(w, "%s - %s", say_plain(w, low.v * times, 3), say_plain(w, high.v * times, 3));
}

static const char *mark_of(survey_basis basis) {
    static const char *const words[BASIS_COUNT] = {"published", "our default", "own records"};
    return words[basis];
}

static void rate_rows(doc *d, table *t) {
    const plan *p = d->plan;
    say *w = &d->words;
    double sums[AMOUNT_COUNT] = {0}, times;
    for (size_t i = 0; i < p->n_leaks; i++) {
        offer_leak leak;
        offer_leak_count(p, i, &leak);
        for (size_t k = 0; k < AMOUNT_COUNT; k++) sums[k] += leak.values[k];
    }
    table_row(t, (const char *[]){"rates of work", "", "", "", ""}, ROW_GROUP);
    for (size_t i = 0; i < p->survey->n_rates; i++) {
        const survey_rate *rate = &p->survey->rates[i];
        if (!offer_rate_counts(rate, sums)) continue;
        const char *unit = offer_unit(w, rate->unit, &times);
        const char *from = offer_rate_source(w, rate);
        table_row(t,
                  (const char *[]){offer_rate_label(w, rate),
                                   say_print(w, "%s %s", say_plain(w, rate->value * times, 4), unit),
                                   range(w, rate->low, rate->high, times), mark_of(rate->basis),
                                   from ? from : ""},
                  ROW_PLAIN);
    }
}

/* A price counts where a line of the offer has it, or it bounds the whole. */
static bool price_counts(const plan *p, const survey_price *price) {
    if (strcmp(price->id, "minimum_charge") == 0) return true;
    for (size_t i = 0; i < p->price.n_lines; i++) {
        const estimate_line *line = &p->price.lines[i];
        if (line->code && strcmp(line->code, price->id) == 0) return true;
    }
    return strcmp(price->id, "labour_h") == 0;
}

static const char *per(say *w, double value, const char *unit) {
    const char *number = say_plain(w, value, 4);
    return strcmp(unit, "%") == 0 ? say_print(w, "%s %%", number) : say_print(w, "%s a %s", number, unit);
}

static void price_rows(doc *d, table *t) {
    const survey *s = d->plan->survey;
    say *w = &d->words;
    table_row(t, (const char *[]){"prices", "", "", "", ""}, ROW_GROUP);
    for (size_t i = 0; i < s->n_prices; i++) {
        const survey_price *price = &s->prices[i];
        double times;
        if (!price_counts(d->plan, price)) continue;
        const char *unit = offer_unit(w, price->unit, &times),
                   *label = price->label ? price->label : price->id;
        bool made_up = strstr(label, "(invented)");
        table_row(t,
                  (const char *[]){label, per(w, price->price / times, unit),
                                   range(w, price->low, price->high, 1 / times),
                                   made_up ? "invented" : "the firm's",
                                   made_up ? "catalogue, stands for no market" : "the job"},
                  ROW_PLAIN);
    }
}

void offer_marks(doc *d) {
    static const table_column columns[] = {{"Rate or price", 2.3, ALIGN_LEFT, false},
                                           {"Value", 1.1, ALIGN_RIGHT, false},
                                           {"Low to high", 1.1, ALIGN_MIDDLE, false},
                                           {"Mark", 0.9, ALIGN_LEFT, false},
                                           {"From", 2.6, ALIGN_LEFT, true}};
    doc_need(d, 140); /* a heading, heads and rows */
    doc_heading(d, DOC_HEAD, "Rates and prices, and where they come from");
    doc_outline(d, 0, "Rates and prices");
    table t = table_begin(d, columns, sizeof columns / sizeof *columns, 7.5);
    rate_rows(d, &t);
    price_rows(d, &t);
    table_end(&t);
}

/* ---- the whole ---- */

static void whole_offer(doc *d) {
    offer_cover(d);
    offer_scope(d);
    section_price(d);
    if (offer_of(d)->risk) offer_risk(d);
    offer_left_out(d);
    section_cautions(d);
    offer_marks(d);
    section_closing(d);
}

status report_offer_pdf(const plan *p, const risk_result *risk, const offer_options *options, text *out,
                        fault *why) {
    const report_options paper = {.date = options->date, .version = options->version, .link = options->link};
    offer_content content = {options->without_risk ? NULL : risk, options};
    char stamp[64];
    if (options->number > 0)
        snprintf(stamp, sizeof stamp, "offer %lld · plan %.8s", options->number, p->price_hash);
    else
        snprintf(stamp, sizeof stamp, "draft · plan %.8s", p->price_hash);
    doc d = {.plan = p,
             .options = &paper,
             .content = &content,
             .subject = "Offer to seal leaking concrete",
             .stamp = stamp};
    return pdf_make(&d, whole_offer, out, why);
}
