/* The generic materials of a new job. */
#include "survey/catalogue_lists.h"

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
static const survey_pack grout_packs[] = {{0, 48, LITRES(10), GIVEN(180)}, {0, 105, LITRES(25), GIVEN(180)}};
static const survey_pack epoxy_packs[] = {{0, 42, LITRES(1), GIVEN(540)}, {0, 175, LITRES(5), GIVEN(540)}};
static const survey_pack resin_packs[] = {{0, 96, LITRES(5), GIVEN(540)}, {0, 340, LITRES(20), GIVEN(540)}};
static const survey_pack gel_packs[] = {{0, 120, LITRES(10), GIVEN(365)}, {0, 420, LITRES(40), GIVEN(365)}};
static const survey_pack sealant_packs[] = {{0, 11, LITRES(0.6), GIVEN(365)},
                                            {0, 190, LITRES(12), GIVEN(365)}};

#define PACKS(list) COUNT_OF(list), list

/* Parts by volume and working times are common practice; densities are our default for cement powders; the
 * coverage is the published rule of 2 lb/yd2 a coat below grade with a water head (Construction Waterproofing
 * Handbook, p. 3.27), read as powder. */
const catalogue_material catalogue_materials[] = {
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
    /* Sold as mixed: suspension, both components. At least 10 C for resin: UFC 4-150-07; for cement as the powders. */
    {PACKS(grout_packs),
     {.id = "resin-cement",
      .name = "Microfine cement suspension",
      .data_note = DATA_NOTE,
      .role = ROLE_RESIN,
      .resin = RESIN_CEMENT,
      .density_kg_m3 = GIVEN(1500),
      .pot_life_s = MINUTES(60),
      .lowest_c = GIVEN(5),
      .highest_c = GIVEN(35)}},
    {PACKS(epoxy_packs),
     {.id = "resin-epoxy",
      .name = "Epoxy injection resin",
      .data_note = DATA_NOTE,
      .role = ROLE_RESIN,
      .resin = RESIN_EPOXY,
      .density_kg_m3 = GIVEN(1080),
      .pot_life_s = MINUTES(30),
      .lowest_c = GIVEN(10),
      .highest_c = GIVEN(35)}},
    {PACKS(resin_packs),
     {.id = "resin-generic",
      .name = "Polyurethane injection resin for wet cracks",
      .data_note = DATA_NOTE,
      .role = ROLE_RESIN,
      .resin = RESIN_POLYURETHANE,
      .density_kg_m3 = GIVEN(1100),
      .pot_life_s = MINUTES(30),
      .lowest_c = GIVEN(10),
      .highest_c = GIVEN(35)}},
    {PACKS(gel_packs),
     {.id = "resin-acrylate",
      .name = "Acrylate gel",
      .data_note = DATA_NOTE,
      .role = ROLE_RESIN,
      .resin = RESIN_ACRYLATE,
      .density_kg_m3 = GIVEN(1050),
      .pot_life_s = MINUTES(20),
      .lowest_c = GIVEN(5),
      .highest_c = GIVEN(35)}},
    {PACKS(sealant_packs),
     {.id = "sealant-generic",
      .name = "Elastic joint sealant",
      .data_note = DATA_NOTE,
      .role = ROLE_SEALANT,
      .movement_percent = GIVEN(25), /* class 25 of ASTM C920 (value from memory) */
      .density_kg_m3 = GIVEN(1350),
      .pot_life_s = MINUTES(30),
      .lowest_c = GIVEN(5),
      .highest_c = GIVEN(35)}},
};
const size_t catalogue_n_materials = COUNT_OF(catalogue_materials);
