#include "survey/write_json.h"

#include "survey/objects.h"

typedef void object_writer(json_out *o, const void *object);

static void write_face(json_out *o, const void *object) {
    objects_write_face(o, object, true);
}
static void write_fold(json_out *o, const void *object) {
    objects_write_fold(o, object);
}
static void write_defect(json_out *o, const void *object) {
    objects_write_defect(o, object, true);
}
static void write_material(json_out *o, const void *object) {
    objects_write_material(o, object);
}
static void write_rate(json_out *o, const void *object) {
    objects_write_rate(o, object);
}
static void write_price(json_out *o, const void *object) {
    objects_write_price(o, object);
}
static void write_tank(json_out *o, const void *object) {
    objects_write_tank(o, object);
}
static void write_answer(json_out *o, const void *object) {
    objects_write_answer(o, object);
}

/* `lines`: each object on one line. */
static void write_list(json_out *o, const char *name, const void *array, size_t n, size_t size, bool lines,
                       object_writer *writer) {
    if (n == 0) return;
    int indent = o->indent;
    json_out_open(o, name, '[');
    for (size_t i = 0; i < n; i++) {
        json_out_open(o, NULL, '{');
        if (lines) o->indent = 0;
        writer(o, (const char *)array + i * size);
        json_out_close(o, '}');
        o->indent = indent;
    }
    json_out_close(o, ']');
}

void survey_write_json(const survey *s, text *to) {
    json_out o = {.to = to, .indent = 1, .system = s->site.system};
    json_out_open(&o, NULL, '{');
    json_out_whole(&o, "stanch_survey", 1);
    json_out_text(&o, "units", s->site.system == UNITS_US ? "us" : "metric");
    json_out_open(&o, "site", '{');
    objects_write_site(&o, &s->site);
    json_out_close(&o, '}');
    write_list(&o, "faces", s->faces, s->n_faces, sizeof *s->faces, false, write_face);
    write_list(&o, "folds", s->folds, s->n_folds, sizeof *s->folds, true, write_fold);
    write_list(&o, "defects", s->defects, s->n_defects, sizeof *s->defects, false, write_defect);
    write_list(&o, "tanks", s->tanks, s->n_tanks, sizeof *s->tanks, true, write_tank);
    write_list(&o, "materials", s->materials, s->n_materials, sizeof *s->materials, false, write_material);
    write_list(&o, "rates", s->rates, s->n_rates, sizeof *s->rates, true, write_rate);
    write_list(&o, "prices", s->prices, s->n_prices, sizeof *s->prices, true, write_price);
    write_list(&o, "answers", s->answers, s->n_answers, sizeof *s->answers, true, write_answer);
    objects_write_year(&o, &s->site);
    json_out_close(&o, '}');
}

void survey_write_defect_json(const survey *s, const survey_defect *d, text *to) {
    json_out o = {.to = to, .system = s->site.system};
    json_out_open(&o, NULL, '{');
    objects_write_defect(&o, d, true);
    json_out_close(&o, '}');
}
