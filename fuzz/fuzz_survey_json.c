/* Any bytes as a survey: no crash; and what is accepted can be written, read back and written again the same.
 */
#include "survey/check.h"
#include "survey/read_json.h"
#include "survey/write_csv.h"
#include "survey/write_dxf.h"
#include "survey/write_geojson.h"
#include "survey/write_json.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

static void write_again(const survey *s) {
    fault_list *faults = fault_list_new();
    survey *back = survey_new();
    text one = {0}, two = {0}, rest = {0};
    survey_write_json(s, &one);
    if (!survey_read_json(back, "", one.bytes, one.length, faults)) abort();
    survey_write_json(back, &two);
    if (strcmp(one.bytes, two.bytes) != 0) abort();
    survey_write_csv(s, &rest);
    survey_write_geojson(s, &rest);
    survey_write_dxf(s, &rest);
    text_free(&one);
    text_free(&two);
    text_free(&rest);
    survey_free(back);
    fault_list_free(faults);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length) {
    fault_list *faults = fault_list_new();
    survey *s = survey_new();
    if (survey_read_json(s, "fuzz", (const char *)bytes, length, faults) && survey_check(s, faults))
        write_again(s);
    survey_free(s);
    fault_list_free(faults);
    return 0;
}
