#include "survey/read_table.h"

#include "survey/flat_csv.h"
#include "survey/names.h"
#include "survey/read_csv.h"
#include "survey/readings.h"

#include <string.h>

enum {
    NEAREST_MOST = 50
}; /* faults that look for the nearest mark: our default, it takes time in a large job */

/* ---- which table ---- */

static bool has(const csv_table *t, const char *heading) {
    const csv_row *row = &t->rows[0];
    for (size_t i = 0; i < row->n_cells; i++)
        if (strcmp(row->cells[i], heading) == 0) return true;
    return false;
}

/* False without memory. */
static bool find_kind(const char *bytes, size_t length, table_kind *kind) {
    const char *end = length ? memchr(bytes, '\n', length) : NULL;
    arena *memory = arena_new();
    fault_list *faults = fault_list_new();
    csv_table t = {0};
    fault why = {0};
    *kind = TABLE_STATIONS;
    if (memory && faults &&
        csv_table_read("", bytes, end ? (size_t)(end - bytes) : length, memory, &t, faults) && t.n_rows > 0) {
        bool read = has(&t, "on") || has(&t, "gauge") || has(&t, "width_mm") || has(&t, "width_in");
        if (has(&t, "hour"))
            *kind = TABLE_FORECAST;
        else if (has(&t, "air_c") || has(&t, "air_f"))
            *kind = TABLE_AIR;
        else if (has(&t, "mark") && read && !has(&t, "kind") && !has(&t, "face"))
            *kind = TABLE_GAUGES;
    }
    bool good = memory && faults && fault_list_status(faults, &why) != E_MEMORY;
    fault_list_free(faults);
    arena_free(memory);
    return good;
}

table_kind survey_table_kind(const char *bytes, size_t length) {
    table_kind kind;
    find_kind(bytes, length, &kind);
    return kind;
}

bool survey_read_table(survey *into, const char *source, const char *bytes, size_t length,
                       fault_list *faults) {
    table_kind kind;
    if (!find_kind(bytes, length, &kind)) {
        fault_list_memory(faults);
        return false;
    }
    switch (kind) {
    case TABLE_GAUGES: return survey_read_gauges(into, source, bytes, length, faults);
    case TABLE_AIR: return survey_read_air(into, source, bytes, length, faults);
    case TABLE_FORECAST: return survey_read_forecast(into, source, bytes, length, faults);
    case TABLE_STATIONS: break;
    }
    return survey_read_csv(into, source, bytes, length, faults);
}

/* ---- gauges ---- */

typedef struct {
    const char *mark;
    survey_reading reading;
} gauge_row;

/* The mark, then the members of a reading. */
static survey_fields gauge_fields(survey_field into[FIELDS_MOST]) {
    into[0] = (survey_field){"mark", FIELD_NAME, true, offsetof(gauge_row, mark), .limit = 40};
    for (size_t i = 0; i < survey_reading_fields.n; i++) {
        into[1 + i] = survey_reading_fields.fields[i];
        into[1 + i].offset += offsetof(gauge_row, reading);
    }
    return (survey_fields){into, 1 + survey_reading_fields.n};
}

static void tell_unknown(const survey *s, const char *origin, const char *mark, arena *scratch,
                         fault_list *faults) {
    const char **marks = arena_get(scratch, s->n_defects, sizeof *marks);
    int near = -1;
    if (marks && fault_list_count(faults) < NEAREST_MOST) {
        for (size_t i = 0; i < s->n_defects; i++) marks[i] = s->defects[i].mark;
        near = text_nearest(mark, marks, s->n_defects);
    }
    fault_list_add(faults, "%s: no leak is marked %.60s%s%s%s", origin, mark,
                   near >= 0 ? "; did you mean " : "", near >= 0 ? marks[near] : "", near >= 0 ? "?" : "");
}

/* The new readings of each leak, leak by leak: `first[i]` and on of `sorted` are those of leak i. */
typedef struct {
    size_t *leak;  /* of each row */
    size_t *first; /* n_defects + 1 */
    readings_new *sorted;
} by_leak;

static bool find_leaks(const survey *s, const flat_rows *rows, by_leak *out, arena *scratch,
                       fault_list *faults) {
    const gauge_row *row = rows->rows;
    names *marks = names_new();
    bool good = marks != NULL;
    for (size_t i = 0; i < s->n_defects && good; i++) good = names_put(marks, s->defects[i].mark, i);
    if (!good) fault_list_memory(faults);
    for (size_t i = 0; i < rows->n && good; i++) {
        out->leak[i] = names_find(marks, row[i].mark);
        if (out->leak[i] == NAMES_NONE)
            tell_unknown(s, rows->origins[i], row[i].mark, scratch, faults);
        else
            out->first[out->leak[i] + 1]++;
    }
    names_free(marks);
    return good;
}

static void add_all(survey *into, const flat_rows *rows, by_leak *b, fault_list *faults) {
    const gauge_row *row = rows->rows;
    for (size_t i = 0; i < into->n_defects; i++) b->first[i + 1] += b->first[i];
    for (size_t i = rows->n; i-- > 0;)
        b->sorted[--b->first[b->leak[i] + 1]] = (readings_new){row[i].reading, rows->origins[i]};
    /* first[i + 1] now begins leak i. */
    for (size_t i = 0; i < into->n_defects; i++) {
        size_t from = b->first[i + 1], to = i + 1 < into->n_defects ? b->first[i + 2] : rows->n, added;
        if (to > from) readings_add(into, &into->defects[i], &b->sorted[from], to - from, &added, faults);
    }
}

bool survey_read_gauges(survey *into, const char *source, const char *bytes, size_t length,
                        fault_list *faults) {
    survey_field list[FIELDS_MOST];
    flat_rows rows;
    size_t before = fault_list_count(faults);
    if (!flat_csv_read(source, bytes, length, gauge_fields(list), sizeof(gauge_row), into->memory, &rows,
                       faults))
        return false;
    arena *scratch = arena_new();
    by_leak b = {0};
    if (scratch) {
        b = (by_leak){.leak = arena_get(scratch, rows.n, sizeof *b.leak),
                      .first = arena_get(scratch, into->n_defects + 2, sizeof *b.first),
                      .sorted = arena_get(scratch, rows.n, sizeof *b.sorted)};
    }
    if (!b.leak || !b.first || !b.sorted)
        fault_list_memory(faults);
    else if (find_leaks(into, &rows, &b, scratch, faults) && fault_list_count(faults) == before)
        add_all(into, &rows, &b, faults);
    arena_free(scratch);
    return fault_list_count(faults) == before;
}

/* ---- air ---- */

bool survey_read_air(survey *into, const char *source, const char *bytes, size_t length, fault_list *faults) {
    flat_rows rows;
    if (!flat_csv_read(source, bytes, length, survey_air_fields, sizeof(survey_air), into->memory, &rows,
                       faults))
        return false;
    const survey_air *day = rows.rows;
    readings_new_air *more = mem_zero(rows.n ? rows.n : 1, sizeof *more);
    if (!more) {
        fault_list_memory(faults);
        return false;
    }
    for (size_t i = 0; i < rows.n; i++) more[i] = (readings_new_air){day[i], rows.origins[i]};
    bool good = readings_add_air(into, more, rows.n, faults);
    mem_free(more);
    return good;
}
