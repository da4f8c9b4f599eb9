/* Quantity times rate as printed is the amount as printed. */
#include "price/estimate.h"
#include "price/figures.h"

#include "../near.h"
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

static double printed(double value, int decimals) {
    char decimal[64];
    snprintf(decimal, sizeof decimal, "%.*f", decimals, value);
    return atof(decimal);
}

static void expect(double quantity, double rate, int of_quantity, int of_rate) {
    double amount = estimate_cents(quantity * rate);
    figures_decimals with = figures_of(quantity, rate, amount);
    assert_int_equal(with.quantity, of_quantity);
    assert_int_equal(with.rate, of_rate);
    double product = estimate_cents(printed(quantity, with.quantity) * printed(rate, with.rate));
    assert_true(product - amount < 0.001 && amount - product < 0.001);
}

/* Worked by hand. */
static void test_no_more_than_is_needed(void **state) {
    (void)state;
    expect(9, 52, 2, 2);
    expect(1.604765492083449, 52, 4, 2); /* 1.60: 83.20; 1.605: 83.46; 83.45 is meant */
    expect(32 + 44.0 / 60, 52, 4, 2);    /* 1702.13; 32.733: 1702.12 */
    expect(59.07, 294 / 57.83753241599557, 2, 4);
    expect(2.5563, 1.8, 3, 2);   /* 2.56: 4.61; 4.60 is meant */
    expect(8.39, 0.54864, 2, 4); /* a foot of what is 1.80 a metre */
}

static void test_amount_that_is_no_product(void **state) {
    (void)state;
    figures_decimals with = figures_of(1, 52, 60);
    assert_int_equal(with.quantity, 2);
    assert_int_equal(with.rate, 2);
}

static void test_any_line(void **state) {
    (void)state;
    uint64_t seed = 20260301;
    for (int i = 0; i < 100000; i++) {
        seed = seed * 6364136223846793005u + 1442695040888963407u;
        double quantity = (double)(seed >> 40) / 16777216 * 400;
        seed = seed * 6364136223846793005u + 1442695040888963407u;
        double rate = (double)(seed >> 40) / 16777216 * 200;
        if (i % 2) rate = estimate_cents(rate);
        double amount = estimate_cents(quantity * rate);
        figures_decimals with = figures_of(quantity, rate, amount);
        /* So near to half a cent the sixth decimal decides: no paper has more. */
        double cents = quantity * rate * 100;
        if (fabs(cents - floor(cents) - 0.5) < 0.02) continue;
        double product = estimate_cents(printed(quantity, with.quantity) * printed(rate, with.rate));
        if (!(product - amount < 0.001 && amount - product < 0.001))
            fail_msg("%.17g x %.17g: %d and %d decimals come to %.2f, not %.2f", quantity, rate,
                     with.quantity, with.rate, product, amount);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_no_more_than_is_needed),
                                       cmocka_unit_test(test_amount_that_is_no_product),
                                       cmocka_unit_test(test_any_line)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
