/* The chain of the records (record/chain.h) in the job file: the next link, the last one, the walk along all of them, and
 * the links of files that were made before there was a chain. */
#include "record/chain.h"

#include "store/log.h"
#include "store/store_internal.h"

#include <limits.h>
#include <string.h>

/* Columns 0 to 6 of the selects below. */
#define RECORD_COLUMNS "seq, id, mark, body, received_at, received_by, hash"

static chain_link link_of(sqlite3_stmt *row) {
    const char *t[5];
    for (int i = 0; i < 5; i++) t[i] = (const char *)sqlite3_column_text(row, i + 1);
    return (chain_link){sqlite3_column_int64(row, 0), t[0], t[1], t[2], t[3], t[4]};
}

/* ---- the last link ---- */

static status end(store *st, sqlite3_stmt *s, int code, fault *why) {
    status result = code == SQLITE_ROW || code == SQLITE_DONE ? OK : store_fault(st, code, "read", why);
    sqlite3_finalize(s);
    return result;
}

status store_chain_head(store *st, long long *seq, char hash[HASH_TEXT], fault *why) {
    sqlite3_stmt *s = NULL;
    *seq = 0;
    memcpy(hash, CHAIN_START, HASH_TEXT);
    int code =
        sqlite3_prepare_v2(st->db, "SELECT seq, hash FROM record ORDER BY seq DESC LIMIT 1", -1, &s, NULL);
    if (code == SQLITE_OK) code = sqlite3_step(s);
    if (code == SQLITE_ROW) {
        const char *kept = (const char *)sqlite3_column_text(s, 1);
        *seq = sqlite3_column_int64(s, 0);
        if (kept && strlen(kept) == HASH_TEXT - 1) memcpy(hash, kept, HASH_TEXT);
        if (!kept && sqlite3_column_type(s, 1) != SQLITE_NULL) code = SQLITE_NOMEM;
    }
    return end(st, s, code, why);
}

/* AUTOINCREMENT keeps the number of the last record that ever was, so that one cut off at the end leaves a gap. */
status store_record_count(store *st, long long *largest, fault *why) {
    sqlite3_stmt *s = NULL;
    *largest = 0;
    int code =
        sqlite3_prepare_v2(st->db, "SELECT seq FROM sqlite_sequence WHERE name = 'record'", -1, &s, NULL);
    if (code == SQLITE_OK) code = sqlite3_step(s);
    if (code == SQLITE_ROW) *largest = sqlite3_column_int64(s, 0);
    return end(st, s, code, why);
}

status store_chain_next(store *st, long long *seq, char before[HASH_TEXT], fault *why) {
    long long last = 0, counted = 0;
    status code = store_chain_head(st, &last, before, why);
    if (code == OK) code = store_record_count(st, &counted, why);
    if (code == OK && (last == LLONG_MAX || counted == LLONG_MAX))
        return fault_set(why, E_FORMAT, "%s: is damaged: no number is left for a record", st->path);
    *seq = (last > counted ? last : counted) + 1;
    return code;
}

/* ---- the walk ---- */

static bool is_plain(sqlite3_stmt *row, int column) {
    if (sqlite3_column_type(row, column) != SQLITE_TEXT) return false;
    const char *t = (const char *)sqlite3_column_text(row, column);
    return t && strlen(t) == (size_t)sqlite3_column_bytes(row, column);
}

status store_walk_records(store *st, store_record_seen *seen, void *data, fault *why) {
    sqlite3_stmt *s = NULL;
    status result = OK;
    int code = sqlite3_prepare_v2(st->db, "SELECT " RECORD_COLUMNS " FROM record ORDER BY seq", -1, &s, NULL);
    if (code == SQLITE_OK) code = sqlite3_step(s);
    for (; code == SQLITE_ROW && result == OK; code = result == OK ? sqlite3_step(s) : code) {
        store_walked walked = {.plain = true};
        for (int i = 1; i < 7; i++) walked.plain = is_plain(s, i) && walked.plain;
        const chain_link l = link_of(s);
        walked.record = (store_record){l.seq, l.id, l.mark, l.body, l.received_at, l.received_by};
        walked.hash = (const char *)sqlite3_column_text(s, 6);
        result = seen(data, &walked, why);
    }
    status read = end(st, s, code, why);
    return result == OK ? read : result;
}

/* An index may tell other things than the table: a bit that turned there is no record's, yet it is damage. */
status store_record_damage(store *st, size_t most, arena *memory, const char ***out, size_t *n, fault *why) {
    sqlite3_stmt *s = NULL;
    *out = NULL;
    *n = 0;
    int code = sqlite3_prepare_v2(st->db, "PRAGMA integrity_check('record')", -1, &s, NULL);
    if (code == SQLITE_OK) code = sqlite3_step(s);
    for (; code == SQLITE_ROW && *n < most; code = sqlite3_step(s)) {
        const char *said = (const char *)sqlite3_column_text(s, 0);
        if (said && strcmp(said, "ok") == 0) continue;
        const char **more = said ? arena_push(memory, *out, n, sizeof *more) : NULL;
        if (!more || !(more[*n - 1] = arena_copy(memory, said))) {
            code = SQLITE_NOMEM;
            break;
        }
        *out = more;
    }
    return end(st, s, code, why);
}

/* ---- files from before the chain ---- */

/* One record after `*seq`: its hash follows from `hash`, which it replaces. SQLITE_DONE after the last. */
static int fill_next(sqlite3_stmt *next, sqlite3_stmt *put, long long *seq, char hash[HASH_TEXT]) {
    int code = sqlite3_bind_int64(next, 1, *seq);
    if (code == SQLITE_OK) code = sqlite3_step(next);
    if (code == SQLITE_ROW) {
        const chain_link l = link_of(next);
        if (!l.id || !l.mark || !l.body || !l.received_at || !l.received_by) return SQLITE_NOMEM;
        *seq = l.seq;
        sqlite3_bind_text(put, 1, chain_hash(hash, &l, hash), -1, SQLITE_STATIC);
        sqlite3_bind_int64(put, 2, l.seq);
        int written = sqlite3_step(put);
        code = written == SQLITE_DONE ? sqlite3_reset(put) : written;
        if (code == SQLITE_OK) code = SQLITE_ROW;
    }
    sqlite3_reset(next);
    return code;
}

static int fill_all(sqlite3 *db) {
    sqlite3_stmt *next = NULL, *put = NULL;
    char hash[HASH_TEXT] = CHAIN_START;
    long long seq = 0;
    int code = sqlite3_prepare_v2(
        db, "SELECT " RECORD_COLUMNS " FROM record WHERE seq > ? ORDER BY seq LIMIT 1", -1, &next, NULL);
    if (code == SQLITE_OK)
        code = sqlite3_prepare_v2(db, "UPDATE record SET hash = ? WHERE seq = ?", -1, &put, NULL);
    if (code == SQLITE_OK) do
            code = fill_next(next, put, &seq, hash);
        while (code == SQLITE_ROW);
    sqlite3_finalize(next);
    sqlite3_finalize(put);
    return code == SQLITE_DONE ? SQLITE_OK : code;
}

int store_chain_fill(sqlite3 *db) {
    int code = sqlite3_exec(db, "DROP TRIGGER record_is_kept", NULL, NULL, NULL);
    if (code == SQLITE_OK) code = fill_all(db);
    if (code != SQLITE_OK) return code;
    return sqlite3_exec(db,
                        "CREATE TRIGGER record_is_kept BEFORE UPDATE ON record"
                        " BEGIN SELECT RAISE(ABORT, 'a record is never changed'); END;"
                        "CREATE TRIGGER record_is_chained BEFORE INSERT ON record WHEN NEW.hash IS NULL"
                        " BEGIN SELECT RAISE(ABORT, 'a record carries the hash of the one before it'); END",
                        NULL, NULL, NULL);
}
