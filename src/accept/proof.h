/* proof.h - was each treated metre proved dry, at which water, and which class is reached.
 *
 * Model  a record `proof` is a test of a stretch (or the whole) of a leak: hand, blotter, drips, water collected, at a recorded
 *   water level. Decision order of the classes: trade/acceptance.md 3.1 (our judgement). The newest test of each metre counts. A
 *   test with the water lower than it stood at the survey, or at a level that was not recorded, proves nothing and says so; a
 *   leak seen at low water is a leak all the same.
 * Verdict of a leak  broken: a metre fails the class agreed; kept: every treated metre was tested at enough water and keeps it; not
 *   proven: anything else that was treated; open: not treated. Without a class agreed: as for ZTV-ING class 2, said so.
 * Saved  flow at the survey less flow at the newest proof that collected water (dry hand and no drips: 0); litres never from drips.
 * Moved  a leak with moved_from, or found after the repair within PROOF_NEAR_M of its treated length without being told (a hint).
 * Units  SI.   Threads  no shared state. */
#ifndef STANCH_ACCEPT_PROOF_H
#define STANCH_ACCEPT_PROOF_H

#include "diagnose/tightness.h"
#include "plan/plan.h"
#include "record/record.h"

#define PROOF_WITHOUT_CLASS TIGHT_ZTV_2 /* our default: judged so where none is agreed */
#define PROOF_GAP_M 0.05                /* our default: so much of a leak a tape may leave untested */
#define PROOF_NEAR_M 3.0 /* our default: so far along a crack plane the water is looked for again */

typedef enum { PROOF_KEPT, PROOF_BROKEN, PROOF_NOT_PROVEN, PROOF_OPEN, PROOF_VERDICTS } proof_verdict;
extern const char *const proof_verdict_words[PROOF_VERDICTS]; /* kept, broken, not proven, open */

typedef struct {
    const record *r;
    double from_m, to_m;
    maybe level_m, level_needed_m; /* recorded then, and at the survey */
    bool low_water;                /* proves nothing */
    bool before_work;              /* made before the last of it was placed: it does not count */
    tightness_verdict seen;        /* of the class agreed, whatever the water */
    survey_tightness reached;      /* best class of the family agreed that it keeps; TIGHT_NOT_AGREED: none */
    bool keeps;                    /* seen kept, at enough water, after the work */
    maybe flow_m3_s;               /* collected; dry hand and no drips: 0 */
    maybe drips_per_min, drips_m;  /* counted, and on each metre of the stretch (1/min/m); dry hand: 0 */
    const char *sentence;
} proof_test;

typedef struct {
    const char *mark;
    bool treated;           /* something was placed or injected there by the records */
    const char *treated_on; /* date of the last work on it; NULL: none */
    const char *placed_on;  /* date when the first of it was placed; NULL: none */
    proof_test *tests;      /* oldest first, corrected ones left out */
    size_t n_tests;
    bool is_line;
    double length_m, kept_m, broken_m, not_proven_m; /* of a point or area: 1 of 1, told as "whole" */
    proof_verdict verdict;
    const char *reached; /* name of the class, "" */
    maybe before_m3_s, after_m3_s, saved_m3_s;
    bool before_measured;         /* false: expected, by the widths */
    maybe drips_per_min, drips_m; /* newest counts, over the leak and on each treated metre */
    const char *moved_from;       /* mark or NULL */
    bool moved_is_hint;
    const char **moved_to; /* leaks that this repair sent elsewhere */
    size_t n_moved_to;
    const char *sentence;
} proof_leak;

/* The class that tests are judged by: that agreed, or PROOF_WITHOUT_CLASS. */
survey_tightness proof_class(const survey *s);

/* "6 drips a minute, 3 a minute and metre"; "no drips"; "" where not counted. In the arena of `p`. */
const char *proof_say_drips(const plan *p, maybe drips_per_min, maybe drips_m);

/* `records` by seq; a correction stands in the place of what it is about (accept/current.h). All in `memory`; leaks in the order of the survey. */
status proof_judge(const plan *p, const record *records, size_t n, arena *memory, proof_leak **out,
                   fault *why);

#endif
