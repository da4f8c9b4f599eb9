/* The price with its risk: with all as planned the printed total to the cent; other rates and prices as a plan with them has it;
 * exact cases of lengths and of leaks found wet. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "../prop/random_survey.h"
#include "../unit/fixture.h"
#include "core/file.h"
#include "risk/model.h"
#include "survey/catalogue.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static plan *plan_of(const survey *s) {
    fault why = {0};
    plan *p;
    status code = plan_make(s, &(plan_options){.planes = PLANES_OFF, .threads = 1}, &p, &why);
    if (code != OK) print_error("%s\n", why.text);
    assert_int_equal(code, OK);
    return p;
}

static survey_rate *rate_of(survey *s, const char *id) {
    for (size_t i = 0; i < s->n_rates; i++)
        if (strcmp(s->rates[i].id, id) == 0) return &s->rates[i];
    fail_msg("no rate %s", id);
    return NULL;
}

static survey_price *price_of(survey *s, const char *id) {
    for (size_t i = 0; i < s->n_prices; i++)
        if (strcmp(s->prices[i].id, id) == 0) return &s->prices[i];
    fail_msg("no price %s", id);
    return NULL;
}

static void hold_still(survey *s) {
    for (size_t i = 0; i < s->n_rates; i++) s->rates[i].low.known = s->rates[i].high.known = false;
    for (size_t i = 0; i < s->n_prices; i++) s->prices[i].low.known = s->prices[i].high.known = false;
}

static void check_base(const plan *p, const char *name) {
    arena *memory = arena_new();
    risk_model m;
    fault why = {0};
    assert_int_equal(risk_model_make(p, memory, &m, &why), OK);
    double base = risk_cost(&m.costing, m.likely, m.values);
    if (base != p->price.total) print_error("%s: %.17g, printed %.17g\n", name, base, p->price.total);
    assert_true(base == p->price.total);
    arena_free(memory);
}

static survey *example(const char *name) {
    char path[400], *bytes;
    size_t length;
    snprintf(path, sizeof path, STANCH_SOURCE "/examples/%s", name);
    assert_int_equal(file_read(path, &bytes, &length, NULL), OK);
    survey *s = fixture_survey(bytes);
    mem_free(bytes);
    return s;
}

static void base_of_the_examples(void **state) {
    (void)state;
    static const char *const names[] = {"pump-house.json", "small-us.json"};
    for (size_t i = 0; i < 2; i++) {
        survey *s = example(names[i]);
        plan *p = plan_of(s);
        check_base(p, names[i]);
        plan_free(p);
        survey_free(s);
    }
}

enum { JOBS = 30 };

static survey *random_job(unsigned long long seed) {
    survey *s = random_survey(seed, seed % 2 ? UNITS_US : UNITS_METRIC, 3, 8);
    fault why = {0};
    s->n_rates = s->n_prices = s->n_materials = 0;
    s->rates = NULL;
    s->prices = NULL;
    s->materials = NULL;
    assert_int_equal(survey_catalogue_fill(s, &why), OK);
    return s;
}

static void base_of_random_jobs(void **state) {
    (void)state;
    size_t priced = 0;
    for (unsigned long long seed = 1; seed <= JOBS; seed++) {
        char name[40];
        survey *s = random_job(seed);
        plan *p = NULL; /* a random leak may want what no repair has: then there is no plan */
        snprintf(name, sizeof name, "seed %llu", seed);
        if (plan_make(s, &(plan_options){.planes = PLANES_OFF, .threads = 1}, &p, NULL) == OK &&
            p->price.n_lines) {
            check_base(p, name);
            priced++;
        }
        plan_free(p);
        survey_free(s);
    }
    assert_true(priced > JOBS / 2);
}

/* Every value of the model, one after another, set otherwise: the price of a plan made with it. Not so: waste_percent and
 * wash_water_l_m2 (packs, the plan's own litres) and what the risk alone knows. */
static void other_values(void **state) {
    (void)state;
    static const unsigned long long seeds[] = {2, 3, 5};
    for (size_t k = 0; k < 3; k++) {
        survey *s = random_job(seeds[k]);
        plan *p = plan_of(s);
        arena *memory = arena_new();
        risk_model m;
        fault why = {0};
        assert_int_equal(risk_model_make(p, memory, &m, &why), OK);
        for (size_t v = 0; v < VALUES; v++) {
            if (v == VALUE_WASTE || v == VALUE_DEPTH) continue;
            bool is_rate = v < VALUE_PRICES;
            double *at =
                is_rate ? &rate_of(s, risk_value_ids[v])->value : &price_of(s, risk_value_ids[v])->price;
            double kept = *at, values[VALUES];
            memcpy(values, m.values, sizeof values);
            values[v] = *at = kept * 1.1;
            plan *other = plan_of(s);
            double got = risk_cost(&m.costing, m.likely, values);
            if (got != other->price.total)
                print_error("seed %llu, %s: %.17g, planned %.17g\n", seeds[k], risk_value_ids[v], got,
                            other->price.total);
            assert_true(got == other->price.total);
            *at = kept;
            plan_free(other);
        }
        arena_free(memory);
        plan_free(p);
        survey_free(s);
    }
}

#define CRACK(mark, at, wetness)                                                                             \
    "{\"mark\": \"" mark "\", \"kind\": \"crack\", \"parts\": [{\"face\": \"N\", \"points\": [[" at          \
    ", 0.5], [" at ", 2.5]]}], \"stations\": [{\"chainage_m\": 0, \"wetness\": \"" wetness                   \
    "\", \"width_mm\": 0.3, \"bar\": \"none\"}, "                                                            \
    "{\"chainage_m\": 2, \"wetness\": \"" wetness "\", \"width_mm\": 0.3, \"bar\": \"none\"}]}"

/* Everything certain: every run is the printed total. */
static void nothing_varies(void **state) {
    (void)state;
    survey *s = fixture_wall(0.3, 3, CRACK("N1", "2", "drip"));
    hold_still(s);
    plan *p = plan_of(s);
    arena *memory = arena_new();
    risk_result r;
    assert_int_equal(risk_run(p, &(spread_options){500, 1, 0}, memory, &r, NULL), OK);
    assert_int_equal(r.n_inputs, 0);
    assert_true(r.price.p10 == p->price.total && r.price.p90 == p->price.total && r.price.sd < 1e-6);
    assert_true(r.contingency == 0 && r.total == p->price.total);
    assert_int_equal(r.bins[0], 500);
    assert_int_equal(r.n_warnings, 1); /* no ranges: they stand still */
    assert_non_null(strstr(r.warnings[0], "stand still"));
    arena_free(memory);
    plan_free(p);
    survey_free(s);
}

/* Only mobilisation varies, a triangle: the price is a line in it, so its quantiles are closed forms. */
static void one_price(void **state) {
    (void)state;
    survey *s = fixture_wall(0.3, 3, CRACK("N1", "2", "drip"));
    hold_still(s);
    survey_price *m = price_of(s, "mobilisation");
    m->label = m->unit = NULL; /* a firm's own, of no more than its id */
    m->low = (maybe){true, 300};
    m->high = (maybe){true, 780}; /* likely 380: the turn at 1/6 */
    price_of(s, "minimum_charge")->price = 0;
    plan *p = plan_of(s);
    arena *memory = arena_new();
    risk_result r;
    assert_int_equal(risk_run(p, &(spread_options){20000, 1, 0}, memory, &r, NULL), OK);
    double more = 1.15 * 1.10; /* overhead, profit */
    double p50 = 780 - sqrt(0.5 * 480 * 400), p80 = 780 - sqrt(0.2 * 480 * 400);
    assert_true(fabs(r.price.p50 - (p->price.total + more * (p50 - 380))) < 0.05);
    assert_true(fabs(r.price.p80 - (p->price.total + more * (p80 - 380))) < 0.05);
    assert_true(fabs(r.contingency - more * (p80 - 380)) < 0.05);
    assert_int_equal(r.n_inputs, 1);
    assert_true(r.inputs[0].share == 1 && r.group_shares[4] == 1);
    assert_string_equal(r.inputs[0].group, "prices");
    assert_string_equal(r.inputs[0].label, "mobilisation");
    assert_string_equal(r.inputs[0].unit, "EUR"); /* money, though the firm told no unit */
    size_t all = 0;
    for (size_t i = 0; i < RISK_BINS; i++) all += r.bins[i];
    assert_int_equal(all, 20000);
    arena_free(memory);
    plan_free(p);
    survey_free(s);
}

/* A dry leak surely found wet: every run is the price of the job with that leak as a drip, packs in proportion. */
static void found_wet(void **state) {
    (void)state;
    survey *dry = fixture_wall(0.3, 3, CRACK("N1", "2", "drip") "," CRACK("N2", "6", "dry"));
    survey *wet = fixture_wall(0.3, 3, CRACK("N1", "2", "drip") "," CRACK("N2", "6", "drip"));
    hold_still(dry);
    price_of(dry, "minimum_charge")->price = price_of(wet, "minimum_charge")->price = 0;
    rate_of(dry, "dry_wet_percent")->value = 100;
    for (size_t i = 0; i < dry->n_materials; i++) /* packs of next to nothing: no rounding up */
        for (size_t k = 0; k < dry->materials[i].n_packs; k++) {
            dry->materials[i].packs[k].price = 0;
            wet->materials[i].packs[k].price = 0;
        }
    plan *p = plan_of(dry), *q = plan_of(wet);
    arena *memory = arena_new();
    risk_result r;
    assert_int_equal(risk_run(p, &(spread_options){500, 1, 0}, memory, &r, NULL), OK);
    assert_true(p->price.total != q->price.total);
    assert_true(fabs(r.price.p50 - q->price.total) < 1e-9 && r.price.sd < 1e-9);
    rate_of(dry, "dry_wet_percent")->value = 30; /* three runs in ten */
    assert_int_equal(risk_run(p, &(spread_options){1000, 1, 0}, memory, &r, NULL), OK);
    double mean = p->price.total + 0.3 * (q->price.total - p->price.total);
    assert_true(fabs(r.price.mean - mean) <= 0.0011 * fabs(q->price.total - p->price.total));
    assert_string_equal(r.inputs[0].label, "N2 found wet");
    assert_true(fabs(r.group_shares[1] - 1) < 1e-12);
    arena_free(memory);
    plan_free(p);
    plan_free(q);
    survey_free(dry);
    survey_free(wet);
}

/* The length of one leak alone, surely a fifth more: what goes with the length is a fifth more, hours too. */
static void longer(void **state) {
    (void)state;
    survey *s = fixture_wall(0.3, 3, CRACK("N1", "2", "drip"));
    hold_still(s);
    rate_of(s, "length_factor")->value = 1.2;
    plan *p = plan_of(s);
    arena *memory = arena_new();
    risk_model m;
    risk_result r;
    assert_int_equal(risk_model_make(p, memory, &m, NULL), OK);
    assert_int_equal(risk_run(p, &(spread_options){500, 1, 0}, memory, &r, NULL), OK);
    double *amounts = arena_get(memory, m.n_amounts, sizeof *amounts);
    memcpy(amounts, m.likely, m.n_amounts * sizeof *amounts);
    for (size_t i = 0; i < m.costing.n_amounts; i++)
        if (i != WORK_SETUP && i != WORK_RELIEF && i != AMOUNT_TUBES && i != AMOUNT_PUMP_M3_S)
            amounts[i] *= 1.2;
    assert_true(r.price.p50 > p->price.total);
    assert_true(fabs(r.price.p50 - risk_cost(&m.costing, amounts, m.values)) < 0.011);
    assert_non_null(strstr(r.warnings[0], "length_factor is 1.2; the printed price is counted with 1"));
    rate_of(s, "length_factor")->value = 0.8;
    assert_int_equal(risk_run(p, &(spread_options){500, 1, 0}, memory, &r, NULL), OK);
    assert_true(r.price.p80 < p->price.total && r.contingency == 0);
    arena_free(memory);
    plan_free(p);
    survey_free(s);
}

/* Nothing but what is counted: no days, no additions, no packs. */
static void bare_prices(survey *s) {
    static const char *const free_of[] = {"plant_day",      "access_day",       "dewatering_day",
                                          "minimum_charge", "overhead_percent", "profit_percent"};
    hold_still(s);
    for (size_t i = 0; i < sizeof free_of / sizeof *free_of; i++) price_of(s, free_of[i])->price = 0;
}

static double price_50(const plan *p, arena *memory) {
    risk_result r;
    assert_int_equal(risk_run(p, &(spread_options){500, 1, 0}, memory, &r, NULL), OK);
    assert_true(r.price.sd < 1e-6);
    return r.price.p50;
}

/* Slots half as deep again, by hand: half of the cutting, the spoil and the two sides more; of a slot of one depth. */
static void deeper(void **state) {
    (void)state;
    survey *s = fixture_wall(0.3, 3, CRACK("N1", "2", "seep"));
    bare_prices(s);
    for (size_t i = 0; i < s->n_materials; i++)
        for (size_t k = 0; k < s->materials[i].n_packs; k++) s->materials[i].packs[k].price = 0;
    plan *p = plan_of(s);
    const repair_design *d = &p->designs[0];
    const takeoff_leak *t = &p->takeoff.leaks[0];
    arena *memory = arena_new();
    assert_int_equal(d->n_slots, 1);
    double sides = 2 * t->slot_length_m * d->slots[0].depth_m;
    double cut = d->slots[0].depth_m > ESTIMATE_DEEP_M ? 0.6 * 2 : 0.6; /* h/m as shipped */
    double hours = (d->slots[0].to_m - d->slots[0].from_m) * cut + sides * (0.05 + 0.10);
    double by_hand = 0.5 * (hours * 52 + sides * 10 * 0.4 + t->slot_volume_m3 * 2400 * 0.2);
    rate_of(s, "depth_factor")->value = 1.5;
    assert_true(fabs(price_50(p, memory) - (p->price.total + by_hand)) < 0.03); /* cents of five lines */
    arena_free(memory);
    plan_free(p);
    survey_free(s);
}

/* Materials alone go with the waste: 1.21 over 1.10 of them. */
static void more_waste(void **state) {
    (void)state;
    survey *s = fixture_wall(0.3, 3, CRACK("N1", "2", "seep"));
    bare_prices(s);
    plan *p = plan_of(s);
    arena *memory = arena_new();
    risk_model m;
    double orders = 0;
    assert_int_equal(risk_model_make(p, memory, &m, NULL), OK);
    for (size_t i = 0; i < p->takeoff.n_orders; i++) orders += p->takeoff.orders[i].cost;
    assert_true(orders > 10);
    m.values[VALUE_WASTE] = 21;
    assert_true(fabs(risk_cost(&m.costing, m.likely, m.values) - (p->price.total + 0.1 * orders)) < 0.03);
    arena_free(memory);
    plan_free(p);
    survey_free(s);
}

/* Below the minimum charge every run costs that; what varies is told all the same, with no share. */
static void at_the_minimum(void **state) {
    (void)state;
    survey *s = fixture_wall(0.3, 3, CRACK("N1", "2", "drip"));
    hold_still(s);
    price_of(s, "mobilisation")->high = (maybe){true, 780};
    price_of(s, "minimum_charge")->price = 50000;
    plan *p = plan_of(s);
    arena *memory = arena_new();
    risk_result r;
    assert_int_equal(risk_run(p, &(spread_options){500, 1, 0}, memory, &r, NULL), OK);
    assert_true(p->price.total == 50000 && r.price.p10 == 50000 && r.price.p90 == 50000);
    assert_int_equal(r.n_inputs, 1);
    assert_true(r.inputs[0].share < 1e-9);
    arena_free(memory);
    plan_free(p);
    survey_free(s);
}

/* Longer and found wet is the wet job longer. */
static void longer_and_wet(void **state) {
    (void)state;
    survey *dry = fixture_wall(0.3, 3, CRACK("N1", "2", "drip") "," CRACK("N2", "6", "dry"));
    survey *wet = fixture_wall(0.3, 3, CRACK("N1", "2", "drip") "," CRACK("N2", "6", "drip"));
    survey *const both[] = {dry, wet};
    for (size_t k = 0; k < 2; k++) {
        bare_prices(both[k]);
        rate_of(both[k], "length_factor")->value = 1.25;
        rate_of(both[k], "dry_wet_percent")->value = 100;
        for (size_t i = 0; i < dry->n_materials; i++)
            for (size_t j = 0; j < dry->materials[i].n_packs; j++) both[k]->materials[i].packs[j].price = 0;
    }
    plan *p = plan_of(dry), *q = plan_of(wet);
    arena *memory = arena_new();
    assert_true(fabs(price_50(p, memory) - price_50(q, memory)) < 0.011);
    arena_free(memory);
    plan_free(p);
    plan_free(q);
    survey_free(dry);
    survey_free(wet);
}

/* The demo's shares are a whole. */
static void whole_job(void **state) {
    (void)state;
    survey *s = example("pump-house.json");
    plan *p = plan_of(s);
    arena *memory = arena_new();
    risk_result r, again;
    fault why = {0};
    assert_int_equal(risk_run(p, NULL, memory, &r, &why), OK);
    assert_int_equal(risk_run(p, NULL, memory, &again, &why), OK);
    assert_memory_equal(&r.price, &again.price, sizeof r.price);
    assert_memory_equal(r.bins, again.bins, sizeof r.bins);
    assert_int_equal(r.options.runs, 20000);
    assert_true(r.options.correlation == 0.2 && r.n_warnings == 0);
    assert_true(r.price.p20 < r.price.p50 && r.price.p50 < r.price.p80);
    double shares = 0, groups = 0;
    for (size_t i = 0; i < r.n_inputs; i++) {
        shares += r.inputs[i].share;
        assert_true(i == 0 || r.inputs[i].share <= r.inputs[i - 1].share);
        assert_true(r.inputs[i].low <= r.inputs[i].likely && r.inputs[i].likely <= r.inputs[i].high);
        assert_non_null(r.inputs[i].basis);
        const char *unit = r.inputs[i].unit; /* 48 h of labour and 48 EUR an hour are not the same */
        bool money = strncmp(unit, "EUR/", 4) == 0 || strcmp(unit, "%") == 0;
        if (strcmp(r.inputs[i].group, "prices") == 0) assert_true(money);
        if (strcmp(r.inputs[i].group, "rates") == 0) assert_false(strncmp(unit, "EUR", 3) == 0);
    }
    for (size_t g = 0; g < RISK_GROUPS; g++) {
        /* S2 alone could be found wet, and is sealed the same way then: it changes no price, so it carries no risk */
        assert_true(strcmp(risk_group_words[g], "found wet") == 0 ? r.group_shares[g] == 0
                                                                  : r.group_shares[g] > 0);
        groups += r.group_shares[g];
    }
    assert_true(fabs(shares - 1) < 1e-9 && fabs(groups - 1) < 1e-9);
    arena_free(memory);
    plan_free(p);
    survey_free(s);
}

/* A job without the rates of the risk is told that the shipped ones stand in. */
static void an_older_job(void **state) {
    (void)state;
    survey *s = fixture_wall(0.3, 3, CRACK("N1", "2", "drip"));
    size_t kept = 0;
    plan *whole = plan_of(s);
    arena *memory = arena_new();
    risk_result r, as_shipped;
    assert_int_equal(risk_run(whole, &(spread_options){500, 1, 0}, memory, &as_shipped, NULL), OK);
    for (size_t i = 0; i < s->n_rates; i++)
        if (!strstr(s->rates[i].id, "_factor") || strstr(s->rates[i].id, "cut_") ||
            strstr(s->rates[i].id, "over"))
            s->rates[kept++] = s->rates[i];
    s->n_rates = kept;
    plan *p = plan_of(s);
    assert_int_equal(risk_run(p, &(spread_options){500, 1, 0}, memory, &r, NULL), OK);
    assert_int_equal(r.n_warnings, 2);
    assert_non_null(strstr(r.warnings[0], "no rate length_factor: the shipped default 1 is taken"));
    assert_non_null(strstr(r.warnings[1], "depth_factor"));
    assert_true(r.price.p50 == as_shipped.price.p50 && r.n_inputs == as_shipped.n_inputs);
    plan_free(whole);
    arena_free(memory);
    plan_free(p);
    survey_free(s);
}

static void refused(void **state) {
    (void)state;
    survey *s = fixture_wall(0.3, 3, CRACK("N1", "2", "drip")), *none = fixture_wall(0.3, 3, "");
    plan *p = plan_of(s), *q = plan_of(none);
    arena *memory = arena_new();
    risk_result r;
    fault why = {0};
    assert_int_equal(risk_run(q, NULL, memory, &r, &why), E_STATE);
    assert_non_null(strstr(why.text, "nothing to price"));
    assert_int_equal(risk_run(p, &(spread_options){50, 1, 0}, memory, &r, &why), E_INPUT);
    assert_non_null(strstr(why.text, "runs is 50; it must lie in 100 to 200000"));
    assert_int_equal(risk_run(p, &(spread_options){200001, 1, 0}, memory, &r, &why), E_INPUT);
    rate_of(s, "risk_correlation")->value = 2;
    assert_int_equal(risk_run(p, NULL, memory, &r, &why), E_INPUT);
    assert_non_null(strstr(why.text, "rates: risk_correlation is 2; it must lie in 0 to 0.95"));
    rate_of(s, "risk_correlation")->value = 0;
    rate_of(s, "dry_wet_percent")->value = 101;
    assert_int_equal(risk_run(p, NULL, memory, &r, &why), E_INPUT);
    assert_non_null(strstr(why.text, "dry_wet_percent is 101"));
    arena_free(memory);
    plan_free(p);
    plan_free(q);
    survey_free(s);
    survey_free(none);
}

static void without_memory(void **state) {
    (void)state;
    survey *s = fixture_wall(0.3, 3, CRACK("N1", "2", "drip"));
    plan *p = plan_of(s);
    status code = E_MEMORY;
    for (long n = 0; code == E_MEMORY; n++) {
        arena *memory = arena_new();
        risk_result r;
        fault why = {0};
        mem_fail_at(n, 1);
        code = risk_run(p, &(spread_options){100, 1, 0}, memory, &r, &why);
        mem_fail_at(-1, 0);
        arena_free(memory);
    }
    assert_int_equal(code, OK);
    plan_free(p);
    survey_free(s);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(base_of_the_examples),
        cmocka_unit_test(base_of_random_jobs),
        cmocka_unit_test(other_values),
        cmocka_unit_test(nothing_varies),
        cmocka_unit_test(one_price),
        cmocka_unit_test(found_wet),
        cmocka_unit_test(longer),
        cmocka_unit_test(whole_job),
        cmocka_unit_test(an_older_job),
        cmocka_unit_test(refused),
        cmocka_unit_test(without_memory),
        cmocka_unit_test(deeper),
        cmocka_unit_test(more_waste),
        cmocka_unit_test(at_the_minimum),
        cmocka_unit_test(longer_and_wet),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
