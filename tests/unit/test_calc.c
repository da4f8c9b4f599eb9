/* stanch calc from inside: what the table promises, memory that runs out anywhere, and random wrong input. */
#include "../near.h"
#include "cli/calc_table.h"

#include <gsl/gsl_errno.h>
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Run a row on a text; the output to `to`. */
static status compute(const calc_row *row, const char *bytes, text *to, fault *why) {
    arena *memory = arena_new();
    fault_list *faults = fault_list_new();
    status code = E_MEMORY;
    if (memory && faults) {
        json_in in = {.source = "", .faults = faults, .system = UNITS_METRIC, .memory = memory};
        calc_object object = {0};
        bool good = calc_read(&in, row, bytes, strlen(bytes), &object);
        code = fault_list_status(faults, why);
        assert_true(good == (code == OK));
        if (good) code = calc_compute(row, &object, memory, to, why);
    }
    fault_list_free(faults);
    arena_free(memory);
    return code;
}

static void fields_are_told(const calc_field *fields, size_t count, const char *explained) {
    for (size_t i = 0; i < count; i++) {
        const calc_field *f = &fields[i];
        assert_non_null(strstr(explained, f->name));
        assert_true(strlen(f->text) > 0);
        assert_false(f->required && f->origin);
        if (f->kind == CALC_NUMBER) assert_true(f->range.low < f->range.high);
        if (f->kind == CALC_NUMBER && f->origin)
            assert_true(f->fallback >= f->range.low && f->fallback <= f->range.high);
        if (f->kind == CALC_CUSTOM) assert_true(f->read && f->shape);
        fields_are_told(f->fields, f->fields_count, explained);
    }
}

static void rows_are_whole(void **state) {
    (void)state;
    for (size_t i = 0; i < calc_rows_count; i++) {
        const calc_row *row = calc_rows[i];
        text explained = {0}, result = {0};
        fault why = {0};
        calc_explain(row, &explained);
        assert_non_null(strstr(text_get(&explained), "Model"));
        fields_are_told(row->fields, row->fields_count, text_get(&explained));
        assert_true(row->sources_count > 0);
        assert_int_equal(compute(row, row->example, &result, &why), OK);
        assert_non_null(strstr(text_get(&result), "\"warnings\": ["));
        assert_non_null(strstr(text_get(&result), "\"basis\": [\n"));
        text_free(&explained);
        text_free(&result);
    }
}

/* The planes take a large part of a second each and allocate thousands of times: they get a sample. */
static bool is_slow(const calc_row *row) {
    return strcmp(row->name, "crackplane") == 0 || strcmp(row->name, "plugging") == 0;
}

/* Fail the first, second, ... allocation until one run needs no more of them; of a slow row ever fewer. */
static void memory_fails(void **state) {
    (void)state;
    for (size_t i = 0; i < calc_rows_count; i++) {
        status code = E_MEMORY;
        for (long n = 0; code != OK; n += is_slow(calc_rows[i]) ? 1 + n / 4 : 1) {
            text to = {0};
            fault why = {0};
            mem_fail_at(n, 1);
            code = compute(calc_rows[i], calc_rows[i]->example, &to, &why);
            mem_fail_at(-1, 0);
            if (code != OK && code != E_MEMORY)
                fail_msg("%s, allocation %ld: %s", calc_rows[i]->name, n, why.text);
            text_free(&to);
        }
    }
}

static uint64_t next_random(uint64_t *seed) {
    *seed = *seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407); /* Knuth, MMIX */
    return *seed >> 33;
}

/* Numbers of the examples changed at random for odd ones: every run ends in a result without nan or inf, or
 * in a sentence; the same bytes give the same answer. */
static void odd_numbers(void **state) {
    (void)state;
    static const char *const odd[] = {
        "0",    "-1",    "1e308", "-1e308", "1e-308", "5e-324", "0.1", "1e30", "100", "null",
        "true", "\"x\"", "[]",    "{}",     "1e5",    "-1e-9",  "60",  "1",    "2",   "999999999999999999"};
    uint64_t seed = 20240607;
    print_message("seed %" PRIu64 "\n", seed);
    for (int run = 0; run < 20000; run++) {
        const calc_row *row = calc_rows[next_random(&seed) % calc_rows_count];
        if (is_slow(row) && next_random(&seed) % 40 != 0) continue;
        text input = {0}, one = {0}, two = {0};
        fault why = {0}, again = {0};
        for (const char *c = row->example; *c;) {
            size_t digits = strspn(c, "0123456789.e-");
            bool number = digits > 0 && c > row->example && strchr(" [", c[-1]);
            bool change = number && next_random(&seed) % 4 == 0;
            if (change)
                text_add(&input, odd[next_random(&seed) % COUNT(odd)]);
            else
                text_add_bytes(&input, c, digits ? digits : 1);
            c += digits ? digits : 1;
        }
        status code = compute(row, text_get(&input), &one, &why);
        assert_true(code == OK || code == E_INPUT);
        assert_int_equal(compute(row, text_get(&input), &two, &again), code);
        if (code == OK && (strstr(text_get(&one), "nan") || strstr(text_get(&one), ": inf")))
            fail_msg("%s of %s gives %s", row->name, text_get(&input), text_get(&one));
        if (code == E_INPUT && (strlen(why.text) < 10 || strstr(why.text, "nan")))
            fail_msg("%s of %s says: %s", row->name, text_get(&input), why.text);
        assert_string_equal(text_get(&one), text_get(&two));
        assert_string_equal(why.text, again.text);
        text_free(&input);
        text_free(&one);
        text_free(&two);
    }
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {cmocka_unit_test(rows_are_whole), cmocka_unit_test(memory_fails),
                                       cmocka_unit_test(odd_numbers)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
