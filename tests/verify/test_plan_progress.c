/* A plan seen from outside: how far it is, told to stop, and only its steady planes. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka wants these four first */
#include <cmocka.h>

#include "../unit/fixture.h"
#include "core/text.h"

#include <math.h>
#include <string.h>
#include <time.h>

/* `n` running lines of 0.7 m, 0.7 m apart and so one plane each, or crossed by one line and so one plane. */
static survey *lines(int n, bool joined) {
    text defects = {0};
    for (int i = 0; i < n; i++)
        text_print(
            &defects,
            "%s{\"mark\": \"L%d\", \"kind\": \"crack\", \"parts\": [{\"face\": \"N\", \"points\": "
            "[[%g,0.5],[%g,1.2]]}],"
            " \"stations\": [{\"chainage_m\": 0, \"width_mm\": 0.3, \"wetness\": \"run\", \"bar\": \"none\"},"
            " {\"chainage_m\": 0.7, \"width_mm\": 0.2, \"wetness\": \"run\", \"bar\": \"none\"}],"
            " \"flows\": [{\"from_m\": 0, \"to_m\": 0.7, \"volume_l\": 1.2, \"time_s\": 60}]}",
            i ? "," : "", i, 0.5 + 0.7 * i, 0.5 + 0.7 * i);
    if (joined)
        text_print(&defects,
                   ",{\"mark\": \"J\", \"kind\": \"crack\", \"parts\": [{\"face\": \"N\", \"points\": "
                   "[[0.2,1],[%g,1]]}],"
                   " \"stations\": [{\"chainage_m\": 0, \"width_mm\": 0.1, \"wetness\": \"seep\", \"bar\": "
                   "\"none\"}]}",
                   0.3 + 0.7 * n);
    survey *s = fixture_wall(0.30, 3.0, text_get(&defects));
    text_free(&defects);
    return s;
}

typedef struct {
    double part;
    size_t n, after; /* told in all, and once it was to stop */
    bool fell, planes, stages;
    atomic_bool *stop;
    double stop_at;
} heard;

static void hear(void *to, double part, const char *saying) {
    heard *h = to;
    h->fell = h->fell || !(part >= h->part) || !(part <= 1);
    h->part = part;
    h->n++;
    h->after += h->stop && atomic_load(h->stop);
    h->planes = h->planes || strncmp(saying, "crack plane ", 12) == 0;
    h->stages = h->stages || strcmp(saying, "quantities, price and step cards") == 0;
    if (h->stop && part >= h->stop_at) atomic_store(h->stop, true);
}

static void progress_never_falls_and_ends_at_one(void **state) {
    (void)state;
    survey *s = lines(3, false);
    for (int threads = 1; threads <= 2; threads++)
        for (int mode = PLANES_OFF; mode <= PLANES_STEADY; mode++) {
            heard h = {0};
            fault why = {0};
            plan *p;
            const plan_options o = {
                .planes = (plan_planes)mode, .threads = threads, .progress = hear, .progress_to = &h};
            if (plan_make(s, &o, &p, &why) != OK) fail_msg("%s", why.text);
            assert_false(h.fell);
            assert_true(h.part == 1);
            assert_true(h.stages);
            assert_int_equal(h.planes, mode != PLANES_OFF);
            if (mode == PLANES_RUN) assert_true(h.n > 40); /* it moves within a plane */
            plan_free(p);
        }
    survey_free(s);
}

static double now_s(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* Wherever the plan is: before it, in the first plane, in a later one, after the last plane. */
static void a_plan_stops_anywhere(void **state) {
    (void)state;
    survey *apart = lines(3, false), *joined = lines(2, true);
    for (int k = 0; k < 8; k++) {
        atomic_bool stop = k == 0;
        heard h = {.stop = &stop, .stop_at = 0.13 * k};
        fault why = {0};
        plan *p = (plan *)&why; /* to see it set to NULL */
        const plan_options o = {
            .planes = PLANES_RUN, .threads = 1 + k / 4, .stop = &stop, .progress = hear, .progress_to = &h};
        assert_int_equal(plan_make(k % 2 ? apart : joined, &o, &p, &why), E_STATE);
        assert_string_equal(why.text, "stopped");
        assert_null(p);
        assert_true(h.part < 1);
        if (h.after > 4) fail_msg("round %d: told %zu times after the stop", k, h.after);
    }
    survey_free(apart);
    survey_free(joined);
}

/* The steady plane gives the factor and the flow that a whole run gives, and no order. */
static void the_steady_plane_is_that_of_the_run(void **state) {
    (void)state;
    survey *s = lines(2, false);
    fault why = {0};
    plan *run, *steady;
    if (plan_make(s, &(plan_options){.planes = PLANES_RUN, .threads = 1}, &run, &why) != OK)
        fail_msg("%s", why.text);
    double before = now_s();
    if (plan_make(s, &(plan_options){.planes = PLANES_STEADY, .threads = 1}, &steady, &why) != OK)
        fail_msg("%s", why.text);
    print_message("a steady plan of 2 leaks: %.0f ms\n", 1000 * (now_s() - before));
    assert_int_equal(steady->n_planes, 2);
    for (size_t i = 0; i < 2; i++) {
        const plan_plane *a = &run->planes[i], *b = &steady->planes[i];
        assert_true(b->steady && !a->steady);
        assert_true(fabs(b->run.flow_factor / a->run.flow_factor - 1) < 1e-12);
        assert_true(fabs(b->uncut_m3_s.v / a->uncut_m3_s.v - 1) < 1e-12);
        assert_int_equal(b->run.orders[b->run.drawn].steps_n, 0);
    }
    /* A stored run is taken as it is. */
    text body = {0};
    plan_write_plane(&run->planes[0], &body);
    const plan_known_plane known = {run->planes[0].hash, text_get(&body)};
    plan_free(steady);
    const plan_options o = {.planes = PLANES_STEADY, .threads = 1, .known = &known, .n_known = 1};
    if (plan_make(s, &o, &steady, &why) != OK) fail_msg("%s", why.text);
    assert_false(steady->planes[0].steady);
    assert_true(steady->planes[1].steady);
    assert_true(steady->planes[0].run.orders[0].steps_n > 0);
    text_free(&body);
    plan_free(steady);
    /* Only one of them. */
    const plan_options one = {.planes = PLANES_STEADY, .threads = 1, .only = "L1"};
    if (plan_make(s, &one, &steady, &why) != OK) fail_msg("%s", why.text);
    assert_string_equal(steady->planes[0].problem, "it was not asked for");
    assert_null(steady->planes[1].problem);
    assert_true(fabs(steady->planes[1].uncut_m3_s.v / run->planes[1].uncut_m3_s.v - 1) < 1e-12);
    plan_free(steady);
    plan_free(run);
    survey_free(s);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(progress_never_falls_and_ends_at_one),
        cmocka_unit_test(a_plan_stops_anywhere),
        cmocka_unit_test(the_steady_plane_is_that_of_the_run),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
