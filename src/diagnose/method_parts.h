/* method_parts.h - what the files of the choice of method share: the rows of the table, what forbids, one pass through it.
 *
 * Source of the numbers: where they stand.   Units  SI.   Threads  no shared state. */
#ifndef STANCH_DIAGNOSE_METHOD_PARTS_H
#define STANCH_DIAGNOSE_METHOD_PARTS_H

#include "diagnose/method.h"

/* Limits that more than one file names. */
#define METHOD_FINE_M 0.0002   /* widest full-depth crack expected to heal: EN 1992-3:2006 7.3.1 */
#define METHOD_GROUT_M 0.0002  /* finest crack for ultra-fine cement: value from memory */
#define METHOD_WIDE_M 0.0008   /* plain cement grout from here: value from memory */
#define METHOD_RESIN_M 0.00005 /* resins down to here: REMR CS-MR-3.7, epoxy through a page that quotes it */
#define METHOD_EPOXY_WIDEST_M 0.0063 /* UFGS 03931 3.8.5 */
#define METHOD_COAT_WIDEST_M 0.0005  /* our default */
#define METHOD_THICK_M 1.0           /* "dams and thick walls" of REMR CS-MR-3.7; the number our default */
#define METHOD_CUT_LEAST_M 0.015     /* our default: shallower than this is no slot */
#define METHOD_SLOT_M 0.037          /* the trade's slot, common practice */
#define METHOD_PACK_M 0.0185         /* its upper half: the least pack over a plug */
#define METHOD_GROOVE_M 0.025        /* deepest rout, trade page diagnosis.md 8 */
#define METHOD_CHIPPED_GAIN 3.0      /* bond of chipped to that of sawn faces: our defaults, repair/plug.h */
#define METHOD_CUT_SHARE 3.0         /* no cut deeper than a third of the member: our default */

#define KINDS_LINE ((1u << KIND_CRACK) | (1u << KIND_JOINT))
#define KINDS_MOVING (KINDS_LINE | (1u << KIND_PENETRATION)) /* what can open and close */

typedef enum {
    MOVES_ANY,
    MOVES_NOT,   /* not known to move: still, or nothing known */
    MOVES_STILL, /* its gauges say so */
    MOVES_YES,   /* cyclic or closing */
    MOVES_GROWS
} method_moves;

/* What else a row asks, as bits: all of them must be there. */
enum {
    ASKS_STOP = 1,     /* a STOP is open */
    ASKS_STRENGTH = 2, /* the crack must carry force again */
    ASKS_ABOVE = 4,    /* the design level is known and stands below */
    ASKS_HEALS = 8,    /* by the site's rule */
    ASKS_WET_SIDE = 16 /* can be reached */
};

/* A row: it fits where all its conditions hold; one that is left out (0) always holds. A width that was not measured counts
 * as fine. */
typedef struct {
    unsigned kinds; /* of 1u << KIND_... */
    method_moves moves;
    survey_wetness from, to; /* worst wetness; to WET_DRY with from WET_DRY: dry only */
    double width_from_m, width_to_m, thick_from_m;
    unsigned asks;
    survey_method method, runner_up;
    const char *reason, *basis;
} method_rule;

extern const method_rule method_table[];
extern const size_t method_table_rows; /* the last one fits everything and is METHOD_ENGINEER */

bool method_fits(const method_rule *row, const method_facts *f);

/* Is a method forbidden here? Then `say` holds why. METHOD_ENGINEER never is. */
enum { METHOD_SAY = 200 };
bool method_forbidden(const method_facts *f, survey_method name, char say[METHOD_SAY]);
bool method_is_moving(const method_facts *f);
/* What is left of growth that a named person has answered for. */
movement_verdict method_movement_answered(movement_verdict verdict, diagnosis_basis basis);
double method_slot_wanted_m(const method_facts *f, survey_method name); /* depth of its cut; 0: none */

/* One pass through the table. */
typedef struct {
    size_t row; /* from 0 */
    survey_method name, runner_up;
} method_pick;
method_pick method_ask(const method_facts *f);

/* Single changes that lead elsewhere, at most METHOD_TIPS, the most plausible first, in `memory`. E_MEMORY. */
enum { METHOD_TIPS = 6 };
status method_find_tips(const method_facts *f, survey_method now, arena *memory, method_choice *out,
                        fault *why);

#endif
