#include "cli/kept.h"

#include "core/text.h"
#include "ops/offer.h"

#include <jansson.h>
#include <stdio.h>
#include <string.h>

static const char *word_of(const json_t *row, const char *member) {
    return json_string_value(json_object_get(row, member));
}

static void print_row(const json_t *row) {
    printf("%4lld  %s  ", (long long)json_integer_value(json_object_get(row, "number")), word_of(row, "on"));
    if (*word_of(row, "total")) printf("%20s  ", word_of(row, "total"));
    printf("by %.20s\n", word_of(row, "by"));
}

status kept_print(const char *job, const char *kind, fault *why) {
    text out = {0};
    status code = ops_offers_json(job, &out, why);
    json_t *root = code == OK ? json_loads(text_get(&out), 0, NULL) : NULL, *row;
    size_t i, n = 0;
    if (code == OK && !root) code = fault_memory(why);
    json_array_foreach(json_object_get(root, "offers"), i, row) {
        if (strcmp(word_of(row, "kind"), kind) != 0) continue;
        n++;
        print_row(row);
    }
    if (code == OK && n == 0) printf("No %s is kept in this job.\n", kind);
    json_decref(root);
    text_free(&out);
    return code;
}

status kept_number(const char *job, const char *word, const char *kind, long long *number, fault *why) {
    double given;
    if (!text_to_number(word, &given) || !(given >= 1 && given <= 1e9) || given != (double)(long long)given)
        return fault_set(why, E_INPUT, "--again is %.40s; it must be the number of a kept %s", word, kind);
    *number = (long long)given;
    return ops_offer_is(job, *number, kind, why);
}
