#include "cli/calc_plane.h"
#include "cli/calc_rows.h"
#include "hydraulics/plugging.h"

#include <math.h>
#include <string.h>

#define OUR_DEFAULT "our default"
#define PRACTICE "common practice"

/* A list of names of orders, each once: a bool for each order. */
static bool read_orders(json_in *in, const json_path *at, json_t *value, calc_value *out) {
    bool *wanted = arena_get(in->memory, PLUGGING_ORDERS, sizeof *wanted);
    if (!wanted) {
        fault_list_memory(in->faults);
        return false;
    }
    if (!json_is_array(value) || json_array_size(value) == 0) {
        json_in_fault(in, at, NULL, "must be a list of one or more of least-first, inward, computed");
        return false;
    }
    for (size_t i = 0; i < json_array_size(value); i++) {
        json_path here = {at, NULL, i};
        const char *name = json_string_value(json_array_get(value, i));
        int found = PLUGGING_ORDERS;
        for (int o = 0; o < PLUGGING_ORDERS && name; o++)
            if (strcmp(name, plugging_order_name((plugging_order)o)) == 0) found = o;
        if (found == PLUGGING_ORDERS || wanted[found]) {
            json_in_fault(in, &here, NULL, "must be one of least-first, inward, computed, each once");
            return false;
        }
        wanted[found] = true;
    }
    out->custom = wanted;
    return true;
}

static const calc_field plugging_fields[] = {
    CALC_PLANE_FIELDS,
    {.name = "segment_mm",
     .quantity = UNITS_SIZE,
     .range = CALC_FROM(PLUGGING_SHORTEST_M * 1e3, PLUGGING_LONGEST_M * 1e3),
     .origin = OUR_DEFAULT,
     .fallback = PLUGGING_SEGMENT_M * 1e3,
     .text = "Of slot closed at a time; the last of a stretch is shorter."},
    {.name = "reliefs_allowed",
     .quantity = UNITS_PLAIN,
     .range = CALC_FROM(0, PLUGGING_RELIEFS),
     .origin = OUR_DEFAULT,
     .fallback = 1,
     .text = "Relief holes whose places are searched; not read where reliefs are given."},
    {.name = "washout_l_min_m",
     .quantity = UNITS_PLAIN,
     .unit = "l/min per m",
     .range = CALC_FROM(0, 1e6),
     .origin = OUR_DEFAULT,
     .fallback = PLUGGING_WASHOUT_M2_S * 60e3,
     .text = "Flow a metre of slot above which fresh plug is washed out."},
    {.name = "bore_mm",
     .quantity = UNITS_SIZE,
     .range = CALC_FROM(RELIEF_NARROWEST_M * 1e3, RELIEF_WIDEST_M * 1e3),
     .origin = OUR_DEFAULT,
     .fallback = 20,
     .text = "Of the searched reliefs' tubes, and the width of their holes."},
    {.name = "relief_length_m",
     .quantity = UNITS_LENGTH,
     .range = CALC_FROM(RELIEF_SHORTEST_M, RELIEF_LONGEST_M),
     .origin = OUR_DEFAULT,
     .fallback = 0.5,
     .text = "Of those tubes; smooth plastic, entry loss 0.8, exit loss 1."},
    {.name = "relief_depth_mm",
     .quantity = UNITS_SIZE,
     .range = CALC_FROM(1, 1e4),
     .origin = PRACTICE " 75-100 mm",
     .fallback = PLUGGING_RELIEF_DEPTH_M * 1e3,
     .text = "Of those holes from the dry face."},
    {.name = "orders",
     .kind = CALC_CUSTOM,
     .read = read_orders,
     .shape = "list of least-first, inward, computed",
     .text = "Orders to be run; all three where left out."},
};

static status take_plugging(calc_run *r, plugging_input *out) {
    const calc_value *orders = calc_get(r->in, "orders");
    double allowed = calc_number(r->in, "reliefs_allowed");
    status code = calc_plane_take(r, &out->plane);
    if (code != OK) return code;
    if (!(floor(allowed) == allowed))
        return calc_refuse(r, "reliefs_allowed", "is %g; it must be a whole number", allowed);
    out->segment_m = calc_number(r->in, "segment_mm");
    out->washout_m2_s = calc_number(r->in, "washout_l_min_m") / 60e3;
    out->reliefs_allowed = (size_t)allowed;
    out->relief_depth_m = calc_number(r->in, "relief_depth_mm");
    out->tube = (relief_tube){.bore_m = calc_number(r->in, "bore_mm"),
                              .length_m = calc_number(r->in, "relief_length_m"),
                              .roughness_m = PLUGGING_ROUGHNESS_M,
                              .entry_loss = PLUGGING_ENTRY_LOSS,
                              .exit_loss = PLUGGING_EXIT_LOSS};
    for (int o = 0; o < PLUGGING_ORDERS; o++)
        out->wanted[o] = !orders->given || ((const bool *)orders->custom)[o];
    return OK;
}

static void put_steps(calc_run *r, const plane_input *plane, const plugging_outcome *o) {
    json_out_open(r->out, "steps", '[');
    for (size_t i = 0; i < o->steps_n; i++) {
        const plugging_step *s = &o->steps[i];
        json_out_open(r->out, NULL, '{');
        json_out_text(r->out, "panel", plane->panels[s->on.panel].id);
        calc_put(r, "from_m", UNITS_LENGTH, s->on.from_m);
        calc_put(r, "to_m", UNITS_LENGTH, s->on.to_m);
        calc_put(r, "flow_l_min", UNITS_FLOW, s->flow_m3_s);
        calc_put(r, "total_l_min", UNITS_FLOW, s->total_m3_s);
        calc_put(r, "max_back_head_m", UNITS_LENGTH, s->max_back_head_m);
        json_out_close(r->out, '}');
    }
    json_out_close(r->out, ']');
}

static void put_reliefs(calc_run *r, const plane_input *plane, const plugging_outcome *o) {
    json_out_open(r->out, "reliefs", '[');
    for (size_t i = 0; i < o->reliefs_n; i++) {
        const plugging_relief *at = &o->reliefs[i];
        json_out_open(r->out, NULL, '{');
        json_out_text(r->out, "panel", plane->panels[at->relief.at.panel].id);
        calc_put(r, "chainage_m", UNITS_LENGTH, at->relief.at.chainage_m);
        calc_put(r, "flow_l_min", UNITS_FLOW, at->flow_m3_s);
        calc_put(r, "back_head_m", UNITS_LENGTH, at->back_head_m);
        json_out_close(r->out, '}');
    }
    json_out_close(r->out, ']');
}

static void put_order(calc_run *r, const plane_input *plane, const char *name, const plugging_outcome *o) {
    json_out_open(r->out, name, '{');
    put_steps(r, plane, o);
    json_out_open(r->out, "shut", '{');
    calc_put(r, "max_back_head_m", UNITS_LENGTH, o->shut_back_head_m);
    calc_put(r, "total_l_min", UNITS_FLOW, o->shut_m3_s);
    json_out_close(r->out, '}');
    calc_put(r, "peak_l_min_m", UNITS_FLOW, o->peak_m2_s);
    calc_put(r, "met_l_min", UNITS_FLOW, o->met_m3_s);
    calc_put(r, "relief_met_l_min_m", UNITS_FLOW, o->relief_met_m2_s);
    json_out_whole(r->out, "over_washout", (long long)o->over_washout);
    put_reliefs(r, plane, o);
    json_out_close(r->out, '}');
}

static status run_plugging(calc_run *r) {
    plugging_input in = {0};
    plugging_result out;
    status code = take_plugging(r, &in);
    if (code == OK) code = plugging_run(&in, r->memory, &out, r->why);
    if (code != OK) return code;
    json_out_open(r->out, "orders", '{');
    for (int o = 0; o < PLUGGING_ORDERS; o++)
        if (in.wanted[o]) put_order(r, &in.plane, plugging_order_name((plugging_order)o), &out.orders[o]);
    json_out_close(r->out, '}');
    json_out_text(r->out, "best", plugging_order_name(out.best));
    json_out_text(r->out, "drawn", plugging_order_name(out.drawn));
    calc_put(r, "flow_factor", UNITS_PLAIN, out.flow_factor);
    json_out_whole(r->out, "unknowns", (long long)out.unknowns);
    if (in.plane.report_n > 0 || in.plane.heads_n > 0)
        calc_warn(r, "report and heads are not read here; crackplane answers them");
    for (size_t i = 0; i < out.warnings_n; i++) calc_warn(r, "%s", out.warnings[i]);
    return OK;
}

static const char *const plugging_sources[] = {
    "crack plane: as crackplane; condensed once on to slot, dry face and holes, exact on its mesh",
    "contiguous growth toward a relief, its measure and what is drawn: our rules",
    "least flow first, a relief tube at the worst point, its hole 75-100 mm deep: common practice",
    ("tube: smooth plastic 0.0015 mm (common practice), entry loss 0.8 (our default), exit loss 1.0 "
     "(Idelchik "
     "p. 349, through a page that quotes it)"),
};

const calc_row calc_row_plugging = {
    .name = "plugging",
    .summary = "in what order to plug a leaking slot, where the relief must be, what is met on the way",
    .model =
        "The slot is closed a segment at a time, the flow solved again after each. Each sealed stretch grows "
        "from its "
        "ends toward a relief; the segments of the reliefs close last, their tubes still draining "
        "(total_l_min after the "
        "last step is what they drain), then everything is shut. least-first: of the segments that may be "
        "closed, that "
        "with the least flow; inward: from both ends by turns; both toward the reliefs given, or one at the "
        "worst place. "
        "computed: fewest steps above the wash-out limit, then the lowest peak, then the least sum of flow "
        "met, over orders "
        "and places of the reliefs. flow_l_min: out of the segment just before it is closed, at a relief "
        "with what its tube "
        "drains; total_l_min and max_back_head_m: once it is closed. Reliefs: when all but their tubes is "
        "closed. peak_l_min_m, met_l_min and over_washout leave relief segments out.",
    .equation =
        "S h = f - q on slot, dry face and holes, S = K_bb - K_bi K_ii^-1 K_ib; sealed q = 0; open h = "
        "elevation where "
        "water leaves; a hole has one head, h = outlet + [K_in + K_out + f L/D] V^2/(2 g)",
    .sources = plugging_sources,
    .sources_count = CALC_COUNT(plugging_sources),
    .fields = plugging_fields,
    .fields_count = CALC_COUNT(plugging_fields),
    .example = "{\"temperature_c\": 10, \"water_level_m\": 5.0, \"mesh_mm\": 20,\n"
               " \"panels\": [{\"id\": \"A\", \"thickness_m\": 0.35, \"lie\": \"wall\",\n"
               "             \"stations\": [{\"chainage_m\": 0, \"elevation_m\": 0, \"width_mm\": 0.2},\n"
               "                          {\"chainage_m\": 3, \"elevation_m\": 3, \"width_mm\": 0.3}],\n"
               "             \"slot\": [{\"from_m\": 0, \"to_m\": 3, \"depth_mm\": 37}]}],\n"
               " \"segment_mm\": 150, \"reliefs_allowed\": 1, \"washout_l_min_m\": 10, \"bore_mm\": 20}\n",
    .run = run_plugging,
};
