/* doubled.h - sums and products carried to about 106 bits as an unevaluated sum of two doubles.
 *
 * Model  error-free sum (Knuth) and product (fused multiply-add): value from memory. Correct in plain IEEE
 * double arithmetic only: the build forbids contraction and value-changing optimisation. Limits no overflow
 * inside: callers scale to about 1.   Threads  no shared state. */
#ifndef STANCH_STATS_DOUBLED_H
#define STANCH_STATS_DOUBLED_H

#include <math.h>

typedef struct {
    double high, low; /* high is the sum rounded to double */
} doubled;

/* a + b, exactly. */
static inline doubled doubled_sum(double a, double b) {
    double sum = a + b, of_b = sum - a;
    return (doubled){sum, (a - (sum - of_b)) + (b - of_b)};
}

/* a b, exactly. */
static inline doubled doubled_product(double a, double b) {
    double product = a * b;
    return (doubled){product, fma(a, b, -product)};
}

static inline doubled doubled_add(doubled a, doubled b) {
    doubled high = doubled_sum(a.high, b.high), low = doubled_sum(a.low, b.low);
    high = doubled_sum(high.high, high.low + low.high);
    return doubled_sum(high.high, high.low + low.low);
}

/* a + x y, x plain. */
static inline doubled doubled_add_product(doubled a, double x, doubled y) {
    doubled product = doubled_product(x, y.high);
    product.low += x * y.low;
    return doubled_add(a, product);
}

#endif
