/* An offer once printed can be printed again to the same bytes, whatever became of the job. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "core/file.h"
#include "ops/offer.h"
#include "record/chain.h"
#include "store/log.h"
#include "store/offers.h"

#include <dirent.h>
#include <jansson.h>
#include <math.h>
#include <signal.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

static char folder[40] = "/dev/shm/stanch-offer-XXXXXX";
static char job[64], change[64];

static void remove_all(void) {
    static const char *const endings[] = {"", "-wal", "-shm", "-journal"};
    char name[128];
    for (int i = 0; i < 4; i++) {
        snprintf(name, sizeof name, "%s%s", job, endings[i]);
        unlink(name);
    }
    unlink(change);
}

static int set_up(void **state) {
    (void)state;
    fault why = {OK, ""};
    if (access("/dev/shm", W_OK) != 0) memcpy(folder, "/tmp/stanch-offer-XXXXXX", 25);
    if (store_use_memory_hooks(&why) != OK || !mkdtemp(folder)) return -1;
    snprintf(job, sizeof job, "%s/a.stanch", folder);
    snprintf(change, sizeof change, "%s/change.json", folder);
    return 0;
}

static int tear_down(void **state) {
    (void)state;
    remove_all();
    return rmdir(folder); /* fails when something was left beside the job */
}

static void must(status code, const fault *why) {
    if (code != OK) fail_msg("%s", why->text);
}

static const ops_actor actor = {"A. Sample", "2026-03-01T09:30:00Z", "command"};
static const ops_offer_request request = {.on = "2026-03-01", .options = {200, 5, 0}};

static void import(const char *file) {
    fault why = {OK, ""};
    fault_list *faults = fault_list_new();
    ops_import_result result;
    const char *const files[] = {file};
    const ops_import_request in = {.files = files, .n = 1};
    must(ops_import(job, &in, &actor, faults, &result, &why), &why);
    fault_list_free(faults);
}

static void import_text(const char *json) {
    fault why = {OK, ""};
    must(file_write(change, json, strlen(json), &why), &why);
    import(change);
}

static void fresh(const char *example, units_system system) {
    fault why = {OK, ""};
    const ops_new_request first = {"Valve pit", system, NULL, false};
    remove_all();
    must(ops_new(job, &first, &actor, &why), &why);
    import(example);
}

static ops_offer_result make(const ops_offer_request *of) {
    fault why = {OK, ""};
    ops_offer_result result;
    must(ops_offer_make(job, of, &actor, &result, &why), &why);
    return result;
}

static text document(long long number, const char *ending) {
    fault why = {OK, ""};
    text bytes = {0};
    must(ops_offer_document(job, number, ending, &bytes, &why), &why);
    return bytes;
}

static void same(text *a, text *b) {
    assert_int_equal(a->length, b->length);
    assert_memory_equal(a->bytes, b->bytes, a->length);
}

static json_t *list(void) {
    fault why = {OK, ""};
    text out = {0};
    must(ops_offers_json(job, &out, &why), &why);
    json_t *root = json_loads(text_get(&out), 0, NULL);
    assert_non_null(root);
    text_free(&out);
    return root;
}

static size_t kept(void) {
    json_t *root = list();
    size_t n = json_array_size(json_object_get(root, "offers"));
    json_decref(root);
    return n;
}

static void sql(const char *words, int wanted, const char *saying) {
    sqlite3 *db = NULL;
    char *said = NULL;
    assert_int_equal(sqlite3_open(job, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, words, NULL, NULL, &said), wanted);
    if (saying) assert_string_equal(said, saying);
    sqlite3_free(said);
    sqlite3_close(db);
}

static double total_of_plan(void) {
    fault why = {OK, ""};
    ops_job looked;
    const ops_plan_request off = {.planes = PLANES_OFF, .threads = 1};
    must(ops_look(job, &off, &looked, &why), &why);
    double total = looked.plan->price.total;
    ops_job_free(&looked);
    return total;
}

/* No spreadsheet stays in the folder of the job. */
static void nothing_beside(void) {
    DIR *open = opendir(folder);
    assert_non_null(open);
    for (const struct dirent *file = readdir(open); file; file = readdir(open))
        if (strstr(file->d_name, "offer-")) fail_msg("%s was left", file->d_name);
    closedir(open);
}

/* Kept, handed out, made again: before and after rates, prices and the survey have changed. */
static void test_printed_again(void **state) {
    (void)state;
    fault why = {OK, ""};
    fresh(EXAMPLES "/small-us.json", UNITS_US);
    double total = total_of_plan();
    ops_offer_result first = make(&request);
    assert_int_equal(first.number, 1);
    assert_true(first.total == total);
    assert_string_equal(first.currency, "USD");
    nothing_beside();
    assert_true(first.p20 <= first.p50 && first.p50 <= first.p80);
    text pdf = document(1, "pdf"), xlsx = document(1, "xlsx");
    assert_memory_equal(pdf.bytes, "%PDF", 4);
    assert_memory_equal(xlsx.bytes, "PK", 2);

    import_text("{\"stanch_survey\": 1, \"units\": \"us\", \"rates\": [{\"id\": \"pack_h_m\", \"label\": "
                "\"Ram dry-pack\", \"unit\": "
                "\"h/m\", \"value\": 0.9, \"basis\": \"own\", \"source\": \"our records\"}], \"prices\": "
                "[{\"id\": \"labour_h\", "
                "\"label\": \"Labour\", \"unit\": \"h\", \"price\": 81}]}");
    import_text("{\"stanch_survey\": 1, \"units\": \"us\", \"site\": {\"name\": \"Renamed\", \"crew\": 5}, "
                "\"answers\": []}");
    ops_offer_result second = make(&request);
    assert_int_equal(second.number, 2);
    assert_true(second.total > first.total);
    assert_true(second.total == total_of_plan());

    text again = document(1, "pdf"), sheet = document(1, "xlsx"), other = document(2, "pdf");
    same(&pdf, &again);
    same(&xlsx, &sheet);
    assert_false(other.length == pdf.length && memcmp(other.bytes, pdf.bytes, pdf.length) == 0);
    for (long long n = 1; n <= 2; n++) {
        bool told = false, is = false;
        must(ops_offer_repeat(job, n, &told, &is, &why), &why);
        assert_true(told);
        assert_true(is);
    }
    text *const all[] = {&pdf, &xlsx, &again, &sheet, &other};
    for (size_t i = 0; i < 5; i++) text_free(all[i]);
}

static void test_listed(void **state) {
    (void)state;
    fresh(EXAMPLES "/small-us.json", UNITS_US);
    assert_int_equal(kept(), 0);
    ops_offer_result made = make(&request);
    make(&request);
    json_t *root = list(), *rows = json_object_get(root, "offers"), *row = json_array_get(rows, 0);
    char total[40];
    assert_int_equal(json_array_size(rows), 2);
    assert_int_equal(json_integer_value(json_object_get(row, "number")), 1);
    assert_string_equal(json_string_value(json_object_get(row, "kind")), "offer");
    assert_string_equal(json_string_value(json_object_get(row, "on")), "2026-03-01");
    assert_string_equal(json_string_value(json_object_get(row, "by")), "A. Sample");
    assert_string_equal(json_string_value(json_object_get(row, "program")), STANCH_VERSION);
    snprintf(total, sizeof total, "%.0f\u00a0%06.2f USD", floor(made.total / 1000), fmod(made.total, 1000));
    assert_string_equal(json_string_value(json_object_get(row, "total")), total);
    text pdf = document(1, "pdf");
    char hash[HASH_TEXT];
    assert_string_equal(json_string_value(json_object_get(row, "pdf_sha256")),
                        hash_text(pdf.bytes, pdf.length, hash));
    text_free(&pdf);
    json_decref(root);

    fault why = {OK, ""};
    store *st = NULL;
    arena *memory = arena_new();
    store_change *log;
    size_t n;
    must(store_open(job, true, &st, &why), &why);
    must(store_load_log(st, 0, 1, memory, &log, &n, &why), &why);
    assert_non_null(strstr(log[0].what, "offer 2 of 2026-03-01: "));
    assert_string_equal(log[0].by, "A. Sample");
    store_close(st);
    arena_free(memory);
}

/* Whatever is chosen is kept beside the inputs. */
static void test_every_option_is_repeated(void **state) {
    (void)state;
    fault why = {OK, ""};
    fresh(EXAMPLES "/small-us.json", UNITS_US);
    const ops_offer_request many[] = {
        {.on = "2026-03-02", .options = {150, UINT64_MAX, 0}},
        {.on = "2026-03-03", .options = {300, 2, 0}, .without_risk = true},
        {.on = "2026-03-04", .options = {0, 9, 0}, .link = "https://192.0.2.7:8466/#/job/a/"}};
    for (size_t i = 0; i < 3; i++) {
        bool told, is;
        ops_offer_result made = make(&many[i]);
        must(ops_offer_repeat(job, made.number, &told, &is, &why), &why);
        assert_true(told && is);
    }
}

static void test_a_draft_is_not_kept(void **state) {
    (void)state;
    fault why = {OK, ""};
    ops_offer_result result;
    text pdf = {0}, xlsx = {0};
    fresh(EXAMPLES "/small-us.json", UNITS_US);
    must(ops_offer_draft(job, &request, &pdf, &xlsx, &result, &why), &why);
    assert_int_equal(result.number, 0);
    assert_true(pdf.length > 1000 && xlsx.length > 1000);
    assert_int_equal(kept(), 0);
    text_free(&pdf);
    text_free(&xlsx);
}

static void test_only_added(void **state) {
    (void)state;
    fresh(EXAMPLES "/small-us.json", UNITS_US);
    make(&request);
    sql("UPDATE offer SET facts = '{}'", SQLITE_CONSTRAINT, "a document that was kept is never changed");
    sql("DELETE FROM offer", SQLITE_CONSTRAINT, "a document that was kept is never removed");
    import(EXAMPLES "/small-us.json"); /* a save of the survey leaves them alone */
    assert_int_equal(kept(), 1);
}

static void refused(long long number, const char *ending, status wanted, const char *saying) {
    fault why = {OK, ""};
    text bytes = {0};
    assert_int_equal(ops_offer_document(job, number, ending, &bytes, &why), wanted);
    assert_int_equal(bytes.length, 0);
    if (!strstr(why.text, saying)) fail_msg("%s", why.text);
    text_free(&bytes);
}

static void test_damage_is_refused(void **state) {
    (void)state;
    fault why = {OK, ""};
    bool told, is;
    fresh(EXAMPLES "/small-us.json", UNITS_US);
    for (int i = 0; i < 4; i++) make(&request);
    refused(9, "pdf", E_STATE, "keeps no document 9");
    refused(1, "svg", E_STATE, "has no document .svg");
    sql("DROP TRIGGER offer_is_kept;"
        "UPDATE offer SET pdf = CAST(substr(pdf, 1, 900) || X'00' || substr(pdf, 902) AS BLOB) WHERE number "
        "= 1;"
        "UPDATE offer SET xlsx = substr(xlsx, 1, length(xlsx) - 1) WHERE number = 2;",
        SQLITE_OK, NULL);
    refused(1, "pdf", E_FORMAT, "document 1 is damaged: its PDF");
    refused(1, "xlsx", E_FORMAT, "document 1 is damaged");
    refused(2, "pdf", E_FORMAT, "its spreadsheet");
    static const char *const changes[] = {"inputs = replace(inputs, 'Valve pit', 'Valve pot')",
                                          "facts = replace(facts, '1', '2')",
                                          "options = '{}'",
                                          "program_version = '0.0.1'",
                                          "\"by\" = 'B. B.'",
                                          "\"on\" = '2020-01-01'",
                                          "head_seq = 7",
                                          "made_hash = hex(zeroblob(32))"};
    for (size_t i = 0; i < sizeof changes / sizeof *changes; i++) {
        char words[400];
        sql("CREATE TABLE before AS SELECT * FROM offer WHERE number = 3", SQLITE_OK, NULL);
        snprintf(words, sizeof words, "UPDATE offer SET %s WHERE number = 3", changes[i]);
        sql(words, SQLITE_OK, NULL);
        refused(3, "pdf", E_FORMAT, "document 3 is damaged: what it was made from");
        sql("DROP TRIGGER IF EXISTS offer_stays; DELETE FROM offer WHERE number = 3; INSERT INTO offer "
            "SELECT * FROM before; DROP TABLE "
            "before",
            SQLITE_OK, NULL);
    }
    must(ops_offer_repeat(job, 3, &told, &is, &why), &why);
    assert_true(told && is);
}

/* Kept beside offer 1: the same with one thing other, whole in itself. */
static long long keep_like(const char *version, const char *inputs, const char *options) {
    fault why = {OK, ""};
    store *st = NULL;
    arena *memory = arena_new();
    store_offer offer;
    bool found;
    long long number = 0;
    must(store_open(job, false, &st, &why), &why);
    must(store_load_offer(st, 1, memory, &offer, &found, &why), &why);
    if (version) offer.program_version = version;
    if (inputs) offer.inputs = inputs;
    if (options) offer.options = options;
    must(store_add_offer(st, &offer, &number, &why), &why);
    store_close(st);
    arena_free(memory);
    return number;
}

static void test_made_of_something_else(void **state) {
    (void)state;
    fault why = {OK, ""};
    bool told, is;
    fresh(EXAMPLES "/small-us.json", UNITS_US);
    make(&request);
    must(ops_offer_repeat(job, keep_like("0.0.1", NULL, NULL), &told, &is, &why), &why);
    assert_false(told);
    static const char other[] = "{\"stanch_survey\": 1, \"units\": \"metric\"}";
    assert_int_equal(ops_offer_repeat(job, keep_like(NULL, "{", NULL), &told, &is, &why), E_INPUT);
    assert_int_equal(ops_offer_repeat(job, keep_like(NULL, other, NULL), &told, &is, &why) == OK && is,
                     false);
    assert_int_equal(ops_offer_repeat(job, keep_like(NULL, NULL, "[]"), &told, &is, &why), E_FORMAT);
    assert_non_null(strstr(why.text, "offer 5"));
}

/* The head of the log of records at that moment, and documents of another kind between the offers. */
static void test_beside_other_documents(void **state) {
    (void)state;
    fault why = {OK, ""};
    store *st = NULL;
    arena *memory = arena_new();
    long long number = 0;
    fresh(EXAMPLES "/small-us.json", UNITS_US);
    must(store_open(job, false, &st, &why), &why);
    const store_record one = {
        0, "00000000-0000-4000-8000-000000000001", "N1", "{}", "2026-03-01T09:30:00Z", "A. Sample"};
    long long seq;
    bool already, found;
    must(store_add_record(st, &one, &seq, &already, &why), &why);
    store_offer other = {.kind = "handover",
                         .on = "2026-03-01",
                         .at = actor.at,
                         .by = actor.by,
                         .program_version = STANCH_VERSION,
                         .inputs = "{}",
                         .options = "{}",
                         .facts = "{}",
                         .head_hash = CHAIN_START,
                         .pdf = {.bytes = "%PDF-1", .length = 6}};
    must(store_add_offer(st, &other, &number, &why), &why);
    assert_int_equal(number, 1);
    other.kind = "letter";
    assert_int_equal(store_add_offer(st, &other, &number, &why), E_INPUT);
    assert_int_equal(number, 0);
    store_close(st);
    assert_int_equal(make(&request).number, 2);
    must(store_open(job, true, &st, &why), &why);
    store_offer *rows;
    size_t n;
    char head[HASH_TEXT];
    must(store_list_offers(st, "offer", memory, &rows, &n, &why), &why);
    assert_int_equal(n, 1);
    assert_null(rows[0].inputs);
    must(store_list_offers(st, NULL, memory, &rows, &n, &why), &why);
    assert_int_equal(n, 2);
    must(store_load_offer(st, 1, memory, &other, &found, &why), &why);
    assert_true(found && other.xlsx.length == 0 && other.pdf.length == 6);
    must(store_load_offer(st, 2, memory, &other, &found, &why), &why);
    must(store_chain_head(st, &seq, head, &why), &why);
    assert_int_equal(other.head_seq, 1);
    assert_string_equal(other.head_hash, head);
    must(store_load_offer(st, 3, memory, &other, &found, &why), &why);
    assert_false(found);
    assert_int_equal(store_add_offer(st, &other, &number, &why), E_STATE); /* opened to read */
    store_close(st);
    arena_free(memory);
    refused(1, "xlsx", E_STATE, "has no document .xlsx");
    bool told, is;
    must(ops_offer_repeat(job, 1, &told, &is, &why), &why);
    assert_false(told);
}

static void test_bad_requests(void **state) {
    (void)state;
    fault why = {OK, ""};
    ops_offer_result result;
    fresh(EXAMPLES "/small-us.json", UNITS_US);
    ops_offer_request bad = request;
    bad.on = "1 March";
    assert_int_equal(ops_offer_make(job, &bad, &actor, &result, &why), E_INPUT);
    bad = request;
    bad.options.runs = 3;
    assert_int_equal(ops_offer_make(job, &bad, &actor, &result, &why), E_INPUT);
    assert_int_equal(kept(), 0);
    const ops_new_request empty = {"Nothing", UNITS_METRIC, NULL, false};
    remove_all();
    must(ops_new(job, &empty, &actor, &why), &why);
    assert_int_equal(ops_offer_make(job, &request, &actor, &result, &why), E_STATE);
    assert_non_null(strstr(why.text, "nothing to price"));
}

/* A full disk, played by a limit on the size of files. */
static void test_full_disk(void **state) {
    (void)state;
    fault why = {OK, ""};
    ops_offer_result result;
    struct rlimit before;
    fresh(EXAMPLES "/small-us.json", UNITS_US);
    signal(SIGXFSZ, SIG_IGN);
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
    struct rlimit small = {40000,
                           before.rlim_max}; /* the spreadsheet fits, the job's log of writes does not */
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
    status code = ops_offer_make(job, &request, &actor, &result, &why);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &before), 0);
    assert_int_equal(code, E_IO);
    assert_int_equal(kept(), 0);
    assert_int_equal(make(&request).number, 1);
}

/* No memory at one allocation in so many: told, and nothing kept. */
static void test_no_memory(void **state) {
    (void)state;
    enum { TRIES = 12 };
    fault why = {OK, ""};
    ops_offer_result result;
    fresh(EXAMPLES "/small-us.json", UNITS_US);
    long before = mem_count();
    make(&request);
    long all = mem_count() - before;
    for (int i = 0; i < TRIES; i++) {
        mem_fail_at(all * i / TRIES, 1);
        status code = ops_offer_make(job, &request, &actor, &result, &why);
        mem_fail_at(-1, 0);
        if (code != E_MEMORY) fail_msg("allocation %ld of %ld: %s", all * i / TRIES, all, why.text);
    }
    assert_int_equal(kept(), 1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_printed_again),
        cmocka_unit_test(test_listed),
        cmocka_unit_test(test_every_option_is_repeated),
        cmocka_unit_test(test_a_draft_is_not_kept),
        cmocka_unit_test(test_only_added),
        cmocka_unit_test(test_damage_is_refused),
        cmocka_unit_test(test_made_of_something_else),
        cmocka_unit_test(test_beside_other_documents),
        cmocka_unit_test(test_bad_requests),
        cmocka_unit_test(test_full_disk),
        cmocka_unit_test(test_no_memory),
    };
    return cmocka_run_group_tests_name("offer", tests, set_up, tear_down);
}
