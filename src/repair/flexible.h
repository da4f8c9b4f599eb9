/* flexible.h - a groove over a moving crack, filled with an elastic sealant on a backer: how wide, how deep.
 *
 * Model   W = M/S + tolerance (idea of ASTM C1472) or W = 100 M/MAF + M (BS 6093): the larger counts; S = MAF/100 is the
 *         movement class of the sealant, M the movement; least width 6 mm (1/4 in).
 *         depth = W to 13 mm, 13 mm to 25 mm, 16 mm above (Handbook of Adhesives and Sealants p. 119), at least 6 mm and
 *         on the porous faces of concrete 10 mm; under water pressure 20 mm (weak extract): then the groove is widened so
 *         that depth <= width. A bond breaker or backer leaves two faces bonded only; backer 25 % wider than the groove.
 * Source  trade page diagnosis.md 6: formulas from memory (C1472, BS 6093), depths read; which rule gave the width is said.
 * Units   SI.   Limits  movement up to 50 mm, class 5 to 100 %.   Threads  no shared state. */
#ifndef STANCH_REPAIR_FLEXIBLE_H
#define STANCH_REPAIR_FLEXIBLE_H

#include "core/fault.h"

#include <stdbool.h>

#define FLEXIBLE_MOST_M 0.05      /* our default: above, no groove of sealant */
#define FLEXIBLE_LEAST_CLASS 0.05 /* our default */

typedef struct {
    double movement_m;     /* widest less narrowest, total */
    double class_fraction; /* 0.25 for a 25 % sealant */
    double tolerance_m;    /* construction tolerance of C1472 */
    bool under_pressure;   /* water stands behind it */
    double crack_width_m;  /* the groove is at least so much wider than the crack as its two shoulders need */
} flexible_input;

typedef enum { FLEXIBLE_C1472, FLEXIBLE_BS6093, FLEXIBLE_LEAST, FLEXIBLE_DEPTH } flexible_rule;
extern const char *const flexible_rule_words[4];

typedef struct {
    double c1472_m, bs6093_m; /* both widths, before the least */
    double width_m, depth_m;  /* groove of sealant; whole millimetres, rounded up */
    double groove_depth_m;    /* with the backer below */
    double backer_m;          /* its diameter */
    double section_m2;        /* of sealant */
    flexible_rule rule;       /* that gave the width */
} flexible_result;

/* E_INPUT names the value out of range; *out is zeroed on error. */
status flexible_size(const flexible_input *in, flexible_result *out, fault *why);

#endif
