/* A plan as the page is shown it: each member of docs/page.md is there with its kind, and the numbers are the plan's. */
#include "view_bench.h"

#include <stdlib.h>
#include <string.h>

/* ---- values ---- */

/* Findings of a mark and of the site, or all when mark is NULL, in the order of the plan. */
static void expect_findings(const json_t *root, const plan *p, const char *mark) {
    const json_t *list = member(root, "findings");
    size_t n = 0;
    for (size_t i = 0; i < p->findings.n; i++) {
        const finding *f = &p->findings.items[i];
        if (mark && strcmp(f->mark, mark) != 0 && strcmp(f->mark, "site") != 0) continue;
        const json_t *got = json_array_get(list, n++);
        assert_string_equal(word(got, "level"), f->level == FINDING_STOP ? "STOP" : "ASK");
        assert_string_equal(word(got, "mark"), f->mark);
        assert_string_equal(word(got, "finding"), f->code);
        assert_string_equal(word(got, "sentence"), f->sentence);
        assert_int_equal(yes(got, "open"), f->answer == NULL);
        assert_int_equal(json_is_string(member(got, "by")), f->answer != NULL);
        if (!f->answer) continue;
        assert_string_equal(word(got, "by"), f->answer->by);
        assert_string_equal(word(got, "what"), f->answer->what);
    }
    assert_int_equal(json_array_size(list), n);
}

static void expect_money(const json_t *root, const plan *p, size_t i, const char *hours) {
    bool designed = method_is_designed(p->designs[i].method.name);
    assert_int_equal(json_is_number(member(root, hours)), designed);
    assert_int_equal(json_is_number(member(root, "cost")), designed);
    assert_true(number(root, hours) == p->price.leaks[i].hours_total); /* null counts as 0 */
    assert_true(number(root, "cost") == p->price.leaks[i].cost);
}

static void expect_price(const json_t *root, const plan *p) {
    const json_t *price = member(root, "price"), *lines = member(price, "lines"), *group;
    double sum = 0;
    size_t i;
    assert_int_equal(json_array_size(lines), p->price.n_lines);
    for (i = 0; i < p->price.n_lines; i++) {
        const json_t *line = json_array_get(lines, i);
        assert_string_equal(word(line, "label"), p->price.lines[i].label);
        assert_string_equal(word(line, "group"), estimate_group_words[p->price.lines[i].group]);
        assert_true(number(line, "quantity") == p->price.lines[i].quantity);
        assert_true(number(line, "rate") == p->price.lines[i].rate);
        assert_true(number(line, "amount") == p->price.lines[i].amount);
    }
    json_array_foreach(member(price, "groups"), i, group) sum += number(group, "amount");
    assert_float_equal(sum, p->price.total, 0.001);
    assert_true(number(price, "total") == p->price.total && p->price.total > 0);
    assert_true(number(price, "subtotal") == p->price.subtotal);
    assert_true(number(price, "hours") == p->price.hours_total);
    assert_true(number(price, "crew_days") == p->price.crew_days);
}

static void expect_plan(const bench *b) {
    json_t *root = plan_view(b);
    const plan *p = b->p;
    double stops = 0, asks = 0;
    expect_plan_shape(root);
    assert_string_equal(word(root, "job"), "pit");
    assert_string_equal(word(root, "inputs_hash"), p->price_hash);
    assert_string_equal(word(root, "currency"), b->s->site.currency);
    assert_true(number(root, "revision") == 12 && yes(root, "current"));
    assert_int_equal(yes(root, "planes"), p->planes_on);
    expect_findings(root, p, NULL);
    expect_price(root, p);
    const json_t *leaks = member(root, "leaks"), *leak;
    size_t i;
    assert_int_equal(json_array_size(leaks), p->n_leaks);
    json_array_foreach(leaks, i, leak) {
        const leak_water *l = &p->leaks[i];
        assert_string_equal(word(leak, "mark"), l->defect->mark);
        assert_string_equal(word(leak, "method"), method_words[p->designs[i].method.name]);
        assert_int_equal(*word(leak, "flow") != 0, l->flow_m3_s.known);
        assert_int_equal(*word(leak, "slot") != 0, p->takeoff.leaks[i].slot_length_m > 0);
        assert_int_equal(*word(leak, "depth") != 0, p->designs[i].n_slots > 0);
        assert_int_equal(yes(leak, "stop"), finding_stops(&p->findings, l->defect->mark));
        assert_int_equal(yes(leak, "scan_first"), p->designs[i].scan_first);
        expect_money(leak, p, i, "hours");
        asks += number(leak, "asks");
    }
    for (i = 0; i < p->findings.n; i++)
        stops += p->findings.items[i].level == FINDING_STOP && !p->findings.items[i].answer;
    assert_true(number(root, "open_stops") == stops);
    for (i = 0; i < p->findings.n; i++)
        asks += p->findings.items[i].level == FINDING_ASK && !p->findings.items[i].answer &&
                strcmp(p->findings.items[i].mark, "site") == 0;
    assert_true(number(root, "open_asks") == asks);
    json_decref(root);
}

static void expect_leak(const bench *b, size_t i) {
    const plan *p = b->p;
    const estimate_leak *e = &p->price.leaks[i];
    json_t *root = leak_view(b, i);
    const json_t *steps = member(member(root, "card"), "steps"), *row;
    double hours = 0;
    plan_reason *rows;
    size_t n, k, mixes = 0;
    fault why = {0};
    expect_leak_shape(root);
    assert_string_equal(word(root, "mark"), b->s->defects[i].mark);
    expect_findings(root, p, b->s->defects[i].mark);
    expect_money(root, p, i, "hours_total");
    json_array_foreach(member(root, "hours"), k, row) hours += number(row, "hours");
    assert_float_equal(hours, e->hours_total, 1e-9);
    assert_int_equal(json_array_size(steps), p->cards[i].n_steps);
    for (k = 0; k < p->cards[i].n_steps; k++)
        assert_string_equal(word(json_array_get(steps, k), "code"), p->cards[i].steps[k].code);
    for (k = 0; k < MIX_COUNT; k++) mixes += p->takeoff.leaks[i].mixes[k].material != NULL;
    assert_int_equal(json_array_size(member(root, "mixes")), mixes);
    assert_int_equal(plan_explain(b->p, b->s->defects[i].mark, &rows, &n, &why), OK);
    assert_int_equal(json_array_size(member(root, "rows")), n);
    json_array_foreach(member(root, "rows"), k, row) {
        assert_string_equal(word(row, "label"), rows[k].label);
        assert_string_equal(word(row, "value"), rows[k].value);
    }
    json_decref(root);
}

static void all_is_there_and_is_the_plans(void **state) {
    (void)state;
    static const struct {
        const char *example;
        plan_planes planes;
    } jobs[] = {{"pump-house", PLANES_OFF}, {"pump-house", PLANES_STEADY}, {"small-us", PLANES_RUN}};
    for (size_t k = 0; k < sizeof jobs / sizeof *jobs; k++) {
        bench b;
        set_up(&b, jobs[k].example, jobs[k].planes);
        expect_plan(&b);
        for (size_t i = 0; i < b.p->n_leaks; i++) expect_leak(&b, i);
        if (k == 0) {
            text out = {0};
            assert_int_equal(ops_plan_view_json(b.p, &b.view, &out, NULL), OK);
            print_message("plan of %s: %zu bytes\n", jobs[k].example, out.length);
            assert_in_range(out.length, 10000, 60000);
            text_free(&out);
        }
        tear_down(&b);
    }
}

static void a_stop_of_the_site_stops_every_leak(void **state) {
    (void)state;
    bench b;
    survey *s = fixture_wall(0.3, 3, CRACK("E1", "1", "\"width_mm\": 0.3, "));
    s->site.drinking_water = true;
    plan_with(&b, s, PLANES_RUN);
    json_t *root = plan_view(&b), *leak = json_array_get(member(root, "leaks"), 0);
    expect_plan_shape(root);
    assert_true(yes(leak, "stop") && number(leak, "asks") == 1 && json_is_null(member(leak, "cost")));
    json_decref(root);
    root = leak_view(&b, 0);
    expect_leak_shape(root);
    expect_findings(root, b.p, "E1");
    assert_string_equal(word(json_array_get(member(root, "findings"), 0), "finding"), "drinking_water");
    const json_t *steps = member(member(root, "card"), "steps");
    assert_int_equal(json_array_size(steps), 1);
    assert_string_equal(word(json_array_get(steps, 0), "code"), "answer");
    assert_true(json_is_null(member(root, "hours_total")) && json_is_null(member(root, "plane")));
    json_decref(root);
    tear_down(&b);
}

/* ---- the crack plane ---- */

static void expect_drawn_steps(const bench *b, const plan_plane *plane, const json_t *got) {
    const plugging_outcome *drawn = &plane->run.orders[plane->run.drawn];
    const json_t *steps = member(got, "steps"), *order, *step;
    size_t k, best = 0, shown = 0;
    json_array_foreach(member(got, "orders"), k, order) {
        best += yes(order, "best");
        shown += yes(order, "drawn");
        if (yes(order, "drawn")) assert_true(number(order, "over") == (double)drawn->over_washout);
        if (yes(order, "drawn"))
            assert_string_equal(word(order, "name"), plugging_order_name(plane->run.drawn));
    }
    assert_true(best == 1 && shown == 1);
    assert_int_equal(json_array_size(steps), drawn->steps_n);
    json_array_foreach(steps, k, step) {
        char into[UNITS_SHOWN];
        units_show(UNITS_LENGTH, b->s->site.system, drawn->steps[k].on.from_m, 2, into);
        assert_string_equal(word(step, "from"), into);
        units_show(UNITS_LENGTH, b->s->site.system, drawn->steps[k].fresh_head_m, 2, into);
        assert_string_equal(word(step, "fresh"), into);
        assert_int_equal(yes(step, "relief"), drawn->steps[k].relief >= 0);
    }
}

static void a_plane_shows_its_order(void **state) {
    (void)state;
    bench b;
    set_up(&b, "small-us", PLANES_RUN);
    size_t solved = 0, skipped = 0;
    for (size_t i = 0; i < b.p->n_leaks; i++) {
        const plan_plane *plane = b.p->plane_of[i];
        json_t *root = leak_view(&b, i);
        const json_t *got = member(root, "plane");
        assert_int_equal(json_is_null(got), !plane && !b.p->plane_skipped[i]);
        if (plane) {
            assert_true(json_is_null(member(got, "why_not")) && yes(got, "search"));
            assert_string_equal(json_string_value(json_array_get(member(got, "leaks"), 0)),
                                b.s->defects[plane->group->leaks[0]].mark);
            assert_non_null(strstr(word(got, "uncut"), "gal/min"));
            expect_drawn_steps(&b, plane, got);
        }
        solved += plane != NULL;
        skipped += json_is_null(got);
        json_decref(root);
    }
    assert_true(solved == 1 && skipped == 1); /* the crack, and the pipe that is no line */
    tear_down(&b);
}

static void a_plane_that_is_none_says_why(void **state) {
    (void)state;
    for (int planes = PLANES_OFF; planes <= PLANES_STEADY; planes++) {
        bench b;
        plan_with(&b, fixture_wall(0.3, 3, CRACK("E1", "1", "\"width_mm\": 0.3, ") "," CRACK("E2", "3", "")),
                  (plan_planes)planes);
        json_t *roots[] = {leak_view(&b, 0), leak_view(&b, 1)};
        const json_t *solved = member(roots[0], "plane"), *not = member(roots[1], "plane");
        assert_int_equal(json_is_null(solved), planes == PLANES_OFF);
        assert_int_equal(json_is_null(not ), planes == PLANES_OFF);
        for (int k = 0; k < 2; k++) expect_leak_shape(roots[k]);
        if (planes != PLANES_OFF) {
            assert_string_equal(word(not, "why_not"), b.p->plane_skipped[1]);
            assert_string_equal(word(not, "uncut"), "not known");
            assert_int_equal(json_array_size(member(not, "steps")), 0);
            assert_true(json_is_null(member(solved, "why_not")));
            assert_true(strstr(word(solved, "uncut"), "l/min") != NULL);
            assert_int_equal(yes(solved, "search"), planes == PLANES_RUN);
            assert_int_equal(json_array_size(member(solved, "steps")) > 0, planes == PLANES_RUN);
        }
        for (int k = 0; k < 2; k++) json_decref(roots[k]);
        tear_down(&b);
    }
}

/* ---- units ---- */

static void a_us_job_is_shown_in_its_units(void **state) {
    (void)state;
    bench b;
    assert_true(is_metric("at 3.00 m, up") && is_metric("20 kPa") && is_metric("1.2 l/min"));
    assert_false(is_metric("3.00 ft") || is_metric("12 leaks") || is_metric("2.0 min"));
    set_up(&b, "small-us", PLANES_RUN);
    json_t *root = plan_view(&b);
    expect_us(root);
    json_decref(root);
    for (size_t i = 0; i < b.p->n_leaks; i++) {
        root = leak_view(&b, i);
        expect_us(root);
        json_decref(root);
    }
    tear_down(&b);
}

/* ---- changes, marks, memory ---- */

static const char CHANGES[] =
    "[{\"mark\":\"E3\",\"label\":\"Slot\",\"before\":\"3.00 m\",\"after\":\"3.10 \\\"m\\\"\"},"
    "{\"mark\":\"\",\"label\":\"Total\",\"before\":\"1\",\"after\":\"2\"},"
    "{\"mark\":\"E3\",\"label\":\"Head\",\"before\":\"\",\"after\":\"3.90 m\"},"
    "{\"mark\":\"gone\",\"label\":\"Leak\",\"before\":\"there\",\"after\":\"\"}]";

static void changes_go_to_their_leaks(void **state) {
    (void)state;
    bench b;
    set_up(&b, "pump-house", PLANES_OFF);
    b.view.changes = CHANGES;
    b.view.current = false;
    json_t *root = plan_view(&b), *leak;
    size_t i, at = 0;
    expect_plan_shape(root);
    assert_false(yes(root, "current"));
    assert_int_equal(json_array_size(member(root, "changes")), 4);
    assert_string_equal(word(json_array_get(member(root, "changes"), 0), "after"), "3.10 \"m\"");
    json_array_foreach(member(root, "leaks"), i, leak) {
        bool is_e3 = strcmp(word(leak, "mark"), "E3") == 0;
        assert_true(number(leak, "changed") == (is_e3 ? 2 : 0));
        if (is_e3) at = i;
    }
    json_decref(root);
    root = leak_view(&b, at);
    expect_leak_shape(root);
    assert_int_equal(json_array_size(member(root, "changes")), 2);
    assert_string_equal(word(json_array_get(member(root, "changes"), 1), "label"), "Head");
    json_decref(root);
    root = leak_view(&b, at + 1);
    assert_int_equal(json_array_size(member(root, "changes")), 0);
    json_decref(root);
    tear_down(&b);
}

static void what_cannot_be_shown_says_so(void **state) {
    (void)state;
    bench b;
    text out = {0};
    fault why = {0};
    set_up(&b, "pump-house", PLANES_OFF);
    assert_int_equal(ops_leak_view_json(b.p, "E33", &b.view, &out, &why), E_STATE);
    assert_string_equal(why.text, "no leak is marked E33; the nearest mark is E3");
    assert_int_equal(out.length, 0);
    assert_int_equal(ops_leak_view_json(b.p, "basement", &b.view, &out, &why), E_STATE);
    b.view.changes = "{}";
    assert_int_equal(ops_plan_view_json(b.p, &b.view, &out, &why), E_FORMAT);
    assert_string_equal(why.text, "changes since the last plan: no list [ ]");
    b.view.changes = "[";
    assert_int_equal(ops_leak_view_json(b.p, "E3", &b.view, &out, &why), E_FORMAT);
    assert_int_equal(why.code, E_FORMAT);
    assert_non_null(strstr(why.text, "not valid JSON"));
    text_free(&out);
    tear_down(&b);
}

static status view_one(const bench *b, size_t leak, text *out, fault *why) {
    return leak < b->p->n_leaks ? ops_leak_view_json(b->p, b->s->defects[leak].mark, &b->view, out, why)
                                : ops_plan_view_json(b->p, &b->view, out, why);
}

/* Either it says so, or nothing is missing. */
static void fail_each(const bench *b, size_t leak, int sticky) {
    text whole = {0};
    long failures = 0;
    assert_int_equal(view_one(b, leak, &whole, NULL), OK);
    bool ended = false;
    for (long n = 0; !ended; n++) {
        text out = {0};
        fault why = {0};
        long before = mem_count();
        mem_fail_at(n, sticky);
        status code = view_one(b, leak, &out, &why);
        ended = mem_count() - before <= n;
        mem_fail_at(-1, 0);
        if (code == OK && strcmp(text_get(&out), text_get(&whole)) != 0)
            fail_msg("allocation %ld of view %zu is lost without a word", n, leak);
        if (code != OK && code != E_MEMORY) fail_msg("allocation %ld: %s", n, why.text);
        assert_int_equal(*why.text != 0, code != OK);
        assert_true(ended == (code == OK));
        failures += code != OK;
        text_free(&out);
    }
    print_message("view %zu: %ld allocations fail in turn\n", leak, failures);
    assert_true(failures > 5);
    text_free(&whole);
}

static void no_memory_leaves_nothing_out(void **state) {
    (void)state;
    for (int k = 0; k < 2; k++) {
        bench b;
        set_up(&b, k ? "small-us" : "pump-house", k ? PLANES_RUN : PLANES_STEADY);
        b.view.changes = CHANGES;
        for (int sticky = 0; sticky < 2; sticky++)
            for (size_t leak = 0; leak <= b.p->n_leaks; leak++) fail_each(&b, leak, sticky);
        tear_down(&b);
    }
}

/* So many that the texts of the list need more than one block of an arena. */
static void no_memory_amid_many_leaks(void **state) {
    (void)state;
    text defects = {0};
    for (int i = 0; i < 600; i++)
        text_print(
            &defects,
            "%s{\"mark\": \"E%d\", \"kind\": \"tie_hole\", \"diameter_mm\": 25, \"parts\": [{\"face\": "
            "\"N\", "
            "\"points\": [[%.2f, %.2f]]}], \"stations\": [{\"chainage_m\": 0, \"wetness\": \"drip\"}]}",
            i ? "," : "", i, 0.2 + 0.3 * (i % 30), 0.2 + 0.15 * (i / 30));
    bench b;
    plan_with(&b, fixture_wall(0.3, 3, text_get(&defects)), PLANES_OFF);
    text_free(&defects);
    size_t n = b.p->n_leaks;
    for (int k = 0; k < 8; k++) {
        b.p->n_leaks = n - (size_t)k / 2; /* so that the block ends at one text, then at another */
        fail_each(&b, b.p->n_leaks, k % 2);
    }
    b.p->n_leaks = n;
    tear_down(&b);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_is_there_and_is_the_plans),
        cmocka_unit_test(a_stop_of_the_site_stops_every_leak),
        cmocka_unit_test(a_plane_shows_its_order),
        cmocka_unit_test(a_plane_that_is_none_says_why),
        cmocka_unit_test(a_us_job_is_shown_in_its_units),
        cmocka_unit_test(changes_go_to_their_leaks),
        cmocka_unit_test(what_cannot_be_shown_says_so),
        cmocka_unit_test(no_memory_leaves_nothing_out),
        cmocka_unit_test(no_memory_amid_many_leaks),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
