/* What forbids a method for a leak: one function a reason, asked in order; each says why in one sentence. */
#include "diagnose/method_parts.h"

#include <math.h>
#include <stdio.h>

#define BITS_SLOT (METHOD_BIT(METHOD_SLOT_PLUG) | METHOD_BIT(METHOD_SLOT_PACK))
#define BITS_RESIN                                                                                           \
    (METHOD_BIT(METHOD_INJECT_EPOXY) | METHOD_BIT(METHOD_INJECT_POLYURETHANE) |                              \
     METHOD_BIT(METHOD_INJECT_ACRYLATE))
#define BITS_RIGID                                                                                           \
    (BITS_SLOT | METHOD_BIT(METHOD_COAT) | METHOD_BIT(METHOD_RING) | METHOD_BIT(METHOD_INJECT_CEMENT) |      \
     METHOD_BIT(METHOD_INJECT_EPOXY))

static bool is_one_of(survey_method name, unsigned bits) {
    return (METHOD_BIT(name) & bits) != 0;
}

/* A size as the job writes it: `fine` for widths of cracks. */
static char *size(const method_facts *f, double m, bool fine, char into[UNITS_SHOWN]) {
    int decimals = f->system == UNITS_US ? (fine ? 3 : 2) : (fine ? 2 : 0);
    return units_show(UNITS_SIZE, f->system, m, decimals, into);
}

static bool is_excluded(const method_facts *f, survey_method name, char say[METHOD_SAY]) {
    if (!is_one_of(name, f->excluded | f->excluded_job)) return false;
    snprintf(say, METHOD_SAY, "excluded %s",
             is_one_of(name, f->excluded_job) ? "in this job" : "for this leak");
    return true;
}

static bool is_for_another_kind(const method_facts *f, survey_method name, char say[METHOD_SAY]) {
    static const struct {
        survey_method name;
        unsigned kinds;
        const char *place;
    } places[] = {{METHOD_SLOT_PLUG, KINDS_LINE, "along a crack or joint"},
                  {METHOD_SLOT_PACK, KINDS_LINE, "along a crack or joint"},
                  {METHOD_HOLE, 1u << KIND_TIE_HOLE, "at a tie hole"},
                  {METHOD_RING, 1u << KIND_PENETRATION, "round a pipe"},
                  {METHOD_CUT_BACK, 1u << KIND_HONEYCOMB, "at honeycomb"},
                  {METHOD_FLEXIBLE, KINDS_MOVING, "along a crack, a joint or a pipe"}};
    for (size_t i = 0; i < sizeof places / sizeof *places; i++)
        if (places[i].name == name && !(places[i].kinds & (1u << f->kind))) {
            snprintf(say, METHOD_SAY, "it is made %s only", places[i].place);
            return true;
        }
    return false;
}

static bool is_too_cold(const method_facts *f, survey_method name, char say[METHOD_SAY]) {
    char wall[UNITS_SHOWN], least[UNITS_SHOWN];
    if (!f->wall_c.known || !(f->wall_c.v < f->lowest_c[name])) return false;
    snprintf(say, METHOD_SAY, "the wall at %s is colder than the %s that its material wants",
             units_show(UNITS_TEMPERATURE, f->system, f->wall_c.v, 0, wall),
             units_show(UNITS_TEMPERATURE, f->system, f->lowest_c[name], 0, least));
    return true;
}

/* Cement is what drinking water stands in anyway; what is asked about are resins and sealants (trade rule 14). */
static bool is_not_approved(const method_facts *f, survey_method name, char say[METHOD_SAY]) {
    bool asked = f->drinking_water || f->hazardous_liquid;
    bool approved = f->approved || is_one_of(name, f->approved_here);
    if (!asked || approved || !is_one_of(name, BITS_RESIN | METHOD_BIT(METHOD_FLEXIBLE))) return false;
    snprintf(say, METHOD_SAY, "no approval of its material for %s is recorded",
             f->drinking_water ? "drinking water" : "the liquid");
    return true;
}

/* Coats: Construction Waterproofing Handbook. Epoxy: UFC 4-150-07. The others: the same for what is as stiff. */
static bool is_torn_by_movement(const method_facts *f, survey_method name, char say[METHOD_SAY]) {
    if (!method_is_moving(f) || !is_one_of(name, BITS_RIGID)) return false;
    snprintf(say, METHOD_SAY, "the crack moves, and this would tear open again");
    return true;
}

/* Filled at its narrowest, w - M, resin is stretched to w: more than twice as wide from M = w/2 on. EN 1504-5 D is for small
 * movement (value from memory); the number is our default. */
static bool is_overstretched(const method_facts *f, survey_method name, char say[METHOD_SAY]) {
    char move[UNITS_SHOWN], width[UNITS_SHOWN];
    if (name != METHOD_INJECT_POLYURETHANE || !method_is_moving(f)) return false;
    if (!f->movement_m.known || !f->width_m.known || !(f->movement_m.v > f->width_m.v / 2)) return false;
    snprintf(say, METHOD_SAY, "a movement of %s in a crack of %s would stretch the resin to more than twice",
             size(f, f->movement_m.v, true, move), size(f, f->width_m.v, true, width));
    return true;
}

/* Wettest state that a method bears. Epoxy dry or damp: EN 1504-5 F (value from memory). Sealant: a dry groove, UFC 3-270-03;
 * drips can be led off. The others common practice: what is fresh is washed out. */
static bool is_washed_out(const method_facts *f, survey_method name, char say[METHOD_SAY]) {
    static const struct {
        survey_method name;
        survey_wetness most;
        const char *why;
    } limits[] = {{METHOD_INJECT_EPOXY, WET_DAMP, "epoxy bonds where it is dry or damp"},
                  {METHOD_SLOT_PACK, WET_SEEP, "only a plug holds the water off while the pack sets"},
                  {METHOD_COAT, WET_SEEP, "the water washes a fresh coat off"},
                  {METHOD_INJECT_CEMENT, WET_DRIP, "the water carries fresh grout away"},
                  {METHOD_FLEXIBLE, WET_DRIP, "sealant wants a dry groove"}};
    for (size_t i = 0; i < sizeof limits / sizeof *limits; i++) {
        if (limits[i].name != name || f->worst <= limits[i].most) continue;
        if (name == METHOD_COAT && f->far_side == FAR_OPEN)
            continue; /* on the wet side the water is let down */
        snprintf(say, METHOD_SAY, "%s, and the leak is worse: %s", limits[i].why,
                 survey_wetness_words[f->worst]);
        return true;
    }
    return false;
}

static bool is_not_wet_enough(const method_facts *f, survey_method name, char say[METHOD_SAY]) {
    if (name == METHOD_INJECT_ACRYLATE && !f->always_wet) {
        snprintf(say, METHOD_SAY,
                 "the gel shrinks where it falls dry, and this leak is not known to stay wet");
        return true;
    }
    if (name == METHOD_DRAIN && f->worst <= WET_DAMP) {
        snprintf(say, METHOD_SAY, "there is no water to lead away");
        return true;
    }
    return false;
}

static bool is_wrong_width(const method_facts *f, survey_method name, char say[METHOD_SAY]) {
    static const struct {
        survey_method name;
        double least_m, most_m;
    } limits[] = {{METHOD_INJECT_EPOXY, METHOD_RESIN_M, METHOD_EPOXY_WIDEST_M},
                  {METHOD_INJECT_POLYURETHANE, METHOD_RESIN_M, HUGE_VAL},
                  {METHOD_INJECT_ACRYLATE, METHOD_RESIN_M, HUGE_VAL},
                  {METHOD_INJECT_CEMENT, METHOD_GROUT_M, HUGE_VAL},
                  {METHOD_COAT, 0, METHOD_COAT_WIDEST_M}};
    char width[UNITS_SHOWN], limit[UNITS_SHOWN];
    for (size_t i = 0; i < sizeof limits / sizeof *limits && f->width_m.known; i++) {
        bool fine = f->width_m.v<limits[i].least_m, wide = f->width_m.v> limits[i].most_m;
        if (limits[i].name != name || !(fine || wide)) continue;
        snprintf(say, METHOD_SAY, "the crack of %s is %s than the %s that it takes",
                 size(f, f->width_m.v, true, width), fine ? "finer" : "wider",
                 size(f, fine ? limits[i].least_m : limits[i].most_m, true, limit));
        return true;
    }
    return false;
}

/* Depth that the plug wants at its best. Faces that are sawn now can be chipped (trade rule 11), which takes the bond from
 * 0.05 to 0.15 MPa. A pipe is no face to bond to: a ring wants twice the plug of a slot (repair/design.h). */
static double plug_wanted_m(const method_facts *f, survey_method name) {
    if (!f->plug_need_m.known || !is_one_of(name, BITS_SLOT | METHOD_BIT(METHOD_RING))) return 0;
    double need_m = f->sawn ? f->plug_need_m.v / METHOD_CHIPPED_GAIN : f->plug_need_m.v;
    return name == METHOD_RING ? 2 * need_m : need_m;
}

double method_slot_wanted_m(const method_facts *f, survey_method name) {
    double need = plug_wanted_m(f, name);
    if (name == METHOD_SLOT_PACK) return fmax(METHOD_SLOT_M, need);
    if (name == METHOD_SLOT_PLUG || name == METHOD_RING) return fmax(METHOD_SLOT_M, need + METHOD_PACK_M);
    if (name == METHOD_FLEXIBLE) return METHOD_GROOVE_M;
    return name == METHOD_CUT_BACK && f->honeycomb_m.known ? f->honeycomb_m.v : 0;
}

/* Trade rule 13: the steel limits what was scanned; what was not is a hold point, not a reason to choose otherwise. */
static bool is_held_up_by_steel(const method_facts *f, survey_method name, char say[METHOD_SAY]) {
    char left[UNITS_SHOWN], want[UNITS_SHOWN];
    unsigned cut = BITS_SLOT | METHOD_BIT(METHOD_RING) | METHOD_BIT(METHOD_FLEXIBLE);
    if (!f->slot_allowed_m.known || !is_one_of(name, cut)) return false;
    double allowed = f->slot_allowed_m.v, need = plug_wanted_m(f, name);
    if (allowed < METHOD_CUT_LEAST_M)
        snprintf(say, METHOD_SAY, "the steel leaves %s of depth, and a cut wants at least %s",
                 size(f, allowed, false, left), size(f, METHOD_CUT_LEAST_M, false, want));
    else if (allowed < need)
        snprintf(say, METHOD_SAY, "the steel leaves %s of depth, and a plug between chipped faces wants %s",
                 size(f, allowed, false, left), size(f, ceil(need * 1000 - 1e-9) / 1000, false, want));
    else
        return false;
    return true;
}

static bool is_too_deep(const method_facts *f, survey_method name, char say[METHOD_SAY]) {
    char want[UNITS_SHOWN], third[UNITS_SHOWN];
    double depth = method_slot_wanted_m(f, name), most = f->thickness_m / METHOD_CUT_SHARE;
    if (f->slot_allowed_m.known && name != METHOD_CUT_BACK) depth = fmin(depth, f->slot_allowed_m.v);
    if (!(depth > most * (1 + 1e-9))) return false; /* 100 mm is a third of 300 mm, whatever the rounding */
    snprintf(say, METHOD_SAY, "a cut of %s is deeper than a third of the member, %s",
             size(f, depth, false, want), size(f, most, false, third));
    return true;
}

bool method_forbidden(const method_facts *f, survey_method name, char say[METHOD_SAY]) {
    static bool (*const limits[])(const method_facts *, survey_method, char[METHOD_SAY]) = {
        is_excluded,       is_for_another_kind, is_torn_by_movement, is_washed_out,
        is_not_wet_enough, is_held_up_by_steel, is_too_deep,         is_wrong_width,
        is_overstretched,  is_not_approved,     is_too_cold};
    say[0] = '\0';
    if (name == METHOD_ENGINEER) return false;
    for (size_t i = 0; i < sizeof limits / sizeof *limits; i++)
        if (limits[i](f, name, say)) return true;
    return false;
}
