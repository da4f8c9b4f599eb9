#include "survey/catalogue.h"

#include "survey/fields.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))
#define GIVEN(value)                                                                                         \
    { true, value }
#define LITRES(value)                                                                                        \
    { true, (value) / 1000.0 }
#define MINUTES(value)                                                                                       \
    { true, (value)*60.0 }
#define DATA_NOTE "invented: replace by your maker's data sheet"
#define POWDER_TEMPERATURES                                                                                  \
    .lowest_c = GIVEN(5), .highest_c = GIVEN(35) /* never on frost, fresh mix at most 35 C */

/* Sizes and prices are invented; so are the shelf lives. */
static const survey_pack plug_packs[] = {{5, 29, {0}, GIVEN(365)}, {25, 118, {0}, GIVEN(365)}};
static const survey_pack slurry_packs[] = {{10, 27, {0}, GIVEN(365)}, {25, 54, {0}, GIVEN(365)}};
static const survey_pack pack_packs[] = {{10, 19, {0}, GIVEN(365)}, {25, 39, {0}, GIVEN(365)}};
static const survey_pack resin_packs[] = {{0, 96, LITRES(5), GIVEN(540)}, {0, 340, LITRES(20), GIVEN(540)}};
static const survey_pack sealant_packs[] = {{0, 11, LITRES(0.6), GIVEN(365)},
                                            {0, 190, LITRES(12), GIVEN(365)}};

#define PACKS(list) COUNT_OF(list), list

/* Parts by volume and working times are common practice; densities are our default for cement powders; the
 * coverage is the published rule of 2 lb/yd2 a coat below grade with a water head (Construction Waterproofing
 * Handbook, p. 3.27), read as powder. */
static const struct {
    size_t n_packs;
    const survey_pack *packs;
    survey_material m;
} materials[] = {
    {PACKS(plug_packs),
     {.id = "plug-generic",
      .name = "Fast-setting plug powder",
      .data_note = DATA_NOTE,
      .role = ROLE_PLUG,
      .bulk_kg_m3 = GIVEN(1200),
      .particle_kg_m3 = GIVEN(3000),
      .parts_powder = GIVEN(3),
      .parts_water = GIVEN(1),
      .pot_life_s = MINUTES(2),
      .set_time_s = MINUTES(2.5),
      POWDER_TEMPERATURES}},
    {PACKS(slurry_packs),
     {.id = "slurry-generic",
      .name = "Crystalline slurry powder",
      .data_note = DATA_NOTE,
      .role = ROLE_SLURRY,
      .bulk_kg_m3 = GIVEN(1200),
      .particle_kg_m3 = GIVEN(3000),
      .parts_powder = GIVEN(5),
      .parts_water = GIVEN(2),
      .pot_life_s = MINUTES(20),
      .coverage_kg_m2 = GIVEN(1.085),
      .coverage_last_kg_m2 = GIVEN(1.085),
      POWDER_TEMPERATURES}},
    {PACKS(pack_packs),
     {.id = "pack-generic",
      .name = "Dry-pack powder",
      .data_note = DATA_NOTE,
      .role = ROLE_PACK,
      .bulk_kg_m3 = GIVEN(1200),
      .particle_kg_m3 = GIVEN(3000),
      .parts_powder = GIVEN(6),
      .parts_water = GIVEN(1),
      .pot_life_s = MINUTES(20),
      POWDER_TEMPERATURES}},
    {PACKS(resin_packs),
     {.id = "resin-generic",
      .name = "Injection resin for wet cracks",
      .data_note = DATA_NOTE,
      .role = ROLE_RESIN,
      .density_kg_m3 = GIVEN(1100),
      .pot_life_s = MINUTES(30),
      .lowest_c = GIVEN(10),
      .highest_c = GIVEN(35)}},
    {PACKS(sealant_packs),
     {.id = "sealant-generic",
      .name = "Elastic joint sealant",
      .data_note = DATA_NOTE,
      .role = ROLE_SEALANT,
      .density_kg_m3 = GIVEN(1350),
      .pot_life_s = MINUTES(30),
      .lowest_c = GIVEN(5),
      .highest_c = GIVEN(35)}},
};

/* Each default is ours and to be replaced by the firm's own records; `published` ones name what they rest on.
 */
static const survey_rate rates[] = {
    {"cut_slot_h_m", "Cut a slot about 25 x 40 mm", "h/m",
     "our default, 0.4 to 0.8; the published slow rate for machine-cut chases 25 to 50 mm wide is 0.40 h/m",
     0.6, BASIS_DEFAULT},
    {"cut_deep_factor", "Slot chipped by hand to 75-100 mm: times", "-", "our default, plus 100 %", 2.0,
     BASIS_DEFAULT},
    {"overhead_factor", "Overhead or through steel: times", "-", "our default, plus 50 %", 1.5,
     BASIS_DEFAULT},
    {"chip_h_m", "Chip a slot by hand", "h/m",
     "published: chases in concrete 25 to 50 mm wide by hand, average 1.6 m/h (building services; depth not "
     "stated)",
     0.625, BASIS_PUBLISHED},
    {"wash_h_m2", "Wash and profile", "h/m2",
     "our default; sweeping, scrubbing and washing is published as 0.065 h/m2", 0.05, BASIS_DEFAULT},
    {"plug_h_each", "Set one plug", "h", "our default, 0.05 to 0.1", 0.075, BASIS_DEFAULT},
    {"pack_h_m", "Ram dry-pack", "h/m", "our default, 0.25 to 0.4", 0.33, BASIS_DEFAULT},
    {"coat_h_m2", "Brush one slurry coat", "h/m2", "our default, 0.08 to 0.12 each coat", 0.10,
     BASIS_DEFAULT},
    {"cure_visit_h", "Moist-cure visit", "h", "our default", 0.25, BASIS_DEFAULT},
    {"relief_h_each", "Set and later close a relief tube", "h", "our default", 0.5, BASIS_DEFAULT},
    {"setup_h_leak", "Set up at one leak: sheet, lights, hoses", "h", "our default", 0.5, BASIS_DEFAULT},
    {"patch_h_m2", "Cut back honeycomb", "h/m2",
     "published: exposing couplers with a breaker, 1.75 m2 in a day, taken as 8 h", 4.57, BASIS_PUBLISHED},
    {"hole_h_each", "Clean out a tie hole", "h", "our default", 0.25, BASIS_DEFAULT},
    {"ring_h_m", "Chip a ring round a pipe", "h/m", "our default, twice cut_slot_h_m", 1.2, BASIS_DEFAULT},
    {"waste_percent", "Waste of mixed material", "%", "our default", 10, BASIS_DEFAULT},
    {"wash_water_l_m2", "Wash water used", "l/m2", "our default", 10, BASIS_DEFAULT},
    {"spoil_bulking", "Cut concrete takes this many times its room", "-", "our default", 1.5, BASIS_DEFAULT},
    {"plug_place_l_min", "A pair places plug", "l/min", "our default: a fistful of 0.3 l held in a minute",
     0.3, BASIS_DEFAULT},
    {"pack_place_l_min", "A pair rams dry-pack", "l/min",
     "our default: pack_h_m in a slot with 0.46 l of pack a metre, two people", 0.05, BASIS_DEFAULT},
    {"coat_place_m2_min", "A pair brushes slurry", "m2/min", "our default: coat_h_m2, two people", 0.33,
     BASIS_DEFAULT},
    {"seal_past_limit_l_d", "Water that may leave beyond the end of a seal", "l/d",
     "GB 50108-2008 grade 3, each leak point (read through pages that quote it)", 2.5, BASIS_PUBLISHED},
    {"call_back_percent", "Leaks that must be done again", "%", "our default", 5, BASIS_DEFAULT},
};

/* All invented, without a currency of their own. */
static const survey_price prices[] = {
    {"labour_h", "Labour (invented)", "h", 52},
    {"plant_day", "Saw, breaker, mixer, vacuum (invented)", "day", 85},
    {"saw_blade_m", "Wear of saw blades (invented)", "m", 1.8},
    {"access_day", "Tower or platform (invented)", "day", 95},
    {"mobilisation", "Mobilisation (invented)", "job", 380},
    {"minimum_charge", "Minimum charge (invented)", "job", 950},
    {"dewatering_day", "Pump and hoses (invented)", "day", 70},
    {"disposal_wash_l", "Alkaline wash water and slurry taken away (invented)", "l", 0.4},
    {"disposal_spoil_kg", "Spoil taken away (invented)", "kg", 0.2},
    {"standby_h", "Standby (invented)", "h", 52},
    {"return_visit", "Return visit: cure, 24 h, 7 d, 28 d, high water (invented)", "visit", 145},
    {"relief_tube_each", "Relief tube (invented)", "each", 7.5},
    {"scan_m", "Scan for steel (invented)", "m", 8},
    {"overhead_percent", "Overhead (invented)", "%", 15},
    {"profit_percent", "Profit (invented)", "%", 10},
};

/* A value of the table as a person would type it in the units of the job: three digits. */
static double typed(units_quantity q, units_system system, double si) {
    char digits[TEXT_NUMBER];
    snprintf(digits, sizeof digits, "%.3g", units_from_si(q, system, si));
    return units_to_si(q, system, strtod(digits, NULL));
}

/* The table is metric; a US job gets round US numbers, which its files can carry exactly. */
static void retype(survey_fields table, units_system system, void *object) {
    for (size_t i = 0; i < table.n && system == UNITS_US; i++) {
        const survey_field *f = &table.fields[i];
        char *at = (char *)object + f->offset;
        maybe m = {true, 0};
        if (f->q == UNITS_PLAIN || (f->kind != FIELD_MAYBE && f->kind != FIELD_NUMBER)) continue;
        if (f->kind == FIELD_MAYBE)
            memcpy(&m, at, sizeof m);
        else
            memcpy(&m.v, at, sizeof m.v);
        m.v = typed(f->q, system, m.v);
        if (f->kind == FIELD_MAYBE && m.known)
            memcpy(at, &m, sizeof m);
        else if (f->kind == FIELD_NUMBER)
            memcpy(at, &m.v, sizeof m.v);
    }
}

static bool add_material(survey *s, size_t at) {
    const survey_material *m = &materials[at].m;
    for (size_t i = 0; i < s->n_materials; i++)
        if (strcmp(s->materials[i].id, m->id) == 0) return true;
    survey_pack *packs = arena_get(s->memory, materials[at].n_packs, sizeof *packs);
    survey_material *list = packs ? arena_push(s->memory, s->materials, &s->n_materials, sizeof *list) : NULL;
    if (!list) return false;
    memcpy(packs, materials[at].packs, materials[at].n_packs * sizeof *packs);
    s->materials = list;
    survey_material *added = &list[s->n_materials - 1];
    *added = *m;
    added->packs = packs;
    added->n_packs = materials[at].n_packs;
    added->origin = "catalogue";
    retype(survey_material_fields, s->site.system, added);
    for (size_t i = 0; i < added->n_packs; i++) retype(survey_pack_fields, s->site.system, &packs[i]);
    return true;
}

static bool add_rate(survey *s, const survey_rate *rate) {
    double value;
    if (survey_rate_value(s, rate->id, &value)) return true;
    survey_rate *list = arena_push(s->memory, s->rates, &s->n_rates, sizeof *list);
    if (!list) return false;
    s->rates = list;
    list[s->n_rates - 1] = *rate;
    return true;
}

static bool add_price(survey *s, const survey_price *price) {
    double value;
    if (survey_price_value(s, price->id, &value)) return true;
    survey_price *list = arena_push(s->memory, s->prices, &s->n_prices, sizeof *list);
    if (!list) return false;
    s->prices = list;
    list[s->n_prices - 1] = *price;
    return true;
}

status survey_catalogue_fill(survey *s, fault *why) {
    bool good = true;
    for (size_t i = 0; i < COUNT_OF(materials) && good; i++) good = add_material(s, i);
    for (size_t i = 0; i < COUNT_OF(rates) && good; i++) good = add_rate(s, &rates[i]);
    for (size_t i = 0; i < COUNT_OF(prices) && good; i++) good = add_price(s, &prices[i]);
    return good ? OK : fault_memory(why);
}

bool survey_rate_value(const survey *s, const char *id, double *value) {
    for (size_t i = 0; i < s->n_rates; i++) {
        if (strcmp(s->rates[i].id, id) != 0) continue;
        *value = s->rates[i].value;
        return true;
    }
    return false;
}

bool survey_price_value(const survey *s, const char *id, double *price) {
    for (size_t i = 0; i < s->n_prices; i++) {
        if (strcmp(s->prices[i].id, id) != 0) continue;
        *price = s->prices[i].price;
        return true;
    }
    return false;
}
