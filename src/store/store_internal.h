/* store_internal.h - what the files of store/ share. Threads  a store belongs to one thread. */
#ifndef STANCH_STORE_INTERNAL_H
#define STANCH_STORE_INTERNAL_H

#include "core/hash.h"
#include "store/store.h"

#include <sqlite3.h>
#include <time.h>

struct store {
    sqlite3 *db;
    char *path;              /* for sentences */
    bool read_only, still;   /* still: store_open_still, no log lay there */
    struct timespec changed; /* still: when the file was changed last */
    int busy_ms;
};

/* One sentence for an SQLite code; `doing` completes "cannot be ..." ("saved", "read"). Returns the status.
 */
status store_fault(const store *st, int code, const char *doing, fault *why);

/* Run statements without parameters. */
status store_exec(store *st, const char *sql, const char *doing, fault *why);

/* Between store_begin and its end. */
bool store_in_transaction(const store *st);

/* BEGIN IMMEDIATE, `work`, COMMIT; on any error ROLLBACK. E_STATE when opened to read. */
typedef status store_work(store *st, const void *data, fault *why);
status store_transaction(store *st, store_work *work, const void *data, fault *why);

/* The step of migration 6: every record gets its hash, in order, and from then on none comes in without one. Returns an
 * SQLite code; the caller's transaction holds it together. */
int store_chain_fill(sqlite3 *db);

/* The seq that the next record gets, and the hash of the one before it. Within a transaction that writes (BEGIN
 * IMMEDIATE), so that two processes cannot both follow the same record. */
status store_chain_next(store *st, long long *seq, char before[HASH_TEXT], fault *why);

/* Replace all tables of the survey, inside a transaction of the caller. `data` is a const survey *. */
status store_write_survey(store *st, const void *data, fault *why);

#endif
