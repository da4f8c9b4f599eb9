/* The steps of a flexible seal in a routed groove and of a drain that collects the water.
 * Sources  groove dry and sealed within 24 h: UFC 3-270-03, pavement practice; two bonded faces: ASTM C1193, ACI 504R (values
 * from memory); the rest is common practice (trade page diagnosis.md 6). */
#include "plan/card.h"
#include "plan/show.h"

/* A movement that was told is checked: the seal's width stands on it. */
static status check_movement(card_writing *w) {
    plan *p = w->p;
    if (p->diagnoses[w->leak].basis == MOVES_MEASURED) return OK;
    return card_step(
        w, "gauge", false, "Check the movement",
        arena_print(p->memory,
                    "The movement of %s was told, not measured. Fix a gauge now and read it with "
                    "the temperature until the work begins; where it moves more, plan again.",
                    show_width(p, p->designs[w->leak].flexible.input.movement_m)));
}

static status rout(card_writing *w) {
    plan *p = w->p;
    const design_flexible *f = &p->designs[w->leak].flexible;
    const flexible_result *g = &f->groove;
    return card_step(
        w, "rout", false, "Rout the groove",
        arena_print(p->memory,
                    "%s wide and %s deep, square, centred on the crack, from %s to %s (%s): %s of "
                    "sealant over the backer. Both edges sharp and sound; mend what breaks out "
                    "before going on.",
                    show_size(p, g->width_m), show_size(p, g->groove_depth_m), show_length(p, f->from_m),
                    show_length(p, f->to_m), show_length(p, f->length_m), show_size(p, g->depth_m)));
}

static status clean(card_writing *w) {
    const char *water = w->p->leaks[w->leak].worst > WET_DAMP
                            ? " Water that still comes is led away or stopped before: sealant set on running "
                              "water comes off."
                            : "";
    return card_step(
        w, "wash", true, "Clean and dry",
        arena_print(w->p->memory,
                    "Clear the groove of dust and slurry and let it dry: sealant holds on neither. "
                    "Keep it dry and seal within 24 h of routing.%s",
                    water));
}

static status prime_and_back(card_writing *w) {
    plan *p = w->p;
    const design_flexible *f = &p->designs[w->leak].flexible;
    status code =
        card_step(w, "prime", false, "Prime the sides",
                  "The primer that belongs to the sealant, on both sides of the groove and not on its base; "
                  "wait as its data sheet says.");
    if (code != OK) return code;
    const char *body =
        f->groove.backer_m > 0
            ? arena_print(
                  p->memory,
                  "%s of %s round backer, a quarter wider than the groove, pressed in whole so that %s "
                  "stays free for the sealant. It keeps the sealant off the base.",
                  show_length(p, f->backer_m), show_size(p, f->groove.backer_m),
                  show_size(p, f->groove.depth_m))
            : arena_print(
                  p->memory,
                  "Tape that breaks the bond on the base of the groove, %s in all: the sealant may hold "
                  "on the two sides only.",
                  show_length(p, f->length_m));
    return card_step(w, "backer", false, "Set the backer", body);
}

static status fill(card_writing *w) {
    plan *p = w->p;
    const takeoff_fill *t = &p->takeoff.leaks[w->leak].fill;
    const design_flexible *f = &p->designs[w->leak].flexible;
    const char *amount = t->material ? arena_print(p->memory, "%s of %s. ", show_volume(p, t->volume_m3),
                                                   t->material->name ? t->material->name : t->material->id)
                                     : "";
    if (!amount) return fault_memory(w->why);
    status code =
        card_step(w, "seal", false, "Seal",
                  arena_print(p->memory,
                              "%sFill %s wide and %s deep from the backer up, without air; tool it at once, "
                              "pressed against both sides. It holds on two faces only, never on the base.",
                              amount, show_size(p, f->groove.width_m), show_size(p, f->groove.depth_m)));
    if (code == OK && t->usable_s > 0) card_timer(w, "pot life", t->usable_s);
    return code;
}

status card_of_flexible(card_writing *w) {
    status code = check_movement(w);
    if (code == OK) code = card_scan(w, "Scan before routing", "");
    if (code == OK) code = rout(w);
    if (code == OK) code = clean(w);
    if (code == OK) code = prime_and_back(w);
    if (code == OK) code = fill(w);
    if (code == OK)
        code = card_step(w, "cure", false, "Let it cure",
                         "As long as the sealant's data sheet says at the temperature of the wall: no water "
                         "against it, nothing on it.");
    return code == OK ? card_prove(w, "Both edges hold along the whole length: look with the crack at its "
                                      "widest. ")
                      : code;
}

static status cut_cautions(card_writing *w) {
    status code = card_dust(w);
    return code == OK ? card_caution(w, "Never cut a bar or a strand.") : code;
}

status card_flexible_cautions(card_writing *w) {
    plan *p = w->p;
    double pressure_pa = p->designs[w->leak].pressure_pa;
    status code = cut_cautions(w);
    if (code == OK && pressure_pa > 0)
        code =
            card_caution(w, arena_print(p->memory,
                                        "Water presses on this seal from behind, %s at the design level: a "
                                        "sealant and primer that their maker allows for that, or inject "
                                        "behind it first.",
                                        show_pressure(p, pressure_pa)));
    if (code == OK)
        code =
            card_caution(w, "Primer and sealant: skin and eyes covered, by the maker's safety data sheet.");
    if (code == OK && w->p->survey->site.enclosed)
        code = card_caution(w, "Ventilate while primer is open: solvent makes the air of an enclosed place "
                               "dangerous.");
    return code;
}

static status fix_channel(card_writing *w) {
    plan *p = w->p;
    const design_drain *d = &p->designs[w->leak].drain;
    const char *carries =
        d->flow_m3_s > 0 ? arena_print(p->memory, " It has to carry %s.", show_flow(p, d->flow_m3_s)) : "";
    if (!carries) return fault_memory(w->why);
    return card_step(
        w, "channel", false, "Fix the channel",
        arena_print(p->memory,
                    "Wash the wall, then fix a channel of %s inside over the crack from %s to %s "
                    "(%s), falling to its outlet at %s, both edges bedded tight. The crack stays "
                    "open behind it: nothing is plugged.%s",
                    show_size(p, d->channel_m), show_length(p, d->from_m), show_length(p, d->to_m),
                    show_length(p, d->length_m), show_length(p, d->outlet_at_m), carries));
}

status card_of_drain(card_writing *w) {
    plan *p = w->p;
    const design_drain *d = &p->designs[w->leak].drain;
    status code = card_scan(w, "Scan before drilling", "");
    if (code == OK) code = fix_channel(w);
    if (code == OK)
        code =
            card_step(w, "outlet", false, "Lead the water away",
                      arena_print(p->memory,
                                  "From the outlet a pipe of %s bore, falling all the way, to a drain or a "
                                  "sump with a pump, free of frost, with an opening for rodding. Write down "
                                  "where it goes and who empties it. Keep it open.",
                                  show_size(p, d->pipe_m)));
    if (code != OK) return code;
    return card_step(
        w, "prove", true, "Prove it collects all",
        "No water beside the channel or below it, at a recorded water level; catch and write down "
        "what the outlet gives in a timed minute. The water still comes in: look, rod and measure "
        "again at 24 h, 7 d, 28 d, the next high water, then twice a year (our default).");
}

status card_drain_cautions(card_writing *w) {
    status code = cut_cautions(w);
    if (code == OK)
        code = card_caution(w, "Drained, not sealed: the water still comes in and the outlet must stay open. "
                               "Iron slime and lime clog channels and pipes.");
    if (code == OK)
        code = card_caution(w, "Watch for soil in the water: a drain that carries soil hollows the ground. "
                               "Stop if it shows.");
    return code;
}
