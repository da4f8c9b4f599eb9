/* ways.h - hours, small parts and what is scanned where nothing is slotted: injection, flexible seal, drain channel; for
 * src/price, its risk and the spreadsheet of an offer. Each hour and each part is an amount of one leak times a rate or price of
 * the job.
 *
 * Injection takes the longer of the packers' time and two people at the pump. Where the wet side is sealed first its paste is
 * counted too.   Units  SI, hours, money.   Threads  no shared state. */
#ifndef STANCH_PRICE_WAYS_H
#define STANCH_PRICE_WAYS_H

#include "price/estimate.h"

typedef enum {
    WAYS_PACKERS,
    WAYS_DRILLED, /* m of holes */
    WAYS_FACE,    /* m of face sealed: of crack, or round a place */
    WAYS_RESIN,   /* m3 */
    WAYS_GROOVE,  /* m */
    WAYS_SEALANT, /* m3 */
    WAYS_BACKER,  /* m of rod */
    WAYS_CHANNEL, /* m */
    WAYS_OUTLETS,
    WAYS_SCANNED, /* m of crack drilled or routed along, or round a place drilled */
    WAYS_COUNT
} ways_amount;

/* All 0 for other methods, and where the design has no sizes. */
void ways_count(const repair_design *design, const takeoff_leak *takeoff, double amounts[WAYS_COUNT]);

/* E_INPUT: "rates: port_h_each is missing, which leak N3 needs". */
status ways_check(const survey *s, const char *mark, const double amounts[WAYS_COUNT], fault *why);

/* Adds to HOURS_DRILL, HOURS_INJECT, HOURS_SEAL and HOURS_DRAIN; on a wall. */
void ways_add_hours(const survey *s, const double amounts[WAYS_COUNT], double hours[HOURS_COUNT]);

/* Parts as lines of the price, in the order they stand there; quantities for the amounts given. */
size_t ways_parts(void);
estimate_line ways_part(const survey *s, size_t at, const double amounts[WAYS_COUNT]);

#endif
