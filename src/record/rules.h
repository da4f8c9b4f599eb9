/* rules.h - what holds between the members of a record; only for src/record. */
#ifndef STANCH_RECORD_RULES_H
#define STANCH_RECORD_RULES_H

#include "record/record.h"

#include <stdint.h>

#define RECORD_COLLECTED_LEAST_S 0.1 /* our default: less is no time that somebody took */

/* One sentence for each rule that `r`, read without a fault, breaks. */
void record_check(json_in *in, const json_path *at, const record *r, const char *now);

/* The values measured, as a set: bit k is the k-th member of record_fields. Those of a material (powder, water, packs)
 * are apart. */
uint64_t record_measured(const record *r);
uint64_t record_taken(const record *r);

#endif
