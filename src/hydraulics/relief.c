#include "hydraulics/relief.h"

#include "core/limits.h"
#include "core/units.h"
#include "hydraulics/friction.h"
#include "hydraulics/water.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>
#include <math.h>

#define PI 3.14159265358979323846

static const double g = UNITS_GRAVITY_M_S2;

/* One balance: head lost at velocity V, in the tube and (0 when alone) in the crack, against `available_m`.
 */
typedef struct {
    const relief_tube *tube;
    double nu_m2_s;
    double crack_m_per_m_s; /* head used in the crack a unit of velocity in the tube */
    double available_m;
    double scale_m_s; /* the unknown is V over this */
} balance;

double relief_head_lost_m(const relief_tube *tube, double kinematic_viscosity_m2_s, double velocity_m_s) {
    double reynolds = velocity_m_s * tube->bore_m / kinematic_viscosity_m2_s;
    if (!(reynolds > 0)) return 0;
    double f = friction_factor(reynolds, tube->roughness_m / tube->bore_m);
    double k = tube->entry_loss + tube->exit_loss + f * tube->length_m / tube->bore_m;
    return k * velocity_m_s * velocity_m_s / (2 * g);
}

static double excess(double x, void *with) {
    const balance *b = with;
    double velocity_m_s = x * b->scale_m_s;
    return (relief_head_lost_m(b->tube, b->nu_m2_s, velocity_m_s) + b->crack_m_per_m_s * velocity_m_s) /
               b->available_m -
           1;
}

/* A velocity that the root cannot exceed: what each resistance alone would allow. The laminar law gives the
 * least friction at any Reynolds number. */
static double velocity_bound_m_s(const balance *b) {
    const relief_tube *t = b->tube;
    double bound = b->available_m * g * t->bore_m * t->bore_m / (32 * b->nu_m2_s * t->length_m);
    double k = t->entry_loss + t->exit_loss;
    if (k > 0) bound = fmin(bound, sqrt(2 * g * b->available_m / k));
    if (b->crack_m_per_m_s > 0) bound = fmin(bound, b->available_m / b->crack_m_per_m_s);
    return bound;
}

static status solve(balance *b, double *velocity_m_s, fault *why) {
    enum { STEPS = 500 };
    b->scale_m_s = velocity_bound_m_s(b);
    *velocity_m_s = b->scale_m_s;
    if (!(b->scale_m_s > 0) || !(excess(1, b) > 0)) return OK; /* the bound is the root, to rounding */
    gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    if (!solver) return fault_memory(why);
    gsl_function function = {excess, b};
    int code = gsl_root_fsolver_set(solver, &function, 0, 1);
    for (int i = 0; i < STEPS && code == GSL_SUCCESS; i++) {
        code = gsl_root_fsolver_iterate(solver);
        double low = gsl_root_fsolver_x_lower(solver), high = gsl_root_fsolver_x_upper(solver);
        if (!(high - low > 1e-15 * high) || gsl_root_fsolver_root(solver) <= 0) break;
    }
    *velocity_m_s = gsl_root_fsolver_root(solver) * b->scale_m_s;
    gsl_root_fsolver_free(solver);
    if (code == GSL_SUCCESS) return OK;
    return fault_set(why, E_INPUT, "no flow through the relief tube balances a head of %.6g m",
                     b->available_m);
}

static status check(const relief_tube *t, double head_m, fault *why) {
    limits_item limits[] = {
        {"bore_m", t->bore_m, RELIEF_NARROWEST_M, RELIEF_WIDEST_M, false},
        {"length_m", t->length_m, RELIEF_SHORTEST_M, RELIEF_LONGEST_M, false},
        {"roughness_m", t->roughness_m, 0, FRICTION_ROUGHEST * t->bore_m, false},
        {"entry_loss", t->entry_loss, 0, RELIEF_MOST_LOSS, false},
        {"exit_loss", t->exit_loss, 0, RELIEF_MOST_LOSS, false},
        {"suction_pa", t->suction_pa, 0, RELIEF_MOST_SUCTION_PA, false},
        {"temperature_c", t->temperature_c, WATER_COLDEST_C, WATER_WARMEST_C, false},
        {"head_m", head_m, 0, RELIEF_HIGHEST_M, false},
    };
    return limits_check(limits, sizeof limits / sizeof limits[0], why);
}

static status run(const relief_tube *tube, double crack_s_m2, double head_m, relief_result *out, fault *why) {
    *out = (relief_result){0};
    water_properties water;
    status code = check(tube, head_m, why);
    if (code == OK) code = water_at(tube->temperature_c, &water, why);
    if (code != OK) return code;

    double area_m2 = PI / 4 * tube->bore_m * tube->bore_m, velocity_m_s = 0;
    double suction_m = tube->suction_pa / (water.density_kg_m3 * g);
    balance b = {tube, water.kinematic_viscosity_m2_s, crack_s_m2 * area_m2, head_m + suction_m, 1};
    if (b.available_m > 0) code = solve(&b, &velocity_m_s, why);
    if (code != OK) return code;

    out->velocity_m_s = velocity_m_s;
    out->flow_m3_s = velocity_m_s * area_m2;
    out->back_head_m =
        crack_s_m2 > 0 ? relief_head_lost_m(tube, b.nu_m2_s, velocity_m_s) - suction_m : head_m;
    out->reynolds = velocity_m_s * tube->bore_m / b.nu_m2_s;
    if (out->reynolds > 0)
        out->friction_factor = friction_factor(out->reynolds, tube->roughness_m / tube->bore_m);
    return OK;
}

status relief_flow(const relief_tube *tube, double head_m, relief_result *out, fault *why) {
    return run(tube, 0, head_m, out, why);
}

status relief_balance(const relief_tube *tube, double conductance_m2_s, double head_m, relief_result *out,
                      fault *why) {
    *out = (relief_result){0};
    limits_item limits[] = {{"conductance_m2_s", conductance_m2_s, 0, RELIEF_MOST_CONDUCTANCE, true}};
    status code = limits_check(limits, 1, why);
    if (code != OK) return code;
    return run(tube, 1 / conductance_m2_s, head_m, out, why);
}
