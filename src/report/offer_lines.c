/* offer_lines.c - the sheet of money: each line a quantity from the sheet of the leaks times a price, rounded to cents, as
 * price/estimate.c has it. */
#include "report/offer_book.h"

#include <math.h>
#include <string.h>

typedef struct {
    book *b;
    const offer_book *o;
    lxw_worksheet *sheet;
    size_t row;
    double sum; /* of the lines so far, as stored */
} writing;

typedef struct {
    estimate_group group;
    const char *label, *quantity, *unit, *rate, *basis;
    double now, rate_now; /* stored where the plan has no such line */
} wanted;

static const estimate_line *planned(const book *b, const wanted *line) {
    const estimate *e = &b->plan->price;
    for (size_t i = 0; i < e->n_lines; i++)
        if (e->lines[i].group == line->group && strcmp(e->lines[i].label, line->label) == 0)
            return &e->lines[i];
    return NULL;
}

static void put(writing *w, const wanted *line) {
    book *b = w->b;
    const estimate_line *has = planned(b, line);
    book_cell at = {w->sheet, w->row, 2, b->number};
    bool share = strcmp(line->unit, "x") == 0;
    if (share) at.format = b->money;
    book_words(b, w->sheet, w->row, 0, estimate_group_words[line->group]);
    book_words(b, w->sheet, w->row, 1, line->label);
    book_formula(b, at, say_print(&b->words, "=%s", line->quantity), has ? has->quantity : line->now);
    book_words(b, w->sheet, w->row, 3, line->unit);
    at.column = 4;
    at.format = b->number;
    book_formula(b, at, say_print(&b->words, "=%s", line->rate), has ? has->rate : line->rate_now);
    at.column = 5;
    at.format = b->money;
    book_formula(b, at, say_print(&b->words, "=ROUND(C%zu*E%zu,2)", w->row + 1, w->row + 1),
                 has ? has->amount : 0);
    book_words(b, w->sheet, w->row, 6, line->basis);
    if (has) w->sum += has->amount;
    w->row++;
}

static void priced(writing *w, estimate_group group, const char *label, const char *quantity,
                   const char *price_id, const char *basis) {
    book *b = w->b;
    const survey *s = b->plan->survey;
    const char *unit = "";
    double times;
    for (size_t i = 0; i < s->n_prices; i++)
        if (strcmp(s->prices[i].id, price_id) == 0) unit = offer_unit(&b->words, s->prices[i].unit, &times);
    if (strcmp(unit, "job") == 0 || strcmp(unit, "visit") == 0) unit = "each";
    const wanted line = {
        group, label, quantity, unit, offer_price(b, price_id), basis, 0, offer_money(b, price_id)};
    put(w, &line);
}

static void labour(writing *w) {
    book *b = w->b;
    for (int k = 0; k < HOURS_COUNT; k++)
        if (w->o->hours_column[k])
            priced(w, LINE_LABOUR, estimate_labour_labels[k], offer_sum(b, w->o->hours_column[k]), "labour_h",
                   "quantities x rates, by leak");
    priced(w, LINE_LABOUR, "Keep moist",
           say_print(&b->words, "%s*%s*%s*%s", offer_job(b, JOB_FACES), offer_job(b, JOB_MOIST_DAYS),
                     offer_job(b, JOB_MOIST_ROUNDS), offer_rate(b, "cure_visit_h")),
           "labour_h", "faces x days x rounds x hours a round");
}

/* Lines whose quantity is a sum of one or two columns of the leaks. */
typedef struct {
    const char *label, *price, *basis;
    offer_amount of, and; /* the same twice: one column */
} summed;

static void sums(writing *w, estimate_group group, const summed *list, size_t n) {
    for (size_t i = 0; i < n; i++) {
        size_t a = w->o->amount_column[list[i].of], c = w->o->amount_column[list[i].and ];
        if (!a && !c) continue;
        const char *quantity = offer_sum(w->b, a ? a : c);
        if (a && c && a != c) quantity = say_print(&w->b->words, "%s+%s", quantity, offer_sum(w->b, c));
        priced(w, group, list[i].label, quantity, list[i].price, list[i].basis);
    }
}

static void plant(writing *w) {
    static const summed list[] = {
        {"Blade and chisel wear", "saw_blade_m", "length of slot and groove", AMOUNT_SLOT, AMOUNT_GROOVE},
        {"Scanner", "scan_m", "length of slot, groove, crack or edge drilled along", AMOUNT_SLOT,
         AMOUNT_SCANNED},
        {"Relief tubes", "relief_tube_each", "one a strong leak", AMOUNT_RELIEFS, AMOUNT_RELIEFS},
        {"Wear of drill bits", "drill_bit_m", "length of holes", AMOUNT_DRILLED, AMOUNT_DRILLED}};
    priced(w, LINE_PLANT, "Plant and tools", offer_job(w->b, JOB_DAYS), "plant_day", "crew days");
    sums(w, LINE_PLANT, list, sizeof list / sizeof *list);
}

static void materials(writing *w) {
    static const summed list[] = {
        {"Injection packers", "packer_each", "one a port", AMOUNT_PACKERS, AMOUNT_PACKERS},
        {"Paste to seal crack faces", "surface_seal_m", "length of crack, or round the place", AMOUNT_FACE,
         AMOUNT_FACE},
        {"Backer rod", "backer_m", "length of flexible seal", AMOUNT_BACKER, AMOUNT_BACKER},
        {"Drain channel", "channel_m", "length drained", AMOUNT_CHANNEL, AMOUNT_CHANNEL},
        {"Outlets of drain channels", "outlet_each", "one a channel", AMOUNT_OUTLETS, AMOUNT_OUTLETS}};
    book *b = w->b;
    for (size_t k = 0; k < b->plan->takeoff.n_orders; k++) {
        const takeoff_order *order = &b->plan->takeoff.orders[k];
        if (!w->o->material_column[k]) continue;
        const wanted line = {
            LINE_MATERIAL,
            order->material->name,
            "1",
            "lot",
            say_print(&b->words, "%s*%s", offer_sum(b, w->o->material_column[k]), offer_material(b, k)),
            "whole packs of the plan; a changed length in proportion",
            1,
            order->cost};
        put(w, &line);
    }
    sums(w, LINE_MATERIAL, list, sizeof list / sizeof *list);
}

static void site(writing *w) {
    static const summed spoil = {"Disposal of spoil and slurry", "disposal_spoil_kg", "volume cut out",
                                 AMOUNT_SPOIL, AMOUNT_SPOIL};
    book *b = w->b;
    say *s = &b->words;
    const char *days = offer_job(b, JOB_DAYS);
    priced(w, LINE_SITE, "Mobilisation", say_print(s, "IF(%s>0,1,0)", days), "mobilisation", "once");
    priced(w, LINE_SITE, "Access", days, "access_day", "crew days");
    if (w->o->amount_column[AMOUNT_PUMPED])
        priced(w, LINE_SITE, "Dewatering",
               say_print(s, "IF(%s>0,%s,0)", offer_sum(b, w->o->amount_column[AMOUNT_PUMPED]), days),
               "dewatering_day", "crew days while water runs");
    if (w->o->amount_column[AMOUNT_WASH])
        priced(w, LINE_SITE, "Capture and disposal of alkaline wash water",
               say_print(s, "%s*%s", offer_sum(b, w->o->amount_column[AMOUNT_WASH]),
                         offer_rate(b, "wash_water_l_m2")),
               "disposal_wash_l", "washed area");
    sums(w, LINE_SITE, &spoil, 1);
    priced(w, LINE_SITE, "Standby", say_print(s, "IF(%s>0,%s,0)", days, offer_job(b, JOB_STANDBY)),
           "standby_h", "waiting for hold points");
    priced(w, LINE_RETURN, "Return visits", say_print(s, "IF(%s>0,%s,0)", days, offer_job(b, JOB_RETURNS)),
           "return_visit", "24 h, 7 d, 28 d and the next high water");
}

/* Everything above this row. */
static const char *above(writing *w) {
    return say_print(&w->b->words, "ROUND(SUM(F2:F%zu),2)", w->row);
}

static void addition(writing *w, const char *label, const char *price_id) {
    book *b = w->b;
    const wanted line = {LINE_ADDITION,
                         label,
                         above(w),
                         "x",
                         say_print(&b->words, "%s/100", offer_price(b, price_id)),
                         "on all lines above",
                         estimate_cents(w->sum),
                         offer_money(b, price_id) / 100};
    put(w, &line);
}

static void minimum(writing *w) {
    book *b = w->b;
    const char *days = offer_job(b, JOB_DAYS);
    const wanted line = {LINE_ADDITION,
                         "To the minimum charge",
                         say_print(&b->words, "IF(%s>0,1,0)", days),
                         "lot",
                         say_print(&b->words, "MAX(0,%s-%s)", offer_price(b, "minimum_charge"), above(w)),
                         "the job's minimum charge",
                         b->plan->price.crew_days > 0,
                         fmax(0, offer_money(b, "minimum_charge") - w->sum)};
    put(w, &line);
}

static void total(writing *w, const char *label, size_t last, double value) {
    worksheet_write_string(w->sheet, (lxw_row_t)w->row, 1, label, w->b->total_words);
    book_formula(w->b, (book_cell){w->sheet, w->row++, 5, w->b->total_money},
                 say_print(&w->b->words, "=ROUND(SUM(F2:F%zu),2)", last), value);
}

static void notes(writing *w) {
    static const char *const lines[] = {"Figures on yellow, on the sheets Leaks, Rates and Prices, may be "
                                        "changed: hours, days, lines and total follow.",
                                        "A changed length carries its quantities and materials in "
                                        "proportion. Whole packs, margins, overlaps and methods are "
                                        "those of the plan: for these change the job and plan again.",
                                        "Tax is not in these figures."};
    w->row++;
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++)
        worksheet_write_string(w->sheet, (lxw_row_t)w->row++, 0, lines[i], NULL);
}

void offer_sheet_lines(book *b) {
    const book_column columns[] = {
        {"Group", 16}, {"Line", 42}, {"Quantity", 12},
        {"Unit", 8},   {"Rate", 12}, {say_print(&b->words, "Amount, %s", b->words.currency), 14},
        {"From", 50}};
    const offer_book *o = b->content;
    writing w = {b, o, book_sheet(b, "Offer", columns, sizeof columns / sizeof *columns), 1, 0};
    if (!w.sheet) return;
    const char *stamp =
        o->options->number > 0
            ? say_print(&b->words, "&L&A %lld of %s&Rpage &P of &N", o->options->number, o->options->date)
            : say_print(&b->words, "&LDraft of %s&Rpage &P of &N", o->options->date);
    worksheet_set_header(w.sheet, stamp);
    labour(&w);
    plant(&w);
    materials(&w);
    site(&w);
    size_t before = w.row;
    addition(&w, "Overhead", "overhead_percent");
    addition(&w, "Profit", "profit_percent");
    minimum(&w);
    size_t last = w.row;
    total(&w, "Subtotal before additions", before, b->plan->price.subtotal);
    total(&w, "Total, without tax", last, b->plan->price.total);
    notes(&w);
}
