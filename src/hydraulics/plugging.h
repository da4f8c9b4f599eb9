/* plugging.h - in what order to plug a leaking slot, where the last opening must be, and what is met on the
 * way.
 *
 * Model  the plane of plane.h. The slot is closed a segment at a time; after each the flow is solved again.
 * The equations are condensed once on to the slot, the dry face and the outlines of relief holes, S h = f - q
 *        (sparse.h); any state of closing is then small dense algebra: sealed places are free (q = 0), open
 * ones held at pressure 0 where water leaves, a relief hole is one head drained by its tube (relief.h). Rules
 * (ours) each sealed stretch grows from its ends toward a relief, the relief's own segment closes last, its
 *        tube still draining; then the tubes are shut. The computed order has the fewest steps above the
 * wash-out limit, then the lowest peak, then the least sum of flow met; relief segments count apart. It is
 * searched on a coarse model (plugging_search.c) and judged, beside the others, on the fine one: never worse
 * than they.   Flow is shared among segments as plane.h shares it. Limits those of plane.h; PLUGGING_SEGMENTS
 * segments. Left out: plugging_result.warnings says. Units  SI, degrees Celsius.   Threads  no shared state;
 * one thread a crack; GSL's error handler off. */
#ifndef STANCH_HYDRAULICS_PLUGGING_H
#define STANCH_HYDRAULICS_PLUGGING_H

#include "hydraulics/plane.h"
#include "hydraulics/plane_mesh.h"

#define PLUGGING_SEGMENT_M 0.15  /* our default: what two hands press home while a plug sets */
#define PLUGGING_SHORTEST_M 0.02 /* our limits on a segment */
#define PLUGGING_LONGEST_M 10.0
#define PLUGGING_WASHOUT_M2_S (10 / 60e3) /* our default: 10 l/min a metre of slot */
#define PLUGGING_RELIEF_DEPTH_M 0.085     /* our default within the 75-100 mm of common practice */
#define PLUGGING_ROUGHNESS_M 1.5e-6       /* of the tubes: smooth plastic, common practice */
#define PLUGGING_ENTRY_LOSS 0.8           /* projecting inlet, our default */
#define PLUGGING_EXIT_LOSS 1.0            /* Idelchik p. 349, through a page that quotes it */
#define PLUGGING_LEVELS 2                 /* halvings towards singular points; measured, docs/adr */
enum { PLUGGING_SEGMENTS = 400, PLUGGING_RELIEFS = 4, PLUGGING_PICTURES = 3 }; /* our limits */

typedef enum { PLUGGING_LEAST_FIRST, PLUGGING_INWARD, PLUGGING_COMPUTED, PLUGGING_ORDERS } plugging_order;

typedef struct {
    plane_input plane; /* its reliefs, if any, are used and none is searched; its sealed stretches are closed
                          from the start; report and heads are not read */
    double segment_m, washout_m2_s;
    size_t reliefs_allowed; /* to be searched, at most PLUGGING_RELIEFS */
    relief_tube tube;       /* of the searched ones; the hole is as wide as its bore */
    double relief_depth_m;
    bool wanted[PLUGGING_ORDERS];
    int picture_nx,
        picture_ny; /* points of the pictures' head fields a panel, each at least 2; 0: no pictures */
    void (*progress)(void *to,
                     double part); /* NULL, or told how much of the run is done, 0 to 1, never less */
    void *progress_to;
} plugging_input;

typedef struct {
    plane_interval on;
    double flow_m3_s;  /* met: out of this segment just before it is closed, tube apart */
    double total_m3_s; /* out of the plane once it is closed, tubes included */
    double max_back_head_m,
        fresh_head_m; /* pressure head then: behind all plugs, behind this one; at least 0 */
    int relief;       /* whose segment this is, or -1 */
} plugging_step;
typedef struct {
    plane_relief relief;
    double flow_m3_s, back_head_m; /* when all but the tubes is closed */
} plugging_relief;
typedef struct {
    plugging_step *steps; /* the slot exactly once, less what was sealed; relief segments last */
    size_t steps_n, over_washout, reliefs_n;
    plugging_relief *reliefs;
    double peak_m2_s, met_m3_s, relief_met_m2_s; /* largest and sum of flow met; largest at reliefs */
    double start_m3_s;                           /* out of the plane, slot open, reliefs draining */
    double shut_back_head_m, shut_m3_s;          /* tubes closed too */
    bool unsettled; /* where water leaves the dry face was not found at every step */
} plugging_outcome;

/* One state for a drawing: heads[panel][i + nx * j], chainage from end to end, depth from 0 to the thickness
 * (NAN where the plane is cut away or dry); and the flow along the dry face and slot, a row an element. */
typedef struct {
    size_t closed; /* steps done */
    double **head_m;
    plane_interval *face;
    double *flow_m2_s;
    size_t face_n;
} plugging_picture;

typedef struct {
    plugging_outcome orders[PLUGGING_ORDERS]; /* those wanted; the others zeroed */
    plugging_order best, drawn;               /* by the measure; by the rule of the drawing */
    double flow_factor;
    maybe uncut_m3_s; /* as plane_fitted */
    size_t unknowns, kept;
    const plane_line *lines; /* of the mesh beyond those of the plane: with them plane.h can check any step */
    size_t lines_n;
    bool exact_search;                            /* no state was left out by the search */
    plugging_picture pictures[PLUGGING_PICTURES]; /* drawn order: before, half-way, before the last plug */
    const char **warnings;
    size_t warnings_n;
} plugging_result;

const char *plugging_order_name(plugging_order order); /* "least-first", "inward", "computed" */

/* Only the flow factor of the plane: milliseconds. Errors as plugging_run. */
status plugging_flow_factor(const plugging_input *in, plane_fitted *out, fault *why);

/* Only the check that they begin with. */
status plugging_check(const plugging_input *in, fault *why);

/* Check, condense, run. All of *out lives in `memory`. E_INPUT names the value; E_STATE when stopped; E_MEMORY; *out is
 * zeroed on error. */
status plugging_run(const plugging_input *in, arena *memory, plugging_result *out, fault *why);

/* How far the seal over a slot must run on past both its ends along the dry face, all shut, until no more
 * than a limit leaves beyond it. Lengths tried: every 50 mm to 0.6 m, then every 150 mm to 3 m. A slot cut to
 * the last wet mark of a crack that is open further gives the run past that mark. */
typedef struct {
    double past_m;           /* the least length tried that does; HUGE_VAL: none */
    double beyond_m3_s;      /* leaves beyond it (beyond 3 m) */
    double practice_m3_s[2]; /* leaves beyond 300 and 450 mm, the common practice */
    bool practice_governs;   /* 300 mm does already */
} plugging_past;
status plugging_seal_past(const plugging_input *in, double limit_m3_s, plugging_past *out, fault *why);

#endif
