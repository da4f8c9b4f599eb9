/* The chain of a long log (record/chain.h, ops/check.h): how long its records take to be written in one transaction, and to
 * be verified, beside plain SHA-256 over the same bytes.
 *
 * usage: chain_bench JOB.stanch [RECORDS]        JOB is made, and must not be there; 1,000,000 records when not said */
#include "ops/check.h"
#include "record/chain.h"
#include "store/log.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static double now_s(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static double processor_s(void) {
    return (double)clock() / CLOCKS_PER_SEC;
}

static status add(store *st, long i, fault *why) {
    char id[48], mark[24], body[500];
    long long seq;
    bool already;
    snprintf(id, sizeof id, "6f1c1a52-0000-4000-8000-%012ld", i);
    snprintf(mark, sizeof mark, "N%ld", i % 300);
    snprintf(body, sizeof body,
             "{\"id\": \"%s\", \"mark\": \"%s\", \"what\": \"finish\", \"step\": \"cut\", \"at\": "
             "\"2026-03-01T09:30:00Z\", "
             "\"by\": \"N. N.\", \"device\": \"6f1c1a52-0000-4000-8000-000000000000\", \"seen\": %ld, "
             "\"length_m\": 3.25, "
             "\"depth_mm\": 37, \"people\": 2, \"hours\": 1.5, \"air_c\": 8, \"text\": \"as drawn\"}",
             id, mark, i);
    const store_record r = {0, id, mark, body, "2026-03-01T09:30:00Z", "N. N."};
    return store_add_record(st, &r, &seq, &already, why);
}

static status make(const char *path, long n, fault *why) {
    store *st = NULL;
    survey *s = survey_new();
    status code = s ? store_create(path, s, why) : fault_memory(why);
    survey_free(s);
    if (code == OK) code = store_open(path, false, &st, why);
    if (code == OK) code = store_begin(st, why);
    for (long i = 1; code == OK && i <= n; i++) code = add(st, i, why);
    if (code == OK) code = store_commit(st, why);
    store_close(st);
    return code;
}

static status count_bytes(void *data, const store_walked *w, fault *why) {
    char seq[24];
    (void)why;
    snprintf(seq, sizeof seq, "%lld", w->record.seq);
    *(size_t *)data += HASH_TEXT + strlen(seq) + strlen(w->record.id) + strlen(w->record.mark) +
                       strlen(w->record.body) + strlen(w->record.received_at) +
                       strlen(w->record.received_by) + 6;
    return OK;
}

/* The bytes that the chain reads, and the seconds of a walk that only counts them. */
static status read_all(const char *path, size_t *bytes, double *seconds, fault *why) {
    store *st = NULL;
    *bytes = 0;
    double from = now_s();
    status code = store_open(path, true, &st, why);
    if (code == OK) code = store_walk_records(st, count_bytes, bytes, why);
    store_close(st);
    *seconds = now_s() - from;
    return code;
}

static double plain_s(size_t bytes) {
    char hash[HASH_TEXT];
    char *all = malloc(bytes);
    if (!all) return 0;
    memset(all, 'a', bytes);
    double from = processor_s();
    hash_text(all, bytes, hash);
    double seconds = processor_s() - from;
    free(all);
    return seconds;
}

int main(int argc, char **argv) {
    fault why = {OK, ""};
    long n = argc > 2 ? atol(argv[2]) : 1000000;
    const ops_check_request request = {0, NULL};
    ops_check_result result = {0};
    size_t bytes = 0;
    double walk = 0;
    if (argc < 2) return 2;
    double from = now_s();
    status code = make(argv[1], n, &why);
    double made = now_s() - from;
    arena *memory = arena_new();
    double busy = processor_s();
    from = now_s();
    if (code == OK) code = memory ? ops_check(argv[1], &request, memory, &result, &why) : fault_memory(&why);
    double checked = now_s() - from, worked = processor_s() - busy;
    if (code == OK) code = read_all(argv[1], &bytes, &walk, &why);
    if (code != OK) fprintf(stderr, "%s\n", why.text);
    if (code == OK) {
        double plain = plain_s(bytes);
        printf("%lld records, %zu breaks: written in %.2f s; verified in %.2f s, of the processor %.2f s; "
               "reading alone %.2f s; "
               "SHA-256 of the same %.0f MB %.2f s of the processor, ratio %.2f\n",
               result.records, result.n_breaks, made, checked, worked, walk, (double)bytes / 1e6, plain,
               worked / plain);
    }
    arena_free(memory);
    return code == OK && result.n_breaks == 0 && result.records == n ? 0 : 1;
}
