#include "diagnose/finding_parts.h"
#include "diagnose/method_parts.h"

#include <math.h>
#include <string.h>

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

const char *const method_about[METHOD_COUNT] = {"cut, plug, coat, dry-pack, coat",
                                                "cut, coat, dry-pack, coat",
                                                "slurry on the washed face, two coats",
                                                "tie hole drilled, plugged, packed",
                                                "slot round a pipe, plugged, packed",
                                                "honeycomb back to sound concrete",
                                                "grout through ports",
                                                "rigid, carries force; dry or damp",
                                                "takes water and gives a little",
                                                "gel that swells; always wet only",
                                                "groove, backer, sealant; moves along",
                                                "channel that leads the water away",
                                                "nothing now; looked at again",
                                                "no design until one has looked"};

/* The coldest wall on which all materials of a method may be placed. */
static double coldest_c(const survey *s, const survey_role *roles, size_t n) {
    double c = -HUGE_VAL;
    for (size_t i = 0; i < n; i++) {
        const survey_material *m = survey_find_role(s, roles[i]);
        if (m && m->lowest_c.known) c = fmax(c, m->lowest_c.v);
    }
    return c;
}

static void find_coldest(const survey *s, double lowest_c[METHOD_COUNT]) {
    static const survey_role powders[] = {ROLE_PLUG, ROLE_SLURRY, ROLE_PACK}, sealant[] = {ROLE_SEALANT};
    static const survey_method plugged[] = {METHOD_SLOT_PLUG, METHOD_HOLE, METHOD_RING};
    for (size_t i = 0; i < METHOD_COUNT; i++) lowest_c[i] = -HUGE_VAL;
    for (size_t i = 0; i < sizeof plugged / sizeof *plugged; i++)
        lowest_c[plugged[i]] = coldest_c(s, powders, 3);
    lowest_c[METHOD_SLOT_PACK] = lowest_c[METHOD_CUT_BACK] = coldest_c(s, powders + 1, 2);
    lowest_c[METHOD_COAT] = coldest_c(s, powders + 1, 1);
    lowest_c[METHOD_FLEXIBLE] = coldest_c(s, sealant, 1);
    for (survey_resin family = RESIN_CEMENT; family < RESIN_COUNT; family++) {
        const survey_material *m = survey_find_resin(s, family);
        if (m && m->lowest_c.known) lowest_c[METHOD_INJECT_CEMENT + family - RESIN_CEMENT] = m->lowest_c.v;
    }
}

static bool is_answered(const finding_list *findings, const char *mark, const char *code) {
    for (size_t i = 0; i < findings->n; i++) {
        const finding *f = &findings->items[i];
        if (f->answer && strcmp(f->mark, mark) == 0 && strcmp(f->code, code) == 0) return true;
    }
    return false;
}

/* Growth that a named person has answered for lets the design go on: a sign is taken back by the answer, a gauge is not, and
 * the crack counts as moving. */
movement_verdict method_movement_answered(movement_verdict verdict, diagnosis_basis basis) {
    if (verdict != MOVEMENT_GROWING) return verdict;
    return basis == MOVES_MEASURED ? MOVEMENT_CYCLIC : MOVEMENT_UNDECIDED;
}

void method_facts_of(const survey *s, const leak_water *leak, const diagnosis *why_leaks,
                     const finding_list *findings, method_facts *out) {
    const survey_defect *d = leak->defect;
    const survey_site *site = &s->site;
    const survey_face *face = d->n_parts ? survey_find_face(s, d->parts[0].face) : NULL;
    bool answered = is_answered(findings, d->mark, "growing");
    bool leaks = leak->worst >= WET_SEEP && leak->level_known && leak->head_today_m > 0;
    bool undecided = why_leaks->verdict == MOVEMENT_UNDECIDED;
    movement_verdict verdict = undecided && why_leaks->seen_m.known ? MOVEMENT_CYCLIC : why_leaks->verdict;
    *out = (method_facts){
        .kind = d->kind,
        .worst = leak->worst,
        .stopped = finding_stops(findings, d->mark) || finding_stops(findings, "site"),
        .movement = answered ? method_movement_answered(verdict, why_leaks->basis) : verdict,
        .moves = undecided && why_leaks->decisive ? MOVES_MEASURED : why_leaks->basis,
        .settled = (d->signs & SIGN_BIT(SIGN_SETTLED)) != 0,
        .movement_m = why_leaks->movement_m,
        .width_m = leak->widest_m,
        .flow_m3_s = leak->flow_m3_s,
        .head_m = leak->head_design_m,
        .level_known = leak->level_known,
        .always_wet = leaks && leak->today_known != KNOWN_ASSUMED,
        .thickness_m = leak->thickness_m,
        .sawn = d->slot_faces == SLOT_SAWN,
        .honeycomb_m = d->depth_m,
        .heals = why_leaks->healing_known && why_leaks->healing.heals,
        .far_side = face ? face->far_side : FAR_UNKNOWN,
        .drinking_water = site->drinking_water,
        .hazardous_liquid = site->hazardous_liquid,
        .approved = site->materials_approved,
        .strength_wanted = d->strength_wanted,
        .wall_c = site->wall_c,
        .excluded = d->excluded,
        .excluded_job = site->excluded,
        .system = site->system,
    };
    const char *approval = finding_approval_code(d->overrule.method);
    if (d->overrule.given && approval && is_answered(findings, d->mark, approval))
        out->approved_here = METHOD_BIT(d->overrule.method);
    if (leak->flow_m3_s.known && leak->wet_m > 0)
        out->flow_m2_s = (maybe){true, leak->flow_m3_s.v / leak->wet_m};
    find_coldest(s, out->lowest_c);
}

/* The row's own runner-up where it may be taken, else the next row's method that may. */
static survey_method second(const method_facts *f, size_t row) {
    char say[METHOD_SAY];
    survey_method name = method_table[row].method;
    if (!method_forbidden(f, method_table[row].runner_up, say)) return method_table[row].runner_up;
    for (size_t i = row + 1; i < method_table_rows; i++) {
        survey_method next = method_table[i].method;
        if (next != name && method_fits(&method_table[i], f) && !method_forbidden(f, next, say)) return next;
    }
    return name == METHOD_ENGINEER ? METHOD_WATCH : METHOD_ENGINEER; /* all else is excluded */
}

method_pick method_ask(const method_facts *f) {
    char say[METHOD_SAY];
    size_t row = 0;
    while (!method_fits(&method_table[row], f) || method_forbidden(f, method_table[row].method, say)) row++;
    return (method_pick){row, method_table[row].method, second(f, row)};
}

/* Each method of the rows above that fitted, once, with what forbade it. */
static status tell_passed(const method_facts *f, size_t row, arena *memory, method_choice *out, fault *why) {
    char say[METHOD_SAY];
    unsigned told = 0;
    method_passed *list = NULL;
    size_t n = 0;
    for (size_t i = 0; i < row; i++) {
        survey_method name = method_table[i].method;
        if (!method_fits(&method_table[i], f) || (told & METHOD_BIT(name))) continue;
        told |= METHOD_BIT(name);
        if (!method_forbidden(f, name, say)) continue;
        method_passed *longer = arena_push(memory, list, &n, sizeof *list);
        const char *sentence = longer ? arena_copy(memory, say) : NULL;
        if (!sentence) return fault_memory(why);
        list = longer;
        list[n - 1] = (method_passed){name, sentence};
    }
    out->passed = list;
    out->n_passed = n;
    return OK;
}

/* Would movement spoil it? Then what it is taken for must be said. */
static bool wants_stillness(survey_method name) {
    return name == METHOD_SLOT_PLUG || name == METHOD_SLOT_PACK || name == METHOD_COAT ||
           name == METHOD_RING || name == METHOD_INJECT_CEMENT || name == METHOD_INJECT_EPOXY;
}

/* The row's reason, and what was taken as given. */
static status tell_reason(const method_facts *f, const method_pick *pick, arena *memory, method_choice *out,
                          fault *why) {
    const char *taken = "", *far = "", *chip = "";
    if (pick->name == METHOD_SLOT_PLUG && f->sawn && f->slot_allowed_m.known && f->plug_need_m.known &&
        f->slot_allowed_m.v < f->plug_need_m.v)
        chip = "; its faces chipped, for as sawn the plug wants more depth than the steel leaves";
    if (wants_stillness(pick->name) && f->movement == MOVEMENT_UNDECIDED &&
        (KINDS_MOVING & (1u << f->kind)) != 0)
        taken = f->moves == MOVES_MEASURED ? "; taken as still, though its gauges decide nothing yet"
                : f->settled               ? "; taken as still, for its cause is told to have ended"
                                           : "; taken as still, for nothing is known of its movement";
    if (f->far_side == FAR_OPEN && method_is_injection(pick->name))
        far = "; the wet side can be reached: seal the crack there first";
    else if (f->far_side == FAR_OPEN && pick->name == METHOD_COAT)
        far = "; the wet side can be reached: better coated there, with the water let down";
    out->reason = arena_print(memory, "%s%s%s%s", method_table[pick->row].reason, chip, taken, far);
    return out->reason ? OK : fault_memory(why);
}

/* A person's choice stands; what the table has against it is told. */
static status take_overrule(const method_facts *f, const survey_overrule *overrule, arena *memory,
                            method_choice *out, fault *why) {
    char say[METHOD_SAY];
    if (!overrule || !overrule->given) return OK;
    out->overruled = overrule;
    if (f->stopped) {
        out->objection = "a STOP is open, and it comes first: a named person must answer it";
        return OK;
    }
    out->name = overrule->method;
    if (out->runner_up == out->name) out->runner_up = out->by_table;
    if (method_forbidden(f, overrule->method, say)) {
        out->objection = arena_copy(memory, say);
        if (!out->objection) return fault_memory(why);
    } else if (out->by_table == METHOD_ENGINEER) {
        out->objection = out->reason;
    }
    return OK;
}

status method_choose(const method_facts *facts, const survey_overrule *overrule, arena *memory,
                     method_choice *out, fault *why) {
    method_pick pick = method_ask(facts);
    *out = (method_choice){.name = pick.name,
                           .runner_up = pick.runner_up,
                           .row = (int)pick.row + 1,
                           .basis = method_table[pick.row].basis,
                           .by_table = pick.name};
    status code = tell_reason(facts, &pick, memory, out, why);
    if (code == OK) code = tell_passed(facts, pick.row, memory, out, why);
    if (code == OK) code = method_find_tips(facts, pick.name, memory, out, why);
    if (code == OK) code = take_overrule(facts, overrule, memory, out, why);
    return code;
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
