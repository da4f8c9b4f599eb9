/* design.h - the sizes of one repair: slot, plug, relief, hold points.
 *
 * Slot    25 x 37 mm, 300-450 mm past the last wetness, 50-62 mm deep at strong flow (common practice);
 * deeper where the plug needs it; never into the steel: depth <= cover - 10 mm (our default), along its
 * stretch for a bar along the crack, locally for a crossing bar; not scanned is a hold point (trade rule 13).
 * Plug    sized for the full static head at the design level, everything shut (trade rule 2), by perimeter
 * shear (plug.h). Relief  wanted from 1 l/min or 10 l/(min m) up; the smallest stocked bore that leaves at
 * most 10 % of the head behind the plug (our default), by relief.h. Units  SI.   Threads  no shared state. */
#ifndef STANCH_REPAIR_DESIGN_H
#define STANCH_REPAIR_DESIGN_H

#include "diagnose/method.h"
#include "hydraulics/relief.h"
#include "repair/flexible.h"
#include "repair/steel.h"

#define DESIGN_SLOT_WIDTH_M 0.025   /* common practice */
#define DESIGN_SLOT_DEPTH_M 0.037   /* common practice */
#define DESIGN_BAND_M 0.150         /* coat each side of the slot's edge, common practice */
#define DESIGN_RELIEF_DEPTH_M 0.085 /* common practice 75-100 mm */

/* Relief tubes, for the design and for the crack planes (our defaults). */
#define DESIGN_TUBE_USUAL_M 0.020
#define DESIGN_TUBE_LEAVES 0.10 /* of the head, at most, behind the plug */
enum { DESIGN_TUBES = 7 };
extern const double design_tubes_m[DESIGN_TUBES]; /* stocked bores, the smallest first */
relief_tube design_tube(double bore_m, double temperature_c);

/* Why the slot has its depth; the deepest reason counts. */
typedef enum { DEPTH_TRADE, DEPTH_STRONG_FLOW, DEPTH_PLUG, DEPTH_STEEL } design_depth_reason;

/* A stretch of slot of one depth. Chainage may run below 0 or past the trace: the slot goes on straight. */
typedef struct {
    double from_m, to_m, depth_m, plug_m, pack_m; /* plug_m + pack_m = depth_m */
    design_depth_reason reason;
    double safety_found; /* of plug and pack together against the design head; 0 without pressure */
    bool holds;          /* the plug alone reaches the safety factor */
} design_slot;

/* A crossing bar: chip by hand within +-half_m, no deeper than depth_m. */
typedef struct {
    double at_m, half_m, depth_m;
} design_crossing;

typedef struct {
    bool wanted;
    double at_m; /* chainage of the worst place */
    double bore_m, depth_m;
    maybe flow_m3_s, back_head_m; /* through the tube, and left behind the plug, when the flow is known */
    const char *reason;
} design_relief;

/* A port of an injection: where the packer goes in at the face. Of a line the hole of a port leans by
 * atan(half the thickness/|offset|); offset 0: straight in, on the crack. At a place and in an area the line is taken as
 * going straight up the face from the first point: at_m up, offset_m to the right. In an area the holes go straight in. */
typedef struct {
    double at_m;        /* chainage where the hole meets the crack */
    double offset_m;    /* of the hole's mouth from the crack; to the right looking along the trace above 0 */
    double elevation_m; /* on the dry face, where the hole meets the crack: the order goes by it */
    int order;          /* 1: the first to be injected; lowest first */
    bool near_bar;      /* the hole passes a scanned bar nearer than 20 mm: move it */
} design_port;

typedef struct {
    double from_m, to_m; /* stretch injected: the wet length and the margin past it */
    double spacing_m, angle_deg, offset_m, hole_length_m, hole_m; /* hole_m: its diameter */
    const char *spacing_rule;                                     /* which limit gave the spacing */
    double
        face_m; /* of face sealed and scanned: the stretch; round a pipe; a square of the spacing round a tie hole; round
                    * honeycomb (places: our default) */
    design_port *ports;
    size_t n_ports;
    double width_m; /* mean crack width taken for the volume */
    bool width_assumed;
    double net_m3, order_m3;
    char category;             /* of EN 1504-5: F force-transmitting, D ductile, S swelling-fitted */
    bool from_far_side_sealed; /* the wet side can be reached: seal the crack there first */
} design_injection;

typedef struct {
    flexible_result groove;
    flexible_input input;
    const char *movement_basis; /* "measured", "told" */
    double length_m, from_m, to_m, sealant_m3, backer_m;
} design_flexible;

typedef struct {
    double length_m, from_m, to_m; /* channel along the leak, fallen to its outlet */
    double outlet_at_m;            /* chainage of the lowest place */
    double flow_m3_s;              /* that it must carry for good: at flow factor 1 and the design level */
    double channel_m;              /* width and depth of the channel inside, square */
    double pipe_m;                 /* bore of the outlet */
} design_drain;

typedef enum { PLACE_STRAIGHT, PLACE_CONE } design_hole_shape;

typedef struct {
    method_choice method;
    steel_limits steel;
    steel_advice advice[REMEDY_COUNT]; /* where steel leaves less than the plug wants */
    bool advised;
    design_injection injection;   /* of method_is_injection */
    design_flexible flexible;     /* METHOD_FLEXIBLE */
    design_drain drain;           /* METHOD_DRAIN */
    design_hole_shape hole_shape; /* METHOD_HOLE: a cone is cut wider at its base than at its mouth */
    double hole_base_m;     /* METHOD_HOLE: diameter at the base; hole_diameter_m is that of the mouth */
    double place_volume_m3; /* METHOD_HOLE, METHOD_RING, METHOD_CUT_BACK: to be filled, by its own geometry */
    design_slot *slots;     /* lines; a hole or ring has one with from = to = 0 */
    size_t n_slots;
    design_crossing *crossings;
    size_t n_crossings;
    double slot_width_m;
    double plug_need_m;         /* depth the plug needs at PLUG_SAFETY */
    double bond_pa;             /* of the slot's faces */
    double head_m, pressure_pa; /* design level less the lowest elevation of the slot */
    double hole_diameter_m;     /* METHOD_HOLE: drilled out to this */
    double ring_length_m;       /* METHOD_RING: along the middle of the slot */
    double patch_m2;            /* METHOD_CUT_BACK; its depth is that of the one slot */
    design_relief relief;
    bool scan_first;  /* some of the slot was not scanned */
    double pump_m3_s; /* total inflow at flow factor 1; 0 unknown */
} repair_design;

/* True when the plan has sizes to count and to price: not watch and engineer, nor a way whose design wants what was not
 * measured (a flexible seal without its movement). */
bool design_is_priced(const repair_design *design);

/* Depth that a plug wants in a slot of the usual width, this leak's faces and its design head at the lowest place; not
 * known where no level is. */
status design_plug_need(const leak_water *leak, maybe *depth_m, fault *why);

/* One leak, what was found out about it and how it is to be treated. */
typedef struct {
    const leak_water *leak;
    const diagnosis *why_leaks;
    const method_choice *method;
    const steel_limits *steel;
} design_case;

/* Size the repair; findings about steel, thickness and strength are appended to `findings`.
 * E_MEMORY; wrong numbers in the survey were refused before. */
status design_size(const survey *s, const design_case *of, arena *memory, finding_list *findings,
                   repair_design *out, fault *why);

#endif
