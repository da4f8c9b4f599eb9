#include "cli/cli.h"
#include "cli/options.h"
#include "cli/wrap.h"
#include "ops/offer.h"
#include "report/offer_amounts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { SHOWN = 10, LABEL = 42, FIGURES = 18, BAR = 10 };

static void print_money(const plan *p, const char *label, double money) {
    printf("%-56s %14.2f %s\n", label, money, p->survey->site.currency);
}

/* A bar of BAR characters at the largest share. */
static void print_share(double share, double most) {
    char bar[BAR + 1] = "";
    if (most > 0) memset(bar, '#', (size_t)lround(share / most * BAR));
    printf(" %5.1f %%%s%s\n", 100 * share, *bar ? " " : "", bar);
}

static void print_row(const char *label, const char *figures, double share, double most) {
    wrap_cell(stdout, label, LABEL - 1);
    putchar(' ');
    wrap_cell(stdout, figures, FIGURES);
    print_share(share, most);
}

static void print_input(const say *w, const risk_input *in, double most) {
    char figures[80];
    if (strchr(in->unit, '%') && in->high == 100)
        snprintf(figures, sizeof figures, "%.3g %.12s", in->likely, in->unit);
    else
        snprintf(figures, sizeof figures, "%.3g-%.3g %.12s", in->low, in->high, in->unit);
    print_row(offer_rate_label(w, &(survey_rate){.id = "", .label = in->label}), figures, in->share, most);
}

static void print_shares(const plan *p, const risk_result *r) {
    const say words = {.system = p->survey->site.system};
    double most = 0;
    if (r->n_inputs == 0) return;
    printf("\n%-*s%-*s  SHARE\n", LABEL, "WHAT CARRIES THE RISK", FIGURES, "FROM-TO");
    for (size_t i = 0; i < r->n_inputs && i < SHOWN; i++)
        print_input(&words, &r->inputs[i], r->inputs[0].share);
    if (r->n_inputs > SHOWN) printf("and %zu more\n", r->n_inputs - SHOWN);
    for (size_t g = 0; g < RISK_GROUPS; g++) most = fmax(most, r->group_shares[g]);
    printf("\n%-*s%-*s  SHARE\n", LABEL, "BY KIND", FIGURES, "");
    for (size_t g = 0; g < RISK_GROUPS; g++) print_row(risk_group_words[g], "", r->group_shares[g], most);
}

static void print_risk(const plan *p, const risk_result *r) {
    char head[160];
    snprintf(head, sizeof head, "The price in %zu runs, seed %llu, rank correlation %g", r->options.runs,
             (unsigned long long)r->options.seed, r->options.correlation);
    wrap_print(stdout, "", head, 0);
    print_money(p, "Price as planned", r->total);
    print_money(p, "P20: one in five comes out below", r->price.p20);
    print_money(p, "P50: as likely above as below", r->price.p50);
    print_money(p, "P80: four in five come out below", r->price.p80);
    print_money(p, "Contingency: P80 less the price as planned", r->contingency);
    print_shares(p, r);
    for (size_t i = 0; i < r->n_warnings; i++) wrap_print(stdout, "Note: ", r->warnings[i], 6);
}

static status read_whole(const char *name, const char *given, uint64_t most, uint64_t *out, fault *why) {
    double value;
    if (!given) return OK;
    if (!text_to_number(given, &value) || !(value >= 0 && value <= (double)most) || value != floor(value))
        return fault_set(why, E_INPUT, "risk: %s is %.40s; it must be whole, at most %llu", name, given,
                         (unsigned long long)most);
    *out = (uint64_t)value;
    return OK;
}

static status run(const char *path, const spread_options *options, bool json, fault *why) {
    ops_job job = {0};
    risk_result risk;
    text out = {0};
    const ops_plan_request request = {.planes = PLANES_OFF,
                                      .threads = 1}; /* as an offer is made: ops/offer.h */
    status code = ops_look(path, &request, &job, why);
    if (code == OK) code = ops_risk(&job, options, &risk, why);
    if (code == OK && json) code = ops_risk_json(job.plan, &risk, &out, why);
    if (code == OK && json) puts(text_get(&out));
    if (code == OK && !json) print_risk(job.plan, &risk);
    text_free(&out);
    ops_job_free(&job);
    return code;
}

int cli_risk(int argc, char **argv) {
    const char *runs_text = NULL, *seed_text = NULL;
    bool json = false, done;
    const options_item items[] = {
        {"--runs", "N", "how many times the job is priced (default 20000)", &runs_text, NULL},
        {"--seed", "N", "of the random numbers (default 1); the same seed, the same result", &seed_text,
         NULL},
        {"--json", NULL, "as JSON, with the 30 largest shares", NULL, &json},
    };
    const options_table table = {
        "risk",
        "JOB",
        "What the price may come out as: lengths, dry leaks found wet, depth of slots, rates and prices "
        "between their low and high. P50, P80, contingency, and what carries the risk: shares of the squared "
        "correlation with the price, so that inputs that move together share it.",
        items,
        3,
        1,
        1};
    fault why = {0};
    size_t n;
    uint64_t runs = 0, seed = 1;
    status code = options_read(&table, argc, argv, &n, &done, &why);
    if (code == OK && done) return 0;
    if (code == OK) code = read_whole("--runs", runs_text, RISK_RUNS_MOST, &runs, &why);
    if (code == OK) code = read_whole("--seed", seed_text, (uint64_t)1 << 53, &seed, &why);
    if (code == OK && runs_text && runs == 0)
        code = fault_set(&why, E_INPUT, "risk: --runs is 0; it must be at least %d", SPREAD_RUNS_LEAST);
    const spread_options options = {(size_t)runs, seed, 0};
    if (code == OK) code = run(argv[1], &options, json, &why);
    return code == OK ? 0 : cli_fail(&why);
}
