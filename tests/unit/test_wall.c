/* The verbs at the wall on a job file: each record once, each its own result, and nothing else of the job changed. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "fixture.h"

#include "ops/wall.h"
#include "store/log.h"
#include "survey/write_json.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const ops_actor ACTOR = {.by = "N. N.", .at = "2026-03-01T12:00:00Z", .through = "page"};

#define CRACK(mark, v)                                                                                       \
    "{\"mark\": \"" mark "\", \"kind\": \"crack\", \"parts\": [{\"face\": \"N\", \"points\": [[2," v         \
    "],[4," v                                                                                                \
    "]]}], \"stations\": [{\"chainage_m\": 0, \"width_mm\": 0.3, \"wetness\": \"run\", \"bar\": \"none\"},"  \
    "{\"chainage_m\": 2, \"width_mm\": 0.2, \"wetness\": \"seep\", \"bar\": \"crossing\", \"cover_mm\": "    \
    "60}]}"

typedef struct {
    char folder[64], job[96];
    arena *memory;
    ops_record_results got;
    fault why;
} bench;

static void set_up(bench *b, units_system system) {
    fault why = {0};
    *b = (bench){.memory = arena_new()};
    strcpy(b->folder, "/tmp/stanch-wall-XXXXXX");
    assert_non_null(mkdtemp(b->folder));
    snprintf(b->job, sizeof b->job, "%s/pit.stanch", b->folder);
    survey *s = fixture_wall(0.3, 3, CRACK("E1", "1") "," CRACK("E2", "2") "," CRACK("E3", "3"));
    s->site.system = system;
    assert_int_equal(store_create(b->job, s, &why), OK);
    survey_free(s);
}

static void tear_down(bench *b) {
    char path[120];
    static const char *const ends[] = {"", "-wal", "-shm"};
    for (int i = 0; i < 3; i++) {
        snprintf(path, sizeof path, "%s%s", b->job, ends[i]);
        unlink(path);
    }
    assert_int_equal(rmdir(b->folder), 0);
    arena_free(b->memory);
}

/* A record; `more` are further members, beginning with a comma. */
static const char *one(bench *b, int id, const char *mark, const char *what, const char *more) {
    return arena_print(
        b->memory,
        "{\"id\":\"00000000-0000-4000-8000-%012d\",\"mark\":\"%s\",\"what\":\"%s\",\"at\":"
        "\"2026-03-01T09:30:00Z\",\"device\":\"0a1b2c3d-4e5f-4a6b-8c7d-9e0f1a2b3c4%c\",\"seen\":0%s}",
        id, mark, what, 'a' + id % 2, more);
}

static status send(bench *b, const char *list) {
    return ops_record(b->job, arena_print(b->memory, "{\"records\":[%s]}", list), &ACTOR, b->memory, &b->got,
                      &b->why);
}

static void expect(const bench *b, size_t at, ops_record_state state, long long seq, const char *sentence) {
    const ops_record_result *r = &b->got.items[at];
    assert_true(at < b->got.n);
    if (r->state != state || r->seq != seq || (sentence && (!r->fault || strcmp(r->fault, sentence) != 0)))
        fail_msg("%zu: state %s, seq %lld: %s", at, ops_record_state_words[r->state], r->seq,
                 r->fault ? r->fault : "");
    assert_int_equal(r->fault != NULL, state == OPS_RECORD_REFUSED);
}

static long long revision(const bench *b) {
    store *st = NULL;
    fault why = {0};
    long long out = -1;
    assert_int_equal(store_open(b->job, true, &st, &why), OK);
    assert_int_equal(store_revision(st, &out, &why), OK);
    store_close(st);
    return out;
}

static void survey_text_of(const bench *b, text *out) {
    store *st = NULL;
    survey *s = NULL;
    fault why = {0};
    assert_int_equal(store_open(b->job, true, &st, &why), OK);
    assert_int_equal(store_load(st, &s, &why), OK);
    survey_write_json(s, out);
    survey_free(s);
    store_close(st);
}

static void each_record_is_kept_once(void **state) {
    (void)state;
    bench b;
    text before = {0}, after = {0};
    set_up(&b, UNITS_METRIC);
    long long was = revision(&b);
    survey_text_of(&b, &before);
    const char *a = one(&b, 1, "E1", "start", ""), *c = one(&b, 2, "site", "note", ",\"text\":\"rain\"");
    assert_int_equal(send(&b, arena_print(b.memory, "%s,%s,%s", a, c, a)), OK);
    expect(&b, 0, OPS_RECORD_KEPT, 1, NULL);
    expect(&b, 1, OPS_RECORD_KEPT, 2, NULL);
    expect(&b, 2, OPS_RECORD_ALREADY, 1, NULL);
    assert_string_equal(b.got.items[2].id, "00000000-0000-4000-8000-000000000001");
    assert_int_equal(b.got.last, 2);
    assert_int_equal(send(&b, a), OK); /* the answer was lost and the phone sends it again */
    expect(&b, 0, OPS_RECORD_ALREADY, 1, NULL);
    assert_int_equal(b.got.last, 2);
    assert_int_equal(send(&b, one(&b, 1, "E1", "finish", "")), OK);
    expect(&b, 0, OPS_RECORD_REFUSED, 0,
           "record 00000000-0000-4000-8000-000000000001: another record with this id is there already; a "
           "correction is a "
           "new record");
    assert_int_equal(b.got.last, 2);
    assert_int_equal(send(&b, ""), OK);
    assert_int_equal(b.got.n, 0);
    assert_int_equal(b.got.last, 2);
    survey_text_of(&b, &after);
    assert_string_equal(text_get(&before), text_get(&after));
    assert_true(revision(&b) == was);
    text_free(&before);
    text_free(&after);
    tear_down(&b);
}

static void a_bad_record_holds_up_nobody(void **state) {
    (void)state;
    bench b;
    set_up(&b, UNITS_METRIC);
    const char *list[] = {
        one(&b, 1, "E1", "hold", ""),
        one(&b, 2, "E4", "start", ""),
        "7",
        "{}",
        one(&b, 3, "E1", "start", ""),
        one(&b, 4, "E1", "correction", ",\"about\":\"00000000-0000-4000-8000-000000000003\""),
        one(&b, 5, "E2", "correction", ",\"about\":\"00000000-0000-4000-8000-000000000003\""),
        one(&b, 6, "E2", "correction", ",\"about\":\"00000000-0000-4000-8000-000000000099\""),
        one(&b, 7, "Q", "start", ",\"depth_mm\":40"),
        one(&b, 8, "E1", "start", ""),
        one(&b, 9, "E1", "correction", ",\"about\":\"00000000-0000-4000-8000-000000000008\"")};
    const char *all = list[0];
    for (size_t i = 1; i < sizeof list / sizeof *list; i++)
        all = arena_print(b.memory, "%s,%s", all, list[i]);
    assert_int_equal(send(&b, all), OK);
    expect(&b, 0, OPS_RECORD_REFUSED, 0, NULL);
    assert_string_equal(b.got.items[0].fault, "by: is missing; a hold point is ticked by a named person; "
                                              "step: is missing; a hold point belongs to a step");
    expect(&b, 1, OPS_RECORD_REFUSED, 0, "mark: no leak is marked E4; the nearest mark is E1");
    expect(&b, 2, OPS_RECORD_REFUSED, 0, "7 where an object { } belongs");
    assert_null(b.got.items[2].id);
    expect(&b, 3, OPS_RECORD_REFUSED, 0, NULL);
    expect(&b, 4, OPS_RECORD_KEPT, 1, NULL);
    expect(&b, 5, OPS_RECORD_KEPT, 2, NULL);
    expect(&b, 6, OPS_RECORD_REFUSED, 0,
           "about: record 00000000-0000-4000-8000-000000000003 is of E1, not of E2");
    expect(&b, 7, OPS_RECORD_REFUSED, 0,
           "about: no record of the job is 00000000-0000-4000-8000-000000000099");
    expect(&b, 8, OPS_RECORD_REFUSED, 0, NULL);
    expect(&b, 9, OPS_RECORD_KEPT, 3, NULL);
    expect(&b, 10, OPS_RECORD_KEPT, 4, NULL);
    assert_int_equal(b.got.last, 4);
    tear_down(&b);
}

static void a_request_that_is_none_is_refused(void **state) {
    (void)state;
    static const struct {
        const char *json, *sentence;
    } bad[] = {{"", "line 1, column 0: not valid JSON: '[' or '{' expected near end of file"},
               {"[]", "a list where an object { } belongs"},
               {"{}", "records: is missing"},
               {"{\"records\":7}", "records: 7 where a list [ ] belongs"},
               {"{\"records\":[],\"recods\":1}", "recods: unknown field; did you mean records?"}};
    bench b;
    set_up(&b, UNITS_METRIC);
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        assert_int_equal(ops_record(b.job, bad[i].json, &ACTOR, b.memory, &b.got, &b.why), E_INPUT);
        if (i > 0) assert_string_equal(b.why.text, bad[i].sentence);
    }
    text many = {0};
    for (int i = 0; i <= OPS_RECORDS_MOST; i++) text_add(&many, i ? ",1" : "1");
    assert_int_equal(send(&b, text_get(&many)), E_INPUT);
    assert_string_equal(b.why.text, "records: has 1001 records; it must have at most 1000");
    text_free(&many);
    const ops_actor lost = {.by = "N. N.", .at = "1980-01-01T00:00:00Z", .through = "command"};
    assert_int_equal(ops_record(b.job, "{\"records\":[]}", &lost, b.memory, &b.got, &b.why), E_INPUT);
    assert_string_equal(b.why.text, "the clock says 1980-01-01T00:00:00Z; set it first");
    assert_int_equal(ops_record("/tmp/no-such-job", "{\"records\":[]}", &ACTOR, b.memory, &b.got, &b.why),
                     E_IO);
    tear_down(&b);
}

static void records_are_given_with_conflicts(void **state) {
    (void)state;
    bench b;
    text out = {0};
    set_up(&b, UNITS_US);
    assert_int_equal(send(&b, arena_print(b.memory, "%s,%s,%s",
                                          one(&b, 1, "E1", "found", ",\"depth_in\":1.5,\"by\":\"N. N.\""),
                                          one(&b, 2, "E1", "found", ",\"depth_in\":2"),
                                          one(&b, 4, "E2", "found", ",\"depth_in\":2"))),
                     OK);
    assert_int_equal(b.got.last, 3);
    assert_int_equal(ops_records_json(b.job, 1, &out, &b.why), OK);
    assert_string_equal(
        text_get(&out),
        "{\"records\": [{\"id\": \"00000000-0000-4000-8000-000000000002\", \"mark\": \"E1\", \"what\": "
        "\"found\", "
        "\"at\": \"2026-03-01T09:30:00Z\", \"device\": \"0a1b2c3d-4e5f-4a6b-8c7d-9e0f1a2b3c4a\", \"seen\": "
        "0, "
        "\"depth_in\": 2, \"seq\": 2}, {\"id\": \"00000000-0000-4000-8000-000000000004\", \"mark\": \"E2\", "
        "\"what\": "
        "\"found\", \"at\": \"2026-03-01T09:30:00Z\", \"device\": \"0a1b2c3d-4e5f-4a6b-8c7d-9e0f1a2b3c4a\", "
        "\"seen\": 0, "
        "\"depth_in\": 2, \"seq\": 3}], \"last\": 3, \"conflicts\": [{\"mark\": \"E1\", \"a\": "
        "\"00000000-0000-4000-8000-000000000001\", \"b\": \"00000000-0000-4000-8000-000000000002\", "
        "\"sentence\": \"E1: "
        "N. N. and somebody both recorded found depth, at 2026-03-01 09:30 and 2026-03-01 09:30 UTC; neither "
        "had seen "
        "the other's record\"}]}");
    text_free(&out);
    assert_int_equal(send(&b, one(&b, 5, "E1", "settled",
                                  ",\"about\":\"00000000-0000-4000-8000-000000000002\",\"other\":"
                                  "\"00000000-0000-4000-8000-000000000001\"")),
                     OK);
    assert_int_equal(ops_records_json(b.job, 900, &out, &b.why),
                     OK); /* a phone that knows more than the job does */
    assert_string_equal(text_get(&out), "{\"records\": [], \"last\": 4, \"conflicts\": []}");
    text_free(&out);
    tear_down(&b);
}

static const char *thousand(bench *b, int from) {
    text list = {0};
    static const char *const whats[] = {"start", "finish", "note", "found"};
    for (int i = 0; i < 1000; i++)
        text_print(&list, "%s%s", i ? "," : "",
                   one(b, from + i, i % 3 ? "E1" : "E2", whats[i / 2 % 4],
                       ",\"step\":\"cut\",\"by\":\"N. N.\",\"depth_mm\":40,\"text\":\"as drawn\""));
    const char *all = arena_copy(b->memory, text_get(&list));
    text_free(&list);
    return all;
}

static void a_thousand_at_once(void **state) {
    (void)state;
    bench b;
    text out = {0};
    set_up(&b, UNITS_METRIC);
    const char *list = thousand(&b, 1);
    for (int again = 0; again < 2; again++) {
        assert_int_equal(send(&b, list), OK);
        assert_int_equal(b.got.n, 1000);
        assert_int_equal(b.got.last, 1000);
        for (size_t i = 0; i < 1000; i++)
            expect(&b, i, again ? OPS_RECORD_ALREADY : OPS_RECORD_KEPT, (long long)i + 1, NULL);
    }
    assert_int_equal(ops_records_json(b.job, 0, &out, &b.why), OK);
    assert_non_null(strstr(text_get(&out), "\"last\": 1000, \"conflicts\": [{"));
    text_free(&out);
    tear_down(&b);
}

static void no_memory_keeps_nothing_by_halves(void **state) {
    (void)state;
    bench b;
    set_up(&b, UNITS_METRIC);
    bool ended = false;
    for (long n = 0; !ended; n += 1 + n / 40) {
        const char *list = arena_print(
            b.memory, "%s,%s,%s", one(&b, (int)n * 2 + 1, "E1", "start", ""),
            one(&b, (int)n * 2 + 2, "E9", "start", ""),
            one(&b, 1, "E1", "correction", ",\"about\":\"00000000-0000-4000-8000-000000000001\""));
        ops_records all;
        ops_record_results got;
        fault why = {0};
        text out = {0};
        const char *json = arena_print(b.memory, "{\"records\":[%s]}", list);
        assert_int_equal(ops_records_load(b.job, b.memory, &all, &why), OK);
        size_t was = all.n;
        arena *memory = arena_new();
        mem_fail_at(n, n % 2 != 0);
        status code = ops_record(b.job, json, &ACTOR, memory, &got, &why),
               read = code == OK ? ops_records_json(b.job, 0, &out, &why) : OK;
        mem_fail_at(-1, 0);
        assert_int_equal(ops_records_load(b.job, b.memory, &all, &b.why), OK);
        if (code == OK) {
            assert_int_equal(got.n, 3);
            assert_int_equal(got.items[0].state, OPS_RECORD_KEPT);
            assert_int_equal(all.n, was + 1);
        } else {
            assert_true(code == E_MEMORY && got.n == 0 && *why.text);
            assert_int_equal(all.n, was);
        }
        assert_true(read == OK || read == E_MEMORY);
        ended = code == OK && read == OK;
        text_free(&out);
        arena_free(memory);
        assert_true(n < 1000000);
    }
    tear_down(&b);
}

/* ---- the day ---- */

#define GROWING                                                                                              \
    "{\"mark\": \"E4\", \"kind\": \"crack\", \"signs\": [\"growing\"], \"parts\": [{\"face\": \"N\", "       \
    "\"points\": "                                                                                           \
    "[[6,1],[8,1]]}], \"stations\": [{\"chainage_m\": 0, \"wetness\": \"damp\"}]}"
#define MOVING                                                                                               \
    "{\"mark\": \"E5\", \"kind\": \"crack\", \"signs\": [\"moving\"], \"parts\": [{\"face\": \"N\", "        \
    "\"points\": [[6,3],[8,3]]}], \"stations\": [{\"chainage_m\": 0, \"width_mm\": 0.2, \"wetness\": "       \
    "\"damp\"}]}"

typedef struct {
    bench b;
    survey *s;
    plan *p;
    json_t *day;
} day_bench;

static void set_up_day(day_bench *d, units_system system) {
    fault why = {0};
    *d = (day_bench){.b = {.memory = arena_new()}};
    strcpy(d->b.folder, "/tmp/stanch-wall-XXXXXX");
    assert_non_null(mkdtemp(d->b.folder));
    snprintf(d->b.job, sizeof d->b.job, "%s/pit.stanch", d->b.folder);
    d->s = fixture_wall(0.3, 3.5,
                        CRACK("E1", "1") "," CRACK("E2", "2") "," CRACK("E3", "3") "," GROWING "," MOVING);
    d->s->site.system = system;
    assert_int_equal(store_create(d->b.job, d->s, &why), OK);
    d->p = fixture_plan(d->s);
}

static void tear_down_day(day_bench *d) {
    json_decref(d->day);
    plan_free(d->p);
    survey_free(d->s);
    tear_down(&d->b);
}

static void read_day(day_bench *d) {
    ops_day day = {.date = "2026-03-01", .job = "pit", .address = "http://127.0.0.1:8466", .made = ACTOR.at};
    text out = {0};
    if (ops_day_load(d->b.job, d->b.memory, &day, &d->b.why) != OK) fail_msg("%s", d->b.why.text);
    if (ops_day_json(d->p, &day, &out, &d->b.why) != OK) fail_msg("%s", d->b.why.text);
    json_decref(d->day);
    d->day = json_loads(text_get(&out), JSON_REJECT_DUPLICATES, NULL);
    assert_non_null(d->day);
    text_free(&out);
}

static json_t *leak_at(const day_bench *d, size_t i) {
    return json_array_get(json_object_get(d->day, "leaks"), i);
}

static const char *word(json_t *object, const char *name) {
    return json_string_value(json_object_get(object, name));
}

static void expect_leaks(const day_bench *d, const char *marks) {
    text got = {0};
    for (size_t i = 0; i < json_array_size(json_object_get(d->day, "leaks")); i++)
        text_print(&got, "%s%s", i ? " " : "", word(leak_at(d, i), "mark"));
    assert_string_equal(text_get(&got), marks);
    text_free(&got);
}

static void a_day_has_what_is_not_done(void **state) {
    (void)state;
    day_bench d;
    set_up_day(&d, UNITS_METRIC);
    bench *b = &d.b;
    read_day(&d);
    expect_leaks(&d, "E1 E2 E3 E4"); /* a STOP is shown, what has no design is not */
    assert_int_equal(
        send(b, arena_print(b->memory, "%s,%s,%s,%s", one(b, 1, "E1", "finish", ",\"step\":\"plug\""),
                            one(b, 2, "E2", "finish", ",\"step\":\"prove\""),
                            one(b, 3, "E3", "hold", ",\"step\":\"prove\",\"by\":\"N. N.\""),
                            one(b, 4, "site", "finish", ""))),
        OK);
    read_day(&d);
    expect_leaks(&d, "E1 E4");
    assert_int_equal(
        send(b, one(b, 5, "E2", "correction", ",\"about\":\"00000000-0000-4000-8000-000000000002\"")), OK);
    assert_int_equal(send(b, one(b, 6, "E1", "finish", "")), OK);
    read_day(&d);
    expect_leaks(&d, "E2 E4");
    tear_down_day(&d);
}

static void a_list_of_the_day_goes_first(void **state) {
    (void)state;
    day_bench d;
    long long revision_now = -1;
    set_up_day(&d, UNITS_METRIC);
    bench *b = &d.b;
    long long was = revision(b);
    const ops_day_list list = {"2026-03-01", (const char *const[]){"E3", "E5", "E1"}, 3};
    assert_int_equal(ops_day_set(b->job, &list, &ACTOR, &revision_now, &b->why), OK);
    assert_true(revision_now == was + 1 && revision(b) == revision_now);
    assert_int_equal(send(b, one(b, 2, "E3", "finish", ",\"step\":\"prove\"")), OK);
    read_day(&d);
    expect_leaks(&d, "E3 E5 E1");
    assert_int_equal(json_integer_value(json_object_get(d.day, "revision")), revision_now);

    const struct {
        ops_day_list list;
        const char *sentence;
    } bad[] = {
        {{"2026-02-30", NULL, 0}, "the date is \"2026-02-30\"; it must be a day as YYYY-MM-DD, from 2000 on"},
        {{NULL, NULL, 0}, "the date is \"\"; it must be a day as YYYY-MM-DD, from 2000 on"},
        {{"2026-03-01", (const char *const[]){"E3", "Q"}, 2}, "marks[1]: no leak is marked Q"},
        {{"2026-03-01", (const char *const[]){"E3", "E3"}, 2}, "marks[1]: E3 stands twice"},
    };
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        assert_int_equal(ops_day_set(b->job, &bad[i].list, &ACTOR, &revision_now, &b->why), E_INPUT);
        assert_string_equal(b->why.text, bad[i].sentence);
    }
    read_day(&d);
    expect_leaks(&d, "E3 E5 E1");
    assert_int_equal(
        ops_day_set(b->job, &(ops_day_list){"2026-03-01", NULL, 0}, &ACTOR, &revision_now, &b->why), OK);
    read_day(&d);
    expect_leaks(&d, "E1 E2 E4");
    tear_down_day(&d);
}

static double number(json_t *object, const char *name) {
    json_t *value = json_object_get(object, name);
    if (!json_is_number(value)) fail_msg("no number %s", name);
    return json_number_value(value);
}

static json_t *time_at(const day_bench *d, const char *material, const char *unit, double temperature) {
    size_t i;
    json_t *row;
    json_array_foreach(json_object_get(d->day, "times"), i,
                       row) if (strcmp(word(row, "material_id"), material) == 0 &&
                                number(row, unit) == temperature) return row;
    fail_msg("no time of %s at %g", material, temperature);
    return NULL;
}

static void a_leak_of_the_day_is_whole(void **state) {
    (void)state;
    day_bench d;
    set_up_day(&d, UNITS_METRIC);
    read_day(&d);
    json_t *leak = leak_at(&d, 0), *card = json_object_get(leak, "card"),
           *steps = json_object_get(card, "steps");
    assert_string_equal(word(leak, "kind"), "crack");
    assert_string_equal(word(leak, "face_name"), "N");
    assert_string_equal(word(leak, "place"), "face N, at 2.00 m along, 1.00 m up");
    assert_string_equal(word(leak, "seen"), "run");
    assert_string_equal(word(leak, "method"), "slot and plug");
    assert_true(json_is_null(json_object_get(leak, "stop")));
    assert_int_equal(json_array_size(steps), d.p->cards[0].n_steps);
    for (size_t i = 0; i < json_array_size(steps); i++) {
        const plan_step *s = &d.p->cards[0].steps[i];
        json_t *got = json_array_get(steps, i);
        assert_string_equal(word(got, "code"), s->code);
        assert_string_equal(word(got, "body"), s->body);
        assert_int_equal(json_is_true(json_object_get(got, "hold")), s->hold);
        if (s->timer) assert_true(number(got, "timer_s") == s->timer_s);
    }
    const design_slot *slot = &d.p->designs[0].slots[0];
    for (size_t i = 1; i < d.p->designs[0].n_slots; i++)
        if (d.p->designs[0].slots[i].depth_m > slot->depth_m) slot = &d.p->designs[0].slots[i];
    assert_true(number(leak, "slot_length_m") == d.p->takeoff.leaks[0].slot_length_m);
    assert_true(number(leak, "slot_width_mm") / 1000 == d.p->designs[0].slot_width_m);
    assert_true(number(leak, "depth_mm") / 1000 == slot->depth_m);
    assert_true(number(leak, "plug_mm") / 1000 == slot->plug_m);
    json_t *station = json_array_get(json_object_get(leak, "stations"), 1);
    assert_string_equal(word(station, "at"), "2.00 m");
    assert_string_equal(word(station, "cover"), "60 mm");
    assert_string_equal(word(station, "bar"), "bar crossing");

    json_t *stopped = leak_at(&d, 3);
    assert_non_null(strstr(word(stopped, "stop"), "grow"));
    assert_int_equal(json_array_size(json_object_get(json_object_get(stopped, "card"), "steps")), 0);
    assert_int_equal(json_array_size(json_object_get(stopped, "mixes")), 0);
    assert_true(number(d.day, "mix_waste") == 0.1);
    assert_string_equal(word(d.day, "units"), "metric");
    assert_string_equal(word(d.day, "made"), ACTOR.at);
    assert_true(json_array_size(json_object_get(d.day, "cautions")) > 0);
    tear_down_day(&d);
}

/* The mix is at 20 C and the plug sets at 10 C, our defaults: the day's table says there what the card says. */
static void times_are_those_of_the_card(void **state) {
    (void)state;
    for (int us = 0; us < 2; us++) {
        day_bench d;
        const char *unit = us ? "temperature_f" : "temperature_c";
        int mixes = 0;
        set_up_day(&d, us ? UNITS_US : UNITS_METRIC);
        read_day(&d);
        for (int step = 0; step < MIX_COUNT; step++) {
            const takeoff_mix *m = &d.p->takeoff.leaks[0].mixes[step];
            if (!m->material) continue;
            json_t *warm = time_at(&d, m->material->id, unit, us ? 68 : 20);
            json_t *cold = time_at(&d, m->material->id, unit, us ? 50 : 10);
            mixes++;
            if (step == MIX_PLUG) {
                assert_true(number(cold, "set_s") == m->set_s && m->set_s > 0);
                assert_true(fmin(number(warm, "pot_s"), number(cold, "set_s")) == m->usable_s);
            } else
                assert_true(number(warm, "pot_s") == m->usable_s);
            assert_true(number(warm, "pot_s") < number(cold, "pot_s"));
            time_at(&d, m->material->id, unit, us ? 32 : 0);
            time_at(&d, m->material->id, unit, us ? 104 : 40);
        }
        assert_int_equal(mixes, 4);
        json_t *mix = json_array_get(json_object_get(leak_at(&d, 0), "mixes"), 0);
        const takeoff_mix *plug = &d.p->takeoff.leaks[0].mixes[MIX_PLUG];
        assert_string_equal(word(mix, "step"), "plug");
        assert_true(number(json_object_get(mix, "recipe"), "parts_powder") == plug->material->parts_powder.v);
        assert_true(units_to_si(UNITS_VOLUME, d.s->site.system,
                                number(mix, us ? "volume_gal" : "volume_l")) == plug->volume_m3);
        tear_down_day(&d);
    }
}

static void a_day_without_memory_says_so(void **state) {
    (void)state;
    day_bench d;
    set_up_day(&d, UNITS_METRIC);
    bool ended = false;
    for (long n = 0; !ended; n += 1 + n / 30) {
        ops_day day = {.date = "2026-03-01", .job = "pit", .address = "", .made = ACTOR.at};
        arena *memory = arena_new();
        text out = {0};
        fault why = {0};
        mem_fail_at(n, n % 2 != 0);
        status code = ops_day_load(d.b.job, memory, &day, &why);
        if (code == OK) code = ops_day_json(d.p, &day, &out, &why);
        mem_fail_at(-1, 0);
        assert_true(code == OK || (code == E_MEMORY && *why.text));
        ended = code == OK;
        text_free(&out);
        arena_free(memory);
        assert_true(n < 1000000);
    }
    tear_down_day(&d);
}

/* The two lists of codes are one. */
static void steps_are_those_of_the_plan(void **state) {
    (void)state;
    assert_int_equal(plan_n_step_codes, RECORD_STEPS);
    for (size_t i = 0; i < RECORD_STEPS; i++) assert_string_equal(plan_step_codes[i], record_step_words[i]);
}

#define ABOUT ",\"about\":\"00000000-0000-4000-8000-00000000000"

/* A reading is of a tank that the job has, a powder one of its materials; what a test proves lies on its leak, which is 2 m long
 * here, and millimetres are no metres of water. */
static void what_a_record_names_is_of_the_job(void **state) {
    (void)state;
    static const struct {
        const char *mark, *what, *more, *fault;
    } cases[] = {
        {"site", "level", ",\"tank\":\"T1\",\"level_mm\":3", NULL},
        {"site", "level", ",\"tank\":\"T2\",\"level_mm\":3",
         "tank: the job has no tank T2; the nearest is T1"},
        {"E1", "proof", ",\"hand\":\"dry\"", NULL},
        {"E1", "proof", ",\"hand\":\"dry\",\"from_m\":0.5,\"to_m\":2.01", NULL},
        {"E1", "proof", ",\"hand\":\"dry\",\"from_m\":0.5,\"to_m\":2.02",
         "to: is 2.020 m; E1 is 2.000 m long"},
        {"E9", "proof", ",\"hand\":\"dry\",\"from_m\":0.5,\"to_m\":2.02",
         "mark: no leak is marked E9; the nearest mark is E1"},
        {"site", "proof", ",\"hand\":\"dry\",\"from_m\":0,\"to_m\":1",
         "from: and to are a stretch of a leak; the site has none"},
        {"E1", "deviation", ",\"text\":\"a bar lay there\"", NULL},
        {"E1", "used", ",\"material\":\"plug-generic\",\"powder_kg\":1", NULL},
        {"E1", "used", ",\"material\":\"plug-genric\",\"powder_kg\":1",
         "material: the job has no material plug-genric; the nearest is plug-generic"},
        {"E1", "used", ",\"material\":\"mortar of ours\",\"powder_kg\":1",
         "material: the job has no material mortar of ours; it has plug-generic, slurry-generic, "
         "pack-generic, resin-cement, "
         "resin-epoxy, resin-generic, resin-acrylate, sealant-generic"},
        {"E1", "proof", ",\"hand\":\"dry\",\"water_level_m\":103", NULL}, /* 3 m at the survey, and 100 m */
        {"E1", "proof", ",\"hand\":\"dry\",\"water_level_m\":103.5",
         "water_level: is 104 m; at this job it must lie below 103 m"},
        {"E1", "proof", ",\"hand\":\"dry\",\"water_level_m\":-20", NULL},
        {"E1", "correction", ABOUT "2\",\"from_m\":0.5,\"to_m\":2.01", NULL}, /* about a proof above */
        {"E1", "correction", ABOUT "2\",\"from_m\":0.5,\"to_m\":2.02", "to: is 2.020 m; E1 is 2.000 m long"},
        {"site", "correction", ABOUT "0\",\"tank\":\"T2\"",
         "tank: the job has no tank T2; the nearest is T1"},
    };
    bench b;
    store *st = NULL;
    survey *s = NULL;
    survey_tank tank = {
        .id = "T1", .capacity_m3 = 200, .plan_area_m2 = 50, .depth_m = 4, .criterion = CRITERION_BS8007};
    set_up(&b, UNITS_METRIC);
    assert_int_equal(store_open(b.job, false, &st, &b.why), OK);
    assert_int_equal(store_load(st, &s, &b.why), OK);
    s->tanks = &tank;
    s->n_tanks = 1;
    assert_int_equal(store_save(st, s, &b.why), OK);
    survey_free(s);
    store_close(st);
    long long seq = 0;
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const char *more = arena_print(b.memory, ",\"by\":\"N. N.\"%s", cases[i].more);
        assert_int_equal(send(&b, one(&b, (int)i, cases[i].mark, cases[i].what, more)), OK);
        if (cases[i].fault)
            expect(&b, 0, OPS_RECORD_REFUSED, 0, cases[i].fault);
        else
            expect(&b, 0, OPS_RECORD_KEPT, ++seq, NULL);
    }
    tear_down(&b);
}

int main(void) {
    fault why = {0};
    if (store_use_memory_hooks(&why) != OK) return 1;
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_record_is_kept_once),
        cmocka_unit_test(a_bad_record_holds_up_nobody),
        cmocka_unit_test(what_a_record_names_is_of_the_job),
        cmocka_unit_test(a_request_that_is_none_is_refused),
        cmocka_unit_test(records_are_given_with_conflicts),
        cmocka_unit_test(a_thousand_at_once),
        cmocka_unit_test(no_memory_keeps_nothing_by_halves),
        cmocka_unit_test(a_day_has_what_is_not_done),
        cmocka_unit_test(a_list_of_the_day_goes_first),
        cmocka_unit_test(a_leak_of_the_day_is_whole),
        cmocka_unit_test(times_are_those_of_the_card),
        cmocka_unit_test(a_day_without_memory_says_so),
        cmocka_unit_test(steps_are_those_of_the_plan),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
