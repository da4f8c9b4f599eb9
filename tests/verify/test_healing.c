/* The published width rules at their corners. */
#include "../near.h"
#include "diagnose/healing.h"

#include <string.h>

static healing_result look(healing_rule rule, double width_mm, double gradient, double upper) {
    healing_input in = {width_mm / 1e3, gradient * 0.25, 0.25, rule, upper};
    healing_result out;
    fault why = {0};
    assert_int_equal(healing_compute(&in, &out, &why), OK);
    near_relative(out.gradient + 1, gradient + 1, 1e-14);
    return out;
}

static double limit_mm(healing_rule rule, double gradient) {
    return look(rule, 0.1, gradient, HEALING_UPPER_GRADIENT).limit_m * 1e3;
}

/* EN 1992-3:2006 7.3.1, class 1 (through Bhatt et al.); values between the ends computed by us. */
static void en1992_3(void **state) {
    (void)state;
    static const double rows[][2] = {{3, 0.2},  {5, 0.2},    {10, 0.175}, {15, 0.15}, {20, 0.125},
                                     {25, 0.1}, {30, 0.075}, {35, 0.05},  {50, 0.05}};
    for (size_t i = 0; i < COUNT(rows); i++)
        near_relative(limit_mm(HEALING_EN1992_3, rows[i][0]), rows[i][1], 1e-12);
    /* The limit as a person types it heals: at r = 5 + k it is 0.200 - 0.005 k mm. */
    for (int k = 0; k <= 30; k++)
        assert_true(look(HEALING_EN1992_3, (200 - 5 * k) / 1e3, 5 + k, HEALING_UPPER_GRADIENT).heals);
    /* One of the few where the roundings of width and limit part: 0.20 - 0.15 x 29.904/30 = 0.05048 mm. */
    assert_true(look(HEALING_EN1992_3, 0.05048, 34.904, HEALING_UPPER_GRADIENT).heals);
    /* Another national code (end point computed by us): 3.3 -> 0.2, 15 -> 0.125, 30 -> 0.05. */
    near_relative(look(HEALING_EN1992_3, 0.1, 3.3, 25).limit_m, 0.2e-3, 1e-12);
    near_relative(look(HEALING_EN1992_3, 0.1, 15, 25).limit_m, 0.125e-3, 1e-12);
    near_relative(look(HEALING_EN1992_3, 0.1, 30, 25).limit_m, 0.05e-3, 1e-12);
}

/* DAfStb 2003, Table 2 (through Ivanyi). */
static void dafstb(void **state) {
    (void)state;
    static const double rows[][2] = {{0, 0.2},     {10, 0.2}, {10.01, 0.15}, {15, 0.15},
                                     {15.01, 0.1}, {25, 0.1}, {25.01, 0}};
    for (size_t i = 0; i < COUNT(rows); i++)
        near_absolute(limit_mm(HEALING_DAFSTB, rows[i][0]), rows[i][1], 1e-12);
    assert_false(look(HEALING_DAFSTB, 0, 26, HEALING_UPPER_GRADIENT).heals);
}

/* fib 2020, ACI 224R Table 4.1, AS 3735, HS2 (through pages that quote them, or the project paper); BS 8007,
 * ACI 350 (values from memory). */
static void single_widths(void **state) {
    (void)state;
    static const struct {
        healing_rule rule;
        double mm;
    } rows[] = {{HEALING_FIB2020, 0.15}, {HEALING_FIB2020_HEALING, 0.2}, {HEALING_ACI224R, 0.1},
                {HEALING_AS3735, 0.1},   {HEALING_BS8007, 0.2},          {HEALING_BS8007_APPEARANCE, 0.1},
                {HEALING_ACI350, 0.25},  {HEALING_ACI350_SEVERE, 0.23},  {HEALING_HS2, 0.2}};
    for (size_t i = 0; i < COUNT(rows); i++) {
        near_relative(limit_mm(rows[i].rule, 12), rows[i].mm, 1e-12);
        assert_true(look(rows[i].rule, rows[i].mm, 12, HEALING_UPPER_GRADIENT).heals); /* exactly the limit */
        assert_false(look(rows[i].rule, rows[i].mm + 0.001, 12, HEALING_UPPER_GRADIENT).heals);
    }
    near_relative(limit_mm(HEALING_HS2, 160), 0.2, 1e-12); /* 40 m on 0.25 m */
    assert_true(limit_mm(HEALING_HS2, 160.1) == 0);
}

static void refuses(void **state) {
    (void)state;
    static const double bad[] = {-1, 1e308, HUGE_VAL, (double)NAN};
    static const char *const names[] = {"width_m", "head_m", "thickness_m", "upper_gradient"};
    for (size_t k = 0; k < COUNT(bad); k++)
        for (size_t field = 0; field < COUNT(names); field++) {
            healing_input in = {1e-4, 3, 0.25, HEALING_EN1992_3, 35};
            double *const fields[] = {&in.width_m, &in.head_m, &in.thickness_m, &in.upper_gradient};
            healing_result out;
            fault why = {0};
            *fields[field] = bad[k];
            assert_int_equal(healing_compute(&in, &out, &why), E_INPUT);
            assert_non_null(strstr(why.text, names[field]));
        }
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(en1992_3), cmocka_unit_test(dafstb),
                                       cmocka_unit_test(single_widths), cmocka_unit_test(refuses)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
