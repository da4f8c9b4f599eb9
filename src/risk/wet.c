#include "risk/model.h"

#include <string.h>

bool risk_is_dry(const leak_water *leak) {
    return leak->worst <= WET_DAMP && leak->defect->n_flows == 0;
}

/* The same leak, dripping all along. */
static status drip(survey_defect *d, arena *memory, fault *why) {
    size_t n = d->n_stations ? d->n_stations : 1;
    survey_station *stations = arena_get(memory, n, sizeof *stations);
    if (!stations) return fault_memory(why);
    if (d->n_stations) memcpy(stations, d->stations, n * sizeof *stations);
    for (size_t k = 0; k < n; k++) stations[k].wetness = WET_DRIP;
    d->stations = stations;
    d->n_stations = n;
    return OK;
}

status risk_wet_plan(const plan *p, arena *memory, risk_model *m, plan **out, fault *why) {
    survey *s = arena_get(memory, 1, sizeof *s);
    survey_defect *defects = arena_get(memory, p->n_leaks, sizeof *defects);
    size_t dry = 0;
    fault found = {0};
    *out = NULL;
    if (!s || !defects) return fault_memory(why);
    *s = *p->survey;
    memcpy(defects, s->defects, p->n_leaks * sizeof *defects);
    s->defects = defects;
    for (size_t i = 0; i < p->n_leaks; i++) {
        if (!risk_is_dry(&p->leaks[i])) continue;
        status code = drip(&defects[i], memory, why);
        if (code != OK) return code;
        dry++;
    }
    if (dry == 0) return OK;
    status code = plan_make(s, &(plan_options){.planes = PLANES_OFF, .threads = 1}, out, &found);
    if (code == E_INPUT)
        return risk_model_warn(m, memory, why,
                               "What a dry leak found wet would cost could not be planned: %s.", found.text);
    return code == OK ? OK : fault_set(why, code, "%s", found.text);
}
