/* offer_book.c - the plan of the sheets, and the book as a whole. */
#include "report/offer_book.h"

#include <string.h>

static const offer_book *of(const book *b) {
    return b->content;
}

/* ---- where things stand ---- */

/* Hours of a step of work stand in the job where one of its amounts does, whatever the rates are now. */
static bool has_work(const offer_book *o, estimate_work work) {
    static const unsigned by[HOURS_COUNT] = {
        [HOURS_SETUP] = 1u << AMOUNT_SET_UP,
        [HOURS_SCAN] = 1u << AMOUNT_SCANNED | 1u << AMOUNT_SLOT | 1u << AMOUNT_HOLES | 1u << AMOUNT_RING |
                       1u << AMOUNT_PATCH, /* those too are scanned */
        [HOURS_CUT] = 1u << AMOUNT_CUT | 1u << AMOUNT_CUT_DEEP | 1u << AMOUNT_HOLES | 1u << AMOUNT_RING |
                      1u << AMOUNT_PATCH,
        [HOURS_WASH] = 1u << AMOUNT_WASH,
        [HOURS_PLUG] = 1u << AMOUNT_PLUGS | 1u << AMOUNT_PLUG_BULK,
        [HOURS_RELIEF] = 1u << AMOUNT_RELIEFS,
        [HOURS_PACK] = 1u << AMOUNT_SLOT | 1u << AMOUNT_PACK_BULK,
        [HOURS_COAT] = 1u << AMOUNT_COATS,
        [HOURS_DRILL] = 1u << AMOUNT_PACKERS,
        [HOURS_INJECT] = 1u << AMOUNT_PACKERS | 1u << AMOUNT_FACE,
        [HOURS_SEAL] = 1u << AMOUNT_GROOVE,
        [HOURS_DRAIN] = 1u << AMOUNT_CHANNEL | 1u << AMOUNT_OUTLETS};
    for (size_t i = 0; i < AMOUNT_COUNT; i++)
        if (by[work] >> i & 1 && o->sums[i] > 0) return true;
    return false;
}

static void count_leaks(book *b, offer_book *o) {
    for (size_t i = 0; i < b->plan->n_leaks; i++) {
        offer_leak_count(b->plan, i, &o->leaks[i]);
        for (size_t k = 0; k < AMOUNT_COUNT; k++) o->sums[k] += o->leaks[i].values[k];
    }
}

bool offer_book_lay_out(book *b, offer_book *o) {
    const plan *p = b->plan;
    o->leaks = arena_get(b->words.memory, p->n_leaks, sizeof *o->leaks);
    o->material_column = arena_get(b->words.memory, p->takeoff.n_orders, sizeof *o->material_column);
    if (!o->leaks || !o->material_column) return false;
    count_leaks(b, o);
    size_t next = LEAK_FIRST;
    for (size_t k = 0; k < AMOUNT_COUNT; k++)
        if (o->sums[k] > 0) o->amount_column[k] = next++;
    for (size_t k = 0; k < p->takeoff.n_orders; k++)
        if (p->takeoff.orders[k].cost > 0) o->material_column[k] = next++;
    for (int k = 0; k < HOURS_COUNT; k++)
        if (has_work(o, (estimate_work)k)) o->hours_column[k] = next++;
    o->total_column = next++;
    o->money_column = next;
    o->job_row = p->survey->n_rates + 3; /* heads, rates, an empty row, a heading */
    o->materials_row = p->survey->n_prices + 3;
    return true;
}

/* ---- cells ---- */

const char *offer_cell(book *b, size_t row, size_t column) {
    char name[LXW_MAX_CELL_NAME_LENGTH];
    lxw_rowcol_to_cell(name, (lxw_row_t)row, (lxw_col_t)column);
    return say_print(&b->words, "%s", name);
}

const char *offer_rate(book *b, const char *id) {
    const survey *s = b->plan->survey;
    for (size_t i = 0; i < s->n_rates; i++)
        if (strcmp(s->rates[i].id, id) == 0) return say_print(&b->words, "Rates!$B$%zu", i + 2);
    return "0";
}

const char *offer_price(book *b, const char *id) {
    const survey *s = b->plan->survey;
    for (size_t i = 0; i < s->n_prices; i++)
        if (strcmp(s->prices[i].id, id) == 0) return say_print(&b->words, "Prices!$B$%zu", i + 2);
    return "0";
}

const char *offer_job(book *b, offer_job_figure figure) {
    return say_print(&b->words, "Rates!$B$%zu", of(b)->job_row + (size_t)figure + 1);
}

const char *offer_material(book *b, size_t order) {
    size_t row = of(b)->materials_row + order + 1;
    return say_print(&b->words, "Prices!$B$%zu/Prices!$D$%zu", row, row);
}

const char *offer_sum(book *b, size_t column) {
    size_t n = b->plan->n_leaks;
    if (column == 0 || n == 0) return "0";
    return say_print(&b->words, "SUM(Leaks!%s:%s)", offer_cell(b, 1, column), offer_cell(b, n, column));
}

/* ---- values ---- */

double offer_money(book *b, const char *price_id) {
    const survey *s = b->plan->survey;
    double times = 1;
    for (size_t i = 0; i < s->n_prices; i++) {
        if (strcmp(s->prices[i].id, price_id) != 0) continue;
        offer_unit(&b->words, s->prices[i].unit, &times);
        return s->prices[i].price / times;
    }
    return 0;
}

double offer_material_need(book *b, size_t order) {
    double need = 0;
    for (size_t i = 0; i < b->plan->n_leaks; i++)
        need += offer_material_of(b->plan, &b->plan->takeoff.orders[order], i);
    return need;
}

double offer_job_value(book *b, offer_job_figure figure) {
    const plan *p = b->plan;
    double faces = 0, metre = units_from_si(UNITS_LENGTH, b->words.system, 1);
    for (size_t i = 0; i < p->survey->n_faces; i++) faces += p->takeoff.face_coat_m2[i] > 0;
    const double values[JOB_COUNT] = {p->survey->site.crew,
                                      p->survey->site.shift_h,
                                      faces,
                                      ESTIMATE_MOIST_DAYS,
                                      ESTIMATE_MOIST_ROUNDS,
                                      ESTIMATE_RETURN_VISITS,
                                      ESTIMATE_STANDBY_H,
                                      ESTIMATE_PLUG_PIECE_M * metre,
                                      ESTIMATE_SCAN_H_M / metre,
                                      p->price.hours_total,
                                      p->price.crew_days};
    return values[figure];
}

/* ---- the book ---- */

static void sheets(book *b) {
    const offer_book *given = b->content;
    offer_book laid = *given;
    if (!offer_book_lay_out(b, &laid)) {
        b->words.failed = true;
        return;
    }
    b->content = &laid;
    offer_sheet_lines(b);
    offer_sheet_leaks(b);
    offer_sheet_rates(b);
    offer_sheet_prices(b);
    if (laid.risk) offer_sheet_risk(b);
    b->content = given;
}

status report_offer_xlsx(const plan *p, const risk_result *risk, const offer_options *options,
                         const char *path, fault *why) {
    const offer_book given = {.risk = options->without_risk ? NULL : risk, .options = options};
    book b = {.plan = p, .content = &given};
    const book_paper paper = {options->date, "Offer to seal leaking concrete", path};
    return book_write(&b, &paper, sheets, why);
}
