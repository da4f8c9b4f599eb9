#include "repair/injection_parts.h"

#include <math.h>
#include <stdlib.h>

typedef struct {
    double height, along; /* height in half spacings above the lowest port */
    size_t at;
} turn;

static int earlier(const void *a, const void *b) {
    const turn *x = a, *y = b;
    if (x->height != y->height) return x->height < y->height ? -1 : 1;
    if (x->along != y->along) return x->along < y->along ? -1 : 1;
    return x->at < y->at ? -1 : 1;
}

static bool all_on_floors(const sizing *z) {
    const survey_defect *d = z->leak->defect;
    for (size_t i = 0; i < d->n_parts; i++)
        if (survey_find_face(z->s, d->parts[i].face)->lie != LIE_FLOOR) return false;
    return true;
}

/* Trade journal through trade page diagnosis.md 7.1: begin at the widest part and wait for back-pressure. */
static maybe widest_at(const sizing *z) {
    const survey_defect *d = z->leak->defect;
    maybe at = {0};
    double widest = 0;
    for (size_t i = 0; i < d->n_stations; i++) {
        if (!d->stations[i].width_m.known || !(d->stations[i].width_m.v > widest)) continue;
        widest = d->stations[i].width_m.v;
        at = (maybe){true, d->stations[i].chainage_m};
    }
    return at;
}

status injection_order(sizing *z, design_injection *in) {
    turn *turns = arena_get(z->memory, in->n_ports, sizeof *turns);
    if (!turns) return fault_memory(z->why);
    maybe widest = survey_is_line(z->leak->defect->kind) && all_on_floors(z) ? widest_at(z) : (maybe){0};
    double lowest = HUGE_VAL;
    for (size_t i = 0; i < in->n_ports; i++) lowest = fmin(lowest, in->ports[i].elevation_m);
    for (size_t i = 0; i < in->n_ports; i++) {
        const design_port *p = &in->ports[i];
        turns[i].at = i;
        turns[i].height = floor((p->elevation_m - lowest) / (in->spacing_m / 2) + 1e-6);
        turns[i].along = widest.known ? fabs(p->at_m - widest.v) : p->at_m;
    }
    qsort(turns, in->n_ports, sizeof *turns, earlier);
    for (size_t i = 0; i < in->n_ports; i++) in->ports[turns[i].at].order = (int)i + 1;
    return OK;
}
