/* store.h - the job file: one SQLite database that holds a survey and the results computed from it.
 *
 * Use: store_create once; then store_open, store_load, work, store_save, store_close. The schema, with its
 * own comments, is in schema.c; migrations run by themselves when a writer opens an older file. A save is one
 * transaction (BEGIN IMMEDIATE, WAL, synchronous FULL): what returned OK survives a killed process and a
 * power cut; what did not, never was. Values are stored in SI, doubles bit for bit (-0 comes back as 0).
 *
 * Errors  E_FORMAT: no SQLite file, cut short, another program's, or made by a newer stanch. E_IO: missing,
 *   permission, disk full. E_BUSY: another process kept it locked for the timeout. E_STATE: the path is
 *   taken, or a write to a store opened to read. E_INPUT: the survey breaks a rule of the schema. In every
 *   case the file is as it was.
 * Threads  a store belongs to one thread; several processes and stores may share a file. */
#ifndef STANCH_STORE_STORE_H
#define STANCH_STORE_STORE_H

#include "survey/survey.h"

typedef struct store store;

enum { STORE_BUSY_MS = 5000 };

/* Route SQLite's allocations through core/mem. Once, before any other call of this module. */
status store_use_memory_hooks(fault *why);

/* Make a new job file at `path` holding `first`. E_STATE when something is there already; on any other error
 * nothing is left behind. */
status store_create(const char *path, const survey *first, fault *why);

/* Open a job file; *out is the caller's (store_close). Open to write also migrates. */
status store_open(const char *path, bool read_only, store **out, fault *why);
void store_close(store *st); /* NULL is fine */

/* Open to read without making anything beside the file, where nobody's log lies there: SQLite would leave one. It takes the
 * file as one that does not change; whether it was, store_stood_still tells after reading. */
status store_open_still(const char *path, store **out, fault *why);
bool store_stood_still(const store *st);

/* How long to wait for another process before E_BUSY (default STORE_BUSY_MS). */
void store_busy_ms(store *st, int milliseconds);

/* The whole survey; *out is the caller's (survey_free). `origin` of every object is "job". */
status store_load(store *st, survey **out, fault *why);

/* Replace the survey in the file by `s` in one transaction. Results stay; their hashes tell if they are old.
 */
status store_save(store *st, const survey *s, fault *why);

/* One transaction over several calls (load, then save): store_begin is BEGIN IMMEDIATE, so that nobody else
 * changes the job in between; store_save within it joins it. store_close without store_commit takes
 * everything back. E_BUSY as above. */
status store_begin(store *st, fault *why);

/* What is read from here to store_close is one state of the job, whatever others write meanwhile. */
status store_begin_read(store *st, fault *why);
status store_commit(store *st, fault *why);

/* A result of a stage, for one leak or ("") for the job. Texts are borrowed. */
typedef struct {
    const char *stage, *mark;
    const char *inputs_hash, *program_version;
    long long seed;
    const char *body; /* JSON */
} store_result;

/* Insert or replace by stage and mark. store_save_results: `n` of them in one transaction. */
status store_save_result(store *st, const store_result *result, fault *why);
status store_save_results(store *st, const store_result *results, size_t n, fault *why);

/* *found = false and OK when there is none. Texts are copied into `memory`. */
status store_load_result(store *st, const char *stage, const char *mark, arena *memory, store_result *out,
                         bool *found, fault *why);

#endif
