/* leakgrade.h - the grade of one leak point from its flow.
 *
 * Model  limits between the words: our default, tied to GB 50108-2008 grade 3 (2.5 l/d a leak point, read
 *        through pages that quote it): dry 0; damp below 0.05 l/d; seep to 2.5 l/d; drip to 20 l/d; run to
 *        10 l/min, in two bands parted at 1 l/min; jet above.
 * Units  SI.   Threads  no shared state. */
#ifndef STANCH_HYDRAULICS_LEAKGRADE_H
#define STANCH_HYDRAULICS_LEAKGRADE_H

typedef enum {
    LEAKGRADE_DRY,
    LEAKGRADE_DAMP,
    LEAKGRADE_SEEP,
    LEAKGRADE_DRIP,
    LEAKGRADE_RUN_SMALL, /* 20 l/d to 1 l/min */
    LEAKGRADE_RUN_LARGE, /* 1 to 10 l/min */
    LEAKGRADE_JET
} leakgrade;

/* Grade of a flow; each limit belongs to the lower grade, save that 0.05 l/d is a seep. A flow that is not a
 * number or negative counts as dry. */
leakgrade leakgrade_of(double flow_m3_s);

/* The most that a grade stands for; HUGE_VAL for a jet. */
double leakgrade_most_m3_s(leakgrade grade);

/* The wetness word: "dry", "damp", "seep", "drip", "run" (both bands) or "jet". */
const char *leakgrade_word(leakgrade grade);

#endif
