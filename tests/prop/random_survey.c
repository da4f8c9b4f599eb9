#include "random_survey.h"

#include "survey/catalogue.h"
#include "survey/fields.h"
#include "survey/trace.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct {
    uint64_t state;
    survey *s;
    units_system system;
} dice;

/* splitmix64 (public domain, S. Vigna). */
static uint64_t next(dice *d) {
    uint64_t z = (d->state += 0x9E3779B97F4A7C15u);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

static size_t below(dice *d, size_t n) {
    return (size_t)(next(d) % n);
}

static bool chance(dice *d, size_t percent) {
    return below(d, 100) < percent;
}

static double unit(dice *d) {
    return (double)(next(d) >> 11) / 9007199254740992.0;
}

/* A number between two SI values, typed with `decimals` in the job's units. */
static double typed(dice *d, units_quantity q, double low, double high, int decimals) {
    char digits[64];
    double shown = units_from_si(q, d->system, low + unit(d) * (high - low));
    snprintf(digits, sizeof digits, "%.*f", decimals, shown);
    return units_to_si(q, d->system, strtod(digits, NULL)) + 0.0;
}

static maybe perhaps(dice *d, units_quantity q, double low, double high, int decimals) {
    maybe m = {chance(d, 60), 0};
    if (m.known) m.v = typed(d, q, low, high, decimals);
    return m;
}

static const char *words(dice *d, bool lines) {
    static const char *const pieces[] = {"wet",  " ",  "corner", "\"q\"", ",", ";", "ü",  "漢字",
                                         "🙂", "=1", "-2",     "\t",    "#", "%", "\\", "'"};
    text t = {0};
    size_t n = 1 + below(d, 6);
    for (size_t i = 0; i < n; i++) {
        text_add(&t, pieces[below(d, sizeof pieces / sizeof *pieces)]);
        if (lines && chance(d, 15)) text_add(&t, "\n");
    }
    const char *copy = arena_copy(d->s->memory, text_get(&t));
    text_free(&t);
    return copy;
}

static const char *date(dice *d) {
    return chance(d, 50) ? arena_print(d->s->memory, "20%02zu-%02zu-%02zu", below(d, 99), 1 + below(d, 12),
                                       1 + below(d, 28))
                         : NULL;
}

static survey_level level(dice *d, double low, double high) {
    survey_level l = {
        {true, typed(d, UNITS_LENGTH, low, high, 2)}, (survey_known)below(d, KNOWN_COUNT), date(d)};
    return l;
}

static void *list(dice *d, size_t n, size_t size) {
    return n ? arena_get(d->s->memory, n, size) : NULL;
}

/* Methods that may be excluded. */
static unsigned methods(dice *d) {
    return chance(d, 30) ? (unsigned)below(d, METHOD_BIT(METHOD_ENGINEER)) : 0;
}

static double width_m, height_m; /* of all faces of the survey being made */

static void make_face(dice *d, survey_face *f, size_t at) {
    f->id = arena_print(d->s->memory, "F%zu%s", at, chance(d, 20) ? " ö" : "");
    f->name = chance(d, 50) ? words(d, false) : NULL;
    f->lie = LIE_WALL;
    f->behind = (survey_behind)below(d, BEHIND_COUNT);
    f->thickness_m = typed(d, UNITS_LENGTH, 0.3, 1, 2);
    f->elevation_m = typed(d, UNITS_LENGTH, -3, 3, 3);
    survey_point corners[4] = {{0, 0}, {width_m, 0}, {width_m, height_m}, {0, height_m}};
    bool backwards = chance(d, 30);
    f->outline.points = list(d, 4, sizeof *corners);
    f->outline.n_points = 4;
    for (size_t i = 0; i < 4; i++) f->outline.points[i] = corners[backwards ? 3 - i : i];
    if (chance(d, 40)) {
        f->openings = list(d, 1, sizeof *f->openings);
        f->n_openings = 1;
        double u0 = typed(d, UNITS_LENGTH, 0.3, 0.5, 2), u1 = typed(d, UNITS_LENGTH, 0.7, 0.9, 2);
        double v0 = typed(d, UNITS_LENGTH, 0.3, 0.5, 2), v1 = typed(d, UNITS_LENGTH, 0.7, 0.9, 2);
        survey_point hole[4] = {{u0, v0}, {u1, v0}, {u1, v1}, {u0, v1}};
        f->openings[0].points = list(d, 4, sizeof *hole);
        f->openings[0].n_points = 4;
        memcpy(f->openings[0].points, hole, sizeof hole);
    }
    f->far_side = (survey_far_side)below(d, FAR_COUNT);
    if (chance(d, 30)) f->today = level(d, -1, 2);
    if (chance(d, 30)) f->design = level(d, 6, 9);
}

static survey_point spot(dice *d) {
    return (survey_point){typed(d, UNITS_LENGTH, 1.2, width_m - 0.1, 3),
                          typed(d, UNITS_LENGTH, 0.1, height_m - 0.1, 3)};
}

static void make_part(dice *d, survey_part *p, size_t face, size_t n) {
    p->face = d->s->faces[face].id;
    p->points = list(d, n, sizeof *p->points);
    p->n_points = n;
    for (size_t i = 0; i < n; i++) p->points[i] = spot(d);
}

static void make_trace(dice *d, survey_defect *defect) {
    size_t face = below(d, d->s->n_faces);
    bool crosses = survey_is_line(defect->kind) && face + 1 < d->s->n_faces && chance(d, 40);
    size_t n = survey_is_line(defect->kind) ? 2 + below(d, 5) : 1;
    defect->n_parts = crosses ? 2 : 1;
    defect->parts = list(d, defect->n_parts, sizeof *defect->parts);
    if (defect->kind == KIND_HONEYCOMB) {
        survey_point at = spot(d), ring[4] = {at,
                                              {at.u_m + 0.03125, at.v_m},
                                              {at.u_m + 0.0625, at.v_m + 0.0625},
                                              {at.u_m, at.v_m + 0.03125}};
        double f = units_to_si(UNITS_LENGTH, d->system, 0.01); /* keep them typed: corners on a grid */
        for (int i = 0; i < 4; i++) {
            ring[i].u_m = units_to_si(UNITS_LENGTH, d->system, floor(ring[i].u_m / f) / 100);
            ring[i].v_m = units_to_si(UNITS_LENGTH, d->system, floor(ring[i].v_m / f) / 100);
        }
        make_part(d, &defect->parts[0], face, 4);
        memcpy(defect->parts[0].points, ring, sizeof ring);
        return;
    }
    make_part(d, &defect->parts[0], face, n);
    if (!crosses) return;
    make_part(d, &defect->parts[1], face + 1, n);
    double v = typed(d, UNITS_LENGTH, 0.1, height_m - 0.1, 2);
    defect->parts[0].points[n - 1] = (survey_point){width_m, v};
    defect->parts[1].points[0] = (survey_point){0, v};
    for (size_t i = 1; i < n; i++)
        defect->parts[1].points[i].u_m = typed(d, UNITS_LENGTH, 1.2, width_m - 0.1, 3);
}

static void make_station(dice *d, survey_station *s, double chainage_m) {
    s->chainage_m = chainage_m;
    s->width_m = perhaps(d, UNITS_SIZE, 0, 0.003, 3);
    s->wetness = (survey_wetness)below(d, WET_COUNT);
    s->bar = (survey_bar)below(d, BAR_COUNT);
    if (s->bar < BAR_CROSSING) return;
    s->cover_m = (maybe){true, typed(d, UNITS_SIZE, 0.02, 0.08, 2)};
    s->bar_diameter_m = perhaps(d, UNITS_SIZE, 0.006, 0.03, 2);
}

static void make_stations(dice *d, survey_defect *defect, double length_m) {
    size_t most = survey_is_line(defect->kind) ? below(d, 8) : below(d, 2);
    defect->stations = list(d, most ? most : 1, sizeof *defect->stations);
    for (size_t i = 0; i < most; i++) {
        double part = (double)i / (double)most;
        double at =
            survey_is_line(defect->kind) ? typed(d, UNITS_LENGTH, part * length_m, part * length_m, 3) : 0;
        if (i && !(at > defect->stations[defect->n_stations - 1].chainage_m)) continue;
        make_station(d, &defect->stations[defect->n_stations++], at);
    }
}

static void make_flows(dice *d, survey_defect *defect, double length_m) {
    defect->n_flows = below(d, 3);
    defect->flows = list(d, defect->n_flows, sizeof *defect->flows);
    for (size_t i = 0; i < defect->n_flows; i++) {
        survey_flow *f = &defect->flows[i];
        if (survey_is_line(defect->kind)) {
            f->from_m = typed(d, UNITS_LENGTH, 0, 0, 2);
            f->to_m = typed(d, UNITS_LENGTH, length_m / 2, length_m, 3);
        }
        f->state = (survey_state)below(d, STATE_COUNT);
        f->on = date(d);
        f->drips_per_min = perhaps(d, UNITS_PLAIN, 1, 200, 0);
        if (f->drips_per_min.known && chance(d, 50)) continue;
        f->volume_m3 = (maybe){true, typed(d, UNITS_VOLUME, 0.0001, 0.02, 3)};
        f->time_s = (maybe){true, typed(d, UNITS_SECONDS, 1, 600, 1)};
    }
}

static void make_waterstop(dice *d, survey_defect *defect, double length_m) {
    defect->waterstop = (survey_waterstop)below(d, STOP_COUNT);
    if (defect->waterstop != STOP_THERE) return;
    defect->cutoff_m = perhaps(d, UNITS_SIZE, 0.05, 0.25, 2);
    size_t most = defect->cutoff_m.known ? below(d, 4) : 0;
    defect->opens = list(d, most ? most : 1, sizeof *defect->opens);
    for (size_t i = 0; i < most; i++) {
        double from_m = length_m * (double)i / (double)most, part_m = length_m / (double)most;
        survey_open open = {typed(d, UNITS_LENGTH, from_m + 0.1 * part_m, from_m + 0.4 * part_m, 3),
                            typed(d, UNITS_LENGTH, from_m + 0.5 * part_m, from_m + 0.9 * part_m, 3)};
        if (open.to_m > open.from_m) defect->opens[defect->n_opens++] = open;
    }
}

/* Monthly, of up to three gauges in their order. Without a log of the air each has its temperature. */
static void make_readings(dice *d, survey_defect *defect) {
    static const char *const gauges[] = {NULL, "A", "\xc3\xb6 2"};
    defect->readings = list(d, 24, sizeof *defect->readings);
    for (size_t g = 0; g < 3; g++) {
        size_t n = chance(d, 40) ? below(d, 8) : 0;
        for (size_t i = 0; i < n; i++) {
            survey_reading *r = &defect->readings[defect->n_readings++];
            r->gauge = gauges[g];
            r->on = arena_print(d->s->memory, "2024-%02zu-%02zu", 1 + i, 1 + below(d, 28));
            r->width_m = typed(d, UNITS_SIZE, -0.001, 0.003, 3);
            r->temperature_c = perhaps(d, UNITS_TEMPERATURE, -10, 30, 1);
            if (d->s->site.n_air == 0)
                r->temperature_c = (maybe){true, typed(d, UNITS_TEMPERATURE, -10, 30, 1)};
        }
    }
}

static void make_choice(dice *d, survey_defect *defect) {
    defect->strength_wanted = chance(d, 20);
    defect->movement_m = perhaps(d, UNITS_SIZE, 0, 0.004, 2);
    if (defect->kind == KIND_HONEYCOMB) defect->depth_m = perhaps(d, UNITS_SIZE, 0.02, 0.2, 1);
    defect->excluded = methods(d);
    if (!chance(d, 25)) return;
    defect->overrule = (survey_overrule){true, (survey_method)below(d, METHOD_ENGINEER), words(d, false),
                                         "2025-06-30", words(d, true)};
}

static void make_defect(dice *d, survey_defect *defect, size_t at) {
    defect->mark = arena_print(d->s->memory, "%s%zu", chance(d, 10) ? "#" : chance(d, 50) ? "N" : "é", at);
    defect->kind = (survey_kind)below(d, KIND_COUNT);
    make_trace(d, defect);
    double length_m = trace_length_m(defect);
    if (defect->kind == KIND_PENETRATION || (defect->kind == KIND_TIE_HOLE && chance(d, 50)))
        defect->diameter_m = (maybe){true, typed(d, UNITS_SIZE, 0.02, 0.4, 1)};
    make_stations(d, defect, length_m);
    make_flows(d, defect, length_m);
    if (defect->kind == KIND_JOINT) make_waterstop(d, defect, length_m);
    defect->signs = chance(d, 30) ? (unsigned)below(d, 1u << SIGN_COUNT) : 0;
    defect->slot_faces = (survey_slot_faces)below(d, SLOT_FACES_COUNT);
    defect->tried = chance(d, 20) ? words(d, true) : NULL;
    defect->n_notes = below(d, 4);
    defect->notes = list(d, defect->n_notes, sizeof *defect->notes);
    for (size_t i = 0; i < defect->n_notes; i++) defect->notes[i] = words(d, true);
    defect->n_photos = below(d, 3);
    defect->photos = list(d, defect->n_photos, sizeof *defect->photos);
    for (size_t i = 0; i < defect->n_photos; i++) {
        defect->photos[i].file = arena_print(d->s->memory, "photos/%zu-%zu.jpg", at, i);
        defect->photos[i].caption = chance(d, 50) ? words(d, false) : NULL;
    }
    make_readings(d, defect);
    make_choice(d, defect);
}

static void make_weather(dice *d, survey_site *site) {
    if (chance(d, 50)) {
        site->n_air = 26;
        site->air = list(d, site->n_air, sizeof *site->air);
        for (size_t i = 0; i < site->n_air; i++) {
            site->air[i].on = arena_print(d->s->memory, "%zu-%02zu-01", 2023 + i / 12, 1 + i % 12);
            site->air[i].air_c = typed(d, UNITS_TEMPERATURE, -10, 30, 2);
        }
    }
    if (!chance(d, 15)) return;
    site->n_typical = SURVEY_YEAR_DAYS;
    site->typical_c = list(d, site->n_typical, sizeof *site->typical_c);
    for (size_t i = 0; i < site->n_typical; i++) site->typical_c[i] = typed(d, UNITS_TEMPERATURE, -10, 30, 2);
}

static void make_site(dice *d) {
    survey_site *site = &d->s->site;
    site->system = d->system;
    site->name = words(d, false);
    site->place = chance(d, 50) ? words(d, false) : NULL;
    site->client_note = chance(d, 50) ? words(d, true) : NULL;
    memcpy(site->currency, d->system == UNITS_US ? "USD" : "CHF", 4);
    site->letter_paper = chance(d, 50);
    site->enclosed = chance(d, 50);
    site->drinking_water = chance(d, 50);
    site->materials_approved = chance(d, 50);
    site->today = level(d, 2, 5);
    if (chance(d, 50)) site->design = level(d, 5, 6);
    site->retained_top_m = perhaps(d, UNITS_LENGTH, 6, 9, 2);
    site->air_c = perhaps(d, UNITS_TEMPERATURE, -5, 35, 1);
    site->wall_c = perhaps(d, UNITS_TEMPERATURE, 1, 25, 1);
    site->leak_water_c = perhaps(d, UNITS_TEMPERATURE, 4, 20, 1);
    site->mix_c = perhaps(d, UNITS_TEMPERATURE, 5, 30, 1);
    site->crew = 1 + (double)below(d, 5);
    site->shift_h = typed(d, UNITS_PLAIN, 4, 12, 1);
    site->days_to_start = perhaps(d, UNITS_PLAIN, 0, 60, 0);
    site->healing = (survey_healing)below(d, HEALING_RULES);
    site->tightness = (survey_tightness)below(d, TIGHT_COUNT);
    site->excluded = methods(d);
    site->coldest_c = perhaps(d, UNITS_TEMPERATURE, -10, 5, 1);
    if (site->coldest_c.known) site->warmest_c = (maybe){true, typed(d, UNITS_TEMPERATURE, 15, 30, 1)};
    make_weather(d, site);
}

static void make_hours(dice *d, survey_weather *hours, size_t n) {
    for (size_t i = 0; i < n; i++)
        hours[i] = (survey_weather){typed(d, UNITS_TEMPERATURE, -10, 30, 2), typed(d, UNITS_PLAIN, 0, 100, 2),
                                    typed(d, UNITS_WIND, 0, 60, 2)};
}

static void make_workers(dice *d, survey_work *w) {
    if (!chance(d, 50)) return;
    w->n_workers = 1 + below(d, 6);
    w->workers = list(d, w->n_workers, sizeof *w->workers);
    for (size_t i = 0; i < w->n_workers; i++) {
        bool all = i == 0; /* somebody must */
        w->workers[i] =
            (survey_worker){arena_print(d->s->memory, "%s %zu", chance(d, 20) ? "ö" : "worker", i),
                            all || chance(d, 50), all || chance(d, 50), all || chance(d, 50)};
    }
}

/* Whole hours, so that break and noise fit the shift of 4 to 12 h whenever it begins. */
static void make_work(dice *d) {
    survey_work *w = &d->s->site.work;
    w->start_on = chance(d, 50) ? "2026-03-02" : NULL;
    w->back_on = chance(d, 30) ? "2026-03-27" : NULL;
    w->starts_h = (maybe){chance(d, 60), (double)(5 + below(d, 4))};
    if (w->starts_h.known) w->break_h = (maybe){chance(d, 60), w->starts_h.v + 2};
    w->break_length_h = perhaps(d, UNITS_PLAIN, 0, 1, 2);
    w->days = chance(d, 50) ? 1 + (unsigned)below(d, (1u << SURVEY_WEEK_DAYS) - 1) : 0;
    w->noise_from_h = perhaps(d, UNITS_PLAIN, 0, 8, 1);
    w->noise_to_h = perhaps(d, UNITS_PLAIN, 9, 24, 1);
    w->n_holidays = chance(d, 40) ? below(d, 5) : 0;
    w->holidays = list(d, w->n_holidays, sizeof *w->holidays);
    for (size_t i = 0; i < w->n_holidays; i++)
        w->holidays[i] = arena_print(d->s->memory, "2026-%02zu-01", 1 + i);
    for (int i = 0; i < PLANT_COUNT; i++) w->plant[i] = (maybe){chance(d, 40), (double)below(d, 5)};
    for (int i = 0; i < PLANT_COUNT; i++)
        if (!w->plant[i].known) w->plant[i].v = 0;
    make_workers(d, w);
}

/* Drawn last, so that a seed gives the survey that it gave before there was work. */
static void make_plan(dice *d) {
    survey_site *site = &d->s->site;
    for (size_t i = 0; i < d->s->n_faces; i++) {
        d->s->faces[i].access = (survey_access)below(d, ACCESS_COUNT);
        d->s->faces[i].turn = perhaps(d, UNITS_PLAIN, 1, 9, 0);
    }
    make_work(d);
    site->still_air = chance(d, 30);
    site->humidity_percent = perhaps(d, UNITS_PLAIN, 0, 100, 1);
    if (chance(d, 30)) {
        size_t n = 1 + below(d, 30);
        site->forecast = (survey_forecast){
            arena_print(d->s->memory, "2026-03-%02zuT%02zu:00", 1 + below(d, 28), below(d, 24)),
            list(d, n, sizeof *site->forecast.hours), n};
        make_hours(d, site->forecast.hours, n);
    }
    if (!chance(d, 2)) return; /* 26,280 numbers */
    site->n_year = SURVEY_YEAR_HOURS;
    site->year = list(d, site->n_year, sizeof *site->year);
    make_hours(d, site->year, site->n_year);
}

static void make_tank(dice *d, survey_tank *t, size_t at) {
    t->id = arena_print(d->s->memory, "T%zu%s", at, chance(d, 20) ? " ö" : "");
    t->name = chance(d, 50) ? words(d, false) : NULL;
    t->plan_area_m2 = typed(d, UNITS_AREA, 2, 400, 1);
    t->depth_m = typed(d, UNITS_LENGTH, 1, 8, 2);
    double m3 = t->plan_area_m2 * t->depth_m;
    t->capacity_m3 = typed(d, UNITS_VOLUME, 0.75 * m3, 1.25 * m3, 0);
    t->wetted_area_m2 = perhaps(d, UNITS_AREA, 2, 900, 1);
    t->criterion = (survey_criterion)below(d, CRITERION_COUNT);
    t->pan_factor = perhaps(d, UNITS_PLAIN, 0.6, 1.2, 2);
    t->pan = (survey_pan)below(d, PAN_COUNT);
    t->filled_on = date(d);
}

/* Around `value`, both or neither. */
static void make_range(dice *d, double value, maybe *low, maybe *high) {
    if (!chance(d, 30)) return;
    *low = (maybe){true, value * (0.5 + unit(d) / 2)};
    *high = (maybe){true, value * (1 + unit(d))};
}

/* Drawn after all that was there before. */
static void make_proof(dice *d) {
    survey *s = d->s;
    s->n_tanks = chance(d, 50) ? below(d, 4) : 0;
    s->tanks = list(d, s->n_tanks, sizeof *s->tanks);
    for (size_t i = 0; i < s->n_tanks; i++) make_tank(d, &s->tanks[i], i);
    for (size_t i = 0; i < s->n_rates; i++)
        make_range(d, s->rates[i].value, &s->rates[i].low, &s->rates[i].high);
    for (size_t i = 0; i < s->n_prices; i++)
        make_range(d, s->prices[i].price, &s->prices[i].low, &s->prices[i].high);
    for (size_t i = 1; i < s->n_defects; i++) {
        if (chance(d, 20)) s->defects[i].moved_from = s->defects[i - 1].mark;
        if (chance(d, 20)) s->defects[i].found_on = date(d);
    }
    s->site.high_water_on = chance(d, 30) ? date(d) : NULL;
    s->site.warranty = chance(d, 30) ? words(d, true) : NULL;
}

static void make_folds(dice *d) {
    survey *s = d->s;
    s->n_folds = s->n_faces - 1;
    s->folds = list(d, s->n_folds, sizeof *s->folds);
    for (size_t i = 0; i < s->n_folds; i++)
        s->folds[i] = (survey_fold){s->faces[i].id,
                                    s->faces[i + 1].id,
                                    {{width_m, 0}, {width_m, height_m}},
                                    {{0, 0}, {0, height_m}},
                                    NULL};
}

survey *random_survey(unsigned long long seed, units_system system, size_t n_faces, size_t n_defects) {
    survey *s = survey_new();
    dice d = {seed, s, system};
    make_site(&d);
    width_m = typed(&d, UNITS_LENGTH, 4, 12, 2);
    height_m = typed(&d, UNITS_LENGTH, 2.5, 4, 2);
    s->n_faces = n_faces;
    s->faces = list(&d, n_faces, sizeof *s->faces);
    for (size_t i = 0; i < n_faces; i++) make_face(&d, &s->faces[i], i);
    make_folds(&d);
    s->n_defects = n_defects;
    s->defects = list(&d, n_defects, sizeof *s->defects);
    for (size_t i = 0; i < n_defects; i++) make_defect(&d, &s->defects[i], i);
    fault why;
    if (survey_catalogue_fill(s, &why) != OK) abort();
    s->n_answers = n_defects ? 1 : 0;
    s->answers = list(&d, 1, sizeof *s->answers);
    if (n_defects)
        s->answers[0] =
            (survey_answer){s->defects[0].mark, "growing", "A. Engineer", "2024-02-29", words(&d, true)};
    make_plan(&d);
    make_proof(&d);
    return s;
}

/* ---- comparison ---- */

static bool same_points(const survey_point *a, size_t na, const survey_point *b, size_t nb) {
    return na == nb && (na == 0 || memcmp(a, b, na * sizeof *a) == 0);
}

static bool same_list(survey_fields table, const void *a, size_t na, const void *b, size_t nb, size_t size) {
    if (na != nb) return false;
    for (size_t i = 0; i < na; i++)
        if (!survey_fields_equal(table, (const char *)a + i * size, (const char *)b + i * size)) return false;
    return true;
}

static bool same_level(const survey_level *a, const survey_level *b) {
    return survey_fields_equal(survey_level_fields, a, b);
}

static bool same_face(const survey_face *a, const survey_face *b) {
    if (!survey_fields_equal(survey_face_fields, a, b) || !same_level(&a->today, &b->today) ||
        !same_level(&a->design, &b->design) || a->n_openings != b->n_openings)
        return false;
    for (size_t i = 0; i < a->n_openings; i++)
        if (!same_points(a->openings[i].points, a->openings[i].n_points, b->openings[i].points,
                         b->openings[i].n_points))
            return false;
    return same_points(a->outline.points, a->outline.n_points, b->outline.points, b->outline.n_points);
}

const char *faces_difference(const survey *a, const survey *b) {
    if (a->n_faces != b->n_faces || a->n_folds != b->n_folds) return "number of faces or folds";
    for (size_t i = 0; i < a->n_faces; i++)
        if (!same_face(&a->faces[i], &b->faces[i])) return a->faces[i].id;
    for (size_t i = 0; i < a->n_folds; i++)
        if (strcmp(a->folds[i].face_a, b->folds[i].face_a) != 0 ||
            strcmp(a->folds[i].face_b, b->folds[i].face_b) != 0 ||
            !same_points(a->folds[i].a, 2, b->folds[i].a, 2) ||
            !same_points(a->folds[i].b, 2, b->folds[i].b, 2))
            return "fold";
    return NULL;
}

static bool same_trace(const survey_defect *a, const survey_defect *b) {
    if (a->n_parts != b->n_parts) return false;
    for (size_t i = 0; i < a->n_parts; i++)
        if (strcmp(a->parts[i].face, b->parts[i].face) != 0 ||
            !same_points(a->parts[i].points, a->parts[i].n_points, b->parts[i].points, b->parts[i].n_points))
            return false;
    return true;
}

static bool same_defect(const survey_defect *a, const survey_defect *b) {
    if (!survey_fields_equal(survey_defect_fields, a, b) || a->signs != b->signs || !same_trace(a, b) ||
        a->excluded != b->excluded || a->overrule.given != b->overrule.given ||
        !survey_fields_equal(survey_overrule_fields, &a->overrule, &b->overrule))
        return false;
    if (a->n_notes != b->n_notes) return false;
    for (size_t i = 0; i < a->n_notes; i++)
        if (strcmp(a->notes[i], b->notes[i]) != 0) return false;
    return same_list(survey_station_fields, a->stations, a->n_stations, b->stations, b->n_stations,
                     sizeof *a->stations) &&
           same_list(survey_flow_fields, a->flows, a->n_flows, b->flows, b->n_flows, sizeof *a->flows) &&
           same_list(survey_reading_fields, a->readings, a->n_readings, b->readings, b->n_readings,
                     sizeof *a->readings) &&
           same_list(survey_open_fields, a->opens, a->n_opens, b->opens, b->n_opens, sizeof *a->opens) &&
           same_list(survey_photo_fields, a->photos, a->n_photos, b->photos, b->n_photos, sizeof *a->photos);
}

const char *defects_difference(const survey *a, const survey *b) {
    if (a->n_defects != b->n_defects) return "number of defects";
    for (size_t i = 0; i < a->n_defects; i++)
        if (!same_defect(&a->defects[i], &b->defects[i])) return a->defects[i].mark;
    return NULL;
}

static bool same_materials(const survey *a, const survey *b) {
    if (!same_list(survey_material_fields, a->materials, a->n_materials, b->materials, b->n_materials,
                   sizeof *a->materials))
        return false;
    for (size_t i = 0; i < a->n_materials; i++)
        if (!same_list(survey_pack_fields, a->materials[i].packs, a->materials[i].n_packs,
                       b->materials[i].packs, b->materials[i].n_packs, sizeof *a->materials[i].packs))
            return false;
    return true;
}

static bool same_weather(const survey_site *a, const survey_site *b) {
    if (a->n_typical != b->n_typical) return false;
    for (size_t i = 0; i < a->n_typical; i++)
        if (a->typical_c[i] != b->typical_c[i]) return false;
    return same_list(survey_air_fields, a->air, a->n_air, b->air, b->n_air, sizeof *a->air);
}

static bool same_hours(const survey_weather *a, size_t na, const survey_weather *b, size_t nb) {
    return same_list(survey_weather_fields, a, na, b, nb, sizeof *a);
}

static const char *work_difference(const survey_site *a, const survey_site *b) {
    const survey_work *v = &a->work, *w = &b->work;
    if (!survey_fields_equal(survey_work_fields, v, w) || v->days != w->days) return "work";
    if (!survey_fields_equal(survey_plant_fields, v, w)) return "plant";
    if (!same_list(survey_worker_fields, v->workers, v->n_workers, w->workers, w->n_workers,
                   sizeof *v->workers))
        return "workers";
    if (v->n_holidays != w->n_holidays) return "number of holidays";
    for (size_t i = 0; i < v->n_holidays; i++)
        if (strcmp(v->holidays[i], w->holidays[i]) != 0) return "holidays";
    if (!survey_text_equal(a->forecast.from, b->forecast.from) ||
        !same_hours(a->forecast.hours, a->forecast.n, b->forecast.hours, b->forecast.n))
        return "forecast";
    return same_hours(a->year, a->n_year, b->year, b->n_year) ? NULL : "typical hours";
}

const char *survey_difference(const survey *a, const survey *b) {
    if (a->site.excluded != b->site.excluded) return "excluded in the site";
    if (!same_weather(&a->site, &b->site)) return "weather";
    if (work_difference(&a->site, &b->site)) return work_difference(&a->site, &b->site);
    if (!survey_fields_equal(survey_site_fields, &a->site, &b->site) ||
        !same_level(&a->site.today, &b->site.today) || !same_level(&a->site.design, &b->site.design))
        return "site";
    if (faces_difference(a, b)) return faces_difference(a, b);
    if (defects_difference(a, b)) return defects_difference(a, b);
    if (!same_materials(a, b)) return "materials";
    if (!same_list(survey_rate_fields, a->rates, a->n_rates, b->rates, b->n_rates, sizeof *a->rates))
        return "rates";
    if (!same_list(survey_price_fields, a->prices, a->n_prices, b->prices, b->n_prices, sizeof *a->prices))
        return "prices";
    if (!same_list(survey_answer_fields, a->answers, a->n_answers, b->answers, b->n_answers,
                   sizeof *a->answers))
        return "answers";
    if (!same_list(survey_tank_fields, a->tanks, a->n_tanks, b->tanks, b->n_tanks, sizeof *a->tanks))
        return "tanks";
    return NULL;
}
