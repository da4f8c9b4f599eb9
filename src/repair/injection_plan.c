/* An injection: how far, ports how close and why, how long the holes, how much goes in. */
#include "repair/injection_parts.h"

#include <math.h>

static const double PI = 3.14159265358979323846;
static const double PAST_WET_M = 0.300; /* past the last wetness, as a slot (common practice) */
static const double WIDTH_M = 0.0003;   /* of a crack that was not measured, our default: 0.3 mm */

/* EN 1504-5: force-transmitting, ductile, swelling-fitted (mapping from memory). */
static char category(survey_method name) {
    if (name == METHOD_INJECT_POLYURETHANE) return 'D';
    return name == METHOD_INJECT_ACRYLATE ? 'S' : 'F';
}

static double thinnest_m(const sizing *z) {
    const survey_defect *d = z->leak->defect;
    double least = HUGE_VAL;
    for (size_t i = 0; i < d->n_parts; i++)
        least = fmin(least, survey_find_face(z->s, d->parts[i].face)->thickness_m);
    return least;
}

/* The smallest that applies (trade page diagnosis.md 7.1, our choice among the rules). */
static void choose_spacing(const sizing *z, design_injection *in) {
    double thinnest = thinnest_m(z);
    maybe deep = z->leak->defect->depth_m;
    in->spacing_m = INJECTION_SPACING_M;
    in->spacing_rule = "surface sealed, from the lowest port up (UFC 4-150-07)";
    if (thinnest < in->spacing_m) {
        in->spacing_m = thinnest;
        in->spacing_rule = "no more than the thickness of the member (TxDOT)";
    }
    if (deep.known && deep.v < in->spacing_m) {
        in->spacing_m = deep.v;
        in->spacing_rule = "no more than the depth of the flaw (TxDOT)";
    }
    in->spacing_m = fmax(in->spacing_m, INJECTION_CLOSEST_M);
}

/* Integral of a quantity that runs straight between two chainages, over what of them lies in from..to. */
static double straight_part(double x0, double y0, double x1, double y1, double from_m, double to_m) {
    double a = fmax(x0, from_m), b = fmin(x1, to_m);
    if (!(b > a)) return 0;
    double slope = x1 > x0 ? (y1 - y0) / (x1 - x0) : 0;
    return (b - a) * (y0 + slope * ((a + b) / 2 - x0));
}

/* Mean width: straight between the stations that were measured, level past the first and the last. */
static bool mean_width(const survey_defect *d, double from_m, double to_m, double *mean_m) {
    double sum = 0, last_at = 0, last_width = 0;
    bool any = false;
    for (size_t i = 0; i < d->n_stations; i++) {
        const survey_station *st = &d->stations[i];
        if (!st->width_m.known) continue;
        double at = st->chainage_m, width = st->width_m.v;
        sum += any ? straight_part(last_at, last_width, at, width, from_m, to_m)
                   : straight_part(fmin(from_m, at), width, at, width, from_m, to_m);
        any = true;
        last_at = at;
        last_width = width;
    }
    if (any) sum += straight_part(last_at, last_width, fmax(to_m, last_at), last_width, from_m, to_m);
    *mean_m = to_m > from_m ? sum / (to_m - from_m) : last_width;
    return any && *mean_m > 0;
}

/* Mean thickness of the faces that it runs over. */
static double mean_thickness(const sizing *z, double from_m, double to_m) {
    const survey_defect *d = z->leak->defect;
    double start = 0, sum = 0;
    for (size_t i = 0; i < d->n_parts; i++) {
        const face_run run = {d->parts[i].points, d->parts[i].n_points};
        double length = face_run_length_m(&run), t = survey_find_face(z->s, d->parts[i].face)->thickness_m;
        sum += straight_part(start, t, start + length, t, from_m, to_m);
        start += length;
    }
    return sum > 0 ? sum / (to_m - from_m) : z->leak->thickness_m;
}

static void order_with_waste(design_injection *in) {
    in->order_m3 = in->net_m3 * INJECTION_VOID * (1 + INJECTION_WASTE);
}

static void take_width(const sizing *z, design_injection *in) {
    in->width_assumed = !mean_width(z->leak->defect, in->from_m, in->to_m, &in->width_m);
    if (in->width_assumed) in->width_m = WIDTH_M;
}

static status plan_line(sizing *z, design_injection *in) {
    leak_stretch wet = sizing_wet_hull(z, PAST_WET_M);
    in->from_m = wet.from_m;
    in->to_m = wet.to_m;
    in->face_m = wet.to_m - wet.from_m;
    take_width(z, in);
    injection_input sizes = {.length_m = in->to_m - in->from_m,
                             .width_m = in->width_m,
                             .thickness_m = mean_thickness(z, in->from_m, in->to_m),
                             .spacing_m = in->spacing_m,
                             .angle_deg = in->angle_deg,
                             .void_factor = INJECTION_VOID,
                             .waste_fraction = INJECTION_WASTE};
    injection_result result;
    status code = injection_size(&sizes, &result, z->why);
    if (code != OK) return code;
    in->offset_m = result.offset_m;
    in->hole_length_m = result.hole_length_m;
    in->net_m3 = result.net_m3;
    in->order_m3 = result.order_m3;
    return injection_along(z, in);
}

/* The gap round a pipe or tie as a crack of its circumference. */
static status plan_point(sizing *z, design_injection *in) {
    maybe told = z->leak->defect->diameter_m;
    double half = z->leak->thickness_m / 2, lean = in->angle_deg * PI / 180;
    take_width(z, in);
    in->offset_m = half / tan(lean);
    in->hole_length_m = half / sin(lean);
    double round_m = PI * (told.known ? told.v : SIZING_TIE_HOLE_M);
    in->face_m = z->leak->defect->kind == KIND_TIE_HOLE ? 4 * in->spacing_m : round_m;
    in->net_m3 = round_m * in->width_m * z->leak->thickness_m;
    order_with_waste(in);
    return injection_astride(z, in);
}

/* Holes straight in, to half the depth of the flaw; through the member where its depth was not found out. */
static status plan_area(sizing *z, design_injection *in) {
    const survey_part *ring = &z->leak->defect->parts[0];
    const face_run run = {ring->points, ring->n_points};
    maybe found = z->leak->defect->depth_m;
    double deep = found.known ? fmin(found.v, z->leak->thickness_m) : z->leak->thickness_m;
    in->angle_deg = 90;
    in->hole_length_m = deep / 2;
    in->face_m = sizing_around_m(ring);
    in->net_m3 = face_ring_area_m2(&run) * deep * INJECTION_HONEYCOMB_VOIDS;
    order_with_waste(in);
    return injection_over(z, in);
}

static status ask_about_width(sizing *z, const design_injection *in) {
    if (!in->width_assumed) return OK;
    char taken[UNITS_SHOWN];
    units_system u = z->s->site.system;
    units_show(UNITS_SIZE, u, in->width_m, u == UNITS_US ? 3 : 1, taken);
    return sizing_ask(
        z, "crack_width",
        arena_print(z->memory,
                    "How wide is the crack where it is injected? It was not measured; %s is taken, "
                    "our default, and the volume goes with it.",
                    taken));
}

static status ask_about_bars(sizing *z, const design_injection *in) {
    int near = 0;
    for (size_t i = 0; i < in->n_ports; i++) near += in->ports[i].near_bar;
    if (near == 0) return OK;
    return sizing_ask(
        z, "steel",
        arena_print(z->memory,
                    "Of the injection holes %d of %zu would pass a bar too near, however they are moved or "
                    "turned: drill only after the bars are marked. Who marks them?",
                    near, in->n_ports));
}

status size_injection(sizing *z) {
    design_injection *in = &z->out->injection;
    survey_kind kind = z->leak->defect->kind;
    trace_place place;
    in->angle_deg = INJECTION_ANGLE_DEG;
    in->hole_m = INJECTION_HOLE_M;
    in->category = category(z->out->method.name);
    in->from_far_side_sealed = trace_at(z->s, z->leak->defect, 0, &place) && place.face->far_side == FAR_OPEN;
    choose_spacing(z, in);
    status code = sizing_take_head(z, z->leak->head_design_m);
    if (code != OK) return code;
    if (survey_is_line(kind))
        code = plan_line(z, in);
    else
        code = kind == KIND_HONEYCOMB ? plan_area(z, in) : plan_point(z, in);
    if (code == OK) code = injection_order(z, in);
    if (code != OK) return code;
    z->out->scan_first = sizing_not_scanned(z, in->from_m, in->to_m);
    code = ask_about_width(z, in);
    return code == OK ? ask_about_bars(z, in) : code;
}
