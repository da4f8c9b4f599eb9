/* The steps of an injection through ports: drill, seal the face, flush, inject from the lowest port up, clear away.
 * Sources  trade page diagnosis.md 7: TxDOT concrete repair manual ch. 3 (lowest port up, far face sealed, stop where resin
 * does not reach the next port), UFC 4-150-07; angled holes and flushing are values from memory; the rest is common
 * practice. */
#include "plan/card.h"
#include "plan/show.h"

#include <math.h>

static const double NEAR_BAR_M = 0.020; /* as design_port says */
enum { MOST_PORTS = 24 };               /* told one by one on a card */

static const design_injection *injection_of(const card_writing *w) {
    return &w->p->designs[w->leak].injection;
}

static const design_port *port_at(const design_injection *j, int order) {
    for (size_t i = 0; i < j->n_ports; i++)
        if (j->ports[i].order == order) return &j->ports[i];
    return NULL;
}

/* Whole millimetres, hundredths of an inch: nobody sets a packer finer. */
static const char *rounded(const plan *p, double m) {
    return show_size(p, p->survey->site.system == UNITS_US ? m : round(m * 1000) / 1000);
}

static status scan(card_writing *w) {
    plan *p = w->p;
    const design_injection *j = injection_of(w);
    const char *more = "";
    for (int order = 1; more && order <= (int)j->n_ports; order++) {
        const design_port *port = port_at(j, order);
        if (!port || !port->near_bar) continue;
        more = arena_print(p->memory, "%s%s%d at %s", more, *more ? ", " : "Move port ", order,
                           show_length(p, port->at_m));
    }
    if (more && *more)
        more = arena_print(p->memory, "%s: the hole passes nearer than %s to a bar.", more,
                           show_size(p, NEAR_BAR_M));
    return card_scan(w, "Scan before drilling", more);
}

static survey_kind kind_of(const card_writing *w) {
    return w->p->leaks[w->leak].defect->kind;
}

static const char *place_word(survey_kind kind) {
    return kind == KIND_TIE_HOLE ? "tie hole" : "pipe";
}

/* "1 at 0.20 m right, 2 at 0.35 m left ...": the side seen when looking along the crack. */
static const char *port_list(const card_writing *w) {
    const plan *p = w->p;
    const design_injection *j = injection_of(w);
    const char *list = "";
    int told = j->n_ports > MOST_PORTS ? MOST_PORTS : (int)j->n_ports;
    for (int order = 1; list && order <= told; order++) {
        const design_port *port = port_at(j, order);
        if (!port) continue;
        list = arena_print(p->memory, "%s%s%d at %s %s", list, *list ? ", " : "", order,
                           show_length(p, port->at_m), port->offset_m < 0 ? "left" : "right");
    }
    if (list && j->n_ports > MOST_PORTS)
        list = arena_print(p->memory, "%s and %zu more as drawn", list, j->n_ports - MOST_PORTS);
    return list;
}

/* Holes either side of a pipe or tie, to its surface. */
static status drill_place(card_writing *w) {
    plan *p = w->p;
    const design_injection *j = injection_of(w);
    const design_port *first = port_at(j, 1);
    const char *place = place_word(kind_of(w));
    const char *side = first && first->offset_m < 0 ? "left" : "right";
    return card_step(
        w, "ports", false, "Drill and set the packers",
        arena_print(
            p->memory,
            "%zu hole%s of %s, %s long, at %.0f degrees to the face from %s clear of the %s, %s: each "
            "meets the %s at half the thickness. Flush the dust out, set a packer in each. Port 1 is "
            "on the %s.",
            j->n_ports, j->n_ports == 1 ? "" : "s", show_size(p, j->hole_m), rounded(p, j->hole_length_m),
            j->angle_deg, rounded(p, j->offset_m), place,
            j->n_ports == 1 ? "on one side" : "one on either side", place, side));
}

/* A grid over honeycomb, straight in. */
static status drill_area(card_writing *w) {
    plan *p = w->p;
    const design_injection *j = injection_of(w);
    return card_step(
        w, "ports", false, "Drill and set the packers",
        arena_print(p->memory,
                    "%zu holes of %s, %s deep, straight in, on a grid of %s at most (%s) over the whole "
                    "honeycomb, as drawn. Flush the dust out, set a packer in each. Order of injection: the "
                    "lowest row first, each row from the left.",
                    j->n_ports, show_size(p, j->hole_m), rounded(p, j->hole_length_m),
                    rounded(p, j->spacing_m), j->spacing_rule ? j->spacing_rule : "our default"));
}

static status drill(card_writing *w) {
    plan *p = w->p;
    const design_injection *j = injection_of(w);
    if (!survey_is_line(kind_of(w))) return kind_of(w) == KIND_HONEYCOMB ? drill_area(w) : drill_place(w);
    const char *list = port_list(w);
    if (!list) return fault_memory(w->why);
    return card_step(
        w, "ports", false, "Drill and set the packers",
        arena_print(p->memory,
                    "%zu holes of %s, %s long, at %.0f degrees to the face from %s beside the crack, on "
                    "alternating sides, one every %s (%s): each meets the crack at half the thickness. Flush "
                    "the dust out, set a packer in each. In order of injection, looking along the crack from "
                    "its start: %s.",
                    j->n_ports, show_size(p, j->hole_m), rounded(p, j->hole_length_m), j->angle_deg,
                    rounded(p, j->offset_m), rounded(p, j->spacing_m),
                    j->spacing_rule ? j->spacing_rule : "our default", list));
}

/* Thin resins run out of an open crack; those that foam or gel in water may close a fine one by themselves. */
static status seal_face(card_writing *w) {
    const design_injection *j = injection_of(w);
    if (!survey_is_line(kind_of(w))) {
        const char *what = kind_of(w) == KIND_HONEYCOMB ? "over the whole honeycomb and past its edge"
                                                        : "all round, past the ports";
        return card_step(
            w, "surface_seal", false, "Seal the face",
            arena_print(w->p->memory, "Seal the face %s; let that harden.%s", what,
                        j->from_far_side_sealed ? " The wet side can be reached: seal there first." : ""));
    }
    survey_method name = w->p->designs[w->leak].method.name;
    bool sets_in_water = name == METHOD_INJECT_POLYURETHANE || name == METHOD_INJECT_ACRYLATE;
    const char *here = sets_in_water
                           ? "Seal the crack's face where it is wide or spalled enough for resin to run out; "
                             "let that harden."
                           : "Seal the crack's face over the whole length between the ports, past the last "
                             "one at each end; let it harden.";
    return card_step(w, "surface_seal", false, "Seal the face",
                     arena_print(w->p->memory, "%s%s", here,
                                 j->from_far_side_sealed
                                     ? " The wet side can be reached: seal the crack there first."
                                     : ""));
}

static const char *after_flush(survey_method name) {
    if (name == METHOD_INJECT_CEMENT) return " Leave it damp: cement suspension wants no dry crack.";
    if (name == METHOD_INJECT_EPOXY)
        return " Then let it drain and dry: epoxy wants the crack as dry as its data sheet says.";
    if (name == METHOD_INJECT_POLYURETHANE) return " Leave it wet: this resin sets with water.";
    return " Leave it wet: the gel must not dry out later either.";
}

static status flush(card_writing *w) {
    return card_step(w, "flush", false, "Flush through the ports",
                     arena_print(w->p->memory,
                                 "Water through each port, lowest first, until it runs clear from the next: "
                                 "it clears the crack and tests the seal. Write down the ports that take "
                                 "none and close what leaks.%s",
                                 after_flush(w->p->designs[w->leak].method.name)));
}

static const char *fill_batches(const card_writing *w) {
    const plan *p = w->p;
    const takeoff_fill *f = &p->takeoff.leaks[w->leak].fill;
    if (!f->material) return "";
    const char *within =
        f->usable_s > 0 ? arena_print(p->memory, ", each used within %s", show_minutes(p, f->usable_s)) : "";
    if (!within) return NULL;
    return arena_print(p->memory, "%s of %s in all: %d batch%s of %s%s. ", show_volume(p, f->volume_m3),
                       f->material->name ? f->material->name : f->material->id, f->batches,
                       f->batches == 1 ? "" : "es", show_volume(p, f->batch_volume_m3), within);
}

/* Ports at one height have no lowest. */
static bool is_level(const design_injection *j) {
    double low = HUGE_VAL, high = -HUGE_VAL;
    for (size_t i = 0; i < j->n_ports; i++) {
        low = fmin(low, j->ports[i].elevation_m);
        high = fmax(high, j->ports[i].elevation_m);
    }
    return !(high - low > 0.001);
}

/* What stands against the resin once the water is back at its design level; NULL: no memory. */
static const char *water_against(const card_writing *w) {
    const plan *p = w->p;
    double pressure_pa = p->designs[w->leak].pressure_pa;
    if (!p->leaks[w->leak].level_known) return "; how hard the water stands against it is not known";
    if (!(pressure_pa > 0)) return "";
    return arena_print(p->memory, ": it has %s of water to overcome, at the design level",
                       show_pressure(p, pressure_pa));
}

static status inject(card_writing *w) {
    plan *p = w->p;
    const design_injection *j = injection_of(w);
    const char *batches = fill_batches(w), *against = water_against(w);
    if (!batches || !against) return fault_memory(w->why);
    status code = card_step(
        w, "inject", false, "Inject",
        arena_print(
            p->memory,
            "%sFrom port 1%s: keep the next port open until resin shows there, then cap this one and "
            "move on to it. The lowest pressure that moves the resin%s. If it does not reach the next "
            "port, stop and think: a closed crack, a hole that missed it, or resin running off behind. "
            "Write down what each port took.",
            batches,
            !is_level(j)                 ? ", the lowest, upwards"
            : survey_is_line(kind_of(w)) ? " to the far end"
                                         : " on",
            against));
    double usable_s = p->takeoff.leaks[w->leak].fill.usable_s;
    if (code == OK && usable_s > 0) card_timer(w, "pot life", usable_s);
    return code;
}

static status strip(card_writing *w) {
    return card_step(w, "strip", false, "Clear away",
                     "After the cure that the resin's data sheet gives. No water for ten minutes over the "
                     "whole length first: else inject again while the packers are in. Take the packers out, "
                     "close the holes flush with mortar, grind off the seal of the face.");
}

status card_of_injection(card_writing *w) {
    status code = scan(w);
    if (code == OK) code = drill(w);
    if (code == OK) code = seal_face(w);
    if (code == OK) code = flush(w);
    if (code == OK) code = inject(w);
    if (code == OK) code = strip(w);
    return code == OK ? card_prove(w, "") : code;
}

status card_injection_cautions(card_writing *w) {
    survey_method name = w->p->designs[w->leak].method.name;
    status code = card_dust(w);
    if (code == OK)
        code = card_caution(
            w, "Clear holes with a filtered vacuum or water, never with the mouth or open compressed air.");
    if (code == OK)
        code = card_caution(w, "Never drill into a bar or a strand: a hole that meets steel is moved.");
    if (code == OK)
        code = card_caution(w, "Resin and pump under pressure: eyes and face covered, stand aside of packers "
                               "and hoses, let the pressure off before a coupling is opened.");
    if (code == OK && name == METHOD_INJECT_CEMENT)
        code =
            card_caution(w, "Wet cement burns without early pain: alkali-resistant gloves, rinse at once.");
    if (code == OK && name == METHOD_INJECT_POLYURETHANE)
        code = card_caution(w, "Isocyanate: it sensitises lungs and skin; breathing protection and gloves by "
                               "the maker's safety data sheet. It foams and gets hot with water.");
    if (code == OK && (name == METHOD_INJECT_EPOXY || name == METHOD_INJECT_ACRYLATE))
        code = card_caution(w, "Resin and hardener sensitise the skin: gloves and ventilation by the maker's "
                               "safety data sheet. A mixed batch left standing gets hot.");
    if (code == OK && w->p->survey->site.enclosed)
        code = card_caution(w, "Ventilate while resin is open; test the air before and during work.");
    return code;
}
