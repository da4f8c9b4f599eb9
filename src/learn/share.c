#include "learn/share.h"

#include "learn/learn.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

/* By halving: gsl_cdf_beta_Pinv (GSL 2.7) does not converge for some of a = 1 + k, b = 2019 - k, and gives no sign of it with its
 * error handler off; the study of coverage showed it. */
static double quantile(double p, double a, double b) {
    enum { HALVINGS = 60 };
    double low = 0, high = 1;
    for (int i = 0; i < HALVINGS; i++) {
        double middle = (low + high) / 2;
        if (gsl_cdf_beta_P(middle, a, b) < p)
            low = middle;
        else
            high = middle;
    }
    return (low + high) / 2;
}

static share_interval of_beta(double a, double b) {
    double tail = (1 - LEARN_CONFIDENCE) / 2;
    return (share_interval){a / (a + b), quantile(tail, a, b), quantile(1 - tail, a, b)};
}

share_interval share_of(double prior_mean, double prior_weight, size_t happened, size_t of) {
    double p0 = fmin(fmax(prior_mean, 0.001), 0.999);
    return of_beta(prior_weight * p0 + (double)happened,
                   prior_weight * (1 - p0) + (double)of - (double)happened);
}

share_interval share_plain(size_t happened, size_t of) {
    return of_beta(0.5 + (double)happened, 0.5 + (double)of - (double)happened);
}
