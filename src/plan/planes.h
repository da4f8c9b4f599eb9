/* planes.h - the crack planes of a plan: run, or taken from a stored result whose inputs' hash is the same.
 *
 * Each group of leaks (repair/planes.h) is one run of plugging.h, on its own arena, so that groups go to
 * threads. Figures that are only drawn or printed are rounded when they are computed, so that a stored result
 * and a fresh one give the same document. Units  SI.   Threads  plan_run_planes starts its own and joins
 * them. */
#ifndef STANCH_PLAN_PLANES_H
#define STANCH_PLAN_PLANES_H

#include "core/hash.h"
#include "hydraulics/plugging.h"
#include "repair/planes.h"

enum { PLAN_PICTURE_NX = 61, PLAN_PICTURE_NY = 13 }; /* points of a drawn head field, along and through */

typedef struct {
    const planes_group *group;
    arena *memory;        /* of the run; owned */
    char hash[HASH_TEXT]; /* of what it read */
    bool fresh;           /* computed now, to be stored */
    bool
        steady; /* only flow factor and uncut flow were asked for: no orders, no pictures; not to be stored */
    const char *problem; /* NULL, or the sentence why there is no run */
    plugging_result run;
    double tube_bore_m; /* of the relief, 0: none wanted */
    maybe uncut_m3_s;   /* out of the uncut plane today, to set beside the 1-D estimate */
    bool past_known;
    plugging_past past;
} plan_plane;

/* A stored result: the hash of its inputs and its body. */
typedef struct {
    const char *hash, *body;
} plan_known_plane;

/* The result as JSON text for the store, and back into `p` (allocated in p->memory). False: the body is not
 * one. */
void plan_write_plane(const plan_plane *p, text *to);
bool plan_read_plane(const char *body, plan_plane *p);

#endif
