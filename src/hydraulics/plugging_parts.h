/* plugging_parts.h - what the files of the plugging run share among themselves; no one else includes it.
 * Threads  no shared state. */
#ifndef STANCH_HYDRAULICS_PLUGGING_PARTS_H
#define STANCH_HYDRAULICS_PLUGGING_PARTS_H

#include "hydraulics/plane_parts.h"
#include "hydraulics/plugging.h"
#include "sparse/sparse.h"

#define PLUGGING_TIE_M 1e-6 /* places nearer than this are one */

/* ---- the slot cut in segments (plugging_cut.c) ---- */

/* A chain is a stretch of slot without a gap; its segments follow one another. */
typedef struct {
    plane_interval on;
    size_t chain;
} plugging_segment;
typedef struct {
    plugging_segment *segments; /* by panel, then chainage */
    size_t n, chains;
} plugging_cut;

status plugging_cut_make(const plane_input *plane, double segment_m, arena *memory, plugging_cut *out, fault *why);
/* The segment in which a spot lies, or -1. */
int plugging_cut_find(const plugging_cut *cut, const plane_spot *at);

/* May this segment be closed now? relief_of: of each segment the relief in it or -1. Ordinary segments: where a
 * sealed stretch begins or ends, growing toward a relief; between two reliefs a stretch may begin anywhere. Relief
 * segments: once all ordinary ones are closed. */
bool plugging_cut_may_close(const plugging_cut *cut, const int *relief_of, const bool *closed, size_t segment);

/* ---- the condensed plane (plugging_model.c) ---- */

enum { SIDE_DRY = -1, SIDE_SEALED = -2, SIDE_OTHER = -3 };

/* Every array of `kept` is over the kept unknowns; flows are for flow factor 1 until they leave the state. */
typedef struct {
    const plane_input *plane;
    plane_mesh *mesh;
    plugging_cut cut;
    double flow_factor;
    int kept_n;
    int *kept;         /* their dofs in the mesh */
    int *index;        /* of each dof among the kept, or -1 */
    double *stiffness; /* kept_n x kept_n, both triangles */
    double *load, *elevation_m;
    int *part_of_side; /* of each side of the mesh: its segment, or SIDE_... */
    const plane_relief *reliefs; /* given, or candidates */
    size_t reliefs_n;
    int **hole;           /* kept unknowns on the outline of each relief */
    size_t *hole_n;
    sparse_condensed condensed; /* freed by plugging_model_free */
    sparse_matrix whole;
    double *whole_load, *held_m; /* of the equations; of each dof: head where it is held by the water */
    int *equation;
    int unknowns;
} plugging_model;

typedef struct {
    const plane_input *plane; /* without reliefs, report, heads, measured */
    const plugging_cut *cut;
    const plane_relief *reliefs;
    size_t reliefs_n;
    const plane_line *lines; /* further ones */
    size_t lines_n;
    int levels;
    double flow_factor;
} plugging_model_options;

status plugging_model_make(const plugging_model_options *o, arena *memory, plugging_model *out, fault *why);
void plugging_model_free(plugging_model *m);

/* ---- one state of closing (plugging_state.c) ---- */

typedef struct plugging_state plugging_state;

/* Slot open, `reliefs` (numbers of the model's) draining; solved. `memory` holds it all. */
status plugging_state_new(const plugging_model *m, const size_t *reliefs, size_t reliefs_n, arena *memory,
                          plugging_state **out, fault *why);
status plugging_state_close(plugging_state *s, size_t segment, fault *why);
/* Close the tubes as well: another state on the intact plane. */
status plugging_state_shut(plugging_state *s, fault *why);

double plugging_state_flow_m3_s(const plugging_state *s, size_t segment);
double plugging_state_total_m3_s(const plugging_state *s);
double plugging_state_back_head_m(const plugging_state *s, int segment); /* behind its plug; -1: behind all */
/* Of the k-th of the state's reliefs. */
void plugging_state_relief(const plugging_state *s, size_t k, double *flow_m3_s, double *head_m);

#endif
