/* Hours by step, over what they were spent on: one word of one leak on each rate. */
#include "ops/learn_parts.h"
#include "price/ways.h"
#include "survey/catalogue.h"
#include "survey/trace.h"

#include <math.h>
#include <string.h>

/* What a rate is by: as price/hours.c and price/ways.c count it. */
typedef enum {
    BY_CUT,
    BY_HOLE,
    BY_RING,
    BY_PATCH,
    BY_WASHED,
    BY_PIECES,
    BY_RELIEF,
    BY_SLOT,
    BY_COATED,
    BY_PACKERS,
    BY_PUMPED, /* packers, where they and not the pump take the time */
    BY_FACE,
    BY_GROOVE,
    BY_CHANNEL,
    BY_OUTLETS
} amount;

/* Setting up has no step of the card, cure visits no count, and a rate in litres a minute no hours of its own: not learned. */
static const struct {
    const char *rate;
    amount by;
    const char *steps[3];
    bool factored; /* times overhead_factor overhead */
} rates[] = {
    {"cut_slot_h_m", BY_CUT, {"cut"}, true},
    {"hole_h_each", BY_HOLE, {"cut"}, true},
    {"ring_h_m", BY_RING, {"cut"}, true},
    {"patch_h_m2", BY_PATCH, {"cut"}, true},
    {"wash_h_m2", BY_WASHED, {"wash"}, true},
    {"plug_h_each", BY_PIECES, {"plug"}, true},
    {"relief_h_each", BY_RELIEF, {"relief", "close_relief"}, false},
    {"pack_h_m", BY_SLOT, {"pack"}, true},
    {"coat_h_m2", BY_COATED, {"first_coat", "last_coat"}, true},
    {"port_h_each", BY_PACKERS, {"ports"}, true},
    {"surface_seal_h_m", BY_FACE, {"surface_seal"}, true},
    {"inject_h_port", BY_PUMPED, {"flush", "inject"}, true},
    {"strip_h_port", BY_PACKERS, {"strip"}, true},
    {"rout_h_m", BY_GROOVE, {"rout"}, true},
    {"seal_h_m", BY_GROOVE, {"prime", "backer", "seal"}, true},
    {"drain_h_m", BY_CHANNEL, {"channel"}, true},
    {"outlet_h_each", BY_OUTLETS, {"outlet"}, true},
};

typedef struct {
    const survey *s;
    const repair_design *design;
    const takeoff_leak *takeoff;
    const built_leak *built;
    double longer; /* length found over length planned */
    maybe depth_m; /* found */
    double ways[WAYS_COUNT];
} measured;

/* ---- what was done ---- */

/* Hours of the steps; 0 where one that is on the card was not told. */
static double hours_of(const built_leak *leak, const char *const steps[3]) {
    double hours = 0;
    for (size_t i = 0; i < leak->n_steps; i++)
        for (int k = 0; k < 3 && steps[k]; k++) {
            const built_step *step = &leak->steps[i];
            if (strcmp(step->code, steps[k]) != 0) continue;
            if (step->planned && !(step->hours > 0)) return 0;
            hours += step->hours;
        }
    return hours;
}

/* As built, where a length and a depth were found; else as planned. */
static void take_sizes(measured *m) {
    m->longer = 1;
    for (size_t i = 0; i < m->built->n_lines; i++) {
        const built_line *line = &m->built->lines[i];
        if (!line->actual.known) continue;
        if (line->q == UNITS_LENGTH && line->planned.known && line->planned.v > 0)
            m->longer = line->actual.v / line->planned.v;
        else if (line->q == UNITS_SIZE && strcmp(line->label, "Depth") == 0)
            m->depth_m = line->actual;
    }
}

static double cut_amount(const measured *m) {
    double sum = 0, deep = 1;
    survey_rate_value(m->s, "cut_deep_factor", &deep);
    for (size_t i = 0; i < m->design->n_slots; i++) {
        const design_slot *slot = &m->design->slots[i];
        double depth_m = m->depth_m.known ? m->depth_m.v : slot->depth_m;
        sum += (slot->to_m - slot->from_m) * (depth_m > ESTIMATE_DEEP_M ? deep : 1);
    }
    return sum * m->longer;
}

static double cut_of(const measured *m, amount by) {
    const repair_design *d = m->design;
    survey_method name = d->method.name;
    if (by == BY_CUT) return name == METHOD_SLOT_PLUG || name == METHOD_SLOT_PACK ? cut_amount(m) : 0;
    if (by == BY_HOLE) return name == METHOD_HOLE && d->n_slots;
    if (by == BY_RING) return name == METHOD_RING ? d->ring_length_m : 0;
    return name == METHOD_CUT_BACK ? d->patch_m2 : 0;
}

static double pumped(const measured *m) {
    double by_packer = 0, at_pump = 0;
    survey_rate_value(m->s, "inject_h_port", &by_packer);
    survey_rate_value(m->s, "inject_place_l_min", &at_pump);
    double pump_h = at_pump > 0 ? 2 * m->ways[WAYS_RESIN] * 1000 / at_pump / 60 : 0;
    return m->ways[WAYS_PACKERS] * by_packer >= pump_h ? m->ways[WAYS_PACKERS] : 0;
}

static double amount_of(const measured *m, amount by) {
    const takeoff_leak *t = m->takeoff;
    bool bulk = m->design->method.name == METHOD_CUT_BACK || m->design->method.name == METHOD_HOLE;
    switch (by) {
    case BY_CUT:
    case BY_HOLE:
    case BY_RING:
    case BY_PATCH: return cut_of(m, by);
    case BY_WASHED: return t->wash_m2 * m->longer;
    case BY_PIECES:
        if (bulk || !t->mixes[MIX_PLUG].material) return 0;
        return fmax(1, ceil(t->slot_length_m * m->longer / ESTIMATE_PLUG_PIECE_M - 1e-9));
    case BY_RELIEF: return m->design->relief.wanted;
    case BY_SLOT: return bulk ? 0 : t->slot_length_m * m->longer;
    case BY_COATED: return (t->first_coat_m2 + t->last_coat_m2) * m->longer;
    case BY_PACKERS: return m->ways[WAYS_PACKERS];
    case BY_PUMPED: return pumped(m);
    case BY_FACE: return m->ways[WAYS_FACE] * m->longer;
    case BY_GROOVE: return m->ways[WAYS_GROOVE] * m->longer;
    case BY_CHANNEL: return m->ways[WAYS_CHANNEL] * m->longer;
    case BY_OUTLETS: return m->ways[WAYS_OUTLETS];
    }
    return 0;
}

static status tell_leak(const learn_reading *r, size_t leak) {
    const survey *s = r->p->survey;
    learn_fact fact = learn_about(r, leak);
    measured m = {.s = s,
                  .design = &r->p->designs[leak],
                  .takeoff = &r->p->takeoff.leaks[leak],
                  .built = &r->built.leaks[leak]};
    trace_place place;
    double overhead = 1;
    if (trace_at(s, &s->defects[leak], 0, &place) && place.face->lie == LIE_SOFFIT)
        survey_rate_value(s, "overhead_factor", &overhead);
    take_sizes(&m);
    ways_count(m.design, m.takeoff, m.ways);
    status code = OK;
    for (size_t i = 0; code == OK && i < sizeof rates / sizeof *rates; i++) {
        double hours = hours_of(m.built, rates[i].steps);
        double quantity = amount_of(&m, rates[i].by) * (rates[i].factored ? overhead : 1);
        if (!(hours > 0) || !(quantity > 0)) continue;
        fact.rate = rates[i].rate;
        fact.value = hours / quantity;
        fact.quantity = quantity;
        code = learn_add_fact(r, &fact);
    }
    return code;
}

/* Of each material of the job: what the volumes as built would take, and what was used on just those leaks. */
static status tell_waste(const learn_reading *r) {
    status code = OK;
    for (size_t i = 0; code == OK && i < r->built.n_materials; i++) {
        const built_material *m = &r->built.materials[i];
        if (!m->net_kg.known || !(m->net_kg.v > 0) || !(m->measured_kg > 0)) continue;
        const learn_fact fact = {.rate = "waste_percent",
                                 .temperature = LEARN_MILD,
                                 .value = m->measured_kg / m->net_kg.v,
                                 .quantity = m->net_kg.v};
        code = learn_add_fact(r, &fact);
    }
    return code;
}

static status tell_wetter(const learn_reading *r, size_t leak) {
    maybe wetter = r->built.leaks[leak].wetter;
    if (!wetter.known) return OK;
    learn_fact about = learn_about(r, leak);
    const learn_event event = {"dry_wet_percent", 0, about.kind, about.access, wetter.v > 0.5};
    return learn_add_event(r, &event);
}

status learn_tell_hours(const learn_reading *r) {
    status code = tell_waste(r);
    for (size_t i = 0; code == OK && i < r->p->n_leaks; i++) {
        if (design_is_priced(&r->p->designs[i]) && !r->again[i]) code = tell_leak(r, i);
        if (code == OK) code = tell_wetter(r, i);
    }
    return code;
}
