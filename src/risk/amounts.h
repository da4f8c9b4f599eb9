/* amounts.h - what one leak of a plan takes, in the amounts that the lines of its price are counted from; only for src/risk.
 *
 * The same amounts and rates as price/hours.h and price/estimate.h, but kept apart from their rates, so that a run can take
 * others. tests/verify/test_risk.c holds the sums to the printed price.
 * Takes one side  what bounds a leak's injecting or placing at the job's rates (packers or pump, one plug or litres) bounds it in
 *   every run.   Units  SI, litres where a rate counts them.   Threads  no shared state. */
#ifndef STANCH_RISK_AMOUNTS_H
#define STANCH_RISK_AMOUNTS_H

#include "plan/plan.h"

/* What a run may set otherwise: rates, then prices, by the ids in risk_value_ids. */
typedef enum {
    VALUE_CUT,
    VALUE_CUT_DEEP,
    VALUE_OVERHEAD,
    VALUE_WASH,
    VALUE_PLUG,
    VALUE_PACK,
    VALUE_COAT,
    VALUE_CURE,
    VALUE_RELIEF,
    VALUE_SETUP,
    VALUE_PATCH,
    VALUE_HOLE,
    VALUE_RING,
    VALUE_WASTE,
    VALUE_WASH_WATER,
    VALUE_PLUG_PLACE,
    VALUE_PACK_PLACE,
    VALUE_PORT,
    VALUE_FACE,
    VALUE_INJECT,
    VALUE_INJECT_PLACE,
    VALUE_STRIP,
    VALUE_ROUT,
    VALUE_SEAL,
    VALUE_DRAIN,
    VALUE_OUTLET,
    VALUE_DEPTH,
    VALUE_PRICES, /* the first price */
    VALUE_LABOUR = VALUE_PRICES,
    VALUE_PLANT_DAY,
    VALUE_BLADE_M,
    VALUE_ACCESS_DAY,
    VALUE_MOBILISATION,
    VALUE_MINIMUM,
    VALUE_DEWATERING_DAY,
    VALUE_WASH_L,
    VALUE_SPOIL_KG,
    VALUE_STANDBY_H,
    VALUE_RETURN,
    VALUE_TUBE,
    VALUE_SCAN_M,
    VALUE_PARTS, /* RISK_PARTS of them, in the order of ways_part */
    VALUE_OVERHEAD_PERCENT = VALUE_PARTS + 6,
    VALUE_PROFIT_PERCENT,
    VALUES
} risk_value;
enum { RISK_PARTS = VALUE_OVERHEAD_PERCENT - VALUE_PARTS };
extern const char *const risk_value_ids[VALUES];

/* Hours: an amount times a rate, or litres that two people place at a rate. */
typedef enum {
    WORK_SETUP,
    WORK_SCAN,
    WORK_RELIEF,
    WORK_CUT,
    WORK_CUT_DEEP,
    WORK_HOLE,
    WORK_RING,
    WORK_PATCH,
    WORK_WASH,
    WORK_PLUG,
    WORK_PLUG_L,
    WORK_PACK,
    WORK_PACK_L,
    WORK_COAT,
    WORK_PORT,
    WORK_FACE,
    WORK_INJECT,
    WORK_PUMPED_L,
    WORK_STRIP,
    WORK_ROUT,
    WORK_SEAL,
    WORK_DRAIN,
    WORK_OUTLET,
    WORKS
} risk_work;
typedef struct {
    estimate_work step;
    risk_value rate;
    bool placed; /* litres */
} risk_hours;
extern const risk_hours risk_works[WORKS];

/* Places in a list of amounts: hours at walls and floors, the same overhead, what lines count, needs of each material. */
enum {
    AMOUNT_OVERHEAD = WORKS,
    AMOUNT_BLADE_M = 2 * WORKS,
    AMOUNT_SCANNED_M,
    AMOUNT_TUBES,
    AMOUNT_WASH_M2, /* that wash water is counted from */
    AMOUNT_SPOIL_KG,
    AMOUNT_PUMP_M3_S,
    AMOUNT_PARTS,
    AMOUNT_MATERIALS = AMOUNT_PARTS + RISK_PARTS /* one for each of the survey's */
};
size_t risk_amounts_count(const survey *s);

typedef struct {
    double *fixed;  /* whatever its length comes out as */
    double *scaled; /* as it was measured; goes with the length */
    double *deep;   /* more of each when slots come out twice as deep; goes with the length */
} risk_amounts;

/* Leak i of a plan, into lists of zeros. */
void risk_amounts_add(const plan *p, size_t i, risk_amounts *out);

#endif
