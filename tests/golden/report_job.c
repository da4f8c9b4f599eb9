#include "report_job.h"

#include "core/file.h"
#include "survey/catalogue.h"
#include "survey/check.h"
#include "survey/read_json.h"

#include <assert.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>

#include <cmocka.h>

static plan *plan_of(survey *s) {
    fault why = {0};
    fault_list *faults = fault_list_new();
    assert_non_null(faults);
    if (survey_catalogue_fill(s, &why) != OK) fail_msg("%s", why.text);
    survey_check(s, faults);
    if (fault_list_count(faults)) fail_msg("%s", fault_list_text(faults, 0));
    fault_list_free(faults);
    plan *p = NULL;
    if (plan_make(s, &(plan_options){.threads = 1}, &p, &why) != OK) fail_msg("%s", why.text);
    return p;
}

void report_job_free(plan *p) {
    const survey *s = p->survey;
    plan_free(p);
    survey_free((survey *)(uintptr_t)s);
}

plan *report_job_file(const char *path) {
    fault why = {0};
    char *bytes = NULL;
    size_t length = 0;
    if (file_read(path, &bytes, &length, &why) != OK) fail_msg("%s", why.text);
    survey *s = survey_new();
    fault_list *faults = fault_list_new();
    assert_non_null(s);
    assert_non_null(faults);
    if (!survey_read_json(s, path, bytes, length, faults)) fail_msg("%s", fault_list_text(faults, 0));
    fault_list_free(faults);
    mem_free(bytes);
    return plan_of(s);
}

static survey_point *points(survey *s, const survey_point *from, size_t n) {
    survey_point *copy = arena_get(s->memory, n, sizeof *copy);
    assert_non_null(copy);
    for (size_t i = 0; i < n; i++) copy[i] = from[i];
    return copy;
}

static void add_wall(survey *s, const char *id, const char *name, double width_m, double height_m) {
    survey_face *faces = arena_push(s->memory, s->faces, &s->n_faces, sizeof *faces);
    assert_non_null(faces);
    s->faces = faces;
    survey_ring outline = {
        points(s, (survey_point[]){{0, 0}, {width_m, 0}, {width_m, height_m}, {0, height_m}}, 4), 4};
    faces[s->n_faces - 1] = (survey_face){.id = id, .name = name, .thickness_m = 0.3, .outline = outline};
}

static survey_defect *add_defect(survey *s, const char *mark, survey_kind kind, const char *face,
                                 survey_ring at) {
    survey_defect *defects = arena_push(s->memory, s->defects, &s->n_defects, sizeof *defects);
    survey_part *part = arena_get(s->memory, 1, sizeof *part);
    assert_non_null(defects);
    assert_non_null(part);
    s->defects = defects;
    *part = (survey_part){face, at.points, at.n_points};
    defects[s->n_defects - 1] = (survey_defect){.mark = mark, .kind = kind, .parts = part, .n_parts = 1};
    return &defects[s->n_defects - 1];
}

static void add_stations(survey *s, survey_defect *d, const survey_station *from, size_t n) {
    d->stations = arena_get(s->memory, n, sizeof *d->stations);
    assert_non_null(d->stations);
    d->n_stations = n;
    for (size_t i = 0; i < n; i++) d->stations[i] = from[i];
}

static survey *site(const char *name, units_system system) {
    survey *s = survey_new();
    assert_non_null(s);
    s->site.name = name;
    s->site.place = "nowhere";
    s->site.system = system;
    s->site.letter_paper = system == UNITS_US;
    s->site.today.level_m = (maybe){true, 2};
    s->site.design.level_m = (maybe){true, 2.5};
    return s;
}

static plan *one(const char *name, const char *face, const char *mark, units_system system) {
    survey *s = site(name, system);
    add_wall(s, "N", face, 4, 3);
    survey_point line[] = {{1, 0.5}, {2.5, 1.5}};
    survey_defect *d = add_defect(s, mark, KIND_CRACK, "N", (survey_ring){points(s, line, 2), 2});
    survey_station stations[] = {{0, {true, 0.0002}, WET_DAMP, BAR_NONE, {0}, {0}},
                                 {1, {true, 0.0003}, WET_RUN, BAR_NONE, {0}, {0}},
                                 {1.8, {true, 0.0001}, WET_DRY, BAR_NONE, {0}, {0}}};
    add_stations(s, d, stations, 3);
    return plan_of(s);
}

plan *report_job_one(units_system system) {
    return one("Boiler room", "north wall", "N1", system);
}

plan *report_job_named(const char *name, const char *face, const char *mark) {
    return one(name, face, mark, UNITS_METRIC);
}

plan *report_job_cuts(void) {
    survey *s = site("Cuts", UNITS_METRIC);
    add_wall(s, "N", "north wall", 9, 4);
    s->site.today.level_m = s->site.design.level_m = (maybe){true, 4};
    survey_point line[] = {{1, 0.5}, {5, 0.5}}, hole[] = {{6, 2}}, patch[] = {{7, 1}, {8, 1}, {8, 2}, {7, 2}};
    survey_defect *d = add_defect(s, "N1", KIND_CRACK, "N", (survey_ring){points(s, line, 2), 2});
    const maybe cover = {true, 0.030}, bar = {true, 0.012};
    survey_station stations[] = {{0, {true, 0.0003}, WET_DRIP, BAR_NONE, {0}, {0}},
                                 {2, {true, 0.0003}, WET_DRIP, BAR_ALONG, cover, bar},
                                 {4, {true, 0.0003}, WET_DRIP, BAR_NONE, {0}, {0}}};
    add_stations(s, d, stations, 3);
    survey_station wet[] = {{0, {0}, WET_DRIP, BAR_NONE, {0}, {0}}};
    d = add_defect(s, "N2", KIND_TIE_HOLE, "N", (survey_ring){points(s, hole, 1), 1});
    d->diameter_m = (maybe){true, 0.022};
    add_stations(s, d, wet, 1);
    d = add_defect(s, "N3", KIND_HONEYCOMB, "N", (survey_ring){points(s, patch, 4), 4});
    add_stations(s, d, wet, 1);
    return plan_of(s);
}

static survey_defect *add_crack(survey *s, const char *mark, survey_point from, survey_point to,
                                survey_wetness wet) {
    survey_point line[] = {from, to};
    survey_defect *d = add_defect(s, mark, KIND_CRACK, "N", (survey_ring){points(s, line, 2), 2});
    const maybe cover = {true, 0.040}, bar = {true, 0.012};
    survey_station stations[] = {{0, {true, 0.0003}, wet, BAR_NONE, {0}, {0}},
                                 {0.9, {true, 0.0004}, wet, BAR_CROSSING, cover, bar},
                                 {1.8, {true, 0.0003}, wet, BAR_NONE, {0}, {0}}};
    add_stations(s, d, stations, 3);
    return d;
}

static void overrule(survey_defect *d, survey_method method, const char *why) {
    d->overrule = (survey_overrule){true, method, "N. N. (invented)", "2025-03-01", why};
}

plan *report_job_ways(units_system system) {
    survey *s = site("Every way", system);
    add_wall(s, "N", "north wall", 12, 4);
    s->site.today.level_m = s->site.design.level_m = (maybe){true, 3.5};
    survey_point hole[] = {{6, 2}}, pipe[] = {{9, 2}};
    overrule(add_crack(s, "I1", (survey_point){1, 2.6}, (survey_point){1.2, 0.6}, WET_DRIP),
             METHOD_INJECT_POLYURETHANE, "the owner wants no slot in this wall");
    overrule(add_crack(s, "I2", (survey_point){2, 0.5}, (survey_point){11, 0.5}, WET_DAMP),
             METHOD_INJECT_EPOXY, "strength is wanted");
    survey_defect *d = add_crack(s, "F1", (survey_point){3, 3}, (survey_point){3.4, 1}, WET_DAMP);
    d->signs = SIGN_BIT(SIGN_MOVING);
    d->movement_m = (maybe){true, 0.0012};
    overrule(add_crack(s, "D1", (survey_point){4, 3}, (survey_point){4.2, 1}, WET_RUN), METHOD_DRAIN,
             "the wall may not take the full head");
    survey_station wet[] = {{0, {0}, WET_DRIP, BAR_NONE, {0}, {0}}};
    d = add_defect(s, "T1", KIND_TIE_HOLE, "N", (survey_ring){points(s, hole, 1), 1});
    d->diameter_m = (maybe){true, 0.022};
    add_stations(s, d, wet, 1);
    d = add_defect(s, "P1", KIND_PENETRATION, "N", (survey_ring){points(s, pipe, 1), 1});
    d->diameter_m = (maybe){true, 0.110};
    add_stations(s, d, wet, 1);
    return plan_of(s);
}

/* xorshift64 of Marsaglia 2003: the same crowd on every machine. */
static double chance(uint64_t *state) {
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    return (double)(*state >> 11) / 9007199254740992.0;
}

static void add_random(survey *s, size_t at, const char *face, uint64_t *seed) {
    survey_kind kind = (survey_kind)(chance(seed) * KIND_COUNT);
    double u = 1 + chance(seed) * 9, v = 0.3 + chance(seed) * 2;
    survey_point shape[] = {
        {u, v}, {u + 0.2 + chance(seed) * 0.6, v + 0.2}, {u + 0.5, v + 0.5 + chance(seed) * 0.8}};
    size_t n = kind == KIND_TIE_HOLE || kind == KIND_PENETRATION ? 1 : 3;
    survey_defect *d = add_defect(s, arena_print(s->memory, "%c%zu", "ABCDEFGH"[at % 8], at), kind, face,
                                  (survey_ring){points(s, shape, n), n});
    if (n == 1) d->diameter_m = (maybe){true, 0.025 + chance(seed) * 0.1};
    survey_station stations[2] = {0};
    for (size_t i = 0; i < 2; i++) {
        stations[i].chainage_m = 0.3 * (double)i;
        stations[i].wetness = (survey_wetness)(chance(seed) * WET_COUNT);
        stations[i].width_m = (maybe){true, 0.0001 + chance(seed) * 0.0004};
        stations[i].bar = chance(seed) < 0.3 ? BAR_NOT_SCANNED : BAR_NONE;
    }
    add_stations(s, d, stations, survey_is_line(kind) ? 2 : 1);
    if (chance(seed) < 0.05) d->signs = SIGN_BIT(SIGN_GROWING);
}

plan *report_job_crowd(size_t leaks, size_t faces) {
    survey *s = site("Many leaks", UNITS_METRIC);
    uint64_t seed = 20250312;
    assert(faces > 0);
    for (size_t i = 0; i < faces; i++)
        add_wall(s, arena_print(s->memory, "W%zu", i), arena_print(s->memory, "wall %zu", i + 1), 12, 4);
    for (size_t i = 0; i < leaks; i++) add_random(s, i, s->faces[i % faces].id, &seed);
    return plan_of(s);
}
