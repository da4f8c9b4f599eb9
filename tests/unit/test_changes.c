/* What changed since the last plan: told in words, kept until a plan that differs; and a plan that is stopped keeps
 * nothing. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "core/json_in.h"
#include "ops/ops.h"
#include "store/store.h"

#include <gsl/gsl_errno.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char folder[40] = "/dev/shm/stanch-changes-XXXXXX"; /* memory: every plan is synced */
static char path[64];

static const ops_actor someone = {"N. N.", "2026-03-01T09:30:00Z", "command"};
static const ops_plan_request dry = {.planes = PLANES_OFF, .threads = 1};

static int set_up(void **state) {
    (void)state;
    fault why = {OK, ""};
    gsl_set_error_handler_off();
    if (access("/dev/shm", W_OK) != 0) memcpy(folder, "/tmp/stanch-changes-XXXXXX", 27);
    if (store_use_memory_hooks(&why) != OK || !mkdtemp(folder)) return -1;
    snprintf(path, sizeof path, "%s/a.stanch", folder);
    return 0;
}

static int clean(void **state) {
    (void)state;
    static const char *const endings[] = {"", "-wal", "-shm", "-journal"};
    char name[128];
    for (int i = 0; i < 4; i++) {
        snprintf(name, sizeof name, "%s%s", path, endings[i]);
        unlink(name);
    }
    return 0;
}

static int tear_down(void **state) {
    clean(state);
    return rmdir(folder);
}

static void must(status code, const fault *why) {
    if (code != OK) fail_msg("%s", why->text);
}

static void make_job(const char *example) {
    fault why = {OK, ""};
    const ops_new_request new = {.name = "test"};
    const char *files[] = {example};
    const ops_import_request import = {.files = files, .n = 1};
    ops_import_result brought;
    fault_list *faults = fault_list_new();
    must(ops_new(path, &new, &someone, &why), &why);
    must(ops_import(path, &import, &someone, faults, &brought, &why), &why);
    fault_list_free(faults);
}

/* The survey as it stands, to be changed by hand and put back. */
static survey *take(void) {
    fault why = {OK, ""};
    store *job = NULL;
    survey *s = NULL;
    must(store_open(path, true, &job, &why), &why);
    must(store_load(job, &s, &why), &why);
    store_close(job);
    return s;
}

static void put(survey *s) {
    fault why = {OK, ""};
    store *job = NULL;
    must(store_open(path, false, &job, &why), &why);
    must(store_save(job, s, &why), &why);
    store_close(job);
    survey_free(s);
}

static survey_defect *leak(survey *s, const char *mark) {
    for (size_t i = 0; i < s->n_defects; i++)
        if (strcmp(s->defects[i].mark, mark) == 0) return &s->defects[i];
    fail_msg("%s", mark);
    return NULL;
}

static ops_job planned(const ops_plan_request *request) {
    fault why = {OK, ""};
    ops_job job;
    must(ops_plan(path, request, &job, &why), &why);
    return job;
}

static const ops_change *change_of(const ops_job *job, const char *mark, const char *label) {
    for (size_t i = 0; i < job->n_changes; i++)
        if (strcmp(job->changes[i].mark, mark) == 0 && strcmp(job->changes[i].label, label) == 0)
            return &job->changes[i];
    return NULL;
}

static void expect(const ops_job *job, const char *mark, const char *label, const char *before,
                   const char *after) {
    const ops_change *c = change_of(job, mark, label);
    if (!c) fail_msg("%s %s is not among %zu changes", mark, label, job->n_changes);
    assert_string_equal(c->before, before);
    assert_string_equal(c->after, after);
}

/* Every text of every change is there; a mark is that of a leak, or none. */
static void check_texts(const ops_job *job) {
    for (size_t i = 0; i < job->n_changes; i++) {
        const ops_change *c = &job->changes[i];
        assert_true(*c->label && *c->before && *c->after);
        assert_string_not_equal(c->before, c->after);
        assert_null(strstr(c->after, "nan"));
    }
}

static void a_first_plan_has_no_changes(void **state) {
    (void)state;
    make_job(EXAMPLES "/pump-house.json");
    ops_job job = planned(&dry);
    assert_int_equal(job.n_changes, 0);
    ops_job_free(&job);
    job = planned(&dry);
    assert_int_equal(job.n_changes, 0);
    ops_job_free(&job);
}

/* N1 gets bars at 30 mm cover: the slot is held up at 20 mm (cover - 10 mm), and less powder goes into it. */
static void hold_up(void) {
    survey *s = take();
    survey_defect *d = leak(s, "N1");
    survey_station *stations = arena_get(s->memory, d->n_stations, sizeof *stations);
    assert_non_null(stations);
    memcpy(stations, d->stations, d->n_stations * sizeof *stations);
    for (size_t i = 0; i < d->n_stations; i++) {
        stations[i].bar = BAR_ALONG;
        stations[i].cover_m = (maybe){true, 0.030};
    }
    d->stations = stations;
    put(s);
}

static void a_change_is_told_and_kept(void **state) {
    (void)state;
    make_job(EXAMPLES "/pump-house.json");
    ops_job job = planned(&dry);
    ops_job_free(&job);
    hold_up();
    job = planned(&dry);
    check_texts(&job);
    expect(&job, "N1", "slot depth", "37 mm", "20 mm");
    expect(&job, "N1", "plug", "18.5 mm", "10 mm");
    assert_non_null(change_of(&job, "N1", "Dry-pack powder"));
    assert_non_null(change_of(&job, "N1", "cost"));
    assert_null(change_of(&job, "N1", "method"));
    assert_non_null(change_of(&job, "", "total, without tax"));
    for (size_t i = 0; i < job.n_changes; i++) /* the others' parts of the packs are no news */
        if (strcmp(job.changes[i].mark, "N1") != 0) assert_string_equal(job.changes[i].mark, "");
    size_t n = job.n_changes;
    ops_job_free(&job);
    job = planned(&dry); /* the same inputs */
    assert_int_equal(job.n_changes, n);
    expect(&job, "N1", "slot depth", "37 mm", "20 mm");
    ops_job_free(&job);
    const ops_plan_request steady = {.planes = PLANES_STEADY,
                                     .threads = 1}; /* planned otherwise, and nothing differs */
    job = planned(&steady);
    assert_int_equal(job.n_changes, n);
    ops_job_free(&job);
    /* The stored list is what the page reads. */
    arena *memory = arena_new();
    fault why = {OK, ""};
    const char *body;
    must(ops_stored(path, "changes", "", memory, &body, &why), &why);
    json_t *root = json_loads(body, JSON_REJECT_DUPLICATES, NULL);
    assert_int_equal(json_array_size(json_object_get(root, "changes")), n);
    json_decref(root);
    arena_free(memory);
    /* Other inputs that change nothing a person reads: the list is empty. */
    survey *s = take();
    s->site.name = "another name";
    put(s);
    job = planned(&dry);
    assert_int_equal(job.n_changes, 0);
    ops_job_free(&job);
}

static void new_and_removed_leaks_are_told(void **state) {
    (void)state;
    make_job(EXAMPLES "/pump-house.json");
    ops_job job = planned(&dry);
    ops_job_free(&job);
    survey *s = take();
    leak(s, "N3")->mark = "N9"; /* removed, and another found */
    put(s);
    job = planned(&dry);
    check_texts(&job);
    expect(&job, "N9", "leak", "none", "new");
    expect(&job, "N3", "leak", "planned", "removed");
    assert_null(change_of(&job, "N9", "method"));
    ops_job_free(&job);
    s = take();
    leak(s, "N9")->mark = "N3"; /* results of the first N3 are still in the file: it is new all the same */
    put(s);
    job = planned(&dry);
    expect(&job, "N3", "leak", "none", "new");
    expect(&job, "N9", "leak", "planned", "removed");
    ops_job_free(&job);
}

/* The job's units change: the old plan is read in the new ones, and only what differs is told. */
static void units_are_no_change(void **state) {
    (void)state;
    make_job(EXAMPLES "/pump-house.json");
    ops_job job = planned(&dry);
    ops_job_free(&job);
    survey *s = take();
    s->site.system = UNITS_US;
    put(s);
    job = planned(&dry);
    assert_int_equal(job.n_changes, 0);
    ops_job_free(&job);
    hold_up();
    job = planned(&dry);
    expect(&job, "N1", "slot depth", "1.46 in", "0.79 in");
    ops_job_free(&job);
}

/* ---- stopped ---- */

/* All results of the file, as one text. */
static text results(void) {
    sqlite3 *db;
    sqlite3_stmt *rows;
    text out = {0};
    assert_int_equal(sqlite3_open_v2(path, &db, SQLITE_OPEN_READONLY, NULL), SQLITE_OK);
    assert_int_equal(
        sqlite3_prepare_v2(
            db,
            "SELECT stage, mark, inputs_hash, program_version, seed, body FROM result ORDER BY stage, mark",
            -1, &rows, NULL),
        SQLITE_OK);
    while (sqlite3_step(rows) == SQLITE_ROW)
        for (int i = 0; i < 6; i++) text_print(&out, "%s\n", (const char *)sqlite3_column_text(rows, i));
    sqlite3_finalize(rows);
    sqlite3_close(db);
    return out;
}

typedef struct {
    atomic_bool stop;
    double at;
} stopping;

static void hear(void *to, double part, const char *saying) {
    stopping *s = to;
    (void)saying;
    if (part >= s->at) atomic_store(&s->stop, true);
}

static void a_stopped_plan_keeps_nothing(void **state) {
    (void)state;
    make_job(EXAMPLES "/small-us.json");
    const double at[] = {0, 0.3, 0.9, 0.9999, 1}; /* the last: all is done, but not yet kept */
    ops_job job = planned(&dry);
    ops_job_free(&job);
    text before = results();
    survey *s = take();
    s->site.design.level_m.v += 0.5;
    put(s);
    for (size_t i = 0; i < sizeof at / sizeof *at; i++) {
        stopping s1 = {.at = at[i]};
        const ops_plan_request request = {
            .planes = PLANES_RUN, .threads = 2, .stop = &s1.stop, .progress = hear, .progress_to = &s1};
        fault why = {OK, ""};
        assert_int_equal(ops_plan(path, &request, &job, &why), E_STATE);
        assert_string_equal(why.text, "stopped");
        assert_null(job.plan);
        text after = results();
        assert_string_equal(text_get(&after), text_get(&before));
        text_free(&after);
    }
    job = planned(&dry);
    assert_true(job.n_changes > 0);
    text after = results();
    assert_string_not_equal(text_get(&after), text_get(&before));
    text_free(&after);
    text_free(&before);
    ops_job_free(&job);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_teardown(a_first_plan_has_no_changes, clean),
        cmocka_unit_test_teardown(a_change_is_told_and_kept, clean),
        cmocka_unit_test_teardown(new_and_removed_leaks_are_told, clean),
        cmocka_unit_test_teardown(units_are_no_change, clean),
        cmocka_unit_test_teardown(a_stopped_plan_keeps_nothing, clean),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
