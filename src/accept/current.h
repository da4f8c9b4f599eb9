/* current.h - records as they stand after their corrections; only for src/accept and what
 * ops/learn reads.
 *
 * Model  what a correction gives goes before what stood there, member by member, in the order of seq; of what hand, paper, drips
 *   and collected water said it stands for all, so that no half of an old test is left. Time, name and place stay those of the record that it is about, its seq becomes that of the correction. A correction that gives no value takes the
 *   record away, one after it that does brings it back. A correction may be about a correction.   Threads  no shared state. */
#ifndef STANCH_ACCEPT_CURRENT_H
#define STANCH_ACCEPT_CURRENT_H

#include "record/record.h"

#define RECORD_BIT(what) (1u << (what))

/* Those of the kinds in `whats` (RECORD_BIT set), in order of their time, then of seq; copies in `memory`. `records` by seq. */
status current_records(const record *records, size_t n, unsigned whats, arena *memory, const record ***out,
                       size_t *n_out, fault *why);

#endif
