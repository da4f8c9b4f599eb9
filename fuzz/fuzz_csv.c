/* Any bytes as a table of stations on a wall "N" and a wall "E" beside it. */
#include "survey/check.h"
#include "survey/read_csv.h"
#include "survey/read_json.h"
#include "survey/write_csv.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

static const char walls[] = "{\"stanch_survey\": 1, \"units\": \"metric\", \"faces\": ["
                            "{\"id\": \"N\", \"lie\": \"wall\", \"thickness_m\": 0.3, \"elevation_m\": 0, "
                            "\"outline\": [[0,0],[6,0],[6,3],[0,3]]},"
                            "{\"id\": \"E\", \"lie\": \"wall\", \"thickness_m\": 0.3, \"elevation_m\": 0, "
                            "\"outline\": [[0,0],[4,0],[4,3],[0,3]]}],"
                            "\"folds\": [{\"a\": [\"N\", [[6,0],[6,3]]], \"b\": [\"E\", [[0,0],[0,3]]]}]}";

/* Written, read back and written again, a table is the same. */
static void write_again(const survey *s) {
    fault_list *faults = fault_list_new();
    survey *back = survey_new();
    text one = {0}, two = {0};
    survey_write_csv(s, &one);
    if (!survey_read_csv(back, "", one.bytes, one.length, faults)) abort();
    survey_write_csv(back, &two);
    if (strcmp(one.bytes, two.bytes) != 0) abort();
    text_free(&one);
    text_free(&two);
    survey_free(back);
    fault_list_free(faults);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length) {
    fault_list *faults = fault_list_new();
    survey *s = survey_new();
    if (!survey_read_json(s, "walls", walls, sizeof walls - 1, faults)) abort();
    if (survey_read_csv(s, "fuzz", (const char *)bytes, length, faults) && survey_check(s, faults))
        write_again(s);
    survey_free(s);
    fault_list_free(faults);
    return 0;
}
