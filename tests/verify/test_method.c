/* The choice of method against forty cases, written from the trade pages, with what justifies each expected answer beside it.
 * [P] published and read; [P2] through a page that quotes it; [M] value from memory. */
#include "../near.h"
#include "diagnose/method.h"

#include <string.h>

enum {
    STOPPED = 1,
    STRENGTH = 2,
    HEALS = 4,
    WET_SIDE = 8,    /* can be reached */
    ALWAYS_WET = 16, /* today's measured level stands above the leak */
    POTABLE = 32,    /* drinking water, no approval on the list */
    CHIPPED = 128,   /* faces of the slot */
    FALLS_DRY = 64   /* the design level stands below the leak */
};

#define ALL_SEALING                                                                                          \
    ((1u << METHOD_DRAIN) - 1) /* every bit below METHOD_DRAIN: slots, coat, injections, flexible seal */
#define SLOTS (METHOD_BIT(METHOD_SLOT_PLUG) | METHOD_BIT(METHOD_SLOT_PACK))

/* 0 in a number: not known (thickness 0.30 m, head 3 m). movement: as gauges told, NULL: nothing is known of it. */
typedef struct {
    survey_kind kind;
    survey_wetness worst;
    const char *movement;
    double width_mm, movement_mm, thickness_m, head_m, steel_mm, plug_mm, deep_mm, wall_c;
    unsigned marks, excluded;
} seen;

static const struct {
    const char *what;
    seen x;
    survey_method want, next;
    const char *source;
} cases[] = {
    {"dripping crack, the water carries soil, nobody has answered",
     {.worst = WET_DRIP, .width_mm = 0.3, .marks = STOPPED},
     METHOD_ENGINEER,
     METHOD_WATCH,
     "trade rule 14: STOP, no design until a named person has answered"},
    {"dripping crack that grows by its gauges",
     {.worst = WET_DRIP, .width_mm = 0.3, .movement = "growing"},
     METHOD_ENGINEER,
     METHOD_WATCH,
     "[P2] text following ACI 224.1R: while settlement continues any repair is useless"},
    {"dry still crack of a beam, strength wanted",
     {.worst = WET_DRY, .width_mm = 0.4, .movement = "still", .marks = STRENGTH},
     METHOD_ENGINEER,
     METHOD_INJECT_EPOXY,
     "diagnosis.md 4 row 4 (our default): structural injection, an engineer's decision"},
    {"running crack, strength wanted",
     {.worst = WET_RUN, .width_mm = 0.4, .marks = STRENGTH},
     METHOD_ENGINEER,
     METHOD_SLOT_PLUG,
     "EN 1504-5 F is dry or damp [M]: the water is stopped first, by the trade's slot"},
    {"dry crack above the highest water",
     {.worst = WET_DRY, .width_mm = 0.3, .marks = FALLS_DRY},
     METHOD_WATCH,
     METHOD_COAT,
     "common practice: no water, no repair; a coat if the owner insists"},
    {"dry crack above the highest water that moves",
     {.worst = WET_DRY, .width_mm = 0.3, .movement = "cyclic", .marks = FALLS_DRY},
     METHOD_WATCH,
     METHOD_FLEXIBLE,
     "[P] Construction Waterproofing Handbook: no cementitious coat on movement; [P2] treat as a joint"},
    {"honeycomb 60 mm deep in 300 mm, dripping",
     {.kind = KIND_HONEYCOMB, .worst = WET_DRIP, .deep_mm = 60},
     METHOD_CUT_BACK,
     METHOD_INJECT_CEMENT,
     "common practice: back to sound concrete; grout as the alternative"},
    {"honeycomb 150 mm deep in 300 mm, dripping",
     {.kind = KIND_HONEYCOMB, .worst = WET_DRIP, .deep_mm = 150},
     METHOD_INJECT_CEMENT,
     METHOD_INJECT_POLYURETHANE,
     "common practice: voids through half of a wall are grouted, not dug out"},
    {"honeycomb 150 mm deep in 300 mm, running",
     {.kind = KIND_HONEYCOMB, .worst = WET_RUN, .deep_mm = 150},
     METHOD_INJECT_POLYURETHANE,
     METHOD_DRAIN,
     "common practice: running water carries grout away; [P] chemical grout in moisture, REMR CS-MR-3.7"},
    {"tie hole that drips",
     {.kind = KIND_TIE_HOLE, .worst = WET_DRIP},
     METHOD_HOLE,
     METHOD_INJECT_POLYURETHANE,
     "common practice: drill clean, plug, pack; a packer set in the hole is the alternative"},
    {"pipe with running water round it",
     {.kind = KIND_PENETRATION, .worst = WET_RUN},
     METHOD_RING,
     METHOD_INJECT_POLYURETHANE,
     "common practice: ring slot; no sealant in a wet groove, [P] UFC 3-270-03 keep the groove dry"},
    {"pipe with a damp rim",
     {.kind = KIND_PENETRATION, .worst = WET_DAMP},
     METHOD_RING,
     METHOD_FLEXIBLE,
     "common practice: a pipe that gets warm or moves wants a flexible seal"},
    {"pipe that moves, dripping",
     {.kind = KIND_PENETRATION, .worst = WET_DRIP, .movement = "cyclic"},
     METHOD_FLEXIBLE,
     METHOD_INJECT_POLYURETHANE,
     "common practice, and [P2] what moves is treated as a joint; EN 1504-5 D [M]"},
    {"crack that moves 0.1 mm, running under 6 m",
     {.worst = WET_RUN, .width_mm = 0.4, .movement = "cyclic", .movement_mm = 0.1, .head_m = 6},
     METHOD_INJECT_POLYURETHANE,
     METHOD_DRAIN,
     "EN 1504-5 D, wet and small movement [M]; groove must be dry [P] UFC 3-270-03; collect what is left"},
    {"crack that moves, damp",
     {.worst = WET_DAMP, .width_mm = 0.3, .movement = "cyclic"},
     METHOD_FLEXIBLE,
     METHOD_INJECT_POLYURETHANE,
     "[P2] active, cause not removable: treat as a joint (rout, flexible seal)"},
    {"crack of 0.5 mm that moves 0.4 mm, dripping now and then",
     {.worst = WET_DRIP, .width_mm = 0.5, .movement = "cyclic", .movement_mm = 0.4},
     METHOD_FLEXIBLE,
     METHOD_DRAIN,
     "[P2] treat as a joint; resin would stretch from 0.1 to 0.5 mm: EN 1504-5 D is for small movement [M]"},
    {"crack of 0.5 mm that moves 0.4 mm, running all year",
     {.worst = WET_RUN, .width_mm = 0.5, .movement = "cyclic", .movement_mm = 0.4, .marks = ALWAYS_WET},
     METHOD_INJECT_ACRYLATE,
     METHOD_DRAIN,
     "EN 1504-5 S, swelling-fitted, permanently wet only [M]"},
    {"crack that moves and runs, polyurethane excluded, dry in summer",
     {.worst = WET_RUN,
      .width_mm = 0.4,
      .movement = "cyclic",
      .excluded = METHOD_BIT(METHOD_INJECT_POLYURETHANE)},
     METHOD_DRAIN,
     METHOD_ENGINEER,
     "common practice: water that cannot be stopped is led away; gel only where always wet [M]"},
    {"crack that closes by its gauges, damp",
     {.worst = WET_DAMP, .width_mm = 0.3, .movement = "closing"},
     METHOD_FLEXIBLE,
     METHOD_INJECT_POLYURETHANE,
     "[P] GSA: active is any change of width over a measured period"},
    {"damp crack of 0.15 mm, still by its gauges, heals by the rule",
     {.worst = WET_DAMP, .width_mm = 0.15, .movement = "still", .marks = HEALS},
     METHOD_WATCH,
     METHOD_COAT,
     "[P2] EN 1992-3 7.3.1; [P] under 0.15 mm closed in 7-42 d (Sustainability 2020, 12, 4476)"},
    {"damp crack of 0.15 mm that would heal, movement not known",
     {.worst = WET_DAMP, .width_mm = 0.15, .marks = HEALS},
     METHOD_COAT,
     METHOD_SLOT_PACK,
     "healing only under a strain range of 150e-6 [M]; it does not always (Edvardsen 2023 [P])"},
    {"dry crack of 0.1 mm below the design level",
     {.worst = WET_DRY, .width_mm = 0.1},
     METHOD_COAT,
     METHOD_SLOT_PACK,
     "common practice: coat"},
    {"dry crack of 1 mm below the design level",
     {.worst = WET_DRY, .width_mm = 1},
     METHOD_SLOT_PACK,
     METHOD_INJECT_EPOXY,
     "[P2] slot with undercut and mortar: dormant, isolated; [P] epoxy 0.13-6.3 mm, UFGS 03931 3.8.5"},
    {"damp joint of 0.3 mm",
     {.kind = KIND_JOINT, .worst = WET_DAMP, .width_mm = 0.3},
     METHOD_SLOT_PACK,
     METHOD_INJECT_EPOXY,
     "[P] dry pack, UFGS 03931 3.8.2; plug only where water runs (common practice)"},
    {"still crack of 0.3 mm that seeps under 3 m",
     {.worst = WET_SEEP, .width_mm = 0.3, .movement = "still", .steel_mm = 60, .plug_mm = 30},
     METHOD_SLOT_PLUG,
     METHOD_INJECT_POLYURETHANE,
     "diagnosis.md 4 row 5 (our default): dormant, leaking: slot, plug, dry-pack, coat; injection as "
     "alternative"},
    {"dripping crack, its gauges decide nothing yet",
     {.worst = WET_DRIP, .width_mm = 0.2, .movement = "undecided"},
     METHOD_SLOT_PLUG,
     METHOD_INJECT_POLYURETHANE,
     "common practice: cracks are mostly still; the question is printed open (trade rule 15)"},
    {"jet from a crack of 0.8 mm",
     {.worst = WET_JET, .width_mm = 0.8},
     METHOD_SLOT_PLUG,
     METHOD_INJECT_POLYURETHANE,
     "common practice, site.md 1: strong flow, slot 50-62 mm deep, relief tube"},
    {"dripping crack of 1.2 mm in a dam gallery, 1.5 m thick",
     {.worst = WET_DRIP, .width_mm = 1.2, .thickness_m = 1.5},
     METHOD_INJECT_CEMENT,
     METHOD_SLOT_PLUG,
     "[P] REMR CS-MR-3.7: dormant, dams and thick walls; [P] portland-cement grout in wide cracks, UFGS "
     "03931"},
    {"the same, running",
     {.worst = WET_RUN, .width_mm = 1.2, .thickness_m = 1.5},
     METHOD_SLOT_PLUG,
     METHOD_INJECT_POLYURETHANE,
     "common practice: running water carries cement grout away"},
    {"dripping crack of 0.3 mm, the steel leaves 10 mm",
     {.worst = WET_DRIP, .width_mm = 0.3, .steel_mm = 10},
     METHOD_INJECT_POLYURETHANE,
     METHOD_INJECT_CEMENT,
     "strength.md 6: never cut a bar; [P] chemical grout in moisture, REMR; ultra-fine cement finer, UFGS"},
    {"always wet, 10 m on chipped faces: the plug wants 33 mm, the steel leaves 25",
     {.worst = WET_RUN,
      .width_mm = 0.3,
      .head_m = 10,
      .steel_mm = 25,
      .plug_mm = 32.68,
      .marks = ALWAYS_WET | CHIPPED},
     METHOD_INJECT_POLYURETHANE,
     METHOD_INJECT_ACRYLATE,
     "strength.md 3 (computed by us): 32.68 mm at 10 m and 0.15 MPa; wet: EN 1504-5 D or S [M]"},
    {"30 m in a wall of 0.3 m: the plug wants 294 mm as sawn, 98 mm chipped",
     {.worst = WET_DRIP, .width_mm = 0.15, .head_m = 30, .plug_mm = 294.1},
     METHOD_INJECT_POLYURETHANE,
     METHOD_DRAIN,
     "strength.md 3: 98.04 mm (computed by us) and a pack over it: more than a third; cement from 0.2 mm "
     "[M]"},
    {"seeping crack in a wall of 80 mm",
     {.worst = WET_SEEP, .width_mm = 0.15, .thickness_m = 0.08},
     METHOD_INJECT_POLYURETHANE,
     METHOD_COAT,
     "our default: no cut deeper than a third; the trade's slot is 37 mm"},
    {"dripping crack of 0.3 mm, wall at 3 C",
     {.worst = WET_DRIP, .width_mm = 0.3, .wall_c = 3},
     METHOD_DRAIN,
     METHOD_ENGINEER,
     "keep the substrate at 5 C or more [M]; [P] resin at 10 C or more, UFC 4-150-07: lead it away till "
     "spring"},
    {"dripping crack of 0.3 mm, wall at 7 C",
     {.worst = WET_DRIP, .width_mm = 0.3, .wall_c = 7},
     METHOD_SLOT_PLUG,
     METHOD_INJECT_CEMENT,
     "[P] resin at 10 C or more, UFC 4-150-07; cement from 5 C [M]"},
    {"dripping crack of 0.3 mm, the owner wants no chasing",
     {.worst = WET_DRIP, .width_mm = 0.3, .excluded = SLOTS},
     METHOD_INJECT_POLYURETHANE,
     METHOD_INJECT_CEMENT,
     "diagnosis.md 4 row 5: injection as alternative; wet: EN 1504-5 D [M]"},
    {"seeping crack that must not be sealed",
     {.worst = WET_SEEP, .width_mm = 0.2, .excluded = ALL_SEALING},
     METHOD_DRAIN,
     METHOD_ENGINEER,
     "trade rule 14: sealing may take drainage away; common practice: channel and outlet"},
    {"seeping crack of 0.15 mm, steel at 10 mm, tank emptied so that its wet side can be reached",
     {.worst = WET_SEEP, .width_mm = 0.15, .steel_mm = 10, .marks = WET_SIDE},
     METHOD_COAT,
     METHOD_INJECT_POLYURETHANE,
     "[P] Construction Waterproofing Handbook: dry-side coats are for where the outside cannot be dug"},
    {"drinking water, STOP answered but no material on the list approved, steel at 10 mm, drips",
     {.worst = WET_DRIP, .width_mm = 0.3, .steel_mm = 10, .marks = POTABLE},
     METHOD_INJECT_CEMENT,
     METHOD_DRAIN,
     "trade rule 14: approval of the materials; resins are what an approval is asked for (common practice)"},
    {"damp crack of 0.3 mm, still by its gauges, no chasing",
     {.worst = WET_DAMP, .width_mm = 0.3, .movement = "still", .excluded = SLOTS},
     METHOD_INJECT_EPOXY,
     METHOD_INJECT_POLYURETHANE,
     "[P] rigid epoxy only where static, UFC 4-150-07; dry or damp: EN 1504-5 F [M]; 0.13-6.3 mm [P] UFGS"},
};
_Static_assert(COUNT(cases) == 40, "forty cases");

static movement_verdict verdict_of(const char *word) {
    for (int i = 0; word && i < MOVEMENT_VERDICTS; i++)
        if (strcmp(movement_verdict_words[i], word) == 0) return (movement_verdict)i;
    assert_null(word);
    return MOVEMENT_UNDECIDED;
}

static maybe mm(double value) {
    return (maybe){value > 0, value / 1000};
}

static method_facts facts_of(const seen *x) {
    method_facts f = {.kind = x->kind,
                      .worst = x->worst,
                      .stopped = (x->marks & STOPPED) != 0,
                      .movement = verdict_of(x->movement),
                      .moves = x->movement ? MOVES_MEASURED : MOVES_NOT_KNOWN,
                      .movement_m = mm(x->movement_mm),
                      .width_m = mm(x->width_mm),
                      .head_m = x->marks & FALLS_DRY ? 0
                                : x->head_m > 0      ? x->head_m
                                                     : 3,
                      .level_known = true,
                      .always_wet = (x->marks & ALWAYS_WET) != 0,
                      .thickness_m = x->thickness_m > 0 ? x->thickness_m : 0.30,
                      .slot_allowed_m = mm(x->steel_mm),
                      .plug_need_m = mm(x->plug_mm),
                      .sawn = !(x->marks & CHIPPED),
                      .honeycomb_m = mm(x->deep_mm),
                      .heals = (x->marks & HEALS) != 0,
                      .far_side = x->marks & WET_SIDE ? FAR_OPEN : FAR_UNKNOWN,
                      .drinking_water = (x->marks & POTABLE) != 0,
                      .strength_wanted = (x->marks & STRENGTH) != 0,
                      .wall_c = {x->wall_c != 0, x->wall_c},
                      .excluded = x->excluded};
    for (survey_method m = 0; m < METHOD_COUNT;
         m++) /* as the catalogue: powders, cement and gel 5 C, resin 10 C */
        f.lowest_c[m] = m == METHOD_INJECT_EPOXY || m == METHOD_INJECT_POLYURETHANE ? 10
                        : m >= METHOD_DRAIN                                         ? -HUGE_VAL
                                                                                    : 5;
    return f;
}

static void forty_cases(void **state) {
    (void)state;
    arena *memory = arena_new();
    size_t wrong = 0;
    for (size_t i = 0; i < COUNT(cases); i++) {
        method_facts f = facts_of(&cases[i].x);
        method_choice got;
        fault why = {0};
        assert_int_equal(method_choose(&f, NULL, memory, &got, &why), OK);
        if (got.name == cases[i].want && got.runner_up == cases[i].next) continue;
        print_message("%zu %s: %s, then %s; want %s, then %s\n", i + 1, cases[i].what, method_words[got.name],
                      method_words[got.runner_up], method_words[cases[i].want], method_words[cases[i].next]);
        wrong++;
    }
    assert_int_equal(wrong, 0);
    arena_free(memory);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(forty_cases)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
