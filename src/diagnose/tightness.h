/* tightness.h - classes of watertightness by name: what each asks, and whether a leak as seen today keeps it.
 *
 * Sources  ZTV-ING Table 5-14 (the text read through a page that quotes it); BS 8102:2022 Table 2 (the same; grade 1b and 3
 *   by a second reading); EN 1992-3:2006 7.3.1 (Bhatt et al.); GB 50108-2008 (through reproductions).
 * Limits   a class is agreed in the contract and proved by a test: what is said here of a leak is what was seen, no proof.
 * Threads  no shared state. */
#ifndef STANCH_DIAGNOSE_TIGHTNESS_H
#define STANCH_DIAGNOSE_TIGHTNESS_H

#include "hydraulics/leak.h"

typedef enum {
    TIGHT_KEPT,
    TIGHT_BROKEN,
    TIGHT_NOT_SEEN
} tightness_verdict; /* not seen: the class asks for what was not measured */

const char *tightness_name(survey_tightness t);   /* "ZTV-ING class 2, largely dry" */
const char *tightness_asks(survey_tightness t);   /* one sentence */
const char *tightness_source(survey_tightness t); /* with how it was read */

/* A hand laid on, blotting paper pressed on, drips counted, water collected over a time: what a proof of a repair looks at. */
typedef enum {
    TOUCH_NOT_TOLD,
    TOUCH_DRY,
    TOUCH_DAMP,
    TOUCH_WET
} tightness_hand; /* what a dry hand picks up */
typedef enum { PAPER_NOT_TOLD, PAPER_CLEAN, PAPER_MARKED } tightness_paper;
typedef struct {
    tightness_hand hand;
    tightness_paper paper;
    maybe drips_per_min, flow_m3_s;
    maybe wetness; /* of survey_wetness: the word of who looked */
    maybe area_m2; /* of the face, for limits a square metre */
} tightness_test;

/* Least and most that the place can be wet by that test, as a word; a class is kept where it allows all between, broken where it
 * allows not even the least. Order of decision for ZTV-ING: trade/acceptance.md 3.1 (our default); a hand that picks up damp
 * breaks classes 1 and 2 as a marked paper does. *missing (NULL is fine): of TIGHT_NOT_SEEN what was not looked at, as the end
 * of a sentence; else NULL. */
tightness_verdict tightness_of_test(survey_tightness t, const tightness_test *test, const char **missing);

/* The best class of the family of `t` that the test keeps; TIGHT_NOT_AGREED: none. */
survey_tightness tightness_reached(survey_tightness t, const tightness_test *test);

/* Its place in its family: 0 the best; TIGHT_NOT_AGREED: 0. */
int tightness_rank(survey_tightness t);

/* By the worst word seen at the leak and its measured flow. TIGHT_NOT_AGREED: TIGHT_NOT_SEEN. */
tightness_verdict tightness_of_leak(survey_tightness t, const leak_water *leak);

#endif
