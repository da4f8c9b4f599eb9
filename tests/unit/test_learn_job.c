/* What one job file tells to the rates: hours exactly as planned give back exactly the rates that they were planned by, whatever the
 * method, overhead or deep; and what counts as a leak done again, found wet, cold. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "../near.h"
#include "core/file.h"
#include "fixture.h"
#include "ops/learn_parts.h"
#include "record/chain.h"
#include "store/log.h"
#include "store/offers.h"
#include "survey/catalogue.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char folder[] = "/tmp/stanch-learn-XXXXXX", path[200];

typedef struct {
    store *job;
    survey *s;
    plan *p;
    unsigned made, day;
    double wall_c;
} writing;

static void must(status code, const fault *why) {
    if (code != OK) fail_msg("%s", why->text);
}

static void keep(writing *w, record r) {
    char id[64], at[64];
    text body = {0};
    fault why;
    long long seq;
    bool already;
    w->made++;
    snprintf(id, sizeof id, "00000000-0000-4000-8000-%012u", w->made);
    snprintf(at, sizeof at, "2026-03-%02uT%02u:%02u:00Z", 1 + w->day, 7 + w->made / 60 % 16, w->made % 60);
    r.id = id;
    r.at = at;
    r.by = "N. N.";
    r.device = "0a1b2c3d-4e5f-4a6b-8c7d-9e0f1a2b3c4d";
    record_write_body(&r, &body);
    const store_record stored = {
        .id = id, .mark = r.mark, .body = text_get(&body), .received_at = at, .received_by = "N. N."};
    must(store_add_record(w->job, &stored, &seq, &already, &why), &why);
    text_free(&body);
}

static bool on_card(const writing *w, size_t leak, const char *step) {
    const plan_card *card = &w->p->cards[leak];
    for (size_t i = 0; i < card->n_steps; i++)
        if (strcmp(card->steps[i].code, step) == 0) return true;
    return false;
}

static void finish(writing *w, size_t leak, const char *step, double hours) {
    keep(w, (record){.mark = w->s->defects[leak].mark,
                     .what = RECORD_FINISH,
                     .step = step,
                     .hours = {true, hours},
                     .wall_c = {true, w->wall_c}});
}

/* Shared evenly among those steps that are on the card. */
static void spend(writing *w, size_t leak, double hours, const char *const steps[3]) {
    int there = 0;
    for (int i = 0; i < 3; i++) there += steps[i] && on_card(w, leak, steps[i]);
    for (int i = 0; i < 3 && hours > 0; i++)
        if (steps[i] && on_card(w, leak, steps[i])) finish(w, leak, steps[i], hours / there);
}

#define STEPS(...) ((const char *const[3]){__VA_ARGS__})

static void prove(writing *w, size_t leak, bool dry) {
    keep(w, (record){.mark = w->s->defects[leak].mark,
                     .what = RECORD_PROOF,
                     .step = "prove",
                     .hand = dry ? "dry" : "wet",
                     .blotter = dry ? "clean" : "marked",
                     .drips_per_min = {true, dry ? 0 : 9},
                     .water_level_m = {true, 50}});
}

static void as_planned(writing *w, size_t i) {
    const double *h = w->p->price.leaks[i].hours;
    const repair_design *d = &w->p->designs[i];
    const takeoff_leak *t = &w->p->takeoff.leaks[i];
    trace_place place;
    bool soffit = trace_at(w->s, &w->s->defects[i], 0, &place) && place.face->lie == LIE_SOFFIT;
    double factor = soffit ? takeoff_rate(w->s, "overhead_factor") : 1;
    double face = method_is_injection(d->method.name)
                      ? d->injection.face_m * (d->injection.from_far_side_sealed ? 2 : 1)
                      : 0;
    double paste = face * takeoff_rate(w->s, "surface_seal_h_m") * factor,
           strip = t->packers * takeoff_rate(w->s, "strip_h_port") * factor;
    double rout = d->flexible.length_m * takeoff_rate(w->s, "rout_h_m") * factor,
           outlet = h[HOURS_DRAIN] > 0 ? takeoff_rate(w->s, "outlet_h_each") * factor : 0;
    spend(w, i, h[HOURS_CUT], STEPS("cut"));
    spend(w, i, h[HOURS_WASH], STEPS("wash"));
    spend(w, i, h[HOURS_PLUG], STEPS("plug"));
    spend(w, i, h[HOURS_RELIEF], STEPS("relief", "close_relief"));
    spend(w, i, h[HOURS_PACK], STEPS("pack"));
    spend(w, i, h[HOURS_COAT], STEPS("first_coat", "last_coat"));
    spend(w, i, h[HOURS_DRILL], STEPS("ports"));
    if (face > 0) spend(w, i, paste, STEPS("surface_seal"));
    if (t->packers) spend(w, i, strip, STEPS("strip"));
    if (h[HOURS_INJECT] > 0) spend(w, i, h[HOURS_INJECT] - paste - strip, STEPS("flush", "inject"));
    if (h[HOURS_SEAL] > 0) spend(w, i, rout, STEPS("rout"));
    if (h[HOURS_SEAL] > 0) spend(w, i, h[HOURS_SEAL] - rout, STEPS("prime", "backer", "seal"));
    spend(w, i, h[HOURS_DRAIN] - outlet, STEPS("channel"));
    spend(w, i, outlet, STEPS("outlet"));
}

static void open_job(writing *w, survey *s) {
    fault why;
    *w = (writing){.s = s, .wall_c = 15};
    must(plan_make(s, &(plan_options){.planes = PLANES_OFF, .threads = 1}, &w->p, &why), &why);
    unlink(path);
    must(store_create(path, s, &why), &why);
    must(store_open(path, false, &w->job, &why), &why);
}

static void end_job(writing *w, learn_told *told) {
    fault why;
    store_close(w->job);
    *told = (learn_told){.name = "job.stanch", .memory = arena_new()};
    must(learn_read_job(path, told, &why), &why);
    plan_free(w->p);
    unlink(path);
}

static survey *example(const char *name) {
    char *json;
    size_t length;
    fault why;
    char file[400];
    snprintf(file, sizeof file, "%s/examples/%s", STANCH_SOURCE, name);
    must(file_read(file, &json, &length, &why), &why);
    survey *s = fixture_survey(json);
    mem_free(json);
    return s;
}

/* A crack in a soffit that runs: overhead, and its relief tube is not. */
static survey *soffit(void) {
    return fixture_survey(
        "{\"stanch_survey\": 1, \"units\": \"metric\", \"site\": {\"name\": \"test\", \"today\": "
        "{\"level_m\": 6, "
        "\"known\": \"measured\"}, \"design\": {\"level_m\": 6, \"known\": \"told\"}}, \"faces\": [{\"id\": "
        "\"S\", "
        "\"lie\": \"soffit\", \"behind\": \"ground\", \"thickness_m\": 0.3, \"elevation_m\": 2, \"outline\": "
        "[[0,0],[10,0],[10,4],[0,4]]}], \"defects\": "
        "[{\"mark\":\"S1\",\"kind\":\"crack\",\"parts\":[{\"face\":\"S\","
        "\"points\":[[1,1],[3,1]]}],\"stations\":[{\"chainage_m\":0,\"width_mm\":0.6,\"wetness\":\"run\","
        "\"bar\":"
        "\"none\"},{\"chainage_m\":2,\"width_mm\":0.6,\"wetness\":\"run\",\"bar\":\"none\"}],\"flows\":[{"
        "\"from_m\":0,"
        "\"to_m\":2,\"volume_l\":30,\"time_s\":300,\"state\":\"uncut\"}]}]}");
}

static size_t give_back(survey *s) {
    writing w;
    learn_told told;
    /* what factors and rates would hide: none is 1 */
    for (size_t i = 0; i < s->n_rates; i++)
        if (s->rates[i].unit[0] == 'h') s->rates[i].value *= 1 + 0.01 * (double)(i + 1);
    open_job(&w, s);
    for (size_t i = 0; i < w.p->n_leaks; i++) {
        if (!design_is_priced(&w.p->designs[i])) continue;
        as_planned(&w, i);
        prove(&w, i, true);
    }
    end_job(&w, &told);
    if (told.left_out) fail_msg("%s", told.left_out);
    size_t kinds = 0;
    assert_true(told.n_facts > 0);
    for (size_t i = 0; i < told.n_facts; i++) {
        double rate = 0;
        bool first = true;
        assert_true(survey_rate_value(s, told.facts[i].rate, &rate));
        if (fabs(told.facts[i].value / rate - 1) > 1e-9)
            fail_msg("%s is %.12g, planned by %.12g", told.facts[i].rate, told.facts[i].value, rate);
        for (size_t k = 0; k < i; k++) first = first && strcmp(told.facts[k].rate, told.facts[i].rate) != 0;
        kinds += first;
    }
    print_message("%zu facts on %zu rates\n", told.n_facts, kinds);
    arena_free(told.memory);
    survey_free(s);
    return kinds;
}

static void hours_as_planned_give_the_rates_back(void **state) {
    (void)state;
    assert_true(give_back(example("pump-house.json")) >= 11);
    assert_int_equal(give_back(soffit()), 6); /* cut, wash, plug, relief, pack, coat */
}

#define TWO_CRACKS                                                                                           \
    "{\"mark\":\"A\",\"kind\":\"crack\",\"parts\":[{\"face\":\"N\",\"points\":[[1,1],[3,1]]}],"              \
    "\"stations\":[{\"chainage_m\":0,\"width_mm\":0.3,\"wetness\":\"dry\",\"bar\":\"none\"},"                \
    "{\"chainage_m\":2,\"width_mm\":0.3,\"wetness\":\"dry\",\"bar\":\"none\"}]},"                            \
    "{\"mark\":\"B\",\"kind\":\"crack\",\"parts\":[{\"face\":\"N\",\"points\":[[5,1],[7,1]]}],"              \
    "\"stations\":[{\"chainage_m\":0,\"width_mm\":0.3,\"wetness\":\"drip\",\"bar\":\"none\"},"               \
    "{\"chainage_m\":2,\"width_mm\":0.3,\"wetness\":\"drip\",\"bar\":\"none\"}]}"

static const learn_event *event_of(const learn_told *t, const char *rate, size_t nth) {
    for (size_t i = 0; i < t->n_events; i++)
        if (strcmp(t->events[i].rate, rate) == 0 && nth-- == 0) return &t->events[i];
    return NULL;
}

static size_t facts_of(const learn_told *t, const char *rate) {
    size_t n = 0;
    for (size_t i = 0; i < t->n_facts; i++) n += strcmp(t->facts[i].rate, rate) == 0;
    return n;
}

/* B: proved dry, next day brushed again; A: proved dry, then cured on, which is no call-back. */
static void work_again_is_a_call_back(void **state) {
    (void)state;
    writing w;
    learn_told told;
    survey *s = fixture_wall(0.3, 3, TWO_CRACKS);
    open_job(&w, s);
    w.wall_c = 4;
    for (size_t i = 0; i < 2; i++) {
        as_planned(&w, i);
        finish(&w, i, "cure", 0.1);
        w.day++;
        prove(&w, i, true);
    }
    finish(&w, 1, "last_coat", 0.3); /* the day of its proof: still the same work */
    w.day++;
    finish(&w, 0, "cure", 0.1);
    finish(&w, 0, "strip", 0.1); /* later, but for the first time */
    end_job(&w, &told);
    assert_null(told.left_out);
    assert_int_equal(told.leaks, 2);
    assert_false(event_of(&told, "call_back_percent", 0)->happened);
    assert_false(event_of(&told, "call_back_percent", 1)->happened);
    assert_int_equal(facts_of(&told, "coat_h_m2"), 2);
    assert_int_equal(told.facts[0].temperature, LEARN_COLD);
    arena_free(told.memory);
    open_job(&w, s);
    for (size_t i = 0; i < 2; i++) {
        as_planned(&w, i);
        w.day++;
        prove(&w, i, true);
    }
    w.day += 5;
    prove(&w, 1, false);
    finish(&w, 1, "last_coat", 0.3);
    w.day++;
    prove(&w, 1, true);
    keep(&w, (record){.mark = "A", .what = RECORD_FINISH, .step = "cure"});
    end_job(&w, &told);
    assert_null(told.left_out);
    assert_false(event_of(&told, "call_back_percent", 0)->happened);
    assert_true(event_of(&told, "call_back_percent", 1)->happened);
    assert_int_equal(facts_of(&told, "coat_h_m2"), 1); /* a rate is for doing it once */
    assert_int_equal(told.facts[0].temperature, LEARN_MILD);
    arena_free(told.memory);
    survey_free(s);
}

/* Broken before the job was handed over it is part of the work; after it, it is a call-back. */
static void broken_after_handover_is_a_call_back(void **state) {
    (void)state;
    for (int handed_over = 0; handed_over < 2; handed_over++) {
        writing w;
        learn_told told;
        fault why;
        long long number;
        survey *s = fixture_wall(0.3, 3, TWO_CRACKS);
        open_job(&w, s);
        for (size_t i = 0; i < 2; i++) {
            as_planned(&w, i);
            prove(&w, i, true);
        }
        const store_offer document = {.kind = "handover",
                                      .on = "2026-03-03",
                                      .at = handed_over ? "2026-03-03T08:00:00Z" : "2026-03-09T08:00:00Z",
                                      .by = "N. N.",
                                      .program_version = "0",
                                      .inputs = "{}",
                                      .options = "{}",
                                      .facts = "{}",
                                      .head_hash = CHAIN_START,
                                      .pdf = {.bytes = "x", .length = 1}};
        must(store_add_offer(w.job, &document, &number, &why), &why);
        w.day += 5;
        prove(&w, 1, false);
        end_job(&w, &told);
        assert_null(told.left_out);
        assert_false(event_of(&told, "call_back_percent", 0)->happened);
        assert_int_equal(event_of(&told, "call_back_percent", 1)->happened, handed_over);
        assert_false(told.price.p20.known); /* it is no offer */
        arena_free(told.memory);
        survey_free(s);
    }
}

/* Twice as long as planned, in twice the hours: the same rate; deeper than 50 mm: by the factor. A was dry and seeps when cut. */
static void what_was_found_counts(void **state) {
    (void)state;
    writing w;
    learn_told told;
    survey *s = fixture_wall(0.3, 3, TWO_CRACKS);
    open_job(&w, s);
    for (size_t i = 0; i < 2; i++) {
        double length = w.p->takeoff.leaks[i].slot_length_m;
        keep(&w, (record){.mark = s->defects[i].mark,
                          .what = RECORD_FOUND,
                          .step = "cut",
                          .length_m = {true, 2 * length},
                          .depth_m = {true, i ? 0.060 : 0.040},
                          .wetness = i ? NULL : "seep"});
        finish(&w, i, "cut", 2 * length * (i ? 2.0 : 1.0) * 0.7); /* cut_deep_factor ships as 2 */
        finish(&w, i, "first_coat",
               0.2); /* the last coat is on the card, too: half of it is no word on coats */
        prove(&w, i, true);
    }
    end_job(&w, &told);
    assert_null(told.left_out);
    assert_int_equal(facts_of(&told, "cut_slot_h_m"), 2);
    assert_int_equal(told.n_facts, 2); /* steps of which nothing was told say nothing */
    near_relative(told.facts[0].value, 0.7, 1e-9);
    near_relative(told.facts[1].value, 0.7, 1e-9);
    assert_true(event_of(&told, "dry_wet_percent", 0)->happened);
    assert_null(event_of(&told, "dry_wet_percent", 1)); /* B was wet */
    arena_free(told.memory);
    survey_free(s);
}

static void a_job_without_a_proof_is_left_out(void **state) {
    (void)state;
    writing w;
    learn_told told;
    survey *s = fixture_wall(0.3, 3, TWO_CRACKS);
    open_job(&w, s);
    as_planned(&w, 0);
    as_planned(&w, 1);
    prove(&w, 0, true);
    end_job(&w, &told);
    assert_string_equal(told.left_out,
                        "job.stanch: not finished: 1 of 2 leaks have no proof, the first is B");
    assert_int_equal(told.n_facts, 0);
    arena_free(told.memory);
    survey_free(s);
}

static int set_up(void **state) {
    (void)state;
    if (!mkdtemp(folder)) return -1;
    snprintf(path, sizeof path, "%s/job.stanch", folder);
    return 0;
}

static int tear_down(void **state) {
    (void)state;
    return rmdir(folder);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hours_as_planned_give_the_rates_back), cmocka_unit_test(work_again_is_a_call_back),
        cmocka_unit_test(broken_after_handover_is_a_call_back), cmocka_unit_test(what_was_found_counts),
        cmocka_unit_test(a_job_without_a_proof_is_left_out),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
