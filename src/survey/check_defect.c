#include "survey/check.h"
#include "survey/checker.h"
#include "survey/trace.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const char *const kind_names[KIND_COUNT] = {"crack", "joint", "tie hole", "penetration",
                                                   "area of honeycomb"};

/* How far a point lies off its face: to the outline when outside it, to the opening when in one. */
static double off_face_m(const face_shape *shape, survey_point p) {
    double nearest = checker_ring_distance_m(shape->outline, p);
    for (size_t i = 0; i < shape->openings_n; i++)
        nearest = fmin(nearest, checker_ring_distance_m(shape->openings[i], p));
    return nearest;
}

static void check_points(checker *c, const survey_defect *d, size_t part) {
    const survey_part *p = &d->parts[part];
    char what[80], u[UNITS_SHOWN], v[UNITS_SHOWN], off[UNITS_SHOWN];
    snprintf(what, sizeof what, "part %zu of %.50s", part + 1, d->mark);
    size_t face = checker_face(c, d->origin, what, p->face);
    if (face == NAMES_NONE || !c->sound[face]) return;
    for (size_t i = 0; i < p->n_points; i++) {
        survey_point at = p->points[i];
        if (!face_holds(&c->shapes[face], at, FACE_FIT_M))
            checker_tell(c, d->origin,
                         "%s: point %zu of part %zu (%s, %s) lies %s off face %s; at most 1 mm (0.04 in)",
                         d->mark, i + 1, part + 1, checker_length(c, at.u_m, u), checker_length(c, at.v_m, v),
                         checker_size(c, off_face_m(&c->shapes[face], at), off), p->face);
        if (survey_is_line(d->kind) && i > 0 && at.u_m == p->points[i - 1].u_m &&
            at.v_m == p->points[i - 1].v_m)
            checker_tell(c, d->origin, "%s: points %zu and %zu of part %zu are the same", d->mark, i, i + 1,
                         part + 1);
    }
}

/* Place of a point along an edge (0 to 1), and how far off the edge it lies. */
static double along_edge(const survey_point edge[2], survey_point p, double *off_m) {
    double du = edge[1].u_m - edge[0].u_m, dv = edge[1].v_m - edge[0].v_m, square = du * du + dv * dv;
    double t = square > 0 ? ((p.u_m - edge[0].u_m) * du + (p.v_m - edge[0].v_m) * dv) / square : 0;
    t = fmin(fmax(t, 0), 1);
    *off_m = hypot(edge[0].u_m + t * du - p.u_m, edge[0].v_m + t * dv - p.v_m);
    return t;
}

/* The largest gap left when a trace leaves one face at `from` and goes on at `to` over this fold. */
static double gap_over_fold_m(const survey_point edge_from[2], const survey_point edge_to[2],
                              survey_point from, survey_point to) {
    double off_m;
    double t = along_edge(edge_from, from, &off_m);
    double u = edge_to[0].u_m + t * (edge_to[1].u_m - edge_to[0].u_m);
    double v = edge_to[0].v_m + t * (edge_to[1].v_m - edge_to[0].v_m);
    return fmax(off_m, hypot(u - to.u_m, v - to.v_m));
}

static void check_meeting(checker *c, const survey_defect *d, size_t part) {
    const survey_part *one = &d->parts[part], *two = &d->parts[part + 1];
    double least_m = HUGE_VAL;
    char gap[UNITS_SHOWN];
    if (one->n_points == 0 || two->n_points == 0) return;
    survey_point from = one->points[one->n_points - 1], to = two->points[0];
    for (size_t i = 0; i < c->s->n_folds; i++) {
        const survey_fold *f = &c->s->folds[i];
        if (!f->face_a || !f->face_b) continue;
        if (strcmp(f->face_a, one->face) == 0 && strcmp(f->face_b, two->face) == 0)
            least_m = fmin(least_m, gap_over_fold_m(f->a, f->b, from, to));
        if (strcmp(f->face_b, one->face) == 0 && strcmp(f->face_a, two->face) == 0)
            least_m = fmin(least_m, gap_over_fold_m(f->b, f->a, from, to));
    }
    if (!isfinite(least_m))
        checker_tell(c, d->origin, "%s: parts %zu and %zu lie on faces %s and %s, which no fold joins",
                     d->mark, part + 1, part + 2, one->face, two->face);
    else if (!(least_m <= CHECK_MEET_M))
        checker_tell(
            c, d->origin,
            "%s: parts %zu and %zu do not meet at the fold %s-%s; the gap is %s, at most 10 mm (0.4 in)",
            d->mark, part + 1, part + 2, one->face, two->face, checker_size(c, least_m, gap));
}

/* How many parts and points each kind may have. */
static bool check_form(checker *c, const survey_defect *d) {
    const bool line = survey_is_line(d->kind), area = d->kind == KIND_HONEYCOMB;
    const size_t least = line ? 2 : area ? 3 : 1;
    const char *kind = kind_names[d->kind];
    bool good = d->n_parts > 0 && (line || d->n_parts == 1);
    if (d->n_parts == 0) checker_tell(c, d->origin, "%s: says nowhere where it lies", d->mark);
    if (d->n_parts > 1 && !line)
        checker_tell(c, d->origin, "%s: has %zu parts; a %s has one", d->mark, d->n_parts, kind);
    for (size_t i = 0; i < d->n_parts; i++) {
        size_t n = d->parts[i].n_points;
        if (n >= least && (line || area || n == 1)) continue;
        checker_tell(c, d->origin, "%s: part %zu has %zu points; a %s %s %zu", d->mark, i + 1, n, kind,
                     line || area ? "needs at least" : "is a single point, so", least);
        good = false;
    }
    return good;
}

static void check_ring(checker *c, const survey_defect *d) {
    face_run ring = {d->parts[0].points, d->parts[0].n_points};
    fault why = {OK, ""};
    status code = face_check_ring(&ring, d->mark, &why);
    if (code == E_MEMORY) fault_list_memory(c->faults);
    if (code != OK && code != E_MEMORY) checker_tell(c, d->origin, "%s", why.text);
}

static void check_diameter(checker *c, const survey_defect *d) {
    bool round = d->kind == KIND_PENETRATION || d->kind == KIND_TIE_HOLE;
    if (d->kind == KIND_PENETRATION && !d->diameter_m.known)
        checker_tell(c, d->origin, "%s: the diameter is missing; a penetration needs it", d->mark);
    if (!round && d->diameter_m.known)
        checker_tell(c, d->origin, "%s: has a diameter; only tie holes and penetrations do", d->mark);
}

/* The thickness of the face under a chainage, or HUGE_VAL. */
static double thickness_at_m(const checker *c, const survey_defect *d, double chainage_m) {
    size_t part = 0, face;
    double left = chainage_m;
    for (; survey_is_line(d->kind) && part + 1 < d->n_parts; part++) {
        face_run run = {d->parts[part].points, d->parts[part].n_points};
        double length_m = face_run_length_m(&run);
        if (left < length_m) break;
        left -= length_m;
    }
    face = d->parts[part].face ? names_find(c->faces, d->parts[part].face) : NAMES_NONE;
    return face == NAMES_NONE ? HUGE_VAL : c->s->faces[face].thickness_m;
}

static void check_steel(checker *c, const survey_defect *d, size_t at) {
    const survey_station *s = &d->stations[at];
    char cover[UNITS_SHOWN];
    bool found = s->bar == BAR_CROSSING || s->bar == BAR_ALONG;
    if (found && !s->cover_m.known)
        checker_tell(c, d->origin, "%s, station %zu: a bar was found (%s) but its cover is missing", d->mark,
                     at + 1, survey_bar_words[s->bar]);
    if (!found && (s->cover_m.known || s->bar_diameter_m.known))
        checker_tell(
            c, d->origin,
            "%s, station %zu: cover or bar_diameter is given, but bar is %s; it must be crossing or along",
            d->mark, at + 1, survey_bar_words[s->bar]);
    if (found && s->cover_m.known && !(s->cover_m.v < thickness_at_m(c, d, s->chainage_m)))
        checker_tell(c, d->origin, "%s, station %zu: the cover %s is not below the thickness of the face",
                     d->mark, at + 1, checker_size(c, s->cover_m.v, cover));
}

static void check_stations(checker *c, const survey_defect *d, double length_m) {
    char here[UNITS_SHOWN], limit[UNITS_SHOWN];
    bool line = survey_is_line(d->kind);
    if (!line && d->n_stations > 1)
        checker_tell(c, d->origin, "%s: has %zu stations; a %s has one", d->mark, d->n_stations,
                     kind_names[d->kind]);
    for (size_t i = 0; i < d->n_stations; i++) {
        double chainage_m = d->stations[i].chainage_m;
        if (!line && chainage_m != 0)
            checker_tell(c, d->origin, "%s, station %zu: has the chainage %s; at a %s it is 0", d->mark,
                         i + 1, checker_length(c, chainage_m, here), kind_names[d->kind]);
        if (line && !(chainage_m <= length_m + CHECK_BEYOND_M))
            checker_tell(c, d->origin,
                         "%s, station %zu: the chainage %s lies beyond the trace, which is %s long", d->mark,
                         i + 1, checker_length(c, chainage_m, here), checker_length(c, length_m, limit));
        if (line && i > 0 && !(chainage_m > d->stations[i - 1].chainage_m))
            checker_tell(c, d->origin,
                         "%s, station %zu: the chainage %s is not above that of the station before, %s",
                         d->mark, i + 1, checker_length(c, chainage_m, here),
                         checker_length(c, d->stations[i - 1].chainage_m, limit));
        check_steel(c, d, i);
    }
}

static void check_flow(checker *c, const survey_defect *d, size_t at, double length_m) {
    const survey_flow *f = &d->flows[at];
    char from[UNITS_SHOWN], to[UNITS_SHOWN];
    bool collected = f->volume_m3.known && f->time_s.known;
    if (f->volume_m3.known != f->time_s.known || (!collected && !f->drips_per_min.known))
        checker_tell(c, d->origin, "%s, flow %zu: needs volume and time together, or drips_per_min", d->mark,
                     at + 1);
    if (!survey_is_line(d->kind)) {
        if (f->from_m != 0 || f->to_m != 0)
            checker_tell(c, d->origin, "%s, flow %zu: has a stretch; a %s has none", d->mark, at + 1,
                         kind_names[d->kind]);
    } else if (!(f->to_m > f->from_m)) {
        checker_tell(c, d->origin, "%s, flow %zu: the stretch from %s to %s must run forward", d->mark,
                     at + 1, checker_length(c, f->from_m, from), checker_length(c, f->to_m, to));
    } else if (!(f->to_m <= length_m + CHECK_BEYOND_M)) {
        checker_tell(c, d->origin, "%s, flow %zu: the stretch ends at %s, beyond the trace, which is %s long",
                     d->mark, at + 1, checker_length(c, f->to_m, to), checker_length(c, length_m, from));
    }
}

/* The thinnest face that the trace runs over, or HUGE_VAL. */
static double least_thickness_m(const checker *c, const survey_defect *d) {
    double least_m = HUGE_VAL;
    for (size_t i = 0; i < d->n_parts; i++) {
        size_t face = d->parts[i].face ? names_find(c->faces, d->parts[i].face) : NAMES_NONE;
        if (face != NAMES_NONE) least_m = fmin(least_m, c->s->faces[face].thickness_m);
    }
    return least_m;
}

static void check_open(checker *c, const survey_defect *d, size_t at, double length_m) {
    const survey_open *o = &d->opens[at];
    char from[UNITS_SHOWN], to[UNITS_SHOWN];
    checker_length(c, o->from_m, from);
    if (!(o->from_m >= 0))
        checker_tell(c, d->origin, "%s, open place %zu: begins at %s, before the trace", d->mark, at + 1,
                     from);
    if (!(o->to_m > o->from_m))
        checker_tell(c, d->origin, "%s, open place %zu: the stretch from %s to %s must run forward", d->mark,
                     at + 1, from, checker_length(c, o->to_m, to));
    else if (!(o->to_m <= length_m + CHECK_BEYOND_M))
        checker_tell(c, d->origin,
                     "%s, open place %zu: the stretch ends at %s, beyond the trace, which is %s long",
                     d->mark, at + 1, checker_length(c, o->to_m, to), checker_length(c, length_m, from));
    if (at > 0 && !(o->from_m >= d->opens[at - 1].to_m))
        checker_tell(c, d->origin,
                     "%s, open place %zu: begins at %s, before the end of the one before, %s; open places "
                     "stand in their order along the trace and do not overlap",
                     d->mark, at + 1, checker_length(c, o->from_m, from),
                     checker_length(c, d->opens[at - 1].to_m, to));
}

/* Trade rule 6: a waterstop is described as a whole or not at all. */
static void check_waterstop(checker *c, const survey_defect *d, double length_m) {
    char depth[UNITS_SHOWN], limit[UNITS_SHOWN];
    double least_m = least_thickness_m(c, d);
    bool deep = d->cutoff_m.known, described = deep || d->n_opens > 0;
    if (d->kind != KIND_JOINT && (d->waterstop != STOP_UNKNOWN || described))
        checker_tell(c, d->origin, "%s: has waterstop, cutoff or open; only a joint has a waterstop",
                     d->mark);
    else if (d->waterstop != STOP_THERE && described)
        checker_tell(c, d->origin, "%s: cutoff or open is given, but waterstop is %s; it must be there",
                     d->mark, survey_waterstop_words[d->waterstop]);
    else if (d->n_opens > 0 && !deep)
        checker_tell(c, d->origin,
                     "%s: open is given, but cutoff is missing, the depth of the waterstop from the dry face",
                     d->mark);
    if (deep && !(d->cutoff_m.v > 0 && d->cutoff_m.v < least_m))
        checker_tell(c, d->origin,
                     "%s: the cutoff %s must be above 0 and below the thickness of the face, %s", d->mark,
                     checker_size(c, d->cutoff_m.v, depth), checker_size(c, least_m, limit));
    if (d->kind != KIND_JOINT) return;
    for (size_t i = 0; i < d->n_opens; i++) check_open(c, d, i, length_m);
}

void checker_defect(checker *c, const survey_defect *d) {
    if (strcmp(d->mark, "site") == 0)
        checker_tell(c, d->origin, "\"site\" cannot be a mark; answers use it for the whole job");
    check_diameter(c, d);
    if (!check_form(c, d)) return;
    for (size_t i = 0; i < d->n_parts; i++) check_points(c, d, i);
    for (size_t i = 0; i + 1 < d->n_parts; i++) check_meeting(c, d, i);
    if (d->kind == KIND_HONEYCOMB) check_ring(c, d);
    double length_m = trace_length_m(d);
    check_stations(c, d, length_m);
    for (size_t i = 0; i < d->n_flows; i++) check_flow(c, d, i, length_m);
    check_waterstop(c, d, length_m);
    checker_gauges(c, d);
    checker_methods(c, d);
}
