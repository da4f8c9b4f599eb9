/* What a firm's finished jobs say of its rates: against cases worked by hand, a grid over everything that is unknown, closed forms of
 * Student t and Beta, the limits of no data and of very much, and coverage on invented firms. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "../firm_facts.h"
#include "../near.h"
#include "learn/model.h"
#include "learn/share.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const model_prior prior = {-0.5, 0.5, 0.3, 0.4};

static learn_fact leak(size_t job, survey_kind kind, double value, double quantity) {
    return (learn_fact){"cut_slot_h_m", job, kind, ACCESS_GROUND, LEARN_MILD, value, quantity};
}

static void point_at(const learn_fact *facts, size_t n, const learn_fact **list) {
    for (size_t i = 0; i < n; i++) list[i] = &facts[i];
}

/* ---- worked by hand ---- */

/* Four equal cracks of one job, z = 0.1, 0.2, 0.3, 0.4 above the origin of the prior. The prior is worth (0.4/0.5)^2 = 0.64 leaks.
 *   g = 0: A = 4.64, m = 1.0/4.64, a = 3 + 2 = 5, b = 3 x 0.16 + (0.30 - 1/4.64)/2.
 *   g = 1: the four count as 4/(1 + 4) = 0.8 leaks: A = 1.44, sum 1.0/5 = 0.2, m = 0.2/1.44; y'My = 0.30 - 1.0/5 = 0.10,
 *          b = 0.48 + (0.10 - 0.04/1.44)/2. */
static void four_leaks_by_hand(void **state) {
    (void)state;
    model_posterior of, none;
    learn_fact facts[4] = {{0}};
    const learn_fact *list[4];
    point_at(facts, 4, list);
    model_fit(&prior, NULL, 0, &none);
    const double want_mean[] = {1.0 / 4.64, 0, 0, 0.2 / 1.44}, want_cover[] = {1 / 4.64, 0, 0, 1 / 1.44},
                 want_b[] = {0.48 + (0.30 - 1 / 4.64) / 2, 0, 0, 0.48 + (0.10 - 0.04 / 1.44) / 2};
    for (int k = 0; k < 4; k += 3) {
        near_absolute(model_ratios[k], k == 0 ? 0 : 1, 0);
        for (int i = 0; i < 4; i++)
            facts[i] = leak(7, KIND_CRACK, exp(none.parts[k].origin + 0.1 * (i + 1)), 2.5);
        model_fit(&prior, list, 4, &of);
        near_absolute(of.parts[k].mean[0], want_mean[k], 1e-12);
        near_absolute(of.parts[k].cover[0][0], want_cover[k], 1e-12);
        near_absolute(of.parts[k].a, 5, 0);
        near_absolute(of.parts[k].b, want_b[k], 1e-12);
        near_absolute(of.parts[k].cover[1][1], 0.09 / 0.16, 1e-12); /* no joint was seen */
        near_absolute(of.parts[k].mean[1], 0, 1e-12);
    }
}

/* The ratios' weights are as the densities of the data: sqrt(|P0|/|A|) (1 + 4 g)^-1/2 b^-a, of which only one column differs. */
static void ratios_weigh_by_their_likelihood(void **state) {
    (void)state;
    model_posterior of;
    learn_fact facts[4] = {{0}};
    const learn_fact *list[4];
    point_at(facts, 4, list);
    for (int i = 0; i < 4; i++) facts[i] = leak(0, KIND_CRACK, 1.5 + 0.2 * i, 1);
    model_fit(&prior, list, 4, &of);
    for (int k = 1; k < MODEL_RATIOS; k++) {
        const model_part *p = &of.parts[k], *first = &of.parts[0];
        double want =
            sqrt(p->cover[0][0] / first->cover[0][0] / (1 + 4 * p->ratio)) * pow(p->b / first->b, -5);
        near_relative(p->weight / first->weight, want, 1e-10);
    }
}

/* A leak twice as large as the mean counts 4/3, one of half its size 2/3: quantities 2 and 1, mean 1.5. */
static void a_large_leak_counts_more(void **state) {
    (void)state;
    model_posterior of, none;
    model_fit(&prior, NULL, 0, &none);
    const learn_fact facts[] = {leak(0, KIND_CRACK, exp(none.parts[0].origin + 0.3), 2),
                                leak(1, KIND_CRACK, exp(none.parts[0].origin), 1)};
    const learn_fact *list[2];
    point_at(facts, 2, list);
    model_fit(&prior, list, 2, &of);
    near_absolute(of.parts[0].mean[0], 0.3 * 4 / 3 / 2.64, 1e-12);
}

/* ---- everything unknown on a grid: firm, joint, log s2, ratio; each job's density by its own 2 x 2 covariance ---- */

static double log_density_pair(const double y[2], const double mean[2], const double w[2], double ratio,
                               double s2) {
    double a = s2 * (1 / w[0] + ratio), b = s2 * ratio, d = s2 * (1 / w[1] + ratio), det = a * d - b * b;
    double p = y[0] - mean[0], q = y[1] - mean[1];
    return -0.5 * log(det) - 0.5 * (d * p * p - 2 * b * p * q + a * q * q) / det;
}

typedef struct {
    double x[3], rate_below[3], joint_below[3], all;
} grid_sums;

static double log_weight(const learn_fact *facts, double origin, double ratio, const double at[3]) {
    double s2 = exp(at[2]), v = s2 / (prior.noise_sd * prior.noise_sd);
    double firm_sd2 = v * prior.firm_sd * prior.firm_sd, effect_sd2 = v * prior.effect_sd * prior.effect_sd;
    /* inverse gamma of log s2: exp(-3 t - 0.48 exp(-t)) */
    double sum = -3 * at[2] - 0.48 / s2 - 0.5 * log(firm_sd2) - 0.5 * at[0] * at[0] / firm_sd2 -
                 0.5 * log(effect_sd2) - 0.5 * at[1] * at[1] / effect_sd2;
    for (int j = 0; j < 3; j++) {
        const learn_fact *f = &facts[2 * j];
        double y[2], mean[2], w[2];
        for (int i = 0; i < 2; i++) {
            y[i] = log(f[i].value);
            mean[i] = origin + at[0] + (f[i].kind == KIND_JOINT ? at[1] : 0);
            w[i] = f[i].quantity / 1.5;
        }
        sum += log_density_pair(y, mean, w, ratio, s2);
    }
    return sum;
}

static void add_grid(const learn_fact *facts, double origin, double ratio, grid_sums *sums) {
    enum { N = 70 };
    for (int i = 0; i < N; i++)
        for (int j = 0; j < N; j++)
            for (int k = 0; k < N; k++) {
                const double at[3] = {-2.5 + 5 * (i + 0.5) / N, -2 + 4 * (j + 0.5) / N,
                                      -5.5 + 7 * (k + 0.5) / N};
                double weight = exp(log_weight(facts, origin, ratio, at) - 5);
                double rate = origin + at[0] + (1 + ratio) * exp(at[2]) / 2;
                sums->all += weight;
                for (int x = 0; x < 3; x++) {
                    sums->rate_below[x] += rate <= sums->x[x] ? weight : 0;
                    sums->joint_below[x] += rate + at[1] <= sums->x[x] ? weight : 0;
                }
            }
}

static void a_grid_agrees(void **state) {
    (void)state;
    const learn_fact facts[] = {leak(0, KIND_CRACK, 0.9, 1),   leak(0, KIND_JOINT, 1.3, 2),
                                leak(1, KIND_CRACK, 0.5, 1.5), leak(1, KIND_CRACK, 0.7, 1),
                                leak(2, KIND_JOINT, 1.1, 2.5), leak(2, KIND_CRACK, 0.8, 1)};
    const learn_fact *list[6];
    model_posterior of;
    point_at(facts, 6, list);
    model_fit(&prior, list, 6, &of);
    grid_sums sums = {.x = {log(0.6), log(0.85), log(1.4)}};
    for (int k = 0; k < MODEL_RATIOS; k++) add_grid(facts, of.parts[k].origin, of.parts[k].ratio, &sums);
    for (int x = 0; x < 3; x++) { /* 0.004: the grid's own steps cut the step function so */
        near_absolute(model_chance(&of, 0, false, sums.x[x]), sums.rate_below[x] / sums.all, 0.004);
        near_absolute(model_chance(&of, model_kind_column(KIND_JOINT), false, sums.x[x]),
                      sums.joint_below[x] / sums.all, 0.004);
    }
}

/* ---- limits ---- */

static void without_a_fact_the_default_stands(void **state) {
    (void)state;
    model_posterior of;
    model_fit(&prior, NULL, 0, &of);
    near_absolute(model_quantile(&of, 0, false, 0.5), prior.centre, 1e-8);
    near_absolute(of.own, 0, 1e-12);
    for (int k = 0; k < MODEL_RATIOS; k++) near_absolute(of.parts[k].weight, 0.2, 1e-12);
    /* an effect is a Student t of 6 degrees and scale 0.3; its P95 1.943180 stands in any table */
    near_absolute(model_quantile(&of, 1, true, 0.95), 0.3 * 1.943180, 1e-5);
    near_absolute(model_quantile(&of, 1, true, 0.5), 0, 1e-8);
    double low = model_quantile(&of, 0, false, 0.1), high = model_quantile(&of, 0, false, 0.9);
    near_absolute((high - low) / 2, 0.5 * 1.43976, 0.15 * 0.72); /* the scatter's own share comes on top */
}

static void very_much_data_is_its_own_mean(void **state) {
    (void)state;
    enum { JOBS = 400, LEAKS = 20 };
    learn_fact *facts = calloc(JOBS * LEAKS, sizeof *facts);
    const learn_fact **list = calloc(JOBS * LEAKS, sizeof *list);
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    model_posterior of;
    firm_facts firm;
    assert_non_null(facts);
    assert_non_null(list);
    gsl_rng_set(random, 20);
    firm_draw(random, FIRM_SLOW, "cut_slot_h_m", 0.6, JOBS, LEAKS, facts, &firm);
    point_at(facts, firm.n, list);
    model_fit(&(model_prior){log(0.6), 0.5, 0.3, 0.4}, list, firm.n, &of);
    near_absolute(model_quantile(&of, 0, false, 0.5), log(firm.rate), 0.04);
    assert_true(model_quantile(&of, 0, false, 0.95) - model_quantile(&of, 0, false, 0.05) < 0.08);
    assert_true(of.own > 0.99);
    gsl_rng_free(random);
    free(list);
    free(facts);
}

/* Hours of many leaks must come out: with scatter the middle leak's rate is too little. Known scatter, no effects. */
static void the_rate_is_the_mean_not_the_middle(void **state) {
    (void)state;
    enum { N = 2000 };
    learn_fact *facts = calloc(N, sizeof *facts);
    const learn_fact **list = calloc(N, sizeof *list);
    double hours = 0;
    model_posterior of;
    assert_non_null(facts);
    assert_non_null(list);
    for (size_t i = 0; i < N; i++) { /* quantiles of a normal of 0.5: no chance in it */
        facts[i] = leak(i, KIND_CRACK, exp(0.5 * gsl_cdf_ugaussian_Pinv(((double)i + 0.5) / N)), 1);
        hours += facts[i].value;
    }
    point_at(facts, N, list);
    model_fit(&prior, list, N, &of);
    near_absolute(model_quantile(&of, 0, false, 0.5), log(hours / N), 0.005); /* 0.125 above the middle */
    assert_true(hours / N > 1.12);
    free(list);
    free(facts);
}

/* Twenty leaks of one job bear less witness than twenty of twenty jobs. */
static void leaks_of_one_job_are_one_witness(void **state) {
    (void)state;
    learn_fact facts[20] = {{0}};
    const learn_fact *list[20];
    model_posterior one, many;
    point_at(facts, 20, list);
    for (size_t i = 0; i < 20; i++) facts[i] = leak(0, KIND_CRACK, 1.0 + 0.01 * (double)i, 1);
    model_fit(&prior, list, 20, &one);
    for (size_t i = 0; i < 20; i++) facts[i].job = i;
    model_fit(&prior, list, 20, &many);
    double wide = model_quantile(&one, 0, false, 0.95) - model_quantile(&one, 0, false, 0.05);
    double narrow = model_quantile(&many, 0, false, 0.95) - model_quantile(&many, 0, false, 0.05);
    assert_true(wide > 1.5 * narrow);
    assert_true(one.own < many.own);
}

/* ---- shares ---- */

/* P(Beta(a, b) <= x) for whole a, b is P(Binomial(a + b - 1, x) >= a): the terms one by one. */
static double beta_by_terms(int a, int b, double x) {
    int n = a + b - 1;
    double sum = 0;
    for (int k = a; k <= n; k++)
        sum +=
            exp(lgamma(n + 1.0) - lgamma(k + 1.0) - lgamma(n - k + 1.0) + k * log(x) + (n - k) * log1p(-x));
    return sum;
}

static void shares_are_those_of_beta(void **state) {
    (void)state;
    share_interval none = share_of(0.05, 20, 0, 0); /* Beta(1, 19): 1 - (1 - p)^(1/19) */
    near_absolute(none.mean, 0.05, 1e-12);
    near_absolute(none.low, -expm1(log(0.95) / 19), 1e-9);
    near_absolute(none.high, -expm1(log(0.05) / 19), 1e-9);
    share_interval sure = share_of(0.5, 2, 9, 9); /* Beta(10, 1): p^(1/10) */
    near_absolute(sure.low, pow(0.05, 0.1), 1e-9);
    near_absolute(sure.high, pow(0.95, 0.1), 1e-9);
    for (size_t k = 0; k <= 2000; k += 125) { /* where the inverse of a library was found to fail */
        share_interval s = share_of(0.05, 20, k, 2000);
        near_absolute(beta_by_terms((int)k + 1, 2019 - (int)k, s.low), 0.05, 1e-6);
        near_absolute(beta_by_terms((int)k + 1, 2019 - (int)k, s.high), 0.95, 1e-6);
        near_absolute(s.mean, ((double)k + 1) / 2020, 1e-12);
    }
    share_interval plain = share_plain(1, 2); /* Beta(1.5, 1.5) is symmetric */
    near_absolute(plain.mean, 0.5, 1e-12);
    near_absolute(plain.low + plain.high, 1, 1e-9);
    assert_true(share_of(0, 20, 3, 10).mean > 0.05); /* a default of nothing does not forbid what was seen */
    near_absolute(share_of(0, 20, 0, 0).mean, 0.001, 1e-12);
}

/* ---- coverage: the small brother of bench/learn_study.c ---- */

static bool covers(const model_posterior *of, int column, double truth) {
    double at = model_chance(of, column, false, log(truth));
    return at >= 0.05 && at <= 0.95;
}

static void intervals_cover_as_they_say(void **state) {
    (void)state;
    enum { FIRMS = 1000, JOBS = 4, LEAKS = 6 };
    learn_fact facts[JOBS * LEAKS] = {{0}};
    const learn_fact *list[JOBS * LEAKS];
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    int rate = 0, joint = 0;
    double ours = 0, plain = 0, shipped = 0;
    gsl_rng_set(random, 7);
    point_at(facts, JOBS * LEAKS, list);
    for (int i = 0; i < FIRMS; i++) {
        firm_facts firm;
        model_posterior of;
        double hours = 0, quantity = 0;
        firm_draw(random, FIRM_OF_PRIOR, "cut_slot_h_m", 0.6, JOBS, LEAKS, facts, &firm);
        model_fit(&(model_prior){log(0.6), LEARN_PRIOR_SD, LEARN_EFFECT_SD, LEARN_NOISE_SD}, list, firm.n,
                  &of);
        rate += covers(&of, 0, firm.rate);
        joint += covers(&of, model_kind_column(KIND_JOINT), firm.joint_rate);
        for (size_t k = 0; k < firm.n; k++) {
            hours += facts[k].value * facts[k].quantity;
            quantity += facts[k].quantity;
        }
        if (i % 10) continue;
        ours += fabs(model_quantile(&of, 0, false, 0.5) - log(firm.rate));
        plain += fabs(log(hours / quantity / firm.rate));
        shipped += fabs(log(0.6 / firm.rate));
    }
    gsl_rng_free(random);
    print_message("90 %% intervals cover: firm %.1f %%, joints %.1f %%\n", 100.0 * rate / FIRMS,
                  100.0 * joint / FIRMS);
    assert_in_range(rate, 870, 930);
    assert_in_range(joint, 870, 930);
    assert_true(ours < plain && ours < shipped);
}

/* ---- the whole of it ---- */

static learn_input a_firm(learn_fact facts[40], learn_event events[40], learn_price prices[4]) {
    for (size_t i = 0; i < 40; i++) {
        facts[i] = leak(i / 4, i % 2 ? KIND_JOINT : KIND_CRACK, i % 2 ? 1.6 : 0.8, 1 + (double)(i % 3));
        facts[i].value *= 1 + 0.02 * (double)(i % 5);
        events[i] = (learn_event){"call_back_percent", i / 4, i % 4 ? KIND_CRACK : KIND_JOINT, ACCESS_GROUND,
                                  i % 4 == 0};
    }
    prices[0] = (learn_price){"a", {true, 900}, {true, 1100}, {true, 1000}, {true, 1050}};
    prices[1] = (learn_price){"b", {true, 900}, {true, 1100}, {true, 1000}, {true, 1200}};
    prices[2] = (learn_price){"c", {true, 900}, {true, 1100}, {true, 1000}, {true, 800}};
    prices[3] = (learn_price){"d", {false, 0}, {true, 1100}, {true, 1000}, {true, 800}};
    return (learn_input){facts, 40, events, 40, prices, 4, 10, 40};
}

static void a_firm_is_told(void **state) {
    (void)state;
    learn_fact facts[40];
    learn_event events[40];
    learn_price prices[4];
    learn_result r;
    fault why;
    const learn_input in = a_firm(facts, events, prices);
    arena *memory = arena_new();
    assert_int_equal(learn_estimate_all(&in, memory, &r, &why), OK);
    assert_int_equal(r.n_rates, 2); /* in the order of the catalogue */
    const learn_rate *cut = &r.rates[0], *back = &r.rates[1];
    assert_string_equal(cut->id, "cut_slot_h_m");
    near_absolute(cut->shipped, 0.6, 0);
    near_absolute(cut->estimate.value, 0.832,
                  0.06); /* mean of the cracks; the scatter is not yet known to be so little */
    assert_true(cut->estimate.low < cut->estimate.value && cut->estimate.value < cut->estimate.high);
    assert_int_equal(cut->estimate.leaks, 40);
    assert_int_equal(cut->estimate.jobs, 10);
    assert_int_equal(cut->n_classes, 1);
    assert_string_equal(cut->classes[0].what, "joint");
    assert_true(cut->classes[0].differs && cut->classes[0].estimate.leaks == 20);
    assert_true(cut->classes[0].estimate.value > 1.5 && cut->classes[0].estimate.value < 1.72);
    assert_non_null(strstr(cut->evidence, "own records of 40 leaks in 10 jobs; 90 % between"));
    near_absolute(back->estimate.value, 100.0 * 11 / 60, 1e-9); /* Beta(1 + 10, 19 + 30) */
    near_absolute(back->weight, 40.0 / 60, 1e-12);
    /* joints: the thirty others never, Beta(1, 49) of mean 0.02; Beta(0.4 + 10, 19.6): 10.4 of 30 */
    assert_string_equal(back->classes[1].what, "joint");
    near_absolute(back->classes[1].estimate.value, 100 * 10.4 / 30, 1e-9);
    assert_true(back->classes[1].differs);
    assert_int_equal(r.priced, 3);
    assert_true(r.within == 1 && r.above == 1 && r.below == 1);
    assert_string_equal(r.calibration,
                        "1 of 3 prices landed within P20 to P80 of the last offer, 1 above, 1 below; 90 % "
                        "between 6 and 76 %: that does not speak against the 60 % that the offers say.");
    arena_free(memory);
}

/* Twelve of twelve within, none of twelve: neither fits 60 %. */
static void a_range_too_wide_or_too_narrow_is_told(void **state) {
    (void)state;
    arena *memory = arena_new();
    for (int within = 0; within < 2; within++) {
        learn_price prices[12];
        learn_result r;
        fault why;
        for (int i = 0; i < 12; i++)
            prices[i] =
                (learn_price){"a", {true, 900}, {true, 1100}, {true, 1000}, {true, within ? 1000 : 1200}};
        assert_int_equal(
            learn_estimate_all(&(learn_input){.prices = prices, .n_prices = 12}, memory, &r, &why), OK);
        assert_non_null(
            strstr(r.calibration, within ? ": more than the offers say: their range is too wide."
                                         : ": fewer than the offers say: their range is too narrow."));
    }
    arena_free(memory);
}

/* Every class has its own column, by its own name. */
static void each_class_is_told_by_its_name(void **state) {
    (void)state;
    static const struct {
        survey_kind kind;
        survey_access access;
        learn_temperature temperature;
        const char *what;
    } cases[] = {
        {KIND_JOINT, ACCESS_GROUND, LEARN_MILD, "joint"},
        {KIND_TIE_HOLE, ACCESS_GROUND, LEARN_MILD, "tie hole"},
        {KIND_PENETRATION, ACCESS_GROUND, LEARN_MILD, "penetration"},
        {KIND_HONEYCOMB, ACCESS_GROUND, LEARN_MILD, "honeycomb"},
        {KIND_CRACK, ACCESS_LADDER, LEARN_MILD, "ladder"},
        {KIND_CRACK, ACCESS_LIFT, LEARN_MILD, "lift"},
        {KIND_CRACK, ACCESS_GROUND, LEARN_COLD, "below 10 C"},
        {KIND_CRACK, ACCESS_GROUND, LEARN_HOT, "above 25 C"},
    };
    arena *memory = arena_new();
    for (size_t i = 0; i < COUNT(cases); i++) {
        learn_fact facts[2] = {leak(0, KIND_CRACK, 0.6, 1), leak(1, cases[i].kind, 1.8, 1)};
        learn_result r;
        fault why;
        facts[1].access = cases[i].access;
        facts[1].temperature = cases[i].temperature;
        const learn_input in = {.facts = facts, .n_facts = 2, .n_jobs = 2, .n_leaks = 2};
        assert_int_equal(learn_estimate_all(&in, memory, &r, &why), OK);
        assert_int_equal(r.rates[0].n_classes, 1);
        assert_string_equal(r.rates[0].classes[0].what, cases[i].what);
        assert_int_equal(r.rates[0].classes[0].estimate.leaks, 1);
        assert_true(r.rates[0].classes[0].estimate.value > r.rates[0].estimate.value);
    }
    arena_free(memory);
}

static void the_order_of_the_facts_does_not_matter(void **state) {
    (void)state;
    learn_fact facts[40], turned[40];
    learn_event events[40];
    learn_price prices[4];
    learn_result a, b;
    fault why;
    learn_input in = a_firm(facts, events, prices);
    arena *memory = arena_new();
    assert_int_equal(learn_estimate_all(&in, memory, &a, &why), OK);
    for (size_t i = 0; i < 40; i++) turned[i] = facts[7 * i % 40]; /* leaks of a job far apart */
    in.facts = turned;
    assert_int_equal(learn_estimate_all(&in, memory, &b, &why), OK);
    near_absolute(a.rates[0].estimate.low, b.rates[0].estimate.low, 1e-9);
    assert_int_equal(a.rates[0].estimate.jobs, b.rates[0].estimate.jobs);
    arena_free(memory);
}

/* A waste of 12 % in every leak of many jobs is 12 %, and never told below 0. */
static void waste_is_a_factor(void **state) {
    (void)state;
    learn_fact facts[60];
    learn_result r;
    fault why;
    arena *memory = arena_new();
    for (size_t i = 0; i < 60; i++) {
        facts[i] = leak(i / 3, KIND_CRACK, 1.25, 4);
        facts[i].rate = "waste_percent";
    }
    const learn_input in = {.facts = facts, .n_facts = 60, .n_jobs = 20, .n_leaks = 60};
    assert_int_equal(learn_estimate_all(&in, memory, &r, &why), OK);
    near_absolute(r.rates[0].estimate.value, 25, 1);
    for (size_t i = 0; i < 60; i++) facts[i].value = 0.8;
    assert_int_equal(learn_estimate_all(&in, memory, &r, &why), OK);
    near_absolute(r.rates[0].estimate.low, 0, 0);
    facts[0].value = 2; /* one leak of twice its net hardly moves the 10 % as shipped */
    assert_int_equal(learn_estimate_all(&(learn_input){.facts = facts, .n_facts = 1}, memory, &r, &why), OK);
    assert_true(r.rates[0].estimate.value > 10 && r.rates[0].estimate.value < 40);
    arena_free(memory);
}

static void one_leak_moves_little(void **state) {
    (void)state;
    const learn_fact one = leak(0, KIND_CRACK, 6, 1); /* ten times the default */
    const learn_input in = {.facts = &one, .n_facts = 1, .n_jobs = 1, .n_leaks = 1};
    learn_result r;
    fault why;
    arena *memory = arena_new();
    assert_int_equal(learn_estimate_all(&in, memory, &r, &why), OK);
    assert_true(r.rates[0].estimate.value > 0.6 && r.rates[0].estimate.value < 6);
    assert_true(r.rates[0].weight > 0 && r.rates[0].weight < 0.62);
    assert_int_equal(r.priced, 0);
    assert_string_equal(r.calibration,
                        "No finished job has both an offer with its risk and a measured price.");
    arena_free(memory);
}

static void bad_facts_are_named(void **state) {
    (void)state;
    static const struct {
        const char *rate;
        double value, quantity;
        const char *says;
    } cases[] = {
        {"cut_slot_h_m", 0, 1, "fact 1: cut_slot_h_m is 0; it must be above 0"},
        {"cut_slot_h_m", -2, 1, "fact 1: cut_slot_h_m is -2; it must be above 0"},
        {"cut_slot_h_m", (double)NAN, 1, "fact 1: cut_slot_h_m is nan; it must be above 0"},
        {"cut_slot_h_m", 1, 0, "fact 1: the quantity of cut_slot_h_m is 0; it must be above 0"},
        {"cut_slot_h_m", 1, HUGE_VAL, "fact 1: the quantity of cut_slot_h_m is inf; it must be above 0"},
        {"no_such", 1, 1, "fact 1: no_such is no rate of the catalogue"},
    };
    arena *memory = arena_new();
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        learn_fact f = leak(0, KIND_CRACK, cases[i].value, cases[i].quantity);
        f.rate = cases[i].rate;
        const learn_input in = {.facts = &f, .n_facts = 1};
        learn_result r;
        fault why;
        assert_int_equal(learn_estimate_all(&in, memory, &r, &why), E_INPUT);
        assert_string_equal(why.text, cases[i].says);
        assert_int_equal(r.n_rates, 0);
    }
    const learn_price turned = {"cellar", {true, 9}, {true, 8}, {true, 8.5}, {true, 8}};
    const learn_event unknown = {"no_such", 0, KIND_CRACK, ACCESS_GROUND, true};
    learn_result r;
    fault why;
    assert_int_equal(learn_estimate_all(&(learn_input){.prices = &turned, .n_prices = 1}, memory, &r, &why),
                     E_INPUT);
    assert_string_equal(why.text, "job cellar: P20 of its offer is 9.00, above P80, 8.00");
    assert_int_equal(learn_estimate_all(&(learn_input){.events = &unknown, .n_events = 1}, memory, &r, &why),
                     E_INPUT);
    assert_string_equal(why.text, "event 1: no_such is no rate of the catalogue");
    arena_free(memory);
}

static void each_allocation_may_fail(void **state) {
    (void)state;
    learn_fact facts[40];
    learn_event events[40];
    learn_price prices[4];
    const learn_input in = a_firm(facts, events, prices);
    status code = E_MEMORY;
    for (long n = 0; code == E_MEMORY; n++) {
        learn_result r;
        fault why = {0};
        arena *memory = arena_new();
        assert_non_null(memory);
        mem_fail_at(n, 0);
        code = learn_estimate_all(&in, memory, &r, &why);
        mem_fail_at(-1, 0);
        if (code != OK) assert_int_equal(why.code, E_MEMORY);
        arena_free(memory);
        assert_true(n < 10000);
    }
    assert_int_equal(code, OK);
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(four_leaks_by_hand),
        cmocka_unit_test(ratios_weigh_by_their_likelihood),
        cmocka_unit_test(a_large_leak_counts_more),
        cmocka_unit_test(a_grid_agrees),
        cmocka_unit_test(without_a_fact_the_default_stands),
        cmocka_unit_test(very_much_data_is_its_own_mean),
        cmocka_unit_test(the_rate_is_the_mean_not_the_middle),
        cmocka_unit_test(leaks_of_one_job_are_one_witness),
        cmocka_unit_test(shares_are_those_of_beta),
        cmocka_unit_test(intervals_cover_as_they_say),
        cmocka_unit_test(a_firm_is_told),
        cmocka_unit_test(a_range_too_wide_or_too_narrow_is_told),
        cmocka_unit_test(each_class_is_told_by_its_name),
        cmocka_unit_test(the_order_of_the_facts_does_not_matter),
        cmocka_unit_test(waste_is_a_factor),
        cmocka_unit_test(one_leak_moves_little),
        cmocka_unit_test(bad_facts_are_named),
        cmocka_unit_test(each_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
