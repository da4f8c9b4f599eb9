/* card_facts.c - what is known and what was sized, beside the sketch of a card. */
#include "report/card.h"
#include "report/slots.h"
#include "report/table.h"

static const char *const depth_words[] = {[DEPTH_TRADE] = "usual depth",
                                          [DEPTH_STRONG_FLOW] = "deeper for strong flow",
                                          [DEPTH_PLUG] = "deeper, the plug needs it",
                                          [DEPTH_STEEL] = "held back by the steel"};
enum { MOST_STRETCHES = 6 };

static void fact(table *t, const char *label, const char *value) {
    table_row(t, (const char *[]){label, value}, ROW_PLAIN);
}

static void where(doc *d, table *t, const survey_defect *of) {
    say *w = &d->words;
    const char *place = "";
    if (of->n_parts && of->parts[0].n_points) {
        survey_point at = of->parts[0].points[0];
        const survey_face *face = survey_find_face(d->plan->survey, of->parts[0].face);
        place = say_print(w, "\nfrom %s right, %s %s", say_length(w, at.u_m), say_length(w, at.v_m),
                          face && face->lie != LIE_WALL ? "away" : "up");
    }
    fact(t, "Where", say_print(w, "%s%s", say_faces(w, d->plan->survey, of), place));
}

static void seen(doc *d, table *t, const leak_water *leak) {
    say *w = &d->words;
    const char *length = leak->length_m > 0
                             ? say_print(w, ", %s long, wet over %s", say_length(w, leak->length_m),
                                         say_length(w, leak->wet_m))
                             : "";
    const char *width = leak->widest_m.known
                            ? say_print(w, ", up to %s wide", say_value(w, UNITS_SIZE, leak->widest_m.v))
                            : "";
    fact(t, "Seen", say_print(w, "%s%s%s", leak_grade_shown(leak->grade, w->system), length, width));
}

static void water(doc *d, table *t, const leak_water *leak, const repair_design *design) {
    say *w = &d->words;
    if (!leak->level_known) {
        fact(t, "Water", "level not known");
    } else {
        fact(t, "Water",
             say_print(w, "today %s over the lowest point, design %s", say_length(w, leak->head_today_m),
                       say_length(w, leak->head_design_m)));
        if (design->pressure_pa > 0)
            fact(t, "Pressure, all shut",
                 say_print(w, "%s, head %s", say_value(w, UNITS_PRESSURE, design->pressure_pa),
                           say_length(w, design->head_m)));
    }
    static const char *const basis[] = {
        [FLOW_UNKNOWN] = "", [FLOW_EXPECTED] = ", expected from the widths", [FLOW_MEASURED] = ", measured"};
    fact(t, "Flow",
         say_print(w, "%s%s", say_maybe(w, UNITS_FLOW, leak->flow_m3_s),
                   leak->flow_m3_s.known ? basis[leak->basis] : ""));
}

/* "25 × 37 mm", "drilled to 36 mm diameter, 50 mm deep", "118 mm deep": as the method cuts. */
static const char *cut_size(say *w, const leak_water *leak, const repair_design *design, double depth_m) {
    const char *deep = say_print(w, "%s deep", say_value(w, UNITS_SIZE, depth_m));
    if (design->method.name == METHOD_CUT_BACK) return deep;
    if (design->method.name != METHOD_HOLE) return say_slot(w, design->slot_width_m, depth_m);
    if (!leak->defect->diameter_m.known)
        return say_print(w, "drilled to clean concrete (its diameter is not known), %s", deep);
    if (design->hole_shape == PLACE_CONE && design->hole_base_m > design->hole_diameter_m)
        return say_print(w, "a cone: %s at its mouth, %s at its base, %s",
                         say_value(w, UNITS_SIZE, design->hole_diameter_m),
                         say_value(w, UNITS_SIZE, design->hole_base_m), deep);
    return say_print(w, "drilled to %s diameter, %s", say_value(w, UNITS_SIZE, design->hole_diameter_m),
                     deep);
}

/* Stretches part at stations, so but one can begin before the crack. */
static const char *cut_along(say *w, const design_slot *s) {
    if (!(s->to_m > s->from_m)) return "";
    return say_print(w, ", from %s%s to %s", say_length(w, s->from_m),
                     s->from_m < 0 ? " (- is before the start of the crack)" : "", say_length(w, s->to_m));
}

/* What fills it, and whether that holds. */
static const char *cut_fill(say *w, const design_slot *s) {
    const char *plug = s->plug_m > 0 ? say_print(w, "plug %s, ", say_value(w, UNITS_SIZE, s->plug_m)) : "";
    const char *safety =
        s->safety_found > 0 ? say_print(w, " (safety %s)", say_plain(w, s->safety_found, 1)) : "";
    return say_print(w, "%sdry-pack %s%s; %s%s", plug, say_value(w, UNITS_SIZE, s->pack_m), safety,
                     depth_words[s->reason], s->holds ? "" : "; DOES NOT HOLD");
}

/* Ahead of the stretches: their range, and the flag that none of them may hide. */
static void slots_summary(doc *d, table *t, const repair_design *design) {
    say *w = &d->words;
    slots_span all = slots_taken_together(design);
    if (all.least_m < all.deepest_m)
        fact(t, "Depth",
             say_print(w, "%s in %zu stretches", slots_size_range(w, all.least_m, all.deepest_m),
                       design->n_slots));
    if (all.weak == 0) return;
    const char *which =
        design->n_slots > 1 ? say_print(w, " in %zu of %zu stretches", all.weak, design->n_slots) : "";
    const char *flag = say_print(w, "DOES NOT HOLD with its safety factor%s: see the question", which);
    table_row(t, (const char *[]){"Strength", flag}, ROW_TOTAL);
}

static void slots(doc *d, table *t, const leak_water *leak, const repair_design *design) {
    say *w = &d->words;
    const char *label = design->method.name == METHOD_HOLE       ? "Hole"
                        : design->method.name == METHOD_CUT_BACK ? "Cut back"
                                                                 : "Slot";
    slots_summary(d, t, design);
    for (size_t i = 0; i < design->n_slots && i < MOST_STRETCHES; i++) {
        const design_slot *s = &design->slots[i];
        fact(
            t, label,
            say_print(w, "%s%s\n%s", cut_size(w, leak, design, s->depth_m), cut_along(w, s), cut_fill(w, s)));
    }
    if (design->n_slots > MOST_STRETCHES)
        fact(t, "", say_print(w, "and %zu more stretches", design->n_slots - MOST_STRETCHES));
    if (design->method.name == METHOD_RING)
        fact(t, "Ring", say_print(w, "%s along its middle", say_length(w, design->ring_length_m)));
    if (design->method.name == METHOD_CUT_BACK) fact(t, "Patch", say_value(w, UNITS_AREA, design->patch_m2));
}

static void steel(doc *d, table *t, const repair_design *design) {
    say *w = &d->words;
    for (size_t i = 0; i < design->n_crossings && i < MOST_STRETCHES; i++) {
        const design_crossing *c = &design->crossings[i];
        fact(t, "Bar crosses",
             say_print(w, "at %s: within %s each way by hand, no deeper than %s", say_length(w, c->at_m),
                       say_value(w, UNITS_SIZE, c->half_m), say_value(w, UNITS_SIZE, c->depth_m)));
    }
    if (design->n_crossings > MOST_STRETCHES)
        fact(t, "", say_print(w, "and %zu more bars", design->n_crossings - MOST_STRETCHES));
}

static void relief(doc *d, table *t, const design_relief *r) {
    say *w = &d->words;
    if (!r->wanted) return;
    const char *flow = r->flow_m3_s.known
                           ? say_print(w, "\nabout %s through it", say_value(w, UNITS_FLOW, r->flow_m3_s.v))
                           : "";
    const char *head = r->back_head_m.known ? say_print(w, "%s left behind the plug: %s", *flow ? "; " : "\n",
                                                        say_length(w, r->back_head_m.v))
                                            : "";
    fact(t, "Relief",
         say_print(w, "tube of %s bore at %s, hole %s deep%s%s", say_value(w, UNITS_SIZE, r->bore_m),
                   say_length(w, r->at_m), say_value(w, UNITS_SIZE, r->depth_m), flow, head));
}

void card_facts(doc *d, size_t at, double size, double x, double width) {
    static const table_column columns[] = {{"", 0.24, ALIGN_LEFT, false}, {"", 0.76, ALIGN_LEFT, false}};
    const leak_water *leak = &d->plan->leaks[at];
    const repair_design *design = &d->plan->designs[at];
    table t = table_begin_at(d, columns, 2, size, x, width);
    where(d, &t, leak->defect);
    seen(d, &t, leak);
    water(d, &t, leak, design);
    slots(d, &t, leak, design);
    steel(d, &t, design);
    relief(d, &t, &design->relief);
    card_ways(d, &t, at);
    if (leak->defect->tried) fact(&t, "Tried before", leak->defect->tried);
    for (size_t i = 0; i < leak->defect->n_notes && i < 4; i++) fact(&t, "Note", leak->defect->notes[i]);
}
