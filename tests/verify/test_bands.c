/* Bands against closed forms and against the trade's quantities per metre. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "geom/bands.h"

#include <math.h>
#include <string.h>

#define PI 3.14159265358979323846
#define RUN(...)                                                                                             \
    { (const face_point[]){__VA_ARGS__}, sizeof((const face_point[]){__VA_ARGS__}) / sizeof(face_point) }

/* cmocka compares floats only; we need doubles. */
static void check_near(double found, double expected, double within, const char *file, int line) {
    if (fabs(found - expected) <= within) return;
    print_error("%s:%d: found %.17g, expected %.17g within %g\n", file, line, found, expected, within);
    _fail(file, line);
}
#define NEAR(found, expected, within) check_near(found, expected, within, __FILE__, __LINE__)

static const bands_slot trade = {.width_m = 0.025, .depth_m = 0.037, .band_m = 0.150};
static const double half_m = 0.0125 + 0.150; /* of the whole band */

static const face_shape big = {"N", RUN({0, 0}, {10, 0}, {10, 10}, {0, 10}), NULL, 0};

/* A sector of a circle as drawn: `quarters` quarters of 16 sides each (rules of the trade, 20). */
static double drawn_sector_m2(double radius_m, double quarters) {
    return quarters * 16 * 0.5 * radius_m * radius_m * sin(PI / 32);
}

static bands_item line_of(size_t face, face_run run, double extend_m) {
    return (bands_item){.kind = BANDS_LINE,
                        .face = face,
                        .run = run,
                        .extend_start_m = extend_m,
                        .extend_end_m = extend_m,
                        .slot = trade};
}

static arena *memory;

static bands_result compute(const bands_input *in) {
    bands_result out;
    fault why = {0};
    if (bands_compute(in, memory, &out, &why) != OK) fail_msg("%s", why.text);
    return out;
}

static bands_result compute_one(const face_shape *face, const bands_item *items, size_t n) {
    return compute(&(bands_input){face, 1, NULL, 0, items, n});
}

static void refuse(const bands_input *in, const char *sentence) {
    bands_result out;
    fault why = {0};
    assert_int_equal(bands_compute(in, memory, &out, &why), E_INPUT);
    if (!strstr(why.text, sentence)) fail_msg("said \"%s\", not \"%s\"", why.text, sentence);
    assert_null(out.items);
}

static int open_memory(void **state) {
    (void)state;
    memory = arena_new();
    return memory ? 0 : -1;
}

static int close_memory(void **state) {
    (void)state;
    arena_free(memory);
    return 0;
}

/* Common practice: per metre of a 25 x 37 mm slot with 150 mm each side 0.925 l, first coat 0.399 m2 on the
 * bare slot and 0.362 over a half-filled one, last coat 0.325. */
static void a_metre_of_the_trades_slot(void **state) {
    (void)state;
    bands_item item = line_of(0, (face_run)RUN({3, 5}, {4, 5}), 0);
    bands_amount bare = compute_one(&big, &item, 1).total;
    NEAR(bare.slot_volume_m3, 0.925e-3, 1e-12);
    NEAR(bare.first_coat_area_m2, 0.399, 1e-12);
    NEAR(bare.wash_area_m2, 0.399, 1e-12);
    NEAR(bare.band_area_m2, 0.325, 1e-12);
    NEAR(bare.slot_area_m2, 0.025, 1e-12);
    item.slot.filled_m = 0.0185;
    bands_amount filled = compute_one(&big, &item, 1).total;
    NEAR(filled.first_coat_area_m2, 0.362, 1e-12);
    NEAR(filled.wash_area_m2, 0.399, 1e-12);
}

/* Area d (w + d tan u); sides 2 d / cos u; base w + 2 d tan u. */
static void an_undercut_slot(void **state) {
    (void)state;
    bands_item item = line_of(0, (face_run)RUN({3, 5}, {5, 5}), 0);
    item.slot.undercut_deg = 10;
    bands_amount a = compute_one(&big, &item, 1).total;
    double t = tan(10 * PI / 180), c = cos(10 * PI / 180);
    NEAR(a.slot_volume_m3, 2 * 0.037 * (0.025 + 0.037 * t), 1e-13);
    NEAR(a.wash_area_m2, 2 * (0.300 + 2 * 0.037 / c + 0.025 + 2 * 0.037 * t), 1e-12);
}

static void extensions_count_at_each_end(void **state) {
    (void)state;
    bands_item item = line_of(0, (face_run)RUN({3, 5}, {6, 9}), 0);
    item.extend_start_m = 0.3;
    item.extend_end_m = 0.45;
    bands_amount a = compute_one(&big, &item, 1).total;
    NEAR(a.line_length_m, 5.75, 1e-12);
    NEAR(a.band_area_m2, 5.75 * 0.325, 1e-12);
    item.extend_start_m = 0;
    item.extend_end_m =
        3; /* 1.25 m to the edge at v = 10; the corner of the band is cut aslant: no less in the mean */
    a = compute_one(&big, &item, 1).total;
    NEAR(a.line_length_m, 6.25, 1e-12);
    NEAR(a.band_area_m2, 6.25 * 0.325, 1e-12);
}

static void a_cross_counts_its_middle_once(void **state) {
    (void)state;
    bands_item items[] = {line_of(0, (face_run)RUN({4, 5}, {6, 5}), 0),
                          line_of(0, (face_run)RUN({5, 4}, {5, 6}), 0)};
    bands_result r = compute_one(&big, items, 2);
    NEAR(r.total.band_area_m2, 2 * 2 * 0.325 - 0.325 * 0.325, 1e-12);
    NEAR(r.total.overlap_saved_m2, 0.325 * 0.325, 1e-12);
    NEAR(r.total.first_coat_area_m2, r.total.band_area_m2 + 4 * 2 * 0.037, 1e-12);
    NEAR(r.total.wash_area_m2, r.total.first_coat_area_m2, 1e-12);
    NEAR(r.items[0].overlap_saved_m2, 0.325 * 0.325 / 2, 1e-12);
    NEAR(r.items[0].band_area_m2, 0.65, 1e-12);
    NEAR(r.total.slot_volume_m3, 4 * 0.925e-3, 1e-12); /* slots are added up */
    assert_int_equal(r.faces[0].bands_n, 1);
    assert_int_equal(r.faces[0].bands[0].outer.n, 12);
    assert_int_equal(r.parts_n, 2);
    assert_int_equal(r.parts[1].slots_n, 1);
}

/* Two crosses far apart on one face, and a line alone: each cross shares out its own overlap, the line saves
 * nothing. The second cross is of arms 2 m and 1 m, which share by area. */
static void only_those_that_meet_share(void **state) {
    (void)state;
    bands_item items[] = {
        line_of(0, (face_run)RUN({1, 2}, {3, 2}), 0), line_of(0, (face_run)RUN({6, 7}, {8, 7}), 0),
        line_of(0, (face_run)RUN({7, 1}, {9, 1}), 0), line_of(0, (face_run)RUN({2, 1}, {2, 3}), 0),
        line_of(0, (face_run)RUN({7, 6.5}, {7, 7.5}), 0)};
    const double twice_m2 = 0.325 * 0.325;
    bands_result r = compute_one(&big, items, 5);
    assert_int_equal(r.faces[0].bands_n, 3);
    NEAR(r.items[0].overlap_saved_m2, twice_m2 / 2, 1e-12);
    NEAR(r.items[3].overlap_saved_m2, twice_m2 / 2, 1e-12);
    NEAR(r.items[1].overlap_saved_m2, twice_m2 * 2 / 3, 1e-12);
    NEAR(r.items[4].overlap_saved_m2, twice_m2 / 3, 1e-12);
    NEAR(r.items[2].overlap_saved_m2, 0, 0);
    NEAR(r.total.overlap_saved_m2, 2 * twice_m2, 1e-12);
    NEAR(r.total.band_area_m2, 9 * 0.325 - 2 * twice_m2, 1e-12);
}

/* A line across a door leaves a band on each side of it; only the side that is crossed shares. Left: 2 m by
 * 0.325 m each, so half of the square each. */
static void a_band_in_two_pieces_shares_where_it_meets(void **state) {
    (void)state;
    const face_run door = RUN({3, 0}, {5, 0}, {5, 4}, {3, 4});
    const face_shape face = {"N", big.outline, &door, 1};
    bands_item items[] = {line_of(0, (face_run)RUN({1, 2}, {9, 2}), 0),
                          line_of(0, (face_run)RUN({2, 1}, {2, 3}), 0),
                          line_of(0, (face_run)RUN({8, 5}, {8, 7}), 0)};
    bands_result r = compute_one(&face, items, 3);
    assert_int_equal(r.faces[0].bands_n, 3);
    NEAR(r.items[0].band_area_m2, 6 * 0.325, 1e-12);
    NEAR(r.items[0].overlap_saved_m2, 0.325 * 0.325 / 2, 1e-12);
    NEAR(r.items[1].overlap_saved_m2, 0.325 * 0.325 / 2, 1e-12);
    NEAR(r.items[2].overlap_saved_m2, 0, 0);
}

/* The outer side of a bend of 90 degrees is a drawn quarter circle, the inner a square counted once. */
static void a_bend_has_a_round_outside(void **state) {
    (void)state;
    bands_item item = line_of(0, (face_run)RUN({3, 5}, {5, 5}, {5, 7}), 0);
    bands_amount a = compute_one(&big, &item, 1).total;
    double expected = 4 * 0.325 - half_m * half_m + drawn_sector_m2(half_m, 1);
    NEAR(a.band_area_m2, expected, 1e-12);
}

static void a_diagonal_is_cut_by_the_edge(void **state) {
    (void)state;
    /* at 45 degrees through the edge u = 10: clipped aslant, length to the edge 1 sqrt 2, mean of both sides
     */
    bands_item item = line_of(0, (face_run)RUN({9, 5}, {11, 7}), 0);
    bands_result r = compute_one(&big, &item, 1);
    NEAR(r.total.line_length_m, sqrt(2), 1e-12);
    NEAR(r.total.band_area_m2, 0.325 * sqrt(2), 1e-12);
    assert_int_equal(r.warnings_n, 1);
    assert_non_null(strstr(r.warnings[0], "item 0: point 2 (11.0000, 7.0000) m does not lie on face N"));
    /* close beside an edge: the band reaches only 0.1 m on that side */
    item = line_of(0, (face_run)RUN({2, 0.1}, {5, 0.1}), 0);
    r = compute_one(&big, &item, 1);
    NEAR(r.total.band_area_m2, 3 * (half_m + 0.1), 1e-12);
}

static void openings_are_left_out(void **state) {
    (void)state;
    const face_run door[] = {RUN({4, 0}, {5, 0}, {5, 2}, {4, 2})};
    const face_shape face = {"N", big.outline, door, 1};
    bands_item item = line_of(0, (face_run)RUN({2, 1}, {7, 1}), 0);
    bands_amount a = compute_one(&face, &item, 1).total;
    NEAR(a.line_length_m, 4, 1e-12);
    NEAR(a.slot_area_m2, 4 * 0.025, 1e-12);
    NEAR(a.band_area_m2, 4 * 0.325, 1e-12);
    /* a joint along the foot of the wall passes the door; half the band and half the slot lie on the wall */
    item = line_of(0, (face_run)RUN({0, 0}, {10, 0}), 0);
    a = compute_one(&face, &item, 1).total;
    NEAR(a.line_length_m, 9, 1e-12);
    NEAR(a.band_area_m2, 9 * half_m, 1e-12);
    NEAR(a.slot_volume_m3, 9 * 0.0125 * 0.037, 1e-13);
    /* all in the door: nothing, and no fault */
    item = line_of(0, (face_run)RUN({4.4, 1}, {4.6, 1}), 0);
    bands_result r = compute_one(&face, &item, 1);
    NEAR(r.total.band_area_m2, 0, 0);
    assert_int_equal(r.warnings_n, 1);
}

/* ---- folds ---- */

static const face_shape corner[] = {{"N", RUN({0, 0}, {4, 0}, {4, 3}, {0, 3}), NULL, 0},
                                    {"E", RUN({0, 0}, {2, 0}, {2, 3}, {0, 3}), NULL, 0},
                                    {"F", RUN({0, 0}, {4, 0}, {4, 2}, {0, 2}), NULL, 0}};
static const bands_fold corner_folds[] = {
    {"folds[0]", 0, 1, {{4, 0}, {4, 3}}, {{0, 0}, {0, 3}}}, /* N, E: the upright corner */
    {"folds[1]", 0, 2, {{0, 0}, {4, 0}}, {{0, 2}, {4, 2}}}, /* N, floor */
    {"folds[2]", 1, 2, {{0, 0}, {2, 0}}, {{4, 2}, {4, 0}}}, /* E, floor */
};

static void a_fold_carries_what_a_flat_wall_would_hold(void **state) {
    (void)state;
    const face_shape flat = {"flat", RUN({0, 0}, {6, 0}, {6, 3}, {0, 3}), NULL, 0};
    const face_run runs[] = {RUN({3, 1}, {3.9, 1.3}), RUN({3.9, 2}, {3.9, 2.6}),
                             RUN({2.5, 2}, {3.5, 2}, {4, 1.7}), RUN({3.5, 1.5}, {3.9, 2.9})};
    for (size_t i = 0; i < 4; i++) {
        bands_item item = line_of(0, runs[i], 0.8);
        bands_result whole = compute_one(&flat, &item, 1);
        bands_result folded = compute(&(bands_input){corner, 2, corner_folds, 1, &item, 1});
        NEAR(folded.total.band_area_m2, whole.total.band_area_m2, 1e-12);
        NEAR(folded.total.slot_area_m2, whole.total.slot_area_m2, 1e-12);
        NEAR(folded.total.slot_volume_m3, whole.total.slot_volume_m3, 1e-12);
        NEAR(folded.total.line_length_m, whole.total.line_length_m, 1e-12);
        NEAR(folded.total.wash_area_m2, whole.total.wash_area_m2, 1e-12);
        NEAR(folded.total.overlap_saved_m2, 0, 1e-12);
        assert_true(folded.faces[1].amount.band_area_m2 > 0.01);
        assert_int_equal(folded.faces[1].bands_n, 1);
    }
}

/* The same fold when E is drawn mirrored, from behind: the map mirrors. */
static void a_face_drawn_from_behind_is_mirrored(void **state) {
    (void)state;
    const face_shape faces[] = {corner[0], {"E", RUN({0, 0}, {0, 3}, {-2, 3}, {-2, 0}), NULL, 0}};
    bands_item item = line_of(0, (face_run)RUN({3, 1}, {3.9, 1.3}), 0.8);
    bands_result straight = compute(&(bands_input){corner, 2, corner_folds, 1, &item, 1});
    bands_result mirrored = compute(&(bands_input){faces, 2, corner_folds, 1, &item, 1});
    NEAR(mirrored.faces[1].amount.band_area_m2, straight.faces[1].amount.band_area_m2, 1e-12);
    NEAR(mirrored.faces[1].amount.line_length_m, straight.faces[1].amount.line_length_m, 1e-12);
}

/* A joint along the upright corner: half the slot and half the band on either face. */
static void a_joint_in_a_corner_lies_on_both_faces(void **state) {
    (void)state;
    bands_item item = line_of(0, (face_run)RUN({4.0004, 1}, {3.9997, 2}), 0); /* read off a tape */
    bands_result r = compute(&(bands_input){corner, 2, corner_folds, 1, &item, 1});
    NEAR(r.total.line_length_m, 1, 1e-6);
    NEAR(r.total.band_area_m2, 0.325, 1e-6);
    item = line_of(0, (face_run)RUN({4, 1}, {4, 2}), 0);
    r = compute(&(bands_input){corner, 2, corner_folds, 1, &item, 1});
    NEAR(r.total.line_length_m, 1, 1e-12);
    NEAR(r.faces[0].amount.band_area_m2, half_m, 1e-12);
    NEAR(r.faces[1].amount.band_area_m2, half_m, 1e-12);
    NEAR(r.faces[1].amount.slot_area_m2, 0.0125, 1e-12);
    NEAR(r.total.first_coat_area_m2, 0.399, 1e-12);
}

/* Ends on the corner with an extension: goes on on E; runs along the foot, with half its band on the floor.
 */
static void a_line_ends_on_a_fold_and_goes_on(void **state) {
    (void)state;
    bands_item item = line_of(0, (face_run)RUN({3, 1}, {4, 1}), 0.3);
    bands_result r = compute(&(bands_input){corner, 3, corner_folds, 3, &item, 1});
    NEAR(r.faces[0].amount.line_length_m, 1.3, 1e-12);
    NEAR(r.faces[1].amount.line_length_m, 0.3, 1e-12);
    NEAR(r.faces[1].amount.band_area_m2, 0.3 * 0.325, 1e-12);
    item = line_of(0, (face_run)RUN({1, 0}, {4, 0}), 0.3);
    r = compute(&(bands_input){corner, 3, corner_folds, 3, &item, 1});
    NEAR(r.total.line_length_m, 3.6, 1e-12);
    NEAR(r.faces[0].amount.band_area_m2, 3.3 * half_m, 1e-12);
    NEAR(r.faces[1].amount.band_area_m2, 0.3 * half_m, 1e-6);
    /* on the floor an L round the corner, its limbs overlapping in a square */
    NEAR(r.faces[2].amount.band_area_m2, 3.6 * half_m - half_m * half_m, 1e-6);
}

/* Without an extension it stops at the corner, and so does its flat end. */
static void a_line_that_only_ends_on_a_fold_stops(void **state) {
    (void)state;
    bands_item item = line_of(0, (face_run)RUN({3, 1}, {4, 1}), 0);
    bands_result r = compute(&(bands_input){corner, 3, corner_folds, 3, &item, 1});
    assert_int_equal(r.parts_n, 1);
    NEAR(r.total.band_area_m2, 0.325, 1e-12);
}

/* A wall with a gap: the line goes over the fold at the gap's near side, not over the one at the wall's end.
 */
static void the_nearest_fold_is_taken(void **state) {
    (void)state;
    const face_shape faces[] = {
        {"U", RUN({0, 0}, {4, 0}, {4, 3}, {3, 3}, {3, 1}, {2, 1}, {2, 3}, {0, 3}), NULL, 0},
        {"end", RUN({0, 0}, {1, 0}, {1, 3}, {0, 3}), NULL, 0},
        {"reveal", RUN({0, 0}, {1, 0}, {1, 2}, {0, 2}), NULL, 0}};
    const bands_fold folds[] = {{NULL, 0, 1, {{4, 0}, {4, 3}}, {{0, 0}, {0, 3}}},
                                {NULL, 0, 2, {{2, 1}, {2, 3}}, {{0, 0}, {0, 2}}}};
    bands_item item = line_of(0, (face_run)RUN({1, 2}, {1.9, 2}), 0);
    item.extend_end_m = 0.9;
    bands_result r = compute(&(bands_input){faces, 3, folds, 2, &item, 1});
    NEAR(r.faces[2].amount.line_length_m, 0.8, 1e-12);
    item.extend_end_m = 2.9;
    r = compute(&(bands_input){faces, 3, folds, 2, &item, 1});
    NEAR(r.faces[1].amount.line_length_m, 0, 0);
    NEAR(r.total.line_length_m, 2, 1e-12); /* the reveal is 1 m wide and folded to nothing beyond */
}

/* Beyond a slot-like opening as high as the face, the carried band no longer hangs together with the fold. */
static void only_what_hangs_together_with_the_fold_is_carried(void **state) {
    (void)state;
    const face_run gap[] = {RUN({0.05, 0}, {0.08, 0}, {0.08, 3}, {0.05, 3})};
    const face_shape faces[] = {corner[0], {"E", corner[1].outline, gap, 1}};
    bands_item item = line_of(0, (face_run)RUN({3.98, 1}, {3.98, 2}), 0); /* reaches 0.1425 m on E */
    bands_result r = compute(&(bands_input){faces, 2, corner_folds, 1, &item, 1});
    NEAR(r.faces[1].amount.band_area_m2, 0.05, 1e-12);
}

/* A joint along a free edge, read off some tenths of a millimetre beyond it. */
static void a_joint_beyond_a_free_edge_counts(void **state) {
    (void)state;
    bands_item item = line_of(0, (face_run)RUN({10.0004, 1}, {10.0002, 2}), 0);
    bands_result r = compute_one(&big, &item, 1);
    NEAR(r.total.line_length_m, 1, 1e-12);
    NEAR(r.total.band_area_m2, half_m, 1e-12);
}

/* Four faces of 0.5 m round a pier: a line of 0.4 m extended by 2 m each way goes round it twice and a bit.
 */
static void a_line_goes_round_a_pier(void **state) {
    (void)state;
    const face_run side = RUN({0, 0}, {0.5, 0}, {0.5, 3}, {0, 3});
    const face_shape faces[] = {
        {"A", side, NULL, 0}, {"B", side, NULL, 0}, {"C", side, NULL, 0}, {"D", side, NULL, 0}};
    bands_fold folds[4];
    for (size_t i = 0; i < 4; i++)
        folds[i] = (bands_fold){NULL, i, (i + 1) % 4, {{0.5, 0}, {0.5, 3}}, {{0, 0}, {0, 3}}};
    bands_item item = line_of(0, (face_run)RUN({0.05, 1}, {0.45, 1}), 2);
    bands_result r = compute(&(bands_input){faces, 4, folds, 4, &item, 1});
    NEAR(r.total.line_length_m, 4.4, 1e-12);
    for (size_t f = 0; f < 4; f++) NEAR(r.faces[f].amount.band_area_m2, 0.5 * 0.325, 1e-12);
    /* the same pier as one face laid flat, folded on to itself */
    const face_shape flat = {"P", RUN({0, 0}, {2, 0}, {2, 3}, {0, 3}), NULL, 0};
    const bands_fold seam = {NULL, 0, 0, {{2, 0}, {2, 3}}, {{0, 0}, {0, 3}}};
    r = compute(&(bands_input){&flat, 1, &seam, 1, &item, 1});
    NEAR(r.total.line_length_m, 4.4, 1e-12);
    NEAR(r.total.band_area_m2, 2 * 0.325, 1e-12);
}

/* ---- holes, rings, patches ---- */

static void holes_and_rings(void **state) {
    (void)state;
    bands_item items[] = {{.kind = BANDS_HOLE, .centre = {2, 2}, .diameter_m = 0.03, .slot = trade},
                          {.kind = BANDS_RING, .centre = {6, 6}, .diameter_m = 0.2, .slot = trade}};
    bands_result r = compute_one(&big, items, 2);
    const bands_amount *hole = &r.items[0], *ring = &r.items[1];
    NEAR(hole->slot_area_m2, drawn_sector_m2(0.015, 4), 1e-14);
    NEAR(hole->band_area_m2, drawn_sector_m2(0.165, 4), 1e-13);
    NEAR(hole->line_length_m, 0, 0);
    NEAR(hole->wash_area_m2, hole->band_area_m2 + PI * 0.03 * 0.037, 1e-13);
    NEAR(ring->slot_area_m2, drawn_sector_m2(0.125, 4) - drawn_sector_m2(0.1, 4), 1e-13);
    NEAR(ring->band_area_m2, drawn_sector_m2(0.275, 4) - drawn_sector_m2(0.1, 4), 1e-13);
    NEAR(ring->line_length_m, PI * 0.225, 1e-12);
    NEAR(ring->wash_area_m2, ring->band_area_m2 + PI * (0.25 + 0.2) * 0.037, 1e-12);
    assert_int_equal(r.parts[1].slots[0].holes_n, 1);
}

static void a_patch_joins_the_union(void **state) {
    (void)state;
    bands_item items[] = {{.kind = BANDS_PATCH, .run = RUN({2, 2}, {3, 2}, {3, 3}, {2, 3}), .slot = trade},
                          line_of(0, (face_run)RUN({2.5, 1}, {2.5, 4}), 0)};
    bands_result r = compute_one(&big, items, 2);
    double patch_m2 = 1 + 4 * 0.150 + drawn_sector_m2(0.150, 4);
    NEAR(r.items[0].band_area_m2, patch_m2, 1e-12);
    NEAR(r.items[0].slot_volume_m3, 0.037, 1e-13);
    NEAR(r.items[0].wash_area_m2, patch_m2 + 4 * 0.037, 1e-12);
    NEAR(r.total.overlap_saved_m2, 1.3 * 0.325, 1e-12);
    NEAR(r.total.band_area_m2, patch_m2 + 1.7 * 0.325, 1e-12);
}

static void a_closed_line_has_no_ends(void **state) {
    (void)state;
    bands_item item = line_of(0, (face_run)RUN({2, 2}, {4, 2}, {4, 4}, {2, 4}, {2, 2}), 0.3);
    bands_result r = compute_one(&big, &item, 1);
    NEAR(r.total.line_length_m, 8, 1e-12);
    double outer = 4 + 4 * 2 * half_m + drawn_sector_m2(half_m, 4),
           inner = (2 - 2 * half_m) * (2 - 2 * half_m);
    NEAR(r.total.band_area_m2, outer - inner, 1e-12);
    assert_int_equal(r.faces[0].bands[0].holes_n, 1);
}

/* ---- bad input ---- */

static void refuse_item(bands_item item, const char *sentence) {
    refuse(&(bands_input){&big, 1, NULL, 0, &item, 1}, sentence);
}

static void items_are_checked(void **state) {
    (void)state;
    const bands_item good = line_of(0, (face_run)RUN({3, 5}, {4, 5}), 0.3);
    bands_item item = good;
    item.tag = "lines[2]";
    item.slot.width_m = -0.001;
    refuse_item(item, "lines[2]: slot width -0.001 m must lie in 0 to 100 m");
    item = good;
    item.slot.undercut_deg = 75;
    refuse_item(item, "item 0: undercut 75 degrees must lie in 0 to 60 degrees");
    item = good;
    item.slot.filled_m = 0.05;
    refuse_item(item, "item 0: filled depth 0.05 m must lie in 0 to 0.037 m");
    item = good;
    item.extend_end_m = (double)NAN;
    refuse_item(item, "item 0: extension nan m must lie in 0 to 100 m");
    item = good;
    item.run.n = 1;
    refuse_item(item, "item 0 has 1 points; a line needs at least 2");
    refuse_item(line_of(0, (face_run)RUN({3, 5}, {3, 5}), 0), "item 0: its length 0 m must be at least");
    refuse_item(line_of(0, (face_run)RUN({3, 5}, {1e300, 5}), 0),
                "item 0: point 2 (1e+300, 5) m must lie within");
    refuse_item(line_of(0, (face_run)RUN({13, 5}, {15, 5}), 0),
                "item 0: point 1 (13, 5) m and all the line lie outside the outline of face N");
    item = (bands_item){.kind = BANDS_HOLE, .centre = {-1, 2}, .diameter_m = 0.03, .slot = trade};
    refuse_item(item, "item 0: centre (-1, 2) m lies outside the outline of face N");
    item.centre.u_m = 1;
    item.diameter_m = 0;
    refuse_item(item, "item 0: diameter 0 m must lie above 0");
    item = (bands_item){.kind = BANDS_PATCH, .run = RUN({2, 2}, {3, 3}, {3, 2}, {2, 3}), .slot = trade};
    refuse_item(item, "item 0 crosses or touches itself at (2.5000, 2.5000) m");
    item.run = (face_run)RUN({12, 2}, {13, 2}, {13, 3});
    refuse_item(item, "item 0 lies wholly outside the outline of face N");
    const face_shape bow = {"X", RUN({0, 0}, {2, 2}, {2, 0}, {0, 2}), NULL, 0};
    refuse(&(bands_input){&bow, 1, NULL, 0, &good, 1}, "face X: outline crosses or touches itself");
}

static void folds_are_checked(void **state) {
    (void)state;
    bands_item item = line_of(0, (face_run)RUN({3, 1}, {3.9, 1.3}), 0.8);
    bands_fold fold = corner_folds[0];
    bands_input in = {corner, 3, &fold, 1, &item, 1};
    fold.side_b[1].v_m = 2.9;
    refuse(&in, "folds[0]: its segments are 3 m on face N and 2.9 m on face E; they must agree within 1 mm");
    fold.side_b[1].v_m = 2.9992;
    NEAR(compute(&in).total.line_length_m,
         compute(&(bands_input){corner, 3, corner_folds, 1, &item, 1}).total.line_length_m, 1e-3);
    fold.side_b[1].v_m = 3.5;
    refuse(&in, "folds[0]: its segment leaves the outline of face E at (0.0000, 3.0000) m");
    fold.side_b[0].u_m = fold.side_b[1].u_m = 0.5;
    fold.side_b[1].v_m = 3;
    refuse(&in, "folds[0]: its segment leaves the outline of face E at (0.5000, 0.0000) m");
    fold.side_b[0] = fold.side_b[1];
    refuse(&in, "folds[0]: its segment on face E is 0 mm long");
    fold.side_b[0].u_m = (double)NAN;
    refuse(&in, "folds[0]: point (nan, 3) m on face E must lie within");
}

static void too_many_folds_are_refused(void **state) {
    (void)state;
    const face_run strip = RUN({0, 0}, {0.1, 0}, {0.1, 3}, {0, 3});
    const face_shape faces[] = {{"A", strip, NULL, 0}, {"B", strip, NULL, 0}};
    const bands_fold folds[] = {{NULL, 0, 1, {{0.1, 0}, {0.1, 3}}, {{0, 0}, {0, 3}}},
                                {NULL, 1, 0, {{0.1, 0}, {0.1, 3}}, {{0, 0}, {0, 3}}}};
    bands_item item = line_of(0, (face_run)RUN({0.02, 1}, {0.05, 1}), 90);
    refuse(&(bands_input){faces, 2, folds, 2, &item, 1}, "item 0 crosses more than 256 folds");
}

/* A fan of strips 3 mm wide: the band would run over some 600 folds. */
static void too_many_folds_under_a_band_are_refused(void **state) {
    (void)state;
    enum { STRIPS = 600 };
    static face_shape faces[STRIPS];
    static bands_fold folds[STRIPS - 1];
    const face_run strip = RUN({0, 0}, {0.003, 0}, {0.003, 3}, {0, 3});
    for (size_t i = 0; i < STRIPS; i++) faces[i] = (face_shape){"strip", strip, NULL, 0};
    for (size_t i = 0; i + 1 < STRIPS; i++)
        folds[i] = (bands_fold){NULL, i, i + 1, {{0.003, 0}, {0.003, 3}}, {{0, 0}, {0, 3}}};
    bands_item item = line_of(300, (face_run)RUN({0.0015, 1}, {0.0015, 2}), 0);
    item.slot.band_m = 1;
    bands_input in = {faces, STRIPS, folds, STRIPS - 1, &item, 1};
    refuse(&in, "item 0: its band crosses more than 256 folds");
    item.slot.band_m = 0.3;
    NEAR(compute(&in).total.band_area_m2, 0.625, 1e-9);
}

static void every_allocation_may_fail(void **state) {
    (void)state;
    bands_item items[] = {
        line_of(0, (face_run)RUN({3, 1}, {3.9, 1.3}), 0.8),
        line_of(0, (face_run)RUN({1, 0}, {4.5, 0}), 0.3),
        {.kind = BANDS_RING, .face = 2, .centre = {1, 1.9}, .diameter_m = 0.1, .slot = trade}};
    const bands_input in = {corner, 3, corner_folds, 3, items, 3};
    for (long n = 0;; n++) {
        arena *own = arena_new();
        fault why = {0};
        bands_result out;
        mem_fail_at(n, 0);
        status s = bands_compute(&in, own, &out, &why);
        mem_fail_at(-1, 0);
        arena_free(own);
        if (s == OK) break;
        assert_int_equal(s, E_MEMORY);
        assert_null(out.parts);
        assert_true(n < 2000);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_metre_of_the_trades_slot),
        cmocka_unit_test(an_undercut_slot),
        cmocka_unit_test(extensions_count_at_each_end),
        cmocka_unit_test(a_cross_counts_its_middle_once),
        cmocka_unit_test(only_those_that_meet_share),
        cmocka_unit_test(a_band_in_two_pieces_shares_where_it_meets),
        cmocka_unit_test(a_bend_has_a_round_outside),
        cmocka_unit_test(a_diagonal_is_cut_by_the_edge),
        cmocka_unit_test(openings_are_left_out),
        cmocka_unit_test(a_fold_carries_what_a_flat_wall_would_hold),
        cmocka_unit_test(a_face_drawn_from_behind_is_mirrored),
        cmocka_unit_test(a_joint_in_a_corner_lies_on_both_faces),
        cmocka_unit_test(a_line_ends_on_a_fold_and_goes_on),
        cmocka_unit_test(a_line_goes_round_a_pier),
        cmocka_unit_test(a_line_that_only_ends_on_a_fold_stops),
        cmocka_unit_test(the_nearest_fold_is_taken),
        cmocka_unit_test(only_what_hangs_together_with_the_fold_is_carried),
        cmocka_unit_test(a_joint_beyond_a_free_edge_counts),
        cmocka_unit_test(too_many_folds_under_a_band_are_refused),
        cmocka_unit_test(holes_and_rings),
        cmocka_unit_test(a_patch_joins_the_union),
        cmocka_unit_test(a_closed_line_has_no_ends),
        cmocka_unit_test(items_are_checked),
        cmocka_unit_test(folds_are_checked),
        cmocka_unit_test(too_many_folds_are_refused),
        cmocka_unit_test(every_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, open_memory, close_memory);
}
