#include "ops/facts.h"

#include "plan/show.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct {
    const plan *p;
    facts *out;
    bool failed;
} reading;

static void add(reading *r, const char *label, const char *value) {
    fact *longer = arena_push(r->p->memory, r->out->list, &r->out->n, sizeof *longer);
    if (!longer || !label || !value) {
        r->failed = true;
        return;
    }
    longer[r->out->n - 1] = (fact){label, value, 0};
    r->out->list = longer;
}

/* Member "base_suffix" in SI, whichever system the body was written in. */
static bool quantity(const json_t *from, const char *base, units_quantity q, double *si) {
    for (int s = UNITS_METRIC; s <= UNITS_US; s++) {
        char name[80];
        snprintf(name, sizeof name, "%s_%s", base, units_suffix(q, (units_system)s));
        const json_t *value = json_object_get(from, name);
        if (!json_is_number(value)) continue;
        *si = units_to_si(q, (units_system)s, json_number_value(value));
        return true;
    }
    return false;
}

static const char *words_or_none(const json_t *from, const char *name, arena *memory) {
    const char *words = json_string_value(json_object_get(from, name));
    return words && *words ? arena_copy(memory, words) : FACTS_NONE;
}

static void add_length(reading *r, const char *label, const json_t *from, const char *base) {
    double m;
    add(r, label, quantity(from, base, UNITS_LENGTH, &m) && m > 0 ? show_length(r->p, m) : FACTS_NONE);
}

static void add_flow(reading *r, const json_t *look) {
    double m3_s;
    const char *value = FACTS_NONE;
    if (quantity(look, "flow_measured", UNITS_FLOW, &m3_s))
        value = arena_print(r->p->memory, "%s measured", show_flow(r->p, m3_s));
    else if (quantity(look, "flow_expected", UNITS_FLOW, &m3_s))
        value = arena_print(r->p->memory, "%s expected", show_flow(r->p, m3_s));
    add(r, "flow", value);
}

/* "37 mm", or "20 mm to 37 mm" where steel holds a stretch up. */
static void add_depth(reading *r, const char *label, const json_t *design, const char *base) {
    const json_t *slots = json_object_get(design, "slots");
    double least = HUGE_VAL, most = 0, m;
    for (size_t i = 0; i < json_array_size(slots); i++)
        if (quantity(json_array_get(slots, i), base, UNITS_SIZE, &m)) {
            least = fmin(least, m);
            most = fmax(most, m);
        }
    const char *value = FACTS_NONE, *deep = show_size(r->p, most),
               *low = most > 0 ? show_size(r->p, least) : deep;
    if (most > 0) value = strcmp(low, deep) == 0 ? deep : arena_print(r->p->memory, "%s to %s", low, deep);
    add(r, label, value);
}

static void add_relief(reading *r, const json_t *design) {
    double m;
    add(r, "relief bore", quantity(design, "relief_bore", UNITS_SIZE, &m) ? show_size(r->p, m) : FACTS_NONE);
}

/* Name of a material by its id; the id when the job has it no longer. */
static const char *name_of(const plan *p, const char *id) {
    for (size_t i = 0; i < p->survey->n_materials; i++)
        if (strcmp(p->survey->materials[i].id, id) == 0) return p->survey->materials[i].name;
    return arena_copy(p->memory, id);
}

/* Powder of all steps, one row a material. */
static void add_powder(reading *r, const json_t *takeoff) {
    const json_t *mixes = json_object_get(takeoff, "mixes");
    size_t n = json_array_size(mixes);
    for (size_t i = 0; i < n; i++) {
        const char *id = json_string_value(json_object_get(json_array_get(mixes, i), "material"));
        double sum = 0;
        bool earlier = false;
        for (size_t k = 0; id && k < n; k++) {
            const json_t *mix = json_array_get(mixes, k);
            const char *other = json_string_value(json_object_get(mix, "material"));
            double kg;
            if (!other || strcmp(id, other) != 0) continue;
            earlier = earlier || k < i;
            if (quantity(mix, "powder", UNITS_MASS, &kg)) sum += kg;
        }
        if (id && !earlier) add(r, name_of(r->p, id), show_mass(r->p, sum));
    }
}

/* Resin or sealant of a leak. */
static void add_fill(reading *r, const json_t *takeoff) {
    const json_t *fill = json_object_get(takeoff, "fill");
    const char *id = json_string_value(json_object_get(fill, "material"));
    double m3;
    if (id && quantity(fill, "volume", UNITS_VOLUME, &m3)) add(r, name_of(r->p, id), show_volume(r->p, m3));
}

static void add_number(reading *r, const char *label, const json_t *value, int decimals, const char *unit) {
    char number[48];
    if (!json_is_number(value) || !(json_number_value(value) > 0)) {
        add(r, label, FACTS_NONE);
        return;
    }
    snprintf(number, sizeof number, "%.*f", decimals, json_number_value(value));
    add(r, label,
        *unit ? arena_print(r->p->memory, "%s %s", number, unit) : arena_copy(r->p->memory, number));
    if (!r->failed) r->out->list[r->out->n - 1].number = json_number_value(value);
}

static void add_orders(reading *r, const json_t *takeoff) {
    const json_t *orders = json_object_get(takeoff, "orders");
    for (size_t i = 0; i < json_array_size(orders); i++) {
        const json_t *order = json_array_get(orders, i);
        const char *id = json_string_value(json_object_get(order, "material"));
        double bought; /* kg, or m3 of what is sold by volume */
        bool mass = quantity(order, "bought", UNITS_MASS, &bought);
        if (!id || !(mass || quantity(order, "bought", UNITS_VOLUME, &bought))) continue;
        add(r, arena_print(r->p->memory, "%s to buy", name_of(r->p, id)),
            mass ? show_mass(r->p, bought) : show_volume(r->p, bought));
    }
}

static json_t *parsed(const char *body) {
    return json_loads(body, JSON_REJECT_DUPLICATES, NULL);
}

status facts_of_leak(const plan *p, const char *const bodies[4], facts *out, fault *why) {
    json_t *look = parsed(bodies[0]), *design = parsed(bodies[1]), *takeoff = parsed(bodies[2]),
           *price = parsed(bodies[3]);
    reading r = {.p = p, .out = out};
    *out = (facts){0};
    add(&r, "method", words_or_none(design, "method", p->memory));
    add_length(&r, "head", design, "head");
    add_flow(&r, look);
    add_depth(&r, "slot depth", design, "depth");
    add_depth(&r, "plug", design, "plug");
    add_relief(&r, design);
    add_length(&r, "slot length", takeoff, "slot_length");
    add_powder(&r, takeoff);
    add_fill(&r, takeoff);
    add_number(&r, "hours", json_object_get(price, "hours"), 1, "h");
    add_number(&r, "cost", json_object_get(price, "cost"), 2, p->survey->site.currency);
    json_decref(look);
    json_decref(design);
    json_decref(takeoff);
    json_decref(price);
    return r.failed ? fault_memory(why) : OK;
}

status facts_of_job(const plan *p, const char *const bodies[2], facts *out, fault *why) {
    json_t *takeoff = parsed(bodies[0]), *price = parsed(bodies[1]);
    const char *currency = json_string_value(json_object_get(price, "currency"));
    reading r = {.p = p, .out = out};
    *out = (facts){0};
    add_number(&r, "total, without tax", json_object_get(price, "total"), 2, currency ? currency : "");
    add_number(&r, "labour", json_object_get(price, "hours"), 1, "h");
    add_number(&r, "crew days", json_object_get(price, "crew_days"), 1, "");
    add_orders(&r, takeoff);
    json_decref(takeoff);
    json_decref(price);
    return r.failed ? fault_memory(why) : OK;
}

const fact *facts_of_label(const facts *f, const char *label) {
    for (size_t i = 0; i < f->n; i++)
        if (strcmp(f->list[i].label, label) == 0) return &f->list[i];
    return NULL;
}
