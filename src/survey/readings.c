#include "survey/readings.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int readings_order(const survey_reading *a, const survey_reading *b) {
    int gauges = strcmp(a->gauge ? a->gauge : "", b->gauge ? b->gauge : "");
    return gauges ? gauges : strcmp(a->on, b->on);
}

bool readings_same_gauge(const survey_reading *a, const survey_reading *b) {
    return strcmp(a->gauge ? a->gauge : "", b->gauge ? b->gauge : "") == 0;
}

static int by_gauge(const void *a, const void *b) {
    return readings_order(a, b);
}

static int by_day(const void *a, const void *b) {
    const survey_air *left = a, *right = b;
    return strcmp(left->on, right->on);
}

void readings_sort(survey_reading *readings, size_t n) {
    if (n > 1) qsort(readings, n, sizeof *readings, by_gauge);
}

void readings_sort_air(survey_air *air, size_t n) {
    if (n > 1) qsort(air, n, sizeof *air, by_day);
}

char *readings_show(units_quantity q, units_system system, double si, char into[UNITS_SHOWN]) {
    char number[TEXT_NUMBER];
    snprintf(into, UNITS_SHOWN, "%s %s", units_text(q, system, si, number), units_symbol(q, system));
    return into;
}

/* ---- gauges ---- */

/* qsort may change the order of equals: what was there first must stay first. */
typedef struct {
    readings_new r;
    size_t place;
} entry;

static int by_entry(const void *a, const void *b) {
    const entry *left = a, *right = b;
    int order = readings_order(&left->r.reading, &right->r.reading);
    return order ? order : left->place < right->place ? -1 : left->place > right->place;
}

typedef struct {
    const survey *s;
    const survey_defect *d;
    fault_list *faults;
} adding;

static void tell_twice(const adding *a, const entry *again, const survey_reading *there, units_quantity q,
                       double was, double is) {
    char old[UNITS_SHOWN], new[UNITS_SHOWN];
    const char *gauge = there->gauge ? there->gauge : "";
    units_system system = a->s->site.system;
    fault_list_add(a->faults, "%s%s%s%s%s on %s: was read as %s already, and now as %s",
                   again->r.origin ? again->r.origin : "", again->r.origin ? ": " : "", a->d->mark,
                   *gauge ? ", gauge " : "", gauge, there->on, readings_show(q, system, was, old),
                   readings_show(q, system, is, new));
}

/* The same gauge on the same day: true when `there` has changed. */
static bool meet(const adding *a, survey_reading *there, const entry *again) {
    const survey_reading *r = &again->r.reading;
    if (r->width_m != there->width_m) {
        tell_twice(a, again, there, UNITS_SIZE, there->width_m, r->width_m);
        return false;
    }
    if (!r->temperature_c.known) return false;
    if (there->temperature_c.known && r->temperature_c.v != there->temperature_c.v)
        tell_twice(a, again, there, UNITS_TEMPERATURE, there->temperature_c.v, r->temperature_c.v);
    bool fills = !there->temperature_c.known;
    if (fills) there->temperature_c = r->temperature_c;
    return fills;
}

static size_t join(const adding *a, const entry *entries, size_t n, survey_reading *out, size_t *added) {
    size_t kept = 0;
    for (size_t i = 0; i < n; i++) {
        const survey_reading *r = &entries[i].r.reading;
        bool same = kept > 0 && readings_order(&out[kept - 1], r) == 0;
        if (same)
            *added += meet(a, &out[kept - 1], &entries[i]);
        else {
            out[kept++] = *r;
            *added += entries[i].place >= a->d->n_readings;
        }
    }
    return kept;
}

bool readings_add(survey *s, survey_defect *d, const readings_new *more, size_t n, size_t *added,
                  fault_list *faults) {
    const adding a = {s, d, faults};
    size_t before = fault_list_count(faults), total = d->n_readings + n;
    *added = 0;
    if (total == 0) return true;
    entry *entries = mem_zero(total, sizeof *entries);
    survey_reading *joined = arena_get(s->memory, total, sizeof *joined);
    if (entries && joined) {
        for (size_t i = 0; i < d->n_readings; i++) entries[i] = (entry){{d->readings[i], NULL}, i};
        for (size_t i = 0; i < n; i++) entries[d->n_readings + i] = (entry){more[i], d->n_readings + i};
        qsort(entries, total, sizeof *entries, by_entry);
        size_t kept = join(&a, entries, total, joined, added);
        if (fault_list_count(faults) == before) {
            d->readings = joined;
            d->n_readings = kept;
        }
    } else
        fault_list_memory(faults);
    mem_free(entries);
    return fault_list_count(faults) == before;
}

/* ---- air ---- */

typedef struct {
    readings_new_air r;
    size_t place;
} air_entry;

static int by_air_entry(const void *a, const void *b) {
    const air_entry *left = a, *right = b;
    int order = strcmp(left->r.day.on, right->r.day.on);
    return order ? order : left->place < right->place ? -1 : left->place > right->place;
}

static size_t join_air(const survey *s, const air_entry *entries, size_t n, survey_air *out,
                       fault_list *faults) {
    char was[UNITS_SHOWN], is[UNITS_SHOWN];
    size_t kept = 0;
    for (size_t i = 0; i < n; i++) {
        const readings_new_air *r = &entries[i].r;
        if (kept == 0 || strcmp(out[kept - 1].on, r->day.on) != 0)
            out[kept++] = r->day;
        else if (out[kept - 1].air_c != r->day.air_c)
            fault_list_add(faults, "%s%sthe air of %s: was %s already, and is now %s",
                           r->origin ? r->origin : "", r->origin ? ": " : "", r->day.on,
                           readings_show(UNITS_TEMPERATURE, s->site.system, out[kept - 1].air_c, was),
                           readings_show(UNITS_TEMPERATURE, s->site.system, r->day.air_c, is));
    }
    return kept;
}

bool readings_add_air(survey *s, const readings_new_air *more, size_t n, fault_list *faults) {
    size_t before = fault_list_count(faults), there = s->site.n_air, total = there + n;
    if (total == 0) return true;
    air_entry *entries = mem_zero(total, sizeof *entries);
    survey_air *joined = arena_get(s->memory, total, sizeof *joined);
    if (entries && joined) {
        for (size_t i = 0; i < there; i++) entries[i] = (air_entry){{s->site.air[i], NULL}, i};
        for (size_t i = 0; i < n; i++) entries[there + i] = (air_entry){more[i], there + i};
        qsort(entries, total, sizeof *entries, by_air_entry);
        size_t kept = join_air(s, entries, total, joined, faults);
        if (fault_list_count(faults) == before) {
            s->site.air = joined;
            s->site.n_air = kept;
        }
    } else
        fault_list_memory(faults);
    mem_free(entries);
    return fault_list_count(faults) == before;
}
