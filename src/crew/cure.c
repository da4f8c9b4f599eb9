#include "crew/cure.h"

#include "core/limits.h"

#include <limits.h>
#include <math.h>

const char *const cure_alarm_words[CURE_ALARMS] = {
    "Cold: cement hardly hardens; keep it warm, no water against it yet",
    "Frost: fresh cement that freezes is lost; tent and heat it, no misting",
    "Hot: shade it, mist with cool water, work early",
    "It dries: shade it and keep the wind off, mist often",
    "It dries fast: wet cloth and a sheet at once, wind break and shade",
    "Dew: running drops can wash a fresh coat; keep it sheltered until it has set"};

enum { HOUR_MIN = 60, HOURS_A_DAY = 24 };
static const double REFERENCE_C = 20;    /* of the equivalent age */
static const double ROUNDING_MIN = 1e-9; /* a film that lasts exactly so many minutes lasts them */
static const double WARMEST_C = 60, COLDEST_C = -50; /* no site is beyond, our default */

/* Hours of equivalent age that an hour at a temperature gives; frozen water does not react. */
static double age_of_hour(double concrete_c) {
    return concrete_c > CURE_FROST_C ? maturity_rate(concrete_c, REFERENCE_C, MATURITY_ACTIVATION_J_MOL) : 0;
}

/* Part of an hour, 0 to 1, at which a sum that rises by `rise` in it reaches `limit`; above 1: not in it. */
static double reached(double sum, double rise, double limit) {
    if (sum >= limit) return 0;
    return rise > 0 ? (limit - sum) / rise : HUGE_VAL;
}

double cure_open_after_h(const cure_hour hours[], size_t n) {
    double age_h = 0, counted_h = 0;
    for (size_t i = 0; i < n; i++) {
        double age = age_of_hour(hours[i].concrete_c), counted = hours[i].concrete_c >= CURE_COLD_C;
        double at =
            fmax(reached(age_h, age, CURE_AGE_H), reached(counted_h, counted, CURE_DAYS * HOURS_A_DAY));
        if (at <= 1) return (double)i + at;
        age_h += age;
        counted_h += counted;
    }
    return HUGE_VAL;
}

static status check_hour(const cure_hour *h, size_t at, fault *why) {
    limits_item limits[] = {
        {"air, in C,", h->air_c, COLDEST_C, WARMEST_C, false},
        {"concrete, in C,", h->concrete_c, COLDEST_C, WARMEST_C, false},
        {"humidity (0 to 1)", h->humidity, 0, 1, false},
        {"wind, in km/h,", h->wind_km_h, 0, EVAPORATION_STRONGEST_KM_H, false},
    };
    fault found = {0};
    status code = limits_check(limits, sizeof limits / sizeof *limits, &found);
    return code == OK ? OK : fault_set(why, code, "hour %zu of the cure: %s", at, found.text);
}

static status check(const cure_input *in, fault *why) {
    if (in->n_hours > CURE_MOST_HOURS)
        return fault_set(why, E_INPUT, "the cure has %zu hours; at most %d", in->n_hours, CURE_MOST_HOURS);
    if (!(in->film_kg_m2 > 0) || in->visit_min < 1 || in->step_min < 1 || !(in->keep_h >= 0))
        return fault_set(
            why, E_INPUT,
            "the film of a visit (%g kg/m2), its minutes (%d) and their step (%d) must be above 0, "
            "the hours to keep moist (%g) at least 0",
            in->film_kg_m2, in->visit_min, in->step_min, in->keep_h);
    for (size_t i = 0; i < in->n_attended; i++) {
        const cure_stretch *a = &in->attended[i];
        if (a->from_min < a->to_min && (i == 0 || a->from_min >= a[-1].to_min)) continue;
        return fault_set(
            why, E_INPUT,
            "stretch %zu of the hours with somebody there runs from minute %d to %d; it must end "
            "later than it begins, and begin after the one before",
            i, a->from_min, a->to_min);
    }
    status code = OK;
    for (size_t i = 0; code == OK && i < in->n_hours; i++) code = check_hour(&in->hours[i], i, why);
    return code;
}

typedef struct {
    const cure_input *in;
    arena *memory;
    cure_result *out;
    int end_min; /* visits lie before it */
    fault *why;
} curing;

/* Evaporation and age of each hour, and how far the cure is looked at. */
static status follow(curing *c) {
    cure_result *out = c->out;
    out->open_after_h = cure_open_after_h(c->in->hours, c->in->n_hours);
    double end_h = fmin(fmax(out->open_after_h, c->in->keep_h), (double)c->in->n_hours);
    c->end_min = (int)ceil(end_h * HOUR_MIN);
    out->n_hours = (size_t)ceil(end_h);
    out->rate_kg_m2_h = arena_get(c->memory, out->n_hours, sizeof *out->rate_kg_m2_h);
    out->age_h = arena_get(c->memory, out->n_hours, sizeof *out->age_h);
    if (!out->rate_kg_m2_h || !out->age_h) return fault_memory(c->why);
    status code = OK;
    for (size_t i = 0; code == OK && i < out->n_hours; i++) {
        const cure_hour *h = &c->in->hours[i];
        evaporation_weather w = {fmax(h->concrete_c, EVAPORATION_COLDEST_C),
                                 fmax(h->air_c, EVAPORATION_COLDEST_C), h->humidity, h->wind_km_h};
        code = evaporation_rate(&w, &out->rate_kg_m2_h[i], c->why);
        out->age_reached_h += age_of_hour(h->concrete_c);
        out->age_h[i] = out->age_reached_h;
    }
    return code;
}

/* Stretches `first` to `last` without a longer gap than a break: somebody is there. */
typedef struct {
    size_t first, last;
    int from_min, to_min;
} presence;

static presence presence_at(const cure_input *in, size_t first) {
    presence p = {first, first, in->attended[first].from_min, 0};
    while (p.last + 1 < in->n_attended &&
           in->attended[p.last + 1].from_min - in->attended[p.last].to_min <= CURE_GAP_MIN)
        p.last++;
    p.to_min = in->attended[p.last].to_min;
    return p;
}

static int down(int minute, int step) {
    return minute / step * step; /* minutes here are never below 0 */
}

static int up(int minute, int step) {
    return (minute + step - 1) / step * step;
}

/* The latest minute from `from` to `to` at which a visit may begin, or -1; or the earliest. */
static int latest(const curing *c, const presence *p, int from, int to) {
    for (size_t i = p->last + 1; i-- > p->first;) {
        int high = c->in->attended[i].to_min - c->in->visit_min;
        if (high > to) high = to;
        int low = c->in->attended[i].from_min > from ? c->in->attended[i].from_min : from;
        if (high >= low && down(high, c->in->step_min) >= low) return down(high, c->in->step_min);
    }
    return -1;
}

static int earliest(const curing *c, const presence *p, int from) {
    for (size_t i = p->first; i <= p->last; i++) {
        int low = c->in->attended[i].from_min > from ? c->in->attended[i].from_min : from;
        if (up(low, c->in->step_min) <= c->in->attended[i].to_min - c->in->visit_min)
            return up(low, c->in->step_min);
    }
    return -1;
}

/* The minute, rounded down, at which a film laid at `from` is used up; INT_MAX: not within the cure. */
static int used_up(const curing *c, int from) {
    double film = c->in->film_kg_m2, at = from;
    for (size_t i = (size_t)(from / HOUR_MIN); i < c->out->n_hours; i++) {
        double rate_min = fmax(c->out->rate_kg_m2_h[i], 0) / HOUR_MIN, end = (double)(i + 1) * HOUR_MIN;
        if (rate_min * (end - at) >= film) return (int)floor(at + film / rate_min + ROUNDING_MIN);
        film -= rate_min * (end - at);
        at = end;
    }
    return INT_MAX;
}

static status add_visit(curing *c, int at_min, cure_visit_kind kind) {
    cure_visit *visits = arena_push(c->memory, c->out->visits, &c->out->n_visits, sizeof *visits);
    if (!visits) return fault_memory(c->why);
    c->out->visits = visits;
    visits[c->out->n_visits - 1] = (cure_visit){at_min, kind};
    return OK;
}

/* The next visit of a presence after one at `from`; `cover`: its last. -1: none is left. */
static int next_visit(curing *c, const presence *p, int from, int cover) {
    int dry = used_up(c, from), look = from + (int)(CURE_LOOK_H * HOUR_MIN);
    int soonest = from + c->in->visit_min;
    if (dry < p->to_min && dry - from < c->out->shortest_min) c->out->shortest_min = dry - from;
    if (cover < soonest) return -1;
    if (dry >= cover && look + CURE_GAP_MIN >= cover) return cover;
    int at = latest(c, p, soonest, dry < look ? dry : look);
    if (at < 0) at = earliest(c, p, soonest); /* nobody can come in time */
    if (at > dry) c->out->dry_min += (at < c->end_min ? at : c->end_min) - dry;
    return at;
}

/* All visits of a presence; the cure begins in it, or it finds the place covered. Its last covers, also where that comes a
 * little before the latest minute for it. */
static status visit_presence(curing *c, const presence *p) {
    int cover = latest(c, p, 0, INT_MAX), at = p->from_min > 0 ? earliest(c, p, 0) : 0;
    size_t before = c->out->n_visits;
    status code = OK;
    if (p->from_min > 0 && at >= 0 && at < c->end_min)
        code = add_visit(c, at, at == cover ? CURE_VISIT_COVER : CURE_VISIT_UNCOVER);
    while (code == OK && at >= 0 && at < c->end_min) {
        at = next_visit(c, p, at, cover);
        if (at >= 0 && at < c->end_min)
            code = add_visit(c, at, at == cover ? CURE_VISIT_COVER : CURE_VISIT_MIST);
    }
    if (code == OK && at < 0 && c->out->n_visits > before)
        c->out->visits[c->out->n_visits - 1].kind = CURE_VISIT_COVER;
    return code;
}

static status make_visits(curing *c) {
    status code = OK;
    c->out->shortest_min = INT_MAX;
    for (size_t i = 0; code == OK && i < c->in->n_attended;) {
        presence p = presence_at(c->in, i);
        if (p.from_min >= c->end_min) break;
        if (p.to_min > 0) code = visit_presence(c, &p);
        i = p.last + 1;
    }
    return code;
}

static bool somebody_there(const cure_input *in, size_t hour) {
    int from = (int)hour * HOUR_MIN, to = from + HOUR_MIN;
    for (size_t i = 0; i < in->n_attended;) {
        presence p = presence_at(in, i);
        if (p.from_min < to && p.to_min > from) return true;
        i = p.last + 1;
    }
    return false;
}

/* Is there cause for an alarm in this hour, and how bad is it? */
static bool alarmed(const curing *c, cure_alarm_kind kind, size_t at, double *value) {
    const cure_hour *h = &c->in->hours[at];
    double coldest = fmin(h->air_c, h->concrete_c), rate = c->out->rate_kg_m2_h[at];
    bool drying = kind == CURE_DRYING || kind == CURE_DRYING_FAST || kind == CURE_WET;
    *value = drying ? rate : kind == CURE_HOT ? fmax(h->air_c, h->concrete_c) : coldest;
    if (drying && !somebody_there(c->in, at)) return false;
    switch (kind) {
    case CURE_COLD: return coldest < CURE_COLD_C && coldest > CURE_FROST_C;
    case CURE_FROST: return coldest <= CURE_FROST_C;
    case CURE_HOT: return *value > CURE_HOT_C;
    case CURE_DRYING: return rate > EVAPORATION_CAUTION && rate <= EVAPORATION_PRECAUTIONS;
    case CURE_DRYING_FAST: return rate > EVAPORATION_PRECAUTIONS;
    case CURE_WET: return rate < 0;
    case CURE_ALARMS: break;
    }
    return false;
}

static bool worse(cure_alarm_kind kind, double value, double than) {
    return kind == CURE_COLD || kind == CURE_FROST || kind == CURE_WET ? value < than : value > than;
}

static status ring(curing *c, cure_alarm_kind kind) {
    cure_alarm *open = NULL;
    for (size_t i = 0; i < c->out->n_hours; i++) {
        double value;
        if (!alarmed(c, kind, i, &value)) {
            open = NULL;
        } else if (!open) {
            cure_alarm *alarms = arena_push(c->memory, c->out->alarms, &c->out->n_alarms, sizeof *alarms);
            if (!alarms) return fault_memory(c->why);
            c->out->alarms = alarms;
            open = &alarms[c->out->n_alarms - 1];
            *open = (cure_alarm){kind, (int)i, (int)i + 1, value};
        } else {
            open->to_h = (int)i + 1;
            if (worse(kind, value, open->worst)) open->worst = value;
        }
    }
    return OK;
}

status cure_run(const cure_input *in, arena *memory, cure_result *out, fault *why) {
    curing c = {in, memory, out, 0, why};
    *out = (cure_result){0};
    status code = check(in, why);
    if (code == OK) code = follow(&c);
    if (code == OK) code = make_visits(&c);
    for (int kind = 0; code == OK && kind < CURE_ALARMS; kind++) code = ring(&c, (cure_alarm_kind)kind);
    return code;
}
