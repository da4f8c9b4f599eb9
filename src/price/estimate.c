#include "price/estimate.h"

#include "price/hours.h"
#include "survey/catalogue.h"

#include <math.h>
#include <string.h>

const char *const estimate_group_words[LINE_GROUPS] = {"labour", "plant",         "material",
                                                       "site",   "return visits", "additions"};
const char *const estimate_work_words[HOURS_COUNT] = {"set up",   "scan",          "cut",
                                                      "wash",     "plug",          "relief",
                                                      "dry-pack", "coats",         "drill and set packers",
                                                      "inject",   "flexible seal", "drain channel"};

const char *const estimate_labour_labels[HOURS_COUNT] = {"Set up at the leaks",
                                                         "Scan and mark the steel",
                                                         "Cut and chip",
                                                         "Wash",
                                                         "Plug",
                                                         "Set and close relief tubes",
                                                         "Dry-pack",
                                                         "Coats",
                                                         "Drill and set packers",
                                                         "Inject",
                                                         "Rout and seal",
                                                         "Fix drain channels"};
static const char *const codes[HOURS_COUNT] = {"hours_setup", "hours_scan",   "hours_cut",  "hours_wash",
                                               "hours_plug",  "hours_relief", "hours_pack", "hours_coat",
                                               "hours_drill", "hours_inject", "hours_seal", "hours_drain"};

static const char *const rates_needed[] = {
    "cut_slot_h_m",     "cut_deep_factor",  "overhead_factor",   "wash_h_m2",          "plug_h_each",
    "pack_h_m",         "coat_h_m2",        "cure_visit_h",      "relief_h_each",      "setup_h_leak",
    "patch_h_m2",       "hole_h_each",      "ring_h_m",          "waste_percent",      "wash_water_l_m2",
    "plug_place_l_min", "pack_place_l_min", "coat_place_m2_min", "seal_past_limit_l_d"};
static const char *const prices_needed[] = {
    "labour_h",       "plant_day",        "saw_blade_m",     "access_day",        "mobilisation",
    "minimum_charge", "dewatering_day",   "disposal_wash_l", "disposal_spoil_kg", "standby_h",
    "return_visit",   "relief_tube_each", "scan_m",          "overhead_percent",  "profit_percent"};

status estimate_check_rates(const survey *s, fault *why) {
    double value;
    for (size_t i = 0; i < sizeof rates_needed / sizeof *rates_needed; i++)
        if (!survey_rate_value(s, rates_needed[i], &value))
            return fault_set(why, E_INPUT, "rates: %s is missing", rates_needed[i]);
    for (size_t i = 0; i < sizeof prices_needed / sizeof *prices_needed; i++)
        if (!survey_price_value(s, prices_needed[i], &value))
            return fault_set(why, E_INPUT, "prices: %s is missing", prices_needed[i]);
    return OK;
}

double estimate_price_of(const survey *s, const char *id) {
    double price = 0;
    survey_price_value(s, id, &price);
    return price;
}

typedef struct {
    const survey *s;
    const repair_design *designs;
    const takeoff_job *takeoff;
    arena *memory;
    double (*ways)[WAYS_COUNT]; /* amounts of each leak */
    estimate *out;
    fault *why;
} pricing;

static double rate(const pricing *p, const char *id) {
    return takeoff_rate(p->s, id);
}

static double price(const pricing *p, const char *id) {
    return estimate_price_of(p->s, id);
}

double estimate_cents(double money) {
    /* 5.005 is a little less as a double, as are many products: what lies within the noise of some hundred operations below
     * the half counts as the half. */
    const double noise = 1e-13;
    return round(money * 100 * (1 + noise)) / 100;
}

/* Money a kilogram or m3 of each material as bought, so that a leak carries its part of the packs. */
static double bought_at(const takeoff_job *t, const survey_material *m) {
    for (size_t i = 0; i < t->n_orders; i++) {
        double need = takeoff_amount_of(&t->orders[i]).need;
        if (t->orders[i].material == m && need > 0) return t->orders[i].cost / need;
    }
    return 0;
}

static void cost_leak(const pricing *p, size_t i) {
    estimate_leak *e = &p->out->leaks[i];
    double money = e->hours_total * price(p, "labour_h");
    for (int k = 0; k < MIX_COUNT; k++) {
        const takeoff_mix *mix = &p->takeoff->leaks[i].mixes[k];
        if (mix->material) money += mix->powder_kg * bought_at(p->takeoff, mix->material);
    }
    const takeoff_fill *fill = &p->takeoff->leaks[i].fill;
    if (fill->material) money += fill->volume_m3 * bought_at(p->takeoff, fill->material);
    for (size_t k = 0; k < ways_parts(); k++) {
        estimate_line part = ways_part(p->s, k, p->ways[i]);
        if (part.group == LINE_MATERIAL) money += part.quantity * part.rate;
    }
    e->cost = estimate_cents(money);
}

/* Prices are kept a metre, a litre, a kilogram, as the job's list has them. A US job reads quantity, unit and rate together in
 * its own; the money is the same. */
static void tell_in_us(estimate_line *line) {
    static const struct {
        const char *unit;
        units_quantity q;
        double si; /* of one such unit */
    } kept[] = {{"m", UNITS_LENGTH, 1}, {"l", UNITS_VOLUME, 1e-3}, {"kg", UNITS_MASS, 1}};
    for (size_t i = 0; i < sizeof kept / sizeof *kept; i++) {
        if (strcmp(line->unit, kept[i].unit) != 0) continue;
        double units = units_from_si(kept[i].q, UNITS_US, kept[i].si);
        line->quantity *= units;
        line->rate /= units;
        line->unit = units_symbol(kept[i].q, UNITS_US);
        return;
    }
}

static status add_line(const pricing *p, estimate_line line) {
    estimate *out = p->out;
    if (!(line.quantity > 0)) return OK;
    estimate_line *lines = arena_push(p->memory, out->lines, &out->n_lines, sizeof *lines);
    if (!lines) return fault_memory(p->why);
    line.amount = estimate_cents(line.quantity * line.rate);
    if (p->s->site.system == UNITS_US) tell_in_us(&line);
    lines[out->n_lines - 1] = line;
    out->lines = lines;
    out->total = estimate_cents(out->total + line.amount);
    return OK;
}

static status add_labour(const pricing *p) {
    status code = OK;
    for (int k = 0; code == OK && k < HOURS_COUNT; k++) {
        double hours = 0;
        for (size_t i = 0; i < p->out->n_leaks; i++) hours += p->out->leaks[i].hours[k];
        p->out->hours_total += hours;
        code =
            add_line(p, (estimate_line){LINE_LABOUR, estimate_labour_labels[k], hours, "h",
                                        price(p, "labour_h"), 0, "quantities x the job's rates", codes[k]});
    }
    return code;
}

/* Faces with a coat to be kept moist. */
static double cured_faces(const pricing *p) {
    double n = 0;
    for (size_t i = 0; i < p->s->n_faces; i++) n += p->takeoff->face_coat_m2[i] > 0;
    return n;
}

static status add_cure(const pricing *p) {
    double hours = cured_faces(p) * ESTIMATE_MOIST_DAYS * ESTIMATE_MOIST_ROUNDS * rate(p, "cure_visit_h");
    p->out->hours_total += hours;
    return add_line(
        p,
        (estimate_line){LINE_LABOUR, "Keep moist", hours, "h", price(p, "labour_h"), 0,
                        "3 days, 2 rounds a day on each treated face (common practice; rounds our default)",
                        "keep_moist"});
}

static double all_leaks(const pricing *p, ways_amount of) {
    double sum = 0;
    for (size_t i = 0; i < p->out->n_leaks; i++) sum += p->ways[i][of];
    return sum;
}

/* Packers, rods, channels and the like, those of one group. */
static status add_parts(const pricing *p, estimate_group group) {
    double amounts[WAYS_COUNT];
    for (int k = 0; k < WAYS_COUNT; k++) amounts[k] = all_leaks(p, (ways_amount)k);
    status code = OK;
    for (size_t k = 0; code == OK && k < ways_parts(); k++) {
        estimate_line part = ways_part(p->s, k, amounts);
        if (part.group == group) code = add_line(p, part);
    }
    return code;
}

static status add_plant(const pricing *p, double days) {
    double slot_m = p->takeoff->slot_length_m, tubes = 0;
    for (size_t i = 0; i < p->out->n_leaks; i++) tubes += p->designs[i].relief.wanted;
    const estimate_line lines[] = {
        {LINE_PLANT, "Plant and tools", days, "day", price(p, "plant_day"), 0, "crew days", "plant_day"},
        {LINE_PLANT, "Blade and chisel wear", slot_m + all_leaks(p, WAYS_GROOVE), "m",
         price(p, "saw_blade_m"), 0, "length of slot and groove", "saw_blade_m"},
        {LINE_PLANT, "Scanner", slot_m + all_leaks(p, WAYS_SCANNED), "m", price(p, "scan_m"), 0,
         "length of slot, groove, crack or edge drilled along", "scan_m"},
        {LINE_PLANT, "Relief tubes", tubes, "each", price(p, "relief_tube_each"), 0, "one a strong leak",
         "relief_tube_each"},
    };
    status code = OK;
    for (size_t i = 0; code == OK && i < sizeof lines / sizeof *lines; i++) code = add_line(p, lines[i]);
    return code == OK ? add_parts(p, LINE_PLANT) : code;
}

static status add_materials(const pricing *p) {
    status code = OK;
    for (size_t i = 0; code == OK && i < p->takeoff->n_orders; i++) {
        const takeoff_order *o = &p->takeoff->orders[i];
        code = add_line(p, (estimate_line){LINE_MATERIAL, o->material->name, o->cost > 0 ? 1 : 0, "lot",
                                           o->cost, 0, "whole packs of the order list", o->material->id});
    }
    return code == OK ? add_parts(p, LINE_MATERIAL) : code;
}

static status add_site(const pricing *p, double days) {
    const takeoff_job *t = p->takeoff;
    double inflow = 0;
    for (size_t i = 0; i < p->out->n_leaks; i++) inflow += p->designs[i].pump_m3_s;
    const estimate_line lines[] = {
        {LINE_SITE, "Mobilisation", days > 0 ? 1 : 0, "each", price(p, "mobilisation"), 0, "once",
         "mobilisation"},
        {LINE_SITE, "Access", days, "day", price(p, "access_day"), 0, "crew days", "access_day"},
        {LINE_SITE, "Dewatering", inflow > 0 ? days : 0, "day", price(p, "dewatering_day"), 0,
         "crew days while water runs", "dewatering_day"},
        {LINE_SITE, "Capture and disposal of alkaline wash water", t->wash_water_m3 * 1000, "l",
         price(p, "disposal_wash_l"), 0, "washed area", "disposal_wash_l"},
        {LINE_SITE, "Disposal of spoil and slurry", t->spoil_kg, "kg", price(p, "disposal_spoil_kg"), 0,
         "volume cut out", "disposal_spoil_kg"},
        {LINE_SITE, "Standby", days > 0 ? ESTIMATE_STANDBY_H : 0, "h", price(p, "standby_h"), 0,
         "waiting for hold points, our default 2 h", "standby_h"},
    };
    status code = OK;
    for (size_t i = 0; code == OK && i < sizeof lines / sizeof *lines; i++) code = add_line(p, lines[i]);
    return code;
}

static status add_ends(const pricing *p, double days) {
    estimate *out = p->out;
    status code =
        add_line(p, (estimate_line){LINE_RETURN, "Return visits", days > 0 ? ESTIMATE_RETURN_VISITS : 0,
                                    "each", price(p, "return_visit"), 0,
                                    "24 h, 7 d, 28 d and the next high water", "return_visit"});
    out->subtotal = out->total;
    if (code == OK)
        code = add_line(p, (estimate_line){LINE_ADDITION, "Overhead", out->subtotal, "x",
                                           price(p, "overhead_percent") / 100, 0, "on all lines above",
                                           "overhead_percent"});
    double base = out->total;
    if (code == OK)
        code =
            add_line(p, (estimate_line){LINE_ADDITION, "Profit", base, "x", price(p, "profit_percent") / 100,
                                        0, "on all lines above", "profit_percent"});
    double least = price(p, "minimum_charge"), missing = least - out->total;
    if (code == OK && days > 0 && missing > 0)
        code = add_line(p, (estimate_line){LINE_ADDITION, "To the minimum charge", 1, "lot", missing, 0,
                                           "the job's minimum charge", "minimum_charge"});
    return code;
}

/* The ways without a slot, and whether the job has the rates and prices that they want. */
static status count_ways(const pricing *p) {
    status code = OK;
    for (size_t i = 0; code == OK && i < p->s->n_defects; i++) {
        ways_count(&p->designs[i], &p->takeoff->leaks[i], p->ways[i]);
        code = ways_check(p->s, p->s->defects[i].mark, p->ways[i], p->why);
    }
    return code;
}

status estimate_price(const survey *s, const leak_water *leaks, const repair_design *designs,
                      const takeoff_job *takeoff, arena *memory, estimate *out, fault *why) {
    pricing p = {s, designs, takeoff, memory, NULL, out, why};
    *out = (estimate){.n_leaks = s->n_defects};
    out->leaks = arena_get(memory, s->n_defects, sizeof *out->leaks);
    p.ways = arena_get(memory, s->n_defects, sizeof *p.ways);
    if (!out->leaks || !p.ways) return fault_memory(why);
    status code = estimate_check_rates(s, why);
    if (code == OK) code = count_ways(&p);
    if (code != OK) return code;
    for (size_t i = 0; i < s->n_defects; i++) {
        trace_place place;
        bool overhead = trace_at(s, leaks[i].defect, 0, &place) && place.face->lie == LIE_SOFFIT;
        hours_count(s, &designs[i], &takeoff->leaks[i], p.ways[i], overhead, &out->leaks[i]);
        cost_leak(&p, i);
    }
    code = add_labour(&p);
    if (code == OK) code = add_cure(&p);
    if (code != OK) return code;
    out->crew_days = ceil(out->hours_total / (s->site.crew * s->site.shift_h) * 2 - 1e-9) / 2; /* half days */
    code = add_plant(&p, out->crew_days);
    if (code == OK) code = add_materials(&p);
    if (code == OK) code = add_site(&p, out->crew_days);
    return code == OK ? add_ends(&p, out->crew_days) : code;
}
