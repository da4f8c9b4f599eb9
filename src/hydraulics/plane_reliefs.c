#include "hydraulics/plane_parts.h"
#include "hydraulics/water.h"

#include <math.h>

double plane_outlet_m(const plane_input *in, size_t relief) {
    const plane_relief *r = &in->reliefs[relief];
    if (r->outlet_elevation_m.known) return r->outlet_elevation_m.v;
    return plane_elevation_m(&in->panels[r->at.panel], r->at.chainage_m, 0);
}

/* One relief with the others held: the plane gives conductance (rise_shut - rise), the tube passes what the
 * head and the suction at it drive. Suction is a head, so the balance is that of a tube without suction whose
 * zero lies that much lower. Below it nothing flows, and the head is the one under which the plane gives
 * nothing. */
static status balance_one(const plane_input *in, const relief_tube *from, double conductance,
                          double rise_shut_m, double *rise_m, bool *runs, fault *why) {
    water_properties water;
    relief_result out;
    relief_tube tube = *from;
    status code = water_at(in->temperature_c, &water, why);
    if (code != OK) return code;
    double suction_m = from->suction_pa / (water.density_kg_m3 * UNITS_GRAVITY_M_S2);
    *rise_m = rise_shut_m;
    *runs = rise_shut_m + suction_m > 0;
    if (!*runs) return OK;
    tube.suction_pa = 0;
    tube.temperature_c = in->temperature_c;
    code = relief_balance(&tube, conductance, rise_shut_m + suction_m, &out, why);
    if (code == OK) *rise_m = out.back_head_m - suction_m;
    return code;
}

/* One relief after the other, each exactly, until none moves. The coupling is symmetric and positive definite
 * and a tube passes more under more head, so the rises are the minimum of a convex function, along whose
 * coordinates this goes down: it cannot circle. Reliefs feel each other little, so few rounds are needed. */
status plane_reliefs_balance(const plane_input *in, const bool *wet, const double *base,
                             const double *coupling, double *rise_m, bool *runs, fault *why) {
    enum { ROUNDS = 2000 };
    size_t n = in->reliefs_n;
    double moved = 1;
    for (int round = 0; round < ROUNDS && moved > 1e-13; round++) {
        moved = 0;
        for (size_t r = 0; r < n; r++) {
            if (!wet[r]) continue;
            double given = base[r], conductance = coupling[r * n + r], before_m = rise_m[r];
            for (size_t q = 0; q < n; q++)
                if (q != r && wet[q]) given -= coupling[r * n + q] * rise_m[q];
            if (!(conductance > 0)) continue;
            status code = balance_one(in, &in->reliefs[r].tube, conductance, given / conductance, &rise_m[r],
                                      &runs[r], why);
            if (code != OK) return code;
            moved = fmax(moved, fabs(rise_m[r] - before_m) / (1e-3 + fabs(rise_m[r])));
        }
    }
    return OK;
}
