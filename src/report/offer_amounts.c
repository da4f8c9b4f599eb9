#include "report/offer_amounts.h"

#include "price/ways.h"
#include "survey/trace.h"

#include <math.h>
#include <string.h>

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

const offer_amount_about offer_amounts[AMOUNT_COUNT] = {
    {"Set up", UNITS_PLAIN},         {"Cut", UNITS_LENGTH},         {"Cut deep", UNITS_LENGTH},
    {"Holes", UNITS_PLAIN},          {"Ring", UNITS_LENGTH},        {"Cut back", UNITS_AREA},
    {"Slot", UNITS_LENGTH},          {"Scanned", UNITS_LENGTH},     {"Wash", UNITS_AREA},
    {"Pieces of plug", UNITS_PLAIN}, {"Plug", UNITS_VOLUME},        {"Pack", UNITS_VOLUME},
    {"Coats", UNITS_AREA},           {"Relief tubes", UNITS_PLAIN}, {"Packers", UNITS_PLAIN},
    {"Drilled", UNITS_LENGTH},       {"Face sealed", UNITS_LENGTH}, {"Resin", UNITS_VOLUME},
    {"Groove", UNITS_LENGTH},        {"Backer rod", UNITS_LENGTH},  {"Drain channel", UNITS_LENGTH},
    {"Outlets", UNITS_PLAIN},        {"Water to pump", UNITS_FLOW}, {"Spoil", UNITS_MASS},
};

static void cut(const repair_design *d, double si[AMOUNT_COUNT]) {
    survey_method name = d->method.name;
    if (d->n_slots == 0) return;
    if (name == METHOD_HOLE) si[AMOUNT_HOLES] = 1;
    if (name == METHOD_RING) si[AMOUNT_RING] = d->ring_length_m;
    if (name == METHOD_CUT_BACK) si[AMOUNT_PATCH] = d->patch_m2;
    if (name != METHOD_SLOT_PLUG && name != METHOD_SLOT_PACK) return;
    for (size_t k = 0; k < d->n_slots; k++)
        si[d->slots[k].depth_m > ESTIMATE_DEEP_M ? AMOUNT_CUT_DEEP : AMOUNT_CUT] +=
            d->slots[k].to_m - d->slots[k].from_m;
}

static void without_slot(const repair_design *d, const takeoff_leak *t, double si[AMOUNT_COUNT]) {
    static const struct {
        ways_amount from;
        offer_amount to;
    } pairs[] = {
        {WAYS_PACKERS, AMOUNT_PACKERS}, {WAYS_DRILLED, AMOUNT_DRILLED}, {WAYS_FACE, AMOUNT_FACE},
        {WAYS_RESIN, AMOUNT_RESIN},     {WAYS_GROOVE, AMOUNT_GROOVE},   {WAYS_BACKER, AMOUNT_BACKER},
        {WAYS_CHANNEL, AMOUNT_CHANNEL}, {WAYS_OUTLETS, AMOUNT_OUTLETS}, {WAYS_SCANNED, AMOUNT_SCANNED}};
    double ways[WAYS_COUNT];
    ways_count(d, t, ways);
    for (size_t i = 0; i < COUNT_OF(pairs); i++) si[pairs[i].to] = ways[pairs[i].from];
}

void offer_leak_count(const plan *p, size_t leak, offer_leak *out) {
    const repair_design *d = &p->designs[leak];
    const takeoff_leak *t = &p->takeoff.leaks[leak];
    double si[AMOUNT_COUNT] = {0};
    trace_place place;
    *out = (offer_leak){.bulk = d->method.name == METHOD_CUT_BACK || d->method.name == METHOD_HOLE};
    /* Bought and disposed of by the quantities of the job, whether or not hours are priced. */
    si[AMOUNT_SLOT] = t->slot_length_m;
    si[AMOUNT_WASH] = t->wash_m2;
    si[AMOUNT_SPOIL] = t->spoil_kg;
    si[AMOUNT_PUMPED] = d->pump_m3_s;
    si[AMOUNT_RELIEFS] = d->relief.wanted;
    if (design_is_priced(d)) {
        out->slotted = d->n_slots > 0;
        out->overhead =
            trace_at(p->survey, p->leaks[leak].defect, 0, &place) && place.face->lie == LIE_SOFFIT;
        si[AMOUNT_SET_UP] = 1;
        si[AMOUNT_PLUGS] = t->mixes[MIX_PLUG].material != NULL;
        si[AMOUNT_PLUG_BULK] = out->bulk ? t->plug_volume_m3 : 0;
        si[AMOUNT_PACK_BULK] = out->bulk ? t->pack_volume_m3 : 0;
        si[AMOUNT_COATS] = t->first_coat_m2 + t->last_coat_m2;
        cut(d, si);
        without_slot(d, t, si);
    }
    for (size_t k = 0; k < AMOUNT_COUNT; k++)
        out->values[k] = units_from_si(offer_amounts[k].q, p->survey->site.system, si[k]);
}

double offer_material_of(const plan *p, const takeoff_order *order, size_t leak) {
    const takeoff_leak *t = &p->takeoff.leaks[leak];
    double si = 0;
    for (int k = 0; k < MIX_COUNT; k++)
        if (t->mixes[k].material == order->material) si += t->mixes[k].powder_kg;
    if (t->fill.material == order->material) si += t->fill.volume_m3;
    return units_from_si(takeoff_amount_of(order).q, p->survey->site.system, si);
}

const char *offer_unit(say *w, const char *unit, double *times) {
    static const struct {
        const char *unit;
        units_quantity of, by;      /* "l/m2": volume by area */
        double si_of, si_by;        /* of one such unit */
        const char *before, *after; /* what the unit has besides */
    } known[] = {{"m", UNITS_LENGTH, UNITS_PLAIN, 1, 1, "", ""},
                 {"l", UNITS_VOLUME, UNITS_PLAIN, 1e-3, 1, "", ""},
                 {"kg", UNITS_MASS, UNITS_PLAIN, 1, 1, "", ""},
                 {"h/m", UNITS_PLAIN, UNITS_LENGTH, 1, 1, "h/", ""},
                 {"h/m2", UNITS_PLAIN, UNITS_AREA, 1, 1, "h/", ""},
                 {"l/m2", UNITS_VOLUME, UNITS_AREA, 1e-3, 1, "", ""},
                 {"l/min", UNITS_VOLUME, UNITS_PLAIN, 1e-3, 1, "", "/min"},
                 {"m2/min", UNITS_AREA, UNITS_PLAIN, 1, 1, "", "/min"},
                 {"l/d", UNITS_VOLUME, UNITS_PLAIN, 1e-3, 1, "", "/d"}};
    *times = 1;
    for (size_t i = 0; unit && i < COUNT_OF(known); i++) {
        if (strcmp(unit, known[i].unit) != 0) continue;
        if (w->system == UNITS_US)
            *times = units_from_si(known[i].of, w->system, known[i].si_of) /
                     units_from_si(known[i].by, w->system, known[i].si_by);
        const char *of = say_unit(w, known[i].of), *by = say_unit(w, known[i].by);
        return say_print(w, "%s%s%s%s%s", known[i].before, of, *of && *by ? "/" : "", by, known[i].after);
    }
    return unit && strcmp(unit, "-") != 0 ? unit : "";
}

/* What the catalogue says in millimetres, by its beginning or a part of it, in inches. */
static const struct {
    const char *has, *says;
} in_inches[] = {
    {"Cut a slot about 25 x 40 mm", "Cut a slot about 1 x 1.5 in"},
    {"Slot chipped by hand to 75-100 mm", "Slot chipped by hand to 3-4 in: times"},
    {"chases 25 to 50 mm wide is 0.40 h/m",
     "our default, 0.12 to 0.24 h/ft; the published slow rate for machine-cut chases 1 to 2 in "
     "wide is 0.12 h/ft"},
    {"25 to 50 mm wide by hand, average 1.6 m/h", "published: chases in concrete 1 to 2 in wide by hand, "
                                                  "average 5.2 ft/h (building services; depth not stated)"},
    {"under 25 mm wide by machine, slow 3.1 m/h", "published: chases in concrete under 1 in wide by machine, "
                                                  "slow 10 ft/h (building services; depth not stated)"},
};

const char *offer_words(const say *w, const char *words) {
    if (!words || w->system != UNITS_US || !strstr(words, " mm")) return words;
    for (size_t i = 0; i < COUNT_OF(in_inches); i++)
        if (strstr(words, in_inches[i].has)) return in_inches[i].says;
    return words;
}

const char *offer_rate_label(const say *w, const survey_rate *rate) {
    return offer_words(w, rate->label ? rate->label : rate->id);
}

const char *offer_rate_source(say *w, const survey_rate *rate) {
    static const char ours[] = "our default,";
    double times;
    offer_unit(w, rate->unit, &times);
    bool converted = times != 1 && rate->source && strncmp(rate->source, ours, strlen(ours)) == 0;
    const char *words = offer_words(w, rate->source);
    /* A range told a metre means nothing beside a figure a foot. */
    return converted && words == rate->source ? "our default" : words;
}

bool offer_rate_counts(const survey_rate *rate, const double sums[AMOUNT_COUNT]) {
    static const struct {
        const char *id;
        offer_amount by;
    } used[] = {{"setup_h_leak", AMOUNT_SET_UP},
                {"cut_slot_h_m", AMOUNT_CUT},
                {"cut_slot_h_m", AMOUNT_CUT_DEEP},
                {"cut_deep_factor", AMOUNT_CUT_DEEP},
                {"hole_h_each", AMOUNT_HOLES},
                {"ring_h_m", AMOUNT_RING},
                {"patch_h_m2", AMOUNT_PATCH},
                {"wash_h_m2", AMOUNT_WASH},
                {"wash_water_l_m2", AMOUNT_WASH},
                {"plug_h_each", AMOUNT_PLUGS},
                {"plug_place_l_min", AMOUNT_PLUG_BULK},
                {"pack_h_m", AMOUNT_SLOT},
                {"pack_place_l_min", AMOUNT_PACK_BULK},
                {"coat_h_m2", AMOUNT_COATS},
                {"cure_visit_h", AMOUNT_COATS},
                {"relief_h_each", AMOUNT_RELIEFS},
                {"port_h_each", AMOUNT_PACKERS},
                {"inject_h_port", AMOUNT_PACKERS},
                {"strip_h_port", AMOUNT_PACKERS},
                {"surface_seal_h_m", AMOUNT_FACE},
                {"inject_place_l_min", AMOUNT_RESIN},
                {"rout_h_m", AMOUNT_GROOVE},
                {"seal_h_m", AMOUNT_GROOVE},
                {"drain_h_m", AMOUNT_CHANNEL},
                {"outlet_h_each", AMOUNT_OUTLETS},
                {"overhead_factor", AMOUNT_SET_UP},
                {"waste_percent", AMOUNT_SET_UP}};
    for (size_t i = 0; i < COUNT_OF(used); i++)
        if (strcmp(used[i].id, rate->id) == 0 && sums[used[i].by] > 0) return true;
    return false;
}
