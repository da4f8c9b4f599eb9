/* hints_place.c - where a leak lies: on a joint, at a tie hole, a pipe, a honeycomb. */
#include "diagnose/hints_parts.h"

#include <math.h>

static const double LEVEL_WITH_M = 0.1; /* our default: two heights read with a tape */

/* ---- joint ---- */

/* A level joint recorded on any other wall at this height: concrete is poured round in lifts. */
static const survey_defect *joint_at_height(const hints_view *v) {
    double here = survey_elevation_m(v->face, (survey_point){0, (v->low.v_m + v->high.v_m) / 2});
    for (size_t i = 0; i < v->s->n_defects; i++) {
        const survey_defect *d = &v->s->defects[i];
        survey_point middle;
        if (d->kind != KIND_JOINT || d == v->d || hints_lean_deg(&d->parts[0], &middle) > HINTS_LEVEL_DEG)
            continue;
        const survey_face *face = survey_find_face(v->s, d->parts[0].face);
        if (face && face->lie == LIE_WALL && fabs(survey_elevation_m(face, middle) - here) <= LEVEL_WITH_M)
            return d;
    }
    return NULL;
}

static void joint_of_level_line(hints_book *b) {
    const hints_view *v = b->v;
    const phrase *p = &v->say;
    double length = fabs(v->high.u_m - v->low.u_m);
    if (!hints_level(v)) return;
    const survey_defect *joint = joint_at_height(v);
    if (joint)
        hints_for(
            b, CAUSE_JOINT,
            "Runs level at the height of joint %s: speaks for the same stop of pouring (common practice).",
            joint->mark);
    if (length >= v->run_m / 2)
        hints_for(b, CAUSE_JOINT,
                  "Runs level over %s of a wall %s long: speaks for a stop of pouring (common practice).",
                  phrase_length(p, length), phrase_length(p, v->run_m));
}

void hints_joint(hints_book *b) {
    const hints_view *v = b->v;
    const phrase *p = &v->say;
    const char *what;
    if (v->d->kind == KIND_JOINT) hints_for(b, CAUSE_JOINT, "Recorded as a construction joint.");
    if (!v->line) return;
    joint_of_level_line(b);
    double gap = hints_along_gap(v, &what);
    if (gap <= HINTS_ALONG_M)
        hints_for(b, CAUSE_JOINT,
                  "Runs along %s, nowhere more than %s from it: speaks for a joint (common practice).", what,
                  phrase_length(p, gap));
    else if (v->d->kind != KIND_JOINT && !hints_level(v))
        hints_against(
            b, CAUSE_JOINT,
            "Runs at %.0f degrees and along no recorded joint or corner: speaks against a joint (common "
            "practice).",
            v->lean_deg);
}

/* ---- tie hole, pipe, honeycomb ---- */

static const struct {
    survey_kind kind;
    hints_cause cause;
    const char *recorded, *near, *rust;
} points[] = {
    {KIND_TIE_HOLE, CAUSE_TIE, "Recorded as a tie hole.", "tie hole",
     "Rust stain at a tie hole: speaks for water along the steel of the tie (common practice)."},
    {KIND_PENETRATION, CAUSE_PENETRATION, "Recorded as a pipe through the concrete.", "pipe",
     "Rust stain at a pipe: speaks for water along its outside (common practice)."},
    {KIND_HONEYCOMB, CAUSE_HONEYCOMB, "Recorded as an area of badly compacted concrete.", "honeycomb",
     "Rust stain at a honeycomb: speaks for water that reaches the bars through open concrete (common "
     "practice)."},
};

static void point_near(hints_book *b, size_t row) {
    const hints_view *v = b->v;
    const phrase *p = &v->say;
    double gap;
    const survey_defect *near = hints_nearest(v, points[row].kind, &gap);
    if (!near || !(gap <= HINTS_NEAR_M)) return;
    hints_for(b, points[row].cause, "Passes %s %s at %s: speaks for water from there (common practice).",
              points[row].near, near->mark, phrase_length(p, gap));
    if (v->line && v->leak->wet_m > 4 * HINTS_NEAR_M) /* our default: well beyond what lies at the hole */
        hints_against(b, points[row].cause,
                      "Wet over %s, far beyond %s %s: speaks against it as the only source.",
                      phrase_length(p, v->leak->wet_m), points[row].near, near->mark);
}

void hints_points(hints_book *b) {
    const hints_view *v = b->v;
    bool rust = v->d->signs & SIGN_BIT(SIGN_RUST);
    for (size_t i = 0; i < sizeof points / sizeof *points; i++) {
        if (v->d->kind == points[i].kind) {
            hints_for(b, points[i].cause, "%s", points[i].recorded);
            if (rust) hints_for(b, points[i].cause, "%s", points[i].rust);
        } else {
            point_near(b, i);
        }
    }
    if (b->all[CAUSE_HONEYCOMB].n_evidence > 0 && v->line && v->n_widths >= 2)
        hints_against(
            b, CAUSE_HONEYCOMB,
            "A clear width was read at %zu stations: a line rather than open concrete (common practice).",
            v->n_widths);
}
