#include "hydraulics/plane_parts.h"

#include <math.h>
#include <string.h>

enum { PASSES = 100, REOPENED = 1 }; /* of the outflow iteration; how often a side may be opened again */
/* A side closes when it would take in more than this part of all the water; one opens above this pressure
 * head. Both far above rounding, far below what is asked of a result (our choice). */
#define CLOSE_AT 1e-10
#define OPEN_ABOVE_M 1e-9
/* A side that swings is shut for good: within it the outflow ends, and either answer is right to the mesh.
 * One under more pressure than this part of its own rise is told of (our choice). */
#define SWINGS_WITHIN 0.1

/* Scratch of one solution. */
typedef struct {
    int *equation;
    bool *wanted;
    double *load, *unit; /* unit: one right-hand side for each relief */
    double *base, *coupling;
    bool *relief_wet;
    unsigned char *reopened; /* of each side: how often */
    bool *takes_in;          /* of each side */
} work;

double plane_side_level_m(const plane_mesh *m, const plane_side *side, int node) {
    return plane_elevation_m(&m->in->panels[side->panel], side->x_m[node], side->depth_m[node]);
}

static double highest_level_m(const plane_input *in) {
    double level_m = -HUGE_VAL;
    for (size_t p = 0; p < in->panels_n; p++) level_m = fmax(level_m, plane_level_m(in, p));
    return level_m;
}

static status allocate(plane_state *s, work *w, arena *memory, fault *why) {
    size_t dofs = (size_t)s->mesh->dofs, sides = s->mesh->sides_n, n = s->in->reliefs_n;
    s->held = arena_get(memory, dofs, sizeof *s->held);
    s->head_m = arena_get(memory, dofs, sizeof *s->head_m);
    s->reached = arena_get(memory, dofs, sizeof *s->reached);
    s->active = arena_get(memory, sides, sizeof *s->active);
    s->leaves_m3_s = arena_get(memory, dofs, sizeof *s->leaves_m3_s);
    s->share_m = arena_get(memory, dofs, sizeof *s->share_m);
    s->relief_rise_m = arena_get(memory, n, sizeof *s->relief_rise_m);
    s->relief_runs = arena_get(memory, n, sizeof *s->relief_runs);
    w->equation = arena_get(memory, dofs, sizeof *w->equation);
    w->reopened = arena_get(memory, sides, sizeof *w->reopened);
    w->takes_in = arena_get(memory, sides, sizeof *w->takes_in);
    w->wanted = arena_get(memory, dofs, sizeof *w->wanted);
    w->load = arena_get(memory, dofs, sizeof *w->load);
    w->unit = arena_get(memory, n, dofs * sizeof *w->unit);
    w->base = arena_get(memory, n, sizeof *w->base);
    w->coupling = arena_get(memory, n, n * sizeof *w->coupling);
    w->relief_wet = arena_get(memory, n, sizeof *w->relief_wet);
    bool good = s->held && s->head_m && s->reached && s->active && s->leaves_m3_s && s->share_m &&
                s->relief_rise_m && s->relief_runs && w->equation && w->reopened && w->takes_in &&
                w->wanted && w->load && w->unit && w->base && w->coupling && w->relief_wet;
    return good ? OK : fault_memory(why);
}

/* Wet face below the level: held at the level; where panels with different levels meet the higher one counts.
 */
static void hold_wet(plane_state *s) {
    for (size_t i = 0; i < s->mesh->sides_n; i++) {
        const plane_side *side = &s->mesh->sides[i];
        double level_m = plane_level_m(s->in, side->panel);
        if (side->kind != PLANE_WET || !(plane_side_level_m(s->mesh, side, 1) < level_m)) continue;
        for (int k = 0; k < 3; k++) {
            int dof = side->dof[k];
            s->head_m[dof] = s->held[dof] == STATE_WET ? fmax(s->head_m[dof], level_m) : level_m;
            s->held[dof] = STATE_WET;
        }
    }
}

/* To begin with water may leave wherever the level stands above; higher up it never could. */
static void open_sides(plane_state *s) {
    double level_m = highest_level_m(s->in);
    for (size_t i = 0; i < s->mesh->sides_n; i++) {
        const plane_side *side = &s->mesh->sides[i];
        s->active[i] = side->kind != PLANE_WET && !side->sealed && s->reached[side->dof[1]] &&
                       plane_side_level_m(s->mesh, side, 1) < level_m;
    }
}

static status start(plane_state *s, work *w, fault *why) {
    hold_wet(s);
    for (int i = 0; i < s->mesh->dofs; i++) w->wanted[i] = s->held[i] == STATE_WET;
    status code = plane_reach(s->mesh, w->wanted, s->reached, why);
    for (int i = 0; i < s->mesh->dofs; i++)
        if (!s->reached[i]) s->held[i] = STATE_FREE, s->head_m[i] = 0;
    for (size_t r = 0; r < s->in->reliefs_n; r++) {
        int dof = s->mesh->relief_dof[r];
        w->relief_wet[r] = dof >= 0 && s->reached[dof];
        if (!w->relief_wet[r]) continue;
        s->held[dof] = STATE_RELIEF;
        s->head_m[dof] = plane_outlet_m(s->in, r);
    }
    open_sides(s);
    return code;
}

/* Nodes of active sides are held at their elevation; what is left is numbered. */
static void hold_air(plane_state *s, work *w) {
    const plane_mesh *m = s->mesh;
    int next = 0;
    for (int i = 0; i < m->dofs; i++) {
        if (s->held[i] == STATE_AIR) s->held[i] = STATE_FREE;
        s->share_m[i] = 0;
    }
    for (size_t i = 0; i < m->sides_n; i++) {
        if (!s->active[i]) continue;
        for (int k = 0; k < 3; k++) {
            int dof = m->sides[i].dof[k];
            s->share_m[dof] += m->sides[i].length_m;
            if (s->held[dof] != STATE_FREE) continue;
            s->held[dof] = STATE_AIR;
            s->head_m[dof] = plane_side_level_m(m, &m->sides[i], k);
        }
    }
    for (int i = 0; i < m->dofs; i++) {
        w->equation[i] = s->reached[i] && s->held[i] == STATE_FREE ? next++ : -1;
        w->wanted[i] = s->reached[i] && s->held[i] != STATE_FREE;
    }
    s->unknowns = (size_t)next;
}

/* base + sum of rise times unit response, on the unknowns and on the reliefs' own nodes. */
static void add_reliefs(plane_state *s, work *w) {
    const plane_mesh *m = s->mesh;
    for (size_t r = 0; r < s->in->reliefs_n; r++) {
        if (!w->relief_wet[r]) continue;
        const double *unit = w->unit + r * (size_t)m->dofs;
        for (int i = 0; i < m->dofs; i++)
            if (w->equation[i] >= 0) s->head_m[i] += s->relief_rise_m[r] * unit[w->equation[i]];
        s->head_m[m->relief_dof[r]] = plane_outlet_m(s->in, r) + s->relief_rise_m[r];
    }
}

/* What the reliefs get from the plane: with all at their outlets, and less for each metre of rise of each. */
static void relief_responses(plane_state *s, work *w) {
    const plane_mesh *m = s->mesh;
    size_t n = s->in->reliefs_n;
    double *head_m = w->load, *leaves = s->leaves_m3_s; /* load is used up by now */
    plane_reactions(m, s->head_m, w->wanted, leaves);
    for (size_t r = 0; r < n; r++)
        if (w->relief_wet[r]) w->base[r] = s->flow_factor * leaves[m->relief_dof[r]];
    for (size_t q = 0; q < n; q++) {
        if (!w->relief_wet[q]) continue;
        const double *unit = w->unit + q * (size_t)m->dofs;
        for (int i = 0; i < m->dofs; i++) head_m[i] = w->equation[i] >= 0 ? unit[w->equation[i]] : 0;
        head_m[m->relief_dof[q]] = 1;
        plane_reactions(m, head_m, w->wanted, leaves);
        for (size_t r = 0; r < n; r++)
            if (w->relief_wet[r]) w->coupling[r * n + q] = -s->flow_factor * leaves[m->relief_dof[r]];
    }
}

/* The linear system, once for the base and once for each relief. */
static status solve_linear(plane_state *s, work *w, fault *why) {
    const plane_mesh *m = s->mesh;
    sparse_matrix k = {0};
    sparse_factor *f = NULL;
    int n = (int)s->unknowns;
    status code = plane_assemble(m, w->equation, n, s->head_m, &k, w->load, why);
    if (code == OK) code = sparse_factorise(&k, SPARSE_AUTO, NULL, &f, why);
    sparse_matrix_free(&k);
    if (code == OK) code = sparse_solve(f, w->load, 1, why);
    for (size_t r = 0; r < s->in->reliefs_n && code == OK; r++) {
        if (!w->relief_wet[r]) continue;
        double *unit = w->unit + r * (size_t)m->dofs;
        plane_unit_load(m, m->relief_dof[r], w->equation, n, unit);
        code = sparse_solve(f, unit, 1, why);
    }
    sparse_factor_free(f);
    for (int i = 0; i < m->dofs && code == OK; i++)
        if (w->equation[i] >= 0) s->head_m[i] = w->load[w->equation[i]];
    return code;
}

static status solve_pass(plane_state *s, work *w, fault *why) {
    status code = OK;
    for (size_t r = 0; r < s->in->reliefs_n; r++)
        if (w->relief_wet[r]) s->head_m[s->mesh->relief_dof[r]] = plane_outlet_m(s->in, r);
    hold_air(s, w);
    if (s->unknowns > 0) code = solve_linear(s, w, why);
    if (code == OK && s->in->reliefs_n > 0) {
        relief_responses(s, w);
        code = plane_reliefs_balance(s->in, w->relief_wet, w->base, w->coupling, s->relief_rise_m,
                                     s->relief_runs, why);
        add_reliefs(s, w);
    }
    if (code != OK) return code;
    plane_reactions(s->mesh, s->head_m, w->wanted, s->leaves_m3_s);
    for (int i = 0; i < s->mesh->dofs; i++) s->leaves_m3_s[i] *= s->flow_factor;
    return OK;
}

double plane_side_flow_m3_s(const plane_state *s, size_t side) {
    const plane_side *at = &s->mesh->sides[side];
    double flow = 0;
    if (!s->active[side]) return 0;
    for (int k = 0; k < 3; k++)
        if (s->held[at->dof[k]] == STATE_AIR)
            flow += s->leaves_m3_s[at->dof[k]] * at->length_m / s->share_m[at->dof[k]];
    return flow;
}

/* A closed side under pressure opens, unless it has swung before. */
static bool reopen(plane_state *s, work *w, size_t i) {
    const plane_side *side = &s->mesh->sides[i];
    double pressure_m = s->head_m[side->dof[1]] - plane_side_level_m(s->mesh, side, 1);
    double rise_m = fabs(plane_side_level_m(s->mesh, side, 2) - plane_side_level_m(s->mesh, side, 0));
    if (!(pressure_m > OPEN_ABOVE_M)) return false;
    if (w->reopened[i] < REOPENED) {
        w->reopened[i]++;
        return s->active[i] = true;
    }
    if (pressure_m > SWINGS_WITHIN * rise_m) s->refused_head_m = fmax(s->refused_head_m, pressure_m);
    return false;
}

/* Close sides that would take water in, open closed ones under pressure: how many. Each side closes a limited
 * number of times, so this comes to an end. */
static size_t change_sides(plane_state *s, work *w) {
    const plane_mesh *m = s->mesh;
    size_t changed = 0;
    double all = 0;
    for (int i = 0; i < m->dofs; i++) all += fabs(s->leaves_m3_s[i]) / 2;
    for (size_t i = 0; i < m->sides_n; i++) w->takes_in[i] = plane_side_flow_m3_s(s, i) < -CLOSE_AT * all;
    s->refused_head_m = 0;
    for (size_t i = 0; i < m->sides_n; i++) {
        const plane_side *side = &m->sides[i];
        if (side->kind == PLANE_WET || side->sealed || !s->reached[side->dof[1]]) continue;
        if (!s->active[i]) {
            changed += reopen(s, w, i);
        } else if (w->takes_in[i]) {
            s->active[i] = false;
            changed++;
        }
    }
    return changed;
}

status plane_state_solve(const plane_input *in, const plane_mesh *m, double flow_factor, arena *memory,
                         plane_state *out, fault *why) {
    plane_state s = {.in = in, .mesh = m, .flow_factor = flow_factor};
    work *w = arena_get(memory, 1, sizeof *w);
    status code = w ? allocate(&s, w, memory, why) : fault_memory(why);
    if (code == OK) code = start(&s, w, why);
    for (; code == OK && s.passes < PASSES && !s.settled; s.passes++) {
        code = plane_stopped(in->stop, why);
        if (code == OK) code = solve_pass(&s, w, why);
        if (code == OK) s.settled = change_sides(&s, w) == 0;
    }
    *out = s;
    return code;
}

double plane_relief_flow_m3_s(const plane_state *s, size_t relief) {
    int dof = s->mesh->relief_dof[relief];
    return dof >= 0 && s->relief_runs[relief] ? s->leaves_m3_s[dof] : 0;
}

double plane_interval_flow_m3_s(const plane_state *s, const plane_interval *on, bool reliefs) {
    double flow = 0;
    for (size_t i = 0; i < s->mesh->sides_n; i++) {
        const plane_side *side = &s->mesh->sides[i];
        if (side->panel == on->panel && side->column_m > on->from_m && side->column_m < on->to_m)
            flow += plane_side_flow_m3_s(s, i);
    }
    for (size_t r = 0; r < s->in->reliefs_n && reliefs; r++) {
        const plane_spot *at = &s->in->reliefs[r].at;
        if (at->panel == on->panel && at->chainage_m >= on->from_m && at->chainage_m <= on->to_m)
            flow += plane_relief_flow_m3_s(s, r);
    }
    return flow;
}
