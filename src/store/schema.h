/* schema.h - the tables of a job file and the steps from older files to them.
 *
 * user_version is the number of the last migration that was run; migration n turns version n - 1 into n. All
 * that are missing run in one transaction, so a file is never between two versions. Threads  no shared state.
 */
#ifndef STANCH_STORE_SCHEMA_H
#define STANCH_STORE_SCHEMA_H

#include "core/fault.h"

#include <sqlite3.h>

enum { SCHEMA_APPLICATION_ID = 0x53544E43 }; /* "STNC", our own choice */

typedef struct {
    const char *const *statements; /* ends with NULL */
    const char *what;              /* in a few words, for people */
    int (*step)(sqlite3 *db);      /* after them, within the same transaction; an SQLite code. NULL: none */
} schema_migration;

extern const schema_migration schema_migrations[];
extern const int schema_version; /* how many there are */

/* Bring an open database from its user_version to `wanted` by `list`, in one transaction with the new
 * user_version; one that is as far already stays as it is. Returns an SQLite code; on error nothing has
 * changed. */
int schema_migrate(sqlite3 *db, const schema_migration *list, int wanted);

/* The number that a pragma such as "PRAGMA user_version" answers with. Returns an SQLite code. */
int schema_pragma(sqlite3 *db, const char *sql, long long *out);

#endif
