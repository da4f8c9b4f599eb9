#include "risk/risk.h"

#include "risk/run.h"

#include <stdlib.h>
#include <string.h>

static const size_t RUNS = 20000; /* our default: P80 to about a hundredth of the spread */

static int by_share(const void *a, const void *b) {
    const risk_input *x = a, *y = b;
    int order = (x->share < y->share) - (x->share > y->share);
    return order ? order : strcmp(x->label, y->label);
}

static void share_out(risk_result *out, const double *squared) {
    double sum = 0;
    for (size_t i = 0; i < out->n_inputs; i++) sum += squared[i];
    for (size_t i = 0; i < out->n_inputs; i++) {
        out->inputs[i].share = sum > 0 ? squared[i] / sum : 0;
        for (size_t g = 0; g < RISK_GROUPS; g++)
            if (out->inputs[i].group == risk_group_words[g]) out->group_shares[g] += out->inputs[i].share;
    }
    if (out->n_inputs > 0) qsort(out->inputs, out->n_inputs, sizeof *out->inputs, by_share);
}

/* From the least to the most; all in the first where no run differs. */
static void fill_bins(risk_result *out, const double *sorted, size_t runs) {
    out->bin_from = sorted[0];
    out->bin_width = (sorted[runs - 1] - sorted[0]) / RISK_BINS;
    for (size_t k = 0; k < runs; k++) {
        size_t bin = out->bin_width > 0 ? (size_t)((sorted[k] - out->bin_from) / out->bin_width) : 0;
        out->bins[bin < RISK_BINS ? bin : RISK_BINS - 1]++;
    }
}

static status run(const risk_model *m, arena *memory, risk_result *out, fault *why) {
    size_t runs = out->options.runs;
    double *prices = mem_get(runs, sizeof *prices);
    double *squared = arena_get(memory, m->n_inputs, sizeof *squared);
    status code = prices && squared ? risk_runs(m, &out->options, prices, squared, why) : fault_memory(why);
    if (code == OK) {
        spread_summarise(prices, runs, &out->price);
        fill_bins(out, prices, runs);
        share_out(out, squared);
        double more = estimate_cents(out->price.p80 - out->total);
        out->contingency = more > 0 ? more : 0;
    }
    mem_free(prices);
    return code;
}

status risk_run(const plan *p, const spread_options *options, arena *memory, risk_result *out, fault *why) {
    risk_model m;
    *out = (risk_result){.options = options ? *options : (spread_options){0, 1, 0}, .total = p->price.total};
    if (out->options.runs == 0) out->options.runs = RUNS;
    if (p->price.n_lines == 0)
        return fault_set(why, E_STATE,
                         "there is nothing to price: no leak of the job has a repair with sizes");
    if (out->options.runs < SPREAD_RUNS_LEAST || out->options.runs > RISK_RUNS_MOST)
        return fault_set(why, E_INPUT, "runs is %zu; it must lie in %d to %d", out->options.runs,
                         SPREAD_RUNS_LEAST, RISK_RUNS_MOST);
    status code = risk_model_make(p, memory, &m, why);
    if (code != OK) return code;
    out->options.correlation = m.correlation;
    out->inputs = m.inputs;
    out->n_inputs = m.n_inputs;
    code = run(&m, memory, out, why);
    out->warnings = m.warnings;
    out->n_warnings = m.n_warnings;
    return code;
}
