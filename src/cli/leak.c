#include "cli/cli.h"
#include "cli/options.h"
#include "cli/planes.h"
#include "cli/wrap.h"
#include "ops/ops.h"

#include <stdio.h>
#include <string.h>

static void print_rest(const char *label, const char *words) {
    if (*words) wrap_print(stdout, label, words, 26);
}

static void print_rows(const plan_reason *rows, size_t n) {
    for (size_t i = 0; i < n; i++) {
        const plan_reason *r = &rows[i];
        if (i == 0 || strcmp(r->group, rows[i - 1].group) != 0) printf("\n%s\n", r->group);
        char label[160];
        if (wrap_width(r->label) <= 23) {
            snprintf(label, sizeof label, "  %s%*s", r->label, 24 - wrap_width(r->label), "");
        } else {
            printf("  %s\n", r->label);
            snprintf(label, sizeof label, "%26s", "");
        }
        wrap_print(stdout, label, r->value, 26);
        print_rest("                          = ", r->equation);
        print_rest("                          from: ", r->inputs);
        print_rest("                          source: ", r->source);
    }
}

int cli_leak(int argc, char **argv) {
    const char *planes = NULL;
    ops_plan_request request;
    const options_item items[] = {PLANES_OPTION(planes)};
    const options_table table = {"leak",
                                 "JOB MARK",
                                 "Explains one leak: every number, its equation, where its inputs came from, "
                                 "the source, and what would change the decision.",
                                 items,
                                 1,
                                 2,
                                 2};
    fault why = {0};
    size_t n;
    bool done;
    ops_job job = {0};
    plan_reason *rows;
    size_t n_rows;
    status code = options_read(&table, argc, argv, &n, &done, &why);
    if (code == OK && done) return 0;
    if (code == OK) code = planes_read(planes, &request, &why);
    if (code == OK) code = ops_look(argv[1], &request, &job, &why);
    if (code == OK) code = plan_explain(job.plan, argv[2], &rows, &n_rows, &why);
    if (code == OK) {
        const survey_defect *d = survey_find_defect(job.survey, argv[2]);
        printf("%s  %s on face %s\n", d->mark, survey_kind_words[d->kind], d->parts[0].face);
        print_rows(rows, n_rows);
    }
    ops_job_free(&job);
    return code == OK ? 0 : cli_fail(&why);
}
