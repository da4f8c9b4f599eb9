#include "accept/proof_parts.h"
#include "plan/show.h"

static const char *a_metre(const proving *m) {
    return m->p->survey->site.system == UNITS_US ? "foot" : "metre";
}

/* "6 drips a minute, 3 a minute and metre" */
const char *proof_say_drips(const plan *p, maybe drips_per_min, maybe drips_m) {
    bool us = p->survey->site.system == UNITS_US;
    if (!drips_per_min.known) return "";
    const char *count = show_plain(p, drips_per_min.v, 1);
    const char *more = "";
    if (drips_m.known && drips_m.v > 0)
        more = arena_print(p->memory, ", %s a minute and %s",
                           show_plain(p, us ? drips_m.v * 0.3048 : drips_m.v, 1), us ? "foot" : "metre");
    if (!(drips_per_min.v > 0)) return "no drips";
    const char *said = more ? arena_print(p->memory, "%s drips a minute%s", count, more) : NULL;
    return said ? said : "";
}

/* What a test that fails its class has seen, the worst of it. */
static const char *fails_by(const proving *m, const proof_test *t) {
    const record *r = t->r;
    const char *drips = proof_say_drips(m->p, t->drips_per_min, t->drips_m);
    if (t->flow_m3_s.known && t->flow_m3_s.v > 0) return show_flow(m->p, t->flow_m3_s.v);
    if (t->drips_per_min.known && t->drips_per_min.v > 0) return drips;
    if (r->hand && r->hand[0] == 'w') return "a dry hand came away wet";
    if (r->blotter && r->blotter[0] == 'm') return "blotting paper was marked";
    if (r->hand && r->hand[0] == 'd' && r->hand[1] == 'a') return "a dry hand came away damp";
    return arena_print(m->memory, "it looks %s", r->wetness ? r->wetness : "wet");
}

static const char *low_water(const proving *m, size_t leak, const proof_test *t) {
    bool assumed = m->p->leaks[leak].today_known == KNOWN_ASSUMED;
    if (!t->level_m.known) return "The water level was not recorded: it proves nothing.";
    if (!t->level_needed_m.known) return "No water level is known from the survey: it proves nothing.";
    const char *level = show_length(m->p, t->level_m.v), *needed = show_length(m->p, t->level_needed_m.v);
    return arena_print(m->memory, "The water stood at %s, lower than %s %s: it proves nothing.", level,
                       assumed ? "the design level, as today's was not measured," : "at the survey,", needed);
}

const char *proof_say_test(const proving *m, size_t leak, const proof_test *t, const char *missing) {
    const char *class_name = tightness_name(m->class_id);
    bool told_low = t->low_water && t->level_m.known && t->level_needed_m.known;
    if (t->before_work) return "It was made before the last of the repair was placed: it does not count.";
    if (t->seen == TIGHT_BROKEN) {
        const char *by = fails_by(m, t);
        if (!by) return NULL;
        return arena_print(m->memory, "Fails %s: %s%s.", class_name, by,
                           told_low ? ", though the water stood lower than at the survey" : "");
    }
    if (t->low_water) return low_water(m, leak, t);
    if (t->seen == TIGHT_NOT_SEEN)
        return arena_print(m->memory, "Whether it keeps %s is not known: %s.", class_name,
                           missing ? missing : "");
    if (t->reached != m->class_id && t->reached != TIGHT_NOT_AGREED)
        return arena_print(m->memory, "Keeps %s, and reaches %s.", class_name, tightness_name(t->reached));
    return arena_print(m->memory, "Keeps %s.", class_name);
}

/* ---- a leak ---- */

/* "0.50 m of 3.60 m ", "" of a point or an area */
static const char *part_of(const proving *m, const proof_leak *leak, double part_m) {
    if (!leak->is_line) return "It ";
    return arena_print(m->memory, "%s of %s ", show_length(m->p, part_m), show_length(m->p, leak->length_m));
}

/* The newest test that has this to say. */
static const proof_test *newest_of(const proof_leak *leak, bool broken) {
    for (size_t i = leak->n_tests; i > 0; i--) {
        const proof_test *t = &leak->tests[i - 1];
        if (broken ? t->seen == TIGHT_BROKEN && !t->before_work : !t->keeps && !t->before_work) return t;
    }
    return NULL;
}

static const char *say_broken(const proving *m, const proof_leak *leak) {
    const proof_test *t = newest_of(leak, true);
    const char *part = part_of(m, leak, leak->broken_m);
    if (!t || !part) return NULL;
    return arena_print(m->memory, "%sdoes not keep its class. %.10s: %s", part, t->r->at, t->sentence);
}

static const char *say_not_proven(const proving *m, const proof_leak *leak) {
    const proof_test *t = newest_of(leak, false);
    const char *part = part_of(m, leak, leak->not_proven_m);
    if (!part) return NULL;
    if (leak->n_tests == 0) return "Not proven: nothing was tested.";
    return arena_print(m->memory,
                       "Not proven, which is not dry: %shas no test that keeps the class at enough water "
                       "after the work.%s%s",
                       leak->is_line ? part : "it ", t ? " " : "", t ? t->sentence : "");
}

static const char *say_kept(const proving *m, const proof_leak *leak) {
    return arena_print(m->memory, "%s tested at enough water and keeps %s.",
                       leak->is_line ? arena_print(m->memory, "Every treated %s was", a_metre(m)) : "It was",
                       tightness_name(m->class_id));
}

const char *proof_say_leak(const proving *m, size_t at) {
    const proof_leak *leak = &m->leaks[at];
    switch (leak->verdict) {
    case PROOF_KEPT: return say_kept(m, leak);
    case PROOF_BROKEN: return say_broken(m, leak);
    case PROOF_NOT_PROVEN: return say_not_proven(m, leak);
    case PROOF_OPEN:
    case PROOF_VERDICTS: break;
    }
    return leak->n_tests ? "No work on it is recorded: what was tested is no proof of a repair."
                         : "No work on it is recorded.";
}
