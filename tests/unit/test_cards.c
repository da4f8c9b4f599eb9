/* The step cards of every way, with the numbers of designs filled in by hand: the order of work, what the words say, and no
 * millimetre on a US job. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka wants these four first */
#include <cmocka.h>

#include "core/mem.h"
#include "fixture.h"
#include "plan/parts.h"

#include <stdio.h>
#include <string.h>

typedef struct {
    survey *s;
    plan *p;
    plan_card *card;
    repair_design *d;
    takeoff_leak *t;
} bench;

static void set_up(bench *b, units_system system) {
    b->s = fixture_wall(0.30, 3.0,
                        "{\"mark\": \"N1\", \"kind\": \"crack\", \"parts\": [{\"face\": \"N\", \"points\": "
                        "[[5,2.5],[5,0.5]]}],"
                        " \"stations\": [{\"chainage_m\": 0, \"width_mm\": 0.4, \"wetness\": \"drip\"},"
                        "                {\"chainage_m\": 2, \"width_mm\": 0.4, \"wetness\": \"drip\"}]}");
    b->p = fixture_plan(b->s);
    b->s->site.system = system;
    b->d = &b->p->designs[0];
    b->t = &b->p->takeoff.leaks[0];
    *b->d = (repair_design){.method = {.by_table = METHOD_SLOT_PLUG, .reason = ""}};
    *b->t = (takeoff_leak){0};
    b->card = &b->p->cards[0];
}

static void tear_down(bench *b) {
    plan_free(b->p);
    survey_free(b->s);
}

static size_t place_of(const char *code) {
    for (size_t i = 0; i < plan_n_step_codes; i++)
        if (strcmp(plan_step_codes[i], code) == 0) return i;
    fail_msg("no step has the code %s", code);
    return 0;
}

/* Write the card; the codes are those wanted, each in the order of work and none twice. */
static void expect_steps(bench *b, const char *codes) {
    fault why = {0};
    char got[300] = "";
    *b->card = (plan_card){0};
    if (plan_write_card(b->p, 0, &why) != OK) fail_msg("%s", why.text);
    for (size_t i = 0; i < b->card->n_steps; i++) {
        const plan_step *step = &b->card->steps[i];
        strcat(strcat(got, i ? " " : ""), step->code);
        assert_true(*step->title && *step->body);
        if (i > 0) assert_true(place_of(step->code) > place_of(b->card->steps[i - 1].code));
        assert_true((step->timer != NULL) == (step->timer_s > 0));
    }
    assert_string_equal(got, codes);
}

static const plan_step *step_of(const bench *b, const char *code) {
    for (size_t i = 0; i < b->card->n_steps; i++)
        if (strcmp(b->card->steps[i].code, code) == 0) return &b->card->steps[i];
    fail_msg("no step %s", code);
    return NULL;
}

static void says(const bench *b, const char *code, const char *words) {
    const char *body = step_of(b, code)->body;
    if (!strstr(body, words)) fail_msg("\"%s\" is not in %s: %s", words, code, body);
}

static bool warns(const bench *b, const char *words) {
    for (size_t i = 0; i < b->card->n_cautions; i++)
        if (strstr(b->card->cautions[i], words)) return true;
    return false;
}

/* All words of a US card: none has metric sizes. */
static void has_no_millimetre(const bench *b) {
    for (size_t i = 0; i < b->card->n_steps; i++) {
        assert_null(strstr(b->card->steps[i].body, " mm"));
        assert_null(strstr(b->card->steps[i].body, " m "));
        assert_null(strstr(b->card->steps[i].body, " l "));
    }
    for (size_t i = 0; i < b->card->n_cautions; i++) assert_null(strstr(b->card->cautions[i], " mm"));
}

static survey_material resin = {.id = "epoxy", .name = "injection epoxy", .role = ROLE_RESIN};

/* 300 mm of wall at 45 degrees: offset 150, length 212 mm (trade page diagnosis 7.2). */
static void set_injection(bench *b, survey_method name) {
    static design_port ports[] = {
        {0.0, 0.150, 2.5, 3, false}, {0.15, -0.150, 2.35, 2, true}, {0.30, 0.150, 2.2, 1, false}};
    b->d->method.name = name;
    b->d->scan_first = true;
    b->d->pressure_pa = 24500; /* 2.5 m of water: the lower end of the crack, in round numbers */
    b->d->injection = (design_injection){.from_m = 0,
                                         .to_m = 0.3,
                                         .spacing_m = 0.15,
                                         .angle_deg = 45,
                                         .offset_m = 0.15,
                                         .hole_length_m = 0.2121,
                                         .hole_m = 0.014,
                                         .spacing_rule = "surface sealed",
                                         .ports = ports,
                                         .n_ports = 3};
    b->t->fill = (takeoff_fill){&resin, 0.000429, 1800, 2, 0.0002145};
    b->t->packers = 3;
}

/* Round a pipe there is no crack to look along; on honeycomb no side of one. */
static void an_injection_at_a_place(void **state) {
    (void)state;
    bench b;
    set_up(&b, UNITS_METRIC);
    set_injection(&b, METHOD_INJECT_POLYURETHANE);
    b.s->defects[0].kind = KIND_PENETRATION;
    b.d->injection.n_ports = 2;
    expect_steps(&b, "scan ports surface_seal flush inject strip prove");
    says(&b, "ports",
         "2 holes of 14 mm, 212 mm long, at 45 degrees to the face from 150 mm clear of the pipe, one on "
         "either side");
    says(&b, "surface_seal", "all round");
    b.s->defects[0].kind = KIND_HONEYCOMB;
    b.d->injection.angle_deg = 90;
    b.d->injection.hole_length_m = 0.045;
    expect_steps(&b, "scan ports surface_seal flush inject strip prove");
    says(&b, "ports",
         "45 mm deep, straight in, on a grid of 150 mm at most (surface sealed) over the whole honeycomb");
    says(&b, "ports", "lowest row first");
    assert_null(strstr(step_of(&b, "ports")->body, "crack"));
    assert_null(strstr(step_of(&b, "surface_seal")->body, "crack"));
    tear_down(&b);
}

static void an_injection_goes_from_the_lowest_port_up(void **state) {
    (void)state;
    bench b;
    set_up(&b, UNITS_METRIC);
    set_injection(&b, METHOD_INJECT_EPOXY);
    expect_steps(&b, "scan ports surface_seal flush inject strip prove");
    assert_true(step_of(&b, "scan")->hold && step_of(&b, "prove")->hold);
    says(&b, "scan", "No cover is assumed");
    says(&b, "scan", "Move port 2 at 0.15 m: the hole passes nearer than 20 mm to a bar.");
    says(&b, "ports", "3 holes of 14 mm, 212 mm long, at 45 degrees");
    says(&b, "ports", "150 mm beside the crack");
    says(&b, "ports", "one every 150 mm (surface sealed)");
    says(&b, "ports", "1 at 0.30 m right, 2 at 0.15 m left, 3 at 0.00 m right.");
    says(&b, "inject", "0.429 l of injection epoxy in all: 2 batches of");
    says(&b, "inject", "each used within 30 min");
    says(&b, "inject", "From port 1, the lowest, upwards");
    says(&b, "inject", "moves the resin: it has 24.5 kPa of water to overcome, at the design level.");
    says(&b, "inject", "stop and think");
    assert_string_equal(step_of(&b, "inject")->timer, "pot life");
    assert_true(step_of(&b, "inject")->timer_s == 1800);
    says(&b, "flush", "dry");
    assert_null(strstr(step_of(&b, "surface_seal")->body, "wet side"));
    assert_true(warns(&b, "Silica, hammer drill (drill and set the packers): shroud"));
    assert_true(warns(&b, "Silica, grinder (clear away)") && warns(&b, "filtered vacuum or water"));
    assert_true(warns(&b, "Resin and pump under pressure"));
    assert_false(warns(&b, "Isocyanate") || warns(&b, "Ventilate"));

    b.d->injection.from_far_side_sealed = true;
    b.s->site.enclosed = true;
    b.d->method.name = METHOD_INJECT_POLYURETHANE;
    b.t->fill = (takeoff_fill){0};
    expect_steps(&b, "scan ports surface_seal flush inject strip prove");
    says(&b, "surface_seal", "The wet side can be reached: seal the crack there first.");
    says(&b, "flush", "Leave it wet");
    assert_true(warns(&b, "Isocyanate") && warns(&b, "Ventilate") && warns(&b, "confined space"));
    assert_null(step_of(&b, "inject")->timer);

    for (size_t i = 0; i < 3; i++) b.d->injection.ports[i].elevation_m = 1; /* a level crack has no lowest */
    expect_steps(&b, "scan ports surface_seal flush inject strip prove");
    says(&b, "inject", "From port 1 to the far end");
    tear_down(&b);
}

static void a_us_card_has_no_millimetres(void **state) {
    (void)state;
    bench b;
    set_up(&b, UNITS_US);
    set_injection(&b, METHOD_INJECT_CEMENT);
    expect_steps(&b, "scan ports surface_seal flush inject strip prove");
    has_no_millimetre(&b);
    says(&b, "ports", "8.35 in long"); /* 212.1 mm / 25.4 */
    says(&b, "scan", "0.79 in");
    says(&b, "inject", "3.6 psi of water"); /* 24500 / 6894.757 */
    assert_true(warns(&b, "Wet cement"));
    b.p->leaks[0].level_known = false;
    expect_steps(&b, "scan ports surface_seal flush inject strip prove");
    says(&b, "inject", "how hard the water stands against it is not known");
    tear_down(&b);
}

/* 2.40 mm of movement in a 25 % sealant: 12 mm of groove by BS 6093 (trade page diagnosis 6). */
static void set_flexible(bench *b) {
    b->d->method.name = METHOD_FLEXIBLE;
    b->d->flexible = (design_flexible){.groove = {.width_m = 0.012,
                                                  .depth_m = 0.012,
                                                  .groove_depth_m = 0.027,
                                                  .backer_m = 0.015,
                                                  .section_m2 = 0.000144},
                                       .input = {.movement_m = 0.0024},
                                       .length_m = 2.6,
                                       .from_m = -0.3,
                                       .to_m = 2.3,
                                       .sealant_m3 = 0.00041,
                                       .backer_m = 2.7};
    b->t->fill = (takeoff_fill){&resin, 0.00041, 0, 1, 0.00041};
}

static void a_flexible_seal_is_dry_and_holds_on_two_faces(void **state) {
    (void)state;
    bench b;
    set_up(&b, UNITS_METRIC);
    set_flexible(&b);
    b.p->diagnoses[0].basis = MOVES_MEASURED;
    expect_steps(&b, "scan rout wash prime backer seal cure prove");
    assert_false(warns(&b, "from behind"));
    b.d->pressure_pa = 33.3e3; /* on the dry side the water pushes it off */
    expect_steps(&b, "scan rout wash prime backer seal cure prove");
    assert_true(warns(&b, "from behind, 33.3 kPa"));
    says(&b, "rout", "12 mm wide and 27 mm deep");
    says(&b, "rout", "from -0.30 m to 2.30 m (2.60 m)");
    assert_true(step_of(&b, "wash")->hold);
    says(&b, "wash", "within 24 h");
    says(&b, "wash", "Water that still comes");
    says(&b, "backer", "2.70 m of 15 mm round backer");
    says(&b, "seal", "12 mm wide and 12 mm deep");
    says(&b, "seal", "two faces only");
    assert_true(warns(&b, "Silica, grinder (rout the groove)") && warns(&b, "Primer"));
    b.p->diagnoses[0].basis = MOVES_TOLD;
    b.d->flexible.groove.backer_m = 0;
    expect_steps(&b, "gauge scan rout wash prime backer seal cure prove");
    says(&b, "gauge", "2.400 mm was told, not measured");
    assert_false(step_of(&b, "gauge")->hold);
    says(&b, "backer", "Tape");
    b.s->site.system = UNITS_US;
    expect_steps(&b, "gauge scan rout wash prime backer seal cure prove");
    has_no_millimetre(&b);
    b.d->flexible.groove.width_m = 0; /* movement not known: not designed */
    expect_steps(&b, "gauge");
    assert_true(step_of(&b, "gauge")->hold);
    assert_int_equal(b.card->n_cautions, 0);
    tear_down(&b);
}

static void a_drain_says_that_the_water_still_comes(void **state) {
    (void)state;
    bench b;
    set_up(&b, UNITS_METRIC);
    b.d->method.name = METHOD_DRAIN;
    b.d->drain = (design_drain){2.6, 0, 2.0, 2.0, 0.0001, 0.030, 0.040};
    expect_steps(&b, "scan channel outlet prove");
    says(&b, "channel", "30 mm inside");
    says(&b, "channel", "falling to its outlet at 2.00 m");
    says(&b, "channel", "It has to carry 6.00 l/min");
    says(&b, "outlet", "40 mm bore");
    says(&b, "outlet", "Keep it open");
    says(&b, "prove", "No water beside the channel");
    says(&b, "prove", "still comes in");
    assert_true(warns(&b, "the water still comes in") && warns(&b, "lime") && warns(&b, "soil"));
    b.d->drain.length_m = 0;
    expect_steps(&b, "answer");
    tear_down(&b);
}

/* Cone, ring and patch in the words of their own geometry. */
static void places_are_told_as_they_are_cut(void **state) {
    (void)state;
    static const char *const STEPS = "scan cut wash soak cure prove";
    bench b;
    set_up(&b, UNITS_METRIC);
    design_slot slot = {.depth_m = 0.05, .plug_m = 0.03, .pack_m = 0.02};
    b.d->slots = &slot;
    b.d->n_slots = 1;
    b.d->method.name = METHOD_HOLE;
    b.d->hole_diameter_m = 0.035;
    b.d->hole_base_m = 0.055;
    b.d->place_volume_m3 = 0.00008;
    expect_steps(&b, STEPS);
    says(&b, "cut", "Drill to 35 mm across and 50 mm deep");
    b.d->hole_shape = PLACE_CONE;
    expect_steps(&b, STEPS);
    says(&b, "cut", "35 mm across at the face, 55 mm at its base, 50 mm deep");
    says(&b, "cut", "0.080 l to fill");
    b.d->method.name = METHOD_RING;
    b.d->slot_width_m = 0.025;
    b.d->ring_length_m = 0.424;
    expect_steps(&b, STEPS);
    says(&b, "cut", "25 mm wide and 50 mm deep all round the pipe, 0.42 m along its middle");
    b.d->method.name = METHOD_CUT_BACK;
    b.d->patch_m2 = 0.25;
    expect_steps(&b, STEPS);
    says(&b, "cut", "cut back 0.25 m");
    says(&b, "cut", "rings sound");
    b.d->method.name = METHOD_COAT;
    b.d->n_slots = 0;
    expect_steps(&b, "wash soak cure prove");
    says(&b, "wash", "The crack and 150 mm beyond it");
    tear_down(&b);
}

/* Control and respirator by tool and place: rows (ii), (vi), (x), (vii) of Table 1 (trade page safety.md 1). */
static void dust_is_told_by_tool_and_place(void **state) {
    (void)state;
    static const char *const STEPS = "scan cut wash soak cure prove";
    bench b;
    set_up(&b, UNITS_US);
    survey_defect *of = &b.s->defects[0];
    design_slot slot = {.depth_m = 0.05, .plug_m = 0.03, .pack_m = 0.02};
    b.d->slots = &slot;
    b.d->n_slots = 1;
    b.d->method.name = METHOD_SLOT_PLUG;
    expect_steps(&b, STEPS);
    assert_true(
        warns(&b, "Silica, concrete saw (cut the slot): water fed to the blade all the time; respirator APF "
                  "10 past 4 h in a shift (29 CFR 1926.1153)."));
    b.s->site.enclosed = true;
    expect_steps(&b, STEPS);
    assert_true(warns(&b, "all the time; respirator APF 10 (29"));
    of->slot_faces = SLOT_CHIPPED;
    expect_steps(&b, STEPS);
    assert_true(warns(&b, "Silica, chipping hammer (cut the slot): water at the point of impact"));
    assert_false(warns(&b, "concrete saw"));
    b.d->method.name = METHOD_HOLE;
    b.d->hole_diameter_m = 0.035;
    b.d->relief = (design_relief){.wanted = true, .bore_m = 0.020, .depth_m = 0.085, .reason = "flow"};
    expect_steps(&b, "scan cut wash soak relief cure prove");
    assert_true(warns(&b, "Silica, core drill (open the hole): water fed to the bit; no respirator asked"));
    assert_true(warns(&b, "Silica, hammer drill (") && warns(&b, "HEPA vacuum; no respirator asked"));
    has_no_millimetre(&b);
    tear_down(&b);
}

static void who_overruled_stands_first(void **state) {
    (void)state;
    bench b;
    set_up(&b, UNITS_METRIC);
    const survey_overrule by = {true, METHOD_DRAIN, "N. N.", "2026-03-01",
                                "the cellar floor is not to be sealed"};
    b.d->method.name = METHOD_DRAIN;
    b.d->method.overruled = &by;
    b.d->drain = (design_drain){2.6, 0, 2.0, 2.0, 0, 0.030, 0.040};
    expect_steps(&b, "scan channel outlet prove");
    assert_string_equal(
        b.card->cautions[0],
        "Method chosen by N. N. on 2026-03-01 against the table (would be slot and plug): the "
        "cellar floor is not to be sealed");
    b.d->method.objection = "excluded in this job";
    expect_steps(&b, "scan channel outlet prove");
    assert_non_null(strstr(b.card->cautions[0], " (the table's objection: excluded in this job)"));
    b.d->method.by_table = METHOD_DRAIN;
    expect_steps(&b, "scan channel outlet prove");
    assert_non_null(strstr(b.card->cautions[0], "as the table would"));
    tear_down(&b);
}

/* Still air of 20 C and 60 %: 0.1 kg/m2 at 0.0712 kg/(m2 h) (Uno) last 84 min on a wall. Not known: every 4 h (our default). */
static void rounds_follow_the_air(void **state) {
    (void)state;
    bench b;
    set_up(&b, UNITS_METRIC);
    b.d->method.name = METHOD_COAT;
    expect_steps(&b, "wash soak cure prove");
    says(&b, "cure", "under held wet cloth or sheet: look and mist every 4 h of the working day");
    assert_true(step_of(&b, "cure")->timer_s > 4 * 3600.0 - 0.5 &&
                step_of(&b, "cure")->timer_s < 4 * 3600.0 + 0.5);
    b.s->site.still_air = true;
    b.s->site.air_c = b.s->site.wall_c = (maybe){true, 20};
    b.s->site.humidity_percent = (maybe){true, 60};
    plan *with_air = fixture_plan(b.s);
    b.p->rounds[LIE_WALL] = with_air->rounds[LIE_WALL];
    plan_free(with_air);
    expect_steps(&b, "wash soak cure prove");
    says(&b, "cure", "2-3 days: look and mist every 1 h 15 min of the working day, less often under");
    assert_true(step_of(&b, "cure")->timer_s > 4499 && step_of(&b, "cure")->timer_s < 4501);
    b.p->rounds[LIE_WALL] = (moist_round){7200, "held wet cloth", true};
    expect_steps(&b, "wash soak cure prove");
    says(&b, "cure", "2-3 days under held wet cloth: look and mist every 2 h of the working day");
    tear_down(&b);
}

static void without_a_design_there_is_one_step(void **state) {
    (void)state;
    bench b;
    set_up(&b, UNITS_METRIC);
    b.d->method.name = METHOD_ENGINEER;
    expect_steps(&b, "answer");
    b.d->method.name = METHOD_WATCH;
    expect_steps(&b, "watch");
    b.d->method.name = METHOD_INJECT_EPOXY;
    expect_steps(&b, "answer");
    assert_string_equal(step_of(&b, "answer")->title, "No design");
    tear_down(&b);
}

/* Forty ports: those past the card's room are on the drawing. */
static void many_ports_are_told_in_part(void **state) {
    (void)state;
    bench b;
    set_up(&b, UNITS_METRIC);
    set_injection(&b, METHOD_INJECT_EPOXY);
    design_port ports[40];
    for (int i = 0; i < 40; i++)
        ports[i] = (design_port){0.15 * i, i % 2 ? -0.15 : 0.15, 3 - 0.15 * i, 40 - i, false};
    b.d->injection.ports = ports;
    b.d->injection.n_ports = 40;
    expect_steps(&b, "scan ports surface_seal flush inject strip prove");
    says(&b, "ports", "1 at 5.85 m left, 2 at 5.70 m right,");
    says(&b, "ports", "24 at 2.40 m right and 16 more as drawn.");
    assert_null(strstr(step_of(&b, "ports")->body, "25 at"));
    tear_down(&b);
}

static void no_memory_is_said(void **state) {
    (void)state;
    bool whole = false;
    for (long n = 0; !whole; n++) {
        bench b;
        fault why = {0};
        set_up(&b, UNITS_METRIC);
        set_injection(&b, METHOD_INJECT_EPOXY);
        *b.card = (plan_card){0};
        arena *kept = b.p->memory;
        b.p->memory = arena_new(); /* an empty one, so that it has to grow */
        mem_fail_at(n, 0);
        status code = plan_write_card(b.p, 0, &why);
        mem_fail_at(-1, 0);
        whole = code == OK;
        if (!whole) {
            assert_int_equal(code, E_MEMORY);
            assert_true(*why.text);
        }
        arena_free(b.p->memory);
        b.p->memory = kept;
        tear_down(&b);
    }
}

static const plan_reason *row_of(const plan_reason *rows, size_t n, const char *group, const char *label) {
    for (size_t i = 0; i < n; i++)
        if (strcmp(rows[i].group, group) == 0 && strcmp(rows[i].label, label) == 0) return &rows[i];
    fail_msg("no row %s of %s", label, group);
    return NULL;
}

static void expect_row(const bench *b, const char *group, const char *label, const char *value,
                       const char *inputs) {
    plan_reason *rows;
    size_t n;
    fault why = {0};
    if (plan_explain(b->p, "N1", &rows, &n, &why) != OK) fail_msg("%s", why.text);
    const plan_reason *row = row_of(rows, n, group, label);
    if (!strstr(row->value, value)) fail_msg("%s: \"%s\" is not in \"%s\"", label, value, row->value);
    if (!strstr(row->inputs, inputs)) fail_msg("%s: \"%s\" is not in \"%s\"", label, inputs, row->inputs);
}

/* Verdict, healing, class, two causes, what tips, what was passed over, who overruled, what the steel leaves. */
static void the_reasons_stand_in_rows(void **state) {
    (void)state;
    bench b;
    set_up(&b, UNITS_METRIC);
    const char *level[] = {"Runs level."}, *corner[] = {"Far from a corner."};
    hint causes[] = {{CAUSE_JOINT, level, corner, 1, 1},
                     {CAUSE_SHRINKAGE, corner, NULL, 1, 0},
                     {CAUSE_THERMAL, level, NULL, 1, 0}};
    b.p->diagnoses[0] = (diagnosis){.verdict = MOVEMENT_CYCLIC,
                                    .basis = MOVES_TOLD,
                                    .movement_m = {true, 0.0012},
                                    .reason = "told by a person",
                                    .healing_known = true,
                                    .healing_in = {0.0004, 3, 0.3, HEALING_EN1992_3, 35},
                                    .healing = {0.000175, 10, false},
                                    .causes = {causes, 3}};
    b.s->site.tightness = TIGHT_ZTV_1;
    const survey_overrule by = {true, METHOD_DRAIN, "N. N.", "2026-03-01", "the floor stays open"};
    const method_tip tips[] = {{"it is dry", METHOD_COAT}};
    const method_passed passed[] = {{METHOD_INJECT_EPOXY, "too cold"}};
    b.d->method = (method_choice){.name = METHOD_DRAIN,
                                  .runner_up = METHOD_SLOT_PACK,
                                  .row = 7,
                                  .reason = "it runs",
                                  .basis = "common practice",
                                  .tips = tips,
                                  .n_tips = 1,
                                  .passed = passed,
                                  .n_passed = 1,
                                  .by_table = METHOD_SLOT_PLUG,
                                  .overruled = &by,
                                  .objection = "no outlet"};
    steel_stretch stretches[] = {{0.4, 0.6, BAR_CROSSING, {true, 0.030}}, {0.6, 2, BAR_NOT_SCANNED, {0}}};
    b.d->steel = (steel_limits){.stretches = stretches, .n = 2};
    b.d->advised = true;
    for (int i = 0; i < REMEDY_COUNT; i++) b.d->advice[i].name = (steel_remedy)i;
    b.d->advice[REMEDY_UNDERCUT] = (steel_advice){REMEDY_UNDERCUT, true, 0.025, 12};
    expect_row(&b, "Why", "Movement", "cyclic", "told by a person");
    expect_row(&b, "Why", "Movement in a year", "1.200 mm", "told");
    expect_row(&b, "Why", "Healing", "wider than the limit (0.400 mm against 0.175 mm)", "en1992_3");
    expect_row(&b, "Why", "Tightness asked", "broken as seen today", "");
    expect_row(&b, "Why", "May be caused by", "joint", "Runs level. Against: Far from a corner.");
    expect_row(&b, "Why", "Or by", "shrinkage", "Far from a corner.");
    expect_row(&b, "Method", "Chosen by a person", "drain and collect",
               "N. N. on 2026-03-01: the floor stays open");
    expect_row(&b, "Method", "The table would say", "slot and plug", "row 7: it runs");
    expect_row(&b, "Method", "Against the choice", "no outlet", "");
    expect_row(&b, "Method", "Runner-up", "slot without plug", "");
    expect_row(&b, "Method", "What would tip it", "it is dry: then coat only", "");
    expect_row(&b, "Method", "Passed over", "inject epoxy", "too cold");
    expect_row(&b, "Steel", "Cut 0.40 m to 0.60 m", "at most 30 mm", "bar crossing");
    expect_row(&b, "Steel", "Cut 0.60 m to 2.00 m", "not before it is scanned", "not scanned");
    char undercut[60];
    snprintf(undercut, sizeof undercut, "Instead: %s", steel_remedy_words[REMEDY_UNDERCUT]);
    expect_row(&b, "Steel", undercut, "enough: flanks at 12 degrees, the plug then wants 25 mm", "");
    tear_down(&b);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_injection_goes_from_the_lowest_port_up),
        cmocka_unit_test(an_injection_at_a_place),
        cmocka_unit_test(a_us_card_has_no_millimetres),
        cmocka_unit_test(a_flexible_seal_is_dry_and_holds_on_two_faces),
        cmocka_unit_test(a_drain_says_that_the_water_still_comes),
        cmocka_unit_test(places_are_told_as_they_are_cut),
        cmocka_unit_test(dust_is_told_by_tool_and_place),
        cmocka_unit_test(who_overruled_stands_first),
        cmocka_unit_test(rounds_follow_the_air),
        cmocka_unit_test(without_a_design_there_is_one_step),
        cmocka_unit_test(many_ports_are_told_in_part),
        cmocka_unit_test(the_reasons_stand_in_rows),
        cmocka_unit_test(no_memory_is_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
