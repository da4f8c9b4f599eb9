/* plane_parts.h - what the files of the crack plane share among themselves; no one else includes it.
 * Threads  no shared state. */
#ifndef STANCH_HYDRAULICS_PLANE_PARTS_H
#define STANCH_HYDRAULICS_PLANE_PARTS_H

#include "hydraulics/plane.h"
#include "hydraulics/plane_mesh.h"

/* ---- lines of a grid (plane_lines.c) ---- */

#define PLANE_SNAP_M                                                                                         \
    2e-6 /* lines nearer than this are one; our choice, far below what anyone can measure   \
                           */

/* Ascending lines that the grid must have, first and last its ends. */
typedef struct {
    plane_line *line;
    size_t n;
    bool failed; /* memory ran out while lines were added */
} plane_lines;

/* Lines along the chainage of a panel, and those through the wall shared by all panels of a group of joined
 * ones (`group`: panel -> a number that joined panels share). */
void plane_lines_along(const plane_input *in, const plane_mesh_options *o, size_t panel, arena *memory,
                       plane_lines *out);
void plane_lines_across(const plane_input *in, const plane_mesh_options *o, const size_t *group, size_t panel,
                        arena *memory, plane_lines *out);
size_t *plane_groups(const plane_input *in, arena *memory); /* NULL without memory */

/* Elements between the lines, and their ends (count + 1, ascending) in `memory`; NULL without memory. */
double plane_lines_count(const plane_lines *l, double mesh_m, int levels);
double *plane_lines_divide(const plane_lines *l, double mesh_m, int levels, int *elements, arena *memory);

/* ---- grids and their cells (plane_grid.c) ---- */

enum { CELL_WALL = -1, CELL_SLOT = -2 }; /* cells cut away by a relief hole: its number, 0 or above */

typedef struct {
    int *kind;             /* as plane_grid.cell: CELL_WALL, CELL_SLOT or the relief */
    bool *sealed;          /* of each column */
    unsigned char *parted; /* 1: nothing passes between cell (i - 1, j) and (i, j); 2: between (i, j - 1) and
                              (i, j); at j + ny * i */
} plane_cells;

bool plane_inside(double at_m, double from_m, double to_m);   /* strictly */
int plane_find_line(const double *lines, int n, double at_m); /* index of the nearest of n + 1 lines */
status plane_cells_mark(const plane_mesh *m, size_t panel, bool uncut, arena *memory, plane_cells *out,
                        fault *why);

/* ---- elements and equations (plane_assemble.c) ---- */

plane_tables *plane_tables_new(arena *memory); /* NULL without memory */

/* ---- disjoint sets (plane_sets.c) ---- */

int plane_sets_root(int *parent, int of);
void plane_sets_unite(int *parent, int a, int b); /* the smaller root stays */

/* ---- one state of the water (plane_state.c) ---- */

enum { STATE_FREE, STATE_WET, STATE_AIR, STATE_RELIEF };

typedef struct {
    const plane_input *in;
    const plane_mesh *mesh;
    double flow_factor;
    char *held;            /* of each dof: STATE_FREE ... */
    double *head_m;        /* of each dof; 0 without water */
    bool *reached;         /* dofs with water */
    bool *active;          /* of each side: water may leave here */
    double *leaves_m3_s;   /* of each dof: out of the plane, at the dofs held */
    double *share_m;       /* of each dof: length of the active sides that meet there */
    double *relief_rise_m; /* of each relief: head on its outline above its outlet; 0 without water */
    bool *relief_runs;     /* water goes through its tube */
    size_t unknowns, passes;
    bool settled;
    double refused_head_m; /* largest pressure head left on a side that was closed for good */
} plane_state;

/* In `memory`. */
status plane_state_solve(const plane_input *in, const plane_mesh *m, double flow_factor, arena *memory,
                         plane_state *out, fault *why);
double plane_side_flow_m3_s(const plane_state *s, size_t side); /* through an air side; 0 when closed */
double plane_side_level_m(const plane_mesh *m, const plane_side *side, int node); /* elevation of a node */
double plane_relief_flow_m3_s(const plane_state *s, size_t relief);
/* Water that leaves on a stretch; with the reliefs in it, or without. */
double plane_interval_flow_m3_s(const plane_state *s, const plane_interval *on, bool reliefs);
double plane_outlet_m(const plane_input *in, size_t relief);

/* ---- reliefs (plane_reliefs.c) ---- */

/* Rises above the outlets such that what the plane gives to each relief, base[r] - sum over q of
 * coupling[r n + q] rise[q] (m3/s), is what its tube passes. `wet`: reliefs that water reaches; runs[r]: its
 * tube passes water. */
status plane_reliefs_balance(const plane_input *in, const bool *wet, const double *base,
                             const double *coupling, double *rise_m, bool *runs, fault *why);

/* ---- the flow factor from measured flows (plane_fit.c) ---- */

status plane_fit(const plane_input *in, const plane_mesh *as_given, plane_fitted *out, double *residuals_m3_s,
                 arena *memory, fault *why);

/* ---- results (plane_report.c) ---- */

status plane_report(const plane_state *s, arena *memory, plane_result *out, fault *why);

/* One more sentence for the result. E_MEMORY. */
status plane_warn(plane_result *out, arena *memory, fault *why, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

#endif
