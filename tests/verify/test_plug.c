/* Plugs against a hand table and the published mine-plug table. */
#include "../near.h"
#include "repair/plug.h"

#include <string.h>

static plug_input slot(double head_m, double width_mm, double depth_mm, double bond_mpa) {
    return (plug_input){PLUG_SLOT, width_mm / 1e3, 0, depth_mm / 1e3, bond_mpa * 1e6, 4, head_m, 10};
}

static plug_result look(const plug_input *in) {
    plug_result out;
    fault why = {0};
    assert_int_equal(plug_compute(in, &out, &why), OK);
    return out;
}

/* Computed by us, 10 C: head, pressure kPa, shear MPa of 25 x 25, 25 x 37 and 25 x 18.5 mm, depth mm at 0.15
 * and 0.05 MPa, safety factor 4. */
static void slot_table(void **state) {
    (void)state;
    static const double rows[][7] = {{3, 29.411, 0.01471, 0.00994, 0.01987, 9.80, 29.41},
                                     {6, 58.822, 0.02941, 0.01987, 0.03974, 19.61, 58.82},
                                     {10, 98.037, 0.04902, 0.03312, 0.06624, 32.68, 98.04},
                                     {30, 294.11, 0.14706, 0.09936, 0.19872, 98.04, 294.1}};
    static const double depths[] = {25, 37, 18.5};
    for (size_t i = 0; i < COUNT(rows); i++) {
        for (size_t k = 0; k < COUNT(depths); k++) {
            plug_input in = slot(rows[i][0], 25, depths[k], 0.15);
            near_absolute(look(&in).shear_pa / 1e6, rows[i][2 + k], 6e-6);
        }
        plug_input chipped = slot(rows[i][0], 25, 37, 0.15), sawn = slot(rows[i][0], 25, 37, 0.05);
        near_relative(look(&chipped).pressure_pa / 1e3, rows[i][1], 2e-5);
        near_absolute(look(&chipped).depth_needed_m * 1e3, rows[i][5], 0.006);
        near_absolute(look(&sawn).depth_needed_m * 1e3, rows[i][6], 0.06);
    }
    assert_true(plug_bond_pa(PLUG_SAWN) == 0.05e6 && plug_bond_pa(PLUG_CHIPPED) == 0.15e6);
}

/* Computed by us: the 37 mm slot of the trade at 10 m, half filled and whole; a hole 50 x 50 x 50 mm. */
static void trade_cases(void **state) {
    (void)state;
    plug_input half = slot(10, 25, 18.5, 0.15), whole = slot(10, 25, 37, 0.15);
    near_absolute(look(&half).safety_found, 2.26, 0.005);
    near_absolute(look(&whole).safety_found, 4.53, 0.005);
    assert_false(look(&half).holds);
    assert_true(look(&whole).holds);
    plug_input hole = {PLUG_RECTANGLE, 0.05, 0.05, 0.05, 0.15e6, 4, 10, 10};
    near_absolute(look(&hole).shear_pa / 1e6, 0.02451, 5e-6);
}

/* Garrett and Campbell Pitt through a permit file: L = [ab/(a+b)] p/f_c, f_c 400 psi, feet; the same as
 * perimeter shear with f_c/2. Published to one decimal. */
static void mine_plugs(void **state) {
    (void)state;
    static const double rows[][4] = {{16, 10, 100, 1.5}, {13, 8, 100, 1.2},  {24, 12, 100, 2.0},
                                     {14, 8, 100, 1.3},  {18, 15, 350, 7.2}, {16, 12, 350, 6.0},
                                     {14, 8, 350, 4.5}};
    for (size_t i = 0; i < COUNT(rows); i++) {
        double ratio = plug_area_per_perimeter_m(PLUG_RECTANGLE, rows[i][0], rows[i][1]);
        near_absolute(plug_depth_m(rows[i][2], ratio, 400.0 / 2, 1), rows[i][3], 0.051);
    }
}

/* A square and a circle of the same size need the same depth; a long rectangle becomes a slot. */
static void shapes_agree(void **state) {
    (void)state;
    near_relative(plug_area_per_perimeter_m(PLUG_RECTANGLE, 0.05, 0.05),
                  plug_area_per_perimeter_m(PLUG_CIRCLE, 0.05, 0), 1e-15);
    near_relative(plug_area_per_perimeter_m(PLUG_RECTANGLE, 0.025, 1e6),
                  plug_area_per_perimeter_m(PLUG_SLOT, 0.025, 0), 1e-6);
}

static void needed_depth_holds(void **state) {
    (void)state;
    for (double head_m = 0.3; head_m < 80; head_m *= 1.37) {
        plug_input in = slot(head_m, 31, 40, 0.07);
        in.depth_m = look(&in).depth_needed_m;
        assert_true(look(&in).holds);
        near_relative(look(&in).safety_found, 4, 1e-12);
        in.depth_m *= 1 - 1e-9;
        assert_false(look(&in).holds);
    }
    plug_input dry = slot(0, 25, 37, 0.05);
    assert_true(look(&dry).holds && look(&dry).depth_needed_m == 0 && isinf(look(&dry).safety_found));
}

static void refuses(void **state) {
    (void)state;
    static const double bad[] = {-1, 1e308, HUGE_VAL, (double)NAN};
    static const char *const names[] = {"width_m",       "length_m", "depth_m",      "bond_pa",
                                        "safety_factor", "head_m",   "temperature_c"};
    for (size_t k = 0; k < COUNT(bad); k++)
        for (size_t field = 0; field < COUNT(names); field++) {
            plug_input in = {PLUG_RECTANGLE, 0.05, 0.05, 0.05, 0.15e6, 4, 10, 10};
            double *const fields[] = {&in.width_m,       &in.length_m, &in.depth_m,      &in.bond_pa,
                                      &in.safety_factor, &in.head_m,   &in.temperature_c};
            plug_result out;
            fault why = {0};
            *fields[field] = bad[k];
            assert_int_equal(plug_compute(&in, &out, &why), E_INPUT);
            assert_non_null(strstr(why.text, names[field]));
        }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slot_table),   cmocka_unit_test(trade_cases),        cmocka_unit_test(mine_plugs),
        cmocka_unit_test(shapes_agree), cmocka_unit_test(needed_depth_holds), cmocka_unit_test(refuses),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
