/* slots.h - the slots of one repair taken together: what a person must know before reading them one by one.
 * Units  SI.   Threads  no shared state. */
#ifndef STANCH_REPORT_SLOTS_H
#define STANCH_REPORT_SLOTS_H

#include "report/say.h"

/* All 0 when nothing is cut. */
typedef struct {
    double least_m, deepest_m; /* depths of cut */
    double plug_least_m, plug_most_m;
    double plug_m; /* of the deepest stretch */
    size_t weak;   /* stretches that do not hold with the safety factor */
} slots_span;

slots_span slots_taken_together(const repair_design *design);

/* "37 mm", "20-50 mm"; the number alone for a column whose heading has the unit. */
const char *slots_size_range(say *words, double least_m, double most_m);
const char *slots_number_range(say *words, double least_m, double most_m);

#endif
