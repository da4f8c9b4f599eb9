/* Faces: what is refused and in which words, what lies on a face, lines clipped. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "geom/face.h"

#include <math.h>
#include <string.h>

#define RUN(...)                                                                                             \
    { (const face_point[]){__VA_ARGS__}, sizeof((const face_point[]){__VA_ARGS__}) / sizeof(face_point) }

/* cmocka compares floats only; we need doubles. */
static void check_near(double found, double expected, double within, const char *file, int line) {
    if (fabs(found - expected) <= within) return;
    print_error("%s:%d: found %.17g, expected %.17g within %g\n", file, line, found, expected, within);
    _fail(file, line);
}
#define NEAR(found, expected, within) check_near(found, expected, within, __FILE__, __LINE__)

/* A wall of 4 m by 3 m with a door on the floor line and a window. */
static const face_run holes[] = {RUN({1, 0}, {2, 0}, {2, 2}, {1, 2}),
                                 RUN({3, 1}, {3.5, 1}, {3.5, 2}, {3, 2})};
static const face_shape wall_n = {"N", RUN({0, 0}, {4, 0}, {4, 3}, {0, 3}), holes, 2};

static void refuse(const face_shape *face, const char *sentence) {
    fault why = {0};
    assert_int_equal(face_check(face, &why), E_INPUT);
    if (!strstr(why.text, sentence)) fail_msg("said \"%s\", not \"%s\"", why.text, sentence);
}

static void refuse_outline(face_run outline, const char *sentence) {
    refuse(&(face_shape){"N", outline, NULL, 0}, sentence);
}

static void outlines_are_checked(void **state) {
    (void)state;
    fault why = {0};
    assert_int_equal(face_check(&wall_n, &why), OK);
    refuse_outline((face_run)RUN({0, 0}, {2, 2}, {2, 0}, {0, 2}),
                   "face N: outline crosses or touches itself at (1.0000, 1.0000) m");
    refuse_outline((face_run)RUN({0, 0}, {1, 1}),
                   "face N: outline has 2 different points; it needs at least 3");
    refuse_outline((face_run)RUN({0, 0}, {1, 1}, {1, 1}, {0, 0}), "has 2 different points");
    refuse_outline((face_run){NULL, 0}, "has 0 different points");
    refuse_outline((face_run)RUN({5, 5}), "has 1 different points");
    refuse_outline((face_run)RUN({0, 0}, {1, 1}, {3, 3}),
                   "face N: outline has no area: its points lie on one line");
    refuse_outline((face_run)RUN({0, 0}, {5e-4, 0}, {0, 5e-4}), "face N: outline has no area: 1.25e-07 m2");
    refuse_outline((face_run)RUN({0, 0}, {(double)NAN, 0}, {1, 1}),
                   "face N: outline: point 2 (nan, 0) m must lie");
    refuse_outline((face_run)RUN({0, 0}, {1, 0}, {1, 1e308}),
                   "point 3 (1, 1e+308) m must lie within +-100000 m");
}

static void openings_are_checked(void **state) {
    (void)state;
    const face_run outline = RUN({0, 0}, {4, 0}, {4, 3}, {0, 3});
    const face_run out[] = {RUN({3, 1}, {5, 1}, {5, 2}, {3, 2})};
    refuse(&(face_shape){"N", outline, out, 1},
           "face N: opening 1 reaches outside the outline: point 2 (5.0000, 1.0000)");
    const face_run both[] = {RUN({1, 1}, {2, 1}, {2, 2}, {1, 2}),
                             RUN({1.5, 1.5}, {3, 1.5}, {3, 2.5}, {1.5, 2.5})};
    refuse(&(face_shape){"N", outline, both, 2}, "face N: openings 1 and 2 overlap by 0.25 m2");
    const face_run bow[] = {RUN({1, 1}, {2, 2}, {2, 1}, {1, 2})};
    refuse(&(face_shape){"N", outline, bow, 1},
           "face N: opening 1 crosses or touches itself at (1.5000, 1.5000) m");
    const face_run all[] = {RUN({0, 0}, {4, 0}, {4, 3}, {0, 3})};
    refuse(&(face_shape){"N", outline, all, 1}, "face N: its openings leave 0 m2");
    const face_run notch = RUN({0, 0}, {4, 0}, {4, 3}, {3, 3}, {3, 1}, {1, 1}, {1, 3}, {0, 3});
    const face_run bridge[] = {RUN({0.5, 1.5}, {3.5, 1.5}, {3.5, 2}, {0.5, 2})};
    refuse(&(face_shape){"U", notch, bridge, 1}, "face U: opening 1 lies outside the outline with 1 m2");
    const face_run side_by_side[] = {RUN({1, 1}, {2, 1}, {2, 2}, {1, 2}),
                                     RUN({2, 1}, {3, 1}, {3, 2}, {2, 2})};
    assert_int_equal(face_check(&(face_shape){"N", outline, side_by_side, 2}, NULL), OK);
}

static void areas(void **state) {
    (void)state;
    NEAR(face_area_m2(&wall_n), 12 - 2 - 0.5, 1e-12);
    face_run repeated = RUN({1e4, 0}, {1e4 + 2, 0}, {1e4, 3}, {1e4, 0});
    NEAR(face_ring_area_m2(&repeated), 3, 1e-12);
}

static void points_on_a_face(void **state) {
    (void)state;
    assert_true(face_holds(&wall_n, (face_point){0.5, 0.5}, 0));
    assert_false(face_holds(&wall_n, (face_point){1.5, 1}, FACE_FIT_M));   /* in the door */
    assert_true(face_holds(&wall_n, (face_point){1.0005, 1}, FACE_FIT_M)); /* at its jamb */
    assert_false(face_holds(&wall_n, (face_point){1.002, 1}, FACE_FIT_M));
    assert_false(face_holds(&wall_n, (face_point){1.5, 0}, FACE_FIT_M)); /* its sill is no edge of the wall */
    assert_true(face_holds(&wall_n, (face_point){0, 3}, FACE_FIT_M));    /* a corner */
    assert_true(face_holds(&wall_n, (face_point){4.0009, 1}, FACE_FIT_M));
    assert_false(face_holds(&wall_n, (face_point){4.0011, 1}, FACE_FIT_M));
    assert_false(face_holds(&wall_n, (face_point){(double)NAN, 1}, FACE_FIT_M));
    face_run line = RUN({0.5, 0.5}, {0.5, 3}, {0.5, 3.2}, {9, 9});
    assert_int_equal(face_first_off(&wall_n, &line), 2);
    line.n = 2;
    assert_int_equal(face_first_off(&wall_n, &line), 2);
}

static void joints_along_an_edge_are_put_on_it(void **state) {
    (void)state;
    face_point joint[] = {{4.0009, 1.25}, {3.9995, 2.5}, {4.0005, 2.75}};
    face_snap_line(&wall_n, joint, 3);
    assert_true(joint[0].u_m == 4 && joint[0].v_m == 1.25);
    assert_true(joint[1].u_m == 3.9995 && joint[2].u_m == 4);
    face_point out[] = {{3, 0.5}, {4.0009, 0.5}}, far[] = {{4.002, 1}, {4.002, 2}},
               sill[] = {{1.2, 0}, {1.8, 0}};
    face_snap_line(&wall_n, out, 2); /* only its end is near the edge */
    assert_true(out[1].u_m == 4.0009);
    face_snap_line(&wall_n, far, 2);
    assert_true(far[0].u_m == 4.002);
    face_snap_line(&wall_n, sill, 2);
    assert_true(sill[0].v_m == 0 && sill[0].u_m == 1.2);
}

static void check_clip(face_run line, size_t pieces, double length_m) {
    arena *memory = arena_new();
    face_pieces out;
    assert_int_equal(face_clip_line(&wall_n, &line, memory, &out, NULL), OK);
    assert_int_equal(out.n, pieces);
    NEAR(out.length_m, length_m, 1e-12);
    double sum_m = 0;
    for (size_t i = 0; i < out.n; i++) sum_m += face_run_length_m(&out.pieces[i]);
    NEAR(sum_m, length_m, 1e-12);
    arena_free(memory);
}

static void lines_are_clipped(void **state) {
    (void)state;
    check_clip((face_run)RUN({0.2, 0.5}, {0.8, 0.5}), 1, 0.6);
    check_clip((face_run)RUN({-1, 1.5}, {5, 1.5}), 3, 1 + 1 + 0.5); /* through door and window */
    check_clip((face_run)RUN({0, 0}, {4, 0}), 2, 3);                /* the floor line, less the door */
    check_clip((face_run)RUN({0, -1e-9}, {4, 1e-9}), 2, 3);         /* and when rounding moves it */
    check_clip((face_run)RUN({4.00001, 1}, {4.00001, 2}), 0, 0); /* a hundredth of a millimetre off is off */
    check_clip((face_run)RUN({1, 0}, {1, 2}, {2, 2}), 1, 3);     /* round the door */
    check_clip((face_run)RUN({1.2, 0.2}, {1.8, 1.8}), 0, 0);     /* in the door */
    check_clip((face_run)RUN({3.5, 2.5}, {4.5, 3.5}), 1, 0.5 * sqrt(2)); /* out by the corner */
    check_clip((face_run)RUN({0.5, 2.5}, {0.5, 2.5}, {0.5, 3.5}, {0.7, 3.5}, {0.7, 2.5}), 2, 1);
    check_clip((face_run)RUN({0, 3}, {4, 3}, {4, 0}), 1, 7); /* two free edges */
}

static void a_piece_keeps_its_points(void **state) {
    (void)state;
    arena *memory = arena_new();
    face_pieces out;
    face_run line = RUN({0.5, 1}, {0.7, 2.5}, {1.5, 2.5}, {1.5, 1});
    assert_int_equal(face_clip_line(&wall_n, &line, memory, &out, NULL), OK);
    assert_int_equal(out.n, 1);
    assert_int_equal(out.pieces[0].n, 4);
    NEAR(out.pieces[0].points[3].v_m, 2, 1e-15);
    assert_memory_equal(out.pieces[0].points, line.points, 3 * sizeof(face_point));
    arena_free(memory);
}

static void every_allocation_may_fail(void **state) {
    (void)state;
    face_run line = RUN({-1, 1.5}, {5, 1.5}, {4, 0}, {0, 0});
    for (long n = 0;; n++) {
        fault why = {0};
        face_pieces out;
        mem_fail_at(n, 0);
        arena *memory = arena_new();
        status s = memory ? face_check(&wall_n, &why) : E_MEMORY;
        if (s == OK) s = face_clip_line(&wall_n, &line, memory, &out, &why);
        mem_fail_at(-1, 0);
        arena_free(memory);
        if (s == OK) break;
        assert_int_equal(s, E_MEMORY);
        assert_true(n < 200);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(outlines_are_checked),
        cmocka_unit_test(openings_are_checked),
        cmocka_unit_test(areas),
        cmocka_unit_test(points_on_a_face),
        cmocka_unit_test(joints_along_an_edge_are_put_on_it),
        cmocka_unit_test(lines_are_clipped),
        cmocka_unit_test(a_piece_keeps_its_points),
        cmocka_unit_test(every_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
