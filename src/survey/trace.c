#include "survey/trace.h"

#include <math.h>

static double part_length_m(const survey_part *p) {
    double length = 0;
    for (size_t i = 1; i < p->n_points; i++)
        length += hypot(p->points[i].u_m - p->points[i - 1].u_m, p->points[i].v_m - p->points[i - 1].v_m);
    return length;
}

double trace_length_m(const survey_defect *d) {
    double length = 0;
    if (!survey_is_line(d->kind)) return 0;
    for (size_t i = 0; i < d->n_parts; i++) length += part_length_m(&d->parts[i]);
    return length;
}

double survey_elevation_m(const survey_face *face, survey_point at) {
    return face->lie == LIE_WALL ? face->elevation_m + at.v_m : face->elevation_m;
}

static survey_point point_along(const survey_part *p, double distance_m) {
    for (size_t i = 1; i < p->n_points; i++) {
        survey_point a = p->points[i - 1], b = p->points[i];
        double step = hypot(b.u_m - a.u_m, b.v_m - a.v_m);
        if (distance_m <= step && step > 0) {
            double f = distance_m / step;
            return (survey_point){a.u_m + f * (b.u_m - a.u_m), a.v_m + f * (b.v_m - a.v_m)};
        }
        distance_m -= step;
    }
    return p->points[p->n_points - 1];
}

bool trace_at(const survey *s, const survey_defect *d, double chainage_m, trace_place *out) {
    *out = (trace_place){0};
    if (d->n_parts == 0) return false;
    double left = chainage_m > 0 ? chainage_m : 0;
    size_t part = 0;
    if (survey_is_line(d->kind))
        while (part + 1 < d->n_parts && left >= part_length_m(&d->parts[part]))
            left -= part_length_m(&d->parts[part++]);
    const survey_part *p = &d->parts[part];
    out->face = survey_find_face(s, p->face);
    out->part = part;
    if (!out->face || p->n_points == 0) return false;
    out->at = survey_is_line(d->kind) ? point_along(p, left) : p->points[0];
    out->elevation_m = survey_elevation_m(out->face, out->at);
    return true;
}

/* Elevation is linear between the corners of the trace, so the lowest point is an end of the stretch or a
 * corner in it. */
bool trace_lowest(const survey *s, const survey_defect *d, double from_m, double to_m, double *out_m) {
    trace_place first, last;
    if (!trace_at(s, d, from_m, &first) || !trace_at(s, d, to_m, &last)) return false;
    double lowest = fmin(first.elevation_m, last.elevation_m), chainage = 0;
    for (size_t i = 0; i < d->n_parts; i++) {
        const survey_part *p = &d->parts[i];
        const survey_face *face = survey_find_face(s, p->face);
        if (!face) return false;
        for (size_t k = 0; k < p->n_points; k++) {
            if (k > 0 && survey_is_line(d->kind))
                chainage +=
                    hypot(p->points[k].u_m - p->points[k - 1].u_m, p->points[k].v_m - p->points[k - 1].v_m);
            bool counts = !survey_is_line(d->kind) || (chainage > from_m && chainage < to_m);
            if (counts) lowest = fmin(lowest, survey_elevation_m(face, p->points[k]));
        }
    }
    *out_m = lowest;
    return true;
}

bool survey_level_design(const survey *s, const survey_face *face, double *level_m, survey_known *known) {
    const survey_level *own = &face->design, *site = &s->site.design;
    const survey_level *given = own->level_m.known ? own : site->level_m.known ? site : NULL;
    if (given) {
        *level_m = given->level_m.v;
        *known = given->known;
        return true;
    }
    *known = KNOWN_ASSUMED;
    if (s->site.retained_top_m.known) {
        *level_m = s->site.retained_top_m.v;
        return true;
    }
    bool found = false;
    for (size_t i = 0; i < s->n_faces; i++) {
        const survey_face *f = &s->faces[i];
        for (size_t k = 0; f->lie == LIE_WALL && k < f->outline.n_points; k++) {
            double top = survey_elevation_m(f, f->outline.points[k]);
            if (!found || top > *level_m) *level_m = top;
            found = true;
        }
    }
    return found;
}

bool survey_level_today(const survey *s, const survey_face *face, double *level_m, survey_known *known) {
    const survey_level *own = &face->today, *site = &s->site.today;
    const survey_level *given = own->level_m.known ? own : site->level_m.known ? site : NULL;
    if (!given) {
        bool found = survey_level_design(s, face, level_m, known);
        *known = KNOWN_ASSUMED;
        return found;
    }
    *level_m = given->level_m.v;
    *known = given->known;
    return true;
}
