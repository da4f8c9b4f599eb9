/* rows.h - objects of a survey as rows, by the tables of members in survey/fields.h.
 *
 * A shape names a table, its key columns and the members that follow. SQL is made from it, so the order of
 * columns cannot drift; values are bound, never written into SQL. Threads  no shared state. */
#ifndef STANCH_STORE_ROWS_H
#define STANCH_STORE_ROWS_H

#include "core/text.h"
#include "survey/fields.h"

#include <sqlite3.h>

/* A struct that may not be given: then all its columns are NULL, and its first one tells. */
typedef enum { ROW_ALWAYS, ROW_LEVEL, ROW_OVERRULE } row_optional;

/* Members of one struct inside the object, their columns prefixed ("today_"). */
typedef struct {
    const char *prefix;
    const survey_fields *fields;
    size_t offset;
    row_optional optional;
} row_segment;

enum { ROW_KEYS_MOST = 3, ROW_SEGMENTS_MOST = 6 };

typedef struct {
    const char *table;
    const char *keys[ROW_KEYS_MOST]; /* in the order of the primary key */
    int n_keys;
    row_segment segments[ROW_SEGMENTS_MOST];
    int n_segments;
} row_shape;

enum {
    ROW_SITE,
    ROW_SITE_EXCLUDED,
    ROW_AIR,
    ROW_TYPICAL,
    ROW_WORK_DAY,
    ROW_HOLIDAY,
    ROW_WORKER,
    ROW_FORECAST_HOUR,
    ROW_FACE,
    ROW_FACE_POINT,
    ROW_FOLD,
    ROW_DEFECT,
    ROW_SIGN,
    ROW_EXCLUDED,
    ROW_PART,
    ROW_PART_POINT,
    ROW_STATION,
    ROW_FLOW,
    ROW_READING,
    ROW_OPEN,
    ROW_NOTE,
    ROW_PHOTO,
    ROW_MATERIAL,
    ROW_PACK,
    ROW_RATE,
    ROW_PRICE,
    ROW_ANSWER,
    ROW_TANK,
    ROW_SHAPES
};

/* Parents stand before their children. */
extern const row_shape row_shapes[ROW_SHAPES];

/* "INSERT INTO ..." and "SELECT keys, members ... ORDER BY keys", appended to `to`. */
void rows_insert_sql(const row_shape *shape, text *to);
void rows_select_sql(const row_shape *shape, text *to);

/* Bind keys and members of `object` to an insert, run and reset it. Returns an SQLite code. Texts are bound
 * without a copy. */
int rows_insert(sqlite3_stmt *insert, const row_shape *shape, const long long *keys, const void *object);

/* Read the current row of a select into `object` (zeroed before); texts go to `memory`. OK, E_MEMORY, or
 * E_FORMAT when a word is not one of ours. */
status rows_read(sqlite3_stmt *select, const row_shape *shape, arena *memory, void *object);

#endif
