#include "hydraulics/leak.h"

#include "hydraulics/water.h"

#include <assert.h>
#include <math.h>
#include <string.h>

leakgrade leak_grade_of_wetness(survey_wetness word) {
    static const leakgrade grades[WET_COUNT] = {
        [WET_DRY] = LEAKGRADE_DRY,   [WET_DAMP] = LEAKGRADE_DAMP,     [WET_SEEP] = LEAKGRADE_SEEP,
        [WET_DRIP] = LEAKGRADE_DRIP, [WET_RUN] = LEAKGRADE_RUN_SMALL, [WET_JET] = LEAKGRADE_JET};
    return grades[word];
}

const char *leak_grade_shown(leakgrade grade, units_system system) {
    bool us = system == UNITS_US;
    if (grade == LEAKGRADE_RUN_SMALL) return us ? "run below 0.26 gal/min" : "run below 1 l/min";
    if (grade == LEAKGRADE_RUN_LARGE) return us ? "run above 0.26 gal/min" : "run above 1 l/min";
    return leakgrade_word(grade);
}

/* What the passes over one leak share. */
typedef struct {
    const survey *s;
    const survey_defect *d;
    arena *memory;
    leak_water *out;
    fault *why;
    bool by_design; /* flows at the design level instead of today's */
} looking;

static status warn(looking *l, const char *sentence) {
    leak_water *out = l->out;
    const char **list = arena_push(l->memory, out->warnings, &out->n_warnings, sizeof *list);
    if (!list) return fault_memory(l->why);
    list[out->n_warnings - 1] = sentence;
    out->warnings = list;
    return OK;
}

/* Rule 3: a soffit leaks only where the level stands above its wet face; elsewhere the head counts from the
 * dry face. */
static double driving_head(const survey_face *face, double level_m, double elevation_m) {
    double wet_m = face->lie == LIE_SOFFIT ? elevation_m + face->thickness_m : elevation_m;
    return level_m > wet_m ? level_m - elevation_m : 0;
}

static status place_levels(looking *l, const survey_face *face) {
    leak_water *out = l->out;
    out->level_known = survey_level_design(l->s, face, &out->level_design_m, &out->design_known) &&
                       survey_level_today(l->s, face, &out->level_today_m, &out->today_known);
    if (!out->level_known) return warn(l, "No water level is known: heads are not computed.");
    if (out->today_known == KNOWN_ASSUMED)
        return warn(l, "Today's water level was not measured: the design level stands in for it.");
    return OK;
}

static status place_station(looking *l, double chainage_m, const survey_station *seen, double rho_kg_m3,
                            leak_station *at) {
    trace_place place;
    if (!trace_at(l->s, l->d, chainage_m, &place))
        return fault_set(l->why, E_INPUT, "%s: its face is not in the job", l->d->mark);
    at->chainage_m = chainage_m;
    at->elevation_m = place.elevation_m;
    at->thickness_m = place.face->thickness_m;
    if (l->out->level_known) {
        at->head_today_m = driving_head(place.face, l->out->level_today_m, place.elevation_m);
        at->head_design_m = driving_head(place.face, l->out->level_design_m, place.elevation_m);
    }
    at->pressure_today_pa = rho_kg_m3 * UNITS_GRAVITY_M_S2 * at->head_today_m;
    at->pressure_design_pa = rho_kg_m3 * UNITS_GRAVITY_M_S2 * at->head_design_m;
    if (seen && seen->width_m.known && !(l->out->widest_m.known && l->out->widest_m.v >= seen->width_m.v))
        l->out->widest_m = seen->width_m;
    return OK;
}

static status place_stations(looking *l) {
    leak_water *out = l->out;
    const survey_defect *d = l->d;
    water_properties water;
    status code = water_at(out->water_c, &water, l->why);
    out->n_stations = d->n_stations ? d->n_stations : 1;
    out->stations = arena_get(l->memory, out->n_stations, sizeof *out->stations);
    if (!out->stations) return fault_memory(l->why);
    for (size_t i = 0; code == OK && i < out->n_stations; i++) {
        const survey_station *seen = d->n_stations ? &d->stations[i] : NULL;
        code = place_station(l, seen ? seen->chainage_m : 0, seen, water.density_kg_m3, &out->stations[i]);
        if (seen && seen->wetness > out->worst) out->worst = seen->wetness;
    }
    return code;
}

/* The highest heads stand at the lowest places, which may lie between two stations. */
static void find_heads(looking *l) {
    leak_water *out = l->out;
    for (size_t i = 0; i < out->n_stations; i++) {
        out->head_today_m = fmax(out->head_today_m, out->stations[i].head_today_m);
        out->head_design_m = fmax(out->head_design_m, out->stations[i].head_design_m);
    }
    trace_place first;
    double lowest_m;
    if (!out->level_known || !trace_at(l->s, l->d, 0, &first) ||
        !trace_lowest(l->s, l->d, 0, out->length_m, &lowest_m))
        return;
    out->head_today_m = fmax(out->head_today_m, driving_head(first.face, out->level_today_m, lowest_m));
    out->head_design_m = fmax(out->head_design_m, driving_head(first.face, out->level_design_m, lowest_m));
}

static status find_wet(looking *l) {
    const survey_defect *d = l->d;
    leak_water *out = l->out;
    if (!survey_is_line(d->kind)) return OK;
    for (size_t i = 0; i < d->n_stations; i++) {
        if (d->stations[i].wetness == WET_DRY) continue;
        size_t last = i;
        survey_wetness worst = d->stations[i].wetness;
        while (last + 1 < d->n_stations && d->stations[last + 1].wetness != WET_DRY)
            if (d->stations[++last].wetness > worst) worst = d->stations[last].wetness;
        double from = d->stations[i].chainage_m, to = d->stations[last].chainage_m;
        if (i == last) { /* one wet station: half the way to its neighbours */
            from = i > 0 ? (d->stations[i - 1].chainage_m + from) / 2 : from / 2;
            to = i + 1 < d->n_stations ? (to + d->stations[i + 1].chainage_m) / 2 : (to + out->length_m) / 2;
        }
        leak_stretch *wet = arena_push(l->memory, out->wet, &out->n_wet, sizeof *wet);
        if (!wet) return fault_memory(l->why);
        wet[out->n_wet - 1] = (leak_stretch){from, to, worst};
        out->wet = wet;
        out->wet_m += to - from;
        i = last;
    }
    return OK;
}

/* Flow per metre where the crack is `width_m` wide under `head_m`; 0 where nothing drives it. */
static double flow_at(const looking *l, double width_m, double head_m, double thickness_m,
                      const double xi_k[2], crackflow_result *result) {
    *result = (crackflow_result){0};
    if (!(width_m > 0) || !(head_m > 0)) return 0;
    crackflow_input in = {.width_dry_m = width_m,
                          .width_wet_m = width_m,
                          .thickness_m = thickness_m,
                          .head_m = head_m,
                          .temperature_c = l->out->water_c,
                          .flow_factor = xi_k[0],
                          .loss_coefficient = xi_k[1]};
    return crackflow_compute(&in, result, NULL) == OK ? result->flow_m2_s : 0;
}

static double station_width(const looking *l, size_t i) {
    return l->d->n_stations && l->d->stations[i].width_m.known ? l->d->stations[i].width_m.v : 0;
}

static double station_head(const looking *l, size_t i) {
    return l->by_design ? l->out->stations[i].head_design_m : l->out->stations[i].head_today_m;
}

/* Between two stations width and head run straight, so the flow goes with the cube: three Gauss points are exact without
 * losses (degree 5 for w^3 h). */
static double flow_between(const looking *l, size_t i, double low_m, double high_m, const double xi_k[2]) {
    static const double at[3] = {-0.7745966692414834, 0, 0.7745966692414834},
                        weight[3] = {5.0 / 9, 8.0 / 9, 5.0 / 9};
    const leak_station *a = &l->out->stations[i], *b = &l->out->stations[i + 1];
    double wa = station_width(l, i), wb = station_width(l, i + 1), sum = 0,
           span = b->chainage_m - a->chainage_m;
    crackflow_result r;
    if (!(wa > 0) || !(wb > 0)) return 0; /* a width that was not measured is not guessed here */
    for (int k = 0; k < 3; k++) {
        double x = (low_m + high_m) / 2 + at[k] * (high_m - low_m) / 2, f = (x - a->chainage_m) / span;
        double head = station_head(l, i) + f * (station_head(l, i + 1) - station_head(l, i));
        sum += weight[k] *
               flow_at(l, wa + f * (wb - wa), head, f < 0.5 ? a->thickness_m : b->thickness_m, xi_k, &r);
    }
    return sum * (high_m - low_m) / 2;
}

/* The flow out of the wet part of [from, to]; a single wet station counts over the length it stands for. */
static double flow_over(const looking *l, double from_m, double to_m, double factor, double loss) {
    const survey_defect *d = l->d;
    const double xi_k[2] = {factor, loss};
    double sum = 0;
    for (size_t k = 0; k < l->out->n_wet; k++) {
        const leak_stretch *wet = &l->out->wet[k];
        bool several = false;
        for (size_t i = 0; i + 1 < d->n_stations; i++) {
            double a = d->stations[i].chainage_m, b = d->stations[i + 1].chainage_m;
            if (a < wet->from_m || b > wet->to_m || !(b > a)) continue;
            several = true;
            double low = fmax(a, from_m), high = fmin(b, to_m);
            if (high > low) sum += flow_between(l, i, low, high, xi_k);
        }
        for (size_t i = 0; !several && i < d->n_stations; i++) {
            double at = d->stations[i].chainage_m, low = fmax(wet->from_m, from_m),
                   high = fmin(wet->to_m, to_m);
            if (d->stations[i].wetness == WET_DRY || at < wet->from_m || at > wet->to_m || !(high > low))
                continue;
            crackflow_result r;
            sum += (high - low) * flow_at(l, station_width(l, i), station_head(l, i),
                                          l->out->stations[i].thickness_m, xi_k, &r);
        }
    }
    return sum;
}

static bool is_timed(const survey_flow *f) {
    return f->state == STATE_UNCUT && f->volume_m3.known && f->time_s.known && f->time_s.v > 0;
}

/* A stretch of 0, 0 means the whole leak. */
static double flow_from(const survey_flow *f) {
    return f->to_m > f->from_m ? f->from_m : 0;
}

static double flow_end(const looking *l, const survey_flow *f) {
    return f->to_m > f->from_m ? f->to_m : l->out->length_m;
}

/* The measured flow: readings over different stretches add up; of readings over the same stretch the last one
 * counts. */
static void add_measured(looking *l) {
    const survey_defect *d = l->d;
    leak_water *out = l->out;
    for (size_t i = 0; i < d->n_flows; i++) {
        const survey_flow *f = &d->flows[i];
        if (f->drips_per_min.known &&
            !(out->drips_per_min.known && out->drips_per_min.v >= f->drips_per_min.v))
            out->drips_per_min = f->drips_per_min;
        bool superseded = false;
        for (size_t k = i + 1; k < d->n_flows && !superseded; k++)
            superseded =
                is_timed(&d->flows[k]) && d->flows[k].from_m == f->from_m && d->flows[k].to_m == f->to_m;
        if (!is_timed(f) || superseded) continue;
        out->flow_measured_m3_s.v += f->volume_m3.v / f->time_s.v;
        out->flow_measured_m3_s.known = true;
    }
}

/* One factor for all timed readings by least squares on litres (rule 4), on the cubic law, which is linear in
 * it. */
static status fit_factor(looking *l) {
    double cross = 0, square = 0;
    leak_water *out = l->out;
    for (size_t i = 0; i < l->d->n_flows; i++) {
        const survey_flow *f = &l->d->flows[i];
        if (!is_timed(f)) continue;
        double smooth = flow_over(l, flow_from(f), flow_end(l, f), 1.0, 0.0);
        cross += smooth * f->volume_m3.v / f->time_s.v;
        square += smooth * smooth;
    }
    if (!(square > 0) || !(cross > 0)) return OK;
    out->flow_factor = (maybe){true, cross / square};
    if (out->flow_factor.v > 1)
        return warn(
            l, "More water than a smooth crack of these widths passes: a width or the level is wrong, or the "
               "water comes from elsewhere.");
    if (out->flow_factor.v < 0.02)
        return warn(
            l, "Far less water than these widths pass: the ground limits the flow, or the crack is narrower "
               "inside.");
    return OK;
}

/* Wet length and mean head under the timed readings that count. */
static void measured_stretch(const looking *l, double *length_m, double *head_m) {
    double weight = 0;
    *length_m = *head_m = 0;
    for (size_t k = 0; k < l->out->n_wet; k++) {
        const leak_stretch *wet = &l->out->wet[k];
        double from = HUGE_VAL, to = -HUGE_VAL;
        for (size_t i = 0; i < l->d->n_flows; i++) {
            if (!is_timed(&l->d->flows[i])) continue;
            from = fmin(from, fmax(flow_from(&l->d->flows[i]), wet->from_m));
            to = fmax(to, fmin(flow_end(l, &l->d->flows[i]), wet->to_m));
        }
        if (!(to > from)) continue;
        *length_m += to - from;
        for (size_t i = 0; i < l->out->n_stations; i++) {
            const leak_station *at = &l->out->stations[i];
            if (at->chainage_m < from || at->chainage_m > to) continue;
            *head_m += at->head_today_m;
            weight += 1;
        }
    }
    if (weight > 0) *head_m /= weight;
}

static status find_back_width(looking *l) {
    leak_water *out = l->out;
    double length_m, head_m, width_m;
    if (!out->flow_measured_m3_s.known || !(out->flow_measured_m3_s.v > 0)) return OK;
    measured_stretch(l, &length_m, &head_m);
    if (!(length_m > 0) || !(head_m > 0)) return OK;
    status code = crackflow_width_from_flow(out->flow_measured_m3_s.v / length_m, head_m / out->thickness_m,
                                            out->water_c, &width_m, l->why);
    if (code == OK) out->width_back_m = (maybe){true, width_m};
    return code;
}

/* With the factor found, or the default, the flow at each station. */
static void fill_stations(looking *l) {
    leak_water *out = l->out;
    const double xi_k[2] = {out->flow_factor.known ? fmin(out->flow_factor.v, 1) : CRACKFLOW_FACTOR,
                            CRACKFLOW_LOSS};
    for (size_t i = 0; i < out->n_stations; i++) {
        leak_station *at = &out->stations[i];
        crackflow_result r;
        double width = station_width(l, i),
               flow = flow_at(l, width, at->head_today_m, at->thickness_m, xi_k, &r);
        if (!(width > 0)) continue;
        at->width_hydraulic_m = (maybe){true, cbrt(xi_k[0]) * width};
        if (l->d->stations[i].wetness == WET_DRY || !out->level_known) continue;
        at->flow_m2_s = (maybe){true, flow};
        at->reynolds = r.reynolds;
    }
}

/* A drip count is a rank, but a flow tens of times what so many drips can be says that the widths mislead. 0.385 ml: the
 * largest drop that hangs from a wetted ceiling, computed by us. */
static status compare_drips(looking *l) {
    const leak_water *out = l->out;
    if (!out->drips_per_min.known || out->flow_measured_m3_s.known || !out->flow_expected_m3_s.known)
        return OK;
    if (!(out->flow_expected_m3_s.v > 5 * out->drips_per_min.v * 0.385e-6 / 60)) return OK;
    return warn(l, "The widths pass many times more than the drips counted can be: the crack is narrower "
                   "inside, or not open "
                   "through. Collect the water over a timed stretch.");
}

static bool any_width_on_wet(const looking *l) {
    for (size_t i = 0; i < l->d->n_stations; i++)
        if (l->d->stations[i].width_m.known && l->d->stations[i].wetness != WET_DRY) return true;
    return false;
}

/* What may come once the water stands at its design level. What was measured rises as the reckoned flow does, else with the
 * head. */
static void find_design_flow(looking *l) {
    leak_water *out = l->out;
    double smooth = 0, rise = out->head_today_m > 0 ? out->head_design_m / out->head_today_m : 1;
    if (out->flow_smooth_m3_s.known) {
        l->by_design = true;
        smooth = flow_over(l, 0, out->length_m, 1.0, CRACKFLOW_LOSS);
        l->by_design = false;
        if (out->flow_smooth_m3_s.v > 0) rise = smooth / out->flow_smooth_m3_s.v;
    }
    out->flow_design_m3_s.known = out->flow_smooth_m3_s.known || out->flow_measured_m3_s.known;
    out->flow_design_m3_s.v = fmax(smooth, rise * out->flow_measured_m3_s.v);
}

static status find_flow(looking *l) {
    leak_water *out = l->out;
    add_measured(l);
    if (survey_is_line(l->d->kind) && out->level_known && any_width_on_wet(l)) {
        out->flow_expected_m3_s =
            (maybe){true, flow_over(l, 0, out->length_m, CRACKFLOW_FACTOR, CRACKFLOW_LOSS)};
        out->flow_smooth_m3_s = (maybe){true, flow_over(l, 0, out->length_m, 1.0, CRACKFLOW_LOSS)};
        status code = fit_factor(l);
        if (code != OK) return code;
        double factor = out->flow_factor.known ? fmin(out->flow_factor.v, 1) : CRACKFLOW_FACTOR;
        out->flow_1d_m3_s = (maybe){true, flow_over(l, 0, out->length_m, factor, CRACKFLOW_LOSS)};
    }
    find_design_flow(l);
    status code = find_back_width(l);
    if (code != OK) return code;
    fill_stations(l);
    code = compare_drips(l);
    if (code != OK) return code;
    out->basis = out->flow_measured_m3_s.known   ? FLOW_MEASURED
                 : out->flow_expected_m3_s.known ? FLOW_EXPECTED
                                                 : FLOW_UNKNOWN;
    out->flow_m3_s = out->flow_measured_m3_s.known ? out->flow_measured_m3_s : out->flow_expected_m3_s;
    /* The word seen at the wall outranks a flow that was only computed; a timed reading outranks the word. */
    out->grade = out->flow_measured_m3_s.known ? leakgrade_of(out->flow_measured_m3_s.v)
                                               : leak_grade_of_wetness(out->worst);
    return OK;
}

status leak_look(const survey *s, const survey_defect *d, arena *memory, leak_water *out, fault *why) {
    looking l = {s, d, memory, out, why, false};
    trace_place first;
    *out = (leak_water){.defect = d, .length_m = trace_length_m(d)};
    if (!trace_at(s, d, 0, &first)) return fault_set(why, E_INPUT, "%s: its face is not in the job", d->mark);
    out->thickness_m = first.face->thickness_m;
    out->water_assumed = !s->site.leak_water_c.known;
    out->water_c = out->water_assumed ? LEAK_WATER_C : s->site.leak_water_c.v;
    status code = place_levels(&l, first.face);
    if (code == OK) code = place_stations(&l);
    if (code != OK) return code;
    find_heads(&l);
    code = find_wet(&l);
    return code == OK ? find_flow(&l) : code;
}
