#include "hydraulics/plane_mesh.h"

#include "hydraulics/plane_parts.h"
#include "hydraulics/water.h"

#include <math.h>
#include <string.h>

/* Memory of a solution, measured with bench/plane_bench: 10 MB and 0.87 kB an unknown at 1e6, a little more for
 * each decade, as the factor grows with the logarithm. */
static double bytes_needed(double unknowns) {
    return 1e7 + unknowns * (900 + 60 * log10(unknowns / 1e6));
}

status plane_mesh_estimate(const plane_input *in, const plane_mesh_options *o, arena *memory,
                           double *unknowns, fault *why) {
    size_t *group = plane_groups(in, memory);
    *unknowns = 0;
    if (!group) return fault_memory(why);
    for (size_t p = 0; p < in->panels_n; p++) {
        plane_lines along, across;
        plane_lines_along(in, o, p, memory, &along);
        plane_lines_across(in, o, group, p, memory, &across);
        if (along.failed || across.failed) return fault_memory(why);
        *unknowns += (2 * plane_lines_count(&along, in->mesh_m, o->levels) + 1) *
                     (2 * plane_lines_count(&across, in->mesh_m, o->levels) + 1);
    }
    return OK;
}

/* The finest mesh, in steps of 5 %, whose solution fits the memory limit; 0 when none does. */
static double mesh_that_fits(const plane_input *in, const plane_mesh_options *o, double limit_bytes) {
    plane_input coarser = *in;
    double found_m = 0;
    for (; coarser.mesh_m < PLANE_COARSEST_M && !(found_m > 0); coarser.mesh_m *= 1.05) {
        double unknowns;
        arena *scratch = arena_new();
        if (!scratch) return 0;
        if (plane_mesh_estimate(&coarser, o, scratch, &unknowns, NULL) == OK &&
            bytes_needed(unknowns) <= limit_bytes)
            found_m = coarser.mesh_m;
        arena_free(scratch);
    }
    return found_m;
}

static status check_size(const plane_input *in, const plane_mesh_options *o, arena *memory, fault *why) {
    double unknowns, limit = in->memory_limit_bytes > 0 ? in->memory_limit_bytes : PLANE_MEMORY_BYTES;
    status code = plane_mesh_estimate(in, o, memory, &unknowns, why);
    if (code != OK || bytes_needed(unknowns) <= limit) return code;
    double fits_m = mesh_that_fits(in, o, limit);
    if (!(fits_m > 0))
        return fault_set(
            why, E_INPUT,
            "mesh_mm: %.10g gives about %.3g unknowns, which would need %.2g GB of memory; the limit is "
            "%.2g GB and no mesh fits: solve fewer panels at a time",
            in->mesh_m * 1e3, unknowns, bytes_needed(unknowns) * 1e-9, limit * 1e-9);
    return fault_set(
        why, E_INPUT,
        "mesh_mm: %.10g gives about %.3g unknowns, which would need %.2g GB of memory; the limit is %.2g "
        "GB, and mesh_mm %.3g fits",
        in->mesh_m * 1e3, unknowns, bytes_needed(unknowns) * 1e-9, limit * 1e-9, fits_m * 1e3 * 1.01);
}

static status build_grid(plane_mesh *m, const plane_mesh_options *o, const size_t *group, size_t panel,
                         arena *memory, fault *why) {
    plane_grid *g = &m->grids[panel];
    plane_lines along, across;
    plane_lines_along(m->in, o, panel, memory, &along);
    plane_lines_across(m->in, o, group, panel, memory, &across);
    if (along.failed || across.failed) return fault_memory(why);
    g->x_m = plane_lines_divide(&along, m->in->mesh_m, o->levels, &g->nx, memory);
    g->y_m = plane_lines_divide(&across, m->in->mesh_m, o->levels, &g->ny, memory);
    if (!g->x_m || !g->y_m) return fault_memory(why);
    g->ny = plane_find_line(g->y_m, g->ny, m->in->panels[panel].thickness_m);
    g->cell = arena_get(memory, (size_t)g->nx * (size_t)g->ny, sizeof *g->cell);
    return g->cell ? OK : fault_memory(why);
}

/* Number the cells that are left. */
static size_t number_elements(plane_grid *g, const plane_cells *c, size_t next) {
    for (size_t i = 0; i < (size_t)g->nx * (size_t)g->ny; i++)
        g->cell[i] = c->kind[i] == CELL_WALL ? (int)next++ : -1;
    return next;
}

static void place_elements(plane_mesh *m, size_t panel) {
    const plane_grid *g = &m->grids[panel];
    for (int i = 0; i < g->nx; i++)
        for (int j = 0; j < g->ny; j++) {
            int e = g->cell[(size_t)i * (size_t)g->ny + (size_t)j];
            if (e >= 0) m->elements[e] = (plane_element){.panel = panel, .i = i, .j = j};
        }
}

/* Cell (i, j) of a grid, -1 outside. */
static int cell_at(const plane_grid *g, int i, int j) {
    if (i < 0 || j < 0 || i >= g->nx || j >= g->ny) return -1;
    return g->cell[(size_t)i * (size_t)g->ny + (size_t)j];
}

/* The up to four cells round a node of the lattice (2 steps a cell): left above, right above, left below,
 * right below. A node in the middle of a cell counts as on the left of, or above, nothing. */
typedef struct {
    int cell[4];
    int i[2], j[2]; /* columns and rows; -1: none */
} corner;

static corner corner_at(const plane_grid *g, int x, int y) {
    corner c = {.i = {x % 2 ? -1 : x / 2 - 1, x / 2}, .j = {y % 2 ? -1 : y / 2 - 1, y / 2}};
    for (int q = 0; q < 4; q++) c.cell[q] = cell_at(g, c.i[q % 2], c.j[q / 2]);
    return c;
}

static void link_cells(int label[4], int a, int b) {
    int low = label[a] < label[b] ? label[a] : label[b], high = label[a] < label[b] ? label[b] : label[a];
    for (int q = 0; q < 4; q++)
        if (label[q] == high) label[q] = low;
}

/* Which of the four see the same node: those that can be reached without crossing a barrier or a cut-off. */
static void link_corner(const plane_grid *g, const plane_cells *c, const corner *at, int label[4]) {
    for (int q = 0; q < 4; q++) label[q] = q;
    for (int s = 0; s < 2; s++) {
        int left = 2 * s, right = 2 * s + 1; /* over the line between the columns, in row s */
        if (at->cell[left] >= 0 && at->cell[right] >= 0 &&
            !(c->parted[(size_t)at->i[1] * (size_t)g->ny + (size_t)at->j[s]] & 1))
            link_cells(label, left, right);
        if (at->cell[s] >= 0 && at->cell[s + 2] >= 0 && /* over the line between the rows, in column s */
            !(c->parted[(size_t)at->i[s] * (size_t)g->ny + (size_t)at->j[1]] & 2))
            link_cells(label, s, s + 2);
    }
}

/* Number the nodes of one panel: one for each set of cells that see it. */
static int number_nodes(plane_mesh *m, size_t panel, const plane_cells *c, int next) {
    const plane_grid *g = &m->grids[panel];
    for (int x = 0; x <= 2 * g->nx; x++)
        for (int y = 0; y <= 2 * g->ny; y++) {
            corner at = corner_at(g, x, y);
            int label[4], number[4] = {-1, -1, -1, -1};
            link_corner(g, c, &at, label);
            for (int q = 0; q < 4; q++) {
                if (at.cell[q] < 0) continue;
                if (number[label[q]] < 0) number[label[q]] = next++;
                int a = x % 2 ? 1 : (q % 2 ? 0 : 2), b = y % 2 ? 1 : (q / 2 ? 0 : 2);
                m->elements[at.cell[q]].dof[3 * a + b] = number[label[q]];
            }
        }
    return next;
}

/* Unite in `parent` all nodes of equal depth on the two lines of a join, row by row. */
static void tie_join(const plane_mesh *m, const plane_join *join, int *parent) {
    const plane_spot *const spots[] = {&join->a, &join->b};
    const plane_grid *g[2];
    int line[2];
    for (int k = 0; k < 2; k++) {
        g[k] = &m->grids[spots[k]->panel];
        line[k] = plane_find_line(g[k]->x_m, g[k]->nx, spots[k]->chainage_m);
    }
    int rows = g[0]->ny < g[1]->ny ? g[0]->ny : g[1]->ny;
    for (int j = 0; j < rows; j++)
        for (int b = 0; b < 3; b++) {
            int first = -1;
            for (int k = 0; k < 4; k++) { /* left and right of the one, left and right of the other */
                int e = cell_at(g[k / 2], line[k / 2] - 1 + k % 2, j);
                if (e < 0) continue;
                int dof = m->elements[e].dof[3 * (k % 2 ? 0 : 2) + b];
                if (first < 0) first = dof;
                plane_sets_unite(parent, first, dof);
            }
        }
}

/* The four sides of an element: its neighbour's offset and its three nodes. */
static const struct {
    int di, dj, node[3];
    plane_side_kind kind; /* of a side on a slot */
} edges[4] = {{0, -1, {0, 3, 6}, PLANE_BOTTOM},
              {0, 1, {2, 5, 8}, PLANE_WET},
              {-1, 0, {0, 1, 2}, PLANE_SLOT_END},
              {1, 0, {6, 7, 8}, PLANE_SLOT_END}};

static int kind_at(const plane_grid *g, const plane_cells *c, int i, int j) {
    if (i < 0 || j < 0 || i >= g->nx || j >= g->ny) return CELL_WALL;
    return c->kind[(size_t)i * (size_t)g->ny + (size_t)j];
}

/* The outline of each relief hole is one node. */
static void tie_reliefs(plane_mesh *m, const plane_cells *cells, int *parent) {
    for (size_t e = 0; e < m->elements_n; e++) {
        const plane_element *el = &m->elements[e];
        for (int s = 0; s < 4; s++) {
            int r =
                kind_at(&m->grids[el->panel], &cells[el->panel], el->i + edges[s].di, el->j + edges[s].dj);
            if (r < 0) continue;
            if (m->relief_dof[r] < 0) m->relief_dof[r] = el->dof[edges[s].node[0]];
            for (int k = 0; k < 3; k++) plane_sets_unite(parent, m->relief_dof[r], el->dof[edges[s].node[k]]);
        }
    }
}

/* Tie what is one, and number anew without gaps. */
static status tie(plane_mesh *m, const plane_cells *cells, fault *why) {
    int *parent = mem_get((size_t)m->dofs, sizeof *parent), next = 0;
    if (!parent) return fault_memory(why);
    for (int i = 0; i < m->dofs; i++) parent[i] = i;
    for (size_t i = 0; i < m->in->joins_n; i++) tie_join(m, &m->in->joins[i], parent);
    tie_reliefs(m, cells, parent);
    for (int i = 0; i < m->dofs; i++) parent[i] = plane_sets_root(parent, i);
    for (int i = 0; i < m->dofs; i++) /* roots are the smallest of their sets, so they come first */
        parent[i] = parent[i] == i ? next++ : parent[parent[i]];
    for (size_t e = 0; e < m->elements_n; e++)
        for (int k = 0; k < 9; k++) m->elements[e].dof[k] = parent[m->elements[e].dof[k]];
    for (size_t r = 0; r < m->in->reliefs_n; r++)
        if (m->relief_dof[r] >= 0) m->relief_dof[r] = parent[m->relief_dof[r]];
    m->dofs = next;
    mem_free(parent);
    return OK;
}

static double middle_of(const double *lines, int i, int step) {
    return step == 1 ? (lines[i] + lines[i + 1]) / 2 : lines[i + step / 2];
}

/* Chainage and depth of a node of an element. */
static double node_x_m(const plane_mesh *m, const plane_element *e, int node) {
    return middle_of(m->grids[e->panel].x_m, e->i, node / 3);
}

static double node_y_m(const plane_mesh *m, const plane_element *e, int node) {
    return middle_of(m->grids[e->panel].y_m, e->j, node % 3);
}

/* What a side of an element is; false inside the plane, at its ends, and on a relief hole. */
static bool side_kind(const plane_grid *g, const plane_cells *c, const plane_element *e, int s,
                      plane_side_kind *kind) {
    int i = e->i + edges[s].di, j = e->j + edges[s].dj;
    *kind = j < 0 ? PLANE_DRY : edges[s].kind;
    if (j < 0 || j >= g->ny) return true;
    return kind_at(g, c, i, j) == CELL_SLOT;
}

static status add_side(plane_mesh *m, const plane_cells *c, size_t element, int s, arena *memory,
                       fault *why) {
    const plane_element *e = &m->elements[element];
    const plane_grid *g = &m->grids[e->panel];
    plane_side_kind kind;
    if (!side_kind(g, c, e, s, &kind)) return OK;
    plane_side *longer = arena_push(memory, m->sides, &m->sides_n, sizeof *longer);
    if (!longer) return fault_memory(why);
    m->sides = longer;
    int column = e->i + edges[s].di;
    plane_side *side = &longer[m->sides_n - 1];
    *side = (plane_side){.kind = kind,
                         .sealed = kind != PLANE_WET && c->sealed[column],
                         .panel = e->panel,
                         .element = element,
                         .column_m = middle_of(g->x_m, column, 1)};
    for (int k = 0; k < 3; k++) {
        side->dof[k] = e->dof[edges[s].node[k]];
        side->x_m[k] = node_x_m(m, e, edges[s].node[k]);
        side->depth_m[k] = node_y_m(m, e, edges[s].node[k]);
    }
    side->length_m = (side->x_m[2] - side->x_m[0]) + (side->depth_m[2] - side->depth_m[0]);
    return OK;
}

static status find_sides(plane_mesh *m, const plane_cells *cells, arena *memory, fault *why) {
    status code = OK;
    for (size_t e = 0; e < m->elements_n; e++)
        for (int s = 0; s < 4 && code == OK; s++)
            code = add_side(m, &cells[m->elements[e].panel], e, s, memory, why);
    return code;
}

static status set_elevations(plane_mesh *m, arena *memory, fault *why) {
    m->elevation_m = arena_get(memory, (size_t)m->dofs, sizeof *m->elevation_m);
    if (!m->elevation_m) return fault_memory(why);
    for (size_t e = m->elements_n; e-- > 0;) { /* backwards: where panels meet the first one counts */
        const plane_element *el = &m->elements[e];
        const plane_panel *p = &m->in->panels[el->panel];
        for (int a = 0; a < 3; a++) {
            double dry_m = plane_elevation_m(p, node_x_m(m, el, 3 * a), 0);
            double by_depth = p->lie == PLANE_FLOOR ? -1 : p->lie == PLANE_SOFFIT ? 1 : 0;
            for (int b = 0; b < 3; b++)
                m->elevation_m[el->dof[3 * a + b]] = dry_m + by_depth * node_y_m(m, el, b);
        }
    }
    return OK;
}

static status number_all(plane_mesh *m, const plane_mesh_options *o, arena *memory, fault *why) {
    size_t panels = m->in->panels_n;
    plane_cells *cells = arena_get(memory, panels, sizeof *cells);
    status code = cells ? OK : fault_memory(why);
    for (size_t p = 0; p < panels && code == OK; p++) {
        code = plane_cells_mark(m, p, o->uncut, memory, &cells[p], why);
        if (code == OK) m->elements_n = number_elements(&m->grids[p], &cells[p], m->elements_n);
    }
    if (code != OK) return code;
    m->elements = arena_get(memory, m->elements_n, sizeof *m->elements);
    if (!m->elements) return fault_memory(why);
    for (size_t p = 0; p < panels; p++) {
        place_elements(m, p);
        m->dofs = number_nodes(m, p, &cells[p], m->dofs);
    }
    code = tie(m, cells, why);
    if (code == OK) code = find_sides(m, cells, memory, why);
    if (code == OK) code = set_elevations(m, memory, why);
    return code;
}

status plane_mesh_build(const plane_input *in, const plane_mesh_options *o, arena *memory, plane_mesh **out,
                        fault *why) {
    water_properties water;
    plane_mesh *m = arena_get(memory, 1, sizeof *m);
    *out = NULL;
    if (!m) return fault_memory(why);
    m->in = in;
    m->grids = arena_get(memory, in->panels_n, sizeof *m->grids);
    m->relief_dof = arena_get(memory, in->reliefs_n, sizeof *m->relief_dof);
    size_t *group = plane_groups(in, memory);
    m->tables = plane_tables_new(memory);
    if (!m->grids || !m->relief_dof || !m->tables || !group) return fault_memory(why);
    for (size_t r = 0; r < in->reliefs_n; r++) m->relief_dof[r] = -1;
    status code = water_at(in->temperature_c, &water, why);
    if (code == OK) code = check_size(in, o, memory, why);
    m->scale_m_s = UNITS_GRAVITY_M_S2 / (12 * water.kinematic_viscosity_m2_s);
    for (size_t p = 0; p < in->panels_n && code == OK; p++) code = build_grid(m, o, group, p, memory, why);
    if (code == OK) code = number_all(m, o, memory, why);
    if (code == OK) *out = m;
    return code;
}

static int by_number(int *dofs, size_t n) {
    for (size_t i = 1; i < n; i++) { /* insertion: an outline has a few dozen nodes, nearly in order */
        int at = dofs[i];
        size_t k = i;
        for (; k > 0 && dofs[k - 1] > at; k--) dofs[k] = dofs[k - 1];
        dofs[k] = at;
    }
    int kept = n > 0;
    for (size_t i = 1; i < n; i++)
        if (dofs[i] != dofs[i - 1]) dofs[kept++] = dofs[i];
    return kept;
}

int *plane_mesh_outline(const plane_mesh *m, size_t panel, const plane_stretch *chainage,
                        const plane_stretch *depth, arena *memory, size_t *n) {
    const plane_grid *g = &m->grids[panel];
    int i0 = plane_find_line(g->x_m, g->nx, chainage->from_m),
        i1 = plane_find_line(g->x_m, g->nx, chainage->to_m);
    int j0 = plane_find_line(g->y_m, g->ny, depth->from_m), j1 = plane_find_line(g->y_m, g->ny, depth->to_m);
    size_t most = 3 * 2 * (size_t)((i1 - i0) + (j1 - j0)), count = 0;
    int *dofs = arena_get(memory, most, sizeof *dofs);
    *n = 0;
    if (!dofs) return NULL;
    for (int i = i0; i < i1; i++)
        for (int j = j0; j < j1; j++)
            for (int s = 0; s < 4; s++) {
                int to_i = i + edges[s].di, to_j = j + edges[s].dj, e = cell_at(g, i, j);
                bool outer = to_i < i0 || to_i >= i1 || to_j < j0 || to_j >= j1;
                for (int k = 0; k < 3 && outer && e >= 0; k++)
                    dofs[count++] = m->elements[e].dof[edges[s].node[k]];
            }
    *n = (size_t)by_number(dofs, count);
    return dofs;
}

/* 1-D shape functions of three nodes at -1, 0, 1. */
static void shapes(double s, double n[3]) {
    n[0] = s * (s - 1) / 2;
    n[1] = 1 - s * s;
    n[2] = s * (s + 1) / 2;
}

bool plane_head_at(const plane_mesh *m, const double *head_m, const bool *reached, const plane_point *at,
                   double *out) {
    const plane_grid *g = &m->grids[at->at.panel];
    double x = at->at.chainage_m, y = at->depth_m, nx[3], ny[3];
    int i = plane_find_line(g->x_m, g->nx, x), j = plane_find_line(g->y_m, g->ny, y);
    if (i > 0 && (x < g->x_m[i] || i == g->nx)) i--;
    if (j > 0 && (y < g->y_m[j] || j == g->ny)) j--;
    int e = cell_at(g, i, j);
    /* on a line next to a cut the cell on the other side serves */
    if (e < 0 && i > 0 && x <= g->x_m[i] + PLANE_SNAP_M) e = cell_at(g, i - 1, j);
    if (e < 0 && j + 1 < g->ny && y >= g->y_m[j + 1] - PLANE_SNAP_M) e = cell_at(g, i, j + 1);
    if (e < 0 || (reached && !reached[m->elements[e].dof[4]])) return false;
    const plane_element *el = &m->elements[e];
    shapes(2 * (x - g->x_m[el->i]) / (g->x_m[el->i + 1] - g->x_m[el->i]) - 1, nx);
    shapes(2 * (y - g->y_m[el->j]) / (g->y_m[el->j + 1] - g->y_m[el->j]) - 1, ny);
    *out = 0;
    for (int k = 0; k < 9; k++) *out += nx[k / 3] * ny[k % 3] * head_m[el->dof[k]];
    return true;
}
