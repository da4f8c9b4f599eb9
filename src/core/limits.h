/* limits.h - the ranges a kernel accepts, checked in one loop with one sentence for the first value outside.
 *
 * Every comparison is written so that NaN fails. Threads  no shared state. */
#ifndef STANCH_CORE_LIMITS_H
#define STANCH_CORE_LIMITS_H

#include "core/fault.h"

typedef struct {
    const char *name; /* of the field, with its unit: "width_m" */
    double value, low, high;
    bool above; /* `low` itself is excluded */
} limits_item;

/* OK when every value lies in its range; else E_INPUT naming the first that does not, its value and range. */
status limits_check(const limits_item items[], size_t count, fault *why);

#endif
