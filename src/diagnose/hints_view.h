/* hints_view.h - one leak as the hints look at it: its line on the face, its widths, what lies near; for src/diagnose.
 *
 * Model  the line is the longest stretch on one face, its lean that of the chord between its ends (0 level, 90 upright on a
 *   wall); distances are flat, on that face.   Units  metres, degrees.   Threads  no shared state. */
#ifndef STANCH_DIAGNOSE_HINTS_VIEW_H
#define STANCH_DIAGNOSE_HINTS_VIEW_H

#include "diagnose/hints.h"
#include "diagnose/phrase.h"

/* All our defaults. */
#define HINTS_UPRIGHT_DEG 70.0
#define HINTS_LEVEL_DEG 20.0
#define HINTS_NEAR_M 0.3  /* to a hole, pipe, honeycomb or corner of an opening */
#define HINTS_ALONG_M 0.2 /* all of a line from a fold, joint or foot: a kicker stands up to 150 mm high */
#define HINTS_EVEN 1.5    /* widest over narrowest, up to which a width is even */
#define HINTS_TAPER 2.0   /* from which on it is wider at one end */

typedef struct {
    const survey *s;
    const leak_water *leak;
    const survey_defect *d;
    const survey_face *face; /* of the longest part */
    const survey_part *part;
    const movement_result *fit;   /* of the gauge that decided, or NULL */
    const survey_defect **others; /* with a part on that face */
    size_t n_others;
    phrase say;
    bool wall, line;
    survey_point low, high;         /* ends of the line, the lower first */
    double lean_deg;                /* of a line */
    double foot_m, height_m, run_m; /* of the face: lowest v, and how far it reaches in v and u */
    size_t n_widths;                /* stations with a width above 0 */
    double narrowest_m, widest_m;
    double low_width_m, high_width_m; /* at the lowest and the highest of them; on a wall */
} hints_view;

/* Line and face only: no widths, no others. E_INPUT when the face is not in the job. */
status hints_place(const survey *s, const leak_water *leak, arena *memory, hints_view *out, fault *why);

/* All of it; lists in `memory`. E_MEMORY; E_INPUT as above. */
status hints_look(const survey *s, const leak_water *leak, const movement_result *fit, arena *memory,
                  hints_view *out, fault *why);

bool hints_upright(const hints_view *v);  /* a line on a wall */
bool hints_level(const hints_view *v);    /* the same */
bool hints_slanting(const hints_view *v); /* the same */

/* Nearest other defect of the kind on the face; *gap_m: between the two, 0 where they touch. NULL without one. */
const survey_defect *hints_nearest(const hints_view *v, survey_kind kind, double *gap_m);

/* From an end of the line to the nearest corner of an opening; HUGE_VAL without one. */
double hints_corner_gap(const hints_view *v);

/* From an end of the line to the nearest fold of the face; HUGE_VAL without one. */
double hints_fold_gap(const hints_view *v);

/* How far the line strays at most from the nearest fold, recorded joint or, on a wall, the foot of the face; what it is. */
double hints_along_gap(const hints_view *v, const char **what);

/* Where the other upright cracks of a wall and this one stand: their count and least, mean and largest gap in u. */
typedef struct {
    size_t n;
    double least_m, mean_m, most_m;
} hints_row;
status hints_upright_row(const hints_view *v, hints_row *out, fault *why);

/* Lean of a stretch, 0 to 90 degrees, and its middle. */
double hints_lean_deg(const survey_part *part, survey_point *middle);

#endif
