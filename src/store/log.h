/* log.h - what a job keeps beside its survey: who changed what, records from the wall, the leaks of a day, pictures laid
 * under faces. Schema version 3 (schema.c).
 *
 * Every call joins a transaction begun by store_begin, and is one of its own otherwise. Texts read are copied into
 * `memory`; lists that are empty are NULL with n = 0.
 * Errors  as store.h. E_STATE: a record with this id and another body is there already.
 * Threads  a store belongs to one thread. */
#ifndef STANCH_STORE_LOG_H
#define STANCH_STORE_LOG_H

#include "core/hash.h"
#include "store/store.h"

typedef struct {
    long long seq;
    const char *at, *by, *through, *what; /* at: YYYY-MM-DDTHH:MM:SSZ; through: "command" or "page" */
} store_change;

/* Append one line to the log (seq is not read). */
status store_log(store *st, const store_change *change, fault *why);

/* store_create with the first line of the log, which the new file has from its beginning. */
status store_create_logged(const char *path, const survey *first, const store_change *change, fault *why);

/* The largest seq of the log: the revision of the job; 0 for one without a log. */
status store_revision(store *st, long long *out, fault *why);

/* Newest first, at most `most`, with seq below `before` (0: from the newest). */
status store_load_log(store *st, long long before, size_t most, arena *memory, store_change **out, size_t *n,
                      fault *why);

/* The job in a line, for a list of jobs. name: "" when the site has none. */
typedef struct {
    const char *name;
    units_system system;
    size_t leaks;
    long long revision;
} store_summary;
status store_summarise(store *st, arena *memory, store_summary *out, fault *why);

typedef struct {
    long long seq;
    const char *id, *mark, *body, *received_at, *received_by;
} store_record;

/* Append (seq is not read). The same id with the same body again: *already = true, *seq of the one that is there. */
status store_add_record(store *st, const store_record *record, long long *seq, bool *already, fault *why);

/* In order of seq, those after `after`, at most `most` (0: all). */
status store_load_records(store *st, long long after, size_t most, arena *memory, store_record **out,
                          size_t *n, fault *why);

/* The last record's seq and hash (record/chain.h); 0 and CHAIN_START where there is none. A hash that was taken away by
 * force reads as CHAIN_START. */
status store_chain_head(store *st, long long *seq, char hash[HASH_TEXT], fault *why);

/* Every record in order of seq, one at a time: the texts hold until the call returns. For looking at a log that somebody
 * may have written over: texts of a damaged row may be NULL, and `plain` is false where one is no text, or goes on behind
 * its end. Stops with the first status that is not OK. */
typedef struct {
    store_record record;
    const char *hash;
    bool plain;
} store_walked;
typedef status store_record_seen(void *data, const store_walked *walked, fault *why);
status store_walk_records(store *st, store_record_seen *seen, void *data, fault *why);

/* What SQLite itself finds wrong with the table of the records and its indexes, at most `most` sentences; none: NULL. */
status store_record_damage(store *st, size_t most, arena *memory, const char ***out, size_t *n, fault *why);

/* The largest seq that a record was ever given, as the file counts; 0 when none was. */
status store_record_count(store *st, long long *largest, fault *why);

/* The leaks of a day, in order; setting replaces the day's list. */
status store_set_day(store *st, const char *date, const char *const marks[], size_t n, fault *why);
status store_load_day(store *st, const char *date, arena *memory, const char ***marks, size_t *n, fault *why);

typedef struct {
    const char *face, *file;
    double corners[8]; /* x, y of four points, parts of width and height from the top left */
    double onto_m[8];  /* u, v of the same on the face */
} store_underlay;

status store_set_underlay(store *st, const store_underlay *underlay, fault *why);
status store_load_underlay(store *st, const char *face, arena *memory, store_underlay *out, bool *found,
                           fault *why);
/* The faces that have one, in order. */
status store_list_underlays(store *st, arena *memory, const char ***faces, size_t *n, fault *why);

#endif
