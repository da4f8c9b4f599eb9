#include "core/mem.h"
#include "hydraulics/plugging_parts.h"
#include "sparse/dense.h"

#include <math.h>
#include <string.h>

/* Lines at both ends of every segment, at the sides of every hole and at its depth: where open may meet
 * sealed. */
static plane_line *model_lines(const plugging_model_options *o, arena *memory, size_t *n) {
    plane_line *lines = arena_get(memory, 2 * o->cut->n + 3 * o->reliefs_n + o->lines_n, sizeof *lines);
    *n = 0;
    if (!lines) return NULL;
    for (size_t i = 0; i < o->cut->n; i++) {
        const plane_interval *on = &o->cut->segments[i].on;
        lines[(*n)++] = (plane_line){on->panel, false, on->from_m, true};
        lines[(*n)++] = (plane_line){on->panel, false, on->to_m, true};
    }
    for (size_t i = 0; i < o->reliefs_n; i++) {
        const plane_relief *r = &o->reliefs[i];
        lines[(*n)++] = (plane_line){r->at.panel, false, r->at.chainage_m - r->hole_m / 2, true};
        lines[(*n)++] = (plane_line){r->at.panel, false, r->at.chainage_m + r->hole_m / 2, true};
        lines[(*n)++] = (plane_line){r->at.panel, true, r->depth_m, true};
    }
    for (size_t i = 0; i < o->lines_n; i++) lines[(*n)++] = o->lines[i];
    return lines;
}

static int part_of(const plugging_model *m, const plane_side *side) {
    if (side->kind == PLANE_WET) return SIDE_OTHER;
    if (side->kind == PLANE_DRY) return side->sealed ? SIDE_OTHER : SIDE_DRY;
    if (side->sealed) return SIDE_SEALED;
    plane_spot at = {side->panel, side->column_m};
    return plugging_cut_find(&m->cut, &at);
}

/* Heads given by the water, and from there what is reached by water at all. */
static status hold_wet(plugging_model *m, bool *held, bool *reached, fault *why) {
    for (size_t i = 0; i < m->mesh->sides_n; i++) {
        const plane_side *s = &m->mesh->sides[i];
        double level_m = plane_level_m(m->plane, s->panel);
        /* The level is a line of the mesh, so a side lies above or below it as its middle does. */
        if (s->kind != PLANE_WET || !(m->mesh->elevation_m[s->dof[1]] < level_m)) continue;
        for (int k = 0; k < 3; k++) {
            held[s->dof[k]] = true;
            m->held_m[s->dof[k]] = level_m;
        }
    }
    status code = plane_reach(m->mesh, held, reached, why);
    m->reached = reached;
    return code;
}

/* Nodes of the outline of a hole, and of the slot or face within its width, marked. */
static status mark_hole(const plugging_model *m, const plane_relief *r, bool *marked, arena *memory,
                        fault *why) {
    plane_stretch along = {r->at.chainage_m - r->hole_m / 2, r->at.chainage_m + r->hole_m / 2},
                  depth = {0, r->depth_m};
    size_t n;
    const int *outline = plane_mesh_outline(m->mesh, r->at.panel, &along, &depth, memory, &n);
    if (!outline) return fault_memory(why);
    for (size_t i = 0; i < n; i++) marked[outline[i]] = true;
    for (size_t i = 0; i < m->mesh->sides_n; i++) {
        const plane_side *s = &m->mesh->sides[i];
        if (s->kind == PLANE_WET || s->panel != r->at.panel) continue;
        if (!plane_inside(s->column_m, along.from_m, along.to_m)) continue;
        for (int k = 0; k < 3; k++) marked[s->dof[k]] = true;
    }
    return OK;
}

/* The kept unknowns: slot, dry face and holes, as far as water reaches and does not hold them. */
static status choose_kept(plugging_model *m, const bool *held, const bool *reached, arena *memory,
                          fault *why) {
    size_t dofs = (size_t)m->mesh->dofs;
    bool *wanted = arena_get(memory, dofs, sizeof *wanted), *one = arena_get(memory, dofs, sizeof *one);
    m->index = arena_get(memory, dofs, sizeof *m->index);
    m->kept = arena_get(memory, dofs, sizeof *m->kept);
    m->hole = arena_get(memory, m->reliefs_n, sizeof *m->hole);
    m->hole_n = arena_get(memory, m->reliefs_n, sizeof *m->hole_n);
    if (!wanted || !one || !m->index || !m->kept || !m->hole || !m->hole_n) return fault_memory(why);
    for (size_t i = 0; i < m->mesh->sides_n; i++)
        for (int k = 0; k < 3 && m->part_of_side[i] != SIDE_OTHER; k++)
            wanted[m->mesh->sides[i].dof[k]] = true;
    status code = OK;
    for (size_t r = 0; r < m->reliefs_n && code == OK; r++)
        code = mark_hole(m, &m->reliefs[r], wanted, memory, why);
    for (size_t i = 0; i < dofs; i++) {
        m->index[i] = wanted[i] && reached[i] && !held[i] ? m->kept_n : -1;
        if (m->index[i] >= 0) m->kept[m->kept_n++] = (int)i;
    }
    for (size_t r = 0; r < m->reliefs_n && code == OK; r++) {
        memset(one, 0, dofs * sizeof *one);
        code = mark_hole(m, &m->reliefs[r], one, memory, why);
        m->hole[r] = arena_get(memory, dofs, sizeof **m->hole);
        if (!m->hole[r]) return fault_memory(why);
        for (size_t i = 0; i < dofs; i++)
            if (one[i] && m->index[i] >= 0) m->hole[r][m->hole_n[r]++] = m->index[i];
    }
    return code;
}

/* Sheets of kept_n x kept_n that live at a time: the condensed factor, the stiffness, a state's factor. */
enum { SHEETS = 3 };

static status check_kept(const plugging_model *m, fault *why) {
    double limit = m->plane->memory_limit_bytes > 0 ? m->plane->memory_limit_bytes : PLANE_MEMORY_BYTES;
    double needed = SHEETS * (double)m->kept_n * (double)m->kept_n * (double)sizeof(double);
    if (needed <= limit) return OK;
    return fault_set(
        why, E_INPUT,
        "mesh_mm: %.10g leaves %d unknowns on slot and dry face, which would need %.2g GB of memory; the "
        "limit is %.2g GB: use a coarser mesh",
        m->plane->mesh_m * 1e3, m->kept_n, needed * 1e-9, limit * 1e-9);
}

/* Number the equations, put them up and condense them. */
static status condense(plugging_model *m, const bool *held, const bool *reached, arena *memory, fault *why) {
    int *rows = arena_get(memory, (size_t)m->kept_n, sizeof *rows);
    m->equation = arena_get(memory, (size_t)m->mesh->dofs, sizeof *m->equation);
    if (!rows || !m->equation) return fault_memory(why);
    for (int i = 0; i < m->mesh->dofs; i++) m->equation[i] = reached[i] && !held[i] ? m->unknowns++ : -1;
    for (int i = 0; i < m->kept_n; i++) rows[i] = m->equation[m->kept[i]];
    if (m->kept_n == 0) return OK;
    m->whole_load = arena_get(memory, (size_t)m->unknowns, sizeof *m->whole_load);
    m->load = arena_get(memory, (size_t)m->kept_n, sizeof *m->load);
    m->stiffness = mem_get((size_t)m->kept_n * sizeof(double), (size_t)m->kept_n);
    if (!m->whole_load || !m->load || !m->stiffness) return fault_memory(why);
    status code = plane_assemble(m->mesh, m->equation, m->unknowns, m->held_m, &m->whole, m->whole_load, why);
    if (code == OK) code = plane_stopped(m->plane->stop, why);
    if (code == OK) code = sparse_condense(&m->whole, rows, m->kept_n, m->whole_load, 1, &m->condensed, why);
    if (code != OK) return code;
    dense_square(m->condensed.lower, m->kept_n, m->kept_n, m->stiffness);
    memcpy(m->load, m->condensed.load, (size_t)m->kept_n * sizeof *m->load);
    return OK;
}

static status make(plugging_model *m, const plugging_model_options *o, arena *memory, fault *why) {
    m->lines = model_lines(o, memory, &m->lines_n);
    if (!m->lines) return fault_memory(why);
    plane_mesh_options options = {.levels = o->levels, .lines = m->lines, .lines_n = m->lines_n};
    status code = plane_mesh_build(o->plane, &options, memory, &m->mesh, why);
    if (code == OK) code = plane_stopped(m->plane->stop, why);
    if (code != OK) return code;
    size_t dofs = (size_t)m->mesh->dofs;
    bool *held = arena_get(memory, dofs, sizeof *held), *reached = arena_get(memory, dofs, sizeof *reached);
    m->held_m = arena_get(memory, dofs, sizeof *m->held_m);
    m->part_of_side = arena_get(memory, m->mesh->sides_n, sizeof *m->part_of_side);
    if (!held || !reached || !m->held_m || !m->part_of_side) return fault_memory(why);
    for (size_t i = 0; i < m->mesh->sides_n; i++) m->part_of_side[i] = part_of(m, &m->mesh->sides[i]);
    code = hold_wet(m, held, reached, why);
    if (code == OK) code = choose_kept(m, held, reached, memory, why);
    if (code == OK) code = check_kept(m, why);
    if (code != OK) return code;
    m->elevation_m = arena_get(memory, (size_t)m->kept_n, sizeof *m->elevation_m);
    if (!m->elevation_m) return fault_memory(why);
    for (int i = 0; i < m->kept_n; i++) m->elevation_m[i] = m->mesh->elevation_m[m->kept[i]];
    return condense(m, held, reached, memory, why);
}

status plugging_model_make(const plugging_model_options *o, arena *memory, plugging_model *out, fault *why) {
    *out = (plugging_model){.plane = o->plane,
                            .cut = *o->cut,
                            .flow_factor = o->flow_factor,
                            .reliefs = o->reliefs,
                            .reliefs_n = o->reliefs_n};
    status code = make(out, o, memory, why);
    if (code != OK) plugging_model_free(out);
    return code;
}

void plugging_model_free(plugging_model *m) {
    sparse_condensed_free(&m->condensed);
    sparse_matrix_free(&m->whole);
    mem_free(m->stiffness);
    m->stiffness = NULL;
}
