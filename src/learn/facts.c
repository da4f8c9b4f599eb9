/* One rate out of what single leaks say of it. */
#include "learn/model.h"
#include "learn/parts.h"

#include <math.h>
#include <string.h>

/* A waste is told in percent and judged as a factor. */
static bool is_factor(const survey_rate *shipped) {
    return strcmp(shipped->id, "waste_percent") == 0;
}

static double to_log(const survey_rate *shipped, double shown) {
    return is_factor(shipped) ? log1p(shown / 100) : log(shown);
}

static double to_shown(const survey_rate *shipped, double log_rate) {
    return is_factor(shipped) ? fmax(0, 100 * expm1(log_rate)) : exp(log_rate);
}

/* P90 of a Student t of LEARN_PRIOR_DF = 6 degrees, in any table. */
#define T6_P90 1.43976

static model_prior prior_of(const survey_rate *shipped) {
    double centre = to_log(shipped, shipped->value);
    model_prior prior = {centre, LEARN_PRIOR_SD, LEARN_EFFECT_SD, LEARN_NOISE_SD};
    if (is_factor(shipped))
        prior = (model_prior){centre, LEARN_WASTE_SD, LEARN_WASTE_EFFECT_SD, LEARN_WASTE_NOISE_SD};
    bool ranged = shipped->low.known && shipped->high.known && shipped->high.v > shipped->low.v &&
                  (shipped->low.v > 0 || is_factor(shipped));
    if (ranged) /* how far a firm lies from a default is no less known for its range being narrow */
        prior.firm_sd =
            fmax(prior.firm_sd,
                 (to_log(shipped, shipped->high.v) - to_log(shipped, shipped->low.v)) / (2 * T6_P90));
    return prior;
}

static learn_estimate estimate_of(const survey_rate *shipped, const model_posterior *of, int column) {
    double tail = (1 - LEARN_CONFIDENCE) / 2;
    return (learn_estimate){.value = to_shown(shipped, model_quantile(of, column, false, 0.5)),
                            .low = to_shown(shipped, model_quantile(of, column, false, tail)),
                            .high = to_shown(shipped, model_quantile(of, column, false, 1 - tail))};
}

static bool is_in(const learn_fact *f, int column) {
    return !column || model_kind_column(f->kind) == column || model_access_column(f->access) == column ||
           model_temperature_column(f->temperature) == column;
}

static void count_leaks(const learn_fact *const *facts, size_t n, int column, learn_estimate *of) {
    const learn_fact *last = NULL;
    for (size_t i = 0; i < n; i++) {
        if (!is_in(facts[i], column)) continue;
        of->leaks++;
        of->jobs += !last || last->job != facts[i]->job;
        last = facts[i];
    }
}

static const char *class_said(int column) {
    if (column >= MODEL_TEMPERATURE)
        return learn_temperature_words[column == MODEL_TEMPERATURE ? LEARN_COLD : LEARN_HOT];
    if (column >= MODEL_ACCESS) return survey_access_words[column - MODEL_ACCESS + 1];
    return learn_kind_said((survey_kind)(column - MODEL_KIND + 1));
}

static status add_classes(const learning *l, const survey_rate *shipped, const model_posterior *of,
                          const learn_fact *const *facts, size_t n, learn_rate *out) {
    for (int column = 1; column < MODEL_COLUMNS; column++) {
        learn_estimate counted = {0};
        count_leaks(facts, n, column, &counted);
        if (!counted.leaks) continue;
        learn_class *c = learn_add_class(l, out, class_said(column));
        if (!c) return fault_memory(l->why);
        c->estimate = estimate_of(shipped, of, column);
        c->estimate.leaks = counted.leaks;
        c->estimate.jobs = counted.jobs;
        double at_none = model_chance(of, column, true, 0), tail = (1 - LEARN_CONFIDENCE) / 2;
        c->differs = at_none < tail || at_none > 1 - tail;
    }
    return OK;
}

status learn_of_facts(const learning *l, const survey_rate *shipped, const learn_fact *const *facts, size_t n,
                      learn_rate *out) {
    model_prior prior = prior_of(shipped);
    model_posterior *of = arena_get(l->memory, 1, sizeof *of);
    if (!of) return fault_memory(l->why);
    model_fit(&prior, facts, n, of);
    out->estimate = estimate_of(shipped, of, 0);
    out->weight = of->own;
    count_leaks(facts, n, 0, &out->estimate);
    return add_classes(l, shipped, of, facts, n, out);
}
