#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "old_job.h"

#include "store/rows.h"
#include "store/schema.h"

#include <stdio.h>

/* The rows of one table of `two`, a file of the present version, into the same table of an older file. */
static void copy_table(sqlite3 *db, const char *table) {
    char sql[200];
    sqlite3_stmt *names = NULL;
    text copy = {0};
    snprintf(sql, sizeof sql, "SELECT group_concat('\"' || name || '\"') FROM pragma_table_info('%s')",
             table);
    assert_int_equal(sqlite3_prepare_v2(db, sql, -1, &names, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_step(names), SQLITE_ROW);
    const char *columns = (const char *)sqlite3_column_text(names, 0);
    text_print(&copy, "INSERT INTO main.%s (%s) SELECT %s FROM two.%s", table, columns, columns, table);
    if (sqlite3_exec(db, copy.bytes, NULL, NULL, NULL) != SQLITE_OK) fail_msg("%s", sqlite3_errmsg(db));
    sqlite3_finalize(names);
    text_free(&copy);
}

static bool has_table(sqlite3 *db, const char *table) {
    char sql[200];
    sqlite3_stmt *s = NULL;
    snprintf(sql, sizeof sql, "SELECT 1 FROM main.sqlite_schema WHERE name = '%s'", table);
    assert_int_equal(sqlite3_prepare_v2(db, sql, -1, &s, NULL), SQLITE_OK);
    bool found = sqlite3_step(s) == SQLITE_ROW;
    sqlite3_finalize(s);
    return found;
}

void old_job_make(int version, const char *from, const char *to) {
    char sql[200];
    sqlite3 *db = NULL;
    assert_int_equal(sqlite3_open(to, &db), SQLITE_OK);
    assert_int_equal(schema_migrate(db, schema_migrations, version), SQLITE_OK);
    snprintf(sql, sizeof sql, "PRAGMA application_id = %d; ATTACH '%s' AS two", SCHEMA_APPLICATION_ID, from);
    assert_int_equal(sqlite3_exec(db, sql, NULL, NULL, NULL), SQLITE_OK);
    for (int shape = 0; shape < ROW_SHAPES; shape++)
        if (has_table(db, row_shapes[shape].table)) copy_table(db, row_shapes[shape].table);
    assert_int_equal(sqlite3_exec(db,
                                  "INSERT INTO result VALUES ('plan', '', 'abc', '0.1.0', 1, '{}');"
                                  "DETACH two; PRAGMA journal_mode = WAL",
                                  NULL, NULL, NULL),
                     SQLITE_OK);
    sqlite3_close(db);
}
