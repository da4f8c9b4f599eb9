/* Any bytes as an edit of a small job: no crash; and an edit that is accepted leaves a survey that can be written, read
 * back and written again the same, each changed object under the hash that the edit gives. */
#include "ops/edit_parts.h"
#include "survey/catalogue.h"
#include "survey/check.h"
#include "survey/read_json.h"
#include "survey/write_json.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

static const char base[] = "{\"stanch_survey\": 1, \"units\": \"metric\", \"site\": {\"name\": \"fuzz\", "
                           "\"units\": \"metric\", \"today\": "
                           "{\"level_m\": 2, \"known\": \"told\"}, \"retained_top_m\": 3}, \"faces\": "
                           "[{\"id\": \"N\", \"lie\": \"wall\", "
                           "\"behind\": \"ground\", \"thickness_m\": 0.3, \"elevation_m\": 0, \"outline\": "
                           "[[0, 0], [6, 0], [6, 3], [0, 3]]}, "
                           "{\"id\": \"E\", \"lie\": \"wall\", \"behind\": \"ground\", \"thickness_m\": 0.3, "
                           "\"elevation_m\": 0, \"outline\": "
                           "[[0, 0], [4, 0], [4, 3], [0, 3]]}], \"folds\": [{\"a\": [\"N\", [[6, 0], [6, "
                           "3]]], \"b\": [\"E\", [[0, 0], [0, "
                           "3]]]}], \"defects\": [{\"mark\": \"N1\", \"kind\": \"crack\", \"parts\": "
                           "[{\"face\": \"N\", \"points\": [[1, 0.4], "
                           "[1.2, 1.4]]}], \"stations\": [{\"chainage_m\": 0.2, \"width_mm\": 0.3, "
                           "\"wetness\": \"run\"}]}, {\"mark\": "
                           "\"N2\", \"kind\": \"tie_hole\", \"parts\": [{\"face\": \"N\", \"points\": [[3, "
                           "1]]}], \"diameter_mm\": 25}], "
                           "\"answers\": [{\"mark\": \"N1\", \"finding\": \"scan\", \"by\": \"A. Sample\", "
                           "\"on\": \"2026-02-01\", \"what\": "
                           "\"done\"}]}";

static void write_again(const survey *s) {
    fault_list *faults = fault_list_new();
    survey *back = survey_new();
    text one = {0}, two = {0};
    survey_write_json(s, &one);
    if (!survey_read_json(back, "", one.bytes, one.length, faults) || !survey_check(back, faults)) abort();
    survey_write_json(back, &two);
    if (strcmp(one.bytes, two.bytes) != 0) abort();
    text_free(&one);
    text_free(&two);
    survey_free(back);
    fault_list_free(faults);
}

/* What a change put is found in the survey under its key, and hashes alike. */
static void find_again(const editing *e) {
    for (size_t i = 0; i < e->n; i++) {
        const edit_change *c = &e->changes[i];
        char sent[HASH_TEXT], kept[HASH_TEXT];
        bool found = false;
        for (size_t k = 0; k < object_count(e->s, c->kind); k++) {
            object_any object = object_get(e->s, c->kind, k);
            if (strcmp(object_key(c->kind, &object), c->key) != 0) continue;
            found = true;
            object_hash(c->kind, e->system, &c->after, sent);
            object_hash(c->kind, e->system, &object, kept);
            if (!c->removes && strcmp(sent, kept) != 0) abort();
        }
        if (found == c->removes) abort();
    }
}

static void edit(editing *e, const ops_edit_request *request) {
    fault why;
    text told = {0};
    const edit_change *which = NULL;
    edit_read(e, request);
    if (edit_compare(e, &which, &why) != OK || fault_list_count(e->faults) > 0) return;
    edit_tell(e, &told);
    if (edit_apply(e) && edit_check(e, &why) == OK && fault_list_count(e->faults) == 0) {
        find_again(e);
        write_again(e->s);
    }
    text_free(&told);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length) {
    fault why;
    editing e = {.s = survey_new(), .faults = fault_list_new()};
    const ops_edit_request request = {(const char *)bytes, length};
    if (!survey_read_json(e.s, "", base, sizeof base - 1, e.faults) || !survey_check(e.s, e.faults)) abort();
    if (survey_catalogue_fill(e.s, &why) != OK || edit_begin(&e, &why) != OK) abort();
    edit(&e, &request);
    edit_end(&e);
    survey_free(e.s);
    fault_list_free(e.faults);
    return 0;
}
