/* estimate.h - hours and money by line, from quantities, rates and prices.
 * Every line is quantity times rate, in the job's units; the job's lines are the sum that the offer shows, with the lines often
 * forgotten (trade rule 21). Money is rounded to cents at each line, so that the printed lines add up to the
 * printed total; half a cent goes up, as on paper and in a spreadsheet. Threads  no shared state. */
#ifndef STANCH_PRICE_ESTIMATE_H
#define STANCH_PRICE_ESTIMATE_H

#include "takeoff/takeoff.h"

#define ESTIMATE_PLUG_PIECE_M                                                                                \
    0.150 /* a ball of plug fills this much slot, common practice (relief segment, trade rule 9) */
#define ESTIMATE_DEEP_M 0.050   /* deeper slots count as deep cutting, our default */
#define ESTIMATE_SCAN_H_M 0.05  /* our default: a metre of crack scanned both ways in three minutes */
#define ESTIMATE_MOIST_DAYS 3.0 /* keep moist 2-3 days, common practice; the longer */
#define ESTIMATE_MOIST_ROUNDS                                                                                \
    2.0 /* a day; our default; not those of works/moist.h, which move with the weather */
#define ESTIMATE_RETURN_VISITS                                                                               \
    4.0                        /* 24 h, 7 d, 28 d, high water (our default; cure visits are counted apart) */
#define ESTIMATE_STANDBY_H 2.0 /* waiting for hold points, our default */

typedef enum {
    LINE_LABOUR,
    LINE_PLANT,
    LINE_MATERIAL,
    LINE_SITE,
    LINE_RETURN,
    LINE_ADDITION,
    LINE_GROUPS
} estimate_group;
extern const char
    *const estimate_group_words[LINE_GROUPS]; /* labour, plant, material, site, return visits, additions */

typedef struct {
    estimate_group group;
    const char *label;
    double quantity;
    const char *unit;
    double rate;       /* money per unit */
    double amount;     /* money, whole cents */
    const char *basis; /* where quantity and rate come from */
    const char *
        code; /* never changes: id of its price, "hours_" and a work, "keep_moist"; of a lot the id of its material */
} estimate_line;

/* Labour-hours of one leak by step of work. */
typedef enum {
    HOURS_SETUP,
    HOURS_SCAN,
    HOURS_CUT,
    HOURS_WASH,
    HOURS_PLUG,
    HOURS_RELIEF,
    HOURS_PACK,
    HOURS_COAT,
    HOURS_DRILL,  /* ports and packers */
    HOURS_INJECT, /* seal the surface, flush, inject, strip */
    HOURS_SEAL,   /* rout, prime, backer, sealant */
    HOURS_DRAIN,  /* channel and outlet */
    HOURS_COUNT
} estimate_work;
extern const char *const estimate_work_words[HOURS_COUNT];
extern const char *const estimate_labour_labels[HOURS_COUNT]; /* of their lines: "Dry-pack" */

typedef struct {
    double hours[HOURS_COUNT], hours_total;
    double cost; /* labour and its own material, without the job's fixed lines */
} estimate_leak;

typedef struct {
    estimate_leak *leaks; /* in the order of the survey's defects */
    size_t n_leaks;
    estimate_line *lines;
    size_t n_lines;
    double hours_total, crew_days;
    double subtotal, total; /* whole cents */
} estimate;

/* A stage never guesses a rate: E_INPUT names the first rate or price that the stages need and the job lacks. What only
 * some designs use is asked for by estimate_price, which names the leak too.
 */
status estimate_check_rates(const survey *s, fault *why);

status estimate_price(const survey *s, const leak_water *leaks, const repair_design *designs,
                      const takeoff_job *takeoff, arena *memory, estimate *out, fault *why);

/* Whole cents, half a cent away from 0: products of decimals that are half a cent on paper are that here too. */
double estimate_cents(double money);

/* A price of the job by id; estimate_check_rates saw that it is there. */
double estimate_price_of(const survey *s, const char *id);

#endif
