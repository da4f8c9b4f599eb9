#include "ops/gauge.h"

#include "ops/leak_change.h"
#include "survey/fields.h"
#include "survey/readings.h"

#include <string.h>

static const char *const system_words[] = {"metric", "US"};

/* One value in the job's units, held against the member that it becomes. */
static status read_value(units_system system, size_t field, double shown, double *si, fault *why) {
    const survey_field *f = &survey_reading_fields.fields[field];
    *si = units_to_si(f->q, system, shown) + 0.0;
    if (*si >= f->range.low && *si <= f->range.high) return OK;
    return fault_set(why, E_INPUT, "%s is %g %s; it must lie in %g to %g %s", f->name, shown,
                     units_symbol(f->q, system), units_from_si(f->q, system, f->range.low),
                     units_from_si(f->q, system, f->range.high), units_symbol(f->q, system));
}

enum { READING_WIDTH = 2, READING_TEMPERATURE = 3 }; /* places in survey_reading_fields */

/* A reading without a name belongs to the only gauge, which has none; where gauges have names it would begin another. */
static status check_unnamed(const survey_defect *d, fault *why) {
    for (size_t i = 0; i < d->n_readings; i++)
        if (d->readings[i].gauge)
            return fault_set(why, E_INPUT, "%s has a gauge named %.60s: which gauge was read?", d->mark,
                             d->readings[i].gauge);
    return OK;
}

static status read_reading(const ops_gauge *given, const survey_defect *d, units_system system,
                           survey_reading *out, fault *why) {
    *out = (survey_reading){.gauge = given->gauge && *given->gauge ? given->gauge : NULL, .on = given->on};
    if (given->system && *given->system != system)
        return fault_set(why, E_INPUT, "the numbers are in %s units, but the job is %s",
                         system_words[*given->system], system_words[system]);
    status code = leak_change_date("on", given->on, why);
    const char *objection = out->gauge ? survey_name_objection(out->gauge) : NULL;
    if (code == OK && objection)
        code = fault_set(why, E_INPUT, "the gauge \"%.60s\" %s", out->gauge, objection);
    if (code == OK && !out->gauge) code = check_unnamed(d, why);
    if (code == OK) code = read_value(system, READING_WIDTH, given->width, &out->width_m, why);
    out->temperature_c.known = given->temperature.known;
    if (code == OK && given->temperature.known)
        code = read_value(system, READING_TEMPERATURE, given->temperature.v, &out->temperature_c.v, why);
    return code;
}

/* *told: the line of the log in the arena; NULL: it stands there already. */
static status add(leak_change *c, const survey_reading *reading, const char **told, fault *why) {
    char width[UNITS_SHOWN];
    size_t added;
    survey *s = c->e.s;
    const readings_new more = {*reading, NULL};
    if (!readings_add(s, c->after, &more, 1, &added, c->e.faults)) {
        fault_list_status(c->e.faults, why);
        return why->code == E_MEMORY ? E_MEMORY : (why->code = E_STATE);
    }
    if (added == 0) return OK;
    *told = arena_print(s->memory, "gauge %s%s%s on %s: %s", c->after->mark, reading->gauge ? " " : "",
                        reading->gauge ? reading->gauge : "", reading->on,
                        readings_show(UNITS_SIZE, s->site.system, reading->width_m, width));
    return *told ? OK : fault_memory(why);
}

status ops_gauge_add(const char *path, const ops_gauge *reading, const ops_actor *actor, ops_leak_change *out,
                     fault *why) {
    leak_change c;
    survey_reading r;
    const char *told = NULL;
    *out = (ops_leak_change){0};
    status code = leak_change_text("by", actor->by, 200, why);
    if (code == OK) {
        code = leak_change_begin(&c, path, reading->mark, why);
        if (code == OK) code = read_reading(reading, c.after, c.e.s->site.system, &r, why);
        if (code == OK) code = add(&c, &r, &told, why);
        if (code == OK) code = leak_change_keep(&c, told, actor, out, why);
        leak_change_end(&c);
    }
    return code;
}
