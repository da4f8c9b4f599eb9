/* What people get wrong: each fault has its sentence, with place, value and limit; and all of a file are
 * told. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "core/csv.h"
#include "survey/check.h"
#include "survey/read_csv.h"
#include "survey/read_geojson.h"
#include "survey/read_json.h"
#include "survey/write_csv.h"
#include "survey/write_geojson.h"
#include "survey/write_json.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char base[] =
    "{\"stanch_survey\": 1, \"units\": \"metric\","
    " \"site\": {\"name\": \"Pump house\", \"today\": {\"level_m\": 1.5, \"known\": \"measured\"}},"
    " \"faces\": [{\"id\": \"N\", \"lie\": \"wall\", \"thickness_m\": 0.3, \"elevation_m\": 0,"
    "   \"outline\": [[0,0],[6,0],[6,3],[0,3]], \"openings\": [[[4,1],[5,1],[5,2],[4,2]]]},"
    "  {\"id\": \"E\", \"lie\": \"wall\", \"thickness_m\": 0.3, \"elevation_m\": 0, \"outline\": "
    "[[0,0],[4,0],[4,3],[0,3]]}],"
    " \"folds\": [{\"a\": [\"N\", [[6,0],[6,3]]], \"b\": [\"E\", [[0,0],[0,3]]]}],"
    " \"defects\": [{\"mark\": \"C1\", \"kind\": \"crack\","
    "   \"parts\": [{\"face\": \"N\", \"points\": [[5,0.5],[6,0.5]]}, {\"face\": \"E\", \"points\": "
    "[[0,0.5],[1,0.5]]}],"
    "   \"stations\": [{\"chainage_m\": 0, \"width_mm\": 0.3, \"wetness\": \"seep\", \"bar\": \"crossing\", "
    "\"cover_mm\": 40},"
    "    {\"chainage_m\": 1.5, \"wetness\": \"dry\"}],"
    "   \"flows\": [{\"from_m\": 0, \"to_m\": 1, \"volume_l\": 1, \"time_s\": 60}]},"
    "  {\"mark\": \"P1\", \"kind\": \"penetration\", \"diameter_mm\": 110, \"parts\": [{\"face\": \"N\", "
    "\"points\": [[1,1]]}]},"
    "  {\"mark\": \"H1\", \"kind\": \"honeycomb\", \"parts\": [{\"face\": \"N\", \"points\": "
    "[[2,2],[2.5,2],[2.5,2.5],[2,2.5]]}]},"
    "  {\"mark\": \"J1\", \"kind\": \"joint\", \"waterstop\": \"there\", \"cutoff_mm\": 150,"
    "   \"open\": [{\"from_m\": 0.5, \"to_m\": 1}, {\"from_m\": 2, \"to_m\": 2.5}, {\"from_m\": 2.5, "
    "\"to_m\": 2.75}],"
    "   \"parts\": [{\"face\": \"N\", \"points\": [[0.5,0.2],[3.5,0.2]]}]}],"
    " \"materials\": [{\"id\": \"plug\", \"role\": \"plug\", \"bulk_kg_m3\": 1200, \"particle_kg_m3\": 3000,"
    "   \"parts_powder\": 3, \"parts_water\": 1, \"pot_life_min\": 2, \"packs\": [{\"size_kg\": 5, "
    "\"price\": 20}]}],"
    " \"rates\": [{\"id\": \"r\", \"value\": 1, \"basis\": \"own\"}], \"prices\": [{\"id\": \"p\", "
    "\"price\": 2}],"
    " \"tanks\": [{\"id\": \"T1\", \"capacity_l\": 200000, \"plan_area_m2\": 50, \"depth_m\": 4,"
    "   \"criterion\": \"awwa_d110\", \"pan\": \"open\", \"filled_on\": \"2026-03-01\"}],"
    " \"answers\": [{\"mark\": \"C1\", \"finding\": \"offset\", \"by\": \"E. Ngineer\", \"on\": "
    "\"2024-05-06\", \"what\": \"go on\"}]}";

/* `base` with the first `from` replaced; the caller frees it. */
static char *replaced(const char *from, const char *to) {
    const char *at = strstr(base, from);
    if (!at) fail_msg("the base has no %s", from);
    char *out = malloc(sizeof base + strlen(to));
    sprintf(out, "%.*s%s%s", (int)(at - base), base, to, at + strlen(from));
    return out;
}

static fault_list *read_and_check(const char *bytes, size_t length) {
    survey *s = survey_new();
    fault_list *faults = fault_list_new();
    if (survey_read_json(s, "a.json", bytes, length, faults)) survey_check(s, faults);
    survey_free(s);
    return faults;
}

static void expect(fault_list *faults, const char *sentence) {
    bool found = false;
    for (size_t i = 0; i < fault_list_kept(faults); i++)
        found = found || strstr(fault_list_text(faults, i), sentence);
    if (!found) {
        for (size_t i = 0; i < fault_list_kept(faults); i++)
            print_message("  got: %s\n", fault_list_text(faults, i));
        fail_msg("no fault says: %s", sentence);
    }
    fault_list_free(faults);
}

static void test_base_is_sound(void **state) {
    (void)state;
    fault_list *faults = read_and_check(base, sizeof base - 1);
    for (size_t i = 0; i < fault_list_kept(faults); i++) print_message("%s\n", fault_list_text(faults, i));
    assert_int_equal(fault_list_count(faults), 0);
    fault_list_free(faults);
}

static void test_each_fault_has_its_sentence(void **state) {
    (void)state;
    static const struct {
        const char *from, *to, *sentence;
    } cases[] = {
        {"\"width_mm\": 0.3", "\"width_mm\": -0.2",
         "a.json: defects[0].stations[0].width_mm: is -0.2; it must lie in 0 to 50 mm"},
        {"\"width_mm\": 0.3", "\"width_mm\": 1e308", "width_mm: is 1e+308; it must lie in 0 to 50 mm"},
        {"\"width_mm\": 0.3", "\"width_mm\": 1e400", "not valid JSON: real number overflow"},
        {"\"width_mm\": 0.3", "\"width_mm\": NaN", "line 1, column"},
        {"\"width_mm\": 0.3", "\"width_mm\": Infinity", "line 1, column"},
        {"\"width_mm\": 0.3", "\"width_mm\": \"wide\"", "width_mm: \"wide\" where a number belongs"},
        {"\"width_mm\": 0.3", "\"width_in\": 0.3", "width_in: unknown field; did you mean width_mm?"},
        {"\"width_mm\": 0.3", "\"width_mm\": 0.3, \"width_mm\": 0.4", "duplicate object key"},
        {"\"wetness\": \"dry\"", "\"wetness\": \"soaking\"",
         "defects[0].stations[1].wetness: is \"soaking\"; it must be one of dry, damp, seep, drip, run, jet"},
        {", \"wetness\": \"dry\"", "", "defects[0].stations[1].wetness: is missing"},
        {"\"mark\": \"P1\"", "\"mark\": \"C1\"", "a.json: defects[1]: \"C1\" stands twice in this file"},
        {"\"mark\": \"P1\"", "\"mark\": \"\"", "defects[1].mark: has 0 bytes; it must have 1 to 40"},
        {"\"mark\": \"P1\"", "\"mark\": \" P1\"", "defects[1].mark: \" P1\" begins or ends with a blank"},
        {"\"mark\": \"P1\"", "\"mark\": \"P\\u0007\"", "holds a control character"},
        {"\"mark\": \"P1\"", "\"mark\": \"P\\ufffe\"", "gives to no character"},
        {"\"mark\": \"P1\"", "\"mark\": \"P\\ufdd0\"", "gives to no character"},
        {"\"mark\": \"P1\"", "\"mark\": \"\\ud83f\\udfff\"", "gives to no character"},
        {"\"mark\": \"P1\"", "\"mark\": \"# P\"", "which marks a comment in CSV"},
        {"\"mark\": \"P1\"", "\"mark\": \"site\"", "cannot be a mark"},
        {"[6,3],[0,3]]", "[0,3],[6,3]]", "a.json: faces[0]: face N"},
        {"[0,3]], \"openings\"", "[0,1e300]], \"openings\"",
         "faces[0].outline[3]: has the coordinate 1e+300; it must lie within 10000 m of the origin"},
        {"[[4,1],[5,1],[5,2],[4,2]]", "[[4,1],[7,1],[7,2],[4,2]]", "a.json: faces[0]: face N"},
        {"[[4,1],[5,1],[5,2],[4,2]]", "[[4,1],[5,1]]", "openings[0]: has 2 points; it must have at least 3"},
        {"[[4,1],[5,1],[5,2],[4,2]]", "[4,1]", "openings[0][0]: is no point; write two numbers [u, v]"},
        {"\"thickness_m\": 0.3", "\"thickness_m\": 0",
         "faces[0].thickness_m: is 0; it must lie above 0 and up to 20 m"},
        {"[[5,0.5],[6,0.5]]", "[[5,-0.2],[6,0.5]]",
         "a.json: defects[0]: C1: point 1 of part 1 (5.000 m, -0.200 m) lies 200.0 mm off face N; at most 1 "
         "mm"},
        {"[[5,0.5],[6,0.5]]", "[[4.5,1.5],[6,0.5]]", "lies 500.0 mm off face N"},
        {"[[5,0.5],[6,0.5]]", "[[5,0.5],[5.5,0.5]]",
         "C1: parts 1 and 2 do not meet at the fold N-E; the gap is 500.0 mm, at most 10 mm"},
        {"[[0,0.5],[1,0.5]]", "[[0,0.6],[1,0.5]]", "the gap is 100.0 mm"},
        {"[[5,0.5],[6,0.5]]", "[[5,0.5],[5,0.5],[6,0.5]]", "points 1 and 2 of part 1 are the same"},
        {"[[5,0.5],[6,0.5]]", "[[5,0.5]]",
         "defects[0].parts[0].points: has 1 points; it must have at least 2"},
        {"\"face\": \"E\", \"points\"", "\"face\": \"S\", \"points\"",
         "part 2 of C1 names the face \"S\", which is not in the job"},
        {"\"a\": [\"N\", [[6,0],[6,3]]]", "\"a\": [\"N\", [[6,0],[6,2.9]]]",
         "a.json: folds[0]: the edges of the fold N-E are 2.900 m and 3.000 m long; they may differ by 1 mm"},
        {"\"a\": [\"N\", [[6,0],[6,3]]]", "\"a\": [\"N\", [[3,0],[3,3]]]", "C1: parts 1 and 2 do not meet"},
        {"\"a\": [\"N\", [[6,0],[6,3]]]", "\"a\": [\"N\", [[5.9,0],[5.9,3]]]",
         "C1: parts 1 and 2 do not meet"},
        {"\"a\": [\"N\", [[6,0],[6,3]]]", "\"a\": [\"N\", [[5,0.5],[5,3.5]]]",
         "off the outline of face N; at most 1 mm"},
        {"\"a\": [\"N\", [[6,0],[6,3]]]", "\"a\": [\"X\", [[6,0],[6,3]]]", "the fold names the face \"X\""},
        {"\"a\": [\"N\", [[6,0],[6,3]]]", "\"a\": [\"N\"]", "folds[0].a: is no edge"},
        {"\"chainage_m\": 1.5", "\"chainage_m\": 0",
         "C1, station 2: the chainage 0.000 m is not above that of the station before"},
        {"\"chainage_m\": 1.5", "\"chainage_m\": 2.5",
         "C1, station 2: the chainage 2.500 m lies beyond the trace, which is 2.000 m long"},
        {"\"from_m\": 0, \"to_m\": 1", "\"from_m\": 1, \"to_m\": 0.5",
         "C1, flow 1: the stretch from 1.000 m to 0.500 m must run forward"},
        {"\"from_m\": 0, \"to_m\": 1", "\"from_m\": 0, \"to_m\": 3",
         "C1, flow 1: the stretch ends at 3.000 m, beyond the trace"},
        {", \"time_s\": 60", "", "C1, flow 1: needs volume and time together, or drips_per_min"},
        {"\"bar\": \"crossing\", \"cover_mm\": 40", "\"bar\": \"crossing\"",
         "C1, station 1: a bar was found (crossing) but its cover is missing"},
        {"\"bar\": \"crossing\", \"cover_mm\": 40", "\"cover_mm\": 40",
         "cover or bar_diameter is given, but bar is not_scanned"},
        {"\"cover_mm\": 40", "\"cover_mm\": 400", "the cover 400.0 mm is not below the thickness"},
        {"\"diameter_mm\": 110, ", "",
         "a.json: defects[1]: P1: the diameter is missing; a penetration needs it"},
        {"[[1,1]]", "[[1,1],[2,2]]", "P1: part 1 has 2 points; a penetration is a single point"},
        {"[[2,2],[2.5,2],[2.5,2.5],[2,2.5]]", "[[2,2],[2.5,2],[2,2.5],[2.5,2.5]]", "a.json: defects[2]: H1"},
        {"\"bulk_kg_m3\": 1200, ", "",
         "a.json: materials[0]: material plug: bulk is missing; a plug needs it"},
        {"\"parts_powder\": 3, ", "", "material plug: parts_powder is missing"},
        {"\"size_kg\": 5", "\"size_l\": 5", "a powder is sold by mass"},
        {"\"size_kg\": 5", "\"size_kg\": 0",
         "packs[0].size_kg: is 0; it must lie above 0 and up to 100000 kg"},
        {"\"size_kg\": 5, ", "", "pack 1 must have one size"},
        {"\"waterstop\": \"there\"", "\"waterstop\": \"yes\"",
         "a.json: defects[3].waterstop: is \"yes\"; it must be one of unknown, none, there"},
        {"\"waterstop\": \"there\"", "\"waterstop\": \"none\"",
         "a.json: defects[3]: J1: cutoff or open is given, but waterstop is none; it must be there"},
        {"\"waterstop\": \"there\", ", "", "J1: cutoff or open is given, but waterstop is unknown"},
        {"\"kind\": \"joint\"", "\"kind\": \"crack\"",
         "J1: has waterstop, cutoff or open; only a joint has a waterstop"},
        {"\"kind\": \"crack\",", "\"kind\": \"crack\", \"waterstop\": \"none\",",
         "C1: has waterstop, cutoff or open; only a joint has a waterstop"},
        {"\"diameter_mm\": 110,", "\"diameter_mm\": 110, \"open\": [{\"from_m\": 0, \"to_m\": 1}],",
         "P1: has waterstop, cutoff or open"},
        {"\"diameter_mm\": 110,", "\"diameter_mm\": 110, \"cutoff_mm\": 90,",
         "P1: has waterstop, cutoff or open"},
        {"\"cutoff_mm\": 150,", "",
         "J1: open is given, but cutoff is missing, the depth of the waterstop from the dry face"},
        {"\"cutoff_mm\": 150", "\"cutoff_mm\": 0",
         "defects[3].cutoff_mm: is 0; it must lie above 0 and up to 20000 mm"},
        {"\"cutoff_mm\": 150", "\"cutoff_mm\": 300",
         "J1: the cutoff 300.0 mm must be above 0 and below the thickness of the face, 300.0 mm"},
        {"\"from_m\": 0.5, \"to_m\": 1", "\"from_m\": 1, \"to_m\": 1",
         "J1, open place 1: the stretch from 1.000 m to 1.000 m must run forward"},
        {"\"from_m\": 0.5, \"to_m\": 1", "\"from_m\": -0.5, \"to_m\": 1",
         "defects[3].open[0].from_m: is -0.5; it must lie in 0 to 10000 m"},
        {"\"from_m\": 0.5, \"to_m\": 1", "\"to_m\": 1", "defects[3].open[0].from_m: is missing"},
        {"\"from_m\": 2, \"to_m\": 2.5", "\"from_m\": 2, \"to_m\": 3.5",
         "J1, open place 2: the stretch ends at 3.500 m, beyond the trace, which is 3.000 m long"},
        {"\"from_m\": 2, \"to_m\": 2.5", "\"from_m\": 0.9, \"to_m\": 2.5",
         "J1, open place 2: begins at 0.900 m, before the end of the one before, 1.000 m"},
        {"{\"mark\": \"C1\", \"finding\"", "{\"mark\": \"C9\", \"finding\"",
         "answers[0] names the mark \"C9\", which is not in the job"},
        {"\"mark\": \"P1\",", "\"mark\": \"P1\", \"moved_from\": \"C9\",",
         "a.json: defects[1]: P1: moved_from names the mark \"C9\", which is not in the job"},
        {"\"mark\": \"P1\",", "\"mark\": \"P1\", \"moved_from\": \"P1\",", "P1: moved_from names itself"},
        {"\"mark\": \"P1\",", "\"mark\": \"P1\", \"found_on\": \"later\",",
         "defects[1].found_on: \"later\" is no date; write YYYY-MM-DD"},
        {"\"value\": 1,", "\"value\": 1, \"low\": 0.5,",
         "rate r: has low without high; give both or neither"},
        {"\"value\": 1,", "\"value\": 1, \"high\": 2,", "rate r: has high without low"},
        {"\"value\": 1,", "\"value\": 1, \"low\": 1.5, \"high\": 2,",
         "rate r: is 1, which must lie in its own range, 1.5 to 2"},
        {"\"price\": 2}", "\"price\": 2, \"low\": 1, \"high\": 1.75}",
         "price p: is 2, which must lie in its own range, 1 to 1.75"},
        {"\"capacity_l\": 200000", "\"capacity_l\": 200",
         "a.json: tanks[0]: tank T1: has a capacity of 200 l, but plan area times depth is 200000 l; they "
         "may differ "
         "by a factor of 1.5: see whether litres or units were mixed up"},
        {"\"capacity_l\": 200000", "\"capacity_l\": 300001", "tank T1: has a capacity of 300001 l"},
        {"\"capacity_l\": 200000", "\"capacity_l\": 133333", "tank T1: has a capacity of 133333 l"},
        {"\"capacity_l\": 200000", "\"capacity_m3\": 200",
         "capacity_m3: unknown field; did you mean capacity_l?"},
        {"\"capacity_l\": 200000, ", "", "tanks[0].capacity_l: is missing"},
        {"\"criterion\": \"awwa_d110\"", "\"criterion\": \"dry\"",
         "tanks[0].criterion: is \"dry\"; it must be one of awwa_d110"},
        {"\"pan\": \"open\"", "\"pan\": \"open\", \"pan_factor\": 0", "tanks[0].pan_factor: is 0"},
        {"\"filled_on\": \"2026-03-01\"}",
         "\"filled_on\": \"2026-03-01\"}, {\"id\": \"T1\", \"capacity_l\": 8, "
         "\"plan_area_m2\": 2, \"depth_m\": 0.004, \"criterion\": \"bs8007\"}",
         "a.json: tanks[1]: \"T1\" stands twice in this file"},
        {"\"on\": \"2024-05-06\"", "\"on\": \"2023-02-29\"",
         "answers[0].on: \"2023-02-29\" is no date; write YYYY-MM-DD"},
        {"\"name\": \"Pump house\"", "\"design\": {\"level_m\": 1, \"known\": \"told\"}",
         "site: the design water level 1.000 m lies below today's 1.500 m"},
        {"\"name\": \"Pump house\"", "\"retained_top_m\": -1",
         "the retained top -1.000 m lies below the lowest point"},
        {"\"name\": \"Pump house\"", "\"currency\": \"eur\"", "three capital letters"},
        {"\"units\": \"metric\"", "\"units\": \"imperial\"",
         "units: is \"imperial\"; it must be one of metric, us"},
        {"\"stanch_survey\": 1", "\"stanch_survey\": 2", "stanch_survey: is 2; it must lie in 1 to 1"},
        {"\"rates\"", "\"rate\"", "rate: unknown field; did you mean rates?"},
        {"Pump house", "Pump \xff house", "line 1, column"},
        {"Pump house", "Pump \xed\xa0\x80", "line 1, column"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char *bytes = replaced(cases[i].from, cases[i].to);
        expect(read_and_check(bytes, strlen(bytes)), cases[i].sentence);
        free(bytes);
    }
}

static void test_every_fault_of_a_file_is_told(void **state) {
    (void)state;
    const char bytes[] =
        "{\"stanch_survey\": 1, \"units\": \"metric\", \"faces\": [{}, 3], \"defects\": [{\"mark\": 1}]}";
    fault_list *faults = read_and_check(bytes, sizeof bytes - 1);
    assert_int_equal(fault_list_count(faults), 5 + 1 + 3);
    fault_list_free(faults);
}

static void test_not_even_json(void **state) {
    (void)state;
    expect(read_and_check("", 0), "not valid JSON");
    expect(read_and_check("[]", 2), "a list where an object { } belongs");
    expect(read_and_check("{} x", 4), "not valid JSON");
    expect(read_and_check("{\"units\": \"us\"}", 15), "stanch_survey: is missing");
    size_t n = 10 * 1024 * 1024;
    char *line = malloc(n);
    memset(line, '[', n);
    expect(read_and_check(line, n), "not valid JSON: maximum parsing depth reached");
    memset(line, ' ', n);
    expect(read_and_check(line, n), "not valid JSON");
    memset(line, 'x', n);
    line[0] = '"';
    expect(read_and_check(line, n), "not valid JSON");
    line[n - 1] = '"';
    expect(read_and_check(line, n), "where an object { } belongs");
    free(line);
}

static void test_merging(void **state) {
    (void)state;
    survey *s = survey_new();
    fault_list *faults = fault_list_new();
    char *other = replaced("\"width_mm\": 0.3", "\"width_mm\": 0.7");
    assert_true(survey_read_json(s, "a", base, sizeof base - 1, faults));
    assert_true(survey_read_json(s, "b", other, strlen(other), faults));
    assert_int_equal(s->n_defects, 4);
    assert_int_equal(s->n_faces, 2);
    assert_int_equal(s->n_folds, 1);
    assert_int_equal(s->n_answers, 1);
    assert_true(s->defects[0].stations[0].width_m.v == 0.0007);
    assert_string_equal(s->defects[0].origin, "b: defects[0]");
    const char site[] = "{\"stanch_survey\": 1, \"units\": \"us\", \"site\": {\"place\": \"Dock\", \"crew\": "
                        "3, \"today\": null}}";
    assert_true(survey_read_json(s, "c", site, sizeof site - 1, faults));
    assert_string_equal(s->site.name, "Pump house"); /* not given: stays */
    assert_string_equal(s->site.place, "Dock");
    assert_false(s->site.today.level_m.known);
    assert_true(s->site.crew == 3);
    assert_true(s->site.system == UNITS_METRIC); /* the document's units are not the job's */
    free(other);
    fault_list_free(faults);
    survey_free(s);
}

/* ---- CSV ---- */

static fault_list *csv_faults(const char *table, size_t length) {
    survey *s = survey_new();
    fault_list *faults = fault_list_new();
    assert_true(survey_read_json(s, "a.json", base, sizeof base - 1, faults));
    if (survey_read_csv(s, "t.csv", table, length, faults)) survey_check(s, faults);
    survey_free(s);
    return faults;
}

#define STOP_HEAD "mark,kind,face,u_m,v_m,waterstop,cutoff_mm,open_from_m,open_to_m\n"
#define HEAD "mark,kind,face,u_m,v_m,chainage_m,width_mm,wetness\n"

static void test_csv_faults(void **state) {
    (void)state;
    static const struct {
        const char *table, *sentence;
    } cases[] = {
        {"", "t.csv: is empty; the first line must name the columns"},
        {"\n\n", "t.csv: is empty"},
        {"mark,kind,face,u_m\n", "t.csv: the column v_m is missing"},
        {"mark,kind,face,u_m,v_m,widht_mm\n", "t.csv: unknown column \"widht_mm\"; did you mean width_mm?"},
        {"mark,kind,face,u_m,v_m,mark\n", "the column mark stands twice"},
        {"mark,kind,face,u_ft,v_m\n", "mix metric and US units"},
        {HEAD "C2,crack,N,1,1,,0.2,seep\nC2,crack,N,1,x,,0.2,seep\n",
         "t.csv: line 3: v_m: \"x\" is no number"},
        {HEAD "C2,crack,N,1,1,,99,seep\n", "t.csv: line 2: width_mm: is 99; it must lie in 0 to 50 mm"},
        {HEAD "C2,crack,N,1,1,,nan,seep\n", "line 2: width_mm: \"nan\" is no number"},
        {HEAD "C2,crack,N,1,1,,inf,seep\n", "line 2: width_mm: \"inf\" is no number"},
        {HEAD "C2,crack,N,1,1,,1e308,seep\n", "line 2: width_mm: is 1e+308"},
        {HEAD "C2,crack,N,1,1,,0x10,seep\n", "line 2: width_mm: \"0x10\" is no number"},
        {HEAD "C2,crack,N,1,1,,0.2,\n", "line 2: wetness: is missing"},
        {HEAD "C2,crack,N,1,,,0.2,dry\n", "line 2: v_m: is missing"},
        {HEAD "C2,crack,,1,1,,0.2,dry\n", "line 2: face: is missing"},
        {HEAD ",crack,N,1,1,,0.2,dry\n", "line 2: mark: is missing"},
        {HEAD "C2,,N,1,1,,0.2,dry\n", "line 2: kind: is missing"},
        {HEAD "C2,crack,,,,1,0.2,dry\n", "line 2: no row of C2 gives u and v"},
        {HEAD "C2,crack,N,1,1,,,\nC2,crack,,,,,0.2,dry\n", "line 3: chainage_m: is missing"},
        {HEAD "C2,crack,N,1,1,,,\nC2,joint,N,2,1,,,\n",
         "t.csv: line 3: what belongs to the whole of C2 (kind, diameter, waterstop, signs and so on) "
         "differs from "
         "line 2"},
        {STOP_HEAD "C2,joint,N,1,1,there,100,,\nC2,,N,2,1,,120,,\n",
         "(kind, diameter, waterstop, signs and so on) differs from line 2"},
        {STOP_HEAD "C2,joint,N,1,1,there,100,0.1,\n", "t.csv: line 2: open.to_m: is missing"},
        {STOP_HEAD "C2,joint,N,1,1,there,100,0.1,0.4\nC2,,N,2,1,,,0.3,0.5\n",
         "t.csv: line 2: C2, open place 2: begins at 0.300 m, before the end of the one before, 0.400 m"},
        {HEAD "C2,crack,N,1,1,,,\nC2,crack,E,,,0.5,0.2,dry\n",
         "line 3: face: is \"E\" in a row without u and v"},
        {HEAD "C2,crack,N,1,1,,,\nC2,crack,N,2,1,1.8,0.2,dry\n",
         "line 3: the chainage is 1.800 m, but the point u, v of this row lies at 1.000 m along the trace"},
        {HEAD "C2,crack,N,1,1,,,,extra\n", "line 2: cell 9 holds \"extra\" but its column has no heading"},
        {HEAD "C2,crack,N,1,1,,,\n\"C2,crack,N,2,1,,,\n",
         "t.csv: line 3: a quoted cell begins in this row and never ends"},
        {HEAD "C2,cr\"ack,N,1,1,,,\n", "t.csv: line 2: a quotation mark out of place"},
        {HEAD "C2,crack,N,1,1,,,\nC2,crack,N,\xff,1,,,\n", "t.csv: line 3: is not UTF-8 text"},
        {HEAD "C2,crack,Q,1,1,,,\nC2,crack,Q,2,1,,,\n", "t.csv: line 2: part 1 of C2 names the face \"Q\""},
        {HEAD "C2,crack,N,1,1,,,\nC2,crack,N,2,4,,,\n",
         "t.csv: line 2: C2: point 2 of part 1 (2.000 m, 4.000 m) lies 1000.0 mm off face N"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        expect(csv_faults(cases[i].table, strlen(cases[i].table)), cases[i].sentence);
    size_t n = 10 * 1024 * 1024;
    char *line = malloc(n);
    memset(line, 'x', n);
    expect(csv_faults(line, n), "unknown column");
    memset(line, ',', n);
    expect(csv_faults(line, n), "t.csv: line 1: has more than 1000 cells");
    free(line);
    expect(csv_faults("mark\0kind", 9), "is not UTF-8 text");
}

/* A spreadsheet of another country: byte order mark, semicolons, decimal commas, CRLF, trailing empty rows.
 */
static void test_csv_of_a_spreadsheet(void **state) {
    (void)state;
    const char table[] = "\xEF\xBB\xBFkind;mark;face;u_m;v_m;chainage_m;width_mm;wetness;note;signs\r\n"
                         "crack;C2;N;1;1,5;;0,25;seep;\"two\r\nlines\";rust  growing\r\n"
                         "# a comment;;;;;;;;;\r\n"
                         "tie_hole;T9;E;2;2;;;drip;;\r\n"
                         ";C2;;;;0,5;0,1;damp;second;\r\n"
                         ";C2;;2;1,5;;;dry;;\r\n;;;;;;;;;\r\n\r\n";
    survey *s = survey_new();
    fault_list *faults = fault_list_new();
    survey_read_json(s, "a.json", base, sizeof base - 1, faults);
    survey_read_csv(s, "t.csv", table, sizeof table - 1, faults);
    survey_check(s, faults);
    for (size_t i = 0; i < fault_list_kept(faults); i++) print_message("%s\n", fault_list_text(faults, i));
    assert_int_equal(fault_list_count(faults), 0);
    assert_int_equal(s->n_defects, 6);
    const survey_defect *c = survey_find_defect(s, "C2");
    assert_int_equal(c->n_parts, 1);
    assert_int_equal(c->parts[0].n_points, 2);
    assert_true(c->parts[0].points[0].v_m == 1.5);
    assert_int_equal(c->n_stations, 3);
    assert_true(c->stations[0].chainage_m == 0 && c->stations[0].width_m.v == 0.00025);
    assert_true(c->stations[1].chainage_m == 0.5 && c->stations[1].wetness == WET_DAMP);
    assert_true(c->stations[2].chainage_m == 1 && !c->stations[2].width_m.known);
    assert_int_equal(c->signs, SIGN_BIT(SIGN_RUST) | SIGN_BIT(SIGN_GROWING));
    assert_int_equal(c->n_notes, 2);
    assert_string_equal(c->notes[0], "two\nlines");
    fault_list_free(faults);
    survey_free(s);
}

/* The waterstop and its open places fit in rows, so that a spreadsheet that replaces a joint loses none. */
static void test_csv_carries_a_waterstop(void **state) {
    (void)state;
    survey *s = survey_new(), *back = survey_new();
    fault_list *faults = fault_list_new();
    text t = {0};
    assert_true(survey_read_json(s, "a.json", base, sizeof base - 1, faults));
    assert_true(survey_read_json(back, "a.json", base, sizeof base - 1, faults));
    survey_write_csv(s, &t);
    assert_true(survey_read_csv(back, "t.csv", t.bytes, t.length, faults));
    const survey_defect *j = survey_find_defect(back, "J1");
    assert_int_equal(j->waterstop, STOP_THERE);
    assert_true(j->cutoff_m.known && j->cutoff_m.v == 0.15);
    assert_int_equal(j->n_opens, 3); /* one more than the trace has points */
    assert_true(j->opens[0].from_m == 0.5 && j->opens[0].to_m == 1);
    assert_true(j->opens[1].from_m == 2 && j->opens[1].to_m == 2.5);
    assert_true(j->opens[2].from_m == 2.5 && j->opens[2].to_m == 2.75);
    assert_int_equal(survey_find_defect(back, "C1")->waterstop, STOP_UNKNOWN);
    assert_true(survey_check(back, faults));
    text_free(&t);
    fault_list_free(faults);
    survey_free(s);
    survey_free(back);
}

/* Chainages that come from coordinates are kept by export and import even where a foot is no round metre. */
static void test_csv_in_feet_settles_at_once(void **state) {
    (void)state;
    char table[4000] = "mark,kind,face,u_ft,v_ft,wetness\n";
    for (int i = 0; i < 60; i++) {
        size_t used = strlen(table);
        snprintf(table + used, sizeof table - used, "C2,crack,N,%d.%d,%d.%d,seep\n", i / 4, i % 10, i * i % 7,
                 i * 3 % 10);
    }
    survey *one = survey_new(), *two = survey_new();
    fault_list *faults = fault_list_new();
    text first = {0}, second = {0};
    one->site.system = two->site.system = UNITS_US;
    assert_true(survey_read_csv(one, "t.csv", table, strlen(table), faults));
    survey_write_csv(one, &first);
    assert_true(survey_read_csv(two, "t.csv", first.bytes, first.length, faults));
    survey_write_csv(two, &second);
    assert_string_equal(first.bytes, second.bytes);
    assert_int_equal(one->defects[0].n_stations, 60);
    for (size_t i = 0; i < 60; i++)
        assert_true(one->defects[0].stations[i].chainage_m == two->defects[0].stations[i].chainage_m);
    text_free(&first);
    text_free(&second);
    fault_list_free(faults);
    survey_free(one);
    survey_free(two);
}

static void test_template(void **state) {
    (void)state;
    for (int us = 0; us < 2; us++) {
        survey *s = survey_new();
        fault_list *faults = fault_list_new();
        text t = {0};
        survey_write_template(us ? UNITS_US : UNITS_METRIC, &t);
        assert_true(survey_read_csv(s, "t.csv", t.bytes, t.length, faults));
        assert_int_equal(s->n_defects, 0); /* the examples are comments */
        /* without the "# " they are good rows */
        for (char *c = t.bytes; (c = strstr(c, "\n# ")) != NULL;) memmove(c + 1, c + 3, strlen(c + 3) + 1);
        survey_read_json(s, "a.json", base, sizeof base - 1, faults);
        survey_read_csv(s, "t.csv", t.bytes, strlen(t.bytes), faults);
        survey_check(s, faults);
        for (size_t i = 0; i < fault_list_kept(faults); i++)
            print_message("%s\n", fault_list_text(faults, i));
        assert_int_equal(fault_list_count(faults), 0);
        assert_int_equal(s->n_defects, 5); /* C1 was replaced, T1 came */
        text_free(&t);
        fault_list_free(faults);
        survey_free(s);
    }
}

static void test_csv_numbers(void **state) {
    (void)state;
    csv_table comma = {.separator = ','}, semicolon = {.separator = ';'};
    double v = 0;
    assert_true(csv_table_number(&semicolon, "1,5", &v) && v == 1.5);
    assert_true(csv_table_number(&semicolon, "1.5", &v) && v == 1.5);
    assert_true(csv_table_number(&comma, "-1e-3", &v) && v == -0.001);
    assert_false(csv_table_number(&comma, "1,5", &v));
    assert_false(csv_table_number(&semicolon, "1,500,000", &v));
    assert_false(csv_table_number(&semicolon, "1.000,5", &v));
    assert_false(csv_table_number(&comma, "", &v));
}

/* ---- GeoJSON ---- */

static fault_list *geojson_faults(const char *bytes) {
    survey *s = survey_new();
    fault_list *faults = fault_list_new();
    assert_true(survey_read_json(s, "a.json", base, sizeof base - 1, faults));
    if (survey_read_geojson(s, "g.json", bytes, strlen(bytes), faults)) survey_check(s, faults);
    survey_free(s);
    return faults;
}

#define FEATURES(list) "{\"type\": \"FeatureCollection\", \"features\": [" list "]}"
#define LINE(points, properties)                                                                             \
    FEATURES("{\"type\": \"Feature\", \"geometry\": {\"type\": \"LineString\", \"coordinates\": " points     \
             "}, \"properties\": {" properties "}}")

static void test_geojson_faults(void **state) {
    (void)state;
    static const struct {
        const char *bytes, *sentence;
    } cases[] = {
        {"{}", "g.json: type: is not \"FeatureCollection\""},
        {"{\"type\": \"FeatureCollection\"}", "features: is missing"},
        {FEATURES("1"), "features[0]: 1 where an object { } belongs"},
        {FEATURES("{\"type\": \"Feature\"}"), "features[0].properties: is missing"},
        {LINE("[[1,1],[2,1]]", "\"kind\": \"crack\", \"face\": \"N\""),
         "g.json: features[0].properties.mark: is missing"},
        {LINE("[[1,1],[2,1]]", "\"mark\": \"C2\", \"kind\": \"crack\""),
         "features[0].properties.face: is missing"},
        {LINE("[[1,1]]", "\"mark\": \"C2\", \"kind\": \"crack\", \"face\": \"N\""),
         "features[0].geometry.coordinates: has 1 points; it must have at least 2"},
        {LINE("[[1,1],[2,1]]", "\"mark\": \"C2\", \"kind\": \"honeycomb\", \"face\": \"N\""),
         "features[0].geometry.type: is \"LineString\"; honeycomb is drawn as a Polygon"},
        {LINE("[[1,1],[2,1,7]]", "\"mark\": \"C2\", \"kind\": \"crack\", \"face\": \"N\""),
         "coordinates[1]: is no point"},
        {LINE("[[1,1],[13.4,52.5]]", "\"mark\": \"C2\", \"kind\": \"crack\", \"face\": \"N\""),
         "g.json: features[0]: C2: point 2 of part 1 (13.400 m, 52.500 m) lies"},
        {LINE("[[1,1],[2,1]]", "\"mark\": \"C2\", \"kind\": \"crack\", \"face\": \"N\", \"colour\": \"red\""),
         "features[0].properties.colour: unknown field"},
        {FEATURES("{\"type\": \"Feature\", \"geometry\": {\"type\": \"Polygon\", \"coordinates\": "
                  "[[[1,1],[2,1],[2,2],[1,2]]]},"
                  " \"properties\": {\"mark\": \"H2\", \"kind\": \"honeycomb\", \"face\": \"N\"}}"),
         "coordinates[0]: does not close"},
        {FEATURES("{\"type\": \"Feature\", \"geometry\": {\"type\": \"MultiLineString\", \"coordinates\": "
                  "[[[5,1],[6,1]],[[0,1],[1,1]]]},"
                  " \"properties\": {\"mark\": \"C2\", \"kind\": \"crack\", \"faces\": [\"N\"]}}"),
         "faces: names 1 faces for 2 lines"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        expect(geojson_faults(cases[i].bytes), cases[i].sentence);
    fault_list *plain =
        geojson_faults(LINE("[[1,1],[2,1]]", "\"mark\": \"C2\", \"kind\": \"crack\", \"face\": \"N\""));
    assert_int_equal(fault_list_count(plain), 0);
    fault_list_free(plain);
}

/* RFC 7946, 3.1.6: outer rings anticlockwise, holes clockwise, whatever way they were drawn. */
static void test_geojson_rings_turn_right(void **state) {
    (void)state;
    char *bytes = replaced("[[0,0],[6,0],[6,3],[0,3]]", "[[0,0],[0,3],[6,3],[6,0]]");
    survey *s = survey_new();
    fault_list *faults = fault_list_new();
    text t = {0};
    assert_true(survey_read_json(s, "a.json", bytes, strlen(bytes), faults));
    survey_write_geojson(s, &t);
    assert_non_null(strstr(
        t.bytes, "[[[0, 0], [6, 0], [6, 3], [0, 3], [0, 0]], [[4, 1], [4, 2], [5, 2], [5, 1], [4, 1]]]"));
    assert_non_null(strstr(t.bytes, "\"reversed\": [0, 1]"));
    text_free(&t);
    fault_list_free(faults);
    survey_free(s);
    free(bytes);
}

/* The job file knows one zero only, so a reader must not bring the other. */
static void test_there_is_one_zero(void **state) {
    (void)state;
    char *bytes = replaced("\"width_mm\": 0.3", "\"width_mm\": -0.0");
    survey *s = survey_new();
    fault_list *faults = fault_list_new();
    assert_true(survey_read_json(s, "a.json", bytes, strlen(bytes), faults));
    assert_false(signbit(s->defects[0].stations[0].width_m.v));
    fault_list_free(faults);
    survey_free(s);
    free(bytes);
}

/* ---- every allocation failing in turn ---- */

typedef bool reader(survey *into, const char *source, const char *bytes, size_t length, fault_list *faults);

/* Whatever allocation fails, the import says that memory ran out and blames nothing else for good. */
static void fail_each(reader *read, const char *bytes, size_t length) {
    long failures = 0;
    for (long n = 0;; n++) {
        survey *s = survey_new();
        fault_list *faults = fault_list_new();
        fault why = {OK, ""};
        assert_true(survey_read_json(s, "a.json", base, sizeof base - 1, faults));
        long before = mem_count();
        mem_fail_at(n, n % 2 != 0);
        bool good = read(s, "t", bytes, length, faults) && survey_check(s, faults);
        long used = mem_count() - before;
        mem_fail_at(-1, 0);
        status code = fault_list_status(faults, &why);
        assert_int_equal(code, good ? OK : E_MEMORY);
        failures += !good;
        fault_list_free(faults);
        survey_free(s);
        if (used <= n) break;
    }
    print_message("%ld failures told\n", failures);
    assert_true(failures > 20);
}

/* 50 with 40 to 70 becomes 100 with 80 to 140; a range that comes along is taken; the same value keeps its own to the bit. */
static void test_a_range_moves_with_its_value(void **state) {
    (void)state;
    static const char head[] = "{\"stanch_survey\": 1, \"units\": \"metric\", ";
    static const struct {
        const char *prices;
        double low, high;
    } steps[] = {{"\"price\": 50, \"low\": 40, \"high\": 70", 40, 70},
                 {"\"price\": 100", 80, 140},
                 {"\"price\": 100", 80, 140},
                 {"\"price\": 30, \"low\": 10.1, \"high\": 33.3", 10.1, 33.3},
                 {"\"price\": 30", 10.1, 33.3}};
    survey *s = survey_new();
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++) {
        char bytes[300];
        fault_list *faults = fault_list_new();
        snprintf(bytes, sizeof bytes,
                 "%s\"prices\": [{\"id\": \"p\", %s}], \"rates\": [{\"id\": \"r\", \"basis\": \"own\", "
                 "\"value\"%s}]}",
                 head, steps[i].prices, steps[i].prices + strlen("\"price\""));
        assert_true(survey_read_json(s, "a.json", bytes, strlen(bytes), faults));
        fault_list_free(faults);
        assert_true(s->prices[0].low.v == steps[i].low && s->prices[0].high.v == steps[i].high);
        assert_true(s->rates[0].low.v == steps[i].low && s->rates[0].high.v == steps[i].high);
    }
    survey_free(s);
}

static bool brings(survey *s, const char *members) {
    char bytes[400];
    fault_list *faults = fault_list_new();
    snprintf(bytes, sizeof bytes, "{\"stanch_survey\": 1, \"units\": \"metric\", %s}", members);
    bool good = survey_read_json(s, "a.json", bytes, strlen(bytes), faults);
    fault_list_free(faults);
    return good;
}

/* A new figure alone keeps what it is of; a price so brought is the firm's, no longer "(invented)". */
static void test_a_value_keeps_its_words(void **state) {
    (void)state;
    survey *s = survey_new();
    assert_true(brings(
        s, "\"rates\": [{\"id\": \"r\", \"label\": \"Cut\", \"unit\": \"h/m\", \"basis\": \"default\", "
           "\"value\": 1}], \"prices\": [{\"id\": \"p\", \"label\": \"Labour (invented)\", \"unit\": \"h\", "
           "\"price\": 52}, {\"id\": \"q\", \"label\": \"(invented) by us\", \"price\": 5}]"));
    assert_string_equal(s->prices[0].label, "Labour (invented)");
    assert_true(brings(s, "\"rates\": [{\"id\": \"r\", \"basis\": \"own\", \"value\": 2}], "
                          "\"prices\": [{\"id\": \"p\", \"price\": 60}, {\"id\": \"q\", \"price\": 6}]"));
    assert_string_equal(s->rates[0].label, "Cut");
    assert_string_equal(s->rates[0].unit, "h/m");
    assert_string_equal(s->prices[0].label, "Labour");
    assert_string_equal(s->prices[0].unit, "h");
    assert_string_equal(s->prices[1].label, "(invented) by us");
    assert_null(s->prices[1].unit);
    assert_true(brings(
        s, "\"prices\": [{\"id\": \"p\", \"label\": \"Crew\", \"unit\": \"man-hour\", \"price\": 60}]"));
    assert_string_equal(s->prices[0].label, "Crew");
    assert_string_equal(s->prices[0].unit, "man-hour");
    survey_free(s);
}

static void test_memory_runs_out(void **state) {
    (void)state;
    const char table[] =
        "mark,kind,face,u_m,v_m,chainage_m,width_mm,wetness,note,photo_file,signs,flow_to_m,flow_drips_per_"
        "min,waterstop,cutoff_mm,open_from_m,open_to_m\n"
        "C2,crack,N,1,1,,0.2,seep,note,p.jpg,rust,0.5,12,,,,\nC2,,N,2,1,,,dry,,,,,,,,,\n"
        "C3,joint,N,1,2,,,,,,,,,there,90,0.1,0.2\nC3,,N,2,2,,,,,,,,,,,0.5,0.6\n";
    const char drawing[] = LINE("[[1,1],[2,1]]", "\"mark\": \"C2\", \"kind\": \"crack\", \"face\": \"N\"");
    fail_each(survey_read_csv, table, sizeof table - 1);
    fail_each(survey_read_geojson, drawing, sizeof drawing - 1);
    fail_each(survey_read_json, base, sizeof base - 1);
}

/* A text is never a formula of the spreadsheet that opens the file, and comes back as it was. */
static void csv_cells_are_no_formulas(void **state) {
    (void)state;
    static const char *const texts[][2] = {
        {"=cmd()", "'=cmd()"}, {"+1a", "'+1a"}, {"-", "'-"},   {"@x", "'@x"}, {"=a,b", "\"'=a,b\""},
        {"'=x", "''=x"},       {"''@", "'''@"}, {"'x", "'x"},  {"'", "'"},    {"-0.5", "-0.5"},
        {"+3", "+3"},          {"E3", "E3"},    {"a=b", "a=b"}};
    arena *memory = arena_new();
    fault_list *faults = fault_list_new();
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        text line = {0};
        csv_table back;
        csv_put_cell(&line, texts[i][0]);
        assert_string_equal(text_get(&line), texts[i][1]);
        text_add(&line, ",x\n");
        assert_true(csv_table_read("t", line.bytes, line.length, memory, &back, faults));
        assert_int_equal(back.rows[0].n_cells, 2);
        assert_string_equal(back.rows[0].cells[0], texts[i][0]);
        text_free(&line);
    }
    fault_list_free(faults);
    arena_free(memory);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(csv_cells_are_no_formulas),
        cmocka_unit_test(test_base_is_sound),
        cmocka_unit_test(test_each_fault_has_its_sentence),
        cmocka_unit_test(test_every_fault_of_a_file_is_told),
        cmocka_unit_test(test_not_even_json),
        cmocka_unit_test(test_merging),
        cmocka_unit_test(test_csv_faults),
        cmocka_unit_test(test_csv_of_a_spreadsheet),
        cmocka_unit_test(test_csv_carries_a_waterstop),
        cmocka_unit_test(test_csv_in_feet_settles_at_once),
        cmocka_unit_test(test_template),
        cmocka_unit_test(test_csv_numbers),
        cmocka_unit_test(test_geojson_faults),
        cmocka_unit_test(test_geojson_rings_turn_right),
        cmocka_unit_test(test_there_is_one_zero),
        cmocka_unit_test(test_a_range_moves_with_its_value),
        cmocka_unit_test(test_a_value_keeps_its_words),
        cmocka_unit_test(test_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
