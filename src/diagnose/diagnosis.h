/* diagnosis.h - why one leak leaks: does it move, may it heal, what may have caused it.
 *
 * Movement  each gauge is fitted by movement.h; the gauge that speaks loudest decides: growing, closing, cyclic, undecided,
 *   still, in this order, and among equals the one that moves most. A person's signs `growing` and `moving` and a told
 *   movement count where no gauge decides; a gauge that decides outweighs the sign `moving`, never the sign `growing`.
 *   A gauge too short to decide may show already that the crack is active (GSA: its width changes over the time measured):
 *   then seen_m is known, the crack is treated as moving, and a told movement that is less does not count.
 * Next year  expected widths over the 365 days after the last reading, at the wall temperatures of the site's extremes, else
 *   of its typical year (lagged as fitted), else not known. movement_m = (|beta| + t SE) (Tmax - Tmin) + |gamma| + t SE
 *   a year; temperatures of the coming year, else of the readings. Both only for a gauge read long enough (fit.season); the
 *   leak's movement_m is the largest of its gauges, else what was told.
 * Healing  by the site's rule at the widest measured width and the design head (healing.h).
 * Cause  hints.h.   Units  SI; degrees Celsius; days counted from the gauge's first reading.   Threads  no shared state. */
#ifndef STANCH_DIAGNOSE_DIAGNOSIS_H
#define STANCH_DIAGNOSE_DIAGNOSIS_H

#include "diagnose/healing.h"
#include "diagnose/hints.h"
#include "diagnose/movement.h"

typedef enum { MOVES_NOT_KNOWN, MOVES_TOLD, MOVES_MEASURED } diagnosis_basis;

typedef struct {
    const char *gauge; /* "" where it has no name */
    movement_input input;
    movement_result fit;
    const char *first_on;        /* day 0 */
    double first_day, last_day;  /* of its readings: 0 and more */
    maybe coldest_c, warmest_c;  /* of the wall in the coming year */
    maybe widest_m, narrowest_m; /* expected in the coming year, the band of a reading included */
    const char *year_basis;      /* "extremes given", "typical year", or NULL: not known */
    maybe movement_m;
} diagnosis_gauge;

typedef struct {
    diagnosis_gauge *gauges; /* in the order of the readings */
    size_t n_gauges;
    const diagnosis_gauge *decisive; /* NULL without gauge */
    movement_verdict verdict;        /* MOVEMENT_UNDECIDED where nothing is known */
    diagnosis_basis basis;
    maybe movement_m; /* widest less narrowest in a year, for a seal */
    maybe seen_m; /* undecided: movement so far, less its error, where that is more than MOVEMENT_CYCLE_M */
    const char *reason; /* one sentence, for a person */
    bool healing_known; /* width, head and thickness were known */
    healing_input healing_in;
    healing_result healing;
    hint_list causes;
} diagnosis;

/* Fill *out in `memory`. E_MEMORY; E_INPUT where the readings do not fit movement.h (the survey's check saw to that). */
status diagnosis_make(const survey *s, const leak_water *leak, arena *memory, diagnosis *out, fault *why);

#endif
