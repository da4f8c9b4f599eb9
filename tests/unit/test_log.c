/* What a job keeps beside its survey: lines and records that are only ever added, days, underlays. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "store/log.h"
#include "store/store_internal.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char folder[40] = "/dev/shm/stanch-log-XXXXXX";
static char job[64];

static void remove_job(void) {
    static const char *const endings[] = {"", "-wal", "-shm", "-journal"};
    char name[128];
    for (int i = 0; i < 4; i++) {
        snprintf(name, sizeof name, "%s%s", job, endings[i]);
        unlink(name);
    }
}

static int set_up(void **state) {
    (void)state;
    fault why = {OK, ""};
    if (access("/dev/shm", W_OK) != 0) memcpy(folder, "/tmp/stanch-log-XXXXXX", 23);
    if (store_use_memory_hooks(&why) != OK || !mkdtemp(folder)) return -1;
    snprintf(job, sizeof job, "%s/a.stanch", folder);
    return 0;
}

static int tear_down(void **state) {
    (void)state;
    remove_job();
    return rmdir(folder);
}

static void must(status code, const fault *why) {
    if (code != OK) fail_msg("%s", why->text);
}

/* A new job, its survey empty, open to write. */
static store *fresh(void) {
    fault why = {OK, ""};
    store *st = NULL;
    survey *s = survey_new();
    remove_job();
    must(store_create(job, s, &why), &why);
    survey_free(s);
    must(store_open(job, false, &st, &why), &why);
    return st;
}

static const store_change line = {0, "2026-03-01T09:30:00Z", "N. N.", "page", "edit: defect E3"};

static void test_log(void **state) {
    (void)state;
    fault why = {OK, ""};
    store *st = fresh();
    arena *memory = arena_new();
    store_change *list = (store_change *)1;
    size_t n = 9;
    long long revision = 9;
    must(store_revision(st, &revision, &why), &why);
    assert_int_equal(revision, 0);
    must(store_load_log(st, 0, 10, memory, &list, &n, &why), &why);
    assert_null(list);
    assert_int_equal(n, 0);
    for (int i = 1; i <= 7; i++) {
        store_change c = line;
        c.what = arena_print(memory, "change %d", i);
        must(store_log(st, &c, &why), &why);
        must(store_revision(st, &revision, &why), &why);
        assert_int_equal(revision, i);
    }
    must(store_load_log(st, 0, 3, memory, &list, &n, &why), &why);
    assert_int_equal(n, 3);
    assert_int_equal(list[0].seq, 7);
    assert_string_equal(list[0].what, "change 7");
    assert_string_equal(list[0].at, line.at);
    assert_string_equal(list[0].by, line.by);
    assert_string_equal(list[0].through, "page");
    must(store_load_log(st, 5, 100, memory, &list, &n, &why), &why);
    assert_int_equal(n, 4);
    assert_int_equal(list[0].seq, 4);
    assert_int_equal(list[3].seq, 1);
    must(store_load_log(st, 1, 100, memory, &list, &n, &why), &why);
    assert_int_equal(n, 0);
    store_change bad = line;
    bad.through = "post";
    assert_int_equal(store_log(st, &bad, &why), E_INPUT);
    bad = line;
    bad.what = "";
    assert_int_equal(store_log(st, &bad, &why), E_INPUT);
    arena_free(memory);
    store_close(st);
}

/* A line belongs to its transaction. */
static void test_log_goes_with_its_transaction(void **state) {
    (void)state;
    fault why = {OK, ""};
    long long revision = 9;
    store *st = fresh();
    must(store_begin(st, &why), &why);
    must(store_log(st, &line, &why), &why);
    must(store_revision(st, &revision, &why), &why);
    assert_int_equal(revision, 1);
    store_close(st); /* without a commit */
    must(store_open(job, true, &st, &why), &why);
    must(store_revision(st, &revision, &why), &why);
    assert_int_equal(revision, 0);
    assert_int_equal(store_log(st, &line, &why), E_STATE);
    assert_non_null(strstr(why.text, "was opened to read only"));
    store_close(st);
}

static const store_record first = {
    0,      "6f1c1a52-0000-4000-8000-000000000001", "E3", "{\"what\": \"start\"}", "2026-03-01T09:30:00Z",
    "N. N."};

static void test_records(void **state) {
    (void)state;
    fault why = {OK, ""};
    store *st = fresh();
    arena *memory = arena_new();
    store_record *list = NULL, other = first;
    long long seq = 0;
    size_t n = 0;
    bool already = true;
    must(store_add_record(st, &first, &seq, &already, &why), &why);
    assert_false(already);
    assert_int_equal(seq, 1);
    other.received_at = "2026-03-02T00:00:00Z"; /* sent again later: still the same record */
    must(store_add_record(st, &other, &seq, &already, &why), &why);
    assert_true(already);
    assert_int_equal(seq, 1);
    other.body = "{\"what\": \"finish\"}";
    assert_int_equal(store_add_record(st, &other, &seq, &already, &why), E_STATE);
    assert_string_equal(why.text,
                        "record 6f1c1a52-0000-4000-8000-000000000001: another record with this id is there "
                        "already; a correction is a new record");
    other.id = "short";
    assert_int_equal(store_add_record(st, &other, &seq, &already, &why), E_INPUT);
    other.id = "6f1c1a52-0000-4000-8000-000000000002";
    must(store_add_record(st, &other, &seq, &already, &why), &why);
    assert_false(already);
    must(store_load_records(st, 0, 0, memory, &list, &n, &why), &why);
    assert_int_equal(n, 2);
    assert_string_equal(list[0].id, first.id);
    assert_string_equal(list[0].mark, "E3");
    assert_string_equal(list[0].body, first.body);
    assert_string_equal(list[0].received_at, first.received_at);
    assert_string_equal(list[0].received_by, first.received_by);
    assert_true(list[1].seq == seq && seq > list[0].seq);
    must(store_load_records(st, list[0].seq, 0, memory, &list, &n, &why), &why);
    assert_int_equal(n, 1);
    must(store_load_records(st, 0, 1, memory, &list, &n, &why), &why);
    assert_int_equal(n, 1);
    must(store_load_records(st, 99, 0, memory, &list, &n, &why), &why);
    assert_true(n == 0 && list == NULL);
    arena_free(memory);
    store_close(st);
}

static void test_what_is_kept_is_never_changed(void **state) {
    (void)state;
    static const char *const tries[][2] = {
        {"UPDATE record SET body = '{}'", "a.stanch: a record is never changed; nothing was changed"},
        {"DELETE FROM record", "a.stanch: a record is never removed; nothing was changed"},
        {"UPDATE change SET what = 'nothing'", "a.stanch: the log is never changed; nothing was changed"},
        {"DELETE FROM change WHERE seq = 1", "a.stanch: the log is never cut; nothing was changed"},
    };
    fault why = {OK, ""};
    store *st = fresh();
    long long seq, revision;
    bool already;
    must(store_log(st, &line, &why), &why);
    must(store_add_record(st, &first, &seq, &already, &why), &why);
    for (size_t i = 0; i < sizeof tries / sizeof *tries; i++) {
        assert_int_equal(store_exec(st, tries[i][0], "saved", &why), E_STATE);
        if (!strstr(why.text, tries[i][1])) fail_msg("%s", why.text);
    }
    survey *s = survey_new();
    must(store_save(st, s, &why), &why); /* a save leaves them alone */
    must(store_revision(st, &revision, &why), &why);
    must(store_add_record(st, &first, &seq, &already, &why), &why);
    assert_int_equal(revision, 1);
    assert_true(already);
    survey_free(s);
    store_close(st);
}

static void test_days(void **state) {
    (void)state;
    fault why = {OK, ""};
    store *st = fresh();
    arena *memory = arena_new();
    static const char *const three[] = {"N3", "E1", "N3b"}, *const one[] = {"W1"};
    const char **marks = NULL;
    size_t n = 9;
    must(store_load_day(st, "2026-03-01", memory, &marks, &n, &why), &why);
    assert_true(n == 0 && marks == NULL);
    must(store_set_day(st, "2026-03-01", three, 3, &why), &why);
    must(store_set_day(st, "2026-03-02", one, 1, &why), &why);
    must(store_load_day(st, "2026-03-01", memory, &marks, &n, &why), &why);
    assert_int_equal(n, 3);
    for (size_t i = 0; i < 3; i++) assert_string_equal(marks[i], three[i]);
    must(store_set_day(st, "2026-03-01", one, 1, &why), &why);
    must(store_load_day(st, "2026-03-01", memory, &marks, &n, &why), &why);
    assert_int_equal(n, 1);
    must(store_set_day(st, "2026-03-01", NULL, 0, &why), &why);
    must(store_load_day(st, "2026-03-01", memory, &marks, &n, &why), &why);
    assert_int_equal(n, 0);
    must(store_load_day(st, "2026-03-02", memory, &marks, &n, &why), &why);
    assert_int_equal(n, 1);
    arena_free(memory);
    store_close(st);
}

static void test_underlays(void **state) {
    (void)state;
    fault why = {OK, ""};
    store *st = fresh();
    arena *memory = arena_new();
    bool found = true;
    store_underlay u = {"N", "a.jpg", {0, 0, 1, 0, 1, 1, 0.1, 1.0 / 3}, {0, 3.2, 9, 3.2, 9, 0, 1e-17, 0.1}},
                   back;
    must(store_load_underlay(st, "N", memory, &back, &found, &why), &why);
    assert_false(found);
    must(store_set_underlay(st, &u, &why), &why);
    u.file = "b.jpg";
    must(store_set_underlay(st, &u, &why), &why);
    const store_underlay e = {.face = "E", .file = "e.jpg"};
    const char **faces;
    size_t n;
    must(store_set_underlay(st, &e, &why), &why);
    must(store_list_underlays(st, memory, &faces, &n, &why), &why);
    assert_int_equal(n, 2);
    assert_string_equal(faces[0], "E");
    assert_string_equal(faces[1], "N");
    must(store_load_underlay(st, "N", memory, &back, &found, &why), &why);
    assert_true(found);
    assert_string_equal(back.face, "N");
    assert_string_equal(back.file, "b.jpg");
    assert_memory_equal(back.corners, u.corners, sizeof u.corners);
    assert_memory_equal(back.onto_m, u.onto_m, sizeof u.onto_m);
    must(store_exec(st, "UPDATE underlay SET corners = '[1, 2]'", "saved", &why), &why);
    assert_int_equal(store_load_underlay(st, "N", memory, &back, &found, &why), E_FORMAT);
    assert_false(found);
    arena_free(memory);
    store_close(st);
}

static void test_summary(void **state) {
    (void)state;
    fault why = {OK, ""};
    store *st = NULL;
    arena *memory = arena_new();
    store_summary about;
    survey *s = survey_new();
    s->site.name = "Cellar";
    s->site.system = UNITS_US;
    remove_job();
    must(store_create_logged(job, s, &line, &why), &why);
    must(store_open(job, true, &st, &why), &why);
    must(store_summarise(st, memory, &about, &why), &why);
    assert_string_equal(about.name, "Cellar");
    assert_int_equal(about.system, UNITS_US);
    assert_int_equal(about.leaks, 0);
    assert_int_equal(about.revision, 1);
    store_close(st);
    survey_free(s);
    arena_free(memory);
}

/* Two readings in one state of the job, though another writes in between. */
static void test_one_state_over_several_loads(void **state) {
    (void)state;
    fault why = {OK, ""};
    store *writer = fresh(), *reader = NULL;
    long long revision = 9;
    must(store_open(job, true, &reader, &why), &why);
    must(store_begin_read(reader, &why), &why);
    must(store_revision(reader, &revision, &why), &why);
    must(store_log(writer, &line, &why), &why);
    must(store_revision(reader, &revision, &why), &why);
    assert_int_equal(revision, 0);
    store_close(reader);
    store_close(writer);
}

/* ---- every allocation failing in turn ---- */

static status use_all(store *st, arena *memory, fault *why) {
    static const char *const marks[] = {"N3", "E1"};
    static const store_underlay u = {"N", "a.jpg", {0}, {0}};
    const char **day;
    store_change *changes;
    store_record *records;
    store_underlay back;
    store_summary about;
    long long seq;
    size_t n;
    bool yes;
    status code = store_begin(st, why); /* taken back by the caller: each round is the first */
    if (code == OK) code = store_log(st, &line, why);
    if (code == OK) code = store_add_record(st, &first, &seq, &yes, why);
    if (code == OK) code = store_add_record(st, &first, &seq, &yes, why);
    if (code == OK) code = store_set_day(st, "2026-03-01", marks, 2, why);
    if (code == OK) code = store_set_underlay(st, &u, why);
    if (code == OK) code = store_load_log(st, 0, 9, memory, &changes, &n, why);
    if (code == OK) code = store_load_records(st, 0, 0, memory, &records, &n, why);
    if (code == OK) code = store_load_day(st, "2026-03-01", memory, &day, &n, why);
    if (code == OK) code = store_load_underlay(st, "N", memory, &back, &yes, why);
    if (code == OK) code = store_list_underlays(st, memory, &day, &n, why);
    if (code == OK) code = store_summarise(st, memory, &about, why);
    return code;
}

static void test_each_allocation_fails(void **state) {
    (void)state;
    long failures = 0, n = 0;
    store_close(fresh());
    for (bool done = false; !done; n++) {
        fault why = {OK, ""};
        store *st = NULL;
        must(store_open(job, false, &st, &why), &why);
        long before = mem_count();
        mem_fail_at(n, 0);
        arena *memory = arena_new();
        status code = memory ? use_all(st, memory, &why) : E_MEMORY;
        done = mem_count() - before <= n;
        mem_fail_at(-1, 0);
        if (code != OK && code != E_MEMORY) fail_msg("allocation %ld: %s", n, why.text);
        failures += code != OK;
        arena_free(memory);
        store_close(st);
    }
    print_message("%ld allocations, %ld told as a failure\n", n, failures);
    assert_true(failures > 50);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_log),
        cmocka_unit_test(test_log_goes_with_its_transaction),
        cmocka_unit_test(test_records),
        cmocka_unit_test(test_what_is_kept_is_never_changed),
        cmocka_unit_test(test_days),
        cmocka_unit_test(test_underlays),
        cmocka_unit_test(test_summary),
        cmocka_unit_test(test_one_state_over_several_loads),
        cmocka_unit_test(test_each_allocation_fails),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
