/* xlsx_job.c - what to order and what it costs, for the whole job. */
#include "report/book.h"

#include <math.h>
#include <string.h>

static const char *packs(book *b, const takeoff_order *order) {
    if (order->problem) return order->problem;
    text all = {0};
    for (size_t i = 0; i < order->n_packs; i++)
        text_print(&all, "%s%d × %s", i ? ", " : "", order->packs[i].count,
                   say_value(&b->words, takeoff_amount_of(order).q,
                             takeoff_pack_size(order->material, order->packs[i].pack)));
    if (all.failed) b->words.failed = true;
    const char *kept = say_print(&b->words, "%s", text_get(&all));
    text_free(&all);
    return kept;
}

void book_orders(book *b) {
    const book_column columns[] = {{"Material", 36},
                                   {"Need", 12},
                                   {"Bought", 12},
                                   {"Left over", 12},
                                   {"Unit", 8},
                                   {"Packs", 30},
                                   {say_print(&b->words, "Cost, %s", b->words.currency), 14},
                                   {"Note", 40}};
    lxw_worksheet *sheet = book_sheet(b, "Orders", columns, sizeof columns / sizeof *columns);
    if (!sheet) return;
    size_t n = b->plan->takeoff.n_orders;
    double sum = 0;
    for (size_t i = 0; i < n; i++) {
        const takeoff_order *o = &b->plan->takeoff.orders[i];
        size_t row = i + 1;
        book_words(b, sheet, row, 0, o->material->name ? o->material->name : o->material->id);
        const takeoff_amount amount = takeoff_amount_of(o);
        double need = units_from_si(amount.q, b->words.system, amount.need),
               bought = units_from_si(amount.q, b->words.system, amount.bought);
        book_number(b, sheet, row, 1, need);
        book_number(b, sheet, row, 2, bought);
        book_formula(b, (book_cell){sheet, row, 3, b->number},
                     say_print(&b->words, "=C%zu-B%zu", row + 1, row + 1), bought - need);
        book_words(b, sheet, row, 4, say_unit(&b->words, amount.q));
        book_words(b, sheet, row, 5, packs(b, o));
        worksheet_write_number(sheet, (lxw_row_t)row, 6, o->cost, b->money);
        book_words(b, sheet, row, 7, o->material->data_note);
        sum += o->cost;
    }
    if (n == 0) return;
    worksheet_write_string(sheet, (lxw_row_t)n + 1, 0, "All", b->total_words);
    book_sum(b, (book_cell){sheet, n + 1, 6, b->total_money}, sum);
}

/* Lines that are a share of those above keep counting on them. */
static bool is_share(const estimate_line *line, double above) {
    return line->unit && strcmp(line->unit, "x") == 0 && fabs(line->quantity - above) < 0.005;
}

static void price_row(book *b, lxw_worksheet *sheet, size_t row, const estimate_line *line, double above) {
    book_words(b, sheet, row, 0, estimate_group_words[line->group]);
    book_words(b, sheet, row, 1, line->label);
    book_words(b, sheet, row, 3, line->unit);
    worksheet_write_number(sheet, (lxw_row_t)row, 4, line->rate, b->number);
    if (is_share(line, above))
        book_formula(b, (book_cell){sheet, row, 2, b->money}, say_print(&b->words, "=SUM(F2:F%zu)", row),
                     above);
    else
        book_number(b, sheet, row, 2, line->quantity);
    double product = round(line->quantity * line->rate * 100) / 100;
    const char *formula = say_print(&b->words, "=ROUND(C%zu*E%zu,2)", row + 1, row + 1);
    if (fabs(product - line->amount) < 0.005)
        book_formula(b, (book_cell){sheet, row, 5, b->money}, formula, line->amount);
    else
        worksheet_write_number(sheet, (lxw_row_t)row, 5, line->amount, b->money);
    book_words(b, sheet, row, 6, line->basis);
}

void book_price(book *b) {
    const book_column columns[] = {
        {"Group", 16}, {"Line", 40}, {"Quantity", 12},
        {"Unit", 8},   {"Rate", 12}, {say_print(&b->words, "Amount, %s", b->words.currency), 14},
        {"Basis", 50}};
    lxw_worksheet *sheet = book_sheet(b, "Price", columns, sizeof columns / sizeof *columns);
    if (!sheet) return;
    const estimate *e = &b->plan->price;
    double above = 0;
    for (size_t i = 0; i < e->n_lines; i++) {
        price_row(b, sheet, i + 1, &e->lines[i], above);
        above += e->lines[i].amount;
    }
    if (e->n_lines == 0) return;
    size_t last = e->n_lines;
    worksheet_write_string(sheet, (lxw_row_t)last + 1, 1, "Subtotal before additions", b->total_words);
    const char *formula = say_print(&b->words, "=SUMIF(A2:A%zu,\"<>%s\",F2:F%zu)", last + 1,
                                    estimate_group_words[LINE_ADDITION], last + 1);
    book_formula(b, (book_cell){sheet, last + 1, 5, b->total_money}, formula, e->subtotal);
    worksheet_write_string(sheet, (lxw_row_t)last + 2, 1, "Total, without tax", b->total_words);
    book_formula(b, (book_cell){sheet, last + 2, 5, b->total_money},
                 say_print(&b->words, "=SUM(F2:F%zu)", last + 1), e->total);
}
