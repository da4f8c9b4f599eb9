#include "hydraulics/plane_parts.h"

#include <math.h>
#include <stdlib.h>

static void add(plane_lines *l, arena *memory, double at_m, bool singular) {
    plane_line *longer = l->failed ? NULL : arena_push(memory, l->line, &l->n, sizeof *longer);
    if (!longer) {
        l->failed = true;
        return;
    }
    l->line = longer;
    longer[l->n - 1] = (plane_line){.at_m = at_m, .singular = singular};
}

static void add_ends(plane_lines *l, arena *memory, double from_m, double to_m, bool singular) {
    add(l, memory, from_m, singular);
    add(l, memory, to_m, singular);
}

static int by_place(const void *a, const void *b) {
    double x = ((const plane_line *)a)->at_m, y = ((const plane_line *)b)->at_m;
    return (x > y) - (x < y);
}

/* Sort, drop what lies outside, make near ones one. Nothing singular lies on an end: there the plane goes on
 * as its mirror image, unless the caller says that a joint makes it go on otherwise. */
static void settle(plane_lines *l, double from_m, double to_m, const bool keep_end[2]) {
    if (l->failed) return;
    qsort(l->line, l->n, sizeof *l->line, by_place);
    bool last_singular = false, first_singular = false;
    size_t kept = 1;
    for (size_t i = 0; i < l->n; i++) {
        plane_line at = l->line[i];
        if (fabs(at.at_m - from_m) <= PLANE_SNAP_M) first_singular |= at.singular;
        if (fabs(at.at_m - to_m) <= PLANE_SNAP_M) last_singular |= at.singular;
        if (!(at.at_m > from_m + PLANE_SNAP_M && at.at_m < to_m - PLANE_SNAP_M)) continue;
        if (kept > 1 && at.at_m - l->line[kept - 1].at_m <= PLANE_SNAP_M)
            l->line[kept - 1].singular |= at.singular;
        else
            l->line[kept++] = at;
    }
    l->line[0] = (plane_line){.at_m = from_m, .singular = first_singular && keep_end[0]};
    l->line[kept++] = (plane_line){.at_m = to_m, .singular = last_singular && keep_end[1]};
    l->n = kept;
}

/* Where the water level meets the wet face. */
static void add_level(plane_lines *l, const plane_input *in, size_t panel, arena *memory) {
    const plane_panel *p = &in->panels[panel];
    double level_m = plane_level_m(in, panel);
    for (size_t i = 1; i < p->stations_n; i++) {
        double a = p->stations[i - 1].chainage_m, b = p->stations[i].chainage_m;
        double ha = plane_elevation_m(p, a, p->thickness_m), hb = plane_elevation_m(p, b, p->thickness_m);
        if ((ha < level_m && hb > level_m) || (ha > level_m && hb < level_m))
            add(l, memory, a + (b - a) * ((level_m - ha) / (hb - ha)), true);
    }
}

static bool level_crosses(const plane_input *in, size_t panel, arena *memory) {
    plane_lines l = {0};
    add_level(&l, in, panel, memory);
    return l.n > 0 || l.failed;
}

static void add_questions(plane_lines *l, const plane_input *in, size_t panel, arena *memory) {
    for (size_t i = 0; i < in->report_n; i++)
        if (in->report[i].panel == panel)
            add_ends(l, memory, in->report[i].from_m, in->report[i].to_m, false);
    for (size_t i = 0; i < in->measured_n; i++)
        for (size_t k = 0; k < in->measured[i].on_n; k++) {
            const plane_interval *on = &in->measured[i].on[k];
            if (on->panel == panel) add_ends(l, memory, on->from_m, on->to_m, false);
        }
}

void plane_lines_along(const plane_input *in, const plane_mesh_options *o, size_t panel, arena *memory,
                       plane_lines *out) {
    const plane_panel *p = &in->panels[panel];
    double from_m = p->stations[0].chainage_m, to_m = p->stations[p->stations_n - 1].chainage_m;
    bool joined[2] = {false, false}, cut = !o->uncut;
    *out = (plane_lines){0};
    add_ends(out, memory, from_m, to_m, false); /* settle writes both ends over */
    for (size_t i = 0; i < p->stations_n; i++) add(out, memory, p->stations[i].chainage_m, false);
    for (size_t i = 0; i < p->slots_n; i++) add_ends(out, memory, p->slots[i].from_m, p->slots[i].to_m, cut);
    for (size_t i = 0; i < p->sealed_n; i++)
        add_ends(out, memory, p->sealed[i].from_m, p->sealed[i].to_m, cut);
    for (size_t i = 0; i < p->barriers_n; i++) add(out, memory, p->barriers[i].chainage_m, true);
    for (size_t i = 0; i < p->cutoff_open_n; i++)
        add_ends(out, memory, p->cutoff_open[i].from_m, p->cutoff_open[i].to_m, true);
    for (size_t i = 0; i < in->joins_n; i++) {
        const plane_spot *const spots[] = {&in->joins[i].a, &in->joins[i].b};
        for (size_t k = 0; k < 2; k++) {
            if (spots[k]->panel != panel) continue;
            add(out, memory, spots[k]->chainage_m, false);
            joined[0] |= fabs(spots[k]->chainage_m - from_m) <= PLANE_SNAP_M;
            joined[1] |= fabs(spots[k]->chainage_m - to_m) <= PLANE_SNAP_M;
        }
    }
    for (size_t i = 0; i < in->reliefs_n; i++) {
        const plane_relief *r = &in->reliefs[i];
        double half_m = r->hole_m / 2;
        if (r->at.panel == panel)
            add_ends(out, memory, r->at.chainage_m - half_m, r->at.chainage_m + half_m, cut);
    }
    add_level(out, in, panel, memory);
    add_questions(out, in, panel, memory);
    for (size_t i = 0; i < o->lines_n; i++)
        if (o->lines[i].panel == panel && !o->lines[i].across)
            add(out, memory, o->lines[i].at_m, o->lines[i].singular);
    settle(out, from_m, to_m, joined);
}

/* Does the dry face change from open to sealed somewhere inside the panel, other than at the end of a slot?
 * At a slot's end the two meet at a right angle, where the head is smooth. */
static bool face_changes(const plane_panel *p) {
    double from_m = p->stations[0].chainage_m, to_m = p->stations[p->stations_n - 1].chainage_m;
    for (size_t i = 0; i < p->sealed_n; i++) {
        const double ends[] = {p->sealed[i].from_m, p->sealed[i].to_m};
        for (size_t k = 0; k < 2; k++) {
            bool change = plane_inside(ends[k], from_m, to_m);
            for (size_t q = 0; q < p->slots_n; q++)
                change &= fabs(ends[k] - p->slots[q].from_m) > PLANE_SNAP_M &&
                          fabs(ends[k] - p->slots[q].to_m) > PLANE_SNAP_M;
            if (change) return true;
        }
    }
    return false;
}

static void add_depths(plane_lines *l, const plane_input *in, bool cut, size_t panel, arena *memory) {
    const plane_panel *p = &in->panels[panel];
    add(l, memory, 0, cut && face_changes(p));
    add(l, memory, p->thickness_m, level_crosses(in, panel, memory));
    for (size_t i = 0; i < p->slots_n; i++) add(l, memory, p->slots[i].depth_m, cut);
    for (size_t i = 0; i < p->barriers_n; i++) {
        const plane_barrier *b = &p->barriers[i];
        add(l, memory, b->from_depth_m, b->from_depth_m > PLANE_SNAP_M);
        add(l, memory, b->to_depth_m, b->to_depth_m < p->thickness_m - PLANE_SNAP_M);
    }
    if (p->cutoff_depth_m.known) add(l, memory, p->cutoff_depth_m.v, true);
    for (size_t i = 0; i < in->reliefs_n; i++)
        if (in->reliefs[i].at.panel == panel) add(l, memory, in->reliefs[i].depth_m, cut);
}

void plane_lines_across(const plane_input *in, const plane_mesh_options *o, const size_t *group, size_t panel,
                        arena *memory, plane_lines *out) {
    static const bool both[2] = {true, true};
    double thickest_m = 0;
    *out = (plane_lines){0};
    add_ends(out, memory, 0, in->panels[panel].thickness_m, false); /* settle writes both ends over */
    for (size_t i = 0; i < in->panels_n; i++) {
        if (group[i] != group[panel]) continue;
        thickest_m = fmax(thickest_m, in->panels[i].thickness_m);
        add_depths(out, in, !o->uncut, i, memory);
        for (size_t k = 0; k < o->lines_n; k++)
            if (o->lines[k].panel == i && o->lines[k].across)
                add(out, memory, o->lines[k].at_m, o->lines[k].singular);
    }
    settle(out, 0, thickest_m, both);
}

size_t *plane_groups(const plane_input *in, arena *memory) {
    size_t *group = arena_get(memory, in->panels_n, sizeof *group);
    if (!group) return NULL;
    for (size_t i = 0; i < in->panels_n; i++) group[i] = i;
    for (size_t i = 0; i < in->joins_n; i++) {
        size_t a = group[in->joins[i].a.panel], b = group[in->joins[i].b.panel];
        for (size_t k = 0; k < in->panels_n && a != b; k++)
            if (group[k] == b) group[k] = a;
    }
    return group;
}

/* Elements from a singular line up to the distance d, as a real number. The first is `first_m` long, each
 * further one as long as its distance to the line (so that 1 + log2(d / first_m) of them reach d), up to 2
 * mesh: from d = 2 mesh / ln 2 on they are equal. The density 1/(d ln 2) is that of doubling. */
typedef struct {
    double first_m, full_m, even_from_m;
} grading;

static grading grading_of(double mesh_m, int levels) {
    double full_m = 2 * mesh_m;
    return (grading){ldexp(full_m, -levels), full_m, levels > 0 ? full_m / log(2) : full_m};
}

static double elements_to(const grading *g, double d_m) {
    if (d_m <= g->first_m) return d_m / g->first_m;
    double near_m = fmin(d_m, g->even_from_m);
    return 1 + log2(near_m / g->first_m) + (d_m - near_m) / g->full_m;
}

static double distance_of(const grading *g, double elements) {
    if (elements <= 1) return elements * g->first_m;
    double even_from = elements_to(g, g->even_from_m);
    if (elements <= even_from) return g->first_m * exp2(elements - 1);
    return g->even_from_m + (elements - even_from) * g->full_m;
}

/* The way between two neighbouring lines: its singular lines left and right (+-HUGE_VAL: none), and the place
 * half-way between them, where the nearer one changes. */
typedef struct {
    double from_m, to_m, left_m, right_m, middle_m;
} way;

static way way_of(const plane_lines *l, size_t i) {
    way w = {l->line[i].at_m, l->line[i + 1].at_m, -HUGE_VAL, HUGE_VAL, 0};
    for (size_t k = i + 1; k-- > 0 && w.left_m == -HUGE_VAL;)
        if (l->line[k].singular) w.left_m = l->line[k].at_m;
    for (size_t k = i + 1; k < l->n && w.right_m == HUGE_VAL; k++)
        if (l->line[k].singular) w.right_m = l->line[k].at_m;
    w.middle_m = w.left_m == -HUGE_VAL   ? (w.right_m == HUGE_VAL ? w.to_m : w.from_m)
                 : w.right_m == HUGE_VAL ? w.to_m
                                         : (w.left_m + w.right_m) / 2;
    w.middle_m = fmin(fmax(w.middle_m, w.from_m), w.to_m);
    return w;
}

/* Elements (as a real number) in the part of a way before and after its middle. */
static double before_middle(const way *w, const grading *g) {
    if (w->left_m == -HUGE_VAL) return (w->middle_m - w->from_m) / g->full_m;
    return elements_to(g, w->middle_m - w->left_m) - elements_to(g, w->from_m - w->left_m);
}

static double after_middle(const way *w, const grading *g) {
    if (w->right_m == HUGE_VAL) return (w->to_m - w->middle_m) / g->full_m;
    return elements_to(g, w->right_m - w->middle_m) - elements_to(g, w->right_m - w->to_m);
}

static double whole_count(double elements) {
    return fmax(1, ceil(elements - 1e-6));
}

double plane_lines_count(const plane_lines *l, double mesh_m, int levels) {
    grading g = grading_of(mesh_m, levels);
    double count = 0;
    for (size_t i = 0; i + 1 < l->n; i++) {
        way w = way_of(l, i);
        count += whole_count(before_middle(&w, &g) + after_middle(&w, &g));
    }
    return count;
}

/* The place in a way that has `at` elements before it. */
static double place_in(const way *w, const grading *g, double at) {
    double before = before_middle(w, g);
    if (at <= before) {
        if (w->left_m == -HUGE_VAL) return w->from_m + at * g->full_m;
        return w->left_m + distance_of(g, elements_to(g, w->from_m - w->left_m) + at);
    }
    if (w->right_m == HUGE_VAL) return w->middle_m + (at - before) * g->full_m;
    return w->right_m - distance_of(g, elements_to(g, w->right_m - w->middle_m) - (at - before));
}

double *plane_lines_divide(const plane_lines *l, double mesh_m, int levels, int *elements, arena *memory) {
    grading g = grading_of(mesh_m, levels);
    int total = (int)plane_lines_count(l, mesh_m, levels), at = 0;
    double *places = arena_get(memory, (size_t)total + 1, sizeof *places);
    if (!places) return NULL;
    for (size_t i = 0; i + 1 < l->n; i++) {
        way w = way_of(l, i);
        double real = before_middle(&w, &g) + after_middle(&w, &g);
        int count = (int)whole_count(real);
        places[at++] = w.from_m;
        for (int k = 1; k < count; k++) places[at++] = place_in(&w, &g, real * k / count);
    }
    places[at] = l->line[l->n - 1].at_m;
    *elements = total;
    return places;
}
