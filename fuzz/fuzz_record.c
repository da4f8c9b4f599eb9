/* Any bytes as a record from a phone: no crash; and what is accepted is stored, read back and stored again the same, in
 * both systems of units. Any bytes as a stored body: no crash, and never half a record. */
#include "record/record.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

static void store_again(const record *r, arena *memory) {
    text one = {0}, two = {0};
    fault why = {0};
    record back;
    record_write_body(r, &one);
    if (record_read_body(text_get(&one), memory, &back, &why) != OK) abort();
    if (!survey_fields_equal(record_fields, r, &back)) abort();
    record_write_body(&back, &two);
    if (strcmp(text_get(&one), text_get(&two)) != 0) abort();
    text_free(&one);
    text_free(&two);
}

static void read_as(units_system system, const char *bytes, size_t length) {
    json_in in = {.source = "", .faults = fault_list_new(), .system = system, .memory = arena_new()};
    json_t *object = json_in_parse(&in, bytes, length);
    record r;
    if (object && record_read(&in, NULL, object, "2026-03-01T12:00:00Z", &r)) store_again(&r, in.memory);
    json_decref(object);
    arena_free(in.memory);
    fault_list_free(in.faults);
}

static void read_stored(const uint8_t *bytes, size_t length) {
    arena *memory = arena_new();
    char *body = arena_get(memory, length + 1, 1);
    record r;
    fault why = {0};
    if (length > 0) memcpy(body, bytes, length);
    if (record_read_body(body, memory, &r, &why) == OK && (!r.id || !r.mark || !r.at || !r.device)) abort();
    arena_free(memory);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length) {
    read_as(UNITS_METRIC, (const char *)bytes, length);
    read_as(UNITS_US, (const char *)bytes, length);
    read_stored(bytes, length);
    return 0;
}
