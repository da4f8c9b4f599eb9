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

/* By the worst word seen at the leak and its measured flow. TIGHT_NOT_AGREED: TIGHT_NOT_SEEN. */
tightness_verdict tightness_of_leak(survey_tightness t, const leak_water *leak);

#endif
