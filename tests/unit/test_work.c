/* The queue of long work, and plans held in memory, from several threads. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "core/file.h"
#include "core/mem.h"
#include "web/plans.h"
#include "web/work.h"

#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

/* The server of this test keeps one thing, and knows nothing else. */
static void *kept;
static void (*end_kept)(void *);
void *web_server_keep(web_server *s, web_keep which, void *(*make)(web_server *s), void (*end)(void *kept)) {
    (void)which;
    if (!kept) kept = make(s);
    end_kept = end;
    return kept;
}

static void end_all(void) {
    if (kept) end_kept(kept);
    kept = NULL;
}

static void breathe(void) {
    nanosleep(&(struct timespec){0, 1000000}, NULL);
}

/* ---- work ---- */

typedef struct {
    atomic_int begun, ended, go;
    bool fails;
} task;

static status run_task(void *data, work *self, fault *why) {
    task *t = data;
    atomic_fetch_add(&t->begun, 1);
    work_progress(self, 0.5, "half-way");
    work_progress(self, 0.25, "never less");
    while (!atomic_load(&t->go) && !atomic_load(work_stopping(self))) breathe();
    if (atomic_load(work_stopping(self))) return fault_set(why, E_STATE, "stopped");
    return t->fails ? fault_set(why, E_INPUT, "nothing came of it") : OK;
}

static void end_task(void *data) {
    atomic_fetch_add(&((task *)data)->ended, 1);
}

static long long start(works *all, const char *job, task *t) {
    long long number = 0;
    fault why = {0};
    status code = works_start(all, &(work_order){"plan", job, run_task, t, end_task}, &number, &why);
    if (code != OK) fail_msg("%s", why.text);
    return number;
}

static work_view look(works *all, long long number, arena *memory) {
    work_view view = {0};
    assert_true(works_look(all, number, memory, &view));
    return view;
}

static work_view wait_over(works *all, long long number, arena *memory) {
    work_view view = look(all, number, memory);
    while (view.state == WORK_WAITING || view.state == WORK_RUNNING) {
        breathe();
        view = look(all, number, memory);
    }
    return view;
}

static void one_after_another(void **state) {
    works *all = works_of(NULL);
    arena *memory = arena_new();
    task one = {0}, two = {.fails = true, .go = 1};
    (void)state;
    long long first = start(all, "a", &one), second = start(all, "b", &two);
    while (!atomic_load(&one.begun)) breathe();
    while (look(all, first, memory).part < 0.5) breathe();
    assert_int_equal(look(all, first, memory).state, WORK_RUNNING);
    assert_true(look(all, first, memory).part == 0.5);
    assert_int_equal(look(all, second, memory).state, WORK_WAITING);
    atomic_store(&one.go, 1);
    work_view done = wait_over(all, first, memory), failed = wait_over(all, second, memory);
    assert_int_equal(done.state, WORK_DONE);
    assert_true(done.part == 1 && done.fault == NULL);
    assert_int_equal(failed.state, WORK_FAILED);
    assert_string_equal(failed.fault, "nothing came of it");
    assert_int_equal(one.ended, 1);
    work_view none;
    assert_false(works_look(all, 0, memory, &none) || works_look(all, 99, memory, &none) ||
                 works_look(all, -1, memory, &none));
    end_all();
    assert_int_equal(two.ended, 1);
    arena_free(memory);
}

/* Asked for twice it runs once; the second order's data goes all the same. */
static void the_same_work_is_shared(void **state) {
    works *all = works_of(NULL);
    arena *memory = arena_new();
    task one = {0}, two = {0}, other = {.go = 1};
    (void)state;
    long long first = start(all, "a", &one);
    assert_int_equal(start(all, "a", &two), first);
    assert_int_equal(two.ended, 1);
    assert_int_not_equal(start(all, "b", &other), first);
    atomic_store(&one.go, 1);
    wait_over(all, first, memory);
    task again = {.go = 1};
    assert_int_not_equal(start(all, "a", &again), first); /* it is over: a new one */
    end_all();
    assert_int_equal(two.begun, 0);
    arena_free(memory);
}

static void a_stopped_work_ends(void **state) {
    works *all = works_of(NULL);
    arena *memory = arena_new();
    task one = {0}, two = {0};
    (void)state;
    long long first = start(all, "a", &one), second = start(all, "b", &two);
    assert_true(works_stop(all, second));
    assert_true(works_stop(all, first));
    assert_false(works_stop(all, 77));
    assert_int_equal(wait_over(all, first, memory).state, WORK_STOPPED);
    assert_int_equal(wait_over(all, second, memory).state, WORK_STOPPED);
    end_all();
    assert_int_equal(two.begun, 0);
    assert_int_equal(two.ended, 1);
    arena_free(memory);
}

/* The server ends with one running and others waiting: the one stops, the others never begin, all data goes. */
static void the_end_comes_at_any_time(void **state) {
    works *all = works_of(NULL);
    task tasks[WORK_WAITING_MOST + 2] = {{0}};
    fault why = {0};
    long long number;
    (void)state;
    char job[32];
    size_t n = 0;
    for (;; n++) {
        snprintf(job, sizeof job, "job %zu", n);
        if (works_start(all, &(work_order){"plan", job, run_task, &tasks[n], end_task}, &number, &why) != OK)
            break;
    }
    assert_int_equal(n, WORK_WAITING_MOST);
    assert_int_equal(why.code, E_BUSY);
    assert_int_equal(tasks[n].ended, 1); /* the refused one's data */
    while (!atomic_load(&tasks[0].begun)) breathe();
    end_all();
    for (size_t i = 0; i < n; i++) assert_int_equal(tasks[i].ended, 1);
    assert_int_equal(tasks[1].begun, 0);
}

static void old_works_are_forgotten(void **state) {
    works *all = works_of(NULL);
    arena *memory = arena_new();
    task one = {.go = 1};
    work_view view;
    (void)state;
    long long first = 0, last = 0;
    for (int i = 0; i < WORK_KEPT + 10; i++) {
        last = start(all, "a", &one);
        if (i == 0) first = last;
        wait_over(all, last, memory);
    }
    assert_false(works_look(all, first, memory, &view));
    assert_true(works_look(all, last, memory, &view));
    end_all();
    arena_free(memory);
}

/* ---- plans ---- */

static char folder[] = "/tmp/stanch-work-XXXXXX";
static const ops_actor ACTOR = {.by = "N. N.", .at = "2026-03-01T09:30:00Z", .through = "page"};

static char *job_at(arena *memory, int i) {
    return arena_print(memory, "%s/job-%d.stanch", folder, i);
}

static void put(plans *all, const char *path) {
    ops_job job = {0};
    fault why = {0};
    assert_int_equal(ops_look(path, &(ops_plan_request){.threads = 1}, &job, &why), OK);
    assert_int_equal(plans_put(all, path, &job, 1, "[]", &why), OK);
    assert_null(job.plan);
}

static void make_jobs(arena *memory, int n) {
    fault why = {0};
    assert_non_null(mkdtemp(folder));
    for (int i = 0; i < n; i++)
        assert_int_equal(ops_new(job_at(memory, i), &(ops_new_request){0}, &ACTOR, &why), OK);
}

static void remove_jobs(void) {
    char command[64];
    snprintf(command, sizeof command, "rm -r '%s'", folder);
    assert_int_equal(system(command), 0);
    strcpy(folder + strlen(folder) - 6, "XXXXXX");
}

static void the_newest_plan_of_a_job_is_held(void **state) {
    plans *all = plans_of(NULL);
    arena *memory = arena_new();
    (void)state;
    make_jobs(memory, PLANS_HELD + 1);
    const char *first = job_at(memory, 0);
    assert_null(plans_hold(all, first));
    put(all, first);
    held *old = plans_hold(all, first);
    put(all, first);
    held *new = plans_hold(all, first);
    assert_ptr_not_equal(old, new);
    assert_non_null(held_job(old)->plan); /* still there: somebody has it */
    plans_let_go(all, old);
    plans_let_go(all, new);
    for (int i = 1; i <= PLANS_HELD; i++) put(all, job_at(memory, i));
    assert_null(plans_hold(all, first)); /* asked for longest ago */
    for (int i = 1; i <= PLANS_HELD; i++) {
        held *it = plans_hold(all, job_at(memory, i));
        assert_non_null(it);
        plans_let_go(all, it);
    }
    end_all();
    remove_jobs();
    arena_free(memory);
}

static void texts_go_when_the_survey_changes(void **state) {
    plans *all = plans_of(NULL);
    arena *memory = arena_new();
    fault why = {0};
    bool current = false;
    (void)state;
    make_jobs(memory, 1);
    const char *path = job_at(memory, 0), *file = arena_print(memory, "%s/face.json", folder);
    put(all, path);
    held *it = plans_hold(all, path);
    held_lock(it);
    assert_int_equal(held_current(it, 1, &current, &why), OK);
    assert_true(current);
    assert_null(held_text(it, "plan", true));
    assert_int_equal(held_keep_text(it, "plan", true, "words", &why), OK);
    assert_string_equal(held_text(it, "plan", true), "words");
    assert_int_equal(held_keep_text(it, "plan", true, "other words", &why), OK);
    assert_string_equal(held_text(it, "plan", true), "other words");
    assert_null(held_text(it, "leak N1", true));
    assert_int_equal(held_current(it, 5, &current, &why),
                     OK); /* a later revision, the same survey: a day's list, say */
    assert_true(current);
    static const char face[] = "{\"stanch_survey\": 1, \"units\": \"metric\", \"faces\": [{\"id\": \"N\", "
                               "\"lie\": \"wall\", \"thickness_m\": 0.3,"
                               "\"elevation_m\": 0, \"outline\": [[0, 0], [6, 0], [6, 3], [0, 3]]}]}";
    assert_int_equal(file_write(file, face, sizeof face - 1, &why), OK);
    fault_list *faults = fault_list_new();
    ops_import_result imported;
    assert_int_equal(ops_import(path, &(ops_import_request){.files = (const char *const[]){file}, .n = 1},
                                &ACTOR, faults, &imported, &why),
                     OK);
    assert_int_equal(held_current(it, 6, &current, &why), OK);
    assert_false(current);
    assert_null(held_text(it, "plan", false));
    held_unlock(it);
    plans_let_go(all, it);
    fault_list_free(faults);
    end_all();
    remove_jobs();
    arena_free(memory);
}

typedef struct {
    plans *all;
    const char *path;
    atomic_bool over;
} shared;

static void *reader(void *data) {
    shared *s = data;
    fault why;
    while (!atomic_load(&s->over)) {
        held *it = plans_hold(s->all, s->path);
        if (!it) continue;
        held_lock(it);
        if (!held_text(it, "plan", true)) held_keep_text(it, "plan", true, "words", &why);
        held_unlock(it);
        plans_let_go(s->all, it);
    }
    return NULL;
}

/* Plans are replaced while others read them: for the sanitizers of memory and of threads. */
static void replaced_while_read(void **state) {
    arena *memory = arena_new();
    pthread_t readers[3];
    (void)state;
    make_jobs(memory, 1);
    shared s = {.all = plans_of(NULL), .path = job_at(memory, 0)};
    for (int i = 0; i < 3; i++) assert_int_equal(pthread_create(&readers[i], NULL, reader, &s), 0);
    for (int i = 0; i < 20; i++) put(s.all, s.path);
    atomic_store(&s.over, true);
    for (int i = 0; i < 3; i++) pthread_join(readers[i], NULL);
    end_all();
    remove_jobs();
    arena_free(memory);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_after_another),
        cmocka_unit_test(the_same_work_is_shared),
        cmocka_unit_test(a_stopped_work_ends),
        cmocka_unit_test(the_end_comes_at_any_time),
        cmocka_unit_test(old_works_are_forgotten),
        cmocka_unit_test(the_newest_plan_of_a_job_is_held),
        cmocka_unit_test(texts_go_when_the_survey_changes),
        cmocka_unit_test(replaced_while_read),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
