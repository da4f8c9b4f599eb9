/* facts.h - what a person reads of a stored plan, as label and value; only for src/ops.
 *
 * Read from the bodies of the results, so that an old plan is read as a new one is. Values are texts in the units of `p`, also
 * where the body was written in the other system; FACTS_NONE where there is no such figure.
 * Threads  no shared state. */
#ifndef STANCH_OPS_FACTS_H
#define STANCH_OPS_FACTS_H

#include "plan/plan.h"

#define FACTS_NONE "none"

typedef struct {
    const char *label, *value;
    double number; /* of hours and money; else 0 */
} fact;
typedef struct {
    fact *list;
    size_t n;
} facts;

/* bodies: look, design, takeoff, price of a leak; of the job takeoff, price. All in p->memory. E_MEMORY; a body that is no
 * JSON has no figures. */
status facts_of_leak(const plan *p, const char *const bodies[4], facts *out, fault *why);
status facts_of_job(const plan *p, const char *const bodies[2], facts *out, fault *why);

const fact *facts_of_label(const facts *f, const char *label); /* NULL when it is not there */

#endif
