/* learn_study.c - do the intervals of learned rates cover as often as they say, and is the shrunk rate nearer the truth than the plain
 * mean and than the shipped default? Thousands of invented firms with known rates; the tables of docs/bench.md.
 *
 * usage: learn_study [FIRMS] [SEED]          defaults 4000, 1 */
#include "../tests/firm_facts.h"
#include "learn/model.h"
#include "learn/share.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_randist.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum { SIZES = 4, FACTS_MOST = 1000 };
#define SHIPPED 0.6

static const struct { size_t jobs, leaks; } sizes[SIZES] = {{1, 5}, {3, 8}, {12, 12}, {40, 15}};

typedef struct {
    size_t firms, rate, joint;
    double ours, plain, usual, shipped,
        width; /* sums of |log of it over the truth|, and of log of high over low */
} tally;

static bool covers(const model_posterior *of, int column, double truth) {
    double at = model_chance(of, column, false, log(truth)), tail = (1 - LEARN_CONFIDENCE) / 2;
    return at >= tail && at <= 1 - tail;
}

static bool is_usual(const learn_fact *f) {
    return f->kind == KIND_CRACK && f->access == ACCESS_GROUND && f->temperature == LEARN_MILD;
}

static void judge(const firm_facts *firm, tally *t) {
    const model_prior prior = {log(SHIPPED), LEARN_PRIOR_SD, LEARN_EFFECT_SD, LEARN_NOISE_SD};
    const learn_fact *list[FACTS_MOST];
    model_posterior of;
    double hours = 0, quantity = 0, usual_hours = 0, usual_quantity = 0;
    for (size_t i = 0; i < firm->n; i++) {
        list[i] = &firm->facts[i];
        hours += list[i]->value * list[i]->quantity;
        quantity += list[i]->quantity;
        if (!is_usual(list[i])) continue;
        usual_hours += list[i]->value * list[i]->quantity;
        usual_quantity += list[i]->quantity;
    }
    model_fit(&prior, list, firm->n, &of);
    t->firms++;
    t->rate += covers(&of, 0, firm->rate);
    t->joint += covers(&of, model_kind_column(KIND_JOINT), firm->joint_rate);
    t->ours += fabs(model_quantile(&of, 0, false, 0.5) - log(firm->rate));
    t->width += model_quantile(&of, 0, false, 0.95) - model_quantile(&of, 0, false, 0.05);
    t->plain += fabs(log(hours / quantity / firm->rate));
    t->usual += fabs(log((usual_quantity > 0 ? usual_hours / usual_quantity : SHIPPED) / firm->rate));
    t->shipped += fabs(log(SHIPPED / firm->rate));
}

static void rates(gsl_rng *random, size_t firms) {
    static learn_fact facts[FACTS_MOST];
    printf("| firms | jobs x leaks | covers the rate | covers the joints' | high over low | error ours | "
           "plain mean | "
           "plain mean of usual leaks | shipped |\n|---|---|---|---|---|---|---|---|---|\n");
    for (int kind = 0; kind < FIRM_KINDS; kind++)
        for (int size = 0; size < SIZES; size++) {
            tally t = {0};
            for (size_t i = 0; i < firms; i++) {
                firm_facts firm;
                firm_draw(random, (firm_kind)kind, "cut_slot_h_m", SHIPPED, sizes[size].jobs,
                          sizes[size].leaks, facts, &firm);
                judge(&firm, &t);
            }
            double n = (double)t.firms;
            printf("| %s | %zu x %zu | %.1f %% | %.1f %% | %.2f | %.0f %% | %.0f %% | %.0f %% | %.0f %% |\n",
                   firm_kind_words[kind], sizes[size].jobs, sizes[size].leaks, 100 * (double)t.rate / n,
                   100 * (double)t.joint / n, exp(t.width / n), 100 * expm1(t.ours / n),
                   100 * expm1(t.plain / n), 100 * expm1(t.usual / n), 100 * expm1(t.shipped / n));
            fflush(stdout);
        }
}

/* Shares from the prior, and off it: flat from 0 to 20 %. Wholly discrete: with few leaks the coverage cannot be exact. */
static void shares(gsl_rng *random, size_t firms) {
    static const size_t leaks[] = {10, 50, 300, 2000};
    const double p0 = 0.05;
    printf("\n| shares | leaks | covers | error ours | plain share | shipped |\n|---|---|---|---|---|---|\n");
    for (int flat = 0; flat < 2; flat++)
        for (size_t k = 0; k < sizeof leaks / sizeof *leaks; k++) {
            size_t covered = 0;
            double ours = 0, plain = 0, shipped = 0;
            for (size_t i = 0; i < firms; i++) {
                double p = flat
                               ? gsl_ran_flat(random, 0, 0.2)
                               : gsl_ran_beta(random, LEARN_SHARE_WEIGHT * p0, LEARN_SHARE_WEIGHT * (1 - p0));
                size_t happened = gsl_ran_binomial(random, p, (unsigned)leaks[k]);
                share_interval s = share_of(p0, LEARN_SHARE_WEIGHT, happened, leaks[k]);
                covered += p >= s.low && p <= s.high;
                ours += fabs(s.mean - p);
                plain += fabs((double)happened / (double)leaks[k] - p);
                shipped += fabs(p0 - p);
            }
            double n = (double)firms;
            printf("| %s | %zu | %.1f %% | %.1f | %.1f | %.1f |\n",
                   flat ? "flat 0 to 20 %" : "from the prior", leaks[k], 100 * (double)covered / n,
                   100 * ours / n, 100 * plain / n, 100 * shipped / n);
        }
}

int main(int argc, char **argv) {
    size_t firms = argc > 1 ? strtoul(argv[1], NULL, 10) : 4000;
    unsigned long seed = argc > 2 ? strtoul(argv[2], NULL, 10) : 1;
    gsl_set_error_handler_off();
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    if (!firms || !random) return 1;
    gsl_rng_set(random, seed);
    printf("SYNTHETIC firms: %zu a row, seed %lu. 90 %% intervals; errors as the mean of |log|, told in "
           "percent.\n\n",
           firms, seed);
    rates(random, firms);
    shares(random, firms);
    gsl_rng_free(random);
    return 0;
}
