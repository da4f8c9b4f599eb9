#include "cli/calc_plane.h"
#include "cli/calc_rows.h"
#include "hydraulics/crackflow.h"
#include "hydraulics/plane.h"

#include <stdio.h>
#include <string.h>

#define PRACTICE "common practice"
#define OUR_DEFAULT "our default"
enum { ID_BYTES = 80 };
#define CHAINAGE CALC_FROM(-PLANE_LONGEST_M, PLANE_LONGEST_M)
#define DEPTH_MM CALC_FROM(0, CRACKFLOW_THICKEST_M * 1e3)

#define LENGTH(field, about)                                                                                 \
    { .name = (field), .required = true, .quantity = UNITS_LENGTH, .range = CHAINAGE, .text = (about) }
#define DEPTH(field, about)                                                                                  \
    { .name = (field), .required = true, .quantity = UNITS_SIZE, .range = DEPTH_MM, .text = (about) }
#define PANEL_NAME                                                                                           \
    {                                                                                                        \
        .name = "panel", .kind = CALC_TEXT, .required = true, .range = CALC_FROM(1, ID_BYTES),               \
        .text = "The id of a panel."                                                                         \
    }

static const calc_field station_fields[] = {
    LENGTH("chainage_m", "Along the trace; rising from station to station."),
    {.name = "elevation_m",
     .required = true,
     .quantity = UNITS_LENGTH,
     .range = CALC_FROM(-PLANE_HIGHEST_M, PLANE_HIGHEST_M),
     .text = "Of the dry face."},
    {.name = "width_mm",
     .required = true,
     .quantity = UNITS_SIZE,
     .range = CALC_FROM(0, CRACKFLOW_WIDEST_M * 1e3),
     .text = "At the dry face, linear between stations; 0 is a closed crack."},
    {.name = "width_wet_face_mm",
     .quantity = UNITS_SIZE,
     .range = CALC_FROM(0, CRACKFLOW_WIDEST_M * 1e3),
     .text = "At the wet face, linear through the wall; as width_mm where left out."},
};

static const calc_field slot_fields[] = {
    LENGTH("from_m", "Where it begins."),
    LENGTH("to_m", "Where it ends."),
    DEPTH("depth_mm", "From the dry face."),
};

static const calc_field stretch_fields[] = {
    LENGTH("from_m", "Where it begins."),
    LENGTH("to_m", "Where it ends."),
};

static const calc_field barrier_fields[] = {
    LENGTH("chainage_m", "Where it stands."),
    DEPTH("from_depth_mm", "Its end near the dry face."),
    DEPTH("to_depth_mm", "Its end near the wet face."),
};

static const calc_field cutoff_fields[] = {
    DEPTH("depth_mm", "Of the waterstop, from the dry face."),
    CALC_PLANE_LIST("open", stretch_fields, CALC_COUNT(stretch_fields), 0, "Where it lets water through."),
};

static const char *const lies[] = {"wall", "floor", "soffit"};

const calc_field calc_panel_fields[PANEL_FIELDS] = {
    {.name = "id", .kind = CALC_TEXT, .required = true, .range = CALC_FROM(1, ID_BYTES), .text = "Its name."},
    {.name = "thickness_m",
     .required = true,
     .quantity = UNITS_LENGTH,
     .range = CALC_FROM(CRACKFLOW_THINNEST_M, CRACKFLOW_THICKEST_M),
     .text = "Of the wall or slab."},
    {.name = "lie",
     .kind = CALC_WORD,
     .words = lies,
     .words_count = CALC_COUNT(lies),
     .origin = OUR_DEFAULT,
     .fallback = PLANE_WALL,
     .text = "floor: dry face above; soffit: dry face below."},
    {.name = "water_level_m",
     .quantity = UNITS_LENGTH,
     .range = CALC_FROM(-PLANE_HIGHEST_M, PLANE_HIGHEST_M),
     .text = "Of this panel, where it differs."},
    CALC_PLANE_LIST("stations", station_fields, CALC_COUNT(station_fields), 2,
                    "Along the trace, at least two."),
    CALC_PLANE_LIST("slot", slot_fields, CALC_COUNT(slot_fields), 0,
                    "Cut away from the dry face, open to air."),
    CALC_PLANE_LIST("sealed", stretch_fields, CALC_COUNT(stretch_fields), 0,
                    "Nothing passes; in a slot the seal stands on its bottom and end faces."),
    CALC_PLANE_LIST("barriers", barrier_fields, CALC_COUNT(barrier_fields), 0, "Nothing passes."),
    {.name = "cutoff",
     .kind = CALC_OBJECT,
     .fields = cutoff_fields,
     .fields_count = CALC_COUNT(cutoff_fields),
     .text = "A waterstop all along, open only where said."},
};

/* [panel, chainage] */
typedef struct {
    const char *panel;
    double chainage_m;
} named_spot;

static bool read_spot(json_in *in, const json_path *at, json_t *value, calc_value *out) {
    const json_t *panel = json_array_get(value, 0), *chainage = json_array_get(value, 1);
    double along_m = json_number_value(chainage);
    if (json_array_size(value) != 2 || !json_is_string(panel) || !json_is_number(chainage) ||
        !(along_m >= -PLANE_LONGEST_M && along_m <= PLANE_LONGEST_M)) {
        json_in_fault(in, at, NULL, "must be [panel, chainage in metres within %g]", PLANE_LONGEST_M);
        return false;
    }
    named_spot *spot = arena_get(in->memory, 1, sizeof *spot);
    if (spot) spot->panel = arena_copy(in->memory, json_string_value(panel));
    if (!spot || !spot->panel) {
        fault_list_memory(in->faults);
        return false;
    }
    spot->chainage_m = along_m;
    out->custom = spot;
    return true;
}

#define SPOT(field, about)                                                                                   \
    {                                                                                                        \
        .name = (field), .kind = CALC_CUSTOM, .required = true, .read = read_spot,                           \
        .shape = "[panel, chainage_m]", .text = (about)                                                      \
    }

const calc_field calc_join_fields[JOIN_FIELDS] = {
    SPOT("a", "On one panel."),
    SPOT("b", "On the other."),
};

#define LOSS(field, value, source, about)                                                                    \
    {                                                                                                        \
        .name = (field), .quantity = UNITS_PLAIN, .range = CALC_FROM(0, RELIEF_MOST_LOSS),                   \
        .origin = (source), .fallback = (value), .text = (about)                                             \
    }

const calc_field calc_relief_fields[RELIEF_FIELDS] = {
    PANEL_NAME,
    LENGTH("chainage_m", "Middle of the hole."),
    {.name = "bore_mm",
     .required = true,
     .quantity = UNITS_SIZE,
     .range = CALC_FROM(RELIEF_NARROWEST_M * 1e3, RELIEF_WIDEST_M * 1e3),
     .text = "Of the tube."},
    {.name = "length_m",
     .required = true,
     .quantity = UNITS_LENGTH,
     .range = CALC_FROM(RELIEF_SHORTEST_M, RELIEF_LONGEST_M),
     .text = "Of the tube."},
    {.name = "depth_mm",
     .quantity = UNITS_SIZE,
     .range = DEPTH_MM,
     .origin = PRACTICE " 75-100 mm",
     .fallback = 85,
     .text = "Of the hole from the dry face; at least that of a slot there."},
    {.name = "hole_mm",
     .quantity = UNITS_SIZE,
     .range = CALC_FROM(RELIEF_NARROWEST_M * 1e3, RELIEF_WIDEST_M * 1e3),
     .text = "Width of the hole; as bore_mm where left out."},
    {.name = "roughness_mm",
     .quantity = UNITS_SIZE,
     .range = CALC_FROM(0, RELIEF_WIDEST_M / 20 * 1e3),
     .origin = PRACTICE ", smooth plastic",
     .fallback = 0.0015,
     .text = "Of the tube; at most 0.05 of the bore."},
    LOSS("entry_loss", 0.8, OUR_DEFAULT ", projecting inlet 0.8-1.0", "On V^2/(2 g)."),
    LOSS("exit_loss", 1, "any exit 1.0 (Idelchik p. 349)", "On V^2/(2 g)."),
    {.name = "suction_kpa",
     .quantity = UNITS_PRESSURE,
     .range = CALC_FROM(0, RELIEF_MOST_SUCTION_PA * 1e-3),
     .origin = "no suction",
     .fallback = 0,
     .text = "At the outlet, below atmospheric."},
    {.name = "outlet_elevation_m",
     .quantity = UNITS_LENGTH,
     .range = CALC_FROM(-PLANE_HIGHEST_M, PLANE_HIGHEST_M),
     .text = "Of the tube's end; that of the dry face at the hole where left out."},
};

static const char *const states[] = {"uncut", "as_given"};

const calc_field calc_measured_fields[MEASURED_FIELDS] = {
    PANEL_NAME,
    LENGTH("from_m", "Where the stretch begins."),
    LENGTH("to_m", "Where it ends."),
    {.name = "flow_l_min",
     .required = true,
     .quantity = UNITS_FLOW,
     .range = CALC_FROM(1e-9, 1e9),
     .text = "Caught on the stretch, with what its relief tubes bring."},
    {.name = "state",
     .kind = CALC_WORD,
     .words = states,
     .words_count = CALC_COUNT(states),
     .origin = "measured before anything is cut (our default)",
     .fallback = 0,
     .text = "uncut: slot, sealed and reliefs are left out of account; as_given: they count."},
};

const calc_field calc_report_fields[REPORT_FIELDS] = {
    PANEL_NAME,
    LENGTH("from_m", "Where the stretch begins."),
    LENGTH("to_m", "Where it ends."),
};

const calc_field calc_head_fields[HEAD_FIELDS] = {
    PANEL_NAME,
    LENGTH("chainage_m", "Along the trace."),
    DEPTH("depth_mm", "From the dry face."),
};

static const calc_field plane_fields[] = {CALC_PLANE_FIELDS};

/* ---- from fields to the plane ---- */

/* An array of n in the run's memory to *into; on failure the function that calls returns E_MEMORY. */
#define TAKE_ARRAY(run, into, n)                                                                             \
    do {                                                                                                     \
        (into) = arena_get((run)->memory, (n), sizeof *(into));                                              \
        if (!(into)) return fault_memory((run)->why);                                                        \
    } while (0)

static status take_stations(calc_run *r, const calc_value *from, plane_panel *to) {
    plane_station *stations;
    TAKE_ARRAY(r, stations, from->count);
    for (size_t i = 0; i < from->count; i++) {
        const calc_object *o = &from->objects[i];
        double width_m = calc_number(o, "width_mm");
        bool taper = calc_given(o, "width_wet_face_mm");
        stations[i] = (plane_station){calc_number(o, "chainage_m"), calc_number(o, "elevation_m"), width_m,
                                      taper ? calc_number(o, "width_wet_face_mm") : width_m};
    }
    to->stations = stations;
    to->stations_n = from->count;
    return OK;
}

static status take_stretches(calc_run *r, const calc_value *from, const plane_stretch **to, size_t *n) {
    plane_stretch *stretches;
    TAKE_ARRAY(r, stretches, from->count);
    for (size_t i = 0; i < from->count; i++)
        stretches[i] =
            (plane_stretch){calc_number(&from->objects[i], "from_m"), calc_number(&from->objects[i], "to_m")};
    *to = stretches;
    *n = from->count;
    return OK;
}

static status take_cuts(calc_run *r, const calc_object *o, plane_panel *to) {
    const calc_value *slots = calc_get(o, "slot"), *barriers = calc_get(o, "barriers"),
                     *cutoff = calc_get(o, "cutoff");
    plane_slot *slot;
    plane_barrier *barrier;
    TAKE_ARRAY(r, slot, slots->count);
    for (size_t i = 0; i < slots->count; i++) {
        const calc_object *s = &slots->objects[i];
        slot[i] = (plane_slot){calc_number(s, "from_m"), calc_number(s, "to_m"), calc_number(s, "depth_mm")};
    }
    to->slots = slot;
    to->slots_n = slots->count;
    TAKE_ARRAY(r, barrier, barriers->count);
    for (size_t i = 0; i < barriers->count; i++) {
        const calc_object *b = &barriers->objects[i];
        barrier[i] = (plane_barrier){calc_number(b, "chainage_m"), calc_number(b, "from_depth_mm"),
                                     calc_number(b, "to_depth_mm")};
    }
    to->barriers = barrier;
    to->barriers_n = barriers->count;
    if (!cutoff->given) return OK;
    to->cutoff_depth_m = (maybe){true, calc_number(cutoff->objects, "depth_mm")};
    return take_stretches(r, calc_get(cutoff->objects, "open"), &to->cutoff_open, &to->cutoff_open_n);
}

static maybe take_maybe(const calc_object *o, const char *name) {
    return (maybe){calc_given(o, name), calc_given(o, name) ? calc_number(o, name) : 0};
}

static status take_panels(calc_run *r, plane_input *out) {
    const calc_value *from = calc_get(r->in, "panels");
    plane_panel *panels;
    status code = OK;
    TAKE_ARRAY(r, panels, from->count);
    for (size_t i = 0; i < from->count && code == OK; i++) {
        const calc_object *o = &from->objects[i];
        panels[i] = (plane_panel){.id = calc_get(o, "id")->text,
                                  .thickness_m = calc_number(o, "thickness_m"),
                                  .lie = (plane_lie)calc_get(o, "lie")->word,
                                  .water_level_m = take_maybe(o, "water_level_m")};
        code = take_stations(r, calc_get(o, "stations"), &panels[i]);
        if (code == OK)
            code = take_stretches(r, calc_get(o, "sealed"), &panels[i].sealed, &panels[i].sealed_n);
        if (code == OK) code = take_cuts(r, o, &panels[i]);
    }
    out->panels = panels;
    out->panels_n = from->count;
    return code;
}

/* The index of a panel by its id; `list`, `i` and `field` name who asks. */
static status find_panel(calc_run *r, const plane_input *in, const char *id, const char *name,
                         size_t *panel) {
    for (size_t p = 0; p < in->panels_n; p++) {
        *panel = p;
        if (strcmp(in->panels[p].id, id) == 0) return OK;
    }
    return fault_set(r->why, E_INPUT, "%s: names panel %.80s; there is no such panel", name, id);
}

static status take_joins(calc_run *r, plane_input *out) {
    const calc_value *from = calc_get(r->in, "joins");
    plane_join *joins;
    status code = OK;
    TAKE_ARRAY(r, joins, from->count);
    for (size_t i = 0; i < from->count; i++)
        for (int k = 0; k < 2 && code == OK; k++) {
            const named_spot *spot = calc_get(&from->objects[i], k == 0 ? "a" : "b")->custom;
            plane_spot *to = k == 0 ? &joins[i].a : &joins[i].b;
            char name[40];
            snprintf(name, sizeof name, "joins[%zu].%c", i, k == 0 ? 'a' : 'b');
            code = find_panel(r, out, spot->panel, name, &to->panel);
            to->chainage_m = spot->chainage_m;
        }
    out->joins = joins;
    out->joins_n = from->count;
    return code;
}

static status take_panel_name(calc_run *r, const plane_input *in, const calc_object *o, const char *list,
                              size_t i, size_t *panel) {
    char name[40];
    snprintf(name, sizeof name, "%s[%zu].panel", list, i);
    return find_panel(r, in, calc_get(o, "panel")->text, name, panel);
}

static status take_reliefs(calc_run *r, plane_input *out) {
    const calc_value *from = calc_get(r->in, "reliefs");
    plane_relief *reliefs;
    status code = OK;
    TAKE_ARRAY(r, reliefs, from->count);
    for (size_t i = 0; i < from->count && code == OK; i++) {
        const calc_object *o = &from->objects[i];
        plane_relief *to = &reliefs[i];
        code = take_panel_name(r, out, o, "reliefs", i, &to->at.panel);
        to->at.chainage_m = calc_number(o, "chainage_m");
        to->depth_m = calc_number(o, "depth_mm");
        to->tube = (relief_tube){.bore_m = calc_number(o, "bore_mm"),
                                 .length_m = calc_number(o, "length_m"),
                                 .roughness_m = calc_number(o, "roughness_mm"),
                                 .entry_loss = calc_number(o, "entry_loss"),
                                 .exit_loss = calc_number(o, "exit_loss"),
                                 .suction_pa = calc_number(o, "suction_kpa")};
        to->hole_m = calc_given(o, "hole_mm") ? calc_number(o, "hole_mm") : to->tube.bore_m;
        to->outlet_elevation_m = take_maybe(o, "outlet_elevation_m");
    }
    out->reliefs = reliefs;
    out->reliefs_n = from->count;
    return code;
}

static status take_measured(calc_run *r, plane_input *out) {
    const calc_value *from = calc_get(r->in, "measured");
    plane_measured *measured;
    plane_interval *on; /* one a reading */
    status code = OK;
    TAKE_ARRAY(r, measured, from->count);
    TAKE_ARRAY(r, on, from->count);
    for (size_t i = 0; i < from->count && code == OK; i++) {
        const calc_object *o = &from->objects[i];
        on[i] = (plane_interval){0, calc_number(o, "from_m"), calc_number(o, "to_m")};
        measured[i] =
            (plane_measured){&on[i], 1, calc_number(o, "flow_l_min"), calc_get(o, "state")->word == 1};
        code = take_panel_name(r, out, o, "measured", i, &on[i].panel);
    }
    out->measured = measured;
    out->measured_n = from->count;
    return code;
}

static status take_questions(calc_run *r, plane_input *out) {
    const calc_value *stretches = calc_get(r->in, "report"), *points = calc_get(r->in, "heads");
    plane_interval *report;
    plane_point *heads;
    status code = OK;
    TAKE_ARRAY(r, report, stretches->count);
    for (size_t i = 0; i < stretches->count && code == OK; i++) {
        const calc_object *o = &stretches->objects[i];
        report[i] = (plane_interval){0, calc_number(o, "from_m"), calc_number(o, "to_m")};
        code = take_panel_name(r, out, o, "report", i, &report[i].panel);
    }
    TAKE_ARRAY(r, heads, points->count);
    for (size_t i = 0; i < points->count && code == OK; i++) {
        const calc_object *o = &points->objects[i];
        heads[i] = (plane_point){{0, calc_number(o, "chainage_m")}, calc_number(o, "depth_mm")};
        code = take_panel_name(r, out, o, "heads", i, &heads[i].at.panel);
    }
    out->report = report;
    out->report_n = stretches->count;
    out->heads = heads;
    out->heads_n = points->count;
    return code;
}

/* The defaults inside lists, each told once. */
static void tell_nested(calc_run *r, const char *list) {
    const calc_value *from = calc_get(r->in, list);
    for (size_t f = 0; from->count > 0 && f < from->objects[0].fields_count; f++) {
        const calc_field *field = &from->objects[0].fields[f];
        bool used = false;
        char number[TEXT_NUMBER];
        for (size_t i = 0; i < from->count; i++) used |= field->origin && !from->objects[i].values[f].given;
        if (!used) continue;
        bool word = field->kind == CALC_WORD;
        calc_base(r, "%s: %s = %s where not given: %s", list, field->name,
                  word ? field->words[(size_t)field->fallback] : text_number(field->fallback, number),
                  field->origin);
    }
}

status calc_plane_take(calc_run *r, plane_input *out) {
    static const char *const lists[] = {"panels", "reliefs", "measured"};
    *out = (plane_input){.temperature_c = calc_number(r->in, "temperature_c"),
                         .flow_factor = calc_number(r->in, "flow_factor"),
                         .mesh_m = calc_number(r->in, "mesh_mm"),
                         .water_level_m = take_maybe(r->in, "water_level_m")};
    status code = take_panels(r, out);
    if (code == OK) code = take_joins(r, out);
    if (code == OK) code = take_reliefs(r, out);
    if (code == OK) code = take_measured(r, out);
    if (code == OK) code = take_questions(r, out);
    for (size_t i = 0; i < CALC_COUNT(lists) && code == OK; i++) tell_nested(r, lists[i]);
    return code;
}

/* ---- crackplane ---- */

static void put_intervals(calc_run *r, const plane_input *in, const plane_result *out) {
    json_out_open(r->out, "intervals", '[');
    for (size_t i = 0; i < out->intervals_n; i++) {
        const plane_interval_result *at = &out->intervals[i];
        json_out_open(r->out, NULL, '{');
        json_out_text(r->out, "panel", in->panels[at->on.panel].id);
        calc_put(r, "from_m", UNITS_LENGTH, at->on.from_m);
        calc_put(r, "to_m", UNITS_LENGTH, at->on.to_m);
        calc_put(r, "flow_l_min", UNITS_FLOW, at->flow_m3_s);
        calc_put(r, "max_head_m", UNITS_LENGTH, at->max_head_m);
        calc_put(r, "mean_head_m", UNITS_LENGTH, at->mean_head_m);
        json_out_close(r->out, '}');
    }
    json_out_close(r->out, ']');
}

static void put_points(calc_run *r, const plane_input *in, const plane_result *out) {
    json_out_open(r->out, "reliefs", '[');
    for (size_t i = 0; i < in->reliefs_n; i++) {
        json_out_open(r->out, NULL, '{');
        calc_put(r, "flow_l_min", UNITS_FLOW, out->reliefs[i].flow_m3_s);
        calc_put(r, "back_head_m", UNITS_LENGTH, out->reliefs[i].back_head_m);
        json_out_close(r->out, '}');
    }
    json_out_close(r->out, ']');
    json_out_open(r->out, "heads", '[');
    for (size_t i = 0; i < in->heads_n; i++) {
        json_out_open(r->out, NULL, '{');
        calc_put(r, "pressure_head_m", UNITS_LENGTH, out->heads[i].pressure_head_m);
        calc_put(r, "piezometric_m", UNITS_LENGTH, out->heads[i].piezometric_m);
        json_out_close(r->out, '}');
        if (!out->heads[i].wet)
            calc_warn(r,
                      "heads[%zu]: no water there (cut away, closed, or not reached): the elevation is given",
                      i);
    }
    json_out_close(r->out, ']');
}

static status run_plane(calc_run *r) {
    plane_input in;
    plane_result out;
    status code = calc_plane_take(r, &in);
    if (code == OK) code = plane_solve(&in, r->memory, &out, r->why);
    if (code != OK) return code;
    calc_put(r, "inflow_l_min", UNITS_FLOW, out.inflow_m3_s);
    calc_put(r, "outflow_l_min", UNITS_FLOW, out.outflow_m3_s);
    calc_put(r, "balance", UNITS_PLAIN, out.balance);
    calc_put(r, "flow_factor", UNITS_PLAIN, out.flow_factor);
    if (in.measured_n > 0) {
        json_out_open(r->out, "residuals_l_min", '[');
        for (size_t i = 0; i < in.measured_n; i++) calc_put(r, NULL, UNITS_FLOW, out.residuals_m3_s[i]);
        json_out_close(r->out, ']');
    }
    calc_put(r, "reynolds", UNITS_PLAIN, out.largest_reynolds);
    json_out_whole(r->out, "unknowns", (long long)out.unknowns);
    put_intervals(r, &in, &out);
    put_points(r, &in, &out);
    for (size_t i = 0; i < out.warnings_n; i++) calc_warn(r, "%s", out.warnings[i]);
    return OK;
}

static const char *const plane_sources[] = {
    "cubic law: Arabian J. Geosci. 2015, s12517-015-2036-8; ARMA 05-867",
    "water: IAPWS SR6-08 eq. 7; Tanaka et al. 2001 (value from memory)",
    "tube: Darcy-Weisbach, Colebrook-White (Clamond 2009)",
    "finite elements: biquadratic, on grids graded towards singular points; checked against exact solutions",
    "levels, gravity, what counts as measured: our rules",
};

const calc_row calc_row_crackplane = {
    .name = "crackplane",
    .summary = "water in the plane of a crack: how much comes out where, heads, relief tubes",
    .model = "Steady seepage in the plane of the crack, chainage along the trace and depth through the wall. "
             "The wet face "
             "is at the water level where that lies above it, closed above. Dry face and slot are open to "
             "air and only let "
             "water out; where they do is found by iteration. Sealed stretches, barriers and a cut-off let "
             "nothing "
             "through. A relief hole has one head, drained by its tube. The crack counts as full of water; "
             "inertia in it "
             "is left out and told where it counts.",
    .equation = "div(T grad h) = 0, T = xi g w^3 / (12 nu), h = p/(rho g) + elevation; wet face h = level; "
                "out-flowing "
                "stretch h = elevation; tube h = outlet + [K_in + K_out + f L/D] V^2/(2 g) - suction/(rho g)",
    .sources = plane_sources,
    .sources_count = CALC_COUNT(plane_sources),
    .fields = plane_fields,
    .fields_count = CALC_COUNT(plane_fields),
    .example =
        "{\"temperature_c\": 10, \"water_level_m\": 5.0, \"mesh_mm\": 50,\n"
        " \"panels\": [{\"id\": \"A\", \"thickness_m\": 0.35, \"lie\": \"wall\",\n"
        "             \"stations\": [{\"chainage_m\": 0, \"elevation_m\": 0, \"width_mm\": 0.2},\n"
        "                          {\"chainage_m\": 2, \"elevation_m\": 1.5, \"width_mm\": 0.3}],\n"
        "             \"slot\": [{\"from_m\": 0.5, \"to_m\": 1.5, \"depth_mm\": 37}],\n"
        "             \"sealed\": [{\"from_m\": 0.5, \"to_m\": 1.5}]}],\n"
        " \"reliefs\": [{\"panel\": \"A\", \"chainage_m\": 1.2, \"bore_mm\": 20, \"length_m\": 0.5}],\n"
        " \"measured\": [{\"panel\": \"A\", \"from_m\": 0, \"to_m\": 2, \"flow_l_min\": 1.2}],\n"
        " \"report\": [{\"panel\": \"A\", \"from_m\": 0, \"to_m\": 1}],\n"
        " \"heads\": [{\"panel\": \"A\", \"chainage_m\": 1, \"depth_mm\": 200}]}\n",
    .run = run_plane,
};
