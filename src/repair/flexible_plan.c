/* A groove along a moving crack, or round a pipe: sized by the movement, its length, sealant and backer. */
#include "repair/sizing.h"

#include <math.h>

static const double PI = 3.14159265358979323846;
static const double CLASS_PERCENT = 25;  /* where the sealant does not tell its class, our default */
static const double TOLERANCE_M = 0.001; /* a groove is sawn to the millimetre, our default */

/* Gauges first, then what a person told; false: nothing is known. */
static bool find_movement(const sizing *z, design_flexible *seal) {
    const diagnosis *why = z->why_leaks;
    maybe told = z->leak->defect->movement_m;
    if (why->movement_m.known) {
        seal->input.movement_m = why->movement_m.v;
        seal->movement_basis = why->basis == MOVES_MEASURED ? "measured" : "told";
        return true;
    }
    seal->input.movement_m = told.v;
    seal->movement_basis = told.known ? "told" : NULL;
    return told.known;
}

static status take_class(sizing *z, flexible_input *in) {
    const survey_material *sealant = survey_find_role(z->s, ROLE_SEALANT);
    bool told = sealant && sealant->movement_percent.known;
    double percent = told ? sealant->movement_percent.v : CLASS_PERCENT;
    in->class_fraction = fmin(fmax(percent / 100, FLEXIBLE_LEAST_CLASS), 1);
    if (told) return OK;
    return sizing_ask(z, "sealant",
                      "How much movement does the sealant take? 25 % of the width of the joint is taken, our "
                      "default: the maker's class decides.");
}

/* Along all the crack on its parts; round a pipe along the middle of its groove. Net of waste. */
static void measure(const sizing *z, design_flexible *seal) {
    const survey_defect *d = z->leak->defect;
    if (survey_is_line(d->kind)) {
        seal->to_m = z->leak->length_m;
        seal->length_m = seal->to_m;
    } else {
        seal->length_m = PI * (d->diameter_m.v + seal->groove.width_m);
    }
    seal->sealant_m3 = seal->length_m * seal->groove.section_m2;
    seal->backer_m = seal->length_m;
}

static status ask_about_steel(sizing *z, const design_flexible *seal) {
    z->out->scan_first = sizing_not_scanned(z, seal->from_m, seal->to_m);
    maybe allowed = sizing_steel_allows(z, seal->from_m, seal->to_m);
    if (!allowed.known || !(allowed.v < seal->groove.groove_depth_m)) return OK;
    const char *deep = sizing_show(z, UNITS_SIZE, seal->groove.groove_depth_m);
    const char *leaves = sizing_show(z, UNITS_SIZE, allowed.v);
    const char *bare = sizing_show(z, UNITS_SIZE, seal->groove.depth_m);
    if (!deep || !leaves || !bare) return fault_memory(z->why);
    const char *help = allowed.v >= seal->groove.depth_m
                           ? "A bond-breaker tape instead of the backer rod needs only"
                           : "Even on a bond-breaker tape the sealant needs";
    return sizing_ask(z, "steel",
                      arena_print(z->memory,
                                  "The groove is %s deep with its backer and the steel leaves %s. %s %s. Who "
                                  "decides?",
                                  deep, leaves, help, bare));
}

/* Sealants do not hold on wet faces (UFC 3-270-03, pavement practice: keep the groove dry). */
static status ask_about_water(sizing *z) {
    if (z->leak->worst < WET_SEEP) return OK;
    return sizing_ask(
        z, "wet_groove",
        "Sealant does not hold on wet faces and water comes here: how is it kept away until the "
        "seal has cured (low water, a relief, a foam injected before)?");
}

static double widest_along_m(const sizing *z) {
    return z->leak->widest_m.known ? z->leak->widest_m.v : 0;
}

status size_flexible(sizing *z) {
    design_flexible *seal = &z->out->flexible;
    status code = sizing_take_head(z, z->leak->head_design_m);
    if (code != OK) return code;
    if (!find_movement(z, seal))
        return sizing_ask(
            z, "movement",
            "The crack moves: a flexible seal must be sized by its movement in a year, which is not known. "
            "Who reads the gauge, and who sizes the seal? It is not in this price.");
    if (seal->input.movement_m > FLEXIBLE_MOST_M)
        return sizing_ask(
            z, "movement",
            "The crack moves more than a sealed groove can follow: which engineer designs a joint "
            "with a profile here? It is not in this price.");
    code = take_class(z, &seal->input);
    if (code != OK) return code;
    seal->input.tolerance_m = TOLERANCE_M;
    seal->input.under_pressure = z->leak->head_design_m > 0 || !z->leak->level_known;
    seal->input.crack_width_m = widest_along_m(z);
    code = flexible_size(&seal->input, &seal->groove, z->why);
    if (code != OK) return code;
    measure(z, seal);
    code = ask_about_steel(z, seal);
    return code == OK ? ask_about_water(z) : code;
}
