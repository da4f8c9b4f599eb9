/* The chain of the records: what was changed, taken out, put between or cut off is found and named. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "ops/check.h"
#include "record/chain.h"
#include "store/log.h"
#include "store/offers.h"
#include "store/store_internal.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

enum { RECORDS = 12 };
static char folder[40] = "/dev/shm/stanch-chain-XXXXXX";
static char job[64];

static void remove_all(const char *of) {
    char command[200];
    snprintf(command, sizeof command, "rm -rf %s/%s", folder, of);
    assert_int_equal(system(command), 0);
}

static int set_up(void **state) {
    (void)state;
    fault why = {OK, ""};
    if (access("/dev/shm", W_OK) != 0) memcpy(folder, "/tmp/stanch-chain-XXXXXX", 25);
    if (store_use_memory_hooks(&why) != OK || !mkdtemp(folder)) return -1;
    snprintf(job, sizeof job, "%s/a.stanch", folder);
    return 0;
}

static int tear_down(void **state) {
    (void)state;
    remove_all("*");
    return rmdir(folder);
}

static void must(status code, const fault *why) {
    if (code != OK) fail_msg("%s", why->text);
}

/* ---- a job with records ---- */

static status add(store *st, int i, const char *extra, fault *why) {
    char id[40], body[400];
    bool already;
    long long seq;
    snprintf(id, sizeof id, "6f1c1a52-0000-4000-8000-%012d", i);
    snprintf(body, sizeof body,
             "{\"id\": \"%s\", \"mark\": \"N1\", \"what\": \"note\", \"at\": \"2026-03-01T09:30:00Z\", "
             "\"device\": "
             "\"6f1c1a52-0000-4000-8000-000000000000\", \"seen\": 0, %s\"text\": \"wet\"}",
             id, extra);
    const store_record r = {0, id, "N1", body, "2026-03-01T09:30:00Z", "N. N."};
    return store_add_record(st, &r, &seq, &already, why);
}

static void fresh(int n) {
    fault why = {OK, ""};
    store *st = NULL;
    survey *s = survey_new();
    remove_all("a.*");
    must(store_create(job, s, &why), &why);
    survey_free(s);
    must(store_open(job, false, &st, &why), &why);
    must(store_begin(st, &why), &why);
    for (int i = 1; i <= n; i++) must(add(st, i, "", &why), &why);
    must(store_commit(st, &why), &why);
    store_close(st);
}

/* As somebody with a database tool would do it. */
static void tamper(const char *sql) {
    sqlite3 *db = NULL;
    char *said = NULL;
    assert_int_equal(sqlite3_open(job, &db), SQLITE_OK);
    if (sqlite3_exec(db,
                     "PRAGMA ignore_check_constraints = ON;"
                     "DROP TRIGGER IF EXISTS record_is_kept; DROP TRIGGER IF EXISTS record_stays;"
                     "DROP TRIGGER IF EXISTS record_is_chained; DROP TRIGGER IF EXISTS offer_is_kept;"
                     "DROP TRIGGER IF EXISTS offer_stays;",
                     NULL, NULL, &said) != SQLITE_OK ||
        sqlite3_exec(db, sql, NULL, NULL, &said) != SQLITE_OK)
        fail_msg("%s", said);
    sqlite3_close(db);
}

/* ---- what is told ---- */

typedef struct {
    arena *memory;
    status code;
    fault why;
    ops_check_result result;
} outcome;

static outcome check_with(long long seq, const char *hash) {
    outcome o = {.memory = arena_new()};
    const ops_check_request request = {seq, hash};
    o.code = ops_check(job, &request, o.memory, &o.result, &o.why);
    return o;
}

static outcome check(void) {
    return check_with(0, NULL);
}

static void whole(outcome o, long long records) {
    must(o.code, &o.why);
    if (o.result.n_breaks) fail_msg("%s", o.result.breaks[0]);
    assert_int_equal(o.result.records, records);
    arena_free(o.memory);
}

/* `n` breaks, the first of which is this. */
static void broken(outcome o, size_t n, const char *first) {
    must(o.code, &o.why);
    for (size_t i = 0; o.result.n_breaks != n && i < o.result.n_breaks; i++)
        print_message("%s\n", o.result.breaks[i]);
    assert_int_equal(o.result.n_breaks, n);
    if (!strstr(o.result.breaks[0], first)) fail_msg("%s", o.result.breaks[0]);
    arena_free(o.memory);
}

static void head_of(long long *seq, char hash[HASH_TEXT]) {
    fault why = {OK, ""};
    store *st = NULL;
    must(store_open(job, true, &st, &why), &why);
    must(store_chain_head(st, seq, hash, &why), &why);
    store_close(st);
}

/* ---- the hash ---- */

static void test_hash(void **state) {
    (void)state;
    char hash[HASH_TEXT];
    /* FIPS 180-4, the published example of one block, "abc" */
    assert_string_equal(hash_text("abc", 3, hash),
                        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    /* the same, of two blocks */
    assert_string_equal(hash_text("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq", 56, hash),
                        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    /* Python's hashlib over the lines of record/chain.h [C] */
    const chain_link link = {7,
                             "6f1c1a52-0000-4000-8000-000000000007",
                             "\xc3\xa9 7",
                             "{\"what\": \"note\"}",
                             "2026-03-01T09:30:00Z",
                             "N. N."};
    assert_string_equal(chain_hash(CHAIN_START, &link, hash),
                        "08edc5f12d7c127193d2971f68c9fe560e07597213128e932e3443a425448243");
    assert_string_equal(chain_hash(hash, &link, hash),
                        "222c2a4ce81a8a829a71ff7a62a6dce3e89f771167716c4de54252a3093d7f80");
}

static void test_a_whole_log(void **state) {
    (void)state;
    long long seq;
    char hash[HASH_TEXT];
    fresh(0);
    head_of(&seq, hash);
    assert_int_equal(seq, 0);
    assert_string_equal(hash, CHAIN_START);
    whole(check(), 0);
    fresh(RECORDS);
    head_of(&seq, hash);
    assert_int_equal(seq, RECORDS);
    outcome o = check_with(seq, hash);
    assert_true(o.result.known_given && o.result.known_holds);
    assert_int_equal(o.result.head_seq, seq);
    assert_string_equal(o.result.head_hash, hash);
    whole(o, RECORDS);
}

/* ---- rows ---- */

static void test_rows_that_were_changed(void **state) {
    (void)state;
    static const struct {
        const char *sql;
        size_t n;
        const char *first;
    } cases[] = {
        {"UPDATE record SET body = replace(body, 'wet', 'dry') WHERE seq = 5", 1,
         "record 5 (N1, note, id 6f1c1a52-0000-4000-8000-000000000005): its content is not what it was"},
        {"UPDATE record SET mark = 'N2' WHERE seq = 1", 1, "record 1 (N2, note, id"},
        {"UPDATE record SET received_by = 'M. M.' WHERE seq = 12", 1,
         "record 12 (N1, note, id 6f1c1a52-0000-4000-8000-000000000012): its content or its hash is not"},
        {"UPDATE record SET hash = (SELECT hash FROM record WHERE seq = 4) WHERE seq = 5", 1,
         "record 5 (N1, note, id 6f1c1a52-0000-4000-8000-000000000005): its hash was changed"},
        {"UPDATE record SET hash = NULL WHERE seq = 5", 1,
         "record 5 (N1, note, id 6f1c1a52-0000-4000-8000-000000000005): has no hash"},
        {"UPDATE record SET received_by = 'N.' || char(10) || 'N.' WHERE seq = 5", 1,
         "holds what is no line of text"},
        {"UPDATE record SET body = body || char(0) || 'more' WHERE seq = 5", 1,
         "holds what is no line of text"},
        {"DELETE FROM record WHERE seq = 5", 1, "record 5 is missing before record 6 (N1, note"},
        {"DELETE FROM record WHERE seq BETWEEN 5 AND 7", 1, "records 5 to 7 are missing before record 8"},
        {"DELETE FROM record WHERE seq = 1", 1, "record 1 is missing before record 2"},
        {"DELETE FROM record WHERE seq > 10", 1, "records 11 to 12 are missing at the end"},
        {"DELETE FROM record WHERE seq > 11", 1, "record 12 is missing at the end"},
        {"DELETE FROM record", 1, "records 1 to 12 are missing at the end"},
        {"UPDATE record SET seq = -5 WHERE seq = 5; UPDATE record SET seq = 5 WHERE seq = 6;"
         "UPDATE record SET seq = 6 WHERE seq = -5",
         3, "record 5 (N1, note, id 6f1c1a52-0000-4000-8000-000000000006): its content or its hash"},
        {"UPDATE record SET seq = 0 WHERE seq = 1", 2, "record 0 (N1, note"},
        {"UPDATE record SET seq = -seq WHERE seq > 5; UPDATE record SET seq = 1 - seq WHERE seq < 0;"
         "INSERT INTO record SELECT 6, '6f1c1a52-0000-4000-8000-000000000099', mark, body, received_at, "
         "received_by, hash"
         " FROM record WHERE seq = 7",
         8, "record 6 (N1, note, id 6f1c1a52-0000-4000-8000-000000000099)"},
        {"INSERT INTO record (id, mark, body, received_at, received_by)"
         " SELECT '6f1c1a52-0000-4000-8000-000000000099', mark, body, received_at, received_by FROM record "
         "WHERE seq = 1",
         1, "record 13 (N1, note, id 6f1c1a52-0000-4000-8000-000000000099): has no hash"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        fresh(RECORDS);
        tamper(cases[i].sql);
        print_message("%s\n", cases[i].sql);
        broken(check(), cases[i].n, cases[i].first);
    }
}

/* splitmix64 (public domain, S. Vigna) */
static uint64_t next(uint64_t *state) {
    uint64_t z = (*state += 0x9E3779B97F4A7C15u);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

/* One bit of one byte of a column of record 5; again: it is back. */
static void flip_in_column(sqlite3 *db, const char *column, size_t byte, int bit) {
    char sql[200], bytes[600];
    sqlite3_stmt *s = NULL;
    snprintf(sql, sizeof sql, "SELECT \"%s\" FROM record ORDER BY abs(seq - 5) LIMIT 1", column);
    assert_int_equal(sqlite3_prepare_v2(db, sql, -1, &s, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_step(s), SQLITE_ROW);
    size_t n = (size_t)sqlite3_column_bytes(s, 0);
    memcpy(bytes, sqlite3_column_blob(s, 0), n);
    sqlite3_finalize(s);
    bytes[byte] = (char)(bytes[byte] ^ (1 << bit));
    snprintf(sql, sizeof sql, "UPDATE record SET \"%s\" = ? WHERE seq = 5", column);
    assert_int_equal(sqlite3_prepare_v2(db, sql, -1, &s, NULL), SQLITE_OK);
    sqlite3_bind_text(s, 1, bytes, (int)n, SQLITE_TRANSIENT);
    assert_int_equal(sqlite3_step(s), SQLITE_DONE);
    sqlite3_finalize(s);
}

static size_t bytes_of(sqlite3 *db, const char *column) {
    char sql[200];
    sqlite3_stmt *s = NULL;
    snprintf(sql, sizeof sql, "SELECT length(CAST(\"%s\" AS BLOB)) FROM record WHERE seq = 5", column);
    assert_int_equal(sqlite3_prepare_v2(db, sql, -1, &s, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_step(s), SQLITE_ROW);
    size_t n = (size_t)sqlite3_column_int(s, 0);
    sqlite3_finalize(s);
    return n;
}

/* A bit of every byte of every column: found, and named by its number. */
static void test_one_bit_of_every_byte(void **state) {
    (void)state;
    static const char *const columns[] = {"id", "mark", "body", "received_at", "received_by", "hash"};
    uint64_t dice = 7;
    sqlite3 *db = NULL;
    size_t flips = 0;
    fresh(RECORDS);
    tamper("PRAGMA synchronous = OFF");
    assert_int_equal(sqlite3_open(job, &db), SQLITE_OK);
    sqlite3_exec(db, "PRAGMA ignore_check_constraints = ON; PRAGMA synchronous = OFF", NULL, NULL, NULL);
    for (size_t i = 0; i < sizeof columns / sizeof *columns; i++)
        for (size_t byte = 0, n = bytes_of(db, columns[i]); byte < n; byte++, flips++) {
            int bit = (int)(next(&dice) % 8);
            flip_in_column(db, columns[i], byte, bit);
            outcome o = check();
            must(o.code, &o.why);
            if (o.result.n_breaks == 0 || !strstr(o.result.breaks[0], "record 5 ("))
                fail_msg("%s, byte %zu, bit %d: %s", columns[i], byte, bit,
                         o.result.n_breaks ? o.result.breaks[0] : "whole");
            arena_free(o.memory);
            flip_in_column(db, columns[i], byte, bit);
        }
    sqlite3_close(db);
    whole(check(), RECORDS);
    print_message("%zu bits, each found in record 5\n", flips);
}

/* ---- pages ---- */

typedef struct {
    long pages[200];
    size_t n;
    long size;
} log_pages;

static int take_page(void *data, int n, char **values, char **names) {
    log_pages *p = data;
    (void)n;
    (void)names;
    assert_true(p->n < 200);
    p->size = atol(values[1]);
    p->pages[p->n++] = atol(values[0]);
    return 0;
}

static bool find_pages(const char *of, log_pages *out) {
    char sql[200];
    sqlite3 *db = NULL;
    *out = (log_pages){0};
    assert_int_equal(sqlite3_open(job, &db), SQLITE_OK);
    snprintf(sql, sizeof sql, "SELECT pageno, pgsize FROM dbstat WHERE name IN (%s)", of);
    int code = sqlite3_exec(db, sql, take_page, out, NULL);
    sqlite3_exec(db, "PRAGMA wal_checkpoint(TRUNCATE)", NULL, NULL, NULL);
    sqlite3_close(db);
    return code == SQLITE_OK;
}

static void flip_in_file(long at, int bit) {
    FILE *f = fopen(job, "r+b");
    assert_non_null(f);
    fseek(f, at, SEEK_SET);
    int byte = fgetc(f);
    fseek(f, at, SEEK_SET);
    fputc(byte ^ (1 << bit), f);
    fclose(f);
}

static status hash_record(void *data, const store_walked *w, fault *why) {
    text *to = data;
    (void)why;
    text_print(to, "%lld %s %s %s %s %s %s\n", w->record.seq, w->record.id, w->record.mark, w->record.body,
               w->record.received_at, w->record.received_by, w->hash);
    return OK;
}

static void all_records(text *to) {
    fault why = {OK, ""};
    store *st = NULL;
    must(store_open(job, true, &st, &why), &why);
    must(store_walk_records(st, hash_record, to, &why), &why);
    store_close(st);
}

/* Bits of the pages that hold the log, at random: told as a break, or the file is refused, or it was a bit of unused room
 * and the log reads as before. */
static void test_bits_of_the_file(void **state) {
    (void)state;
    log_pages pages;
    text before = {0};
    uint64_t dice = 11;
    int counts[3] = {0};
    fresh(200);
    if (!find_pages("'record', 'record_of_mark', 'sqlite_autoindex_record_1'", &pages))
        skip(); /* no dbstat */
    all_records(&before);
    for (int i = 0; i < 250; i++) {
        long at = (pages.pages[next(&dice) % pages.n] - 1) * pages.size +
                  (long)(next(&dice) % (uint64_t)pages.size);
        int bit = (int)(next(&dice) % 8);
        flip_in_file(at, bit);
        outcome o = check();
        int kind = o.code != OK ? 0 : o.result.n_breaks > 0 ? 1 : 2;
        counts[kind]++;
        if (kind == 0 && o.code != E_FORMAT) fail_msg("byte %ld, bit %d: %s", at, bit, o.why.text);
        if (kind == 2) {
            text after = {0};
            all_records(&after);
            if (strcmp(text_get(&before), text_get(&after)) != 0)
                fail_msg("byte %ld, bit %d: not found", at, bit);
            text_free(&after);
        }
        arena_free(o.memory);
        flip_in_file(at, bit);
    }
    whole(check(), 200);
    print_message("%d refused, %d named, %d in unused room\n", counts[0], counts[1], counts[2]);
    assert_true(counts[1] > 120);
    text_free(&before);
}

/* An index that tells another mark than its record: no hash sees that, the database itself does. */
static void test_a_bit_of_an_index(void **state) {
    (void)state;
    log_pages pages;
    char page[65536];
    fresh(RECORDS);
    if (!find_pages("'record_of_mark'", &pages)) skip();
    long from = (pages.pages[0] - 1) * pages.size;
    FILE *f = fopen(job, "rb");
    assert_non_null(f);
    fseek(f, from, SEEK_SET);
    assert_int_equal(fread(page, 1, (size_t)pages.size, f), (size_t)pages.size);
    fclose(f);
    long at = pages.size - 2; /* cells fill a page from its end */
    while (at > 0 && memcmp(page + at, "N1", 2) != 0) at--;
    assert_true(at > 0);
    flip_in_file(from + at + 1, 1);
    outcome o = check();
    must(o.code, &o.why);
    assert_true(o.result.n_breaks > 0 && o.result.records == RECORDS);
    if (!strstr(o.result.breaks[0], "the table of the records: row ")) fail_msg("%s", o.result.breaks[0]);
    arena_free(o.memory);
    flip_in_file(from + at + 1, 1);
    whole(check(), RECORDS);
}

/* The number of a record that was cut off is not given again. */
static void test_numbers_are_not_given_twice(void **state) {
    (void)state;
    fault why = {OK, ""};
    store *st = NULL;
    fresh(RECORDS);
    tamper("DELETE FROM record WHERE seq > 10");
    must(store_open(job, false, &st, &why), &why);
    must(add(st, 50, "", &why), &why);
    store_close(st);
    broken(check(), 1, "records 11 to 12 are missing before record 13");
}

/* The largest number there is, put in by hand: no record can follow, and it is said. */
static void test_no_number_is_left(void **state) {
    static const char *const ways[] = {
        "UPDATE sqlite_sequence SET seq = 9223372036854775807 WHERE name = 'record'",
        "UPDATE record SET seq = 9223372036854775807 WHERE seq = 12"};
    (void)state;
    for (size_t i = 0; i < 2; i++) {
        fault why = {OK, ""};
        store *st = NULL;
        fresh(RECORDS);
        tamper(ways[i]);
        must(store_open(job, false, &st, &why), &why);
        assert_int_equal(add(st, 50, "", &why), E_FORMAT);
        assert_non_null(strstr(why.text, "is damaged: no number is left for a record"));
        store_close(st);
    }
}

/* ---- a head kept outside ---- */

/* All hashes made anew, as somebody would who has read record/chain.h. */
static void forge(void) {
    sqlite3 *db = NULL;
    tamper(
        "UPDATE record SET body = replace(body, 'wet', 'dry') WHERE seq = 5; UPDATE record SET hash = NULL");
    assert_int_equal(sqlite3_open(job, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db,
                                  "CREATE TRIGGER record_is_kept BEFORE UPDATE ON record BEGIN SELECT 1; END",
                                  NULL, NULL, NULL),
                     SQLITE_OK);
    assert_int_equal(store_chain_fill(db), SQLITE_OK);
    sqlite3_close(db);
}

static void test_a_head_from_outside(void **state) {
    (void)state;
    static const char *const cut =
        "DELETE FROM record WHERE seq > 10; UPDATE sqlite_sequence SET seq = 10 WHERE "
        "name = 'record'";
    long long seq;
    char head[HASH_TEXT];
    fresh(RECORDS);
    head_of(&seq, head);
    tamper(cut);
    whole(check(), 10); /* the file alone cannot tell */
    broken(check_with(seq, head), 1, "record 12, which the head given names, is not there: the log was cut");
    fresh(RECORDS);
    forge();
    whole(check(), RECORDS);
    outcome o = check_with(seq, head);
    assert_true(o.result.known_given && !o.result.known_holds);
    broken(o, 1, "the head given has ");
    fresh(RECORDS);
    head_of(&seq, head);
    fault why = {OK, ""};
    store *st = NULL;
    must(store_open(job, false, &st, &why), &why);
    must(add(st, 50, "", &why), &why); /* what came later does no harm */
    store_close(st);
    whole(check_with(seq, head), RECORDS + 1);
    tamper("DELETE FROM record WHERE seq = 12");
    broken(check_with(seq, head), 2, "record 12 is missing before record 13");
}

/* ---- pictures and documents ---- */

static void write_file(const char *name, const char *bytes) {
    char path[200];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *f = fopen(path, "wb");
    assert_non_null(f);
    fputs(bytes, f);
    fclose(f);
}

static void add_one(int i, const char *extra) {
    fault why = {OK, ""};
    store *st = NULL;
    must(store_open(job, false, &st, &why), &why);
    must(add(st, i, extra, &why), &why);
    store_close(st);
}

static void test_photos(void **state) {
    (void)state;
    char path[100];
    fresh(1);
    snprintf(path, sizeof path, "%s/a.photos", folder);
    mkdir(path, 0777);
    add_one(2, "\"photo\": \"6f1c1a52-0000-4000-8000-000000000001.jpg\", ");
    broken(check(), 1, "photo 6f1c1a52-0000-4000-8000-000000000001.jpg of record 2 is not beside the job");
    write_file("a.photos/6f1c1a52-0000-4000-8000-000000000001.jpg", "abc");
    whole(check(), 2);
    add_one(3, "\"photo\": \"a.jpg\", "); /* beside the job file */
    write_file("a.jpg", "abc");
    whole(check(), 3);
    add_one(
        4,
        "\"photo\": \"wall-ba7816bf8f01cfea414140de.jpg\", "); /* SHA-256 of "abc" (FIPS 180-4) begins so */
    write_file("a.photos/wall-ba7816bf8f01cfea414140de.jpg", "abc");
    outcome o = check();
    assert_int_equal(o.result.photos, 3);
    whole(o, 4);
    write_file("a.photos/wall-ba7816bf8f01cfea414140de.jpg", "abd");
    broken(check(), 1,
           "photo wall-ba7816bf8f01cfea414140de.jpg of record 4: its bytes are not those it was named by");
}

static void keep_offer(void) {
    fault why = {OK, ""};
    store *st = NULL;
    long long seq, number;
    char head[HASH_TEXT];
    must(store_open(job, false, &st, &why), &why);
    must(store_chain_head(st, &seq, head, &why), &why);
    const store_offer offer = {.kind = "offer",
                               .on = "2026-03-01",
                               .at = "2026-03-01T09:30:00Z",
                               .by = "N. N.",
                               .program_version = "0.1.0",
                               .inputs = "{}",
                               .options = "{}",
                               .facts = "{}",
                               .head_seq = seq,
                               .head_hash = head,
                               .pdf = {"%PDF", 4, ""}};
    must(store_add_offer(st, &offer, &number, &why), &why);
    store_close(st);
}

static void test_documents(void **state) {
    (void)state;
    fresh(RECORDS);
    keep_offer();
    add_one(40, "");
    outcome o = check();
    assert_int_equal(o.result.offers, 1);
    whole(o, RECORDS + 1);
    forge();
    broken(check(), 1, "offer 1 has "); /* a document in the job is a head from outside the log */
    fresh(RECORDS);
    keep_offer();
    tamper("UPDATE offer SET pdf = x'25504447'");
    broken(check(), 1, "offer 1: ");
    fresh(0);
    keep_offer();
    whole(check(), 0);
    long long seq;
    char head[HASH_TEXT];
    fresh(3);
    head_of(&seq, head);
    add_one(40, "");
    keep_offer();
    whole(check_with(seq, head), 4); /* a head given is older than that of the document */
}

/* Taken out, or numbered by hand: told, and the next one follows what ever was. */
static void test_documents_taken_out(void **state) {
    static const struct {
        const char *sql, *says;
        long long next;
    } ways[] = {
        {"DELETE FROM offer WHERE number = 2", "document 2 is missing", 5},
        {"DELETE FROM offer WHERE number = 4", "document 4 is missing", 5},
        {"DELETE FROM offer", "documents 1 to 4 are missing", 5},
        {"UPDATE offer SET number = -3 WHERE number = 4; DELETE FROM sqlite_sequence WHERE name = 'offer'",
         "document -3: no document gets a number below 1", 4},
        {"UPDATE offer SET number = 9223372036854775807 WHERE number = 4",
         "documents 4 to 9223372036854775806 are missing", 0},
        {"UPDATE sqlite_sequence SET seq = 9223372036854775807 WHERE name = 'offer'",
         "is damaged: no number is left for a document", 0},
    };
    (void)state;
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++) {
        fault why = {OK, ""};
        store *st = NULL;
        long long next = -1;
        fresh(RECORDS);
        for (int k = 0; k < 4; k++) keep_offer();
        tamper(ways[i].sql);
        outcome o = check();
        bool said = false;
        for (size_t k = 0; k < o.result.n_breaks; k++)
            said = said || strstr(o.result.breaks[k], ways[i].says) != NULL;
        if (!said) fail_msg("%zu: \"%s\" is not said", i, ways[i].says);
        arena_free(o.memory);
        must(store_open(job, false, &st, &why), &why);
        assert_int_equal(store_next_offer(st, &next, &why), ways[i].next ? OK : E_FORMAT);
        assert_int_equal(next, ways[i].next);
        store_close(st);
    }
}

/* ---- many at once, and without memory ---- */

/* Processes that add at the same time follow one another. */
static void test_two_processes(void **state) {
    (void)state;
    enum { PROCESSES = 4, EACH = 25 };
    pid_t children[PROCESSES];
    fresh(0);
    for (int p = 0; p < PROCESSES; p++) {
        children[p] = fork();
        if (children[p] != 0) continue;
        fault why = {OK, ""};
        store *st = NULL;
        status code = store_open(job, false, &st, &why);
        if (code == OK) store_busy_ms(st, 20000);
        for (int i = 0; code == OK && i < EACH; i++) code = add(st, 1 + p * EACH + i, "", &why);
        store_close(st);
        _exit(code == OK ? 0 : 1);
    }
    for (int p = 0; p < PROCESSES; p++) {
        int code = -1;
        waitpid(children[p], &code, 0);
        assert_int_equal(code, 0);
    }
    whole(check(), PROCESSES * EACH);
}

static void test_each_allocation_fails(void **state) {
    (void)state;
    long failures = 0, n = 0;
    fresh(3);
    add_one(4, "\"photo\": \"a.jpg\", ");
    keep_offer();
    tamper("UPDATE record SET mark = 'N2' WHERE seq = 2");
    for (bool done = false; !done; n++) {
        fault why = {OK, ""};
        ops_check_result result;
        const ops_check_request request = {2, CHAIN_START};
        long before = mem_count();
        mem_fail_at(n, 0);
        arena *memory = arena_new();
        status code = memory ? ops_check(job, &request, memory, &result, &why) : E_MEMORY;
        done = mem_count() - before <= n;
        mem_fail_at(-1, 0);
        if (code != OK && code != E_MEMORY) fail_msg("allocation %ld: %s", n, why.text);
        failures += code != OK;
        arena_free(memory);
    }
    print_message("%ld allocations, %ld told as a failure\n", n, failures);
    assert_true(failures > 50);
}

static void test_json(void **state) {
    (void)state;
    text out = {0};
    fresh(1);
    tamper("UPDATE record SET mark = 'N2' WHERE seq = 1");
    outcome o = check();
    must(o.code, &o.why);
    ops_check_json(&o.result, &out);
    assert_non_null(strstr(text_get(&out), "{\"records\": 1, \"head_seq\": 1, \"head_hash\": \""));
    assert_non_null(strstr(text_get(&out), "\"breaks\": [\"record 1 (N2, note"));
    assert_non_null(
        strstr(text_get(&out), "\"more\": false, \"known\": null, \"photos\": 0, \"offers\": 0}"));
    text_free(&out);
    arena_free(o.memory);
    fresh(150);
    tamper("UPDATE record SET mark = 'N2'");
    o = check();
    assert_int_equal(o.result.n_breaks, CHECK_BREAKS_MOST);
    assert_true(o.result.more);
    arena_free(o.memory);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_hash),
        cmocka_unit_test(test_a_whole_log),
        cmocka_unit_test(test_rows_that_were_changed),
        cmocka_unit_test(test_one_bit_of_every_byte),
        cmocka_unit_test(test_bits_of_the_file),
        cmocka_unit_test(test_a_bit_of_an_index),
        cmocka_unit_test(test_numbers_are_not_given_twice),
        cmocka_unit_test(test_no_number_is_left),
        cmocka_unit_test(test_a_head_from_outside),
        cmocka_unit_test(test_photos),
        cmocka_unit_test(test_documents),
        cmocka_unit_test(test_documents_taken_out),
        cmocka_unit_test(test_two_processes),
        cmocka_unit_test(test_each_allocation_fails),
        cmocka_unit_test(test_json),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
