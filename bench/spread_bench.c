/* The price with its risk (risk/risk.h) of a survey: seconds of the whole and of the draws alone, as JSON for spread_numpy.py.
 *
 * usage: spread_bench SURVEY.json RUNS */
#include "core/file.h"
#include "risk/risk.h"
#include "survey/catalogue.h"
#include "survey/check.h"
#include "survey/read_json.h"

#include <gsl/gsl_errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <time.h>

static double now_s(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static survey *load(const char *path) {
    fault why = {0};
    char *bytes;
    size_t length;
    survey *s = survey_new();
    fault_list *faults = fault_list_new();
    if (!s || !faults || file_read(path, &bytes, &length, &why) != OK) exit(1);
    if (survey_catalogue_fill(s, &why) != OK) exit(1);
    survey_read_json(s, path, bytes, length, faults);
    survey_check(s, faults);
    if (fault_list_count(faults) > 0) {
        fprintf(stderr, "%s\n", fault_list_text(faults, 0));
        exit(1);
    }
    fault_list_free(faults);
    mem_free(bytes);
    return s;
}

static double processor_s(const struct rusage *u) {
    return (double)(u->ru_utime.tv_sec + u->ru_stime.tv_sec) +
           1e-6 * (double)(u->ru_utime.tv_usec + u->ru_stime.tv_usec);
}

/* Columns drawn by one thread, as many as the inputs: nanoseconds a draw. */
static double draw_ns(size_t inputs, spread_options options) {
    const spread_item item = {SPREAD_TRIANGULAR, 0, 1, 3};
    double *column = mem_get(options.runs, sizeof *column);
    spread_sampler *sampler;
    if (!column || spread_begin(&options, &sampler, NULL) != OK) exit(1);
    double from = now_s();
    for (size_t i = 0; i < inputs; i++)
        if (spread_sample(sampler, i, &item, column, NULL) != OK) exit(1);
    double took = now_s() - from;
    spread_end(sampler);
    mem_free(column);
    return 1e9 * took / (double)inputs / (double)options.runs;
}

int main(int argc, char **argv) {
    if (argc != 3) return 2;
    gsl_set_error_handler_off();
    fault why = {0};
    survey *s = load(argv[1]);
    plan *p;
    risk_result r;
    struct rusage before, after;
    arena *memory = arena_new();
    spread_options options = {(size_t)atol(argv[2]), 1, 0};
    if (plan_make(s, &(plan_options){.planes = PLANES_OFF, .threads = 1}, &p, &why) != OK) {
        fprintf(stderr, "%s\n", why.text);
        return 1;
    }
    getrusage(RUSAGE_SELF, &before);
    double from = now_s();
    if (risk_run(p, &options, memory, &r, &why) != OK) {
        fprintf(stderr, "%s\n", why.text);
        return 1;
    }
    double took = now_s() - from;
    getrusage(RUSAGE_SELF, &after);
    printf("{\"leaks\": %zu, \"inputs\": %zu, \"runs\": %zu, \"correlation\": %g, \"seconds\": %.3f, "
           "\"processor_s\": %.3f, "
           "\"draw_ns\": %.1f, "
           "\"peak_mb\": %.0f, \"before_mb\": %.0f, \"total\": %.2f, \"p50\": %.2f, \"p80\": %.2f}\n",
           p->n_leaks, r.n_inputs, r.options.runs, r.options.correlation, took,
           processor_s(&after) - processor_s(&before), draw_ns(r.n_inputs, r.options),
           (double)after.ru_maxrss / 1e3, (double)before.ru_maxrss / 1e3, r.total, r.price.p50, r.price.p80);
    arena_free(memory);
    plan_free(p);
    survey_free(s);
    return 0;
}
