/* One leak explained: every number with its equation, where its inputs came from, its source, and what would
 * change it. */
#include "plan/explain.h"
#include "plan/show.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

void explain_row(explaining *e, const char *label, const char *value, const char *equation,
                 const char *inputs, const char *source) {
    if (e->code != OK) return;
    plan_reason *rows = arena_push(e->p->memory, e->rows, &e->n, sizeof *rows);
    if (!rows || !label || !value || !equation || !inputs || !source) {
        e->code = fault_memory(e->why);
        return;
    }
    rows[e->n - 1] = (plan_reason){e->group, label, value, equation, inputs, source};
    e->rows = rows;
}

static void explain_levels(explaining *e) {
    const plan *p = e->p;
    const leak_water *l = &p->leaks[e->leak];
    e->group = "Water";
    if (!l->level_known) {
        explain_row(e, "Water level", "not known", "", "nothing recorded for face or site", "");
        return;
    }
    explain_row(e, "Level today", show_length(p, l->level_today_m), "",
                arena_print(p->memory, "%s", survey_known_words[l->today_known]), "trade rule 1");
    explain_row(
        e, "Design level", show_length(p, l->level_design_m), "", survey_known_words[l->design_known],
        "full retained height where nothing is known: BS 8102:2009 (read through a page that quotes it)");
    explain_row(e, "Head today, largest", show_length(p, l->head_today_m),
                "h = level - elevation of the dry face", "level today; lowest point of the trace",
                "hydrostatics");
    explain_row(e, "Head at design level", show_length(p, l->head_design_m),
                "h = level - elevation of the dry face", "design level; lowest point of the trace",
                "hydrostatics");
    explain_row(e, "Water temperature", show_temperature(p, l->water_c), "",
                l->water_assumed ? "not measured, our default" : "measured, site", "");
}

static void explain_flow(explaining *e) {
    const plan *p = e->p;
    const leak_water *l = &p->leaks[e->leak];
    if (survey_is_line(l->defect->kind))
        explain_row(e, "Length, and wet of it",
                    arena_print(p->memory, "%s, %s", show_length(p, l->length_m), show_length(p, l->wet_m)),
                    "first to last wet station of each wet run", "trace and stations", "our convention");
    if (l->widest_m.known)
        explain_row(e, "Widest width", show_width(p, l->widest_m.v), "", "stations",
                    "comparator at the surface; wider than inside");
    if (l->flow_expected_m3_s.known) {
        explain_row(
            e, "Flow expected", show_flow(p, l->flow_expected_m3_s.v),
            "q = xi g w^3 i/(12 nu), with losses 1.5 V^2/2g, along the wet stretch",
            "widths, head today, thickness; xi = 0.25",
            "cubic law: Arabian J. Geosci. 2015; xi: our default within Akhavan et al. 2012 (abstract)");
        explain_row(e, "Inflow for the pump", show_flow(p, l->flow_smooth_m3_s.v), "the same with xi = 1",
                    "widths, head today", "trade rule 7");
    }
    if (l->flow_measured_m3_s.known)
        explain_row(e, "Flow measured", show_flow(p, l->flow_measured_m3_s.v),
                    "volume / time, stretches added", "timed readings, uncut", "measured");
    if (l->flow_factor.known)
        explain_row(e, "Flow factor found back", show_plain(p, l->flow_factor.v, 3),
                    "least squares on litres over the readings", "readings, widths, head today",
                    "plausible 0.02-0.5 (value from memory); trade rule 4");
    if (l->flow_1d_m3_s.known && l->flow_factor.known)
        explain_row(e, "By that factor in one dimension", show_flow(p, l->flow_1d_m3_s.v),
                    "the same with the factor found", "widths, head today", "");
    if (l->width_back_m.known)
        explain_row(e, "Hydraulic width found back", show_width(p, l->width_back_m.v),
                    "w = (12 nu q/(g i))^(1/3)",
                    "measured flow over the wet length of the readings, mean head there", "cubic law");
    if (l->drips_per_min.known)
        explain_row(e, "Drips a minute", show_plain(p, l->drips_per_min.v, 0), "a rank, never litres",
                    "counted", "trade page hydraulics 6.1");
    explain_row(e, "Grade of leak", leak_grade_shown(l->grade, p->survey->site.system), "",
                l->flow_measured_m3_s.known ? "measured flow" : "worst word at any station",
                "limits our default, tied to GB 50108-2008 grade 3 (read through pages that quote it)");
    for (size_t i = 0; i < l->n_warnings; i++) explain_row(e, "Note", l->warnings[i], "", "", "");
}

static void explain_stations(explaining *e) {
    const plan *p = e->p;
    const leak_water *l = &p->leaks[e->leak];
    e->group = "Stations";
    for (size_t i = 0; survey_is_line(l->defect->kind) && i < l->defect->n_stations; i++) {
        const leak_station *at = &l->stations[i];
        const survey_station *seen = &l->defect->stations[i];
        const char *value = arena_print(
            p->memory, "%s; head %s today, %s design; %s%s%s%s", survey_wetness_words[seen->wetness],
            show_length(p, at->head_today_m), show_length(p, at->head_design_m),
            show_pressure(p, at->pressure_design_pa), at->flow_m2_s.known ? "; " : "",
            at->flow_m2_s.known ? show_flow_length(p, at->flow_m2_s.v) : "",
            at->reynolds > CRACKFLOW_INERTIA_RE ? " (inertia: an upper bound)" : "");
        explain_row(e, arena_print(p->memory, "At %s", show_length(p, at->chainage_m)), value, "p = rho g h",
                    "level, elevation", "");
    }
}

static void explain_slots(explaining *e) {
    static const char *const reasons[] = {"the trade's depth", "strong flow", "the plug needs it",
                                          "held up by a bar along the crack"};
    const plan *p = e->p;
    const repair_design *d = &p->designs[e->leak];
    e->group = "Slot and plug";
    explain_row(e, "Head on the plug", show_length(p, d->head_m),
                "design level - lowest elevation of the slot, everything shut",
                arena_print(p->memory, "level, trace, %s-%s past the wet ends", show_size(p, 0.300),
                            show_size(p, 0.450)),
                "trade rule 2");
    explain_row(e, "Pressure on the plug", show_pressure(p, d->pressure_pa), "p = rho g h",
                "head, water temperature", "hydrostatics");
    explain_row(e, "Bond of the slot's faces", show_stress(p, d->bond_pa), "",
                arena_print(p->memory, "%s%s", survey_slot_words[p->leaks[e->leak].defect->slot_faces],
                            d->hole_shape == PLACE_CONE ? ", and what the cone adds" : ""),
                arena_print(p->memory, "our default: sawn %s, chipped %s (trade rule 11)",
                            show_stress(p, plug_bond_pa(PLUG_SAWN)),
                            show_stress(p, plug_bond_pa(PLUG_CHIPPED))));
    explain_row(e, "Depth the plug needs", show_size(p, d->plug_need_m),
                d->method.name == METHOD_HOLE       ? "d = SF p D/(4 tau)"
                : d->method.name == METHOD_CUT_BACK ? "d = SF p A/(P tau)"
                                                    : "d = SF p b/(2 tau)",
                "pressure, width, bond, safety factor 4",
                "perimeter shear, computed by us; safety factor our default");
    for (size_t i = 0; i < d->n_slots; i++) {
        const design_slot *s = &d->slots[i];
        const char *value = arena_print(p->memory, "%s deep (plug %s, pack %s)%s", show_size(p, s->depth_m),
                                        show_size(p, s->plug_m), show_size(p, s->pack_m),
                                        s->holds ? "" : " - DOES NOT HOLD with the factor wanted");
        const char *label =
            s->to_m > s->from_m
                ? arena_print(p->memory, "Slot %s to %s", show_length(p, s->from_m), show_length(p, s->to_m))
                : "Cut";
        const char *inputs =
            arena_print(p->memory, "%s; safety of plug and pack together %s", reasons[s->reason],
                        s->safety_found > 0 ? show_plain(p, s->safety_found, 2) : "not needed");
        explain_row(e, label ? label : "", value, "", inputs,
                    arena_print(p->memory, "%s x %s, %s-%s at strong flow: common practice",
                                show_size(p, DESIGN_SLOT_WIDTH_M), show_size(p, DESIGN_SLOT_DEPTH_M),
                                show_size(p, 0.050), show_size(p, 0.062)));
    }
    for (size_t i = 0; i < d->n_crossings; i++)
        explain_row(e, arena_print(p->memory, "Crossing bar at %s", show_length(p, d->crossings[i].at_m)),
                    arena_print(p->memory, "at most %s within %s", show_size(p, d->crossings[i].depth_m),
                                show_size(p, d->crossings[i].half_m)),
                    arena_print(p->memory, "cover - %s; half a bar + %s", show_size(p, STEEL_CLEAR_M),
                                show_size(p, STEEL_CROSSING_PAST_M)),
                    "scan", "trade rule 13");
    explain_row(e, "Scan", d->scan_first ? "hold point: scan before cutting" : "scanned", "", "stations",
                "trade rule 13");
    explain_row(e, "What would change it",
                d->bond_pa < PLUG_BOND_CHIPPED_PA
                    ? "chipped faces cut the plug's depth to a third; a lower design level in proportion"
                    : "a lower design level cuts the plug's depth in proportion",
                "", "", "");
}

static void explain_relief(explaining *e) {
    const plan *p = e->p;
    const design_relief *r = &p->designs[e->leak].relief;
    e->group = "Relief";
    if (!r->wanted) {
        explain_row(e, "Relief tube", "not wanted",
                    arena_print(p->memory, "wanted from %s or %s up as measured, or where water runs",
                                show_flow(p, 1.0 / 60000), show_flow_metre(p, 10.0 / 60000)),
                    r->reason, "our default");
        return;
    }
    explain_row(
        e, "Relief tube",
        arena_print(p->memory, "%s bore, %s deep", show_size(p, r->bore_m), show_size(p, r->depth_m)),
        "C (H - h) = Q_tube(h)", r->reason,
        arena_print(p->memory,
                    "hole %s-%s: common practice; tube: Darcy-Weisbach, Colebrook-White (Clamond 2009)",
                    show_size(p, 0.075), show_size(p, 0.100)));
    explain_row(e, "Place", arena_print(p->memory, "at %s", show_length(p, r->at_m)), "the wettest station",
                "stations", "common practice: the worst point");
    if (r->flow_m3_s.known)
        explain_row(e, "Through the tube",
                    arena_print(p->memory, "%s, leaving %s behind the plug", show_flow(p, r->flow_m3_s.v),
                                show_length(p, r->back_head_m.v)),
                    "", "measured flow, head today", "");
}

static void explain_orders(explaining *e, const plan_plane *plane) {
    const plan *p = e->p;
    for (int k = 0; k < PLUGGING_ORDERS; k++) {
        const plugging_outcome *o = &plane->run.orders[k];
        if (o->steps_n == 0) continue;
        const char *value =
            arena_print(p->memory, "%zu steps above the wash-out limit; peak %s; %s met in all%s",
                        o->over_washout, show_flow_metre(p, o->peak_m2_s), show_flow(p, o->met_m3_s),
                        (int)plane->run.drawn == k ? " - DRAWN" : "");
        explain_row(e, arena_print(p->memory, "Order %s", plugging_order_name((plugging_order)k)), value,
                    "div(T grad h) = 0 after each closing; S h = f - q condensed once",
                    arena_print(p->memory, "widths, levels, slot, segments of %s", show_size(p, 0.150)),
                    "trade rule 8; plane: cubic law (Arabian J. Geosci. 2015)");
    }
}

static void explain_past(explaining *e, const plan_plane *plane) {
    const plan *p = e->p;
    if (!plane->past_known) return;
    const char *past =
        isinf(plane->past.past_m) ? "no length tried is enough" : show_length(p, plane->past.past_m);
    explain_row(e, "Seal past the last wet mark",
                arena_print(p->memory, "%s; beyond %s %s leaves, beyond %s %s: %s governs", past,
                            show_size(p, 0.300), show_flow(p, plane->past.practice_m3_s[0]),
                            show_size(p, 0.450), show_flow(p, plane->past.practice_m3_s[1]),
                            plane->past.practice_governs ? "common practice" : "the plane"),
                "outflow beyond the seal below the limit, all shut",
                "crack open as wide beyond the wet mark as measured",
                arena_print(p->memory, "limit: rate seal_past_limit_l_d; %s-%s: common practice",
                            show_size(p, 0.300), show_size(p, 0.450)));
}

static const char *beside_1d(const plan *p, double plane_m3_s, maybe line_m3_s) {
    if (!line_m3_s.known || !(line_m3_s.v > 0) || !(plane_m3_s > 0)) return show_flow(p, plane_m3_s);
    return arena_print(p->memory, "%s; the one-dimensional estimate says %s, %+.0f %%",
                       show_flow(p, plane_m3_s), show_flow(p, line_m3_s.v),
                       100 * (line_m3_s.v / plane_m3_s - 1));
}

static void explain_plane(explaining *e) {
    plan *p = e->p;
    const plan_plane *plane = p->plane_of[e->leak];
    const leak_water *l = &p->leaks[e->leak];
    if (!p->planes_on) return;
    e->group = "Crack plane";
    if (!plane || plane->problem) {
        const char *reason = plane ? plane->problem : p->plane_skipped[e->leak];
        if (reason) explain_row(e, "Not solved", reason, "", "", "");
        return;
    }
    if (plane->group->n_leaks > 1)
        explain_row(e, "Solved together with",
                    arena_print(p->memory, "%zu leaks that meet or lie near", plane->group->n_leaks - 1), "",
                    "faces, traces", "nearer than one thickness, our default");
    explain_row(e, "Flow factor", show_plain(p, plane->run.flow_factor, 3),
                "least squares on litres on the plane",
                plane->group->input.measured_n ? "timed readings" : "none measured: default", "trade rule 4");
    if (plane->uncut_m3_s.known)
        explain_row(e, "Out of it uncut, today", beside_1d(p, plane->uncut_m3_s.v, l->flow_1d_m3_s),
                    "outflow of the plane", "level today, widths", "");
    if (plane->steady) return;
    const plugging_outcome *o = &plane->run.orders[plane->run.drawn];
    explain_row(e, "Out of it when the slot is cut", show_flow(p, o->start_m3_s),
                "the same with the slot open", "slot, relief hole",
                "opening the slot changes the leak (trade rule 5)");
    explain_orders(e, plane);
    explain_row(e, "Order in words", plan_order_words(p, plane), "",
                arena_print(p->memory, "%zu unknowns, %zu kept", plane->run.unknowns, plane->run.kept), "");
    explain_row(e, "All shut",
                arena_print(p->memory, "%s behind the plug at most, %s still leaves",
                            show_length(p, o->shut_back_head_m), show_flow(p, o->shut_m3_s)),
                "", "today's level", "the final plug is sized for the design level");
    explain_past(e, plane);
    for (size_t i = 0; i < plane->run.warnings_n; i++)
        explain_row(e, "Note", plane->run.warnings[i], "", "", "");
}

/* The mark's index, or a sentence with the nearest one. */
static status find_mark(const plan *p, const char *mark, size_t *at, fault *why) {
    const survey *s = p->survey;
    for (size_t i = 0; i < s->n_defects; i++)
        if (strcmp(s->defects[i].mark, mark) == 0) {
            *at = i;
            return OK;
        }
    const char **marks = arena_get(p->memory, s->n_defects, sizeof *marks);
    if (!marks) return fault_memory(why);
    for (size_t i = 0; i < s->n_defects; i++) marks[i] = s->defects[i].mark;
    int near = text_nearest(mark, marks, s->n_defects);
    if (near >= 0)
        return fault_set(why, E_STATE, "no leak is marked %.60s; the nearest mark is %s", mark, marks[near]);
    return fault_set(why, E_STATE, "no leak is marked %.60s", mark);
}

status plan_explain(plan *p, const char *mark, plan_reason **rows, size_t *n, fault *why) {
    explaining e = {.p = p, .why = why};
    *rows = NULL;
    *n = 0;
    status code = find_mark(p, mark, &e.leak, why);
    if (code != OK) return code;
    explain_levels(&e);
    explain_flow(&e);
    explain_stations(&e);
    explain_why(&e);
    explain_method(&e);
    explain_steel(&e);
    if (method_is_designed(p->designs[e.leak].method.name)) {
        if (method_has_slot(p->designs[e.leak].method.name)) {
            explain_slots(&e);
            explain_relief(&e);
        }
        explain_ways(&e);
        explain_plane(&e);
    }
    if (design_is_priced(&p->designs[e.leak])) {
        explain_quantities(&e);
        explain_money(&e);
    }
    *rows = e.rows;
    *n = e.n;
    return e.code;
}
