#include "hydraulics/plane_mesh.h"
#include "hydraulics/plane_parts.h"

#include <limits.h>
#include <math.h>
#include <string.h>

enum { NODES = 9, POINTS = 9, PAIRS = NODES * (NODES + 1) / 2 };

/* With s, t in -1 .. 1 over an element of lx by ly,
 *     K_ab = sum over Gauss points g of T_g [(ly / lx) along_g,ab + (lx / ly) across_g,ab]
 * where along = weight dN_a/ds dN_b/ds and across the same with t. Pairs a >= b at a (a + 1) / 2 + b. */
struct plane_tables {
    double along[POINTS][PAIRS], across[POINTS][PAIRS];
    double place[3]; /* Gauss points in 0 .. 1 */
};

/* Value and slope of the three shape functions of nodes -1, 0, 1. */
static void shape_at(double s, double n[3], double d[3]) {
    n[0] = s * (s - 1) / 2, n[1] = 1 - s * s, n[2] = s * (s + 1) / 2;
    d[0] = s - 0.5, d[1] = -2 * s, d[2] = s + 0.5;
}

plane_tables *plane_tables_new(arena *memory) {
    /* Gauss-Legendre, three points, exact to degree 5: textbook. */
    const double root = sqrt(0.6), at[3] = {-root, 0, root}, weight[3] = {5.0 / 9, 8.0 / 9, 5.0 / 9};
    plane_tables *t = arena_get(memory, 1, sizeof *t);
    if (!t) return NULL;
    for (int p = 0; p < 3; p++) {
        double nx[3], dx[3], ny[3], dy[3];
        t->place[p] = (1 + at[p]) / 2;
        shape_at(at[p], nx, dx);
        for (int q = 0; q < 3; q++) {
            shape_at(at[q], ny, dy);
            for (int a = 0; a < NODES; a++)
                for (int b = 0; b <= a; b++) {
                    int pair = a * (a + 1) / 2 + b;
                    double w = weight[p] * weight[q];
                    t->along[3 * p + q][pair] = w * dx[a / 3] * ny[a % 3] * dx[b / 3] * ny[b % 3];
                    t->across[3 * p + q][pair] = w * nx[a / 3] * dy[a % 3] * nx[b / 3] * dy[b % 3];
                }
        }
    }
    return t;
}

/* Widths at both faces at a chainage, linear between stations. Elements do not reach over a station, but
 * where two lines were made one the width of the nearer side may be carried on by a few micrometres: kept
 * above 0. */
static void widths_at(const plane_panel *p, double x_m, double *dry_m, double *wet_m) {
    size_t low = 0, high = p->stations_n - 1;
    while (high - low > 1) {
        size_t middle = (low + high) / 2;
        if (p->stations[middle].chainage_m <= x_m)
            low = middle;
        else
            high = middle;
    }
    const plane_station *a = &p->stations[low], *b = &p->stations[high];
    double s = (x_m - a->chainage_m) / (b->chainage_m - a->chainage_m);
    s = fmin(fmax(s, 0), 1);
    *dry_m = (1 - s) * a->width_m + s * b->width_m;
    *wet_m = (1 - s) * a->width_wet_m + s * b->width_wet_m;
}

static bool conducts(const plane_mesh *m, const plane_element *e) {
    const plane_grid *g = &m->grids[e->panel];
    double dry_m, wet_m;
    widths_at(&m->in->panels[e->panel], (g->x_m[e->i] + g->x_m[e->i + 1]) / 2, &dry_m, &wet_m);
    return dry_m > 0 || wet_m > 0;
}

static void packed_matrix(const plane_mesh *m, const plane_element *e, double k[PAIRS]) {
    const plane_grid *g = &m->grids[e->panel];
    const plane_panel *panel = &m->in->panels[e->panel];
    double lx = g->x_m[e->i + 1] - g->x_m[e->i], ly = g->y_m[e->j + 1] - g->y_m[e->j];
    for (int n = 0; n < PAIRS; n++) k[n] = 0;
    for (int p = 0; p < 3; p++) {
        double dry_m, wet_m;
        widths_at(panel, g->x_m[e->i] + lx * m->tables->place[p], &dry_m, &wet_m);
        for (int q = 0; q < 3; q++) {
            double depth = (g->y_m[e->j] + ly * m->tables->place[q]) / panel->thickness_m;
            double width_m = dry_m + (wet_m - dry_m) * depth;
            double t = m->scale_m_s * width_m * width_m * width_m;
            double cx = t * ly / lx, cy = t * lx / ly;
            const double *along = m->tables->along[3 * p + q], *across = m->tables->across[3 * p + q];
            for (int n = 0; n < PAIRS; n++) k[n] += cx * along[n] + cy * across[n];
        }
    }
}

void plane_element_matrix(const plane_mesh *m, const plane_element *e, double k[9][9]) {
    double packed[PAIRS];
    packed_matrix(m, e, packed);
    for (int a = 0; a < NODES; a++)
        for (int b = 0; b <= a; b++) k[a][b] = k[b][a] = packed[a * (a + 1) / 2 + b];
}

/* The elements round each equation: those of equation c are element[start[c]] .. element[start[c + 1] - 1].
 */
typedef struct {
    int *start, *element;
} around;

static bool find_around(const plane_mesh *m, const int *equation, int n, around *out) {
    out->start = mem_zero((size_t)n + 2, sizeof *out->start);
    if (!out->start) return false;
    for (size_t e = 0; e < m->elements_n; e++)
        for (int a = 0; a < NODES; a++) {
            int c = equation[m->elements[e].dof[a]];
            if (c >= 0) out->start[c + 2]++;
        }
    for (int c = 2; c <= n + 1; c++) out->start[c] += out->start[c - 1];
    out->element = mem_get((size_t)out->start[n + 1], sizeof *out->element);
    if (!out->element) return false;
    for (size_t e = 0; e < m->elements_n; e++) /* start[c + 1] runs from the start of c to its end */
        for (int a = 0; a < NODES; a++) {
            int c = equation[m->elements[e].dof[a]];
            if (c >= 0) out->element[out->start[c + 1]++] = (int)e;
        }
    return true;
}

/* Rows of each column of the lower triangle, the diagonal first; `mark` (n) is the column a row was last put
 * in. */
static void fill_pattern(const plane_mesh *m, const int *equation, const around *near, int *mark,
                         sparse_matrix *k) {
    int p = 0;
    for (int c = 0; c < k->n; c++) mark[c] = -1;
    for (int c = 0; c < k->n; c++) {
        k->start[c] = p;
        k->row[p++] = c;
        mark[c] = c;
        for (int i = near->start[c]; i < near->start[c + 1]; i++) {
            const int *dof = m->elements[near->element[i]].dof;
            for (int a = 0; a < NODES; a++) {
                int r = equation[dof[a]];
                if (r <= c || mark[r] == c) continue;
                mark[r] = c;
                k->row[p++] = r;
            }
        }
    }
    k->start[k->n] = p;
}

static status make_pattern(const plane_mesh *m, const int *equation, sparse_matrix *k, fault *why) {
    around near = {0};
    int *mark = mem_get((size_t)k->n, sizeof *mark);
    k->start = mem_get((size_t)k->n + 1, sizeof *k->start);
    k->row = mem_get(m->elements_n + 1, PAIRS * sizeof *k->row); /* an element brings at most its pairs */
    bool good = mark && k->start && k->row && m->elements_n < INT_MAX / PAIRS &&
                find_around(m, equation, k->n, &near);
    if (good) {
        fill_pattern(m, equation, &near, mark, k);
        int *fits = mem_grow(k->row, (size_t)k->start[k->n] + 1, sizeof *fits);
        good = fits != NULL;
        if (fits) k->row = fits;
    }
    mem_free(near.start);
    mem_free(near.element);
    mem_free(mark);
    return good ? OK : fault_memory(why);
}

static void add_entry(sparse_matrix *k, int row, int column, double value) {
    int p = k->start[column];
    while (k->row[p] != row) p++;
    k->value[p] += value;
}

static void add_element(const int equation[NODES], const double head_m[NODES], const double packed[PAIRS],
                        sparse_matrix *k, double *load) {
    for (int a = 0; a < NODES; a++)
        for (int b = 0; b <= a; b++) {
            double value = packed[a * (a + 1) / 2 + b];
            int r = equation[a], c = equation[b];
            if (r >= 0 && c >= 0) {
                if (r == c && a != b) value *= 2; /* two nodes of the element are one: K_ab and K_ba */
                add_entry(k, r > c ? r : c, r > c ? c : r, value);
            } else if (r >= 0) {
                load[r] -= value * head_m[b];
            } else if (c >= 0) {
                load[c] -= value * head_m[a];
            }
        }
}

status plane_assemble(const plane_mesh *m, const int *equation, int n, const double *head_m, sparse_matrix *k,
                      double *load, fault *why) {
    *k = (sparse_matrix){.n = n};
    status code = make_pattern(m, equation, k, why);
    if (code == OK) {
        k->value = mem_zero((size_t)k->start[n] + 1, sizeof *k->value);
        if (!k->value) code = fault_memory(why);
    }
    if (code != OK) {
        sparse_matrix_free(k);
        return code;
    }
    for (int c = 0; c < n; c++) load[c] = 0;
    for (size_t e = 0; e < m->elements_n; e++) {
        int local[NODES];
        double heads[NODES], packed[PAIRS];
        bool any = false;
        for (int a = 0; a < NODES; a++) {
            local[a] = equation[m->elements[e].dof[a]];
            heads[a] = local[a] < 0 ? head_m[m->elements[e].dof[a]] : 0;
            any |= local[a] >= 0;
        }
        if (!any) continue;
        packed_matrix(m, &m->elements[e], packed);
        add_element(local, heads, packed, k, load);
    }
    return OK;
}

void plane_reactions(const plane_mesh *m, const double *head_m, const bool *wanted, double *out) {
    for (int i = 0; i < m->dofs; i++) out[i] = 0;
    for (size_t e = 0; e < m->elements_n; e++) {
        const int *dof = m->elements[e].dof;
        double k[NODES][NODES];
        bool any = false;
        for (int a = 0; a < NODES; a++) any |= wanted[dof[a]];
        if (!any) continue;
        plane_element_matrix(m, &m->elements[e], k);
        for (int a = 0; a < NODES; a++)
            for (int b = 0; b < NODES && wanted[dof[a]]; b++) out[dof[a]] -= k[a][b] * head_m[dof[b]];
    }
}

void plane_unit_load(const plane_mesh *m, int dof, const int *equation, int n, double *load) {
    for (int c = 0; c < n; c++) load[c] = 0;
    for (size_t e = 0; e < m->elements_n; e++) {
        const int *at = m->elements[e].dof;
        double k[NODES][NODES];
        bool any = false;
        for (int a = 0; a < NODES; a++) any |= at[a] == dof;
        if (!any) continue;
        plane_element_matrix(m, &m->elements[e], k);
        for (int a = 0; a < NODES; a++)
            for (int b = 0; b < NODES; b++)
                if (at[b] == dof && equation[at[a]] >= 0) load[equation[at[a]]] -= k[a][b];
    }
}

status plane_reach(const plane_mesh *m, const bool *from, bool *reached, fault *why) {
    size_t n = (size_t)m->dofs;
    int *parent = mem_get(n, sizeof *parent);
    if (!parent) return fault_memory(why);
    for (int i = 0; i < m->dofs; i++) parent[i] = i;
    for (size_t e = 0; e < m->elements_n; e++) {
        if (!conducts(m, &m->elements[e])) continue;
        for (int a = 1; a < NODES; a++)
            plane_sets_unite(parent, m->elements[e].dof[0], m->elements[e].dof[a]);
    }
    /* a node all of whose elements are closed is alone in its set; it is left out at the end */
    for (size_t i = 0; i < n; i++) reached[i] = false;
    for (int i = 0; i < m->dofs; i++)
        if (from[i]) reached[plane_sets_root(parent, i)] = true;
    for (int i = m->dofs;
         i-- > 0;) /* backwards: a root is the smallest of its set and is read by the others */
        reached[i] = reached[plane_sets_root(parent, i)];
    for (size_t i = 0; i < n; i++) parent[i] = 0;
    for (size_t e = 0; e < m->elements_n; e++) {
        int open = conducts(m, &m->elements[e]);
        for (int a = 0; a < NODES; a++) parent[m->elements[e].dof[a]] |= open;
    }
    for (size_t i = 0; i < n; i++) reached[i] = reached[i] && parent[i];
    mem_free(parent);
    return OK;
}
