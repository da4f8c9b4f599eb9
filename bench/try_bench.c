/* One leak as it would be (ops/try.h), again and again: milliseconds of each leak of a job, as the page asks for it.
 *
 * usage: try_bench JOB SURVEY.json        the job must hold the survey; run with OPENBLAS_NUM_THREADS=1 OMP_THREAD_LIMIT=1 */
#include "ops/try.h"
#include "sparse/sparse.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static double now_ms(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return 1e3 * (double)t.tv_sec + 1e-6 * (double)t.tv_nsec;
}

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* -1 when it cannot be planned. */
static double time_one(const char *job, json_t *defect) {
    fault why = {OK, ""};
    ops_job tried;
    fault_list *faults = fault_list_new();
    json_t *request = json_pack("{s:O}", "defect", defect);
    char *words = json_dumps(request, JSON_COMPACT);
    if (!faults || !words) exit(1);
    double from = now_ms();
    status code = ops_try(job, &(ops_try_request){words, strlen(words)}, &tried, faults, &why);
    double took = now_ms() - from;
    if (code == OK)
        ops_job_free(&tried);
    else
        fprintf(stderr, "%s\n", why.text);
    free(words);
    json_decref(request);
    fault_list_free(faults);
    return code == OK ? took : -1;
}

int main(int argc, char **argv) {
    if (argc != 3) return 2;
    gsl_set_error_handler_off();
    sparse_begin();
    json_t *root = json_load_file(argv[2], 0, NULL), *defects = json_object_get(root, "defects");
    size_t n = json_array_size(defects);
    if (n == 0) return 2;
    double *took = calloc(n, sizeof *took), sum = 0;
    bool failed = false;
    if (!took) return 2;
    time_one(argv[1], json_array_get(defects, 0)); /* the libraries are loaded */
    for (size_t i = 0; i < n; i++) {
        took[i] = time_one(argv[1], json_array_get(defects, i));
        failed = failed || took[i] < 0;
        sum += took[i];
    }
    qsort(took, n, sizeof *took, by_size);
    printf("%zu leaks: mean %.1f ms, 95 %% under %.1f ms, longest %.1f ms\n", n, sum / (double)n,
           took[(size_t)floor(0.95 * (double)(n - 1))], took[n - 1]);
    free(took);
    json_decref(root);
    return failed;
}
