/* What would be billed: the offer's lines with their quantities as recorded, at the offer's rates. */
#include "accept/built_parts.h"

#include "survey/catalogue.h"

#include <string.h>

typedef struct {
    building *b;
    const plan *offered;
    double covered_h; /* hours billed by lines of the offer */
} billing;

static const takeoff_order *order_of(const plan *p, const char *id) {
    for (size_t i = 0; i < p->takeoff.n_orders; i++)
        if (strcmp(p->takeoff.orders[i].material->id, id) == 0) return &p->takeoff.orders[i];
    return NULL;
}

/* ---- lines ---- */

static status add(billing *l, built_bill bill) {
    built_job *out = l->b->out;
    built_bill *list = arena_push(l->b->memory, out->bills, &out->n_bills, sizeof *list);
    if (!list || !bill.basis) return fault_memory(l->b->why);
    bill.amount = bill.quantity.known ? estimate_cents(bill.quantity.v * bill.rate) : 0;
    list[out->n_bills - 1] = bill;
    out->bills = list;
    out->bill_total = estimate_cents(out->bill_total + bill.amount);
    return OK;
}

static maybe in_units(const billing *l, const built_measure *m) {
    units_system system = l->offered->survey->site.system;
    if (!m->si.known || m->q == UNITS_PLAIN) return m->si;
    return (maybe){true, units_from_si(m->q, system, m->si.v)};
}

/* A lot of the offer is its order's need at its price: what is left over of whole packs stays with the firm. */
static status add_lot(billing *l, const estimate_line *line, const takeoff_order *order) {
    building *b = l->b;
    size_t at = names_find(b->materials, line->code);
    takeoff_amount need = takeoff_amount_of(order);
    built_measure m = {.q = need.q};
    if (at != NAMES_NONE) m = built_measure_material(b, at);
    units_system system = l->offered->survey->site.system;
    double offered = units_from_si(need.q, system, need.need);
    built_bill bill = {.label = line->label,
                       .unit = units_symbol(need.q, system),
                       .quantity = in_units(l, &m),
                       .rate = line->rate / offered,
                       .offered = offered};
    bool packs = at != NAMES_NONE && b->all[at].packs > 0;
    bill.basis = bill.quantity.known ? "recorded as used; rate: the offer's lot over its need"
                 : packs             ? "packs recorded without their powder, of several sizes: not billed"
                                     : "not recorded: not billed";
    return add(l, bill);
}

static status add_offered(billing *l, const estimate_line *line) {
    built_measure m = {.basis = NULL};
    const takeoff_order *order = line->group == LINE_MATERIAL && strcmp(line->unit, "lot") == 0
                                     ? order_of(l->offered, line->code)
                                     : NULL;
    if (order) return add_lot(l, line, order);
    bool known = built_measure_line(l->b, line, &m);
    l->covered_h += m.hours;
    built_bill bill = {.label = line->label,
                       .unit = line->unit,
                       .basis = m.basis,
                       .rate = line->rate,
                       .offered = line->quantity};
    if (known) bill.quantity = in_units(l, &m);
    if (!bill.quantity.known) bill.basis = "not recorded: not billed";
    return add(l, bill);
}

static bool is_offered(const billing *l, const char *code) {
    for (size_t i = 0; i < l->offered->price.n_lines; i++)
        if (strcmp(l->offered->price.lines[i].code, code) == 0) return true;
    return false;
}

/* ---- what the offer does not have ---- */

static status add_other_hours(billing *l) {
    const building *b = l->b;
    double hours = 0, rate = 0;
    for (size_t i = 0; i <= b->p->n_leaks; i++)
        for (int k = 0; k < BUILT_STEPS; k++) hours += b->work[i].steps[k].hours;
    hours -= l->covered_h;
    if (!(hours > 1e-9)) return OK; /* the noise of sums */
    for (size_t i = 0; i < l->offered->price.n_lines && !(rate > 0); i++)
        if (l->offered->price.lines[i].group == LINE_LABOUR) rate = l->offered->price.lines[i].rate;
    return add(l, (built_bill){.label = "Labour at other steps and without a step",
                               .unit = "h",
                               .quantity = {true, hours},
                               .rate = rate,
                               .basis = rate > 0 ? "labour-hours recorded; the offer's rate of an hour"
                                                 : "labour-hours recorded; the offer has no rate for it"});
}

static status add_extra(billing *l, const char *label, const built_measure *m) {
    units_system system = l->offered->survey->site.system;
    return add(
        l, (built_bill){.label = label,
                        .unit = m->q == UNITS_PLAIN ? "each" : units_symbol(m->q, system),
                        .quantity = in_units(l, m),
                        .basis = arena_print(l->b->memory, "%s; the offer has no rate for it", m->basis)});
}

static status add_extras(billing *l) {
    const survey *s = l->b->p->survey;
    status code = add_other_hours(l);
    for (size_t i = 0; code == OK && i < s->n_materials; i++) {
        built_measure m = built_measure_material(l->b, i);
        if (m.si.known && m.si.v > 0 && !is_offered(l, s->materials[i].id))
            code = add_extra(l, s->materials[i].name, &m);
    }
    const char *code_of, *label;
    for (size_t i = 0; code == OK && (label = built_measure_extra(i, &code_of)) != NULL; i++) {
        if (!*label || is_offered(l, code_of)) continue;
        built_measure m = built_measure_row(l->b, i);
        if (m.si.known) code = add_extra(l, label, &m);
    }
    return code;
}

/* ---- additions, as in the offer ---- */

static status add_addition(billing *l, const estimate_line *line) {
    built_job *out = l->b->out;
    if (strcmp(line->code, "minimum_charge") == 0) return OK;
    bool any = out->bill_total > 0;
    return add(l, (built_bill){.label = line->label,
                               .unit = line->unit,
                               .quantity = {any, out->bill_total},
                               .rate = line->rate,
                               .offered = line->quantity,
                               .basis = any ? line->basis : "nothing to add to"});
}

static status add_minimum(billing *l) {
    const building *b = l->b;
    double least = 0;
    survey_price_value(l->offered->survey, "minimum_charge", &least);
    double missing = least - b->out->bill_total;
    if (b->n_days == 0 || !(missing > 0)) return OK;
    return add(l, (built_bill){.label = "To the minimum charge",
                               .unit = "lot",
                               .quantity = {true, 1},
                               .rate = missing,
                               .basis = "the job's minimum charge"});
}

status built_bill_of(building *b) {
    billing l = {.b = b, .offered = b->in->offered ? b->in->offered : b->p};
    const estimate *e = &l.offered->price;
    status code = OK;
    for (size_t i = 0; code == OK && i < e->n_lines; i++)
        if (e->lines[i].group != LINE_ADDITION) code = add_offered(&l, &e->lines[i]);
    if (code == OK) code = add_extras(&l);
    b->out->bill_subtotal = b->out->bill_total;
    for (size_t i = 0; code == OK && i < e->n_lines; i++)
        if (e->lines[i].group == LINE_ADDITION) code = add_addition(&l, &e->lines[i]);
    return code == OK ? add_minimum(&l) : code;
}
