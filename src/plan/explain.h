/* explain.h - how the rows of an explanation are put down; only for src/plan.
 * Threads  as plan.h. */
#ifndef STANCH_PLAN_EXPLAIN_H
#define STANCH_PLAN_EXPLAIN_H

#include "plan/parts.h"

typedef struct {
    plan *p;
    size_t leak;
    plan_reason *rows;
    size_t n;
    const char *group; /* of the rows that follow */
    fault *why;
    status code; /* the first fault; nothing is put down after it */
} explaining;

/* One row; a value or inputs of NULL is memory that was not there. Texts are kept as they are: in the plan's arena. */
void explain_row(explaining *e, const char *label, const char *value, const char *equation,
                 const char *inputs, const char *source);

/* explain_why.c: groups "Why" (movement, healing, tightness, causes) and "Method". */
void explain_why(explaining *e);
void explain_method(explaining *e);

/* explain_steel.c: group "Steel". */
void explain_steel(explaining *e);

/* explain_ways.c: groups "Injection", "Flexible seal" and "Drain". */
void explain_ways(explaining *e);

/* explain_takeoff.c: groups "Quantities" and "Hours and money". */
void explain_quantities(explaining *e);
void explain_money(explaining *e);

#endif
