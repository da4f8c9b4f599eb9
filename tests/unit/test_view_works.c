/* The works as the page is shown them: the plan's own times and figures, a day of them, and what another temperature changes. */
#include "view_bench.h"

#include "core/file.h"
#include "ops/view_works.h"
#include "ops/works_at.h"
#include "report/works_words.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static char folder[] = "/tmp/stanch-view-works-XXXXXX", path[2][64];
static ops_job jobs[2]; /* by unit system: the same pit, metric and US */
static const ops_actor ACTOR = {.by = "N. N.", .at = "2026-03-01T09:30:00Z", .through = "page"};
static const ops_view VIEW = {.job = "pit", .revision = 12, .current = true};
enum { METRIC, US, DAY_MIN = 1440 };

static status make_job(int k, fault *why) {
    ops_import_result imported;
    fault_list *faults = fault_list_new();
    const char *file = EXAMPLES "/small-us.json";
    snprintf(path[k], sizeof path[k], "%s/%d.stanch", folder, k);
    status code = ops_new(path[k], &(ops_new_request){.system = k ? UNITS_US : UNITS_METRIC}, &ACTOR, why);
    if (code == OK)
        code = ops_import(path[k], &(ops_import_request){.files = &file, .n = 1}, &ACTOR, faults, &imported,
                          why);
    fault_list_free(faults);
    const ops_plan_request request = {.planes = PLANES_OFF, .threads = 1, .works = true};
    return code == OK ? ops_plan(path[k], &request, &jobs[k], why) : code;
}

static int begin(void **state) {
    fault why = {0};
    (void)state;
    if (!mkdtemp(folder)) return 1;
    for (int k = 0; k < 2; k++)
        if (make_job(k, &why) != OK) {
            print_error("%s\n", why.text);
            return 1;
        }
    return 0;
}

static int end(void **state) {
    char command[64];
    (void)state;
    for (int k = 0; k < 2; k++) ops_job_free(&jobs[k]);
    snprintf(command, sizeof command, "rm -r '%s'", folder);
    return system(command);
}

static json_t *parsed(text *out, status code, const fault *why) {
    json_error_t error;
    if (code != OK) fail_msg("%s", why->text);
    json_t *root = json_loadb(text_get(out), out->length, JSON_REJECT_DUPLICATES, &error);
    if (!root) fail_msg("%s at %d of %s", error.text, error.position, text_get(out));
    text_free(out);
    return root;
}

static json_t *works_view(const plan *p) {
    text out = {0};
    fault why = {0};
    status code = ops_works_view_json(p, &VIEW, &out, &why);
    return parsed(&out, code, &why);
}

static json_t *day_view(const plan *p, const char *day) {
    text out = {0};
    fault why = {0};
    status code = ops_day_view_json(p, day, &VIEW, &out, &why);
    return parsed(&out, code, &why);
}

static json_t *at_view(int k, const plan *p, double c) {
    text out = {0};
    fault why = {0};
    status code = ops_works_at_json(path[k], p, &(works_at_request){.temperature_c = c}, &out, &why);
    return parsed(&out, code, &why);
}

static const works_task *task_named(const works_plan *works, const char *id) {
    for (size_t i = 0; i < works->n_tasks; i++)
        if (strcmp(works->tasks[i].id, id) == 0) return &works->tasks[i];
    fail_msg("there is no task %s", id);
    return NULL;
}

/* ---- the whole ---- */

static void expect_works_shape(const json_t *root) {
    expect_shape(root, "works");
    expect_each(root, "days", "works days");
    expect_each(root, "tasks", "works tasks");
    expect_each(root, "visits", "works visits");
    expect_each(root, "exposures", "works exposures");
}

static void the_tasks_are_those_of_the_plan_in_the_order_of_their_starts(void **state) {
    (void)state;
    const works_plan *works = jobs[METRIC].plan->works;
    json_t *root = works_view(jobs[METRIC].plan);
    const json_t *tasks = member(root, "tasks"), *visits = member(root, "visits"), *t;
    size_t i, batches = 0, told = 0;
    int last = 0;
    expect_works_shape(root);
    json_array_foreach(tasks, i, t) {
        const works_task *of = task_named(works, word(t, "id"));
        assert_true(of->start_min >= last);
        last = of->start_min;
        assert_true(number(t, "day") == of->start_min / DAY_MIN + 1);
        assert_int_equal(json_array_size(member(t, "workers")), of->n_workers);
        assert_string_equal(word(t, "mark"), jobs[METRIC].survey->defects[of->leak].mark);
        told += (size_t)number(t, "batches");
    }
    for (size_t k = 0; k < works->n_tasks; k++) batches += works->tasks[k].n_batches;
    assert_true(batches > 0);
    assert_int_equal(told, batches);
    assert_true(json_array_size(visits) > 0);
    assert_int_equal(json_array_size(tasks) + json_array_size(visits), works->n_tasks);
    assert_string_equal(word(root, "start_on"), "2026-03-02"); /* as in the example */
    assert_int_equal(yes(root, "late"), works->late);
    assert_false(yes(root, "begun"));
    json_decref(root);
}

/* Each day with work once, rising, with what begins on it; 2026-03-02 was a Monday. */
static void days_hold_all_that_takes_time(void **state) {
    (void)state;
    const works_plan *works = jobs[METRIC].plan->works;
    json_t *root = works_view(jobs[METRIC].plan);
    const json_t *d;
    size_t i, timed = 0;
    double counted = 0, last = 0;
    json_array_foreach(member(root, "days"), i, d) {
        assert_true(number(d, "day") > last);
        last = number(d, "day");
        counted += number(d, "tasks") + number(d, "visits");
        char date[24];
        snprintf(date, sizeof date, "2026-03-%02d", (int)last + 1); /* all of it lies in March */
        assert_string_equal(word(d, "date"), date);
    }
    for (size_t k = 0; k < works->n_tasks; k++) timed += works->tasks[k].minutes > 0;
    assert_true(fabs(counted - (double)timed) < 0.5);
    assert_string_equal(word(json_array_get(member(root, "days"), 0), "label"), "Mon\u00a02\u00a0Mar");
    json_decref(root);
}

static void a_job_that_nobody_can_do_says_why(void **state) {
    (void)state;
    plan p = *jobs[METRIC].plan;
    p.works = NULL;
    p.works_problem = "work: there is no lift";
    json_t *root = works_view(&p);
    assert_string_equal(word(root, "state"), "problem");
    assert_string_equal(word(root, "problem"), "work: there is no lift");
    json_decref(root);
    text out = {0};
    fault why = {0};
    assert_int_equal(ops_day_view_json(&p, "1", &VIEW, &out, &why), E_STATE);
    assert_non_null(strstr(why.text, "there is no lift"));
    assert_int_equal(ops_works_at_json(path[METRIC], &p, &(works_at_request){.temperature_c = 5}, &out, &why),
                     E_STATE);
    assert_non_null(strstr(why.text, "there is no lift"));
    text_free(&out);
}

/* ---- a day ---- */

static void expect_day_shape(const json_t *root) {
    const json_t *c;
    size_t i;
    expect_shape(root, "day");
    expect_each(root, "crew", "day crew");
    json_array_foreach(member(root, "crew"), i, c) expect_each(c, "tasks", "day turns");
    expect_each(root, "tasks", "day tasks");
    expect_each(root, "batches", "day batches");
    expect_each(root, "holds", "day holds");
    expect_each(root, "exposures", "day exposures");
    expect_each(root, "controls", "day controls");
    expect_each(root, "cautions", "day cautions");
}

static void a_day_is_found_by_date_and_number_and_has_each_persons_turns(void **state) {
    (void)state;
    const works_plan *works = jobs[METRIC].plan->works;
    json_t *root = works_view(jobs[METRIC].plan);
    const json_t *d, *c;
    size_t i, k;
    double before = 0;
    json_array_foreach(member(root, "days"), i, d) {
        int day = (int)number(d, "day") - 1;
        char word_of[16];
        snprintf(word_of, sizeof word_of, "%d", day + 1);
        json_t *one = day_view(jobs[METRIC].plan, word(d, "date")),
               *same = day_view(jobs[METRIC].plan, word_of);
        assert_true(json_equal(one, same));
        expect_day_shape(one);
        size_t turns = 0, wanted = 0;
        json_array_foreach(member(one, "crew"), k, c) turns += json_array_size(member(c, "tasks"));
        for (size_t t = 0; t < works->n_tasks; t++)
            if (works->tasks[t].start_min / DAY_MIN == day) wanted += works->tasks[t].n_workers;
        assert_int_equal(turns, wanted);
        assert_true(before > 0 ? number(one, "before") == before : json_is_null(member(one, "before")));
        before = day + 1;
        json_decref(one);
        json_decref(same);
    }
    assert_true(i > 3);
    json_decref(root);
}

static void refused_day(const char *day, status code, const char *sentence) {
    text out = {0};
    fault why = {0};
    assert_int_equal(ops_day_view_json(jobs[METRIC].plan, day, &VIEW, &out, &why), code);
    assert_non_null(strstr(why.text, sentence));
    text_free(&out);
}

static void another_day_is_refused_with_the_next(void **state) {
    (void)state;
    refused_day("2026-03-01", E_STATE, "the next day with work is Mon 2 March 2026"); /* a Sunday */
    refused_day("999999", E_STATE, "the works end");
    refused_day("0", E_INPUT, "YYYY-MM-DD");
    refused_day("2026-02-30", E_INPUT, "2026-02-30");
    refused_day("", E_INPUT, "YYYY-MM-DD");
}

/* ---- at another temperature ---- */

static void expect_at_shape(const json_t *root) {
    const json_t *b;
    size_t i;
    expect_shape(root, "at");
    expect_each(root, "rows", "at rows");
    expect_each(root, "batches", "at batches");
    json_array_foreach(member(root, "batches"), i, b) {
        expect_shape(member(b, "now"), "mixed");
        expect_shape(member(b, "at"), "mixed");
    }
}

static const json_t *plug_of(const json_t *at) {
    const json_t *b;
    size_t i;
    json_array_foreach(member(at, "batches"), i, b) {
        if (strcmp(word(b, "step"), "plug") == 0) return b;
    }
    fail_msg("no plug");
    return NULL;
}

static int batches_of(const json_t *mixed) {
    return atoi(word(mixed, "batches"));
}

/* Setting halves its time about every 10 C more (trade rule 12), so warm plug goes into more and smaller batches and cold into
 * fewer; what is planned stays what it was. */
static void warm_plug_is_mixed_in_more_batches_and_cold_in_fewer(void **state) {
    (void)state;
    const works_plan *works = jobs[METRIC].plan->works;
    json_t *cold = at_view(METRIC, jobs[METRIC].plan, 5), *warm = at_view(METRIC, jobs[METRIC].plan, 35);
    expect_at_shape(cold);
    expect_at_shape(warm);
    int planned = 0;
    for (size_t i = 0; i < works->n_tasks; i++)
        for (size_t k = 0; k < works->tasks[i].n_batches; k++)
            planned += works->tasks[i].batches[k].step == MIX_PLUG;
    assert_int_equal(batches_of(member(plug_of(cold), "now")), planned);
    assert_int_equal(batches_of(member(plug_of(warm), "now")), planned);
    assert_true(batches_of(member(plug_of(cold), "at")) < planned);
    assert_true(batches_of(member(plug_of(warm), "at")) > planned);
    assert_string_equal(word(cold, "at"), "5\u00a0°C");
    say words = {.memory = arena_new(), .system = UNITS_METRIC};
    const json_t *ends = json_array_get(member(cold, "rows"), 0);
    assert_string_equal(word(ends, "now"), works_said_moment(&words, works, works->makespan_min));
    assert_string_not_equal(word(ends, "at"), word(ends, "now")); /* the cure takes longer at 5 C */
    arena_free(words.memory);
    json_decref(cold);
    json_decref(warm);
}

/* The lowest temperature of the plug is made 8 C, in a copy of the plan. */
static void what_may_not_be_placed_is_told(void **state) {
    (void)state;
    survey s = *jobs[METRIC].survey;
    plan p = *jobs[METRIC].plan;
    takeoff_leak *leaks = arena_get(p.memory, p.n_leaks, sizeof *leaks);
    survey_material material = *p.takeoff.leaks[0].mixes[MIX_PLUG].material;
    memcpy(leaks, p.takeoff.leaks, p.n_leaks * sizeof *leaks);
    material.lowest_c = (maybe){true, 8};
    for (size_t i = 0; i < p.n_leaks; i++)
        if (leaks[i].mixes[MIX_PLUG].material) leaks[i].mixes[MIX_PLUG].material = &material;
    p.takeoff.leaks = leaks;
    p.survey = &s;
    json_t *cold = at_view(METRIC, &p, 5), *mild = at_view(METRIC, &p, 8);
    const json_t *b;
    size_t i, told = 0;
    json_array_foreach(member(cold, "batches"), i, b) {
        if (!*word(b, "saying")) continue;
        told++;
        assert_string_equal(word(b, "step"), "plug");
        assert_non_null(strstr(word(b, "saying"), "may not be placed below 8.0 °C: here it is 5.0 °C"));
        assert_string_equal(word(member(b, "at"), "batches"), "");
    }
    assert_int_equal(told, 1);
    json_array_foreach(member(mild, "batches"), i, b) assert_string_equal(word(b, "saying"), "");
    json_decref(cold);
    json_decref(mild);
}

static void a_temperature_out_of_range_is_refused_in_the_units_of_the_job(void **state) {
    (void)state;
    const double wrong[] = {-0.1, 60.1, nan(""), -HUGE_VAL};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        fault why = {0};
        text out = {0};
        const works_at_request request = {.temperature_c = wrong[i]};
        assert_int_equal(ops_works_at_json(path[US], jobs[US].plan, &request, &out, &why), E_INPUT);
        assert_non_null(strstr(why.text, "must lie in 32 °F to 140 °F"));
        assert_int_equal(out.length, 0);
    }
}

static void being_told_to_stop_ends_it(void **state) {
    (void)state;
    atomic_bool stop = true;
    fault why = {0};
    text out = {0};
    const works_at_request request = {.temperature_c = 5, .stop = &stop};
    assert_int_equal(ops_works_at_json(path[METRIC], jobs[METRIC].plan, &request, &out, &why), E_STATE);
    assert_string_equal(why.text, "stopped");
    text_free(&out);
}

/* ---- units, memory ---- */

/* Vibration is m/s2 everywhere: the action values are (safety.md 2). */
static void a_us_job_is_told_in_feet_gallons_and_pounds(void **state) {
    (void)state;
    json_t *works = works_view(jobs[US].plan), *at = at_view(US, jobs[US].plan, 5);
    const json_t *d;
    size_t i, batches = 0;
    expect_us(member(works, "tasks"));
    expect_us(member(works, "days"));
    expect_us(member(at, "rows"));
    expect_us(member(at, "batches"));
    assert_string_equal(word(at, "at"), "41\u00a0°F");
    json_array_foreach(member(works, "days"), i, d) {
        json_t *day = day_view(jobs[US].plan, word(d, "date"));
        batches += json_array_size(member(day, "batches"));
        expect_us(member(day, "batches"));
        expect_us(member(day, "tasks"));
        json_decref(day);
    }
    assert_true(batches > 0);
    assert_true(is_metric(word(member(plug_of(at), "now"), "size")) == false);
    json_decref(works);
    json_decref(at);
}

static status written(int view, text *out, fault *why) {
    return view ? ops_day_view_json(jobs[METRIC].plan, "1", &VIEW, out, why)
                : ops_works_view_json(jobs[METRIC].plan, &VIEW, out, why);
}

static void no_memory_leaves_nothing_out(void **state) {
    (void)state;
    for (int view = 0; view < 2; view++) {
        text whole = {0};
        long failures = 0;
        assert_int_equal(written(view, &whole, NULL), OK);
        for (long n = 0, ended = 0; !ended; n++) {
            text out = {0};
            fault why = {0};
            mem_fail_at(n, 0);
            status code = written(view, &out, &why);
            mem_fail_at(-1, 0);
            ended = code == OK;
            if (!ended) assert_int_equal(code, E_MEMORY);
            if (ended) assert_string_equal(text_get(&out), text_get(&whole));
            failures += !ended;
            text_free(&out);
        }
        assert_true(failures > 3);
        text_free(&whole);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_tasks_are_those_of_the_plan_in_the_order_of_their_starts),
        cmocka_unit_test(days_hold_all_that_takes_time),
        cmocka_unit_test(a_job_that_nobody_can_do_says_why),
        cmocka_unit_test(a_day_is_found_by_date_and_number_and_has_each_persons_turns),
        cmocka_unit_test(another_day_is_refused_with_the_next),
        cmocka_unit_test(warm_plug_is_mixed_in_more_batches_and_cold_in_fewer),
        cmocka_unit_test(what_may_not_be_placed_is_told),
        cmocka_unit_test(a_temperature_out_of_range_is_refused_in_the_units_of_the_job),
        cmocka_unit_test(being_told_to_stop_ends_it),
        cmocka_unit_test(a_us_job_is_told_in_feet_gallons_and_pounds),
        cmocka_unit_test(no_memory_leaves_nothing_out),
    };
    return cmocka_run_group_tests(tests, begin, end);
}
