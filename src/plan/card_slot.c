/* The steps of a slot and what fills it: cut, wash, relief, plug, coats, cure (common practice, trade page site.md 1). */
#include "plan/card.h"
#include "plan/show.h"

#include <math.h>
#include <string.h>

static const double TACKY_S =
    600; /* a brushed slurry stays tacky about ten minutes, our default: look and feel decide */
static const double MIST_S = 4 * 3600.0; /* our default where the air of the site is not known */

static const char *batch_text(const card_writing *w, takeoff_step which) {
    const takeoff_mix *mix = &w->p->takeoff.leaks[w->leak].mixes[which];
    if (!mix->material) return "";
    return arena_print(w->p->memory,
                       "%d batch%s of %s powder and %s water, each placed within %s (mixed at %s). ",
                       mix->batches, mix->batches == 1 ? "" : "es", show_mass(w->p, mix->batch_powder_kg),
                       show_volume(w->p, mix->batch_water_m3), show_minutes(w->p, mix->usable_s),
                       show_temperature(w->p, mix->temperature_c));
}

static const char *slot_text(const card_writing *w, const design_slot *slot) {
    return arena_print(w->p->memory, "%s to %s: %s deep. ", show_length(w->p, slot->from_m),
                       show_length(w->p, slot->to_m), show_size(w->p, slot->depth_m));
}

static status cut_slot(card_writing *w) {
    plan *p = w->p;
    const repair_design *d = &p->designs[w->leak];
    const char *body =
        arena_print(p->memory, "U-shaped or slightly undercut, %s wide, centred on the crack. ",
                    show_size(p, d->slot_width_m));
    for (size_t i = 0; body && i < d->n_slots; i++)
        body = arena_print(p->memory, "%s%s", body, slot_text(w, &d->slots[i]));
    for (size_t i = 0; body && i < d->n_crossings; i++)
        body =
            arena_print(p->memory, "%sBar crosses at %s: within %s of it chip by hand, no deeper than %s. ",
                        body, show_length(p, d->crossings[i].at_m), show_size(p, d->crossings[i].half_m),
                        show_size(p, d->crossings[i].depth_m));
    return card_step(w, "cut", false, "Cut the slot", body);
}

/* A cone stands wider at its base, so that water behind wedges the plug instead of pushing it out. */
static const char *hole_text(const card_writing *w) {
    const plan *p = w->p;
    const repair_design *d = &p->designs[w->leak];
    const char *depth = show_size(p, d->slots[0].depth_m);
    if (d->hole_shape == PLACE_CONE && d->hole_base_m > d->hole_diameter_m)
        return arena_print(
            p->memory,
            "A cone, wider inside than at its mouth: %s across at the face, %s at its base, %s "
            "deep, to clean concrete all round. Water behind then wedges the plug.",
            show_size(p, d->hole_diameter_m), show_size(p, d->hole_base_m), depth);
    return arena_print(p->memory, "Drill to %s across and %s deep, straight, to clean concrete all round.",
                       show_size(p, d->hole_diameter_m), depth);
}

static const char *place_volume(const card_writing *w) {
    const repair_design *d = &w->p->designs[w->leak];
    if (!(d->place_volume_m3 > 0)) return "";
    return arena_print(w->p->memory, " %s to fill.", show_volume(w->p, d->place_volume_m3));
}

static status cut_place(card_writing *w) {
    plan *p = w->p;
    const repair_design *d = &p->designs[w->leak];
    if (d->n_slots == 0) return OK;
    const char *depth = show_size(p, d->slots[0].depth_m), *volume = place_volume(w);
    if (!volume) return fault_memory(w->why);
    if (d->method.name == METHOD_HOLE) {
        const char *body = hole_text(w);
        return card_step(w, "cut", false, "Open the hole",
                         body ? arena_print(p->memory, "%s%s", body, volume) : NULL);
    }
    if (d->method.name == METHOD_RING)
        return card_step(
            w, "cut", false, "Cut the ring",
            arena_print(p->memory,
                        "A slot %s wide and %s deep all round the pipe, %s along its middle, its "
                        "outer side upright or slightly undercut. Do not nick the pipe.%s",
                        show_size(p, d->slot_width_m), depth, show_length(p, d->ring_length_m), volume));
    return card_step(
        w, "cut", false, "Cut back",
        arena_print(p->memory,
                    "Square the edge, no feather, and cut back %s of wall until it rings sound, "
                    "%s deep; deeper places by hand. Where a bar is laid bare or rusty: stop and "
                    "ask.%s",
                    show_area(p, d->patch_m2), depth, volume));
}

static status measure_again(card_writing *w) {
    if (!w->p->takeoff.leaks[w->leak].mixes[MIX_PLUG].material) return OK;
    return card_step(
        w, "measure", true, "Measure and plan again",
        "Opening the slot changes the leak: collect the water over a timed minute, enter it, plan "
        "again before any mixing.");
}

static status wash_and_soak(card_writing *w) {
    plan *p = w->p;
    const takeoff_leak *t = &p->takeoff.leaks[w->leak];
    status code = card_step(w, "wash", false, "Wash",
                            arena_print(p->memory,
                                        "%s and %s beyond it on each side, %s in all, to open pores (profile "
                                        "about CSP 3). Catch the wash "
                                        "water, about %s: it is alkaline.",
                                        p->designs[w->leak].n_slots ? "The cut" : "The crack",
                                        show_size(p, DESIGN_BAND_M), show_area(p, t->wash_m2),
                                        show_volume(p, t->wash_water_m3)));
    if (code != OK) return code;
    return card_step(
        w, "soak", true, "Saturated surface-dry",
        "Soak until the pores are full, then let the free water go: the palm feels damp and stays "
        "dry. Only then mix.");
}

static bool is_open(const plan *p, const char *mark, const char *code) {
    for (size_t i = 0; i < p->findings.n; i++) {
        const finding *f = &p->findings.items[i];
        if (!f->answer && strcmp(f->mark, mark) == 0 && strcmp(f->code, code) == 0) return true;
    }
    return false;
}

/* Where steel may lie in the hole's way the step is a hold point: the question on it is open. */
static status set_relief(card_writing *w) {
    plan *p = w->p;
    const design_relief *r = &p->designs[w->leak].relief;
    if (!r->wanted) return OK;
    bool open = is_open(p, p->leaks[w->leak].defect->mark, "relief");
    return card_step(
        w, "relief", open, "Set the relief tube",
        arena_print(
            p->memory,
            "%sAt %s drill %s deep (deeper than the cut, between the bars) and set a tube of %s bore: %s.",
            open ? "The question \"relief\" is open: no hole is drilled before a place between the bars is "
                   "marked. "
                 : "",
            show_length(p, r->at_m), show_size(p, r->depth_m), show_size(p, r->bore_m), r->reason));
}

/* How much of the cut is plug: one depth, or one for each stretch that steel holds up. */
static const char *fill_text(card_writing *w) {
    plan *p = w->p;
    const repair_design *d = &p->designs[w->leak];
    if (d->method.name == METHOD_CUT_BACK) return "Plug the spots where water runs, the rest is packed. ";
    if (d->n_slots == 1)
        return arena_print(p->memory, "Fill the lower %s. ", show_size(p, d->slots[0].plug_m));
    const char *body = "Fill the lower part: ";
    for (size_t i = 0; body && i < d->n_slots; i++)
        body = arena_print(p->memory, "%s%s to %s: %s%s%s", body, show_length(p, d->slots[i].from_m),
                           show_length(p, d->slots[i].to_m), show_size(p, d->slots[i].plug_m),
                           d->slots[i].holds ? "" : " (does not hold with its factor: see the question)",
                           i + 1 < d->n_slots ? "; " : ". ");
    return body;
}

/* The most that a fresh piece pushes back before it has set, when the plane is known: pressure times its face. */
static const char *hold_text(const card_writing *w, const plan_plane *plane) {
    const plugging_outcome *o = &plane->run.orders[plane->run.drawn];
    double head_m = 0, length_m = 0;
    for (size_t i = 0; i < o->steps_n; i++) {
        head_m = fmax(head_m, o->steps[i].fresh_head_m);
        length_m = fmax(length_m, o->steps[i].on.to_m - o->steps[i].on.from_m);
    }
    const repair_design *d = &w->p->designs[w->leak];
    double pressure_pa = d->head_m > 0 ? d->pressure_pa / d->head_m * head_m : 0, plug_m = HUGE_VAL;
    for (size_t i = 0; i < d->n_slots; i++) plug_m = fmin(plug_m, d->slots[i].plug_m);
    double newton = pressure_pa * length_m * d->slot_width_m;
    const char *held = "";
    if (pressure_pa > 0 && plug_m < HUGE_VAL)
        held = arena_print(w->p->memory, "; once set an early bond of %s (our default) holds %.1f times that",
                           show_stress(w->p, PLUG_BOND_SAWN_PA),
                           PLUG_BOND_SAWN_PA * 2 * plug_m / (pressure_pa * d->slot_width_m));
    return arena_print(
        w->p->memory,
        "Behind a fresh piece at most %s of water: press with up to %.0f N (%.0f lbf) until it has set%s. ",
        show_length(w->p, head_m), newton, newton / 4.4482216152605, held ? held : "");
}

static const char *order_text(card_writing *w) {
    const plan_plane *plane = w->p->plane_of[w->leak];
    bool relief = w->p->designs[w->leak].relief.wanted;
    if (w->p->designs[w->leak].method.name == METHOD_HOLE) return ""; /* one place, no order */
    if (!plane || plane->problem || plane->steady)
        return relief ? "Order: from least to most flow, growing toward the relief. "
                      : "Order: from least to most flow. ";
    const char *words = plan_order_words(w->p, plane), *hold = hold_text(w, plane);
    if (!words || !hold) return NULL;
    return arena_print(w->p->memory, "Order (%s, see the figure): %s. %s",
                       plugging_order_name(plane->run.drawn), words, hold);
}

static status plug(card_writing *w) {
    plan *p = w->p;
    const repair_design *d = &p->designs[w->leak];
    const takeoff_mix *mix = &p->takeoff.leaks[w->leak].mixes[MIX_PLUG];
    if (!mix->material) return OK;
    const char *batches = batch_text(w, MIX_PLUG), *fill = fill_text(w), *order = order_text(w);
    if (!batches || !fill || !order) return fault_memory(w->why);
    status code = card_step(
        w, "plug", false, "Plug",
        arena_print(
            p->memory,
            "%s%s%sHold each ball until it no longer gives; no bond is counted before the final set is seen.",
            batches, fill, order));
    if (code != OK) return code;
    card_timer(w, "set", mix->set_s);
    if (d->relief.wanted)
        code =
            card_step(w, "close_relief", true, "Close the relief",
                      arena_print(p->memory,
                                  "Last of all: pull the tube, fill the hole to its full depth of %s, hold "
                                  "until set; then all is shut at "
                                  "the full head of %s.",
                                  show_size(p, d->relief.depth_m), show_length(p, d->head_m)));
    if (code == OK && d->relief.wanted) card_timer(w, "set", mix->set_s);
    if (code != OK) return code;
    return card_step(
        w, "stopped", true, "Water stopped",
        "No water for ten minutes over the whole length and beyond both ends. If it shows further "
        "on, that is a new mark.");
}

static status coats(card_writing *w) {
    plan *p = w->p;
    const takeoff_leak *t = &p->takeoff.leaks[w->leak];
    const takeoff_mix *first = &t->mixes[MIX_FIRST_COAT], *pack = &t->mixes[MIX_PACK],
                      *last = &t->mixes[MIX_LAST_COAT];
    status code = OK;
    if (first->material) {
        code = card_step(w, "first_coat", false, "First coat",
                         arena_print(p->memory, "%sBrush and scrub it into %s%s. Never add water later.",
                                     batch_text(w, MIX_FIRST_COAT), show_area(p, t->first_coat_m2),
                                     pack->material ? ": slot, sides and band" : " of band"));
        if (code == OK)
            card_timer(w, pack->material ? "tacky" : "pot life", pack->material ? TACKY_S : first->usable_s);
    }
    if (code == OK && pack->material) {
        code = card_step(
            w, "pack", false, "Dry-pack at once",
            arena_print(p->memory,
                        "While the coat is still tacky: %sRam it flush in lifts of about 10 mm (3/8 "
                        "in), each scratched.",
                        batch_text(w, MIX_PACK)));
        if (code == OK) card_timer(w, "pot life", pack->usable_s);
    }
    if (code == OK && last->material) {
        code = card_step(w, "last_coat", false, "Last coat",
                         arena_print(p->memory, "Mist, then %sBrush it over %s.",
                                     batch_text(w, MIX_LAST_COAT), show_area(p, t->last_coat_m2)));
        if (code == OK) card_timer(w, "pot life", last->usable_s);
    }
    return code;
}

/* Quarters of an hour: "4 h", "1 h 15 min". */
static const char *round_text(const card_writing *w, double seconds) {
    int minutes = (int)lround(seconds / 60);
    const char *rest = minutes % 60 ? arena_print(w->p->memory, " %d min", minutes % 60) : "";
    return rest ? arena_print(w->p->memory, "%d h%s", minutes / 60, rest) : NULL;
}

static const char *moist_text(const card_writing *w, const moist_round *round, const char *every) {
    if (round->known && !round->under)
        return arena_print(w->p->memory,
                           "2-3 days: look and mist every %s of the working day, less often under held wet "
                           "cloth or sheet; cover overnight and against wind and sun, keep from frost.",
                           every);
    return arena_print(w->p->memory,
                       "2-3 days under %s: look and mist every %s of the working day, cover against wind and "
                       "sun, keep from frost.",
                       round->known ? round->under : "held wet cloth or sheet", every);
}

static status keep_moist(card_writing *w) {
    const survey *s = w->p->survey;
    const survey_face *face = survey_find_face(s, s->defects[w->leak].parts[0].face);
    moist_round round = {MIST_S, NULL, false};
    if (face && w->p->rounds[face->lie].known) round = w->p->rounds[face->lie];
    const char *every = round_text(w, round.seconds);
    status code = card_step(w, "cure", false, "Keep moist", every ? moist_text(w, &round, every) : NULL);
    if (code == OK) card_timer(w, "mist", round.seconds);
    return code == OK ? card_prove(w, "") : code;
}

status card_slot_cautions(card_writing *w) {
    plan *p = w->p;
    const repair_design *d = &p->designs[w->leak];
    const takeoff_leak *t = &p->takeoff.leaks[w->leak];
    status code = card_dust(w);
    if (code == OK && d->n_slots)
        code = card_caution(
            w, "Never cut a bar or a strand. Vibration and noise add up over the shift: change hands.");
    if (code == OK && t->mixes[MIX_FIRST_COAT].material)
        code = card_caution(
            w, "Wet cement burns without early pain: alkali-resistant gloves, eyes covered, rinse at once.");
    if (code == OK && d->relief.wanted)
        code = card_caution(
            w, "Water under pressure: stand aside of the jet; set the relief before a plug. Watch "
               "for soil in the water and stop if it shows.");
    if (code == OK && t->plug_volume_m3 > 0.002)
        code = card_caution(
            w,
            "Fast-set plug in bulk gets hot enough to burn: place it in layers, do not cover a warm mass.");
    return code;
}

status card_of_slot(card_writing *w) {
    const repair_design *d = &w->p->designs[w->leak];
    bool line = d->method.name == METHOD_SLOT_PLUG || d->method.name == METHOD_SLOT_PACK;
    status code = d->n_slots ? card_scan(w, "Scan before cutting", "") : OK;
    if (code == OK && d->method.name != METHOD_COAT) code = line ? cut_slot(w) : cut_place(w);
    if (code == OK) code = measure_again(w);
    if (code == OK) code = wash_and_soak(w);
    if (code == OK) code = set_relief(w);
    if (code == OK) code = plug(w);
    if (code == OK) code = coats(w);
    return code == OK ? keep_moist(w) : code;
}
