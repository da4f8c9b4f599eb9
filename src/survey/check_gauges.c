/* Gauges, the weather that they need, and what a person decided about methods. */
#include "survey/check.h"
#include "survey/checker.h"
#include "survey/readings.h"

#include <stdio.h>
#include <string.h>

/* ---- readings ---- */

static const char *called(const survey_defect *d, const survey_reading *r, char into[160]) {
    snprintf(into, 160, "%.60s%s%.60s", d->mark, r->gauge ? ", gauge " : "", r->gauge ? r->gauge : "");
    return into;
}

/* Where one reading has no temperature, all of the gauge are fitted on the log of the air, which must reach over them. */
static void check_air_over(checker *c, const survey_defect *d, size_t from, size_t to) {
    const survey_site *site = &c->s->site;
    const survey_reading *r = &d->readings[from];
    char of[160];
    size_t bare = from;
    while (bare < to && d->readings[bare].temperature_c.known) bare++;
    if (bare == to) return;
    if (site->n_air == 0)
        checker_tell(c, d->origin, "%s, reading of %s: no temperature, and the site has no log of the air",
                     called(d, r, of), d->readings[bare].on);
    else if (strcmp(site->air[0].on, r->on) > 0 ||
             strcmp(site->air[site->n_air - 1].on, d->readings[to - 1].on) < 0)
        checker_tell(c, d->origin,
                     "%s, reading of %s: no temperature, and the log of the air runs from %s to %s; it must "
                     "reach over "
                     "the readings, %s to %s",
                     called(d, r, of), d->readings[bare].on, site->air[0].on, site->air[site->n_air - 1].on,
                     r->on, d->readings[to - 1].on);
}

void checker_gauges(checker *c, const survey_defect *d) {
    char of[160];
    size_t first = 0;
    if (!d->readings) return; /* none */
    if (d->n_readings > READINGS_MOST)
        checker_tell(c, d->origin, "%s: has %zu readings; at most %d", d->mark, d->n_readings, READINGS_MOST);
    for (size_t i = 0; i < d->n_readings; i++) {
        const survey_reading *r = &d->readings[i], *before = i > 0 ? r - 1 : NULL;
        int order = before ? readings_order(before, r) : -1;
        bool same = before && readings_same_gauge(before, r);
        if (order >= 0) {
            checker_tell(c, d->origin,
                         order == 0 ? "%s: stands twice on %s" : "%s: the reading of %s is out of order",
                         called(d, r, of), r->on);
            return;
        }
        if (before && !same) {
            check_air_over(c, d, first, i);
            first = i;
        }
    }
    check_air_over(c, d, first, d->n_readings);
}

/* ---- methods ---- */

static void check_overrule(checker *c, const survey_defect *d) {
    const survey_overrule *o = &d->overrule;
    if (!o->given) return;
    if (!o->by || !o->on || !o->why)
        checker_tell(c, d->origin, "%s: overrule needs method, by, on and why", d->mark);
    if (o->method == METHOD_ENGINEER)
        checker_tell(c, d->origin, "%s: overrule names engineer, which is no choice of method", d->mark);
}

void checker_methods(checker *c, const survey_defect *d) {
    char depth[UNITS_SHOWN];
    check_overrule(c, d);
    if (d->excluded & METHOD_BIT(METHOD_ENGINEER))
        checker_tell(c, d->origin, "%s: engineer cannot be excluded", d->mark);
    if (d->depth_m.known && d->kind != KIND_HONEYCOMB)
        checker_tell(c, d->origin, "%s: has a depth, %s; only an area of honeycomb has one", d->mark,
                     checker_size(c, d->depth_m.v, depth));
}

/* ---- weather ---- */

void checker_weather(checker *c) {
    const survey_site *site = &c->s->site;
    char low[UNITS_SHOWN], high[UNITS_SHOWN];
    if (site->excluded & METHOD_BIT(METHOD_ENGINEER))
        checker_tell(c, NULL, "site: engineer cannot be excluded");
    if (site->coldest_c.known != site->warmest_c.known)
        checker_tell(c, NULL, "site: %s is given without %s; the coming year needs both",
                     site->coldest_c.known ? "coldest" : "warmest",
                     site->coldest_c.known ? "warmest" : "coldest");
    else if (site->coldest_c.known && !(site->coldest_c.v < site->warmest_c.v))
        checker_tell(c, NULL, "site: the coldest, %s, must lie below the warmest, %s",
                     readings_show(UNITS_TEMPERATURE, site->system, site->coldest_c.v, low),
                     readings_show(UNITS_TEMPERATURE, site->system, site->warmest_c.v, high));
    if (site->n_typical != 0 && site->n_typical != SURVEY_YEAR_DAYS)
        checker_tell(c, NULL, "site: the typical year has %zu days; it must have %d", site->n_typical,
                     SURVEY_YEAR_DAYS);
    if (site->n_air > READINGS_AIR_MOST)
        checker_tell(c, NULL, "site: the log of the air has %zu days; at most %d", site->n_air,
                     READINGS_AIR_MOST);
    for (size_t i = 1; i < site->n_air; i++) {
        if (strcmp(site->air[i - 1].on, site->air[i].on) < 0) continue;
        checker_tell(c, NULL, "site: the log of the air has %s twice or out of order", site->air[i].on);
        return;
    }
}
