#include "store/store_internal.h"

typedef struct {
    const store_result *list;
    size_t n;
} result_list;

static int bind_result(sqlite3_stmt *s, const store_result *r) {
    const char *const texts[] = {r->stage, r->mark, r->inputs_hash, r->program_version};
    int code = SQLITE_OK;
    for (int i = 0; i < 4 && code == SQLITE_OK; i++)
        code = sqlite3_bind_text(s, i + 1, texts[i], -1, SQLITE_STATIC);
    if (code == SQLITE_OK) code = sqlite3_bind_int64(s, 5, r->seed);
    if (code == SQLITE_OK) code = sqlite3_bind_text(s, 6, r->body, -1, SQLITE_STATIC);
    return code;
}

static status write_results(store *st, const void *data, fault *why) {
    static const char sql[] =
        "INSERT INTO result (stage, mark, inputs_hash, program_version, seed, body) VALUES (?, ?, ?, ?, ?, ?)"
        " ON CONFLICT (stage, mark) DO UPDATE SET inputs_hash = excluded.inputs_hash,"
        " program_version = excluded.program_version, seed = excluded.seed, body = excluded.body";
    const result_list *results = data;
    sqlite3_stmt *s = NULL;
    int code = sqlite3_prepare_v2(st->db, sql, -1, &s, NULL);
    for (size_t i = 0; i < results->n && code == SQLITE_OK; i++) {
        code = bind_result(s, &results->list[i]);
        if (code == SQLITE_OK) code = sqlite3_step(s);
        if (code == SQLITE_DONE) code = sqlite3_reset(s);
    }
    status done = code == SQLITE_OK ? OK : store_fault(st, code, "saved", why);
    sqlite3_finalize(s);
    return done;
}

status store_save_results(store *st, const store_result *results, size_t n, fault *why) {
    result_list list = {results, n};
    return store_transaction(st, write_results, &list, why);
}

status store_save_result(store *st, const store_result *result, fault *why) {
    return store_save_results(st, result, 1, why);
}

static bool copy_column(sqlite3_stmt *s, int column, arena *memory, const char **out) {
    *out = arena_copy(memory, (const char *)sqlite3_column_text(s, column));
    return *out != NULL;
}

static status read_result(sqlite3_stmt *s, arena *memory, store_result *out, fault *why) {
    bool good = copy_column(s, 0, memory, &out->stage) && copy_column(s, 1, memory, &out->mark) &&
                copy_column(s, 2, memory, &out->inputs_hash) &&
                copy_column(s, 3, memory, &out->program_version) && copy_column(s, 5, memory, &out->body);
    out->seed = sqlite3_column_int64(s, 4);
    return good ? OK : fault_memory(why);
}

status store_load_result(store *st, const char *stage, const char *mark, arena *memory, store_result *out,
                         bool *found, fault *why) {
    sqlite3_stmt *s = NULL;
    status done = OK;
    *found = false;
    *out = (store_result){0};
    int code = sqlite3_prepare_v2(st->db,
                                  "SELECT stage, mark, inputs_hash, program_version, seed, body FROM result"
                                  " WHERE stage = ? AND mark = ?",
                                  -1, &s, NULL);
    if (code == SQLITE_OK) code = sqlite3_bind_text(s, 1, stage, -1, SQLITE_STATIC);
    if (code == SQLITE_OK) code = sqlite3_bind_text(s, 2, mark, -1, SQLITE_STATIC);
    if (code == SQLITE_OK) code = sqlite3_step(s);
    if (code == SQLITE_ROW) {
        done = read_result(s, memory, out, why);
        *found = done == OK;
    } else if (code != SQLITE_DONE)
        done = store_fault(st, code, "read", why);
    sqlite3_finalize(s);
    return done;
}
