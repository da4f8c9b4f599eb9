/* Groups "Quantities" and "Hours and money" of one leak. */
#include "plan/explain.h"
#include "plan/show.h"

#include "takeoff/ways.h"

void explain_quantities(explaining *e) {
    const plan *p = e->p;
    const takeoff_leak *t = &p->takeoff.leaks[e->leak];
    e->group = "Quantities";
    if (t->slot_length_m > 0)
        explain_row(e, "Slot",
                    arena_print(p->memory, "%s, %s", show_length(p, t->slot_length_m),
                                show_volume(p, t->slot_volume_m3)),
                    "V = L d w, clipped to the face", "design", "geometry");
    if (t->band_own_m2 > 0)
        explain_row(
            e, "Band of coat",
            arena_print(p->memory, "%s alone, %s as its share", show_area(p, t->band_own_m2),
                        show_area(p, t->band_share_m2)),
            arena_print(p->memory, "%s from the slot's edge; overlaps once", show_size(p, DESIGN_BAND_M)),
            "design, faces, neighbours", "common practice; trade rule 20");
    for (int k = 0; k < MIX_COUNT; k++) {
        const takeoff_mix *m = &t->mixes[k];
        if (!m->material) continue;
        const char *value =
            arena_print(p->memory, "%s powder, %s water, %s; %d batch%s within %s",
                        show_mass(p, m->powder_kg), show_volume(p, m->water_m3), show_volume(p, m->volume_m3),
                        m->batches, m->batches == 1 ? "" : "es", show_minutes(p, m->usable_s));
        explain_row(
            e, takeoff_step_words[k], value,
            k == MIX_FIRST_COAT || k == MIX_LAST_COAT ? "area x coverage x (1 + waste)"
                                                      : "volume x (1 + waste), absolute volumes",
            arena_print(p->memory, "%s at %s", m->material->name, show_temperature(p, m->temperature_c)),
            "replace by your maker's data sheet");
    }
    if (t->wash_water_m3 > 0 || t->spoil_kg > 0)
        explain_row(
            e, "Wash water and spoil",
            arena_print(p->memory, "%s, %s", show_volume(p, t->wash_water_m3), show_mass(p, t->spoil_kg)),
            arena_print(p->memory, "rate x washed area; volume cut and drilled x %s",
                        show_density(p, WAYS_CONCRETE_KG_M3)),
            "rates", "our default; common practice");
}

static const char *hours_equation(estimate_work work) {
    return work == HOURS_DRILL ? "packers x port_h_each"
           : work == HOURS_INJECT
               ? "length sealed x surface_seal_h_m + the longer of packers x inject_h_port and two people at "
                 "the pump, volume / inject_place_l_min + packers x strip_h_port"
           : work == HOURS_SEAL  ? "length x (rout_h_m + seal_h_m)"
           : work == HOURS_DRAIN ? "length x drain_h_m + outlet_h_each"
                                 : "quantity x rate";
}

void explain_money(explaining *e) {
    const plan *p = e->p;
    const estimate_leak *c = &p->price.leaks[e->leak];
    e->group = "Hours and money";
    for (int k = 0; k < HOURS_COUNT; k++)
        if (c->hours[k] > 0)
            explain_row(e, estimate_work_words[k],
                        arena_print(p->memory, "%s h", show_plain(p, c->hours[k], 2)),
                        hours_equation((estimate_work)k), "rates of the job",
                        "published where marked, else our default");
    explain_row(e, "Labour and material of this leak",
                arena_print(p->memory, "%s %s", show_plain(p, c->cost, 2), p->survey->site.currency),
                "hours x rate + its part of the packs + packers, paste, rod and channel",
                "without the job's fixed lines", "prices of the job");
}
