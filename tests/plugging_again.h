/* plugging_again.h - the slow oracle of the plugging run: every step of an order by solving the whole plane anew
 * (plane_state.c) on the same mesh. Shared by tests and bench. Threads  no shared state. */
#ifndef STANCH_TESTS_PLUGGING_AGAIN_H
#define STANCH_TESTS_PLUGGING_AGAIN_H

#include "hydraulics/plugging.h"

/* Largest differences over all steps: flows over the first flow of all (met, totals, after all is shut), heads over
 * the greatest head of all. `unsettled`: the oracle's outflow iteration did not settle somewhere. */
typedef struct {
    double flow, head;
    bool unsettled;
} plugging_difference;

status plugging_again(const plugging_input *in, const plugging_result *fast, const plugging_outcome *order,
                      plugging_difference *out, fault *why);

#endif
