#include "diagnose/gauges.h"

#include "core/date.h"

#include <math.h>
#include <string.h>

/* Air before the first reading that a lag can want: what movement.h searches, rounded up to a year so that the slowest
 * wall has forgotten how its series began. */
static const double AIR_BEFORE_DAYS = 365;
static const double AIR_AFTER_DAYS = 1;

typedef struct {
    const survey *s;
    const survey_defect *d;
    arena *memory;
    diagnosis *out;
    fault *why;
} gathering;

static const char *name_of(const survey_reading *r) {
    return r->gauge ? r->gauge : "";
}

/* ---- readings ---- */

static status day_of(const gathering *g, const char *on, long long *days) {
    if (date_day(on, days)) return OK;
    return fault_set(g->why, E_INPUT,
                     "%s: a gauge reading is dated \"%.40s\"; it must be a day as YYYY-MM-DD", g->d->mark,
                     on ? on : "");
}

/* Readings `from` to `to` are one gauge's. */
static status fill_readings(const gathering *g, size_t from, size_t to, diagnosis_gauge *gauge, bool *own) {
    movement_reading *list = arena_get(g->memory, to - from, sizeof *list);
    long long first = 0, day;
    if (!list) return fault_memory(g->why);
    *own = true;
    for (size_t i = from; i < to; i++) {
        const survey_reading *r = &g->d->readings[i];
        status code = day_of(g, r->on, &day);
        if (code != OK) return code;
        if (i == from) first = day;
        *own = *own && r->temperature_c.known;
        list[i - from] = (movement_reading){(double)(day - first),
                                            r->temperature_c.known ? r->temperature_c.v : 0, r->width_m};
    }
    gauge->gauge = name_of(&g->d->readings[from]);
    gauge->first_on = g->d->readings[from].on;
    gauge->last_day = list[to - from - 1].day;
    gauge->input.readings = list;
    gauge->input.n = to - from;
    return OK;
}

/* ---- air ---- */

/* First entry of the log on this day or later; the log's dates rise. A date that is none counts as early. */
static size_t air_from(const survey_site *site, long long day) {
    size_t low = 0, high = site->n_air;
    while (low < high) {
        size_t middle = (low + high) / 2;
        long long here;
        if (date_day(site->air[middle].on, &here) && here >= day)
            high = middle;
        else
            low = middle + 1;
    }
    return low;
}

/* What of the site's log the gauge can want; *covers: it reaches from the first reading to the last. */
static status fill_air(const gathering *g, diagnosis_gauge *gauge, bool *covers) {
    const survey_site *site = &g->s->site;
    long long first, day;
    status code = day_of(g, gauge->first_on, &first);
    *covers = false;
    if (code != OK) return code;
    size_t from = air_from(site, first - (long long)AIR_BEFORE_DAYS),
           to = air_from(site, first + (long long)(gauge->last_day + AIR_AFTER_DAYS) + 1), n = to - from;
    movement_air *air = arena_get(g->memory, n, sizeof *air);
    if (!air) return fault_memory(g->why);
    for (size_t i = 0; i < n; i++) {
        code = day_of(g, site->air[from + i].on, &day);
        if (code != OK) return code;
        air[i] = (movement_air){(double)(day - first), site->air[from + i].air_c};
    }
    *covers = n > 0 && air[0].day <= AIR_AFTER_DAYS && air[n - 1].day >= gauge->last_day - AIR_AFTER_DAYS;
    if (!*covers) return OK;
    gauge->input.air = air;
    gauge->input.n_air = n;
    return OK;
}

/* No temperature to fit with: a verdict, as when the readings are too few. */
static status leave_unfitted(const gathering *g, diagnosis_gauge *gauge) {
    movement_result *fit = &gauge->fit;
    fit->verdict = MOVEMENT_UNDECIDED;
    fit->aside = arena_get(g->memory, gauge->input.n, sizeof *fit->aside);
    fit->temperature_c = arena_get(g->memory, gauge->input.n, sizeof *fit->temperature_c);
    fit->rule = "not every reading has a temperature of the concrete, and the air log of the site does not "
                "reach from the first reading to the last";
    return fit->aside && fit->temperature_c ? OK : fault_memory(g->why);
}

/* ---- coming year ---- */

void gauges_typical_wall(const double *air_c, movement_wall wall, double lag_days, double *wall_c) {
    const int year = SURVEY_YEAR_DAYS;
    if (wall == MOVEMENT_DELAY || !(lag_days > 0)) {
        int lag = (int)lround(fmin(lag_days, MOVEMENT_LAG_MOST)) % year;
        for (int d = 0; d < year; d++) wall_c[d] = air_c[(d + year - lag) % year];
        return;
    }
    /* From 0 the wall ends the year at `end`; from x it ends at end + x (1 - step)^365: x is where both are the same. */
    double step = 1 - exp(-1 / lag_days), end = 0;
    for (int d = 0; d < year; d++) end += (air_c[d] - end) * step;
    double state = end / (1 - exp(-year / lag_days));
    for (int d = 0; d < year; d++) wall_c[d] = state += (air_c[d] - state) * step;
}

static void widen(diagnosis_gauge *g, double day, double wall_c) {
    movement_expected at = movement_at(&g->input, &g->fit, day, wall_c);
    double high = at.width_m + at.band_m, low = at.width_m - at.band_m;
    g->widest_m = (maybe){true, g->widest_m.known ? fmax(g->widest_m.v, high) : high};
    g->narrowest_m = (maybe){true, g->narrowest_m.known ? fmin(g->narrowest_m.v, low) : low};
    g->coldest_c = (maybe){true, g->coldest_c.known ? fmin(g->coldest_c.v, wall_c) : wall_c};
    g->warmest_c = (maybe){true, g->warmest_c.known ? fmax(g->warmest_c.v, wall_c) : wall_c};
}

static void expect_extremes(const survey_site *site, diagnosis_gauge *g) {
    for (int end = 0; end < 2; end++) {
        double day = g->last_day + (end ? MOVEMENT_YEAR_DAYS : 1);
        widen(g, day, site->coldest_c.v);
        widen(g, day, site->warmest_c.v);
    }
    g->year_basis = "extremes given";
}

static void expect_typical(const survey_site *site, const char *last_on, diagnosis_gauge *g) {
    double wall[SURVEY_YEAR_DAYS];
    calendar_day last;
    if (!date_read(last_on, &last)) return;
    gauges_typical_wall(site->typical_c, g->fit.wall, g->fit.lag_days, wall);
    int start = date_of_year(last);
    for (int d = 1; d <= SURVEY_YEAR_DAYS; d++)
        widen(g, g->last_day + d, wall[(start + d) % SURVEY_YEAR_DAYS]);
    g->year_basis = "typical year";
}

/* Widest less narrowest in a year, each part at the unfavourable end of its error (a seal is pressed together by what closes
 * as it is stretched by what opens); without a coming year the temperatures
 * of the readings, which closed a season, stand in. */
static void find_movement(diagnosis_gauge *g) {
    const movement_result *fit = &g->fit;
    double range = g->coldest_c.known ? g->warmest_c.v - g->coldest_c.v : fit->highest_c - fit->lowest_c;
    g->movement_m = (maybe){true, (fabs(fit->per_kelvin_m) + fit->t * fit->per_kelvin_se_m) * range +
                                      fabs(fit->per_year_m) + fit->t * fit->per_year_se_m};
}

static void look_ahead(const survey_site *site, const char *last_on, diagnosis_gauge *g) {
    if (!g->fit.fitted || !g->fit.season) return;
    if (site->coldest_c.known && site->warmest_c.known)
        expect_extremes(site, g);
    else if (site->typical_c && site->n_typical == SURVEY_YEAR_DAYS)
        expect_typical(site, last_on, g);
    find_movement(g);
}

/* ---- all ---- */

static status one_gauge(const gathering *g, size_t from, size_t to, diagnosis_gauge *gauge) {
    bool own, covers = false;
    status code = fill_readings(g, from, to, gauge, &own);
    if (code == OK && !own) code = fill_air(g, gauge, &covers);
    if (code != OK) return code;
    gauge->input.reference_c = MOVEMENT_REFERENCE_C;
    gauge->input.confidence = MOVEMENT_CONFIDENCE;
    gauge->input.method = MOVEMENT_ROBUST;
    gauge->input.system = g->s->site.system;
    if (!own && !covers) return leave_unfitted(g, gauge);
    fault why;
    code = movement_fit(&gauge->input, g->memory, &gauge->fit, &why);
    if (code == E_MEMORY) return fault_memory(g->why);
    if (code != OK)
        return fault_set(g->why, code, "%s: gauge \"%s\": %s", g->d->mark, gauge->gauge, why.text);
    look_ahead(&g->s->site, g->d->readings[to - 1].on, gauge);
    return OK;
}

status gauges_read(const survey *s, const survey_defect *d, arena *memory, diagnosis *out, fault *why) {
    gathering g = {s, d, memory, out, why};
    size_t count = 0;
    for (size_t i = 0; i < d->n_readings; i++)
        count += i == 0 || strcmp(name_of(&d->readings[i]), name_of(&d->readings[i - 1])) != 0;
    out->gauges = arena_get(memory, count, sizeof *out->gauges);
    if (!out->gauges) return fault_memory(why);
    status code = OK;
    for (size_t from = 0, to; code == OK && from < d->n_readings; from = to) {
        for (to = from + 1; to < d->n_readings; to++)
            if (strcmp(name_of(&d->readings[to]), name_of(&d->readings[from])) != 0) break;
        code = one_gauge(&g, from, to, &out->gauges[out->n_gauges++]);
    }
    return code;
}
