/* handover_bill.c - quantities to bill: what was measured, at the rates of the offer. */
#include "price/figures.h"
#include "report/handover_parts.h"

#include <string.h>

static const table_column bill_columns[] = {
    {"", 0.31, ALIGN_LEFT, false},          {"Offered", 0.14, ALIGN_RIGHT, false},
    {"Measured", 0.15, ALIGN_RIGHT, false}, {"Rate", 0.12, ALIGN_RIGHT, false},
    {"Amount", 0.14, ALIGN_RIGHT, false},   {"From", 0.14, ALIGN_LEFT, true}};

static bool is_share(const built_bill *b) {
    return b->unit && strcmp(b->unit, "x") == 0; /* of other lines */
}

static const char *counted(const handover *h, const built_bill *b, double quantity, int decimals) {
    if (is_share(b)) return say_money(h->words, quantity);
    const char *unit = b->unit ? b->unit : "";
    return say_print(h->words, "%s%s%s", say_plain(h->words, quantity, decimals), *unit ? "\u00a0" : "",
                     unit);
}

static const char *rate(const handover *h, const built_bill *b, int decimals) {
    if (is_share(b)) return say_print(h->words, "%s %%", say_plain(h->words, b->rate * 100, 2));
    return decimals > 2 ? say_plain(h->words, b->rate, decimals) : say_money(h->words, b->rate);
}

static void bill(const handover *h, handover_rows *to, const built_bill *b) {
    bool known = b->quantity.known;
    const figures_decimals with = figures_of(known ? b->quantity.v : 0, b->rate, known ? b->amount : 0);
    handover_put(
        h, to,
        (const char *[]){b->basis && *b->basis ? say_print(h->words, "%s\n%s", b->label, b->basis) : b->label,
                         counted(h, b, b->offered, 2),
                         known ? counted(h, b, b->quantity.v, with.quantity) : "not recorded",
                         rate(h, b, with.rate), known ? say_money(h->words, b->amount) : "not billed",
                         handover_said(h, "P", BY_BILL)},
        ROW_PLAIN);
}

static void sum(const handover *h, handover_rows *to, const char *label, double amount) {
    handover_put(h, to,
                 (const char *[]){label, "", "", h->words->currency, say_money(h->words, amount),
                                  handover_said(h, "", BY_BILL)},
                 ROW_TOTAL);
}

handover_rows handover_billed(const handover *h) {
    const built_job *b = h->view->built;
    handover_rows rows = {.title = "Line", .columns = bill_columns, .n_columns = 6};
    for (size_t i = 0; i < b->n_bills; i++) bill(h, &rows, &b->bills[i]);
    if (b->bill_subtotal != b->bill_total) sum(h, &rows, "Sum of the lines measured", b->bill_subtotal);
    sum(h, &rows, "Total, without tax", b->bill_total);
    return rows;
}

void handover_bill(doc *d) {
    handover *h = handover_of(d);
    handover_rows rows = handover_built_job(h);
    doc_heading(d, DOC_HEAD, "The job as built");
    doc_outline(d, 0, "As built, quantities to bill");
    handover_draw(d, &rows, 8);
    rows = handover_materials(h);
    handover_draw(d, &rows, 8);
    doc_need(d, 140); /* with some lines */
    doc_heading(d, DOC_HEAD, "Quantities to bill");
    d->first_table = d->page;
    doc_paragraph(
        d, DOC_SMALL,
        "Quantities as measured at the work, rates of the offer. What was not recorded is not billed and "
        "stands so in its line.");
    if (h->view->built->n_bills == 0) {
        doc_paragraph(d, DOC_BODY, "There is nothing to bill: no quantity was recorded.");
        return;
    }
    rows = handover_billed(h);
    handover_draw(d, &rows, 8);
}
