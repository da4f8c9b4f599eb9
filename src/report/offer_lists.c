/* offer_lists.c - rates with the job's figures, prices with the materials as bought, and the risk as it was counted. */
#include "report/offer_book.h"

#include <string.h>

static void value_if(book *b, lxw_worksheet *sheet, size_t row, size_t column, maybe value, double times) {
    if (value.known) book_number(b, sheet, row, column, value.v * times);
}

static void open_number(book *b, lxw_worksheet *sheet, size_t row, double value) {
    worksheet_write_number(sheet, (lxw_row_t)row, 1, value, b->open);
}

/* ---- rates ---- */

/* What a changed rate does in this book. */
static const char *follows(const survey_rate *rate, const double sums[AMOUNT_COUNT]) {
    if (strcmp(rate->id, "waste_percent") == 0) return "packs: plan again";
    return offer_rate_counts(rate, sums) ? "followed" : "";
}

static void rate_row(book *b, lxw_worksheet *sheet, size_t row, const survey_rate *rate) {
    const offer_book *o = b->content;
    double times;
    const char *unit = offer_unit(&b->words, rate->unit, &times);
    book_words(b, sheet, row, 0, offer_rate_label(&b->words, rate));
    open_number(b, sheet, row, rate->value * times);
    book_words(b, sheet, row, 2, unit);
    book_number(b, sheet, row, 3, rate->value * times);
    value_if(b, sheet, row, 4, rate->low, times);
    value_if(b, sheet, row, 5, rate->high, times);
    book_words(b, sheet, row, 6, survey_basis_words[rate->basis]);
    book_words(b, sheet, row, 7, offer_rate_source(&b->words, rate));
    book_words(b, sheet, row, 8, follows(rate, o->sums));
}

static void job_rows(book *b, lxw_worksheet *sheet) {
    const offer_book *o = b->content;
    const char *metre = say_unit(&b->words, UNITS_LENGTH);
    const struct {
        const char *label, *unit, *from;
    } rows[JOB_COUNT] = {{"Crew", "people", "the job"},
                         {"Shift", "h", "the job"},
                         {"Faces kept moist", "", "faces with a coat"},
                         {"Days kept moist", "", "2-3 days, common practice; the longer"},
                         {"Rounds a day", "", "our default"},
                         {"Return visits", "", "24 h, 7 d, 28 d and the next high water"},
                         {"Waiting for hold points", "h", "our default"},
                         {"A piece of plug fills, of slot", metre, "common practice"},
                         {"Scan and mark the steel", say_print(&b->words, "h/%s", metre), "our default"},
                         {"Labour hours in all", "h", "counted"},
                         {"Crew days", "", "half days, counted"}};
    for (int k = 0; k < JOB_HOURS; k++) {
        size_t row = o->job_row + (size_t)k;
        open_number(b, sheet, row, offer_job_value(b, (offer_job_figure)k));
    }
    for (size_t k = 0; k < JOB_COUNT; k++) {
        size_t row = o->job_row + k;
        book_words(b, sheet, row, 0, rows[k].label);
        book_words(b, sheet, row, 2, rows[k].unit);
        book_words(b, sheet, row, 7, rows[k].from);
    }
    const char *moist =
        say_print(&b->words, "%s*%s*%s*%s", offer_job(b, JOB_FACES), offer_job(b, JOB_MOIST_DAYS),
                  offer_job(b, JOB_MOIST_ROUNDS), offer_rate(b, "cure_visit_h"));
    book_formula(b, (book_cell){sheet, o->job_row + JOB_HOURS, 1, b->number},
                 say_print(&b->words, "=%s+%s", offer_sum(b, o->total_column), moist),
                 offer_job_value(b, JOB_HOURS));
    book_formula(b, (book_cell){sheet, o->job_row + JOB_DAYS, 1, b->number},
                 say_print(&b->words, "=CEILING(MAX(0,%s/(%s*%s)*2-0.000000001),1)/2",
                           offer_job(b, JOB_HOURS), offer_job(b, JOB_CREW), offer_job(b, JOB_SHIFT)),
                 offer_job_value(b, JOB_DAYS));
}

void offer_sheet_rates(book *b) {
    static const book_column columns[] = {{"Rate", 40},        {"Now", 10},  {"Unit", 9},
                                          {"In the plan", 10}, {"Low", 9},   {"High", 9},
                                          {"Mark", 10},        {"From", 60}, {"In this book", 16}};
    const offer_book *o = b->content;
    const survey *s = b->plan->survey;
    lxw_worksheet *sheet = book_sheet(b, "Rates", columns, sizeof columns / sizeof *columns);
    if (!sheet) return;
    for (size_t i = 0; i < s->n_rates; i++) rate_row(b, sheet, i + 1, &s->rates[i]);
    worksheet_write_string(sheet, (lxw_row_t)o->job_row - 1, 0, "The job", b->total_words);
    job_rows(b, sheet);
}

/* ---- prices ---- */

static void material_row(book *b, lxw_worksheet *sheet, size_t row, size_t order) {
    const takeoff_order *of = &b->plan->takeoff.orders[order];
    book_words(b, sheet, row, 0, of->material->name ? of->material->name : of->material->id);
    worksheet_write_number(sheet, (lxw_row_t)row, 1, of->cost, b->open);
    book_words(b, sheet, row, 2, "lot");
    book_number(b, sheet, row, 3, offer_material_need(b, order));
    book_words(b, sheet, row, 4, say_unit(&b->words, takeoff_amount_of(of).q));
    book_words(b, sheet, row, 6, of->material->data_note);
}

void offer_sheet_prices(book *b) {
    const book_column columns[] = {{"Price", 50}, {say_print(&b->words, "Now, %s", b->words.currency), 12},
                                   {"Unit", 9},   {"In the plan", 12},
                                   {"Low", 9},    {"High", 9},
                                   {"Note", 40}};
    const offer_book *o = b->content;
    const survey *s = b->plan->survey;
    lxw_worksheet *sheet = book_sheet(b, "Prices", columns, sizeof columns / sizeof *columns);
    if (!sheet) return;
    for (size_t i = 0; i < s->n_prices; i++) {
        const survey_price *price = &s->prices[i];
        double times;
        const char *unit = offer_unit(&b->words, price->unit, &times);
        book_words(b, sheet, i + 1, 0, price->label ? price->label : price->id);
        open_number(b, sheet, i + 1, price->price / times);
        book_words(b, sheet, i + 1, 2, unit);
        book_number(b, sheet, i + 1, 3, price->price / times);
        value_if(b, sheet, i + 1, 4, price->low, 1 / times);
        value_if(b, sheet, i + 1, 5, price->high, 1 / times);
    }
    worksheet_write_string(sheet, (lxw_row_t)o->materials_row - 1, 0, "Materials, whole packs of the plan",
                           b->total_words);
    worksheet_write_string(sheet, (lxw_row_t)o->materials_row - 1, 3, "Need", b->total_words);
    for (size_t k = 0; k < b->plan->takeoff.n_orders; k++)
        if (o->material_column[k]) material_row(b, sheet, o->materials_row + k, k);
}

/* ---- risk ---- */

static void input_row(book *b, lxw_worksheet *sheet, size_t row, const risk_input *input) {
    book_words(b, sheet, row, 0, offer_words(&b->words, input->label));
    book_words(b, sheet, row, 1, input->group);
    book_number(b, sheet, row, 2, input->low);
    book_number(b, sheet, row, 3, input->likely);
    book_number(b, sheet, row, 4, input->high);
    book_words(b, sheet, row, 5, input->unit);
    book_number(b, sheet, row, 6, input->share);
    book_words(b, sheet, row, 7, offer_words(&b->words, input->basis));
}

void offer_sheet_risk(book *b) {
    static const book_column columns[] = {{"What may come out otherwise", 44},
                                          {"Group", 14},
                                          {"Low", 12},
                                          {"Likely", 12},
                                          {"High", 12},
                                          {"Unit", 10},
                                          {"Share of the risk", 12},
                                          {"From", 50}};
    const risk_result *risk = ((const offer_book *)b->content)->risk;
    lxw_worksheet *sheet = book_sheet(b, "Risk", columns, sizeof columns / sizeof *columns);
    if (!sheet) return;
    const struct {
        const char *label;
        double value;
    } figures[] = {{"Price as planned", risk->total},
                   {"Mean of all runs", risk->price.mean},
                   {"P20: one in five comes out below", risk->price.p20},
                   {"P50: half come out below", risk->price.p50},
                   {"P80: four in five come out below", risk->price.p80},
                   {"Contingency: P80 less the price", risk->contingency}};
    size_t row = 1;
    for (size_t i = 0; i < risk->n_inputs; i++) input_row(b, sheet, row++, &risk->inputs[i]);
    row++;
    worksheet_write_string(
        sheet, (lxw_row_t)row++, 0,
        say_print(&b->words, "As counted with the figures of the plan, %s; it does not follow changes",
                  b->words.currency),
        b->total_words);
    for (size_t i = 0; i < sizeof figures / sizeof *figures; i++) {
        book_words(b, sheet, row, 0, figures[i].label);
        worksheet_write_number(sheet, (lxw_row_t)row++, 2, figures[i].value, b->money);
    }
    book_words(b, sheet, row, 0, "Runs");
    book_number(b, sheet, row, 2, (double)risk->options.runs);
    book_words(b, sheet, row + 1, 0, "Seed");
    book_number(b, sheet, row + 1, 2, (double)risk->options.seed);
}
