#include "store/rows.h"

#include <math.h>
#include <string.h>

static const survey_field fold_list[] = {
    {"face_a", FIELD_NAME, true, .offset = offsetof(survey_fold, face_a)},
    {"face_b", FIELD_NAME, true, .offset = offsetof(survey_fold, face_b)},
};
static const survey_field part_list[] = {{"face", FIELD_NAME, true, .offset = offsetof(survey_part, face)}};
static const survey_field note_list[] = {{"note", FIELD_TEXT, true, .offset = 0}}; /* a const char * */
static const survey_field sign_list[] = {{"sign", FIELD_WORD, true, .offset = 0,   /* an int */
                                          .words = survey_sign_words, .n_words = SIGN_COUNT}};
static const survey_field method_list[] = {{"method", FIELD_WORD, true, .offset = 0, /* an int */
                                            .words = survey_method_words, .n_words = METHOD_COUNT}};
static const survey_field typical_list[] = {
    {"air", FIELD_NUMBER, true, .offset = 0, .q = UNITS_TEMPERATURE}};         /* a double */
static const survey_field day_list[] = {{"day", FIELD_WORD, true, .offset = 0, /* an int */
                                         .words = survey_day_words, .n_words = SURVEY_WEEK_DAYS}};
static const survey_field holiday_list[] = {{"on", FIELD_DATE, true, .offset = 0}}; /* a const char * */
static const survey_fields day_fields = {day_list, 1}, holiday_fields = {holiday_list, 1};
static const survey_fields method_fields = {method_list, 1}, typical_fields = {typical_list, 1};
static const survey_fields fold_fields = {fold_list, 2}, part_fields = {part_list, 1},
                           note_fields = {note_list, 1}, sign_fields = {sign_list, 1};

#define WHOLE(table) {{"", &(table), 0, ROW_ALWAYS}}, 1
#define LEVELS(table, type)                                                                                  \
    {{"", &(table), 0, ROW_ALWAYS},                                                                          \
     {"today_", &survey_level_fields, offsetof(type, today), ROW_LEVEL},                                     \
     {"design_", &survey_level_fields, offsetof(type, design), ROW_LEVEL}},                                  \
        3

const row_shape row_shapes[ROW_SHAPES] = {
    [ROW_SITE] = {"site",
                  {"one"},
                  1,
                  {{"", &survey_site_fields, 0, ROW_ALWAYS},
                   {"today_", &survey_level_fields, offsetof(survey_site, today), ROW_LEVEL},
                   {"design_", &survey_level_fields, offsetof(survey_site, design), ROW_LEVEL},
                   {"work_", &survey_work_fields, offsetof(survey_site, work), ROW_ALWAYS},
                   {"plant_", &survey_plant_fields, offsetof(survey_site, work), ROW_ALWAYS},
                   {"forecast_", &survey_forecast_fields, offsetof(survey_site, forecast), ROW_ALWAYS}},
                  6},
    [ROW_SITE_EXCLUDED] = {"site_excluded", {"seq"}, 1, WHOLE(method_fields)},
    [ROW_AIR] = {"air", {"seq"}, 1, WHOLE(survey_air_fields)},
    [ROW_TYPICAL] = {"typical", {"day"}, 1, WHOLE(typical_fields)},
    [ROW_WORK_DAY] = {"work_day", {"seq"}, 1, WHOLE(day_fields)},
    [ROW_HOLIDAY] = {"holiday", {"seq"}, 1, WHOLE(holiday_fields)},
    [ROW_WORKER] = {"worker", {"seq"}, 1, WHOLE(survey_worker_fields)},
    [ROW_FORECAST_HOUR] = {"forecast_hour", {"hour"}, 1, WHOLE(survey_weather_fields)},
    [ROW_FACE] = {"face", {"place"}, 1, LEVELS(survey_face_fields, survey_face)},
    [ROW_FACE_POINT] = {"face_point", {"face", "ring", "seq"}, 3, WHOLE(survey_point_fields)},
    [ROW_FOLD] = {"fold",
                  {"place"},
                  1,
                  {{"", &fold_fields, 0, ROW_ALWAYS},
                   {"a0_", &survey_point_fields, offsetof(survey_fold, a), ROW_ALWAYS},
                   {"a1_", &survey_point_fields, offsetof(survey_fold, a) + sizeof(survey_point), ROW_ALWAYS},
                   {"b0_", &survey_point_fields, offsetof(survey_fold, b), ROW_ALWAYS},
                   {"b1_", &survey_point_fields, offsetof(survey_fold, b) + sizeof(survey_point),
                    ROW_ALWAYS}},
                  5},
    [ROW_DEFECT] = {"defect",
                    {"place"},
                    1,
                    {{"", &survey_defect_fields, 0, ROW_ALWAYS},
                     {"overrule_", &survey_overrule_fields, offsetof(survey_defect, overrule), ROW_OVERRULE}},
                    2},
    [ROW_EXCLUDED] = {"excluded", {"defect", "seq"}, 2, WHOLE(method_fields)},
    [ROW_SIGN] = {"sign", {"defect", "seq"}, 2, WHOLE(sign_fields)},
    [ROW_PART] = {"part", {"defect", "seq"}, 2, WHOLE(part_fields)},
    [ROW_PART_POINT] = {"part_point", {"defect", "part", "seq"}, 3, WHOLE(survey_point_fields)},
    [ROW_STATION] = {"station", {"defect", "seq"}, 2, WHOLE(survey_station_fields)},
    [ROW_FLOW] = {"flow", {"defect", "seq"}, 2, WHOLE(survey_flow_fields)},
    [ROW_READING] = {"reading", {"defect", "seq"}, 2, WHOLE(survey_reading_fields)},
    [ROW_OPEN] = {"open_place", {"defect", "seq"}, 2, WHOLE(survey_open_fields)},
    [ROW_NOTE] = {"note", {"defect", "seq"}, 2, WHOLE(note_fields)},
    [ROW_PHOTO] = {"photo", {"defect", "seq"}, 2, WHOLE(survey_photo_fields)},
    [ROW_MATERIAL] = {"material", {"place"}, 1, WHOLE(survey_material_fields)},
    [ROW_PACK] = {"pack", {"material", "seq"}, 2, WHOLE(survey_pack_fields)},
    [ROW_RATE] = {"rate", {"place"}, 1, WHOLE(survey_rate_fields)},
    [ROW_PRICE] = {"price", {"place"}, 1, WHOLE(survey_price_fields)},
    [ROW_ANSWER] = {"answer", {"place"}, 1, WHOLE(survey_answer_fields)},
    [ROW_TANK] = {"tank", {"place"}, 1, WHOLE(survey_tank_fields)},
};

/* The columns of a shape, quoted (some are words of SQL), with commas; returns how many. */
static int add_columns(const row_shape *shape, text *to) {
    char column[FIELD_NAME_SIZE];
    int n = 0;
    for (; n < shape->n_keys; n++) text_print(to, "%s\"%s\"", n ? ", " : "", shape->keys[n]);
    for (int i = 0; i < shape->n_segments; i++) {
        const row_segment *s = &shape->segments[i];
        for (size_t k = 0; k < s->fields->n; k++, n++)
            text_print(to, ", \"%s%s\"", s->prefix, survey_field_column(&s->fields->fields[k], column));
    }
    return n;
}

void rows_insert_sql(const row_shape *shape, text *to) {
    text_print(to, "INSERT INTO \"%s\" (", shape->table);
    int n = add_columns(shape, to);
    text_add(to, ") VALUES (");
    for (int i = 0; i < n; i++) text_add(to, i ? ", ?" : "?");
    text_add(to, ")");
}

void rows_select_sql(const row_shape *shape, text *to) {
    text_add(to, "SELECT ");
    add_columns(shape, to);
    text_print(to, " FROM \"%s\" ORDER BY ", shape->table);
    for (int i = 0; i < shape->n_keys; i++) text_print(to, "%s\"%s\"", i ? ", " : "", shape->keys[i]);
}

static int bind_member(sqlite3_stmt *s, int at, const survey_field *f, const void *member) {
    union {
        const char *words;
        int word;
        bool yes;
        double number;
        maybe value;
    } m;
    switch (f->kind) {
    case FIELD_NAME:
    case FIELD_TEXT:
    case FIELD_DATE:
    case FIELD_HOUR:
    case FIELD_PATH:
        memcpy(&m.words, member, sizeof m.words);
        return sqlite3_bind_text(s, at, m.words, -1, SQLITE_STATIC);
    case FIELD_CURRENCY: return sqlite3_bind_text(s, at, member, -1, SQLITE_STATIC);
    case FIELD_WORD:
        memcpy(&m.word, member, sizeof m.word);
        return sqlite3_bind_text(s, at, f->words[m.word], -1, SQLITE_STATIC);
    case FIELD_BOOL: memcpy(&m.yes, member, sizeof m.yes); return sqlite3_bind_int(s, at, m.yes);
    case FIELD_NUMBER:
        memcpy(&m.number, member, sizeof m.number);
        return sqlite3_bind_double(s, at, m.number);
    case FIELD_MAYBE:
        memcpy(&m.value, member, sizeof m.value);
        return m.value.known ? sqlite3_bind_double(s, at, m.value.v) : sqlite3_bind_null(s, at);
    }
    return SQLITE_MISUSE;
}

static bool is_absent(const row_segment *segment, const void *from) {
    switch (segment->optional) {
    case ROW_LEVEL: return !((const survey_level *)from)->level_m.known;
    case ROW_OVERRULE: return !((const survey_overrule *)from)->given;
    case ROW_ALWAYS: break;
    }
    return false;
}

int rows_insert(sqlite3_stmt *insert, const row_shape *shape, const long long *keys, const void *object) {
    int at = 1, code = SQLITE_OK;
    for (int i = 0; i < shape->n_keys && code == SQLITE_OK; i++)
        code = sqlite3_bind_int64(insert, at++, keys[i]);
    for (int i = 0; i < shape->n_segments; i++) {
        const row_segment *segment = &shape->segments[i];
        const void *from = (const char *)object + segment->offset;
        for (size_t k = 0; k < segment->fields->n && code == SQLITE_OK; k++, at++) {
            const survey_field *f = &segment->fields->fields[k];
            code = is_absent(segment, from) ? sqlite3_bind_null(insert, at)
                                            : bind_member(insert, at, f, (const char *)from + f->offset);
        }
    }
    if (code != SQLITE_OK) return code;
    code = sqlite3_step(insert);
    int reset = sqlite3_reset(insert);
    return code == SQLITE_DONE ? reset : code;
}

static status read_text(sqlite3_stmt *s, int at, arena *memory, void *member) {
    const char *given = (const char *)sqlite3_column_text(s, at);
    const char *copy = given ? arena_copy(memory, given) : NULL;
    if ((given || sqlite3_column_type(s, at) != SQLITE_NULL) && !copy) return E_MEMORY;
    memcpy(member, &copy, sizeof copy);
    return OK;
}

static status read_word(sqlite3_stmt *s, int at, const survey_field *f, void *member) {
    const char *given = (const char *)sqlite3_column_text(s, at);
    if (!given) return sqlite3_column_type(s, at) == SQLITE_NULL ? E_FORMAT : E_MEMORY;
    for (size_t i = 0; i < f->n_words; i++) {
        int word = (int)i;
        if (strcmp(f->words[i], given) != 0) continue;
        memcpy(member, &word, sizeof word);
        return OK;
    }
    return E_FORMAT;
}

static status read_currency(sqlite3_stmt *s, int at, char *member) {
    const char *given = (const char *)sqlite3_column_text(s, at);
    if (!given || strlen(given) != 3) return given ? E_FORMAT : E_MEMORY;
    memcpy(member, given, 4);
    return OK;
}

static status read_member(sqlite3_stmt *s, int at, const survey_field *f, arena *memory, void *member) {
    bool yes;
    double number;
    maybe value;
    switch (f->kind) {
    case FIELD_NAME:
    case FIELD_TEXT:
    case FIELD_DATE:
    case FIELD_HOUR:
    case FIELD_PATH: return read_text(s, at, memory, member);
    case FIELD_CURRENCY: return read_currency(s, at, member);
    case FIELD_WORD: return read_word(s, at, f, member);
    case FIELD_BOOL:
        yes = sqlite3_column_int(s, at) != 0;
        memcpy(member, &yes, sizeof yes);
        return OK;
    case FIELD_NUMBER:
        number = sqlite3_column_double(s, at);
        memcpy(member, &number, sizeof number);
        return isfinite(number) ? OK : E_FORMAT; /* SQLite keeps an infinite one, nobody here writes it */
    case FIELD_MAYBE:
        value = (maybe){sqlite3_column_type(s, at) != SQLITE_NULL, sqlite3_column_double(s, at)};
        memcpy(member, &value, sizeof value);
        return isfinite(value.v) ? OK : E_FORMAT;
    }
    return E_FORMAT;
}

status rows_read(sqlite3_stmt *select, const row_shape *shape, arena *memory, void *object) {
    int at = shape->n_keys;
    status code = OK;
    for (int i = 0; i < shape->n_segments; i++) {
        const row_segment *segment = &shape->segments[i];
        char *into = (char *)object + segment->offset;
        bool absent = segment->optional != ROW_ALWAYS && sqlite3_column_type(select, at) == SQLITE_NULL;
        if (segment->optional == ROW_OVERRULE) ((survey_overrule *)(void *)into)->given = !absent;
        for (size_t k = 0; k < segment->fields->n && code == OK; k++, at++) {
            const survey_field *f = &segment->fields->fields[k];
            if (!absent) code = read_member(select, at, f, memory, into + f->offset);
        }
    }
    return code;
}
