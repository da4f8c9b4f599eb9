/* offer_amounts.h - what of one leak is multiplied by a rate or a price: the quantities behind its hours and parts, as
 * price/hours.h and price/ways.h take them; and how rates and prices read in the job's units. Only for the offer.
 *
 * Units  SI in, the job's units out.   Threads  no shared state. */
#ifndef STANCH_REPORT_OFFER_AMOUNTS_H
#define STANCH_REPORT_OFFER_AMOUNTS_H

#include "plan/plan.h"
#include "report/say.h"

typedef enum {
    AMOUNT_SET_UP,
    AMOUNT_CUT,      /* slot as it is cut, past the face's edge too */
    AMOUNT_CUT_DEEP, /* the same, deeper than ESTIMATE_DEEP_M */
    AMOUNT_HOLES,
    AMOUNT_RING,
    AMOUNT_PATCH,
    AMOUNT_SLOT, /* on the face: plugged, packed */
    AMOUNT_SCANNED,
    AMOUNT_WASH,
    AMOUNT_PLUGS,     /* 1 where one is set: pieces of ESTIMATE_PLUG_PIECE_M of slot, one at least */
    AMOUNT_PLUG_BULK, /* of holes and patches, by volume */
    AMOUNT_PACK_BULK,
    AMOUNT_COATS, /* both */
    AMOUNT_RELIEFS,
    AMOUNT_PACKERS,
    AMOUNT_DRILLED,
    AMOUNT_FACE,
    AMOUNT_RESIN,
    AMOUNT_GROOVE,
    AMOUNT_BACKER,
    AMOUNT_CHANNEL,
    AMOUNT_OUTLETS,
    AMOUNT_PUMPED,
    AMOUNT_SPOIL,
    AMOUNT_COUNT
} offer_amount;

typedef struct {
    const char *title;
    units_quantity q;
} offer_amount_about;
extern const offer_amount_about offer_amounts[AMOUNT_COUNT];

typedef struct {
    double values[AMOUNT_COUNT]; /* in the job's units */
    bool bulk;                   /* plug and pack by volume */
    bool slotted;                /* scanned over the slot, a piece of plug at least */
    bool overhead;
} offer_leak;

void offer_leak_count(const plan *p, size_t leak, offer_leak *out);

/* What an order takes of one leak, in the quantity by which it is sold, in the job's units. */
double offer_material_of(const plan *p, const takeoff_order *order, size_t leak);

/* A unit as the catalogue has it ("h/m", "l/m2", "kg") in the job's units, and by what a value of it is multiplied. */
const char *offer_unit(say *w, const char *unit, double *times);

/* Words of the catalogue that speak of millimetres, in inches for a US job; others as they are. */
const char *offer_words(const say *w, const char *words);
const char *offer_rate_label(const say *w, const survey_rate *rate);
const char *offer_rate_source(say *w, const survey_rate *rate);

/* Does the rate enter the price of this job? `sums`: the amounts of all leaks together. */
bool offer_rate_counts(const survey_rate *rate, const double sums[AMOUNT_COUNT]);

#endif
