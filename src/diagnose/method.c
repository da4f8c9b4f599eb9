#include "diagnose/method.h"

const char *const method_words[METHOD_COUNT] = {"slot and plug",
                                                "slot without plug",
                                                "coat only",
                                                "plugged hole",
                                                "ring slot",
                                                "cut back and pack",
                                                "inject cement",
                                                "inject epoxy",
                                                "inject polyurethane",
                                                "inject acrylate",
                                                "rout and flexible seal",
                                                "drain and collect",
                                                "leave and watch",
                                                "engineer first"};

/* What the rows look at. */
typedef struct {
    survey_kind kind;
    survey_wetness worst;
    bool stopped, moving, under_head, fine; /* fine: at most 0.2 mm, or not measured and only damp */
} sight;

/* 0.2 mm: EN 1992-3:2006 7.3.1, largest width of a full-depth crack expected to heal (read through a
 * textbook). */
#define FINE_M 0.0002

static bool is_stopped(const sight *x) {
    return x->stopped;
}
static bool is_moving(const sight *x) {
    return x->moving;
}
static bool is_honeycomb(const sight *x) {
    return x->kind == KIND_HONEYCOMB;
}
static bool is_tie_hole(const sight *x) {
    return x->kind == KIND_TIE_HOLE;
}
static bool is_penetration(const sight *x) {
    return x->kind == KIND_PENETRATION;
}
static bool is_dry_above(const sight *x) {
    return x->worst == WET_DRY && !x->under_head;
}
static bool is_dry(const sight *x) {
    return x->worst == WET_DRY;
}
static bool is_damp_fine(const sight *x) {
    return x->worst == WET_DAMP && x->fine;
}
static bool is_damp(const sight *x) {
    return x->worst == WET_DAMP;
}
static bool is_anything(const sight *x) {
    (void)x;
    return true;
}

/* The table: first row that fits decides. */
static const struct {
    bool (*fits)(const sight *);
    survey_method name, runner_up;
    const char *reason, *basis, *tip;
} rows[] = {
    {is_stopped, METHOD_ENGINEER, METHOD_WATCH, "a STOP finding is open",
     "trade rule 14; engineer first: EM 1110-2-2002 ch. 4 (value from memory)",
     "a named person's answer to the finding"},
    {is_moving, METHOD_FLEXIBLE, METHOD_SLOT_PLUG, "the crack moves: a rigid plug would tear open again",
     "active cracks are treated as joints: text following EM 1110-2-2002 (read through a page that quotes "
     "it)",
     "readings over a year that show it still"},
    {is_honeycomb, METHOD_CUT_BACK, METHOD_COAT,
     "honeycomb lets water through all over: back to sound concrete", "common practice",
     "sound concrete within the depth of the cover"},
    {is_tie_hole, METHOD_HOLE, METHOD_COAT, "a tie hole is a hole right through: drill clean, plug, pack",
     "common practice", "a hole found closed behind"},
    {is_penetration, METHOD_RING, METHOD_FLEXIBLE, "water follows the pipe: a slot all round it",
     "common practice", "a pipe that moves or gets hot wants a flexible seal"},
    {is_dry_above, METHOD_WATCH, METHOD_COAT, "dry, and the design level stands below it", "common practice",
     "a higher design level, or water seen"},
    {is_dry, METHOD_COAT, METHOD_SLOT_PACK, "dry today, but the design level stands above it",
     "common practice", "damp or water seen at high level"},
    {is_damp_fine, METHOD_COAT, METHOD_SLOT_PACK, "damp only and at most 0.2 mm wide",
     "0.2 mm: EN 1992-3:2006 7.3.1 (read through a textbook); coat: common practice",
     "visible water, or a width above 0.2 mm"},
    {is_damp, METHOD_SLOT_PACK, METHOD_SLOT_PLUG, "damp without running water: nothing for a plug to stop",
     "plug where water runs: common practice", "water that runs when the slot is cut"},
    {is_anything, METHOD_SLOT_PLUG, METHOD_FLEXIBLE, "still, leaking and reachable from the dry side",
     "slot, plug, dry-pack, coat: common practice",
     "movement, or steel that leaves no depth for the plug: then injection"},
};

void method_facts_of(const survey *s, const leak_water *leak, const diagnosis *why_leaks,
                     const finding_list *findings, method_facts *out) {
    (void)s;
    const survey_defect *d = leak->defect;
    *out = (method_facts){.kind = d->kind,
                          .worst = leak->worst,
                          .stopped = finding_stops(findings, d->mark) || finding_stops(findings, "site"),
                          .movement = d->signs & SIGN_BIT(SIGN_MOVING) ? MOVEMENT_CYCLIC : why_leaks->verdict,
                          .width_m = leak->widest_m,
                          .head_m = leak->head_design_m};
}

status method_choose(const method_facts *facts, const survey_overrule *overrule, arena *memory,
                     method_choice *out, fault *why) {
    (void)overrule;
    (void)memory;
    (void)why;
    sight x = {.kind = facts->kind,
               .worst = facts->worst,
               .stopped = facts->stopped,
               .moving = facts->movement == MOVEMENT_CYCLIC,
               .under_head = facts->head_m > 0,
               .fine = facts->width_m.known ? facts->width_m.v <= FINE_M : true};
    size_t i = 0;
    while (!rows[i].fits(&x)) i++; /* the last row fits all */
    *out = (method_choice){.name = rows[i].name,
                           .runner_up = rows[i].runner_up,
                           .row = (int)i + 1,
                           .reason = rows[i].reason,
                           .basis = rows[i].basis,
                           .tip = rows[i].tip,
                           .by_table = rows[i].name};
    return OK;
}

bool method_is_designed(survey_method name) {
    return name != METHOD_WATCH && name != METHOD_ENGINEER;
}

bool method_is_injection(survey_method name) {
    return name >= METHOD_INJECT_CEMENT && name <= METHOD_INJECT_ACRYLATE;
}

bool method_has_slot(survey_method name) {
    return name == METHOD_SLOT_PLUG || name == METHOD_SLOT_PACK || name == METHOD_HOLE ||
           name == METHOD_RING || name == METHOD_CUT_BACK;
}
