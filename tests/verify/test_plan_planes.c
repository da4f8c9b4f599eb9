/* The crack planes in the plan: which leaks share one, what the plan takes from it, and that a stored plane is the same. */
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

#define assert_close(got, want, relative)                                                                    \
    do {                                                                                                     \
        double got_ = (got), want_ = (want);                                                                 \
        if (!(fabs(got_ - want_) <= (relative)*fabs(want_)))                                                 \
            fail_msg("got %.12g, want %.12g (line %d)", got_, want_, __LINE__);                              \
    } while (0)

/* A running line of 2 m at height v on the wall N, 0.3 mm, 1.2 l/min over all of it. */
#define LINE(mark, u0, v0, u1, v1)                                                                           \
    "{\"mark\": \"" mark "\", \"kind\": \"crack\", \"slot_faces\": \"chipped\","                             \
    " \"parts\": [{\"face\": \"N\", \"points\": [[" u0 "," v0 "],[" u1 "," v1 "]]}],"                        \
    " \"stations\": [{\"chainage_m\": 0, \"width_mm\": 0.3, \"wetness\": \"run\", \"bar\": \"none\"},"       \
    "                {\"chainage_m\": 2, \"width_mm\": 0.3, \"wetness\": \"run\", \"bar\": \"none\"}],"      \
    " \"flows\": [{\"from_m\": 0, \"to_m\": 2, \"volume_l\": 1.2, \"time_s\": 60}]}"

static plan *plan_with(const survey *s, int threads, const plan_known_plane *known, size_t n_known) {
    fault why = {0};
    plan *p = NULL;
    const plan_options options = {
        .planes = PLANES_RUN, .threads = threads, .known = known, .n_known = n_known};
    if (plan_make(s, &options, &p, &why) != OK) fail_msg("%s", why.text);
    return p;
}

static void lines_that_meet_share_a_plane(void **state) {
    (void)state;
    survey *s = fixture_wall(0.30, 3.0,
                             LINE("N1", "2", "1", "4", "1") "," LINE("N2", "3", "0.2", "3", "2.2") "," LINE(
                                 "N3", "7", "1", "9", "1") "," LINE("N4", "4.2", "1", "6.2", "1"));
    plan *p = plan_with(s, 1, NULL, 0);
    assert_int_equal(p->n_planes,
                     2); /* N1 crosses N2; N4 ends 0.2 m from N1, within one thickness; N3 0.8 m from N4 */
    assert_ptr_equal(p->plane_of[0], p->plane_of[1]);
    assert_ptr_equal(p->plane_of[0], p->plane_of[3]);
    assert_ptr_not_equal(p->plane_of[0], p->plane_of[2]);
    const planes_group *g = p->plane_of[0]->group;
    assert_int_equal(g->n_leaks, 3);
    assert_int_equal(g->input.joins_n, 2);
    assert_close(g->input.joins[0].a.chainage_m, 1.0, 1e-12); /* the crossing: 1 m along N1, 0.8 m along N2 */
    assert_close(g->input.joins[0].b.chainage_m, 0.8, 1e-12);
    plan_free(p);
    survey_free(s);
}

static void a_crack_over_a_fold_is_one_plane(void **state) {
    (void)state;
    survey *s = fixture_survey("{\"stanch_survey\": 1, \"units\": \"metric\", \"site\": {\"name\": \"t\", "
                               "\"today\": {\"level_m\": 3, \"known\": "
                               "\"told\"}, \"design\": {\"level_m\": 3, \"known\": \"told\"}},"
                               " \"faces\": [{\"id\": \"N\", \"lie\": \"wall\", \"behind\": \"ground\", "
                               "\"thickness_m\": 0.3, \"elevation_m\": 0, "
                               "\"outline\": [[0,0],[6,0],[6,3],[0,3]]},"
                               " {\"id\": \"F\", \"lie\": \"floor\", \"behind\": \"ground\", "
                               "\"thickness_m\": 0.4, \"elevation_m\": 0, "
                               "\"outline\": [[0,0],[6,0],[6,4],[0,4]]}],"
                               " \"folds\": [{\"a\": [\"N\", [[0,0],[6,0]]], \"b\": [\"F\", [[0,4],[6,4]]]}],"
                               " \"defects\": [{\"mark\": \"N1\", \"kind\": \"crack\", \"parts\": "
                               "[{\"face\": \"N\", \"points\": [[3,1],[3,0]]}, "
                               "{\"face\": \"F\", \"points\": [[3,4],[3,3]]}],"
                               " \"stations\": [{\"chainage_m\": 0.2, \"width_mm\": 0.2, \"wetness\": "
                               "\"drip\", \"bar\": \"none\"}, {\"chainage_m\": "
                               "1.8, \"width_mm\": 0.2, \"wetness\": \"drip\", \"bar\": \"none\"}]}]}");
    plan *p = plan_with(s, 1, NULL, 0);
    assert_int_equal(p->n_planes, 1);
    const plane_input *in = &p->planes[0].group->input;
    assert_int_equal(in->panels_n, 2);
    assert_int_equal(in->joins_n, 1);
    assert_int_equal(in->panels[0].lie, PLANE_WALL);
    assert_int_equal(in->panels[1].lie, PLANE_FLOOR);
    assert_close(in->panels[0].stations[0].elevation_m, 1.0, 1e-12);
    assert_true(in->panels[1].stations[0].elevation_m == 0);
    assert_close(in->panels[1].stations[in->panels[1].stations_n - 1].chainage_m, 2.0, 1e-12);
    assert_null(p->planes[0].problem);
    plan_free(p);
    survey_free(s);
}

/* A dry station is a closed crack today; the run past the wet mark opens it again. */
static void a_dry_station_is_closed_today(void **state) {
    (void)state;
    survey *s = fixture_wall(
        0.30, 3.0,
        "{\"mark\": \"N1\", \"kind\": \"crack\", \"parts\": [{\"face\": \"N\", \"points\": [[2,1],[6,1]]}],"
        " \"stations\": [{\"chainage_m\": 0, \"width_mm\": 0.2, \"wetness\": \"drip\", \"bar\": \"none\"},"
        " {\"chainage_m\": 2, \"width_mm\": 0.2, \"wetness\": \"drip\", \"bar\": \"none\"}, {\"chainage_m\": "
        "3, \"width_mm\": 0.2, \"wetness\": \"dry\", \"bar\": \"none\"}]}");
    plan *p = plan_with(s, 1, NULL, 0);
    const plane_panel *panel = &p->planes[0].group->input.panels[0];
    assert_close(panel->stations[1].width_m, 0.0002, 1e-12);
    assert_true(panel->stations[2].width_m == 0);
    assert_true(p->planes[0].past_known);
    assert_true(p->planes[0].past.practice_m3_s[0] >= p->planes[0].past.practice_m3_s[1]);
    plan_free(p);
    survey_free(s);
}

/* The plan takes place, bore and flow of the relief from the drawn order; the final plug is sized as without planes. */
static void the_relief_follows_from_the_plane(void **state) {
    (void)state;
    survey *s = fixture_wall(0.30, 3.0, LINE("N1", "2", "1", "4", "1"));
    plan *with = plan_with(s, 1, NULL, 0), *without = fixture_plan(s);
    assert_null(with->planes[0].problem);
    const plugging_outcome *drawn = &with->planes[0].run.orders[with->planes[0].run.drawn];
    assert_int_equal(drawn->reliefs_n, 1);
    const design_relief *relief = &with->designs[0].relief;
    assert_true(relief->wanted);
    assert_close(relief->at_m, drawn->reliefs[0].relief.at.chainage_m, 1e-12);
    assert_close(relief->flow_m3_s.v, drawn->reliefs[0].flow_m3_s, 1e-12);
    assert_true(relief->back_head_m.v <= 0.1 * with->leaks[0].head_today_m);
    assert_close(with->designs[0].plug_need_m, without->designs[0].plug_need_m, 1e-12); /* trade rule 2 */
    assert_close(with->designs[0].slots[0].depth_m, without->designs[0].slots[0].depth_m, 1e-12);
    assert_int_equal(without->n_planes, 0);
    /* Fitted on the uncut plane, the plane gives the measured flow back (trade rule 4). */
    assert_close(with->planes[0].uncut_m3_s.v, 1.2 / 60000, 2e-3);
    /* Rule 8: the relief's piece is the last step. */
    assert_true(drawn->steps[drawn->steps_n - 1].relief >= 0);
    plan_free(with);
    plan_free(without);
    survey_free(s);
}

static void threads_and_stored_results_change_nothing(void **state) {
    (void)state;
    survey *s = fixture_wall(0.30, 3.0, LINE("N1", "2", "1", "4", "1") "," LINE("N3", "7", "1", "9", "1"));
    plan *one = plan_with(s, 1, NULL, 0), *two = plan_with(s, 2, NULL, 0);
    text a = {0}, b = {0}, c = {0}, d = {0};
    assert_int_equal(one->n_planes, 2);
    plan_write_plane(&one->planes[0], &a);
    plan_write_plane(&two->planes[0], &b);
    assert_string_equal(text_get(&a), text_get(&b));
    plan_write_plane(&one->planes[1], &d);
    const plan_known_plane known[] = {{one->planes[0].hash, text_get(&a)},
                                      {one->planes[1].hash, text_get(&d)}};
    plan *again = plan_with(s, 1, known, 2);
    assert_false(again->planes[0].fresh);
    plan_write_plane(&again->planes[0], &c);
    assert_string_equal(text_get(&a), text_get(&c));
    const plugging_outcome *fresh = &one->planes[0].run.orders[one->planes[0].run.drawn];
    const plugging_outcome *stored = &again->planes[0].run.orders[again->planes[0].run.drawn];
    assert_true(fresh->reliefs[0].relief.tube.bore_m > 0);
    assert_close(stored->reliefs[0].relief.tube.bore_m, fresh->reliefs[0].relief.tube.bore_m, 1e-15);
    assert_string_equal(again->cards[0].steps[5].body, one->cards[0].steps[5].body);
    assert_close(again->price.total, one->price.total, 1e-15);
    plan_free(again);
    /* A body that is not one, or a hash that is not ours, is run again. */
    const plan_known_plane broken[] = {{one->planes[0].hash, "{\"orders\": 3}"}, {"0000", text_get(&d)}};
    again = plan_with(s, 1, broken, 2);
    assert_true(again->planes[0].fresh);
    assert_true(again->planes[1].fresh);
    plan_free(again);
    text_free(&a);
    text_free(&b);
    text_free(&c);
    text_free(&d);
    plan_free(one);
    plan_free(two);
    survey_free(s);
}

/* Rule 5: a second reading, of the cut slot, takes the place of the first. */
static void a_reading_of_the_cut_slot_counts(void **state) {
    (void)state;
    survey *s = fixture_wall(
        0.30, 3.0,
        "{\"mark\": \"N1\", \"kind\": \"crack\", \"parts\": [{\"face\": \"N\", \"points\": [[2,1],[4,1]]}],"
        " \"stations\": [{\"chainage_m\": 0, \"width_mm\": 0.3, \"wetness\": \"run\"}, {\"chainage_m\": 2, "
        "\"width_mm\": 0.3, \"wetness\": \"run\"}],"
        " \"flows\": [{\"from_m\": 0, \"to_m\": 2, \"volume_l\": 1.2, \"time_s\": 60},"
        "  {\"from_m\": 0, \"to_m\": 2, \"volume_l\": 2.4, \"time_s\": 60, \"state\": \"cut\"}]}");
    plan *p = plan_with(s, 1, NULL, 0);
    const plane_input *in = &p->planes[0].group->input;
    assert_int_equal(in->measured_n, 1);
    assert_true(in->measured[0].as_given);
    assert_close(in->measured[0].flow_m3_s, 2.4 / 60000, 1e-12);
    const plugging_outcome *drawn = &p->planes[0].run.orders[p->planes[0].run.drawn];
    double met = 0;
    for (size_t i = 0; i < drawn->steps_n; i++) met += drawn->steps[i].flow_m3_s;
    assert_true(met > 0);
    plan_free(p);
    survey_free(s);
}

/* A tie hole with a timed flow near a line is a short panel joined to it, closed in the same order. */
static void a_tie_hole_near_a_line_is_solved_with_it(void **state) {
    (void)state;
    survey *s = fixture_wall(
        0.30, 3.0,
        LINE("N1", "2", "1", "4", "1") ",{\"mark\": \"N2\", \"kind\": \"tie_hole\", \"diameter_mm\": 30, "
                                       "\"parts\": [{\"face\": \"N\", "
                                       "\"points\": [[3,1.1]]}], \"stations\": [{\"chainage_m\": 0, "
                                       "\"wetness\": \"run\", \"bar\": \"none\"}],"
                                       " \"flows\": [{\"volume_l\": 0.5, \"time_s\": 60}]}");
    plan *p = plan_with(s, 1, NULL, 0);
    assert_int_equal(p->n_planes, 1);
    assert_int_equal(p->planes[0].group->n_leaks, 2);
    const plane_panel *hole = &p->planes[0].group->input.panels[1];
    assert_close(hole->stations[1].chainage_m, 3.14159265358979 * 0.030, 1e-12);
    assert_int_equal(hole->slots_n, 1);
    assert_null(p->planes[0].problem);
    plan_free(p);
    survey_free(s);
}

/* Rule 6: a joint whose waterstop is not known gets no computed order, and a question; with depth and open places it does. */
static void a_waterstop_must_be_known_for_a_computed_order(void **state) {
    (void)state;
    const char *const told[] = {
        "", " \"waterstop\": \"there\", \"cutoff_mm\": 150, \"open\": [{\"from_m\": 0.5, \"to_m\": 0.7}],"};
    for (int k = 0; k < 2; k++) {
        text defect = {0};
        text_print(
            &defect,
            "{\"mark\": \"N1\", \"kind\": \"joint\", %s \"parts\": [{\"face\": \"N\", \"points\": "
            "[[2,1],[4,1]]}],"
            " \"stations\": [{\"chainage_m\": 0, \"width_mm\": 0.3, \"wetness\": \"run\", \"bar\": \"none\"},"
            " {\"chainage_m\": 2, \"width_mm\": 0.3, \"wetness\": \"run\", \"bar\": \"none\"}]}",
            told[k]);
        survey *s = fixture_wall(0.30, 3.0, text_get(&defect));
        plan *p = plan_with(s, 1, NULL, 0);
        bool asked = false;
        for (size_t i = 0; i < p->findings.n; i++)
            asked = asked || strcmp(p->findings.items[i].code, "waterstop") == 0;
        assert_int_equal(asked, k == 0);
        assert_null(p->planes[0].problem);
        assert_int_equal(p->planes[0].run.orders[PLUGGING_COMPUTED].steps_n > 0, k == 1);
        const plane_panel *panel = &p->planes[0].group->input.panels[0];
        assert_int_equal(panel->cutoff_depth_m.known, k == 1);
        assert_int_equal(panel->cutoff_open_n, k);
        plan_free(p);
        survey_free(s);
        text_free(&defect);
    }
}

/* The kicker joint of examples/pump-house.json, 3.2 m over two faces or straight on one, timed over the fold. */
static survey *kicker(bool folded, const char *flows) {
    text job = {0};
    text_print(
        &job,
        "{\"stanch_survey\": 1, \"units\": \"metric\", \"site\": {\"name\": \"t\", \"leak_water_c\": 10, "
        "\"today\": {\"level_m\": 2.6, \"known\": \"told\"}, "
        "\"design\": {\"level_m\": 3.9, \"known\": \"told\"}},"
        " \"faces\": [{\"id\": \"N\", \"lie\": \"wall\", \"behind\": \"ground\", "
        "\"thickness_m\": 0.3, \"elevation_m\": -1.4, "
        "\"outline\": [[0,0],[%s,0],[%s,1.4],[0,1.4]]},"
        " {\"id\": \"E\", \"lie\": \"wall\", \"behind\": \"ground\", "
        "\"thickness_m\": 0.3, \"elevation_m\": -1.4, "
        "\"outline\": [[0,0],[2,0],[2,1.4],[0,1.4]]}],"
        " \"folds\": [{\"a\": [\"N\", [[%s,0],[%s,1.4]]], \"b\": [\"E\", [[0,0],[0,1.4]]]}],"
        " \"defects\": [{\"mark\": \"P1\", \"kind\": \"joint\", \"parts\": [%s],"
        " \"stations\": ["
        "{\"chainage_m\": 0, \"width_mm\": 0.1, \"wetness\": \"damp\", \"bar\": \"none\"},"
        "{\"chainage_m\": 0.8, \"width_mm\": 0.2, \"wetness\": \"run\", \"bar\": \"none\"},"
        "{\"chainage_m\": 1.6, \"width_mm\": 0.25, \"wetness\": \"run\", \"bar\": \"none\"},"
        "{\"chainage_m\": 2.4, \"width_mm\": 0.1, \"wetness\": \"seep\", \"bar\": \"none\"},"
        "{\"chainage_m\": 3.2, \"width_mm\": 0.05, \"wetness\": \"damp\", \"bar\": \"none\"}],"
        " \"flows\": [%s]}]}",
        folded ? "1.8" : "4", folded ? "1.8" : "4", folded ? "1.8" : "4", folded ? "1.8" : "4",
        folded ? "{\"face\": \"N\", \"points\": [[0.2,0.1],[1.8,0.1]]},"
                 "{\"face\": \"E\", \"points\": [[0,0.1],[1.6,0.1]]}"
               : "{\"face\": \"N\", \"points\": [[0.2,0.1],[3.4,0.1]]}",
        flows);
    survey *s = fixture_survey(text_get(&job));
    text_free(&job);
    return s;
}

/* A bucket under both sides of a fold is one reading on both panels: the same factor and flow as of one straight
 * panel, 0.226 and 1.949 l/min (computed by us, apart from this program's grouping). */
static void a_reading_over_a_fold_counts_on_both_sides(void **state) {
    (void)state;
    double factor[2];
    for (int folded = 0; folded < 2; folded++) {
        survey *s = kicker(folded, "{\"from_m\": 0.6, \"to_m\": 2.0, \"volume_l\": 2.4, \"time_s\": 90}");
        plan *p = plan_with(s, 1, NULL, 0);
        assert_int_equal(p->n_planes, 1);
        assert_null(p->planes[0].problem);
        const plane_input *in = &p->planes[0].group->input;
        assert_int_equal(in->panels_n, 1 + folded);
        assert_int_equal(in->measured_n, 1);
        assert_int_equal(in->measured[0].on_n, 1 + folded);
        assert_close(in->measured[0].flow_m3_s, 1.6 / 60000, 1e-12);
        assert_close(in->measured[0].on[0].from_m, 0.6, 1e-12);
        assert_close(in->measured[0].on[folded].to_m, 2.0, 1e-12);
        factor[folded] = p->planes[0].run.flow_factor;
        assert_close(factor[folded], 0.226, 2.5e-3); /* three digits given */
        assert_close(p->planes[0].uncut_m3_s.v, 1.949 / 60000, 1e-3);
        plan_free(p);
        survey_free(s);
    }
    assert_close(factor[1], factor[0], 2e-4);
}

/* One that ends at the fold stays on its side; another beyond it lies on the second panel alone. */
static void readings_on_one_side_of_a_fold_stay_there(void **state) {
    (void)state;
    survey *s = kicker(true, "{\"from_m\": 0, \"to_m\": 1.60001, \"volume_l\": 2.4, \"time_s\": 90},"
                             "{\"from_m\": 1.6, \"to_m\": 3.2, \"volume_l\": 1.2, \"time_s\": 90}");
    plan *p = plan_with(s, 1, NULL, 0);
    assert_null(p->planes[0].problem);
    const plane_input *in = &p->planes[0].group->input;
    assert_int_equal(in->measured_n, 2);
    for (size_t i = 0; i < 2; i++) {
        assert_int_equal(in->measured[i].on_n, 1);
        assert_int_equal(in->measured[i].on[0].panel, i);
    }
    plan_free(p);
    survey_free(s);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lines_that_meet_share_a_plane),
        cmocka_unit_test(a_crack_over_a_fold_is_one_plane),
        cmocka_unit_test(a_dry_station_is_closed_today),
        cmocka_unit_test(the_relief_follows_from_the_plane),
        cmocka_unit_test(threads_and_stored_results_change_nothing),
        cmocka_unit_test(a_reading_of_the_cut_slot_counts),
        cmocka_unit_test(a_tie_hole_near_a_line_is_solved_with_it),
        cmocka_unit_test(a_reading_over_a_fold_counts_on_both_sides),
        cmocka_unit_test(readings_on_one_side_of_a_fold_stay_there),
        cmocka_unit_test(a_waterstop_must_be_known_for_a_computed_order),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
