/* history.h - what a job says of itself without being planned or loaded whole: name, revision, log.
 *
 * The revision is the number of the last line of the log: it grows with every change. Errors  as store.h. Threads  one
 * call a job file and thread. */
#ifndef STANCH_OPS_HISTORY_H
#define STANCH_OPS_HISTORY_H

#include "ops/ops.h"

typedef struct {
    const char *name; /* of the site; "" when it has none */
    units_system system;
    size_t leaks;
    long long revision;
} ops_summary;

/* Texts go to `memory`. */
status ops_summarise(const char *path, arena *memory, ops_summary *out, fault *why);

status ops_revision(const char *path, long long *out, fault *why);

enum { OPS_LOG_MOST = 100 };

/* Append {"changes": [{"seq","at","by","through","what"}]}, newest first, OPS_LOG_MOST at most, with seq below `before`
 * (0: from the newest). */
status ops_log_json(const char *path, long long before, text *out, fault *why);

/* Bring a job file of an older version to the present one, so that it can be read; one that is there already stays. */
status ops_bring_up(const char *path, fault *why);

#endif
