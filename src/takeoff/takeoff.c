#include "takeoff/takeoff.h"

#include "crew/settime.h"
#include "survey/catalogue.h"
#include "takeoff/layout.h"
#include "takeoff/left.h"
#include "takeoff/mix.h"
#include "takeoff/place.h"
#include "takeoff/ways.h"

#include <math.h>
#include <string.h>

const char *const takeoff_step_words[MIX_COUNT] = {"plug", "first coat", "dry-pack", "last coat"};

static const double MIX_C = 20,
                    WALL_C = 10; /* where the site does not say, our defaults, marked in the plan */
static const double ACTIVATION_J_MOL = 40000; /* our default (settime.h) */
static const double POT_LIFE_S = 1200,
                    SET_S = 150;        /* 20 min of coat and pack, 2.5 min of plug: common practice */
static const double PATCH_PLUG = 0.2;   /* of a patch, where water runs out of it, our default */
static const double DAYS_TO_START = 14; /* from buying to use, our default */
static const double COVERAGE_KG_M2 = 1.085,
                    COVERAGE_LAST_KG_M2 = 0.543; /* Construction Waterproofing Handbook p. 3.27 */

double takeoff_rate(const survey *s, const char *id) {
    double value = 0;
    survey_rate_value(s, id, &value);
    return value;
}

typedef struct {
    const survey *s;
    const leak_water *leaks;
    const repair_design *designs;
    arena *memory;
    takeoff_job *out;
    fault *why;
} measuring;

/* By the design's own geometry for a place, else the mouth as bands has it times the depths. */
static void add_volumes(const repair_design *design, const layout_owner *owner, const bands_amount *a,
                        takeoff_leak *leak) {
    place_volumes v;
    if (!place_measure(design, a->slot_area_m2, &v))
        v = (place_volumes){a->slot_volume_m3, a->slot_area_m2 * owner->plug_m,
                            a->slot_area_m2 * owner->pack_m};
    leak->slot_volume_m3 += v.cut_m3;
    leak->plug_volume_m3 += v.plug_m3;
    leak->pack_volume_m3 += v.pack_m3;
}

static void add_amounts(const measuring *m, const layout *plan, const bands_result *bands) {
    for (size_t i = 0; i < plan->input.items_n; i++) {
        const bands_amount *a = &bands->items[i];
        const layout_owner *owner = &plan->owners[i];
        takeoff_leak *leak = &m->out->leaks[owner->leak];
        double share = a->band_area_m2 - a->overlap_saved_m2, sides = a->first_coat_area_m2 - a->band_area_m2;
        leak->slot_length_m += plan->input.items[i].slot.depth_m > 0 ? a->line_length_m : 0;
        leak->slot_area_m2 += a->slot_area_m2;
        add_volumes(&m->designs[owner->leak], owner, a, leak);
        leak->band_own_m2 += a->band_area_m2;
        leak->band_share_m2 += share;
        leak->last_coat_m2 += share;
        leak->first_coat_m2 += share + sides;
        leak->wash_m2 += share + (a->wash_area_m2 - a->band_area_m2);
    }
}

double takeoff_mix_temperature_c(const survey *s) {
    return s->site.mix_c.known ? s->site.mix_c.v : MIX_C;
}

static double wall_temperature(const survey_site *site) {
    return site->wall_c.known ? site->wall_c.v : WALL_C;
}

static status time_at(double at_20c_s, double temperature_c, double *seconds, fault *why) {
    settime_result set;
    status code = settime_at(at_20c_s / 60, 20, temperature_c, ACTIVATION_J_MOL, &set, why);
    if (code == OK) *seconds = set.minutes * 60;
    return code;
}

/* At 20 C, the maker's or ours; 0: nothing is known and nothing assumed. */
static double pot_20c_s(const survey_material *material) {
    return material->pot_life_s.known ? material->pot_life_s.v : POT_LIFE_S;
}

static double set_20c_s(const survey_material *material) {
    if (material->set_time_s.known) return material->set_time_s.v;
    return material->role == ROLE_PLUG ? SET_S : 0;
}

status takeoff_times(const survey_material *material, double temperature_c, double *pot_s, double *set_s,
                     fault *why) {
    double set_20c = set_20c_s(material);
    *set_s = 0;
    status code = time_at(pot_20c_s(material), temperature_c, pot_s, why);
    if (code == OK && set_20c > 0) code = time_at(set_20c, temperature_c, set_s, why);
    return code;
}

/* Usable time of a mix, and for plug how long it must be held (rule 12). */
static status time_mix(const measuring *m, size_t leak, takeoff_step step, takeoff_mix *mix) {
    const survey_material *material = mix->material;
    double wall = wall_temperature(&m->s->site), water = m->leaks[leak].water_c, first = 0;
    mix->temperature_c = takeoff_mix_temperature_c(m->s);
    status code = time_at(pot_20c_s(material), mix->temperature_c, &mix->usable_s, m->why);
    if (code != OK || step != MIX_PLUG) return code;
    code = time_at(set_20c_s(material), fmax(wall, water), &first, m->why);
    if (code == OK) code = time_at(set_20c_s(material), fmin(wall, water), &mix->set_s, m->why);
    mix->usable_s = fmin(mix->usable_s, first);
    return code;
}

double takeoff_place_m3_min(const survey *s, const takeoff_leak *leak, takeoff_step step) {
    if (step == MIX_PLUG) return takeoff_rate(s, "plug_place_l_min") / 1000;
    if (step == MIX_PACK) return takeoff_rate(s, "pack_place_l_min") / 1000;
    if (step == MIX_COUNT) return leak->fill.material ? ways_place_m3_min(s, leak->fill.material) : 0;
    double area_m2 = step == MIX_FIRST_COAT ? leak->first_coat_m2 : leak->last_coat_m2;
    double m2_min = takeoff_rate(s, "coat_place_m2_min");
    return area_m2 > 0 ? leak->mixes[step].volume_m3 * m2_min / area_m2 : 0;
}

static void split_batches(const measuring *m, size_t leak, takeoff_step step, takeoff_mix *mix) {
    double minutes = mix->usable_s / 60 * TAKEOFF_USED_PART;
    double place_m3_min = takeoff_place_m3_min(m->s, &m->out->leaks[leak], step);
    mix->batches = left_batches(mix->volume_m3, place_m3_min * minutes);
    mix->batch_powder_kg = mix->powder_kg / mix->batches;
    mix->batch_water_m3 = mix->water_m3 / mix->batches;
    mix->batch_volume_m3 = mix->volume_m3 / mix->batches;
}

/* Powder and water for a volume (plug, pack) or for a mass of powder (coats). */
static status mix_step(const measuring *m, size_t leak, takeoff_step step, double volume_m3, double area_m2) {
    static const survey_role roles[MIX_COUNT] = {ROLE_PLUG, ROLE_SLURRY, ROLE_PACK, ROLE_SLURRY};
    takeoff_mix *mix = &m->out->leaks[leak].mixes[step];
    const survey_material *material = survey_find_role(m->s, roles[step]);
    if (!(volume_m3 > 0) && !(area_m2 > 0)) return OK;
    if (!material)
        return fault_set(m->why, E_INPUT, "materials: none has the role %s, which leak %s needs",
                         survey_role_words[roles[step]], m->s->defects[leak].mark);
    mix_recipe recipe = {material->parts_powder.v, material->parts_water.v, material->bulk_kg_m3.v,
                         material->particle_kg_m3.v, 0};
    double waste = takeoff_rate(m->s, "waste_percent") / 100, need = volume_m3;
    if (area_m2 > 0) {
        double first = material->coverage_kg_m2.known ? material->coverage_kg_m2.v : COVERAGE_KG_M2;
        double last =
            material->coverage_last_kg_m2.known ? material->coverage_last_kg_m2.v : COVERAGE_LAST_KG_M2;
        need = area_m2 * (step == MIX_FIRST_COAT ? first : last);
    }
    mix_result result;
    status code =
        mix_batch(&recipe, area_m2 > 0 ? MIX_BY_POWDER : MIX_BY_VOLUME, need, waste, &result, m->why);
    if (code != OK) return code;
    mix->material = material;
    mix->volume_m3 = result.yield_m3;
    mix->powder_kg = result.powder_kg;
    mix->water_m3 = result.water_m3;
    code = time_mix(m, leak, step, mix);
    if (code == OK) split_batches(m, leak, step, mix);
    return code;
}

static status mix_leak(const measuring *m, size_t i) {
    takeoff_leak *leak = &m->out->leaks[i];
    if (m->designs[i].method.name == METHOD_CUT_BACK && m->leaks[i].worst >= WET_SEEP) {
        leak->plug_volume_m3 = PATCH_PLUG * leak->pack_volume_m3;
        leak->pack_volume_m3 -= leak->plug_volume_m3;
    }
    leak->plug_volume_m3 += place_relief_m3(&m->designs[i]);
    leak->wash_water_m3 = takeoff_rate(m->s, "wash_water_l_m2") / 1000 * leak->wash_m2;
    leak->spoil_kg = leak->slot_volume_m3 * WAYS_CONCRETE_KG_M3;
    status code = mix_step(m, i, MIX_PLUG, leak->plug_volume_m3, 0);
    if (code == OK) code = mix_step(m, i, MIX_FIRST_COAT, 0, leak->first_coat_m2);
    if (code == OK) code = mix_step(m, i, MIX_PACK, leak->pack_volume_m3, 0);
    if (code == OK) code = mix_step(m, i, MIX_LAST_COAT, 0, leak->last_coat_m2);
    return code == OK ? ways_measure(m->s, &m->designs[i], m->s->defects[i].mark, leak, m->why) : code;
}

static void add_totals(takeoff_job *out, const bands_result *bands) {
    out->overlap_saved_m2 = bands->total.overlap_saved_m2;
    for (size_t i = 0; i < out->n_leaks; i++) {
        const takeoff_leak *leak = &out->leaks[i];
        out->slot_length_m += leak->slot_length_m;
        out->slot_volume_m3 += leak->slot_volume_m3;
        out->coat_m2 += leak->band_share_m2;
        out->first_coat_m2 += leak->first_coat_m2;
        out->last_coat_m2 += leak->last_coat_m2;
        out->wash_m2 += leak->wash_m2;
        out->wash_water_m3 += leak->wash_water_m3;
        out->spoil_kg += leak->spoil_kg;
        out->packers += leak->packers;
        out->drill_m += leak->drill_m;
        out->backer_m += leak->backer_m;
        out->channel_m += leak->channel_m;
        if (leak->fill.material)
            *(leak->fill.material->role == ROLE_RESIN ? &out->resin_m3 : &out->sealant_m3) +=
                leak->fill.volume_m3;
    }
}

static status copy_outline(const measuring *m, size_t face, const face_polygon *from, takeoff_outline **list,
                           size_t *n) {
    takeoff_outline *outlines = arena_push(m->memory, *list, n, sizeof *outlines);
    if (!outlines) return fault_memory(m->why);
    *list = outlines;
    takeoff_outline *to = &outlines[*n - 1];
    to->face = face;
    to->n_rings = 1 + from->holes_n;
    to->rings = arena_get(m->memory, to->n_rings, sizeof *to->rings);
    if (!to->rings) return fault_memory(m->why);
    for (size_t i = 0; i < to->n_rings; i++) {
        const face_run *run = i == 0 ? &from->outer : &from->holes[i - 1];
        to->rings[i].points = arena_get(m->memory, run->n, sizeof *to->rings[i].points);
        if (!to->rings[i].points) return fault_memory(m->why);
        memcpy(to->rings[i].points, run->points, run->n * sizeof *run->points);
        to->rings[i].n_points = run->n;
    }
    return OK;
}

static status copy_outlines(const measuring *m, const layout *plan, const bands_result *bands) {
    takeoff_job *out = m->out;
    out->face_coat_m2 = arena_get(m->memory, m->s->n_faces, sizeof *out->face_coat_m2);
    if (!out->face_coat_m2) return fault_memory(m->why);
    status code = OK;
    for (size_t f = 0; code == OK && f < m->s->n_faces; f++) {
        out->face_coat_m2[f] = bands->faces[f].amount.band_area_m2;
        for (size_t i = 0; code == OK && i < bands->faces[f].bands_n; i++)
            code = copy_outline(m, f, &bands->faces[f].bands[i], &out->coats, &out->n_coats);
    }
    for (size_t p = 0; code == OK && p < bands->parts_n; p++) {
        const bands_part *part = &bands->parts[p];
        bool cut = plan->input.items[part->item].slot.depth_m > 0;
        for (size_t i = 0; cut && code == OK && i < part->slots_n; i++)
            code = copy_outline(m, part->face, &part->slots[i], &out->slots, &out->n_slots);
    }
    return code;
}

/* kg, or m3 of what is sold by volume. */
static double needed(const takeoff_job *job, const survey_material *material) {
    double need = 0;
    for (size_t k = 0; k < job->n_leaks; k++) {
        const takeoff_leak *leak = &job->leaks[k];
        for (int step = 0; step < MIX_COUNT; step++)
            if (leak->mixes[step].material == material) need += leak->mixes[step].powder_kg;
        if (leak->fill.material == material) need += leak->fill.volume_m3;
    }
    return need;
}

static status order_packs(const measuring *m) {
    takeoff_job *out = m->out;
    double days = m->s->site.days_to_start.known ? m->s->site.days_to_start.v : DAYS_TO_START;
    for (size_t i = 0; i < m->s->n_materials; i++) {
        const survey_material *material = &m->s->materials[i];
        double need = needed(out, material);
        if (!(need > 0)) continue;
        takeoff_order *orders = arena_push(m->memory, out->orders, &out->n_orders, sizeof *orders);
        if (!orders) return fault_memory(m->why);
        out->orders = orders;
        status code = takeoff_buy(material, need, days, m->memory, &orders[out->n_orders - 1], m->why);
        if (code != OK) return code;
    }
    return OK;
}

status takeoff_measure(const survey *s, const leak_water *leaks, const repair_design *designs, arena *memory,
                       takeoff_job *out, fault *why) {
    measuring m = {s, leaks, designs, memory, out, why};
    layout items;
    bands_result bands;
    *out = (takeoff_job){.n_leaks = s->n_defects};
    out->leaks = arena_get(memory, s->n_defects, sizeof *out->leaks);
    if (!out->leaks) return fault_memory(why);
    status code = layout_items(s, designs, memory, &items, why);
    if (code == OK) code = bands_compute(&items.input, memory, &bands, why);
    if (code != OK) return code;
    add_amounts(&m, &items, &bands);
    for (size_t i = 0; code == OK && i < s->n_defects; i++) code = mix_leak(&m, i);
    if (code == OK) code = copy_outlines(&m, &items, &bands);
    if (code == OK) code = order_packs(&m);
    if (code == OK) add_totals(out, &bands);
    return code;
}
