/* The first byte picks the calculation, the rest is its input. What runs must give finite JSON that reads back. */
#include "cli/calc_table.h"

#include <gsl/gsl_errno.h>
#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

/* A mesh or a table that would take seconds is no fault; the fuzzer looks for short ones. */
enum { LONGEST = 2000 };

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length) {
    if (length < 1 || length > LONGEST) return 0;
    gsl_set_error_handler_off();
    const calc_row *row = calc_rows[bytes[0] % calc_rows_count];
    fault_list *faults = fault_list_new();
    arena *memory = arena_new();
    json_in in = {.source = "", .faults = faults, .memory = memory};
    calc_object object = {0};
    text out = {0};
    fault why = {0};
    if (calc_read(&in, row, (const char *)bytes + 1, length - 1, &object) &&
        calc_compute(row, &object, memory, &out, &why) == OK) {
        json_t *back = json_loadb(text_get(&out), out.length, JSON_REJECT_DUPLICATES, NULL);
        if (!json_is_object(back)) abort();
        json_decref(back);
    }
    text_free(&out);
    arena_free(memory);
    fault_list_free(faults);
    return 0;
}
