/* hours.h - labour-hours of one leak by step of work: quantity x rate, times the factor for work overhead; only for
 * src/price.   Threads  no shared state. */
#ifndef STANCH_PRICE_HOURS_H
#define STANCH_PRICE_HOURS_H

#include "price/ways.h"

/* Adds to *out, which is 0 before; stays 0 where nothing is priced. `overhead`: at a soffit. */
void hours_count(const survey *s, const repair_design *design, const takeoff_leak *takeoff,
                 const double ways[WAYS_COUNT], bool overhead, estimate_leak *out);

#endif
