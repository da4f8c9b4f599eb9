/* Any bytes as a table of gauges, air or a forecast, or as an EPW file, in a job with two leaks. */
#include "survey/check.h"
#include "survey/read_epw.h"
#include "survey/read_json.h"
#include "survey/read_table.h"
#include "survey/write_gauges.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

static const char job[] =
    "{\"stanch_survey\": 1, \"units\": \"metric\", \"faces\": ["
    "{\"id\": \"N\", \"lie\": \"wall\", \"thickness_m\": 0.3, \"elevation_m\": 0, "
    "\"outline\": [[0,0],[6,0],[6,3],[0,3]]}],"
    "\"defects\": [{\"mark\": \"C1\", \"kind\": \"crack\", \"parts\": [{\"face\": \"N\", \"points\": "
    "[[1,1],[1,2]]}],"
    "  \"readings\": [{\"on\": \"2025-02-01\", \"width_mm\": 0.3, \"temperature_c\": 4}]},"
    " {\"mark\": \"C2\", \"kind\": \"crack\", \"parts\": [{\"face\": \"N\", \"points\": [[2,1],[2,2]]}]}]}";

static survey *fresh(fault_list *faults) {
    survey *s = survey_new();
    if (!survey_read_json(s, "job", job, sizeof job - 1, faults)) abort();
    return s;
}

/* Written, and read into the same job, the readings are the same. */
static void write_again(survey *s) {
    fault_list *faults = fault_list_new();
    text one = {0}, two = {0};
    survey_write_gauges(s, &one);
    if (!survey_read_gauges(s, "", one.bytes, one.length, faults)) abort();
    survey_write_gauges(s, &two);
    if (strcmp(one.bytes, two.bytes) != 0) abort();
    text_free(&one);
    text_free(&two);
    fault_list_free(faults);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length) {
    fault_list *faults = fault_list_new();
    survey *s = fresh(faults), *weather = fresh(faults);
    if (survey_read_table(s, "fuzz", (const char *)bytes, length, faults) && survey_check(s, faults))
        write_again(s);
    if (survey_read_epw(weather, "fuzz", (const char *)bytes, length, faults) &&
        (weather->site.n_typical != SURVEY_YEAR_DAYS || weather->site.n_year != SURVEY_YEAR_HOURS ||
         !survey_check(weather, faults)))
        abort();
    survey_free(s);
    survey_free(weather);
    fault_list_free(faults);
    return 0;
}
