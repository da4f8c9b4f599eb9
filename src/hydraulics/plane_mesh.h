/* plane_mesh.h - the crack plane as finite elements: grids, unknowns, sides, assembled equations.
 *
 * Model  9-node biquadratic elements on one tensor grid a panel, sides about 2 mesh_m (so that nodes are
 * mesh_m apart), halved `levels` times towards lines that carry a singular point. Slots are cut away, a
 * relief hole is one unknown, barriers and cut-off double the nodes, joined nodes are one. Element matrix:
 *            K_ab = sum over 3 x 3 Gauss points of T (da/dx db/dx + da/dy db/dy) dA
 *        with T for flow factor 1 (the factor scales all flows alike).
 * Units  SI.   Threads  a mesh is constant once built. */
#ifndef STANCH_HYDRAULICS_PLANE_MESH_H
#define STANCH_HYDRAULICS_PLANE_MESH_H

#include "core/mem.h"
#include "hydraulics/plane_input.h"
#include "sparse/sparse.h"

typedef struct {
    size_t panel;
    bool across; /* true: at a depth; false: at a chainage */
    double at_m;
    bool singular; /* grade towards it */
} plane_line;

typedef struct {
    int levels;              /* halvings towards singular lines, 0 .. 12 */
    const plane_line *lines; /* that the grid must have besides those of the input; one outside is left out */
    size_t lines_n;
    bool
        uncut; /* leave out slots, sealed stretches and reliefs; their lines stay, but nothing is singular there */
} plane_mesh_options;

typedef enum { PLANE_WET, PLANE_DRY, PLANE_BOTTOM, PLANE_SLOT_END } plane_side_kind;

/* A boundary side of one element: wet face, dry face, slot bottom or slot end face. */
typedef struct {
    plane_side_kind kind;
    bool sealed; /* by the input's sealed stretches; a slot's side is sealed with the stretch of its slot */
    size_t panel, element;
    int dof[3]; /* from, middle, to: by chainage, or by depth on a slot end */
    double x_m[3], depth_m[3];
    double column_m; /* chainage of the middle of the cell column it belongs to: of the slot at a slot end */
    double length_m;
} plane_side;

typedef struct {
    int nx, ny;        /* elements */
    double *x_m, *y_m; /* nx + 1 and ny + 1 lines, ascending */
    int *cell;         /* nx * ny, cell (i, j) at j + ny * i: element number in the mesh, or -1 cut away */
} plane_grid;

typedef struct {
    size_t panel;
    int i, j;
    int dof[9]; /* node (a, b) at 3 a + b: a along x, b along depth */
} plane_element;

typedef struct plane_tables plane_tables;

typedef struct {
    const plane_input *in;      /* borrowed */
    const plane_tables *tables; /* of the shape functions */
    double scale_m_s;           /* g / (12 nu): T = scale w^3 */
    int dofs;
    plane_grid *grids; /* one a panel */
    plane_element *elements;
    size_t elements_n;
    plane_side *sides;
    size_t sides_n;
    double *elevation_m; /* of each dof */
    int *relief_dof;     /* of each relief; -1 when uncut or when nothing is left of its outline */
} plane_mesh;

/* Grid, numbering, sides. The input must have passed plane_check. Lives in `memory`. E_MEMORY, or E_INPUT
 * when the solution would take more than the memory limit. */
status plane_mesh_build(const plane_input *in, const plane_mesh_options *options, arena *memory,
                        plane_mesh **out, fault *why);

/* Unknowns of the grid before anything is cut away. E_MEMORY. */
status plane_mesh_estimate(const plane_input *in, const plane_mesh_options *options, arena *memory,
                           double *unknowns, fault *why);

/* Equations of the unknowns whose equation[dof] >= 0 (numbered 0 .. n - 1); the others are held at
 * head_m[dof] and go to the right-hand side: load[n] (owned by the caller) is set. The matrix is for flow
 * factor 1. E_MEMORY. */
status plane_assemble(const plane_mesh *m, const int *equation, int n, const double *head_m, sparse_matrix *k,
                      double *load, fault *why);

/* Which dofs are tied by elements of a width above 0 to a dof of `from` (which counts itself in only if it
 * has such an element). The others carry no water and must stay out of the equations. E_MEMORY. */
status plane_reach(const plane_mesh *m, const bool *from, bool *reached, fault *why);

/* Right-hand side (n) of a head of 1 at `dof`, which is held, and 0 at all others that are held. */
void plane_unit_load(const plane_mesh *m, int dof, const int *equation, int n, double *load);

/* Matrix of one element, 9 x 9, flow factor 1. */
void plane_element_matrix(const plane_mesh *m, const plane_element *e, double k[9][9]);

/* Water that leaves the plane at each dof for which wanted[dof]: out[dof] = -(K h)[dof], m3/s at flow factor
 * 1; 0 at the others. */
void plane_reactions(const plane_mesh *m, const double *head_m, const bool *wanted, double *out);

/* Dofs on the outline of a rectangle of a panel whose edges are lines of the grid (each once, ascending).
 * With all of them at one head the rectangle is a relief hole. NULL without memory. */
int *plane_mesh_outline(const plane_mesh *m, size_t panel, const plane_stretch *chainage,
                        const plane_stretch *depth, arena *memory, size_t *n);

/* Head at a point by the shape functions; false in a part cut away, or without water by `reached` (NULL:
 * all). */
bool plane_head_at(const plane_mesh *m, const double *head_m, const bool *reached, const plane_point *at,
                   double *out);

#endif
