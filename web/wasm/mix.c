/* mix.c - the mix calculator at the wall: the project's own arithmetic, built for the browser.
 *
 * The page writes numbers in the job's units into the array that mix_in() gives, calls mix_run() and reads numbers
 * from mix_out() and texts from mix_text(i), or one sentence from mix_fault(). The order of the numbers is the two
 * enums here; web/src/wall/calculator.js repeats it. All conversion is core/units, all volume takeoff/left, all masses
 * takeoff/mix: the page itself computes nothing.
 *
 * Waste  is added to what a slot takes; a coat's planned volume has it in it; powder or water that lie there are
 * mixed as they are. Batches  by the planned batch, which the crew can place in the planned usable time; at another
 * temperature in proportion to the usable time there (pot life; plug: pot life or set, the shorter).
 * Threads  one instance, one caller: the arrays below are the memory it shares with the page. */
#include "takeoff/mix.h"
#include "core/limits.h"
#include "core/units.h"
#include "takeoff/left.h"

typedef enum {
    IN_SYSTEM, /* 0 metric, 1 US */
    IN_GIVEN,  /* 0 slot left, 1 volume, 2 powder, 3 water */
    IN_PART,   /* 0 plug, 1 pack, 2 coat */
    IN_LENGTH,
    IN_WIDTH,
    IN_DEPTH,
    IN_PLUG,
    IN_WHOLE,
    IN_COAT,
    IN_POWDER_PARTS,
    IN_WATER_PARTS,
    IN_BULK,
    IN_PARTICLE,
    IN_AIR,   /* densities in kg/m3 whatever the system */
    IN_WASTE, /* fraction */
    IN_NEED,  /* volume, powder or water when that is given */
    IN_BATCH, /* planned batch as mixed volume; 0 unknown */
    IN_USABLE_S,
    IN_POT_S,
    IN_SET_S, /* planned usable time; pot life and set at the chosen temperature, 0: as planned */
    IN_COUNT
} mix_in_at;

typedef enum {
    OUT_FILL, /* volume of the slot that is left, no waste in it; the need when that is given */
    OUT_POWDER,
    OUT_WATER,
    OUT_YIELD,
    OUT_DENSITY_KG_M3,
    OUT_RATIO,
    OUT_BATCHES,
    OUT_BATCH_POWDER,
    OUT_BATCH_WATER,
    OUT_BATCH_YIELD,
    OUT_COUNT
} mix_out_at;

static double given[IN_COUNT], found[OUT_COUNT];
static char words[OUT_COUNT][UNITS_SHOWN];
static fault trouble;

double *mix_in(void);
double *mix_out(void);
const char *mix_text(int at);
const char *mix_fault(void);
int mix_in_count(void);
int mix_out_count(void);
int mix_run(void);

__attribute__((export_name("mix_in"))) double *mix_in(void) {
    return given;
}
__attribute__((export_name("mix_out"))) double *mix_out(void) {
    return found;
}
__attribute__((export_name("mix_in_count"))) int mix_in_count(void) {
    return IN_COUNT;
}
__attribute__((export_name("mix_out_count"))) int mix_out_count(void) {
    return OUT_COUNT;
}
__attribute__((export_name("mix_fault"))) const char *mix_fault(void) {
    return trouble.text;
}
__attribute__((export_name("mix_text"))) const char *mix_text(int at) {
    return at >= 0 && at < OUT_COUNT ? words[at] : "";
}

static units_system units_of(void) {
    return given[IN_SYSTEM] == 1 ? UNITS_US : UNITS_METRIC;
}

static double to_si(units_quantity q, mix_in_at at) {
    return units_to_si(q, units_of(), given[at]);
}

/* What was typed, in the unit in which it was typed, so that the sentence speaks of that number. */
static status check_typed(left_part part, bool us) {
    const double longest = us ? 3000 : 1000,
                 widest = us ? 39 : 1000; /* of the same size as left.h, rounded */
    limits_item slot[] = {
        {us ? "Slot width (in)" : "Slot width (mm)", given[IN_WIDTH], 0, widest, true},
        {us ? "Depth as cut (in)" : "Depth as cut (mm)", given[IN_DEPTH], 0, widest, true},
        {us ? "Plug in the slot (in)" : "Plug in the slot (mm)", given[IN_PLUG], 0, given[IN_DEPTH], false},
    };
    limits_item length = {us ? "Length left (ft)" : "Length left (m)", given[IN_LENGTH], 0, longest, true};
    status code = limits_check(&length, 1, &trouble);
    return code == OK && part != LEFT_COAT ? limits_check(slot, 3, &trouble) : code;
}

static status slot_volume(left_part part, double *volume_m3) {
    status code = check_typed(part, units_of() == UNITS_US);
    if (code != OK) return code;
    left_slot slot = {to_si(UNITS_LENGTH, IN_LENGTH), to_si(UNITS_SIZE, IN_WIDTH),
                      to_si(UNITS_SIZE, IN_DEPTH),    to_si(UNITS_SIZE, IN_PLUG),
                      to_si(UNITS_LENGTH, IN_WHOLE),  to_si(UNITS_VOLUME, IN_COAT)};
    return left_volume(&slot, part, volume_m3, &trouble);
}

/* The planned batch, longer or shorter in proportion to the usable time at the chosen temperature. */
static double batch_limit_m3(left_part part) {
    double limit = to_si(UNITS_VOLUME, IN_BATCH), pot = given[IN_POT_S], set = given[IN_SET_S];
    double usable = part == LEFT_PLUG && set > 0 && set < pot ? set : pot;
    return usable > 0 && given[IN_USABLE_S] > 0 ? limit * (usable / given[IN_USABLE_S]) : limit;
}

/* A number out, in the job's units, and as a person reads it: decimals as on the step card. */
static void put(mix_out_at at, units_quantity q, double si) {
    int decimals = q == UNITS_MASS ? (si < 1 ? 2 : 1) : q == UNITS_VOLUME ? (si < 1e-3 ? 3 : 2) : 0;
    found[at] = units_from_si(q, units_of(), si);
    units_show(q, units_of(), si, decimals, words[at]);
}

static void put_all(const mix_result *mix, double fill_m3, int batches) {
    put(OUT_FILL, UNITS_VOLUME, fill_m3);
    put(OUT_POWDER, UNITS_MASS, mix->powder_kg);
    put(OUT_WATER, UNITS_VOLUME, mix->water_m3);
    put(OUT_YIELD, UNITS_VOLUME, mix->yield_m3);
    put(OUT_DENSITY_KG_M3, UNITS_PLAIN, mix->density_kg_m3);
    put(OUT_RATIO, UNITS_PLAIN, mix->water_powder_ratio);
    put(OUT_BATCHES, UNITS_PLAIN, batches);
    put(OUT_BATCH_POWDER, UNITS_MASS, mix->powder_kg / batches);
    put(OUT_BATCH_WATER, UNITS_VOLUME, mix->water_m3 / batches);
    put(OUT_BATCH_YIELD, UNITS_VOLUME, mix->yield_m3 / batches);
}

/* 0, or 1 with a sentence in mix_fault. */
__attribute__((export_name("mix_run"))) int mix_run(void) {
    trouble = (fault){0};
    left_part part = given[IN_PART] == 0 ? LEFT_PLUG : given[IN_PART] == 1 ? LEFT_PACK : LEFT_COAT;
    mix_recipe recipe = {given[IN_POWDER_PARTS], given[IN_WATER_PARTS], given[IN_BULK], given[IN_PARTICLE],
                         given[IN_AIR]};
    bool slot = given[IN_GIVEN] == 0;
    mix_given by = given[IN_GIVEN] == 2 ? MIX_BY_POWDER : given[IN_GIVEN] == 3 ? MIX_BY_WATER : MIX_BY_VOLUME;
    double need = to_si(by == MIX_BY_POWDER ? UNITS_MASS : UNITS_VOLUME, IN_NEED);
    if (slot && slot_volume(part, &need) != OK) return 1;
    double waste = slot && part == LEFT_COAT ? 0 : given[IN_WASTE];
    mix_result mix;
    if (mix_batch(&recipe, by, need, waste, &mix, &trouble) != OK) return 1;
    put_all(&mix, by == MIX_BY_VOLUME ? need : mix.yield_m3,
            left_batches(mix.yield_m3, batch_limit_m3(part)));
    return 0;
}
