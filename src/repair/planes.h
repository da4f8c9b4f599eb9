/* planes.h - the crack planes of a job: which leaks share one, and each as input of the plane and of the plugging run.
 *
 * Grouping  Lines with a known level (or a timed flow) and a width are planes. Lines on one face that meet or come
 *   nearer than PLANES_NEAR thicknesses are solved together, joined where they are nearest; so are the parts of one
 *   trace over a fold. A tie hole or pipe that near a line, with a timed flow, is a short panel joined to it, its gap as
 *   wide as its flow asks.
 * Widths    As measured; between stations linear. A station seen dry counts as closed today, since water was seen not to
 *   come there; `past` opens it again and ends the slot at the last wet mark, to find how far a seal must run past it.
 * Units  SI.   Threads  no shared state. */
#ifndef STANCH_REPAIR_PLANES_H
#define STANCH_REPAIR_PLANES_H

#include "hydraulics/plane_input.h"
#include "repair/design.h"

#define PLANES_NEAR 1.0 /* in thicknesses: head decays within about one (hydraulics 5.2, computed by us) */

/* Which part of which defect a panel is. */
typedef struct {
    size_t defect, part;
} planes_owner;

typedef struct {
    plane_input input;    /* slots cut, nothing sealed; measured flows in it */
    planes_owner *owners; /* one a panel */
    size_t *leaks;        /* defects of the group, ascending */
    size_t n_leaks;
    bool relief_wanted; /* any of its leaks wants one */
    bool stop_unknown;  /* a waterstop whose open places are not known: no computed order (trade rule 6) */
} planes_group;

typedef struct {
    planes_group *groups;
    size_t n;
    const char *
        *skipped; /* one a defect: NULL, or why a leaking line has no plane ("no width was measured") */
} planes_list;

/* The groups of a job, in the order of their first defect, all in `memory`. `past`: dry stations keep their
 * width. */
status planes_find(const survey *s, const leak_water *leaks, const repair_design *designs, bool past,
                   arena *memory, planes_list *out, fault *why);

#endif
