#include "ops/check.h"
#include "cli/cli.h"
#include "cli/options.h"
#include "cli/wrap.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { EXIT_BROKEN = 3, SEQ_DIGITS = 18 };

/* "512:6ddcd9..." as a document has it. */
static status read_head(const char *given, arena *memory, ops_check_request *out, fault *why) {
    size_t digits = strspn(given, "0123456789");
    const char *hash = given + digits + 1;
    if (digits > 0 && digits <= SEQ_DIGITS && given[digits] == ':') {
        out->seq = strtoll(given, NULL, 10);
        out->hash = arena_copy(memory, hash);
        if (!out->hash) return fault_memory(why);
        if (out->seq > 0 && strlen(hash) == HASH_TEXT - 1 &&
            strspn(hash, "0123456789abcdef") == HASH_TEXT - 1)
            return OK;
    }
    return fault_set(
        why, E_INPUT,
        "check: --head is %.90s; it must be the number of a record, a colon and its hash of 64 digits",
        given);
}

static void print_result(const ops_check_result *r) {
    printf("records    %lld, naming %zu photo%s; documents kept: %zu\n", r->records, r->photos,
           r->photos == 1 ? "" : "s", r->offers);
    printf("head       %lld:%s\n", r->head_seq, r->head_hash);
    if (r->known_given) printf("head given: %s in the log\n", r->known_holds ? "stands" : "does not stand");
    for (size_t i = 0; i < r->n_breaks; i++) wrap_print(stdout, "- ", r->breaks[i], 2);
    if (r->more) printf("- and others\n");
    if (r->n_breaks == 0)
        printf("whole: every record follows from the one before it\n");
    else
        printf("broken: %s%zu break%s\n", r->more ? "more than " : "", r->n_breaks,
               r->n_breaks == 1 ? "" : "s");
}

static void print_json(const ops_check_result *r, status *code, fault *why) {
    text out = {0};
    ops_check_json(r, &out);
    if (out.failed)
        *code = fault_memory(why);
    else
        printf("%s\n", text_get(&out));
    text_free(&out);
}

static const char about[] = "Was anything in the records of the job changed, taken out or put between since "
                            "it was written? Are the photos that "
                            "they name there, and the documents kept as they were printed? Each record "
                            "carries the hash of the one before it; the "
                            "head is the last. A log that was cut at its end or written anew is only seen "
                            "against a head from outside, as it stands "
                            "in a document that was handed over: give it with --head. Exit status: 0 whole, "
                            "3 broken, 2 wrong input, 1 the machine "
                            "failed.";

int cli_check(int argc, char **argv) {
    const char *head = NULL;
    bool json = false;
    const options_item items[] = {
        {"--head", "SEQ:HASH", "of a record, from a document that was handed over", &head, NULL},
        {"--json", NULL, "as JSON", NULL, &json}};
    const options_table table = {"check", "JOB", about, items, 2, 1, 1};
    fault why = {0};
    size_t n;
    bool done;
    ops_check_request request = {0};
    ops_check_result result = {0};
    status code = options_read(&table, argc, argv, &n, &done, &why);
    if (code == OK && done) return 0;
    arena *memory = code == OK ? arena_new() : NULL;
    if (code == OK && !memory) code = fault_memory(&why);
    if (code == OK && head) code = read_head(head, memory, &request, &why);
    if (code == OK) code = ops_check(argv[1], &request, memory, &result, &why);
    if (code == OK && json)
        print_json(&result, &code, &why);
    else if (code == OK)
        print_result(&result);
    int exit_code = code != OK ? cli_fail(&why) : result.n_breaks > 0 ? EXIT_BROKEN : 0;
    arena_free(memory);
    return exit_code;
}
