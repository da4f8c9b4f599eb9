#include "repair/sizing.h"

#include "hydraulics/water.h"

#include <math.h>

/* A hole and a ring cannot be spread wider; chipped faces make them shallower only where the plug gave the depth. */
static status ask_about_deep_place(sizing *z) {
    bool hole = z->out->method.name == METHOD_HOLE;
    bool chip = z->leak->defect->slot_faces != SLOT_CHIPPED && z->out->slots[0].reason == DEPTH_PLUG;
    return sizing_ask(z, "thickness",
                      arena_print(z->memory,
                                  "The %s goes deeper than a third of the thickness of the member. %s "
                                  "round the %s, or an engineer who accepts the depth: who decides?",
                                  hole ? "hole" : "ring",
                                  chip ? "Chipped sides (more bond), injection" : "Injection",
                                  hole ? "tie" : "pipe"));
}

static status check_thickness(sizing *z) {
    if (!(sizing_deepest_m(z) > z->leak->thickness_m / 3)) return OK;
    if (z->out->method.name == METHOD_HOLE || z->out->method.name == METHOD_RING)
        return ask_about_deep_place(z);
    return sizing_ask(
        z, "thickness",
        "The cut goes deeper than a third of the thickness of the member. Chipped faces (more bond), a wider "
        "spread of repair, or another method: who decides?");
}

/* Depth at which a patch holds with its faces chipped instead of sawn; 0: neither there nor to a third of the member. */
static double chipped_holds_m(const sizing *z) {
    if (z->leak->defect->slot_faces == SLOT_CHIPPED) return 0;
    double need_m = z->out->plug_need_m * PLUG_BOND_SAWN_PA / PLUG_BOND_CHIPPED_PA;
    double depth_m = fmax(ceil(need_m * 1000 - 1e-9) / 1000, sizing_deepest_m(z));
    maybe steel = sizing_steel_allows(z, 0, 0);
    bool fits = depth_m <= fmax(z->leak->thickness_m / 3, sizing_deepest_m(z));
    return fits && !(steel.known && steel.v < depth_m) ? depth_m : 0;
}

static status ask_how_it_is_held(sizing *z) {
    if (z->out->method.name != METHOD_CUT_BACK)
        return sizing_ask(
            z, "plug",
            "The plug does not reach its safety factor at the design head. Who decides how it is held?");
    double chipped_m = chipped_holds_m(z);
    const char *faces = "", *depth = chipped_m > 0 ? sizing_show(z, UNITS_SIZE, chipped_m) : NULL;
    if (chipped_m > 0)
        faces = depth ? arena_print(z->memory, "chipped faces, which hold it cut %s deep; ", depth) : NULL;
    if (!faces) return fault_memory(z->why);
    return sizing_ask(
        z, "plug",
        arena_print(z->memory,
                    "Bond at its edge alone does not hold this patch at the design head: %sdowels into sound "
                    "concrete, injection behind it, or an engineer's design. Who decides?",
                    faces));
}

static status check_holds(sizing *z) {
    for (size_t i = 0; i < z->out->n_slots; i++)
        if (!z->out->slots[i].holds && z->out->slots[i].reason != DEPTH_STEEL) return ask_how_it_is_held(z);
    return OK;
}

/* Cut, filled and coated: then the relief, and whether it holds. */
static status size_cut(sizing *z, status (*size)(sizing *)) {
    status code = size(z);
    if (code == OK) code = size_relief(z);
    if (code == OK) code = check_thickness(z);
    return code == OK ? check_holds(z) : code;
}

/* A person may overrule the table with a way that has no shape at this kind of leak. */
static bool has_a_shape(survey_method name, survey_kind kind) {
    bool line = survey_is_line(kind), area = kind == KIND_HONEYCOMB, point = !line && !area;
    if (name == METHOD_SLOT_PLUG || name == METHOD_SLOT_PACK) return line;
    if (name == METHOD_HOLE || name == METHOD_RING) return point;
    if (name == METHOD_CUT_BACK) return area;
    return name != METHOD_FLEXIBLE || line || kind == KIND_PENETRATION;
}

static status size_coat(sizing *z) {
    const survey_part *ring = &z->leak->defect->parts[0];
    const face_run run = {ring->points, ring->n_points};
    if (z->leak->defect->kind == KIND_HONEYCOMB) z->out->patch_m2 = face_ring_area_m2(&run);
    return sizing_take_head(z, z->leak->head_design_m);
}

static status size_by_method(sizing *z) {
    switch (z->out->method.name) {
    case METHOD_SLOT_PLUG:
    case METHOD_SLOT_PACK: return size_cut(z, size_line);
    case METHOD_HOLE:
    case METHOD_RING: return size_cut(z, size_point);
    case METHOD_CUT_BACK: return size_cut(z, size_patch);
    case METHOD_COAT: return size_cut(z, size_coat);
    case METHOD_FLEXIBLE: return size_flexible(z);
    case METHOD_INJECT_CEMENT:
    case METHOD_INJECT_EPOXY:
    case METHOD_INJECT_POLYURETHANE:
    case METHOD_INJECT_ACRYLATE: return size_injection(z);
    case METHOD_DRAIN: return size_drain(z);
    case METHOD_WATCH:
    case METHOD_ENGINEER:
    case METHOD_COUNT: return OK;
    }
    return OK;
}

status design_size(const survey *s, const design_case *of, arena *memory, finding_list *findings,
                   repair_design *out, fault *why) {
    const leak_water *leak = of->leak;
    sizing z = {s, leak, of->why_leaks, memory, findings, out, why};
    *out = (repair_design){.method = *of->method, .steel = *of->steel, .relief = {.reason = "no slot"}};
    double smooth = leak->flow_smooth_m3_s.known ? leak->flow_smooth_m3_s.v : 0;
    double measured = leak->flow_measured_m3_s.known ? leak->flow_measured_m3_s.v : 0;
    out->pump_m3_s = fmax(smooth, measured);
    if (!has_a_shape(of->method->name, leak->defect->kind))
        return sizing_ask(&z, "method",
                          "The way that was chosen has no shape at this kind of leak: nothing is sized. Who "
                          "chooses again?");
    return size_by_method(&z);
}

status design_plug_need(const leak_water *leak, maybe *depth_m, fault *why) {
    water_properties water;
    *depth_m = (maybe){0};
    status code = water_at(leak->water_c, &water, why);
    if (code != OK || !leak->level_known) return code;
    double pressure_pa = water.density_kg_m3 * UNITS_GRAVITY_M_S2 * leak->head_design_m;
    double bond_pa = plug_bond_pa(leak->defect->slot_faces == SLOT_CHIPPED ? PLUG_CHIPPED : PLUG_SAWN);
    depth_m->known = true;
    depth_m->v = plug_depth_m(pressure_pa, plug_area_per_perimeter_m(PLUG_SLOT, DESIGN_SLOT_WIDTH_M, 0),
                              bond_pa, PLUG_SAFETY);
    return OK;
}
