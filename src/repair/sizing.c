#include "repair/sizing.h"

#include "hydraulics/water.h"

#include <math.h>

static const double STRONG_DEPTH_M = 0.050, JET_DEPTH_M = 0.062; /* strong flow 50-62 mm, common practice */

status sizing_ask(sizing *z, const char *code, const char *sentence) {
    if (!sentence) return fault_memory(z->why);
    return finding_add(z->s, z->memory, z->findings, FINDING_ASK, z->leak->defect->mark, code, sentence,
                       z->why);
}

const char *sizing_show(const sizing *z, units_quantity q, double si) {
    char into[UNITS_SHOWN];
    units_system u = z->s->site.system;
    int decimals = q == UNITS_SIZE ? (u == UNITS_US ? 2 : 0) : q == UNITS_STRESS && u == UNITS_US ? 1 : 2;
    return arena_copy(z->memory, units_show(q, u, si, decimals, into));
}

status sizing_take_head(sizing *z, double head_m) {
    water_properties water;
    status code = water_at(z->leak->water_c, &water, z->why);
    z->out->head_m = head_m;
    z->out->pressure_pa = water.density_kg_m3 * UNITS_GRAVITY_M_S2 * head_m;
    z->out->bond_pa = plug_bond_pa(z->leak->defect->slot_faces == SLOT_CHIPPED ? PLUG_CHIPPED : PLUG_SAWN);
    if (z->out->hole_shape == PLACE_CONE)
        z->out->bond_pa =
            steel_undercut_bond_pa(PLUG_SAFETY * z->out->pressure_pa, z->out->bond_pa, SIZING_CONE_DEG);
    return code;
}

/* A patch is packed through; plug only where water runs out of it (takeoff.h). */
static bool has_plug_layer(survey_method name) {
    return name != METHOD_SLOT_PACK && name != METHOD_CUT_BACK;
}

/* Trade depth by wetness and flow; deeper when the plug with the least pack over it needs more. */
static double wanted_depth(const sizing *z, double trade_m, design_depth_reason *reason) {
    bool plugged = has_plug_layer(z->out->method.name);
    double base = trade_m, need = z->out->plug_need_m + (plugged ? SIZING_PACK_LEAST_M : 0);
    *reason = DEPTH_TRADE;
    if (z->leak->grade == LEAKGRADE_RUN_LARGE || z->leak->grade == LEAKGRADE_JET) {
        double strong = z->leak->grade == LEAKGRADE_JET ? JET_DEPTH_M : STRONG_DEPTH_M;
        if (strong > base) {
            base = strong;
            *reason = DEPTH_STRONG_FLOW;
        }
    }
    if (need > base) *reason = DEPTH_PLUG;
    double depth = fmax(base, need);
    return ceil(depth * 1000 - 1e-9) / 1000; /* whole millimetres: nobody cuts finer */
}

status sizing_settle(sizing *z, double head_m, double area_per_perimeter_m, double trade_m, double *depth_m,
                     design_depth_reason *reason) {
    trace_place place;
    bool floor_cut = trace_at(z->s, z->leak->defect, 0, &place) && place.face->lie == LIE_FLOOR && head_m > 0;
    *depth_m = trade_m;
    for (int pass = 0; pass < 3;
         pass++) { /* a millimetre of depth adds a millimetre of head: settled at once */
        status code = sizing_take_head(z, head_m + (floor_cut ? *depth_m : 0));
        if (code != OK) return code;
        z->out->plug_need_m =
            plug_depth_m(z->out->pressure_pa, area_per_perimeter_m, z->out->bond_pa, PLUG_SAFETY);
        *depth_m = wanted_depth(z, trade_m, reason);
    }
    return OK;
}

double sizing_plug_room_m(const sizing *z, double depth_m) {
    return has_plug_layer(z->out->method.name) ? fmax(depth_m - SIZING_PACK_LIFT_M, 0) : depth_m;
}

design_slot sizing_fill(const sizing *z, double from_m, double to_m, double depth_m,
                        design_depth_reason reason) {
    const repair_design *out = z->out;
    design_slot slot = {.from_m = from_m, .to_m = to_m, .depth_m = depth_m, .reason = reason};
    double room = sizing_plug_room_m(z, depth_m);
    bool plugged = has_plug_layer(out->method.name);
    slot.plug_m = plugged ? fmin(fmax(depth_m / 2, out->plug_need_m), room) : 0;
    slot.pack_m = depth_m - slot.plug_m;
    slot.holds = (plugged ? slot.plug_m : depth_m) >= out->plug_need_m - 1e-9;
    if (out->plug_need_m > 0) slot.safety_found = PLUG_SAFETY * depth_m / out->plug_need_m;
    return slot;
}

status sizing_add_slot(sizing *z, design_slot slot) {
    design_slot *slots = arena_push(z->memory, z->out->slots, &z->out->n_slots, sizeof *slots);
    if (!slots) return fault_memory(z->why);
    slots[z->out->n_slots - 1] = slot;
    z->out->slots = slots;
    return OK;
}

double sizing_deepest_m(const sizing *z) {
    double deepest = 0;
    for (size_t i = 0; i < z->out->n_slots; i++) deepest = fmax(deepest, z->out->slots[i].depth_m);
    return deepest;
}

/* A place has no length: its one stretch always counts. */
static bool meets(const sizing *z, const steel_stretch *steel, double from_m, double to_m) {
    if (!survey_is_line(z->leak->defect->kind)) return true;
    return fmin(steel->to_m, to_m) > fmax(steel->from_m, from_m) ||
           (from_m == to_m && steel->from_m <= from_m && steel->to_m >= to_m);
}

bool sizing_not_scanned(const sizing *z, double from_m, double to_m) {
    const steel_limits *steel = &z->out->steel;
    for (size_t i = 0; i < steel->n; i++)
        if (!steel->stretches[i].allowed_m.known && meets(z, &steel->stretches[i], from_m, to_m)) return true;
    return false;
}

maybe sizing_steel_allows(const sizing *z, double from_m, double to_m) {
    const steel_limits *steel = &z->out->steel;
    maybe least = {0};
    for (size_t i = 0; i < steel->n; i++) {
        maybe here = steel->stretches[i].allowed_m;
        if (!here.known || !meets(z, &steel->stretches[i], from_m, to_m)) continue;
        if (!least.known || here.v < least.v) least = here;
    }
    return least;
}

leak_stretch sizing_wet_hull(const sizing *z, double past_m) {
    const leak_water *leak = z->leak;
    leak_stretch hull = {0, leak->length_m, leak->worst};
    if (leak->n_wet == 0) return hull;
    hull.from_m = fmax(leak->wet[0].from_m - past_m, 0);
    hull.to_m = fmin(leak->wet[leak->n_wet - 1].to_m + past_m, leak->length_m);
    return hull;
}

double sizing_around_m(const survey_part *ring) {
    const face_run run = {ring->points, ring->n_points};
    survey_point first = ring->points[0], last = ring->points[ring->n_points - 1];
    return face_run_length_m(&run) + hypot(first.u_m - last.u_m, first.v_m - last.v_m);
}

double sizing_worst_chainage(const leak_water *leak) {
    const survey_defect *d = leak->defect;
    size_t worst = 0;
    for (size_t i = 1; i < d->n_stations; i++) {
        double here = leak->stations[i].flow_m2_s.known ? leak->stations[i].flow_m2_s.v : 0;
        double best = leak->stations[worst].flow_m2_s.known ? leak->stations[worst].flow_m2_s.v : 0;
        bool wetter = d->stations[i].wetness > d->stations[worst].wetness;
        if (wetter || (d->stations[i].wetness == d->stations[worst].wetness && here > best)) worst = i;
    }
    return leak->n_stations > 0 ? leak->stations[worst].chainage_m : 0;
}
