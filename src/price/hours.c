#include "price/hours.h"

#include <math.h>

static double cut_hours(const survey *s, const repair_design *d) {
    double hours = 0;
    switch (d->method.name) {
    case METHOD_SLOT_PLUG:
    case METHOD_SLOT_PACK:
        for (size_t k = 0; k < d->n_slots; k++) {
            double length = d->slots[k].to_m - d->slots[k].from_m;
            hours += length * takeoff_rate(s, "cut_slot_h_m") *
                     (d->slots[k].depth_m > ESTIMATE_DEEP_M ? takeoff_rate(s, "cut_deep_factor") : 1);
        }
        break;
    case METHOD_HOLE: hours = d->n_slots ? takeoff_rate(s, "hole_h_each") : 0; break;
    case METHOD_RING: hours = d->n_slots ? d->ring_length_m * takeoff_rate(s, "ring_h_m") : 0; break;
    case METHOD_CUT_BACK: hours = d->n_slots ? d->patch_m2 * takeoff_rate(s, "patch_h_m2") : 0; break;
    case METHOD_COAT:
    case METHOD_INJECT_CEMENT:
    case METHOD_INJECT_EPOXY:
    case METHOD_INJECT_POLYURETHANE:
    case METHOD_INJECT_ACRYLATE:
    case METHOD_FLEXIBLE:
    case METHOD_DRAIN:
    case METHOD_WATCH:
    case METHOD_ENGINEER:
    case METHOD_COUNT: break;
    }
    return hours;
}

/* Two people place a volume at the rate that bounds the batches. */
static double placing_hours(const survey *s, double volume_m3, const char *litres_a_minute) {
    return 2 * volume_m3 * 1000 / takeoff_rate(s, litres_a_minute) / 60;
}

void hours_count(const survey *s, const repair_design *d, const takeoff_leak *t,
                 const double ways[WAYS_COUNT], bool overhead, estimate_leak *out) {
    if (!design_is_priced(d)) return;
    double factor = overhead ? takeoff_rate(s, "overhead_factor") : 1;
    bool plugged = t->mixes[MIX_PLUG].material != NULL;
    bool bulk =
        d->method.name == METHOD_CUT_BACK || d->method.name == METHOD_HOLE; /* by volume, not by length */
    double pieces = plugged ? fmax(1, ceil(t->slot_length_m / ESTIMATE_PLUG_PIECE_M - 1e-9)) : 0;
    double plug_hours = bulk ? placing_hours(s, t->plug_volume_m3, "plug_place_l_min")
                             : pieces * takeoff_rate(s, "plug_h_each");
    double of_ways[HOURS_COUNT] = {0}, scanned_m = ways[WAYS_SCANNED];
    if (d->n_slots) scanned_m += fmax(t->slot_length_m, ESTIMATE_PLUG_PIECE_M);
    double pack_hours = bulk ? placing_hours(s, t->pack_volume_m3, "pack_place_l_min")
                             : t->slot_length_m * takeoff_rate(s, "pack_h_m");
    out->hours[HOURS_SETUP] = takeoff_rate(s, "setup_h_leak");
    out->hours[HOURS_SCAN] = scanned_m * ESTIMATE_SCAN_H_M;
    out->hours[HOURS_CUT] = cut_hours(s, d) * factor;
    out->hours[HOURS_WASH] = t->wash_m2 * takeoff_rate(s, "wash_h_m2") * factor;
    out->hours[HOURS_PLUG] = fmax(plug_hours, plugged ? takeoff_rate(s, "plug_h_each") : 0) * factor;
    out->hours[HOURS_RELIEF] = d->relief.wanted ? takeoff_rate(s, "relief_h_each") : 0;
    out->hours[HOURS_PACK] = pack_hours * factor;
    out->hours[HOURS_COAT] = (t->first_coat_m2 + t->last_coat_m2) * takeoff_rate(s, "coat_h_m2") * factor;
    ways_add_hours(s, ways, of_ways);
    for (int k = 0; k < HOURS_COUNT; k++) out->hours[k] += of_ways[k] * factor;
    for (int k = 0; k < HOURS_COUNT; k++) out->hours_total += out->hours[k];
}
