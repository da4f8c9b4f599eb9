/* Ports along a crack: spaced by the rule, on alternate sides, clear of the bars that the scan told of, on the face. */
#include "repair/injection_parts.h"

#include <math.h>

static const double DEGREE = 3.14159265358979323846 / 180;
static const double SHIFT_M = 0.010; /* step of the search for a clear place, our default */

/* 45 degrees where it can be; then flatter, which passes a bar under the crack at a larger distance; then steeper, which
 * keeps the mouth nearer to the crack. 30 to 60 degrees: our default. */
static const double angles_deg[] = {INJECTION_ANGLE_DEG, 40, 35, 30, 50, 55, 60};
enum { ANGLES = sizeof angles_deg / sizeof *angles_deg };

/* A place on the crack and the way that the crack runs there. */
typedef struct {
    trace_place place;
    double along_u, along_v; /* unit vector */
} frame;

/* The direction from a millimetre before to a millimetre past, on the same part. */
static bool frame_at(const sizing *z, double chainage_m, frame *out) {
    const double near = 0.001;
    trace_place a, b;
    const survey_defect *d = z->leak->defect;
    if (!trace_at(z->s, d, chainage_m, &out->place) || !trace_at(z->s, d, chainage_m - near, &a) ||
        !trace_at(z->s, d, chainage_m + near, &b))
        return false;
    survey_point from = a.part == out->place.part ? a.at : out->place.at;
    survey_point to = b.part == out->place.part ? b.at : out->place.at;
    double length = hypot(to.u_m - from.u_m, to.v_m - from.v_m);
    out->along_u = length > 0 ? (to.u_m - from.u_m) / length : 1;
    out->along_v = length > 0 ? (to.v_m - from.v_m) / length : 0;
    return true;
}

static survey_point mouth_of(const frame *f, double offset_m) {
    return (survey_point){f->place.at.u_m + offset_m * f->along_v, f->place.at.v_m - offset_m * f->along_u};
}

static bool stands_for(const survey_defect *d, size_t i, double chainage_m) {
    const survey_station *st = d->stations;
    bool before = i > 0 && chainage_m < (st[i - 1].chainage_m + st[i].chainage_m) / 2;
    bool past = i + 1 < d->n_stations && chainage_m > (st[i].chainage_m + st[i + 1].chainage_m) / 2;
    return !before && !past;
}

/* A bar across the crack lies in the plane of the hole: it is met wherever it lies nearer to the face than the hole goes.
 * A bar along the crack lies under it, at (t/2 - z) cos a from the hole's axis. Only bars that were scanned are known. */
static bool passes_bar(const sizing *z, double chainage_m, double thickness_m, double degrees) {
    const survey_defect *d = z->leak->defect;
    for (size_t i = 0; i < d->n_stations; i++) {
        const survey_station *st = &d->stations[i];
        if (!st->cover_m.known || (st->bar != BAR_CROSSING && st->bar != BAR_ALONG)) continue;
        double bar = st->bar_diameter_m.known ? st->bar_diameter_m.v : STEEL_BAR_M;
        double least = (bar + INJECTION_HOLE_M) / 2 + INJECTION_BAR_CLEAR_M, half = thickness_m / 2;
        double centre = st->cover_m.v + bar / 2, below = (half - centre) * cos(degrees * DEGREE);
        if (st->bar == BAR_CROSSING && fabs(chainage_m - st->chainage_m) < least && centre - least < half)
            return true;
        if (st->bar == BAR_ALONG && stands_for(d, i, chainage_m) && fabs(below) < least) return true;
    }
    return false;
}

static double offset_for(double thickness_m, double degrees) {
    return thickness_m / 2 / tan(degrees * DEGREE);
}

typedef struct {
    sizing *z;
    design_injection *in;
    bool out_of_memory;
} porting;

/* A hole at this chainage that stays on the face and, if `clear`, off the bars; the preferred side first. */
static bool find_hole(porting *p, double chainage_m, int side, bool clear, design_port *out) {
    frame f;
    if (!frame_at(p->z, chainage_m, &f)) return false;
    double t = f.place.face->thickness_m;
    for (int k = 0; k < ANGLES; k++) {
        if (clear && passes_bar(p->z, chainage_m, t, angles_deg[k])) continue;
        for (int turn = 0; turn < 2; turn++) {
            double offset = offset_for(t, angles_deg[k]) * (turn == 0 ? side : -side);
            if (!injection_on_face(p->z, f.place.face, mouth_of(&f, offset), &p->out_of_memory)) continue;
            *out = (design_port){.at_m = chainage_m, .offset_m = offset, .elevation_m = f.place.elevation_m};
            return true;
        }
    }
    return false;
}

/* Where a port is wanted, and how far it may be moved off the bars. */
typedef struct {
    double target_m, most_m;
    bool on; /* moved on along the crack, else back */
    int side;
} wish;

/* At the target, else moved in steps; else where it was wanted, marked. */
static design_port find_port(porting *p, wish w) {
    design_port port = {.at_m = w.target_m};
    for (double moved = 0; moved <= w.most_m; moved += SHIFT_M) {
        double at = w.target_m + (w.on ? moved : -moved);
        if (at <= p->in->to_m && find_hole(p, at, w.side, true, &port)) return port;
    }
    frame f;
    if (!find_hole(p, w.target_m, w.side, false, &port) && frame_at(p->z, w.target_m, &f))
        port.elevation_m = f.place.elevation_m; /* no face on either side: straight in on the crack */
    double t = frame_at(p->z, w.target_m, &f) ? f.place.face->thickness_m : p->z->leak->thickness_m;
    port.near_bar = passes_bar(p->z, w.target_m, t, port.offset_m == 0 ? 90 : INJECTION_ANGLE_DEG);
    return port;
}

/* A port is moved back, never on, by at most half a spacing, so that no gap grows beyond the rule; only the first is moved
 * on. No two stand closer than packers can. */
status injection_along(sizing *z, design_injection *in) {
    porting p = {z, in, false};
    double length = in->to_m - in->from_m;
    double step = length / ceil(length / in->spacing_m * (1 - 1e-12)), last;
    in->spacing_m = step;
    wish w = {.target_m = in->from_m, .most_m = step / 2, .on = true, .side = 1};
    do {
        design_port port = find_port(&p, w);
        status code = p.out_of_memory ? fault_memory(z->why) : injection_add_port(z, in, port);
        if (code != OK) return code;
        last = port.at_m;
        bool near_end = last + step > in->to_m - step * 1e-9;
        w.target_m = near_end ? in->to_m : last + step;
        w.most_m = fmax(fmin(step / 2, w.target_m - last - INJECTION_CLOSEST_M), 0);
        w.on = false;
        w.side = -w.side;
    } while (in->to_m - last >= fmin(INJECTION_CLOSEST_M, step * (1 - 1e-9)));
    return OK;
}
