/* The relief: is one wanted, where, how deep, and the bore of its tube. */
#include "repair/sizing.h"

#include "hydraulics/plugging.h"

#include <math.h>

static const double RELIEF_FLOW_M3_S = 1.0 / 60000; /* 1 l/min, our default */
static const double RELIEF_BELOW_M = 0.020;         /* at least this much deeper than the cut, our default */
static const double TUBE_LENGTH_M = 0.5;            /* our default */

const double design_tubes_m[DESIGN_TUBES] = {0.010, 0.013, 0.016, 0.020, 0.025, 0.032, 0.040};

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

/* A ring or hole has no plane: what it meets is its flow over its own length. */
static status ask_about_washout(sizing *z, double flow_m3_s) {
    double length = z->out->method.name == METHOD_RING ? z->out->ring_length_m : 0;
    if (!(length > 0) || !(flow_m3_s / length > SIZING_RELIEF_FLOW_M2_S)) return OK;
    bool us = z->s->site.system == UNITS_US;
    return sizing_ask(z, "washout",
                      arena_print(z->memory,
                                  "More water comes along this ring than fresh plug stands (%s, our default) "
                                  "until the tube has taken it. "
                                  "A lower level, a second tube or suction: who decides?",
                                  us ? "0.8 gal/min a foot" : "10 l/min a metre"));
}

/* Rule 9: the hole is deeper than the cut, so it needs a place between the bars of its own. */
static status look_at_steel(sizing *z) {
    const design_relief *relief = &z->out->relief;
    maybe allowed = sizing_steel_allows(z, relief->at_m, relief->at_m);
    if (sizing_not_scanned(z, relief->at_m, relief->at_m)) z->out->scan_first = true;
    if (!allowed.known || !(allowed.v < relief->depth_m)) return OK;
    return sizing_ask(z, "relief",
                      "The relief hole is deeper than the cover at the worst place: find a place between the "
                      "bars for it before drilling. Who has marked it?");
}

static bool is_wanted(const sizing *z, double flow_m3_s) {
    const leak_water *leak = z->leak;
    survey_method name = z->out->method.name;
    double per_metre = leak->wet_m > 0 ? flow_m3_s / leak->wet_m : 0;
    bool plugged =
        name == METHOD_SLOT_PLUG || name == METHOD_HOLE || name == METHOD_RING || name == METHOD_CUT_BACK;
    return plugged &&
           (flow_m3_s >= RELIEF_FLOW_M3_S || per_metre >= SIZING_RELIEF_FLOW_M2_S || leak->worst >= WET_RUN);
}

status size_relief(sizing *z) {
    const leak_water *leak = z->leak;
    design_relief *relief = &z->out->relief;
    double flow = leak->flow_measured_m3_s.known ? leak->flow_measured_m3_s.v : 0;
    relief->reason = "little water: the plug is set against it by hand";
    if (!is_wanted(z, flow)) return OK;
    relief->wanted = true;
    relief->at_m = sizing_worst_chainage(leak);
    relief->depth_m = fmax(DESIGN_RELIEF_DEPTH_M, sizing_deepest_m(z) + RELIEF_BELOW_M);
    relief->bore_m = DESIGN_TUBE_USUAL_M;
    relief->reason = "water runs but was not measured: the usual bore, to be checked after measuring";
    status code = look_at_steel(z);
    if (code == OK) code = ask_about_washout(z, flow);
    if (code != OK || !(flow > 0) || !(leak->head_today_m > 0)) return code;
    return choose_bore(z, relief, flow, leak->head_today_m);
}
