#include "diagnose/diagnosis.h"

#include "diagnose/gauges.h"
#include "diagnose/phrase.h"

#include <math.h>

typedef struct {
    const survey_defect *d;
    phrase say;
    diagnosis *out;
} judging;

/* ---- which gauge decides ---- */

static int loudness(const diagnosis_gauge *g) {
    static const int rank[MOVEMENT_VERDICTS] = {[MOVEMENT_GROWING] = 5,
                                                [MOVEMENT_CLOSING] = 4,
                                                [MOVEMENT_CYCLIC] = 3,
                                                [MOVEMENT_UNDECIDED] = 2,
                                                [MOVEMENT_STILL] = 1};
    return rank[g->fit.verdict];
}

static double drift_of(const diagnosis_gauge *g) {
    return fabs(g->fit.per_year_m);
}

/* Growing or closing: by its drift; else by all that it does in a year. */
static double amount(const diagnosis_gauge *g) {
    bool drifts = g->fit.verdict == MOVEMENT_GROWING || g->fit.verdict == MOVEMENT_CLOSING;
    return drifts ? drift_of(g) : g->fit.cyclic_range_m + drift_of(g);
}

static void find_decisive(diagnosis *out) {
    for (size_t i = 0; i < out->n_gauges; i++) {
        const diagnosis_gauge *g = &out->gauges[i], *best = out->decisive;
        if (!best || loudness(g) > loudness(best) ||
            (loudness(g) == loudness(best) && amount(g) > amount(best)))
            out->decisive = g;
        if (g->movement_m.known && !(out->movement_m.known && out->movement_m.v >= g->movement_m.v))
            out->movement_m = g->movement_m;
    }
}

/* ---- verdict and its sentence ---- */

static const char *gauge_named(const judging *j, const diagnosis_gauge *g) {
    const char *named = *g->gauge ? arena_print(j->say.memory, "gauge %s", g->gauge) : "the gauge";
    return named ? named : "";
}

static const char *told_movement(const judging *j) {
    const survey_defect *d = j->d;
    if (d->movement_m.known) {
        const char *told = arena_print(j->say.memory, "told that it moves by %s in a year",
                                       phrase_width(&j->say, d->movement_m.v));
        return told ? told : "";
    }
    return "told that it opens and closes with season or load";
}

static bool decided(const diagnosis *out) {
    return out->decisive && out->decisive->fit.verdict != MOVEMENT_UNDECIDED;
}

/* The most that a gauge shows so far, where none decides and it is more than what counts as still. */
static void find_seen(diagnosis *out) {
    if (decided(out)) return;
    for (size_t i = 0; i < out->n_gauges; i++) {
        double seen_m = out->gauges[i].fit.seen_m;
        if (seen_m > MOVEMENT_CYCLE_M && !(out->seen_m.known && out->seen_m.v >= seen_m))
            out->seen_m = (maybe){true, seen_m};
    }
}

/* Told still, or moving by less than a gauge saw already. */
static bool told_too_little(const judging *j) {
    const maybe seen = j->out->seen_m, told = j->d->movement_m;
    return seen.known && told.known && told.v < seen.v;
}

/* The sign `growing` is a person's eye on the crack: no gauge outweighs it. */
static void take_sign(const judging *j) {
    diagnosis *out = j->out;
    const diagnosis_gauge *g = out->decisive;
    out->verdict = MOVEMENT_GROWING;
    out->basis = MOVES_TOLD;
    out->reason = "A person saw it grow; no gauge was read.";
    if (g)
        out->reason = arena_print(j->say.memory, "A person saw it grow, which counts before %s (%s: %s).",
                                  gauge_named(j, g), movement_verdict_words[g->fit.verdict], g->fit.rule);
}

static void take_gauge(const judging *j) {
    diagnosis *out = j->out;
    const diagnosis_gauge *g = out->decisive;
    bool outweighs = g->fit.verdict == MOVEMENT_STILL && (j->d->signs & SIGN_BIT(SIGN_MOVING));
    out->verdict = g->fit.verdict;
    out->basis = MOVES_MEASURED;
    out->reason = arena_print(j->say.memory, "By %s: %s%s.", gauge_named(j, g), g->fit.rule,
                              outweighs ? "; this counts before the sign that it moves" : "");
}

static void take_told(const judging *j) {
    diagnosis *out = j->out;
    const diagnosis_gauge *g = out->decisive;
    bool sign = j->d->signs & SIGN_BIT(SIGN_MOVING);
    out->verdict = sign || j->d->movement_m.v > MOVEMENT_CYCLE_M ? MOVEMENT_CYCLIC : MOVEMENT_STILL;
    out->basis = MOVES_TOLD;
    if (g)
        out->reason = arena_print(j->say.memory, "A person's word, %s; %s decides nothing yet: %s.",
                                  told_movement(j), gauge_named(j, g), g->fit.rule);
    else
        out->reason = arena_print(j->say.memory, "A person's word, %s; no gauge was read.", told_movement(j));
}

static void take_nothing(const judging *j) {
    diagnosis *out = j->out;
    const diagnosis_gauge *g = out->decisive;
    out->verdict = MOVEMENT_UNDECIDED;
    out->basis = MOVES_NOT_KNOWN;
    out->reason = "Not known whether it moves: no gauge was read and nobody told.";
    if (!g) return;
    const char *seen = out->seen_m.known
                           ? arena_print(j->say.memory,
                                         "; it moved by more than %s already, so it is taken as moving until "
                                         "that is decided",
                                         phrase_limit(&j->say, MOVEMENT_CYCLE_M))
                           : "";
    out->reason =
        seen ? arena_print(j->say.memory, "Undecided by %s: %s%s.", gauge_named(j, g), g->fit.rule, seen)
             : NULL;
}

static status judge(const judging *j, fault *why) {
    diagnosis *out = j->out;
    const survey_defect *d = j->d;
    find_decisive(out);
    find_seen(out);
    bool too_little = told_too_little(j);
    bool measured_growth = out->decisive && out->decisive->fit.verdict == MOVEMENT_GROWING;
    if ((d->signs & SIGN_BIT(SIGN_GROWING)) && !measured_growth)
        take_sign(j);
    else if (decided(out))
        take_gauge(j);
    else if (!too_little && (d->movement_m.known || (d->signs & SIGN_BIT(SIGN_MOVING))))
        take_told(j);
    else
        take_nothing(j);
    if (!out->movement_m.known && !too_little) out->movement_m = d->movement_m;
    return out->reason ? OK : fault_memory(why);
}

/* ---- healing ---- */

static void look_at_healing(const survey *s, const leak_water *leak, diagnosis *out) {
    if (!survey_is_line(leak->defect->kind) || !leak->widest_m.known || !leak->level_known) return;
    out->healing_in = (healing_input){.width_m = leak->widest_m.v,
                                      .head_m = leak->head_design_m,
                                      .thickness_m = leak->thickness_m,
                                      .rule = s->site.healing,
                                      .upper_gradient = HEALING_UPPER_GRADIENT};
    /* Out of the rule's range (50 mm wide, 1,000 m of water): nothing is said of it. */
    out->healing_known = healing_compute(&out->healing_in, &out->healing, NULL) == OK;
}

status diagnosis_make(const survey *s, const leak_water *leak, arena *memory, diagnosis *out, fault *why) {
    *out = (diagnosis){.verdict = MOVEMENT_UNDECIDED, .reason = ""};
    judging j = {leak->defect, {memory, s->site.system}, out};
    status code = gauges_read(s, leak->defect, memory, out, why);
    if (code == OK) code = judge(&j, why);
    if (code != OK) return code;
    look_at_healing(s, leak, out);
    bool measured = decided(out);
    return hints_find(s, leak, measured, measured ? &out->decisive->fit : NULL, memory, &out->causes, why);
}
