/* Mixes against the published absolute-volume example and a hand table. */
#include "../near.h"
#include "takeoff/left.h"
#include "takeoff/mix.h"

#include <string.h>

static mix_result batch(const mix_recipe *r, mix_given given, double need, double waste) {
    mix_result out;
    fault why = {0};
    assert_int_equal(mix_batch(r, given, need, waste, &out, &why), OK);
    return out;
}

/* NAVEDTRA 14071 p. 17-7, one cubic yard: cement 610 lb of 3.15, water 305 lb, coarse 1735 lb of 2.60, air 5
 * %, fine 1152 lb of 2.65; water 62.4 lb/ft3. Printed volumes 3.10, 4.89, 10.69 and 6.97 ft3; together 27. */
static void navedtra(void **state) {
    (void)state;
    const double w = 62.4;
    mix_part parts[] = {{610, 3.15 * w}, {305, w}, {1735, 2.60 * w}, {1152, 2.65 * w}};
    static const double printed[] = {3.10, 4.89, 10.69, 6.97};
    for (size_t i = 0; i < 4; i++) near_absolute(mix_absolute_volume_m3(&parts[i], 1, 0), printed[i], 0.0051);
    near_absolute(mix_absolute_volume_m3(parts, 4, 0.05), 27, 0.003); /* the fine is rounded to a pound */
}

/* Published: a sack of 94 lb is 0.478 ft3; 50 kg of 3150 with 1.7 and 3.3 times as much of 2600 and water
 * 0.45 gives 0.1345 m3, with 2 % air 0.1373 (the last two computed by us). */
static void sacks(void **state) {
    (void)state;
    mix_part sack = {94, 3.15 * 62.4};
    near_absolute(mix_absolute_volume_m3(&sack, 1, 0), 0.4782, 5e-5);
    mix_part bag[] = {{50, 3150}, {85, 2600}, {165, 2600}, {22.5, 1000}};
    near_absolute(mix_absolute_volume_m3(bag, 4, 0), 0.1345, 6e-5);
    near_absolute(mix_absolute_volume_m3(bag, 4, 0.02), 0.1373, 6e-5);
}

/* Computed by us from common practice (parts) and our defaults (densities), for a + b litres taken. */
static void table(void **state) {
    (void)state;
    static const double rows[][8] = {
        /* a, b, rb, rp, powder kg, V l, density kg/l, w/p */
        {5, 2, 1200, 3000, 6.000, 4.000, 2.000, 0.333}, {5, 2, 1000, 2900, 5.000, 3.724, 1.880, 0.400},
        {3, 1, 1200, 3000, 3.600, 2.200, 2.091, 0.278}, {3.5, 1, 1200, 3000, 4.200, 2.400, 2.167, 0.238},
        {6, 1, 1200, 3000, 7.200, 3.400, 2.412, 0.139},
    };
    for (size_t i = 0; i < COUNT(rows); i++) {
        const double *q = rows[i];
        mix_recipe r = {q[0], q[1], q[2], q[3], 0};
        mix_result out = batch(&r, MIX_BY_WATER, q[1] / 1e3, 0); /* b litres of water */
        near_absolute(out.powder_kg, q[4], 1e-9);
        near_absolute(out.yield_m3 * 1e3, q[5], 0.00051);
        near_absolute(out.density_kg_m3 / 1e3, q[6], 0.00051);
        near_absolute(out.water_powder_ratio, q[7], 0.00051);
    }
}

/* The three ways in are one batch; waste and air do what their names say; mass is kept. */
static void ways_agree(void **state) {
    (void)state;
    mix_recipe r = {3.5, 1, 1130, 2870, 0.04};
    mix_result by_volume = batch(&r, MIX_BY_VOLUME, 0.0173, 0);
    mix_result by_powder = batch(&r, MIX_BY_POWDER, by_volume.powder_kg, 0);
    mix_result by_water = batch(&r, MIX_BY_WATER, by_volume.water_m3, 0);
    near_relative(by_volume.yield_m3, 0.0173, 1e-14);
    near_relative(by_powder.yield_m3, 0.0173, 1e-14);
    near_relative(by_water.yield_m3, 0.0173, 1e-14);
    near_relative(by_volume.yield_m3 * by_volume.density_kg_m3,
                  by_volume.powder_kg + 1000 * by_volume.water_m3, 1e-14);
    near_relative(batch(&r, MIX_BY_VOLUME, 0.0173, 0.1).powder_kg, 1.1 * by_volume.powder_kg, 1e-14);
    mix_recipe airless = r;
    airless.air_fraction = 0;
    near_relative(batch(&airless, MIX_BY_POWDER, 1, 0).yield_m3 / 0.96,
                  batch(&r, MIX_BY_POWDER, 1, 0).yield_m3, 1e-14);
    assert_true(batch(&r, MIX_BY_VOLUME, 0, 0).powder_kg == 0);
}

static void refuses(void **state) {
    (void)state;
    static const double bad[] = {-1, 1e308, HUGE_VAL, (double)NAN};
    static const char *const names[] = {"parts_powder", "parts_water", "bulk_kg_m3",    "particle_kg_m3",
                                        "air_fraction", "need",        "waste_fraction"};
    for (size_t k = 0; k < COUNT(bad); k++)
        for (size_t field = 0; field < COUNT(names); field++) {
            mix_recipe r = {5, 2, 1200, 3000, 0};
            double need = 1, waste = 0;
            double *const fields[] = {&r.parts_powder, &r.parts_water, &r.bulk_kg_m3, &r.particle_kg_m3,
                                      &r.air_fraction, &need,          &waste};
            mix_result out;
            fault why = {0};
            *fields[field] = bad[k];
            assert_int_equal(mix_batch(&r, MIX_BY_VOLUME, need, waste, &out, &why), E_INPUT);
            assert_non_null(strstr(why.text, names[field]));
        }
    mix_recipe heavy = {5, 2, 1200, 1200, 0}; /* grains no denser than the heap */
    mix_result out;
    assert_int_equal(mix_batch(&heavy, MIX_BY_VOLUME, 1, 0, &out, NULL), E_INPUT);
}

/* By hand: 1.20 m of 25 x 37 mm with 18.5 mm of plug in it: 0.555 l of each; a third of a coat of 3 l. */
static void left_by_hand(void **state) {
    (void)state;
    left_slot slot = {1.20, 0.025, 0.037, 0.0185, 3.6, 0.003};
    double m3 = 0;
    assert_int_equal(left_volume(&slot, LEFT_PLUG, &m3, NULL), OK);
    near_relative(m3, 0.000555, 1e-14);
    assert_int_equal(left_volume(&slot, LEFT_PACK, &m3, NULL), OK);
    near_relative(m3, 0.000555, 1e-14);
    assert_int_equal(left_volume(&slot, LEFT_COAT, &m3, NULL), OK);
    near_relative(m3, 0.001, 1e-14);
}

static void left_refuses(void **state) {
    (void)state;
    static const double bad[] = {-1, 1e308, HUGE_VAL, (double)NAN};
    static const char *const names[] = {"length left", "slot width",     "depth",
                                        "plug",        "planned length", "planned coat"};
    for (size_t k = 0; k < COUNT(bad); k++)
        for (size_t field = 0; field < COUNT(names); field++) {
            left_slot slot = {1.20, 0.025, 0.037, 0.0185, 3.6, 0.003};
            double *const fields[] = {&slot.length_m, &slot.width_m, &slot.depth_m,
                                      &slot.plug_m,   &slot.whole_m, &slot.coat_m3};
            double m3 = 5;
            fault why = {0};
            *fields[field] = bad[k];
            assert_int_equal(left_volume(&slot, field < 4 ? LEFT_PACK : LEFT_COAT, &m3, &why), E_INPUT);
            assert_non_null(strstr(why.text, names[field]));
            assert_true(m3 == 0);
        }
}

/* Against ceil; n whole limits are n batches in spite of rounding. */
static void left_in_batches(void **state) {
    (void)state;
    assert_int_equal(left_batches(0, 1), 1);
    assert_int_equal(left_batches(5, 0), 1);
    assert_int_equal(left_batches(5, (double)NAN), 1);
    assert_int_equal(left_batches(1e9, 1), 1000000);
    for (int i = 1; i < 4000; i++) {
        double volume = i * 0.01, limit = 0.07;
        assert_int_equal(left_batches(volume, limit), (int)fmax(1, ceil(volume / limit - 1e-9)));
        assert_int_equal(left_batches(i * limit, limit), i);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(navedtra),     cmocka_unit_test(sacks),           cmocka_unit_test(table),
        cmocka_unit_test(ways_agree),   cmocka_unit_test(refuses),         cmocka_unit_test(left_by_hand),
        cmocka_unit_test(left_refuses), cmocka_unit_test(left_in_batches),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
