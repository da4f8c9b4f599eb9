/* What would tip it: single changes of what is known, each put through the table; those that lead elsewhere are told.
 * The order is that in which a job changes most often: our default. */
#include "diagnose/method_parts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* A change that makes no sense here returns false. It writes itself to `say`, fit for "if ...". */
typedef bool changing(method_facts *f, char say[METHOD_SAY]);

static bool told(char say[METHOD_SAY], const char *sentence) {
    snprintf(say, METHOD_SAY, "%s", sentence);
    return true;
}

static bool answer_the_stop(method_facts *f, char say[METHOD_SAY]) {
    if (!f->stopped) return false;
    f->stopped = false;
    f->movement = method_movement_answered(f->movement, f->moves);
    return told(say, "a named person answers the STOP");
}

static bool want_no_strength(method_facts *f, char say[METHOD_SAY]) {
    if (!f->strength_wanted) return false;
    f->strength_wanted = false;
    return told(say, "no strength is wanted, only tightness");
}

static bool find_it_still(method_facts *f, char say[METHOD_SAY]) {
    if (f->movement == MOVEMENT_STILL) return false;
    f->movement = MOVEMENT_STILL;
    f->moves = MOVES_MEASURED;
    return told(say, "gauge readings over a year show it still");
}

static bool find_it_moving(method_facts *f, char say[METHOD_SAY]) {
    if (method_is_moving(f) || !((1u << f->kind) & KINDS_MOVING)) return false;
    f->movement = MOVEMENT_CYCLIC;
    f->moves = MOVES_MEASURED;
    return told(say, "gauge readings show that it moves");
}

static bool see_it_run(method_facts *f, char say[METHOD_SAY]) {
    if (f->worst >= WET_RUN) return false;
    f->worst = WET_RUN;
    return told(say, "water runs, when it is cut or at high water");
}

static bool see_it_damp(method_facts *f, char say[METHOD_SAY]) {
    if (f->worst <= WET_DAMP) return false;
    f->worst = WET_DAMP;
    f->always_wet = false;
    return told(say, "the water is let down and it is only damp");
}

static bool scan_less(method_facts *f, char say[METHOD_SAY]) {
    char least[UNITS_SHOWN];
    if (f->slot_allowed_m.known && f->slot_allowed_m.v < METHOD_CUT_LEAST_M) return false;
    f->slot_allowed_m = (maybe){true, 0};
    snprintf(say, METHOD_SAY, "a scan finds steel that leaves less than %s",
             units_show(UNITS_SIZE, f->system, METHOD_CUT_LEAST_M, f->system == UNITS_US ? 2 : 0, least));
    return true;
}

static bool scan_more(method_facts *f, char say[METHOD_SAY]) {
    char want[UNITS_SHOWN];
    double depth = method_slot_wanted_m(f, METHOD_SLOT_PLUG);
    if (!f->slot_allowed_m.known || f->slot_allowed_m.v >= depth) return false;
    f->slot_allowed_m.v = depth;
    snprintf(say, METHOD_SAY, "the steel leaves %s of depth after all",
             units_show(UNITS_SIZE, f->system, depth, f->system == UNITS_US ? 2 : 0, want));
    return true;
}

static bool widen_to(method_facts *f, double from_m, bool above, char say[METHOD_SAY]) {
    char width[UNITS_SHOWN];
    double now = f->width_m.known ? f->width_m.v : 0;
    if (above ? now > from_m : !f->width_m.known || now <= from_m) return false;
    f->width_m = (maybe){true, above ? from_m * 1.01 : from_m};
    snprintf(say, METHOD_SAY, "it is %s %s wide", above ? "more than" : "at most",
             units_show(UNITS_SIZE, f->system, from_m, f->system == UNITS_US ? 3 : 1, width));
    return true;
}

static bool find_it_wide(method_facts *f, char say[METHOD_SAY]) {
    return widen_to(f, METHOD_FINE_M, true, say);
}

static bool find_it_fine(method_facts *f, char say[METHOD_SAY]) {
    return widen_to(f, METHOD_FINE_M, false, say);
}

static bool find_it_very_wide(method_facts *f, char say[METHOD_SAY]) {
    if (!f->width_m.known || f->width_m.v <= METHOD_FINE_M) return false; /* the step before is told */
    return widen_to(f, METHOD_WIDE_M, true, say);
}

static bool reach_the_wet_side(method_facts *f, char say[METHOD_SAY]) {
    if (f->far_side == FAR_OPEN) return false;
    f->far_side = FAR_OPEN;
    return told(say, "the wet side can be reached");
}

static bool find_it_deep(method_facts *f, char say[METHOD_SAY]) {
    char third[UNITS_SHOWN];
    double most = f->thickness_m / METHOD_CUT_SHARE;
    if (f->kind != KIND_HONEYCOMB || (f->honeycomb_m.known && f->honeycomb_m.v > most)) return false;
    f->honeycomb_m = (maybe){true, most * 1.01};
    snprintf(say, METHOD_SAY, "it goes deeper than a third of the member, %s",
             units_show(UNITS_SIZE, f->system, most, f->system == UNITS_US ? 2 : 0, third));
    return true;
}

static bool wait_for_warmth(method_facts *f, char say[METHOD_SAY]) {
    double least = -HUGE_VAL;
    char warm[UNITS_SHOWN];
    for (size_t i = 0; i < METHOD_COUNT; i++) least = fmax(least, f->lowest_c[i]);
    if (!f->wall_c.known || !(f->wall_c.v < least)) return false;
    f->wall_c.v = least;
    snprintf(say, METHOD_SAY, "the wall is at %s or warmer",
             units_show(UNITS_TEMPERATURE, f->system, least, 0, warm));
    return true;
}

static bool approve_materials(method_facts *f, char say[METHOD_SAY]) {
    if (f->approved || !(f->drinking_water || f->hazardous_liquid)) return false;
    f->approved = true;
    return told(say, "the materials are approved for the liquid");
}

static bool stay_wet(method_facts *f, char say[METHOD_SAY]) {
    if (f->always_wet || f->worst < WET_SEEP) return false;
    f->always_wet = true;
    return told(say, "it is measured that the water always stands above it");
}

static bool raise_the_level(method_facts *f, char say[METHOD_SAY]) {
    if (!f->level_known || f->head_m > 0) return false;
    f->head_m = 1;
    return told(say, "the water can rise above it");
}

static bool lower_the_level(method_facts *f, char say[METHOD_SAY]) {
    if (!(f->head_m > 0) && f->level_known) return false;
    f->head_m = 0;
    f->level_known = true;
    return told(say, "the water cannot rise to it");
}

static bool want_strength(method_facts *f, char say[METHOD_SAY]) {
    if (f->strength_wanted) return false;
    f->strength_wanted = true;
    return told(say, "it must carry force again");
}

static changing *const changes[] = {answer_the_stop,   want_no_strength, approve_materials,  wait_for_warmth,
                                    scan_more,         find_it_moving,   find_it_still,      see_it_run,
                                    raise_the_level,   find_it_deep,     find_it_wide,       find_it_fine,
                                    see_it_damp,       scan_less,        reach_the_wet_side, stay_wet,
                                    find_it_very_wide, lower_the_level,  want_strength};

/* A tip is kept where the changed facts lead elsewhere. */
static status keep(const method_facts *changed, const char *say, survey_method now, arena *memory,
                   method_choice *out, method_tip *tips, fault *why) {
    survey_method to = method_ask(changed).name;
    if (to == now || out->n_tips == METHOD_TIPS) return OK;
    tips[out->n_tips].change = arena_copy(memory, say);
    if (!tips[out->n_tips].change) return fault_memory(why);
    tips[out->n_tips++].to = to;
    return OK;
}

static status lift_exclusions(const method_facts *f, survey_method now, arena *memory, method_choice *out,
                              method_tip *tips, fault *why) {
    char say[METHOD_SAY];
    status code = OK;
    for (survey_method m = 0; code == OK && m < METHOD_COUNT; m++) {
        method_facts changed = *f;
        if (!((f->excluded | f->excluded_job) & METHOD_BIT(m))) continue;
        changed.excluded &= ~METHOD_BIT(m);
        changed.excluded_job &= ~METHOD_BIT(m);
        snprintf(say, sizeof say, "%s is not excluded", method_words[m]);
        code = keep(&changed, say, now, memory, out, tips, why);
    }
    return code;
}

/* "coat only, if it is only damp; ..." */
static status say_all(const method_tip *tips, arena *memory, method_choice *out, fault *why) {
    text all = {0};
    for (size_t i = 0; i < out->n_tips; i++)
        text_print(&all, "%s%s, if %s", i ? "; " : "", method_words[tips[i].to], tips[i].change);
    out->tip = out->n_tips ? arena_copy(memory, text_get(&all)) : "nothing that was tried";
    if (all.failed) out->tip = NULL;
    text_free(&all);
    return out->tip ? OK : fault_memory(why);
}

status method_find_tips(const method_facts *f, survey_method now, arena *memory, method_choice *out,
                        fault *why) {
    char say[METHOD_SAY];
    method_tip *tips = arena_get(memory, METHOD_TIPS, sizeof *tips);
    if (!tips) return fault_memory(why);
    out->tips = tips;
    out->n_tips = 0;
    status code = lift_exclusions(f, now, memory, out, tips, why);
    for (size_t i = 0; code == OK && i < sizeof changes / sizeof *changes; i++) {
        method_facts changed = *f;
        if (changes[i](&changed, say)) code = keep(&changed, say, now, memory, out, tips, why);
    }
    return code == OK ? say_all(tips, memory, out, why) : code;
}
