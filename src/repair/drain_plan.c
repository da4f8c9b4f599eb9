/* A channel over the leak that falls to an outlet: where, how long, how wide. The leak goes on; nothing is sealed. */
#include "repair/channel.h"
#include "repair/sizing.h"

#include <math.h>

static const double PIPE_SLOPE = 0.01; /* of the pipe that leads the water away, our default */
static const double AWAY_M = 0.5;      /* channel at a place on a floor or soffit, our default */
static const double LEVEL_M = 0.001;   /* less is one height */

/* Heights between two chainages change only at corners and ends of the trace: those are looked at. */
typedef struct {
    double lowest_m, at_m, highest_m;
} heights;

static void look(const sizing *z, double chainage_m, heights *out) {
    trace_place place;
    if (!trace_at(z->s, z->leak->defect, chainage_m, &place)) return;
    if (place.elevation_m < out->lowest_m - LEVEL_M) {
        out->lowest_m = place.elevation_m;
        out->at_m = chainage_m;
    }
    out->highest_m = fmax(out->highest_m, place.elevation_m);
}

/* On the level the outlet is at the far end. */
static heights find_heights(const sizing *z, double from_m, double to_m) {
    heights out = {HUGE_VAL, to_m, -HUGE_VAL};
    const survey_defect *d = z->leak->defect;
    double chainage = 0;
    look(z, to_m, &out);
    for (size_t i = 0; i < d->n_parts; i++)
        for (size_t k = 0; k < d->parts[i].n_points; k++) {
            const survey_point *p = d->parts[i].points;
            if (k > 0) chainage += hypot(p[k].u_m - p[k - 1].u_m, p[k].v_m - p[k - 1].v_m);
            if (chainage > from_m && chainage < to_m) look(z, chainage, &out);
        }
    look(z, from_m, &out);
    return out;
}

/* The flatter of the two arms that run to the outlet, each taken from its own end. */
static double slope_of(const sizing *z, const design_drain *drain) {
    const double ends[] = {drain->from_m, drain->to_m};
    double slope = 1;
    trace_place end, outlet;
    if (!trace_at(z->s, z->leak->defect, drain->outlet_at_m, &outlet)) return CHANNEL_LEAST_SLOPE;
    for (int i = 0; i < 2; i++) {
        double run = fabs(ends[i] - drain->outlet_at_m);
        if (!(run > 0) || !trace_at(z->s, z->leak->defect, ends[i], &end)) continue;
        slope = fmin(slope, (end.elevation_m - outlet.elevation_m) / run);
    }
    return fmax(slope, CHANNEL_LEAST_SLOPE);
}

static double lay_along(const sizing *z, design_drain *drain) {
    leak_stretch wet = sizing_wet_hull(z, 0);
    drain->from_m = wet.from_m;
    drain->to_m = wet.to_m;
    drain->length_m = wet.to_m - wet.from_m;
    drain->outlet_at_m = find_heights(z, wet.from_m, wet.to_m).at_m;
    return slope_of(z, drain);
}

/* From a place on a wall down to the foot of its face; across an area along its foot. */
static double lay_at_place(const sizing *z, design_drain *drain) {
    const survey_part *p = &z->leak->defect->parts[0];
    const survey_face *face = survey_find_face(z->s, p->face);
    double left = HUGE_VAL, right = -HUGE_VAL, foot = HUGE_VAL;
    for (size_t i = 0; i < p->n_points; i++) {
        left = fmin(left, p->points[i].u_m);
        right = fmax(right, p->points[i].u_m);
    }
    for (size_t i = 0; i < face->outline.n_points; i++) foot = fmin(foot, face->outline.points[i].v_m);
    drain->length_m = right - left;
    if (drain->length_m > 0) return CHANNEL_LEAST_SLOPE;
    bool falls = face->lie == LIE_WALL && p->points[0].v_m > foot;
    drain->length_m = falls ? p->points[0].v_m - foot : AWAY_M;
    return falls ? 1 : CHANNEL_LEAST_SLOPE;
}

static status ask_about_flow(sizing *z, const design_drain *drain, double slope) {
    if (!(drain->flow_m3_s > 0))
        return sizing_ask(
            z, "flow",
            "How much water comes here was neither measured nor can it be reckoned: the smallest "
            "channel is taken. Who measures it before the channel is ordered?");
    if (channel_square_m3_s(drain->channel_m, slope) >= drain->flow_m3_s &&
        channel_pipe_m3_s(drain->pipe_m, PIPE_SLOPE) >= drain->flow_m3_s)
        return OK;
    return sizing_ask(
        z, "drain",
        "More water can come than the largest channel or pipe in stock carries half full: two of "
        "them, or another way. Who decides?");
}

/* Draining goes on for good: the water must be led somewhere, and takes the ground with it where it carries soil. */
static status ask_what_follows(sizing *z) {
    status code =
        sizing_ask(z, "outlet",
                   "The water goes on flowing: where is it led, who allows that, and who keeps channel "
                   "and pump free of lime?");
    if (code != OK || !(z->leak->defect->signs & SIGN_BIT(SIGN_SOIL))) return code;
    return sizing_ask(
        z, "ground_loss",
        "The water carries soil, and a drain lets it go on: who watches the loss of ground, and "
        "what filter holds it back?");
}

status size_drain(sizing *z) {
    design_drain *drain = &z->out->drain;
    status code = sizing_take_head(z, z->leak->head_design_m);
    if (code != OK) return code;
    double slope = survey_is_line(z->leak->defect->kind) ? lay_along(z, drain) : lay_at_place(z, drain);
    /* It runs for good: the level rises again after the works. */
    drain->flow_m3_s = fmax(z->out->pump_m3_s, z->leak->flow_design_m3_s.v);
    drain->channel_m = channel_square_for_m(drain->flow_m3_s, slope);
    drain->pipe_m = channel_pipe_for_m(drain->flow_m3_s, PIPE_SLOPE);
    code = ask_about_flow(z, drain, slope);
    return code == OK ? ask_what_follows(z) : code;
}
