/* What is injected, sealed or drained: groups "Injection", "Flexible seal" and "Drain". */
#include "plan/explain.h"
#include "plan/show.h"

#include "repair/injection.h"

static const char *between(const plan *p, double from_m, double to_m) {
    return arena_print(p->memory, "%s to %s", show_length(p, from_m), show_length(p, to_m));
}

/* Volume in batches. */
static void explain_fill(explaining *e, const char *equation, const char *source) {
    const plan *p = e->p;
    const takeoff_fill *f = &p->takeoff.leaks[e->leak].fill;
    if (!f->material) return;
    const char *within =
        f->usable_s > 0 ? arena_print(p->memory, " within %s", show_minutes(p, f->usable_s)) : "";
    const char *value =
        within ? arena_print(p->memory, "%s; %d batch%s of %s%s", show_volume(p, f->volume_m3), f->batches,
                             f->batches == 1 ? "" : "es", show_volume(p, f->batch_volume_m3), within)
               : NULL;
    explain_row(e, f->material->name ? f->material->name : f->material->id, value, equation,
                arena_print(p->memory, "mixed at %s; %s",
                            show_temperature(p, takeoff_mix_temperature_c(p->survey)),
                            f->material->data_note ? f->material->data_note : "the job's material"),
                source);
}

static void explain_face(explaining *e, const design_injection *d, survey_kind kind) {
    explain_row(e, "Face sealed and scanned", show_length(e->p, d->face_m),
                kind == KIND_HONEYCOMB  ? "once round the area"
                : kind == KIND_TIE_HOLE ? "4 x spacing: a square round the hole"
                                        : "pi D, once round the pipe",
                d->from_far_side_sealed ? "paste on the wet side too" : "sealed at the dry face",
                "our default");
}

/* A pair astride a pipe or tie; a grid over honeycomb. */
static void explain_ports_of_place(explaining *e, const design_injection *d, survey_kind kind) {
    const plan *p = e->p;
    const takeoff_leak *t = &p->takeoff.leaks[e->leak];
    if (kind == KIND_HONEYCOMB) {
        explain_row(
            e, "Ports",
            arena_print(p->memory, "%d, on a grid of %s at most", t->packers, show_size(p, d->spacing_m)),
            "one a cell of the box round the area, those in it", d->spacing_rule ? d->spacing_rule : "",
            "the smallest of the rules for spacing: TxDOT, UFC 4-150-07");
        explain_row(e, "Holes",
                    arena_print(p->memory, "%s each, straight in; %s in all", show_size(p, d->hole_length_m),
                                show_length(p, t->drill_m)),
                    "length = depth/2", "depth found, else the thickness", "our default");
        return;
    }
    explain_row(e, "Ports", arena_print(p->memory, "%d", t->packers), "",
                "one on either side, where there is room", "common practice");
    explain_row(e, "Holes",
                arena_print(p->memory, "%s each at %s degrees from %s beside the %s; %s in all",
                            show_size(p, d->hole_length_m), show_plain(p, d->angle_deg, 0),
                            show_size(p, d->offset_m), kind == KIND_TIE_HOLE ? "tie hole" : "pipe",
                            show_length(p, t->drill_m)),
                "offset = (t/2)/tan a, length = (t/2)/sin a", "thickness; the hole meets it at half of that",
                "geometry, computed by us; 45 degrees: value from memory");
}

static void explain_ports(explaining *e, const design_injection *d) {
    const plan *p = e->p;
    const takeoff_leak *t = &p->takeoff.leaks[e->leak];
    survey_kind kind = p->leaks[e->leak].defect->kind;
    if (!survey_is_line(kind)) {
        explain_face(e, d, kind);
        explain_ports_of_place(e, d, kind);
        return;
    }
    explain_row(e, "Injected length", between(p, d->from_m, d->to_m), "wet length and the margin past it",
                d->from_far_side_sealed ? "the wet side is sealed first" : "sealed at the dry face",
                "TxDOT concrete repair manual ch. 3");
    explain_row(e, "Ports", arena_print(p->memory, "%d, %s apart", t->packers, show_size(p, d->spacing_m)),
                "n = ceil(L/s) + 1", d->spacing_rule ? d->spacing_rule : "",
                "the smallest of the rules for spacing: TxDOT, UFC 4-150-07");
    explain_row(e, "Holes",
                arena_print(p->memory, "%s each at %s degrees from %s beside the crack; %s in all",
                            show_size(p, d->hole_length_m), show_plain(p, d->angle_deg, 0),
                            show_size(p, d->offset_m), show_length(p, t->drill_m)),
                "offset = (t/2)/tan a, length = (t/2)/sin a",
                "thickness; the hole meets the crack at half of it",
                "geometry, computed by us; 45 degrees: value from memory");
}

static void explain_room(explaining *e, const design_injection *d) {
    const plan *p = e->p;
    survey_kind kind = p->leaks[e->leak].defect->kind;
    if (kind == KIND_HONEYCOMB) {
        explain_row(e, "Volume of the voids", show_volume(p, d->net_m3), "V = A x depth x voids",
                    arena_print(p->memory, "voids %s %%", show_plain(p, 100 * INJECTION_HONEYCOMB_VOIDS, 0)),
                    "voids: our default");
        return;
    }
    bool line = survey_is_line(kind);
    explain_row(e, line ? "Volume of the crack" : "Volume of the gap", show_volume(p, d->net_m3),
                line ? "V = L w t" : "V = pi D w t",
                arena_print(p->memory, "mean width %s%s", show_width(p, d->width_m),
                            d->width_assumed ? ", not measured: our default" : ""),
                "geometry");
}

static void explain_injection(explaining *e) {
    const plan *p = e->p;
    const design_injection *d = &p->designs[e->leak].injection;
    e->group = "Injection";
    explain_ports(e, d);
    explain_room(e, d);
    explain_fill(e,
                 arena_print(p->memory, "V x %s for voids x %s for waste", show_plain(p, INJECTION_VOID, 1),
                             show_plain(p, 1 + INJECTION_WASTE, 2)),
                 "factors our default");
    if (d->category)
        explain_row(e, "Category", arena_print(p->memory, "%c", d->category), "", "method and moisture",
                    "EN 1504-5 (mapping: value from memory)");
}

static void explain_flexible(explaining *e) {
    const plan *p = e->p;
    const design_flexible *d = &p->designs[e->leak].flexible;
    const flexible_result *g = &d->groove;
    e->group = "Flexible seal";
    explain_row(e, "Movement", show_width(p, d->input.movement_m), "widest less narrowest",
                d->movement_basis ? d->movement_basis : "", "");
    explain_row(e, "Width of the groove",
                arena_print(p->memory, "%s (%s and %s by the two rules)", show_size(p, g->width_m),
                            show_size(p, g->c1472_m), show_size(p, g->bs6093_m)),
                "W = M/S + tolerance; W = 100 M/MAF + M; the larger",
                arena_print(p->memory, "sealant of class %s %%; %s",
                            show_plain(p, 100 * d->input.class_fraction, 0), flexible_rule_words[g->rule]),
                "idea of ASTM C1472; BS 6093 (values from memory)");
    explain_row(e, "Depth of the sealant",
                arena_print(p->memory, "%s; groove %s with a backer of %s", show_size(p, g->depth_m),
                            show_size(p, g->groove_depth_m), show_size(p, g->backer_m)),
                "depth <= width", d->input.under_pressure ? "water stands behind it" : "no water behind it",
                "Handbook of Adhesives and Sealants p. 119; under water a specification extract (weak)");
    explain_row(
        e, "Length",
        arena_print(p->memory, "%s, backer rod %s", show_length(p, d->length_m), show_length(p, d->backer_m)),
        "", "the whole of what moves", "");
    explain_fill(e, "section x length x (1 + waste)", "geometry; waste: rate of the job");
}

static void explain_drain(explaining *e) {
    const plan *p = e->p;
    const design_drain *d = &p->designs[e->leak].drain;
    e->group = "Drain";
    explain_row(e, "Flow to carry", show_flow(p, d->flow_m3_s), "flow at factor 1 and the design level",
                "widths, heads; or what was measured, raised with the head",
                "trade rules 1 and 7; the drain runs for good");
    explain_row(e, "Channel",
                arena_print(p->memory, "%s square inside, %s", show_size(p, d->channel_m),
                            show_length(p, d->length_m)),
                "Q = A R^(2/3) S^(1/2)/n, half full: the smallest that carries it",
                arena_print(p->memory, "wet stretch %s, its fall", between(p, d->from_m, d->to_m)),
                "Manning");
    explain_row(
        e, "Outlet",
        arena_print(p->memory, "bore %s, at %s", show_size(p, d->pipe_m), show_length(p, d->outlet_at_m)),
        "the lowest place", "trace", "");
}

void explain_ways(explaining *e) {
    const repair_design *d = &e->p->designs[e->leak];
    if (!design_is_priced(d)) return;
    if (method_is_injection(d->method.name)) explain_injection(e);
    if (d->method.name == METHOD_FLEXIBLE) explain_flexible(e);
    if (d->method.name == METHOD_DRAIN) explain_drain(e);
}
