/* proof_parts.h - what the parts of the proof share; only for src/accept.
 *
 * proof.c  which leaks were treated   proof_metres.c  which metres were proved   proof_class.c  one test   proof_moved.c  where the water went
 * proof_say.c  the sentences.   Threads  no shared state. */
#ifndef STANCH_ACCEPT_PROOF_PARTS_H
#define STANCH_ACCEPT_PROOF_PARTS_H

#include "accept/proof.h"

typedef struct {
    const plan *p; /* a copy whose texts go to `memory` */
    arena *memory;
    survey_tightness class_id; /* judged by */
    proof_leak *leaks;
    const char **placed_at; /* a leak: moment when the last of it was placed; NULL: none */
} proving;

/* `t->r` of leak i is judged; stretch, water, class, flow and drips are filled in. */
void proof_class_test(const proving *m, size_t leak, proof_test *t);

/* Metres, verdict, class reached, flows and drips of a leak whose tests are judged. */
status proof_measure(const proving *m, size_t leak, fault *why);

/* The sentence of a test of a leak, and of leak `at` with its tests and metres. */
const char *proof_say_test(const proving *m, size_t leak, const proof_test *t, const char *missing);
const char *proof_say_leak(const proving *m, size_t at);

/* moved_from, moved_is_hint and moved_to of all leaks. */
status proof_find_moved(const proving *m, fault *why);

/* Least distance along the faces between two leaks, over one fold too (its points 0.1 m apart); HUGE_VAL: on faces that do not
 * meet. */
double proof_distance_m(const survey *s, const survey_defect *a, const survey_defect *b);

#endif
