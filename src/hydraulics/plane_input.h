/* plane_input.h - what a crack plane is made of: panels, joins, reliefs, measured flows.
 *
 * Units  SI, degrees Celsius.   Threads  plain data, borrowed by all who read it. */
#ifndef STANCH_HYDRAULICS_PLANE_INPUT_H
#define STANCH_HYDRAULICS_PLANE_INPUT_H

#include "core/json_in.h" /* maybe */
#include "hydraulics/relief.h"

#include <stdatomic.h>

#define PLANE_SHORTEST_M 1e-4 /* a stretch, the way between stations, a part left of the wall; our limit */
#define PLANE_FINEST_M 0.0005
#define PLANE_COARSEST_M 10.0
#define PLANE_MESH_M 0.02       /* our default */
#define PLANE_LONGEST_M 10000.0 /* chainage; our limit */
#define PLANE_HIGHEST_M 10000.0 /* elevation and level; our limit */
#define PLANE_LEVELS 7          /* halvings towards singular points; measured, docs/adr */

typedef enum { PLANE_WALL, PLANE_FLOOR, PLANE_SOFFIT } plane_lie; /* floor: dry face above; soffit: below */
typedef struct {
    double chainage_m, elevation_m; /* of the dry face */
    double width_m, width_wet_m;    /* at the dry and at the wet face; 0: closed */
} plane_station;
typedef struct {
    double from_m, to_m;
} plane_stretch;
typedef struct {
    double from_m, to_m, depth_m;
} plane_slot;
typedef struct {
    double chainage_m, from_depth_m, to_depth_m;
} plane_barrier;
typedef struct {
    const char *id;
    double thickness_m;
    plane_lie lie;
    maybe water_level_m; /* else the input's */
    const plane_station *stations;
    const plane_slot *slots;
    const plane_stretch *sealed;
    const plane_barrier *barriers;
    const plane_stretch *cutoff_open;
    size_t stations_n, slots_n, sealed_n, barriers_n, cutoff_open_n;
    maybe cutoff_depth_m; /* a waterstop all along but for cutoff_open */
} plane_panel;
typedef struct {
    size_t panel;
    double chainage_m;
} plane_spot;
typedef struct {
    plane_spot a, b;
} plane_join;
typedef struct {
    plane_spot at;
    double hole_m, depth_m;
    relief_tube tube;         /* its temperature_c is not read: the input's holds */
    maybe outlet_elevation_m; /* else that of the dry face at the spot */
} plane_relief;
typedef struct {
    size_t panel;
    double from_m, to_m;
} plane_interval;
/* One vessel, one flow: what all the intervals give together. A stretch over a fold has one on each panel. */
typedef struct {
    const plane_interval *on; /* at least one; those on one panel do not overlap */
    size_t on_n;
    double flow_m3_s;
    bool as_given; /* else on the uncut, unsealed plane without reliefs */
} plane_measured;
typedef struct {
    plane_spot at;
    double depth_m;
} plane_point;

typedef struct {
    double temperature_c, flow_factor, mesh_m;
    maybe water_level_m;
    const plane_panel *panels;
    const plane_join *joins;
    const plane_relief *reliefs;
    const plane_measured *measured; /* any: flow_factor is not read but found */
    const plane_interval *report;
    const plane_point *heads;
    size_t panels_n, joins_n, reliefs_n, measured_n, report_n, heads_n;
    double memory_limit_bytes; /* 0: our default, PLANE_MEMORY_BYTES */
    const atomic_bool *stop;   /* NULL, or set from another thread: E_STATE "stopped" soon */
} plane_input;
#define PLANE_MEMORY_BYTES 4e9

/* E_STATE "stopped" once another thread has set it; NULL never is. */
status plane_stopped(const atomic_bool *stop, fault *why);

/* Only the check that plane_solve begins with: E_INPUT names the item, the value and the limit
 * ("panels[0].stations[2].width_mm: ..."). */
status plane_check(const plane_input *in, fault *why);

/* Piezometric elevation of a point at depth y of a panel, and the water level that holds for the panel. */
double plane_elevation_m(const plane_panel *p, double chainage_m, double depth_m);
double plane_level_m(const plane_input *in, size_t panel);

#endif
