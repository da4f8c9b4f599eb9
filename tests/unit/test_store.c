/* The job file: what was saved comes back bit for bit; whatever is wrong with the file is one sentence. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "../prop/random_survey.h"
#include "old_job.h"

#include "store/log.h"
#include "store/rows.h"
#include "store/schema.h"
#include "store/store.h"
#include "survey/check.h"
#include "survey/read_json.h"
#include "survey/write_json.h"

#include <fcntl.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

static char folder[40] = "/dev/shm/stanch-store-XXXXXX"; /* memory: thousands of jobs are made here */
static char job[64], other[64];
static sqlite3_mem_methods own_memory; /* SQLite's own allocator, so that only our allocations count */

static int set_up(void **state) {
    (void)state;
    fault why = {OK, ""};
    /* jansson keeps malloc: 2.14 asserts, instead of failing, when memory is refused inside a string. */
    if (access("/dev/shm", W_OK) != 0) memcpy(folder, "/tmp/stanch-store-XXXXXX", 25);
    if (sqlite3_config(SQLITE_CONFIG_GETMALLOC, &own_memory) != SQLITE_OK) return -1;
    if (store_use_memory_hooks(&why) != OK || !mkdtemp(folder)) return -1;
    chmod(folder, 0777);
    snprintf(job, sizeof job, "%s/a.stanch", folder);
    snprintf(other, sizeof other, "%s/b.stanch", folder);
    return 0;
}

static void remove_job(const char *path) {
    static const char *const endings[] = {"", "-wal", "-shm", "-journal"};
    char name[128];
    for (int i = 0; i < 4; i++) {
        snprintf(name, sizeof name, "%s%s", path, endings[i]);
        unlink(name);
    }
}

static int clean(void **state) {
    (void)state;
    chmod(folder, 0777);
    remove_job(job);
    remove_job(other);
    return 0;
}

static int tear_down(void **state) {
    clean(state);
    return rmdir(folder); /* fails when something was left behind */
}

static void must(status code, const fault *why) {
    if (code != OK) fail_msg("%s", why->text);
}

static store *open_job(bool read_only) {
    fault why = {OK, ""};
    store *st = NULL;
    must(store_open(job, read_only, &st, &why), &why);
    return st;
}

static survey *load(store *st) {
    fault why = {OK, ""};
    survey *s = NULL;
    must(store_load(st, &s, &why), &why);
    return s;
}

static void create(const survey *s) {
    fault why = {OK, ""};
    must(store_create(job, s, &why), &why);
}

static void test_round_trip(void **state) {
    (void)state;
    fault why = {OK, ""};
    survey *first = random_survey(7, UNITS_METRIC, 2, 3);
    create(first);
    assert_int_equal(access(other, F_OK), -1);
    store *st = open_job(false);
    for (unsigned long long seed = 1; seed <= 60; seed++) {
        survey *s = random_survey(seed, seed % 2 ? UNITS_US : UNITS_METRIC, 1 + seed % 4, seed % 15);
        must(store_save(st, s, &why), &why);
        survey *back = load(st);
        const char *difference = survey_difference(s, back);
        if (difference) fail_msg("seed %llu: %s differs", seed, difference);
        survey_free(s);
        survey_free(back);
    }
    store_close(st);
    survey_free(first);
}

static double double_of(uint64_t bits) {
    double v;
    memcpy(&v, &bits, sizeof v);
    return v;
}

static void test_doubles_bit_for_bit(void **state) {
    (void)state;
    const double hard[] = {0.1,
                           1.0 / 3,
                           5e-324,
                           2.2250738585072014e-308,
                           1e22,
                           9007199254740993.0,
                           double_of(0x3FD5555555555556)};
    for (size_t i = 0; i < sizeof hard / sizeof *hard; i++) {
        survey *s = survey_new();
        s->site.retained_top_m = (maybe){true, hard[i]};
        s->site.air_c = (maybe){true, -hard[i]};
        remove_job(job);
        create(s);
        store *st = open_job(true);
        survey *back = load(st);
        assert_memory_equal(&back->site.retained_top_m.v, &hard[i], sizeof hard[i]);
        assert_true(back->site.air_c.v == -hard[i]);
        store_close(st);
        survey_free(back);
        survey_free(s);
    }
}

static void expect_open(const char *path, bool read_only, status code, const char *sentence) {
    fault why = {OK, ""};
    store *st = NULL;
    status got = store_open(path, read_only, &st, &why);
    survey *s = NULL;
    if (got == OK) got = store_load(st, &s, &why); /* damage inside shows itself on reading */
    survey_free(s);
    store_close(st);
    if (got != code || !strstr(why.text, sentence))
        fail_msg("expected \"%s\", got %d: %s", sentence, (int)got, why.text);
}

static void put_file(const char *path, const void *bytes, size_t length) {
    FILE *f = fopen(path, "wb");
    assert_non_null(f);
    assert_int_equal(fwrite(bytes, 1, length, f), length);
    fclose(f);
}

static void run_sql(const char *path, const char *sql) {
    sqlite3 *db = NULL;
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, sql, NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(db);
}

static void test_files_that_are_no_job(void **state) {
    (void)state;
    expect_open(job, false, E_IO, "cannot be opened: No such file");
    expect_open("/tmp", false, E_IO, "is a folder, not a job file");
    put_file(job, "", 0);
    expect_open(job, false, E_FORMAT, "is empty, not a stanch job file");
    put_file(job, "PK\3\4", 4);
    expect_open(job, false, E_FORMAT, "is not a stanch job file");
    char text_file[5000];
    memset(text_file, 'x', sizeof text_file);
    put_file(job, text_file, sizeof text_file);
    expect_open(job, true, E_FORMAT, "is not a stanch job file");
    unlink(job);
    run_sql(job, "CREATE TABLE t (a)");
    expect_open(job, false, E_FORMAT, "is a database of another program");
    run_sql(job, "PRAGMA application_id = 12345");
    expect_open(job, true, E_FORMAT, "is a database of another program");
}

static void test_newer_file(void **state) {
    (void)state;
    survey *s = random_survey(1, UNITS_METRIC, 2, 3);
    create(s);
    run_sql(job, "PRAGMA user_version = 99");
    expect_open(job, false, E_FORMAT, "made by a newer stanch: job file version 99; this one reads up to 6");
    expect_open(job, true, E_FORMAT, "made by a newer stanch");
    run_sql(job, "PRAGMA user_version = 0");
    expect_open(job, false, E_FORMAT, "has no version");
    survey_free(s);
}

/* Cut at every page and inside pages, and with bytes overwritten: a sentence or a good job, never a crash. */
static void test_damaged_files(void **state) {
    (void)state;
    survey *s = random_survey(3, UNITS_METRIC, 3, 20);
    create(s);
    struct stat about;
    assert_int_equal(stat(job, &about), 0);
    size_t size = (size_t)about.st_size;
    unsigned char *bytes = malloc(size);
    FILE *f = fopen(job, "rb");
    assert_int_equal(fread(bytes, 1, size, f), size);
    fclose(f);
    for (size_t cut = 200; cut < size; cut += 1711) {
        put_file(job, bytes, cut);
        expect_open(job, cut % 2, E_FORMAT, "cut short");
    }
    srand(5);
    for (int round = 0; round < 300; round++) {
        size_t at = (size_t)rand() % size, n = 1 + (size_t)rand() % 200;
        unsigned char *spoiled = malloc(size);
        memcpy(spoiled, bytes, size);
        for (size_t i = at; i < at + n && i < size; i++) spoiled[i] = (unsigned char)rand();
        remove_job(job);
        put_file(job, spoiled, size);
        fault why = {OK, ""};
        store *st = NULL;
        survey *back = NULL;
        if (store_open(job, true, &st, &why) == OK) store_load(st, &back, &why);
        survey_free(back);
        store_close(st);
        free(spoiled);
    }
    free(bytes);
    survey_free(s);
}

/* A real number without a bound, which SQLite keeps where it is put in by hand, would be a figure of the job. */
static void test_no_infinite_number_comes_in(void **state) {
    static const char *const ways[] = {"UPDATE rate SET value = 9e999", "UPDATE station SET width_m = -9e999",
                                       "UPDATE face SET thickness_m = 9e999"};
    (void)state;
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++) {
        fault why = {OK, ""};
        survey *s = random_survey(3, UNITS_METRIC, 2, 5), *back = NULL;
        sqlite3 *db = NULL;
        create(s);
        assert_int_equal(sqlite3_open(job, &db), SQLITE_OK);
        sqlite3_exec(db, "PRAGMA ignore_check_constraints = ON", NULL, NULL, NULL);
        if (sqlite3_exec(db, ways[i], NULL, NULL, NULL) != SQLITE_OK) fail_msg("%s", sqlite3_errmsg(db));
        assert_true(sqlite3_changes(db) > 0);
        sqlite3_close(db);
        store *st = open_job(true);
        assert_int_equal(store_load(st, &back, &why), E_FORMAT);
        assert_non_null(strstr(why.text, "is damaged: a row of the table "));
        store_close(st);
        survey_free(s);
        remove_job(job);
    }
}

static void test_create_never_overwrites(void **state) {
    (void)state;
    fault why = {OK, ""};
    survey *s = random_survey(1, UNITS_METRIC, 2, 3);
    put_file(job, "precious", 8);
    assert_int_equal(store_create(job, s, &why), E_STATE);
    assert_non_null(strstr(why.text, "a.stanch: is there already; it was left as it is"));
    struct stat about;
    assert_int_equal(stat(job, &about), 0);
    assert_int_equal(about.st_size, 8);
    assert_int_equal(store_create("/nowhere/at/all.stanch", s, &why), E_IO);
    assert_non_null(strstr(why.text, "/nowhere/at/all.stanch: cannot be made"));
    survey_free(s);
}

static void test_broken_rules_change_nothing(void **state) {
    (void)state;
    fault why = {OK, ""};
    survey *s = random_survey(9, UNITS_METRIC, 2, 5), *bad = random_survey(9, UNITS_METRIC, 2, 5);
    create(s);
    store *st = open_job(false);
    bad->defects[3].mark = bad->defects[2].mark;
    assert_int_equal(store_save(st, bad, &why), E_INPUT);
    assert_non_null(strstr(why.text, "UNIQUE"));
    bad->defects[3].mark = "fresh";
    bad->faces[1].thickness_m = strtod("nan", NULL);
    assert_int_equal(store_save(st, bad, &why), E_INPUT);
    survey *back = load(st);
    assert_null(survey_difference(s, back));
    survey_free(back);
    store_close(st);
    st = open_job(true);
    assert_int_equal(store_save(st, s, &why), E_STATE);
    assert_non_null(strstr(why.text, "was opened to read only"));
    store_close(st);
    survey_free(s);
    survey_free(bad);
}

static void test_locked_by_another(void **state) {
    (void)state;
    fault why = {OK, ""};
    survey *s = random_survey(2, UNITS_METRIC, 2, 4);
    create(s);
    store *st = open_job(false);
    store_busy_ms(st, 50);
    sqlite3 *db = NULL;
    assert_int_equal(sqlite3_open(job, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, "BEGIN IMMEDIATE", NULL, NULL, NULL), SQLITE_OK);
    assert_int_equal(store_save(st, s, &why), E_BUSY);
    assert_non_null(strstr(why.text, "another process has kept it locked for 0.05 s"));
    survey *back = load(st); /* reading goes on */
    assert_null(survey_difference(s, back));
    survey_free(back);
    sqlite3_exec(db, "ROLLBACK", NULL, NULL, NULL);
    sqlite3_close(db);
    must(store_save(st, s, &why), &why);
    store_close(st);
    survey_free(s);
}

/* In a child that is nobody, so that permissions count even when the tests run as root. 0: as expected. */
static int as_nobody(bool read_only, status code, const char *sentence) {
    pid_t child = fork();
    if (child == 0) {
        fault why = {OK, ""};
        store *st = NULL;
        survey *s = NULL;
        if (geteuid() == 0 && (setgid(65534) != 0 || setuid(65534) != 0)) _exit(3);
        status got = store_open(job, read_only, &st, &why);
        if (got == OK) got = store_load(st, &s, &why);
        if (got != code || !strstr(why.text, sentence)) fprintf(stderr, "got %d: %s\n", (int)got, why.text);
        _exit(got == code && strstr(why.text, sentence) ? 0 : 1);
    }
    int how = 0;
    waitpid(child, &how, 0);
    return how;
}

static void test_read_only_file_and_folder(void **state) {
    (void)state;
    survey *s = random_survey(4, UNITS_METRIC, 2, 4);
    create(s);
    chmod(job, 0444);
    assert_int_equal(as_nobody(false, E_IO, "read-only"), 0);
    assert_int_equal(as_nobody(true, OK, ""), 0);
    remove_job(other);
    chmod(folder, 0555); /* neither log nor index can be made */
    assert_int_equal(as_nobody(true, OK, ""), 0);
    assert_int_equal(as_nobody(false, E_IO, "read-only"), 0);
    chmod(job, 0000);
    assert_int_equal(as_nobody(true, E_IO, "cannot be opened: Permission denied"), 0);
    chmod(folder, 0777);
    survey_free(s);
}

/* Nothing is left beside a file that is only looked at; whether it was changed meanwhile is told; a log that lies there is read. */
static void test_open_still(void **state) {
    (void)state;
    fault why;
    store *still = NULL, *writer;
    char log[300], index[300];
    struct stat about;
    survey *s = survey_new();
    assert_non_null(s);
    s->site.name = "as it was";
    must(store_create(job, s, &why), &why);
    snprintf(log, sizeof log, "%s-wal", job);
    snprintf(index, sizeof index, "%s-shm", job);
    must(store_open_still(job, &still, &why), &why);
    survey *loaded = NULL;
    must(store_load(still, &loaded, &why), &why);
    survey_free(loaded);
    assert_true(store_stood_still(still));
    assert_int_not_equal(stat(log, &about), 0);
    assert_int_not_equal(stat(index, &about), 0);
    writer = open_job(false); /* its log lies there as long as it is open */
    s->site.name = "as it is";
    must(store_save(writer, s, &why), &why);
    assert_false(store_stood_still(still));
    store_close(still);
    must(store_open_still(job, &still, &why), &why);
    must(store_load(still, &loaded, &why), &why);
    assert_string_equal(loaded->site.name, "as it is");
    assert_true(store_stood_still(still));
    survey_free(loaded);
    store_close(still);
    store_close(writer);
    survey_free(s);
}

static void test_results(void **state) {
    (void)state;
    fault why = {OK, ""};
    survey *s = random_survey(2, UNITS_METRIC, 2, 4);
    arena *memory = arena_new();
    create(s);
    store *st = open_job(false);
    store_result r = {"plan", "C1", "abc", "0.1.0", -7, "{\"a\": [1, \"ü\"]}"}, back;
    bool found = true;
    must(store_load_result(st, "plan", "C1", memory, &back, &found, &why), &why);
    assert_false(found);
    must(store_save_result(st, &r, &why), &why);
    r.body = "{\"a\": 2}";
    must(store_save_result(st, &r, &why), &why);
    must(store_save(st, s, &why), &why); /* results outlive a new survey */
    must(store_load_result(st, "plan", "C1", memory, &back, &found, &why), &why);
    assert_true(found);
    assert_string_equal(back.body, "{\"a\": 2}");
    assert_string_equal(back.inputs_hash, "abc");
    assert_true(back.seed == -7);
    r.body = "";
    assert_int_equal(store_save_result(st, &r, &why), E_INPUT);
    store_close(st);
    arena_free(memory);
    survey_free(s);
}

static long long number_of(const char *sql) {
    sqlite3 *db = NULL;
    sqlite3_stmt *s = NULL;
    long long n = -1;
    sqlite3_open(job, &db);
    if (sqlite3_prepare_v2(db, sql, -1, &s, NULL) == SQLITE_OK && sqlite3_step(s) == SQLITE_ROW)
        n = sqlite3_column_int64(s, 0);
    sqlite3_finalize(s);
    sqlite3_close(db);
    return n;
}

/* A made-up history: the next version adds a table, the one after a column and fills it; the third fails
 * half-way. */
static void test_migrations(void **state) {
    (void)state;
    static const char *const table[] = {"CREATE TABLE crew (name TEXT NOT NULL) STRICT",
                                        "INSERT INTO crew VALUES ('A')", NULL};
    static const char *const column[] = {"ALTER TABLE crew ADD COLUMN hours REAL NOT NULL DEFAULT 8", NULL};
    static const char *const broken[] = {"DELETE FROM crew", "UPDATE no_such_table SET a = 1", NULL};
    const schema_migration history[] = {
        schema_migrations[0],  schema_migrations[1],    schema_migrations[2],
        schema_migrations[3],  schema_migrations[4],    schema_migrations[5],
        {table, "crew", NULL}, {column, "hours", NULL}, {broken, "broken", NULL}};
    survey *s = random_survey(2, UNITS_METRIC, 2, 4);
    sqlite3 *db = NULL;
    create(s);
    assert_int_equal(sqlite3_open(job, &db), SQLITE_OK);
    assert_int_equal(schema_migrate(db, history, 8), SQLITE_OK);
    sqlite3_close(db);
    assert_int_equal(number_of("PRAGMA user_version"), 8);
    assert_int_equal(number_of("SELECT sum(hours) FROM crew"), 8);
    assert_int_equal(number_of("SELECT count(*) FROM defect"), 4);
    assert_int_equal(sqlite3_open(job, &db), SQLITE_OK);
    assert_int_not_equal(schema_migrate(db, history, 9), SQLITE_OK);
    assert_int_equal(schema_migrate(db, history, 7), SQLITE_OK); /* it is further already */
    sqlite3_close(db);
    assert_int_equal(number_of("PRAGMA user_version"), 8); /* nothing changed */
    assert_int_equal(number_of("SELECT count(*) FROM crew"), 1);
    survey_free(s);
}

/* A job file as an older version of the schema made it, holding what of `s` it knew. */
static void create_version(int version, const survey *s) {
    create(s);
    rename(job, other);
    old_job_make(version, other, job);
    remove_job(other);
}

/* What version 6 brought. */
static void forget_proof(survey *s) {
    s->n_tanks = 0;
    s->site.high_water_on = s->site.warranty = NULL;
    for (size_t i = 0; i < s->n_defects; i++) s->defects[i].moved_from = s->defects[i].found_on = NULL;
    for (size_t i = 0; i < s->n_rates; i++) s->rates[i].low = s->rates[i].high = (maybe){0};
    for (size_t i = 0; i < s->n_prices; i++) s->prices[i].low = s->prices[i].high = (maybe){0};
}

/* What version 5 brought, and what came after it. */
static void forget_work(survey *s) {
    survey_site *site = &s->site;
    forget_proof(s);
    site->work = (survey_work){0};
    site->still_air = false;
    site->humidity_percent = (maybe){0};
    site->forecast = (survey_forecast){0};
    site->n_year = 0;
    for (size_t i = 0; i < s->n_faces; i++) {
        s->faces[i].access = ACCESS_GROUND;
        s->faces[i].turn = (maybe){0};
    }
}

/* What version 4 brought, and what came after it. */
static void forget_choices(survey *s) {
    survey_site *site = &s->site;
    forget_work(s);
    site->healing = HEALING_EN1992_3;
    site->tightness = TIGHT_NOT_AGREED;
    site->excluded = 0;
    site->coldest_c = site->warmest_c = (maybe){0};
    site->n_air = site->n_typical = 0;
    for (size_t i = 0; i < s->n_faces; i++) s->faces[i].far_side = FAR_UNKNOWN;
    for (size_t i = 0; i < s->n_defects; i++) {
        survey_defect *d = &s->defects[i];
        d->n_readings = 0;
        d->strength_wanted = false;
        d->movement_m = d->depth_m = (maybe){0};
        d->excluded = 0;
        d->overrule = (survey_overrule){0};
    }
    for (size_t i = 0; i < s->n_materials; i++) {
        s->materials[i].movement_percent = (maybe){0};
        s->materials[i].resin = s->materials[i].role == ROLE_RESIN ? RESIN_POLYURETHANE : RESIN_NONE;
    }
}

static void forget_waterstops(survey *s) {
    for (size_t i = 0; i < s->n_defects; i++) {
        s->defects[i].waterstop = STOP_UNKNOWN;
        s->defects[i].cutoff_m = (maybe){0};
        s->defects[i].n_opens = 0;
    }
}

static void test_version_1_is_brought_up(void **state) {
    (void)state;
    fault why = {OK, ""};
    survey *s = random_survey(21, UNITS_METRIC, 3, 40), *plain = random_survey(21, UNITS_METRIC, 3, 40);
    forget_choices(plain);
    forget_waterstops(plain);
    assert_non_null(survey_difference(s, plain)); /* there was something to forget */
    create_version(1, s);
    assert_int_equal(number_of("PRAGMA user_version"), 1);
    assert_int_equal(number_of("SELECT count(*) FROM pragma_table_info('defect') WHERE name = 'waterstop'"),
                     0);
    expect_open(job, true, E_STATE,
                "is of the older job file version 1; it must be opened once to be written");
    assert_int_equal(number_of("PRAGMA user_version"), 1);
    store *st = open_job(false);
    survey *back = load(st);
    assert_null(survey_difference(plain, back));
    survey_free(back);
    must(store_save(st, s, &why), &why); /* and it takes what is new */
    back = load(st);
    assert_null(survey_difference(s, back));
    survey_free(back);
    store_close(st);
    assert_int_equal(number_of("PRAGMA user_version"), 6);
    assert_int_equal(number_of("SELECT count(*) FROM result WHERE inputs_hash = 'abc'"), 1);
    assert_int_equal(number_of("SELECT count(*) FROM pragma_foreign_key_check"), 0);
    survey_free(s);
    survey_free(plain);
}

/* Version 2 knew waterstops and nothing beside the survey: all of it stays, and the log begins empty. */
static void test_version_2_is_brought_up(void **state) {
    (void)state;
    fault why = {OK, ""};
    long long revision = -1;
    survey *s = random_survey(24, UNITS_METRIC, 3, 40);
    forget_choices(s);
    create_version(2, s);
    assert_int_equal(number_of("PRAGMA user_version"), 2);
    assert_int_equal(number_of("SELECT count(*) FROM sqlite_schema WHERE name = 'change'"), 0);
    expect_open(job, true, E_STATE, "is of the older job file version 2");
    store *st = open_job(false);
    survey *back = load(st);
    assert_null(survey_difference(s, back));
    survey_free(back);
    must(store_revision(st, &revision, &why), &why);
    assert_int_equal(revision, 0);
    must(store_log(st, &(store_change){0, "2026-03-01T09:30:00Z", "N. N.", "command", "import"}, &why), &why);
    must(store_revision(st, &revision, &why), &why);
    assert_int_equal(revision, 1);
    store_close(st);
    assert_int_equal(number_of("PRAGMA user_version"), 6);
    assert_int_equal(number_of("SELECT count(*) FROM result WHERE inputs_hash = 'abc'"), 1);
    assert_int_equal(number_of("SELECT count(*) FROM pragma_foreign_key_check"), 0);
    survey_free(s);
}

/* Version 3 knew the log and no gauges, weather, exclusions or overrules: nobody said any of it, and resins were
 * polyurethane. */
static void test_version_3_is_brought_up(void **state) {
    (void)state;
    fault why = {OK, ""};
    survey *s = random_survey(25, UNITS_METRIC, 3, 40), *plain = random_survey(25, UNITS_METRIC, 3, 40);
    forget_choices(plain);
    assert_non_null(survey_difference(s, plain)); /* there was something to forget */
    create_version(3, s);
    assert_int_equal(number_of("PRAGMA user_version"), 3);
    assert_int_equal(number_of("SELECT count(*) FROM sqlite_schema WHERE name = 'reading'"), 0);
    expect_open(job, true, E_STATE, "is of the older job file version 3");
    store *st = open_job(false);
    survey *back = load(st);
    assert_null(survey_difference(plain, back));
    survey_free(back);
    must(store_save(st, s, &why), &why); /* and it takes what is new */
    back = load(st);
    assert_null(survey_difference(s, back));
    survey_free(back);
    store_close(st);
    assert_int_equal(number_of("PRAGMA user_version"), 6);
    assert_int_equal(number_of("SELECT count(*) FROM result WHERE inputs_hash = 'abc'"), 1);
    assert_int_equal(number_of("SELECT count(*) FROM pragma_foreign_key_check"), 0);
    survey_free(s);
    survey_free(plain);
}

/* A year of weather, its last hour told apart. */
static void give_year(survey *s, double last_c) {
    s->site.year = arena_get(s->memory, SURVEY_YEAR_HOURS, sizeof *s->site.year);
    s->site.n_year = SURVEY_YEAR_HOURS;
    for (size_t i = 0; i < SURVEY_YEAR_HOURS; i++)
        s->site.year[i] =
            (survey_weather){(double)(i % 301) / 10, 100.0 / (double)(i + 1), 0.1 * (double)(i % 90)};
    s->site.year[SURVEY_YEAR_HOURS - 1].air_c = last_c;
}

/* Version 4 knew no hours of work, plant, people, ways to reach a face, nor weather by the hour. */
static void test_version_4_is_brought_up(void **state) {
    (void)state;
    fault why = {OK, ""};
    survey *s = random_survey(27, UNITS_METRIC, 3, 40), *plain = random_survey(27, UNITS_METRIC, 3, 40);
    give_year(s, -7.25);
    forget_work(plain);
    assert_non_null(survey_difference(s, plain)); /* there was something to forget */
    create_version(4, s);
    assert_int_equal(number_of("PRAGMA user_version"), 4);
    assert_int_equal(number_of("SELECT count(*) FROM sqlite_schema WHERE name = 'worker'"), 0);
    expect_open(job, true, E_STATE, "is of the older job file version 4");
    store *st = open_job(false);
    survey *back = load(st);
    assert_null(survey_difference(plain, back));
    survey_free(back);
    must(store_save(st, s, &why), &why); /* and it takes what is new */
    back = load(st);
    assert_null(survey_difference(s, back));
    survey_free(back);
    store_close(st);
    assert_int_equal(number_of("PRAGMA user_version"), 6);
    assert_int_equal(number_of("SELECT count(*) FROM result WHERE inputs_hash = 'abc'"), 1);
    assert_int_equal(number_of("SELECT count(*) FROM pragma_foreign_key_check"), 0);
    survey_free(s);
    survey_free(plain);
}

static void give_tank(survey *s) {
    s->tanks = arena_get(s->memory, 1, sizeof *s->tanks);
    s->n_tanks = 1;
    s->tanks[0] = (survey_tank){.id = "T1",
                                .capacity_m3 = 200,
                                .plan_area_m2 = 50,
                                .depth_m = 4,
                                .criterion = CRITERION_AWWA_D110,
                                .pan_factor = {true, 0.7}};
}

/* A record as version 5 kept it, put in by SQL. */
static void give_old_record(const char *seq, const char *id_end, const char *mark) {
    char sql[400];
    snprintf(sql, sizeof sql,
             "INSERT INTO record (seq, id, mark, body, received_at, received_by) VALUES (%s,"
             " '00000000-0000-4000-8000-00000000000%s', '%s', '{\"what\": \"note\"}', "
             "'2026-03-01T09:30:00Z', 'N. N.')",
             seq, id_end, mark);
    run_sql(job, sql);
}

/* Version 5 knew records without hashes, no tanks, no ranges, no documents. The hashes were counted by
 * Python's hashlib from the lines of record/chain.h [C]. Number 3 was never there. */
static void test_version_5_is_brought_up(void **state) {
    (void)state;
    fault why = {OK, ""};
    long long seq;
    char head[HASH_TEXT];
    survey *s = random_survey(29, UNITS_METRIC, 3, 40), *plain = random_survey(29, UNITS_METRIC, 3, 40);
    give_tank(s);
    forget_proof(plain);
    assert_non_null(survey_difference(s, plain)); /* there was something to forget */
    create_version(5, s);
    give_old_record("1", "1", "N1");
    give_old_record("2", "2", "site");
    give_old_record("4", "4", "\xc3\xa9 7");
    assert_int_equal(number_of("SELECT count(*) FROM pragma_table_info('record') WHERE name = 'hash'"), 0);
    expect_open(job, true, E_STATE, "is of the older job file version 5");
    store *st = open_job(false);
    survey *back = load(st);
    assert_null(survey_difference(plain, back));
    survey_free(back);
    must(store_save(st, s, &why), &why); /* and it takes what is new */
    back = load(st);
    assert_null(survey_difference(s, back));
    survey_free(back);
    must(store_chain_head(st, &seq, head, &why), &why);
    assert_int_equal(seq, 4);
    assert_string_equal(head, "6ddcd9a8b4fa9663d4a9fc06b8dd6bccd204cbd42138c024433732532dbc7587");
    store_close(st);
    assert_int_equal(number_of("SELECT count(*) FROM record WHERE hash = "
                               "'dd62443edc27a9c7f15341db6b28b47703a1a448d1dba1fc1fcead8665503659'"),
                     1);
    assert_int_equal(number_of("PRAGMA user_version"), 6);
    assert_int_equal(number_of("SELECT count(*) FROM result WHERE inputs_hash = 'abc'"), 1);
    assert_int_equal(number_of("SELECT count(*) FROM pragma_foreign_key_check"), 0);
    survey_free(s);
    survey_free(plain);
}

/* What no survey of ours holds, the file refuses by itself. */
static void test_rules_of_version_6(void **state) {
    (void)state;
    static const char *const broken[] = {
        "UPDATE rate SET low = 3, high = 2 WHERE place = 0",
        "UPDATE price SET low = -1 WHERE place = 0",
        "UPDATE tank SET capacity_m3 = 0",
        "UPDATE tank SET depth_m = -1",
        "UPDATE tank SET criterion = 'dry'",
        "UPDATE tank SET pan = 'lost'",
        "UPDATE tank SET pan_factor = 0",
        "UPDATE tank SET id = ''",
        "UPDATE record SET mark = 'N2'",
        "DELETE FROM record",
        ("INSERT INTO record (id, mark, body, received_at, received_by) VALUES"
         " ('00000000-0000-4000-8000-000000000009', 'N1', '{}', '', '')"),
        ("INSERT INTO record (id, mark, body, received_at, received_by, hash) VALUES"
         " ('00000000-0000-4000-8000-000000000009', 'N1', '{}', '', '', 'abc')"),
        ("INSERT INTO offer VALUES (NULL, 'bill', '', '', '', '', '{}', '{}', '{}', 0, hex(zeroblob(32)), "
         "'a',"
         " hex(zeroblob(32)), NULL, NULL, hex(zeroblob(32)))"),
        "UPDATE offer SET \"by\" = 'M. M.'",
        "DELETE FROM offer",
    };
    survey *s = random_survey(26, UNITS_METRIC, 1, 3);
    give_tank(s);
    create(s);
    sqlite3 *db = NULL;
    assert_int_equal(sqlite3_open(job, &db), SQLITE_OK);
    assert_int_equal(
        sqlite3_exec(
            db,
            "INSERT INTO record VALUES (1, '00000000-0000-4000-8000-000000000001', 'N1', '{}', '', '',"
            " hex(zeroblob(32)));"
            "INSERT INTO offer VALUES (NULL, 'offer', '', '', '', '', '{}', '{}', '{}', 0,"
            " hex(zeroblob(32)), x'25', hex(zeroblob(32)), NULL, NULL, hex(zeroblob(32)))",
            NULL, NULL, NULL),
        SQLITE_OK);
    for (size_t i = 0; i < sizeof broken / sizeof *broken; i++)
        if (sqlite3_exec(db, broken[i], NULL, NULL, NULL) != SQLITE_CONSTRAINT)
            fail_msg("took: %s", broken[i]);
    sqlite3_close(db);
    survey_free(s);
}

/* What no survey of ours holds, the file refuses by itself. */
static void test_rules_of_version_5(void **state) {
    (void)state;
    static const char *const broken[] = {
        "UPDATE face SET access = 'rope'",
        "UPDATE face SET turn = 0",
        "UPDATE site SET still_air = 2",
        "UPDATE site SET humidity_percent = 101",
        "UPDATE site SET work_starts_h = -1",
        "UPDATE site SET plant_lift = 101",
        "INSERT INTO work_day VALUES (9, 'day')",
        "INSERT INTO worker VALUES (90, '', 0, 0, 0)",
        "INSERT INTO worker VALUES (90, 'a', 2, 0, 0)",
        "INSERT INTO holiday VALUES (90, '2026-01-01'), (91, '2026-01-01')",
        "INSERT INTO forecast_hour VALUES (-1, 0, 0, 0)",
        "INSERT INTO forecast_hour VALUES (9000, 0, 101, 0)",
        "INSERT INTO typical_hours VALUES (2, zeroblob(8760 * 3 * 8))",
        "UPDATE typical_hours SET hours = zeroblob(8)",
    };
    survey *s = random_survey(26, UNITS_METRIC, 1, 3);
    give_year(s, 1);
    create(s);
    sqlite3 *db = NULL;
    assert_int_equal(sqlite3_open(job, &db), SQLITE_OK);
    for (size_t i = 0; i < sizeof broken / sizeof *broken; i++)
        if (sqlite3_exec(db, broken[i], NULL, NULL, NULL) != SQLITE_CONSTRAINT)
            fail_msg("took: %s", broken[i]);
    sqlite3_close(db);
    survey_free(s);
}

/* A save of the same year writes nothing of it; another is written; none is removed; one that is no weather is damage. */
static void test_typical_hours(void **state) {
    (void)state;
    fault why = {OK, ""};
    struct timespec from, loaded;
    survey *s = random_survey(28, UNITS_METRIC, 1, 1), *back = NULL;
    give_year(s, -7.25);
    create(s);
    run_sql(job,
            "CREATE TABLE written (n); CREATE TRIGGER year_is_written AFTER UPDATE ON typical_hours BEGIN "
            "INSERT INTO written VALUES (1); END");
    store *st = open_job(false);
    must(store_save(st, s, &why), &why);
    assert_int_equal(number_of("SELECT count(*) FROM written"), 0);
    give_year(s, -7.5);
    must(store_save(st, s, &why), &why);
    assert_int_equal(number_of("SELECT count(*) FROM written"), 1);
    clock_gettime(CLOCK_MONOTONIC, &from);
    back = load(st);
    clock_gettime(CLOCK_MONOTONIC, &loaded);
    print_message("a job with a typical year: loaded in %.1f ms\n",
                  1e3 * (double)(loaded.tv_sec - from.tv_sec) +
                      1e-6 * (double)(loaded.tv_nsec - from.tv_nsec));
    assert_null(survey_difference(s, back));
    survey_free(back);
    run_sql(job, "UPDATE typical_hours SET hours = CAST(substr(hours, 1, 210232) || x'000000000000F87F' AS "
                 "BLOB)"); /* a NaN at the end */
    assert_int_equal(store_load(st, &back, &why), E_FORMAT);
    assert_non_null(strstr(why.text, "typical_hours holds no year of weather"));
    s->site.n_year = 0;
    must(store_save(st, s, &why), &why);
    assert_int_equal(number_of("SELECT count(*) FROM typical_hours"), 0);
    back = load(st);
    assert_int_equal(back->site.n_year, 0);
    survey_free(back);
    store_close(st);
    survey_free(s);
}

/* What no survey of ours holds, the file refuses by itself. */
static void test_rules_of_version_4(void **state) {
    (void)state;
    static const char *const broken[] = {
        ("UPDATE defect SET overrule_method = 'engineer', overrule_by = 'a',"
         " overrule_on = 'b', overrule_why = 'c'"),
        "UPDATE defect SET overrule_method = 'coat'",
        "UPDATE defect SET movement_m = -0.001",
        "UPDATE defect SET depth_m = 0",
        "UPDATE site SET healing = 'none'",
        "UPDATE face SET far_side = 'shut'",
        "INSERT INTO excluded VALUES (0, 99, 'engineer')",
        "INSERT INTO site_excluded VALUES (99, 'glue')",
        "INSERT INTO typical VALUES (365, 1)",
        "INSERT INTO air SELECT 90 + seq, \"on\", 1 FROM air",
        "INSERT INTO reading VALUES (0, 99, '', '2026-01-01', 0, NULL)",
        "UPDATE material SET resin = 'tar'",
    };
    survey *s = random_survey(26, UNITS_METRIC, 1, 3);
    if (s->site.n_air == 0) {
        s->site.air = arena_get(s->memory, 1, sizeof *s->site.air);
        s->site.air[0] = (survey_air){"2026-01-01", 3};
        s->site.n_air = 1;
    }
    for (size_t i = 0; i < 3; i++) s->defects[i].overrule = (survey_overrule){0};
    create(s);
    sqlite3 *db = NULL;
    assert_int_equal(sqlite3_open(job, &db), SQLITE_OK);
    for (size_t i = 0; i < sizeof broken / sizeof *broken; i++)
        if (sqlite3_exec(db, broken[i], NULL, NULL, NULL) != SQLITE_CONSTRAINT)
            fail_msg("took: %s", broken[i]);
    sqlite3_close(db);
    survey_free(s);
}

/* Several processes open an old file at once: one migrates, the others find it done. */
static void test_version_1_opened_by_many(void **state) {
    (void)state;
    survey *s = random_survey(22, UNITS_METRIC, 2, 30);
    create_version(1, s);
    pid_t children[4];
    for (size_t i = 0; i < 4; i++) {
        children[i] = fork();
        if (children[i] != 0) continue;
        fault why = {OK, ""};
        store *st = NULL;
        status code = store_open(job, false, &st, &why);
        if (code != OK) fprintf(stderr, "%s\n", why.text);
        store_close(st);
        _exit(code == OK ? 0 : 1);
    }
    for (size_t i = 0; i < 4; i++) {
        int how = 1;
        waitpid(children[i], &how, 0);
        assert_int_equal(how, 0);
    }
    assert_int_equal(number_of("PRAGMA user_version"), 6);
    survey_free(s);
}

/* Which allocations are counted, and so fail: ours alone, or SQLite's too. No job may be open. */
static void count_memory_of_sqlite(bool too) {
    fault why = {OK, ""};
    sqlite3_shutdown();
    if (too)
        must(store_use_memory_hooks(&why), &why);
    else
        assert_int_equal(sqlite3_config(SQLITE_CONFIG_MALLOC, &own_memory), SQLITE_OK);
}

/* Memory fails at every `step`-th allocation in turn. Ours are few, and each must be told: step 1. SQLite's are tens of thousands
 * in a few loops of its own: a prime step meets those loops at another place each time. */
static long migrate_without_memory(long step) {
    survey *s = random_survey(23, UNITS_METRIC, 2, 5);
    create_version(1, s);
    long failures = 0;
    status code = E_MEMORY;
    for (long n = 0; code != OK; n += step) {
        fault why = {OK, ""};
        store *st = NULL;
        mem_fail_at(n, 1);
        code = store_open(job, false, &st, &why);
        mem_fail_at(-1, 0);
        store_close(st);
        if (code == OK) break;
        assert_int_equal(code, E_MEMORY);
        long long version = number_of("PRAGMA user_version"); /* 5: memory failed after the migration */
        assert_true(version == 1 || version == 6);
        assert_int_equal(
            number_of(
                "SELECT count(*) FROM pragma_table_info('defect') WHERE name IN ('waterstop', 'cutoff_m')"),
            version == 1 ? 0 : 2);
        assert_int_equal(number_of("SELECT count(*) FROM sqlite_schema WHERE name = 'open_place'"),
                         version == 1 ? 0 : 1);
        failures += version == 1;
    }
    print_message("every %ld: %ld failures told\n", step, failures);
    assert_int_equal(number_of("PRAGMA user_version"), 6);
    survey_free(s);
    clean(NULL);
    return failures;
}

/* A migration that runs out of memory leaves the old file, whole. */
static void test_migration_without_memory(void **state) {
    (void)state;
    assert_true(migrate_without_memory(1801) > 20);
    count_memory_of_sqlite(false);
    migrate_without_memory(1);
    count_memory_of_sqlite(true);
}

/* Every member of the tables is a column of the schema and the other way round, keys apart. */
static void test_schema_and_members_agree(void **state) {
    (void)state;
    survey *s = survey_new();
    create(s);
    for (int shape = 0; shape < ROW_SHAPES; shape++) {
        char sql[120];
        int columns = row_shapes[shape].n_keys;
        for (int i = 0; i < row_shapes[shape].n_segments; i++)
            columns += (int)row_shapes[shape].segments[i].fields->n;
        snprintf(sql, sizeof sql, "SELECT count(*) FROM pragma_table_info('%s')", row_shapes[shape].table);
        assert_int_equal(number_of(sql), columns);
    }
    survey_free(s);
}

static void test_ten_thousand_defects(void **state) {
    (void)state;
    fault why = {OK, ""};
    survey *s = random_survey(5, UNITS_METRIC, 400, 10000), *empty = survey_new();
    struct timespec from, saved, loaded;
    create(empty);
    store *st = open_job(false);
    clock_gettime(CLOCK_MONOTONIC, &from);
    must(store_save(st, s, &why), &why);
    clock_gettime(CLOCK_MONOTONIC, &saved);
    survey *back = load(st);
    clock_gettime(CLOCK_MONOTONIC, &loaded);
    assert_null(survey_difference(s, back));
    print_message("10,000 defects: saved in %.2f s, loaded in %.2f s\n",
                  (double)(saved.tv_sec - from.tv_sec) + 1e-9 * (double)(saved.tv_nsec - from.tv_nsec),
                  (double)(loaded.tv_sec - saved.tv_sec) + 1e-9 * (double)(loaded.tv_nsec - saved.tv_nsec));
    store_close(st);
    survey_free(s);
    survey_free(back);
    survey_free(empty);
}

/* ---- every allocation failing in turn ---- */

static text imported;

/* Read, check, save and load. OK, or the first error. */
static status whole_way(const char *path, survey **out) {
    fault why = {OK, ""};
    store *st = NULL;
    fault_list *faults = fault_list_new();
    survey *s = survey_new();
    *out = NULL;
    status code = faults && s ? OK : E_MEMORY;
    if (code == OK) {
        if (survey_read_json(s, "a.json", imported.bytes, imported.length, faults)) survey_check(s, faults);
        code = fault_list_status(faults, &why);
    }
    if (code == OK) code = store_open(path, false, &st, &why);
    if (code == OK) code = store_save(st, s, &why);
    if (code == OK) code = store_load(st, out, &why);
    if (code != OK && code != E_MEMORY) print_message("%s\n", why.text);
    store_close(st);
    survey_free(s);
    if (faults) fault_list_free(faults);
    return code;
}

/* After a failure the job holds the old survey or, when only the reading back failed, the new one. */
static void check_job(const survey *old, const survey *new) {
    store *st = open_job(false);
    survey *back = load(st);
    assert_true(survey_difference(old, back) == NULL || survey_difference(new, back) == NULL);
    survey_free(back);
    store_close(st);
}

static long fail_each(int sticky, long step) {
    text_free(&imported);
    survey *old = random_survey(11, UNITS_METRIC, 1, 1), *new = random_survey(12, UNITS_METRIC, 2, 3);
    new->n_rates = new->n_prices = 2; /* the catalogue repeats itself */
    new->n_materials = 1;
    new->site.n_typical = new->site.n_year = 0; /* and so do days and hours */
    if (new->site.forecast.n > 2) new->site.forecast.n = 2;
    if (new->site.n_air > 2) new->site.n_air = 2;
    for (size_t i = 0; i < new->n_defects; i++)
        for (size_t k = 0; k < new->defects[i].n_readings; k++)
            new->defects[i].readings[k].temperature_c = (maybe){true, 10};
    survey_write_json(new, &imported);
    remove_job(job);
    create(old);
    long n = 0, failures = 0;
    for (bool done = false; !done; n += step) {
        survey *back = NULL;
        long before = mem_count();
        mem_fail_at(n, sticky);
        status code = whole_way(job, &back);
        done = mem_count() - before <= n;
        mem_fail_at(-1, 0);
        if (code == OK) assert_null(survey_difference(new, back));
        if (code != OK) assert_int_equal(code, E_MEMORY);
        failures += code != OK;
        if (code != OK && failures % 16 == 1) check_job(old, new);
        survey_free(back);
    }
    print_message("every %ld of %ld allocations: %ld told as a failure\n", step, n, failures);
    text_free(&imported);
    survey_free(old);
    survey_free(new);
    return failures;
}

static void test_each_allocation_fails(void **state) {
    (void)state;
    assert_true(fail_each(0, 59) > 100);
    count_memory_of_sqlite(false);
    assert_true(fail_each(0, 1) > 100);
    count_memory_of_sqlite(true);
}

static void test_all_allocations_fail_from_one_on(void **state) {
    (void)state;
    assert_true(fail_each(1, 101) > 50);
    count_memory_of_sqlite(false);
    assert_true(fail_each(1, 1) > 100);
    count_memory_of_sqlite(true);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_teardown(test_round_trip, clean),
        cmocka_unit_test_teardown(test_doubles_bit_for_bit, clean),
        cmocka_unit_test_teardown(test_files_that_are_no_job, clean),
        cmocka_unit_test_teardown(test_newer_file, clean),
        cmocka_unit_test_teardown(test_damaged_files, clean),
        cmocka_unit_test_teardown(test_no_infinite_number_comes_in, clean),
        cmocka_unit_test_teardown(test_create_never_overwrites, clean),
        cmocka_unit_test_teardown(test_broken_rules_change_nothing, clean),
        cmocka_unit_test_teardown(test_locked_by_another, clean),
        cmocka_unit_test_teardown(test_read_only_file_and_folder, clean),
        cmocka_unit_test_teardown(test_open_still, clean),
        cmocka_unit_test_teardown(test_results, clean),
        cmocka_unit_test_teardown(test_migrations, clean),
        cmocka_unit_test_teardown(test_version_1_is_brought_up, clean),
        cmocka_unit_test_teardown(test_version_2_is_brought_up, clean),
        cmocka_unit_test_teardown(test_version_3_is_brought_up, clean),
        cmocka_unit_test_teardown(test_version_4_is_brought_up, clean),
        cmocka_unit_test_teardown(test_version_5_is_brought_up, clean),
        cmocka_unit_test_teardown(test_rules_of_version_6, clean),
        cmocka_unit_test_teardown(test_rules_of_version_4, clean),
        cmocka_unit_test_teardown(test_rules_of_version_5, clean),
        cmocka_unit_test_teardown(test_typical_hours, clean),
        cmocka_unit_test_teardown(test_version_1_opened_by_many, clean),
        cmocka_unit_test_teardown(test_migration_without_memory, clean),
        cmocka_unit_test_teardown(test_schema_and_members_agree, clean),
        cmocka_unit_test_teardown(test_ten_thousand_defects, clean),
        cmocka_unit_test_teardown(test_each_allocation_fails, clean),
        cmocka_unit_test_teardown(test_all_allocations_fail_from_one_on, clean),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
