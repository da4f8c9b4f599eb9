/* The verbs of acceptance on a job file: readings of a tank taken in from CSV, the proof as JSON, the looks as a calendar. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "fixture.h"

#include "accept/show.h"
#include "ops/proof.h"
#include "ops/wall.h"
#include "record/chain.h"
#include "store/log.h"

#include <gsl/gsl_errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const ops_actor ACTOR = {.by = "N. N.", .at = "2026-04-30T12:00:00Z", .through = "command"};

#define CRACK(mark, u)                                                                                       \
    "{\"mark\": \"" mark "\", \"kind\": \"crack\", \"parts\": [{\"face\": \"N\", \"points\": [[" u           \
    ",0.5],[" u ",2.5]]}], \"stations\": [{\"chainage_m\": 0, \"width_mm\": 0.3, \"wetness\": \"run\", "     \
    "\"bar\": \"none\"}, {\"chainage_m\": 2, \"width_mm\": 0.3, \"wetness\": \"run\", \"bar\": \"none\"}]}"

typedef struct {
    char folder[64], job[96];
    arena *memory;
    fault_list *faults;
    size_t kept;
    fault why;
} bench;

static survey_tank TANK = {.id = "T1",
                           .name = "clear water",
                           .capacity_m3 = 200,
                           .plan_area_m2 = 50,
                           .depth_m = 4,
                           .criterion = CRITERION_AWWA_D110,
                           .pan = PAN_OPEN,
                           .filled_on = "2026-03-28"};

static void set_up_tanks(bench *b, units_system system, survey_tank *tanks, size_t n_tanks) {
    *b = (bench){.memory = arena_new(), .faults = fault_list_new()};
    strcpy(b->folder, "/tmp/stanch-accept-XXXXXX");
    assert_non_null(mkdtemp(b->folder));
    snprintf(b->job, sizeof b->job, "%s/pit.stanch", b->folder);
    survey *s = fixture_wall(0.3, 3, CRACK("E1", "2") "," CRACK("E2", "7"));
    s->site.system = system;
    s->site.name = "Pit";
    s->site.tightness = TIGHT_ZTV_2;
    s->tanks = tanks;
    s->n_tanks = n_tanks;
    assert_int_equal(store_create(b->job, s, &b->why), OK);
    survey_free(s);
}

static void set_up(bench *b, units_system system, size_t n_tanks) {
    set_up_tanks(b, system, &TANK, n_tanks);
}

static void tear_down(bench *b) {
    static const char *const ends[] = {"", "-wal", "-shm"};
    char path[120];
    for (int i = 0; i < 3; i++) {
        snprintf(path, sizeof path, "%s%s", b->job, ends[i]);
        unlink(path);
    }
    assert_int_equal(rmdir(b->folder), 0);
    fault_list_free(b->faults);
    arena_free(b->memory);
}

static status take(bench *b, const char *tank, const char *from, const char *csv) {
    const ops_tank_readings readings = {tank, "N. N.", from, "tank.csv", csv, strlen(csv)};
    fault_list_free(b->faults);
    b->faults = fault_list_new();
    b->why = (fault){0};
    return ops_tank_import(b->job, &readings, &ACTOR, b->faults, &b->kept, &b->why);
}

static ops_records records_of(bench *b) {
    ops_records all;
    fault why = {0};
    assert_int_equal(ops_records_load(b->job, b->memory, &all, &why), OK);
    return all;
}

static void has(const char *all, const char *words) {
    if (!strstr(all, words)) fail_msg("no \"%s\" in\n%s", words, all);
}

/* ---- readings of a tank ---- */

#define GOOD                                                                                                 \
    "at,level_mm,tank_water_c,pan_level_mm,rain_mm\n"                                                        \
    "2026-04-01T08:00:00Z,3712.0,11.2,180,\n"                                                                \
    "2026-04-02T08:00:00Z,3710.5,11.3,179,0\n"                                                               \
    "2026-04-04T08:00:00Z,3706.0,11.2,177,1\n"

static void the_same_file_twice_adds_nothing(void **state) {
    (void)state;
    bench b;
    set_up(&b, UNITS_METRIC, 1);
    assert_int_equal(take(&b, "T1", NULL, GOOD), OK);
    assert_int_equal(b.kept, 3);
    ops_records all = records_of(&b);
    assert_int_equal(all.n, 3);
    const record *r = &all.items[1];
    assert_int_equal(r->what, RECORD_LEVEL);
    assert_string_equal(r->mark, "site");
    assert_string_equal(r->tank, "T1");
    assert_string_equal(r->at, "2026-04-02T08:00:00Z");
    assert_string_equal(r->by, "N. N.");
    assert_true(record_is_uuid(r->id) && r->id[14] == '8');
    assert_true(r->level_m.v == 3.7105 && r->pan_level_m.v == 0.179 && r->tank_water_c.v == 11.3);
    assert_true(r->rain_m.known && r->rain_m.v == 0 && !all.items[0].rain_m.known);
    assert_int_equal(take(&b, "T1", NULL, GOOD), OK);
    assert_int_equal(b.kept, 0);
    /* the same and two more, as hours from the first; 1.5 min are 0.025 h */
    assert_int_equal(take(&b, "T1", "2026-04-01T08:00:00Z",
                          "hours;level_mm;tank_water_c;pan_level_mm;rain_mm\n0;3712,0;11,2;180;\n96;3703,5;;;"
                          "\n120,025;3701;;;\n"),
                     OK);
    assert_int_equal(b.kept, 2);
    all = records_of(&b);
    assert_int_equal(all.n, 5);
    assert_string_equal(all.items[4].at, "2026-04-06T08:01:30Z");
    tear_down(&b);
}

static void in_us_units(void **state) {
    (void)state;
    bench b;
    set_up(&b, UNITS_US, 1);
    assert_int_equal(
        take(&b, "T1", NULL, "at,level_in,tank_water_f,rain_in\n2026-04-01T08:00:00Z,146.125,52.1,0.05\n"),
        OK);
    ops_records all = records_of(&b);
    assert_true(all.items[0].level_m.v == units_to_si(UNITS_SIZE, UNITS_US, 146.125));
    assert_true(all.items[0].rain_m.v == units_to_si(UNITS_SIZE, UNITS_US, 0.05));
    assert_int_equal(
        take(&b, "T1", NULL, "at,level_in,tank_water_f,rain_in\n2026-04-01T08:00:00Z,146.125,52.1,0.05\n"),
        OK);
    assert_int_equal(b.kept, 0);
    tear_down(&b);
}

/* Refused by its lines, before a cell is read. */
static void a_file_far_too_long_is_refused_at_once(void **state) {
    (void)state;
    bench b;
    text csv = {0};
    set_up(&b, UNITS_METRIC, 1);
    text_add(&csv, "hours,level_mm\n");
    for (size_t i = 0; i < 2 * (size_t)WATERTEST_READINGS_MOST; i++) text_add(&csv, "x\n");
    assert_int_equal(take(&b, "T1", "2026-04-01T08:00:00Z", text_get(&csv)), E_INPUT);
    assert_string_equal(b.why.text,
                        "tank.csv: has more than 200000 lines; at most 100000 readings are taken");
    assert_int_equal(fault_list_count(b.faults), 0);
    text_free(&csv);
    tear_down(&b);
}

/* Each with its sentences; nothing is kept. */
static void bad_files_are_told_and_keep_nothing(void **state) {
    static const struct {
        const char *tank, *from, *csv;
        size_t n;
        const char *says, *also;
    } rows[] = {
        {"T2", NULL, GOOD, 0, "the job has no tank T2; did you mean T1", NULL},
        {"T1", NULL, "", 1, "tank.csv: is empty; the first line must name the columns", NULL},
        {"T1", NULL, "at,level_mm\n", 0, "tank.csv: has no reading below its heading", NULL},
        {"T1", NULL, "at,level_mm,rain_in\n2026-04-01T08:00:00Z,1,1\n", 1,
         "the columns level_mm and rain_in mix metric and US units", NULL},
        {"T1", NULL, "at,rain_mm\n2026-04-01T08:00:00Z,1\n", 1, "the column level_mm is missing", NULL},
        {"T1", NULL, "at,levl_mm,level_mm\n2026-04-01T08:00:00Z,1,1\n", 1, "did you mean level_mm?", NULL},
        {"T1", NULL, "at,level_mm,tank_water_c\n2026-04-01T08:00:00Z,high,80\n1 April,5,\n", 4,
         "tank.csv: line 2: level_mm: \"high\" is no number", "tank.csv: line 2: tank_water_c: is 80"},
        {"T1", NULL, "at,level_mm\n2026-04-01T08:00:00Z,1\n2026-04-31T08:00:00Z,1\n", 1,
         "tank.csv: line 3: at is \"2026-04-31T08:00:00Z\"; it must be a time in UTC", NULL},
        {"T1", NULL, "at,level_mm\n2026-04-01T08:00:00Z,1\n,2\n", 1, "line 3: at or hours is missing", NULL},
        {"T1", "2026-04-01T08:00:00Z", "at,hours,level_mm\n2026-04-01T08:00:00Z,1,1\n", 1,
         "line 2: at and hours both are given", NULL},
        {"T1", NULL, "hours,level_mm\n1,1\n", 1, "line 2: hours is given, but not from when", NULL},
        {"T1", "yesterday", "hours,level_mm\n1,1\n", 0, "from is \"yesterday\"; it must be a time in UTC",
         NULL},
        {"T1", NULL, "at,level_mm\n2026-04-01T08:00:00Z,1\n2026-04-01T08:00:00Z,1\n", 1,
         "line 3: its time, 2026-04-01T08:00:00Z, stands in another row too (tank.csv: line 2)", NULL},
        {"T1", NULL, "at,level_mm\n2026-05-02T08:00:00Z,1\n", 1, "more than 24 h after now", NULL},
        {"T1", "2026-04-01T08:00:00Z", "hours,level_mm\n-1,1\n", 1, "line 2: hours: is -1", NULL},
    };
    (void)state;
    bench b;
    set_up(&b, UNITS_METRIC, 1);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        text all = {0};
        if (take(&b, rows[i].tank, rows[i].from, rows[i].csv) != E_INPUT) fail_msg("%zu: taken", i);
        if (fault_list_count(b.faults) != rows[i].n)
            fail_msg("%zu: %zu faults", i, fault_list_count(b.faults));
        text_print(&all, "%s\n", b.why.text);
        for (size_t k = 0; k < fault_list_kept(b.faults); k++)
            text_print(&all, "%s\n", fault_list_text(b.faults, k));
        has(text_get(&all), rows[i].says);
        if (rows[i].also) has(text_get(&all), rows[i].also);
        text_free(&all);
        assert_int_equal(b.kept, 0);
    }
    assert_int_equal(records_of(&b).n, 0);
    assert_int_equal(take(&b, "T1", NULL, GOOD), OK);
    assert_int_equal(take(&b, "T1", NULL, "at,level_mm\n2026-04-09T08:00:00Z,1\n2026-04-04T08:00:00Z,3705\n"),
                     E_INPUT);
    has(b.why.text,
        "line 3: tank T1 has a reading of 2026-04-04T08:00:00Z already, with other values (record 3, level");
    assert_int_equal(records_of(&b).n, 3);
    assert_int_equal(
        take(&b, "T1", NULL,
             "at,level_mm,tank_water_c,pan_level_mm,rain_mm\n2026-04-04T08:00:00Z,3706,11.2,177,2\n"),
        E_INPUT); /* only the rain differs */
    ops_tank_readings unnamed = {"T1", "", NULL, "tank.csv", GOOD, strlen(GOOD)};
    assert_int_equal(ops_tank_import(b.job, &unnamed, &ACTOR, b.faults, &b.kept, &b.why), E_INPUT);
    has(b.why.text, "by, who read the tank");
    tear_down(&b);
    set_up(&b, UNITS_METRIC, 0);
    assert_int_equal(take(&b, "T1", NULL, GOOD), E_INPUT);
    has(b.why.text, "the job has no tank; a tank comes in with the survey");
    tear_down(&b);
}

/* Whichever allocation fails: told as that, and nothing is kept. */
static void without_memory_nothing_is_kept(void **state) {
    (void)state;
    bench b;
    set_up(&b, UNITS_METRIC, 1);
    const ops_tank_readings readings = {"T1", "N. N.", NULL, "tank.csv", GOOD, strlen(GOOD)};
    status code = E_MEMORY;
    for (long n = 0; code != OK; n += 5) {
        fault why = {0};
        fault_list *faults = fault_list_new();
        mem_fail_at(n, 1);
        code = ops_tank_import(b.job, &readings, &ACTOR, faults, &b.kept, &why);
        mem_fail_at(-1, 0);
        fault_list_free(faults);
        if (code != OK && (code != E_MEMORY || b.kept > 0)) fail_msg("%ld: %d, %s", n, (int)code, why.text);
        if (code != OK && n % 100 == 0) assert_int_equal(records_of(&b).n, 0);
    }
    assert_int_equal(b.kept, 3);
    tear_down(&b);
}

static void the_judge_without_memory(void **state) {
    (void)state;
    bench b;
    ops_job job;
    ops_proof proof;
    set_up(&b, UNITS_METRIC, 1);
    assert_int_equal(take(&b, "T1", NULL, GOOD), OK);
    const ops_plan_request request = {.planes = PLANES_OFF, .threads = 1};
    assert_int_equal(ops_look(b.job, &request, &job, &b.why), OK);
    status code = E_MEMORY;
    for (long n = 0; code != OK; n++) {
        fault why = {0};
        mem_fail_at(n, 1);
        code = ops_proof_look(b.job, &job, "2026-04-11", &proof, &why);
        mem_fail_at(-1, 0);
        if (code != OK && (code != E_MEMORY || proof.memory)) fail_msg("%ld: %d, %s", n, (int)code, why.text);
    }
    ops_proof_free(&proof);
    ops_job_free(&job);
    tear_down(&b);
}

/* ---- the proof ---- */

static void send(bench *b, int id, const char *mark, const char *what, const char *at, const char *more) {
    ops_record_results got;
    const char *json =
        arena_print(b->memory,
                    "{\"records\":[{\"id\":\"00000000-0000-4000-8000-%012d\",\"mark\":\"%s\",\"what\":\"%s\","
                    "\"at\":\"%sT12:00:00Z\","
                    "\"by\":\"N. N.\",\"device\":\"0a1b2c3d-4e5f-4a6b-8c7d-9e0f1a2b3c4d\",\"seen\":0%s}]}",
                    id, mark, what, at, more);
    assert_int_equal(ops_record(b->job, json, &ACTOR, b->memory, &got, &b->why), OK);
    if (got.items[0].state != OPS_RECORD_KEPT) fail_msg("%s", got.items[0].fault);
}

#define DRY ",\"hand\":\"dry\",\"blotter\":\"clean\",\"drips_per_min\":0"

static void repair_and_prove(bench *b) {
    send(b, 1, "E1", "finish", "2026-04-01", ",\"step\":\"last_coat\"");
    send(b, 2, "E2", "finish", "2026-04-01", ",\"step\":\"last_coat\"");
    send(b, 3, "E1", "proof", "2026-04-10", DRY ",\"water_level_m\":3");
    send(b, 4, "E2", "proof", "2026-04-10", DRY ",\"water_level_m\":1.5");
}

static void look(bench *b, const char *today, ops_job *job, ops_proof *proof) {
    const ops_plan_request request = {.planes = PLANES_OFF, .threads = 1};
    if (ops_look(b->job, &request, job, &b->why) != OK) fail_msg("%s", b->why.text);
    if (ops_proof_look(b->job, job, today, proof, &b->why) != OK) fail_msg("%s", b->why.text);
}

static void the_proof_as_json(void **state) {
    (void)state;
    bench b;
    ops_job job;
    ops_proof proof;
    text out = {0}, again = {0};
    set_up(&b, UNITS_METRIC, 1);
    repair_and_prove(&b);
    assert_int_equal(take(&b, "T1", NULL, GOOD), OK);
    look(&b, "2026-04-11", &job, &proof);
    assert_int_equal(proof.head_seq, 7);
    assert_string_not_equal(proof.head_hash, CHAIN_START);
    assert_int_equal(proof.n_records, 7);
    assert_int_equal(proof.accept.verdict, PROOF_NOT_PROVEN);
    assert_int_equal(ops_proof_json(job.plan, &proof, &out, &b.why), OK);
    json_t *j = json_loads(text_get(&out), JSON_REJECT_DUPLICATES, NULL);
    assert_non_null(j);
    has(json_string_value(json_object_get(j, "agreed")), "ZTV-ING class 2");
    assert_int_equal(json_integer_value(json_object_get(json_object_get(j, "counts"), "kept")), 1);
    assert_int_equal(json_integer_value(json_object_get(json_object_get(j, "counts"), "not_proven")), 1);
    json_t *e2 = json_array_get(json_object_get(j, "leaks"), 1);
    has(json_string_value(json_object_get(e2, "sentence")),
        "lower than at the survey, 3.00 m: it proves nothing");
    assert_true(json_is_true(json_object_get(json_array_get(json_object_get(e2, "tests"), 0), "low_water")));
    json_t *tank = json_array_get(json_object_get(j, "tanks"), 0);
    assert_string_equal(json_string_value(json_object_get(tank, "criterion")), "AWWA D110");
    assert_int_equal(json_array_size(json_object_get(tank, "readings")), 3);
    assert_string_equal(json_string_value(json_object_get(tank, "allowed")), "0.05 % a day");
    json_t *reading = json_array_get(json_object_get(tank, "readings"), 1);
    assert_string_equal(json_string_value(json_object_get(reading, "level")), "3710.5 mm");
    assert_string_equal(json_string_value(json_object_get(reading, "rain")), "0.0 mm");
    json_t *due = json_array_get(json_object_get(j, "revisits"), 0);
    assert_string_equal(json_string_value(json_object_get(due, "state")), "due");
    assert_string_equal(json_string_value(json_object_get(due, "on")), "2026-04-11");
    json_decref(j);
    assert_int_equal(ops_proof_json(job.plan, &proof, &again, &b.why), OK);
    assert_string_equal(text_get(&out), text_get(&again));
    text_free(&out);
    text_free(&again);
    ops_proof_free(&proof);
    assert_int_equal(ops_proof_look(b.job, &job, "11 April", &proof, &b.why), E_INPUT);
    assert_null(proof.memory);
    ops_job_free(&job);
    tear_down(&b);
}

/* Filled on 28 March, full from its end: 80 h before 1 April 8 h, which is long enough for AWWA D110 (24 h); filled on the 31st,
 * 8 h, which is not. Readings of another tank are not this one's. */
static void a_tank_has_its_own_readings_and_its_soak(void **state) {
    static const struct {
        const char *filled_on;
        bool said;
    } rows[] = {{"2026-03-28", false}, {"2026-03-30", false}, {"2026-03-31", true}, {NULL, true}};
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        bench b;
        ops_job job;
        ops_proof proof;
        survey_tank tanks[2] = {TANK, TANK};
        tanks[0].filled_on = rows[i].filled_on;
        tanks[1].id = "T2";
        set_up_tanks(&b, UNITS_METRIC, tanks, 2);
        assert_int_equal(take(&b, "T1", NULL, GOOD), OK);
        assert_int_equal(take(&b, "T2", NULL, "at,level_mm\n2026-04-01T08:00:00Z,3712\n"), OK);
        look(&b, "2026-04-11", &job, &proof);
        const accept_tank *t = proof.accept.tanks;
        assert_true(t[0].judged && t[0].n_readings == 3 && !t[1].judged && t[1].n_readings == 1);
        has(t[1].problem, "one reading; a test needs two");
        bool said = false;
        for (size_t k = 0; k < t[0].result.n_findings; k++)
            said = said || strstr(t[0].result.findings[k], "stands full");
        if (said != rows[i].said) fail_msg("%s", rows[i].filled_on ? rows[i].filled_on : "not told");
        ops_proof_free(&proof);
        ops_job_free(&job);
        tear_down(&b);
    }
}

/* The worst part is the verdict of the job. */
static void verdict_of_the_job(void **state) {
    (void)state;
    bench b;
    ops_job job;
    ops_proof proof;
    set_up(&b, UNITS_METRIC, 0);
    look(&b, "2026-04-11", &job, &proof);
    assert_int_equal(proof.accept.verdict, PROOF_OPEN);
    assert_int_equal(proof.head_seq, 0);
    ops_proof_free(&proof);
    ops_job_free(&job);
    repair_and_prove(&b);
    look(&b, "2026-04-11", &job, &proof);
    assert_int_equal(proof.accept.n_flows, 1); /* of E2 the flow after is not known */
    assert_true(proof.accept.saved_m3_s.v == proof.accept.leaks[0].before_m3_s.v);
    ops_proof_free(&proof);
    ops_job_free(&job);
    send(&b, 5, "E2", "proof", "2026-04-12", DRY ",\"water_level_m\":3.1");
    look(&b, "2026-04-12", &job, &proof);
    assert_int_equal(proof.accept.verdict, PROOF_KEPT);
    has(proof.accept.sentence, "Proved: every treated metre keeps ZTV-ING class 2");
    assert_true(proof.accept.saved_m3_s.known && proof.accept.n_flows == 2);
    assert_true(proof.accept.saved_m3_s.v == proof.accept.before_m3_s.v);
    has(accept_show_saved(job.plan, proof.accept.saved_m3_s), "m³ a year");
    ops_proof_free(&proof);
    ops_job_free(&job);
    send(&b, 6, "E2", "proof", "2026-04-13", ",\"drips_per_min\":2");
    look(&b, "2026-04-13", &job, &proof);
    assert_int_equal(proof.accept.verdict, PROOF_BROKEN);
    assert_string_equal(proof.accept.sentence, "Not tight: 1 leak does not keep what is asked.");
    ops_proof_free(&proof);
    ops_job_free(&job);
    tear_down(&b);
}

/* 1 m3 a year is 3.17e-8 m3/s: 365 days of 86400 s. 3 l/min are 1576.8 m3 a year; in gallons of 3.785411784 l: 416546. */
static void saved_a_year(void **state) {
    (void)state;
    survey *s = fixture_wall(0.3, 3, CRACK("E1", "2"));
    plan *p = fixture_plan(s);
    assert_string_equal(accept_show_saved(p, (maybe){true, 5e-5}), "3.00 l/min, 1577 m³ a year");
    assert_string_equal(accept_show_saved(p, (maybe){true, -5e-5}), "-3.00 l/min: more than before");
    assert_string_equal(accept_show_amount(p, ALLOWED_L_M2, 0.15), "0.15 l/m2");
    s->site.system = UNITS_US;
    has(accept_show_saved(p, (maybe){true, 5e-5}), ", 416546 gal a year");
    assert_string_equal(accept_show_amount(p, ALLOWED_MM, 10), "0.394 in");
    /* 0.15 l/m2: 0.15/3.785411784 gal on 10.7639 ft2 */
    assert_string_equal(accept_show_amount(p, ALLOWED_L_M2, 0.15), "0.00368 gal/ft2");
    plan_free(p);
    survey_free(s);
}

/* ---- the calendar ---- */

static size_t count(const text *all, const char *words) {
    size_t n = 0;
    for (const char *at = text_get(all); (at = strstr(at, words)); at++) n++;
    return n;
}

static void the_looks_as_a_calendar(void **state) {
    (void)state;
    bench b;
    ops_job job;
    ops_proof proof;
    text first = {0}, second = {0};
    char uid[2][64];
    set_up(&b, UNITS_METRIC, 0);
    look(&b, "2026-04-11", &job, &proof);
    assert_int_equal(ops_revisits_ical(job.plan, &proof, "pit", &first, &b.why),
                     E_STATE); /* no event, no calendar */
    has(b.why.text, "no look is due on a day that is known");
    assert_int_equal(first.length, 0);
    ops_proof_free(&proof);
    ops_job_free(&job);
    repair_and_prove(&b);
    send(&b, 5, "E2", "proof", "2026-04-10", DRY ",\"water_level_m\":3.1");
    look(&b, "2026-04-10", &job, &proof);
    assert_int_equal(ops_revisits_ical(job.plan, &proof, "pit", &first, &b.why), OK);
    assert_int_equal(count(&first, "BEGIN:VEVENT"), 3); /* one a day with its leaks; high water has no date */
    has(text_get(&first), "SUMMARY:Look again\\, 24 h: E1\\, E2\r\n");
    has(text_get(&first), "DTSTART;VALUE=DATE:20260411\r\n");
    has(text_get(&first), "DTSTART;VALUE=DATE:20260417\r\n");
    has(text_get(&first), "DTSTART;VALUE=DATE:20260508\r\n");
    assert_int_equal(count(&first, "DTSTAMP:20260410T000000Z\r\n"), 3);
    assert_true(strncmp(text_get(&first), "BEGIN:VCALENDAR\r\n", 17) == 0);
    ops_proof_free(&proof);
    ops_job_free(&job);
    send(&b, 6, "E1", "proof", "2026-04-11",
         DRY ",\"water_level_m\":3.1"); /* done: E2 is left, in the same event */
    look(&b, "2026-04-12", &job, &proof);
    assert_int_equal(ops_revisits_ical(job.plan, &proof, "pit", &second, &b.why), OK);
    has(text_get(&second), "SUMMARY:Look again\\, 24 h: E2\r\n");
    for (int i = 0; i < 2; i++)
        assert_int_equal(sscanf(strstr(text_get(i ? &second : &first), "UID:"), "UID:%63s", uid[i]), 1);
    assert_string_equal(uid[0], uid[1]);
    ops_proof_free(&proof);
    job.survey->site.high_water_on = "2026-04-17"; /* on the day of the 7 d: another event */
    assert_int_equal(ops_proof_look(b.job, &job, "2026-04-12", &proof, &b.why), OK);
    text_free(&second);
    assert_int_equal(ops_revisits_ical(job.plan, &proof, "pit", &second, &b.why), OK);
    assert_int_equal(count(&second, "DTSTART;VALUE=DATE:20260417\r\n"), 2);
    const char *at = strstr(text_get(&second), "28 days");
    while (at > text_get(&second) && strncmp(at, "UID:", 4) != 0) at--;
    const char *high = strstr(text_get(&second), "Look again\\, high water");
    assert_non_null(high);
    while (high > text_get(&second) && strncmp(high, "UID:", 4) != 0) high--;
    const char *week = strstr(text_get(&second), "Look again\\, 7 days");
    assert_non_null(week);
    while (week > text_get(&second) && strncmp(week, "UID:", 4) != 0) week--;
    assert_true(strncmp(week, high, 36) != 0 && strncmp(week, at, 36) != 0);
    text_free(&first);
    text_free(&second);
    ops_proof_free(&proof);
    ops_job_free(&job);
    tear_down(&b);
}

int main(void) {
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_same_file_twice_adds_nothing),
        cmocka_unit_test(in_us_units),
        cmocka_unit_test(a_file_far_too_long_is_refused_at_once),
        cmocka_unit_test(bad_files_are_told_and_keep_nothing),
        cmocka_unit_test(without_memory_nothing_is_kept),
        cmocka_unit_test(the_judge_without_memory),
        cmocka_unit_test(the_proof_as_json),
        cmocka_unit_test(a_tank_has_its_own_readings_and_its_soak),
        cmocka_unit_test(verdict_of_the_job),
        cmocka_unit_test(saved_a_year),
        cmocka_unit_test(the_looks_as_a_calendar),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
