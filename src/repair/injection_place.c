/* Ports where there is no line: a pair astride a pipe or tie hole, a grid over honeycomb. */
#include "repair/injection_parts.h"

#include <math.h>

static const double DEGREE = 3.14159265358979323846 / 180;

status injection_add_port(sizing *z, design_injection *in, design_port port) {
    design_port *ports = arena_push(z->memory, in->ports, &in->n_ports, sizeof *ports);
    if (!ports) return fault_memory(z->why);
    ports[in->n_ports - 1] = port;
    in->ports = ports;
    return OK;
}

bool injection_on_face(const sizing *z, const survey_face *face, survey_point mouth, bool *out_of_memory) {
    face_run *openings = arena_get(z->memory, face->n_openings + 1, sizeof *openings);
    if (!openings) {
        *out_of_memory = true;
        return false;
    }
    for (size_t k = 0; k < face->n_openings; k++)
        openings[k] = (face_run){face->openings[k].points, face->openings[k].n_points};
    face_shape shape = {face->id, {face->outline.points, face->outline.n_points}, openings, face->n_openings};
    return face_holds(&shape, mouth, 0);
}

/* The station at a place tells of a bar, but not where it runs: every hole there may meet it. */
static bool barred(const sizing *z) {
    const survey_defect *d = z->leak->defect;
    return d->n_stations > 0 && (d->stations[0].bar == BAR_CROSSING || d->stations[0].bar == BAR_ALONG);
}

/* One hole each side of the pipe or tie, meeting its surface at half the thickness. */
status injection_astride(sizing *z, design_injection *in) {
    trace_place place;
    const survey_defect *d = z->leak->defect;
    if (!trace_at(z->s, d, 0, &place)) return OK;
    double offset = (d->diameter_m.known ? d->diameter_m.v : SIZING_TIE_HOLE_M) / 2 +
                    z->leak->thickness_m / 2 / tan(in->angle_deg * DEGREE);
    for (int side = 1; side >= -1; side -= 2) {
        bool out_of_memory = false;
        survey_point mouth = {place.at.u_m + side * offset, place.at.v_m};
        bool fits = injection_on_face(z, place.face, mouth, &out_of_memory);
        if (out_of_memory) return fault_memory(z->why);
        if (!fits && (side == 1 || in->n_ports > 0)) continue; /* beside an edge: the other side alone */
        design_port port = {
            .offset_m = side * offset, .elevation_m = place.elevation_m, .near_bar = barred(z)};
        status code = injection_add_port(z, in, port);
        if (code != OK) return code;
    }
    return OK;
}

typedef struct {
    double left_m, right_m, low_m, high_m;
} box;

static box box_of(const survey_part *ring) {
    box b = {HUGE_VAL, -HUGE_VAL, HUGE_VAL, -HUGE_VAL};
    for (size_t i = 0; i < ring->n_points; i++) {
        b.left_m = fmin(b.left_m, ring->points[i].u_m);
        b.right_m = fmax(b.right_m, ring->points[i].u_m);
        b.low_m = fmin(b.low_m, ring->points[i].v_m);
        b.high_m = fmax(b.high_m, ring->points[i].v_m);
    }
    return b;
}

static status add_in_ring(sizing *z, design_injection *in, const survey_face *face, survey_point at) {
    survey_point first = z->leak->defect->parts[0].points[0];
    design_port port = {.at_m = at.v_m - first.v_m,
                        .offset_m = at.u_m - first.u_m,
                        .elevation_m = survey_elevation_m(face, at),
                        .near_bar = barred(z)};
    return injection_add_port(z, in, port);
}

/* A grid set in the middle of the box round the area, what of it lies in the area and on the face. */
status injection_over(sizing *z, design_injection *in) {
    const survey_part *ring = &z->leak->defect->parts[0];
    const survey_face *face = survey_find_face(z->s, ring->face);
    const face_shape area = {ring->face, {ring->points, ring->n_points}, NULL, 0};
    box b = box_of(ring);
    int columns = (int)ceil((b.right_m - b.left_m) / in->spacing_m * (1 - 1e-12));
    int rows = (int)ceil((b.high_m - b.low_m) / in->spacing_m * (1 - 1e-12));
    for (int r = 0; r < rows; r++)
        for (int c = 0; c < columns; c++) {
            survey_point at = {b.left_m + (c + 0.5) / columns * (b.right_m - b.left_m),
                               b.low_m + (r + 0.5) / rows * (b.high_m - b.low_m)};
            bool out_of_memory = false;
            if (!face_holds(&area, at, 0) || !injection_on_face(z, face, at, &out_of_memory)) {
                if (out_of_memory) return fault_memory(z->why);
                continue;
            }
            status code = add_in_ring(z, in, face, at);
            if (code != OK) return code;
        }
    return in->n_ports > 0 ? OK
                           : add_in_ring(z, in, face, ring->points[0]); /* an area thinner than its grid */
}
