#include "survey/fields.h"
#include "survey/objects.h"

#include <stdlib.h>

/* A coordinate as the shortest number that reads back exactly in the document's units. */
static void write_coordinate(json_out *o, double si) {
    char number[TEXT_NUMBER];
    json_out_number(o, NULL, strtod(units_text(UNITS_LENGTH, o->system, si, number), NULL));
}

/* [[u, v], ...] on one line, however deep or shallow it stands. */
static void write_points(json_out *o, const char *name, const survey_point *points, size_t n_points) {
    int indent = o->indent;
    json_out_open(o, name, '[');
    o->indent = 0;
    for (size_t i = 0; i < n_points; i++) {
        json_out_open(o, NULL, '[');
        write_coordinate(o, points[i].u_m);
        write_coordinate(o, points[i].v_m);
        json_out_close(o, ']');
    }
    json_out_close(o, ']');
    o->indent = indent;
}

static void write_level(json_out *o, const char *name, const survey_level *level) {
    if (!level->level_m.known) return;
    int indent = o->indent;
    json_out_open(o, name, '{');
    o->indent = 0;
    survey_fields_write(o, survey_level_fields, false, level);
    json_out_close(o, '}');
    o->indent = indent;
}

void objects_write_site(json_out *o, const survey_site *site) {
    survey_fields_write(o, survey_site_fields, true, site);
    write_level(o, "today", &site->today);
    write_level(o, "design", &site->design);
    objects_write_words(o, "exclude", &objects_methods, site->excluded);
    objects_write_work(o, &site->work);
    objects_write_forecast(o, &site->forecast);
    objects_write_weather(o, site);
}

void objects_write_face(json_out *o, const survey_face *face, bool parts) {
    survey_fields_write(o, survey_face_fields, true, face);
    write_level(o, "today", &face->today);
    write_level(o, "design", &face->design);
    if (!parts) return;
    write_points(o, "outline", face->outline.points, face->outline.n_points);
    if (face->n_openings == 0) return;
    json_out_open(o, "openings", '[');
    for (size_t i = 0; i < face->n_openings; i++)
        write_points(o, NULL, face->openings[i].points, face->openings[i].n_points);
    json_out_close(o, ']');
}

static void write_edge(json_out *o, const char *name, const char *face, const survey_point edge[2]) {
    int indent = o->indent;
    json_out_open(o, name, '[');
    o->indent = 0;
    json_out_text(o, NULL, face);
    write_points(o, NULL, edge, 2);
    json_out_close(o, ']');
    o->indent = indent;
}

void objects_write_fold(json_out *o, const survey_fold *fold) {
    write_edge(o, "a", fold->face_a, fold->a);
    write_edge(o, "b", fold->face_b, fold->b);
}

/* A list of plain objects, one a line. */
static void write_list(json_out *o, const char *name, survey_fields table, const void *array, size_t n,
                       size_t size) {
    if (n == 0) return;
    int indent = o->indent;
    json_out_open(o, name, '[');
    for (size_t i = 0; i < n; i++) {
        json_out_open(o, NULL, '{');
        o->indent = 0;
        survey_fields_write(o, table, false, (const char *)array + i * size);
        json_out_close(o, '}');
        o->indent = indent;
    }
    json_out_close(o, ']');
}

static void write_parts(json_out *o, const survey_defect *d) {
    int indent = o->indent;
    json_out_open(o, "parts", '[');
    for (size_t i = 0; i < d->n_parts; i++) {
        json_out_open(o, NULL, '{');
        o->indent = 0;
        json_out_text(o, "face", d->parts[i].face);
        write_points(o, "points", d->parts[i].points, d->parts[i].n_points);
        json_out_close(o, '}');
        o->indent = indent;
    }
    json_out_close(o, ']');
}

void objects_write_defect(json_out *o, const survey_defect *d, bool parts) {
    survey_fields_write(o, survey_defect_fields, false, d);
    objects_write_words(o, "signs", &objects_signs, d->signs);
    objects_write_words(o, "exclude", &objects_methods, d->excluded);
    objects_write_overrule(o, &d->overrule);
    if (parts) write_parts(o, d);
    write_list(o, "stations", survey_station_fields, d->stations, d->n_stations, sizeof *d->stations);
    write_list(o, "flows", survey_flow_fields, d->flows, d->n_flows, sizeof *d->flows);
    write_list(o, "readings", survey_reading_fields, d->readings, d->n_readings, sizeof *d->readings);
    write_list(o, "open", survey_open_fields, d->opens, d->n_opens, sizeof *d->opens);
    if (d->n_notes) {
        json_out_open(o, "notes", '[');
        for (size_t i = 0; i < d->n_notes; i++) json_out_text(o, NULL, d->notes[i]);
        json_out_close(o, ']');
    }
    write_list(o, "photos", survey_photo_fields, d->photos, d->n_photos, sizeof *d->photos);
}

void objects_write_material(json_out *o, const survey_material *m) {
    survey_fields_write(o, survey_material_fields, false, m);
    write_list(o, "packs", survey_pack_fields, m->packs, m->n_packs, sizeof *m->packs);
}

void objects_write_rate(json_out *o, const survey_rate *rate) {
    survey_fields_write(o, survey_rate_fields, false, rate);
}

void objects_write_price(json_out *o, const survey_price *price) {
    survey_fields_write(o, survey_price_fields, false, price);
}

void objects_write_tank(json_out *o, const survey_tank *tank) {
    survey_fields_write(o, survey_tank_fields, false, tank);
}

void objects_write_answer(json_out *o, const survey_answer *answer) {
    survey_fields_write(o, survey_answer_fields, false, answer);
}
