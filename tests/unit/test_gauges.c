/* Readings of gauges, the air and typical years come in from files: added to what is there, and what is wrong is told. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "core/file.h"
#include "survey/check.h"
#include "survey/read_csv.h"
#include "survey/read_epw.h"
#include "survey/read_json.h"
#include "survey/read_table.h"
#include "survey/readings.h"
#include "survey/write_csv.h"
#include "survey/write_gauges.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char base[] =
    "{\"stanch_survey\": 1, \"units\": \"metric\", \"site\": {\"coldest_c\": -2, \"warmest_c\": 22},"
    " \"faces\": [{\"id\": \"N\", \"lie\": \"wall\", \"thickness_m\": 0.3, \"elevation_m\": 0,"
    "   \"outline\": [[0,0],[6,0],[6,3],[0,3]]}],"
    " \"defects\": [{\"mark\": \"C1\", \"kind\": \"crack\", \"parts\": [{\"face\": \"N\", \"points\": "
    "[[1,1],[1,2]]}],"
    "   \"readings\": [{\"gauge\": \"B\", \"on\": \"2025-01-05\", \"width_mm\": 0.1, \"temperature_c\": 3},"
    "    {\"on\": \"2025-02-05\", \"width_mm\": 0.32, \"temperature_c\": 4},"
    "    {\"on\": \"2025-01-05\", \"width_mm\": -0.3, \"temperature_c\": 3}]},"
    "  {\"mark\": \"C2\", \"kind\": \"crack\", \"parts\": [{\"face\": \"N\", \"points\": [[2,1],[2,2]]}]}]}";

typedef struct {
    survey *s;
    fault_list *faults;
} job;

static job begin(void) {
    job j = {survey_new(), fault_list_new()};
    if (!survey_read_json(j.s, "base.json", base, sizeof base - 1, j.faults))
        fail_msg("%s", fault_list_text(j.faults, 0));
    return j;
}

static void end(job *j) {
    survey_free(j->s);
    fault_list_free(j->faults);
}

static bool read(job *j, const char *name, const char *bytes) {
    return survey_read_table(j->s, name, bytes, strlen(bytes), j->faults);
}

static void must(job *j, const char *bytes) {
    if (!read(j, "g.csv", bytes) || !survey_check(j->s, j->faults))
        fail_msg("%s", fault_list_text(j->faults, 0));
}

static void expect(const char *bytes, const char *sentence) {
    job j = begin();
    bool good = read(&j, "g.csv", bytes) && survey_check(j.s, j.faults);
    if (good) fail_msg("no fault; expected \"%s\"", sentence);
    if (!strstr(fault_list_text(j.faults, 0), sentence))
        fail_msg("expected \"%s\", got \"%s\"", sentence, fault_list_text(j.faults, 0));
    end(&j);
}

static void test_order(void **state) {
    (void)state;
    job j = begin();
    const survey_defect *d = &j.s->defects[0];
    assert_int_equal(d->n_readings, 3);
    assert_null(d->readings[0].gauge); /* one without a name first, then by date */
    assert_string_equal(d->readings[0].on, "2025-01-05");
    assert_string_equal(d->readings[1].on, "2025-02-05");
    assert_string_equal(d->readings[2].gauge, "B");
    assert_true(survey_check(j.s, j.faults));
    end(&j);
}

static void test_kinds_of_tables(void **state) {
    (void)state;
    const struct {
        const char *heading;
        table_kind kind;
    } cases[] = {
        {"mark,gauge,on,width_mm,temperature_c\n", TABLE_GAUGES},
        {"on;mark;width_in\r\n", TABLE_GAUGES},
        {"mark,gauge,width_mm", TABLE_GAUGES}, /* its reader says that `on` is missing */
        {"\xEF\xBB\xBFon,air_c\n", TABLE_AIR},
        {"air_f\ton\n", TABLE_AIR},
        {"mark,kind,face,u_m,v_m,width_mm,wetness\n", TABLE_STATIONS},
        {"", TABLE_STATIONS},
        {"\"", TABLE_STATIONS},
        {"what\n", TABLE_STATIONS},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        assert_int_equal(survey_table_kind(cases[i].heading, strlen(cases[i].heading)), cases[i].kind);
}

static void test_gauges_are_added(void **state) {
    (void)state;
    job j = begin();
    must(&j, "mark,gauge,on,width_mm,temperature_c\n"
             "C1,,2025-03-05,0.33,6.5\n" /* new */
             "# C1 is looked after by N. N.\n"
             "C1,,2025-02-05,0.32,4\n" /* there already */
             "C1,B,2024-12-05,0.09,2\n"
             "C2,,2025-01-05,-0.5,3\n");
    const survey_defect *d = j.s->defects;
    assert_int_equal(d[0].n_readings, 5);
    assert_string_equal(d[0].readings[2].on, "2025-03-05");
    assert_string_equal(d[0].readings[3].on, "2024-12-05");
    assert_int_equal(d[1].n_readings, 1);
    assert_true(d[1].readings[0].width_m == -0.0005);
    text out = {0};
    survey_write_gauges(j.s, &out);
    assert_string_equal(text_get(&out),
                        "mark,gauge,on,width_mm,temperature_c\n"
                        "C1,,2025-01-05,-0.3,3\nC1,,2025-02-05,0.32,4\nC1,,2025-03-05,0.33,6.5\n"
                        "C1,B,2024-12-05,0.09,2\nC1,B,2025-01-05,0.1,3\nC2,,2025-01-05,-0.5,3\n");
    must(&j, text_get(&out)); /* the whole again: nothing new */
    assert_int_equal(d[0].n_readings + d[1].n_readings, 6);
    text_free(&out);
    end(&j);
}

/* 0.0125 in = 0.3175 mm; 41 F = 5 C. */
static void test_inches(void **state) {
    (void)state;
    job j = begin();
    must(&j, "mark;on;width_in;temperature_f\nC2;2025-01-05;0,0125;41\n");
    const survey_reading *r = &j.s->defects[1].readings[0];
    assert_true(fabs(r->width_m - 0.3175e-3) < 1e-15);
    assert_true(r->temperature_c.known && fabs(r->temperature_c.v - 5) < 1e-12);
    end(&j);
}

static void test_a_temperature_comes_later(void **state) {
    (void)state;
    job j = begin();
    assert_true(read(&j, "g.csv", "mark,on,width_mm\nC2,2025-01-05,0.2\n"));
    assert_false(survey_check(j.s, j.faults)); /* it has none yet, and there is no log of the air */
    assert_true(read(&j, "g.csv", "mark,on,width_mm,temperature_c\nC2,2025-01-05,0.2,4\n") ||
                fault_list_count(j.faults) == 1);
    assert_int_equal(j.s->defects[1].n_readings, 1);
    assert_true(j.s->defects[1].readings[0].temperature_c.v == 4);
    end(&j);
}

#define GAUGES "mark,gauge,on,width_mm,temperature_c\n"

static void test_faults(void **state) {
    (void)state;
    const struct {
        const char *bytes, *sentence;
    } cases[] = {
        {GAUGES "C1,B,2025-01-05,0.2,3\n",
         "g.csv: line 2: C1, gauge B on 2025-01-05: was read as 0.1 mm already, and now as 0.2 mm"},
        {GAUGES "C1,B,2025-01-05,0.1,5\n", "was read as 3 \u00B0C already, and now as 5 \u00B0C"},
        {GAUGES "C2,,2025-01-05,0.2,3\n\nC2,,2025-01-05,0.3,3\n",
         "g.csv: line 4: C2 on 2025-01-05: was read as 0.2 mm"},
        {GAUGES "C9,,2025-01-05,0.2,3\n", "g.csv: line 2: no leak is marked C9; did you mean C1?"},
        {GAUGES ",,2025-01-05,0.2,3\n", "g.csv: line 2: mark: is missing"},
        {GAUGES "C2,,,0.2,3\n", "g.csv: line 2: on: is missing"},
        {GAUGES "C2,,2025-02-29,0.2,3\n", "line 2: on: \"2025-02-29\" is no date"},
        {GAUGES "C2,,2025-01-05,,3\n", "line 2: width_mm: is missing"},
        {GAUGES "C2,,2025-01-05,50.1,3\n", "width_mm: is 50.1; it must lie in -50 to 50 mm"},
        {GAUGES "C2,,2025-01-05,nan,3\n", "width_mm: \"nan\" is no number"},
        {GAUGES "C2,,2025-01-05,0.2,61\n", "temperature_c: is 61; it must lie in -50 to 60"},
        {GAUGES "C2,,2025-01-05,0.2,3,more\n", "cell 6 holds \"more\" but its column has no heading"},
        {"mark,gauge,width_mm\nC2,,0.2\n", "g.csv: the column on is missing"},
        {"mark,on,width_mm,widht\n", "unknown column \"widht\""},
        {"mark,on,on,width_mm\n", "the column on stands twice"},
        {"mark,on,width_mm,temperature_f\n", "mix metric and US units"},
        {GAUGES "C2,,2025-01-05,0.2,\n",
         "C2, reading of 2025-01-05: no temperature, and the site has no log of the air"},
        {"on,air_c\n2025-01-05,3\n2025-01-05,4\n", "g.csv: line 3: the air of 2025-01-05: was 3"},
        {"on,air_c\n2025-01-05,\n", "line 2: air_c: is missing"},
        {"on,air_c\n2025-01-05,99.9\n", "line 2: air_c: is 99.9"},
        {"air_c\n5\n", "g.csv: the column on is missing"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) expect(cases[i].bytes, cases[i].sentence);
}

/* The air must reach over all readings of a gauge of which one has no temperature. */
static void test_air_covers(void **state) {
    (void)state;
    job j = begin();
    must(&j, "on,air_c\n2025-03-05,7\n2025-01-05,3\n");
    must(&j, "on,air_c\n2025-03-05,7\n2025-02-05,5\n");
    assert_int_equal(j.s->site.n_air, 3);
    assert_string_equal(j.s->site.air[1].on, "2025-02-05");
    must(&j, GAUGES "C2,,2025-01-05,0.2,\nC2,,2025-03-05,0.2,7\n");
    assert_true(read(&j, "g.csv", GAUGES "C2,,2025-03-06,0.2,7\n"));
    assert_false(survey_check(j.s, j.faults));
    assert_non_null(
        strstr(fault_list_text(j.faults, 0),
               "the log of the air runs from 2025-01-05 to 2025-03-05; it must reach over the readings, "
               "2025-01-05 to 2025-03-06"));
    end(&j);
}

/* A table of stations replaces a leak whole, but for its readings. */
static void test_stations_leave_readings(void **state) {
    (void)state;
    job j = begin();
    text table = {0};
    survey_write_csv(j.s, &table);
    assert_null(strstr(text_get(&table), "0.32"));
    must(&j, text_get(&table));
    assert_int_equal(j.s->defects[0].n_readings, 3);
    text_free(&table);
    end(&j);
}

/* `base` with a part of it replaced, read and checked: the first fault. */
static void expect_base(const char *from, const char *to, const char *sentence) {
    char *at = strstr(base, from), bytes[sizeof base + 400];
    job j = {survey_new(), fault_list_new()};
    assert_non_null(at);
    snprintf(bytes, sizeof bytes, "%.*s%s%s", (int)(at - base), base, to, at + strlen(from));
    if (survey_read_json(j.s, "", bytes, strlen(bytes), j.faults) && survey_check(j.s, j.faults))
        fail_msg("no fault; expected \"%s\"", sentence);
    if (!strstr(fault_list_text(j.faults, 0), sentence))
        fail_msg("expected \"%s\", got \"%s\"", sentence, fault_list_text(j.faults, 0));
    end(&j);
}

#define C2 "\"mark\": \"C2\""

static void test_checks(void **state) {
    (void)state;
    const struct {
        const char *from, *to, *sentence;
    } cases[] = {
        {"\"on\": \"2025-02-05\"", "\"on\": \"2025-01-05\"", "C1: stands twice on 2025-01-05"},
        {"\"on\": \"2025-02-05\"", "\"on\": null", "readings[1].on: is missing"},
        {"\"width_mm\": 0.32, ", "", "readings[1].width_mm: is missing"},
        {"0.32", "51", "readings[1].width_mm: is 51; it must lie in -50 to 50"},
        {"\"warmest_c\": 22", "\"warmest_c\": -2",
         "site: the coldest, -2 \u00B0C, must lie below the warmest, -2 \u00B0C"},
        {", \"warmest_c\": 22", "", "site: coldest is given without warmest"},
        {"\"coldest_c\": -2", "\"exclude\": [\"engineer\"]",
         "site.exclude[0]: \"engineer\" is no method that can be excluded"},
        {"\"coldest_c\": -2", "\"typical_year_c\": [1, 2]",
         "typical_year_c: has 2 numbers; a typical year has 365"},
        {"\"coldest_c\": -2", "\"typical_year_f\": [1, 2]", "typical_year_f"},
        {"\"coldest_c\": -2",
         "\"coldest_c\": -2, \"air\": [{\"on\": \"2025-01-01\", \"air_c\": 3}, {\"on\": \"2025-01-01\", "
         "\"air_c\": 3}]",
         "the log of the air has 2025-01-01 twice"},
        {C2, C2 ", \"exclude\": [\"inject_epoxi\"]", "did you mean inject_epoxy?"},
        {C2, C2 ", \"overrule\": {\"method\": \"coat\", \"by\": \"A\", \"on\": \"2025-01-01\"}",
         "overrule.why: is missing"},
        {C2, C2 ", \"overrule\": {\"method\": \"coat\", \"by\": \"A\", \"why\": \"x\"}",
         "overrule.on: is missing"},
        {C2, C2 ", \"overrule\": {\"method\": \"coat\", \"on\": \"2025-01-01\", \"why\": \"x\"}",
         "overrule.by: is missing"},
        {C2, C2 ", \"overrule\": {\"by\": \"A\", \"on\": \"2025-01-01\", \"why\": \"x\"}",
         "overrule.method: is missing"},
        {C2,
         C2
         ", \"overrule\": {\"method\": \"engineer\", \"by\": \"A\", \"on\": \"2025-01-01\", \"why\": \"x\"}",
         "overrule.method: is \"engineer\"; it must be one of slot_plug"},
        {C2, C2 ", \"overrule\": 3", "overrule"},
        {C2, C2 ", \"depth_mm\": 60", "C2: has a depth, 60.0 mm; only an area of honeycomb has one"},
        {C2, C2 ", \"movement_mm\": -1", "movement_mm: is -1; it must lie in 0 to 50 mm"},
        {"\"faces\":",
         "\"materials\": [{\"id\": \"p\", \"role\": \"sealant\", \"resin\": \"epoxy\"}], \"faces\":",
         "material p: resin is epoxy, but its role is sealant"},
        {"\"faces\":",
         "\"materials\": [{\"id\": \"p\", \"role\": \"resin\", \"movement_percent\": 25}], \"faces\":",
         "material p: has movement_percent, but its role is resin"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        expect_base(cases[i].from, cases[i].to, cases[i].sentence);
}

/* ---- typical years ---- */

static const char epw_heading[] = "LOCATION,Nowhere,-,-,invented,0,0,0,0,0\nb\nc\nd\ne\nf\ng\nh\n";

/* A year of made-up hours: day d (from 0) at d / 10 C all day, +3 and -3 in turn; hour h of each (from 0) at 80 + h % and h / 4
 * m/s. Line `changed` (from 1, after the
 * heading) is `with` instead; empty: it is left out. */
static void write_year(text *to, bool leap, size_t changed, const char *with) {
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    size_t line = 0, day = 0;
    text_add(to, epw_heading);
    for (int m = 0; m < 12; m++)
        for (int d = 0; d < days[m] + (leap && m == 1); d++) {
            bool extra = d == 28 && m == 1;
            for (int h = 0; h < 24; h++)
                if (++line == changed)
                    text_add(to, with);
                else
                    text_print(to, "2001,%d,%d,%d,0,?,%.1f,5,%d,0,0,0,0,0,0,0,0,0,0,0,0,%.2f,0\r\n", m + 1,
                               d + 1, h + 1, extra ? 55.0 : (double)day / 10 + (h % 2 ? 3 : -3), 80 + h,
                               extra ? 39 : (double)h / 4);
            day += !extra;
        }
}

static void test_typical_year(void **state) {
    (void)state;
    for (int leap = 0; leap < 2; leap++) {
        job j = begin();
        text year = {0};
        write_year(&year, leap, 0, "");
        if (!survey_read_epw(j.s, "y.epw", year.bytes, year.length, j.faults))
            fail_msg("%s", fault_list_text(j.faults, 0));
        assert_int_equal(j.s->site.n_typical, 365);
        for (size_t i = 0; i < 365; i++) assert_true(fabs(j.s->site.typical_c[i] - (double)i / 10) < 0.0051);
        assert_int_equal(j.s->site.n_year, 8760);
        for (size_t i = 0; i < 8760; i++) { /* 1 m/s is 3.6 km/h; the air of the second hour is warm */
            const survey_weather *h = &j.s->site.year[i];
            assert_true(fabs(h->air_c - ((double)(i / 24) / 10 + (i % 2 ? 3 : -3))) < 1e-9);
            assert_true(h->humidity_percent ==
                        fmin(80 + (double)(i % 24), 100)); /* a station errs above 100 */
            assert_true(fabs(h->wind_km_h - 0.9 * (double)(i % 24)) < 1e-9);
        }
        assert_true(survey_check(j.s, j.faults));
        text_free(&year);
        end(&j);
    }
}

static void expect_epw(size_t line, const char *with, const char *sentence) {
    job j = begin();
    text year = {0};
    write_year(&year, false, line, with);
    assert_false(survey_read_epw(j.s, "y.epw", year.bytes, year.length, j.faults));
    if (!strstr(fault_list_text(j.faults, 0), sentence))
        fail_msg("expected \"%s\", got \"%s\"", sentence, fault_list_text(j.faults, 0));
    assert_int_equal(j.s->site.n_typical, 0);
    text_free(&year);
    end(&j);
}

#define REST ",5,80,0,0,0,0,0,0,0,0,0,0,0,0,1\n" /* of an hour: fields 8 to 22 */

static void test_typical_year_faults(void **state) {
    (void)state;
    expect_epw(5, "2001,1,1,5,0,?,99.9" REST, "y.epw: line 13: the dry bulb is missing (99.9)");
    expect_epw(5, "2001,1,1,5,0,?,-70" REST,
               "y.epw: line 13: the dry bulb is -70 C; it must lie in -50 to 60 C");
    expect_epw(5, "", "y.epw: line 13: is month 1, day 1, hour 6; month 1, day 1, hour 5 must come next");
    expect_epw(
        5, "2001,1,1\n",
        "y.epw: line 13: month, day, hour, dry bulb, relative humidity and wind speed (fields 2, 3, 4, 7, "
        "9, 22) must be numbers");
    expect_epw(5, "2001,1,1,5,0,?,warm" REST, "line 13: month, day, hour, dry bulb");
    expect_epw(5, "2001,1,1,5,0,?,1,5,80\n", "line 13: month, day, hour, dry bulb"); /* no wind */
    expect_epw(5, "2001,1,1,5,0,?,1,5,999,0,0,0,0,0,0,0,0,0,0,0,0,1\n",
               "y.epw: line 13: the relative humidity is missing (999)");
    expect_epw(5, "2001,1,1,5,0,?,1,5,111,0,0,0,0,0,0,0,0,0,0,0,0,1\n",
               "y.epw: line 13: the relative humidity is 111 %; it must lie in 0 to 110 %");
    expect_epw(5, "2001,1,1,5,0,?,1,5,80,0,0,0,0,0,0,0,0,0,0,0,0,999\n",
               "y.epw: line 13: the wind speed is missing (999)");
    expect_epw(5, "2001,1,1,5,0,?,1,5,80,0,0,0,0,0,0,0,0,0,0,0,0,41\n",
               "y.epw: line 13: the wind speed is 41 m/s; it must lie in 0 to 40 m/s");
    expect_epw(8760, "", "y.epw: holds 8759 hours (29 February left out); a year has 8760");
    expect_epw(8760, "2001,12,31,24,0,?,1" REST "2001,12,31,24,0,?,1" REST, "the year is full, 8760 hours");
    job j = begin();
    assert_false(survey_read_epw(j.s, "y.epw", "a,b\n", 4, j.faults));
    assert_non_null(strstr(fault_list_text(j.faults, 0), "y.epw: is no EPW file"));
    end(&j);
}

/* Chicago O'Hare, typical year (NREL TMY, US Government funded): mean 9.988 C over all hours, as the note beside the file
 * has it. Each daily mean is rounded to 0.01. */
static void test_a_real_station(void **state) {
    (void)state;
    fault why = {0};
    char *bytes = NULL, path[400];
    const char *data = getenv("STANCH_DATA");
    size_t length = 0;
    double sum_c = 0;
    snprintf(path, sizeof path, "%s/weather/chicago_tmy.epw", data ? data : STANCH_DATA);
    if (file_read(path, &bytes, &length, &why) != OK) {
        print_message("no weather file of a real station here\n");
        skip();
    }
    job j = begin();
    if (!survey_read_epw(j.s, "chicago.epw", bytes, length, j.faults))
        fail_msg("%s", fault_list_text(j.faults, 0));
    for (size_t i = 0; i < j.s->site.n_typical; i++) sum_c += j.s->site.typical_c[i];
    assert_true(fabs(sum_c / 365 - 9.988) < 0.002);
    double damp_percent = 0;
    for (size_t i = 0; i < j.s->site.n_year; i++) damp_percent += j.s->site.year[i].humidity_percent;
    assert_true(fabs(damp_percent / 8760 - 70.34) < 0.005); /* the same README */
    mem_free(bytes);
    end(&j);
}

/* ---- without memory ---- */

static void test_memory_runs_out(void **state) {
    (void)state;
    static const char *const tables[] = {GAUGES "C1,,2025-03-05,0.2,3\nC2,A,2025-01-05,0.2,3\n",
                                         "on,air_c\n2025-01-05,3\n2025-01-06,4\n"};
    for (size_t t = 0; t < 2; t++) {
        long n = 0, told = 0;
        for (bool done = false; !done; n++) {
            job j = begin();
            long before = mem_count();
            mem_fail_at(n, 0);
            bool good = read(&j, "g.csv", tables[t]);
            done = mem_count() - before <= n;
            mem_fail_at(-1, 0);
            fault why = {0};
            if (!good) assert_int_equal(fault_list_status(j.faults, &why), E_MEMORY);
            told += !good;
            end(&j);
        }
        print_message("%ld of %ld failures told\n", told, n);
        assert_true(told > 5);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_order),
        cmocka_unit_test(test_kinds_of_tables),
        cmocka_unit_test(test_gauges_are_added),
        cmocka_unit_test(test_inches),
        cmocka_unit_test(test_a_temperature_comes_later),
        cmocka_unit_test(test_faults),
        cmocka_unit_test(test_air_covers),
        cmocka_unit_test(test_stations_leave_readings),
        cmocka_unit_test(test_checks),
        cmocka_unit_test(test_typical_year),
        cmocka_unit_test(test_typical_year_faults),
        cmocka_unit_test(test_a_real_station),
        cmocka_unit_test(test_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
