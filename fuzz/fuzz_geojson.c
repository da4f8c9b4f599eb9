/* Any bytes as a drawing: no crash; and what is accepted can be written, read back and written again the
 * same. */
#include "survey/check.h"
#include "survey/read_geojson.h"
#include "survey/write_geojson.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

static void write_again(const survey *s) {
    fault_list *faults = fault_list_new();
    survey *back = survey_new();
    text one = {0}, two = {0};
    survey_write_geojson(s, &one);
    if (!survey_read_geojson(back, "", one.bytes, one.length, faults)) abort();
    survey_write_geojson(back, &two);
    if (strcmp(one.bytes, two.bytes) != 0) abort();
    text_free(&one);
    text_free(&two);
    survey_free(back);
    fault_list_free(faults);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length) {
    fault_list *faults = fault_list_new();
    survey *s = survey_new();
    if (survey_read_geojson(s, "fuzz", (const char *)bytes, length, faults) && survey_check(s, faults))
        write_again(s);
    survey_free(s);
    fault_list_free(faults);
    return 0;
}
