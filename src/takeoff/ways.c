#include "takeoff/ways.h"

#include "takeoff/left.h"

#include <math.h>

static const double PI = 3.14159265358979323846;

typedef struct {
    const survey *s;
    const char *mark;
    takeoff_leak *out;
    fault *why;
} filling;

static survey_resin family_of(survey_method name) {
    return name == METHOD_INJECT_CEMENT         ? RESIN_CEMENT
           : name == METHOD_INJECT_EPOXY        ? RESIN_EPOXY
           : name == METHOD_INJECT_POLYURETHANE ? RESIN_POLYURETHANE
                                                : RESIN_ACRYLATE;
}

double ways_place_m3_min(const survey *s, const survey_material *material) {
    const char *rate = material->role == ROLE_RESIN ? "inject_place_l_min" : "sealant_place_l_min";
    return takeoff_rate(s, rate) / 1000;
}

/* Batches of a volume that a pump or gun places. */
static status fill(const filling *f, const survey_material *material, double volume_m3) {
    takeoff_fill *to = &f->out->fill;
    double limit_m3 = 0, set_s;
    *to = (takeoff_fill){.material = material, .volume_m3 = volume_m3, .batches = 1};
    if (material->pot_life_s.known) {
        double mixed_c = takeoff_mix_temperature_c(f->s);
        status code = takeoff_times(material, mixed_c, &to->usable_s, &set_s, f->why);
        if (code != OK) return code;
        limit_m3 = ways_place_m3_min(f->s, material) * to->usable_s / 60 * TAKEOFF_USED_PART;
    }
    to->batches = left_batches(volume_m3, limit_m3);
    to->batch_volume_m3 = volume_m3 / to->batches;
    return OK;
}

static status inject(const filling *f, survey_method name, const design_injection *d) {
    survey_resin family = family_of(name);
    const survey_material *material = survey_find_resin(f->s, family);
    if (!material)
        return fault_set(f->why, E_INPUT, "materials: no resin is of the family %s, which leak %s needs",
                         survey_resin_words[family], f->mark);
    f->out->packers = (int)d->n_ports;
    f->out->drill_m = (double)d->n_ports * d->hole_length_m;
    f->out->spoil_kg += PI / 4 * d->hole_m * d->hole_m * f->out->drill_m * WAYS_CONCRETE_KG_M3;
    return fill(f, material, d->order_m3);
}

static status seal(const filling *f, const design_flexible *d) {
    const survey_material *material = survey_find_role(f->s, ROLE_SEALANT);
    if (!material)
        return fault_set(f->why, E_INPUT, "materials: none has the role %s, which leak %s needs",
                         survey_role_words[ROLE_SEALANT], f->mark);
    f->out->backer_m = d->backer_m;
    f->out->spoil_kg += d->groove.width_m * d->groove.groove_depth_m * d->length_m * WAYS_CONCRETE_KG_M3;
    double waste = takeoff_rate(f->s, "waste_percent") / 100;
    return fill(f, material, d->sealant_m3 * (1 + waste));
}

status ways_measure(const survey *s, const repair_design *d, const char *mark, takeoff_leak *out,
                    fault *why) {
    filling f = {s, mark, out, why};
    if (!design_is_priced(d)) return OK;
    if (method_is_injection(d->method.name)) return inject(&f, d->method.name, &d->injection);
    if (d->method.name == METHOD_FLEXIBLE) return seal(&f, &d->flexible);
    if (d->method.name == METHOD_DRAIN) out->channel_m = d->drain.length_m;
    return OK;
}
