/* Bands on random walls: what must hold whatever the lines. The seed is printed; argv[1] sets another. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "geom/bands.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CASES = 40, MOST_LINES = 12, MOST_POINTS = 5 };

static uint64_t seed = 20240611;

/* splitmix64 (public domain algorithm of S. Vigna) */
static double uniform(double low, double high) {
    uint64_t z = (seed += 0x9e3779b97f4a7c15u);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return low + (high - low) * ((double)((z ^ (z >> 31)) >> 11) / 9007199254740992.0);
}

static void check_near(double found, double expected, double within, const char *file, int line) {
    if (fabs(found - expected) <= within) return;
    print_error("%s:%d: found %.17g, expected %.17g within %g\n", file, line, found, expected, within);
    _fail(file, line);
}
#define NEAR(found, expected, within) check_near(found, expected, within, __FILE__, __LINE__)

/* A wall 6 m by 3 m with a window, and lines on it. */
typedef struct {
    face_point outline[4], window[4];
    face_run opening;
    face_shape face;
    face_point points[MOST_LINES][MOST_POINTS];
    bands_item items[MOST_LINES];
    size_t items_n;
} scene;

static void tie(scene *s) {
    s->opening = (face_run){s->window, 4};
    s->face = (face_shape){"N", {s->outline, 4}, &s->opening, 1};
    for (size_t i = 0; i < s->items_n; i++) s->items[i].run.points = s->points[i];
}

static void make(scene *s) {
    const face_point outline[4] = {{0, 0}, {6, 0}, {6, 3}, {0, 3}};
    double u = uniform(1, 4), v = uniform(0.5, 1.5), w = uniform(0.3, 1), h = uniform(0.3, 1);
    const face_point window[4] = {{u, v}, {u + w, v}, {u + w, v + h}, {u, v + h}};
    *s = (scene){.items_n = 1 + (size_t)uniform(0, MOST_LINES - 0.001)};
    memcpy(s->outline, outline, sizeof outline);
    memcpy(s->window, window, sizeof window);
    for (size_t i = 0; i < s->items_n; i++) {
        size_t n = 2 + (size_t)uniform(0, MOST_POINTS - 1.001);
        face_point at = {uniform(0, 6), uniform(0, 3)};
        for (size_t k = 0; k < n; k++) {
            s->points[i][k] = at;
            at.u_m += uniform(-0.8, 0.8);
            at.v_m += uniform(-0.8, 0.8);
        }
        s->items[i] =
            (bands_item){.kind = BANDS_LINE,
                         .run = {NULL, n},
                         .extend_start_m = uniform(0, 0.5),
                         .extend_end_m = uniform(0, 0.5),
                         .slot = {uniform(0, 0.05), 0.037, uniform(0, 20), 0.01, uniform(0.01, 0.3)}};
    }
    tie(s);
}

/* Every point of the scene turned by `turn`, mirrored when `flip` is -1, shifted. */
static void move(scene *s, double turn, double flip, double du, double dv) {
    face_point *lists[] = {s->outline, s->window, &s->points[0][0]};
    const size_t sizes[] = {4, 4, MOST_LINES * MOST_POINTS};
    for (size_t l = 0; l < 3; l++)
        for (size_t i = 0; i < sizes[l]; i++) {
            face_point p = lists[l][i];
            lists[l][i] = (face_point){cos(turn) * p.u_m - flip * sin(turn) * p.v_m + du,
                                       sin(turn) * p.u_m + flip * cos(turn) * p.v_m + dv};
        }
}

static bands_amount total_of(const bands_input *in) {
    arena *memory = arena_new();
    bands_result out;
    fault why = {0};
    if (bands_compute(in, memory, &out, &why) != OK) fail_msg("%s", why.text);
    bands_amount shared = {0};
    for (size_t i = 0; i < in->items_n; i++) {
        shared.band_area_m2 += out.items[i].band_area_m2 - out.items[i].overlap_saved_m2;
        shared.first_coat_area_m2 += out.items[i].first_coat_area_m2 - out.items[i].overlap_saved_m2;
        shared.slot_volume_m3 += out.items[i].slot_volume_m3;
    }
    for (size_t i = 0; i < in->items_n; i++) {
        const bands_amount *of = &out.items[i];
        assert_true(of->overlap_saved_m2 >= 0 && of->overlap_saved_m2 <= of->band_area_m2);
    }
    /* What is shared out among the items is the whole. */
    NEAR(shared.band_area_m2, out.total.band_area_m2, 1e-11);
    NEAR(shared.first_coat_area_m2, out.total.first_coat_area_m2, 1e-11);
    NEAR(shared.slot_volume_m3, out.total.slot_volume_m3, 1e-12);
    bands_amount total = out.total;
    arena_free(memory);
    return total;
}

static bands_amount on_wall(const scene *s) {
    return total_of(&(bands_input){&s->face, 1, NULL, 0, s->items, s->items_n});
}

static void same(const bands_amount *a, const bands_amount *b, double within) {
    NEAR(a->line_length_m, b->line_length_m, within);
    NEAR(a->slot_area_m2, b->slot_area_m2, within);
    NEAR(a->slot_volume_m3, b->slot_volume_m3, within);
    NEAR(a->band_area_m2, b->band_area_m2, within);
    NEAR(a->first_coat_area_m2, b->first_coat_area_m2, within);
    NEAR(a->wash_area_m2, b->wash_area_m2, within);
    NEAR(a->overlap_saved_m2, b->overlap_saved_m2, within);
}

/* GEOS leaves out bends shallower than a hundredth of the buffer's width, beginning at the line's first
 * point, so a bent line turned, walked backwards, or cut at a fold may differ by so much; straight lines
 * (even cases) may not. */
static double bend_slack_m2(scene *s, int c) {
    if (c % 2) return 1e-3;
    for (size_t i = 0; i < s->items_n; i++) s->items[i].run.n = 2;
    return 1e-11;
}

static void moving_changes_nothing(void **state) {
    (void)state;
    for (int c = 0; c < CASES; c++) {
        scene s;
        make(&s);
        double slack_m2 = bend_slack_m2(&s, c / 2); /* both kinds with and without mirror */
        bands_amount before = on_wall(&s);
        move(&s, uniform(-3, 3), c % 2 ? -1 : 1, uniform(-50, 50), uniform(-50, 50));
        bands_amount after = on_wall(&s);
        same(&after, &before, fmax(slack_m2, 1e-9)); /* coordinates of 50 m keep 1e-14 */
    }
}

static void the_union_lies_between_the_largest_and_the_sum(void **state) {
    (void)state;
    for (int c = 0; c < CASES; c++) {
        scene s;
        make(&s);
        bands_amount all = on_wall(&s);
        double largest = 0, sum = 0;
        for (size_t i = 0; i < s.items_n; i++) {
            bands_amount one = total_of(&(bands_input){&s.face, 1, NULL, 0, &s.items[i], 1});
            largest = fmax(largest, one.band_area_m2);
            sum += one.band_area_m2;
        }
        assert_true(all.band_area_m2 <= sum + 1e-12 && all.band_area_m2 >= largest - 1e-12);
        NEAR(all.overlap_saved_m2, sum - all.band_area_m2, 1e-11);
        assert_true(all.band_area_m2 <= face_area_m2(&s.face) + 1e-12);
    }
}

/* Asked pair by pair: who overlaps nobody saves nothing, who overlaps somebody saves something. */
static void only_those_that_meet_share(void **state) {
    (void)state;
    for (int c = 0; c < CASES; c++) {
        scene s;
        make(&s);
        arena *memory = arena_new();
        bands_result all;
        const bands_input in = {&s.face, 1, NULL, 0, s.items, s.items_n};
        assert_int_equal(bands_compute(&in, memory, &all, NULL), OK);
        for (size_t i = 0; i < s.items_n; i++) {
            double met_m2 = 0;
            for (size_t k = 0; k < s.items_n; k++) {
                const bands_item pair[] = {s.items[i], s.items[k]};
                if (k != i) met_m2 += total_of(&(bands_input){&s.face, 1, NULL, 0, pair, 2}).overlap_saved_m2;
            }
            if (met_m2 > 1e-9) assert_true(all.items[i].overlap_saved_m2 > 0);
            if (!(met_m2 > 0)) NEAR(all.items[i].overlap_saved_m2, 0, 0);
        }
        arena_free(memory);
    }
}

static void a_wider_band_covers_more(void **state) {
    (void)state;
    for (int c = 0; c < CASES; c++) {
        scene s;
        make(&s);
        bands_amount narrow = on_wall(&s);
        for (size_t i = 0; i < s.items_n; i++) s.items[i].slot.band_m += uniform(0.001, 0.1);
        bands_amount wide = on_wall(&s);
        assert_true(wide.band_area_m2 >= narrow.band_area_m2);
        NEAR(wide.slot_volume_m3, narrow.slot_volume_m3, 0);
    }
}

static void walking_the_other_way_changes_nothing(void **state) {
    (void)state;
    for (int c = 0; c < CASES; c++) {
        scene s;
        make(&s);
        double slack_m2 = bend_slack_m2(&s, c);
        bands_amount forth = on_wall(&s);
        for (size_t i = 0; i < s.items_n; i++) {
            bands_item *it = &s.items[i];
            double extend_m = it->extend_start_m;
            for (size_t k = 0; 2 * k + 1 < it->run.n; k++) {
                face_point first = s.points[i][k];
                s.points[i][k] = s.points[i][it->run.n - 1 - k];
                s.points[i][it->run.n - 1 - k] = first;
            }
            it->extend_start_m = it->extend_end_m;
            it->extend_end_m = extend_m;
        }
        bands_amount back = on_wall(&s);
        same(&back, &forth, slack_m2);
    }
}

/* The wall cut at u = `cut` into two faces, folded: as long as the lines begin left of it, all is as on the
 * flat. The right-hand face is drawn in a plane of its own, turned and shifted. */
static void folding_changes_nothing(void **state) {
    (void)state;
    for (int c = 0; c < CASES; c++) {
        scene s;
        make(&s);
        double slack_m2 = bend_slack_m2(&s, c);
        double cut = uniform(5.1, 5.5), turn = uniform(-3, 3), du = uniform(-5, 5), dv = uniform(-5, 5);
        for (size_t i = 0; i < s.items_n; i++) {
            for (size_t k = 0; k < s.items[i].run.n; k++) /* leaves the wall only through the fold */
                s.points[i][k] = (face_point){fmin(fmax(s.points[i][k].u_m, 0.1) + 1e-3 * (double)k, 5.8),
                                              fmin(fmax(s.points[i][k].v_m, 0.1), 2.9)};
            s.points[i][0].u_m = fmin(s.points[i][0].u_m, 5);
            /* keep off the window, where the walk would begin elsewhere */
            s.points[i][0].v_m = 0.2 + 0.2 * uniform(0, 1);
        }
        face_point left[4] = {{0, 0}, {cut, 0}, {cut, 3}, {0, 3}};
        face_point right[4] = {{cut, 0}, {6, 0}, {6, 3}, {cut, 3}};
        for (size_t k = 0; k < 4; k++)
            right[k] = (face_point){cos(turn) * right[k].u_m - sin(turn) * right[k].v_m + du,
                                    sin(turn) * right[k].u_m + cos(turn) * right[k].v_m + dv};
        const face_shape faces[] = {{"L", {left, 4}, &s.opening, 1}, {"R", {right, 4}, NULL, 0}};
        const bands_fold fold = {NULL, 0, 1, {left[1], left[2]}, {right[0], right[3]}};
        bands_amount flat = on_wall(&s);
        bands_amount folded = total_of(&(bands_input){faces, 2, &fold, 1, s.items, s.items_n});
        NEAR(folded.line_length_m, flat.line_length_m, 1e-11);
        NEAR(folded.wash_area_m2 - folded.band_area_m2, flat.wash_area_m2 - flat.band_area_m2, 1e-11);
        NEAR(folded.band_area_m2, flat.band_area_m2, slack_m2);
    }
}

int main(int argc, char **argv) {
    if (argc > 1) seed = strtoull(argv[1], NULL, 10);
    print_message("seed %llu\n", (unsigned long long)seed);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(moving_changes_nothing),
        cmocka_unit_test(the_union_lies_between_the_largest_and_the_sum),
        cmocka_unit_test(only_those_that_meet_share),
        cmocka_unit_test(a_wider_band_covers_more),
        cmocka_unit_test(walking_the_other_way_changes_nothing),
        cmocka_unit_test(folding_changes_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
