/* plane_lanes.c - where on paper a chainage of a panel stands. */
#include "report/plane_view.h"

#include <math.h>

enum { MOST_LANES = 6 };
static const double LEAST_MM = 17, GAP_MM = 5, RIGHT_MM = 3, DEEPEST_MM = 52;

/* The smallest scale of a usual ruler at which a length takes no more than the room. */
static double ruler(double length_m, double room_mm) {
    static const double steps[] = {1, 1.25, 1.5, 2, 2.5, 3, 4, 5, 6, 7.5, 8};
    for (double ten = 1; ten < 1e9; ten *= 10)
        for (size_t i = 0; i < sizeof steps / sizeof *steps; i++)
            if (length_m * 1000 / (steps[i] * ten) <= room_mm) return steps[i] * ten;
    return 1e9;
}

static double length_of(const plane_panel *p) {
    return p->stations[p->stations_n - 1].chainage_m - p->stations[0].chainage_m;
}

/* A panel too short to be read at the common scale has its own. */
static double lane_scale(const plane_panel *p, double scale) {
    double length = length_of(p);
    return length * 1000 / scale >= LEAST_MM ? scale : fmin(scale, ruler(length, LEAST_MM));
}

static double strip_width(const plane_input *in, size_t from, size_t n, double scale) {
    double sum = GAP_MM * (double)(n - 1);
    for (size_t i = from; i < from + n; i++)
        sum += fmax(LEAST_MM, length_of(&in->panels[i]) * 1000 / lane_scale(&in->panels[i], scale));
    return sum;
}

static size_t lanes_from(const plane_input *in, size_t first) {
    size_t left = in->panels_n - first;
    return left < MOST_LANES ? left : MOST_LANES;
}

double plane_scale_along(const plane_input *in, double width) {
    double longest = 0, room = width - PLANE_MARGIN_MM - RIGHT_MM, scale;
    for (size_t i = 0; i < in->panels_n; i++) longest = fmax(longest, length_of(&in->panels[i]));
    for (double shrunk = room;; shrunk *= 0.97) {
        bool fits = true;
        scale = ruler(longest, shrunk);
        for (size_t i = 0; i < in->panels_n; i += MOST_LANES)
            fits = fits && strip_width(in, i, lanes_from(in, i), scale) <= room;
        if (fits || !(shrunk > 1)) return scale;
    }
}

double plane_scale_through(const plane_input *in) {
    double thickest = 0;
    for (size_t i = 0; i < in->panels_n; i++) thickest = fmax(thickest, in->panels[i].thickness_m);
    return ruler(thickest, DEEPEST_MM);
}

plane_lane *plane_lanes(const plane_input *in, double scale, size_t *next, size_t *n, arena *memory) {
    *n = lanes_from(in, *next);
    plane_lane *lanes = arena_get(memory, *n, sizeof *lanes);
    double x = PLANE_MARGIN_MM;
    for (size_t i = 0; lanes && i < *n; i++) {
        const plane_panel *p = &in->panels[*next + i];
        double own = lane_scale(p, scale), width = length_of(p) * 1000 / own;
        lanes[i] = (plane_lane){.panel = *next + i,
                                .from_m = p->stations[0].chainage_m,
                                .to_m = p->stations[p->stations_n - 1].chainage_m,
                                .x = x,
                                .width = width,
                                .scale = own};
        x += fmax(width, LEAST_MM) + GAP_MM;
    }
    *next += *n;
    return lanes;
}

double plane_lane_x(const plane_lane *lane, double chainage_m) {
    return lane->x + (chainage_m - lane->from_m) / (lane->to_m - lane->from_m) * lane->width;
}

double plane_mm_through(const plane_view *v, double depth_m) {
    return depth_m * 1000 / v->depth_scale;
}
