#include "price/ways.h"

#include "survey/catalogue.h"

#include <math.h>
#include <string.h>

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

/* Hours a unit of an amount. What is pumped or gunned also bounds the batches; the pump's hours stand below. */
static const struct {
    const char *id;
    ways_amount of;
    bool hourly;
    estimate_work work;
} rates[] = {
    {"port_h_each", WAYS_PACKERS, true, HOURS_DRILL},
    {"surface_seal_h_m", WAYS_FACE, true, HOURS_INJECT},
    {"inject_h_port", WAYS_PACKERS, false, HOURS_INJECT},
    {"inject_place_l_min", WAYS_RESIN, false, HOURS_INJECT},
    {"strip_h_port", WAYS_PACKERS, true, HOURS_INJECT},
    {"rout_h_m", WAYS_GROOVE, true, HOURS_SEAL},
    {"seal_h_m", WAYS_GROOVE, true, HOURS_SEAL},
    {"sealant_place_l_min", WAYS_SEALANT, false, HOURS_SEAL},
    {"drain_h_m", WAYS_CHANNEL, true, HOURS_DRAIN},
    {"outlet_h_each", WAYS_OUTLETS, true, HOURS_DRAIN},
};

static const struct {
    const char *id;
    ways_amount of;
    estimate_group group;
    const char *label, *unit, *basis;
} parts[] = {
    {"drill_bit_m", WAYS_DRILLED, LINE_PLANT, "Wear of drill bits", "m", "length of holes"},
    {"packer_each", WAYS_PACKERS, LINE_MATERIAL, "Injection packers", "each", "one a port"},
    {"surface_seal_m", WAYS_FACE, LINE_MATERIAL, "Paste to seal crack faces", "m",
     "length of crack, or round the place"},
    {"backer_m", WAYS_BACKER, LINE_MATERIAL, "Backer rod", "m", "length of flexible seal"},
    {"channel_m", WAYS_CHANNEL, LINE_MATERIAL, "Drain channel", "m", "length drained"},
    {"outlet_each", WAYS_OUTLETS, LINE_MATERIAL, "Outlets of drain channels", "each", "one a channel"},
};

void ways_count(const repair_design *d, const takeoff_leak *t, double a[WAYS_COUNT]) {
    memset(a, 0, WAYS_COUNT * sizeof *a);
    if (!design_is_priced(d)) return;
    if (method_is_injection(d->method.name)) {
        a[WAYS_PACKERS] = t->packers;
        a[WAYS_DRILLED] = t->drill_m;
        a[WAYS_FACE] = d->injection.face_m * (d->injection.from_far_side_sealed ? 2 : 1);
        a[WAYS_RESIN] = t->fill.volume_m3;
        a[WAYS_SCANNED] = d->injection.face_m;
    } else if (d->method.name == METHOD_FLEXIBLE) {
        a[WAYS_GROOVE] = a[WAYS_SCANNED] = d->flexible.length_m;
        a[WAYS_SEALANT] = t->fill.volume_m3;
        a[WAYS_BACKER] = t->backer_m;
    } else if (d->method.name == METHOD_DRAIN) {
        a[WAYS_CHANNEL] = t->channel_m;
        a[WAYS_OUTLETS] = 1;
    }
}

static status miss(const char *list, const char *id, const char *mark, fault *why) {
    return fault_set(why, E_INPUT, "%s: %s is missing, which leak %s needs", list, id, mark);
}

status ways_check(const survey *s, const char *mark, const double a[WAYS_COUNT], fault *why) {
    double value;
    for (size_t i = 0; i < COUNT_OF(rates); i++)
        if (a[rates[i].of] > 0 && !survey_rate_value(s, rates[i].id, &value))
            return miss("rates", rates[i].id, mark, why);
    for (size_t i = 0; i < COUNT_OF(parts); i++)
        if (a[parts[i].of] > 0 && !survey_price_value(s, parts[i].id, &value))
            return miss("prices", parts[i].id, mark, why);
    return OK;
}

void ways_add_hours(const survey *s, const double a[WAYS_COUNT], double hours[HOURS_COUNT]) {
    for (size_t i = 0; i < COUNT_OF(rates); i++)
        if (rates[i].hourly) hours[rates[i].work] += a[rates[i].of] * takeoff_rate(s, rates[i].id);
    if (!(a[WAYS_PACKERS] > 0)) return;
    double by_packer = a[WAYS_PACKERS] * takeoff_rate(s, "inject_h_port"),
           at_pump = 2 * a[WAYS_RESIN] * 1000 / takeoff_rate(s, "inject_place_l_min") / 60;
    hours[HOURS_INJECT] += fmax(by_packer, at_pump);
}

size_t ways_parts(void) {
    return COUNT_OF(parts);
}

estimate_line ways_part(const survey *s, size_t at, const double a[WAYS_COUNT]) {
    return (estimate_line){.group = parts[at].group,
                           .label = parts[at].label,
                           .quantity = a[parts[at].of],
                           .unit = parts[at].unit,
                           .rate = estimate_price_of(s, parts[at].id),
                           .basis = parts[at].basis,
                           .code = parts[at].id};
}
