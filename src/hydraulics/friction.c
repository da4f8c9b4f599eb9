#include "hydraulics/friction.h"

#include <math.h>

double friction_colebrook(double reynolds, double relative_roughness) {
    /* Newton on s = 1/sqrt f of s + 2 log10(r/3.7 + 2.51 s/Re) = 0, which is increasing and concave in s:
     * from a start below the root every step stays below it and the steps converge quadratically. */
    enum { STEPS = 50 };
    double rough = relative_roughness / 3.7, per_s = 2.51 / reynolds, s = 1;
    for (int i = 0; i < STEPS; i++) {
        double inside = rough + per_s * s;
        double step = (s + 2 * log10(inside)) / (1 + 2 * per_s / (inside * log(10)));
        s -= step;
        if (!(fabs(step) > 1e-15 * s)) break;
    }
    return 1 / (s * s);
}

double friction_factor(double reynolds, double relative_roughness) {
    if (reynolds <= FRICTION_LAMINAR_RE) return 64 / reynolds;
    if (reynolds >= FRICTION_TURBULENT_RE) return friction_colebrook(reynolds, relative_roughness);
    double at_start = 64 / FRICTION_LAMINAR_RE;
    double at_end = friction_colebrook(FRICTION_TURBULENT_RE, relative_roughness);
    double along = (reynolds - FRICTION_LAMINAR_RE) / (FRICTION_TURBULENT_RE - FRICTION_LAMINAR_RE);
    return at_start + along * (at_end - at_start);
}
