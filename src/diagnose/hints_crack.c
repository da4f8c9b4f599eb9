/* hints_crack.c - what a crack looks like and does: shrinkage, settlement, season. */
#include "diagnose/hints_parts.h"

#include <math.h>

static const double ALPHA_PER_K =
    10e-6; /* concrete: EN 1992-1-1 3.1.3, value from memory; 6.3 to 12.6 by aggregate */
static const double ROW_HEIGHTS =
    3; /* rows of restrained shrinkage stand one to three wall heights apart: common practice */
static const double REGULAR = 2; /* largest over least gap of a row: our default */

static bool sign(const hints_book *b, survey_sign s) {
    return b->v->d->signs & SIGN_BIT(s);
}

static bool says(const hints_book *b, movement_verdict verdict) {
    return b->v->fit && b->v->fit->verdict == verdict;
}

static bool at_rest(const hints_book *b) {
    return says(b, MOVEMENT_STILL) || says(b, MOVEMENT_CYCLIC);
}

static bool is_even(const hints_view *v) {
    return v->n_widths >= 2 && v->widest_m <= HINTS_EVEN * v->narrowest_m;
}

static bool at_corner(const hints_view *v) {
    return hints_slanting(v) && hints_corner_gap(v) <= HINTS_NEAR_M;
}

/* At least three in a row, gaps alike and of the size of the wall's height. */
static bool in_row(hints_book *b, hints_row *row) {
    if (!hints_upright(b->v)) return false;
    if (hints_upright_row(b->v, row, NULL) != OK) {
        b->failed = true;
        return false;
    }
    return row->n >= 3 && row->most_m <= REGULAR * row->least_m &&
           row->mean_m <= ROW_HEIGHTS * b->v->height_m;
}

/* ---- shrinkage ---- */

static void shrinkage_form(hints_book *b) {
    const hints_view *v = b->v;
    const phrase *p = &v->say;
    hints_row row;
    if (hints_upright(v) && v->low.v_m - v->foot_m <= v->height_m / 3)
        hints_for(b, CAUSE_SHRINKAGE,
                  "Stands upright (%.0f degrees) and begins %s above the foot of a wall %s high: speaks for "
                  "concrete held at its foot while it shrank (common practice).",
                  v->lean_deg, phrase_length(p, v->low.v_m - v->foot_m), phrase_length(p, v->height_m));
    if (in_row(b, &row))
        hints_for(b, CAUSE_SHRINKAGE,
                  "One of %zu upright cracks of this wall, %s to %s apart, on average %.1f times its height: "
                  "speaks for restrained shrinkage (common practice: one to three heights).",
                  row.n, phrase_length(p, row.least_m), phrase_length(p, row.most_m),
                  row.mean_m / v->height_m);
    if (at_corner(v))
        hints_for(
            b, CAUSE_SHRINKAGE,
            "Runs slanting (%.0f degrees) from a corner of an opening, %s from it: speaks for shrinkage "
            "drawn to the corner (common practice).",
            v->lean_deg, phrase_length(p, hints_corner_gap(v)));
    if (hints_level(v))
        hints_against(b, CAUSE_SHRINKAGE,
                      "Runs level (%.0f degrees): shrinkage held at the foot cracks a wall upright (common "
                      "practice).",
                      v->lean_deg);
}

static void shrinkage_width(hints_book *b) {
    const hints_view *v = b->v;
    const phrase *p = &v->say;
    if (v->n_widths < 2) return;
    if (is_even(v))
        hints_for(b, CAUSE_SHRINKAGE,
                  "Its width is even, %s to %s at %zu stations: speaks for shrinkage (common practice).",
                  phrase_width(p, v->narrowest_m), phrase_width(p, v->widest_m), v->n_widths);
    else if (v->wall && v->low_width_m > v->high_width_m)
        hints_for(
            b, CAUSE_SHRINKAGE,
            "Narrows to the top, from %s to %s: speaks for shrinkage of a wall held at its foot (common "
            "practice).",
            phrase_width(p, v->low_width_m), phrase_width(p, v->high_width_m));
    else if (v->wall && v->high_width_m >= HINTS_TAPER * v->low_width_m)
        hints_against(b, CAUSE_SHRINKAGE,
                      "Widens to the top, from %s to %s: speaks for a turn of the wall rather than shrinkage "
                      "(common practice).",
                      phrase_width(p, v->low_width_m), phrase_width(p, v->high_width_m));
}

void hints_shrinkage(hints_book *b) {
    const phrase *p = &b->v->say;
    shrinkage_form(b);
    shrinkage_width(b);
    if (at_rest(b))
        hints_for(
            b, CAUSE_SHRINKAGE,
            "By gauge it does not grow (%s a year): shrinkage comes to rest by itself (text following ACI "
            "224.1R, through a page that quotes it).",
            phrase_signed_width(p, b->v->fit->per_year_m));
    if (says(b, MOVEMENT_GROWING))
        hints_against(b, CAUSE_SHRINKAGE,
                      "By gauge it grows by %s a year; shrinkage comes to rest by itself (text following ACI "
                      "224.1R, through a page that quotes it).",
                      phrase_width(p, b->v->fit->per_year_m));
    if (sign(b, SIGN_OFFSET))
        hints_against(b, CAUSE_SHRINKAGE,
                      "Its faces stand apart: shrinkage opens a crack and shifts nothing (common practice).");
}

/* ---- settlement ---- */

static void settlement_form(hints_book *b) {
    const hints_view *v = b->v;
    const phrase *p = &v->say;
    hints_row row;
    if (hints_slanting(v) && !at_corner(v))
        hints_for(
            b, CAUSE_SETTLEMENT,
            "Runs slanting (%.0f degrees) and away from corners of openings: speaks for unequal settlement "
            "(common practice).",
            v->lean_deg);
    if (v->n_widths >= 2 && v->wall &&
        fmax(v->low_width_m, v->high_width_m) >= HINTS_TAPER * fmin(v->low_width_m, v->high_width_m))
        hints_for(
            b, CAUSE_SETTLEMENT,
            "Is wider at one end, %s below and %s above: speaks for a turn of one side (common practice).",
            phrase_width(p, v->low_width_m), phrase_width(p, v->high_width_m));
    if (is_even(v))
        hints_against(
            b, CAUSE_SETTLEMENT,
            "Its width is even, %s to %s at %zu stations: speaks against a turn of one side (common "
            "practice).",
            phrase_width(p, v->narrowest_m), phrase_width(p, v->widest_m), v->n_widths);
    if (in_row(b, &row))
        hints_against(
            b, CAUSE_SETTLEMENT,
            "One of %zu upright cracks in a row: settlement seldom repeats itself at even distances "
            "(common practice).",
            row.n);
}

void hints_settlement(hints_book *b) {
    const phrase *p = &b->v->say;
    settlement_form(b);
    if (sign(b, SIGN_OFFSET))
        hints_for(b, CAUSE_SETTLEMENT,
                  "Its faces stand apart: speaks for a part that moved (common practice).");
    if (sign(b, SIGN_BULGING))
        hints_for(b, CAUSE_SETTLEMENT,
                  "The member bulges or leans: speaks for a part that moved (common practice).");
    if (says(b, MOVEMENT_GROWING))
        hints_for(
            b, CAUSE_SETTLEMENT,
            "By gauge it grows by %s a year: speaks for a cause that goes on (GSA: active while settlement "
            "continues).",
            phrase_width(p, b->v->fit->per_year_m));
    else if (sign(b, SIGN_GROWING))
        hints_for(b, CAUSE_SETTLEMENT,
                  "A person saw it grow: speaks for a cause that goes on (GSA: active while settlement "
                  "continues).");
    if (at_rest(b))
        hints_against(b, CAUSE_SETTLEMENT,
                      "By gauge it does not grow (%s a year): speaks against settlement that goes on.",
                      phrase_signed_width(p, b->v->fit->per_year_m));
    if (sign(b, SIGN_SETTLED))
        hints_against(
            b, CAUSE_SETTLEMENT,
            "A person says that its cause is known and has ended: speaks against settlement that goes on.");
}

/* ---- season ---- */

/* How much concrete on both sides would have to shorten and lengthen for this change a kelvin, against what there is. */
static void thermal_length(hints_book *b) {
    const hints_view *v = b->v;
    const phrase *p = &v->say;
    double needs_m = -v->fit->per_kelvin_m / ALPHA_PER_K, there_m = fmax(v->run_m, v->height_m);
    const char *first = phrase_per_degree(p, -v->fit->per_kelvin_m), *needs = phrase_length(p, needs_m),
               *there = phrase_length(p, there_m);
    if (needs_m <= there_m)
        hints_for(
            b, CAUSE_THERMAL,
            "Closes by %s as it warms: what %s of concrete gives at 10e-6 a kelvin (EN 1992-1-1 3.1.3, value "
            "from memory), and the face is %s long.",
            first, needs, there);
    else
        hints_against(
            b, CAUSE_THERMAL,
            "Closes by %s as it warms: %s of concrete would have to move for that at 10e-6 a kelvin (EN "
            "1992-1-1 3.1.3, value from memory), and the face is %s long.",
            first, needs, there);
}

void hints_thermal(hints_book *b) {
    const movement_result *fit = b->v->fit;
    const phrase *p = &b->v->say;
    bool clear = fit && fit->fitted && fabs(fit->per_kelvin_m) > fit->t * fit->per_kelvin_se_m &&
                 fit->cyclic_range_m > MOVEMENT_CYCLE_M;
    if (clear && fit->per_kelvin_m < 0) {
        hints_for(b, CAUSE_THERMAL,
                  "Follows the temperature by %s between the coldest and the warmest reading: speaks for the "
                  "season "
                  "(gauge).",
                  phrase_width(p, fit->cyclic_range_m));
        thermal_length(b);
    }
    if (clear && fit->per_kelvin_m > 0)
        hints_against(
            b, CAUSE_THERMAL,
            "Opens by %s as it warms; a crack between parts of one wall closes then (common practice).",
            phrase_per_degree(p, fit->per_kelvin_m));
    if (b->v->d->signs & SIGN_BIT(SIGN_MOVING))
        hints_for(b, CAUSE_THERMAL, "A person says that it opens and closes with season or load.");
    if (fit && fit->verdict == MOVEMENT_STILL)
        hints_against(
            b, CAUSE_THERMAL,
            "By gauge it moves by %s with the temperature, not more than %s: speaks against the season.",
            phrase_width(p, fit->cyclic_range_m), phrase_limit(p, MOVEMENT_CYCLE_M));
}
