/* offer_leaks.c - a row a leak: quantities that follow its length, and hours = quantity x rate x factor, as price/hours.c. */
#include "report/offer_book.h"

#include <math.h>

typedef struct {
    book *b;
    const offer_book *o;
    lxw_worksheet *sheet;
    size_t leak, row;
    const offer_leak *of;
} row_of;

static const char *amount(const row_of *r, offer_amount which) {
    size_t column = r->o->amount_column[which];
    return column ? offer_cell(r->b, r->row, column) : "0";
}

static void formula(const row_of *r, size_t column, lxw_format *format, const char *words, double value) {
    book_formula(r->b, (book_cell){r->sheet, r->row, column, format}, say_print(&r->b->words, "=%s", words),
                 value);
}

static bool has_length(const row_of *r) {
    return r->b->plan->leaks[r->leak].length_m > 0;
}

/* A quantity of the plan, times the change of the length where there is one. */
static void quantity(const row_of *r, size_t column, double value) {
    char number[TEXT_NUMBER];
    if (!(value > 0)) return;
    if (!has_length(r)) {
        worksheet_write_number(r->sheet, (lxw_row_t)r->row, (lxw_col_t)column, value, r->b->open);
        return;
    }
    formula(
        r, column, r->b->number,
        say_print(&r->b->words, "%s*%s", text_number(value, number), offer_cell(r->b, r->row, LEAK_TIMES)),
        value);
}

/* Counted in pieces, not by the length: set up, tubes, outlets, water that comes anyway. */
static bool stands_alone(offer_amount which) {
    return which == AMOUNT_SET_UP || which == AMOUNT_RELIEFS || which == AMOUNT_OUTLETS ||
           which == AMOUNT_PUMPED || which == AMOUNT_HOLES;
}

static void plugs(const row_of *r, size_t column) {
    if (!(r->of->values[AMOUNT_PLUGS] > 0)) return;
    double slot = r->of->bulk ? 0 : r->of->values[AMOUNT_SLOT];
    double pieces = fmax(1, ceil(slot / offer_job_value(r->b, JOB_PIECE) - 1e-9));
    if (r->of->bulk)
        worksheet_write_number(r->sheet, (lxw_row_t)r->row, (lxw_col_t)column, 1, r->b->open);
    else
        formula(r, column, r->b->number,
                say_print(&r->b->words, "MAX(1,CEILING(%s/%s-0.000000001,1))", amount(r, AMOUNT_SLOT),
                          offer_job(r->b, JOB_PIECE)),
                pieces);
}

static void amounts(const row_of *r) {
    for (size_t k = 0; k < AMOUNT_COUNT; k++) {
        size_t column = r->o->amount_column[k];
        double value = r->of->values[k];
        if (!column) continue;
        if (k == AMOUNT_PLUGS)
            plugs(r, column);
        else if (!stands_alone((offer_amount)k))
            quantity(r, column, value);
        else if (value > 0)
            worksheet_write_number(r->sheet, (lxw_row_t)r->row, (lxw_col_t)column, value, r->b->open);
    }
    for (size_t k = 0; k < r->b->plan->takeoff.n_orders; k++)
        if (r->o->material_column[k])
            quantity(r, r->o->material_column[k],
                     offer_material_of(r->b->plan, &r->b->plan->takeoff.orders[k], r->leak));
}

/* ---- hours ---- */

static const char *scan(const row_of *r) {
    say *w = &r->b->words;
    const char *slot =
        r->of->slotted ? say_print(w, "+MAX(%s,%s)", amount(r, AMOUNT_SLOT), offer_job(r->b, JOB_PIECE)) : "";
    return say_print(w, "(%s%s)*%s", amount(r, AMOUNT_SCANNED), slot, offer_job(r->b, JOB_SCAN));
}

static const char *cut(const row_of *r) {
    book *b = r->b;
    const char *slot = offer_rate(b, "cut_slot_h_m");
    return say_print(&b->words, "%s*%s+%s*%s*%s+%s*%s+%s*%s+%s*%s", amount(r, AMOUNT_CUT), slot,
                     amount(r, AMOUNT_CUT_DEEP), slot, offer_rate(b, "cut_deep_factor"),
                     amount(r, AMOUNT_HOLES), offer_rate(b, "hole_h_each"), amount(r, AMOUNT_RING),
                     offer_rate(b, "ring_h_m"), amount(r, AMOUNT_PATCH), offer_rate(b, "patch_h_m2"));
}

/* Two people place a volume. */
static const char *placed(const row_of *r, offer_amount which, const char *rate) {
    if (!r->o->amount_column[which]) return "0";
    return say_print(&r->b->words, "2*%s/%s/60", amount(r, which), offer_rate(r->b, rate));
}

static const char *times(const row_of *r, offer_amount which, const char *rate) {
    return say_print(&r->b->words, "%s*%s", amount(r, which), offer_rate(r->b, rate));
}

static const char *inject(const row_of *r) {
    return say_print(&r->b->words, "%s+%s+MAX(%s,%s)", times(r, AMOUNT_FACE, "surface_seal_h_m"),
                     times(r, AMOUNT_PACKERS, "strip_h_port"), times(r, AMOUNT_PACKERS, "inject_h_port"),
                     placed(r, AMOUNT_RESIN, "inject_place_l_min"));
}

static const char *work_words(const row_of *r, estimate_work work) {
    say *w = &r->b->words;
    switch (work) {
    case HOURS_SETUP: return times(r, AMOUNT_SET_UP, "setup_h_leak");
    case HOURS_SCAN: return scan(r);
    case HOURS_CUT: return cut(r);
    case HOURS_WASH: return times(r, AMOUNT_WASH, "wash_h_m2");
    case HOURS_PLUG:
        return say_print(w, "MAX(%s,%s)", times(r, AMOUNT_PLUGS, "plug_h_each"),
                         placed(r, AMOUNT_PLUG_BULK, "plug_place_l_min"));
    case HOURS_RELIEF: return times(r, AMOUNT_RELIEFS, "relief_h_each");
    case HOURS_PACK:
        return r->of->bulk ? placed(r, AMOUNT_PACK_BULK, "pack_place_l_min")
                           : times(r, AMOUNT_SLOT, "pack_h_m");
    case HOURS_COAT: return times(r, AMOUNT_COATS, "coat_h_m2");
    case HOURS_DRILL: return times(r, AMOUNT_PACKERS, "port_h_each");
    case HOURS_INJECT: return inject(r);
    case HOURS_SEAL:
        return say_print(w, "%s+%s", times(r, AMOUNT_GROOVE, "rout_h_m"),
                         times(r, AMOUNT_GROOVE, "seal_h_m"));
    case HOURS_DRAIN:
        return say_print(w, "%s+%s", times(r, AMOUNT_CHANNEL, "drain_h_m"),
                         times(r, AMOUNT_OUTLETS, "outlet_h_each"));
    case HOURS_COUNT: break;
    }
    return "0";
}

static void hours(const row_of *r) {
    const estimate_leak *e = &r->b->plan->price.leaks[r->leak];
    const char *over = offer_cell(r->b, r->row, LEAK_OVERHEAD);
    for (int k = 0; k < HOURS_COUNT; k++) {
        size_t column = r->o->hours_column[k];
        if (!column) continue;
        bool plain = k == HOURS_SETUP || k == HOURS_SCAN || k == HOURS_RELIEF;
        const char *words = work_words(r, (estimate_work)k);
        formula(r, column, r->b->number, plain ? words : say_print(&r->b->words, "(%s)*%s", words, over),
                e->hours[k]);
    }
    size_t first = r->o->total_column, last = r->o->total_column - 1;
    for (int k = 0; k < HOURS_COUNT; k++)
        if (r->o->hours_column[k] && r->o->hours_column[k] < first) first = r->o->hours_column[k];
    if (first > last) return;
    formula(r, r->o->total_column, r->b->number,
            say_print(&r->b->words, "SUM(%s:%s)", offer_cell(r->b, r->row, first),
                      offer_cell(r->b, r->row, last)),
            e->hours_total);
}

/* Labour and its own material, without the job's fixed lines. */
static void money(const row_of *r) {
    static const struct {
        offer_amount of;
        const char *price;
    } parts[] = {{AMOUNT_PACKERS, "packer_each"},
                 {AMOUNT_FACE, "surface_seal_m"},
                 {AMOUNT_BACKER, "backer_m"},
                 {AMOUNT_CHANNEL, "channel_m"},
                 {AMOUNT_OUTLETS, "outlet_each"}};
    book *b = r->b;
    text sum = {0};
    text_print(&sum, "ROUND(%s*%s", offer_cell(b, r->row, r->o->total_column), offer_price(b, "labour_h"));
    for (size_t k = 0; k < b->plan->takeoff.n_orders; k++)
        if (r->o->material_column[k])
            text_print(&sum, "+%s*%s", offer_cell(b, r->row, r->o->material_column[k]), offer_material(b, k));
    for (size_t k = 0; k < sizeof parts / sizeof *parts; k++)
        if (r->o->amount_column[parts[k].of])
            text_print(&sum, "+%s*%s", amount(r, parts[k].of), offer_price(b, parts[k].price));
    text_add(&sum, ",2)");
    if (sum.failed) b->words.failed = true;
    formula(r, r->o->money_column, b->money, text_get(&sum), b->plan->price.leaks[r->leak].cost);
    text_free(&sum);
}

static void leak_row(const row_of *r) {
    book *b = r->b;
    const leak_water *leak = &b->plan->leaks[r->leak];
    double length = units_from_si(UNITS_LENGTH, b->words.system, leak->length_m), over = 1;
    book_words(b, r->sheet, r->row, LEAK_MARK, leak->defect->mark);
    book_words(b, r->sheet, r->row, LEAK_METHOD, method_words[b->plan->designs[r->leak].method.name]);
    if (has_length(r)) {
        const char *now = offer_cell(b, r->row, LEAK_LENGTH), *was = offer_cell(b, r->row, LEAK_PLANNED);
        worksheet_write_number(r->sheet, (lxw_row_t)r->row, LEAK_LENGTH, length, b->open);
        book_number(b, r->sheet, r->row, LEAK_PLANNED, length);
        formula(r, LEAK_TIMES, b->number, say_print(&b->words, "%s/%s", now, was), 1);
    }
    if (r->of->overhead) {
        const char *factor = offer_rate(b, "overhead_factor");
        over = takeoff_rate(b->plan->survey, "overhead_factor");
        formula(r, LEAK_OVERHEAD, b->number, factor, over);
    } else
        worksheet_write_number(r->sheet, (lxw_row_t)r->row, LEAK_OVERHEAD, over, b->open);
    amounts(r);
    hours(r);
    money(r);
}

static const char *titled(book *b, const char *what, units_quantity q) {
    const char *unit = say_unit(&b->words, q);
    return *unit ? say_print(&b->words, "%s, %s", what, unit) : what;
}

static size_t heads(book *b, const offer_book *o, book_column *columns) {
    columns[LEAK_MARK] = (book_column){"Mark", 10};
    columns[LEAK_METHOD] = (book_column){"What is done", 22};
    columns[LEAK_LENGTH] = (book_column){titled(b, "Length", UNITS_LENGTH), 10};
    columns[LEAK_PLANNED] = (book_column){titled(b, "Length in the plan", UNITS_LENGTH), 10};
    columns[LEAK_TIMES] = (book_column){"Quantities, times", 10};
    columns[LEAK_OVERHEAD] = (book_column){"Hours, times", 10};
    for (size_t k = 0; k < AMOUNT_COUNT; k++)
        if (o->amount_column[k])
            columns[o->amount_column[k]] =
                (book_column){titled(b, offer_amounts[k].title, offer_amounts[k].q), 10};
    for (size_t k = 0; k < b->plan->takeoff.n_orders; k++) {
        const takeoff_order *order = &b->plan->takeoff.orders[k];
        if (o->material_column[k])
            columns[o->material_column[k]] =
                (book_column){titled(b, order->material->name ? order->material->name : order->material->id,
                                     takeoff_amount_of(order).q),
                              14};
    }
    for (int k = 0; k < HOURS_COUNT; k++)
        if (o->hours_column[k])
            columns[o->hours_column[k]] =
                (book_column){say_print(&b->words, "%s, h", estimate_labour_labels[k]), 10};
    columns[o->total_column] = (book_column){"Labour, h", 10};
    columns[o->money_column] =
        (book_column){say_print(&b->words, "Labour and material, %s", b->words.currency), 14};
    return o->money_column + 1;
}

void offer_sheet_leaks(book *b) {
    const offer_book *o = b->content;
    book_column *columns = arena_get(b->words.memory, o->money_column + 1, sizeof *columns);
    if (!columns) {
        b->words.failed = true;
        return;
    }
    size_t n = heads(b, o, columns);
    lxw_worksheet *sheet = book_sheet(b, "Leaks", columns, n);
    for (size_t i = 0; sheet && i < b->plan->n_leaks; i++) {
        row_of r = {b, o, sheet, i, i + 1, &o->leaks[i]};
        leak_row(&r);
    }
}
