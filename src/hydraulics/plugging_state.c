#include "hydraulics/plugging_parts.h"
#include "sparse/dense.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

enum { PASSES = 100, FREE_PASSES = 30 };
/* As in plane_state.c: a side closes when it would take in more than this part of all the water, and opens
 * above this pressure head. */
#define CLOSE_AT 1e-10
#define OPEN_ABOVE_M 1e-9

/* Where a column of a kept_n x kept_n sheet begins. */
static size_t column(int n, int j) {
    return (size_t)j * (size_t)n;
}

static status allocate(plugging_state *s, arena *memory, fault *why) {
    size_t n = (size_t)s->m->kept_n, sides = s->m->mesh->sides_n, tubes = s->tubes.reliefs_n;
    s->tube_wet = arena_get(memory, tubes, sizeof *s->tube_wet);
    s->tube_runs = arena_get(memory, tubes, sizeof *s->tube_runs);
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
    bool good = s->tube_wet && s->tube_runs && s->rise_m && s->tube_m3_s && s->base && s->coupling &&
                s->unit && s->part && s->active && s->closed && s->held && s->head_m && s->leaves_m3_s &&
                s->share_m && s->work && s->product && s->before_m && s->order && s->place && s->lower;
    return good ? OK : fault_memory(why);
}

/* Sides within a draining hole are gone with it. */
static void name_parts(plugging_state *s) {
    const plane_mesh *mesh = s->m->mesh;
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
    }
}

static bool may_leak(const plugging_state *s, size_t side) {
    int part = s->part[side];
    bool open = part == SIDE_DRY || (part >= 0 && !s->closed[part]);
    return open && s->m->index[s->m->mesh->sides[side].dof[1]] >= 0;
}

/* To begin with water may leave wherever the highest level stands above, as in plane_state.c. */
static void open_sides(plugging_state *s) {
    const plane_mesh *mesh = s->m->mesh;
    double level_m = -HUGE_VAL;
    for (size_t p = 0; p < s->tubes.panels_n; p++) level_m = fmax(level_m, plane_level_m(&s->tubes, p));
    for (size_t i = 0; i < mesh->sides_n; i++)
        s->active[i] = may_leak(s, i) && plane_side_level_m(mesh, &mesh->sides[i], 1) < level_m;
}

/* The nodes of each draining hole are held at one head. */
static void start_tubes(plugging_state *s) {
    for (size_t r = 0; r < s->tubes.reliefs_n; r++) {
        const int *hole = s->m->hole[s->number[r]];
        size_t n = s->m->hole_n[s->number[r]];
        s->tube_wet[r] = n > 0;
        for (size_t k = 0; k < n; k++) {
            s->held[hole[k]] = HELD_TUBE;
            s->head_m[hole[k]] = plane_outlet_m(&s->tubes, r);
        }
    }
}

/* A head changes: so does A h. */
static void set_head(plugging_state *s, int at, double head_m) {
    const double *from = s->m->stiffness + column(s->m->kept_n, at);
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

/* The factor ends before the first unknown that is no longer free; those behind it come in again. */
static void cut_factor(plugging_state *s) {
    int kept = 0;
    while (kept < s->free_n && s->held[s->order[kept]] == HELD_FREE) kept++;
    for (int i = kept; i < s->free_n; i++) s->place[s->order[i]] = -1;
    s->free_n = kept;
}

/* The factor follows the free unknowns. Those that are free whatever water does come first and stay: they only
 * grow from step to step. Behind them stand those under dry sides, which are few. */
static status follow(plugging_state *s, fault *why) {
    int n = s->m->kept_n, old;
    cut_factor(s);
    old = s->free_n;
    for (int i = 0; i < n; i++)
        if (s->held[i] == HELD_FREE && s->place[i] < 0) {
            s->place[i] = s->free_n;
            s->order[s->free_n++] = i;
        }
    for (int j = 0; j < s->free_n; j++) {
        const double *from = s->m->stiffness + column(n, s->order[j]);
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

/* What leaves at the nodes of a draining hole by these heads, m3/s at the flow factor; with the load or without. */
static double given_m3_s(const plugging_state *s, size_t tube, const double *head_m, bool loaded) {
    const int *hole = s->m->hole[s->number[tube]];
    double sum = 0;
    for (size_t k = 0; k < s->m->hole_n[s->number[tube]]; k++) {
        const double *row = s->m->stiffness + column(s->m->kept_n, hole[k]);
        if (loaded) sum += s->m->load[hole[k]];
        for (int i = 0; i < s->m->kept_n; i++) sum -= row[i] * head_m[i];
    }
    return s->m->flow_factor * sum;
}

/* Heads for one metre at a draining hole, all else held at 0. */
static void unit_response(plugging_state *s, size_t tube, double *unit) {
    const int *hole = s->m->hole[s->number[tube]];
    size_t hole_n = s->m->hole_n[s->number[tube]];
    memset(unit, 0, (size_t)s->m->kept_n * sizeof *unit);
    for (size_t k = 0; k < hole_n; k++) {
        const double *row = s->m->stiffness + column(s->m->kept_n, hole[k]);
        for (int i = 0; i < s->m->kept_n; i++)
            if (s->held[i] == HELD_FREE) unit[i] -= row[i];
    }
    solve_free(s, unit);
    for (size_t k = 0; k < hole_n; k++) unit[hole[k]] = 1;
}

/* What the holes get with all tube heads at their outlets, and less for each metre that one of them rises. */
static void tube_responses(plugging_state *s) {
    size_t tubes = s->tubes.reliefs_n;
    for (size_t q = 0; q < tubes; q++) {
        double *unit = s->unit + q * (size_t)s->m->kept_n;
        if (!s->tube_wet[q]) continue;
        unit_response(s, q, unit);
        for (size_t r = 0; r < tubes; r++)
            if (s->tube_wet[r]) s->coupling[r * tubes + q] = -given_m3_s(s, r, unit, false);
    }
    for (size_t r = 0; r < tubes; r++) {
        if (!s->tube_wet[r]) continue;
        s->base[r] = given_m3_s(s, r, s->head_m, true);
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
    for (int i = 0; i < n; i++) b[i] = s->m->load[i] - s->product[i];
    solve_free(s, b);
    for (int i = 0; i < s->free_n; i++) s->head_m[s->order[i]] += b[s->order[i]];
    if (s->tubes.reliefs_n > 0) code = balance_tubes(s, why);
    if (code != OK) return code;
    dense_multiply(s->m->stiffness, n, n, s->head_m, s->product);
    for (int i = 0; i < n; i++) {
        bool out = s->held[i] == HELD_AIR || s->held[i] == HELD_TUBE;
        s->leaves_m3_s[i] = out ? s->m->flow_factor * (s->m->load[i] - s->product[i]) : 0;
    }
    for (size_t r = 0; r < s->tubes.reliefs_n; r++) {
        const int *hole = s->m->hole[s->number[r]];
        s->tube_m3_s[r] = 0;
        for (size_t k = 0; k < s->m->hole_n[s->number[r]]; k++) {
            if (!s->tube_runs[r]) s->leaves_m3_s[hole[k]] = 0; /* in sum it is rounding */
            s->tube_m3_s[r] += s->leaves_m3_s[hole[k]];
        }
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
        if (!may_leak(s, i)) continue;
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
    open_sides(s);
    for (int pass = 0; pass < PASSES && s->m->kept_n > 0; pass++) {
        seen[pass] = fingerprint(s);
        for (int i = 0; i < pass; i++) only_close |= seen[i] == seen[pass];
        only_close |= pass >= FREE_PASSES;
        status code = plane_stopped(s->m->plane->stop, why);
        if (code == OK) code = solve_pass(s, why);
        if (code != OK) return code;
        if (change_sides(s, only_close) == 0) return OK;
    }
    s->unsettled |= s->m->kept_n > 0;
    return OK;
}

status plugging_state_new(const plugging_model *m, const plugging_start *from, arena *memory,
                          plugging_state **out, fault *why) {
    plugging_state *s = arena_get(memory, 1, sizeof *s);
    plane_relief *reliefs = arena_get(memory, from->reliefs_n, sizeof *reliefs);
    *out = s;
    if (!s || !reliefs) return fault_memory(why);
    s->m = m;
    s->number = from->number;
    for (size_t r = 0; r < from->reliefs_n; r++) reliefs[r] = m->reliefs[from->number[r]];
    s->tubes = *m->plane;
    s->tubes.reliefs = reliefs;
    s->tubes.reliefs_n = from->reliefs_n;
    status code = allocate(s, memory, why);
    if (code != OK) return code;
    if (from->closed) memcpy(s->closed, from->closed, m->cut.n * sizeof *from->closed);
    for (int i = 0; i < m->kept_n; i++) s->place[i] = -1;
    start_tubes(s);
    name_parts(s);
    dense_multiply(s->m->stiffness, m->kept_n, m->kept_n, s->head_m, s->product);
    return settle(s, why);
}

status plugging_state_close(plugging_state *s, size_t segment, fault *why) {
    s->closed[segment] = true;
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
            if (at < 0 || s->held[at] == HELD_TUBE) continue;
            most_m = fmax(most_m, s->head_m[at] - plane_side_level_m(mesh, &mesh->sides[i], k));
        }
    }
    return most_m;
}
