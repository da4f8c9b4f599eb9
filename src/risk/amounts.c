#include "risk/amounts.h"

#include "price/ways.h"

#include <math.h>

const char *const risk_value_ids[VALUES] = {
    [VALUE_CUT] = "cut_slot_h_m",
    [VALUE_CUT_DEEP] = "cut_deep_factor",
    [VALUE_OVERHEAD] = "overhead_factor",
    [VALUE_WASH] = "wash_h_m2",
    [VALUE_PLUG] = "plug_h_each",
    [VALUE_PACK] = "pack_h_m",
    [VALUE_COAT] = "coat_h_m2",
    [VALUE_CURE] = "cure_visit_h",
    [VALUE_RELIEF] = "relief_h_each",
    [VALUE_SETUP] = "setup_h_leak",
    [VALUE_PATCH] = "patch_h_m2",
    [VALUE_HOLE] = "hole_h_each",
    [VALUE_RING] = "ring_h_m",
    [VALUE_WASTE] = "waste_percent",
    [VALUE_WASH_WATER] = "wash_water_l_m2",
    [VALUE_PLUG_PLACE] = "plug_place_l_min",
    [VALUE_PACK_PLACE] = "pack_place_l_min",
    [VALUE_PORT] = "port_h_each",
    [VALUE_FACE] = "surface_seal_h_m",
    [VALUE_INJECT] = "inject_h_port",
    [VALUE_INJECT_PLACE] = "inject_place_l_min",
    [VALUE_STRIP] = "strip_h_port",
    [VALUE_ROUT] = "rout_h_m",
    [VALUE_SEAL] = "seal_h_m",
    [VALUE_DRAIN] = "drain_h_m",
    [VALUE_OUTLET] = "outlet_h_each",
    [VALUE_DEPTH] = "depth_factor",
    [VALUE_LABOUR] = "labour_h",
    [VALUE_PLANT_DAY] = "plant_day",
    [VALUE_BLADE_M] = "saw_blade_m",
    [VALUE_ACCESS_DAY] = "access_day",
    [VALUE_MOBILISATION] = "mobilisation",
    [VALUE_MINIMUM] = "minimum_charge",
    [VALUE_DEWATERING_DAY] = "dewatering_day",
    [VALUE_WASH_L] = "disposal_wash_l",
    [VALUE_SPOIL_KG] = "disposal_spoil_kg",
    [VALUE_STANDBY_H] = "standby_h",
    [VALUE_RETURN] = "return_visit",
    [VALUE_TUBE] = "relief_tube_each",
    [VALUE_SCAN_M] = "scan_m",
    [VALUE_PARTS] = "drill_bit_m",
    [VALUE_PARTS + 1] = "packer_each",
    [VALUE_PARTS + 2] = "surface_seal_m",
    [VALUE_PARTS + 3] = "backer_m",
    [VALUE_PARTS + 4] = "channel_m",
    [VALUE_PARTS + 5] = "outlet_each",
    [VALUE_OVERHEAD_PERCENT] = "overhead_percent",
    [VALUE_PROFIT_PERCENT] = "profit_percent",
};

const risk_hours risk_works[WORKS] = {
    [WORK_SETUP] = {HOURS_SETUP, VALUE_SETUP, false},
    [WORK_SCAN] = {HOURS_SCAN, VALUES, false}, /* hours already: its rate is a constant */
    [WORK_RELIEF] = {HOURS_RELIEF, VALUE_RELIEF, false},
    [WORK_CUT] = {HOURS_CUT, VALUE_CUT, false},
    [WORK_CUT_DEEP] = {HOURS_CUT, VALUE_CUT, false}, /* times VALUE_CUT_DEEP */
    [WORK_HOLE] = {HOURS_CUT, VALUE_HOLE, false},
    [WORK_RING] = {HOURS_CUT, VALUE_RING, false},
    [WORK_PATCH] = {HOURS_CUT, VALUE_PATCH, false},
    [WORK_WASH] = {HOURS_WASH, VALUE_WASH, false},
    [WORK_PLUG] = {HOURS_PLUG, VALUE_PLUG, false},
    [WORK_PLUG_L] = {HOURS_PLUG, VALUE_PLUG_PLACE, true},
    [WORK_PACK] = {HOURS_PACK, VALUE_PACK, false},
    [WORK_PACK_L] = {HOURS_PACK, VALUE_PACK_PLACE, true},
    [WORK_COAT] = {HOURS_COAT, VALUE_COAT, false},
    [WORK_PORT] = {HOURS_DRILL, VALUE_PORT, false},
    [WORK_FACE] = {HOURS_INJECT, VALUE_FACE, false},
    [WORK_INJECT] = {HOURS_INJECT, VALUE_INJECT, false},
    [WORK_PUMPED_L] = {HOURS_INJECT, VALUE_INJECT_PLACE, true},
    [WORK_STRIP] = {HOURS_INJECT, VALUE_STRIP, false},
    [WORK_ROUT] = {HOURS_SEAL, VALUE_ROUT, false},
    [WORK_SEAL] = {HOURS_SEAL, VALUE_SEAL, false},
    [WORK_DRAIN] = {HOURS_DRAIN, VALUE_DRAIN, false},
    [WORK_OUTLET] = {HOURS_DRAIN, VALUE_OUTLET, false},
};

size_t risk_amounts_count(const survey *s) {
    return AMOUNT_MATERIALS + s->n_materials;
}

typedef struct {
    const survey *s;
    const repair_design *design;
    const takeoff_leak *takeoff;
    double ways[WAYS_COUNT];
    size_t at; /* 0 or AMOUNT_OVERHEAD */
    risk_amounts *out;
} adding;

static void work(const adding *a, risk_work of, double amount) {
    a->out->scaled[a->at + of] += amount;
}

/* Metres of slot by depth; holes, rings and patches have their own rates. */
static void add_cutting(const adding *a) {
    const repair_design *d = a->design;
    survey_method name = d->method.name;
    if (d->n_slots == 0) return;
    if (name == METHOD_HOLE) work(a, WORK_HOLE, 1);
    if (name == METHOD_RING) work(a, WORK_RING, d->ring_length_m);
    if (name == METHOD_CUT_BACK) work(a, WORK_PATCH, d->patch_m2);
    if (name != METHOD_SLOT_PLUG && name != METHOD_SLOT_PACK) return;
    for (size_t k = 0; k < d->n_slots; k++)
        work(a, d->slots[k].depth_m > ESTIMATE_DEEP_M ? WORK_CUT_DEEP : WORK_CUT,
             d->slots[k].to_m - d->slots[k].from_m);
}

static void add_filling(const adding *a) {
    const takeoff_leak *t = a->takeoff;
    survey_method name = a->design->method.name;
    bool plugged = t->mixes[MIX_PLUG].material != NULL, bulk = name == METHOD_CUT_BACK || name == METHOD_HOLE;
    double litres = t->plug_volume_m3 * 1000;
    double placing_h = 2 * litres / takeoff_rate(a->s, "plug_place_l_min") / 60;
    if (bulk && placing_h >= (plugged ? takeoff_rate(a->s, "plug_h_each") : 0))
        work(a, WORK_PLUG_L, litres);
    else if (plugged)
        work(a, WORK_PLUG, bulk ? 1 : fmax(1, ceil(t->slot_length_m / ESTIMATE_PLUG_PIECE_M - 1e-9)));
    if (bulk)
        work(a, WORK_PACK_L, t->pack_volume_m3 * 1000);
    else
        work(a, WORK_PACK, t->slot_length_m);
    work(a, WORK_WASH, t->wash_m2);
    work(a, WORK_COAT, t->first_coat_m2 + t->last_coat_m2);
}

static void add_ways(const adding *a) {
    const double *w = a->ways;
    work(a, WORK_PORT, w[WAYS_PACKERS]);
    work(a, WORK_FACE, w[WAYS_FACE]);
    work(a, WORK_STRIP, w[WAYS_PACKERS]);
    work(a, WORK_ROUT, w[WAYS_GROOVE]);
    work(a, WORK_SEAL, w[WAYS_GROOVE]);
    work(a, WORK_DRAIN, w[WAYS_CHANNEL]);
    a->out->fixed[a->at + WORK_OUTLET] += w[WAYS_OUTLETS];
    if (!(w[WAYS_PACKERS] > 0)) return;
    double litres = w[WAYS_RESIN] * 1000;
    double at_pump_h = 2 * litres / takeoff_rate(a->s, "inject_place_l_min") / 60;
    if (at_pump_h > w[WAYS_PACKERS] * takeoff_rate(a->s, "inject_h_port"))
        work(a, WORK_PUMPED_L, litres);
    else
        work(a, WORK_INJECT, w[WAYS_PACKERS]);
}

static void add_lines(const adding *a) {
    const takeoff_leak *t = a->takeoff;
    double scanned_m = a->ways[WAYS_SCANNED], lengths[WAYS_COUNT], outlets[WAYS_COUNT] = {0};
    a->out->scaled[AMOUNT_BLADE_M] += t->slot_length_m + a->ways[WAYS_GROOVE];
    a->out->scaled[AMOUNT_SCANNED_M] += t->slot_length_m + scanned_m;
    a->out->scaled[AMOUNT_WASH_M2] += t->wash_m2;
    a->out->scaled[AMOUNT_SPOIL_KG] += t->spoil_kg;
    a->out->fixed[AMOUNT_TUBES] += a->design->relief.wanted;
    a->out->fixed[AMOUNT_PUMP_M3_S] += a->design->pump_m3_s;
    for (int k = 0; k < WAYS_COUNT; k++) lengths[k] = k == WAYS_OUTLETS ? 0 : a->ways[k];
    outlets[WAYS_OUTLETS] = a->ways[WAYS_OUTLETS];
    for (size_t k = 0; k < RISK_PARTS; k++) {
        a->out->scaled[AMOUNT_PARTS + k] += ways_part(a->s, k, lengths).quantity;
        a->out->fixed[AMOUNT_PARTS + k] += ways_part(a->s, k, outlets).quantity;
    }
    if (!design_is_priced(a->design)) return;
    if (a->design->n_slots) scanned_m += fmax(t->slot_length_m, ESTIMATE_PLUG_PIECE_M);
    a->out->scaled[WORK_SCAN] += scanned_m * ESTIMATE_SCAN_H_M;
    a->out->fixed[WORK_SETUP] += 1;
    a->out->fixed[WORK_RELIEF] += a->design->relief.wanted;
}

static double *need_of(const adding *a, double *list, const survey_material *material) {
    return &list[AMOUNT_MATERIALS + (size_t)(material - a->s->materials)];
}

static void add_materials(const adding *a) {
    const takeoff_leak *t = a->takeoff;
    for (int k = 0; k < MIX_COUNT; k++)
        if (t->mixes[k].material) *need_of(a, a->out->scaled, t->mixes[k].material) += t->mixes[k].powder_kg;
    if (t->fill.material) *need_of(a, a->out->scaled, t->fill.material) += t->fill.volume_m3;
}

/* Slots of lines and rings, twice as deep: all of it more to cut, to carry away and, above the plug, to pack; more of their
 * two sides to wash and coat. None changes its class of depth. */
static void add_depth(const adding *a) {
    const takeoff_leak *t = a->takeoff;
    survey_method name = a->design->method.name;
    risk_amounts *out = a->out;
    if (name != METHOD_SLOT_PLUG && name != METHOD_SLOT_PACK && name != METHOD_RING) return;
    if (!(t->slot_area_m2 > 0)) return;
    double sides_m2 = 2 * t->slot_length_m * t->slot_volume_m3 / t->slot_area_m2;
    for (int k = WORK_CUT; k <= WORK_RING; k++)
        out->deep[a->at + (size_t)k] += out->scaled[a->at + (size_t)k];
    out->deep[a->at + WORK_WASH] += sides_m2;
    out->deep[a->at + WORK_COAT] += sides_m2;
    out->deep[AMOUNT_WASH_M2] += sides_m2;
    out->deep[AMOUNT_SPOIL_KG] += t->spoil_kg;
    const takeoff_mix *pack = &t->mixes[MIX_PACK], *coat = &t->mixes[MIX_FIRST_COAT];
    if (pack->material && t->pack_volume_m3 > 0)
        *need_of(a, out->deep, pack->material) += pack->powder_kg * t->slot_volume_m3 / t->pack_volume_m3;
    if (coat->material && t->first_coat_m2 > 0)
        *need_of(a, out->deep, coat->material) += coat->powder_kg * sides_m2 / t->first_coat_m2;
}

void risk_amounts_add(const plan *p, size_t i, risk_amounts *out) {
    trace_place place;
    adding a = {.s = p->survey, .design = &p->designs[i], .takeoff = &p->takeoff.leaks[i], .out = out};
    bool overhead = trace_at(a.s, p->leaks[i].defect, 0, &place) && place.face->lie == LIE_SOFFIT;
    a.at = overhead ? AMOUNT_OVERHEAD : 0;
    ways_count(a.design, a.takeoff, a.ways);
    add_lines(&a);
    add_materials(&a);
    if (!design_is_priced(a.design)) return;
    add_cutting(&a);
    add_filling(&a);
    add_ways(&a);
    add_depth(&a);
}
