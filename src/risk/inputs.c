#include "risk/inputs.h"

#include "survey/catalogue.h"

#include <string.h>

static const survey_rate *rate_of(const survey *s, const char *id) {
    for (size_t i = 0; i < s->n_rates; i++)
        if (strcmp(s->rates[i].id, id) == 0) return &s->rates[i];
    return NULL;
}

static const survey_price *price_of(const survey *s, const char *id) {
    for (size_t i = 0; i < s->n_prices; i++)
        if (strcmp(s->prices[i].id, id) == 0) return &s->prices[i];
    return NULL;
}

/* A rate that only the risk wants. */
static status own_rate(const plan *p, const char *id, arena *memory, risk_model *m, survey_rate *out,
                       fault *why) {
    const survey_rate *found = rate_of(p->survey, id), *shipped = survey_catalogue_rate(id);
    *out = found ? *found : *shipped;
    if (found) return OK;
    return risk_model_warn(m, memory, why, "The job has no rate %s: the shipped default %g is taken (%s).",
                           id, shipped->value, shipped->source);
}

static status check_part(const survey_rate *rate, fault *why) {
    if (rate->value <= 100) return OK;
    return fault_set(why, E_INPUT, "rates: %s is %g; it must lie in 0 to 100", rate->id, rate->value);
}

static status check_correlation(const survey_rate *rate, fault *why) {
    if (rate->value <= SPREAD_CORRELATION_MOST) return OK;
    return fault_set(why, E_INPUT, "rates: %s is %g; it must lie in 0 to %g", rate->id, rate->value,
                     SPREAD_CORRELATION_MOST);
}

static status tell_factor(const survey_rate *rate, arena *memory, risk_model *m, fault *why) {
    if (rate->value == 1) return OK;
    return risk_model_warn(m, memory, why, "The rate %s is %g; the printed price is counted with 1.",
                           rate->id, rate->value);
}

status risk_inputs_begin(const plan *p, arena *memory, risk_model *m, fault *why) {
    survey_rate correlation;
    for (size_t v = 0; v < VALUES; v++)
        m->values[v] = v < VALUE_PRICES ? takeoff_rate(p->survey, risk_value_ids[v])
                                        : estimate_price_of(p->survey, risk_value_ids[v]);
    status code = own_rate(p, "length_factor", memory, m, &m->length, why);
    if (code == OK) code = own_rate(p, risk_value_ids[VALUE_DEPTH], memory, m, &m->depth, why);
    if (code == OK) code = own_rate(p, "dry_wet_percent", memory, m, &m->dry_wet, why);
    if (code == OK) code = own_rate(p, "risk_correlation", memory, m, &correlation, why);
    if (code == OK) code = check_part(&m->dry_wet, why);
    if (code == OK) code = check_correlation(&correlation, why);
    if (code == OK) code = tell_factor(&m->length, memory, m, why);
    if (code == OK) code = tell_factor(&m->depth, memory, m, why);
    if (code != OK) return code;
    m->values[VALUE_DEPTH] = m->depth.value;
    m->correlation = correlation.value;
    return OK;
}

double risk_inputs_chance(const risk_model *m) {
    return m->dry_wet.value / 100;
}

static status put(risk_model *m, risk_input input, spread_item item, arena *memory, int *number, fault *why) {
    size_t n = m->n_inputs;
    if (!input.label || !input.unit) return fault_memory(why);
    risk_input *inputs = arena_push(memory, m->inputs, &m->n_inputs, sizeof *inputs);
    if (!inputs) return fault_memory(why);
    m->inputs = inputs;
    inputs[n] = input;
    spread_item *items = arena_push(memory, m->items, &n, sizeof *items);
    if (!items) return fault_memory(why);
    m->items = items;
    items[n - 1] = item;
    *number = (int)(n - 1);
    return OK;
}

/* False: it stands still at its value. */
static bool range_of(double value, maybe low, maybe high, spread_item *out) {
    *out = (spread_item){SPREAD_TRIANGULAR, low.known ? low.v : value, value, high.known ? high.v : value};
    return out->low < out->high;
}

status risk_inputs_length(const plan *p, size_t leak, arena *memory, risk_model *m, int *number, fault *why) {
    units_system system = p->survey->site.system;
    double length = units_from_si(UNITS_LENGTH, system, p->leaks[leak].length_m);
    spread_item item;
    *number = RISK_NONE;
    if (!range_of(m->length.value, m->length.low, m->length.high, &item) && m->length.value == 1) return OK;
    const risk_input input = {.label = arena_print(memory, "length of %s", p->leaks[leak].defect->mark),
                              .group = risk_group_words[0],
                              .low = length * item.low,
                              .likely = length * item.likely,
                              .high = length * item.high,
                              .unit = units_symbol(UNITS_LENGTH, system),
                              .basis = m->length.source};
    return put(m, input, item, memory, number, why);
}

status risk_inputs_wet(const plan *p, size_t leak, arena *memory, risk_model *m, int *number, fault *why) {
    const risk_input input = {.label = arena_print(memory, "%s found wet", p->leaks[leak].defect->mark),
                              .group = risk_group_words[1],
                              .low = 0,
                              .likely = m->dry_wet.value,
                              .high = 100,
                              .unit = "% chance",
                              .basis = m->dry_wet.source};
    return put(m, input, (spread_item){SPREAD_CHANCE, 0, risk_inputs_chance(m), 1}, memory, number, why);
}

/* Rates and prices are kept a metre, litre, kilogram; a US job reads them a foot, gallon, pound. Returns what one shown unit
 * is worth; *unit: as it is shown. */
static double shown_unit(units_system system, const char **unit) {
    static const struct {
        const char *kept, *shown[UNITS_US + 1];
        units_quantity above, below; /* of the unit: l/min is a volume above */
    } known[] = {
        {"h/m", {"h/m", "h/ft"}, UNITS_PLAIN, UNITS_LENGTH},
        {"h/m2", {"h/m²", "h/ft²"}, UNITS_PLAIN, UNITS_AREA},
        {"l/m2", {"l/m²", "gal/ft²"}, UNITS_VOLUME, UNITS_AREA},
        {"l/min", {"l/min", "gal/min"}, UNITS_VOLUME, UNITS_PLAIN},
        {"m", {"m", "ft"}, UNITS_PLAIN, UNITS_LENGTH},
        {"l", {"l", "gal"}, UNITS_PLAIN, UNITS_VOLUME},
        {"kg", {"kg", "lb"}, UNITS_PLAIN, UNITS_MASS},
    };
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        if (strcmp(*unit, known[i].kept) != 0) continue;
        *unit = known[i].shown[system];
        if (system == UNITS_METRIC) return 1;
        double above_si = units_to_si(known[i].above, UNITS_METRIC, 1),
               below_si = units_to_si(known[i].below, UNITS_METRIC, 1);
        return units_from_si(known[i].above, UNITS_US, above_si) /
               units_from_si(known[i].below, UNITS_US, below_si);
    }
    return 1;
}

/* Money an hour is no hour: "EUR/h"; a share of the price stays "%". */
static const char *priced(const plan *p, const char *unit, arena *memory) {
    const char *currency = p->survey->site.currency;
    if (strcmp(unit, "%") == 0) return unit;
    return *unit ? arena_print(memory, "%s/%s", currency, unit) : currency;
}

static status put_range(const plan *p, risk_value v, risk_input input, const spread_item *item, arena *memory,
                        risk_model *m, int *number, fault *why) {
    double each = shown_unit(p->survey->site.system, &input.unit);
    input.low = item->low * each;
    input.likely = item->likely * each;
    input.high = item->high * each;
    input.group = risk_group_words[v == VALUE_DEPTH ? 2 : v < VALUE_PRICES ? 3 : 4];
    if (strcmp(input.unit, "-") == 0) input.unit = "";
    if (v >= VALUE_PRICES) input.unit = priced(p, input.unit, memory);
    /* A range told a metre means nothing beside a figure a foot. */
    if (each != 1 && input.basis && strncmp(input.basis, "our default,", 12) == 0)
        input.basis = "our default";
    return put(m, input, *item, memory, number, why);
}

/* Ranges of what has none but could: counted, for a warning. */
static void stand_still(risk_model *m, const maybe *shipped_low) {
    m->n_still += shipped_low && shipped_low->known;
}

/* A firm's own entry may have no more than its id. */
static risk_input told(const char *id, const char *label, const char *unit, const char *basis) {
    return (risk_input){
        .label = label ? label : id, .unit = unit ? unit : "", .basis = basis ? basis : "the job's rates"};
}

static status put_rate(const plan *p, risk_value v, const survey_rate *rate, arena *memory, risk_model *m,
                       int *number, fault *why) {
    spread_item item;
    const survey_rate *shipped = survey_catalogue_rate(rate->id);
    if (range_of(rate->value, rate->low, rate->high, &item))
        return put_range(p, v, told(rate->id, rate->label, rate->unit, rate->source), &item, memory, m,
                         number, why);
    stand_still(m, shipped ? &shipped->low : NULL);
    return OK;
}

static status put_price(const plan *p, risk_value v, const survey_price *price, arena *memory, risk_model *m,
                        int *number, fault *why) {
    spread_item item;
    const survey_price *shipped = survey_catalogue_price(price->id);
    const risk_input input = told(price->id, price->label, price->unit, "the job's prices");
    if (range_of(price->price, price->low, price->high, &item))
        return put_range(p, v, input, &item, memory, m, number, why);
    stand_still(m, shipped ? &shipped->low : NULL);
    return OK;
}

status risk_inputs_value(const plan *p, risk_value v, arena *memory, risk_model *m, int *number, fault *why) {
    const survey_rate *rate = rate_of(p->survey, risk_value_ids[v]);
    const survey_price *price = price_of(p->survey, risk_value_ids[v]);
    *number = RISK_NONE;
    if (v == VALUE_DEPTH) return put_rate(p, v, &m->depth, memory, m, number, why);
    if (v < VALUE_PRICES) return rate ? put_rate(p, v, rate, memory, m, number, why) : OK;
    return price ? put_price(p, v, price, memory, m, number, why) : OK;
}

status risk_inputs_end(arena *memory, risk_model *m, fault *why) {
    if (m->n_still == 0) return OK;
    return risk_model_warn(
        m, memory, why,
        "%zu of the rates and prices that this price rests on have no low and high in the job: they "
        "stand still.",
        m->n_still);
}
