#include "store/year.h"

#include "store/store_internal.h"
#include "survey/fields.h"

#include <stdint.h>
#include <string.h>

enum { PER_HOUR = 3, DOUBLE_BYTES = 8, YEAR_BYTES = SURVEY_YEAR_HOURS * PER_HOUR * DOUBLE_BYTES };

static void put_double(unsigned char *to, double value) {
    uint64_t bits;
    memcpy(&bits, &value, sizeof bits);
    for (int i = 0; i < DOUBLE_BYTES; i++) to[i] = (unsigned char)(bits >> 8 * i & 0xFF);
}

static double get_double(const unsigned char *from) {
    uint64_t bits = 0;
    double value;
    for (int i = 0; i < DOUBLE_BYTES; i++) bits |= (uint64_t)from[i] << 8 * i;
    memcpy(&value, &bits, sizeof value);
    return value;
}

static int write_blob(store *st, const void *bytes) {
    sqlite3_stmt *s = NULL;
    int code = sqlite3_prepare_v2(
        st->db,
        "INSERT INTO typical_hours (one, hours) VALUES (1, ?1) ON CONFLICT (one) DO UPDATE "
        "SET hours = excluded.hours WHERE hours <> excluded.hours",
        -1, &s, NULL);
    if (code == SQLITE_OK) code = sqlite3_bind_blob(s, 1, bytes, YEAR_BYTES, SQLITE_STATIC);
    if (code == SQLITE_OK) code = sqlite3_step(s);
    sqlite3_finalize(s);
    return code == SQLITE_DONE ? SQLITE_OK : code;
}

status year_save(store *st, const survey *s, fault *why) {
    if (s->site.n_year == 0) return store_exec(st, "DELETE FROM typical_hours", "saved", why);
    unsigned char *bytes = mem_zero(YEAR_BYTES, 1);
    if (!bytes) return fault_memory(why);
    for (size_t i = 0; i < SURVEY_YEAR_HOURS; i++) {
        const survey_weather *hour = &s->site.year[i];
        unsigned char *to = bytes + i * PER_HOUR * DOUBLE_BYTES;
        put_double(to, hour->air_c);
        put_double(to + DOUBLE_BYTES, hour->humidity_percent);
        put_double(to + (size_t)2 * DOUBLE_BYTES, hour->wind_km_h);
    }
    int code = write_blob(st, bytes);
    mem_free(bytes);
    return code == SQLITE_OK ? OK : store_fault(st, code, "saved", why);
}

/* What a reader of files would not let in, NaN among it, is damage. */
static bool is_weather(const survey_weather *hour) {
    return hour->air_c >= SURVEY_COLDEST_C && hour->air_c <= SURVEY_WARMEST_C &&
           hour->humidity_percent >= 0 && hour->humidity_percent <= 100 && hour->wind_km_h >= 0 &&
           hour->wind_km_h <= SURVEY_WINDIEST_KM_H;
}

static status read_blob(store *st, survey *s, const unsigned char *bytes, int length, fault *why) {
    survey_weather *year = arena_get(s->memory, SURVEY_YEAR_HOURS, sizeof *year);
    if (!year || !bytes) return fault_memory(why);
    bool good = length == YEAR_BYTES;
    for (size_t i = 0; i < SURVEY_YEAR_HOURS && good; i++) {
        const unsigned char *from = bytes + i * PER_HOUR * DOUBLE_BYTES;
        year[i] = (survey_weather){get_double(from), get_double(from + DOUBLE_BYTES),
                                   get_double(from + (size_t)2 * DOUBLE_BYTES)};
        good = is_weather(&year[i]);
    }
    if (!good)
        return fault_set(
            why, E_FORMAT,
            "%s: is damaged: the table typical_hours holds no year of weather; restore it from a "
            "copy",
            st->path);
    s->site.year = year;
    s->site.n_year = SURVEY_YEAR_HOURS;
    return OK;
}

status year_load(store *st, survey *s, fault *why) {
    sqlite3_stmt *row = NULL;
    status result = OK;
    int code = sqlite3_prepare_v2(st->db, "SELECT hours FROM typical_hours", -1, &row, NULL);
    if (code == SQLITE_OK) code = sqlite3_step(row);
    if (code == SQLITE_ROW)
        result = read_blob(st, s, sqlite3_column_blob(row, 0), sqlite3_column_bytes(row, 0), why);
    else if (code != SQLITE_DONE)
        result = store_fault(st, code, "read", why);
    sqlite3_finalize(row);
    return result;
}
