/* healing.h - may this crack be expected to heal by itself? The published rules, each by its name.
 *
 * Model  the crack width against a limit that may depend on the gradient r = head / wall thickness:
 *        en1992_3      0.20 mm for r <= 5, 0.05 mm for r >= 35, linear between: class 1, full-depth cracks
 *        dafstb        0.20 mm for r <= 10, 0.15 to 15, 0.10 to 25, nothing above
 *        fib2020       0.15 mm fluid-tight;  fib2020_healing  0.20 mm when healing counts
 *        aci224r       0.10 mm water-retaining guide width (0.004 in)
 *        as3735        0.10 mm mean width, immersed or wet and dry
 *        bs8007        0.20 mm;  bs8007_appearance  0.10 mm (both: value from memory)
 *        aci350        0.25 mm normal;  aci350_severe  0.23 mm (both: value from memory)
 *        hs2           0.20 mm at the outer face, heads up to 40 m
 * Source EN 1992-3:2006 7.3.1 (Bhatt et al.); DAfStb guideline 2003 Table 2 (Ivanyi); fib Model Code 2020
 *        30.5.2.4.2; ACI 224R Table 4.1; AS 3735-2001 (weak extract); each through a page that quotes it. HS2
 *        Chiltern cross-passages: project paper.
 * Units  SI.   Limits  the fib, ACI, AS, BS and HS2 rows are design widths, not healing laws: where a
 * standard says nothing of healing, `heals` means only that the width is permitted.   Threads  no shared
 * state. */
#ifndef STANCH_DIAGNOSE_HEALING_H
#define STANCH_DIAGNOSE_HEALING_H

#include "survey/survey.h"

typedef survey_healing healing_rule;

/* EN 1992-3; another national code seems to end at 25 (computed by us). */
#define HEALING_UPPER_GRADIENT 35.0
#define HEALING_LOWER_GRADIENT 5.0
#define HEALING_HS2_HEAD_M 40.0

typedef struct {
    double width_m, head_m, thickness_m;
    healing_rule rule;
    double upper_gradient; /* read by HEALING_EN1992_3 only; above 5 */
} healing_input;

typedef struct {
    double limit_m; /* 0 where the rule credits nothing at this gradient */
    double gradient;
    bool heals; /* width <= limit */
} healing_result;

/* The rule's name as listed above, and the work it comes from with how it was read. */
const char *healing_rule_name(healing_rule rule);
const char *healing_rule_source(healing_rule rule);

/* E_INPUT names the value out of range; *out is zeroed on error. */
status healing_compute(const healing_input *in, healing_result *out, fault *why);

#endif
