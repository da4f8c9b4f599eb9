/* Lines of equal value: exact on linear fields, parted at a saddle, stopped by holes, whole on random ones. */
#include "report/contour.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

#include <cmocka.h>

enum { NX = 9, NY = 6 };

static contour_set traced(arena *memory, const double *value, size_t nx, size_t ny, double level) {
    contour_grid grid = {nx, ny, value};
    contour_set set;
    assert_true(contour_trace(&grid, level, memory, &set));
    return set;
}

static void fill_x(double *value) {
    for (size_t k = 0; k < NX * NY; k++) value[k] = (double)(k % NX);
}

/* h = x: straight lines from foot to top, as far apart as the levels, on grid points too. */
static void test_a_slope_gives_straight_lines(void **state) {
    (void)state;
    arena *memory = arena_new();
    double value[NX * NY];
    fill_x(value);
    for (double level = 0.25; level < NX - 1; level += 0.25) {
        contour_set set = traced(memory, value, NX, NY, level);
        assert_int_equal(set.n, 1);
        assert_int_equal(set.lines[0].n, NY);
        for (size_t k = 0; k < NY; k++) {
            assert_true(fabs(set.lines[0].points[k].x - level) < 1e-12);
            assert_true(fabs(set.lines[0].points[k].y - (double)k) < 1e-12);
        }
    }
    assert_int_equal(traced(memory, value, NX, NY, NX).n, 0);
    assert_int_equal(traced(memory, value, NX, NY, -1).n, 0);
    arena_free(memory);
}

/* A saddle of one cell: the mean of the corners says which two are joined through the middle. */
static void test_a_saddle_is_parted_by_its_mean(void **state) {
    (void)state;
    arena *memory = arena_new();
    const double value[4] = {1, 0, 0, 1};
    for (int high = 0; high < 2; high++) {
        contour_set set = traced(memory, value, 2, 2, high ? 0.6 : 0.4);
        assert_int_equal(set.n, 2);
        for (size_t i = 0; i < 2; i++) {
            const sheet_point *a = &set.lines[i].points[0], *b = &set.lines[i].points[1];
            assert_int_equal(set.lines[i].n, 2);
            /* Cut off are the low corners, where x + y is near 1 but x - y is not 0, or the high ones. */
            double along = fabs((a->x + b->x) / 2 - (a->y + b->y) / 2);
            assert_true(high ? along < 1e-12 : along > 0.5);
        }
    }
    arena_free(memory);
}

static void test_lines_stop_at_holes(void **state) {
    (void)state;
    arena *memory = arena_new();
    double value[NX * NY];
    fill_x(value);
    for (size_t j = 2; j < 4; j++)
        for (size_t i = 3; i < 6; i++) value[i + NX * j] = (double)NAN;
    contour_set set = traced(memory, value, NX, NY, 4.5);
    assert_int_equal(set.n, 2); /* under the hole and over it */
    for (size_t i = 0; i < set.n; i++)
        for (size_t k = 0; k < set.lines[i].n; k++) {
            double y = set.lines[i].points[k].y;
            assert_true(fabs(set.lines[i].points[k].x - 4.5) < 1e-12);
            assert_true(y <= 1 || y >= 4);
        }
    assert_int_equal(traced(memory, value, NX, NY, 1.5).n, 1); /* past the hole: whole */
    contour_grid grid = {NX, NY, value};
    double *filled = contour_fill_edge(&grid, memory);
    assert_non_null(filled);
    for (size_t k = 0; k < NX * NY; k++) assert_true(fabs(filled[k] - (double)(k % NX)) < 1e-12);
    arena_free(memory);
}

/* A hole of more than two points keeps its middle. */
static void test_holes_are_filled_one_deep(void **state) {
    (void)state;
    arena *memory = arena_new();
    double value[NX * NY];
    fill_x(value);
    for (size_t i = 0; i < NX; i++)
        for (size_t j = 0; j < 3; j++) value[i + NX * j] = (double)NAN;
    contour_grid grid = {NX, NY, value};
    double *filled = contour_fill_edge(&grid, memory);
    assert_non_null(filled);
    for (size_t i = 0; i < NX; i++) {
        assert_true(isnan(filled[i + NX]));
        assert_true(fabs(filled[i + 2 * NX] - (double)i) < 1e-12);
    }
    arena_free(memory);
}

static void test_a_hill_gives_a_closed_line(void **state) {
    (void)state;
    enum { N = 21 };
    arena *memory = arena_new();
    double value[N * N];
    for (size_t k = 0; k < N * N; k++) value[k] = -hypot((double)(k % N) - 10, (double)(k / N) - 10);
    contour_set set = traced(memory, value, N, N, -6.5);
    assert_int_equal(set.n, 1);
    const sheet_ring *ring = &set.lines[0];
    assert_true(ring->points[0].x == ring->points[ring->n - 1].x &&
                ring->points[0].y == ring->points[ring->n - 1].y);
    double round = 0;
    for (size_t k = 1; k < ring->n; k++) {
        assert_true(fabs(hypot(ring->points[k].x - 10, ring->points[k].y - 10) - 6.5) <
                    0.03); /* sagitta of a step */
        round += hypot(ring->points[k].x - ring->points[k - 1].x, ring->points[k].y - ring->points[k - 1].y);
    }
    assert_true(fabs(round / (2 * 3.14159265358979 * 6.5) - 1) < 0.01);
    arena_free(memory);
}

static double chance(uint64_t *state) {
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    return (double)(*state >> 11) / 9007199254740992.0;
}

/* Every side of a whole cell that the level crosses is on exactly one line, at the place where it crosses. */
static void test_random_fields_are_whole(void **state) {
    (void)state;
    uint64_t seed = 20250312;
    for (int round = 0; round < 200; round++) {
        arena *memory = arena_new();
        double value[NX * NY];
        for (size_t k = 0; k < NX * NY; k++) value[k] = chance(&seed) < 0.1 ? (double)NAN : chance(&seed);
        size_t points = 0, pieces = 0, expected = 0;
        contour_set set = traced(memory, value, NX, NY, 0.5);
        for (size_t i = 0; i < set.n; i++) {
            const sheet_ring *line = &set.lines[i];
            points += line->n;
            pieces += line->n - 1;
            for (size_t k = 0; k < line->n; k++) {
                double x = line->points[k].x, y = line->points[k].y;
                size_t left = (size_t)x, foot = (size_t)y;
                double s = x - (double)left, t = y - (double)foot;
                assert_true(s == 0 || t == 0);
                double a = value[left + NX * foot], b = value[left + (s > 0) + NX * (foot + (t > 0))];
                if (fabs(a + (b - a) * (s + t) - 0.5) > 1e-12) fail_msg("seed 20250312, round %d", round);
            }
        }
        for (size_t j = 0; j + 1 < NY; j++)
            for (size_t i = 0; i + 1 < NX; i++) {
                double c[4] = {value[i + NX * j], value[i + 1 + NX * j], value[i + 1 + NX * (j + 1)],
                               value[i + NX * (j + 1)]};
                size_t cut = 0;
                if (isnan(c[0] + c[1] + c[2] + c[3])) continue;
                for (int k = 0; k < 4; k++) cut += (c[k] >= 0.5) != (c[(k + 1) % 4] >= 0.5);
                expected += cut / 2;
            }
        if (pieces != expected)
            fail_msg("seed 20250312, round %d: %zu pieces, not %zu", round, pieces, expected);
        assert_true(points >= pieces);
        arena_free(memory);
    }
}

static void test_steps_are_round(void **state) {
    (void)state;
    const double spans[][2] = {{7, 1},  {7.1, 2}, {14, 2},      {15, 2.5}, {17.6, 5},
                               {35, 5}, {36, 10}, {0.07, 0.01}, {2.4, 0.5}};
    for (size_t i = 0; i < sizeof spans / sizeof *spans; i++)
        assert_true(fabs(contour_step(spans[i][0], 7) / spans[i][1] - 1) < 1e-9);
}

static void test_memory_runs_out(void **state) {
    (void)state;
    double value[NX * NY];
    fill_x(value);
    contour_grid grid = {NX, NY, value};
    contour_set set;
    bool done = false;
    for (long n = 0; !done; n++) {
        arena *memory = arena_new();
        assert_non_null(memory);
        mem_fail_at(n, 1);
        done = contour_trace(&grid, 2.5, memory, &set) && contour_fill_edge(&grid, memory);
        mem_fail_at(-1, 0);
        arena_free(memory);
        assert_true(n < 100);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_slope_gives_straight_lines),
        cmocka_unit_test(test_a_saddle_is_parted_by_its_mean),
        cmocka_unit_test(test_lines_stop_at_holes),
        cmocka_unit_test(test_holes_are_filled_one_deep),
        cmocka_unit_test(test_a_hill_gives_a_closed_line),
        cmocka_unit_test(test_random_fields_are_whole),
        cmocka_unit_test(test_steps_are_round),
        cmocka_unit_test(test_memory_runs_out),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
