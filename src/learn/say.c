/* The sentences of what was learned. */
#include "learn/parts.h"
#include "learn/share.h"

#include <string.h>

const char *learn_kind_said(survey_kind kind) {
    static const char *const said[KIND_COUNT] = {"crack", "joint", "tie hole", "penetration", "honeycomb"};
    return said[kind];
}

static const char *plural(size_t n) {
    return n == 1 ? "" : "s";
}

const char *learn_evidence(const learning *l, const learn_rate *rate) {
    const learn_estimate *e = &rate->estimate;
    const char *what = strcmp(rate->id, "waste_percent") == 0 ? "use" : "leak"; /* of a material in a job */
    return arena_print(
        l->memory,
        "own records of %zu %s%s in %zu job%s; %.0f %% between %.3g and %.3g %s; shipped %.3g; "
        "own evidence weighs %.0f %%",
        e->leaks, what, plural(e->leaks), e->jobs, plural(e->jobs), 100 * LEARN_CONFIDENCE, e->low, e->high,
        rate->unit, rate->shipped, 100 * rate->weight);
}

/* 60 % of the prices should land within P20 to P80: is that among what the count leaves open? */
static const char *judged(const learn_result *r) {
    const double expected = 0.60;
    if (r->within_high < expected) return "fewer than the offers say: their range is too narrow";
    if (r->within_low > expected) return "more than the offers say: their range is too wide";
    return "that does not speak against the 60 % that the offers say";
}

static const char *calibration(const learning *l, const learn_result *r) {
    if (!r->priced)
        return arena_print(l->memory,
                           "No finished job has both an offer with its risk and a measured price.");
    return arena_print(
        l->memory,
        "%zu of %zu price%s landed within P20 to P80 of the last offer, %zu above, %zu below; 90 %% "
        "between %.0f and %.0f %%: %s.",
        r->within, r->priced, plural(r->priced), r->above, r->below, 100 * r->within_low,
        100 * r->within_high, judged(r));
}

status learn_calibrate(const learning *l, learn_result *out) {
    for (size_t i = 0; i < l->in->n_prices; i++) {
        const learn_price *p = &l->in->prices[i];
        if (!p->p20.known || !p->p80.known || !p->final.known) continue;
        out->priced++;
        if (p->final.v < p->p20.v)
            out->below++;
        else if (p->final.v > p->p80.v)
            out->above++;
        else
            out->within++;
    }
    share_interval share = share_plain(out->within, out->priced);
    out->within_low = share.low;
    out->within_high = share.high;
    out->calibration = calibration(l, out);
    return out->calibration ? OK : fault_memory(l->why);
}
