/* takeoff.h - how much of everything: areas, volumes, powders and water by step, batches, packs to buy.
 *
 * Areas  real geometry by geom/bands.h: coats clipped to the faces, openings out, overlaps once, carried round folds
 *   (trade rule 20), shared by area among the leaks whose coats hang together there.
 * Mixes  by mix.h; coats by coverage (powder per area), waste as the rate `waste_percent`.
 * Batches  no larger than the crew can place within the time that the material gives: the pot life at the temperature of
 *   the mixed material; of plug also the set time at the warmer of wall and leaking water, whichever is shorter (trade rule
 *   12); the maker's 20 C value scaled by settime.h; 80 % of that time is counted (our default).
 * Patches  a honeycomb cut back is packed through; a fifth of its volume (our default) is plug where water runs out of it.
 * Ways without a slot: ways.h; holes, rings and patches by the design's own volume: place.h.
 * Packs  cheapest whole packs that cover the need within their shelf life: an integer programme (GLPK).
 * Units  SI.   Threads  no shared state. */
#ifndef STANCH_TAKEOFF_TAKEOFF_H
#define STANCH_TAKEOFF_TAKEOFF_H

#include "repair/design.h"

#define TAKEOFF_USED_PART 0.8 /* of pot life or set time, our default */

typedef enum { MIX_PLUG, MIX_FIRST_COAT, MIX_PACK, MIX_LAST_COAT, MIX_COUNT } takeoff_step;
extern const char *const takeoff_step_words[MIX_COUNT]; /* plug, first coat, dry-pack, last coat */

typedef struct {
    const survey_material *material;       /* NULL: step not needed */
    double volume_m3, powder_kg, water_m3; /* with waste; powder_kg 0 and material NULL when not needed */
    double usable_s;                       /* from mixing to placed */
    double set_s;         /* plug: set at the colder of wall and leaking water: hold so long */
    double temperature_c; /* of the mixed material */
    int batches;
    double batch_powder_kg, batch_water_m3, batch_volume_m3;
} takeoff_mix;

/* What is injected or filled in by volume: resin or sealant. */
typedef struct {
    const survey_material *material; /* NULL: none */
    double volume_m3;                /* with waste */
    double usable_s;                 /* pot life at the temperature of the mixed material; 0: not known */
    int batches;
    double batch_volume_m3;
} takeoff_fill;

typedef struct {
    takeoff_fill fill;
    int packers;                         /* one a port */
    double drill_m, backer_m, channel_m; /* holes for the packers in all; backer rod; drain channel */
    double slot_length_m, slot_area_m2, slot_volume_m3;
    double plug_volume_m3, pack_volume_m3;
    double band_own_m2, band_share_m2; /* alone on the wall; its share of the union */
    double first_coat_m2, last_coat_m2, wash_m2;
    takeoff_mix mixes[MIX_COUNT];
    double wash_water_m3, spoil_kg;
} takeoff_leak;

typedef struct {
    const survey_pack *pack;
    int count;
} takeoff_packs;

typedef struct {
    const survey_material *material;
    double need_kg, bought_kg, left_kg, cost;
    double need_m3, bought_m3, left_m3; /* of what is sold by volume; then the three above are 0 */
    takeoff_packs *packs;
    size_t n_packs;
    const char *problem; /* NULL, or why the need cannot be bought ("no pack outlasts 45 days") */
} takeoff_order;

/* A closed outline on a face for drawing: the union of the coats. Rings: the first is the outer one, others
 * are holes. */
typedef struct {
    size_t face; /* index in the survey */
    survey_ring *rings;
    size_t n_rings;
} takeoff_outline;

typedef struct {
    takeoff_leak *leaks; /* in the order of the survey's defects */
    size_t n_leaks;
    takeoff_order *orders;
    size_t n_orders;
    takeoff_outline *coats; /* union of all coats */
    size_t n_coats;
    takeoff_outline *slots; /* slot mouths */
    size_t n_slots;
    double *face_coat_m2; /* per face of the survey */
    double slot_length_m, slot_volume_m3, coat_m2, first_coat_m2, last_coat_m2, wash_m2, overlap_saved_m2;
    double wash_water_m3, spoil_kg;
    int packers;
    double drill_m, backer_m, channel_m, resin_m3, sealant_m3;
} takeoff_job;

/* All leaks of a job at once, since their coats share the faces. `designs` in the order of the survey's
 * defects. */
status takeoff_measure(const survey *s, const leak_water *leaks, const repair_design *designs, arena *memory,
                       takeoff_job *out, fault *why);

/* Resin and sealant are counted and sold by volume, all else by mass; a pack's size so: m3 or kg, 0 where it cannot be told. */
bool takeoff_by_volume(const survey_material *material);
double takeoff_pack_size(const survey_material *material, const survey_pack *pack);

/* An order as it is shown: in the quantity by which it is sold. */
typedef struct {
    units_quantity q; /* UNITS_MASS or UNITS_VOLUME */
    double need, bought, left;
} takeoff_amount;
takeoff_amount takeoff_amount_of(const takeoff_order *order);

/* Packs to buy for one material (need: kg or m3 as above); exposed for tests. days: from buying to last use. */
status takeoff_buy(const survey_material *material, double need, double days, arena *memory,
                   takeoff_order *out, fault *why);

/* Pot life and set time of a material mixed and placed at a temperature (0 to 60 C), as the mixes have them; *set_s is
 * 0 for what is no plug and names no set time. */
status takeoff_times(const survey_material *material, double temperature_c, double *pot_s, double *set_s,
                     fault *why);

/* How fast the crew places the mix of a step, or for MIX_COUNT what is filled in, in m3 a minute; 0: nothing to place. */
double takeoff_place_m3_min(const survey *s, const takeoff_leak *leak, takeoff_step step);

/* Of the mixed material: measured, or our default 20 C. */
double takeoff_mix_temperature_c(const survey *s);
/* A rate of the job by id; estimate_check_rates saw that it is there. */
double takeoff_rate(const survey *s, const char *id);

#endif
