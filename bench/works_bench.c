/* The works of a job (works.h): how long planning them takes, and how far the plan may be from the shortest.
 *
 * usage: works_bench SURVEY.json [CREW [SCHEDULES [list]]]        bench/make_job.py 300 20 makes a survey of 300 leaks
 *
 * Crack planes are left out. With `list` each task is printed: minutes from the first day, 0 h. */
#include "plan/plan.h"
#include "survey/catalogue.h"
#include "survey/check.h"
#include "survey/read_json.h"
#include "works/works.h"

#include <gsl/gsl_errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static double now_s(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static survey *read_survey(const char *path) {
    static char bytes[1 << 24];
    fault why = {OK, ""};
    fault_list *faults = fault_list_new();
    survey *s = survey_new();
    FILE *f = fopen(path, "rb");
    if (!f || !s || !faults || survey_catalogue_fill(s, &why) != OK) return NULL;
    size_t n = fread(bytes, 1, sizeof bytes, f);
    fclose(f);
    survey_read_json(s, path, bytes, n, faults);
    survey_check(s, faults);
    if (fault_list_count(faults)) fprintf(stderr, "%s\n", fault_list_text(faults, 0));
    bool good = fault_list_count(faults) == 0;
    fault_list_free(faults);
    return good ? s : NULL;
}

static void list(const works_plan *w) {
    for (size_t i = 0; i < w->n_tasks; i++) {
        const works_task *t = &w->tasks[i];
        printf("%-24s day %2d %02d:%02d to %02d:%02d  %d/%d/%d/%d  %zu batches\n", t->id, t->start_min / 1440,
               t->start_min / 60 % 24, t->start_min % 60, t->end_min / 60 % 24, t->end_min % 60, t->people[0],
               t->people[1], t->people[2], t->people[3], t->n_batches);
    }
    for (size_t i = 0; i < w->n_warnings; i++) printf("%s\n", w->warnings[i]);
}

int main(int argc, char **argv) {
    fault why = {OK, ""};
    plan *p = NULL;
    works_plan w;
    if (argc < 2) return 2;
    gsl_set_error_handler_off();
    survey *s = read_survey(argv[1]);
    if (!s) return 2;
    if (argc > 2) s->site.crew = atof(argv[2]);
    if (plan_make(s, &(plan_options){.threads = 1}, &p, &why) != OK) {
        fprintf(stderr, "%s\n", why.text);
        return 1;
    }
    const works_options options = {.schedules = argc > 3 ? atol(argv[3]) : 0, .seed = 1};
    double from = now_s();
    status code = works_make(&(works_stages){s, p->leaks, p->designs, &p->takeoff, &p->price}, &options,
                             p->memory, &w, &why);
    double took = now_s() - from;
    if (code != OK) {
        fprintf(stderr, "%s\n", why.text);
        return 1;
    }
    if (argc > 4) list(&w);
    printf(
        "%zu leaks, crew %g: %zu tasks in %.2f s, %ld schedules; %.2f days, bound %.2f, gap %.1f %%; out of "
        "service %.2f days\n",
        p->n_leaks, s->site.crew, w.n_tasks, took, w.schedules, w.makespan_min / 1440.0,
        w.lower_bound_min / 1440.0, w.gap_percent, (w.out_to_min - w.out_from_min) / 1440.0);
    plan_free(p);
    survey_free(s);
    return 0;
}
