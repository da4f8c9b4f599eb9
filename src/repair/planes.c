#include "repair/planes.h"

#include "hydraulics/plugging.h"

#include <assert.h>
#include <math.h>
#include <string.h>

/* A part of a line as it may become a panel. */
typedef struct {
    planes_owner owner;
    double from_m, to_m; /* chainage of the defect */
    const survey_part *part;
    const survey_face *face;
    size_t group;
} piece;

typedef struct {
    planes_owner a, b; /* pieces tied */
    size_t piece_a, piece_b;
    double at_a_m, at_b_m;
} tie;

typedef struct {
    const survey *s;
    const leak_water *leaks;
    const repair_design *designs;
    bool past;
    arena *memory;
    planes_list *out;
    piece *pieces;
    size_t n_pieces;
    tie *ties;
    size_t n_ties;
    fault *why;
} finding_planes;

static double part_length(const survey_part *p) {
    const face_run run = {p->points, p->n_points};
    return face_run_length_m(&run);
}

static bool has_width(const survey_defect *d) {
    for (size_t i = 0; i < d->n_stations; i++)
        if (d->stations[i].width_m.known && d->stations[i].width_m.v > 0) return true;
    return false;
}

/* Why a leaking line has no plane; NULL when it has one. Dry lines and those not to be cut are silent. */
static const char *why_not(const finding_planes *f, size_t i) {
    const leak_water *l = &f->leaks[i];
    if (l->worst == WET_DRY || f->designs[i].n_slots == 0) return NULL;
    if (!l->level_known) return "no water level is known";
    if (!has_width(l->defect) && !l->width_back_m.known) return "neither a width nor a flow was measured";
    if (!(l->head_today_m > 0)) return "today's level does not reach it";
    return NULL;
}

static bool is_plane(const finding_planes *f, size_t i) {
    const leak_water *l = &f->leaks[i];
    bool plugged = survey_is_line(l->defect->kind) && l->worst != WET_DRY && f->designs[i].n_slots > 0;
    return plugged && why_not(f, i) == NULL;
}

static status list_pieces(finding_planes *f) {
    for (size_t i = 0; i < f->s->n_defects; i++) {
        const survey_defect *d = &f->s->defects[i];
        if (survey_is_line(d->kind)) f->out->skipped[i] = why_not(f, i);
        if (!is_plane(f, i)) continue;
        double start = 0;
        for (size_t k = 0; k < d->n_parts; k++) {
            double length = part_length(&d->parts[k]);
            piece *pieces = arena_push(f->memory, f->pieces, &f->n_pieces, sizeof *pieces);
            if (!pieces) return fault_memory(f->why);
            f->pieces = pieces;
            pieces[f->n_pieces - 1] = (piece){
                {i, k},         start, start + length, &d->parts[k], survey_find_face(f->s, d->parts[k].face),
                f->n_pieces - 1};
            start += length;
        }
    }
    return OK;
}

/* ---- ties ---- */

typedef struct {
    double distance_m, at_a_m, at_b_m; /* along each run from its first point */
} nearest;

/* Nearest point of segment p-q to x: its distance, and how far along (0..1). */
static double to_segment(face_point x, face_point p, face_point q, double *along) {
    double du = q.u_m - p.u_m, dv = q.v_m - p.v_m, square = du * du + dv * dv;
    double f = square > 0 ? ((x.u_m - p.u_m) * du + (x.v_m - p.v_m) * dv) / square : 0;
    *along = f < 0 ? 0 : f > 1 ? 1 : f;
    return hypot(x.u_m - p.u_m - *along * du, x.v_m - p.v_m - *along * dv);
}

/* Where two segments cross, or false. */
static bool crossing(face_point a, face_point b, face_point c, face_point d, double *along_a,
                     double *along_b) {
    double rx = b.u_m - a.u_m, ry = b.v_m - a.v_m, sx = d.u_m - c.u_m, sy = d.v_m - c.v_m,
           det = rx * sy - ry * sx;
    if (det == 0) return false;
    *along_a = ((c.u_m - a.u_m) * sy - (c.v_m - a.v_m) * sx) / det;
    *along_b = ((c.u_m - a.u_m) * ry - (c.v_m - a.v_m) * rx) / det;
    return *along_a >= 0 && *along_a <= 1 && *along_b >= 0 && *along_b <= 1;
}

static void keep(nearest *best, double distance, double at_a, double at_b) {
    if (distance < best->distance_m) *best = (nearest){distance, at_a, at_b};
}

/* Two segments are nearest at a crossing or at one of their four ends. */
static void compare_segments(const face_point a[2], double start_a, const face_point b[2], double start_b,
                             nearest *best) {
    double la = hypot(a[1].u_m - a[0].u_m, a[1].v_m - a[0].v_m),
           lb = hypot(b[1].u_m - b[0].u_m, b[1].v_m - b[0].v_m);
    double f, g;
    if (crossing(a[0], a[1], b[0], b[1], &f, &g)) keep(best, 0, start_a + f * la, start_b + g * lb);
    for (int k = 0; k < 2; k++) {
        double d = to_segment(a[k], b[0], b[1], &g);
        keep(best, d, start_a + k * la, start_b + g * lb);
        d = to_segment(b[k], a[0], a[1], &f);
        keep(best, d, start_a + f * la, start_b + k * lb);
    }
}

static nearest nearest_of(const survey_part *p, const survey_part *q) {
    nearest best = {HUGE_VAL, 0, 0};
    double start_p = 0;
    for (size_t i = 1; i < p->n_points; i++) {
        double start_q = 0;
        for (size_t k = 1; k < q->n_points; k++) {
            compare_segments(&p->points[i - 1], start_p, &q->points[k - 1], start_q, &best);
            start_q +=
                hypot(q->points[k].u_m - q->points[k - 1].u_m, q->points[k].v_m - q->points[k - 1].v_m);
        }
        start_p += hypot(p->points[i].u_m - p->points[i - 1].u_m, p->points[i].v_m - p->points[i - 1].v_m);
    }
    return best;
}

static size_t root_of(const finding_planes *f, size_t i) {
    while (f->pieces[i].group != i) i = f->pieces[i].group;
    return i;
}

static status add_tie(finding_planes *f, size_t a, double at_a, size_t b, double at_b) {
    tie *ties = arena_push(f->memory, f->ties, &f->n_ties, sizeof *ties);
    if (!ties) return fault_memory(f->why);
    f->ties = ties;
    ties[f->n_ties - 1] = (tie){f->pieces[a].owner, f->pieces[b].owner, a, b, at_a, at_b};
    size_t ra = root_of(f, a), rb = root_of(f, b);
    if (ra < rb)
        f->pieces[rb].group = ra;
    else
        f->pieces[ra].group = rb;
    return OK;
}

/* Quick refusal before the segments are compared: boxes farther apart than `reach_m`. */
static bool boxes_apart(const survey_part *p, const survey_part *q, double reach_m) {
    double box[2][4];
    const survey_part *parts[2] = {p, q};
    for (int k = 0; k < 2; k++) {
        double *b = box[k];
        b[0] = b[2] = HUGE_VAL;
        b[1] = b[3] = -HUGE_VAL;
        for (size_t i = 0; i < parts[k]->n_points; i++) {
            b[0] = fmin(b[0], parts[k]->points[i].u_m);
            b[1] = fmax(b[1], parts[k]->points[i].u_m);
            b[2] = fmin(b[2], parts[k]->points[i].v_m);
            b[3] = fmax(b[3], parts[k]->points[i].v_m);
        }
    }
    return box[0][0] - box[1][1] > reach_m || box[1][0] - box[0][1] > reach_m ||
           box[0][2] - box[1][3] > reach_m || box[1][2] - box[0][3] > reach_m;
}

static status find_ties(finding_planes *f) {
    for (size_t a = 0; a < f->n_pieces; a++)
        for (size_t b = a + 1; b < f->n_pieces; b++) {
            const piece *p = &f->pieces[a], *q = &f->pieces[b];
            bool same = p->owner.defect == q->owner.defect;
            status code = OK;
            if (same && q->owner.part == p->owner.part + 1) code = add_tie(f, a, p->to_m, b, q->from_m);
            if (code != OK) return code;
            double reach = PLANES_NEAR * p->face->thickness_m;
            if (same || p->face != q->face || boxes_apart(p->part, q->part, reach)) continue;
            nearest n = nearest_of(p->part, q->part);
            if (!(n.distance_m <= reach)) continue;
            code = add_tie(f, a, p->from_m + n.at_a_m, b, q->from_m + n.at_b_m);
            if (code != OK) return code;
        }
    return OK;
}

/* ---- holes on a line ---- */

static const double PI = 3.14159265358979323846;

static bool is_hole(const finding_planes *f, size_t i) {
    const leak_water *l = &f->leaks[i];
    bool kind = l->defect->kind == KIND_TIE_HOLE || l->defect->kind == KIND_PENETRATION;
    return kind && l->defect->diameter_m.known && l->flow_measured_m3_s.known &&
           l->flow_measured_m3_s.v > 0 && l->head_today_m > 0 && f->designs[i].n_slots > 0;
}

static nearest nearest_to_point(face_point x, const survey_part *q) {
    nearest best = {HUGE_VAL, 0, 0};
    double start = 0;
    for (size_t k = 1; k < q->n_points; k++) {
        double along,
            step = hypot(q->points[k].u_m - q->points[k - 1].u_m, q->points[k].v_m - q->points[k - 1].v_m);
        double d = to_segment(x, q->points[k - 1], q->points[k], &along);
        keep(&best, d, 0, start + along * step);
        start += step;
    }
    return best;
}

/* A hole near a line joins it as a short panel: the gap round tie or pipe, unrolled, tied at its middle. */
static status tie_hole(finding_planes *f, size_t defect, size_t n_lines) {
    const survey_defect *d = &f->s->defects[defect];
    const survey_face *face = survey_find_face(f->s, d->parts[0].face);
    size_t line = n_lines;
    nearest best = {HUGE_VAL, 0, 0};
    for (size_t i = 0; i < n_lines; i++) {
        if (f->pieces[i].face != face) continue;
        nearest n = nearest_to_point(d->parts[0].points[0], f->pieces[i].part);
        if (!(n.distance_m < best.distance_m)) continue;
        best = n;
        line = i;
    }
    if (line == n_lines || !(best.distance_m <= PLANES_NEAR * face->thickness_m)) return OK;
    piece *pieces = arena_push(f->memory, f->pieces, &f->n_pieces, sizeof *pieces);
    if (!pieces) return fault_memory(f->why);
    f->pieces = pieces;
    double round = PI * d->diameter_m.v;
    pieces[f->n_pieces - 1] = (piece){{defect, 0}, 0, round, &d->parts[0], face, f->n_pieces - 1};
    return add_tie(f, line, f->pieces[line].from_m + best.at_b_m, f->n_pieces - 1, round / 2);
}

static status find_holes(finding_planes *f) {
    size_t n_lines = f->n_pieces;
    status code = OK;
    for (size_t i = 0; code == OK && i < f->s->n_defects; i++)
        if (is_hole(f, i)) code = tie_hole(f, i, n_lines);
    return code;
}

/* ---- panels ---- */

/* Width at a chainage from the stations that have one: linear between, level beyond the first and last. */
static double width_at(const finding_planes *f, const survey_defect *d, size_t leak, double x) {
    const survey_station *left = NULL, *right = NULL;
    for (size_t i = 0; i < d->n_stations; i++) {
        if (!d->stations[i].width_m.known) continue;
        if (d->stations[i].chainage_m <= x)
            left = &d->stations[i];
        else if (!right)
            right = &d->stations[i];
    }
    if (!left && !right)
        return f->leaks[leak].width_back_m.known ? f->leaks[leak].width_back_m.v / cbrt(CRACKFLOW_FACTOR) : 0;
    if (!left) return right->width_m.v;
    if (!right) return left->width_m.v;
    double part = (x - left->chainage_m) / (right->chainage_m - left->chainage_m);
    return left->width_m.v + part * (right->width_m.v - left->width_m.v);
}

static bool is_dry_at(const survey_defect *d, double x) {
    for (size_t i = 0; i < d->n_stations; i++)
        if (d->stations[i].chainage_m == x) return d->stations[i].wetness == WET_DRY;
    const survey_station *nearest_station = NULL;
    for (size_t i = 0; i < d->n_stations; i++)
        if (!nearest_station || fabs(d->stations[i].chainage_m - x) < fabs(nearest_station->chainage_m - x))
            nearest_station = &d->stations[i];
    return nearest_station && nearest_station->wetness == WET_DRY;
}

/* Chainages at which the panel has stations: its ends, the survey's stations and the corners of the trace in
 * between. */
static size_t break_points(const piece *p, const survey_defect *d, double *at) {
    size_t n = 0;
    double run = p->from_m;
    at[n++] = p->from_m;
    for (size_t i = 1; i + 1 < p->part->n_points; i++) {
        run += hypot(p->part->points[i].u_m - p->part->points[i - 1].u_m,
                     p->part->points[i].v_m - p->part->points[i - 1].v_m);
        at[n++] = run;
    }
    for (size_t i = 0; i < d->n_stations; i++)
        if (d->stations[i].chainage_m > p->from_m && d->stations[i].chainage_m < p->to_m)
            at[n++] = d->stations[i].chainage_m;
    at[n++] = p->to_m;
    for (size_t i = 1; i < n; i++) /* insertion: nearly sorted, short */
        for (size_t k = i; k > 0 && at[k] < at[k - 1]; k--) {
            double swap = at[k];
            at[k] = at[k - 1];
            at[k - 1] = swap;
        }
    size_t kept = 1;
    for (size_t i = 1; i < n; i++)
        if (at[i] - at[kept - 1] > 1e-3) at[kept++] = at[i];
    at[kept - 1] = p->to_m; /* a break within a millimetre of the end gives way to it */
    return kept;
}

static status fill_stations(finding_planes *f, const piece *p, plane_panel *panel) {
    const survey_defect *d = &f->s->defects[p->owner.defect];
    double *at = arena_get(f->memory, p->part->n_points + d->n_stations + 2, sizeof *at);
    if (!at) return fault_memory(f->why);
    size_t n = break_points(p, d, at);
    plane_station *stations = arena_get(f->memory, n, sizeof *stations);
    if (!stations) return fault_memory(f->why);
    for (size_t i = 0; i < n; i++) {
        trace_place place;
        /* The end of a part is asked for just inside it: at the joint of two parts the later one would
         * answer. */
        double inside = i + 1 == n ? at[i] - 1e-9 : at[i];
        if (!trace_at(f->s, d, inside, &place))
            return fault_set(f->why, E_INPUT, "%s: its face is not in the job", d->mark);
        double width = is_dry_at(d, at[i]) && !f->past ? 0 : width_at(f, d, p->owner.defect, at[i]);
        stations[i] = (plane_station){at[i], place.elevation_m, width, width};
    }
    panel->stations = stations;
    panel->stations_n = n;
    return OK;
}

/* For `past` the slot ends at the last wet mark, so that what runs past it is counted from there. */
static status fill_wet_slots(finding_planes *f, const piece *p, plane_panel *panel) {
    const leak_water *leak = &f->leaks[p->owner.defect];
    const repair_design *design = &f->designs[p->owner.defect];
    plane_slot *slots = arena_get(f->memory, leak->n_wet, sizeof *slots);
    if (!slots) return fault_memory(f->why);
    for (size_t i = 0; design->n_slots && i < leak->n_wet; i++) {
        double from = fmax(leak->wet[i].from_m, p->from_m), to = fmin(leak->wet[i].to_m, p->to_m);
        if (to - from >= PLUGGING_SHORTEST_M)
            slots[panel->slots_n++] = (plane_slot){from, to, design->slots[0].depth_m};
    }
    panel->slots = slots;
    return OK;
}

static status fill_slots(finding_planes *f, const piece *p, plane_panel *panel) {
    if (f->past) return fill_wet_slots(f, p, panel);
    const repair_design *design = &f->designs[p->owner.defect];
    plane_slot *slots = arena_get(f->memory, design->n_slots, sizeof *slots);
    plane_stretch *sealed = arena_get(f->memory, design->n_slots, sizeof *sealed);
    if (!slots || !sealed) return fault_memory(f->why);
    for (size_t i = 0; i < design->n_slots; i++) {
        double from = fmax(design->slots[i].from_m, p->from_m), to = fmin(design->slots[i].to_m, p->to_m);
        if (to - from >= PLUGGING_SHORTEST_M)
            slots[panel->slots_n++] = (plane_slot){from, to, design->slots[i].depth_m};
        else if (to > from)
            sealed[panel->sealed_n++] = (plane_stretch){from, to}; /* a rest at a fold: smeared shut */
    }
    panel->slots = slots;
    panel->sealed = sealed;
    return OK;
}

/* The gap is as wide as the measured flow asks, at the flow factor of the plane. */
static status fill_hole(finding_planes *f, const piece *p, plane_panel *panel) {
    const leak_water *leak = &f->leaks[p->owner.defect];
    plane_station *stations = arena_get(f->memory, 2, sizeof *stations);
    plane_slot *slots = arena_get(f->memory, 1, sizeof *slots);
    if (!stations || !slots) return fault_memory(f->why);
    double width_m, gradient = leak->head_today_m / p->face->thickness_m;
    status code = crackflow_width_from_flow(leak->flow_measured_m3_s.v / p->to_m, gradient, leak->water_c,
                                            &width_m, f->why);
    if (code != OK) return code;
    width_m /= cbrt(CRACKFLOW_FACTOR);
    double elevation_m = leak->stations[0].elevation_m;
    stations[0] = (plane_station){0, elevation_m, width_m, width_m};
    stations[1] = (plane_station){p->to_m, elevation_m, width_m, width_m};
    slots[0] = (plane_slot){0, p->to_m, f->designs[p->owner.defect].slots[0].depth_m};
    panel->stations = stations;
    panel->stations_n = 2;
    panel->slots = slots;
    panel->slots_n = 1;
    return OK;
}

/* Trade rule 6: a waterstop closes the joint at its depth but for the places where it is known to let water through. */
static status fill_waterstop(finding_planes *f, const piece *p, plane_panel *panel) {
    const survey_defect *d = &f->s->defects[p->owner.defect];
    if (d->waterstop != STOP_THERE || !d->cutoff_m.known) return OK;
    plane_stretch *open = arena_get(f->memory, d->n_opens, sizeof *open);
    if (!open) return fault_memory(f->why);
    for (size_t i = 0; i < d->n_opens; i++) {
        double from = fmax(d->opens[i].from_m, p->from_m), to = fmin(d->opens[i].to_m, p->to_m);
        if (to > from) open[panel->cutoff_open_n++] = (plane_stretch){from, to};
    }
    panel->cutoff_depth_m = d->cutoff_m;
    panel->cutoff_open = open;
    return OK;
}

static status fill_panel(finding_planes *f, const piece *p, plane_panel *panel) {
    static const plane_lie lies[LIE_COUNT] = {PLANE_WALL, PLANE_FLOOR, PLANE_SOFFIT};
    const leak_water *leak = &f->leaks[p->owner.defect];
    *panel = (plane_panel){.id = arena_print(f->memory, "%s part %zu", leak->defect->mark, p->owner.part + 1),
                           .thickness_m = p->face->thickness_m,
                           .lie = lies[p->face->lie],
                           .water_level_m = {true, leak->level_today_m}};
    if (!panel->id) return fault_memory(f->why);
    if (!survey_is_line(leak->defect->kind)) return fill_hole(f, p, panel);
    status code = fill_stations(f, p, panel);
    if (code == OK) code = fill_waterstop(f, p, panel);
    return code == OK ? fill_slots(f, p, panel) : code;
}

/* Where a reading lies: its stretch on every panel of its leak that it touches; a hole is measured whole. */
static status place_reading(finding_planes *f, const planes_group *g, size_t leak, const survey_flow *flow,
                            plane_measured *reading) {
    bool line = survey_is_line(f->s->defects[leak].kind);
    assert(g->input.panels); /* a group has at least one */
    plane_interval *on = arena_get(f->memory, g->input.panels_n, sizeof *on);
    if (!on) return fault_memory(f->why);
    for (size_t p = 0; p < g->input.panels_n; p++) {
        const plane_panel *panel = &g->input.panels[p];
        if (g->owners[p].defect != leak) continue;
        double from = panel->stations[0].chainage_m, to = panel->stations[panel->stations_n - 1].chainage_m;
        if (line) {
            from = fmax(from, flow->from_m);
            to = fmin(to, flow->to_m);
        }
        /* One that ends at a fold may reach over it by a rounding; so little carries no water. */
        if (to - from >= PLANE_SHORTEST_M) on[reading->on_n++] = (plane_interval){p, from, to};
    }
    reading->on = on;
    return OK;
}

static bool is_timed(const survey_flow *flow) {
    return flow->volume_m3.known && flow->time_s.known;
}

/* Timed readings of the group's leaks. Readings of the cut slot, when there are any, replace those before
 * (trade rule 5). */
static status fill_measured(finding_planes *f, planes_group *g) {
    bool cut = false;
    size_t n = 0;
    for (size_t i = 0; i < g->n_leaks; i++) {
        const survey_defect *d = &f->s->defects[g->leaks[i]];
        n += d->n_flows;
        for (size_t k = 0; k < d->n_flows; k++)
            cut = cut || (d->flows[k].state == STATE_CUT && is_timed(&d->flows[k]));
    }
    plane_measured *list = arena_get(f->memory, n, sizeof *list);
    if (!list) return fault_memory(f->why);
    for (size_t i = 0; i < g->n_leaks; i++) {
        const survey_defect *d = &f->s->defects[g->leaks[i]];
        for (size_t k = 0; k < d->n_flows; k++) {
            const survey_flow *flow = &d->flows[k];
            if (!is_timed(flow) || (flow->state == STATE_CUT) != cut) continue;
            plane_measured *reading = &list[g->input.measured_n++];
            *reading = (plane_measured){.flow_m3_s = flow->volume_m3.v / flow->time_s.v, .as_given = cut};
            status code = place_reading(f, g, g->leaks[i], flow, reading);
            if (code != OK) return code;
        }
    }
    g->input.measured = list;
    return OK;
}

static status fill_joins(finding_planes *f, planes_group *g, size_t root) {
    plane_join *joins = arena_get(f->memory, f->n_ties, sizeof *joins);
    if (!joins) return fault_memory(f->why);
    for (size_t i = 0; i < f->n_ties; i++) {
        if (root_of(f, f->ties[i].piece_a) != root) continue;
        size_t ends[2] = {0, 0};
        for (size_t p = 0; p < g->input.panels_n; p++) {
            if (memcmp(&g->owners[p], &f->ties[i].a, sizeof *g->owners) == 0) ends[0] = p;
            if (memcmp(&g->owners[p], &f->ties[i].b, sizeof *g->owners) == 0) ends[1] = p;
        }
        joins[g->input.joins_n++] = (plane_join){{ends[0], f->ties[i].at_a_m}, {ends[1], f->ties[i].at_b_m}};
    }
    g->input.joins = joins;
    return OK;
}

static status add_leak(finding_planes *f, planes_group *g, size_t leak) {
    for (size_t i = 0; i < g->n_leaks; i++)
        if (g->leaks[i] == leak) return OK;
    size_t *leaks = arena_push(f->memory, g->leaks, &g->n_leaks, sizeof *leaks);
    if (!leaks) return fault_memory(f->why);
    leaks[g->n_leaks - 1] = leak;
    g->leaks = leaks;
    const survey_defect *d = &f->s->defects[leak];
    g->stop_unknown = g->stop_unknown || (d->kind == KIND_JOINT && !survey_stop_known(d));
    g->relief_wanted = g->relief_wanted || f->designs[leak].relief.wanted;
    return OK;
}

static status fill_group(finding_planes *f, size_t root, planes_group *g) {
    plane_panel *panels = NULL;
    size_t n_owners = 0;
    for (size_t i = root; i < f->n_pieces; i++) {
        if (root_of(f, i) != root) continue;
        panels = arena_push(f->memory, panels, &g->input.panels_n, sizeof *panels);
        planes_owner *owners = panels ? arena_push(f->memory, g->owners, &n_owners, sizeof *owners) : NULL;
        if (!owners) return fault_memory(f->why);
        g->owners = owners;
        owners[n_owners - 1] = f->pieces[i].owner;
        status code = fill_panel(f, &f->pieces[i], &panels[g->input.panels_n - 1]);
        if (code == OK) code = add_leak(f, g, f->pieces[i].owner.defect);
        if (code != OK) return code;
    }
    g->input.panels = panels;
    g->input.temperature_c = f->leaks[g->leaks[0]].water_c;
    g->input.flow_factor = CRACKFLOW_FACTOR;
    g->input.mesh_m = PLANE_MESH_M;
    status code = fill_joins(f, g, root);
    return code == OK ? fill_measured(f, g) : code;
}

status planes_find(const survey *s, const leak_water *leaks, const repair_design *designs, bool past,
                   arena *memory, planes_list *out, fault *why) {
    finding_planes f = {
        .s = s, .leaks = leaks, .designs = designs, .past = past, .memory = memory, .out = out, .why = why};
    *out = (planes_list){.skipped = arena_get(memory, s->n_defects, sizeof *out->skipped)};
    if (!out->skipped) return fault_memory(why);
    status code = list_pieces(&f);
    if (code == OK) code = find_ties(&f);
    if (code == OK) code = find_holes(&f);
    for (size_t i = 0; code == OK && i < f.n_pieces; i++) {
        if (root_of(&f, i) != i) continue;
        planes_group *groups = arena_push(memory, out->groups, &out->n, sizeof *groups);
        if (!groups) return fault_memory(why);
        out->groups = groups;
        code = fill_group(&f, i, &groups[out->n - 1]);
    }
    return code;
}
