/* The question where steel leaves less than a slot wants: what is short, and what helps, with its numbers. */
#include "repair/sizing.h"

#include <math.h>
#include <string.h>

static const char *if_short(const steel_advice *a) {
    return a->enough ? "" : ", not enough";
}

/* A bond to be proven, up to the next digit shown: what is shown is enough. */
static const char *bond_wanted(const sizing *z, double pa) {
    const units_system u = z->s->site.system;
    double digits = u == UNITS_US ? 10 : 100, shown = units_from_si(UNITS_STRESS, u, pa);
    return sizing_show(z, UNITS_STRESS, units_to_si(UNITS_STRESS, u, ceil(shown * digits - 1e-9) / digits));
}

/* "chipped faces: 10 mm of plug; a slot 17 mm wide: 14 mm; ..." */
static const char *remedies(const sizing *z, const steel_advice *a) {
    const char *chipped = sizing_show(z, UNITS_SIZE, a[REMEDY_CHIPPED].depth_m);
    const char *wide = sizing_show(z, UNITS_SIZE, a[REMEDY_NARROWER].value);
    const char *narrow = sizing_show(z, UNITS_SIZE, a[REMEDY_NARROWER].depth_m);
    const char *under = sizing_show(z, UNITS_SIZE, a[REMEDY_UNDERCUT].depth_m);
    const char *bond = bond_wanted(z, a[REMEDY_STRONGER].value);
    if (!chipped || !wide || !narrow || !under || !bond) return NULL;
    const char *faces = z->leak->defect->slot_faces == SLOT_CHIPPED
                            ? ""
                            : arena_print(z->memory, "chipped faces want %s of plug%s; ", chipped,
                                          if_short(&a[REMEDY_CHIPPED]));
    const char *stronger = a[REMEDY_STRONGER].value > 0
                               ? arena_print(z->memory, "a plug with a proven bond of %s%s; ", bond,
                                             if_short(&a[REMEDY_STRONGER]))
                               : "";
    if (!faces || !stronger) return NULL;
    return arena_print(z->memory,
                       "%sa slot only %s wide wants %s%s; flanks undercut by %.0f degrees want %s%s; %sor "
                       "injection. A wider slot would want more.",
                       faces, wide, narrow, if_short(&a[REMEDY_NARROWER]), a[REMEDY_UNDERCUT].value, under,
                       if_short(&a[REMEDY_UNDERCUT]), stronger);
}

static const char *what_is_short(const sizing *z, const steel_stretch *bar, double wanted_m) {
    const char *a = sizing_show(z, UNITS_LENGTH, bar->from_m), *b = sizing_show(z, UNITS_LENGTH, bar->to_m);
    const char *mid = sizing_show(z, UNITS_LENGTH, (bar->from_m + bar->to_m) / 2);
    const char *allowed = sizing_show(z, UNITS_SIZE, bar->allowed_m.v);
    const char *wanted = sizing_show(z, UNITS_SIZE, wanted_m);
    if (!a || !b || !mid || !allowed || !wanted) return NULL;
    if (bar->bar == BAR_CROSSING)
        return arena_print(z->memory, "A bar crosses at %s and allows %s there, where %s is wanted", mid,
                           allowed, wanted);
    return arena_print(
        z->memory, "A bar lies along the crack from %s to %s: it allows a slot %s deep where %s is wanted", a,
        b, allowed, wanted);
}

static const char *and_others(const sizing *z, size_t others) {
    if (others == 0) return "";
    return arena_print(z->memory, " (and %zu more %s)", others, others == 1 ? "stretch" : "stretches");
}

/* The plug still holds: only the dry-pack over it grows thin, or the slot is shallower than the trade cuts it. */
static status ask_if_shallow_will_do(sizing *z, const char *what, const char *more) {
    const char *holds = z->out->pressure_pa > 0 ? "The plug holds in it with its safety factor."
                                                : "No water pressure is known for it.";
    return sizing_ask(
        z, "steel",
        arena_print(z->memory, "%s%s. %s Is the shallower slot accepted, and by whom?", what, more, holds));
}

status sizing_ask_steel(sizing *z, const steel_stretch *worst, double wanted_m, size_t others) {
    repair_design *out = z->out;
    double room = sizing_plug_room_m(z, worst->allowed_m.v);
    const char *what = what_is_short(z, worst, wanted_m), *more = and_others(z, others);
    if (!what || !more) return fault_memory(z->why);
    if (worst->allowed_m.v >= SIZING_CUT_LEAST_M && room >= out->plug_need_m - 1e-9)
        return ask_if_shallow_will_do(z, what, more);
    if (worst->allowed_m.v < SIZING_CUT_LEAST_M) room = 0; /* no slot at all: nothing but injection is left */
    plug_faces faces = z->leak->defect->slot_faces == SLOT_CHIPPED ? PLUG_CHIPPED : PLUG_SAWN;
    steel_advice advice[REMEDY_COUNT];
    status code = steel_advise(out->pressure_pa, out->slot_width_m, faces, PLUG_SAFETY, room, advice, z->why);
    if (code != OK) return code;
    if (!out->advised) memcpy(out->advice, advice, sizeof advice);
    out->advised = true;
    const char *plug = sizing_show(z, UNITS_SIZE, room), *need = sizing_show(z, UNITS_SIZE, out->plug_need_m);
    const char *help = remedies(z, advice);
    if (!plug || !need || !help) return fault_memory(z->why);
    return sizing_ask(
        z, "steel",
        arena_print(z->memory, "%s%s. That leaves the plug %s and it needs %s. What helps: %s Who decides?",
                    what, more, plug, need, help));
}
