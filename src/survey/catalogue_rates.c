/* The rates and prices of a new job. */
#include "survey/catalogue_lists.h"

/* clang-format off */
#define FIXED { false, 0 }, { false, 0 }                   /* no risk is told of it */
#define BETWEEN(least, most) { true, least }, { true, most } /* low and high of its risk */
/* clang-format on */

/* Each default is ours and to be replaced by the firm's own records; `published` ones name what they rest on.
 */
const survey_rate catalogue_rates[] = {
    {"cut_slot_h_m", "Cut a slot about 25 x 40 mm", "h/m",
     "our default, 0.4 to 0.8; the published slow rate for machine-cut chases 25 to 50 mm wide is 0.40 h/m",
     0.6, BASIS_DEFAULT, FIXED},
    {"cut_deep_factor", "Slot chipped by hand to 75-100 mm: times", "-", "our default, plus 100 %", 2.0,
     BASIS_DEFAULT, FIXED},
    {"overhead_factor", "Overhead or through steel: times", "-", "our default, plus 50 %", 1.5, BASIS_DEFAULT,
     FIXED},
    {"chip_h_m", "Chip a slot by hand", "h/m",
     "published: chases in concrete 25 to 50 mm wide by hand, average 1.6 m/h (building services; depth not "
     "stated)",
     0.625, BASIS_PUBLISHED, FIXED},
    {"wash_h_m2", "Wash and profile", "h/m2",
     "our default; sweeping, scrubbing and washing is published as 0.065 h/m2", 0.05, BASIS_DEFAULT, FIXED},
    {"plug_h_each", "Set one plug", "h", "our default, 0.05 to 0.1", 0.075, BASIS_DEFAULT, FIXED},
    {"pack_h_m", "Ram dry-pack", "h/m", "our default, 0.25 to 0.4", 0.33, BASIS_DEFAULT, FIXED},
    {"coat_h_m2", "Brush one slurry coat", "h/m2", "our default, 0.08 to 0.12 each coat", 0.10, BASIS_DEFAULT,
     FIXED},
    {"cure_visit_h", "Moist-cure visit", "h", "our default", 0.25, BASIS_DEFAULT, FIXED},
    {"relief_h_each", "Set and later close a relief tube", "h", "our default", 0.5, BASIS_DEFAULT, FIXED},
    {"setup_h_leak", "Set up at one leak: sheet, lights, hoses", "h", "our default", 0.5, BASIS_DEFAULT,
     FIXED},
    {"patch_h_m2", "Cut back honeycomb", "h/m2",
     "published: exposing couplers with a breaker, 1.75 m2 in a day, taken as 8 h", 4.57, BASIS_PUBLISHED,
     FIXED},
    {"hole_h_each", "Clean out a tie hole", "h", "our default", 0.25, BASIS_DEFAULT, FIXED},
    {"ring_h_m", "Chip a ring round a pipe", "h/m", "our default, twice cut_slot_h_m", 1.2, BASIS_DEFAULT,
     FIXED},
    {"waste_percent", "Waste of mixed material", "%", "our default", 10, BASIS_DEFAULT, FIXED},
    {"wash_water_l_m2", "Wash water used", "l/m2", "our default", 10, BASIS_DEFAULT, FIXED},
    {"spoil_bulking", "Cut concrete takes this many times its room", "-", "our default", 1.5, BASIS_DEFAULT,
     FIXED},
    {"plug_place_l_min", "A pair places plug", "l/min", "our default: a fistful of 0.3 l held in a minute",
     0.3, BASIS_DEFAULT, FIXED},
    {"pack_place_l_min", "A pair rams dry-pack", "l/min",
     "our default: pack_h_m in a slot with 0.46 l of pack a metre, two people", 0.05, BASIS_DEFAULT, FIXED},
    {"coat_place_m2_min", "A pair brushes slurry", "m2/min", "our default: coat_h_m2, two people", 0.33,
     BASIS_DEFAULT, FIXED},
    {"port_h_each", "Drill and set one packer", "h", "our default, 0.1 to 0.2", 0.15, BASIS_DEFAULT, FIXED},
    {"surface_seal_h_m", "Seal the face of a crack between its packers", "h/m", "our default, 0.15 to 0.3",
     0.2, BASIS_DEFAULT, FIXED},
    {"inject_h_port", "Flush and inject one packer, with the watching", "h",
     "our default: two people, six minutes", 0.2, BASIS_DEFAULT, FIXED},
    {"inject_place_l_min", "One pump fills a crack at low pressure", "l/min", "our default", 0.5,
     BASIS_DEFAULT, FIXED},
    {"strip_h_port", "Take out one packer, close its hole, grind the face clean", "h", "our default", 0.1,
     BASIS_DEFAULT, FIXED},
    {"rout_h_m", "Rout a groove for sealant", "h/m",
     "published: chases in concrete under 25 mm wide by machine, slow 3.1 m/h (building services; depth not "
     "stated)",
     0.32, BASIS_PUBLISHED, FIXED},
    {"seal_h_m", "Clean, prime, lay the backer and gun the sealant", "h/m", "our default, 0.2 to 0.3", 0.25,
     BASIS_DEFAULT, FIXED},
    {"sealant_place_l_min", "A pair guns and tools sealant", "l/min",
     "our default: half of seal_h_m, two people, a groove with 0.14 l a metre", 0.04, BASIS_DEFAULT, FIXED},
    {"drain_h_m", "Fix a drain channel", "h/m", "our default", 0.4, BASIS_DEFAULT, FIXED},
    {"outlet_h_each", "Outlet of a drain channel", "h", "our default", 1, BASIS_DEFAULT, FIXED},
    {"seal_past_limit_l_d", "Water that may leave beyond the end of a seal", "l/d",
     "GB 50108-2008 grade 3, each leak point (read through pages that quote it)", 2.5, BASIS_PUBLISHED,
     FIXED},
    {"call_back_percent", "Leaks that must be done again", "%", "our default", 5, BASIS_DEFAULT, FIXED},
};

/* All invented, without a currency of their own. */
const survey_price catalogue_prices[] = {
    {"labour_h", "Labour (invented)", "h", 52, FIXED},
    {"plant_day", "Saw, breaker, mixer, vacuum (invented)", "day", 85, FIXED},
    {"saw_blade_m", "Wear of saw blades (invented)", "m", 1.8, FIXED},
    {"access_day", "Tower or platform (invented)", "day", 95, FIXED},
    {"mobilisation", "Mobilisation (invented)", "job", 380, FIXED},
    {"minimum_charge", "Minimum charge (invented)", "job", 950, FIXED},
    {"dewatering_day", "Pump and hoses (invented)", "day", 70, FIXED},
    {"disposal_wash_l", "Alkaline wash water and slurry taken away (invented)", "l", 0.4, FIXED},
    {"disposal_spoil_kg", "Spoil taken away (invented)", "kg", 0.2, FIXED},
    {"standby_h", "Standby (invented)", "h", 52, FIXED},
    {"return_visit", "Return visit: cure, 24 h, 7 d, 28 d, high water (invented)", "visit", 145, FIXED},
    {"relief_tube_each", "Relief tube (invented)", "each", 7.5, FIXED},
    {"scan_m", "Scan for steel (invented)", "m", 8, FIXED},
    {"packer_each", "Injection packer (invented)", "each", 4.5, FIXED},
    {"drill_bit_m", "Wear of drill bits (invented)", "m", 2.4, FIXED},
    {"surface_seal_m", "Paste to seal the face of a crack (invented)", "m", 3.5, FIXED},
    {"backer_m", "Backer rod (invented)", "m", 0.6, FIXED},
    {"channel_m", "Drain channel with its fixings (invented)", "m", 14, FIXED},
    {"outlet_each", "Outlet of a drain channel (invented)", "each", 38, FIXED},
    {"overhead_percent", "Overhead (invented)", "%", 15, FIXED},
    {"profit_percent", "Profit (invented)", "%", 10, FIXED},
};
const size_t catalogue_n_rates = sizeof catalogue_rates / sizeof *catalogue_rates;
const size_t catalogue_n_prices = sizeof catalogue_prices / sizeof *catalogue_prices;
