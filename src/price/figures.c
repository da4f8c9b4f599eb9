#include "price/figures.h"

#include "price/estimate.h"

#include <math.h>
#include <stdbool.h>

enum { LEAST = 2, LEAST_OF_PARTS = 4 };

static double shown(double value, int decimals) {
    double ten = pow(10, decimals);
    return round(value * ten) / ten;
}

static bool comes_to(double quantity, double rate, figures_decimals with, double amount) {
    double product = shown(quantity, with.quantity) * shown(rate, with.rate);
    return fabs(estimate_cents(product) - amount) < 0.005;
}

figures_decimals figures_of(double quantity, double rate, double amount) {
    bool cents = fabs(rate * 100 - round(rate * 100)) < 1e-6;
    const figures_decimals least = {LEAST, cents ? LEAST : LEAST_OF_PARTS};
    for (int more = 0; more <= 2 * FIGURES_MOST; more++)
        for (int of_rate = 0; of_rate <= more; of_rate++) {
            const figures_decimals with = {least.quantity + more - of_rate, least.rate + of_rate};
            if (with.quantity > FIGURES_MOST || with.rate > FIGURES_MOST) continue;
            if (comes_to(quantity, rate, with, amount)) return with;
        }
    return least;
}
