#include "hydraulics/plane_input.h"

#include "hydraulics/crackflow.h"
#include "hydraulics/water.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#define HIGHEST_HEAD_M                                                                                       \
    (CRACKFLOW_HIGHEST_M - 100) /* leaves room for the thickness and the suction of a tube */
#define ROUGHEST (1.0 / 20)     /* of the bore: as friction.h */
enum { STRETCH_N = 10000 };     /* of one kind on one panel; our limit */

static status check_range(fault *why, double shown, const double range[2], const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/* `shown` in the unit that the name ends in; both ends count in. NaN fails. */
static status check_range(fault *why, double shown, const double range[2], const char *format, ...) {
    char name[200];
    va_list args;
    if (shown >= range[0] && shown <= range[1]) return OK;
    va_start(args, format);
    vsnprintf(name, sizeof name, format, args);
    va_end(args);
    return fault_set(why, E_INPUT, "%s: is %.10g; it must lie in %.10g to %.10g", name, shown, range[0],
                     range[1]);
}

double plane_elevation_m(const plane_panel *p, double chainage_m, double depth_m) {
    size_t i = 1;
    while (i + 1 < p->stations_n && chainage_m > p->stations[i].chainage_m) i++;
    const plane_station *a = &p->stations[i - 1], *b = &p->stations[i];
    double s = (chainage_m - a->chainage_m) / (b->chainage_m - a->chainage_m);
    double dry_m = (1 - s) * a->elevation_m + s * b->elevation_m;
    if (p->lie == PLANE_FLOOR) return dry_m - depth_m;
    return p->lie == PLANE_SOFFIT ? dry_m + depth_m : dry_m;
}

double plane_level_m(const plane_input *in, size_t panel) {
    const plane_panel *p = &in->panels[panel];
    return p->water_level_m.known ? p->water_level_m.v : in->water_level_m.v;
}

/* First and last chainage. */
static void panel_ends(const plane_panel *p, double ends[2]) {
    ends[0] = p->stations[0].chainage_m;
    ends[1] = p->stations[p->stations_n - 1].chainage_m;
}

static status check_stations(const plane_panel *p, size_t panel, fault *why) {
    static const double chainage[] = {-PLANE_LONGEST_M, PLANE_LONGEST_M},
                        elevation[] = {-PLANE_HIGHEST_M, PLANE_HIGHEST_M},
                        width_mm[] = {0, CRACKFLOW_WIDEST_M * 1e3};
    status code = OK;
    if (p->stations_n < 2)
        return fault_set(why, E_INPUT, "panels[%zu].stations: has %zu; it must have at least 2", panel,
                         p->stations_n);
    for (size_t i = 0; i < p->stations_n && code == OK; i++) {
        const plane_station *s = &p->stations[i];
        code = check_range(why, s->chainage_m, chainage, "panels[%zu].stations[%zu].chainage_m", panel, i);
        if (code == OK)
            code = check_range(why, s->elevation_m, elevation, "panels[%zu].stations[%zu].elevation_m", panel,
                               i);
        if (code == OK)
            code =
                check_range(why, s->width_m * 1e3, width_mm, "panels[%zu].stations[%zu].width_mm", panel, i);
        if (code == OK)
            code = check_range(why, s->width_wet_m * 1e3, width_mm,
                               "panels[%zu].stations[%zu].width_wet_face_mm", panel, i);
        if (code == OK && i > 0 && !(s->chainage_m - s[-1].chainage_m >= PLANE_SHORTEST_M))
            code =
                fault_set(why, E_INPUT,
                          "panels[%zu].stations[%zu].chainage_m: is %.10g after %.10g; chainages must rise "
                          "by at least %g m",
                          panel, i, s->chainage_m, s[-1].chainage_m, PLANE_SHORTEST_M);
    }
    return code;
}

/* Ends of a stretch: in order and on the panel. */
static status check_stretch(const plane_panel *p, double from_m, double to_m, const char *name, fault *why) {
    double ends[2];
    panel_ends(p, ends);
    if (!(from_m >= ends[0] - PLANE_SHORTEST_M && to_m <= ends[1] + PLANE_SHORTEST_M))
        return fault_set(why, E_INPUT, "%s: runs from %.10g to %.10g m; the panel runs from %.10g to %.10g m",
                         name, from_m, to_m, ends[0], ends[1]);
    if (!(to_m - from_m >= PLANE_SHORTEST_M))
        return fault_set(why, E_INPUT,
                         "%s: runs from %.10g to %.10g m; to_m must exceed from_m by at least %g", name,
                         from_m, to_m, PLANE_SHORTEST_M);
    return OK;
}

/* A depth strictly inside the wall. */
static status check_depth(const plane_panel *p, double depth_m, const char *name, fault *why) {
    double range[] = {PLANE_SHORTEST_M * 1e3, (p->thickness_m - PLANE_SHORTEST_M) * 1e3};
    return check_range(why, depth_m * 1e3, range, "%s.depth_mm", name);
}

static status check_lists(const plane_panel *p, size_t panel, fault *why) {
    const struct {
        const char *name;
        size_t n;
    } lists[] = {{"slot", p->slots_n},
                 {"sealed", p->sealed_n},
                 {"barriers", p->barriers_n},
                 {"cutoff.open", p->cutoff_open_n}};
    for (size_t i = 0; i < sizeof lists / sizeof *lists; i++)
        if (lists[i].n > STRETCH_N)
            return fault_set(why, E_INPUT, "panels[%zu].%s: has %zu entries; it must have at most %d", panel,
                             lists[i].name, lists[i].n, STRETCH_N);
    return OK;
}

static status check_cuts(const plane_panel *p, size_t panel, fault *why) {
    char name[80];
    status code = check_lists(p, panel, why);
    for (size_t i = 0; i < p->slots_n && code == OK; i++) {
        snprintf(name, sizeof name, "panels[%zu].slot[%zu]", panel, i);
        code = check_stretch(p, p->slots[i].from_m, p->slots[i].to_m, name, why);
        if (code == OK) code = check_depth(p, p->slots[i].depth_m, name, why);
    }
    for (size_t i = 0; i < p->sealed_n && code == OK; i++) {
        snprintf(name, sizeof name, "panels[%zu].sealed[%zu]", panel, i);
        code = check_stretch(p, p->sealed[i].from_m, p->sealed[i].to_m, name, why);
    }
    if (code == OK && p->cutoff_depth_m.known) {
        snprintf(name, sizeof name, "panels[%zu].cutoff", panel);
        code = check_depth(p, p->cutoff_depth_m.v, name, why);
    }
    for (size_t i = 0; i < p->cutoff_open_n && code == OK; i++) {
        snprintf(name, sizeof name, "panels[%zu].cutoff.open[%zu]", panel, i);
        code = check_stretch(p, p->cutoff_open[i].from_m, p->cutoff_open[i].to_m, name, why);
    }
    return code;
}

static status check_barriers(const plane_panel *p, size_t panel, fault *why) {
    double ends[2], depth_mm[] = {0, p->thickness_m * 1e3};
    status code = OK;
    panel_ends(p, ends);
    for (size_t i = 0; i < p->barriers_n && code == OK; i++) {
        const plane_barrier *b = &p->barriers[i];
        code = check_range(why, b->chainage_m, ends, "panels[%zu].barriers[%zu].chainage_m", panel, i);
        if (code == OK)
            code = check_range(why, b->from_depth_m * 1e3, depth_mm,
                               "panels[%zu].barriers[%zu].from_depth_mm", panel, i);
        if (code == OK)
            code = check_range(why, b->to_depth_m * 1e3, depth_mm, "panels[%zu].barriers[%zu].to_depth_mm",
                               panel, i);
        if (code == OK && !(b->to_depth_m - b->from_depth_m >= PLANE_SHORTEST_M))
            code =
                fault_set(why, E_INPUT,
                          "panels[%zu].barriers[%zu]: runs from %.10g to %.10g mm; to_depth_mm must exceed "
                          "from_depth_mm by at least %g",
                          panel, i, b->from_depth_m * 1e3, b->to_depth_m * 1e3, PLANE_SHORTEST_M * 1e3);
    }
    return code;
}

static status check_panel(const plane_input *in, size_t panel, fault *why) {
    static const double thickness[] = {CRACKFLOW_THINNEST_M, CRACKFLOW_THICKEST_M},
                        level[] = {-PLANE_HIGHEST_M, PLANE_HIGHEST_M};
    const plane_panel *p = &in->panels[panel];
    for (size_t i = 0; i < panel; i++)
        if (p->id && in->panels[i].id && strcmp(p->id, in->panels[i].id) == 0)
            return fault_set(why, E_INPUT,
                             "panels[%zu].id: is %s, as panels[%zu].id is; each panel has its own", panel,
                             p->id, i);
    status code = check_range(why, p->thickness_m, thickness, "panels[%zu].thickness_m", panel);
    if (code == OK && !p->water_level_m.known && !in->water_level_m.known)
        return fault_set(
            why, E_INPUT,
            "water_level_m: is missing; give it, or one for each panel (panels[%zu].water_level_m)", panel);
    if (code == OK)
        code = check_range(why, plane_level_m(in, panel), level,
                           p->water_level_m.known ? "panels[%zu].water_level_m" : "water_level_m", panel);
    if (code == OK) code = check_stations(p, panel, why);
    for (size_t i = 0; i < p->stations_n && code == OK; i++)
        if (!(plane_level_m(in, panel) - p->stations[i].elevation_m <= HIGHEST_HEAD_M))
            code = fault_set(
                why, E_INPUT,
                "panels[%zu].stations[%zu].elevation_m: is %.10g, more than %g m below the water level",
                panel, i, p->stations[i].elevation_m, HIGHEST_HEAD_M);
    if (code == OK) code = check_cuts(p, panel, why);
    if (code == OK) code = check_barriers(p, panel, why);
    return code;
}

static status check_spot(const plane_input *in, const plane_spot *at, const char *name, fault *why) {
    double ends[2];
    if (at->panel >= in->panels_n)
        return fault_set(why, E_INPUT, "%s: names panel %zu; there are %zu", name, at->panel, in->panels_n);
    panel_ends(&in->panels[at->panel], ends);
    return check_range(why, at->chainage_m, ends, "%s.chainage_m", name);
}

/* Would a barrier stand on a joint, it would part and tie the same points. */
static status check_join_free(const plane_input *in, const plane_spot *at, const char *name, fault *why) {
    const plane_panel *p = &in->panels[at->panel];
    for (size_t i = 0; i < p->barriers_n; i++)
        if (fabs(p->barriers[i].chainage_m - at->chainage_m) < PLANE_SHORTEST_M)
            return fault_set(
                why, E_INPUT,
                "%s: is at chainage %.10g m, where panels[%zu].barriers[%zu] stands; move one of them", name,
                at->chainage_m, at->panel, i);
    return OK;
}

static status check_joins(const plane_input *in, fault *why) {
    status code = OK;
    for (size_t i = 0; i < in->joins_n && code == OK; i++) {
        const plane_join *j = &in->joins[i];
        const plane_spot *const spots[] = {&j->a, &j->b};
        for (size_t k = 0; k < 2 && code == OK; k++) {
            char name[40];
            snprintf(name, sizeof name, "joins[%zu].%c", i, k == 0 ? 'a' : 'b');
            code = check_spot(in, spots[k], name, why);
            if (code == OK) code = check_join_free(in, spots[k], name, why);
        }
        if (code == OK && j->a.panel == j->b.panel &&
            fabs(j->a.chainage_m - j->b.chainage_m) < PLANE_SHORTEST_M)
            code = fault_set(why, E_INPUT, "joins[%zu]: ties chainage %.10g m of panel %zu to itself", i,
                             j->a.chainage_m, j->a.panel);
    }
    return code;
}

static status check_tube(const plane_relief *r, size_t i, fault *why) {
    const double bore_mm[] = {RELIEF_NARROWEST_M * 1e3, RELIEF_WIDEST_M * 1e3},
                 length_m[] = {RELIEF_SHORTEST_M, RELIEF_LONGEST_M}, loss[] = {0, RELIEF_MOST_LOSS},
                 suction_kpa[] = {0, RELIEF_MOST_SUCTION_PA * 1e-3},
                 rough_mm[] = {0, r->tube.bore_m * ROUGHEST * 1e3},
                 outlet_m[] = {-PLANE_HIGHEST_M, PLANE_HIGHEST_M};
    status code = check_range(why, r->tube.bore_m * 1e3, bore_mm, "reliefs[%zu].bore_mm", i);
    if (code == OK) code = check_range(why, r->tube.length_m, length_m, "reliefs[%zu].length_m", i);
    if (code == OK)
        code = check_range(why, r->tube.roughness_m * 1e3, rough_mm, "reliefs[%zu].roughness_mm", i);
    if (code == OK) code = check_range(why, r->tube.entry_loss, loss, "reliefs[%zu].entry_loss", i);
    if (code == OK) code = check_range(why, r->tube.exit_loss, loss, "reliefs[%zu].exit_loss", i);
    if (code == OK)
        code = check_range(why, r->tube.suction_pa * 1e-3, suction_kpa, "reliefs[%zu].suction_kpa", i);
    if (code == OK && r->outlet_elevation_m.known)
        code = check_range(why, r->outlet_elevation_m.v, outlet_m, "reliefs[%zu].outlet_elevation_m", i);
    return code;
}

/* The hole reaches at least as deep as a slot it stands in, and holes keep apart. */
static status check_hole(const plane_input *in, size_t i, fault *why) {
    const plane_relief *r = &in->reliefs[i];
    const plane_panel *p = &in->panels[r->at.panel];
    for (size_t k = 0; k < p->slots_n; k++) {
        const plane_slot *s = &p->slots[k];
        bool over =
            r->at.chainage_m + r->hole_m / 2 > s->from_m && r->at.chainage_m - r->hole_m / 2 < s->to_m;
        if (over && !(r->depth_m >= s->depth_m))
            return fault_set(
                why, E_INPUT,
                "reliefs[%zu].depth_mm: is %.10g; it must be at least the %.10g of panels[%zu].slot[%zu]", i,
                r->depth_m * 1e3, s->depth_m * 1e3, r->at.panel, k);
    }
    for (size_t k = 0; k < i; k++) {
        const plane_relief *o = &in->reliefs[k];
        double apart_m = fabs(o->at.chainage_m - r->at.chainage_m) - (o->hole_m + r->hole_m) / 2;
        if (o->at.panel == r->at.panel && !(apart_m >= PLANE_SHORTEST_M))
            return fault_set(why, E_INPUT,
                             "reliefs[%zu].chainage_m: is %.10g; its hole runs into that of reliefs[%zu]", i,
                             r->at.chainage_m, k);
    }
    return OK;
}

static status check_reliefs(const plane_input *in, fault *why) {
    static const double hole_mm[] = {RELIEF_NARROWEST_M * 1e3, RELIEF_WIDEST_M * 1e3};
    status code = OK;
    for (size_t i = 0; i < in->reliefs_n && code == OK; i++) {
        char name[40];
        const plane_relief *r = &in->reliefs[i];
        snprintf(name, sizeof name, "reliefs[%zu]", i);
        code = check_spot(in, &r->at, name, why);
        if (code == OK) code = check_tube(r, i, why);
        if (code == OK) code = check_range(why, r->hole_m * 1e3, hole_mm, "reliefs[%zu].hole_mm", i);
        if (code == OK) code = check_depth(&in->panels[r->at.panel], r->depth_m, name, why);
        if (code == OK) code = check_hole(in, i, why);
    }
    return code;
}

static status check_interval(const plane_input *in, const plane_interval *on, const char *name, fault *why) {
    if (on->panel >= in->panels_n)
        return fault_set(why, E_INPUT, "%s.panel: is %zu; there are %zu", name, on->panel, in->panels_n);
    return check_stretch(&in->panels[on->panel], on->from_m, on->to_m, name, why);
}

/* A stretch that stood twice in a reading would count twice. */
static status check_measured(const plane_input *in, const plane_measured *m, const char *name, fault *why) {
    status code = OK;
    if (m->on_n == 0)
        return fault_set(why, E_INPUT, "%s: has 0 stretches on the panels; it must have at least 1", name);
    for (size_t i = 0; i < m->on_n && code == OK; i++) {
        const plane_interval *on = &m->on[i];
        code = check_interval(in, on, name, why);
        for (size_t k = 0; k < i && code == OK; k++) {
            const plane_interval *other = &m->on[k];
            double both_m = fmin(on->to_m, other->to_m) - fmax(on->from_m, other->from_m);
            if (other->panel == on->panel && !(both_m <= PLANE_SHORTEST_M))
                return fault_set(why, E_INPUT,
                                 "%s: its stretches overlap by %.10g m on panel %zu; at most %g", name,
                                 both_m, on->panel, PLANE_SHORTEST_M);
        }
    }
    return code;
}

static status check_questions(const plane_input *in, fault *why) {
    static const double flow_l_min[] = {1e-9, 1e9};
    char name[40];
    status code = OK;
    for (size_t i = 0; i < in->measured_n && code == OK; i++) {
        snprintf(name, sizeof name, "measured[%zu]", i);
        code = check_measured(in, &in->measured[i], name, why);
        if (code == OK)
            code = check_range(why, in->measured[i].flow_m3_s * 60e3, flow_l_min, "%s.flow_l_min", name);
    }
    for (size_t i = 0; i < in->report_n && code == OK; i++) {
        snprintf(name, sizeof name, "report[%zu]", i);
        code = check_interval(in, &in->report[i], name, why);
    }
    for (size_t i = 0; i < in->heads_n && code == OK; i++) {
        snprintf(name, sizeof name, "heads[%zu]", i);
        code = check_spot(in, &in->heads[i].at, name, why);
        if (code != OK) break;
        double depth_mm[] = {0, in->panels[in->heads[i].at.panel].thickness_m * 1e3};
        code = check_range(why, in->heads[i].depth_m * 1e3, depth_mm, "%s.depth_mm", name);
    }
    return code;
}

status plane_stopped(const atomic_bool *stop, fault *why) {
    return stop && atomic_load(stop) ? fault_set(why, E_STATE, "stopped") : OK;
}

status plane_check(const plane_input *in, fault *why) {
    static const double mesh_mm[] = {PLANE_FINEST_M * 1e3, PLANE_COARSEST_M * 1e3}, factor[] = {1e-6, 1},
                        temperature[] = {WATER_COLDEST_C, WATER_WARMEST_C};
    status code = check_range(why, in->temperature_c, temperature, "temperature_c");
    if (code == OK && in->measured_n == 0) code = check_range(why, in->flow_factor, factor, "flow_factor");
    if (code == OK) code = check_range(why, in->mesh_m * 1e3, mesh_mm, "mesh_mm");
    if (code == OK && in->panels_n == 0)
        return fault_set(why, E_INPUT, "panels: has 0; it must have at least 1");
    for (size_t i = 0; i < in->panels_n && code == OK; i++) code = check_panel(in, i, why);
    if (code == OK) code = check_joins(in, why);
    if (code == OK) code = check_reliefs(in, why);
    if (code == OK) code = check_questions(in, why);
    return code;
}
