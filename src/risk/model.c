#include "risk/model.h"

#include "risk/inputs.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

status risk_model_warn(risk_model *m, arena *memory, fault *why, const char *format, ...) {
    char sentence[900];
    va_list list;
    va_start(list, format);
    vsnprintf(sentence, sizeof sentence, format, list);
    va_end(list);
    const char **warnings = arena_push(memory, m->warnings, &m->n_warnings, sizeof *warnings);
    const char *kept = arena_copy(memory, sentence);
    if (!warnings || !kept) return fault_memory(why);
    warnings[m->n_warnings - 1] = kept;
    m->warnings = warnings;
    return OK;
}

/* Amounts of one leak: `fixed`, `scaled` with the depth's behind. */
typedef struct {
    double *fixed, *scaled;
} leak_lists;

typedef struct {
    const plan *p, *wet; /* wet: NULL where no dry leak is there */
    arena *memory;
    risk_model *m;
    double *all_wet;           /* as m->likely, with every dry leak found wet */
    bool wetter;               /* dry leaks may be found wet at all */
    leak_lists dry, wet_lists; /* of the leak at hand */
    fault *why;
} making;

static void lists_of(const making *k, const plan *p, size_t i, const leak_lists *out) {
    size_t n = k->m->costing.n_amounts;
    memset(out->fixed, 0, 2 * n * sizeof *out->fixed);
    memset(out->scaled, 0, 2 * n * sizeof *out->scaled);
    risk_amounts a = {out->fixed, out->scaled, out->scaled + n};
    risk_amounts_add(p, i, &a);
}

static status add_term(const making *k, risk_leak *leak, risk_term term) {
    risk_term *terms = arena_push(k->memory, leak->terms, &leak->n_terms, sizeof *terms);
    if (!terms) return fault_memory(k->why);
    terms[leak->n_terms - 1] = term;
    leak->terms = terms;
    return OK;
}

/* What one amount of a leak adds to constants and terms. `wet` is `dry` where it cannot be found wet. */
static status put_amount(const making *k, risk_leak *leak, size_t at, const leak_lists *dry,
                         const leak_lists *wet) {
    double fixed = dry->fixed[at], scaled = dry->scaled[at];
    double more_fixed = wet->fixed[at] - fixed, more_scaled = wet->scaled[at] - scaled;
    k->m->likely[at] += fixed + scaled;
    k->all_wet[at] += fixed + scaled + more_fixed + more_scaled;
    if (leak->length == RISK_NONE) { /* then all is fixed */
        fixed += scaled;
        more_fixed += more_scaled;
        scaled = more_scaled = 0;
    }
    k->m->constants[at] += fixed;
    if (scaled == 0 && more_fixed == 0 && more_scaled == 0) return OK;
    return add_term(k, leak, (risk_term){at, scaled, more_fixed, more_scaled});
}

/* Beyond rounding, and in what costs: a pump is wanted or not, its size has no price. */
static bool differ(const double *a, const double *b, size_t n) {
    for (size_t i = 0; i < n; i++) {
        bool same = i == AMOUNT_PUMP_M3_S ? (a[i] > 0) == (b[i] > 0)
                                          : fabs(a[i] - b[i]) <= 1e-9 * (fabs(a[i]) + fabs(b[i]));
        if (!same) return true;
    }
    return false;
}

static bool differs(const leak_lists *a, const leak_lists *b, size_t n) {
    return differ(a->fixed, b->fixed, n) || differ(a->scaled, b->scaled, n);
}

static bool some(const double *list, size_t n) {
    for (size_t i = 0; i < n; i++)
        if (list[i] != 0) return true;
    return false;
}

/* Found wet a leak may go to an engineer or be left alone, without a price; that is no saving. */
static bool counts_wet(const making *k, size_t i) {
    if (!k->wetter || !risk_is_dry(&k->p->leaks[i])) return false;
    return design_is_priced(&k->wet->designs[i]);
}

static status put_leak(making *k, size_t i, size_t *unpriced) {
    risk_leak *leak = &k->m->leaks[i];
    size_t n = k->m->n_amounts;
    const leak_lists *dry = &k->dry, *wet = dry;
    status code = OK;
    *leak = (risk_leak){RISK_NONE, RISK_NONE, NULL, 0};
    lists_of(k, k->p, i, dry);
    if (counts_wet(k, i))
        lists_of(k, k->wet, i, wet = &k->wet_lists);
    else if (k->wetter && risk_is_dry(&k->p->leaks[i]) && design_is_priced(&k->p->designs[i]))
        ++*unpriced;
    if (survey_is_line(k->p->leaks[i].defect->kind) && (some(dry->scaled, n) || some(wet->scaled, n)))
        code = risk_inputs_length(k->p, i, k->memory, k->m, &leak->length, k->why);
    if (code == OK && differs(dry, wet, n))
        code = risk_inputs_wet(k->p, i, k->memory, k->m, &leak->wet, k->why);
    for (size_t at = 0; code == OK && at < n; at++) code = put_amount(k, leak, at, dry, wet);
    return code;
}

static status put_leaks(making *k) {
    size_t unpriced = 0;
    status code = OK;
    for (size_t i = 0; code == OK && i < k->p->n_leaks; i++) code = put_leak(k, i, &unpriced);
    if (code == OK && unpriced > 0)
        code = risk_model_warn(
            k->m, k->memory, k->why,
            "%zu dry or damp leak%s, found wet, would go to an engineer or want what was not measured: "
            "not counted.",
            unpriced, unpriced == 1 ? "" : "s");
    return code;
}

static status make_room(making *k) {
    risk_model *m = k->m;
    m->n_leaks = k->p->n_leaks;
    m->costing.n_amounts = risk_amounts_count(k->p->survey);
    m->n_amounts = 2 * m->costing.n_amounts;
    m->leaks = arena_get(k->memory, m->n_leaks, sizeof *m->leaks);
    m->constants = arena_get(k->memory, m->n_amounts, sizeof *m->constants);
    m->likely = arena_get(k->memory, m->n_amounts, sizeof *m->likely);
    k->all_wet = arena_get(k->memory, m->n_amounts, sizeof *k->all_wet);
    leak_lists *lists[] = {&k->dry, &k->wet_lists};
    for (size_t i = 0; i < 2; i++) {
        lists[i]->fixed = arena_get(k->memory, m->n_amounts, sizeof *lists[i]->fixed);
        lists[i]->scaled = arena_get(k->memory, m->n_amounts, sizeof *lists[i]->scaled);
        if (!lists[i]->fixed || !lists[i]->scaled) return fault_memory(k->why);
    }
    return m->leaks && m->constants && m->likely && k->all_wet ? OK : fault_memory(k->why);
}

/* Is the price another with another value: of the job as planned, or all found wet? The minimum charge would hide it. */
static bool matters(const making *k, size_t v) {
    double values[VALUES];
    const double *amounts[] = {k->m->likely, k->all_wet};
    bool found = false;
    memcpy(values, k->m->values, sizeof values);
    values[VALUE_MINIMUM] = 0;
    for (size_t i = 0; i < 2; i++) {
        values[v] = k->m->values[v];
        double before = risk_cost(&k->m->costing, amounts[i], values);
        values[v] = values[v] * 2 + 1; /* anything else */
        found |= risk_cost(&k->m->costing, amounts[i], values) != before;
    }
    return found;
}

static status put_values(const making *k) {
    risk_model *m = k->m;
    status code = OK;
    for (size_t v = 0; code == OK && v < VALUES; v++) {
        m->value_input[v] = RISK_NONE;
        if (v != VALUE_MINIMUM && matters(k, v))
            code = risk_inputs_value(k->p, (risk_value)v, k->memory, m, &m->value_input[v], k->why);
    }
    return code;
}

static status make(making *k) {
    risk_model *m = k->m;
    status code = make_room(k);
    if (code == OK) code = risk_inputs_begin(k->p, k->memory, m, k->why);
    k->wetter = k->wet && risk_inputs_chance(m) > 0;
    if (code == OK) code = put_leaks(k);
    if (code == OK)
        code = risk_costing_make(k->p, k->wet, m->likely + AMOUNT_MATERIALS, k->all_wet + AMOUNT_MATERIALS,
                                 k->memory, &m->costing, k->why);
    if (code == OK) code = put_values(k);
    return code == OK ? risk_inputs_end(k->memory, m, k->why) : code;
}

status risk_model_make(const plan *p, arena *memory, risk_model *out, fault *why) {
    plan *wet = NULL;
    *out = (risk_model){0};
    status code = risk_wet_plan(p, memory, out, &wet, why);
    making k = {.p = p, .wet = wet, .memory = memory, .m = out, .why = why};
    if (code == OK) code = make(&k);
    plan_free(wet);
    return code;
}
