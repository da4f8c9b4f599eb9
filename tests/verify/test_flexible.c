/* A groove of sealant, against the numbers of trade page diagnosis.md 6. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka wants these four first */
#include <cmocka.h>

#include "repair/channel.h"
#include "repair/flexible.h"

#include <math.h>
#include <string.h>

#define assert_close(got, want, relative)                                                                    \
    do {                                                                                                     \
        double got_ = (got), want_ = (want);                                                                 \
        if (!(fabs(got_ - want_) <= (relative)*fabs(want_)))                                                 \
            fail_msg("got %.12g, want %.12g (line %d)", got_, want_, __LINE__);                              \
    } while (0)

static flexible_result size(flexible_input in) {
    flexible_result out;
    fault why = {0};
    if (flexible_size(&in, &out, &why) != OK) fail_msg("%s", why.text);
    return out;
}

/* 6 m of wall over 40 K move 2.40 mm; the widths of both rules (values from memory, computed by us). */
static void widths_are_those_of_the_trade_page(void **state) {
    (void)state;
    flexible_result r = size((flexible_input){.movement_m = 0.00240, .class_fraction = 0.25});
    assert_close(r.c1472_m, 0.0096, 1e-12);
    assert_close(r.bs6093_m, 0.0120, 1e-12);
    assert_close(r.width_m, 0.012, 1e-12);
    assert_int_equal(r.rule, FLEXIBLE_BS6093);
    assert_close(r.depth_m, 0.012, 1e-12); /* to 13 mm as deep as wide */
    assert_close(r.section_m2, 144e-6, 1e-12);
    assert_close(r.backer_m, 0.015, 1e-12); /* a quarter wider than the groove: common practice */
    assert_close(r.groove_depth_m, 0.027, 1e-12);
    r = size((flexible_input){.movement_m = 0.00240, .class_fraction = 0.50});
    assert_close(r.c1472_m, 0.0048, 1e-12);
    assert_close(r.bs6093_m, 0.0072, 1e-12);
    /* 0.4 mm at 25 %: 1.6 mm, the least of 6 mm governs the movement; porous faces then want 10 mm of depth, and a seal is
     * never deeper than wide */
    r = size((flexible_input){.movement_m = 0.0004, .class_fraction = 0.25});
    assert_close(r.c1472_m, 0.0016, 1e-12);
    assert_true(r.bs6093_m < 0.006);
    assert_close(r.width_m, 0.010, 1e-12);
    assert_close(r.depth_m, 0.010, 1e-12);
    assert_int_equal(r.rule, FLEXIBLE_DEPTH);
}

/* A tolerance above the movement makes C1472 the larger of the two. */
static void the_larger_rule_counts(void **state) {
    (void)state;
    flexible_result r =
        size((flexible_input){.movement_m = 0.003, .class_fraction = 0.25, .tolerance_m = 0.005});
    assert_close(r.c1472_m, 0.017, 1e-12);
    assert_close(r.bs6093_m, 0.015, 1e-12);
    assert_close(r.width_m, 0.017, 1e-12);
    assert_int_equal(r.rule, FLEXIBLE_C1472);
    assert_close(r.depth_m, 0.013, 1e-12); /* 1/2 to 1 in: about 1/2 in deep */
}

/* Handbook of Adhesives and Sealants p. 119: depth by width; 20 mm under water (weak extract) against its 16 mm: widened. */
static void depths_by_width_and_under_water(void **state) {
    (void)state;
    const struct {
        double movement_m;
        bool water;
        double width_m, depth_m;
    } cases[] = {
        {0.0026, false, 0.013, 0.013}, {0.0028, false, 0.014, 0.013}, {0.005, false, 0.025, 0.013},
        {0.0052, false, 0.026, 0.016}, {0.0024, true, 0.020, 0.020},  {0.004, true, 0.020, 0.020},
        {0.006, true, 0.030, 0.020},
    };
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        flexible_result r = size((flexible_input){
            .movement_m = cases[k].movement_m, .class_fraction = 0.25, .under_pressure = cases[k].water});
        assert_close(r.width_m, cases[k].width_m, 1e-9);
        assert_close(r.depth_m, cases[k].depth_m, 1e-9);
        assert_true(r.depth_m <= r.width_m + 1e-12);
    }
    assert_int_equal(
        size((flexible_input){.movement_m = 0.0024, .class_fraction = 0.25, .under_pressure = true}).rule,
        FLEXIBLE_DEPTH);
}

/* A wide crack that hardly moves: 8 mm and 3 mm of sound concrete each side (our default). */
static void the_shoulders_of_a_wide_crack_count(void **state) {
    (void)state;
    flexible_result r =
        size((flexible_input){.movement_m = 0.0002, .class_fraction = 0.25, .crack_width_m = 0.008});
    assert_close(r.width_m, 0.014, 1e-12);
    assert_int_equal(r.rule, FLEXIBLE_LEAST);
}

/* More movement never gives a narrower groove, a better class never a wider one; both rules fit in what was chosen. */
static void grooves_grow_with_movement(void **state) {
    (void)state;
    double before = 0;
    for (int i = 0; i <= 500; i++) {
        flexible_input in = {.movement_m = i * 0.0001, .class_fraction = 0.25, .tolerance_m = 0.001};
        flexible_result r = size(in);
        in.class_fraction = 0.5;
        flexible_result better = size(in);
        assert_true(r.width_m >= before && better.width_m <= r.width_m);
        assert_true(r.width_m >= r.c1472_m - 1e-9 && r.width_m >= r.bs6093_m - 1e-9);
        assert_true(r.depth_m <= r.width_m + 1e-12 && r.depth_m >= 0.010 - 1e-12);
        assert_true(r.backer_m >= 1.25 * r.width_m - 1e-9);
        before = r.width_m;
    }
}

static void bad_numbers_are_told(void **state) {
    (void)state;
    const flexible_input bad[] = {{.movement_m = (double)NAN, .class_fraction = 0.25},
                                  {.movement_m = 0.06, .class_fraction = 0.25},
                                  {.movement_m = 0.001, .class_fraction = 0.04},
                                  {.movement_m = 0.001, .class_fraction = 0.25, .tolerance_m = -1},
                                  {.movement_m = 0.001, .class_fraction = 0.25, .crack_width_m = 1}};
    const char *const names[] = {"movement_m", "movement_m", "class_fraction", "tolerance_m",
                                 "crack_width_m"};
    for (size_t k = 0; k < sizeof bad / sizeof *bad; k++) {
        flexible_result r;
        fault why = {0};
        assert_int_equal(flexible_size(&bad[k], &r, &why), E_INPUT);
        assert_non_null(strstr(why.text, names[k]));
        assert_true(r.width_m == 0);
    }
}

/* Manning by hand, n 0.011 (value from memory). Square of 40 mm, half full, 0.5 %: A 8e-4 m2, R 0.010 m, R^(2/3) 0.0464159,
 * 8e-4 x 0.0464159 x 0.0707107/0.011 = 2.38697e-4 m3/s, 14.3 l/min. Pipe of 50 mm, half full, 1 %: A 9.81748e-4,
 * R 0.0125, R^(2/3) 0.0538609, x 0.1/0.011 = 4.80703e-4 m3/s. */
static void channels_by_hand(void **state) {
    (void)state;
    assert_close(channel_square_m3_s(0.040, 0.005), 2.38697e-4, 1e-5);
    assert_close(channel_pipe_m3_s(0.050, 0.01), 4.80703e-4, 1e-5);
    assert_close(channel_square_m3_s(0.040, 9), channel_square_m3_s(0.040, 1), 1e-12);
    assert_close(channel_square_for_m(2.38e-4, 0.005), 0.040, 1e-12);
    assert_close(channel_square_for_m(2.39e-4, 0.005), 0.050, 1e-12);
    assert_close(channel_square_for_m(0, 0.005), channel_sizes_m[0], 1e-12);
    assert_close(channel_square_for_m(1, 0.005), channel_sizes_m[CHANNEL_SIZES - 1], 1e-12);
    assert_close(channel_pipe_for_m(4.80e-4, 0.01), 0.050, 1e-12);
    assert_close(channel_pipe_for_m(4.81e-4, 0.01), 0.075, 1e-12);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(widths_are_those_of_the_trade_page),
        cmocka_unit_test(the_larger_rule_counts),
        cmocka_unit_test(depths_by_width_and_under_water),
        cmocka_unit_test(the_shoulders_of_a_wide_crack_count),
        cmocka_unit_test(grooves_grow_with_movement),
        cmocka_unit_test(bad_numbers_are_told),
        cmocka_unit_test(channels_by_hand),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
