/* Records from the wall: each rule with its sentence, both systems of units, the stored body, and conflicts against an
 * oracle that looks at every pair. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "record/record.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char NOW[] = "2026-03-01T12:00:00Z";
static const char ID[] = "6f1c2a9e-0b7d-4c35-9e21-8a5d3b7c4f10";
#define BASE                                                                                                 \
    "\"id\":\"6f1c2a9e-0b7d-4c35-9e21-8a5d3b7c4f10\",\"mark\":\"E3\",\"at\":\"2026-03-01T09:30:00Z\","       \
    "\"device\":\"0a1b2c3d-4e5f-4a6b-8c7d-9e0f1a2b3c4d\",\"seen\":7"
#define SITE                                                                                                 \
    "{\"id\":\"6f1c2a9e-0b7d-4c35-9e21-8a5d3b7c4f10\",\"mark\":\"site\",\"at\":\"2026-03-01T09:30:00Z\","    \
    "\"device\":\"0a1b2c3d-4e5f-4a6b-8c7d-9e0f1a2b3c4d\",\"seen\":7"
#define ABOUT "\"about\":\"00000000-0000-4000-8000-00000000000a\""

typedef struct {
    arena *memory;
    fault_list *faults;
    record r;
    bool good;
} reading;

static reading read_as(units_system system, const char *json) {
    reading got = {.memory = arena_new(), .faults = fault_list_new()};
    json_in in = {.source = "", .faults = got.faults, .system = system, .memory = got.memory};
    json_t *object = json_in_parse(&in, json, strlen(json));
    assert_non_null(object);
    got.good = record_read(&in, NULL, object, NOW, &got.r);
    json_decref(object);
    assert_int_equal(got.good, fault_list_count(got.faults) == 0);
    return got;
}

static void end(reading *got) {
    arena_free(got->memory);
    fault_list_free(got->faults);
}

static const struct {
    const char *json, *sentence; /* NULL: good; else the one fault */
} cases[] = {
    {"{" BASE ",\"what\":\"start\"}", NULL},
    {"{" BASE ",\"what\":\"start\",\"step\":\"cut\",\"by\":\"N. N.\"}", NULL},
    {"{" BASE ",\"what\":\"finish\",\"step\":\"close_relief\",\"length_m\":3}", NULL},
    {"{" BASE ",\"what\":\"started\"}", "what: is \"started\"; it must be one of start, finish, hold, found, "
                                        "used, photo, note, correction, settled, level, proof, deviation"},
    {"{" BASE "}", "what: is missing"},
    {"{" BASE ",\"what\":\"start\",\"step\":\"plugg\"}", "step: \"plugg\" is no step; did you mean plug?"},
    {"{" BASE ",\"what\":\"start\",\"step\":\"xxxxxxxxxxx\"}", "step: \"xxxxxxxxxxx\" is no step of a card"},
    {"{" BASE ",\"what\":\"hold\",\"step\":\"scan\",\"by\":\"N. N.\"}", NULL},
    {"{" BASE ",\"what\":\"hold\",\"step\":\"scan\"}",
     "by: is missing; a hold point is ticked by a named person"},
    {"{" BASE ",\"what\":\"hold\",\"by\":\"N. N.\"}", "step: is missing; a hold point belongs to a step"},
    {"{" BASE ",\"what\":\"used\",\"material\":\"plug-3\"}", NULL},
    {"{" BASE ",\"what\":\"used\",\"packs\":2}", NULL},
    {"{" BASE ",\"what\":\"used\",\"powder_kg\":2.5}", NULL},
    {"{" BASE ",\"what\":\"used\",\"water_l\":0.4}", NULL},
    {"{" BASE ",\"what\":\"used\",\"people\":2,\"hours\":3}",
     "used says nothing; it needs material, packs, powder or water"},
    {"{" BASE ",\"what\":\"found\",\"depth_mm\":40}", NULL},
    {"{" BASE ",\"what\":\"found\",\"text\":\"soil in the water\"}", NULL},
    {"{" BASE ",\"what\":\"found\",\"text\":\"\"}", "found says nothing; it needs a measured value or text"},
    {"{" BASE ",\"what\":\"found\",\"material\":\"plug-3\"}",
     "found says nothing; it needs a measured value or text"},
    {"{" BASE ",\"what\":\"photo\",\"photo\":\"6f1c2a9e-0b7d-4c35-9e21-8a5d3b7c4f10.jpg\"}", NULL},
    {"{" BASE ",\"what\":\"photo\"}", "photo: is missing; a record of a photo names it"},
    {"{" BASE ",\"what\":\"photo\",\"photo\":\"../a.jpg\"}",
     "photo: \"../a.jpg\" must be a path below the folder of the job file, without \"..\""},
    {"{" BASE ",\"what\":\"note\"}", NULL},
    {"{" BASE ",\"what\":\"correction\"," ABOUT ",\"length_m\":2}", NULL},
    {"{" BASE ",\"what\":\"correction\"}",
     "about: is missing; a correction names the record that it is about"},
    {"{" BASE ",\"what\":\"correction\",\"about\":\"E3\"}",
     "about: is \"E3\"; it must be a UUID in small letters, such as 6f1c2a9e-0b7d-4c35-9e21-8a5d3b7c4f10"},
    {"{" BASE ",\"what\":\"correction\",\"about\":\"6f1c2a9e-0b7d-4c35-9e21-8a5d3b7c4f10\"}",
     "about: is the record itself"},
    {"{" BASE ",\"what\":\"correction\"," ABOUT ",\"from_m\":0.5,\"to_m\":1}", NULL},
    {"{" BASE ",\"what\":\"correction\"," ABOUT ",\"from_m\":1}",
     "from: and to are a stretch of the leak: both, the first below the second"},
    {"{" BASE ",\"what\":\"correction\"," ABOUT ",\"from_m\":2,\"to_m\":1}",
     "from: and to are a stretch of the leak: both, the first below the second"},
    {"{" BASE ",\"what\":\"deviation\",\"by\":\"N. N.\",\"text\":\"  \"}",
     "text: is missing; a deviation has its reason"},
    {"{" BASE ",\"what\":\"settled\"," ABOUT ",\"other\":\"00000000-0000-4000-8000-00000000000b\"}", NULL},
    {"{" BASE ",\"what\":\"settled\"," ABOUT "}",
     "other: is missing; settled names both records of the conflict"},
    {"{" BASE ",\"what\":\"settled\"," ABOUT ",\"other\":\"00000000-0000-4000-8000-00000000000a\"}",
     "other: is the record of about; a conflict has two"},
    {"{" BASE ",\"what\":\"note\",\"lenght_m\":2}", "lenght_m: unknown field; did you mean length_m?"},
    {"{" BASE ",\"what\":\"note\",\"seq\":2}", "seq: unknown field; did you mean step?"},
    {"{" BASE ",\"what\":\"found\",\"depth_mm\":21000}", "depth_mm: is 21000; it must lie in 0 to 20000 mm"},
    {"{" BASE ",\"what\":\"found\",\"cover_mm\":-1}", "cover_mm: is -1; it must lie in 0 to 1000 mm"},
    {"{" BASE ",\"what\":\"found\",\"time_s\":0}", "time_s: is 0; it must lie above 0 and up to 2.592e+06 s"},
    {"{" BASE ",\"what\":\"found\",\"humidity_percent\":101}",
     "humidity_percent: is 101; it must lie in 0 to 100"},
    {"{" BASE ",\"what\":\"found\",\"air_c\":\"5\"}", "air_c: \"5\" where a number belongs"},
    {"{" BASE ",\"what\":\"note\",\"by\":\"a\\u0007b\"}", "by: \"a b\" holds a control character"},
    {"{" BASE ",\"what\":\"found\",\"wetness\":\"run\"}", NULL},
    {"{" BASE ",\"what\":\"found\",\"wetness\":\"soaked\"}",
     "wetness: is \"soaked\"; it must be one of dry, damp, seep, drip, run, jet"},
    {"{" BASE ",\"what\":\"proof\",\"by\":\"N. N.\",\"hand\":\"dry\",\"blotter\":\"clean\",\"from_m\":0,"
     "\"to_m\":2,\"water_level_m\":3.2}",
     NULL},
    {"{" BASE ",\"what\":\"proof\",\"by\":\"N. N.\",\"drips_per_min\":0}", NULL},
    {"{" BASE ",\"what\":\"proof\",\"by\":\"N. N.\",\"volume_l\":1,\"time_s\":60}", NULL},
    {"{" BASE ",\"what\":\"proof\",\"by\":\"N. N.\",\"volume_l\":1}",
     "a volume collected needs its time, a time its volume"},
    {"{" BASE ",\"what\":\"proof\",\"by\":\"N. N.\",\"volume_l\":1,\"time_s\":1e-300}",
     "time: is 1e-300 s; water is collected for at least 0.1 s"},
    {"{" BASE ",\"what\":\"proof\",\"hand\":\"dry\"}",
     "by: is missing; a test has been made by a named person"},
    {"{" BASE ",\"what\":\"proof\",\"by\":\"N. N.\"}",
     "proof says nothing; it needs hand, blotter, drips or a timed volume"},
    {"{" BASE ",\"what\":\"proof\",\"by\":\"N. N.\",\"hand\":\"soaked\"}",
     "hand: is \"soaked\"; it must be one of dry, damp, wet"},
    {"{" BASE ",\"what\":\"proof\",\"by\":\"N. N.\",\"blotter\":\"wet\"}",
     "blotter: is \"wet\"; it must be one of clean, marked"},
    {"{" BASE ",\"what\":\"proof\",\"by\":\"N. N.\",\"hand\":\"dry\",\"from_m\":1}",
     "from: and to are a stretch of the leak: both, the first below the second"},
    {"{" BASE ",\"what\":\"proof\",\"by\":\"N. N.\",\"hand\":\"dry\",\"from_m\":1,\"to_m\":1}",
     "from: and to are a stretch of the leak: both, the first below the second"},
    {SITE ",\"what\":\"level\",\"by\":\"N. "
          "N.\",\"tank\":\"T1\",\"level_mm\":-3.2,\"pan_level_mm\":10,\"rain_mm\":1,"
          "\"tank_water_c\":18}",
     NULL},
    {SITE ",\"what\":\"level\",\"by\":\"N. N.\",\"level_mm\":3}",
     "tank: is missing; a reading names its tank"},
    {SITE ",\"what\":\"level\",\"by\":\"N. N.\",\"tank\":\"T1\"}",
     "level: is missing; it is what a reading is for"},
    {SITE ",\"what\":\"level\",\"tank\":\"T1\",\"level_mm\":3}",
     "by: is missing; a reading has been taken by a named person"},
    {SITE ",\"what\":\"level\",\"by\":\"N. N.\",\"tank\":\"T1\",\"level_mm\":3,\"rain_mm\":2001}",
     "rain_mm: is 2001; it must lie in 0 to 2000 mm"},
    {"{" BASE ",\"what\":\"level\",\"by\":\"N. N.\",\"tank\":\"T1\",\"level_mm\":3}",
     "mark: is \"E3\"; the reading of a tank stands at \"site\""},
    {"[]", "a list where an object { } belongs"},
};

static void each_rule_has_its_sentence(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        reading got = read_as(UNITS_METRIC, cases[i].json);
        const char *said = fault_list_count(got.faults) ? fault_list_text(got.faults, 0) : "";
        if (strcmp(said, cases[i].sentence ? cases[i].sentence : "") != 0 || fault_list_count(got.faults) > 1)
            fail_msg("%s\n  says: %s (%zu)", cases[i].json, said, fault_list_count(got.faults));
        end(&got);
    }
}

/* The base with one member replaced. */
static void expect_member(const char *member, const char *from, const char *to, const char *sentence) {
    static const char base[] = "{" BASE ",\"what\":\"note\"}";
    char json[400];
    const char *at = strstr(base, from);
    assert_non_null(at);
    snprintf(json, sizeof json, "%.*s%s%s", (int)(at - base), base, to, at + strlen(from));
    reading got = read_as(UNITS_METRIC, json);
    const char *said = got.good ? "" : fault_list_text(got.faults, 0);
    if (strcmp(said, sentence) != 0) fail_msg("%s %s says: %s", member, to, said);
    end(&got);
}

static void ids_and_times_are_strict(void **state) {
    (void)state;
    static const char uuid[] =
        "it must be a UUID in small letters, such as 6f1c2a9e-0b7d-4c35-9e21-8a5d3b7c4f10";
    static const char *const bad[] = {
        "6F1c2a9e-0b7d-4c35-9e21-8a5d3b7c4f10", "6f1c2a9e-0b7d-4c35-9e21-8a5d3b7c4f1",
        "6f1c2a9e00b7d-4c35-9e21-8a5d3b7c4f10", "6f1c2a9e-0b7d-4c35-9e21-8a5d3b7c4fg0",
        "6f1c2a9e-0b7d-4c35-9e21--a5d3b7c4f10", "1"};
    char sentence[300];
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        snprintf(sentence, sizeof sentence, "id: is \"%s\"; %s", bad[i], uuid);
        expect_member("id", ID, bad[i], sentence);
        snprintf(sentence, sizeof sentence, "device: is \"%s\"; %s", bad[i], uuid);
        expect_member("device", "0a1b2c3d-4e5f-4a6b-8c7d-9e0f1a2b3c4d", bad[i], sentence);
    }
    static const char *const no_time[] = {
        "2026-02-29T09:30:00Z", "2026-13-01T09:30:00Z", "2026-00-01T09:30:00Z",
        "2026-01-00T09:30:00Z", "2026-01-32T09:30:00Z", "2026-04-31T09:30:00Z",
        "2026-03-01T24:00:00Z", "2026-03-01T09:60:00Z", "2026-03-01T09:30:60Z",
        "2026-03-01 09:30:00Z", "2026-03-01T09:30:00+", "2026-03-01T09:30Z",
        "1999-12-31T23:59:59Z", "2100-02-29T09:30:00Z", "today"};
    for (size_t i = 0; i < sizeof no_time / sizeof *no_time; i++) {
        snprintf(sentence, sizeof sentence,
                 "at: is \"%s\"; it must be a time in UTC from the year 2000 on, as 2026-03-01T09:30:00Z",
                 no_time[i]);
        expect_member("at", "2026-03-01T09:30:00Z", no_time[i], sentence);
    }
    expect_member("at", "2026-03-01T09:30:00Z", "2000-01-01T00:00:00Z", "");
    expect_member("at", "2026-03-01T09:30:00Z", "2024-02-29T09:30:00Z", "");
    expect_member("at", "2026-03-01T09:30:00Z", "2026-03-02T12:00:00Z", "");
    expect_member(
        "at", "2026-03-01T09:30:00Z", "2026-03-02T12:00:01Z",
        "at: is 2026-03-02T12:00:01Z; it must not be more than 24 h after now, 2026-03-01T12:00:00Z");
    expect_member("seen", "\"seen\":7", "\"seen\":7.5", "seen: is 7.5; it must be a whole number");
    expect_member("seen", "\"seen\":7", "\"seen\":-1", "seen: is -1; it must lie in 0 to 9.0072e+15");
    expect_member("seen", ",\"seen\":7", "", "seen: is missing");
    expect_member("seen", "\"seen\":7", "\"seen\":0", "");
    expect_member("mark", "\"E3\"", "\"\"", "mark: has 0 bytes; it must have 1 to 40");
}

/* Against a count of every day and second from 2000 to 2110. */
static void times_count_seconds(void **state) {
    (void)state;
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    long long expected = 946684800; /* 2000-01-01T00:00:00Z, POSIX */
    for (int year = 2000; year <= 2110; year++)
        for (int month = 1; month <= 12; month++) {
            bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
            for (int day = 1; day <= days[month - 1] + (leap && month == 2); day++, expected += 86400) {
                char t[40];
                long long got = 0;
                snprintf(t, sizeof t, "%04d-%02d-%02dT13:14:15Z", year, month, day);
                assert_true(record_time(t, &got));
                assert_true(got == expected + 13 * 3600 + 14 * 60 + 15);
            }
        }
    long long unused;
    assert_false(record_time(NULL, &unused));
    assert_false(record_is_uuid(NULL));
}

static void text_has_a_limit(void **state) {
    (void)state;
    char json[4600], filler[4002];
    for (size_t n = 4000; n <= 4001; n++) {
        memset(filler, 'a', n);
        filler[n] = '\0';
        snprintf(json, sizeof json, "{" BASE ",\"what\":\"note\",\"text\":\"%s\"}", filler);
        reading got = read_as(UNITS_METRIC, json);
        assert_int_equal(got.good, n == 4000);
        if (!got.good)
            assert_string_equal(fault_list_text(got.faults, 0),
                                "text: has 4001 bytes; it must have at most 4000");
        end(&got);
    }
}

static void every_fault_is_told(void **state) {
    (void)state;
    reading got =
        read_as(UNITS_METRIC, "{\"id\":\"x\",\"mark\":\"E3\",\"what\":\"hold\",\"at\":\"x\",\"device\":\"y\","
                              "\"seen\":0.5,\"step\":\"sacn\"}");
    assert_int_equal(fault_list_count(got.faults), 6); /* id, device, at, seen, step, by */
    end(&got);
}

/* All values of a US job, and the decimals that are exactly the same metres and litres (NIST Handbook 44 factors). */
static void us_units_become_metric(void **state) {
    (void)state;
    static const char us[] =
        "{" BASE
        ",\"what\":\"used\",\"length_ft\":10,\"width_in\":1,\"depth_in\":1.5,\"cover_in\":2,\"volume_gal\":1,"
        "\"time_s\":30,\"material\":\"plug-3\",\"powder_lb\":10,\"water_gal\":0.5,\"packs\":2,\"people\":2,"
        "\"hours\":1.5,"
        "\"air_f\":50,\"wall_f\":41,\"leak_water_f\":50,\"humidity_percent\":60,\"text\":\"a\\tb \\u00e9\","
        "\"from_ft\":5,\"to_ft\":10,\"drips_per_min\":3,\"water_level_ft\":-20,\"level_in\":0.5,\"pan_level_"
        "in\":2,"
        "\"rain_in\":1,\"tank_water_f\":59}";
    static const char metric[] =
        "{\"id\": \"6f1c2a9e-0b7d-4c35-9e21-8a5d3b7c4f10\", \"mark\": \"E3\", \"what\": \"used\", "
        "\"at\": \"2026-03-01T09:30:00Z\", \"device\": \"0a1b2c3d-4e5f-4a6b-8c7d-9e0f1a2b3c4d\", \"seen\": "
        "7, "
        "\"length_m\": 3.048, \"width_mm\": 25.4, \"depth_mm\": 38.1, \"cover_mm\": 50.8, \"volume_l\": "
        "3.7854117840000003, "
        "\"time_s\": 30, \"material\": \"plug-3\", \"powder_kg\": 4.5359237, \"water_l\": "
        "1.8927058920000002, "
        "\"packs\": 2, "
        "\"people\": 2, \"hours\": 1.5, \"air_c\": 10, \"wall_c\": 5, \"leak_water_c\": 10, "
        "\"humidity_percent\": 60, "
        "\"text\": \"a\\u0009b \xc3\xa9\", \"from_m\": 1.524, \"to_m\": 3.048, \"drips_per_min\": 3, "
        "\"water_level_m\": -6.096, \"level_mm\": 12.7, \"pan_level_mm\": 50.8, \"rain_mm\": 25.4, "
        "\"tank_water_c\": 15}";
    reading got = read_as(UNITS_US, us);
    if (!got.good) fail_msg("%s", fault_list_text(got.faults, 0));
    text body = {0}, again = {0}, back = {0};
    record_write_body(&got.r, &body);
    assert_string_equal(text_get(&body), metric);

    record stored;
    fault why = {0};
    assert_int_equal(record_read_body(text_get(&body), got.memory, &stored, &why), OK);
    assert_true(survey_fields_equal(record_fields, &got.r, &stored));
    record_write_body(&stored, &again);
    assert_string_equal(text_get(&again), metric);
    json_out o = {.to = &back, .system = UNITS_US}; /* and a US phone sees what was typed */
    json_out_open(&o, NULL, '{');
    record_write(&o, &stored);
    json_out_close(&o, '}');
    reading same = read_as(UNITS_US, text_get(&back));
    assert_true(same.good && survey_fields_equal(record_fields, &got.r, &same.r));
    assert_non_null(strstr(text_get(&back), "\"depth_in\": 1.5, "));
    end(&same);
    end(&got);
    text_free(&body);
    text_free(&again);
    text_free(&back);

    got = read_as(UNITS_US, "{" BASE ",\"what\":\"found\",\"depth_mm\":40}");
    assert_string_equal(fault_list_text(got.faults, 0), "depth_mm: unknown field; did you mean depth_in?");
    end(&got);
}

/* Every hundredth of an inch and a gallon shows as it was typed, after it was stored in millimetres and litres. */
static void us_values_show_as_typed(void **state) {
    (void)state;
    for (int i = 1; i <= 2000; i++) {
        char json[400], depth[40], volume[40];
        snprintf(depth, sizeof depth, "\"depth_in\": %g,", i / 100.0);
        snprintf(volume, sizeof volume, "\"volume_gal\": %g}", i / 100.0);
        snprintf(json, sizeof json, "{" BASE ",\"what\":\"found\", %s %s", depth, volume);
        reading got = read_as(UNITS_US, json);
        assert_true(got.good);
        text body = {0}, shown = {0};
        record stored;
        fault why = {0};
        record_write_body(&got.r, &body);
        assert_int_equal(record_read_body(text_get(&body), got.memory, &stored, &why), OK);
        assert_true(survey_fields_equal(record_fields, &got.r, &stored));
        record_as_typed(&stored, UNITS_US);
        json_out o = {.to = &shown, .system = UNITS_US};
        json_out_open(&o, NULL, '{');
        record_write(&o, &stored);
        json_out_close(&o, '}');
        if (!strstr(text_get(&shown), depth) || !strstr(text_get(&shown), volume))
            fail_msg("%s", text_get(&shown));
        end(&got);
        text_free(&body);
        text_free(&shown);
    }
}

static uint64_t seed;
static unsigned any(unsigned n) { /* splitmix64 (public domain) */
    uint64_t z = (seed += 0x9e3779b97f4a7c15u);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return (unsigned)((z ^ (z >> 31)) % n);
}

static const char *random_text(arena *memory) {
    static const char *const texts[] = {"dry",       "N. N.",       "a \"quoted\" word",
                                        "line\nend", "back\\slash", "\xc3\xa9t\xc3\xa9",
                                        "}",         ", \"by\": "};
    return arena_copy(memory, texts[any(8)]);
}

/* Any members, and any values in their ranges. */
static record random_record(arena *memory) {
    record r = {.id = ID, .mark = "E3", .at = "2026-03-01T09:30:00Z", .device = ID, .seen = any(1000)};
    r.what = (record_what)any(RECORD_WHATS);
    for (size_t i = 0; i < record_fields.n; i++) {
        const survey_field *f = &record_fields.fields[i];
        char *to = (char *)&r + f->offset;
        if (f->required || any(2)) continue;
        /* as typed, in thousandths of the unit */
        double low = units_from_si(f->q, UNITS_METRIC, f->range.low),
               high = units_from_si(f->q, UNITS_METRIC, f->range.high);
        double typed = floor(1000 * (low + (high - low) * (1 + any(1000000)) / 1000002.0) + 1) / 1000;
        maybe value = {true, units_to_si(f->q, UNITS_METRIC, typed)};
        const char *word = f->kind == FIELD_TEXT ? random_text(memory) : "x";
        if (f->kind == FIELD_MAYBE)
            memcpy(to, &value, sizeof value);
        else
            memcpy(to, &word, sizeof word);
    }
    return r;
}

/* The reader in one pass, or where it gives up the general one, brings back what was written. */
static void any_body_reads_back(void **state) {
    (void)state;
    for (uint64_t run = 1; run <= 3000; run++) {
        seed = run;
        arena *memory = arena_new();
        record r = random_record(memory), back;
        text body = {0};
        fault why = {0};
        record_write_body(&r, &body);
        if (record_read_body(text_get(&body), memory, &back, &why) != OK ||
            !survey_fields_equal(record_fields, &r, &back))
            fail_msg("seed %d: %s %s", (int)run, text_get(&body), why.text);
        for (int i = 0; i < 8; i++) { /* cut short anywhere it is no record */
            char *part = arena_copy(memory, text_get(&body));
            part[any((unsigned)body.length)] = '\0';
            assert_int_equal(record_read_body(part, memory, &back, &why), E_FORMAT);
        }
        text_free(&body);
        arena_free(memory);
    }
}

static void a_damaged_body_says_so(void **state) {
    (void)state;
    arena *memory = arena_new();
    record r;
    fault why = {0};
    assert_int_equal(record_read_body("{\"id\":\"x\"}", memory, &r, &why), E_FORMAT);
    assert_non_null(strstr(why.text, "a record of the job is damaged: "));
    assert_int_equal(record_read_body("{", memory, &r, &why), E_FORMAT);
    assert_int_equal(record_read_body("7", memory, &r, &why), E_FORMAT);
    static const struct {
        const char *body, *sentence;
    } wrong[] = {{"{" BASE ",\"what\":\"nothing\"}", "what: is \"nothing\""},
                 {"{" BASE ",\"what\":\"note\",\"depth_in\":1}", "depth_in: unknown field"},
                 {"{" BASE ",\"what\":\"note\",\"depth_mm\":-1}", "depth_mm: is -1"},
                 {"{" BASE ",\"what\":\"note\",\"depth_mm\":1} ", NULL},
                 {"{" BASE ",\"what\":\"note\"}}", "not valid JSON"}};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        /* in the order of another hand, and in ours */
        status code = record_read_body(wrong[i].body, memory, &r, &why);
        assert_int_equal(code, wrong[i].sentence ? E_FORMAT : OK);
        if (wrong[i].sentence) assert_non_null(strstr(why.text, wrong[i].sentence));
    }
    static const char ours[] =
        "{\"id\": \"a\", \"mark\": \"E3\", \"what\": \"note\", \"at\": \"b\", \"device\": \"c\", "
        "\"seen\": 7, \"depth_mm\": %s}";
    static const struct {
        const char *value, *sentence;
    } values[] = {{"40", NULL},
                  {"-1", "depth_mm: is -1"},
                  {"4x", "not valid JSON"},
                  {"\"4\"", "where a number belongs"},
                  {"1e9", "depth_mm: is "},
                  {"4, \"depth_mm\": 4", "duplicate"},
                  {"4, \"id\": \"d\"", "duplicate"}};
    for (size_t i = 0; i < sizeof values / sizeof *values; i++) {
        char body[300];
        snprintf(body, sizeof body, "%.*s%s}", (int)(sizeof ours - 4), ours, values[i].value);
        assert_int_equal(record_read_body(body, memory, &r, &why), values[i].sentence ? E_FORMAT : OK);
        if (values[i].sentence && !strstr(why.text, values[i].sentence)) fail_msg("%s: %s", body, why.text);
        if (!values[i].sentence) assert_true(r.depth_m.known && r.depth_m.v == 0.04);
    }
    arena_free(memory);
}

/* ---- conflicts ---- */

static char *number_id(arena *memory, size_t n) {
    return arena_print(memory, "00000000-0000-4000-8000-%012zu", n);
}

static record plain(arena *memory, size_t at, record_what what, const char *device) {
    return (record){.id = number_id(memory, at),
                    .mark = "E1",
                    .what = what,
                    .at = "2026-03-01T09:30:00Z",
                    .device = device,
                    .seq = (long long)at + 1};
}

static record *random_log(arena *memory, size_t n) {
    static const char *const devices[] = {"a", "b", "c"}, *const marks[] = {"E1", "E2"},
                             *const steps[] = {NULL, "cut", "plug"},
                             *const materials[] = {NULL, NULL, "p", "q"};
    record *list = arena_get(memory, n, sizeof *list);
    long long seq = 0;
    for (size_t i = 0; i < n; i++) {
        record *r = &list[i];
        *r = plain(memory, i,
                   any(4) ? (record_what)any(5) : (record_what)(any(2) ? RECORD_CORRECTION : RECORD_SETTLED),
                   devices[any(3)]);
        r->mark = marks[any(2)];
        r->step = steps[any(3)];
        r->seq = seq += 1 + any(2); /* a job file may leave numbers out */
        r->seen = any((unsigned)r->seq);
        r->material = materials[any(4)];
        if (any(2)) r->depth_m = (maybe){true, 0.04};
        if (any(3) == 0) r->length_m = (maybe){true, 1};
        if (any(3) == 0) r->packs = (maybe){true, 1};
        r->about = number_id(memory, any((unsigned)n));
        r->other = number_id(memory, any((unsigned)n));
    }
    return list;
}

static bool same_text(const char *a, const char *b) {
    return a && b ? strcmp(a, b) == 0 : a == b;
}

static bool says_same(const record *a, const record *b) {
    if (strcmp(a->mark, b->mark) != 0 || !same_text(a->step, b->step) || a->what != b->what) return false;
    if (a->what == RECORD_START || a->what == RECORD_FINISH || a->what == RECORD_HOLD) return true;
    if (a->what != RECORD_FOUND && a->what != RECORD_USED) return false;
    if (a->material || b->material) return same_text(a->material, b->material);
    return (a->depth_m.known && b->depth_m.known) || (a->length_m.known && b->length_m.known) ||
           (a->packs.known && b->packs.known);
}

static bool names_both(const record *r, const record *a, const record *b) {
    return (strcmp(r->about, a->id) == 0 && strcmp(r->other, b->id) == 0) ||
           (strcmp(r->about, b->id) == 0 && strcmp(r->other, a->id) == 0);
}

static bool oracle(const record *list, size_t n, size_t a, size_t b) {
    if (!says_same(&list[a], &list[b]) || strcmp(list[a].device, list[b].device) == 0) return false;
    if (!(list[b].seen < (double)list[a].seq) || !(list[a].seen < (double)list[b].seq)) return false;
    for (size_t i = b + 1; i < n; i++) {
        const record *r = &list[i];
        bool about = strcmp(r->about, list[a].id) == 0 || strcmp(r->about, list[b].id) == 0;
        if (r->what == RECORD_CORRECTION && about) return false;
        if (r->what == RECORD_SETTLED && names_both(r, &list[a], &list[b])) return false;
    }
    return true;
}

static void conflicts_are_those_of_every_pair(void **state) {
    (void)state;
    size_t found = 0, closed = 0;
    for (uint64_t run = 1; run <= 400; run++) {
        seed = run;
        arena *memory = arena_new();
        size_t n = 1 + any(90), k = 0;
        record *list = random_log(memory, n);
        record_conflict_list got;
        fault why = {0};
        assert_int_equal(record_conflicts(list, n, memory, &got, &why), OK);
        for (size_t b = 0; b < n; b++)
            for (size_t a = 0; a < b; a++) {
                if (!oracle(list, n, a, b)) {
                    closed += oracle(list, b + 1, a, b);
                    continue;
                }
                if (k >= got.n || got.items[k].a != &list[a] || got.items[k].b != &list[b])
                    fail_msg("seed %d: pair %zu, %zu of %zu is not number %zu of %zu", (int)run, a, b, n, k,
                             got.n);
                k++;
            }
        assert_int_equal(k, got.n);
        assert_false(got.more);
        found += k;
        arena_free(memory);
    }
    assert_true(found > 1000 && closed > 100); /* the logs hold something to find */
}

static void a_conflict_has_a_sentence(void **state) {
    (void)state;
    arena *memory = arena_new();
    record list[] = {plain(memory, 0, RECORD_FINISH, "a"), plain(memory, 1, RECORD_FINISH, "b"),
                     plain(memory, 2, RECORD_USED, "a"),   plain(memory, 3, RECORD_USED, "b"),
                     plain(memory, 4, RECORD_FOUND, "a"),  plain(memory, 5, RECORD_FOUND, "b")};
    list[0].step = list[1].step = "cut";
    list[0].by = "N. N.";
    list[1].by = "M. M.";
    list[1].at = "2026-03-01T10:02:59Z";
    list[2].material = list[3].material = "plug-3";
    list[4].depth_m = list[5].depth_m = (maybe){true, 0.04};
    record_conflict_list got;
    fault why = {0};
    assert_int_equal(record_conflicts(list, 6, memory, &got, &why), OK);
    assert_int_equal(got.n, 3);
    assert_string_equal(
        got.items[0].sentence,
        "E1, cut: N. N. and M. M. both recorded finish, at 2026-03-01 09:30 and 2026-03-01 10:02 UTC; "
        "neither had seen the other's record");
    assert_non_null(
        strstr(got.items[1].sentence, "E1: somebody and somebody both recorded used plug-3, at "));
    assert_non_null(strstr(got.items[2].sentence, " both recorded found depth, at "));
    assert_int_equal(record_conflicts(NULL, 0, memory, &got, &why), OK);
    assert_int_equal(got.n, 0);
    arena_free(memory);
}

/* Shapes that a look at every pair would spend hours on. */
static void hundred_thousand_records_are_no_burden(void **state) {
    (void)state;
    enum { N = 100000 };
    for (int shape = 0; shape < 4; shape++) {
        arena *memory = arena_new();
        record *list = arena_get(memory, N, sizeof *list);
        for (size_t i = 0; i < N; i++) {
            list[i] = plain(memory, i, RECORD_HOLD, "a");
            list[i].step = "scan";
            if (shape == 1) list[i].device = i % 2 ? "a" : "b";      /* all in conflict */
            if (shape == 2) list[i].device = i == N / 2 ? "b" : "a"; /* one in conflict with all */
            if (shape == 3)
                list[i].device = i % 2 ? "a" : "b", list[i].seen = (double)i - 1; /* each with the last */
        }
        record_conflict_list got;
        fault why = {0};
        assert_int_equal(record_conflicts(list, N, memory, &got, &why), OK);
        assert_int_equal(got.n, shape == 0 ? 0 : RECORD_CONFLICTS_MOST);
        assert_int_equal(got.more, shape != 0);
        arena_free(memory);
    }
}

static void no_memory_is_told(void **state) {
    (void)state;
    static const char json[] =
        "{" BASE ",\"what\":\"used\",\"material\":\"plug-3\",\"by\":\"N. N.\",\"lenght_m\":1}";
    seed = 5;
    arena *input = arena_new();
    record *list = random_log(input, 60);
    bool ended = false;
    for (long n = 0; !ended; n++) {
        arena *memory = arena_new();
        fault_list *faults = fault_list_new();
        json_t *object = json_loads(json, 0, NULL);
        json_in in = {.source = "", .faults = faults, .system = UNITS_METRIC, .memory = memory};
        record r;
        record_conflict_list got;
        fault why = {0};
        mem_fail_at(n, n % 2 != 0);
        bool good = record_read(&in, NULL, object, NOW, &r);
        status code = record_conflicts(list, 60, memory, &got, &why), body = OK;
        if (code == OK)
            body = record_read_body("{" BASE ",\"what\":\"note\",\"text\":\"dry\"}", memory, &r, &why);
        mem_fail_at(-1, 0);
        assert_false(good); /* the unknown member, or no memory to tell it */
        assert_true(code == OK || (code == E_MEMORY && got.n == 0 && *why.text));
        assert_true(body == OK || (body == E_MEMORY && !r.id));
        ended = code == OK && body == OK && fault_list_status(faults, &why) == E_INPUT;
        json_decref(object);
        fault_list_free(faults);
        arena_free(memory);
        assert_true(n < 100000);
    }
    arena_free(input);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_rule_has_its_sentence),
        cmocka_unit_test(ids_and_times_are_strict),
        cmocka_unit_test(times_count_seconds),
        cmocka_unit_test(text_has_a_limit),
        cmocka_unit_test(every_fault_is_told),
        cmocka_unit_test(us_units_become_metric),
        cmocka_unit_test(us_values_show_as_typed),
        cmocka_unit_test(any_body_reads_back),
        cmocka_unit_test(a_damaged_body_says_so),
        cmocka_unit_test(conflicts_are_those_of_every_pair),
        cmocka_unit_test(a_conflict_has_a_sentence),
        cmocka_unit_test(hundred_thousand_records_are_no_burden),
        cmocka_unit_test(no_memory_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
