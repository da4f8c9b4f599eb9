/* plugging_parts.h - what the files of the plugging run share among themselves; no one else includes it.
 * Threads  no shared state. */
#ifndef STANCH_HYDRAULICS_PLUGGING_PARTS_H
#define STANCH_HYDRAULICS_PLUGGING_PARTS_H

#include "hydraulics/plane_parts.h"
#include "hydraulics/plugging.h"
#include "sparse/sparse.h"

#define PLUGGING_TIE_M 1e-6 /* places nearer than this are one */

/* A stretch of the progress of a run; plugging_tell says how much of the stretch is done, 0 to 1. */
typedef struct {
    const plugging_input *in; /* NULL: nobody asks */
    double from, to;
} plugging_span;
void plugging_tell(const plugging_span *span, double part);

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

status plugging_cut_make(const plane_input *plane, double segment_m, arena *memory, plugging_cut *out,
                         fault *why);
/* The segment in which a spot lies, or -1. */
int plugging_cut_find(const plugging_cut *cut, const plane_spot *at);

/* May this segment be closed now? relief_of: of each segment the relief in it or -1. Ordinary segments: where
 * a sealed stretch begins or ends, growing toward a relief; between two reliefs a stretch may begin anywhere.
 * Relief segments: once all ordinary ones are closed. */
bool plugging_cut_may_close(const plugging_cut *cut, const int *relief_of, const bool *closed,
                            size_t segment);

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
    plane_line *lines; /* that it has beyond those of the plane */
    size_t lines_n;
    const plane_relief *reliefs; /* given, or candidates */
    size_t reliefs_n;
    int **hole; /* kept unknowns on the outline of each relief */
    size_t *hole_n;
    sparse_condensed condensed; /* freed by plugging_model_free */
    sparse_matrix whole;
    double *whole_load, *held_m; /* of the equations; of each dof: head where it is held by the water */
    int *equation;
    bool *reached; /* of each dof: water comes there */
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

/* Over the kept unknowns, where not said otherwise. */
enum { HELD_FREE, HELD_AIR, HELD_TUBE };
typedef struct {
    const plugging_model *m;
    plane_input tubes;    /* the plane with the draining reliefs only */
    const size_t *number; /* of each of them in the model */
    bool *tube_wet, *tube_runs;
    int *tube_row;                                                  /* its unknown that stands for all */
    double *rise_m, *before_m, *tube_m3_s, *base, *coupling, *unit; /* unit: a column a relief */
    int *part;             /* of each side; SIDE_OTHER within a hole */
    bool *active, *closed; /* of each side; of each segment */
    char *held;
    double *head_m, *leaves_m3_s, *share_m, *work;
    double *product;    /* stiffness times head */
    int *order, *place; /* the free unknowns as they stand in the factor; of each unknown its place or -1 */
    int free_n;
    double *lower;  /* kept_n x kept_n: factor of the free ones */
    bool unsettled; /* at any step */
} plugging_state;

/* Which reliefs of the model drain, and what is closed to begin with (NULL: nothing). Borrowed as long as the state
 * lives. */
typedef struct {
    const size_t *number;
    size_t reliefs_n;
    const bool *closed;
} plugging_start;
/* Solved. Lives in `memory`. */
status plugging_state_new(const plugging_model *m, const plugging_start *from, arena *memory,
                          plugging_state **out, fault *why);
status plugging_state_close(plugging_state *s, size_t segment, fault *why);
/* Close every side of the dry face nearer than past_m to a slot (for plugging_past.c). */
status plugging_state_close_face(plugging_state *s, double past_m, fault *why);

void plugging_state_flows(const plugging_state *s, double *flow_m3_s); /* out of each segment, tubes apart */
double plugging_state_side_m3_s(const plugging_state *s, size_t side);
double plugging_state_total_m3_s(const plugging_state *s);               /* tubes included */
double plugging_state_back_head_m(const plugging_state *s, int segment); /* behind its plug; -1: behind all */

/* The flow factor of the input, or the one that fits its measured flows (plugging.c). */
status plugging_fit(const plugging_input *in, arena *scratch, plane_fitted *out, fault *why);

/* ---- walking an order (plugging_order.c) ---- */

typedef struct {
    const plugging_model *m;
    const size_t *number; /* reliefs of the model that drain */
    size_t reliefs_n;
    double washout_m2_s;
    double shut_back_head_m, shut_m3_s; /* all closed, tubes too: the same for every order */
    plugging_span walk;                 /* of the next walk */
} plugging_site;

/* Close segment after segment as `order` says; `given` (of ordinary segments) is read for PLUGGING_COMPUTED.
 */
status plugging_walk(const plugging_site *site, plugging_order order, const size_t *given, arena *memory,
                     plugging_outcome *out, fault *why);

/* Of each segment the relief (index into number) that lies in it, or -1; NULL without memory. */
int *plugging_reliefs_in(const plugging_cut *cut, const plane_relief *reliefs, const size_t *number,
                         size_t reliefs_n, arena *memory);

typedef struct {
    size_t over;
    double peak_m2_s, met_m3_s;
} plugging_measure;
bool plugging_better(const plugging_measure *a, const plugging_measure *b); /* strictly */
plugging_measure plugging_measure_of(const plugging_outcome *o);

/* ---- the search on a coarse model (plugging_search.c) ---- */

enum { PLUGGING_BEST = 3 };
typedef struct {
    size_t number[PLUGGING_RELIEFS]; /* of the coarse model's reliefs */
    size_t reliefs_n;
    size_t *order; /* ordinary segments */
    plugging_measure measure;
} plugging_found;
typedef struct {
    plugging_found best[PLUGGING_BEST]; /* the better first, each with other reliefs */
    size_t n;
    int worst; /* relief in the segment that leaks most, slot open; -1 without any */
    bool exact;
} plugging_search_result;

/* `fixed`: all reliefs of the model drain (and may be any number); else up to `allowed` of them are chosen.
 */
typedef struct {
    const plugging_model *coarse;
    bool fixed;
    size_t allowed;
    double washout_m2_s;
    plugging_span span;
} plugging_search_options;
status plugging_search(const plugging_search_options *o, arena *memory, plugging_search_result *out,
                       fault *why);

/* ---- pictures (plugging_picture.c) ---- */

/* The drawn order of *out, walked again on the same model. */
status plugging_draw(plugging_model *m, const plugging_input *in, arena *memory, plugging_result *out,
                     fault *why);

#endif
