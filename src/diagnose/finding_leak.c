/* finding_leak.c - findings that rest on the diagnosis and on what the survey shows of size and place. */
#include "diagnose/finding_parts.h"
#include "diagnose/hints_view.h"
#include "diagnose/method.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>

/* Trade page strength.md 7, our judgement throughout. */
static const double WIDE_M = 2e-3;
static const double FLOW_TIMES = 10;                            /* our default */
static const double FLOW_FACTOR_LEAST = 0.02;                   /* trade rule 4 */
static const double MIDDLE_FROM = 1.0 / 3, MIDDLE_TO = 2.0 / 3; /* "mid-height": our default */

status finding_say(const finding_look *l, finding_level level, const char *code, fault *why,
                   const char *format, ...) {
    char sentence[768]; /* our own words, and a rule of movement.h at most */
    va_list values;
    va_start(values, format);
    vsnprintf(sentence, sizeof sentence, format, values);
    va_end(values);
    return finding_add(l->s, l->say.memory, l->list, level, l->leak->defect->mark, code, sentence, why);
}

/* ---- movement ---- */

static status say_undecided(const finding_look *l, const diagnosis_gauge *g, fault *why) {
    const char *of = *g->gauge ? " " : "", *name = g->gauge;
    if (g->fit.months_more.known)
        return finding_say(
            l, FINDING_ASK, "movement", why,
            "Gauge%s%s does not decide yet whether it moves: %s. Readings as now for %.0f more month%s "
            "would decide it: who reads on?",
            of, name, g->fit.rule, g->fit.months_more.v, g->fit.months_more.v > 1 ? "s" : "");
    if (g->fit.fitted)
        return finding_say(
            l, FINDING_ASK, "movement", why,
            "Gauge%s%s does not decide whether it moves: %s. Readings as now would not decide it "
            "within 5 years: who reads more often, and finer?",
            of, name, g->fit.rule);
    return finding_say(
        l, FINDING_ASK, "movement", why,
        "Gauge%s%s does not decide yet whether it moves: %s. Who reads on, with the temperature of the "
        "concrete, until a season is closed (11 months)?",
        of, name, g->fit.rule);
}

status finding_of_movement(const finding_look *l, fault *why) {
    const diagnosis *d = l->why_leaks;
    const survey_defect *defect = l->leak->defect;
    if (d->verdict == MOVEMENT_GROWING && d->basis == MOVES_MEASURED)
        return finding_say(
            l, FINDING_STOP, "growing", why,
            "The crack is still growing. %s No repair lasts before its cause has stopped. Which "
            "engineer has looked at it?",
            d->reason);
    if (d->verdict == MOVEMENT_GROWING)
        return finding_say(
            l, FINDING_STOP, "growing", why,
            "The crack is still growing: no repair lasts before its cause has stopped. Which engineer "
            "has looked at it?");
    if (d->verdict == MOVEMENT_CLOSING)
        return finding_say(l, FINDING_ASK, "closing", why,
                           "The crack closes. %s What pushes it together, and has that ended?", d->reason);
    for (size_t i = 0; i < d->n_gauges; i++) /* one question, whichever gauge decides the rest */
        if (d->gauges[i].fit.verdict == MOVEMENT_UNDECIDED) return say_undecided(l, &d->gauges[i], why);
    if (!d->decisive && !defect->movement_m.known && (defect->signs & SIGN_BIT(SIGN_MOVING)))
        return finding_say(
            l, FINDING_ASK, "movement", why,
            "A person says that it moves, and not by how much. Who sets a gauge and reads width and "
            "temperature, weekly at first, then monthly, over a year?");
    return OK;
}

/* ---- flow ---- */

static status ask_about_flow(const finding_look *l, const char *seen, fault *why) {
    const leak_water *leak = l->leak;
    if (!seen) return fault_memory(why);
    return finding_say(
        l, FINDING_ASK, "flow_mismatch", why,
        "The widths would pass about %s, and %s: is the width right inside the wall, or is the "
        "ground holding the water back%s? Until that is known, rely on no flow reckoned from widths.",
        phrase_flow(&l->say, leak->flow_expected_m3_s.v), seen,
        leak->today_known == KNOWN_ASSUMED ? ", or does the water stand lower than taken" : "");
}

/* "run" is told without its two bands: the upper one counts. */
static double most_seen_m3_s(const leak_water *leak) {
    return leakgrade_most_m3_s(leak->worst == WET_RUN ? LEAKGRADE_RUN_LARGE
                                                      : leak_grade_of_wetness(leak->worst));
}

status finding_of_flow(const finding_look *l, fault *why) {
    const leak_water *leak = l->leak;
    arena *memory = l->say.memory;
    double most_m3_s = most_seen_m3_s(leak);
    if (!leak->flow_expected_m3_s.known) return OK;
    if (leak->flow_measured_m3_s.known) {
        if (!(leak->flow_factor.known && leak->flow_factor.v < FLOW_FACTOR_LEAST)) return OK;
        const char *measured = phrase_flow(&l->say, leak->flow_measured_m3_s.v);
        return ask_about_flow(l, arena_print(memory, "%s was measured", measured), why);
    }
    if (!(leak->flow_expected_m3_s.v > FLOW_TIMES * most_m3_s)) return OK;
    return ask_about_flow(l,
                          arena_print(memory, "what was seen is \"%s\", %s at most",
                                      survey_wetness_words[leak->worst], phrase_flow(&l->say, most_m3_s)),
                          why);
}

/* ---- material ---- */

const char *finding_approval_code(survey_method method) {
    if (method == METHOD_INJECT_EPOXY) return "material_approval_epoxy";
    if (method == METHOD_INJECT_POLYURETHANE) return "material_approval_polyurethane";
    if (method == METHOD_INJECT_ACRYLATE) return "material_approval_acrylate";
    return method == METHOD_FLEXIBLE ? "material_approval_sealant" : NULL;
}

status finding_of_material(const finding_look *l, fault *why) {
    const survey_site *site = &l->s->site;
    const survey_overrule *chosen = &l->leak->defect->overrule;
    bool asked = (site->drinking_water || site->hazardous_liquid) && !site->materials_approved;
    const char *code = chosen->given ? finding_approval_code(chosen->method) : NULL;
    if (!asked || !code) return OK;
    return finding_say(
        l, FINDING_STOP, code, why,
        "%s chose \"%s\" here, and no approval of that material for contact with %s is recorded. "
        "Who approves it?",
        chosen->by, method_words[chosen->method],
        site->drinking_water ? "drinking water" : "the hazardous liquid");
}

/* ---- size and place ---- */

static status of_width(const finding_look *l, fault *why) {
    if (!(l->leak->widest_m.known && l->leak->widest_m.v > WIDE_M * (1 + 1e-9))) return OK;
    return finding_say(l, FINDING_STOP, "width", why,
                       "The crack is wider than %s. Which engineer has looked at it?",
                       phrase_size(&l->say, WIDE_M));
}

static status of_honeycomb(const finding_look *l, fault *why) {
    const survey_defect *d = l->leak->defect;
    double cover_m = HUGE_VAL;
    if (d->kind != KIND_HONEYCOMB || !d->depth_m.known) return OK;
    for (size_t i = 0; i < d->n_stations; i++)
        if (d->stations[i].cover_m.known) cover_m = fmin(cover_m, d->stations[i].cover_m.v);
    if (!(d->depth_m.v > cover_m)) return OK;
    return finding_say(l, FINDING_STOP, "honeycomb_depth", why,
                       "The honeycomb goes %s deep, past the steel at %s. Which engineer has looked at it?",
                       phrase_size(&l->say, d->depth_m.v), phrase_size(&l->say, cover_m));
}

/* A level crack at mid-height: the wall may be bending under the ground behind it. */
static status of_level_crack(const finding_look *l, const hints_view *v, fault *why) {
    double at_m = (v->low.v_m + v->high.v_m) / 2 - v->foot_m;
    if (!hints_level(v) || v->face->behind != BEHIND_GROUND) return OK;
    if (!(at_m >= v->height_m * MIDDLE_FROM && at_m <= v->height_m * MIDDLE_TO)) return OK;
    return finding_say(
        l, FINDING_STOP, "horizontal", why,
        "A level crack %s above the foot of a wall %s high, about its middle: the ground may be bending "
        "the wall. Which engineer has looked at it?",
        phrase_length(&l->say, at_m), phrase_length(&l->say, v->height_m));
}

/* Place and lean alone do not tell shear from shrinkage: a question. */
static status of_slanting_crack(const finding_look *l, const hints_view *v, fault *why) {
    double gap = hints_slanting(v) ? hints_fold_gap(v) : HUGE_VAL;
    if (!(gap <= HINTS_NEAR_M)) return OK;
    return finding_say(
        l, FINDING_ASK, "slanting", why,
        "The crack runs slanting (%.0f degrees) to within %s of a corner of two faces: is it a shear "
        "crack at a support?",
        v->lean_deg, phrase_length(&l->say, gap));
}

status finding_of_shape(const finding_look *l, fault *why) {
    status code = of_width(l, why);
    if (code == OK) code = of_honeycomb(l, why);
    if (code != OK || l->leak->defect->kind != KIND_CRACK) return code;
    hints_view v;
    code = hints_place(l->s, l->leak, l->say.memory, &v, why);
    if (code == OK) code = of_level_crack(l, &v, why);
    return code == OK ? of_slanting_crack(l, &v, why) : code;
}
