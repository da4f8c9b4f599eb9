#include "hydraulics/plugging_parts.h"
#include "sparse/dense.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

enum { PASSES = 100, FREE_PASSES = 30, MANY_DROPS = 8 };
/* As in plane_state.c: a side closes when it would take in more than this part of all the water, and opens
 * above this pressure head. */
#define CLOSE_AT 1e-10
#define OPEN_ABOVE_M 1e-9

/* Where a column of a kept_n x kept_n sheet begins. */
static size_t column(int n, int j) {
    return (size_t)j * (size_t)n;
}

/* A copy of the model's equations with each draining hole one unknown: rows and columns of its nodes are
 * summed into the first. */
static status tie_holes(plugging_state *s, arena *memory, fault *why) {
    int n = s->m->kept_n;
    double *a = arena_get(memory, (size_t)n * sizeof *a, (size_t)n),
           *load = arena_get(memory, (size_t)n, sizeof *load);
    if (!a || !load) return fault_memory(why);
    memcpy(a, s->m->stiffness, (size_t)n * (size_t)n * sizeof *a);
    memcpy(load, s->m->load, (size_t)n * sizeof *load);
    for (size_t r = 0; r < s->tubes.reliefs_n; r++) {
        const int *hole = s->m->hole[s->number[r]];
        size_t hole_n = s->m->hole_n[s->number[r]];
        for (size_t k = 1; k < hole_n; k++) { /* columns, then rows: each entry ends where both ends went */
            double *to = a + column(n, hole[0]), *from = a + column(n, hole[k]);
            for (int i = 0; i < n; i++) to[i] += from[i], from[i] = 0;
            load[hole[0]] += load[hole[k]];
        }
        for (int j = 0; j < n; j++)
            for (size_t k = 1; k < hole_n; k++) {
                double *at = a + column(n, j);
                at[hole[0]] += at[hole[k]];
                at[hole[k]] = 0;
            }
    }
    s->stiffness = a;
    s->load = load;
    return OK;
}

static status allocate(plugging_state *s, arena *memory, fault *why) {
    size_t n = (size_t)s->m->kept_n, sides = s->m->mesh->sides_n, tubes = s->tubes.reliefs_n;
    s->tube_wet = arena_get(memory, tubes, sizeof *s->tube_wet);
    s->tube_runs = arena_get(memory, tubes, sizeof *s->tube_runs);
    s->tube_row = arena_get(memory, tubes, sizeof *s->tube_row);
    s->rise_m = arena_get(memory, tubes, sizeof *s->rise_m);
    s->tube_m3_s = arena_get(memory, tubes, sizeof *s->tube_m3_s);
    s->base = arena_get(memory, tubes, sizeof *s->base);
    s->coupling = arena_get(memory, tubes, tubes * sizeof *s->coupling);
    s->unit = arena_get(memory, n, tubes * sizeof *s->unit);
    s->part = arena_get(memory, sides, sizeof *s->part);
    s->active = arena_get(memory, sides, sizeof *s->active);
    s->closed = arena_get(memory, s->m->cut.n, sizeof *s->closed);
    s->held = arena_get(memory, n, sizeof *s->held);
    s->head_m = arena_get(memory, n, sizeof *s->head_m);
    s->leaves_m3_s = arena_get(memory, n, sizeof *s->leaves_m3_s);
    s->share_m = arena_get(memory, n, sizeof *s->share_m);
    s->work = arena_get(memory, n, sizeof *s->work);
    s->product = arena_get(memory, n, sizeof *s->product);
    s->before_m = arena_get(memory, tubes, sizeof *s->before_m);
    s->order = arena_get(memory, n, sizeof *s->order);
    s->place = arena_get(memory, n, sizeof *s->place);
    s->lower = arena_get(memory, n * sizeof *s->lower, n);
    bool good = s->tube_wet && s->tube_runs && s->tube_row && s->rise_m && s->tube_m3_s && s->base &&
                s->coupling && s->unit && s->part && s->active && s->closed && s->held && s->head_m &&
                s->leaves_m3_s && s->share_m && s->work && s->product && s->before_m && s->order &&
                s->place && s->lower;
    return good ? OK : fault_memory(why);
}

/* Sides within a draining hole are gone with it; the others may leak where the level stands above them. */
static void open_sides(plugging_state *s) {
    const plane_mesh *mesh = s->m->mesh;
    double level_m = -HUGE_VAL;
    for (size_t p = 0; p < s->tubes.panels_n; p++) level_m = fmax(level_m, plane_level_m(&s->tubes, p));
    for (size_t i = 0; i < mesh->sides_n; i++) {
        const plane_side *side = &mesh->sides[i];
        s->part[i] = s->m->part_of_side[i];
        for (size_t r = 0; r < s->tubes.reliefs_n; r++) {
            const plane_relief *hole = &s->tubes.reliefs[r];
            if (side->panel == hole->at.panel &&
                plane_inside(side->column_m, hole->at.chainage_m - hole->hole_m / 2,
                             hole->at.chainage_m + hole->hole_m / 2))
                s->part[i] = SIDE_OTHER;
        }
        bool open = s->part[i] == SIDE_DRY || (s->part[i] >= 0 && !s->closed[s->part[i]]);
        s->active[i] = open && s->m->index[side->dof[1]] >= 0 && plane_side_level_m(mesh, side, 1) < level_m;
    }
}

static void start_tubes(plugging_state *s) {
    for (size_t r = 0; r < s->tubes.reliefs_n; r++) {
        const int *hole = s->m->hole[s->number[r]];
        size_t n = s->m->hole_n[s->number[r]];
        s->tube_wet[r] = n > 0;
        for (size_t k = 0; k < n; k++) s->held[hole[k]] = k == 0 ? HELD_TUBE : HELD_GONE;
        s->tube_row[r] = n > 0 ? hole[0] : -1;
        if (n > 0) s->head_m[hole[0]] = plane_outlet_m(&s->tubes, r);
    }
}

/* A head changes: so does A h. */
static void set_head(plugging_state *s, int at, double head_m) {
    const double *from = s->stiffness + column(s->m->kept_n, at);
    double change_m = head_m - s->head_m[at];
    s->head_m[at] = head_m;
    for (int i = 0; i < s->m->kept_n && change_m != 0; i++) s->product[i] += change_m * from[i];
}

/* Nodes of active sides are held at their elevation. */
static void hold_air(plugging_state *s) {
    const plane_mesh *mesh = s->m->mesh;
    for (int i = 0; i < s->m->kept_n; i++) {
        if (s->held[i] == HELD_AIR) s->held[i] = HELD_FREE;
        s->share_m[i] = 0;
    }
    for (size_t i = 0; i < mesh->sides_n; i++) {
        for (int k = 0; k < 3 && s->active[i]; k++) {
            int at = s->m->index[mesh->sides[i].dof[k]];
            if (at < 0) continue;
            s->share_m[at] += mesh->sides[i].length_m;
            if (s->held[at] != HELD_FREE) continue;
            s->held[at] = HELD_AIR;
            set_head(s, at, plane_side_level_m(mesh, &mesh->sides[i], k));
        }
    }
}

static int remove_free(plugging_state *s, int at) {
    int n = s->free_n--;
    s->place[s->order[at]] = -1;
    for (int i = at; i < s->free_n; i++) {
        s->order[i] = s->order[i + 1];
        s->place[s->order[i]] = i;
    }
    return n;
}

/* Unknowns that are no longer free leave the factor; when they are many it is made anew. */
static void drop_held(plugging_state *s) {
    int drops = 0;
    for (int i = 0; i < s->free_n; i++) drops += s->held[s->order[i]] != HELD_FREE;
    bool anew = drops > MANY_DROPS;
    for (int i = s->free_n; i-- > 0;) {
        if (s->held[s->order[i]] == HELD_FREE) continue;
        int before = remove_free(s, i);
        if (!anew) dense_drop(s->lower, before, s->m->kept_n, i);
    }
    if (!anew) return;
    for (int i = 0; i < s->free_n; i++) s->place[s->order[i]] = -1;
    s->free_n = 0;
}

/* The factor follows the free unknowns. */
static status follow(plugging_state *s, fault *why) {
    int n = s->m->kept_n, old;
    drop_held(s);
    old = s->free_n;
    for (int i = 0; i < n; i++)
        if (s->held[i] == HELD_FREE && s->place[i] < 0) {
            s->place[i] = s->free_n;
            s->order[s->free_n++] = i;
        }
    for (int j = 0; j < s->free_n; j++) {
        const double *from = s->stiffness + column(n, s->order[j]);
        double *to = s->lower + column(n, j);
        for (int i = old > j ? old : j; i < s->free_n; i++) to[i] = from[s->order[i]];
    }
    return dense_grow_rows(s->lower, old, s->free_n - old, n, why);
}

/* b, over all unknowns, becomes A_FF^-1 b_F on the free ones; the others are left alone. */
static void solve_free(plugging_state *s, double *b) {
    double *work = s->work;
    for (int i = 0; i < s->free_n; i++) work[i] = b[s->order[i]];
    dense_solve(s->lower, s->free_n, s->m->kept_n, work);
    for (int i = 0; i < s->free_n; i++) b[s->order[i]] = work[i];
}

/* What the plane gives to a draining hole at the heads as they are. */
static double given_m3_s(const plugging_state *s, size_t tube, const double *head_m, double load) {
    const double *row = s->stiffness + column(s->m->kept_n, s->tube_row[tube]);
    double sum = load;
    for (int i = 0; i < s->m->kept_n; i++) sum -= row[i] * head_m[i];
    return s->m->flow_factor * sum;
}

/* What the holes get with all tube heads at their outlets, and less for each metre that one of them rises. */
static void tube_responses(plugging_state *s) {
    int n = s->m->kept_n;
    size_t tubes = s->tubes.reliefs_n;
    for (size_t q = 0; q < tubes; q++) {
        if (!s->tube_wet[q]) continue;
        double *unit = s->unit + q * (size_t)n;
        const double *row = s->stiffness + column(n, s->tube_row[q]);
        for (int i = 0; i < n; i++) unit[i] = s->held[i] == HELD_FREE ? -row[i] : 0;
        solve_free(s, unit);
        unit[s->tube_row[q]] = 1;
        for (size_t r = 0; r < tubes; r++)
            if (s->tube_wet[r]) s->coupling[r * tubes + q] = -given_m3_s(s, r, unit, 0);
    }
    for (size_t r = 0; r < tubes; r++) {
        if (!s->tube_wet[r]) continue;
        s->base[r] = given_m3_s(s, r, s->head_m, s->load[s->tube_row[r]]);
        for (size_t q = 0; q < tubes; q++)
            if (s->tube_wet[q]) s->base[r] += s->coupling[r * tubes + q] * s->rise_m[q];
    }
}

static status balance_tubes(plugging_state *s, fault *why) {
    int n = s->m->kept_n;
    size_t tubes = s->tubes.reliefs_n;
    tube_responses(s);
    memcpy(s->before_m, s->rise_m, tubes * sizeof *s->before_m);
    status code =
        plane_reliefs_balance(&s->tubes, s->tube_wet, s->base, s->coupling, s->rise_m, s->tube_runs, why);
    for (size_t r = 0; r < tubes && code == OK; r++) {
        const double *unit = s->unit + r * (size_t)n;
        for (int i = 0; i < n && s->tube_wet[r]; i++)
            s->head_m[i] += (s->rise_m[r] - s->before_m[r]) * unit[i];
    }
    return code;
}

/* The heads as they are, right at the held unknowns, are corrected at the free ones: A_FF d = (load - A h)_F.
 */
static status solve_pass(plugging_state *s, fault *why) {
    int n = s->m->kept_n;
    double *b = s->leaves_m3_s; /* not in use until the flows are found */
    hold_air(s);
    status code = follow(s, why);
    if (code != OK) return code;
    for (int i = 0; i < n; i++) b[i] = s->load[i] - s->product[i];
    solve_free(s, b);
    for (int i = 0; i < s->free_n; i++) s->head_m[s->order[i]] += b[s->order[i]];
    if (s->tubes.reliefs_n > 0) code = balance_tubes(s, why);
    if (code != OK) return code;
    dense_multiply(s->stiffness, n, n, s->head_m, s->product);
    for (int i = 0; i < n; i++) {
        bool out = s->held[i] == HELD_AIR || s->held[i] == HELD_TUBE;
        s->leaves_m3_s[i] = out ? s->m->flow_factor * (s->load[i] - s->product[i]) : 0;
    }
    for (size_t r = 0; r < s->tubes.reliefs_n; r++) {
        if (!s->tube_wet[r]) continue;
        if (!s->tube_runs[r]) s->leaves_m3_s[s->tube_row[r]] = 0; /* rounding */
        s->tube_m3_s[r] = s->leaves_m3_s[s->tube_row[r]];
    }
    return OK;
}

double plugging_state_side_m3_s(const plugging_state *s, size_t side) {
    const plane_side *at = &s->m->mesh->sides[side];
    double flow = 0;
    if (!s->active[side]) return 0;
    for (int k = 0; k < 3; k++) {
        int i = s->m->index[at->dof[k]];
        if (i >= 0 && s->held[i] == HELD_AIR) flow += s->leaves_m3_s[i] * at->length_m / s->share_m[i];
    }
    return flow;
}

/* Close sides that would take water in; open, unless `only_close`, those under pressure. */
static size_t change_sides(plugging_state *s, bool only_close) {
    const plane_mesh *mesh = s->m->mesh;
    double all = plugging_state_total_m3_s(s);
    size_t changed = 0;
    for (size_t i = 0; i < mesh->sides_n; i++) {
        const plane_side *side = &mesh->sides[i];
        int middle = s->m->index[side->dof[1]];
        bool open = s->part[i] == SIDE_DRY || (s->part[i] >= 0 && !s->closed[s->part[i]]);
        if (!open || middle < 0) continue;
        bool change = s->active[i] ? !(plugging_state_side_m3_s(s, i) >= -CLOSE_AT * all)
                                   : !only_close &&
                                         s->head_m[middle] - plane_side_level_m(mesh, side, 1) > OPEN_ABOVE_M;
        if (!change) continue;
        s->active[i] = !s->active[i];
        changed++;
    }
    return changed;
}

/* Which sides are active, as one number (FNV-1a). */
static uint64_t fingerprint(const plugging_state *s) {
    uint64_t hash = 14695981039346656037u;
    for (size_t i = 0; i < s->m->mesh->sides_n; i++) hash = (hash ^ s->active[i]) * 1099511628211u;
    return hash;
}

static status settle(plugging_state *s, fault *why) {
    uint64_t seen[PASSES];
    bool only_close = false;
    for (int pass = 0; pass < PASSES && s->m->kept_n > 0; pass++) {
        seen[pass] = fingerprint(s);
        for (int i = 0; i < pass; i++) only_close |= seen[i] == seen[pass];
        only_close |= pass >= FREE_PASSES;
        status code = solve_pass(s, why);
        if (code != OK) return code;
        if (change_sides(s, only_close) == 0) return OK;
    }
    s->unsettled |= s->m->kept_n > 0;
    return OK;
}

status plugging_state_new(const plugging_model *m, const size_t *number, size_t reliefs_n, const bool *closed,
                          arena *memory, plugging_state **out, fault *why) {
    plugging_state *s = arena_get(memory, 1, sizeof *s);
    plane_relief *reliefs = arena_get(memory, reliefs_n, sizeof *reliefs);
    *out = s;
    if (!s || !reliefs) return fault_memory(why);
    s->m = m;
    s->number = number;
    s->stiffness = m->stiffness;
    s->load = m->load;
    for (size_t r = 0; r < reliefs_n; r++) reliefs[r] = m->reliefs[number[r]];
    s->tubes = *m->plane;
    s->tubes.reliefs = reliefs;
    s->tubes.reliefs_n = reliefs_n;
    status code = allocate(s, memory, why);
    if (code == OK && reliefs_n > 0 && m->kept_n > 0) code = tie_holes(s, memory, why);
    if (code != OK) return code;
    if (closed) memcpy(s->closed, closed, m->cut.n * sizeof *closed);
    for (int i = 0; i < m->kept_n; i++) s->place[i] = -1;
    start_tubes(s);
    open_sides(s);
    dense_multiply(s->stiffness, m->kept_n, m->kept_n, s->head_m, s->product);
    return settle(s, why);
}

status plugging_state_close(plugging_state *s, size_t segment, fault *why) {
    s->closed[segment] = true;
    for (size_t i = 0; i < s->m->mesh->sides_n; i++)
        if (s->part[i] == (int)segment) s->active[i] = false;
    return settle(s, why);
}

void plugging_state_flows(const plugging_state *s, double *flow_m3_s) {
    for (size_t i = 0; i < s->m->cut.n; i++) flow_m3_s[i] = 0;
    for (size_t i = 0; i < s->m->mesh->sides_n; i++)
        if (s->part[i] >= 0) flow_m3_s[s->part[i]] += plugging_state_side_m3_s(s, i);
}

status plugging_state_close_face(plugging_state *s, double past_m, fault *why) {
    for (size_t i = 0; i < s->m->mesh->sides_n; i++) {
        const plane_side *side = &s->m->mesh->sides[i];
        const plane_panel *p = &s->tubes.panels[side->panel];
        for (size_t k = 0; k < p->slots_n && s->part[i] == SIDE_DRY; k++) {
            bool near =
                side->column_m > p->slots[k].from_m - past_m && side->column_m < p->slots[k].to_m + past_m;
            if (near) s->part[i] = SIDE_OTHER;
        }
        s->active[i] = s->active[i] && s->part[i] != SIDE_OTHER;
    }
    return settle(s, why);
}

double plugging_state_total_m3_s(const plugging_state *s) {
    double total = 0;
    for (int i = 0; i < s->m->kept_n; i++) total += s->leaves_m3_s[i];
    return total;
}

double plugging_state_back_head_m(const plugging_state *s, int segment) {
    const plane_mesh *mesh = s->m->mesh;
    double most_m = 0;
    for (size_t i = 0; i < mesh->sides_n; i++) {
        int part = s->part[i];
        bool plug = segment >= 0 ? part == segment : part == SIDE_SEALED || (part >= 0 && s->closed[part]);
        for (int k = 0; k < 3 && plug; k++) {
            int at = s->m->index[mesh->sides[i].dof[k]];
            if (at < 0 || s->held[at] == HELD_GONE || s->held[at] == HELD_TUBE) continue;
            most_m = fmax(most_m, s->head_m[at] - plane_side_level_m(mesh, &mesh->sides[i], k));
        }
    }
    return most_m;
}
