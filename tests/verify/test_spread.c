/* Spread of a sum: exact cases, each part of the range once, rank correlation reached, quantiles by hand. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "stats/spread.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>
#include <math.h>
#include <string.h>

enum { RUNS = 20000, FEW = 1000 };
static const double Z90 = 1.2815515655446004; /* standard normal table, 90 % */

static spread_sampler *begin(size_t runs, double correlation) {
    const spread_options options = {runs, 5, correlation};
    spread_sampler *s;
    assert_int_equal(spread_begin(&options, &s, NULL), OK);
    return s;
}

/* A normal item of a mean and a standard deviation. */
static spread_item normal(double mean, double sd) {
    return (spread_item){SPREAD_NORMAL, mean - Z90 * sd, mean, mean + Z90 * sd};
}

/* Standard error of a sample quantile: sqrt(p (1 - p)/n) over the density there (Kendall and Stuart; the stratified
 * sample errs less). */
static double quantile_error(double p, double sd) {
    double density = gsl_ran_ugaussian_pdf(gsl_cdf_ugaussian_Pinv(p)) / sd;
    return sqrt(p * (1 - p) / RUNS) / density;
}

static void check_normal(double *totals, double mean, double sd) {
    spread_summary got;
    spread_summarise(totals, RUNS, &got);
    const double parts[] = {0.1, 0.2, 0.5, 0.8, 0.9}, found[] = {got.p10, got.p20, got.p50, got.p80, got.p90};
    for (size_t i = 0; i < 5; i++) {
        double exact = mean + sd * gsl_cdf_ugaussian_Pinv(parts[i]);
        assert_true(fabs(found[i] - exact) < 4 * quantile_error(parts[i], sd));
    }
    assert_true(fabs(got.mean - mean) < 4 * sd / sqrt(RUNS));
    assert_true(fabs(got.sd - sd) < 4 * sd / sqrt(2.0 * RUNS)); /* standard error of a standard deviation */
}

static double totals[RUNS], column[RUNS];

/* The sum of normal items with means i and deviations 1 + i, any two scores correlated by r:
 * variance = sum s_i^2 + r sum_(i != j) s_i s_j. */
static void sum_of_normals(double rank_correlation) {
    enum { ITEMS = 12 };
    double r = 2 * sin(acos(-1) * rank_correlation / 6), sum = 0, squares = 0, mean = 0;
    spread_sampler *s = begin(RUNS, rank_correlation);
    memset(totals, 0, sizeof totals);
    for (size_t i = 0; i < ITEMS; i++) {
        spread_item item = normal((double)i, 1 + (double)i);
        assert_int_equal(spread_sample(s, i, &item, column, NULL), OK);
        for (size_t k = 0; k < RUNS; k++) totals[k] += column[k];
        sum += 1 + (double)i;
        squares += (1 + (double)i) * (1 + (double)i);
        mean += (double)i;
    }
    check_normal(totals, mean, sqrt(squares + r * (sum * sum - squares)));
    spread_end(s);
}

static void independent_normals(void **state) {
    (void)state;
    sum_of_normals(0);
}

static void correlated_normals(void **state) {
    (void)state;
    sum_of_normals(0.2);
    sum_of_normals(0.8);
}

/* Distribution function of a triangle, by hand. */
static double below(const spread_item *i, double x) {
    double wide = i->high - i->low;
    return x < i->likely ? (x - i->low) * (x - i->low) / (wide * (i->likely - i->low))
                         : 1 - (i->high - x) * (i->high - x) / (wide * (i->high - i->likely));
}

static void each_part_once(void **state) {
    (void)state;
    static const spread_item items[] = {
        {SPREAD_TRIANGULAR, -1, 0, 3}, {SPREAD_TRIANGULAR, 2, 2, 3}, {SPREAD_TRIANGULAR, 2, 3, 3}};
    for (int c = 0; c < 2; c++) {
        spread_sampler *s = begin(FEW, c * 0.3);
        for (size_t i = 0; i < 3; i++) {
            char met[FEW] = {0};
            assert_int_equal(spread_sample(s, i, &items[i], column, NULL), OK);
            for (size_t k = 0; k < FEW; k++) {
                assert_true(column[k] >= items[i].low && column[k] <= items[i].high);
                size_t part = (size_t)(below(&items[i], column[k]) * FEW);
                assert_true(part < FEW);
                assert_int_equal(met[part]++, 0);
            }
        }
        spread_end(s);
    }
}

/* Each part once, so a quantile lies within the part below or above: closed form of the triangle 0, 1, 4. */
static void triangular_quantiles(void **state) {
    (void)state;
    const spread_item item = {SPREAD_TRIANGULAR, 0, 1, 4};
    spread_summary got;
    spread_sampler *s = begin(RUNS, 0);
    assert_int_equal(spread_sample(s, 0, &item, column, NULL), OK);
    spread_summarise(column, RUNS, &got);
    assert_true(fabs(got.p10 - sqrt(0.4)) < 2e-4);     /* sqrt(p 4 1) below p = 1/4 */
    assert_true(fabs(got.p50 - (4 - sqrt(6))) < 2e-4); /* 4 - sqrt((1 - p) 4 3) above */
    assert_true(fabs(got.p80 - (4 - sqrt(2.4))) < 2e-4);
    assert_true(fabs(got.mean - 5.0 / 3) < 1e-4);       /* (0 + 1 + 4)/3 */
    assert_true(fabs(got.sd - sqrt(13.0 / 18)) < 1e-3); /* (0 + 1 + 16 - 0 - 4 - 0)/18 */
    spread_end(s);
}

/* A lopsided normal: each half keeps its width, so low, likely and high are P10, P50 and P90. */
static void halves(void **state) {
    (void)state;
    const spread_item item = {SPREAD_NORMAL, 4, 5, 9};
    spread_summary got;
    spread_sampler *s = begin(RUNS, 0.2);
    assert_int_equal(spread_sample(s, 0, &item, column, NULL), OK);
    spread_summarise(column, RUNS, &got);
    assert_true(fabs(got.p10 - 4) < 1e-3 && fabs(got.p50 - 5) < 1e-3 && fabs(got.p90 - 9) < 4e-3);
    spread_end(s);
}

static void chances(void **state) {
    (void)state;
    static const double part[] = {0, 0.1, 1};
    spread_sampler *s = begin(FEW, 0.2);
    for (size_t i = 0; i < 3; i++) {
        const spread_item item = {SPREAD_CHANCE, 0, part[i], 1};
        double sum = 0;
        assert_int_equal(spread_sample(s, i, &item, column, NULL), OK);
        for (size_t k = 0; k < FEW; k++) {
            assert_true(column[k] == 0 || column[k] == 1);
            sum += column[k];
        }
        assert_true(fabs(sum - part[i] * FEW) <= 1);
    }
    spread_end(s);
}

/* Spearman's rank correlation: that of the probabilities, which the normal distribution function gives back. Its standard
 * error is about (1 - rho^2)/sqrt(n). */
static void rank_correlation(void **state) {
    (void)state;
    enum { MANY = 100000 };
    static const double wanted[] = {0, 0.2, 0.5, 0.95};
    static double one[MANY], other[MANY];
    const spread_item item = normal(0, 1);
    for (size_t c = 0; c < 4; c++) {
        spread_sampler *s = begin(MANY, wanted[c]);
        assert_int_equal(spread_sample(s, 0, &item, one, NULL), OK);
        assert_int_equal(spread_sample(s, 77, &item, other, NULL), OK);
        for (size_t k = 0; k < MANY; k++) {
            one[k] = gsl_cdf_ugaussian_P(one[k]);
            other[k] = gsl_cdf_ugaussian_P(other[k]);
        }
        double found = sqrt(spread_squared_correlation(one, other, MANY));
        assert_true(fabs(found - wanted[c]) < 4 * (1 - wanted[c] * wanted[c]) / sqrt(MANY));
        spread_end(s);
    }
}

/* Hyndman and Fan, type 7: the list 15 20 35 40 50 at 0.4 is 29 (a worked example of many textbooks). */
static void quantiles_by_hand(void **state) {
    (void)state;
    double list[] = {50, 15, 40, 20, 35};
    spread_summary got;
    spread_summarise(list, 5, &got);
    assert_true(fabs(spread_quantile(list, 5, 0.4) - 29) < 1e-12);
    assert_true(got.p50 == 35 && spread_quantile(list, 5, 0) == 15 && spread_quantile(list, 5, 1) == 50);
    assert_true(fabs(got.p10 - 17) < 1e-12);         /* 15 + 0.4 of 5 */
    assert_true(fabs(got.p90 - 46) < 1e-12);         /* 40 + 0.6 of 10 */
    assert_true(fabs(got.sd - sqrt(207.5)) < 1e-12); /* (18^2 + 17^2 + 8^2 + 12^2 + 3^2)/4 */
    double one[] = {3};
    spread_summarise(one, 1, &got);
    assert_true(got.p10 == 3 && got.p90 == 3 && got.sd == 0);
}

static void correlation_by_hand(void **state) {
    (void)state;
    const double a[] = {1, 2, 3, 4}, b[] = {2, 1, 4, 3}, still[] = {5, 5, 5, 5};
    assert_true(fabs(spread_squared_correlation(a, b, 4) - 0.36) < 1e-12); /* sums 3, 5, 5 */
    assert_true(spread_squared_correlation(a, still, 4) == 0);
    assert_true(fabs(spread_squared_correlation(a, a, 4) - 1) < 1e-12);
}

/* The same whatever was asked before; other for another seed or item. */
static void asked_again(void **state) {
    (void)state;
    static double again[FEW];
    const spread_item item = {SPREAD_TRIANGULAR, 0, 1, 2};
    for (int c = 0; c < 2; c++) {
        spread_sampler *a = begin(FEW, c * 0.2), *b = begin(FEW, c * 0.2);
        assert_int_equal(spread_sample(a, 3, &item, column, NULL), OK);
        assert_int_equal(spread_sample(b, 9, &item, again, NULL), OK);
        assert_memory_not_equal(column, again, sizeof again);
        assert_int_equal(spread_sample(b, 3, &item, again, NULL), OK);
        assert_memory_equal(column, again, sizeof again);
        const spread_options other = {FEW, 6, c * 0.2};
        spread_end(b);
        assert_int_equal(spread_begin(&other, &b, NULL), OK);
        assert_int_equal(spread_sample(b, 3, &item, again, NULL), OK);
        assert_memory_not_equal(column, again, sizeof again);
        spread_end(a);
        spread_end(b);
    }
}

static void expect_options(spread_options options, const char *words) {
    spread_sampler *s;
    fault why = {0};
    assert_int_equal(spread_begin(&options, &s, &why), E_INPUT);
    assert_null(s);
    assert_non_null(strstr(why.text, words));
}

static void expect_item(spread_item item, const char *words) {
    fault why = {0};
    spread_sampler *s = begin(FEW, 0);
    assert_int_equal(spread_sample(s, 3, &item, column, &why), E_INPUT);
    assert_non_null(strstr(why.text, words));
    spread_end(s);
}

static void refused(void **state) {
    (void)state;
    expect_options((spread_options){99, 1, 0}, "runs is 99; it must lie in 100 to 1000000");
    expect_options((spread_options){1000001, 1, 0}, "runs is 1000001");
    expect_options((spread_options){100, 1, -0.1}, "correlation is -0.1");
    expect_options((spread_options){100, 1, 0.96}, "0 to 0.95");
    expect_options((spread_options){100, 1, (double)NAN}, "correlation");
    expect_item((spread_item){SPREAD_TRIANGULAR, 2, 1, 3}, "item 4: low is 2; it must be at most likely, 1");
    expect_item((spread_item){SPREAD_NORMAL, 0, 1, 0.5}, "item 4: high is 0.5");
    expect_item((spread_item){SPREAD_NORMAL, 0, (double)NAN, 1}, "finite");
    expect_item((spread_item){SPREAD_CHANCE, 0, 1.5, 1}, "item 4: the chance is 1.5");
}

static void without_memory(void **state) {
    (void)state;
    const spread_options options = {FEW, 1, 0.2};
    spread_sampler *s = NULL;
    status code = E_MEMORY;
    long n = 0;
    for (; code == E_MEMORY; n++) {
        mem_fail_at(n, 1);
        code = spread_begin(&options, &s, NULL);
        mem_fail_at(-1, 0);
        assert_true((code == OK) == (s != NULL));
    }
    assert_int_equal(code, OK);
    assert_true(n > 5);
    spread_end(s);
    spread_end(NULL);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(independent_normals),
        cmocka_unit_test(correlated_normals),
        cmocka_unit_test(each_part_once),
        cmocka_unit_test(triangular_quantiles),
        cmocka_unit_test(halves),
        cmocka_unit_test(chances),
        cmocka_unit_test(rank_correlation),
        cmocka_unit_test(quantiles_by_hand),
        cmocka_unit_test(correlation_by_hand),
        cmocka_unit_test(asked_again),
        cmocka_unit_test(refused),
        cmocka_unit_test(without_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
