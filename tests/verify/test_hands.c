/* Who does each task, by hand: days below the action value where turns can do it, else what would help; who is kept. */
#include "../near.h"
#include "hands_job.h"
#include "repair/tools.h"

#include <string.h>

/* Saw, 8 m/s2: 90 min of cutting, 45 with the trigger pulled, are 96 points. Two cutters share two such cuts, one each. */
static void two_share(void **state) {
    (void)state;
    static hands_job j;
    hands_job_begin(&j, 2, 2);
    hands_job_cut(&j, 0, 420, 510);
    hands_job_cut(&j, 1, 510, 600);
    hands_job_assign(&j);
    hands_job_check_people(&j);
    hands_job_check_days(&j);
    assert_int_not_equal(j.tasks[0].workers[0], j.tasks[1].workers[0]);
    for (int w = 0; w < 2; w++) near_relative(hands_job_day_of(&j, 0, w)->vibration_points, 96, 1e-12);
    assert_null(strstr(hands_job_day_of(&j, 0, 0)->sentence, "Vibration"));
    assert_non_null(
        strstr(hands_job_day_of(&j, 0, 0)->sentence, "Noise")); /* 105 dBA for 45 min: muffs, not turns */
    hands_job_end(&j);
}

/* One cutter alone: 192 points on that day, and what helps: 2 who may cut, 2 days, 8 sqrt(100/192) = 5.77 m/s2. */
static void one_alone(void **state) {
    (void)state;
    static hands_job j;
    hands_job_begin(&j, 2, 2);
    j.workers[0].cuts = false;
    hands_job_cut(&j, 0, 420, 510);
    hands_job_cut(&j, 1, 510, 600);
    hands_job_assign(&j);
    hands_job_check_people(&j);
    hands_job_check_days(&j);
    assert_null(hands_job_day_of(&j, 0, 0));
    const works_day_exposure *e = hands_job_day_of(&j, 0, 1);
    near_relative(e->vibration_points, 192, 1e-12);
    near_absolute(e->a8_m_s2, 3.464, 5e-4); /* sqrt(192/16) */
    assert_true(e->over_action && !e->over_limit);
    assert_non_null(strstr(e->sentence, "192 points pass the action value of 100"));
    assert_non_null(strstr(e->sentence, "no turns of the 1 who may hold the tool prevent it"));
    assert_non_null(strstr(e->sentence, "2 who may, or the work on 2 days, or a concrete saw of 5.7 m/s2"));
    hands_job_end(&j);
}

/* The second at a cut takes equal turns at the saw where he may cut; the noise is for both. 105 dBA for 45 min by NIOSH: T =
 * 480/2^(20/3) = 4.7247 min, dose 952.4 % (computed by us), mean 94.79 dBA. */
static void turns_within_a_task(void **state) {
    (void)state;
    static hands_job j;
    for (int cuts = 0; cuts < 2; cuts++) {
        hands_job_begin(&j, 2, 1);
        j.workers[1].cuts = cuts;
        hands_job_cut(&j, 0, 420, 510)->people[WORKER_ANY] = 1;
        hands_job_assign(&j);
        hands_job_check_people(&j);
        hands_job_check_days(&j);
        near_relative(hands_job_day_of(&j, 0, 0)->vibration_points, cuts ? 48 : 96, 1e-12);
        near_absolute(hands_job_day_of(&j, 0, 1)->vibration_points, cuts ? 48 : 0, 1e-12);
        near_absolute(hands_job_day_of(&j, 0, 1)->noise_dose_percent, 952.4, 0.1);
        near_absolute(hands_job_day_of(&j, 0, 1)->noise_twa_dba, 94.79, 0.01);
        near_relative(hands_job_day_of(&j, 0, 1)->silica_min, 90, 1e-12);
        assert_int_equal(hands_job_day_of(&j, 0, 1)->respirator_apf, 0); /* outdoors up to 4 h */
        hands_job_end(&j);
    }
}

/* Indoors a saw wants APF 10; outdoors after 4 h; 4 h exactly not yet. */
static void respirators(void **state) {
    (void)state;
    static hands_job j;
    static const struct {
        bool enclosed;
        int minutes, apf;
        bool said;
    } rows[] = {{true, 30, 10, false}, {false, 240, 0, false}, {false, 245, 10, true}};
    for (size_t i = 0; i < COUNT(rows); i++) {
        hands_job_begin(&j, 1, 1);
        j.s.site.enclosed = rows[i].enclosed;
        hands_job_cut(&j, 0, 420, 420 + rows[i].minutes);
        hands_job_assign(&j);
        assert_int_equal(hands_job_day_of(&j, 0, 0)->respirator_apf, rows[i].apf);
        assert_int_equal(strstr(hands_job_day_of(&j, 0, 0)->sentence, "Silica") != NULL, rows[i].said);
        hands_job_end(&j);
    }
}

/* Saw 95 min, 101.3 points, and chipping hammer, 25 m/s2, 24 min, 250 points, by one: neither alone gentler is enough, both at
 * sqrt(100/351.3) = 0.5335 of their vibration are. Saw 45 min, 48 points: the hammer at 25 sqrt(52/250) = 11.40 m/s2. */
static void two_tools(void **state) {
    (void)state;
    static hands_job j;
    for (int k = 0; k < 2; k++) {
        hands_job_begin(&j, 1, 2);
        j.defects[0].slot_faces = SLOT_CHIPPED;
        hands_job_cut(&j, 0, 420, 444);
        hands_job_cut(&j, 1, 480, k ? 525 : 480 + 95);
        hands_job_assign(&j);
        hands_job_check_days(&j);
        assert_non_null(strstr(hands_job_day_of(&j, 0, 0)->sentence,
                               k ? "a chipping hammer of 11.4 m/s2 or less instead of 25"
                                 : "tools with 53 % of the vibration"));
        hands_job_end(&j);
    }
}

/* Chipping hammer, 25 m/s2: 60 min are 625 points, above the limit value; the plan says so once. */
static void above_the_limit(void **state) {
    (void)state;
    static hands_job j;
    hands_job_begin(&j, 1, 1);
    j.defects[0].slot_faces = SLOT_CHIPPED;
    hands_job_cut(&j, 0, 420, 480);
    hands_job_assign(&j);
    near_relative(hands_job_day_of(&j, 0, 0)->vibration_points, 625, 1e-12);
    assert_true(hands_job_day_of(&j, 0, 0)->over_limit);
    assert_non_null(strstr(hands_job_day_of(&j, 0, 0)->sentence, "limit value of 400: not to be worked so"));
    assert_int_equal(j.plan.n_warnings, 1);
    hands_job_end(&j);
}

/* What does not shake keeps a leak's people: the pair that plugs also coats and packs, though others are rested. */
static void a_leak_keeps_its_pair(void **state) {
    (void)state;
    static const char *const steps[] = {"plug", "first_coat", "pack"};
    static hands_job j;
    hands_job_begin(&j, 4, 2);
    for (int i = 0; i < 6; i++) {
        works_task *t = hands_job_add(&j, steps[i % 3], (size_t)i / 3, 420 + 60 * i, 470 + 60 * i);
        t->people[WORKER_PLACER] = t->people[WORKER_MIXER] = 1;
    }
    hands_job_assign(&j);
    hands_job_check_people(&j);
    for (int i = 1; i < 6; i++)
        for (int p = 0; p < 2; p++)
            if (i != 3) assert_int_equal(j.tasks[i].workers[p], j.tasks[i - 1].workers[p]);
    assert_int_not_equal(j.tasks[3].workers[0], j.tasks[0].workers[0]); /* the second leak: who is rested */
    assert_int_equal(j.plan.n_exposures, 0);
    hands_job_end(&j);
}

/* The only mixer must not be taken for what anybody can do; and where he was, work is handed on. */
static void rare_skills_are_spared(void **state) {
    (void)state;
    static hands_job j;
    hands_job_begin(&j, 3, 1);
    j.workers[0].mixes = j.workers[2].mixes = j.workers[0].cuts = j.workers[2].cuts = false;
    hands_job_add(&j, "wash", 0, 420, 600)->people[WORKER_ANY] = 1;
    works_task *t = hands_job_add(&j, "plug", 0, 480, 540);
    t->people[WORKER_PLACER] = t->people[WORKER_MIXER] = 1;
    hands_job_assign(&j);
    hands_job_check_people(&j);
    assert_int_equal(j.plan.n_warnings, 0);
    hands_job_end(&j);
}

/* Ben alone cuts, Ann alone places; both wanted twice at once: enough at no moment, said by name, never double-booked. */
static void short_of_hands(void **state) {
    (void)state;
    static hands_job j;
    hands_job_begin(&j, 2, 1);
    j.workers[0].cuts = false;
    hands_job_cut(&j, 0, 420, 500);
    hands_job_cut(&j, 0, 450, 520);
    hands_job_assign(&j);
    hands_job_check_people(&j);
    assert_int_equal(j.plan.n_warnings, 1);
    assert_non_null(strstr(j.plan.warnings[0], "T1 cut is short of hands"));
    assert_non_null(strstr(j.plan.warnings[0], "day 1 07:30 to day 1 08:40; it lacks 1 who may cut"));
    hands_job_end(&j);
}

/* Our defaults: which tool a step wants. */
static void tools_of_steps(void **state) {
    (void)state;
    static const struct {
        survey_method method;
        survey_slot_faces faces;
        design_hole_shape shape;
        const char *step, *tool;
    } rows[] = {{METHOD_SLOT_PLUG, SLOT_SAWN, PLACE_STRAIGHT, "cut", "concrete saw"},
                {METHOD_SLOT_PACK, SLOT_CHIPPED, PLACE_STRAIGHT, "cut", "chipping hammer"},
                {METHOD_HOLE, SLOT_SAWN, PLACE_STRAIGHT, "cut", "core drill"},
                {METHOD_HOLE, SLOT_SAWN, PLACE_CONE, "cut", "chipping hammer"},
                {METHOD_RING, SLOT_SAWN, PLACE_STRAIGHT, "cut", "chipping hammer"},
                {METHOD_CUT_BACK, SLOT_SAWN, PLACE_STRAIGHT, "cut", "demolition hammer"},
                {METHOD_SLOT_PLUG, SLOT_SAWN, PLACE_STRAIGHT, "relief", "hammer drill"},
                {METHOD_INJECT_EPOXY, SLOT_SAWN, PLACE_STRAIGHT, "ports", "hammer drill"},
                {METHOD_INJECT_EPOXY, SLOT_SAWN, PLACE_STRAIGHT, "strip", "grinder"},
                {METHOD_FLEXIBLE, SLOT_SAWN, PLACE_STRAIGHT, "rout", "grinder"},
                {METHOD_DRAIN, SLOT_SAWN, PLACE_STRAIGHT, "channel", "hammer drill"},
                {METHOD_SLOT_PLUG, SLOT_SAWN, PLACE_STRAIGHT, "wash", NULL},
                {METHOD_SLOT_PLUG, SLOT_SAWN, PLACE_STRAIGHT, "plug", NULL}};
    for (size_t i = 0; i < COUNT(rows); i++) {
        survey_defect d = {.slot_faces = rows[i].faces};
        repair_design r = {.hole_shape = rows[i].shape};
        r.method.name = rows[i].method;
        const exposure_tool *tool = tool_of_step(&d, &r, rows[i].step);
        assert_int_equal(tool == NULL, rows[i].tool == NULL);
        if (tool) assert_string_equal(tool->tool, rows[i].tool);
    }
}

static void was_by(works_task *t, int *worker, bool done) {
    t->workers = worker;
    t->n_workers = 1;
    t->done = done;
}

/* Again: a task keeps whom it had; one that is done keeps him though he may not; who is not able is replaced. */
static void kept(void **state) {
    (void)state;
    static int first[] = {0}, second[] = {1}, third[] = {2};
    static hands_job j;
    hands_job_begin(&j, 3, 1);
    j.workers[0].cuts = false;
    works_task *t = hands_job_add(&j, "wash", 0, 420, 500);
    t->people[WORKER_ANY] = 1;
    was_by(t, third, false);
    was_by(hands_job_cut(&j, 0, 500, 540), first, false);
    was_by(hands_job_cut(&j, 0, 300, 330), first, true);
    was_by(hands_job_cut(&j, 0, 600, 640), second, false);
    hands_job_assign(&j);
    assert_int_equal(j.tasks[0].workers[0], 2);
    assert_int_not_equal(j.tasks[1].workers[0], 0);
    assert_int_equal(j.tasks[2].workers[0], 0);
    assert_int_equal(j.tasks[3].workers[0], 1);
    assert_int_equal(j.plan.n_warnings, 0);
    hands_job_end(&j);
}

/* Two cuts kept by one of two: 96 points each are parted, since he would pass the action value; 32 each stay with him, though
 * the noise would be less; 96 each that are done are his, whatever they come to. */
static void kept_below_the_action_value(void **state) {
    (void)state;
    static int second[] = {1};
    static const struct {
        int minutes;
        bool done;
        double points;
    } rows[] = {{90, false, 96}, {30, false, 64}, {90, true, 192}};
    for (size_t i = 0; i < COUNT(rows); i++) {
        static hands_job j;
        hands_job_begin(&j, 2, 2);
        was_by(hands_job_cut(&j, 0, 420, 420 + rows[i].minutes), second, rows[i].done);
        was_by(hands_job_cut(&j, 1, 520, 520 + rows[i].minutes), second, rows[i].done);
        hands_job_assign(&j);
        hands_job_check_days(&j);
        near_relative(hands_job_day_of(&j, 0, 1)->vibration_points, rows[i].points, 1e-12);
        hands_job_end(&j);
    }
}

/* Who did something is not sent elsewhere afterwards, though nobody else is able. */
static void what_is_done_is_not_handed_on(void **state) {
    (void)state;
    static int first[] = {0};
    static hands_job j;
    hands_job_begin(&j, 2, 1);
    j.workers[1].mixes = false;
    works_task *t = hands_job_add(&j, "wash", 0, 420, 480);
    t->people[WORKER_ANY] = 1;
    was_by(t, first, true);
    hands_job_add(&j, "plug", 0, 430, 500)->people[WORKER_MIXER] = 1;
    hands_job_assign(&j);
    hands_job_check_people(&j);
    assert_int_equal(j.tasks[0].workers[0], 0);
    assert_int_equal(j.tasks[1].n_workers, 0);
    assert_int_equal(j.plan.n_warnings, 1);
    hands_job_end(&j);
}

/* Recorded over a night: counted as planned; of a day that began late in the evening it is that shift's. */
static void odd_records(void **state) {
    (void)state;
    static hands_job j;
    static int first[] = {0};
    hands_job_begin(&j, 1, 1);
    works_task *t = hands_job_cut(&j, 0, 900, 900 + 2000);
    t->minutes = 60;
    t->workers = first;
    t->n_workers = 1;
    t->done = true;
    hands_job_assign(&j);
    near_relative(hands_job_day_of(&j, 0, 0)->silica_min, 60, 1e-12);
    hands_job_end(&j);
}

/* Every allocation fails in turn; nothing but E_MEMORY comes of it. */
static void memory_fails(void **state) {
    (void)state;
    status code = E_MEMORY;
    for (long n = 0; code != OK; n++) {
        static hands_job j;
        fault why = {0};
        hands_job_begin(&j, 2, 2);
        j.workers[1].cuts = false;
        hands_job_cut(&j, 0, 420, 510);
        hands_job_cut(&j, 1, 450, 600);
        mem_fail_at(n, 1);
        code = hands_assign(&j.s, j.designs, &j.plan, j.memory, &why);
        mem_fail_at(-1, 0);
        assert_true(code == OK || code == E_MEMORY);
        hands_job_end(&j);
        assert_true(n < 1000);
    }
}

static void nothing_to_do(void **state) {
    (void)state;
    static hands_job j;
    hands_job_begin(&j, 1, 0);
    hands_job_assign(&j);
    assert_int_equal(j.plan.n_exposures + j.plan.n_warnings, 0);
    hands_job_end(&j);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_share),
        cmocka_unit_test(one_alone),
        cmocka_unit_test(turns_within_a_task),
        cmocka_unit_test(respirators),
        cmocka_unit_test(above_the_limit),
        cmocka_unit_test(two_tools),
        cmocka_unit_test(a_leak_keeps_its_pair),
        cmocka_unit_test(rare_skills_are_spared),
        cmocka_unit_test(short_of_hands),
        cmocka_unit_test(tools_of_steps),
        cmocka_unit_test(kept),
        cmocka_unit_test(kept_below_the_action_value),
        cmocka_unit_test(what_is_done_is_not_handed_on),
        cmocka_unit_test(odd_records),
        cmocka_unit_test(memory_fails),
        cmocka_unit_test(nothing_to_do),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
