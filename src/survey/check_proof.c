/* Leaks that moved, tanks, and what rates and prices may come out as. */
#include "survey/check.h"
#include "survey/checker.h"

#include <string.h>

void checker_moved(checker *c, const survey_defect *d) {
    if (!d->moved_from) return;
    if (strcmp(d->moved_from, d->mark) == 0)
        checker_tell(c, d->origin,
                     "%s: moved_from names itself; it names the repair that sent the water here", d->mark);
    else if (!survey_find_defect(c->s, d->moved_from))
        checker_tell(c, d->origin, "%s: moved_from names the mark \"%s\", which is not in the job", d->mark,
                     d->moved_from);
}

/* A capacity in the wrong unit is off by a factor of 3.785 or 1000; the test would then allow so many times too much. */
static void check_tank(checker *c, const survey_tank *t) {
    char capacity[UNITS_SHOWN], product[UNITS_SHOWN];
    double product_m3 = t->plan_area_m2 * t->depth_m, ratio = t->capacity_m3 / product_m3;
    if (ratio <= CHECK_TANK_FACTOR && ratio >= 1 / CHECK_TANK_FACTOR) return;
    checker_tell(
        c, t->origin,
        "tank %.60s: has a capacity of %s, but plan area times depth is %s; they may differ by a factor of "
        "%g: see whether litres or units were mixed up",
        t->id, units_show(UNITS_VOLUME, c->s->site.system, t->capacity_m3, 0, capacity),
        units_show(UNITS_VOLUME, c->s->site.system, product_m3, 0, product), CHECK_TANK_FACTOR);
}

void checker_tanks(checker *c) {
    for (size_t i = 0; i < c->s->n_tanks; i++) check_tank(c, &c->s->tanks[i]);
}

static void check_range(checker *c, const char *what, const char *id, double value, maybe low, maybe high) {
    if (low.known != high.known)
        checker_tell(c, NULL, "%s %.60s: has %s without %s; give both or neither", what, id,
                     low.known ? "low" : "high", low.known ? "high" : "low");
    else if (low.known && !(low.v <= value && value <= high.v))
        checker_tell(c, NULL, "%s %.60s: is %.15g, which must lie in its own range, %.15g to %.15g", what, id,
                     value, low.v, high.v);
}

void checker_ranges(checker *c) {
    const survey *s = c->s;
    for (size_t i = 0; i < s->n_rates; i++)
        check_range(c, "rate", s->rates[i].id, s->rates[i].value, s->rates[i].low, s->rates[i].high);
    for (size_t i = 0; i < s->n_prices; i++)
        check_range(c, "price", s->prices[i].id, s->prices[i].price, s->prices[i].low, s->prices[i].high);
}
