/* What the scan leaves of a slot, stretch by stretch, and what helps where a plug wants more. */
#include "plan/explain.h"
#include "plan/show.h"

static void explain_stretch(explaining *e, const steel_stretch *s) {
    static const char *const bars[BAR_COUNT] = {
        [BAR_NOT_SCANNED] = "not scanned", [BAR_CROSSING] = "bar crossing", [BAR_ALONG] = "bar along"};
    plan *p = e->p;
    const char *from = show_length(p, s->from_m), *to = show_length(p, s->to_m);
    const char *label = s->to_m > s->from_m ? arena_print(p->memory, "Cut %s to %s", from, to)
                                            : arena_print(p->memory, "Cut at %s", from);
    const char *value = s->allowed_m.known
                            ? arena_print(p->memory, "at most %s", show_size(p, s->allowed_m.v))
                        : s->bar == BAR_NOT_SCANNED ? "not before it is scanned"
                                                    : "not before the cover is known";
    explain_row(e, label ? label : "", value,
                s->allowed_m.known
                    ? arena_print(p->memory, "cover - %s; crossing: half a bar + %s",
                                  show_size(p, STEEL_CLEAR_M), show_size(p, STEEL_CROSSING_PAST_M))
                    : "",
                bars[s->bar] ? bars[s->bar] : "",
                arena_print(p->memory, "%s: our default; trade rule 13", show_size(p, STEEL_CLEAR_M)));
}

/* The size that each remedy comes with: a width, an angle or a stress. */
static const char *advice_value(const plan *p, const steel_advice *a) {
    const char *enough = a->enough ? "enough" : "not enough";
    const char *wants =
        a->depth_m > 0 ? arena_print(p->memory, ", the plug then wants %s", show_size(p, a->depth_m)) : "";
    if (!wants) return NULL;
    switch (a->name) {
    case REMEDY_NARROWER:
        return arena_print(p->memory, "%s: %s wide%s", enough, show_size(p, a->value), wants);
    case REMEDY_UNDERCUT:
        return arena_print(p->memory, "%s: flanks at %s degrees%s", enough, show_plain(p, a->value, 0),
                           wants);
    case REMEDY_STRONGER:
        return arena_print(p->memory, "%s: bond of %s%s", enough, show_stress(p, a->value), wants);
    case REMEDY_CHIPPED:
    case REMEDY_INJECT:
    case REMEDY_COUNT: break;
    }
    return arena_print(p->memory, "%s%s", enough, wants);
}

void explain_steel(explaining *e) {
    plan *p = e->p;
    const repair_design *d = &p->designs[e->leak];
    e->group = "Steel";
    for (size_t i = 0; i < d->steel.n; i++) explain_stretch(e, &d->steel.stretches[i]);
    for (int i = 0; d->advised && i < REMEDY_COUNT; i++)
        explain_row(e, arena_print(p->memory, "Instead: %s", steel_remedy_words[d->advice[i].name]),
                    advice_value(p, &d->advice[i]), "d = SF p b/(2 tau)", "depth that the steel leaves",
                    "perimeter shear, computed by us");
}
