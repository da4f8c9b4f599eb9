/* Vibration, noise and silica against the check numbers of trade page safety.md 1 to 3. */
#include "../near.h"
#include "crew/exposure.h"

#include <string.h>

static exposure_result sum(exposure_shift shift) {
    exposure_result out;
    fault why = {0};
    if (exposure_sum(&shift, &out, &why) != OK) fail_msg("%s", why.text);
    return out;
}

static exposure_result shaken(const exposure_vibration *tools, size_t n) {
    return sum((exposure_shift){.vibration = tools, .n_vibration = n});
}

static exposure_result loud(exposure_noise_rule rule, const exposure_noise *levels, size_t n) {
    return sum((exposure_shift){.noise = levels, .n_noise = n, .rule = rule});
}

static exposure_result dusty(const exposure_silica *tasks, size_t n) {
    return sum((exposure_shift){.silica = tasks, .n_silica = n});
}

/* HSE: 5 m/s2 for 3 h are 150 points (published). The shift of three tools and the times: computed by us. */
static void vibration(void **state) {
    (void)state;
    static const exposure_vibration hse[] = {{"breaker", 5, 180}},
                                    shift[] = {{"a", 12, 20}, {"b", 5, 60}, {"c", 9, 30}};
    exposure_result day = shaken(hse, 1);
    near_relative(day.points, 150, 1e-14);
    near_absolute(day.a8_m_s2, 3.062, 5e-4);
    day = shaken(shift, 3);
    near_relative(day.points, 227, 1e-14);
    near_absolute(day.a8_m_s2, 3.767, 5e-4);
    assert_true(day.over_vibration_action && !day.over_vibration_limit && day.points_left == 0);
    near_relative(exposure_points(12, 20), 96, 1e-14);
    near_relative(exposure_points(5, 60), 50, 1e-14);
    near_relative(exposure_points(9, 30), 81, 1e-14);
    static const double times[][3] = {{9, 37.0, 148.1}, {12, 20.8, 83.3}, {15, 13.3, 53.3}};
    for (size_t i = 0; i < COUNT(times); i++) {
        double action_min, limit_min;
        exposure_vibration_times(times[i][0], &action_min, &limit_min);
        near_absolute(action_min, times[i][1], 0.051); /* one decimal printed */
        near_absolute(limit_min, times[i][2], 0.051);
        near_relative(exposure_points(times[i][0], action_min), EXPOSURE_ACTION_POINTS, 1e-14);
        near_relative(exposure_points(times[i][0], limit_min), EXPOSURE_LIMIT_POINTS, 1e-14);
    }
}

/* A(8) = root of the sum of squares of a sqrt(t/8), worked out tool by tool. */
static void root_of_squares(void **state) {
    (void)state;
    static const exposure_vibration shift[] = {{"a", 12, 20}, {"b", 5, 60}, {"c", 9, 30}, {"none", 0, 400}};
    double squares = 0;
    for (size_t i = 0; i < COUNT(shift); i++) {
        double part = shift[i].a_m_s2 * sqrt(shift[i].minutes / 60 / 8);
        squares += part * part;
    }
    near_relative(shaken(shift, COUNT(shift)).a8_m_s2, sqrt(squares), 1e-14);
}

/* A value reached is not passed; the next second is. 12 m/s2 reaches 100 points after 125/6 min. */
static void vibration_limits(void **state) {
    (void)state;
    const exposure_vibration at[] = {{"a", 12, 125.0 / 6}}, past[] = {{"a", 12, 125.0 / 6 + 1.0 / 60}},
                             limit[] = {{"a", 12, 500.0 / 6}}, over[] = {{"a", 12, 500.0 / 6 + 1.0 / 60}};
    assert_false(shaken(at, 1).over_vibration_action);
    assert_true(shaken(past, 1).over_vibration_action);
    assert_true(shaken(limit, 1).over_vibration_action && !shaken(limit, 1).over_vibration_limit);
    assert_true(shaken(over, 1).over_vibration_limit);
    static const exposure_vibration half[] = {{"a", 5, 60}};
    near_relative(shaken(half, 1).points_left, 50, 1e-14);
}

/* NIOSH table, published (through a page that quotes it) and by formula. */
static void niosh_times(void **state) {
    (void)state;
    static const double rows[][3] = {{88, 240, 240},    {91, 120, 120},         {94, 60, 60},
                                     {97, 30, 30},      {100, 15, 15},          {103, 7.5, 7.5},
                                     {106, 3.75, 3.75}, {110, 89.0 / 60, 1.488}};
    for (size_t i = 0; i < COUNT(rows); i++) {
        near_absolute(exposure_noise_min(NOISE_NIOSH, rows[i][0]), rows[i][1], 0.5 / 60); /* whole seconds */
        near_absolute(exposure_noise_min(NOISE_NIOSH, rows[i][0]), rows[i][2], 5e-4);
    }
}

/* The worked shift, computed by us from each rule's formula; which levels OSHA counts: value from memory. */
static void noise_rules(void **state) {
    (void)state;
    static const exposure_noise shift[] = {{"saw", 100, 5}, {"drill", 94, 30}, {"pump", 88, 120}};
    static const struct {
        exposure_noise_rule rule;
        double dose_percent, twa_dba;
        bool action, limit;
    } rows[] = {{NOISE_NIOSH, 133.3, 86.25, true, true},
                {NOISE_OSHA_PEL, 15.0, 76.3, false, false},
                {NOISE_OSHA_HC, 34.0, 82.2, false, false},
                {NOISE_EU, 133.3, 86.25, true, false}};
    for (size_t i = 0; i < COUNT(rows); i++) {
        exposure_result day = loud(rows[i].rule, shift, 3);
        near_absolute(day.dose_percent, rows[i].dose_percent, 0.051);
        near_absolute(day.twa_dba, rows[i].twa_dba, 0.051);
        assert_int_equal(day.over_noise_action, rows[i].action);
        assert_int_equal(day.over_noise_limit, rows[i].limit);
    }
    near_absolute(loud(NOISE_NIOSH, shift, 1).dose_percent, 33.3, 0.05);
    near_relative(loud(NOISE_NIOSH, shift + 1, 1).dose_percent, 50, 1e-14);
    near_relative(loud(NOISE_NIOSH, shift + 2, 1).dose_percent, 50, 1e-14);
}

/* Each criterion level for 8 h is a dose of 100 % and a mean of itself; levels below what counts are nothing. */
static void noise_limits(void **state) {
    (void)state;
    for (int rule = 0; rule < NOISE_RULES; rule++) {
        const exposure_noise_limits *r = &exposure_noise_rules[rule];
        const exposure_noise day[] = {{"a", r->criterion_dba, 480}};
        exposure_result found = loud((exposure_noise_rule)rule, day, 1);
        near_relative(found.dose_percent, 100, 1e-14);
        near_relative(found.twa_dba, r->criterion_dba, 1e-14);
        assert_false(found.over_noise_limit); /* reached, not passed */
    }
    static const exposure_noise quiet[] = {{"a", 89.9, 480}}, quieter[] = {{"a", 79.9, 480}};
    assert_true(loud(NOISE_OSHA_PEL, quiet, 1).dose_percent == 0 &&
                loud(NOISE_OSHA_PEL, quiet, 1).twa_dba == 0);
    assert_true(loud(NOISE_OSHA_HC, quiet, 1).dose_percent > 90);
    assert_true(loud(NOISE_OSHA_HC, quieter, 1).dose_percent == 0);
    assert_true(isinf(loud(NOISE_OSHA_HC, quieter, 1).noise_left_min));
    /* Action: OSHA 85 dBA for 8 h is a dose of 50 %, passed when reached (value from memory); NIOSH 85 is not. */
    static const exposure_noise even[] = {{"a", 85, 480}}, less[] = {{"a", 85, 479}};
    assert_true(loud(NOISE_OSHA_HC, even, 1).over_noise_action);
    assert_false(loud(NOISE_OSHA_HC, less, 1).over_noise_action);
    assert_false(loud(NOISE_NIOSH, even, 1).over_noise_action);
    /* EU 80/85/87 dBA over 8 h; a hundredth above each passes it. */
    near_absolute(loud(NOISE_EU, (exposure_noise[]){{"a", 80, 480}}, 1).dose_percent, 31.6,
                  0.2); /* 3 dB for 3.01 */
    assert_false(loud(NOISE_EU, (exposure_noise[]){{"a", 85, 480}}, 1).over_noise_action);
    assert_true(loud(NOISE_EU, (exposure_noise[]){{"a", 85.01, 480}}, 1).over_noise_action);
    assert_false(loud(NOISE_EU, (exposure_noise[]){{"a", 86.98, 480}}, 1).over_noise_limit);
    assert_true(loud(NOISE_EU, (exposure_noise[]){{"a", 87.01, 480}}, 1).over_noise_limit);
    near_absolute(loud(NOISE_EU, (exposure_noise[]){{"a", 87, 480}}, 1).twa_dba, 87, 0.01);
}

static void noise_left(void **state) {
    (void)state;
    static const exposure_noise shift[] = {{"drill", 94, 30}, {"saw", 100, 3}};
    near_relative(loud(NOISE_NIOSH, shift, 2).noise_left_min, (1 - 0.5 - 0.2) * 15, 1e-12);
    near_relative(loud(NOISE_NIOSH, shift, 1).noise_left_min, 30, 1e-12);
}

/* Every cell of Table 1 as trade page safety.md has it; 4 h exactly is the shorter column. */
static void table_one(void **state) {
    (void)state;
    static const int cells[SILICA_ROWS][4] = {
        [SILICA_SAW] = {0, 10, 10, 10},  [SILICA_CORE] = {0, 0, 0, 0},       [SILICA_DRILL] = {0, 0, 0, 0},
        [SILICA_CHIP] = {0, 10, 10, 10}, [SILICA_MORTAR] = {10, 25, 10, 25}, [SILICA_GRIND] = {0, 0, 0, 10}};
    for (int row = 0; row < SILICA_ROWS; row++)
        for (int c = 0; c < 4; c++) {
            exposure_silica_row at = (exposure_silica_row)row;
            assert_int_equal(exposure_apf(at, c / 2, c % 2 ? 241 : 240), cells[row][c]);
            assert_int_equal(exposure_apf(at, c / 2, c % 2 ? 240 + 1e-3 : 1), cells[row][c]);
            assert_true(strlen(exposure_control(at)) > 10);
        }
    assert_non_null(strstr(exposure_control(SILICA_SAW), "water"));
    assert_non_null(strstr(exposure_control(SILICA_DRILL), "HEPA"));
    assert_non_null(strstr(exposure_control(SILICA_CHIP), "point of impact"));
    assert_non_null(strstr(exposure_control(SILICA_MORTAR), "25 cfm"));
}

/* Hours add over the shift (value from memory): saw 2.5 h and chipping hammer 2.0 h outdoors ask for APF 10 (computed by us). */
static void silica_adds(void **state) {
    (void)state;
    static const exposure_silica shift[] = {{SILICA_SAW, 150, false}, {SILICA_CHIP, 120, false}},
                                 shorter[] = {{SILICA_SAW, 150, false}, {SILICA_CHIP, 90, false}},
                                 mixed[] = {{SILICA_DRILL, 200, true}, {SILICA_SAW, 41, false}},
                                 none[] = {{SILICA_MORTAR, 0, true}};
    assert_int_equal(dusty(shift, 2).apf, 10);
    near_relative(dusty(shift, 2).silica_min, 270, 1e-14);
    assert_int_equal(dusty(shift, 1).apf, 0);
    assert_int_equal(dusty(shorter, 2).apf, 0); /* 4 h exactly */
    assert_int_equal(dusty(mixed, 2).apf, 10);  /* drilling counts into the hours of the saw */
    assert_int_equal(dusty(none, 1).apf, 0);
}

static void refuse(exposure_shift shift, const char *part, const char *also) {
    exposure_result out = {.points = 1};
    fault why = {0};
    assert_int_equal(exposure_sum(&shift, &out, &why), E_INPUT);
    assert_true(out.points == 0 && out.apf == 0);
    if (!strstr(why.text, part) || !strstr(why.text, also)) fail_msg("says: %s", why.text);
}

static void faults(void **state) {
    (void)state;
    const exposure_vibration strong[] = {{"a", 5, 10}, {"b", 101, 10}}, odd[] = {{"a", (double)NAN, 10}},
                             back[] = {{"a", 5, -1}}, long_day[] = {{"a", 5, 1000}, {"b", 5, 441}};
    const exposure_noise bang[] = {{"a", 151, 1}}, late[] = {{"a", 90, HUGE_VAL}};
    const exposure_silica what[] = {{SILICA_ROWS, 1, false}}, nan[] = {{SILICA_SAW, (double)NAN, false}};
    refuse((exposure_shift){.vibration = strong, .n_vibration = 2}, "vibration[1].m_s2", "101");
    refuse((exposure_shift){.vibration = odd, .n_vibration = 1}, "vibration[0].m_s2", "100");
    refuse((exposure_shift){.vibration = back, .n_vibration = 1}, "vibration[0].minutes", "-1");
    refuse((exposure_shift){.vibration = long_day, .n_vibration = 2}, "vibration[1].minutes", "1440");
    refuse((exposure_shift){.noise = bang, .n_noise = 1}, "noise[0].dba", "150");
    refuse((exposure_shift){.noise = late, .n_noise = 1}, "noise[0].minutes", "1440");
    refuse((exposure_shift){.silica = what, .n_silica = 1}, "silica[0].task", "6");
    refuse((exposure_shift){.silica = nan, .n_silica = 1}, "silica[0].minutes", "1440");
    refuse((exposure_shift){.rule = NOISE_RULES}, "noise_rule", "3");
}

/* Each tool has a level, a row and a source; vibration as trade page safety.md 2, the higher of two sets. */
static void tools(void **state) {
    (void)state;
    static const double points[] = {[TOOL_SAW] = 8,           [TOOL_CHIPPING] = 25,  [TOOL_DEMOLITION] = 18,
                                    [TOOL_HAMMER_DRILL] = 18, [TOOL_CORE_DRILL] = 8, [TOOL_GRINDER] = 8};
    for (int i = 0; i < EXPOSURE_TOOLS; i++) {
        near_relative(exposure_tools[i].a_m_s2, points[i], 1e-14);
        assert_true(exposure_tools[i].level_dba > 90 && exposure_tools[i].level_dba < 110);
        assert_non_null(strstr(exposure_tools[i].source, "HSE"));
        assert_non_null(strstr(exposure_tools[i].source, "noise our default"));
        assert_true(exposure_tools[i].row < SILICA_ROWS);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(vibration),   cmocka_unit_test(root_of_squares), cmocka_unit_test(vibration_limits),
        cmocka_unit_test(niosh_times), cmocka_unit_test(noise_rules),     cmocka_unit_test(noise_limits),
        cmocka_unit_test(noise_left),  cmocka_unit_test(table_one),       cmocka_unit_test(silica_adds),
        cmocka_unit_test(faults),      cmocka_unit_test(tools),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
