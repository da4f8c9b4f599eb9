/* The slot along a crack or joint: its runs, its depth, what steel along and across leaves of it. */
#include "repair/sizing.h"

#include <math.h>

/* Common practice: 300-450 mm past the last visible wetness; the longer where water runs (our choice within
 * it). */
static const double PAST_WET_M = 0.300, PAST_RUN_M = 0.450;

/* Elevation of the line's straight continuation `past_m` beyond one of its ends; the face itself where that
 * is lower. */
static double end_elevation(const sizing *z, bool at_start, double past_m) {
    const survey_defect *d = z->leak->defect;
    const survey_part *p = at_start ? &d->parts[0] : &d->parts[d->n_parts - 1];
    const survey_face *face = survey_find_face(z->s, p->face);
    survey_point tip = at_start ? p->points[0] : p->points[p->n_points - 1];
    survey_point before = at_start ? p->points[1] : p->points[p->n_points - 2];
    double step = hypot(tip.u_m - before.u_m, tip.v_m - before.v_m);
    double v = step > 0 ? tip.v_m + (tip.v_m - before.v_m) / step * past_m : tip.v_m, lowest = HUGE_VAL;
    for (size_t i = 0; i < face->outline.n_points; i++) lowest = fmin(lowest, face->outline.points[i].v_m);
    return survey_elevation_m(face, (survey_point){tip.u_m, fmax(v, lowest)});
}

/* Design level less the lowest elevation of the slot, everything shut (rule 2). */
static double static_head(const sizing *z, double from_m, double to_m) {
    const leak_water *leak = z->leak;
    double lowest_m;
    if (!leak->level_known || !trace_lowest(z->s, leak->defect, from_m, to_m, &lowest_m)) return 0;
    if (from_m < 0) lowest_m = fmin(lowest_m, end_elevation(z, true, -from_m));
    if (to_m > leak->length_m) lowest_m = fmin(lowest_m, end_elevation(z, false, to_m - leak->length_m));
    return fmax(leak->level_design_m - lowest_m, 0);
}

static double past_wet(survey_wetness worst) {
    return worst >= WET_RUN ? PAST_RUN_M : PAST_WET_M;
}

/* Wet stretches lengthened past their ends, those that meet joined; the whole line where none is wet, as a coat or an injection
 * does it. */
static size_t slot_runs(const sizing *z, leak_stretch *runs) {
    size_t n = 0;
    for (size_t i = 0; i < z->leak->n_wet; i++) {
        leak_stretch wet = z->leak->wet[i];
        wet.from_m -= past_wet(wet.worst);
        wet.to_m += past_wet(wet.worst);
        if (n > 0 && wet.from_m <= runs[n - 1].to_m)
            runs[n - 1].to_m = fmax(runs[n - 1].to_m, wet.to_m);
        else
            runs[n++] = wet;
    }
    if (n == 0) runs[n++] = (leak_stretch){0, z->leak->length_m, WET_DRY};
    return n;
}

/* What the runs of one slot find out about steel, for one question at the end. */
typedef struct {
    double depth_m; /* wanted */
    design_depth_reason reason;
    steel_stretch worst; /* the bar along that leaves least; allowed_m not known: none */
    size_t short_of;
    steel_stretch crossing; /* the crossing bar that leaves least, where that is less than the plug needs */
} slot_steel;

/* One run of slot, split where bars along the crack hold it up. */
static status cut_run(sizing *z, double from_m, double to_m, slot_steel *found) {
    const steel_limits *steel = &z->out->steel;
    double open_from = from_m, depth = found->depth_m;
    status code = OK;
    for (size_t i = 0; code == OK && i < steel->n; i++) {
        steel_stretch bar = steel->stretches[i];
        double allowed = bar.allowed_m.v;
        bar.from_m = fmax(bar.from_m, from_m);
        bar.to_m = fmin(bar.to_m, to_m);
        if (!(bar.to_m > bar.from_m) || bar.bar != BAR_ALONG) continue;
        if (!bar.allowed_m.known || !(allowed < depth)) continue;
        if (bar.from_m > open_from)
            code = sizing_add_slot(z, sizing_fill(z, open_from, bar.from_m, depth, found->reason));
        if (code == OK && allowed >= SIZING_CUT_LEAST_M)
            code = sizing_add_slot(z, sizing_fill(z, bar.from_m, bar.to_m, allowed, DEPTH_STEEL));
        if (!found->worst.allowed_m.known || allowed < found->worst.allowed_m.v) found->worst = bar;
        found->short_of++;
        open_from = bar.to_m;
    }
    if (code == OK && to_m > open_from)
        code = sizing_add_slot(z, sizing_fill(z, open_from, to_m, depth, found->reason));
    return code;
}

static status find_crossings(sizing *z, double from_m, double to_m, slot_steel *found) {
    const steel_limits *steel = &z->out->steel;
    repair_design *out = z->out;
    for (size_t i = 0; i < steel->n; i++) {
        const steel_stretch *bar = &steel->stretches[i];
        double at = (bar->from_m + bar->to_m) / 2, half = (bar->to_m - bar->from_m) / 2;
        if (bar->bar != BAR_CROSSING || !bar->allowed_m.known || at < from_m || at > to_m ||
            !(bar->allowed_m.v < found->depth_m))
            continue;
        design_crossing *list = arena_push(z->memory, out->crossings, &out->n_crossings, sizeof *list);
        if (!list) return fault_memory(z->why);
        list[out->n_crossings - 1] = (design_crossing){at, half, bar->allowed_m.v};
        out->crossings = list;
        bool too_little = sizing_plug_room_m(z, bar->allowed_m.v) < out->plug_need_m;
        if (too_little &&
            (!found->crossing.allowed_m.known || bar->allowed_m.v < found->crossing.allowed_m.v))
            found->crossing = *bar;
    }
    return OK;
}

static status ask_about_steel(sizing *z, const slot_steel *found) {
    status code = OK;
    if (found->worst.allowed_m.known)
        code = sizing_ask_steel(z, &found->worst, found->depth_m, found->short_of - 1);
    if (code == OK && found->crossing.allowed_m.known)
        code = sizing_ask_steel(z, &found->crossing, found->depth_m, 0);
    return code;
}

status size_line(sizing *z) {
    repair_design *out = z->out;
    leak_stretch *runs = arena_get(z->memory, z->leak->n_wet + 1, sizeof *runs);
    if (!runs) return fault_memory(z->why);
    size_t n = slot_runs(z, runs);
    double head = 0;
    for (size_t i = 0; i < n; i++) head = fmax(head, static_head(z, runs[i].from_m, runs[i].to_m));
    slot_steel found = {0};
    out->slot_width_m = DESIGN_SLOT_WIDTH_M;
    status code = sizing_settle(z, head, plug_area_per_perimeter_m(PLUG_SLOT, out->slot_width_m, 0),
                                DESIGN_SLOT_DEPTH_M, &found.depth_m, &found.reason);
    if (code != OK) return code;
    if (z->leak->defect->n_stations == 0) out->scan_first = true;
    for (size_t i = 0; code == OK && i < n; i++) {
        if (sizing_not_scanned(z, runs[i].from_m, runs[i].to_m)) out->scan_first = true;
        code = cut_run(z, runs[i].from_m, runs[i].to_m, &found);
        if (code == OK) code = find_crossings(z, runs[i].from_m, runs[i].to_m, &found);
    }
    return code == OK ? ask_about_steel(z, &found) : code;
}
