#include "wall_job.h"

#include <time.h>

static survey_point *run_of(survey *s, size_t n, const double (*points)[2]) {
    survey_point *run = arena_get(s->memory, n, sizeof *run);
    assert_non_null(run);
    for (size_t i = 0; i < n; i++) run[i] = (survey_point){points[i][0], points[i][1]};
    return run;
}

survey *wall_job(void) {
    static const double outline[][2] = {{0, 0}, {10, 0}, {10, 4}, {0, 4}};
    survey *s = survey_new();
    assert_non_null(s);
    s->faces = arena_get(s->memory, 1, sizeof *s->faces);
    assert_non_null(s->faces);
    s->n_faces = 1;
    s->faces[0] = (survey_face){.id = "N",
                                .name = "north wall",
                                .lie = LIE_WALL,
                                .behind = BEHIND_GROUND,
                                .thickness_m = 0.3,
                                .outline = {run_of(s, 4, outline), 4}};
    s->site.design.level_m = (maybe){true, 3};
    return s;
}

survey_defect *wall_add(survey *s, const char *mark, survey_kind kind, size_t n, const double (*points)[2]) {
    survey_defect *list = arena_push(s->memory, s->defects, &s->n_defects, sizeof *list);
    survey_part *part = arena_get(s->memory, 1, sizeof *part);
    assert_true(list && part);
    s->defects = list;
    *part = (survey_part){"N", run_of(s, n, points), n};
    list[s->n_defects - 1] = (survey_defect){.mark = mark, .kind = kind, .parts = part, .n_parts = 1};
    return &list[s->n_defects - 1];
}

void wall_widths(survey *s, survey_defect *d, size_t n, const double *width_mm, survey_wetness wetness) {
    d->stations = arena_get(s->memory, n, sizeof *d->stations);
    assert_non_null(d->stations);
    d->n_stations = n;
    for (size_t i = 0; i < n; i++) {
        d->stations[i].chainage_m = n > 1 ? trace_length_m(d) * (double)i / (double)(n - 1) : 0;
        d->stations[i].width_m = (maybe){width_mm[i] > 0, width_mm[i] / 1000};
        d->stations[i].wetness = wetness;
    }
}

const char *wall_date(survey *s, int day) {
    char into[16];
    time_t at = (time_t)(1767225600LL + day * 86400LL); /* 2026-01-01: `date -u -d 2026-01-01 +%s` */
    struct tm utc;
    assert_non_null(gmtime_r(&at, &utc));
    assert_true(strftime(into, sizeof into, "%Y-%m-%d", &utc) > 0);
    const char *copy = arena_copy(s->memory, into);
    assert_non_null(copy);
    return copy;
}

void wall_read(survey *s, survey_defect *d, const char *gauge, int day, double width_mm,
               double temperature_c) {
    survey_reading *list = arena_push(s->memory, d->readings, &d->n_readings, sizeof *list);
    assert_non_null(list);
    d->readings = list;
    list[d->n_readings - 1] = (survey_reading){.gauge = gauge,
                                               .on = wall_date(s, day),
                                               .width_m = width_mm / 1000,
                                               .temperature_c = {!isnan(temperature_c), temperature_c}};
}

leak_water wall_look(survey *s, const survey_defect *d) {
    leak_water leak;
    fault why = {0};
    if (leak_look(s, d, s->memory, &leak, &why) != OK) fail_msg("%s", why.text);
    return leak;
}
