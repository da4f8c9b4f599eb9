#include "risk/cost.h"

#include <math.h>

static double bought_at(const plan *p, const survey_material *material, double need) {
    for (size_t i = 0; p && i < p->takeoff.n_orders; i++)
        if (p->takeoff.orders[i].material == material && need > 0) return p->takeoff.orders[i].cost / need;
    return 0;
}

status risk_costing_make(const plan *p, const plan *wet, const double *needs, const double *wet_needs,
                         arena *memory, risk_costing *out, fault *why) {
    const survey *s = p->survey;
    bool *resin = arena_get(memory, s->n_materials, sizeof *resin);
    double *cost = arena_get(memory, s->n_materials, sizeof *cost);
    *out = (risk_costing){.n_amounts = risk_amounts_count(s),
                          .crew_hours_day = s->site.crew * s->site.shift_h,
                          .resin = resin,
                          .material_cost = cost,
                          .n_materials = s->n_materials,
                          .waste = takeoff_rate(s, "waste_percent") / 100};
    if (!resin || !cost) return fault_memory(why);
    for (size_t i = 0; i < s->n_materials; i++) {
        resin[i] = s->materials[i].role == ROLE_RESIN;
        cost[i] = needs[i] > 0 ? bought_at(p, &s->materials[i], needs[i])
                               : bought_at(wet, &s->materials[i], wet_needs[i]);
    }
    for (size_t i = 0; i < s->n_faces; i++) out->cured_faces += p->takeoff.face_coat_m2[i] > 0;
    return OK;
}

typedef struct {
    const risk_costing *c;
    const double *amounts, *v;
    double deeper; /* of a slot's depth */
    double total;
} counting;

static double amount(const counting *n, size_t at) {
    return n->amounts[at] + n->deeper * n->amounts[n->c->n_amounts + at];
}

static void add(counting *n, double quantity, double rate) {
    if (quantity > 0) n->total = estimate_cents(n->total + estimate_cents(quantity * rate));
}

static double hours_of(const counting *n, size_t work, double of) {
    const risk_hours *w = &risk_works[work];
    if (!(of > 0) || w->rate == VALUES) return of;
    if (w->placed) return 2 * of / n->v[w->rate] / 60;
    return of * n->v[w->rate] * (work == WORK_CUT_DEEP ? n->v[VALUE_CUT_DEEP] : 1);
}

/* Hours of all steps, with keeping moist; each step is a line. */
static double add_labour(counting *n) {
    double steps[HOURS_COUNT] = {0}, total = 0;
    for (size_t k = 0; k < WORKS; k++)
        steps[risk_works[k].step] += hours_of(n, k, amount(n, k)) +
                                     hours_of(n, k, amount(n, AMOUNT_OVERHEAD + k)) * n->v[VALUE_OVERHEAD];
    for (size_t k = 0; k < HOURS_COUNT; k++) {
        add(n, steps[k], n->v[VALUE_LABOUR]);
        total += steps[k];
    }
    double moist_h = n->c->cured_faces * ESTIMATE_MOIST_DAYS * ESTIMATE_MOIST_ROUNDS * n->v[VALUE_CURE];
    add(n, moist_h, n->v[VALUE_LABOUR]);
    return total + moist_h;
}

static void add_things(counting *n) {
    const risk_costing *c = n->c;
    add(n, amount(n, AMOUNT_BLADE_M), n->v[VALUE_BLADE_M]);
    add(n, amount(n, AMOUNT_SCANNED_M), n->v[VALUE_SCAN_M]);
    add(n, amount(n, AMOUNT_TUBES), n->v[VALUE_TUBE]);
    for (size_t k = 0; k < RISK_PARTS; k++) add(n, amount(n, AMOUNT_PARTS + k), n->v[VALUE_PARTS + k]);
    double waste = (1 + n->v[VALUE_WASTE] / 100) / (1 + c->waste);
    for (size_t i = 0; i < c->n_materials; i++)
        add(n, 1, amount(n, AMOUNT_MATERIALS + i) * c->material_cost[i] * (c->resin[i] ? 1 : waste));
    add(n, amount(n, AMOUNT_WASH_M2) * n->v[VALUE_WASH_WATER], n->v[VALUE_WASH_L]);
    add(n, amount(n, AMOUNT_SPOIL_KG), n->v[VALUE_SPOIL_KG]);
}

static void add_days(counting *n, double days) {
    if (!(days > 0)) return;
    add(n, days, n->v[VALUE_PLANT_DAY]);
    add(n, days, n->v[VALUE_ACCESS_DAY]);
    if (amount(n, AMOUNT_PUMP_M3_S) > 0) add(n, days, n->v[VALUE_DEWATERING_DAY]);
    add(n, 1, n->v[VALUE_MOBILISATION]);
    add(n, ESTIMATE_STANDBY_H, n->v[VALUE_STANDBY_H]);
    add(n, ESTIMATE_RETURN_VISITS, n->v[VALUE_RETURN]);
}

double risk_cost(const risk_costing *c, const double *amounts, const double *values) {
    counting n = {c, amounts, values, values[VALUE_DEPTH] - 1, 0};
    double hours = add_labour(&n);
    double days = ceil(hours / c->crew_hours_day * 2 - 1e-9) / 2; /* half days, as estimate_price */
    add_things(&n);
    add_days(&n, days);
    add(&n, n.total, values[VALUE_OVERHEAD_PERCENT] / 100);
    add(&n, n.total, values[VALUE_PROFIT_PERCENT] / 100);
    if (days > 0 && n.total < values[VALUE_MINIMUM]) add(&n, 1, values[VALUE_MINIMUM] - n.total);
    return n.total;
}
