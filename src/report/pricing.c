/* pricing.c - the price by line and group, as it was worked out. */
#include "price/figures.h"
#include "report/sections.h"
#include "report/table.h"

#include <string.h>

static bool is_share(const estimate_line *line) {
    return line->unit && strcmp(line->unit, "x") == 0; /* of other lines */
}

static const char *rate(say *w, const estimate_line *line) {
    if (is_share(line)) return say_print(w, "%s %%", say_plain(w, line->rate * 100, 2));
    int decimals = figures_of(line->quantity, line->rate, line->amount).rate;
    return decimals > 2 ? say_plain(w, line->rate, decimals) : say_money(w, line->rate);
}

static const char *quantity(say *w, const estimate_line *line) {
    if (is_share(line)) return say_money(w, line->quantity);
    return say_plain(w, line->quantity, figures_of(line->quantity, line->rate, line->amount).quantity);
}

static void total(table *t, const char *label, const char *amount) {
    table_row(t, (const char *[]){label, "", "", "", amount, ""}, ROW_TOTAL);
}

static void group(doc *d, table *t, estimate_group of) {
    say *w = &d->words;
    const estimate *e = &d->plan->price;
    double sum = 0;
    size_t n = 0;
    for (size_t i = 0; i < e->n_lines; i++) {
        const estimate_line *line = &e->lines[i];
        if (line->group != of) continue;
        if (n++ == 0) table_row(t, (const char *[]){estimate_group_words[of], "", "", "", "", ""}, ROW_GROUP);
        table_row(t,
                  (const char *[]){line->label, quantity(w, line), line->unit ? line->unit : "",
                                   rate(w, line), say_money(w, line->amount), line->basis ? line->basis : ""},
                  ROW_PLAIN);
        sum += line->amount;
    }
    if (n > 1) total(t, say_print(w, "%s, together", estimate_group_words[of]), say_money(w, sum));
}

void section_price(doc *d) {
    say *w = &d->words;
    const estimate *e = &d->plan->price;
    const table_column columns[] = {{"Line", 2.5, ALIGN_LEFT, false},
                                    {"Quantity", 0.95, ALIGN_RIGHT, false},
                                    {"Unit", 0.6, ALIGN_LEFT, false},
                                    {"Rate", 0.9, ALIGN_RIGHT, false},
                                    {say_print(w, "Amount %s", w->currency), 1.1, ALIGN_RIGHT, false},
                                    {"From", 2.6, ALIGN_LEFT, true}};
    doc_page(d, false);
    doc_outline(d, 0, "Price");
    doc_heading(d, DOC_HEAD, "Price");
    table t = table_begin(d, columns, sizeof columns / sizeof *columns, 8.5);
    for (int of = 0; of < LINE_GROUPS; of++) {
        if (of == LINE_ADDITION) total(&t, "Subtotal before additions", say_money(w, e->subtotal));
        group(d, &t, (estimate_group)of);
    }
    total(&t, "Total, without tax", say_money(w, e->total));
    table_end(&t);
    doc_paragraph(
        d, DOC_SMALL,
        say_print(w,
                  "%s labour hours, %s. Each line is rounded to cents, so that the lines add up to "
                  "the total. Where the work comes to less than the job's minimum charge, the difference "
                  "stands as a line of its own. Leaks under an open STOP are not in the price.",
                  say_plain(w, e->hours_total, 1), say_crew_days(w, e->crew_days)));
}
