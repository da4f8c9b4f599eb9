#include "repair/design.h"

#include "hydraulics/plugging.h"
#include "hydraulics/water.h"
#include "repair/plug.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Common practice: 300-450 mm past the last visible wetness; the longer where water runs (our choice within
 * it). */
static const double PAST_WET_M = 0.300, PAST_RUN_M = 0.450;
static const double STRONG_DEPTH_M = 0.050, JET_DEPTH_M = 0.062; /* strong flow 50-62 mm, common practice */
static const double PACK_LEAST_M =
    0.0185; /* upper half of the 37 mm slot, common practice; the least pack we allow */
static const double PACK_LIFT_M =
    0.010; /* one rammed lift (UFGS 03931 3.8.2), the least over a plug held up by steel */
static const double CUT_LEAST_M = 0.015; /* our default: shallower than this is no slot */
static const double HOLE_DEPTH_M = 0.050,
                    HOLE_CLEAN_M = 0.010;  /* tie hole: depth and how much wider drilled, our default */
static const double TIE_HOLE_M = 0.025;    /* tie hole whose diameter was not told, our default */
static const double PATCH_DEPTH_M = 0.050; /* honeycomb, our default */
static const double RELIEF_FLOW_M3_S = 1.0 / 60000,
                    RELIEF_FLOW_M2_S = 10.0 / 60000; /* 1 l/min; 10 l/min a metre, our default */
static const double RELIEF_BELOW_M = 0.020;          /* at least this much deeper than the cut, our default */
static const double TUBE_LENGTH_M = 0.5;             /* our default */

const double design_tubes_m[DESIGN_TUBES] = {0.010, 0.013, 0.016, 0.020, 0.025, 0.032, 0.040};

typedef struct {
    const survey *s;
    const leak_water *leak;
    arena *memory;
    finding_list *findings;
    repair_design *out;
    fault *why;
} sizing;

static status ask(sizing *z, const char *code, const char *sentence) {
    return finding_add(z->s, z->memory, z->findings, FINDING_ASK, z->leak->defect->mark, code, sentence,
                       z->why);
}

/* Elevation of the line's straight continuation `past_m` beyond one of its ends; the face itself where that
 * is lower. */
static double end_elevation(const sizing *z, bool at_start, double past_m) {
    const survey_defect *d = z->leak->defect;
    const survey_part *p = at_start ? &d->parts[0] : &d->parts[d->n_parts - 1];
    const survey_face *face = survey_find_face(z->s, p->face);
    survey_point tip = at_start ? p->points[0] : p->points[p->n_points - 1];
    survey_point before = at_start ? p->points[1] : p->points[p->n_points - 2];
    double step = hypot(tip.u_m - before.u_m, tip.v_m - before.v_m);
    double v = step > 0 ? tip.v_m + (tip.v_m - before.v_m) / step * past_m : tip.v_m, lowest = HUGE_VAL;
    for (size_t i = 0; i < face->outline.n_points; i++) lowest = fmin(lowest, face->outline.points[i].v_m);
    return survey_elevation_m(face, (survey_point){tip.u_m, fmax(v, lowest)});
}

/* Design level less the lowest elevation of the slot, everything shut (rule 2). */
static double static_head(const sizing *z, double from_m, double to_m) {
    const leak_water *leak = z->leak;
    double lowest_m;
    if (!leak->level_known || !trace_lowest(z->s, leak->defect, from_m, to_m, &lowest_m)) return 0;
    if (from_m < 0) lowest_m = fmin(lowest_m, end_elevation(z, true, -from_m));
    if (to_m > leak->length_m) lowest_m = fmin(lowest_m, end_elevation(z, false, to_m - leak->length_m));
    return fmax(leak->level_design_m - lowest_m, 0);
}

static status take_head(sizing *z, double head_m) {
    water_properties water;
    status code = water_at(z->leak->water_c, &water, z->why);
    z->out->head_m = head_m;
    z->out->pressure_pa = water.density_kg_m3 * UNITS_GRAVITY_M_S2 * head_m;
    z->out->bond_pa = plug_bond_pa(z->leak->defect->slot_faces == SLOT_CHIPPED ? PLUG_CHIPPED : PLUG_SAWN);
    return code;
}

static double plug_need(const repair_design *out, double area_per_perimeter_m) {
    return plug_depth_m(out->pressure_pa, area_per_perimeter_m, out->bond_pa, PLUG_SAFETY);
}

/* A patch is packed through; plug only where water runs out of it (takeoff.h). */
static bool has_plug_layer(survey_method name) {
    return name != METHOD_SLOT_PACK && name != METHOD_CUT_BACK;
}

/* Trade depth by wetness and flow; deeper when the plug with the least pack over it needs more. */
static double wanted_depth(const sizing *z, double trade_m, design_depth_reason *reason) {
    bool plugged = has_plug_layer(z->out->method.name);
    double base = trade_m, need = z->out->plug_need_m + (plugged ? PACK_LEAST_M : 0);
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

/* Plug and pack in a depth, and whether they hold. */
static design_slot fill_depth(const sizing *z, double from_m, double to_m, double depth_m,
                              design_depth_reason reason) {
    const repair_design *out = z->out;
    design_slot slot = {.from_m = from_m, .to_m = to_m, .depth_m = depth_m, .reason = reason};
    bool plugged = has_plug_layer(out->method.name);
    double plug = fmax(depth_m / 2, out->plug_need_m), most = fmax(depth_m - PACK_LIFT_M, 0);
    slot.plug_m = plugged ? fmin(plug, most) : 0;
    slot.pack_m = depth_m - slot.plug_m;
    slot.holds = (plugged ? slot.plug_m : depth_m) >= out->plug_need_m - 1e-9;
    if (out->plug_need_m > 0) slot.safety_found = PLUG_SAFETY * depth_m / out->plug_need_m;
    return slot;
}

static status add_slot(sizing *z, design_slot slot) {
    design_slot *slots = arena_push(z->memory, z->out->slots, &z->out->n_slots, sizeof *slots);
    if (!slots) return fault_memory(z->why);
    slots[z->out->n_slots - 1] = slot;
    z->out->slots = slots;
    return OK;
}

/* The stretch that station i stands for: half the way to each neighbour, the slot's end where it has none. */
static void station_reach(const survey_defect *d, size_t i, double from_m, double to_m, double *a,
                          double *b) {
    *a = i > 0 ? (d->stations[i - 1].chainage_m + d->stations[i].chainage_m) / 2 : from_m;
    *b = i + 1 < d->n_stations ? (d->stations[i].chainage_m + d->stations[i + 1].chainage_m) / 2 : to_m;
    *a = fmax(*a, from_m);
    *b = fmin(*b, to_m);
}

static double steel_depth(const survey_station *station) {
    return station->cover_m.known ? station->cover_m.v - STEEL_CLEAR_M : HUGE_VAL;
}

static status ask_about_steel(sizing *z, double from_m, double to_m, double allowed_m, double wanted_m) {
    units_system u = z->s->site.system;
    char a[UNITS_SHOWN], b[UNITS_SHOWN], c[UNITS_SHOWN], w[UNITS_SHOWN], n[UNITS_SHOWN], sentence[560];
    snprintf(sentence, sizeof sentence,
             "A bar lies along the crack from %s to %s: it allows a slot %s deep where %s is wanted (the "
             "plug alone needs "
             "%s). Wider or undercut slot, chipped faces, a stronger plug, or injection here: who decides?",
             units_show(UNITS_LENGTH, u, from_m, 2, a), units_show(UNITS_LENGTH, u, to_m, 2, b),
             units_show(UNITS_SIZE, u, fmax(allowed_m, 0), u == UNITS_US ? 2 : 0, c),
             units_show(UNITS_SIZE, u, wanted_m, u == UNITS_US ? 2 : 0, w),
             units_show(UNITS_SIZE, u, z->out->plug_need_m, u == UNITS_US ? 2 : 0, n));
    return ask(z, "steel", sentence);
}

/* One run of slot, split where bars along the crack hold it up. Slot pieces of the same depth are joined. */
static status cut_run(sizing *z, double from_m, double to_m, double depth_m, design_depth_reason reason) {
    const survey_defect *d = z->leak->defect;
    double open_from = from_m;
    status code = OK;
    for (size_t i = 0; code == OK && i < d->n_stations; i++) {
        const survey_station *station = &d->stations[i];
        double a, b, allowed = floor(steel_depth(station) * 1000 + 1e-9) / 1000;
        station_reach(d, i, from_m, to_m, &a, &b);
        if (!(b > a)) continue;
        if (station->bar == BAR_NOT_SCANNED) z->out->scan_first = true;
        if (station->bar != BAR_ALONG || !(allowed < depth_m)) continue;
        if (a > open_from) code = add_slot(z, fill_depth(z, open_from, a, depth_m, reason));
        if (code == OK && allowed >= CUT_LEAST_M)
            code = add_slot(z, fill_depth(z, a, b, allowed, DEPTH_STEEL));
        if (code == OK) code = ask_about_steel(z, a, b, allowed, depth_m);
        open_from = b;
    }
    if (code == OK && to_m > open_from) code = add_slot(z, fill_depth(z, open_from, to_m, depth_m, reason));
    return code;
}

static status find_crossings(sizing *z, double from_m, double to_m, double depth_m) {
    const survey_defect *d = z->leak->defect;
    repair_design *out = z->out;
    bool asked = false;
    for (size_t i = 0; i < d->n_stations; i++) {
        const survey_station *st = &d->stations[i];
        double allowed = steel_depth(st);
        if (st->bar != BAR_CROSSING || st->chainage_m < from_m || st->chainage_m > to_m ||
            !(allowed < depth_m))
            continue;
        design_crossing *list = arena_push(z->memory, out->crossings, &out->n_crossings, sizeof *list);
        if (!list) return fault_memory(z->why);
        double bar = st->bar_diameter_m.known ? st->bar_diameter_m.v : STEEL_BAR_M;
        list[out->n_crossings - 1] =
            (design_crossing){st->chainage_m, bar / 2 + STEEL_CROSSING_PAST_M, fmax(allowed, 0)};
        out->crossings = list;
        if (!(allowed < out->plug_need_m) || asked) continue;
        asked = true; /* one question a run of slot */
        status code = ask(z, "steel",
                          "A crossing bar leaves less depth than the plug needs there, for the width of the "
                          "bar and 20 mm each "
                          "side. A stronger plug, chipped faces or injection at the crossing: who decides?");
        if (code != OK) return code;
    }
    return OK;
}

static double past_wet(survey_wetness worst) {
    return worst >= WET_RUN ? PAST_RUN_M : PAST_WET_M;
}

/* Wet stretches lengthened past their ends, those that meet joined. */
static size_t slot_runs(const sizing *z, leak_stretch *runs) {
    size_t n = 0;
    for (size_t i = 0; i < z->leak->n_wet; i++) {
        leak_stretch wet = z->leak->wet[i];
        wet.from_m -= past_wet(wet.worst);
        wet.to_m += past_wet(wet.worst);
        if (n > 0 && wet.from_m <= runs[n - 1].to_m)
            runs[n - 1].to_m = fmax(runs[n - 1].to_m, wet.to_m);
        else
            runs[n++] = wet;
    }
    return n;
}

/* Head, need and depth. In a floor the slot's bottom lies lower by its depth, so the head grows with the cut (rule 2). */
static status settle(sizing *z, double head_m, double area_per_perimeter_m, double trade_m, double *depth_m,
                     design_depth_reason *reason) {
    trace_place place;
    bool floor_cut = trace_at(z->s, z->leak->defect, 0, &place) && place.face->lie == LIE_FLOOR && head_m > 0;
    *depth_m = trade_m;
    for (int pass = 0; pass < 3;
         pass++) { /* a millimetre of depth adds a millimetre of head: settled at once */
        status code = take_head(z, head_m + (floor_cut ? *depth_m : 0));
        if (code != OK) return code;
        z->out->plug_need_m = plug_need(z->out, area_per_perimeter_m);
        *depth_m = wanted_depth(z, trade_m, reason);
    }
    return OK;
}

static status size_line(sizing *z) {
    repair_design *out = z->out;
    leak_stretch *runs = arena_get(z->memory, z->leak->n_wet + 1, sizeof *runs);
    if (!runs) return fault_memory(z->why);
    size_t n = slot_runs(z, runs);
    double head = 0;
    for (size_t i = 0; i < n; i++) head = fmax(head, static_head(z, runs[i].from_m, runs[i].to_m));
    design_depth_reason reason;
    double depth;
    out->slot_width_m = DESIGN_SLOT_WIDTH_M;
    status code = settle(z, head, plug_area_per_perimeter_m(PLUG_SLOT, out->slot_width_m, 0),
                         DESIGN_SLOT_DEPTH_M, &depth, &reason);
    if (code != OK) return code;
    if (z->leak->defect->n_stations == 0) out->scan_first = true;
    for (size_t i = 0; code == OK && i < n; i++) {
        code = cut_run(z, runs[i].from_m, runs[i].to_m, depth, reason);
        if (code == OK) code = find_crossings(z, runs[i].from_m, runs[i].to_m, depth);
    }
    return code;
}

/* A hole, a ring or a patch: one slot of length 0, held up by the steel that its station tells of. */
static status size_place(sizing *z, double area_per_perimeter_m, double trade_depth_m) {
    const survey_defect *d = z->leak->defect;
    const survey_station *station = d->n_stations ? &d->stations[0] : NULL;
    design_depth_reason reason;
    double depth;
    status settled = settle(z, z->leak->head_design_m, area_per_perimeter_m, trade_depth_m, &depth, &reason);
    if (settled != OK) return settled;
    if (z->out->method.name ==
        METHOD_CUT_BACK) /* a wide patch is not held by its edge alone: it stays shallow and asks */
        depth = fmin(depth, fmax(PATCH_DEPTH_M, floor(z->leak->thickness_m / 3 * 1000 + 1e-9) / 1000));
    z->out->scan_first = !station || station->bar == BAR_NOT_SCANNED;
    bool barred = station && (station->bar == BAR_ALONG || station->bar == BAR_CROSSING);
    double allowed = barred ? floor(steel_depth(station) * 1000 + 1e-9) / 1000 : HUGE_VAL;
    if (!(allowed < depth)) return add_slot(z, fill_depth(z, 0, 0, depth, reason));
    status code = allowed >= CUT_LEAST_M ? add_slot(z, fill_depth(z, 0, 0, allowed, DEPTH_STEEL)) : OK;
    return code == OK
               ? ask(z, "steel",
                     "A bar lies at this place and holds the cut up short of the depth that the plug wants. "
                     "Move the cut, chip by hand beside the bar, or inject: who decides?")
               : code;
}

static status size_point(sizing *z) {
    repair_design *out = z->out;
    const survey_defect *d = z->leak->defect;
    double diameter = d->diameter_m.known ? d->diameter_m.v : TIE_HOLE_M;
    if (out->method.name == METHOD_HOLE) {
        out->hole_diameter_m = diameter + HOLE_CLEAN_M;
        return size_place(z, plug_area_per_perimeter_m(PLUG_CIRCLE, out->hole_diameter_m, 0), HOLE_DEPTH_M);
    }
    const double pi = 3.14159265358979323846;
    out->slot_width_m = DESIGN_SLOT_WIDTH_M;
    out->ring_length_m = pi * (diameter + out->slot_width_m);
    /* The pipe is no face to bond to: the concrete side alone holds, so area over perimeter is the whole width. */
    return size_place(z, out->slot_width_m, DESIGN_SLOT_DEPTH_M);
}

/* The whole patch is taken as under pressure, held at its edge: p A / (P tau). */
static status size_patch(sizing *z) {
    repair_design *out = z->out;
    const survey_part *ring = &z->leak->defect->parts[0];
    const face_run run = {ring->points, ring->n_points};
    double perimeter = face_run_length_m(&run), area = face_ring_area_m2(&run);
    survey_point first = ring->points[0], last = ring->points[ring->n_points - 1];
    perimeter += hypot(first.u_m - last.u_m, first.v_m - last.v_m);
    out->patch_m2 = area;
    status code = size_place(z, area / perimeter, PATCH_DEPTH_M);
    return code == OK ? ask(z, "honeycomb",
                            "How deep does the honeycomb go, and does it reach the steel? Deeper than the "
                            "cover it is an engineer's "
                            "question, not only a leak.")
                      : code;
}

static double worst_chainage(const leak_water *leak) {
    const survey_defect *d = leak->defect;
    size_t worst = 0;
    for (size_t i = 1; i < d->n_stations; i++) {
        double here = leak->stations[i].flow_m2_s.known ? leak->stations[i].flow_m2_s.v : 0;
        double best = leak->stations[worst].flow_m2_s.known ? leak->stations[worst].flow_m2_s.v : 0;
        bool wetter = d->stations[i].wetness > d->stations[worst].wetness;
        if (wetter || (d->stations[i].wetness == d->stations[worst].wetness && here > best)) worst = i;
    }
    return leak->stations[worst].chainage_m;
}

relief_tube design_tube(double bore_m, double temperature_c) {
    return (relief_tube){.bore_m = bore_m,
                         .length_m = TUBE_LENGTH_M,
                         .roughness_m = PLUGGING_ROUGHNESS_M,
                         .entry_loss = PLUGGING_ENTRY_LOSS,
                         .exit_loss = PLUGGING_EXIT_LOSS,
                         .temperature_c = temperature_c};
}

/* The smallest stocked bore that leaves little head; the largest when none does. */
static status choose_bore(sizing *z, design_relief *relief, double flow_m3_s, double head_m) {
    relief_result r = {0};
    status code = OK;
    for (int i = 0; code == OK && i < DESIGN_TUBES; i++) {
        relief_tube tube = design_tube(design_tubes_m[i], z->leak->water_c);
        code = relief_balance(&tube, flow_m3_s / head_m, head_m, &r, z->why);
        relief->bore_m = tube.bore_m;
        relief->flow_m3_s = (maybe){true, r.flow_m3_s};
        relief->back_head_m = (maybe){true, r.back_head_m};
        if (r.back_head_m <= DESIGN_TUBE_LEAVES * head_m) break;
    }
    relief->reason =
        r.back_head_m <= DESIGN_TUBE_LEAVES * head_m
            ? "the smallest stocked bore that leaves at most a tenth of the head behind the plug"
            : "even the largest stocked bore leaves more than a tenth of the head: set a second tube";
    return code;
}

/* Rule 9: the hole is deeper than the cut. */
static double relief_depth(const sizing *z) {
    double deepest = 0;
    for (size_t i = 0; i < z->out->n_slots; i++) deepest = fmax(deepest, z->out->slots[i].depth_m);
    return fmax(DESIGN_RELIEF_DEPTH_M, deepest + RELIEF_BELOW_M);
}

/* A ring or hole has no plane: what it meets is its flow over its own length. */
static status ask_about_washout(sizing *z, double flow_m3_s) {
    double length = z->out->method.name == METHOD_RING ? z->out->ring_length_m : 0;
    if (!(length > 0) || !(flow_m3_s / length > RELIEF_FLOW_M2_S)) return OK;
    return ask(z, "washout",
               "More water comes along this ring than fresh plug stands (10 l/min a metre, our default) "
               "until the tube has taken it. "
               "A lower level, a second tube or suction: who decides?");
}

static status size_relief(sizing *z) {
    const leak_water *leak = z->leak;
    design_relief *relief = &z->out->relief;
    double flow = leak->flow_measured_m3_s.known ? leak->flow_measured_m3_s.v : 0;
    double per_metre = leak->wet_m > 0 ? flow / leak->wet_m : 0;
    bool plugged = z->out->method.name == METHOD_SLOT_PLUG || z->out->method.name == METHOD_HOLE ||
                   z->out->method.name == METHOD_RING || z->out->method.name == METHOD_CUT_BACK;
    bool wanted = flow >= RELIEF_FLOW_M3_S || per_metre >= RELIEF_FLOW_M2_S || leak->worst >= WET_RUN;
    relief->reason = "little water: the plug is set against it by hand";
    if (!plugged || !wanted) return OK;
    relief->wanted = true;
    relief->at_m = worst_chainage(leak);
    relief->depth_m = relief_depth(z);
    relief->bore_m = DESIGN_TUBE_USUAL_M;
    relief->reason = "water runs but was not measured: the usual bore, to be checked after measuring";
    for (size_t i = 0; i < leak->defect->n_stations; i++) {
        const survey_station *st = &leak->defect->stations[i];
        bool barred = st->bar == BAR_ALONG || st->bar == BAR_CROSSING;
        if (st->chainage_m == relief->at_m && barred && steel_depth(st) < relief->depth_m) {
            status code =
                ask(z, "relief",
                    "The relief hole is deeper than the cover at the worst place: find a place between the "
                    "bars for it before drilling. Who has marked it?");
            if (code != OK) return code;
        }
    }
    status asked = ask_about_washout(z, flow);
    if (asked != OK || !(flow > 0) || !(leak->head_today_m > 0)) return asked;
    return choose_bore(z, relief, flow, leak->head_today_m);
}

static status check_thickness(sizing *z) {
    double deepest = 0;
    for (size_t i = 0; i < z->out->n_slots; i++) deepest = fmax(deepest, z->out->slots[i].depth_m);
    if (!(deepest > z->leak->thickness_m / 3)) return OK;
    return ask(
        z, "thickness",
        "The cut goes deeper than a third of the thickness of the member. Chipped faces (more bond), a wider "
        "spread of repair, or another method: who decides?");
}

static status check_holds(sizing *z) {
    for (size_t i = 0; i < z->out->n_slots; i++)
        if (!z->out->slots[i].holds && z->out->slots[i].reason != DEPTH_STEEL)
            return ask(
                z, "plug",
                "The plug does not reach its safety factor at the design head. Who decides how it is held?");
    return OK;
}

status design_size(const survey *s, const leak_water *leak, const diagnosis *why_leaks,
                   const method_choice *method, const steel_limits *steel, arena *memory,
                   finding_list *findings, repair_design *out, fault *why) {
    (void)why_leaks;
    sizing z = {s, leak, memory, findings, out, why};
    *out = (repair_design){.method = *method, .steel = *steel, .relief = {.reason = "no slot"}};
    double smooth = leak->flow_smooth_m3_s.known ? leak->flow_smooth_m3_s.v : 0;
    double measured = leak->flow_measured_m3_s.known ? leak->flow_measured_m3_s.v : 0;
    out->pump_m3_s = fmax(smooth, measured);
    status code = OK;
    switch (method->name) {
    case METHOD_SLOT_PLUG:
    case METHOD_SLOT_PACK: code = size_line(&z); break;
    case METHOD_HOLE:
    case METHOD_RING: code = size_point(&z); break;
    case METHOD_CUT_BACK: code = size_patch(&z); break;
    case METHOD_COAT: code = take_head(&z, leak->head_design_m); break;
    case METHOD_FLEXIBLE:
        return ask(&z, "movement",
                   "The crack moves: a flexible seal must be sized by its movement, which was not measured. "
                   "Who reads the gauge, and who sizes the seal? It is not in this price.");
    case METHOD_INJECT_CEMENT:
    case METHOD_INJECT_EPOXY:
    case METHOD_INJECT_POLYURETHANE:
    case METHOD_INJECT_ACRYLATE:
    case METHOD_DRAIN:
    case METHOD_WATCH:
    case METHOD_ENGINEER:
    case METHOD_COUNT: return OK;
    }
    if (code == OK) code = size_relief(&z);
    if (code == OK) code = check_thickness(&z);
    return code == OK ? check_holds(&z) : code;
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
