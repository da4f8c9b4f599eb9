#include "survey/write_geojson.h"

#include "survey/objects.h"

static void write_position(json_out *o, survey_point p) {
    json_out_open(o, NULL, '[');
    json_out_number(o, NULL, p.u_m);
    json_out_number(o, NULL, p.v_m);
    json_out_close(o, ']');
}

static void write_line(json_out *o, const char *name, const survey_part *p) {
    json_out_open(o, name, '[');
    for (size_t i = 0; i < p->n_points; i++) write_position(o, p->points[i]);
    json_out_close(o, ']');
}

/* Twice the signed area: positive when the ring runs anticlockwise. */
static double twice_area_m2(survey_ring r) {
    double sum = 0;
    for (size_t i = 0; i < r.n_points; i++) {
        survey_point a = r.points[i], b = r.points[(i + 1) % r.n_points];
        sum += a.u_m * b.v_m - b.u_m * a.v_m;
    }
    return sum;
}

/* RFC 7946, 3.1.6: outer rings anticlockwise, holes clockwise. */
static bool must_reverse(survey_ring r, bool outer) {
    return outer ? twice_area_m2(r) < 0 : twice_area_m2(r) > 0;
}

/* The ring closed by its first point again; the first point stays first when the ring is turned round. */
static void write_ring(json_out *o, survey_ring r, bool outer) {
    bool reverse = must_reverse(r, outer);
    json_out_open(o, NULL, '[');
    for (size_t i = 0; i <= r.n_points; i++)
        write_position(o, r.points[(reverse ? r.n_points - i : i) % r.n_points]);
    json_out_close(o, ']');
}

static void write_polygon(json_out *o, survey_ring outer, const survey_ring *holes, size_t n_holes) {
    json_out_text(o, "type", "Polygon");
    json_out_open(o, "coordinates", '[');
    write_ring(o, outer, true);
    for (size_t i = 0; i < n_holes; i++) write_ring(o, holes[i], false);
    json_out_close(o, ']');
}

/* Property "reversed": the rings that write_ring turned round. */
static void write_reversed(json_out *o, survey_ring outer, const survey_ring *holes, size_t n_holes) {
    bool any = must_reverse(outer, true);
    for (size_t i = 0; i < n_holes; i++) any = any || must_reverse(holes[i], false);
    if (!any) return;
    json_out_open(o, "reversed", '[');
    if (must_reverse(outer, true)) json_out_whole(o, NULL, 0);
    for (size_t i = 0; i < n_holes; i++)
        if (must_reverse(holes[i], false)) json_out_whole(o, NULL, (long long)i + 1);
    json_out_close(o, ']');
}

static void write_face(json_out *o, const survey_face *f) {
    json_out_open(o, "geometry", '{');
    write_polygon(o, f->outline, f->openings, f->n_openings);
    json_out_close(o, '}');
    json_out_open(o, "properties", '{');
    json_out_text(o, "object", "face");
    objects_write_face(o, f, false);
    write_reversed(o, f->outline, f->openings, f->n_openings);
    json_out_close(o, '}');
}

static void write_fold(json_out *o, const survey_fold *f) {
    json_out_null(o, "geometry");
    json_out_open(o, "properties", '{');
    json_out_text(o, "object", "fold");
    objects_write_fold(o, f);
    json_out_close(o, '}');
}

static survey_ring ring_of(const survey_part *p) {
    return (survey_ring){p->points, p->n_points};
}

static void write_defect_geometry(json_out *o, const survey_defect *d) {
    json_out_open(o, "geometry", '{');
    if (d->kind == KIND_HONEYCOMB) {
        write_polygon(o, ring_of(&d->parts[0]), NULL, 0);
    } else if (!survey_is_line(d->kind)) {
        json_out_text(o, "type", "Point");
        json_out_open(o, "coordinates", '[');
        json_out_number(o, NULL, d->parts[0].points[0].u_m);
        json_out_number(o, NULL, d->parts[0].points[0].v_m);
        json_out_close(o, ']');
    } else if (d->n_parts == 1) {
        json_out_text(o, "type", "LineString");
        write_line(o, "coordinates", &d->parts[0]);
    } else {
        json_out_text(o, "type", "MultiLineString");
        json_out_open(o, "coordinates", '[');
        for (size_t i = 0; i < d->n_parts; i++) write_line(o, NULL, &d->parts[i]);
        json_out_close(o, ']');
    }
    json_out_close(o, '}');
}

static void write_defect(json_out *o, const survey_defect *d) {
    write_defect_geometry(o, d);
    json_out_open(o, "properties", '{');
    json_out_text(o, "object", "defect");
    if (d->n_parts == 1) {
        json_out_text(o, "face", d->parts[0].face);
    } else {
        json_out_open(o, "faces", '[');
        for (size_t i = 0; i < d->n_parts; i++) json_out_text(o, NULL, d->parts[i].face);
        json_out_close(o, ']');
    }
    objects_write_defect(o, d, false);
    if (d->kind == KIND_HONEYCOMB) write_reversed(o, ring_of(&d->parts[0]), NULL, 0);
    json_out_close(o, '}');
}

static void open_feature(json_out *o) {
    json_out_open(o, NULL, '{');
    json_out_text(o, "type", "Feature");
}

void survey_write_geojson(const survey *s, text *to) {
    json_out o = {.to = to, .indent = 1, .compact_from = 3, .system = s->site.system};
    json_out_open(&o, NULL, '{');
    json_out_text(&o, "type", "FeatureCollection");
    json_out_text(
        &o, "coordinate_system",
        "metres on each face (u to the right, v up), not longitude and latitude as in RFC 7946 section 4");
    json_out_text(&o, "units", s->site.system == UNITS_US ? "us" : "metric");
    json_out_open(&o, "features", '[');
    for (size_t i = 0; i < s->n_faces; i++) {
        open_feature(&o);
        write_face(&o, &s->faces[i]);
        json_out_close(&o, '}');
    }
    for (size_t i = 0; i < s->n_folds; i++) {
        open_feature(&o);
        write_fold(&o, &s->folds[i]);
        json_out_close(&o, '}');
    }
    for (size_t i = 0; i < s->n_defects; i++) {
        open_feature(&o);
        write_defect(&o, &s->defects[i]);
        json_out_close(&o, '}');
    }
    json_out_close(&o, ']');
    json_out_close(&o, '}');
}
