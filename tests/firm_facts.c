#include "firm_facts.h"

#include "learn/model.h"

#include <gsl/gsl_randist.h>
#include <math.h>

const char *const firm_kind_words[FIRM_KINDS] = {"from the prior", "flat", "rough", "1.8 times as slow"};

typedef struct {
    double firm, effects[MODEL_COLUMNS]; /* of the log rate */
    double leak_sd, bad_sd, bad_part, job_sd;
    bool same_scatter; /* whatever the quantity */
} nature;

/* Median of the rate less b at this ratio, so that the draw stands where the model's prior does: 200,001 draws would do; the
 * model's own prior centre is what is meant, so it is asked. */
static double prior_origin(double ratio, double centre) {
    const model_prior prior = {centre, LEARN_PRIOR_SD, LEARN_EFFECT_SD, LEARN_NOISE_SD};
    model_posterior none;
    model_fit(&prior, NULL, 0, &none);
    for (int k = 0; k < MODEL_RATIOS; k++)
        if (none.parts[k].ratio == ratio) return none.parts[k].origin;
    return (double)NAN;
}

static nature of_prior(gsl_rng *r, double centre) {
    nature n = {0};
    double a = LEARN_PRIOR_DF / 2, b = a * LEARN_NOISE_SD * LEARN_NOISE_SD;
    double ratio = model_ratios[gsl_rng_uniform_int(r, MODEL_RATIOS)], s = sqrt(b / gsl_ran_gamma(r, a, 1));
    n.leak_sd = s;
    n.job_sd = s * sqrt(ratio);
    n.firm = prior_origin(ratio, centre) + gsl_ran_gaussian(r, s * LEARN_PRIOR_SD / LEARN_NOISE_SD);
    for (int i = 1; i < MODEL_COLUMNS; i++)
        n.effects[i] = gsl_ran_gaussian(r, s * LEARN_EFFECT_SD / LEARN_NOISE_SD);
    return n;
}

static nature off_prior(gsl_rng *r, firm_kind kind, double centre) {
    nature n = {.leak_sd = 0.3, .job_sd = 0.25};
    n.firm = centre + (kind == FIRM_SLOW ? log(1.8) : gsl_ran_flat(r, -0.8, 0.8));
    for (int i = 1; i < MODEL_COLUMNS; i++) n.effects[i] = gsl_ran_flat(r, -0.4, 0.4);
    if (kind != FIRM_ROUGH) return n;
    n.leak_sd = 0.25;
    n.bad_sd = 0.6;
    n.bad_part = 0.1;
    n.same_scatter = true;
    return n;
}

/* A quantity of mean 1: 0.25 to 4 mostly, as lengths of leaks go. */
static double quantity_of(gsl_rng *r) {
    const double spread = 0.6;
    return exp(gsl_ran_gaussian(r, spread) - spread * spread / 2);
}

static learn_fact fact_of(gsl_rng *r, const nature *n, size_t job, double common) {
    learn_fact f = {.job = job, .quantity = quantity_of(r)};
    f.kind = gsl_rng_uniform(r) < 0.6 ? KIND_CRACK : KIND_JOINT;
    double reached = gsl_rng_uniform(r), warm = gsl_rng_uniform(r);
    f.access = reached < 0.7 ? ACCESS_GROUND : reached < 0.9 ? ACCESS_LADDER : ACCESS_LIFT;
    f.temperature = warm < 0.6 ? LEARN_MILD : warm < 0.9 ? LEARN_COLD : LEARN_HOT;
    const int columns[] = {model_kind_column(f.kind), model_access_column(f.access),
                           model_temperature_column(f.temperature)};
    double log_rate = n->firm + common, sd = gsl_rng_uniform(r) < n->bad_part ? n->bad_sd : n->leak_sd;
    for (int i = 0; i < 3; i++) log_rate += columns[i] ? n->effects[columns[i]] : 0;
    f.value = exp(log_rate + gsl_ran_gaussian(r, n->same_scatter ? sd : sd / sqrt(f.quantity)));
    return f;
}

void firm_draw(gsl_rng *random, firm_kind kind, const char *id, double shipped, size_t jobs,
               size_t leaks_a_job, learn_fact *facts, firm_facts *out) {
    nature n = kind == FIRM_OF_PRIOR ? of_prior(random, log(shipped)) : off_prior(random, kind, log(shipped));
    double mean =
        (1 - n.bad_part) * exp(n.leak_sd * n.leak_sd / 2) + n.bad_part * exp(n.bad_sd * n.bad_sd / 2);
    double rate = exp(n.firm + n.job_sd * n.job_sd / 2) * mean;
    *out = (firm_facts){facts, 0, rate, rate * exp(n.effects[model_kind_column(KIND_JOINT)])};
    for (size_t j = 0; j < jobs; j++) {
        double common = gsl_ran_gaussian(random, n.job_sd);
        for (size_t i = 0; i < leaks_a_job; i++) {
            facts[out->n] = fact_of(random, &n, j, common);
            facts[out->n++].rate = id;
        }
    }
}
