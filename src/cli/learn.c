#include "ops/learn.h"
#include "cli/cli.h"
#include "cli/options.h"
#include "cli/wrap.h"
#include "core/file.h"

#include <stdio.h>
#include <string.h>

enum { THREADS = 2 };

static void print_figures(const char *label, const learn_estimate *e) {
    wrap_cell(stdout, label, 22);
    printf("%9.3g  %8.3g to %-8.3g %7zu %5zu", e->value, e->low, e->high, e->leaks, e->jobs);
}

static void print_rate(const learn_rate *r) {
    char label[200], shipped[80];
    snprintf(label, sizeof label, "%.100s, %.40s: ", r->label, r->unit);
    snprintf(shipped, sizeof shipped, "shipped %.3g", r->shipped);
    printf("\n");
    wrap_print(stdout, label, shipped, 2);
    snprintf(label, sizeof label, "  %.60s", r->id);
    print_figures(label, &r->estimate);
    printf("  %3.0f %%\n", 100 * r->weight);
    for (size_t i = 0; i < r->n_classes; i++) {
        if (!r->classes[i].differs) continue;
        snprintf(label, sizeof label, "    %.40s", r->classes[i].what);
        print_figures(label, &r->classes[i].estimate);
        printf("\n");
    }
}

/* What to do next; `rates`: where the proposals were written, or NULL. */
static void print_next(const char *rates) {
    char said[400];
    if (rates)
        snprintf(
            said, sizeof said,
            "No job was changed. The proposals stand in %.150s: look at them, then stanch import JOB %.150s.",
            rates, rates);
    else
        snprintf(said, sizeof said,
                 "Nothing was changed. To take proposals: stanch learn FOLDER --rates rates.json, look at "
                 "them, then stanch import JOB rates.json.");
    wrap_print(stdout, "", said, 0);
}

static void print_learned(const ops_learned *l, const char *folder, const char *rates) {
    printf("%.200s: %zu job files, %zu finished, %zu leaks\n", folder, l->files, l->finished,
           l->result.leaks);
    if (l->result.n_rates)
        printf("\n%-22s%9s  %-20s %7s %5s  %s\n", "", "ours", "    90 % between", "leaks", "jobs", "own");
    for (size_t i = 0; i < l->result.n_rates; i++) print_rate(&l->result.rates[i]);
    printf("\n");
    wrap_print(stdout, "Prices: ", l->result.calibration, 2);
    if (l->n_left_out) printf("\nLeft out\n");
    for (size_t i = 0; i < l->n_left_out; i++) wrap_print(stdout, "- ", l->left_out[i], 2);
    printf("\n");
    wrap_print(
        stdout, "",
        "Own: the weight of our own evidence; 0 % is the default as shipped. A kind, access or temperature "
        "stands below where it differs. Times are labour-hours as recorded; of waste each material of a job "
        "counts as one leak.",
        0);
    print_next(rates);
}

/* Ids stand behind the folder, after --only. */
static status write_rates(const ops_learned *l, const char *path, char *const ids[], size_t n, fault *why) {
    text out = {0};
    status code = ops_learn_rates(l, (const char *const *)ids, n, &out, why);
    if (code == OK) code = file_write(path, out.bytes, out.length, why);
    text_free(&out);
    return code;
}

static status print_json(const ops_learned *l, fault *why) {
    text out = {0};
    status code = ops_learn_json(l, &out, why);
    if (code == OK) printf("%s\n", text_get(&out));
    text_free(&out);
    return code;
}

static status show(const ops_learned *l, const char *folder, const char *rates, bool json, fault *why) {
    if (json) return print_json(l, why);
    print_learned(l, folder, rates);
    return OK;
}

int cli_learn(int argc, char **argv) {
    const char *rates = NULL;
    bool json = false, only = false, done;
    const options_item items[] = {
        {"--rates", "FILE", "write the proposals there, as a survey that import takes in", &rates, NULL},
        {"--only", NULL, "of the proposals those named behind FOLDER, by id", NULL, &only},
        {"--json", NULL, "print JSON", NULL, &json}};
    const options_table table = {
        "learn",
        "FOLDER [ID...]",
        "What the finished jobs of a folder say of our rates, shrunk toward the shipped "
        "ones where they are few, and how often prices landed where the offers said. "
        "Changes nothing.",
        items,
        3,
        1,
        101};
    fault why = {0};
    size_t n;
    ops_learned learned;
    arena *memory = arena_new();
    status code = memory ? options_read(&table, argc, argv, &n, &done, &why) : fault_memory(&why);
    if (code == OK && done) {
        arena_free(memory);
        return 0;
    }
    if (code == OK && only != (n > 1))
        code = fault_set(&why, E_INPUT,
                         only ? "--only: name the ids of rates behind the folder"
                              : "learn takes one folder; ids of rates go with --only");
    if (code == OK && only && !rates) code = fault_set(&why, E_INPUT, "--only goes with --rates FILE");
    if (code == OK) code = ops_learn(argv[1], THREADS, memory, &learned, &why);
    if (code == OK && rates) code = write_rates(&learned, rates, argv + 2, n - 1, &why);
    if (code == OK) code = show(&learned, argv[1], rates, json, &why);
    arena_free(memory);
    return code == OK ? 0 : cli_fail(&why);
}
